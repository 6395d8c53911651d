#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""docs/validation.md from the tests' own figures.

    validation.py BUILD_FOLDER              prints the document, with the times that it already has
    validation.py BUILD_FOLDER --write      writes it, times measured anew
    validation.py BUILD_FOLDER --check      fails where the document no longer says what the tests find
    validation.py --self-test               each kind of staleness must be found

--deep FILE: what `latchwright_compare_cvode --studies 500 --seed 2 --json FILE` wrote; without it the document keeps
the table that it has. --check measures no times: it only wants every row of them to be there.
"""
import argparse
import ast
import collections
import json
import math
import os
import pathlib
import re
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]
DOCUMENT = ROOT / "docs" / "validation.md"
SPICE_TEST = ROOT / "tests" / "reference" / "spice" / "spice_test.py"

PUBLISHED, CVODE, DEEP, EXTREMES, SCIPY, SPICE, SPEED = (
    "Published values", "CVODE, 40 studies", "CVODE, 500 studies", "CVODE, extreme parts", "SciPy", "ngspice", "Speed")
COMPARISONS = (CVODE, DEEP, EXTREMES, SCIPY, SPICE)  # tables whose last column is a share of the limit
SHARE_MAY_MOVE = 0.2  # of the limit
COUNTS = ("beyond_table", "cycles_done", "limited_by", "lockout_throw", "missed_doors", "pulses")
DISAGREE = (0, 1)  # exit codes of comparisons; a figure beyond its limit stands in the document and fails --check

INTRODUCTION = """# Validation

What the program's figures have been held against. `tests/tools/validation.py BUILD_FOLDER --write` writes this file
from the figures of the tests themselves; the test `validation` fails when it is stale. Limits: docs/model.md
section 9. "Of the limit" is the largest difference over what is allowed; 1 would be too much.
"""


def run(*words, good=(0,), **more):
    done = subprocess.run([str(word) for word in words], capture_output=True, text=True, check=False, **more)
    if done.returncode not in good:
        sys.exit(f"{pathlib.Path(words[0]).name}: exit code {done.returncode}\n{done.stdout[-3000:]}{done.stderr[-3000:]}")
    return done.stdout


def printed(value, digits=5):
    return "none" if value is None else f"{value:.{digits}g}"


def span(values):
    """One value, or the least and the greatest and how many they are."""
    texts = [printed(v) if v is not None else "never" for v in (min(values, key=key), max(values, key=key))]
    if texts[0] == texts[1]:
        return texts[0] + (f" ({len(values)})" if len(values) > 1 else "")
    return f"{texts[0]} to {texts[1]} ({len(values)})"


def key(value):
    return math.inf if value is None else value


def table(heads, rows):
    lines = ["| " + " | ".join(heads) + " |", "|" + " --- |" * len(heads)]
    return lines + ["| " + " | ".join(cell.replace("|", "/") for cell in row) + " |" for row in rows]


def test_figures(build):
    """Lines that the test program leaves: of published values, and of SciPy's cases."""
    with tempfile.TemporaryDirectory() as folder:
        file = pathlib.Path(folder) / "figures.jsonl"
        run(build / "tests" / "latchwright_tests", "[published],reference cases:*", "--warn", "NoTests",
            env={**os.environ, "LATCHWRIGHT_FIGURES": str(file)})
        lines = [json.loads(line) for line in file.read_text(encoding="utf-8").splitlines()]
    return [l for l in lines if "source" in l], [l for l in lines if "case" in l]


def published_section(lines):
    """Rows of the same value of the same thing stand together: equal parts, or several ratings of fuses."""
    groups = collections.OrderedDict()
    for line in lines:
        want = tuple(line.get(k) for k in ("published", "tolerance", "at_least", "at_most"))
        groups.setdefault((line["quantity"], line["unit"], line["source"], want), []).append(line["tool"])
    rows = []
    for (quantity, unit, source, (value, tolerance, low, high)), tools in groups.items():
        if value is not None:
            worst = max((tool - value for tool in tools), key=abs)
            # Short of the promised digits a difference is rounding, and not the same everywhere.
            gap = "0" if abs(worst) <= 1e-6 * abs(value) + 1e-12 else printed(worst, 2)
            want, allowed = printed(value), printed(tolerance, 3)
        elif low is not None and high is not None:
            want, gap, allowed = f"{printed(low)} to {printed(high)}", "inside", "limits"
        else:
            want = f"at least {printed(low)}" if high is None else f"at most {printed(high)}"
            gap, allowed = "inside", "limit"
        tools = [0.0 if tool is not None and abs(tool) < 1e-12 else tool for tool in tools]
        rows.append((quantity, source, f"{want} {unit}" if unit != "1" else want, span(tools), gap, allowed))
    return [f"{len(lines)} checks of {len(rows)} values, in tests/published.", "",
            *table(("quantity", "source", "published", "program", "difference", "tolerance"), rows)]


