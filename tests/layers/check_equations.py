#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks that docs/model.md and the code name each other's equations.

In the page an equation is an indented block with numbers such as (7.3) at the ends of lines, and each section says
"Computed in: (7.1), (7.2) `src/physics/fuse_bounds.cpp`; (7.3) …". In the code a comment says "docs/model.md (7.3)", or
several: "docs/model.md (7.1), (7.2)".

check_equations.py [ROOT]        checks the project at ROOT (default: the one this file is in)
check_equations.py --self-test   checks small trees with known faults
"""
import re
import sys
import tempfile
from pathlib import Path

PAGE = Path("docs/model.md")
NUMBER = r"\((\d+)\.(\d+)\)"
LIST = re.compile(rf"((?:{NUMBER}, )*{NUMBER}) ((?:`[^`]+`, )*`[^`]+`)")
CITED = re.compile(rf"//.*?model\.md ((?:{NUMBER}(?:, | and )?)+)")


def numbers(text):
    return [f"{a}.{b}" for a, b in re.findall(NUMBER, text)]


def read_page(text):
    """Returns equations (number -> line), who computes them (number -> files) and faults."""
    equations, computed, faults, section = {}, {}, [], "0"
    block, block_line = [], 0
    for place, line in enumerate(text.split("\n") + [""], 1):
        if heading := re.match(r"## (\d+) ", line):
            section = heading[1]
        if line.startswith("    "):
            block_line = block_line or place
            if number := re.search(rf"  {NUMBER}$", line.rstrip()):
                name = f"{number[1]}.{number[2]}"
                block.append(name)
                if name in equations:
                    faults.append(f"{PAGE}:{place}: ({name}) stands twice")
                if number[1] != section:
                    faults.append(f"{PAGE}:{place}: ({name}) stands in section {section}")
                equations[name] = place
        elif block_line:
            if not block:
                faults.append(f"{PAGE}:{block_line}: an equation without a number")
            block, block_line = [], 0
        if line.startswith("Computed in: "):
            for match in LIST.finditer(line):
                for name in numbers(match[1]):
                    computed.setdefault(name, []).extend(re.findall(r"`([^`]+)`", match[0]))
    for name in numbers(text):
        if name not in equations:
            faults.append(f"{PAGE}: ({name}) is spoken of and stands nowhere")
    return equations, computed, faults


def check_tree(root):
    equations, computed, faults = read_page((root / PAGE).read_text(encoding="utf-8"))
    for name, line in equations.items():
        for file in computed.get(name, []):
            path = root / file
            if not path.is_file():
                faults.append(f"{PAGE}:{line}: ({name}) is computed in {file}, which does not exist")
            elif name not in {n for cited in CITED.finditer(path.read_text(encoding="utf-8")) for n in numbers(cited[1])}:
                faults.append(f'{file}:1: no comment says "docs/model.md ({name})"')
        if name not in computed:
            faults.append(f"{PAGE}:{line}: ({name}) does not say where it is computed")
    for name in computed:
        if name not in equations:
            faults.append(f"{PAGE}: ({name}) is computed and stands nowhere")
    for top in ("src", "ui", "tests"):
        for path in sorted((root / top).rglob("*")):
            if path.suffix not in (".h", ".cpp"):
                continue
            file = str(path.relative_to(root))
            for place, line in enumerate(path.read_text(encoding="utf-8", errors="replace").split("\n"), 1):
                for cited in CITED.finditer(line):
                    for name in numbers(cited[1]):
                        if name not in equations:
                            faults.append(f"{file}:{place}: {PAGE} has no ({name})")
                        elif top == "src" and file not in computed.get(name, []):
                            faults.append(f"{file}:{place}: {PAGE} does not say that ({name}) is computed here")
    return sorted(set(faults)), len(equations)


def self_test():
    page = "## 1 Copper\n\nComputed in: (1.1) `src/a.h`.\n\n    r = 1  (1.1)\n"
    code = "// docs/model.md (1.1)\n"
    cases = [
        ("all well", page, code, 0),
        ("no comment", page, "int x;\n", 1),
        ("no such equation", page, code + "// docs/model.md (1.2)\n", 1),
        ("the second of a list", page, "// docs/model.md (1.1), (1.3)\n", 1),
        ("no such file", page.replace("src/a.h", "src/b.h"), code, 2),
        ("not computed", page + "\n    s = 2  (1.2)\n", code, 1),
        ("without a number", page + "\n    s = 2\n", code, 1),
        ("twice", page + "\n    s = 2  (1.1)\n", code, 1),
        ("in another section", page.replace("## 1", "## 2"), code, 1),
        ("spoken of only", page + "\nsee (1.7)\n", code, 1),
        ("not named here", page.replace("(1.1) `src/a.h`", "(1.1) `src/c.h`"), code, 2),
    ]
    wrong = 0
    for title, text, source, expected in cases:
        with tempfile.TemporaryDirectory() as folder:
            root = Path(folder)
            (root / "docs").mkdir()
            (root / "src").mkdir()
            (root / PAGE).write_text(text, encoding="utf-8")
            (root / "src/a.h").write_text(source, encoding="utf-8")
            found = check_tree(root)[0]
        if len(found) != expected:
            wrong += 1
            print(f"{title}: {len(found)} faults, not {expected}: {found}")
    print(f"{len(cases)} trees, {wrong} wrong")
    return 1 if wrong else 0


def main():
    words = sys.argv[1:]
    if words == ["--self-test"]:
        return self_test()
    faults, count = check_tree(Path(words[0]) if words else Path(__file__).resolve().parents[2])
    for fault in faults:
        print(fault)
    if not faults:
        print(f"{count} equations, each with its file and each file with its equations")
    return 1 if faults else 0


sys.exit(main())
