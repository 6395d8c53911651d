#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Checks who includes whom: src/ and ui/ are in layers, and an include goes down only.

check_layers.py [ROOT]        checks the project at ROOT (default: the one this file is in)
check_layers.py --self-test   builds small trees with known violations and checks that each is found

Prints one line per violation, "file:line: what", and exits 1 if there is one.
"""
import re
import sys
import tempfile
from pathlib import Path

# The folders of src/ and what each may include besides itself and the standard library.
MAY_INCLUDE = {
    "base": [],
    "model": ["base"],
    "io": ["base", "model"],
    "physics": ["base", "model"],
    "sim": ["base", "model", "physics"],
    "verdict": ["base", "model", "physics", "sim"],
    "choose": ["base", "model", "physics", "sim", "verdict"],
    "bench": ["base", "model", "physics", "sim"],
    "spread": ["base", "model", "physics", "sim"],
    "report": ["base", "model", "io", "physics", "sim", "verdict", "choose", "bench", "spread"],
    "cli": ["base", "model", "io", "physics", "sim", "verdict", "choose", "bench", "spread", "report"],
}
# The folders of ui/ and what each may include of ui/ besides itself. Of src/ all of them may include what the
# command line may, but not the command line.
UI_MAY_INCLUDE = {
    "units": [],
    "charts": ["units"],
    "desk": ["units", "charts"],
}

SPDX = "SPDX-License-Identifier: GPL-3.0-or-later"
CODE = (".h", ".cpp")
WITH_LICENCE = CODE + (".cmake", ".py", ".sh")

INCLUDE = re.compile(
    r'^[ \t]*#[ \t]*(?:include|import)\b[ \t]*(?:<([^>\n]*)>|"([^"\n]*)"|(.*))', re.MULTILINE
)
QT = re.compile(
    r"^(Q[A-Z]\w*(\.h)?"  # <QString>
    r"|(.*/)?Qt[A-Z]\w*(/.*)?"  # <QtCharts/QChart>, <QtWidgets>
    r"|(.*/)?q(?!uadmath\.h)\w+\.h)$"  # <qstring.h>
)
# Comments and literals, so that an include inside one is not read as code.
TOKEN = re.compile(
    r'(?P<raw>R"(?P<mark>[^()\\\s]*)\(.*?\)(?P=mark)")'
    r"|(?P<comment>//[^\n]*|/\*.*?\*/)"
    r"|(?P<number>(?<![\w.])\d[\w.]*(?:'\w+)+)"
    r'|(?P<text>"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\')',
    re.DOTALL,
)


def code_only(text):
    """The text with comments and raw strings blanked; lines keep their numbers."""

    def blank(match):
        if match["comment"] or match["raw"]:
            return re.sub(r"[^\n]", " ", match[0])
        return match[0]

    return TOKEN.sub(blank, text)


def includes(text):
    """Yields (line, path or None, is it in quotes); None for an include that is not spelt out."""
    code = code_only(text)
    for match in INCLUDE.finditer(code):
        line = code.count("\n", 0, match.start()) + 1
        angle, quoted, _ = match.groups()
        yield line, (angle if angle is not None else quoted), quoted is not None


def check_include(root, layer, path, quoted):
    """What is wrong with an include by a file of src/<layer>, or None."""
    if path is None:
        return "an include must name its file, so that it can be checked"
    if QT.match(path):
        return f"src/ builds without Qt, but this includes {path}"
    parts = path.split("/")
    if ".." in parts or "." in parts:
        return f"includes are relative to src/, not to the file: {path}"
    first = parts[0]
    if first == "ui" or (not quoted and (root / "ui" / path).is_file()):
        return f"nothing in src/ includes ui: {path}"
    if not quoted and not (root / "src" / path).is_file():
        return None  # a library's header
    if not quoted:
        return f"a header of src/ is included in quotes: {path}"
    if first not in MAY_INCLUDE or len(parts) < 2:
        return f"not a file of a folder of src/: {path}"
    if first != layer and first not in MAY_INCLUDE[layer]:
        return f"src/{layer} may not include {first}: {path}"
    return None


def check_ui_include(root, folder, path, quoted):
    """What is wrong with an include by a file of ui/<folder>, or None."""
    if path is None:
        return "an include must name its file, so that it can be checked"
    parts = path.split("/")
    if ".." in parts or "." in parts:
        return f"includes are relative to ui/ or src/, not to the file: {path}"
    if not quoted:
        own = any((root / top / path).is_file() for top in ("src", "ui"))
        return f"a header of src/ or ui/ is included in quotes: {path}" if own else None
    first = parts[0]
    if first == "cli":
        return f"ui may not include cli: {path}"
    if len(parts) < 2 or (first not in MAY_INCLUDE and first not in UI_MAY_INCLUDE):
        return None if is_generated(path) else f"not a file of a folder of ui/ or src/: {path}"
    if first in UI_MAY_INCLUDE and first != folder and first not in UI_MAY_INCLUDE[folder]:
        return f"ui/{folder} may not include {first}: {path}"
    return None


def is_generated(path):
    """Whether Qt's tools write this file beside the compiled one: "window.moc", "moc_window.cpp", "ui_window.h"."""
    return "/" not in path and bool(re.match(r"^(\w+\.moc|moc_\w+\.cpp|ui_\w+\.h)$", path))