def finite(held):
    """Counts that differ are no number of limits: beyond any."""
    off = held["deviation_over_limit"]
    return {**held, "deviation_over_limit": math.inf if isinstance(off, str) else off}


def cvode_section(answer, seed):
    edges = len(answer["near_edges"])
    rows = [(held["figure"], f"{held['study']}{', ' if held['door'] else ''}{held['door']}", printed(held["engine"], 7),
             printed(held["cvode"], 7), f"{held['deviation_over_limit']:.2g}") for held in map(finite, answer["largest"])]
    equal = [row[0] for row in rows if row[0] in COUNTS and row[-1] == "0"]
    rows = [row for row in rows if row[0] not in equal]
    return [f"{answer['studies']} random studies, seed {seed}, {answer['figures']} figures, {len(answer['wrong'])} wrong, "
            f"{edges} studies near an edge (docs/model.md section 9). CVODE works at a relative tolerance of 1e-10. "
            f"All equal: {', '.join(equal)}.", "",
            *table(("figure", "largest in", "program", "CVODE", "of the limit"), rows)]


def cvode(build, folder):
    file = pathlib.Path(folder) / "cvode.json"
    run(build / "tests" / "latchwright_compare_cvode", "--studies", 40, "--seed", 1, "--json", file,
        good=DISAGREE)
    return cvode_section(json.loads(file.read_text(encoding="utf-8")), 1)


def extremes_section(rows):
    def both(row, figure):
        ours, theirs = row["figures"][figure]
        return f"{printed(ours, 6)}; {printed(theirs, 6)}"
    figures = ("first_throw_s", "trip_time_s", "final_winding_C", "cycles_done")
    lines = [(row["what"], *(both(row, figure) for figure in figures), f"{row['largest']:.2g}") for row in rows]
    return ["The worked case of docs/model.md section 10, with single figures taken to the ends of what a job may hold. Of "
            "the first door: the first throw, the trip and the winding at the end of 600 s held, and whole cycles of ten; "
            "each by the program; by CVODE at a relative tolerance of 1e-10. The last column is the largest of all figures "
            "that both give for the row.", "",
            *table(("what is extreme", "first throw, s", "trip, s", "winding, °C", "cycles done", "of the limit"), lines)]


def extremes(build, folder):
    file = pathlib.Path(folder) / "extremes.json"
    run(build / "tests" / "latchwright_compare_cvode", "--extremes", file, good=DISAGREE)
    return extremes_section(json.loads(file.read_text(encoding="utf-8")))


def scipy_section(lines):
    kinds = collections.OrderedDict()
    for line in lines:
        kinds.setdefault(line["figure"], []).append(line)
    rows = []
    for figure, some in kinds.items():
        worst = max(some, key=lambda line: line["share"])
        rows.append((figure, str(len(some)), worst["case"], printed(worst["tool"], 7), printed(worst["expected"], 7),
                     f"{worst['share']:.2g}"))
    cases = {line["case"].split(",")[0] for line in lines}
    return [f"{len(lines)} figures of the {len(cases)} jobs of tests/reference/cases, which an independent implementation "
            "solved with SciPy (Radau, relative tolerance 1e-10).", "",
            *table(("figure", "count", "largest in", "program", "SciPy", "of the limit"), rows)]


