#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks that no two files define a type of the same name in the same namespace (the one-definition rule).

The linker keeps one of the two without a word, and the other's users run on the wrong one. Types in unnamed
namespaces, inside functions and inside other types do not count. Types are known by clang-format's layout: they
begin a line.

check_names.py [ROOT]        checks the project at ROOT (default: the one this file is in)
check_names.py --self-test   checks small trees with and without a name that stands twice
"""
import re
import sys
import tempfile
from pathlib import Path

UNNAMED = re.compile(r"^namespace \{.*?^\}  // namespace$", re.MULTILINE | re.DOTALL)
OPENS = re.compile(
    r"^(?:namespace (?P<space>[\w:]+) \{|\}  // namespace (?P<end>[\w:]+)$"
    r"|(?:struct|class|union|enum|enum class)(?: alignas\(\w+\)| \[\[[^\]]*\]\])? (?P<type>\w+)(?: final)?(?: :[^:;{][^;{]*)? \{)",
    re.MULTILINE,
)


def types_of(text):
    """Yields (namespace, type, line)."""
    text = UNNAMED.sub(lambda match: re.sub(r"[^\n]", "", match[0]), text)
    spaces = []
    for match in OPENS.finditer(text):
        if match["space"]:
            spaces.append(match["space"])
        elif match["end"]:
            if spaces:
                spaces.pop()
        else:
            yield "::".join(spaces), match["type"], text.count("\n", 0, match.start()) + 1


def check_tree(root):
    """All names that stand in more than one file, as printed lines."""
    places = {}
    for top in ("src", "ui", "tests"):
        for file in sorted((root / top).rglob("*")):
            if file.suffix in (".h", ".cpp"):
                for space, name, line in types_of(file.read_text(encoding="utf-8", errors="replace")):
                    places.setdefault((space, name), {})[file.relative_to(root)] = line
    return [
        f"{file}:{line}: {space}::{name} stands in another file too: {', '.join(str(other) for other in found if other != file)}"
        for (space, name), found in sorted(places.items())
        if len(found) > 1
        for file, line in found.items()
    ]


def self_test():
    one = "namespace a::b {\n\nstruct Twice {\n  int x;\n};\n\n}  // namespace a::b\n"
    cases = [
        ("two files", {"src/x/a.h": one, "tests/b.cpp": one.replace("struct", "class")}, 2),
        ("an heir", {"src/x/a.h": one, "src/x/b.h": one.replace("Twice {", "Twice final : public Base {")}, 2),
        ("another namespace", {"src/x/a.h": one, "src/x/b.h": one.replace("a::b", "a::c")}, 0),
        ("unnamed", {"src/x/a.cpp": one, "src/x/b.cpp": one.replace("a::b {", "a::b {\n\nnamespace {").replace(
            "};\n", "};\n\n}  // namespace\n")}, 0),
        ("only announced", {"src/x/a.h": one, "src/x/b.h": one.replace("{\n  int x;\n};", ";")}, 0),
    ]
    failed = 0
    for name, files, expected in cases:
        with tempfile.TemporaryDirectory() as folder:
            for path, text in files.items():
                (Path(folder) / path).parent.mkdir(parents=True, exist_ok=True)
                (Path(folder) / path).write_text(text, encoding="utf-8")
            found = check_tree(Path(folder))
            if len(found) != expected:
                failed += 1
                print(f"{name}: {len(found)} found, {expected} expected: {found}")
    print(f"{len(cases) - failed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    if sys.argv[1:] == ["--self-test"]:
        sys.exit(self_test())
    faults = check_tree(Path(sys.argv[1]) if len(sys.argv) > 1 else Path(__file__).resolve().parents[2])
    print("\n".join(faults) if faults else "no type stands twice")
    sys.exit(1 if faults else 0)
