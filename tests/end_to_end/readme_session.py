#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The README's session is true: every block behind a `<!-- run -->` mark holds a command and what it prints.

    readme_session.py PROGRAM            fails where README and program differ
    readme_session.py PROGRAM --update   writes what the program prints into the README
"""
import pathlib
import re
import shlex
import subprocess
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
README = ROOT / "README.md"
BLOCK = re.compile(r"(<!-- run -->\n```\n)(\$ latchwright [^\n]*)\n(.*?)(```)", re.S)


def printed(program, command):
    words = shlex.split(command[2:])
    run = subprocess.run([program] + words[1:], cwd=ROOT, capture_output=True, text=True, check=False)
    if run.returncode not in (0, 1) or run.stderr:
        sys.exit(f"{command}: exit {run.returncode}: {run.stderr}")
    return run.stdout


def main():
    program = sys.argv[1]
    text = README.read_text(encoding="utf-8")
    blocks = BLOCK.findall(text)
    if len(blocks) < 3:
        sys.exit("README.md has lost its session")
    updated = BLOCK.sub(lambda m: m[1] + m[2] + "\n" + printed(program, m[2]) + m[4], text)
    if "--update" in sys.argv:
        README.write_text(updated, encoding="utf-8")
    elif updated != text:
        import difflib

        sys.stdout.writelines(difflib.unified_diff(text.splitlines(True), updated.splitlines(True), "README.md", "program"))
        sys.exit("README.md is stale: readme_session.py PROGRAM --update")
    print(f"{len(blocks)} commands of the README print what it says")


main()
