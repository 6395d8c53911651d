#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Files are saved whole or not at all: the program killed at any instant, a full disk, folders that may not be written,
links, long and foreign names.

    saving.py PROGRAM [--kills N] [--seed S]

A kill may leave a temporary, ".latchwright-" and six characters, beside the file: it is nobody's, no later save minds it,
and it may be deleted.
"""
import argparse
import json
import os
import pathlib
import random
import resource
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
GOOD = str(ROOT / "docs/examples/four-door-saloon.json")
LOG = str(ROOT / "docs/examples/held-log.csv")
FIT = ("fit", LOG, "--like", "act-ordinary-2w", "--ambient", "22")
NEW = ("new", "--doors", "4", "--body", "estate")
OLD = b"what stood here before\n" * 400
MARK = ".latchwright-"


def arguments():
    parser = argparse.ArgumentParser(add_help=False)
    parser.add_argument("program")
    parser.add_argument("--kills", type=int, default=20)
    parser.add_argument("--seed", type=int, default=1)
    return parser.parse_known_args()


ASKED, REST = arguments()
PROGRAM = os.path.abspath(ASKED.program)


def run(*words, **options):
    return subprocess.run([PROGRAM, *words], capture_output=True, check=False, **options)


class InFolder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="saving-")
        self.addCleanup(folder.cleanup)
        self.folder = folder.name

    def path(self, *names):
        return os.path.join(self.folder, *names)

    def old(self, name="file.json"):
        path = self.path(name)
        pathlib.Path(path).write_bytes(OLD)
        return path

    def leftovers(self, folder=None):
        return [name for name in os.listdir(folder or self.folder) if name.startswith(MARK)]

    def whole(self, *words):
        """What these words write where nothing disturbs them."""
        path = self.path("undisturbed")
        shown = run(*words, path)
        self.assertEqual(shown.returncode, 0, shown.stderr)
        data = pathlib.Path(path).read_bytes()
        os.remove(path)
        return data

    def refused(self, shown, path, why):
        """One line that names the file, exit code 2."""
        self.assertEqual(shown.returncode, 2, shown.stderr)
        lines = shown.stderr.decode().splitlines()
        self.assertEqual(len(lines), 1, lines)
        self.assertTrue(lines[0].startswith(f"latchwright: {path}: "), lines[0])
        self.assertIn(why, lines[0])
        self.assertIn("nothing was written", lines[0])


class Killed(InFolder):
    """kill -9 while it replaces a file: the old one or the new one is there, whole."""
    COMMANDS = {
        "new": (NEW, "--force", "-o"),
        "size": (("size", "open.json", "--quiet"), "--force", "-o"),
        "fit": (FIT + ("--quiet",), "--replace", "-o"),
        "spread": (("spread", GOOD, "--samples", "10", "--cycles", "1", "--quiet"), "--force", "--csv"),
        # A long file: many samples.
        "cycle": (("cycle", GOOD, "--quiet"), "--force", "--csv"),
    }

    @classmethod
    def setUpClass(cls):
        elsewhere = tempfile.TemporaryDirectory(prefix="saving-")
        cls.addClassCleanup(elsewhere.cleanup)
        # Small, so that it is quick to choose for.
        door = {"name": "left", "actuator": "act-ordinary-2w", "wire": None, "branch_length_m": 2, "stroke_mm": 18,
                "rod_force": {"shape": "steady", "peak_N": 20}}
        job = {"latchwright_job": 1, "notes": "n" * 20000, "feed": {"length_m": 2, "wire": "wire-4.0", "fuse": "fuse-medium-15",
               "relay": "relay-40"}, "doors": [door], "use": {"cycles": 1, "hot_cycles": 1}}
        path = os.path.join(elsewhere.name, "open.json")
        pathlib.Path(path).write_text(json.dumps(job), encoding="utf-8")
        words, *rest = cls.COMMANDS["size"]
        cls.COMMANDS["size"] = (tuple(path if word == "open.json" else word for word in words), *rest)

    def kill_once(self, words, draw, usual_s):
        """Ends the program somewhere in its run, or, every other time, just after its temporary has appeared. True: it
        was still running."""
        with subprocess.Popen([PROGRAM, *words], stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) as process:
            begin = time.monotonic()
            if draw.random() < 0.5:
                end = begin + draw.uniform(0, usual_s)
                while process.poll() is None and time.monotonic() < end:
                    time.sleep(min(0.0005, max(0.0, end - time.monotonic())))
            else:
                known = set(self.leftovers())
                while process.poll() is None and set(self.leftovers()) <= known:
                    time.sleep(0.0001)
                end = time.monotonic() + draw.choice((0, 0.0002, 0.001, 0.004)) * draw.random()
                while time.monotonic() < end:
                    pass
            process.send_signal(signal.SIGKILL)
            return process.wait() == -signal.SIGKILL

    def killed_while(self, name, kills):
        words, replace, option = self.COMMANDS[name]
        draw = random.Random(f"{ASKED.seed} {name}")
        begin = time.monotonic()
        new = self.whole(*words, option)
        usual_s = time.monotonic() - begin
        self.assertNotEqual(new, OLD)
        seen = {"old": 0, "new": 0, "none": 0}
        killed = 0
        target = self.path("file")
        for kill in range(kills):
            fresh = kill % 4 == 3  # no file there before, and no leave to replace one
            if fresh:
                if os.path.exists(target):
                    os.remove(target)
            else:
                pathlib.Path(target).write_bytes(OLD)
            killed += self.kill_once(words + (() if fresh else (replace,)) + (option, target), draw, usual_s)
            found = pathlib.Path(target).read_bytes() if os.path.exists(target) else None
            if found == new:
                seen["new"] += 1
            elif fresh:
                self.assertIsNone(found, f"kill {kill} of {name} left {len(found or b'')} bytes of {len(new)}")
                seen["none"] += 1
            else:
                self.assertEqual(found == OLD, True, f"kill {kill} of {name} left neither the old nor the new file")
                seen["old"] += 1
        # What the kills left is in nobody's way.
        left = len(self.leftovers())
        shown = run(*words, replace, option, target)
        self.assertEqual(shown.returncode, 0, shown.stderr)
        self.assertTrue(pathlib.Path(target).read_bytes() == new)
        self.assertEqual(len(self.leftovers()), left)
        self.assertEqual(sorted(set(os.listdir(self.folder)) - set(self.leftovers())), ["file"])
        print(f"{name}: {killed} of {kills} runs killed; old file {seen['old']}, new file {seen['new']}, none yet "
              f"{seen['none']}; {left} temporaries left", flush=True)
        return killed

    def test_the_old_file_or_the_new_one(self):
        share = {"new": 0.4, "cycle": 0.2, "spread": 0.2, "fit": 0.1, "size": 0.1}
        killed = 0
        for name, part in share.items():
            with self.subTest(name):
                killed += self.killed_while(name, max(1, round(part * ASKED.kills)))
        # Else the kills came too late to say anything.
        self.assertGreater(killed, ASKED.kills // 3)


class NoRoom(InFolder):
    def limited(self, most_bytes, heed_signal):
        def limit():
            resource.setrlimit(resource.RLIMIT_FSIZE, (most_bytes, most_bytes))
            signal.signal(signal.SIGXFSZ, signal.SIG_DFL if heed_signal else signal.SIG_IGN)
        return limit

    def test_no_file_may_be_so_long(self):
        # As `ulimit -f` does: the write ends short and the next one fails; a shell also sends a signal.
        for heed_signal in (False, True):
            for most_bytes in (0, 1, 512):
                with self.subTest(most_bytes=most_bytes, heed_signal=heed_signal):
                    path = self.old()
                    shown = run(*NEW, "--force", "-o", path, preexec_fn=self.limited(most_bytes, heed_signal),
                                restore_signals=False)
                    self.refused(shown, path, "File too large")
                    self.assertEqual(pathlib.Path(path).read_bytes(), OLD)
                    self.assertEqual(os.listdir(self.folder), ["file.json"])

    def test_full_disk(self):
        if os.geteuid() != 0:
            self.skipTest("a small disk of its own needs root")
        mounted = self.path("disk")
        os.mkdir(mounted)
        made = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=64k", "tmpfs", mounted], capture_output=True, text=True,
                              check=False)
        if made.returncode != 0:
            self.skipTest(f"cannot make a small disk: {made.stderr.strip()}")
        try:
            path = os.path.join(mounted, "file.json")
            pathlib.Path(path).write_bytes(OLD)
            with open(os.path.join(mounted, "filler"), "wb", buffering=0) as filler:
                try:
                    while filler.write(b"x" * 4096):
                        pass
                except OSError:
                    pass
            shown = run(*NEW, "--force", "-o", path)
            self.refused(shown, path, "No space left on device")
            self.assertEqual(pathlib.Path(path).read_bytes(), OLD)
            self.assertEqual(sorted(os.listdir(mounted)), ["file.json", "filler"])
            # Room again: the same save goes through.
            os.remove(os.path.join(mounted, "filler"))
            self.assertEqual(run(*NEW, "--force", "-o", path).returncode, 0)
            self.assertNotEqual(pathlib.Path(path).read_bytes(), OLD)
        finally:
            subprocess.run(["umount", mounted], check=False)


class Refused(InFolder):
    def test_a_folder_that_may_not_be_written(self):
        # Root may write anywhere: then it goes without what permits that.
        may = "-dac_override,-dac_read_search"
        lesser = ["setpriv", f"--inh-caps={may}", f"--bounding-set={may}"] if os.geteuid() == 0 else []
        closed = self.path("closed")
        os.mkdir(closed)
        path = os.path.join(closed, "file.json")
        pathlib.Path(path).write_bytes(OLD)
        os.chmod(closed, 0o555)
        try:
            for target, force in ((path, ["--force"]), (os.path.join(closed, "fresh.json"), [])):
                shown = subprocess.run([*lesser, PROGRAM, *NEW, *force, "-o", target], capture_output=True, check=False)
                self.refused(shown, target, "cannot write into its folder (Permission denied)")
                self.assertEqual(os.listdir(closed), ["file.json"])
            self.assertEqual(pathlib.Path(path).read_bytes(), OLD)
        finally:
            os.chmod(closed, 0o755)

    def test_a_disk_that_may_not_be_written(self):
        if os.geteuid() != 0:
            self.skipTest("a read-only disk needs root")
        inside = self.path("inside")
        os.mkdir(inside)
        path = os.path.join(inside, "file.json")
        pathlib.Path(path).write_bytes(OLD)
        for words in (["mount", "--bind", inside, inside], ["mount", "-o", "remount,bind,ro", inside]):
            made = subprocess.run(words, capture_output=True, text=True, check=False)
            if made.returncode != 0:
                subprocess.run(["umount", inside], capture_output=True, check=False)
                self.skipTest(f"cannot make a read-only disk: {made.stderr.strip()}")
        try:
            self.refused(run(*NEW, "--force", "-o", path), path, "Read-only file system")
            self.assertEqual(pathlib.Path(path).read_bytes(), OLD)
        finally:
            subprocess.run(["umount", inside], check=False)

    def test_what_is_no_file(self):
        for path, why in ((self.folder, "is a folder"), ("/dev/null", "is not an ordinary file"),
                          (self.path("no", "such", "file.json"), "cannot write into its folder"),
                          (self.path("x" * 300), "File name too long")):
            self.refused(run(*NEW, "--force", "-o", path), path, why)
        self.assertEqual(os.listdir(self.folder), [])

    def test_a_file_that_exists_stays(self):
        path = self.old()
        shown = run(*NEW, "-o", path)
        self.assertEqual(shown.returncode, 2)
        self.assertEqual(pathlib.Path(path).read_bytes(), OLD)
        self.assertEqual(os.listdir(self.folder), ["file.json"])


class Names(InFolder):
    def test_links_stay_links(self):
        new = self.whole(*NEW, "-o")
        os.mkdir(self.path("elsewhere"))
        real = self.old(os.path.join("elsewhere", "real.json"))
        os.chmod(real, 0o640)
        os.symlink("elsewhere/real.json", self.path("first"))
        os.symlink("first", self.path("second"))
        self.assertEqual(run(*NEW, "--force", "-o", self.path("second")).returncode, 0)
        self.assertEqual(os.readlink(self.path("second")), "first")
        self.assertEqual(os.readlink(self.path("first")), "elsewhere/real.json")
        self.assertEqual(pathlib.Path(real).read_bytes(), new)
        self.assertEqual(os.stat(real).st_mode & 0o777, 0o640)
        self.assertEqual(os.listdir(self.path("elsewhere")), ["real.json"])
        # One that leads nowhere yet.
        os.symlink("elsewhere/later.json", self.path("nowhere"))
        self.assertEqual(run(*NEW, "-o", self.path("nowhere")).returncode, 0)
        self.assertEqual(os.readlink(self.path("nowhere")), "elsewhere/later.json")
        self.assertEqual(pathlib.Path(self.path("elsewhere", "later.json")).read_bytes(), new)
        os.symlink("circle", self.path("circle"))
        self.refused(run(*NEW, "--force", "-o", self.path("circle")), self.path("circle"), "in a circle")

    def test_foreign_and_long_names(self):
        new = self.whole(*NEW, "-o")
        for name in ("türöffner – 車 – дверь.json", "with blank and 'quotes\".json", "-dash.json", "x" * 250 + ".json",
                     "🔒" * 60, b"not utf-8 \xff\xfe.json", "two\nlines.json"):
            with self.subTest(name=name):
                path = os.path.join(os.fsencode(self.folder), os.fsencode(name))
                self.assertEqual(run(*NEW, "-o", path).returncode, 0)
                with open(path, "rb") as file:
                    self.assertEqual(file.read(), new)
                # Refusals that name it are one line for a terminal all the same.
                shown = run(*NEW, "-o", path)
                self.assertEqual(shown.returncode, 2)
                self.assertEqual([c for c in shown.stderr[:-1] if c < 32], [], shown.stderr)
                shown = run("check", os.path.join(path + b"x" if len(name) < 200 else path, b"none"))
                self.assertEqual(shown.returncode, 2)
                self.assertEqual([c for c in shown.stderr[:-1] if c < 32], [], shown.stderr)
                os.remove(path)
        self.assertEqual(os.listdir(self.folder), [])

    def test_deep_folders(self):
        new = self.whole(*NEW, "-o")
        # As deep as a path may be: the folder itself can be reached, the temporary's longer name just so or not.
        limit = os.pathconf("/", "PC_PATH_MAX")
        for length in (1000, 3000, limit - 60, limit - 12):
            with self.subTest(length=length):
                folder = self.folder
                while len(folder) + 2 < length - 6:
                    folder = os.path.join(folder, "d" * min(200, length - 6 - len(folder) - 1))
                os.makedirs(folder, exist_ok=True)
                path = os.path.join(folder, "f.json"[: length - len(folder) - 1])
                shown = run(*NEW, "-o", path)
                if shown.returncode == 0:
                    self.assertEqual(pathlib.Path(path).read_bytes(), new)
                    self.assertLess(length, limit - 18)
                else:
                    self.refused(shown, path, "File name too long")
                    self.assertGreater(length, limit - 30)
                    self.assertEqual(os.listdir(folder), [])
        shutil.rmtree(os.path.join(self.folder, os.listdir(self.folder)[0]))


if __name__ == "__main__":
    unittest.main(argv=[sys.argv[0], *REST])
