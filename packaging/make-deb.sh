#!/usr/bin/env bash
# SPDX-License-Identifier: GPL-3.0-or-later
# Builds the Debian packages latchwright and latchwright-desk: make-deb.sh [FOLDER] (default: build/packages).
# The same commit gives the same bytes, wherever it is built: times are those of the last commit (or SOURCE_DATE_EPOCH,
# where it is set), and no path of the build is inside.
set -euo pipefail
cd "$(dirname "${BASH_SOURCE[0]}")/.."
folder=${1:-build/packages}

packaging/setup.sh
packaging/setup.sh debian-packages-deb.txt
if [ -z "${SOURCE_DATE_EPOCH:-}" ]; then
  if ! SOURCE_DATE_EPOCH=$(git log -1 --format=%ct 2>/dev/null); then
    echo "make-deb: no commit to take the time from: set SOURCE_DATE_EPOCH" >&2
    exit 1
  fi
fi
export SOURCE_DATE_EPOCH TZ=UTC LC_ALL=C.UTF-8
umask 022

cmake --preset package
cmake --build --preset package
mkdir -p "$folder"
folder=$(cd "$folder" && pwd)
(cd build/package && cpack -G DEB -B "$folder" >"$folder/cpack.log" 2>&1) || { cat "$folder/cpack.log" >&2; exit 1; }
rm -rf "$folder/_CPack_Packages" "$folder/cpack.log"
ls -l "$folder"/*.deb
