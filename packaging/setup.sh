#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Installs what is missing of packaging/debian-packages.txt, or of another list beside it: setup.sh [LIST]
# With nothing missing it needs neither root nor a network.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")"

mapfile -t wanted < <(sed -e 's/#.*//' -e 's/[[:space:]]//g' -e '/^$/d' "${1:-debian-packages.txt}")

if ! command -v dpkg-query >/dev/null; then
  echo "setup: not a Debian system; this needs what these packages hold: ${wanted[*]}"
  exit 0
fi

missing=()
for package in "${wanted[@]}"; do
  status=$(dpkg-query -W -f='${db:Status-Status}\n' "$package" 2>/dev/null || true)
  # one line per architecture
  grep -qx installed <<<"$status" || missing+=("$package")
done

if [ ${#missing[@]} -eq 0 ]; then
  echo "setup: all ${#wanted[@]} packages are installed"
  exit 0
fi

as_root=()
if [ "$(id -u)" -ne 0 ]; then
  if ! command -v sudo >/dev/null; then
    echo "setup: as root, run: apt-get install --no-install-recommends ${missing[*]}" >&2
    exit 1
  fi
  as_root=(sudo)
fi
echo "setup: installing ${missing[*]}"
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive apt-get update -qq
"${as_root[@]}" env DEBIAN_FRONTEND=noninteractive \
  apt-get install -y -qq --no-install-recommends "${missing[@]}" >/dev/null
