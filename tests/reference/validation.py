#!/usr/bin/env python3
"""Writes docs/validation.md: what was checked against what.

usage: validation.py PROGRAM TESTS           writes the page; TESTS is build/release/tests/tierce_tests
       validation.py --check PROGRAM TESTS   says whether the page is current, and runs every comparison
"""
import collections
import csv
import math
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import textwrap

ROOT = pathlib.Path(__file__).resolve().parents[2]
PAGE = ROOT / "docs" / "validation.md"
HEAD = """# Validation

What is checked against what, each time the tests run. No expected value comes from the program's own earlier output.
This page is written by `tests/reference/validation.py`; a test holds it current.

## The demo reserves, reckoned twice

`tests/reference/cellar.py` is a second program, written from [model.md](model.md) alone, in plain loops over parcels.
`demo_by_scipy.py` runs it on the demo scenarios and compares figure by figure with `tierce forecast --json`: every draw
with its ages and shares, every year, refresh, dose and reading, the stock, the balances, and the long run (eigenvalues
by scipy). A figure may differ by 1e-9 of itself. Left out: proof gallons and molecular SO2, which the tables below
hold, the long run of `tests/data/wood/yearly.yaml`, and `scenarios/in_the_cask.yaml`, whose vapour and spirit have
tables of their own.

"""
TABLES = """
## Tables from outside

Each row of these is a check. Where they come from stands in their first lines or in their last column; what was found
wrong in print is listed in [sources.md](sources.md#misprints-and-slips-in-print).

| table in `tests/data` | rows | held by (`_test.cpp`) |
| --- | --- | --- |
"""
DEVIATIONS = """
### How far the figures are from the tables

For each figure that is checked against a table: in how many places, and, at the place nearest to its tolerance, how far
it is from the table and how far it may be. Figures are named as the tests write them, in the unit that ends the name. A
test that reads two tables has its figures under the longer one.
Above 1e-9 the tolerance is the last digit that the table prints, or what its source says of itself; the test says
which.

| table | figure | places | deviation | tolerance |
| --- | --- | --- | --- | --- |
"""
EXACT = "Tables without a line here hold words, verdicts and limits, which have to be the same as they stand: {}."
FINDINGS = """
## Found wrong from outside, and what holds it now

What people who tried to break the program, or reckoned after it, found wrong. Each line says what was wrong, which test
failed then and holds it now, and where that test has its expected value from. The rows stand in `tests/data/findings`.
"""
TAIL = """
## Beside these

| check | against |
| --- | --- |
| `tests/twin` | a slow twin of the engine over random cellars with fixed seeds |
| properties_test | laws: conservation, splits of time, scaling, ages that only rise |
| `tests/data/contract` | stories worked out by hand-made bookkeeping |
| `tests/data/bad` | faulty files, each with the exact message it must give |
| `tests/fuzz` | any bytes: no crash, no sanitizer's report, faults with a place and a reason, balances that close |
| `tests/sanitize.sh` | the tests again with clang's Address-, Leak- and UndefinedBehaviorSanitizer |
| `tests/mutation` | small faults put into the engine, each to be noticed by a test |

## Run by hand, because it takes long

| check | when | what came of it |
| --- | --- | --- |
| `record_faults_test.py --kills 500` | 2026-11-28 | 500 of 1149 killed: 731 new files, else the old |
| `fuzz/run.sh`, 94 minutes by the clock | 2026-11-28 | 3.2 million inputs, 364,414 of them forecasts: nothing |
| `mutation/engine.py` | 2026-11-28 | 71 faults, each noticed: [the list](mutation.md) |

[DEVELOPERS.md](../DEVELOPERS.md) says how to run each.
"""


def rows_of(path):
    lines = [line for line in path.read_text("utf-8").splitlines() if line and not line.startswith("#")]
    return len(list(csv.reader(lines))) - 1


def tables():
    for path in sorted((ROOT / "tests" / "data").glob("*.csv")):
        users = [test.stem.removesuffix("_test") for test in sorted((ROOT / "tests").rglob("*.cpp")) if path.name in test.read_text("utf-8")]
        if not users:
            raise SystemExit(f"{path.name} is read by no test: delete it, or test with it")
        yield f"| `{path.name}` | {rows_of(path)} | {', '.join(users)} |\n"