def spice_section(build, folder):
    """Of the comparison's own table: figure, count, ngspice, program, of limit, differs, where."""
    file = pathlib.Path(folder) / "spice.json"
    out = run(sys.executable, SPICE_TEST, build / "latchwright", "--json", file, good=DISAGREE).splitlines()
    count = len(json.loads(file.read_text(encoding="utf-8")))
    row = re.compile(r"(.{40}) *(\d+) +(\S+) +(\S+) +([\d.]+) +(\S+)  (.*)")
    rows = [(m[1].strip(), m[2], m[7], m[4], m[3], printed(float(m[5]), 2)) for m in map(row.fullmatch, out) if m]
    if not rows or sum(int(r[1]) for r in rows) != count:
        sys.exit("the table of spice_test.py does not hold all its figures")
    why = ast.get_docstring(ast.parse(SPICE_TEST.read_text(encoding="utf-8"))).split("What remains between the two:")[1]
    return [f"{out[-1]}. Each job is solved as a circuit by ngspice, with its own elements, steps and solver.", "",
            *table(("figure", "count", "largest in", "program", "ngspice", "of the limit"), rows), "",
            "What remains between the two:", "", *why.strip().splitlines()]


def compiler(build):
    cache = (build / "CMakeCache.txt").read_text(encoding="utf-8")
    path = re.search(r"^CMAKE_CXX_COMPILER:\w+=(.*)$", cache, re.M)[1]
    return f"{'Clang' if 'clang' in path else 'GCC'} {run(path, '-dumpfullversion', '-dumpversion').strip()}"


def milliseconds(seconds):
    return printed(1e3 * seconds, 3) + " ms"


def speed_section(build, folder):
    file = pathlib.Path(folder) / "speed.json"
    run(build / "tests" / "latchwright_speed", "--json", file)
    answer = json.loads(file.read_text(encoding="utf-8"))
    rows, jobs = [], answer["jobs"]
    for row in answer["rows"]:
        ours = max(row["engine_figures_error"], row["engine_energy_error"])
        theirs = max(row["cvode"]["figures_error"], row["cvode"]["energy_error"])
        rows.append((row["title"] + (" (stated only)" if row["stated_only"] else ""), milliseconds(row["engine_s"]),
                     milliseconds(row["cvode"]["seconds"]), f"{row['cvode']['ratio']:.1f}",
                     f"{row['cvode_structured']['ratio']:.1f}", f"{row['cvode_energy_not_judged']['ratio']:.1f}",
                     printed(ours, 2), printed(theirs, 2)))
    whole = [("all checks of docs/examples/five-door-estate.json, 1 worker", milliseconds(jobs["check_workers_1_s"])),
             ("the same, 2 workers (identical result)", milliseconds(jobs["check_workers_2_s"])),
             ("pulses a second, its five doors", printed(jobs["pulses_per_s"], 3))]
    whole += [(f"one cycle of one door, among {doors['doors']} equal", milliseconds(doors["door_cycle_s"]))
              for doors in jobs["equal_doors"]]
    return [f"As last measured, on {os.cpu_count()} cores with {compiler(build)}; computing times, medians of alternating runs. CVODE works "
            "with the exact Jacobian and its dense linear solver, at the setting at which it is fastest and every row of "
            "docs/model.md section 9 holds. Beside it: with a linear solver that knows how doors hang together, and at "
            "the fastest setting when the energy row is not judged. Errors: of the limits, against CVODE at 1e-12.", "",
            *table(("study", "engine", "CVODE", "times", "structured", "energy not judged", "engine's error",
                    "CVODE's error"), rows), "", *table(("whole jobs, engine", "measured"), whole)]


def sections_of(text):
    """Title and lines of each section of a document."""
    found = {}
    for part in text.split("\n## ")[1:]:
        title, _, body = part.partition("\n")
        found[title] = body.strip().splitlines()
    return found


def make(build, old, deep, measure):
    with tempfile.TemporaryDirectory() as folder:
        published, cases = test_figures(build)
        sections = {PUBLISHED: published_section(published), CVODE: cvode(build, folder)}
        if deep:
            sections[DEEP] = cvode_section(json.loads(pathlib.Path(deep).read_text(encoding="utf-8")), 2)
        elif DEEP in old:
            sections[DEEP] = old[DEEP]
        sections[EXTREMES] = extremes(build, folder)
        sections[SCIPY] = scipy_section(cases)
        sections[SPICE] = spice_section(build, folder)
        if measure:
            sections[SPEED] = speed_section(build, folder)
        elif SPEED in old:
            sections[SPEED] = old[SPEED]
        return sections


def text_of(sections):
    return INTRODUCTION + "".join(f"\n## {title}\n\n" + "\n".join(body) + "\n" for title, body in sections.items())


def cells(line):
    return [cell.strip() for cell in line.strip("|").split(" | ")]


def shares(body):
    """{figure: share of the limit} of a comparison's table."""
    rows = [cells(line) for line in body if line.startswith("| ") and not line.startswith("| ---")]
    return {row[0]: float(row[-1]) for row in rows[1:]}