def check_file(root, file):
    """Yields (line, what) for one file of src/, ui/ or tests/."""
    text = file.read_text(encoding="utf-8", errors="replace")
    parts = file.relative_to(root).parts
    if file.suffix in WITH_LICENCE or file.name == "CMakeLists.txt":
        if not any(SPDX in line for line in text.split("\n", 2)[:2]):
            yield 1, f"the line '{SPDX}' is missing from the top"
    if file.suffix not in CODE:
        return
    if file.suffix == ".h" and not re.search(r"^#pragma once$", code_only(text), re.MULTILINE):
        yield 1, "#pragma once is missing"
    if parts[0] == "src":
        layer = parts[1]
        if len(parts) < 3 or layer not in MAY_INCLUDE:
            yield 1, "stands in no folder of the table in tests/layers/check_layers.py"
            return
        for line, path, quoted in includes(text):
            fault = check_include(root, layer, path, quoted)
            if fault:
                yield line, fault
    elif parts[0] == "ui":
        folder = parts[1]
        if len(parts) < 3 or folder not in UI_MAY_INCLUDE:
            yield 1, "stands in no folder of the table in tests/layers/check_layers.py"
            return
        for line, path, quoted in includes(text):
            fault = check_ui_include(root, folder, path, quoted)
            if fault:
                yield line, fault


def check_tree(root):
    """All violations of the tree at root, as printed lines in order of file and line."""
    found = []
    tops = ("src", "ui", "tests")
    files = [file for top in tops for file in sorted((root / top).rglob("*")) if file.is_file()]
    if not any(file.relative_to(root).parts[0] == "src" and file.suffix in CODE for file in files):
        return [f"{root}:1: no source files in src/"]
    for file in files:
        if "__pycache__" not in file.parts:
            found += [f"{file.relative_to(root)}:{line}: {what}" for line, what in check_file(root, file)]
    return found


HEAD = f"// {SPDX}\n"
HEADER = HEAD + "#pragma once\n"