def users_of_tables():
    """The names of the test suites that read a table."""
    for test in sorted((ROOT / "tests").rglob("*.cpp")):
        text = test.read_text("utf-8")
        if '"tests/project/csv.h"' in text:
            yield from re.findall(r"^TEST(?:_P)?\((\w+),", text, re.MULTILINE)


def shown(number):
    """Two digits, rounded up: 'below 4.1e-10'."""
    if number == 0.0:
        return "0"
    step = 10.0 ** (math.floor(math.log10(number)) - 1)
    return f"below {math.ceil(number / step * (1.0 - 1e-9)) * step:.2g}"


def deviations(tests):
    suites = sorted(set(users_of_tables()))
    wanted = ":".join([f"{suite}.*" for suite in suites] + [f"*/{suite}.*" for suite in suites])
    with tempfile.NamedTemporaryFile("r", encoding="utf-8") as file:
        said = subprocess.run([tests, f"--gtest_filter={wanted}", "--gtest_brief=1"], capture_output=True, text=True,
                              check=False, env={**os.environ, "TIERCE_DEVIATIONS": file.name})
        if said.returncode != 0:
            raise SystemExit(said.stdout)
        lines, seen = "", collections.Counter()
        for row in csv.reader(file, delimiter="\t", quoting=csv.QUOTE_NONE):
            table, figure, places, apart, tolerance = row
            seen[table] += 1
            if not table.startswith("contract/"):
                figure = re.sub(r'number\(row, "(\w+)"\)', r"\1", figure).replace("|", "\\|")
                name = f"`{table}`" if seen[table] == 1 else ""
                room = min(66, 84 - len(name))
                figure = figure if len(figure) <= room else figure[:room - 4] + " ..."
                lines += f"| {name} | `{figure}` | {places} | {shown(float(apart))} | {float(tolerance):.2g} |\n"
    others = [f"`{path.name}`" for path in sorted((ROOT / "tests" / "data").glob("*.csv")) if not seen[path.name]]
    return DEVIATIONS + lines + ("\n" + textwrap.fill(EXACT.format(", ".join(others)), 120) + "\n" if others else "")


def names_of_tests(tests):
    """Suite.Name of every test of the program's own suite."""
    said = subprocess.run([tests, "--gtest_list_tests"], capture_output=True, text=True, check=True)
    suite, names = "", set()
    for line in said.stdout.splitlines():
        word = line.split("#")[0].strip()
        if not line.startswith(" "):
            suite = word
        else:
            names.add(suite + word)
    return names


def finding(row, known):
    for test in row["test"].split(" + "):
        if test not in known and not [*(ROOT / "tests").rglob(pathlib.Path(test).name)]:
            raise SystemExit(f"tests/data/findings: there is no test '{test}': {row['wrong']}")
    held = ", ".join(f"`{test}`" for test in row["test"].split(" + "))
    return textwrap.fill(f"- {row['wrong']} Held by {held}; expected: {row['expected']}.", 118, subsequent_indent="  ",
                         break_long_words=False, break_on_hyphens=False) + "\n"


def findings(tests):
    folder, known = ROOT / "tests" / "data" / "findings", names_of_tests(tests)
    text = ""
    for subject in csv.DictReader((folder / "subjects.csv").read_text("utf-8").splitlines()):
        path = folder / (subject["file"] + ".csv")
        if path.exists():
            rows = csv.DictReader(path.read_text("utf-8").splitlines())
            text += f"\n### {subject['title']}\n\n" + "".join(finding(row, known) for row in rows)
    return FINDINGS + text if text else ""


def page(program, tests):
    script = ROOT / "tests" / "reference" / "demo_by_scipy.py"
    said = subprocess.run([sys.executable, script, program], capture_output=True, text=True, check=False)
    if said.returncode != 0:
        raise SystemExit(said.stderr)
    return HEAD + said.stdout + TABLES + "".join(tables()) + deviations(tests) + findings(tests) + TAIL


def without_deviations(text):
    """The last digit of a deviation depends on the compiler; that it is small, the comparison itself has held."""
    return re.sub(r"\| (0|below \S+) \|", "| below |", text)


def main():
    check = sys.argv[1] == "--check"
    text = page(*sys.argv[-2:])
    if not check:
        PAGE.write_text(text, "utf-8")
    elif without_deviations(PAGE.read_text("utf-8")) != without_deviations(text):
        print(f"docs/validation.md is stale; tests/reference/validation.py writes it:\n\n{text}")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
