#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Writes CHANGELOG.md as Debian's changelog, compressed: debian_changelog.py CHANGELOG.md VERSION OUTPUT.gz

The date is SOURCE_DATE_EPOCH's (else the file's own): the same text is the same bytes.
"""
import email.utils
import gzip
import os
import re
import sys
import textwrap
from pathlib import Path


def entries(text):
    """Yields (version, remark, points) of each `## VERSION (remark)`."""
    for section in re.split(r"^## ", text, flags=re.MULTILINE)[1:]:
        head, _, body = section.partition("\n")
        match = re.fullmatch(r"(\S+)(?: \((.*)\))?", head.strip())
        if match is None:
            sys.exit(f"CHANGELOG.md: cannot read the heading \"{head}\"")
        points = [" ".join(point.split()) for point in re.findall(r"^- (.+(?:\n  .+)*)", body, flags=re.MULTILINE)]
        yield match[1], match[2], [point.replace("`", "").replace("**", "") for point in points]


def main():
    source, version, output = Path(sys.argv[1]), sys.argv[2], Path(sys.argv[3])
    seconds = int(os.environ.get("SOURCE_DATE_EPOCH") or source.stat().st_mtime)
    out = []
    for number, remark, points in entries(source.read_text(encoding="utf-8")):
        released = "UNRELEASED" if remark == "unreleased" else "unstable"
        out.append(f"latchwright ({number}) {released}; urgency=medium\n")
        for point in points:
            out.append(textwrap.fill(point, 78, initial_indent="  * ", subsequent_indent="    ", break_long_words=False,
                                     break_on_hyphens=False))
        date = email.utils.formatdate(seconds) if remark in (None, "unreleased") else day(remark)
        out.append(f"\n -- Latchwright developers <latchwright@example.invalid>  {date}\n")
    if not out or not out[0].startswith(f"latchwright ({version})"):
        sys.exit(f"CHANGELOG.md must begin with version {version}")
    with output.open("wb") as file, gzip.GzipFile(filename="", mode="wb", compresslevel=9, fileobj=file, mtime=0) as zipped:
        zipped.write("\n".join(out).encode())


def day(text):
    """2026-11-26 as Debian writes dates."""
    import datetime

    return email.utils.format_datetime(datetime.datetime.fromisoformat(text).replace(tzinfo=datetime.timezone.utc))


main()
