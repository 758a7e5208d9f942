#!/usr/bin/env python3
"""`cmake --install` gives a stranger what find_package(tierce) needs: a program of his own is built against it and run.

Usage: install_test.py BUILD_FOLDER PROJECT_FOLDER
"""
import pathlib
import subprocess
import sys
import tempfile

# A quarter of a full vat is drawn and refilled once a year, so that the time a litre has spent in it when it is drawn is
# geometric: 1/0.25 = 4 years (Little, Operations Research 9 (1961) 383: mean stay = stock / throughput). After a hundred
# years 0.75^100 = 3e-13 of the first wine is left. Years of 365.2425 days between like days of the calendar: 0.002 y.
EXPECTED_Y, TOLERANCE_Y = 4.0, 0.005


def run(*words):
    done = subprocess.run([str(word) for word in words], check=False, capture_output=True, text=True)
    if done.returncode != 0:
        sys.exit(f"{words}: {done.stdout}\n{done.stderr}")
    return done.stdout


def main():
    build, project = map(pathlib.Path, sys.argv[1:])
    with tempfile.TemporaryDirectory() as folder:
        prefix, made = pathlib.Path(folder) / "prefix", pathlib.Path(folder) / "build"
        run("cmake", "--install", build, "--prefix", prefix, "--component", "development")
        run("cmake", "-S", project / "tests/project/consumer", "-B", made, f"-DCMAKE_PREFIX_PATH={prefix}")
        run("cmake", "--build", made)
        said = float(run(made / "consumer"))
    if abs(said - EXPECTED_Y) > TOLERANCE_Y:
        sys.exit(f"the program says {said} years, not {EXPECTED_Y}")
    print(f"built against the installed library: {said} years")


if __name__ == "__main__":
    main()
