#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program against ngspice, which solves each job as a circuit with its own elements, steps and solver.

    spice_test.py PROGRAM [--json FILE]   compares; FILE gets every figure of the comparison
    spice_test.py PROGRAM --self-test     changes the netlist's data one by one: each change must be seen

Compared per door: a stall of 600 s (currents, trip, temperatures) and the first lock throw (arrival, current, speed
and rod on the way, currents and temperatures at the pulse's end). The limits are the accuracies that docs/model.md
section 9 promises, and closer for temperatures that hardly rise.

What remains between the two:
- ngspice: up to 0.05 % of a current or speed, 0.01 % of a time, 3 mK, seen by taking its steps a fifth as long and its
  tolerance a hundredth. It is the error of Gear's method at the largest step (THROW_STEP_S, a 4000th of the stall's
  beginning, STALL_STEP_S after that), most where a current falls steeply beside a trip and in a motor that swings; the
  straight line between two time points, where a trip, an arrival or a value at the program's moments is read; and
  ramps in place of corners (constants of netlist.py). The thermistor's curve adds nothing: both have it as cubics.
- program: the error of its steps, of its interpolation within a step and of its search for peaks; nine printed digits.
"""
import argparse
import collections
import concurrent.futures
import copy
import csv
import dataclasses
import json
import math
import os
import pathlib
import subprocess
import sys
import tempfile

sys.dont_write_bytecode = True
from cases import all_cases, changes  # noqa: E402
from netlist import Study, build  # noqa: E402
from simulation import SpiceFault, find_ngspice, simulate  # noqa: E402

RELATIVE = 2e-3  # currents, trip and throw times: docs/model.md section 9
KELVIN = 0.1  # temperatures: docs/model.md section 9
RISE = 2e-3  # of a temperature's rise over ambient, where that is less than KELVIN
FLOORS = {"A": 1e-3, "°C": 0.001, "rad/s": 0.1, "mm": 0.001, "s": 0}  # what no figure is held closer to

STALL_S = 600.0
STALL_STEP_S = 0.25
BEGINNING_STEPS = 4000
THROW_STEP_S = 1e-4
STALL_MOMENTS = (0.1, 0.25, 0.5, 0.75, 0.9, 1.1, 1.5, 2.5)  # of the trip time
THROW_MOMENTS = (0.1, 0.25, 0.5, 0.75, 0.95)  # of the arrival time


@dataclasses.dataclass
class Figure:
    case: str
    name: str
    kind: str
    unit: str
    spice: float | None  # None: it does not happen
    tool: float | None
    whole: float  # what 100 % of difference is
    limit: float

    @property
    def known(self):
        return self.spice is not None and self.tool is not None

    @property
    def share(self):
        """Of the limit; above 1 they disagree."""
        if not self.known:
            return 0.0 if self.spice is self.tool else math.inf
        return abs(self.spice - self.tool) / self.limit

    @property
    def percent(self):
        """Of the value, for temperatures of the rise; None where that is nothing or does not exist."""
        exists = self.known and abs(self.whole) > FLOORS[self.unit]
        return 100 * (self.spice - self.tool) / self.whole if exists else None

    def record(self):
        return {"case": self.case, "figure": self.name, "unit": self.unit, "spice": self.spice, "tool": self.tool,
                "difference_percent": self.percent}


class ProgramFault(Exception):
    """The program did not answer."""


class Answers:
    """The program's figures for a case: results of its verbs, and its traces as {door: [sample]}."""

    def __init__(self, program, case, folder):
        self.program, self.case, self.folder = program, case, pathlib.Path(folder)
        self.job = self.folder / "job.json"
        self.job.write_text(json.dumps(case.job), encoding="utf-8")
        self.stall, _ = self.run("stall", "--limit", repr(STALL_S))
        trips = [door["trip_time_s"] for door in self.stall["doors"] if door["trip_time_s"] is not None]
        self.beginning_s = min(1.02 * STALL_MOMENTS[-1] * max(trips, default=60.0), STALL_S)
        _, self.stall_samples = self.run("stall", "--limit", repr(self.beginning_s))
        self.cycle, samples = self.run("cycle", "--cycles", "1")
        self.pulse_s = float(case.job["pulse"]["on_s"])
        self.throw_samples = {}
        for door, rows in samples.items():
            last = next(n for n, row in enumerate(rows) if row["time_s"] > self.pulse_s * (1 - 1e-9))
            self.throw_samples[door] = rows[: last + 1]

    def run(self, verb, *options):
        table = self.folder / f"{verb}.csv"
        words = [self.program, verb, str(self.job), "--voltage", repr(self.case.voltage), "--ambient",
                 repr(self.case.ambient_C), *options, "--json", "--csv", str(table), "--force"]
        words += ["--after-trip"] if self.case.after_trip else []
        done = subprocess.run(words, capture_output=True, text=True, check=False)
        if done.returncode != 0 or done.stderr:
            raise ProgramFault(f"{verb}: exit code {done.returncode}: {done.stderr.strip()}")
        samples = collections.defaultdict(list)
        with open(table, encoding="utf-8") as file:
            for row in csv.DictReader(file):
                samples[row.pop("door")].append({key: float(value) for key, value in row.items()})
        return json.loads(done.stdout), samples