def speed_rows(body):
    return [cells(line)[0] for line in body if line.startswith("| ")]


SPEED_ROWS = ("study", "200 cycles of one door, 20 s gaps", "200 cycles of five doors, 20 s gaps", "600 s of stall, one door",
              "24 h of rest after a minute of stall (stated only)", "whole jobs, engine",
              "all checks of docs/examples/five-door-estate.json, 1 worker", "the same, 2 workers (identical result)",
              "pulses a second, its five doors", *(f"one cycle of one door, among {n} equal" for n in (1, 2, 3, 5, 8, 12)))


def staleness(old, new):
    """What the document no longer says rightly."""
    faults = [f"{title}: no such section" for title in (PUBLISHED, *COMPARISONS, SPEED) if title not in old]
    if faults:
        return faults
    faults += [f"{PUBLISHED}: no longer so: {line}" for line in old[PUBLISHED] if line not in new[PUBLISHED]]
    faults += [f"{PUBLISHED}: not in the document: {line}" for line in new[PUBLISHED] if line not in old[PUBLISHED]]
    for title in COMPARISONS:
        if old[title][0] != new[title][0]:
            faults.append(f"{title}: counts: {old[title][0]}\n  now: {new[title][0]}")
        before, now = shares(old[title]), shares(new[title])
        faults += [f"{title}: {name}: in one of document and test only" for name in sorted(before.keys() ^ now.keys())]
        faults += [f"{title}: {name}: {share} of the limit" for name, share in {**before, **now}.items() if not share <= 1]
        faults += [f"{title}: {name}: {before[name]} of the limit in the document, {now[name]} now"
                   for name in before.keys() & now.keys() if abs(before[name] - now[name]) > SHARE_MAY_MOVE]
    there = speed_rows(old[SPEED])
    return faults + [f"{SPEED}: no row: {row}" for row in SPEED_ROWS if row not in there]


def self_test():
    comparison = ["2 figures", "", *table(("figure", "of the limit"), [("trip", "0.3"), ("throw", "0.1")])]
    good = {PUBLISHED: ["1 check", "", *table(("quantity", "program"), [("k", "115")])],
            **{title: comparison for title in COMPARISONS}, SPEED: table(("study",), [(row,) for row in SPEED_ROWS])}
    good = sections_of(text_of(good))
    spoil = {"a value": lambda d: d[PUBLISHED].__setitem__(-1, "| k | 114 |"),
             "a published row": lambda d: d[PUBLISHED].pop(), "a count": lambda d: d[CVODE].__setitem__(0, "3 figures"),
             "a figure": lambda d: d[SCIPY].pop(), "a share": lambda d: d[SPICE].__setitem__(-2, "| trip | 0.55 |"),
             "too much": lambda d: d[DEEP].__setitem__(-1, "| throw | 1.1 |"), "a time": lambda d: d[SPEED].pop(),
             "a section": lambda d: d.pop(SPEED)}
    missed = [] if not staleness(good, good) else ["a fresh document is called stale"]
    for name, change in spoil.items():
        bad = {title: list(body) for title, body in good.items()}
        change(bad)
        if not staleness(bad, good):
            missed.append(f"not seen: {name}")
    print("\n".join([*missed, f"{len(spoil)} changes, {len(missed)} faults"]))
    return 1 if missed else 0


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("build", nargs="?", type=pathlib.Path)
    parser.add_argument("--deep", metavar="FILE")
    for option in ("--write", "--check", "--self-test"):
        parser.add_argument(option, action="store_true")
    options = parser.parse_args()
    if options.self_test:
        return self_test()
    if not options.build:
        parser.error("no BUILD_FOLDER")
    old = sections_of(DOCUMENT.read_text(encoding="utf-8")) if DOCUMENT.exists() else {}
    new = make(options.build.resolve(), old, options.deep, options.write)
    if options.check:
        faults = staleness(old, new)
        print("\n".join([*faults, f"{len(faults)} faults; tests/tools/validation.py BUILD_FOLDER --write" if faults
                         else "docs/validation.md is up to date"]))
        return 1 if faults else 0
    if options.write:
        DOCUMENT.write_text(text_of(new), encoding="utf-8")
    else:
        print(text_of(new), end="")
    return 0


if __name__ == "__main__":
    sys.exit(main())
