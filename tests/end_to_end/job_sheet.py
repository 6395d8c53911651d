#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""The job sheet as a browser and a printer get it.

    job_sheet.py PROGRAM
"""
import html.parser
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unicodedata
import unittest
import xml.etree.ElementTree

PROGRAM = sys.argv.pop(1)
ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = str(ROOT / "docs/examples/five-door-estate.json")
GOOD = str(ROOT / "docs/examples/four-door-saloon.json")
SVG = "http://www.w3.org/2000/svg"
STOP = "Do not hand this installation over like this"
CAN_DRAW = "without Qt" not in subprocess.run([PROGRAM, "sheet", "no-such-job.json", "-o", "x.pdf"], capture_output=True,
                                              text=True, check=False).stderr


def run(*words):
    return subprocess.run([PROGRAM, *words], capture_output=True, text=True, check=False)


class Page(html.parser.HTMLParser):
    """What a browser makes of it: tags in order, texts, what is asked for from elsewhere."""
    VOID = {"meta"}

    def __init__(self, text):
        super().__init__(convert_charrefs=True)
        self.open, self.faults, self.tags, self.attributes, self.texts, self.first = [], [], [], [], [], ""
        self.feed(text)
        self.close()
        self.faults += [f"<{tag}> stays open" for tag in self.open]
        self.text = re.sub(r"\s+", " ", " ".join(self.texts))

    def handle_starttag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs
        if tag not in self.VOID:
            self.open.append(tag)

    def handle_startendtag(self, tag, attrs):
        self.tags.append(tag)
        self.attributes += attrs

    def handle_endtag(self, tag):
        if not self.open or self.open.pop() != tag:
            self.faults.append(f"</{tag}> closes something else")

    def handle_data(self, data):
        if "style" in self.open or "title" in self.open or not data.strip():
            return
        self.first = self.first or data.strip()
        self.texts.append(data)


class Sheet(unittest.TestCase):
    def setUp(self):
        self.folder = tempfile.TemporaryDirectory()
        self.addCleanup(self.folder.cleanup)

    def path(self, name):
        return os.path.join(self.folder.name, name)

    def made(self, job, name="sheet.html", *words):
        shown = run("sheet", job, "-o", self.path(name), *words)
        self.assertEqual((shown.returncode, shown.stderr), (0, ""))
        return pathlib.Path(self.path(name)).read_bytes()

    def pdf_pages(self, pdf):
        """Texts of the pages; none where the tool is not there."""
        if shutil.which("pdftotext") is None:
            return []
        text = subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True).stdout.decode()
        # Ligatures as the letters that they stand for.
        return [re.sub(r"\s+", " ", unicodedata.normalize("NFKC", page)) for page in text.split("\f")[:-1]]

    def test_html_is_whole_and_needs_nothing_else(self):
        text = self.made(DEMO).decode("utf-8")
        page = Page(text)
        self.assertEqual(page.faults, [])
        xml.etree.ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>\n"))
        for tag in ("script", "link", "img", "iframe", "object", "embed", "image"):
            self.assertNotIn(tag, page.tags)
        for name, value in page.attributes:
            self.assertFalse(name.startswith("on"), name)
            self.assertNotIn(name, ("src", "srcset", "style"))
            if name == "href":
                self.assertRegex(value, "^#")
        self.assertEqual(set(re.findall(r"http[^\"' ]*", text)), {SVG} if CAN_DRAW else set())
        self.assertEqual(page.tags.count("svg"), 5 if CAN_DRAW else 0)
        self.assertEqual(len(re.findall("left out, because the program was built without Qt", text)), 0 if CAN_DRAW else 5)
        # Every link leads to a section.
        ids = [value for name, value in page.attributes if name == "id"]
        self.assertEqual(ids, ["customer", "installer", "acceptance", "cautions"])
        self.assertEqual([value[1:] for name, value in page.attributes if name == "href"], ids)

    def test_says_what_check_says(self):
        check = json.loads(run("check", DEMO, "--json").stdout)
        text = run("check", DEMO).stdout
        page = Page(self.made(DEMO).decode("utf-8"))
        self.assertTrue(page.first.startswith("✕ " + STOP), page.first)
        table = text.split("Each check where it is weakest\n")[1].split("\n\n")[0].splitlines()[1:]
        self.assertEqual(len(table), 14)
        for line in table:
            for cell in re.split(r"  +", line.strip()):
                self.assertIn(cell, page.text)
        for row in check["checks"]:
            if row["door"]:
                self.assertIn(row["door"], page.text)
            if row["state"] == "fails":
                self.assertIn(row["why"], page.text)
                self.assertIn(row["change"]["text"], page.text)
        for reading in check["prove"]:
            self.assertIn(reading["reading"], page.text)
        job = json.loads(pathlib.Path(DEMO).read_text(encoding="utf-8"))
        parts = {job["feed"][key] for key in ("wire", "fuse", "relay")}
        parts |= {door[key] for door in job["doors"] for key in ("actuator", "wire", "fuse") if key in door}
        for part in parts:
            self.assertIn(part, page.text)
        self.assertIn(job["title"], page.text)
        self.assertIn(job["notes"], page.text)

    def test_a_job_that_passes(self):
        page = Page(self.made(GOOD).decode("utf-8"))
        self.assertNotIn("Do not hand", page.text)
        self.assertIn("Passes: ", page.text)
        self.assertIn("acceptance test", page.text.lower())

    def test_same_input_same_bytes(self):
        for name in ("a.html",) + (("a.pdf",) if CAN_DRAW else ()):
            first = self.made(GOOD, name)
            self.assertTrue(first == self.made(GOOD, name, "--force"))
            dated = self.made(GOOD, name, "--force", "--date", "2026-03-31")
            self.assertFalse(first == dated)
        self.assertIn("2026-03-31", self.made(GOOD, "b.html", "--date", "2026-03-31").decode("utf-8"))

    def test_markup_in_a_job_stays_text(self):
        attack = "\"'><script>alert(1)</script><svg onload=alert(1)>&lt;"
        job = json.loads(pathlib.Path(GOOD).read_text(encoding="utf-8"))
        relay = {"id": "own-relay", "kind": "relay", "title": "relay " + attack, "contact_mohm": 5, "rated_A": 30,
                 "source": {"kind": "measured", "note": "note " + attack}}
        job.update(title="title " + attack, notes="notes " + attack, parts=[relay])
        job["feed"]["relay"] = "own-relay"
        job["doors"][0]["name"] = "door " + attack
        pathlib.Path(self.path("job.json")).write_text(json.dumps(job), encoding="utf-8")
        text = self.made(self.path("job.json")).decode("utf-8")
        page = Page(text)
        self.assertEqual(page.faults, [])
        self.assertNotIn("script", page.tags)
        self.assertFalse([name for name, _ in page.attributes if name.startswith("on")])
        for place in ("title ", "notes ", "relay ", "note ", "door "):
            self.assertIn(place + attack, page.text)
        self.assertNotIn("<script", text)

    @unittest.skipUnless(CAN_DRAW, "built without Qt")
    def test_pdf(self):
        pdf = self.made(DEMO, "sheet.pdf")
        self.assertTrue(pdf.startswith(b"%PDF"))
        self.assertFalse(b"CreationDate" in pdf)
        count = pdf.count(b"/Type /Page\n")
        self.assertGreaterEqual(count, 8)
        pages = self.pdf_pages(pdf)
        if not pages:
            return
        self.assertEqual(len(pages), count)
        self.assertTrue(pages[0].strip().startswith("✕ " + STOP))
        self.assertIn("For the owner of the car", pages[0])
        # The owner's page is one page.
        self.assertIn("For the fitter", pages[1])
        for number, page in enumerate(pages, 1):
            self.assertIn(f"page {number} of {count}", page)
            self.assertRegex(page, r"input [0-9a-f]{4}(-[0-9a-f]{4}){3}")
        whole = " ".join(pages)
        for words in ("Acceptance test", "Cautions and assumptions", "tailgate", "act-heavy-2w", "0.511", "fitter's signature",
                      "Battery off"):
            self.assertIn(words, whole)
        # 8.5 x 11 in; told in few words where it is wrong, a PDF is long.
        letter = self.made(DEMO, "letter.pdf", "--paper", "letter")
        self.assertTrue(re.search(rb"/MediaBox \[0 0 612(\.0+)? 792(\.0+)?\]", letter))
        self.assertFalse(re.search(rb"/MediaBox \[0 0 612", pdf))
        self.assertIn("For the fitter", (self.pdf_pages(letter) or pages)[1])

    def test_result_for_other_programs(self):
        shown = run("sheet", DEMO, "-o", self.path("a.html"), "--json")
        data = json.loads(shown.stdout)
        self.assertEqual((data["latchwright_result"], data["verb"], data["at"], data["pass"]), (1, "sheet", None, False))
        self.assertEqual(data["weakest"], json.loads(run("check", DEMO, "--json").stdout)["weakest"])
        self.assertIn(data["input"], pathlib.Path(self.path("a.html")).read_text(encoding="utf-8"))
        self.assertIn(STOP, run("sheet", DEMO, "-o", self.path("b.html")).stdout)
        self.assertEqual(run("sheet", DEMO, "-o", self.path("c.html"), "--quiet").stdout, "")

    def test_only_some_doors_says_so(self):
        page = Page(self.made(DEMO, "a.html", "--door", "tailgate").decode("utf-8"))
        self.assertIn("(only 1 of its 5 doors)", page.text)
        self.assertNotIn("rear right", page.text.replace("notes", ""))

    def test_faults_write_nothing(self):
        open_job = str(ROOT / "docs/examples/taxi-open.json")
        cases = {
            ("sheet", DEMO): "latchwright sheet: -o is required",
            ("sheet", DEMO, "-o", self.path("x.txt")): "job sheets go into files that end in .html or .pdf",
            ("sheet", DEMO, "-o", self.path("x.html"), "--paper", "letter"): "--paper is for .pdf",
            ("sheet", DEMO, "-o", self.path("x.pdf"), "--paper", "a5"): "is not one of a4, letter",
            ("sheet", DEMO, "-o", self.path("x.html"), "--date", "2026-02-30"): "is no day of the calendar",
            ("sheet", DEMO, "-o", self.path("x.html"), "--date", "31.3.2026"): "is no day of the calendar",
            ("sheet", DEMO, "-o", self.path("x.html"), "--voltage", "9"): "no option --voltage here",
            ("sheet", open_job, "-o", self.path("x.html")): "is not chosen yet",
        }
        for words, line in cases.items():
            with self.subTest(words=words):
                shown = run(*words)
                self.assertEqual((shown.returncode, shown.stdout), (2, ""))
                self.assertIn(line, shown.stderr)
        self.assertEqual(os.listdir(self.folder.name), [])
        self.made(GOOD)
        self.assertIn("exists already", run("sheet", GOOD, "-o", self.path("sheet.html")).stderr)


if __name__ == "__main__":
    unittest.main()