class Comparison:
    def __init__(self, case, answers, study, folder):
        self.case, self.answers, self.study, self.folder = case, answers, study, folder
        self.figures = []

    def add(self, kind, name, unit, spice, tool, whole=None):
        """whole: what the limit is a share of; default: the value, for a temperature its rise."""
        if unit == "°C":
            whole = tool - self.case.ambient_C
            limit = min(KELVIN, max(RISE * abs(whole), FLOORS[unit]))
        else:
            whole = abs(tool or 0) if whole is None else whole
            limit = max(RELATIVE * whole, FLOORS[unit])
        self.figures.append(Figure(self.case.name, name, kind, unit, spice, tool, whole, limit))

    def trip_time(self, trace, k):
        """docs/model.md section 5: half the initial current, and the thermistor did it."""
        current, log_ratio, winding = (trace.columns[name, k] for name in ("current", "log_ratio", "winding"))
        first_winding = self.study.winding_ohm(k, winding[0])

        def past(n):
            ptc = self.study.ptc_25_ohm(k) * (math.exp(log_ratio[n]) - math.exp(log_ratio[0]))
            return min(0.5 - current[n] / current[0],
                       (ptc - self.study.winding_ohm(k, winding[n]) + first_winding) / first_winding)

        return trace.first(past) if current[0] > FLOORS["A"] else None

    def hottest(self, trace, k, t):
        return self.study.hottest_coil(k, trace.at(t, "winding", k), trace.at(t, "core", k))

    def stall(self):
        net = build(self.study, moving=False)
        end = self.answers.beginning_s
        beginning = simulate(net, end, end / BEGINNING_STEPS, self.folder)
        whole = simulate(net, STALL_S, STALL_STEP_S, self.folder)
        for k, door in enumerate(self.answers.stall["doors"]):
            name = door["door"]
            self.add("stall: current at once", f"{name}: stall current at once", "A",
                     beginning.columns["current", k][0], door["initial_current_A"])
            self.add("stall: trip time", f"{name}: trip time", "s", self.trip_time(beginning, k), door["trip_time_s"])
            self.add("stall: current after 600 s", f"{name}: stall current after 600 s", "A",
                     whole.columns["current", k][-1], door["final_current_A"])
            hot = [self.study.hottest_coil(k, *pair) for trace in (beginning, whole)
                   for pair in zip(trace.columns["winding", k], trace.columns["core", k])]
            self.add("stall: peak winding", f"{name}: peak winding", "°C", max(hot), door["peak_winding_C"])
            kind = "stall: temperatures after 600 s"
            self.add(kind, f"{name}: winding after 600 s", "°C", self.hottest(whole, k, STALL_S),
                     door["final"]["winding_C"])
            for node in ("case", "ptc", "housing"):
                self.add(kind, f"{name}: {node} after 600 s", "°C", whole.columns[node, k][-1],
                         door["final"][f"{node}_C"])
            span = door["trip_time_s"] or end / STALL_MOMENTS[-1]
            for sample in nearest(self.answers.stall_samples[name], span, STALL_MOMENTS):
                t = sample["time_s"]
                self.add("stall: current on the way", f"{name}: stall current at {t:.4g} s", "A",
                         beginning.at(t, "current", k), sample["current_A"])
                self.add("stall: winding on the way", f"{name}: winding at {t:.4g} s", "°C",
                         self.hottest(beginning, k, t), sample["winding_C"])
                self.add("stall: thermistor on the way", f"{name}: ptc at {t:.4g} s", "°C",
                         beginning.at(t, "ptc", k), sample["ptc_C"])

    def throw(self):
        end = self.answers.pulse_s
        trace = simulate(build(self.study, moving=True), end, THROW_STEP_S, self.folder)
        for k, door in enumerate(self.answers.cycle["doors"]):
            name, samples = door["door"], self.answers.throw_samples[door["door"]]
            stroke = self.case.job["doors"][k]["stroke_mm"]
            rod = trace.columns["rod", k]
            arrival = trace.first(lambda n, rod=rod, stroke=stroke: rod[n] - stroke * 1e-3)
            self.add("throw: arrival", f"{name}: first throw", "s", arrival, door["first_throw_s"])
            top_speed = max(sample["speed_rad_per_s"] for sample in samples)
            for sample in nearest(samples, door["first_throw_s"] or end, THROW_MOMENTS):
                t = sample["time_s"]
                self.add("throw: current on the way", f"{name}: throw current at {t:.4g} s", "A",
                         trace.at(t, "current", k), sample["current_A"])
                self.add("throw: speed on the way", f"{name}: speed at {t:.4g} s", "rad/s",
                         max(0.0, trace.at(t, "speed", k)), sample["speed_rad_per_s"], top_speed)
                self.add("throw: rod on the way", f"{name}: rod at {t:.4g} s", "mm",
                         max(0.0, 1e3 * trace.at(t, "rod", k)), sample["rod_mm"], stroke)
            last = samples[-1]
            self.add("throw: current at the pulse's end", f"{name}: current at the pulse's end", "A",
                     trace.at(end, "current", k), last["current_A"])
            kind = "throw: temperatures at the pulse's end"
            self.add(kind, f"{name}: winding after the pulse", "°C", self.hottest(trace, k, end), last["winding_C"])
            for node in ("case", "ptc", "housing"):
                self.add(kind, f"{name}: {node} after the pulse", "°C", trace.at(end, node, k), last[f"{node}_C"])


