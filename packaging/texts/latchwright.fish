# SPDX-License-Identifier: GPL-3.0-or-later
# What fish completes of latchwright. @WRITTEN@

# Values of a key in JSON files, one a line.
function __latchwright_key
    set -l key $argv[1]
    set -e argv[1]
    test (count $argv) -gt 0; or return
    grep -ohE "\"$key\"[[:space:]]*:[[:space:]]*\"[^\"\\\\]*\"" -- $argv 2>/dev/null | string replace -r '.*"([^"]*)"$' '$1'
end

# Folders, and files with one of the endings.
function __latchwright_files
    for name in (__fish_complete_path (commandline -ct))
        set -l path (string split -m1 \t -- $name)[1]
        if string match -q '*/' -- $path
            echo $path
        else
            for ending in $argv
                string match -qi "*$ending" -- $path; and echo $path
            end
        end
    end
end

# Whether the verb is this one.
function __latchwright_verb
    set -l words (commandline -opc)
    test (count $words) -gt 1; and contains -- $words[2] $argv
end

function __latchwright_no_verb
    test (count (commandline -opc)) -eq 1
end

# Doors of the jobs that stand on the line.
function __latchwright_doors
    set -l files
    for word in (commandline -opc)
        string match -q '*.json' -- $word; and test -r $word; and set -a files $word
    end
    __latchwright_key name $files
end

# Ids of part files that stand on the line.
function __latchwright_own_parts
    set -l files
    set -l before ''
    for word in (commandline -opc)
        test "$before" = --parts; and test -r $word; and set -a files $word
        set before $word
    end
    __latchwright_key id $files
end

function __latchwright_parts
    string split ' ' -- '@PARTS@'
    __latchwright_own_parts
end

function __latchwright_actuators
    string split ' ' -- '@ACTUATORS@'
    __latchwright_own_parts
end

complete -c latchwright -f
@LINES@