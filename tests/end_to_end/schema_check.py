#!/usr/bin/env python3
# SPDX-License-Identifier: GPL-3.0-or-later
"""Holds docs/*.schema.json against files with an independent validator (python3-jsonschema, draft 2020-12).

schema_check.py WRITER    WRITER: the program latchwright_write_schemas, which prints the worked case

Every part file, every example job and the worked case must validate. Every bad input of tests/model/bad_*.txt must
fail where its fault is one that a schema can say, and must validate where it is not: the schemas accept what the
program accepts, as far as they can tell.
"""
import json
import re
import subprocess
import sys
from pathlib import Path

from jsonschema import Draft202012Validator

ROOT = Path(__file__).resolve().parents[2]

# Faults between figures, names and references: beyond a schema of single values.
BEYOND = re.compile(
    r"must not be below|must not be above|must not be longer|must be above|must be below|must be 0|must reach"
    r"|is already the|there is no|is a part of kind|which does not exist|but that id is here"
    r"|entries where|must span|comes to|must not be null where|needs at least one time at a multiple"
)
# Faults of the text itself: there is no tree to validate.
NOT_A_TREE = re.compile(r"is not valid JSON|given twice|too large to be read")

failures = []


def check(condition, text):
    if not condition:
        failures.append(text)


def load_validator(name):
    schema = json.loads((ROOT / "docs" / name).read_text(encoding="utf-8"))
    Draft202012Validator.check_schema(schema)
    return Draft202012Validator(schema)


def first_fault(validator, tree):
    """The first complaint, or None."""
    for error in validator.iter_errors(tree):
        return f"/{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}"
    return None


def check_good(validator, tree, name):
    fault = first_fault(validator, tree)
    check(fault is None, f"{name}: must validate: {fault}")


def read_cases(path):
    """As tests/support/change_cases.h reads them: (title, [(old, new)], [line])."""
    cases = []
    for line in path.read_text(encoding="utf-8").split("\n"):
        if line.startswith("== "):
            cases.append((line[3:], [], []))
        elif line.startswith("- "):
            cases[-1][1].append((line[2:], ""))
        elif line.startswith("+ "):
            cases[-1][1][-1] = (cases[-1][1][-1][0], line[2:])
        elif line.startswith("! "):
            cases[-1][2].append(line[2:])
    return cases


def check_bad(validator, good, path):
    """Returns how many of the cases the schema must refuse and how many it must let pass."""
    refused = passed = 0
    for title, changes, lines in read_cases(path):
        if all(NOT_A_TREE.search(line) for line in lines):
            continue
        text = good
        for old, new in changes:
            check(old in text, f"{path.name}: {title}: nowhere: {old}")
            text = text.replace(old, new, 1)
        fault = first_fault(validator, json.loads(text))
        if all(BEYOND.search(line) for line in lines):
            passed += 1
            check(fault is None, f"{path.name}: {title}: a schema should let this pass: {fault}")
        else:
            refused += 1
            check(fault is not None, f"{path.name}: {title}: the schema lets this pass")
    return refused, passed


def main():
    job, parts = load_validator("job.schema.json"), load_validator("parts.schema.json")
    part_files = sorted((ROOT / "parts").glob("*.json"))
    check(len(part_files) >= 5, "parts/ holds fewer files than it should")
    for path in part_files:
        check_good(parts, json.loads(path.read_text(encoding="utf-8")), path.name)
    examples = sorted((ROOT / "docs" / "examples").glob("*.json"))
    for path in examples:
        tree = json.loads(path.read_text(encoding="utf-8"))
        check_good(parts if "latchwright_parts" in tree else job, tree, path.name)

    worked = subprocess.run([sys.argv[1], "--worked-case"], check=True, capture_output=True, text=True).stdout
    check_good(job, json.loads(worked), "worked case")
    good_parts = (ROOT / "tests" / "model" / "good_parts.json").read_text(encoding="utf-8")
    check_good(parts, json.loads(good_parts), "good_parts.json")
    for schema, good, name, least in ((job, worked, "bad_jobs.txt", 40), (parts, good_parts, "bad_parts.txt", 30)):
        refused, passed = check_bad(schema, good, ROOT / "tests" / "model" / name)
        check(refused >= least and passed >= 15, f"{name}: {refused} to be refused and {passed} to pass are too few")
        print(f"{name}: {refused} refused, {passed} beyond a schema")
    print(f"{len(part_files)} part files and {len(examples)} examples validated")
    for text in failures:
        print("FAILED:", text)
    return 1 if failures else 0


if __name__ == "__main__":
    sys.exit(main())
