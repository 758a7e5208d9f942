#!/usr/bin/env python3
"""Puts small faults into the engine, one at a time, and shows that the tests notice each.

usage: engine.py --check             every change still applies to the sources (part of the usual tests)
       engine.py BUILD [PAGE]        compiles each, links it with the objects of BUILD and runs the tests until the first
                                     that fails; writes docs/mutation.md, or PAGE. BUILD is a finished build of one
                                     source at a time: cmake --preset single -D BUILD_TESTING=ON

The sources are never touched: a changed copy is compiled to an object of its own, which the linker takes instead of the
one in the library. The tests of whole programs, of large files and of the manual's words are left out, to save time.
"""
import datetime
import json
import os
import pathlib
import re
import shlex
import subprocess
import sys
import tempfile

from changes import CHANGES, EXPLAINED

ROOT = pathlib.Path(__file__).resolve().parents[2]
SLOW = "Limits.*:LargeFile.*:ExitStatus.*:Manual.*:Structure.*:FuzzCorpus.*:Documentation*.*:Scenarios.*"
MOST_SECONDS = 120  # a fault that makes the tests run on and on is noticed as well
HEAD = """# Faults put into the engine

`tests/mutation/engine.py` puts small faults into `engine/`, one at a time, and runs the tests: a test that notices none
of them would be worth little. The list of faults is `tests/mutation/changes.py`; the usual tests hold that it fits the
sources. This page is written by the script, which takes some ten minutes.

"""


def source_of(file):
    """The one source of that name, in whichever room it stands."""
    found = sorted((ROOT / "engine").rglob(file))
    if len(found) != 1:
        raise SystemExit(f"engine has {len(found)} files {file}, not one")
    return found[0]


def changed_text(change):
    """The whole source file with the change made."""
    file, old, new, _ = change
    text = source_of(file).read_text("utf-8")
    if text.count(old) != 1 or old == new:
        raise SystemExit(f"engine/{file}: this text stands there {text.count(old)} times, not once:\n{old}")
    return text.replace(old, new)


def compile_command(build, file):
    entries = json.loads((build / "compile_commands.json").read_text("utf-8"))
    source = str(source_of(file))
    return next(shlex.split(entry["command"]) for entry in entries if entry["file"] == source)


def link_command(build):
    """How BUILD links its tests, without what it runs afterwards."""
    said = subprocess.run(["ninja", "-C", str(build), "-t", "commands", "tests/tierce_tests"], capture_output=True,
                          text=True, check=True).stdout.strip().splitlines()[-1]
    return next(shlex.split(part) for part in re.split(r"&&", said) if " -o tests/tierce_tests" in part)


def nearest_tests(file):
    """A filter of the tests that are most likely to notice: those of the file's own test, which take less than a second."""
    tests = sorted((ROOT / "tests").rglob(file.replace(".cpp", "_test.cpp")))
    suites = re.findall(r"^TEST(?:_P)?\((\w+),", tests[0].read_text("utf-8"), re.MULTILINE) if tests else []
    return ":".join(f"{suite}.*:*/{suite}.*" for suite in sorted(set(suites)))


def failure_among(tests, build, wanted):
    """The name of the first test of a filter that fails; None if none does."""
    options = ["--gtest_fail_fast", "--gtest_brief=1", f"--gtest_filter={wanted}"]
    try:
        said = subprocess.run([str(tests), *options], capture_output=True, text=True, check=False, cwd=build,
                              timeout=MOST_SECONDS, env={**os.environ, "RC_PARAMS": "seed=2027 max_success=200"})
    except subprocess.TimeoutExpired:
        return f"the tests, which did not end in {MOST_SECONDS} s"
    if said.returncode == 0:
        return None
    failed = re.search(r"\[  FAILED  \] (\S+\.[^\s,]+)", said.stdout)
    return f"`{failed[1]}`" if failed else "the tests, which crashed"


def first_failure(build, folder, change):
    """The name of the first test that fails with this change; None if none does."""
    file, text = change[0], changed_text(change)
    source, made, tests = folder / file, folder / (file + ".o"), folder / "tests"
    source.write_text(text, "utf-8")
    compile_it = [part for part in compile_command(build, file) if "ccache" not in part]
    original = str(source_of(file))
    compile_it = [str(source) if part == original else part for part in compile_it]
    compile_it[compile_it.index("-o") + 1] = str(made)
    subprocess.run([*compile_it, "-O1"], cwd=build, check=True, capture_output=True)
    link = link_command(build)
    link[link.index("-o") + 1] = str(tests)
    library = next(i for i, part in enumerate(link) if part.endswith(".a"))
    subprocess.run([*link[:library], str(made), *link[library:]], cwd=build, check=True, capture_output=True)
    near = nearest_tests(file)
    return (failure_among(tests, build, near) if near else None) or failure_among(tests, build, f"-{SLOW}")


def one(build, change):
    with tempfile.TemporaryDirectory() as folder:
        return first_failure(build, pathlib.Path(folder), change)


def cell(text):
    return "`" + re.sub(r"\s+", " ", text).replace("|", "\\|") + "`"


def page(results):
    noticed = sum(by is not None for _, by in results)
    lines = [HEAD, f"On {datetime.date.today().isoformat()}: {len(results)} faults, {noticed} noticed.\n\n"]
    for (file, old, new, kind), by in results:
        why = by or "**by none:** " + EXPLAINED.get((file, new), "not explained")
        lines.append(f"- {file}, {kind}:\n  {cell(old)}\n  became\n  {cell(new)}\n  noticed: {why}\n")
    return "".join(lines)


def main():
    if sys.argv[1] == "--check":
        for change in CHANGES:
            changed_text(change)
        print(f"{len(CHANGES)} changes fit the sources")
        return 0 if len(CHANGES) >= 40 else 1
    build = pathlib.Path(sys.argv[1]).resolve()
    out = pathlib.Path(sys.argv[2]) if len(sys.argv) > 2 else ROOT / "docs" / "mutation.md"
    results, unexplained = [], 0
    for change in CHANGES:
        by = one(build, change)
        results.append((change, by))
        unexplained += by is None and (change[0], change[2]) not in EXPLAINED
        print(change[0], "|", change[2], "|", by or "NOT NOTICED", flush=True)
    out.write_text(page(results), "utf-8")
    return 1 if unexplained else 0


if __name__ == "__main__":
    sys.exit(main())
