#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""What a page shows of the command line is true: every marked block of commands runs, in order, in one scratch folder
that has the project's docs/ and parts/.

    shown_commands.py PROGRAM PAGE.md...             fails where page and program differ
    shown_commands.py PROGRAM PAGE.md... --update    writes what the program prints into the page, and its pictures

Marks, each on the line before the block (or by itself):

    <!-- run -->                     a line "$ command" and all that it prints
    <!-- run: Tight; Prove it -->    the same, but only the paragraphs that begin with one of these (regular
                                     expressions); "…" where others are left out
    <!-- run quietly -->             commands, a line each, whose output is not shown; they end with exit code 0
    <!-- run quietly, exit 1 -->     the same with another exit code
    <!-- edit FILE: "old" -> "new" -->   what the page tells the reader to change in a file, each "old" stands there once

In pages with a mark of the second kind on, every block that calls the program must be marked, and every picture that
the page shows from images/ must have been drawn by one of its commands (pictures of the window and of a sheet's pages excepted).
"""
import difflib
import os
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
PIECE = re.compile(
    r"<!-- (?:run(?P<how>[^\n]*?)|edit (?P<file>\S+): (?P<edits>[^\n]*?)) -->\n(?:```\n(?P<body>.*?)```)?", re.S
)
PICTURE = re.compile(r"!\[[^\]]*\]\((?:docs/)?images/(?!desk-|bench-|sheet-)([\w.-]+\.png)\)")
FENCE = re.compile(r"^```[^\n]*\n(.*?)^```", re.S | re.M)


class Scratch:
    def __init__(self, folder, program):
        self.folder = pathlib.Path(folder)
        (self.folder / "bin").mkdir()
        (self.folder / "bin/latchwright").symlink_to(pathlib.Path(program).resolve())
        for name in ("docs", "parts"):
            (self.folder / name).symlink_to(ROOT / name)
        self.environment = dict(os.environ, PATH=f"{self.folder / 'bin'}:{os.environ['PATH']}", NO_COLOR="1")

    def run(self, command, permitted, quiet_errors):
        run = subprocess.run(
            ["sh", "-e", "-c", command], cwd=self.folder, env=self.environment, capture_output=True, text=True, check=False
        )
        if run.returncode not in permitted or (run.stderr and not quiet_errors):
            sys.exit(f"{command}\nexit {run.returncode}: {run.stderr or run.stdout}")
        return run.stdout

    def edit(self, name, edits):
        path = self.folder / name
        text = path.read_text(encoding="utf-8")
        for old, new in edits:
            if text.count(old) != 1:
                sys.exit(f"{name}: {text.count(old)} times: {old}")
            text = text.replace(old, new)
        path.write_text(text, encoding="utf-8")


def chosen_paragraphs(text, words):
    """The paragraphs that begin with one of these, "…" for what is left out."""
    shown, left_out = [], False
    for paragraph in text.rstrip("\n").split("\n\n"):
        if any(re.match(word, paragraph) for word in words):
            shown += (["…"] if left_out else []) + [paragraph]
            left_out = False
        else:
            left_out = True
    for word in words:
        if not any(re.match(word, paragraph) for paragraph in shown):
            sys.exit(f'the program prints no paragraph that begins with "{word}":\n{text}')
    return "\n\n".join(shown + (["…"] if left_out else [])) + "\n"


def as_run(piece, scratch):
    """The piece as the program makes it."""
    if piece["file"]:
        edits = re.findall(r'"(.*?)" -> "(.*?)"(?:; |$)', piece["edits"])
        if not edits:
            sys.exit(f"an edit that changes nothing: {piece[0]}")
        scratch.edit(piece["file"], edits)
        return piece[0]
    if piece["body"] is None:
        sys.exit(f"a mark without a block: {piece[0]}")
    if quietly := re.fullmatch(r" quietly(?:, exit (\d+))?", piece["how"]):
        for command in piece["body"].replace("\\\n", " ").strip("\n").split("\n"):
            scratch.run(command, [int(quietly[1] or 0)], quiet_errors=True)
        return piece[0]
    command, _, _ = piece["body"].partition("\n")
    if not command.startswith("$ "):
        sys.exit(f'a block without a line "$ command": {piece[0]}')
    printed = scratch.run(command[2:], [0, 1], quiet_errors=False)
    if piece["how"]:
        printed = chosen_paragraphs(printed, piece["how"].removeprefix(": ").split("; "))
    return f"<!-- run{piece['how']} -->\n```\n{command}\n{printed}```"


def unmarked(text):
    marked = {piece["body"] for piece in PIECE.finditer(text)}
    for body in FENCE.findall(text):
        if "latchwright" in body and body not in marked:
            yield body


def main():
    update = "--update" in sys.argv
    program, *pages = [word for word in sys.argv[1:] if word != "--update"]
    stale = False
    for page in map(pathlib.Path, pages):
        text = page.read_text(encoding="utf-8")
        count = sum(1 for _ in PIECE.finditer(text))
        if count < 2:
            sys.exit(f"{page.name} has lost its commands")
        with tempfile.TemporaryDirectory() as folder:
            scratch = Scratch(folder, program)
            updated = PIECE.sub(lambda piece: as_run(piece, scratch), text)
            if re.search(r"<!-- (run quietly|run:)", text):
                for body in unmarked(text):
                    sys.exit(f"{page.name}: this is not run:\n{body}")
                for name in PICTURE.findall(text):
                    if not (scratch.folder / name).is_file():
                        sys.exit(f"{page.name}: no command draws {name}")
                    if update:
                        (ROOT / "docs/images" / name).write_bytes((scratch.folder / name).read_bytes())
                    elif not (ROOT / "docs/images" / name).is_file():
                        sys.exit(f"docs/images/{name} is missing")
        if update:
            page.write_text(updated, encoding="utf-8")
        elif updated != text:
            stale = True
            sys.stdout.writelines(
                difflib.unified_diff(text.splitlines(True), updated.splitlines(True), page.name, "program")
            )
        print(f"{page.name}: {count} blocks and edits run" + (", all as printed" if updated == text else ""))
    if stale:
        sys.exit("a page is stale: shown_commands.py PROGRAM PAGE.md --update")


main()