def nearest(samples, span, moments):
    """The samples nearest to shares of a span, each once; not the one at 0, where nothing has happened yet."""
    found = {}
    for moment in moments:
        sample = min(samples[1:], key=lambda s: abs(s["time_s"] - moment * span))
        found[sample["time_s"]] = sample
    return found.values()


def study_of(case):
    return Study(case.job, case.voltage, case.ambient_C, case.after_trip)


def compare(program, case):
    """Figures, and what kept from more of them."""
    with tempfile.TemporaryDirectory() as folder:
        figures = []
        try:
            comparison = Comparison(case, Answers(program, case, folder), study_of(case), folder)
            figures = comparison.figures
            comparison.stall()
            comparison.throw()
        except (ProgramFault, SpiceFault) as fault:
            return figures, f"{case.name}: {fault}"
        return figures, None


def print_table(figures):
    kinds = collections.defaultdict(list)
    for figure in figures:
        kinds[figure.kind].append(figure)
    print(f"{'figure':40}{'count':>6}{'ngspice':>12}{'program':>12}{'of limit':>9}{'differs':>10}  largest: where")
    for kind, some in kinds.items():
        worst = max(some, key=lambda figure: figure.share)
        values = [f"{v:12.6g}" if v is not None else f"{'none':>12}" for v in (worst.spice, worst.tool)]
        percent = f"{worst.percent:9.4f}%" if worst.percent is not None else f"{'-':>10}"
        print(f"{kind:40}{len(some):6}{''.join(values)}{worst.share:9.3f}{percent}  {worst.case}: {worst.name}")