def self_test():
    """Each case: a file, its text, and the line and a word of the violation (None: there must be none)."""
    upward = [
        (f"src/{layer}/up.cpp", HEAD + f'#include "{other}/x.h"\n', 2, f"may not include {other}")
        for layer in MAY_INCLUDE
        for other in MAY_INCLUDE
        if other != layer and other not in MAY_INCLUDE[layer]
    ]
    downward = [
        (f"src/{layer}/down.cpp", HEAD + f'#include "{other}/x.h"\n', None, "")
        for layer in MAY_INCLUDE
        for other in MAY_INCLUDE[layer] + [layer]
    ]
    ui_upward = [
        (f"ui/{folder}/up.cpp", HEAD + f'#include "{other}/x.h"\n', 2, f"may not include {other}")
        for folder in UI_MAY_INCLUDE
        for other in list(UI_MAY_INCLUDE) + ["cli"]
        if other != folder and other not in UI_MAY_INCLUDE[folder]
    ]
    ui_downward = [
        (f"ui/{folder}/down.cpp", HEAD + f'#include "{other}/x.h"\n', None, "")
        for folder in UI_MAY_INCLUDE
        for other in UI_MAY_INCLUDE[folder] + [folder] + [layer for layer in MAY_INCLUDE if layer != "cli"]
    ]
    cases = upward + downward + ui_upward + ui_downward + [
        ("src/base/fine.h", HEADER + "#include <queue>\n#include <boost/math/tools/roots.hpp>\n", None, ""),
        ("src/base/comment.h", HEADER + '// #include "cli/x.h"\n/*\n#include "cli/x.h"\n*/\n', None, ""),
        ("src/base/raw.cpp", HEAD + 'auto t = R"j(\n#include "cli/x.h"\n)j";\n', None, ""),
        ("src/base/text.cpp", HEAD + 'auto t = "/*"; int n = 1\'000;\n#include "cli/x.h"\n', 3, "not include cli"),
        ("src/base/late.cpp", HEAD + '\n/* a\nb */\n  #  include "io/x.h"  // why\n', 5, "may not include io"),
        ("src/sim/deep/in.cpp", HEAD + '#include "verdict/x.h"\n', 2, "may not include verdict"),
        ("src/sim/parent.cpp", HEAD + '#include "../verdict/x.h"\n', 2, "relative to src/"),
        ("src/sim/bare.cpp", HEAD + '#include "x.h"\n', 2, "not a file of a folder"),
        ("src/sim/angle.cpp", HEAD + "#include <verdict/x.h>\n", 2, "in quotes"),
        ("src/sim/macro.cpp", HEAD + "#include HEADER\n", 2, "must name its file"),
        ("src/report/charts.cpp", HEAD + '#include "ui/charts/x.h"\n', 2, "includes ui"),
        ("src/report/charts2.cpp", HEAD + "#include <charts/x.h>\n", 2, "includes ui"),
        ("src/report/qt1.cpp", HEAD + "#include <QString>\n", 2, "without Qt"),
        ("src/report/qt2.cpp", HEAD + "#include <QtCharts/QChart>\n", 2, "without Qt"),
        ("src/report/qt3.cpp", HEAD + "#include <qstring.h>\n", 2, "without Qt"),
        ("src/report/qt4.cpp", HEAD + '#include "QtWidgets"\n', 2, "without Qt"),
        ("src/base/no_once.h", HEAD + "// #pragma once\n", 1, "#pragma once"),
        ("src/base/no_licence.cpp", "int one();\n", 1, "SPDX"),
        ("src/base/no_licence.cmake", "set(a 1)\n", 1, "SPDX"),
        ("src/base/late_licence.cpp", "\n\n" + HEAD, 1, "SPDX"),
        ("src/CMakeLists.txt", "add_library(a)\n", 1, "SPDX"),
        ("src/loose.cpp", HEAD, 1, "in no folder"),
        ("src/other/lost.h", HEADER, 1, "in no folder"),
        ("ui/desk/window.cpp", HEAD + '#include <QWidget>\n#include "report/x.h"\n', None, ""),
        ("ui/desk/parent.cpp", HEAD + '#include "../charts/x.h"\n', 2, "relative to ui/ or src/"),
        ("ui/desk/bare.cpp", HEAD + '#include "window.h"\n', 2, "not a file of a folder"),
        ("ui/desk/with_top.cpp", HEAD + '#include "ui/charts/x.h"\n', 2, "not a file of a folder"),
        ("ui/desk/moc.cpp", HEAD + '#include "moc.moc"\n', None, ""),
        ("ui/desk/angle.cpp", HEAD + "#include <charts/x.h>\n", 2, "in quotes"),
        ("ui/desk/angle2.cpp", HEAD + "#include <report/x.h>\n", 2, "in quotes"),
        ("ui/desk/qt.cpp", HEAD + "#include <QtCharts/QChart>\n#include <QWidget>\n", None, ""),
        ("ui/desk/macro.cpp", HEAD + "#include HEADER\n", 2, "must name its file"),
        ("ui/loose.cpp", HEAD, 1, "in no folder"),
        ("ui/other/lost.h", HEADER, 1, "in no folder"),
        ("tests/sim/case.cpp", HEAD + "#include <catch2/catch.hpp>\n", None, ""),
        ("tests/sim/no_licence.cpp", "int two();\n", 1, "SPDX"),
    ]
    wrong = []
    with tempfile.TemporaryDirectory() as folder:
        root = Path(folder)
        for own in [f"src/{layer}/x.h" for layer in MAY_INCLUDE] + [f"ui/{folder}/x.h" for folder in UI_MAY_INCLUDE]:
            (root / own).parent.mkdir(parents=True)
            (root / own).write_text(HEADER, encoding="utf-8")
        for name, text, line, word in cases:
            (root / name).parent.mkdir(parents=True, exist_ok=True)
            (root / name).write_text(text, encoding="utf-8")
            found = check_tree(root)
            (root / name).unlink()
            good = found == [] if line is None else len(found) == 1 and (
                found[0].startswith(f"{name}:{line}: ") and word in found[0]
            )
            if not good:
                wrong.append(f"{name}: wanted {f'line {line}, {word!r}' if line else 'nothing'}, found {found}")
    with tempfile.TemporaryDirectory() as folder:
        if not check_tree(Path(folder)):
            wrong.append("a tree without sources passes")
    print("\n".join(wrong + [f"{len(cases) + 1 - len(wrong)} of {len(cases) + 1} cases as wanted"]))
    return 1 if wrong else 0


def main(arguments):
    if arguments == ["--self-test"]:
        return self_test()
    root = Path(arguments[0] if arguments else Path(__file__).parents[2]).resolve()
    found = check_tree(root)
    for line in found:
        print(line)
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
