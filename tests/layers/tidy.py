#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Static analysis: clang-tidy by .clang-tidy on src/, ui/ and packaging/, and cppcheck on the same.

tidy.py BUILD             all files (for long)
tidy.py BUILD --changed   files that differ from the commit before, or from the last one where something is not committed
                          yet; of many, the few with the most changed lines
tidy.py BUILD FILE...     these
tidy.py --self-test       a file with a fault must be found, one without must pass

BUILD is a configured and built folder (build/release): its compile_commands.json says how each file is compiled, and Qt's
generated files are in it. Prints findings, then "N passed, N failed" by files; exit status 1 where something was found.
"""
import argparse
import json
import multiprocessing.pool
import os
import re
import shutil
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).resolve().parents[2]
TOPS = ("src/", "ui/", "packaging/")
# A small change must not wait for long: half a minute or so on two cores.
MOST_CHANGED = 4
# Warnings are .clang-tidy's matter; the others are of g++ or for precompiled headers.
NOT_FOR_CLANG = re.compile(r" (-Werror|-fpch-preprocess|-finline-limit=\d+|-Winvalid-pch|-include \S+cmake_pch\.hxx)(?= )")
ONLY_THE_ANALYZER = ",".join(f"-{family}-*" for family in (
    "bugprone", "cert", "concurrency", "cppcoreguidelines", "misc", "performance", "portability", "readability"))
FINDING = re.compile(r"^(/[^:\n]+):\d+:\d+: (?:error|warning): ", re.MULTILINE)
# What cppcheck 2.10 takes wrongly, or cannot read.
KNOWN_TO_CPPCHECK = ROOT / "tests/layers/cppcheck_known.txt"


def files_of(entry):
    """The files that a compile command compiles: one, or those that its batch includes."""
    if "/Unity/unity_" not in entry["file"]:
        return [entry["file"]]
    return re.findall(r'^#include "([^"]+)"$', Path(entry["file"]).read_text(encoding="utf-8"), re.MULTILINE)


def for_clang(entry, file):
    command = NOT_FOR_CLANG.sub("", entry["command"].replace(entry["file"], file))
    return {"directory": entry["directory"], "file": file, "command": command}


def git(*words):
    done = subprocess.run(["git", "-C", str(ROOT), *words], capture_output=True, text=True, check=False)
    return done.stdout if done.returncode == 0 else None


def changed_files():
    """[(changed lines, file)] of TOPS, most first; None where there is nothing to compare with."""
    base = "HEAD" if git("status", "--porcelain", "--", *TOPS) else git("merge-base", "HEAD", "HEAD~1")
    counts = base and git("diff", "--numstat", "--no-renames", base.strip(), "--", *TOPS)
    fresh = git("ls-files", "--others", "--exclude-standard", "--", *TOPS)
    if counts is None or fresh is None:
        return None
    found = [(int(added) + int(gone), file) for added, gone, file in re.findall(r"^(\d+)\t(\d+)\t(\S+)$", counts, re.MULTILINE)]
    found += [(len((ROOT / file).read_text(encoding="utf-8").split("\n")), file) for file in fresh.split()]
    return sorted(found, reverse=True)


def tidy(folder, file, checks=""):
    """Whether it finds nothing; its findings. checks: taken from those of .clang-tidy, or added."""
    # Findings are errors by .clang-tidy; warnings of g++ that clang has no name for are none.
    done = subprocess.run(["clang-tidy", "-p", folder, "--quiet", f"--checks={checks}",
                           "--extra-arg=-Wno-unknown-warning-option", file],
                          capture_output=True, text=True, check=False, cwd=ROOT)
    return done.returncode == 0, done.stdout if done.returncode == 0 else done.stdout + done.stderr


def cppcheck(files):
    """Whether it finds nothing; its findings by themselves. The libraries' headers are not read: it knows Qt's names."""
    done = subprocess.run(
        ["cppcheck", "--std=c++20", "--language=c++", "--enable=warning,performance,portability", "--library=qt", "--quiet",
         "--error-exitcode=1", f"--suppressions-list={KNOWN_TO_CPPCHECK}", "--suppress=missingInclude", "-DQT_NO_KEYWORDS",
         "-Isrc", "-Iui", f"-j{os.cpu_count()}", *files], capture_output=True, text=True, check=False, cwd=ROOT)
    return done.returncode == 0, done.stdout + done.stderr


def check(entries, files, whole):
    """Runs both on the files; returns how many passed and failed. whole: they are all."""
    singles = {os.path.relpath(file, ROOT): for_clang(entry, file) for entry in entries for file in files_of(entry)}
    batches = [entry for entry in entries if any(os.path.relpath(file, ROOT) in files for file in files_of(entry))]
    if whole:
        # Most checks look at the headers of a file again and again: batch by batch they take a quarter of the time. The
        # analyzer follows only functions of the file itself.
        jobs = [(entry["file"], "-clang-analyzer-*,-bugprone-suspicious-include") for entry in batches]
        jobs += [(singles[file]["file"], ONLY_THE_ANALYZER) for file in files]
    else:
        jobs = [(singles[file]["file"], "") for file in files]
    failed = set()
    said = set()
    with tempfile.TemporaryDirectory(prefix="tidy-") as folder:
        commands = list(singles.values()) + [for_clang(entry, entry["file"]) for entry in batches if "/Unity/" in entry["file"]]
        Path(folder, "compile_commands.json").write_text(json.dumps(commands), encoding="utf-8")
        with multiprocessing.pool.ThreadPool(os.cpu_count()) as pool:
            for (file, _), (good, text) in zip(jobs, pool.imap(lambda job: tidy(folder, *job), jobs)):
                if good:
                    continue
                places = {os.path.relpath(place, ROOT) for place in FINDING.findall(text)}
                failed |= places or {os.path.relpath(file, ROOT)}
                # A header's finding comes with every file that includes it.
                if text not in said:
                    print(text.replace(f"{ROOT}/", ""), flush=True)
                said.add(text)
    good, text = cppcheck(files)
    if not good:
        print(text)
        failed |= {file for file in files if f"{file}:" in text} or {"cppcheck"}
    return len(set(files) - failed), len(failed)


def self_test():
    """Both tools at work: each finds its fault."""
    wrong = []
    good = "// SPDX-License-Identifier: GPL-3.0-or-later\nint twice(int x) { return 2 * x; }\n"
    cases = [
        ("nothing wrong", good, None),
        ("moved from", "#include <string>\n#include <utility>\nvoid take(std::string);\nstd::string f(std::string a) {\n"
                       "  take(std::move(a));\n  return a;\n}\n", "bugprone-use-after-move"),
        ("does not compile", "int f() { return x; }\n", "clang-diagnostic-error"),
        ("past the end", "int f() {\n  int a[2] = {1, 2};\n  return a[2];\n}\n", "arrayIndexOutOfBounds"),
    ]
    for title, text, name in cases:
        with tempfile.TemporaryDirectory(prefix="tidy-") as folder:
            path = Path(folder, "case.cpp")
            path.write_text(text, encoding="utf-8")
            shutil.copy(ROOT / ".clang-tidy", folder)
            command = {"directory": folder, "file": str(path), "command": f"c++ -std=c++20 -c {path}"}
            Path(folder, "compile_commands.json").write_text(json.dumps([command]), encoding="utf-8")
            results = [tidy(folder, str(path)), cppcheck([str(path)])]
        said = "".join(text for _, text in results)
        if (name is None) != all(good for good, _ in results) or (name is not None and name not in said):
            wrong.append(f"{title}: {said}")
    batch = [{"directory": "/d", "file": "/d/a.cpp", "command": "c++ -fpch-preprocess -finline-limit=2000 -O2 -c /d/a.cpp"}]
    if [for_clang(entry, file)["command"] for entry in batch for file in files_of(entry)] != ["c++ -O2 -c /d/a.cpp"]:
        wrong.append("flags of g++ are left in the commands")
    print("\n".join(wrong + [f"{len(cases) + 1 - len(wrong)} passed, {len(wrong)} failed"]))
    return 1 if wrong else 0


def main(words):
    if words == ["--self-test"]:
        return self_test()
    parser = argparse.ArgumentParser(usage=__doc__)
    parser.add_argument("build")
    parser.add_argument("files", nargs="*")
    parser.add_argument("--changed", action="store_true")
    asked = parser.parse_args(words)
    entries = json.loads(Path(asked.build, "compile_commands.json").read_text(encoding="utf-8"))
    known = {os.path.relpath(file, ROOT) for entry in entries for file in files_of(entry)}
    known = {file for file in known if file.startswith(TOPS)}
    if asked.changed:
        changed = changed_files()
        if changed is None:
            print("no commit before this one: nothing to compare with\n0 passed, 0 failed")
            return 0
        # A header is checked with the source of its name.
        files = list(dict.fromkeys(name for _, file in changed for name in [re.sub(r"\.h$", ".cpp", file)] if name in known))
        if len(files) > MOST_CHANGED:
            print(f"{len(files)} files have changed; the {MOST_CHANGED} that changed most are looked at here, all by tests/layers/deep")
            files = files[:MOST_CHANGED]
    else:
        files = [os.path.relpath(file, ROOT) for file in asked.files] or sorted(known)
        strangers = [file for file in files if file not in known]
        if strangers:
            print(f"not compiled in {asked.build}: {', '.join(strangers)}")
            return 2
    whole = not asked.changed and not asked.files
    passed, failed = check(entries, files, whole) if files else (0, 0)
    print(f"{passed} passed, {failed} failed")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
