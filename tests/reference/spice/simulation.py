# SPDX-License-Identifier: GPL-3.0-or-later
"""Runs ngspice on a netlist and reads back what it computed."""
import bisect
import math
import os
import pathlib
import re
import shutil
import subprocess

# ngspice ends with exit code 0 also after these.
FAULT = re.compile(r"error|warning|no such|fatal|singular|too small|aborted|undefined|unknown|fail", re.IGNORECASE)


class SpiceFault(Exception):
    """ngspice is missing, or did not do what it was asked to."""


def find_ngspice():
    program = shutil.which("ngspice")
    if program is None:
        raise SpiceFault("ngspice is not installed (packaging/debian-packages.txt names it); nothing was compared")
    return program


class Trace:
    """Columns over the simulator's own time points, by (name, door)."""

    def __init__(self, times, columns):
        self.times = times
        self.columns = columns

    def at(self, time_s, name, k):
        column = self.columns[name, k]
        right = min(max(bisect.bisect_left(self.times, time_s), 1), len(self.times) - 1)
        t0, t1 = self.times[right - 1], self.times[right]
        share = min(max((time_s - t0) / (t1 - t0), 0), 1)
        return column[right - 1] + share * (column[right] - column[right - 1])

    def first(self, past):
        """The first moment at which past(index) > 0, by a straight line between two time points, or None."""
        before = past(0)
        for index in range(1, len(self.times)):
            now = past(index)
            if now > 0:
                t0, t1 = self.times[index - 1], self.times[index]
                return t0 + (t1 - t0) * before / (before - now) if before < 0 else t0
            before = now
        return None


def read_rows(path, vectors):
    lines = path.read_text(encoding="ascii").splitlines()
    names = lines[0].split() if lines else []
    missing = [vector for vector in ("time", *vectors.values()) if vector not in names]
    if missing or len(lines) < 100:
        raise SpiceFault(f"ngspice wrote {len(lines)} lines without {' '.join(missing) or 'end'}")
    rows = [[float(word) for word in line.split()] for line in lines[1:]]
    if any(len(row) != len(names) or not all(map(math.isfinite, row)) for row in rows):
        raise SpiceFault("ngspice wrote rows of unequal length or without numbers")
    by_name = dict(zip(names, zip(*rows)))
    return Trace(by_name["time"], {key: by_name[vector] for key, vector in vectors.items()})


def simulate(net, stop_s, largest_step_s, folder):
    """A trace from 0 to stop_s. Raises SpiceFault: the exit code alone tells nothing."""
    folder = pathlib.Path(folder)
    deck, log, out = folder / "deck.cir", folder / "log.txt", folder / "out.txt"
    for old in (log, out):
        old.unlink(missing_ok=True)
    deck.write_text(net.text(largest_step_s / 10, stop_s, largest_step_s, out.name), encoding="ascii")
    try:
        done = subprocess.run([find_ngspice(), "-n", "-b", "-o", log.name, deck.name], capture_output=True, text=True,
                              check=False, timeout=120, cwd=folder, env=dict(os.environ, LC_ALL="C"))
    except subprocess.TimeoutExpired as late:
        raise SpiceFault(f"ngspice did not end within {late.timeout:.0f} s") from late
    said = (log.read_text(errors="replace") if log.exists() else "") + done.stderr
    faults = [line for line in said.splitlines() if FAULT.search(line)]
    if done.returncode != 0 or faults or not out.exists():
        raise SpiceFault(f"ngspice: exit code {done.returncode}, file {'written' if out.exists() else 'not written'}: "
                         + "; ".join(faults[:5] or said.splitlines()[-5:]))
    trace = read_rows(out, net.vectors)
    if abs(trace.times[-1] - stop_s) > 1e-6 * stop_s:
        raise SpiceFault(f"ngspice stopped at {trace.times[-1]:g} s of {stop_s:g} s")
    return trace
