#!/usr/bin/env python3
"""Writes docs/validation.md: what was checked against what.

usage: validation.py PROGRAM           writes the page
       validation.py --check PROGRAM   says whether the page is current, and runs every comparison
"""
import csv
import pathlib
import re
import subprocess
import sys

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
hold, and `scenarios/in_the_cask.yaml`, whose vapour and spirit have tables of their own.

"""
TABLES = """
## Tables from outside

Each row of these is a check. Where they come from stands in their first lines or in their last column; what was found
wrong in print is listed in [sources.md](sources.md#misprints-and-slips-in-print).

| table in `tests/data` | rows | held by |
| --- | --- | --- |
"""
TAIL = """
## Beside these

| check | against |
| --- | --- |
| `tests/slow_twin*` | a slow twin of the engine over random cellars with fixed seeds |
| properties_test | laws: conservation, splits of time, scaling, ages that only rise |
| `tests/data/contract` | stories worked out by hand-made bookkeeping |
| `tests/data/bad` | faulty files, each with the exact message it must give |

[DEVELOPERS.md](../DEVELOPERS.md) says how to run each.
"""


def rows_of(path):
    lines = [line for line in path.read_text("utf-8").splitlines() if line and not line.startswith("#")]
    return len(list(csv.reader(lines))) - 1


def tables():
    for path in sorted((ROOT / "tests" / "data").glob("*.csv")):
        users = [test.stem for test in sorted((ROOT / "tests").glob("*.cpp")) if path.name in test.read_text("utf-8")]
        if not users:
            raise SystemExit(f"{path.name} is read by no test: delete it, or test with it")
        yield f"| `{path.name}` | {rows_of(path)} | {', '.join(users)} |\n"


def page(program):
    script = ROOT / "tests" / "reference" / "demo_by_scipy.py"
    said = subprocess.run([sys.executable, script, program], capture_output=True, text=True, check=False)
    if said.returncode != 0:
        raise SystemExit(said.stderr)
    return HEAD + said.stdout + TABLES + "".join(tables()) + TAIL


def without_deviations(text):
    """The last digit of a deviation depends on the compiler; that it is small, the comparison itself has held."""
    return re.sub(r"below \S+", "below", text)


def main():
    check = sys.argv[1] == "--check"
    text = page(sys.argv[-1])
    if not check:
        PAGE.write_text(text, "utf-8")
    elif without_deviations(PAGE.read_text("utf-8")) != without_deviations(text):
        print(f"docs/validation.md is stale; tests/reference/validation.py writes it:\n\n{text}")
        return 1
    return 0


if __name__ == "__main__":
    sys.exit(main())
