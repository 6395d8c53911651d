#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The same input gives the same bytes whatever language, clock and place the program runs in.

    surroundings.py PROGRAM [TEST...]

TESTs are test programs that pass in any language: those of the window, where a library takes the user's language over.
Locales with a decimal comma and with a Turkish i are made by localedef into a folder of their own (Debian: locales,
libc-bin); where that cannot be, they are left out and it is said.
"""
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

PROGRAM = os.path.abspath(sys.argv.pop(1))
TESTS = [os.path.abspath(word) for word in sys.argv[1:] if os.path.isfile(word)]
ROOT = pathlib.Path(__file__).resolve().parents[2]
EXAMPLES = ROOT / "docs/examples"
GOOD = str(EXAMPLES / "four-door-saloon.json")
LOG = str(EXAMPLES / "held-log.csv")
LOCALES = ("de_DE", "tr_TR")
BAD = {"latchwright_job": 1, "TITLE": "x", "feed": {"length_m": 0.5, "wire": "WIRE-4.0", "fuse": "fuse-medium-15"}, "pulse":
       {"on_s": 0.001}, "doors": []}

# What is run, and the file that it writes. JOB, BAD and OUT stand for files.
COMMANDS = [
    (("--help",), None),
    (("new", "--doors", "4", "--body", "estate", "-o", "OUT"), "job.json"),
    (("check", "JOB", "--door", "front left", "--all-corners", "--csv", "OUT"), "check.csv"),
    (("check", "JOB", "--door", "front left", "--json"), None),
    (("check", "BAD"), None),
    (("stall", "JOB", "--csv", "OUT"), "stall.csv"),
    (("stall", "JOB", "--voltage", "12,6"), None),
    (("stall", "JOB", "--voltage", "12.6", "--ambient", "-5.5", "--json"), None),
    (("cycle", "JOB", "--cycles", "2", "--csv", "OUT"), "cycle.csv"),
    (("cycle", "JOB", "--cycles", "2", "--json"), None),
    (("curves", "JOB", "--door", "front left", "--csv", "OUT"), "curves.csv"),
    (("spread", "JOB", "--samples", "10", "--cycles", "1", "--json"), None),
    (("parts",), None),
    (("parts", "act-ordinary-2w"), None),
    (("triage", "act-ordinary-2w", "--moves", "neither", "--leads", "2.6", "--idle", "12"), None),
    (("fit", LOG, "--like", "act-ordinary-2w", "--ambient", "22.5", "-o", "OUT"), "part.json"),
    (("sheet", "JOB", "--door", "front left", "-o", "OUT"), "sheet.html"),
    (("sheet", "JOB", "--door", "front left", "--date", "2026-01-01", "-o", "OUT"), "dated.html"),
    (("chekc",), None),
]
PICTURES = [
    (("cycle", "JOB", "--cycles", "1", "--plot", "OUT"), "cycle.svg"),
    (("sheet", "JOB", "--door", "front left", "-o", "OUT"), "sheet.pdf"),
]


def run(words, environment, folder):
    return subprocess.run([PROGRAM, *words], capture_output=True, check=False, env=environment, cwd=folder)


class Surroundings(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        folder = tempfile.TemporaryDirectory(prefix="surroundings-")
        cls.addClassCleanup(folder.cleanup)
        cls.folder = folder.name
        shutil.copy(GOOD, os.path.join(cls.folder, "JOB"))
        pathlib.Path(cls.folder, "BAD").write_text(json.dumps(BAD), encoding="utf-8")
        cls.plain = {"PATH": os.environ["PATH"], "HOME": cls.folder, "LC_ALL": "C.UTF-8", "TZ": "UTC"}
        for name in ("LD_LIBRARY_PATH", "ASAN_OPTIONS", "UBSAN_OPTIONS", "QT_QPA_PLATFORM"):
            if name in os.environ:
                cls.plain[name] = os.environ[name]
        refusal = run(("curves", "no-such-job.json", "--plot", "x.png"), cls.plain, cls.folder).stderr
        cls.commands = COMMANDS + ([] if b"without Qt" in refusal else PICTURES)
        cls.first = cls.all_bytes(cls.plain)

    @classmethod
    def all_bytes(cls, environment):
        """Of every command its exit code, both outputs and its file."""
        found = []
        for words, name in cls.commands:
            out = os.path.join(cls.folder, name or "OUT")
            shown = run([name if word == "OUT" else word for word in words], environment, cls.folder)
            data = None
            if name is not None:
                data = pathlib.Path(out).read_bytes() if os.path.exists(out) else b"no file"
                pathlib.Path(out).unlink(missing_ok=True)
            found.append((shown.returncode, shown.stdout, shown.stderr, data))
        return found

    def same_bytes(self, **changes):
        environment = {name: value for name, value in dict(self.plain, **changes).items() if value is not None}
        for (words, _), first, other in zip(self.commands, self.first, self.all_bytes(environment)):
            for what, a, b in zip(("exit code", "standard output", "standard error", "file"), first, other):
                if a != b:
                    self.fail(f"{' '.join(words)}: its {what} differs under {changes}: {bytes(str(a)[:300], 'utf-8')} and "
                              f"{bytes(str(b)[:300], 'utf-8')}")

    def test_the_commands_do_something(self):
        for (words, name), (code, out, error, data) in zip(self.commands, self.first):
            with self.subTest(words=words):
                self.assertIn(code, (0, 1, 2))
                self.assertNotIn(b"fault of the program", error)
                self.assertTrue(out or error)
                if name is not None:
                    self.assertGreater(len(data), 100, error)

    def test_places_in_a_pdf(self):
        # Its table says where each object begins (ISO 32000-1, 7.5.4), whatever has been done to its date.
        for (words, name), (_, _, _, data) in zip(self.commands, self.first):
            if not (name or "").endswith(".pdf"):
                continue
            table = int(re.search(rb"startxref\n(\d+)\n%%EOF\s*$", data)[1])
            self.assertEqual(data[table:table + 5], b"xref\n")
            entries = re.findall(rb"(\d{10}) \d{5} ([nf]) \n", data[table:])
            self.assertGreater(len(entries), 10)
            for number, (place, kind) in enumerate(entries):
                if kind == b"n":
                    begin = int(place)
                    self.assertTrue(data[begin:].startswith(b"%d 0 obj" % number), (words, number))

    def test_no_language_at_all(self):
        self.same_bytes(LC_ALL="C")
        self.same_bytes(LC_ALL=None, LANG=None, TZ=None)
        self.same_bytes(LC_ALL="xx_XX.UTF-8")

    def test_other_clocks(self):
        # Fourteen hours ahead, and twelve behind: another day for most of the day.
        self.same_bytes(TZ="Pacific/Kiritimati")
        self.same_bytes(TZ="Etc/GMT+12")
        self.same_bytes(TZ="nonsense")

    def test_other_languages(self):
        localedef = shutil.which("localedef")
        made = os.path.join(self.folder, "locales")
        os.makedirs(made, exist_ok=True)
        for name in LOCALES:
            with self.subTest(name):
                if localedef is None:
                    self.skipTest("no localedef here")
                done = subprocess.run([localedef, "-i", name, "-f", "UTF-8", os.path.join(made, name + ".UTF-8")],
                                      capture_output=True, text=True, check=False)
                if done.returncode > 1:
                    self.skipTest(f"localedef cannot make {name}: {done.stderr.strip()}")
                changes = {"LC_ALL": name + ".UTF-8", "LANG": name + ".UTF-8", "LANGUAGE": name[:2], "LOCPATH": made}
                # It is there indeed: the C library finds it, and it has a decimal comma.
                seen = subprocess.run([sys.executable, "-c", "import locale; locale.setlocale(locale.LC_ALL, ''); "
                                       "print(locale.localeconv()['decimal_point'])"], capture_output=True, text=True,
                                      check=True, env=dict(self.plain, **changes)).stdout.strip()
                self.assertEqual(seen, ",")
                self.same_bytes(**changes)
                for test in TESTS:
                    shown = subprocess.run([test], capture_output=True, text=True, check=False, cwd=self.folder,
                                           env=dict(self.plain, QT_QPA_PLATFORM="offscreen", **changes))
                    self.assertEqual(shown.returncode, 0, f"{os.path.basename(test)} under {name}: {shown.stdout[-2000:]}")

    def test_other_terminals(self):
        self.same_bytes(TERM="dumb", COLUMNS="20", LINES="5")
        self.same_bytes(NO_COLOR="1", TERM="xterm-256color")
        self.same_bytes(MALLOC_PERTURB_="165")


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0]] + [word for word in sys.argv[1:] if not os.path.isfile(word)])
