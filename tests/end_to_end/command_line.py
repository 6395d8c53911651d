#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The program as a user meets it: exit codes, faults on standard error, results on standard output, files.

    command_line.py PROGRAM
"""
import csv
import json
import math
import os
import pathlib
import signal
import subprocess
import sys
import tempfile
import time
import unittest

PROGRAM = sys.argv.pop(1)
ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "docs/examples/five-door-estate.json")
GOOD = str(ROOT / "docs/examples/four-door-saloon.json")


def open_job(folder, **changes):
    """A small job that leaves wires, fuses and relay open: quick to choose for, under the sanitizers too."""
    door = {"actuator": "act-ordinary-2w", "wire": None, "fuse": None, "stroke_mm": 18,
            "rod_force": {"shape": "steady", "peak_N": 20}}
    job = {"latchwright_job": 1, "title": "small",
           "feed": {"length_m": 2, "wire": None, "fuse": None, "relay": None},
           "doors": [dict(door, name="left", branch_length_m=2), dict(door, name="hatch", branch_length_m=4)],
           "pulse": {"on_s": 0.4}, "use": {"cycles": 1, "hot_cycles": 1}}
    job["doors"][1].update(changes)
    path = os.path.join(folder, "open.json")
    pathlib.Path(path).write_text(json.dumps(job))
    return path


def run(*words, env=None):
    environment = dict(os.environ, **(env or {}))
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True, check=False, env=environment)


def draws_pictures():
    """A program built without Qt refuses --plot before it looks at anything else."""
    return "without Qt" not in run("curves", "no-such-job.json", "--plot", "x.png").stderr


class Usage(unittest.TestCase):
    def test_help_of_every_verb_has_an_example(self):
        for verb in ("new", "check", "size", "stall", "cycle", "curves", "map", "spread", "join", "parts", "triage",
                     "bench", "fit", "sheet"):
            shown = run(verb, "--help")
            self.assertEqual(shown.returncode, 0)
            self.assertIn(f"Example: latchwright {verb}", shown.stdout)
            self.assertIn("Battery off", shown.stdout)
            self.assertEqual(shown.stderr, "")
        self.assertEqual(run("--help").returncode, 0)
        self.assertRegex(run("--version").stdout, r"^latchwright \d+\.\d+\.\d+\n$")

    def test_bad_usage_is_one_line_and_a_hint(self):
        cases = {
            (): 'latchwright: a verb is missing (one of new, check, size, stall, cycle, curves, map, parts, '
                'spread, join, triage, bench, fit, sheet)',
            ("chek", DEMO): 'latchwright: "chek" is no verb; did you mean "check"?',
            ("check",): "latchwright check: JOB is required",
            ("cycle", DEMO, "--gap", "5000"): "latchwright cycle: --gap: 5000 is outside the permitted range (0 to 3600 s)",
            ("cycle", DEMO, "--gap", "nan"): 'latchwright cycle: --gap: "nan" is not a number (0 to 3600 s)',
            ("cycle", DEMO, "--cycles", "2.5"): "latchwright cycle: --cycles: 2.5 must be a whole number (1 to 1000 cycles)",
            ("cycle", DEMO, "--on", "0"): "latchwright cycle: --on: 0 is outside the permitted range (0.02 to 10 s)",
            ("stall", DEMO, "--voltage", "40"): "latchwright stall: --voltage: 40 is outside the permitted range (4 to 36 V)",
            ("stall", DEMO, "--ambient", "hot"): 'latchwright stall: --ambient: "hot" is not a number (-60 to 120 °C)',
            ("stall", DEMO, "--ambiend", "3"): "latchwright stall: no option --ambiend here; did you mean --ambient?",
            ("check", DEMO, "--ambient", "3"): "latchwright check: --ambient: check looks at every condition of the job; "
                                               "stall and cycle look at one",
            ("check", DEMO, GOOD): None,
            ("curves",): "latchwright curves: JOB is required",
            ("curves", DEMO, "--voltage", "3"): "latchwright curves: --voltage: 3 is outside the permitted range (4 to 36 V)",
            ("curves", DEMO, "--ambent", "3"): "latchwright curves: no option --ambent here; did you mean --ambient?",
            ("curves", DEMO, "--limit", "3"): None,
            ("map",): "latchwright map: JOB is required",
            ("map", DEMO, "--ambient", "3"): "latchwright map: --ambient: map spans ambients, --from-ambient to --to-ambient; "
                                             "stall and cycle look at one",
            ("map", DEMO, "--over", "gaps"): 'latchwright map: --over: "gaps" is not one of gap, on; did you mean "gap"?',
            ("map", DEMO, "--cycles", "0"): "latchwright map: --cycles: 0 is outside the permitted range (1 to 1000 cycles)",
            ("new",): "latchwright new: --doors and --body are required",
            ("new", "--doors", "4"): "latchwright new: --body is required",
            ("new", "--doors", "2.5", "--body", "van"): "latchwright new: --doors: 2.5 must be a whole number (1 to 12 doors)",
            ("new", "--doors", "four", "--body", "van"): 'latchwright new: --doors: "four" is not a number (1 to 12 doors)',
            ("new", "--doors", "4", "--body", "estat"):
                'latchwright new: --body: "estat" is not one of hatch, saloon, estate, van; did you mean "estate"?',
            ("parts", "--kind", "wires"): 'latchwright parts: --kind: "wires" is not one of actuator, ptc_curve, wire, fuse, '
                                          'fuse_family, relay; did you mean "wire"?',
            ("bench",): "latchwright bench: PART_ID is required",
            ("bench", "act-ordinary-2w", "--supply", "0"): "latchwright bench: --supply: 0 is outside the permitted range "
                                                           "(4 to 36 V)",
            ("bench", "act-ordinary-2w", "--ambiend", "3"): "latchwright bench: no option --ambiend here; did you mean "
                                                            "--ambient?",
            ("spread",): "latchwright spread: JOB is required",
            ("spread", DEMO, "--samples", "9"): "latchwright spread: --samples: 9 is outside the permitted range "
                                                "(10 to 1000000 samples)",
            ("spread", DEMO, "--seed", "-1"): None,
            ("spread", DEMO, "--slice", "5/4"): 'latchwright spread: --slice: "5/4" is no slice (K/N: slice K of N, such as '
                                                '1/4; N up to 1000)',
            ("spread", DEMO, "--slice", "1/4x"): None,
            ("join",): "latchwright join: RESULT is required",
            ("join", "a.json", "--ambient", "3"): "latchwright join: no option --ambient here",
            ("cycle", DEMO, "--door"): "latchwright cycle: --door: needs a value",
            ("cycle", DEMO, "--door", "--json"): 'latchwright cycle: --door: needs a value ("--json" is an option)',
            ("cycle", DEMO, "--csv=", "x.csv"): "latchwright cycle: --csv: needs a value",
            ("cycle", DEMO, "--gap", "1", "--gap", "2"): "latchwright cycle: --gap: is given more than once",
            ("cycle", DEMO, "--json=5"): "latchwright cycle: --json: takes no value",
            ("cycle", DEMO, "--ambient", "0x20"): 'latchwright cycle: --ambient: "0x20" is not a number (-60 to 120 °C)',
            ("cycle", DEMO, "--ambient", " 20"): 'latchwright cycle: --ambient: " 20" is not a number (-60 to 120 °C)',
            ("cycle", DEMO, "--ambient", "inf"): 'latchwright cycle: --ambient: "inf" is not a number (-60 to 120 °C)',
            ("cycle", DEMO, "--on", "0,7"): 'latchwright cycle: --on: "0,7" is not a number (0.02 to 10 s); decimals take a '
                                            'point, not a comma',
            ("stall", DEMO, "--limit", "nan"): 'latchwright stall: --limit: "nan" is not a number (0.1 to 36000 s)',
            ("check", DEMO, "--csv", ""): "latchwright check: --csv: needs the name of a file",
            ("check", DEMO, "--csv", "-"): "latchwright check: --csv: - is no file name here; --json prints",
            ("triage",): "latchwright triage: PART_ID is required",
            ("triage", "act-light-2w", "--leads", "inf"): 'latchwright triage: --leads: "inf" is not a number '
                                                          '(0 to 10000000 Ω); open for an open line',
            ("triage", "act-light-2w", "--moves", "none"): 'latchwright triage: --moves: "none" is not one of both, one, neither'
                                                           '; did you mean "one"?',
            ("triage", "act-light-2w", "--frees", "1"): 'latchwright triage: --frees: "1" is not one of yes, no',
            ("triage", "act-light-2w", "--used", "2.5"): "latchwright triage: --used: 2.5 must be a whole number "
                                                         "(0 to 1000 throws)",
            ("triage", "act-light-2w", "--supply", "40"): "latchwright triage: --supply: 40 is outside the permitted range "
                                                          "(0 to 36 V)",
            ("triage", "act-light-2w", "--idle", "0,5"): None,
            ("new", "--doors", "4", "--body", "van", "-o", "-"): "latchwright new: -o: - is no file name here; --json prints",
        }
        for words, line in cases.items():
            with self.subTest(words=words):
                shown = run(*words)
                self.assertEqual(shown.returncode, 2)
                self.assertEqual(shown.stdout, "")
                lines = shown.stderr.splitlines()
                self.assertEqual(len(lines), 2, shown.stderr)
                if line:
                    self.assertEqual(lines[0], line)

    def test_unknown_door_and_missing_files(self):
        shown = run("cycle", DEMO, "--door", "tailgat")
        self.assertEqual(shown.returncode, 2)
        self.assertIn('has no door "tailgat"; did you mean "tailgate"?', shown.stderr)
        for words in (("check", "no-such-job.json"), ("curves", "no-such-job.json"), ("check", DEMO, "--parts", "no-such-parts.json")):
            shown = run(*words)
            self.assertEqual(shown.returncode, 2)
            self.assertEqual(shown.stdout, "")
            self.assertEqual(shown.stderr.count("\n"), 1)
            self.assertIn(words[-1] + ": there is no such file", shown.stderr)

    def test_pictures(self):
        # Before anything is read, too.
        shown = run("curves", "no-such-job.json", "--plot", "x.jpg")
        self.assertEqual((shown.returncode, shown.stdout, shown.stderr.count("\n")), (2, "", 1))
        if "without Qt" in shown.stderr:
            self.assertIn("LATCHWRIGHT_QT=ON", shown.stderr)
            return
        self.assertIn("x.jpg: pictures go into files that end in .png, .svg or .pdf", shown.stderr)
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "curves.svg")
            shown = run("curves", DEMO, "--plot", path, "--csv", os.path.join(folder, ".", "curves.svg"))
            self.assertIn("--csv and --plot: both name", shown.stderr)
            # Without a display and without anything of the desktop's.
            shown = run("curves", DEMO, "--door", "tailgate", "--plot", path, "--quiet",
                        env={"DISPLAY": "", "XDG_RUNTIME_DIR": "", "QT_QPA_PLATFORM": "xcb"})
            self.assertEqual((shown.returncode, shown.stdout, shown.stderr), (0, "", ""))
            self.assertIn("</svg>", pathlib.Path(path).read_text(encoding="utf-8"))
            self.assertIn("exists already", run("curves", DEMO, "--plot", path).stderr)
            self.assertEqual(os.listdir(folder), ["curves.svg"])

    def test_numbers_in_plain_notation(self):
        for text in ("23", "+23", "23.0", "2.3e1"):
            shown = run("stall", DEMO, "--ambient", text, "--limit", "1", "--json")
            self.assertEqual((shown.returncode, json.loads(shown.stdout)["at"]["ambient_C"]), (0, 23))
        shown = run("stall", DEMO, "--ambient", "-20", "--limit", "1", "--json")
        self.assertEqual(json.loads(shown.stdout)["at"]["ambient_C"], -20)

    def test_exit_codes_stand_in_the_help(self):
        for verb in ("new", "check", "stall", "cycle", "parts"):
            self.assertIn("(check and size only)", run(verb, "--help").stdout)
            self.assertIn("130 interrupted", run(verb, "--help").stdout)


class Results(unittest.TestCase):
    def result(self, *words, codes=(0, 1)):
        shown = run(*words, "--json")
        self.assertIn(shown.returncode, codes)
        self.assertEqual(shown.stderr, "")
        data = json.loads(shown.stdout, parse_constant=lambda name: self.fail(name))
        self.assertEqual(data["latchwright_result"], 1)
        self.assertEqual(data["verb"], words[0])
        return data

    def test_check(self):
        data = self.result("check", DEMO)
        self.assertFalse(data["pass"])
        self.assertIsNone(data["at"])
        ids = [row["id"] for row in data["checks"]]
        self.assertEqual(len(set(ids)), 14)
        states = {row["state"] for row in data["checks"]}
        self.assertEqual(states, {"holds", "tight", "fails"})
        self.assertEqual(len({(r["id"], r["door"], r["part"]) for r in data["checks"]}), len(data["checks"]))
        for row in data["checks"]:
            if row["state"] == "fails":
                self.assertIsNotNone(row["change"], row)
                self.assertEqual(set(row["change"]), {"pointer", "now", "passes_at", "text"})
                first = row["cures"][0]
                self.assertEqual({key: first[key] for key in row["change"]}, row["change"])
                for cure in row["cures"]:
                    self.assertEqual(set(cure), set(row["change"]) | {"moves", "breaks"})
                    self.assertLessEqual(set(cure["breaks"]), {move["id"] for move in cure["moves"]})
                    for move in cure["moves"]:
                        self.assertEqual(set(move),
                                         {"id", "door", "part", "margin_now", "margin_then", "state_then"})
            else:
                self.assertEqual(row["cures"], [])
        lockout = next(row for row in data["checks"] if row["id"] == "lockout")
        self.assertEqual(len(lockout["band"]), 2)
        self.assertLessEqual(lockout["band"][0], lockout["have"])
        self.assertEqual(len(data["prove"]), 3)
        self.assertEqual(run("check", DEMO).returncode, 1)
        every = self.result("check", DEMO, "--all-corners")
        self.assertGreater(len(every["checks"]), 3 * len(data["checks"]))

    def test_good_job_passes(self):
        data = self.result("check", GOOD)
        self.assertTrue(data["pass"])
        self.assertEqual(run("check", GOOD).returncode, 0)

    def test_same_input_same_bytes(self):
        for words in (("check", DEMO), ("cycle", DEMO), ("stall", DEMO), ("curves", DEMO)):
            self.assertEqual(run(*words, "--json").stdout, run(*words, "--json").stdout)

    def test_door_option_points_into_the_file(self):
        data = self.result("check", DEMO, "--door", "tailgate")
        self.assertEqual({row["door"] for row in data["checks"]} - {None}, {"tailgate"})
        pointers = {row["change"]["pointer"] for row in data["checks"] if row["change"]}
        self.assertTrue(any(pointer.startswith("/doors/4/") for pointer in pointers), pointers)
        # Cures in a door stand in rows of parts too: the tailgate's own fuse relieves the main fuse.
        cures = {cure["pointer"] for row in data["checks"] for cure in row["cures"]} | pointers
        self.assertEqual({p.split("/")[2] for p in cures if p.startswith("/doors/")}, {"4"})
        main_fuse = next(r for r in data["checks"] if r["id"] == "fuse_clear" and r["part"] == "main fuse")
        self.assertEqual(main_fuse["change"]["pointer"], "/doors/4/fuse")
        # The text names the door, not a place in a list.
        shown = run("check", DEMO, "--door", "tailgate").stdout
        table = shown[shown.index("What would cure it"):shown.index("Each check where")]
        self.assertIn("actuator, tailgate", table)
        self.assertNotIn("/doors", table)

    def test_cycle_and_stall(self):
        data = self.result("cycle", DEMO, "--ambient", "80", codes=(0,))
        self.assertEqual(data["at"], {"ambient_C": 80, "voltage_V": 12.6})
        self.assertEqual(set(data["lockout"]), {"throw", "doors", "recovery_s", "cooled_s"})
        self.assertEqual(data["cycles_done"], (data["lockout"]["throw"] - 1) // 2)
        data = self.result("stall", DEMO, "--limit", "60", "--after-trip", codes=(0,))
        self.assertEqual(len(data["doors"]), 5)
        for door in data["doors"]:
            self.assertGreater(door["permitted_C"], door["peak_winding_C"])
            self.assertEqual(set(door["final"]), {"winding_C", "case_C", "ptc_C", "housing_C"})

    def test_size(self):
        with tempfile.TemporaryDirectory() as folder:
            job_file = open_job(folder)
            filled, figures = os.path.join(folder, "filled.json"), os.path.join(folder, "sets.csv")
            data = self.result("size", job_file, "-o", filled, "--csv", figures, codes=(0,))
            self.assertIsNone(data["at"])
            self.assertEqual(set(data) - {"latchwright_result", "verb", "at", "program", "settings"},
                             {"picks", "rejected", "nearest"})
            self.assertIsNone(data["nearest"])
            self.assertIn("/feed/wire", data["settings"]["open"])
            first = data["picks"][0]
            self.assertEqual(set(first), {"feed", "doors", "weakest", "checks", "price"})
            self.assertTrue(all(row["state"] != "fails" for row in first["checks"]))
            for entry in data["rejected"]:
                self.assertEqual(set(entry), {"part", "for", "because"})
                for reason in entry["because"]:
                    self.assertEqual(set(reason), {"id", "door", "at", "have", "need", "unit"})
            # The file written is the job with the first set, and check agrees with what size said of it.
            job = json.loads(pathlib.Path(filled).read_text())
            self.assertEqual(job["feed"]["fuse"], first["feed"]["fuse"])
            self.assertEqual([door["actuator"] for door in job["doors"]], [d["actuator"] for d in first["doors"]])
            checked = self.result("check", filled, codes=(0,))
            self.assertEqual([(r["id"], r["margin"]) for r in checked["checks"]],
                             [(r["id"], r["margin"]) for r in first["checks"]])
            with open(figures) as lines:
                self.assertEqual(lines.readline().strip(), "pick,id,door,part,margin,state,have,need,unit")
            # Refused before anything is written, the other output included.
            other = os.path.join(folder, "other.csv")
            again = run("size", job_file, "-o", filled, "--csv", other)
            self.assertEqual((again.returncode, os.path.exists(other)), (2, False))
            self.assertIn("exists already", again.stderr)
            twice = run("size", job_file, "-o", other, "--csv", os.path.join(folder, ".", "other.csv"))
            self.assertEqual((twice.returncode, os.path.exists(other)), (2, False))
            self.assertIn("both name", twice.stderr)

    def test_size_of_one_door_keeps_the_others(self):
        with tempfile.TemporaryDirectory() as folder:
            job_file = open_job(folder)
            filled = os.path.join(folder, "filled.json")
            self.result("size", job_file, "--door", "left", "-o", filled, codes=(0,))
            job = json.loads(pathlib.Path(filled).read_text())
            self.assertEqual([door["name"] for door in job["doors"]], ["left", "hatch"])
            self.assertIsNotNone(job["doors"][0]["wire"])
            self.assertIsNone(job["doors"][1].get("wire"))
            # The feed serves the other door too and stays open.
            self.assertIsNone(job["feed"].get("wire"))
            self.assertIn("/doors/1/wire", run("check", filled).stderr)

    def test_size_where_nothing_passes(self):
        with tempfile.TemporaryDirectory() as folder:
            path, filled = open_job(folder, stroke_mm=60, actuator=None), os.path.join(folder, "filled.json")
            data = self.result("size", path, "-o", filled, codes=(1,))
            self.assertEqual((data["picks"], os.path.exists(filled)), ([], False))
            self.assertEqual((data["nearest"]["sunk_by"]["id"], data["nearest"]["sunk_by"]["need"]), ("stroke", 61))
            shown = run("size", path)
            self.assertIn("sets judged passes every check.", shown.stdout)
            self.assertIn("Battery off before you open the wiring", shown.stdout)

    def test_size_where_a_shorter_pulse_would_do(self):
        with tempfile.TemporaryDirectory() as folder:
            path = open_job(folder)
            job = json.loads(pathlib.Path(path).read_text())
            job.update(climate={"hot_C": 80}, use={"cycles": 1, "hot_cycles": 12})
            pathlib.Path(path).write_text(json.dumps(job))
            data = self.result("size", path, codes=(1,))
            self.assertEqual((data["picks"], data["nearest"]["sunk_by"]["id"]), ([], "lockout"))
            change = data["nearest"]["job_change"]
            self.assertEqual((change["pointer"], change["now"]), ("/pulse/on_s", 0.4))
            self.assertLess(change["passes_at"], 0.4)
            self.assertIn(change["text"], run("size", path).stdout)

    def test_size_with_a_broken_part(self):
        with tempfile.TemporaryDirectory() as folder:
            job, path = open_job(folder), os.path.join(folder, "mine.json")
            relay = {"kind": "relay", "title": "Mine", "source": {"kind": "invented", "note": "for a test"}, "contact_mohm": 3}
            pathlib.Path(path).write_text(json.dumps({"latchwright_parts": 1, "parts": [
                dict(relay, id="relay-sound", rated_A=25), dict(relay, id="relay-broken", rated=25)]}))
            shown = run("size", job, "--parts", path, "--quiet")
            self.assertEqual(shown.returncode, 2)
            self.assertIn("/parts/1/rated: unknown key; did you mean \"rated_A\"?", shown.stderr)
            shown = run("size", job, "--parts", path, "--skip-broken", "--json")
            self.assertEqual(shown.returncode, 0)
            self.assertIn("/parts/1/rated: unknown key", shown.stderr)
            self.assertIn("left out", shown.stderr)
            self.assertIn("relay-sound", shown.stdout)
            self.assertNotIn("relay-broken", shown.stdout)

    def test_curves(self):
        data = self.result("curves", DEMO, codes=(0,))
        self.assertIsNone(data["at"])
        self.assertEqual(data["settings"], {"ambient_C": 23, "voltage_V": 12.6})
        self.assertEqual(set(data) - {"latchwright_result", "verb", "at", "program", "settings"},
                         {"series", "marks", "unguarded"})
        names = [line["name"] for line in data["series"]]
        self.assertEqual(len(set(names)), len(names))
        # Two fuses, two lines each; three wires and three actuators from two temperatures.
        self.assertEqual(len(names), 2 * 2 + 3 * 2 + 3 * 2)
        for line in data["series"]:
            self.assertEqual(set(line), {"name", "current_A", "time_s"})
            self.assertEqual(len(line["current_A"]), len(line["time_s"]))
            self.assertEqual(line["current_A"], sorted(line["current_A"]))
            self.assertEqual(line["time_s"], sorted(line["time_s"], reverse=True))
            self.assertGreaterEqual(line["time_s"][-1], 0.01)
            self.assertLessEqual(line["time_s"][0], 3600)
        for mark in data["marks"]:
            self.assertEqual(set(mark), {"name", "current_A"})
        self.assertEqual([set(gap) for gap in data["unguarded"]], [{"wire", "from_A", "to_A"}])
        # The same range as check tells for this wire.
        rows = self.result("check", DEMO)["checks"]
        why = next(row["why"] for row in rows if row["id"] == "fuse_guard" and row["door"] == "tailgate")
        gap = data["unguarded"][0]
        self.assertEqual(gap["wire"], "door run, tailgate")
        self.assertIn(f"unprotected from {gap['from_A']:.1f} to {gap['to_A']:.1f} A", why)

    def test_curves_at_another_condition_and_of_one_door(self):
        usual = self.result("curves", DEMO, "--door", "tailgate", codes=(0,))
        self.assertTrue(all("front" not in line["name"] for line in usual["series"]))
        other = self.result("curves", DEMO, "--door", "tailgate", "--ambient", "40", "--voltage", "14", codes=(0,))
        self.assertEqual(other["settings"], {"ambient_C": 40, "voltage_V": 14})
        self.assertTrue(any("trips at 40 °C" in line["name"] for line in other["series"]))
        name = "stall current, tailgate alone"
        stall = self.result("stall", DEMO, "--door", "tailgate", "--ambient", "40", "--voltage", "14", codes=(0,))
        mark = next(mark for mark in other["marks"] if mark["name"] == name)
        self.assertAlmostEqual(mark["current_A"], stall["doors"][0]["initial_current_A"], places=9)
        # Where usual and hot are one, so are their lines.
        hot = self.result("curves", DEMO, "--door", "tailgate", "--ambient", "80", codes=(0,))
        self.assertLess(len(hot["series"]), len(usual["series"]))

    def test_map(self):
        # One door, one cycle: quick under the sanitizers too.
        common = ("map", DEMO, "--door", "tailgate", "--cycles", "1", "--from-ambient", "90", "--to-ambient", "100")
        for over, axis, fixed in (("gap", "gap_s", "on_s"), ("on", "on_s", "gap_s")):
            data = self.result(*common, "--over", over, codes=(0,))
            self.assertIsNone(data["at"])
            self.assertEqual(data["axis"], axis)
            self.assertEqual(set(data) - {"latchwright_result", "verb", "at", "program", "settings"},
                             {"ambient_C", "axis", "values", "cycles_done", "boundary"})
            self.assertIn(fixed, data["settings"])
            self.assertNotIn(axis, data["settings"])
            self.assertEqual((data["ambient_C"][0], data["ambient_C"][-1]), (90, 100))
            self.assertEqual(len(data["cycles_done"]), len(data["ambient_C"]))
            for row in data["cycles_done"]:
                self.assertEqual(len(row), len(data["values"]))
            for point in data["boundary"]:
                self.assertEqual(set(point), {"ambient_C", "value"})
            # The study that counts with the same condition says the same.
            k, j = len(data["ambient_C"]) // 2, len(data["values"]) // 2
            study = self.result("cycle", DEMO, "--door", "tailgate", "--after-trip", "--cycles", "4", "--ambient",
                                str(data["ambient_C"][k]), "--" + over, str(data["values"][j]), codes=(0,))
            self.assertEqual(study["cycles_done"], data["cycles_done"][k][j])

    def test_map_refuses_what_it_does_not_use(self):
        cases = {("--gap", "2"): "--gap: this map spans rests",
                 ("--over", "on", "--on", "1"): "--on: this map spans pulses",
                 ("--from", "3", "--to", "2"): "--from: 3 is not below 2, the end of the range (--to)",
                 ("--over", "on", "--to", "20"): "--to: 20 is outside the permitted range (0.02 to 10 s)",
                 ("--over", "on", "--from", "0"): "--from: 0 is outside the permitted range (0.02 to 10 s)",
                 ("--from-ambient", "90", "--to-ambient", "80"): "--from-ambient: 90 is not below 80"}
        for words, text in cases.items():
            with self.subTest(words=words):
                shown = run("map", DEMO, *words)
                self.assertEqual((shown.returncode, shown.stdout, shown.stderr.count("\n")), (2, "", 1))
                self.assertIn(text, shown.stderr)

    def test_map_files(self):
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "map.csv")
            shown = run("map", DEMO, "--door", "tailgate", "--cycles", "1", "--from-ambient", "95", "--to-ambient", "100",
                        "--csv", path)
            self.assertEqual((shown.returncode, shown.stderr), (0, ""))
            self.assertTrue(all(len(line) <= 100 for line in shown.stdout.splitlines()), shown.stdout)
            self.assertIn("At 100 °C", shown.stdout)
            with open(path, encoding="utf-8", newline="") as file:
                rows = list(csv.DictReader(file))
            self.assertEqual(set(rows[0]), {"ambient_C", "gap_s", "cycles_done"})

    def test_curves_text(self):
        shown = run("curves", DEMO)
        self.assertEqual((shown.returncode, shown.stderr), (0, ""))
        self.assertIn("main fuse does not protect the door run, tailgate, between 33.0 and 56.2 A.", shown.stdout)
        self.assertIn("Battery off before you open the wiring", shown.stdout)
        self.assertIn("Example parts", shown.stdout)
        self.assertIn("Every wire is protected", run("curves", GOOD).stdout)
        for line in shown.stdout.splitlines():
            self.assertLessEqual(len(line), 130, line)
        quiet = run("curves", DEMO, "--quiet")
        self.assertEqual((quiet.stdout, quiet.stderr, quiet.returncode), ("", "", 0))

    def test_parts(self):
        data = self.result("parts", codes=(0,))
        self.assertGreaterEqual(len([p for p in data["parts"] if p["kind"] == "actuator"]), 10)
        one = self.result("parts", "wire-1.0", codes=(0,))
        self.assertEqual([p["id"] for p in one["parts"]], ["wire-1.0"])
        shown = run("parts", "wire-1.1")
        self.assertEqual(shown.returncode, 2)
        self.assertIn("did you mean", shown.stderr)
        shown = run("parts", "act-light-2w", "wire-1.0", "--kind", "wire")
        self.assertEqual((shown.returncode, shown.stdout), (2, ""))
        self.assertEqual(shown.stderr, "latchwright parts: act-light-2w is an actuator, not a wire\n")
        self.assertEqual(run("parts", "wire-1.0", "--kind", "wire").returncode, 0)

    def test_triage(self):
        words = ("triage", "act-ordinary-2w", "--moves", "neither", "--used", "40", "--idle", "0", "--ambient", "23")
        data = self.result(*words, codes=(0,))
        self.assertEqual(set(data), {"latchwright_result", "verb", "at", "program", "settings", "states", "wait_s", "next",
                                     "settles", "remarks"})
        self.assertEqual(data["states"][0]["state"], "waiting")
        self.assertAlmostEqual(sum(row["likelihood"] for row in data["states"]), 1, places=9)
        self.assertEqual({row["state"] for row in data["states"]},
                         {"sound", "waiting", "open", "shorted", "seized", "worn", "supply", "end_switch"})
        likely = [row["likelihood"] for row in data["states"]]
        self.assertEqual(likely, sorted(likely, reverse=True))
        for row in data["states"]:
            self.assertEqual(set(row), {"state", "likelihood", "why"})
            self.assertTrue(row["why"])
        self.assertGreater(data["wait_s"], 0)
        self.assertEqual(data["next"]["reading"], "frees")  # the one thing left to do
        self.assertIsNone(data["settles"])
        held = self.result("triage", "act-ordinary-2w", "--moves", "neither", "--supply", "12.4", "--current", "5", codes=(0,))
        self.assertEqual((held["states"][0]["state"], held["next"]), ("seized", None))
        self.assertIn("rod off the lock", held["settles"])
        self.assertTrue(any("air's temperature" in line for line in held["remarks"]))
        # 12.4 V over 2.4 ohm drive 5.2 A at most: 50 A is a slip or a short.
        doubt = self.result("triage", "act-ordinary-2w", "--moves", "neither", "--supply", "12.4", "--current", "50",
                            "--leads", "2.4", codes=(0,))
        self.assertEqual(doubt["next"]["reading"], "current")
        self.assertIn("no power on it before this is clear", doubt["next"]["why"])
        self.assertTrue(any("do not put power on it" in line for line in doubt["remarks"]))
        open_question = self.result("triage", "act-ordinary-2w", "--moves", "neither", codes=(0,))["next"]
        self.assertEqual(set(open_question), {"reading", "why"})
        self.assertNotEqual(open_question["reading"], "moves")
        self.assertEqual((data["settings"]["used"], data["settings"]["idle_min"], data["settings"]["leads_ohm"]), (40, 0, None))
        self.assertEqual(run(*words, "--json").stdout, run(*words, "--json").stdout)
        # An open line, as a word; zero is a reading like any other.
        data = self.result("triage", "act-light-5w", "--leads", "open", "--moves", "neither", "--current", "0", codes=(0,))
        self.assertEqual((data["states"][0]["state"], data["wait_s"], data["settings"]["leads_ohm"]), ("open", None, "open"))
        for word in ("OL", "Open", "O.L"):
            self.assertEqual(self.result("triage", "act-light-5w", "--leads", word, codes=(0,))["settings"]["leads_ohm"], "open")
        zero = self.result("triage", "act-light-5w", "--leads", "0", "--meter", "0", codes=(0,))
        self.assertEqual(zero["states"][0]["state"], "shorted")

    def test_triage_text_and_faults(self):
        shown = run("triage", "act-ordinary-2w", "--leads", "12", "--idle", "0.1")
        self.assertEqual((shown.returncode, shown.stderr), (0, ""))
        self.assertIn("A trip leaves its thermistor at", " ".join(shown.stdout.split()))
        self.assertIn("The meter's own leads were not read: taken as 0 to 0.5", shown.stdout)
        self.assertIn("a film there can add ohms", " ".join(shown.stdout.split()))
        self.assertIn("Read next: ", shown.stdout)
        self.assertIn("Battery off before you open the wiring", shown.stdout)
        self.assertIn("Example part", shown.stdout)
        for line in shown.stdout.splitlines():
            self.assertLessEqual(len(line), 110, line)
        quiet = run("triage", "act-ordinary-2w", "--quiet")
        self.assertEqual((quiet.stdout, quiet.stderr, quiet.returncode), ("", "", 0))
        for words, line in {
            ("act-ordinary-2v",): 'there is no actuator "act-ordinary-2v"; did you mean "act-ordinary-2w"?',
            ("wire-1.0",): "not an actuator",
            ("act-light-2w", "--on", "0.5"): "--on and --gap are of the throws that --used counts; it is missing",
            ("act-light-2w", "--leads", "0.1", "--meter", "0.6"): "--leads is far less than --meter",
        }.items():
            with self.subTest(words=words):
                shown = run("triage", *words)
                self.assertEqual((shown.returncode, shown.stdout, shown.stderr.count("\n")), (2, "", 1), shown.stderr)
                self.assertIn(line, shown.stderr)

    def test_triage_of_an_own_part(self):
        with tempfile.TemporaryDirectory() as folder:
            own = os.path.join(folder, "mine.json")
            part = json.loads(run("parts", "act-ordinary-2w", "--json").stdout)["parts"][0]
            part.update(id="act-mine", wires=5, source={"kind": "measured"})
            pathlib.Path(own).write_text(json.dumps({"latchwright_parts": 1, "parts": [part]}))
            data = self.result("triage", "act-mine", "--parts", own, codes=(0,))
            self.assertAlmostEqual(next(row["likelihood"] for row in data["states"] if row["state"] == "end_switch"), 0.07)
            self.assertNotIn("Example part", run("triage", "act-mine", "--parts", own).stdout)

    def test_bench(self):
        result = self.result("bench", "act-ordinary-2w")
        self.assertEqual(result["at"], {"ambient_C": 23, "voltage_V": 12.6})
        readings = {reading["name"]: reading for reading in result["readings"]}
        for reading in readings.values():
            self.assertLessEqual(reading["low"], reading["value"])
            self.assertGreaterEqual(reading["high"], reading["value"])
        # By hand: windings are given at 25 °C and follow copper (IEC 60028); the thermistor's ratio at 23 °C lies
        # between those at -40 and 25 °C, and its own 0.09 ohm make the difference small.
        copper = 2.2 * (1 + 0.00393 * 3) / (1 + 0.00393 * 5)
        self.assertAlmostEqual(readings["cold resistance"]["value"], copper + 0.09, delta=0.005)
        self.assertAlmostEqual(readings["held current at once"]["value"],
                               (12.6 - 0.8) / readings["cold resistance"]["value"], places=9)
        ohms = [point["resistance_ohm"] for point in result["cooling"]]
        self.assertEqual(ohms, sorted(ohms, reverse=True))
        colder = self.result("bench", "act-ordinary-2w", "--ambient", "-20", "--supply", "11")
        self.assertEqual(colder["at"], {"ambient_C": -20, "voltage_V": 11})
        self.assertLess(colder["readings"][0]["value"], readings["cold resistance"]["value"])
        text = run("bench", "act-ordinary-2w").stdout
        for words in ("Example part: measure yours before promising this.", "Before you touch it", "Battery off"):
            self.assertIn(words, text)

    def test_bench_names_the_nearest_actuator(self):
        shown = run("bench", "act-ordinary-2v")
        self.assertEqual((shown.returncode, shown.stdout), (2, ""))
        self.assertEqual(shown.stderr, 'latchwright bench: there is no actuator "act-ordinary-2v"; did you mean '
                                       '"act-ordinary-2w"?\n')
        shown = run("bench", "fuse-medium-15")
        self.assertEqual((shown.returncode, shown.stdout, shown.stderr.count("\n")), (2, "", 1))
        self.assertIn("not an actuator", shown.stderr)

    def test_spread(self):
        data = self.result("spread", DEMO, "--door", "tailgate", "--ambient", "80", "--samples", "30", codes=(0,))
        self.assertEqual((data["samples"], data["done"], data["seed"]), (30, 30, 1))
        # From hot_C up the hot cycles are wanted.
        self.assertEqual(data["settings"]["cycles"], 5)
        self.assertEqual(data["missed_throw_at"], {"ambient_C": -20, "voltage_V": 9})
        for key in ("lockout_chance", "missed_throw_chance"):
            chance = data[key]
            self.assertTrue(0 <= chance["low"] <= chance["estimate"] <= chance["high"] <= 1)
            self.assertEqual(chance["level"], 0.95)
        self.assertEqual(data["lockout_by_cycles"][4]["count"], data["lockout_chance"]["count"])
        names = [each["name"] for each in data["distributions"]]
        self.assertEqual(names, ["cycles", "trip_time_s", "peak_winding_C", "first_throw_s", "recovery_s"])
        self.assertTrue({each["parameter"] for each in data["sensitivity"]} <= {each["key"] for each in data["sources"]})

    def test_slices_join_to_the_same_bytes(self):
        words = ("spread", DEMO, "--door", "front left", "--ambient", "75", "--samples", "20", "--seed", "9")
        whole = run(*words, "--json").stdout
        with tempfile.TemporaryDirectory() as folder:
            files = [os.path.join(folder, f"{k}.json") for k in (1, 2, 3)]
            for k, file in enumerate(files, 1):
                pathlib.Path(file).write_text(run(*words, "--slice", f"{k}/3", "--json").stdout, encoding="utf-8")
            joined = os.path.join(folder, "all.json")
            shown = run("join", files[2], files[0], files[1], "-o", joined, "--quiet")
            self.assertEqual((shown.returncode, shown.stdout, shown.stderr), (0, "", ""))
            self.assertEqual(pathlib.Path(joined).read_text(encoding="utf-8"), whole)
            self.assertEqual(run("join", *files, "--json").stdout, whole)
            for given, fault in (
                    (files[:2], "latchwright: join: slice 3 of 3 is missing"),
                    (files[:1] * 2, files[0] + ": is slice 1 of 3, which is there already"),
                    ([files[0], joined], joined + ": is a whole spread and no slice of one: there is nothing to join"),
                    ([DEMO], DEMO + ": is no result of spread (latchwright spread JOB --slice 1/4 --json makes one of four "
                             "slices)")):
                shown = run("join", *given)
                self.assertEqual((shown.returncode, shown.stdout, shown.stderr), (2, "", fault + "\n"))
            shown = run("join", *files, "-o", files[0], "--force")
            self.assertEqual(shown.returncode, 2)
            self.assertIn("is read here; nothing was written", shown.stderr)

    def test_a_spread_that_is_interrupted_tells_what_is_done(self):
        # Longer where the program is slow to begin (sanitizers): too early, nothing is done yet.
        for wait in (1, 5, 25):
            process = subprocess.Popen([PROGRAM, "spread", DEMO, "--door", "tailgate", "--samples", "1000000", "--json"],
                                       stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True)
            time.sleep(wait)
            process.send_signal(signal.SIGINT)
            out, err = process.communicate(timeout=300)
            if out:
                break
        self.assertEqual(process.returncode, 130)
        done = json.loads(out)["done"]
        self.assertTrue(0 < done < 1000000)
        self.assertEqual(err, f"latchwright: stopped after {done} of 1000000 samples\n")

    def test_text_has_no_colour_codes_and_quiet_is_quiet(self):
        for env in ({}, {"NO_COLOR": "1"}):
            self.assertNotIn("\033", run("check", GOOD, env=env).stdout)
        shown = run("check", DEMO, "--quiet")
        self.assertEqual((shown.stdout, shown.stderr, shown.returncode), ("", "", 1))
        self.assertEqual(run("stall", DEMO, "--json", "--quiet").stdout, run("stall", DEMO, "--json").stdout)
        plain = ("new", "--doors", "2", "--body", "van")
        self.assertEqual(run(*plain, "--quiet").stdout, run(*plain).stdout)

    def test_another_load_that_takes_the_voltage(self):
        with open(DEMO, encoding="utf-8") as file:
            job = json.load(file)
        job["feed"].update(wire="wire-0.35", other_load_A=200)
        with tempfile.TemporaryDirectory() as folder:
            path = os.path.join(folder, "job.json")
            with open(path, "w", encoding="utf-8") as file:
                json.dump(job, file)
            words = "nothing is left for the motors: the other load of 200 A (/feed/other_load_A) takes the voltage"
            for verb in ("stall", "cycle"):
                self.assertIn(f"No current: {words}.", run(verb, path).stdout)
            rows = self.result("check", path)["checks"]
            for row in rows:
                if row["id"] in ("force", "volt_drop"):
                    self.assertEqual(row["state"], "fails")
                    self.assertIn(words, row["why"])
                    self.assertGreaterEqual(row["have"], 0)


class Files(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)

    def path(self, name):
        return os.path.join(self.folder.name, name)

    def test_csv(self):
        target = self.path("trace.csv")
        self.assertEqual(run("cycle", DEMO, "--cycles", "2", "--csv", target).returncode, 0)
        with open(target, encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        self.assertEqual(list(rows[0]), ["time_s", "door", "current_A", "speed_rad_per_s", "rod_mm", "winding_C", "case_C",
                                         "ptc_C", "housing_C"])
        self.assertEqual({row["door"] for row in rows}, {"front left", "front right", "rear left", "rear right", "tailgate"})
        times = [float(row["time_s"]) for row in rows]
        self.assertEqual(times, sorted(times))
        self.assertGreater(max(float(row["current_A"]) for row in rows), 3)
        again = run("cycle", DEMO, "--cycles", "2", "--csv", target)
        self.assertEqual(again.returncode, 2)
        self.assertIn("exists already", again.stderr)
        self.assertEqual(run("cycle", DEMO, "--cycles", "2", "--csv", target, "--force").returncode, 0)
        target = self.path("curves.csv")
        self.assertEqual(run("curves", DEMO, "--csv", target).returncode, 0)
        with open(target, encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        self.assertEqual(list(rows[0]), ["series", "current_A", "time_s"])
        series = json.loads(run("curves", DEMO, "--json").stdout)["series"]
        self.assertEqual([(line["name"], amps, time) for line in series
                          for amps, time in zip(line["current_A"], line["time_s"])],
                         [(row["series"], float(row["current_A"]), float(row["time_s"])) for row in rows])
        target = self.path("checks.csv")
        run("check", GOOD, "--csv", target)
        with open(target, encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        self.assertEqual(len({row["id"] for row in rows}), 14)

    def test_inputs_are_never_written_over(self):
        job, parts, link = self.path("job.json"), self.path("parts.json"), self.path("link.csv")
        with open(GOOD, encoding="utf-8") as file:
            text = file.read()
        with open(job, "w", encoding="utf-8") as file:
            file.write(text)
        with open(parts, "w", encoding="utf-8") as file:
            file.write('{"latchwright_parts": 1, "parts": []}')
        os.symlink(job, link)
        for verb in ("check", "cycle", "stall"):
            for target, name in ((job, job), (link, job), (self.path("./job.json"), job), (parts, parts)):
                shown = run(verb, job, "--parts", parts, "--csv", target, "--force")
                self.assertEqual((shown.returncode, shown.stdout), (2, ""))
                self.assertEqual(shown.stderr, f"latchwright: --csv: {target} is the same file as {name}, which is read "
                                               "here; nothing was written\n")
        with open(job, encoding="utf-8") as file:
            self.assertEqual(file.read(), text)

    def test_job_and_part_file_taken_for_each_other(self):
        parts = str(ROOT / "parts/wires.json")
        shown = run("check", parts)
        self.assertEqual((shown.returncode, shown.stderr), (2, f"{parts}: is a part file, not a job\n"))
        shown = run("check", GOOD, "--parts", GOOD)
        self.assertEqual((shown.returncode, shown.stderr), (2, f"{GOOD}: is a job, not a part file\n"))

    def test_new_then_choose_then_check(self):
        target = self.path("job.json")
        for body in ("hatch", "saloon", "estate", "van"):
            for doors in (1, 2, 3, 4, 5, 6, 12):
                job = json.loads(run("new", "--doors", str(doors), "--body", body).stdout)
                self.assertEqual(len(job["doors"]), doors)
                for door in job["doors"]:
                    self.assertEqual("fuse" in door, doors >= 3)
        self.assertEqual(run("new", "--doors", "4", "--body", "saloon", "-o", target).returncode, 0)
        self.assertEqual(run("new", "--doors", "4", "--body", "saloon", "-o", target).returncode, 2)
        open_job = run("check", target)
        self.assertEqual(open_job.returncode, 2)
        self.assertEqual(open_job.stderr.count("\n"), 3 + 4 * 3 + 1)
        self.assertIn("latchwright size " + target, open_job.stderr)
        self.assertIn(target + ": /doors/0/actuator: is not chosen yet (the actuator of front left)", open_job.stderr)
        with open(target, encoding="utf-8") as file:
            job = json.load(file)
        job["feed"].update(wire="wire-2.5", fuse="fuse-medium-25", relay="relay-30")
        for door in job["doors"]:
            door.update(actuator="act-ordinary-2w", wire="wire-1.0", fuse="fuse-medium-7.5")
        job["supply"]["low_V"] = 9.5
        with open(target, "w", encoding="utf-8") as file:
            json.dump(job, file)
        self.assertEqual(run("check", target, "--quiet").returncode, 0)

    def test_bad_input_touches_no_file(self):
        job, target = self.path("bad.json"), self.path("out.csv")
        with open(job, "w", encoding="utf-8") as file:
            file.write('{"latchwright_job": 1, "feed": {"length_m": -1}, "doors": [], "pulsee": {}}')
        for verb in ("cycle", "curves"):
            shown = run(verb, job, "--csv", target)
            self.assertEqual(shown.returncode, 2)
            self.assertEqual(shown.stdout, "")
            self.assertGreaterEqual(shown.stderr.count("\n"), 3)
            for line in shown.stderr.splitlines():
                self.assertTrue(line.startswith(job + ": /"), line)
            self.assertFalse(os.path.exists(target))

    def test_own_parts_win(self):
        own = self.path("parts.json")
        part = json.loads(run("parts", "relay-40", "--json").stdout)["parts"][0]
        part["rated_A"] = 20
        with open(own, "w", encoding="utf-8") as file:
            json.dump({"latchwright_parts": 1, "parts": [part]}, file)
        listed = run("parts", "--parts", own).stdout
        self.assertTrue(listed.startswith(f"{own}: 1 part, no fault\n"), listed)
        self.assertIn("relay-40", listed)
        self.assertNotIn("wire-1.0", listed)
        self.assertEqual(len(json.loads(run("parts", "--json", "--parts", own).stdout)["parts"]), 1)
        self.assertEqual(json.loads(run("parts", "relay-40", "--json", "--parts", own).stdout)["parts"][0]["rated_A"], 20)
        data = json.loads(run("check", DEMO, "--json", "--parts", own).stdout)
        relay = next(row for row in data["checks"] if row["id"] == "relay")
        self.assertEqual((relay["have"], relay["state"]), (20, "fails"))


class Fit(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)
        # The equations of docs/model.md section 4 once more, by Euler steps of 2 ms, as a logger with decimal
        # commas would write them; motor 2.4 ohm in place of 2.2, thermistor heat 0.32 in place of 0.385, clamp
        # 0.04 A off.
        part = json.loads(run("parts", "act-ordinary-2w", "curve-polymer-30v", "--json").stdout)["parts"]
        thermal, ptc = part[0]["thermal"], part[0]["ptc"]
        curve = list(zip(part[1]["T_C"], map(math.log, part[1]["ratio"])))
        winding = case = thermistor = housing = 23.0
        self.log = self.path("held.csv")
        rows = ["# bench supply, clamp\r\n", "time_ms;current_A;voltage_V\r\n"]
        rows += [f"{5000 + 50 * k};0,04;0,0\r\n" for k in range(-40, 0)]
        step = 0.002
        for k in range(30000):
            below = max(n for n, (t, _) in enumerate(curve[:-1]) if t <= thermistor)
            (t0, g0), (t1, g1) = curve[below], curve[below + 1]
            ptc_ohm = 0.09 * math.exp(g0 + (g1 - g0) * (thermistor - t0) / (t1 - t0))
            motor_ohm = 2.4 * (1 + 0.00393 * (winding - 20)) / (1 + 0.00393 * 5)
            amps = (12.6 - 0.8) / (motor_ohm + ptc_ohm)
            if k % 25 == 0:
                rows.append(f"{5000 + 2 * k};{amps + 0.04:.2f};12,6\r\n".replace(".", ","))
            to_case = (winding - case) / thermal["winding_to_case_K_per_W"]
            to_housing = (case - housing) / thermal["case_to_housing_K_per_W"]
            ptc_case = ptc["to_case_mW_per_K"] / 1e3 * (thermistor - case)
            ptc_housing = ptc["to_housing_mW_per_K"] / 1e3 * (thermistor - housing)
            out = (housing - 23) / thermal["housing_to_ambient_K_per_W"]
            winding += step * (motor_ohm * amps**2 - to_case) / thermal["winding_J_per_K"]
            case += step * (0.8 * amps + to_case - to_housing + ptc_case) / thermal["case_J_per_K"]
            thermistor += step * (ptc_ohm * amps**2 - ptc_housing - ptc_case) / 0.32
            housing += step * (to_housing + ptc_housing - out) / thermal["housing_J_per_K"]
        pathlib.Path(self.log).write_text("".join(rows))

    def path(self, name):
        return os.path.join(self.folder.name, name)

    def test_a_log_with_decimal_commas_becomes_a_part(self):
        part, table, picture = self.path("part.json"), self.path("fit.csv"), self.path("fit.svg")
        words = ("fit", self.log, "--like", "act-ordinary-2w", "--ambient", "23", "--cold", "2.47", "-o", part)
        plot = ("--plot", picture) if draws_pictures() else ()
        shown = run(*words, "--csv", table, *plot, "--json")
        self.assertEqual((shown.returncode, shown.stderr), (0, ""))
        result = json.loads(shown.stdout)
        self.assertEqual(result["verb"], "fit")
        self.assertIsNone(result["at"])
        motor = {p["name"]: p for p in result["parameters"]}["/motor/resistance_ohm"]
        self.assertTrue(motor["identified"])
        both = result["part"]["motor"]["resistance_ohm"] + result["part"]["ptc"]["resistance_ohm"]
        self.assertAlmostEqual(both, 2.49, delta=0.02)
        self.assertAlmostEqual(result["part"]["ptc"]["heat_J_per_K"], 0.32, delta=0.03)
        self.assertEqual(result["part"]["source"]["kind"], "measured")
        self.assertIn("held.csv", result["part"]["source"]["note"])
        names = [p for p in result["parameters"] if p["identified"]]
        self.assertEqual(len(result["correlation"]), len(names))
        with open(table, newline="", encoding="utf-8") as rows:
            first = next(csv.DictReader(rows))
        self.assertEqual(list(first), ["log", "time_s", "measured_A", "fitted_A", "residual_A"])
        self.assertAlmostEqual(float(first["measured_A"]) - float(first["fitted_A"]), float(first["residual_A"]), delta=1e-9)
        # The part serves as one.
        shown = run("parts", "act-ordinary-2w-measured", "--parts", part)
        self.assertEqual(shown.returncode, 0)
        # Its curve has more digits than a table has room for.
        self.assertIn("25 values, ", shown.stdout)
        self.assertLess(max(map(len, shown.stdout.splitlines())), 260)

    def test_a_file_is_replaced_only_when_asked_to(self):
        part = self.path("part.json")
        pathlib.Path(part).write_text("mine")
        words = ("fit", self.log, "--like", "act-ordinary-2w", "--ambient", "23", "-o", part, "--quiet")
        shown = run(*words)
        self.assertEqual(shown.returncode, 2)
        self.assertIn("--replace replaces it", shown.stderr)
        self.assertEqual(pathlib.Path(part).read_text(), "mine")
        # --force is a number here, not a leave.
        self.assertEqual(run(*words, "--force", "40").returncode, 2)
        self.assertEqual(run(*words, "--replace").returncode, 0)
        # A log is never written over.
        self.assertEqual(run(*words[:-2], self.log, "--replace").returncode, 2)
        self.assertIn("clamp", pathlib.Path(self.log).read_text())

    def test_what_is_no_measurement_is_not_written(self):
        part = self.path("part.json")
        rows = pathlib.Path(self.log).read_text().splitlines()
        head = next(k for k, row in enumerate(rows) if ";" in row)
        # A held motor's current that jumps up and down by a third: no thermistor does that.
        for k in range(head + 1, len(rows)):
            time, amps, volts = rows[k].split(";")
            amps = float(amps.replace(",", ".")) * (1.3 if k // 40 % 2 else 0.7)
            rows[k] = f"{time};{amps:.2f};{volts}".replace(".", ",")
        odd = self.path("odd.csv")
        pathlib.Path(odd).write_text("\n".join(rows) + "\n")
        shown = run("fit", odd, "--like", "act-ordinary-2w", "--ambient", "23", "-o", part, "--quiet")
        self.assertEqual(shown.returncode, 3)
        self.assertIn("does not describe this log", shown.stderr)
        self.assertIn("was not written", shown.stderr)
        self.assertFalse(os.path.exists(part))
        shown = run("fit", odd, "--like", "act-ordinary-2w", "--ambient", "23", "--json")
        self.assertEqual(shown.returncode, 3)
        self.assertIsNone(json.loads(shown.stdout)["part"])
        shown = run("fit", self.log, "--like", "wire-1.5", "--ambient", "23")
        self.assertEqual(shown.returncode, 2)
        self.assertIn("wire-1.5 is of kind wire, not an actuator", shown.stderr)

    def test_faults_name_file_and_line(self):
        bad = self.path("bad.csv")
        pathlib.Path(bad).write_text("time_s,current_A,voltage_V\n0,1,2\n0,1,2\n")
        shown = run("fit", bad, "--like", "act-ordinary-2w", "--ambient", "23")
        self.assertEqual(shown.returncode, 2)
        self.assertEqual(shown.stderr, f"{bad}:3: time_s: 0 s must come after the row before it (0 s)\n")
        shown = run("fit", self.log, "--like", "act-ordinary", "--ambient", "23")
        self.assertEqual(shown.returncode, 2)
        self.assertIn("did you mean", shown.stderr)
        shown = run("fit", self.log, "--ambient", "23")
        self.assertIn("--like is required", shown.stderr)


if __name__ == "__main__":
    unittest.main(verbosity=1)
