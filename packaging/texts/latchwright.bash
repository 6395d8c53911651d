# SPDX-License-Identifier: GPL-3.0-or-later
# shellcheck shell=bash disable=SC2154
# What bash completes of latchwright. @WRITTEN@

@TABLES@
# Candidates, one a line in $1, that begin with what has been typed. Names with blanks are escaped unless a quotation
# mark has been opened.
_latchwright_offer() {
  local typed=$cur quoted='' candidate
  case $typed in
    [\"\']*) quoted=1 typed=${typed:1} ;;
    *) typed=${typed//\\/} ;;
  esac
  while IFS= read -r candidate; do
    [[ -n $candidate && $candidate == "$typed"* ]] || continue
    [[ -n $quoted ]] || printf -v candidate '%q' "$candidate"
    COMPREPLY+=("$candidate")
  done <<<"$1"
}

# Folders, and files with one of the endings (all without endings).
_latchwright_files() {
  local name ending
  compopt -o filenames 2>/dev/null
  while IFS= read -r name; do
    if [[ -d $name || $# -eq 0 ]]; then
      COMPREPLY+=("$name")
      continue
    fi
    for ending in "$@"; do
      if [[ ${name,,} == *."$ending" ]]; then COMPREPLY+=("$name"); fi
    done
  done < <(compgen -f -- "$cur")
}

# Values of a key in JSON files, one a line.
_latchwright_key() {
  local key=$1
  shift
  if [[ $# -gt 0 ]]; then
    grep -ohE "\"$key\"[[:space:]]*:[[:space:]]*\"[^\"\\\\]*\"" -- "$@" 2>/dev/null | sed -e 's/"$//' -e 's/.*"//'
  fi
}

# Ids of part files that stand on the line.
_latchwright_own_parts() {
  local k files=()
  for ((k = 2; k < ${#COMP_WORDS[@]}; k++)); do
    if [[ ${COMP_WORDS[k - 1]} == --parts && -r ${COMP_WORDS[k]} ]]; then files+=("${COMP_WORDS[k]}"); fi
    if [[ $k -gt 2 && ${COMP_WORDS[k - 2]} == --parts && -r ${COMP_WORDS[k]} ]]; then files+=("${COMP_WORDS[k]}"); fi
  done
  _latchwright_key id "${files[@]}"
}

# Doors of the jobs that stand on the line.
_latchwright_doors() {
  local word files=()
  for word in "${COMP_WORDS[@]:2}"; do
    word=${word//\\/}
    if [[ $word == *.json && -r $word ]]; then files+=("$word"); fi
  done
  _latchwright_key name "${files[@]}"
}

_latchwright_answer() {
  local kind=$1 list
  shift
  case $kind in
    words)
      printf -v list '%s\n' "$@"
      _latchwright_offer "$list"
      ;;
    files) _latchwright_files "$@" ;;
    actuators) _latchwright_offer "${_latchwright_actuators// /$'\n'}"$'\n'"$(_latchwright_own_parts)" ;;
    parts) _latchwright_offer "${_latchwright_parts// /$'\n'}"$'\n'"$(_latchwright_own_parts)" ;;
    doors) _latchwright_offer "$(_latchwright_doors)" ;;
  esac
}

_latchwright() {
  local cur=${COMP_WORDS[COMP_CWORD]} before=${COMP_WORDS[COMP_CWORD - 1]} verb='' given=0 k word asked used=' ' list=''
  local -a words
  COMPREPLY=()
  # The shell takes --option=value apart.
  if [[ $cur == '=' ]]; then
    cur=''
  elif [[ $before == '=' && $COMP_CWORD -gt 1 ]]; then
    before=${COMP_WORDS[COMP_CWORD - 2]}
  fi
  if [[ $COMP_CWORD -gt 1 ]]; then verb=${COMP_WORDS[1]}; fi
  case $verb in
    '' | -*)
      if [[ $COMP_CWORD -eq 1 ]]; then
        list="$_latchwright_verbs $(_latchwright_options '')"
        _latchwright_offer "${list// /$'\n'}"
      fi
      return
      ;;
  esac
  [[ " $_latchwright_verbs " == *" $verb "* ]] || return

  if asked=$(_latchwright_value "$verb" "$before"); then
    read -ra words <<<"$asked"
    _latchwright_answer "${words[@]}"
    return
  fi

  # Arguments and options that stand before.
  for ((k = 2; k < COMP_CWORD; k++)); do
    word=${COMP_WORDS[k]}
    case $word in
      -*)
        _latchwright_repeats "$verb" "$word" || used+="$word "
        if _latchwright_value "$verb" "$word" >/dev/null; then
          if [[ ${COMP_WORDS[k + 1]} == '=' ]]; then ((k++)); fi
          ((k++))
        fi
        ;;
      *) ((given++)) ;;
    esac
  done

  if [[ $cur != -* ]] && asked=$(_latchwright_argument "$verb"); then
    read -ra words <<<"$asked"
    if [[ ${words[0]} == many || $given -eq 0 ]]; then
      _latchwright_answer "${words[@]:1}"
      return
    fi
  fi
  for word in $(_latchwright_options "$verb"); do
    if [[ $used != *" $word "* ]]; then list+="$word"$'\n'; fi
  done
  _latchwright_offer "$list"
}

complete -F _latchwright latchwright
