# SPDX-License-Identifier: GPL-3.0-or-later
# What fish completes of latchwright-desk. @WRITTEN@

@LINES@complete -c latchwright-desk -f -a '(__fish_complete_suffix .json)'