def run_comparison(program, target):
    cases = all_cases()
    with concurrent.futures.ThreadPoolExecutor(2) as pool:
        results = list(pool.map(lambda case: compare(program, case), cases))
    figures = [figure for some, _ in results for figure in some]
    if target:
        pathlib.Path(target).write_text(json.dumps([f.record() for f in figures], indent=1) + "\n", encoding="utf-8")
    print_table(figures)
    wrong = [fault for _, fault in results if fault]
    wrong += [f"{f.case}: {f.name}: ngspice {f.spice}, program {f.tool} {f.unit}, limit {f.limit:.3g}"
              for f in figures if f.share > 1]
    print("\n".join([*wrong, f"{len(figures)} figures of {len(cases)} cases, {len(wrong)} faults"]))
    return 1 if wrong or not figures else 0


def is_seen(case, answers, change):
    """Whether a netlist from changed data disagrees with the program's answers to the unchanged job."""
    changed = copy.deepcopy(case)
    change(changed)
    with tempfile.TemporaryDirectory() as folder:
        comparison = Comparison(case, answers, study_of(changed), folder)
        for study in (comparison.throw, comparison.stall):
            study()
            if any(figure.share > 1 for figure in comparison.figures):
                return True
    return False


def faults_not_seen(case):
    """Faults that ngspice ends with exit code 0 after, or without which it cannot run: none may pass here."""
    path = os.environ["PATH"]
    for name, spoil in {
        "a vector that does not exist": lambda net: net.vectors.update({("lost", 0): "v(nowhere)"}),
        "an element without a value": lambda net: net.add("Rlost pole 0"),
        "a source without a reference": lambda net: net.add("Blost lost 0 V=1/v(nowhere)"),
        "no ngspice": lambda net: os.environ.update(PATH=""),
    }.items():
        net = build(study_of(case), moving=True)
        spoil(net)
        try:
            with tempfile.TemporaryDirectory() as folder:
                simulate(net, 0.1, THROW_STEP_S, folder)
            yield name
        except SpiceFault:
            pass
        finally:
            os.environ["PATH"] = path


def run_self_test(program):
    missed, count = [], 0
    with tempfile.TemporaryDirectory() as folder, concurrent.futures.ThreadPoolExecutor(2) as pool:
        for number, (case, named) in enumerate(changes()):
            own = pathlib.Path(folder) / str(number)
            own.mkdir()
            answers = Answers(program, case, own)
            if is_seen(case, answers, lambda unchanged: None):
                missed.append(f"{case.name}: disagrees without a change")
            seen = pool.map(lambda change, case=case, answers=answers: is_seen(case, answers, change), named.values())
            missed += [f"{case.name}: not seen: {name}" for name, found in zip(named, seen) if not found]
            missed += [f"fault not seen: {name}" for name in faults_not_seen(case)]
            count += len(named)
    print("\n".join(missed + [f"{count} changes, {len(missed)} faults of the comparison"]))
    return 1 if missed or count == 0 else 0


def main():
    parser = argparse.ArgumentParser()
    parser.add_argument("program")
    parser.add_argument("--json", metavar="FILE")
    parser.add_argument("--self-test", action="store_true")
    options = parser.parse_args()
    try:
        find_ngspice()
        return run_self_test(options.program) if options.self_test else run_comparison(options.program, options.json)
    except (ProgramFault, SpiceFault) as fault:
        sys.exit(str(fault))


if __name__ == "__main__":
    sys.exit(main())
