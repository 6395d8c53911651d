#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Input that no sane program writes: refused in a few clear lines, within 20 s and 1.5 GB; markup in every text of a
job and its parts, which the job sheet shows as text; formulas in them, which a spreadsheet takes for text; and characters
that cannot be seen or turn the direction of a text, which are refused.

    hostile.py PROGRAM
"""
import copy
import csv
import html.parser
import json
import os
import pathlib
import resource
import subprocess
import sys
import tempfile
import threading
import unicodedata
import unittest
import xml.etree.ElementTree

PROGRAM = os.path.abspath(sys.argv.pop(1))
ROOT = pathlib.Path(__file__).resolve().parents[2]
GOOD = str(ROOT / "docs/examples/four-door-saloon.json")
SLOW_BUILD = "LATCHWRIGHT_SLOW_BUILD" in os.environ
MOST_SECONDS = 400 if SLOW_BUILD else 20
MOST_BYTES = None if SLOW_BUILD else 1_500_000_000
MOST_LINES = 210
MOST_COLUMNS = 2000


def limit():
    if MOST_BYTES is not None:
        resource.setrlimit(resource.RLIMIT_AS, (MOST_BYTES, MOST_BYTES))


def run(*words, **options):
    return subprocess.run([PROGRAM, *words], capture_output=True, check=False, timeout=MOST_SECONDS, preexec_fn=limit,
                          **options)


def good_job():
    return json.loads(pathlib.Path(GOOD).read_text(encoding="utf-8"))


class InFolder(unittest.TestCase):
    def setUp(self):
        folder = tempfile.TemporaryDirectory(prefix="hostile-")
        self.addCleanup(folder.cleanup)
        self.folder = folder.name

    def path(self, name):
        return os.path.join(self.folder, name)

    def written(self, data, name="job.json"):
        if not isinstance(data, (bytes, str)):
            data = json.dumps(data)
        pathlib.Path(self.path(name)).write_bytes(data if isinstance(data, bytes) else data.encode("utf-8"))
        return self.path(name)

    def lines_of(self, shown):
        """Of a refusal: exit code 2, nothing but readable lines on standard error."""
        self.assertEqual(shown.returncode, 2, shown.stderr[-500:])
        self.assertEqual(shown.stdout, b"")
        lines = shown.stderr.decode("utf-8").split("\n")
        self.assertEqual(lines.pop(), "")
        self.assertGreaterEqual(len(lines), 1)
        self.assertLessEqual(len(lines), MOST_LINES)
        for line in lines:
            self.assertLessEqual(len(line), MOST_COLUMNS)
            self.assertEqual([c for c in line if ord(c) < 32 or ord(c) == 127], [], line)
            self.assertNotIn("fault of the program", line)
            self.assertNotIn("bad_alloc", line)
        return lines

    def refused(self, path, *whys, words=("check",), count=1):
        lines = self.lines_of(run(*words, path))
        if count is not None:
            self.assertEqual(len(lines), count, lines)
        for why in whys:
            self.assertIn(why, lines[0])
        self.assertIn(os.path.basename(path), lines[0])
        return lines


class Json(InFolder):
    def test_nesting(self):
        for piece in ("[", '{"a":', '[{"a":'):
            with self.subTest(piece=piece):
                self.refused(self.written(piece * 3_000_000), "is nested too deeply (at most 32 levels)")
        # Inside a job, and closed again as it should be.
        job = good_job()
        text = json.dumps(job).replace('"title":', '"notes2": ' + "[" * 200_000 + "]" * 200_000 + ', "title":', 1)
        self.refused(self.written(text), "is nested too deeply")

    def test_numbers_without_end(self):
        for digits in ("1" * 10_000_000, "-" + "9" * 10_000_000, "1e" + "9" * 1_000_000):
            text = json.dumps(good_job()).replace('"on_s": 0.', f'"on_s": {digits}, "x": 0.', 1)
            self.assertIn(digits, text)
            self.refused(self.written(text), "/pulse/on_s", "too large to be read")
        # A long one that is a good number all the same.
        digits = "0." + "0" * 1_000_000 + "1"
        text = json.dumps(good_job()).replace('"on_s": 0.', f'"on_s": {digits}, "x": 0.', 1)
        lines = self.refused(self.written(text), count=None)
        self.assertTrue(any("/pulse/on_s" in line and "outside the permitted range" in line for line in lines), lines)

    def test_a_pipe_without_end(self):
        pipe = self.path("pipe.json")
        os.mkfifo(pipe)
        sent = []

        def feed():
            total = 0
            try:
                with open(pipe, "wb", buffering=0) as out:
                    out.write(b'{"latchwright_job": 1')
                    while total < 1_000_000_000:
                        total += out.write(b"1" * 1_000_000)
            except BrokenPipeError:
                pass
            sent.append(total)

        feeder = threading.Thread(target=feed, daemon=True)
        feeder.start()
        self.refused(pipe, "at most 32 MB")
        feeder.join(30)
        # Read no further than it must.
        self.assertTrue(sent and sent[0] < 100_000_000, sent)

    def test_long_texts(self):
        long = "x" * 10_000_000
        for change in (lambda job: job.update(title=long), lambda job: job["doors"][0].update(name=long),
                       lambda job: job["feed"].update(wire=long), lambda job: job.update(notes=long),
                       lambda job: job["doors"][0]["rod_force"].update(shape=long)):
            job = good_job()
            change(job)
            self.refused(self.written(job), "is 10000000 characters long")
        job = good_job()
        job[long] = 1
        self.refused(self.written(job), "unknown key")
        job = good_job()
        job["pulse"]["on_s"] = long
        self.refused(self.written(job), "/pulse/on_s", "must be a number")

    def test_keys_given_again_and_again(self):
        text = '{"latchwright_job": 1' + ', "title": "a"' * 500_000 + "}"
        self.assertIn("given twice", self.refused(self.written(text), "/title", count=None)[0])
        text = json.dumps(good_job()).replace('"pulse":', '"pulse": {"on_s": 0.5}, "pulse":', 1)
        self.refused(self.written(text), "/pulse: this key is given twice")

    def test_keys_that_nobody_knows(self):
        job = good_job()
        job.update({f"k{number}": number for number in range(300_000)})
        self.refused(self.written(job), "unknown key", count=None)
        job = good_job()
        job["doors"][0].update({f"strok_mm{number}" * 20: number for number in range(20_000)})
        self.refused(self.written(job), "unknown key", count=None)

    def test_long_lists(self):
        door = good_job()["doors"][0]
        for change in (lambda job: job["doors"][0].update(rod_force={"shape": "table", "x_mm": [0] * 1_000_000, "N": [1, 2]}),
                       lambda job: job.update(doors=[door] * 20_000), lambda job: job.update(doors=[0] * 1_500_000),
                       lambda job: job.update(parts=[{}] * 600_000)):
            job = good_job()
            change(job)
            self.refused(self.written(job), "entries", count=None)
        self.refused(self.written("[" + "0," * 2_500_000 + "0]"), "too many values (at most 2000000)")
        self.refused(self.written(" " * (33 << 20)), "MB large (at most 32 MB)")

    def test_parts_by_the_thousand_all_broken(self):
        parts = {"latchwright_parts": 1, "parts": [{"id": f"p{number}", "kind": "wire"} for number in range(20_000)]}
        lines = self.lines_of(run("parts", "--parts", self.written(parts, "parts.json")))
        self.assertIn("/parts/0", lines[0])
        job = good_job()
        job["parts"] = parts["parts"]
        self.refused(self.written(job), "/parts/0", count=None)
        parts["parts"] = [0] * 20_000
        self.lines_of(run("parts", "--parts", self.written(parts, "parts.json")))
        parts["parts"] = [{"id": "same", "kind": "relay", "title": "r", "source": {"kind": "invented"}, "contact_mohm": 5,
                           "rated_A": 30}] * 20_000
        self.lines_of(run("parts", "--parts", self.written(parts, "parts.json")))

    def test_what_is_not_utf_8(self):
        text = pathlib.Path(GOOD).read_text(encoding="utf-8")
        self.assertEqual(run("check", self.written(b"\xef\xbb\xbf" + text.encode())).returncode,
                         run("check", GOOD).returncode)
        for encoding in ("utf-16", "utf-16-le", "utf-16-be", "utf-32"):
            with self.subTest(encoding):
                self.refused(self.written(text.encode(encoding)), "not a text in UTF-8")
        name = good_job()["doors"][0]["name"].encode()
        whole = text.encode()
        self.assertIn(name, whole)
        for label, bytes_ in (("a NUL byte", b"a\0b"), ("half a surrogate", b"\xed\xa0\x80"), ("overlong", b"\xc0\xaf"),
                              ("beyond Unicode", b"\xf5\x80\x80\x80"), ("cut off", b"\xe2\x82"), ("Latin-1", b"t\xfcr"),
                              ("a bare continuation", b"\x80")):
            with self.subTest(label):
                self.refused(self.written(whole.replace(name, bytes_, 1)), "UTF-8")
        for label, escape in (("half a surrogate", r"\ud800"), ("the other half", r"\udc00"), ("the wrong way", r"\udc00\ud800"),
                              ("half and a letter", r"\ud83dx"), ("cut off", r"\u12"), ("unknown", r"\x41")):
            with self.subTest(label):
                self.refused(self.written(whole.replace(name, escape.encode(), 1)), "is not valid JSON at line")
        for label, escape in (("NUL", r"\u0000"), ("a line end", r"\n"), ("a terminal's escape", r"\u001b[2J"),
                              ("C1", r"\u009b")):
            with self.subTest(label):
                self.refused(self.written(whole.replace(name, escape.encode(), 1)), "/doors/0/name", count=None)

    def test_what_is_no_job(self):
        for data in (b"", b" \n", b"null", b"0", b'"x"', b"[]", b"{}", b"\0", b"\xff" * 100, b"PK\x03\x04" + bytes(1000),
                     os.urandom(1_000_000), b"NaN", b"{" * 31 + b"}" * 31, b'{"latchwright_job": 1e400}',
                     b'{"latchwright_job": "1"}', b'{"latchwright_job": 2}', b'{"latchwright_job": -1}', b'{"latchwright_job": 1.5}',
                     b'{"latchwright_job": 1}', b'{"latchwright_job": null}', b'{"latchwright_job": true}',
                     b'{"latchwright_parts": 1, "parts": []}', b'{"__proto__": {}, "latchwright_job": 1}'):
            with self.subTest(data[:40]):
                self.refused(self.written(data), count=None)
        for path in ("/dev/zero", "/dev/full", self.folder, self.path("none")):
            self.lines_of(run("check", path))


class Slices(InFolder):
    def test_what_is_no_slice_of_a_spread(self):
        made = run("spread", GOOD, "--samples", "10", "--cycles", "1", "--slice", "1/2", "--json")
        self.assertEqual(made.returncode, 0, made.stderr)
        good = json.loads(made.stdout)
        out = self.path("all.json")
        for label, change in (("a job", lambda _: good_job()), ("empty", lambda _: {}), ("a list", lambda _: [1]),
                              ("no settings", lambda data: data.update(settings=None)),
                              ("no draws", lambda data: data["settings"].update(samples=-1)),
                              ("many draws", lambda data: data["settings"].update(samples=1e15)),
                              ("no slice", lambda data: data["settings"].update(slice="0/0")),
                              ("long text", lambda data: data["settings"].update(slice="9" * 1_000_000)),
                              ("all null", lambda data: [data.update({key: None}) for key in data if key != "verb"]),
                              ("all lists", lambda data: [data.update({key: [[0]]}) for key in data]),
                              ("all numbers", lambda data: [data.update({key: 1e300}) for key in data])):
            with self.subTest(label):
                data = copy.deepcopy(good)
                new = change(data)
                path = self.written(new if label in ("a job", "empty", "a list") else data, "slice.json")
                self.lines_of(run("join", path, "-o", out))
                self.assertFalse(os.path.exists(out))


class Logs(InFolder):
    FIT = ("fit", "--like", "act-ordinary-2w", "--ambient", "20")

    def refused_log(self, data, *whys, count=1):
        return self.refused(self.written(data, "log.csv"), *whys, words=self.FIT, count=count)

    def test_ten_million_rows(self):
        path = self.path("log.csv")
        with open(path, "w", encoding="ascii") as out:
            out.write("time_s,current_A,voltage_V\n")
            for begin in range(0, 10_000_000, 100_000):
                out.write("".join(f"{row},1,1\n" for row in range(begin, begin + 100_000)))
        self.refused(path, "(at most 4000000)", words=self.FIT)
        with open(path, "ab") as out:
            out.write(b"#" * (20 << 20))
        self.refused(path, "MB", words=self.FIT)

    def test_rows_of_every_bad_kind(self):
        head = "time_s,current_A,voltage_V\n"
        for label, body in (("no number", "x,x,x\n" * 200_000), ("no order", "1,1,1\n" * 200_000), ("no end", "1," * 5_000_000),
                            ("quotes", '"' * 1_000_001), ("infinite", "0,inf,1\n"), ("huge", "0,1e999,1\n"),
                            ("long number", "0," + "1" * 5_000_000 + ",1\n"), ("time alone", "5\n" * 1000),
                            ("nothing there", "nan,nan,nan\n" * 1000)):
            with self.subTest(label):
                self.refused_log(head + body, count=None)
        for label, data in (("empty", ""), ("head alone", head), ("long head", "a," * 2_000_000 + "\n1,1,1\n"),
                            ("twice", "time_s,time_ms,current_A,voltage_V\n0,0,1,1\n"), ("no unit", "time_h,current_A,voltage_V\n")):
            with self.subTest(label):
                self.refused_log(data, count=None)
        for label, data in (("UTF-16", (head + "0,1,1\n").encode("utf-16")), ("NUL", head.encode() + b"0,\0,1\n"),
                            ("not UTF-8", b"\xff\xfe\xfd," + head.encode() + b"0,1,1\n"), ("bytes", bytes(range(256)) * 4000)):
            with self.subTest(label):
                self.refused_log(data, count=None)

    def test_few_samples(self):
        # Lawful rows that are no log of an actuator.
        head = "time_s,current_A,voltage_V\n"
        for label, body in (("one", "0,1,1\n"), ("zeros", "".join(f"{k},0,0\n" for k in range(1000))),
                            ("ends", "".join(f"{k / 10},{500 * (-1) ** k},100\n" for k in range(1000))),
                            ("far times", "-1e10,4,12\n1e10,4,12\n"), ("close times", "0,4,12\n5e-324,4,12\n1e-323,4,12\n"),
                            ("missing", "".join(f"{k / 10},,\n" for k in range(1000)))):
            with self.subTest(label):
                self.refused_log(head + body, count=None)


ATTACKS = (
    "</script><script>alert(1)</script>",
    "<img src=x onerror=alert(1)>",
    "\"><svg onload=alert(1)>",
    "' onmouseover='alert(1)",
    "</style><style>*{display:none}",
    "</title></head><body onload=alert(1)>",
    "--><!--<a href=javascript:alert(1)>",
    "]]><![CDATA[<b>x</b>]]>",
    "&lt;b&gt;&#60;i&#62;&amp;lt;",
    "<?xml version=\"1.0\"?><!ENTITY a \"b\">",
    "<text x=\"0\"><tspan>svg</tspan></text>",
    "}*{background:url(//x.invalid)}/*",
)
HARMLESS = str.maketrans({c: "x" for c in "<>&\"'"})


class Page(html.parser.HTMLParser):
    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.structure, self.values, self.text = [], [], []
        self.feed(text)
        self.close()

    def handle_starttag(self, tag, attrs):
        self.structure.append((tag, tuple(name for name, _ in attrs)))
        self.values += [(tag, name, value) for name, value in attrs]

    def handle_startendtag(self, tag, attrs):
        self.handle_starttag(tag, attrs)
        self.handle_endtag(tag)

    def handle_endtag(self, tag):
        self.structure.append("/" + tag)

    def handle_data(self, data):
        self.text.append(data)

    def handle_comment(self, data):
        self.structure.append("comment " + data)

    def handle_decl(self, decl):
        self.structure.append("declaration " + decl)

    def unknown_decl(self, data):
        self.structure.append("unknown " + data)

    def handle_pi(self, data):
        self.structure.append("instruction " + data)


class Markup(InFolder):
    def job_with(self, attack):
        """The good job with this in each text that a file may hold; its parts travel with it, so that they are shown."""
        job = good_job()
        job["title"] = "title " + attack
        job["notes"] = f"notes {attack}\nsecond line {attack}"
        ids = {job["feed"][key] for key in ("wire", "fuse", "relay")}
        for number, door in enumerate(job["doors"]):
            # 60 characters at most; unique.
            door["name"] = f"{number} {attack}"[:60]
            ids |= {door[key] for key in ("actuator", "wire", "fuse") if key in door}
        known = {}
        for path in sorted((ROOT / "parts").glob("*.json")):
            for part in json.loads(path.read_text(encoding="utf-8"))["parts"]:
                known[part["id"]] = part
        job["parts"] = []
        for name in sorted(ids):
            part = copy.deepcopy(known[name])
            part["title"] = f"part {name} {attack}"
            part["source"]["note"] = f"note of {name} {attack}"
            if "colour" in part:
                part["colour"] = f"c {attack}"[:40]
            job["parts"].append(part)
        return job

    def sheet(self, job):
        out = self.path("sheet.html")
        shown = run("sheet", self.written(job), "-o", out, "--force", "--quiet")
        self.assertEqual((shown.returncode, shown.stderr), (0, b""))
        return pathlib.Path(out).read_text(encoding="utf-8")

    def test_a_sheet_is_the_same_with_and_without(self):
        for attack in ATTACKS:
            with self.subTest(attack):
                hostile_text = self.sheet(self.job_with(attack))
                hostile, plain = Page(hostile_text), Page(self.sheet(self.job_with(attack.translate(HARMLESS))))
                # No tag, attribute, comment or declaration that is not our own.
                self.assertEqual(hostile.structure, plain.structure)
                self.assertEqual([(tag, name, value and value.translate(HARMLESS)) for tag, name, value in hostile.values],
                                 [(tag, name, value and value.translate(HARMLESS)) for tag, name, value in plain.values])
                # It is all there to be read, as text.
                self.assertGreaterEqual("".join(hostile.text).count(attack), 3)
                xml.etree.ElementTree.fromstring(hostile_text.removeprefix("<!DOCTYPE html>\n"))
                tags = {tag for tag, *_ in hostile.values}
                self.assertFalse(tags & {"script", "img", "iframe", "object", "embed", "link", "base", "form"}, tags)

    def test_results_stay_json_and_tables(self):
        for attack in (ATTACKS[0], "a\"b,c;d", "\\u0041\\", "-1+1", "=1+1", "%s%n%d{}{0}"):
            with self.subTest(attack):
                path = self.written(self.job_with(attack))
                result = json.loads(run("cycle", path, "--cycles", "1", "--json").stdout)
                self.assertEqual([door["door"] for door in result["doors"]],
                                 [f"{number} {attack}"[:60] for number in range(len(result["doors"]))])
                text = run("cycle", path, "--cycles", "1").stdout.decode("utf-8")
                self.assertIn(f"0 {attack}"[:60], text)


# Beginnings that make a formula: OWASP, "CSV Injection".
FORMULAS = ("=1+1", "+1+1", "-1+1", "@SUM(1,1)", "=HYPERLINK(\"x\";\"y\")", "＝1+1", "-", "left;=1+1")


class Spreadsheets(InFolder):
    def is_number(self, cell):
        try:
            float(cell)
        except ValueError:
            return False
        return True

    def cells(self, name):
        with open(self.path(name), encoding="utf-8", newline="") as file:
            rows = list(csv.reader(file))
        self.assertGreater(len(rows), 1)
        self.assertEqual({len(row) for row in rows}, {len(rows[0])})
        return [cell for row in rows for cell in row]

    def assert_harmless(self, name):
        for cell in self.cells(name):
            for piece in cell.split(";"):
                self.assertFalse(piece[:1] in tuple("=+-@\t\r\n＝＋－＠") and not self.is_number(piece), cell)

    def test_no_cell_of_a_result_is_a_formula(self):
        for formula in FORMULAS:
            with self.subTest(formula):
                job = good_job()
                for number, door in enumerate(job["doors"]):
                    door["name"] = formula + " " * (number > 0) + "x" * number
                path = self.written(job)
                names = {door["name"].replace("=", "'=") if door["name"].startswith("left") else "'" + door["name"]
                         for door in job["doors"]}
                for verb, *words in (("check", "--all-corners"), ("cycle", "--cycles", "1"), ("curves",)):
                    shown = run(verb, path, *words, "--csv", self.path(f"{verb}.csv"), "--force")
                    self.assertIn(shown.returncode, (0, 1), shown.stderr)
                    self.assert_harmless(f"{verb}.csv")
                # Each name is there, to be read but for the apostrophe.
                self.assertLessEqual(names, set(self.cells("cycle.csv")))
                self.assertLessEqual(names, set(self.cells("check.csv")))

    def test_a_log_named_like_a_formula(self):
        log = (ROOT / "docs/examples/held-log.csv").read_bytes()
        pathlib.Path(self.path("=1+1.csv")).write_bytes(log)
        shown = run("fit", "=1+1.csv", "--like", "act-ordinary-2w", "--ambient", "20", "--csv", "out.csv", cwd=self.folder)
        self.assertIn(shown.returncode, (0, 3), shown.stderr)
        self.assertIn("'=1+1.csv", self.cells("out.csv"))
        self.assert_harmless("out.csv")
        # Numbers below zero are still numbers.
        self.assertTrue(any(self.is_number(cell) and float(cell) < 0 for cell in self.cells("out.csv")))


# Unseen by Unicode's general category Cf (formats), but written on paper: Arabic and Syriac number signs; or needed for
# writing a language: the two joiners and Mongolian's vowel separator. Beyond U+FFFF: nothing of Cf is refused.
WRITTEN_FORMATS = {*range(0x600, 0x606), 0x6DD, 0x70F, 0x890, 0x891, 0x8E2, 0x200C, 0x200D, 0x180E}
DIRECTIONS = {"LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"}


def is_misleading(code):
    category = unicodedata.category(chr(code))
    return category in ("Cc", "Zl", "Zp") or (category == "Cf" and code < 0x10000 and code not in WRITTEN_FORMATS)


class Unseen(InFolder):
    def parts_titled(self, titles):
        return {"latchwright_parts": 1, "parts": [
            {"id": f"relay-{number}", "kind": "relay", "title": title, "source": {"kind": "invented"}, "contact_mohm": 5,
             "rated_A": 30} for number, title in enumerate(titles)]}

    def test_each_is_refused_and_named(self):
        # Against the Unicode data that Python carries.
        codes = [code for code in range(0x10000) if is_misleading(code)]
        self.assertTrue({code for code in range(0x10000) if unicodedata.bidirectional(chr(code)) in DIRECTIONS} <= set(codes))
        self.assertGreater(len(codes), 90)
        found = []
        for begin in range(0, len(codes), 50):
            some = codes[begin:begin + 50]
            lines = self.lines_of(run("parts", "--parts", self.written(self.parts_titled(
                [f"a{chr(code)}b" for code in some]), "parts.json")))
            self.assertEqual(len(lines), len(some))
            found += lines
        for number, (code, line) in enumerate(zip(codes, found)):
            self.assertIn(f"/parts/{number % 50}/title: \"a", line)
            self.assertIn("character 2 ", line)
            self.assertIn(f"(U+{code:04X}); one line of plain text is wanted", line)
            self.assertEqual([c for c in line if is_misleading(ord(c))], [], line)

    def test_all_else_that_is_assigned_may_stand(self):
        good = [chr(code) for code in range(0x110000)
                if not is_misleading(code) and unicodedata.category(chr(code)) not in ("Cn", "Cs", "Co")]
        self.assertGreater(len(good), 100_000)
        titles = ["".join(good[begin:begin + 200]) for begin in range(0, len(good), 200)]
        shown = run("parts", "--json", "--parts", self.written(json.dumps(self.parts_titled(titles), ensure_ascii=False),
                                                               "parts.json"))
        self.assertEqual((shown.returncode, shown.stderr), (0, b""))
        back = {part["id"]: part["title"] for part in json.loads(shown.stdout)["parts"]}
        self.assertEqual([back[f"relay-{number}"] for number in range(len(titles))], titles)

    def test_every_text_of_a_job(self):
        for code in (0x1B, 0x9B, 0x2028, 0x202E, 0x2066, 0x200B, 0xFEFF):
            for pointer, change in (("/title", lambda job, text: job.update(title=text)),
                                    ("/notes", lambda job, text: job.update(notes=text)),
                                    ("/doors/1/name", lambda job, text: job["doors"][1].update(name=text))):
                with self.subTest(code=hex(code), pointer=pointer):
                    job = good_job()
                    change(job, f"rear {chr(code)}right")
                    for verb in ("check", "sheet"):
                        out = ("-o", self.path("sheet.html")) if verb == "sheet" else ()
                        self.refused(self.written(job), f"{pointer}: \"rear \\u{code:04x}right\": character 6 ",
                                     words=(verb, *out))
                    self.assertFalse(os.path.exists(self.path("sheet.html")))

    def test_keys_values_and_file_names_are_shown_as_they_are(self):
        job = good_job()
        job["ti\u202etle"] = 1
        job["pulse"]["on_s"] = "\u2066\u001b[2J"
        lines = self.refused(self.written(job), count=2)
        self.assertTrue(any(r"/ti\u202etle: unknown key" in line for line in lines), lines)
        self.assertTrue(any(r'not "\u2066\u001b[2J"' in line for line in lines), lines)
        name = "a\u202e\x1b[2J\u200b.json"
        lines = self.lines_of(run("check", self.path(name)))
        self.assertIn(r"a\u202e\u001b[2J\u200b.json: there is no such file", lines[0])
        self.written(good_job(), name)
        for words in (("check", "--json"), ("check",), ("cycle", "--cycles", "1")):
            shown = run(*words, self.path(name)).stdout.decode("utf-8")
            self.assertEqual([c for c in shown if is_misleading(ord(c)) and c != "\n"], [])
        log = "\u202e.csv"
        pathlib.Path(self.path(log)).write_bytes((ROOT / "docs/examples/held-log.csv").read_bytes())
        shown = run("fit", log, "--like", "act-ordinary-2w", "--ambient", "20", "--csv", "out.csv", cwd=self.folder)
        self.assertIn(shown.returncode, (0, 3), shown.stderr)
        for text in (shown.stdout.decode("utf-8"), pathlib.Path(self.path("out.csv")).read_text(encoding="utf-8")):
            self.assertIn(r"\u202e.csv", text)
            self.assertEqual([c for c in text if is_misleading(ord(c)) and c != "\n"], [])


if __name__ == "__main__":
    unittest.main()
