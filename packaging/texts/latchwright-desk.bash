# SPDX-License-Identifier: GPL-3.0-or-later
# shellcheck shell=bash disable=SC2154
# What bash completes of latchwright-desk. @WRITTEN@

@TABLES@
_latchwright_desk() {
  local cur=${COMP_WORDS[COMP_CWORD]} name
  COMPREPLY=()
  if [[ $cur == -* ]]; then
    mapfile -t COMPREPLY < <(compgen -W "$_latchwright_desk_options" -- "$cur")
    return
  fi
  compopt -o filenames 2>/dev/null
  while IFS= read -r name; do
    if [[ -d $name || ${name,,} == *.json ]]; then COMPREPLY+=("$name"); fi
  done < <(compgen -f -- "$cur")
}

complete -F _latchwright_desk latchwright-desk
