#!/usr/bin/env python3
"""The book is never destroyed, and nothing escapes: what every command keeps its hands off, says aloud, and hides not.

Usage: book_safety_test.py PROGRAM PROJECT_FOLDER

What is expected is written here: a file that may not be touched holds the bytes that it held, and standard output is
empty where nothing may be printed. CSV is read by Python's csv module.
"""
import csv
import io
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

COMMANDS = [["check"], ["stock"], ["age"], ["losses"], ["forecast"], ["dose"], ["label"], ["report"], ["refresh"], ["target"],
            ["refresh", "--sheet"], ["trace", "--lot", "GG18"], ["compare", "--vary", "less: habit.draw=10 %"]]


class Failure(Exception):
    pass


def expect(holds, what):
    if not holds:
        raise Failure(what)


class Cellar:
    """Copies of the demo files in a folder of their own, and the program beside them."""

    def __init__(self, program, project, folder):
        self.program, self.project, self.folder = program, project, pathlib.Path(folder)
        for name in ("amber", "working_year", "petrel"):
            shutil.copy(project / "scenarios" / f"{name}.yaml", self.folder / f"{name}.yaml")

    def run(self, *arguments, **how):
        how = {"stdin": subprocess.DEVNULL, "stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **how}
        said = subprocess.run([self.program, *map(str, arguments)], cwd=self.folder, check=False, **how)
        return subprocess.CompletedProcess(said.args, said.returncode, (said.stdout or b"").decode(), (said.stderr or b"").decode())

    def write(self, name, text):
        (self.folder / name).write_text(text, "utf-8")
        return name

    def bytes_of(self):
        return {path.name: path.read_bytes() for path in sorted(self.folder.iterdir()) if path.is_file()}

    def refuses(self, why, *arguments):
        """Exit status 2, a message, and every file as it was."""
        before = self.bytes_of()
        said = self.run(*arguments)
        expect(said.returncode == 2, f"{arguments}: exit status {said.returncode}")
        expect(why in said.stderr, f"{arguments}: {said.stderr}")
        expect(said.stdout == "", f"{arguments}: prints {said.stdout[:200]}")
        expect(self.bytes_of() == before, f"{arguments}: a file has changed")


def reports_spare_what_was_read(cellar):
    """By its own name, by another, through links, as a second input, as a file that another names, as rules or variants."""
    why = "no report is written over it"
    (cellar.folder / "link.yaml").symlink_to("amber.yaml")
    os.link(cellar.folder / "amber.yaml", cellar.folder / "hard.txt")
    for command in COMMANDS:
        for form in ([], ["--json"], ["--csv"]):
            if form and "--sheet" in command or command == ["check"] and form == ["--csv"]:
                continue
            names = ("amber.yaml", "./amber.yaml", "link.yaml", "hard.txt", cellar.folder / "amber.yaml")
            for target in names if not form else names[:1]:
                cellar.refuses(why, *command, "amber.yaml", *form, "-o", target)
    cellar.refuses(why, "stock", "petrel.yaml", "amber.yaml", "-o", "amber.yaml")
    shutil.copy(cellar.folder / "petrel.yaml", cellar.folder / "petrel.txt")
    drawn = cellar.folder / "working_year.yaml"
    drawn.write_text(drawn.read_text("utf-8").replace("petrel.yaml", "petrel.txt"), "utf-8")
    cellar.refuses(why, "stock", drawn.name, "-o", "petrel.txt")
    cellar.write("variants", "less: {habit.draw: 10 %}\n")
    cellar.refuses(why, "compare", "amber.yaml", "--vary-file", "variants", "-o", "variants")
    shutil.copy(cellar.project / "docs" / "examples" / "rules" / "house.yaml", cellar.folder / "house")
    cellar.refuses(why, "label", "amber.yaml", "--rules", "house", "-o", "house")


def reports_spare_every_book(cellar):
    """Also one that this run has not read: its first key tells."""
    why = "it begins as a book does"
    fortify = ["fortify", "--volume", "1000 L", "--sugar", "240 g/L", "--arrest", "7 %vol", "--spirit", "96 %vol", "--to", "16 %vol"]
    for beginning in ("reserve: X\n", "# a remark\n\n---\nlots: []\n", "\ufeff%YAML 1.2\n--- # so\n  log:\n", '{"tiers": []}',
                      "'habit' : none\n", "until: 2030\r\nlog: []\r\n"):
        cellar.write("other.txt", beginning)
        cellar.refuses(why, "stock", "amber.yaml", "-o", "other.txt")
        cellar.refuses(why, *fortify, "-o", "other.txt")
    for beginning in ("", "reserve", "reserves: 2\n", "Amber: stock\n", "[1, 2]\n", '{"assumptions": []}\n'):
        cellar.write("other.txt", beginning)
        expect(cellar.run("stock", "amber.yaml", "-o", "other.txt").returncode == 0, f"{beginning!r} is no book")
        expect((cellar.folder / "other.txt").read_text("utf-8") == cellar.run("stock", "amber.yaml").stdout, "another report")
    for form in ([], ["--json"], ["--csv"]):  # its own reports it may write anew
        for command in COMMANDS[1:]:
            if form and "--sheet" in command:
                continue
            statuses = {cellar.run(*command, "amber.yaml", *form, "-o", "again.out").returncode for _ in range(2)}
            expect(len(statuses) == 1 and 2 not in statuses, f"{command} {form}: {statuses}")


def the_screen_may_be_a_file_too(cellar):
    """`>> amber.yaml` would put the report into the book."""
    before = cellar.bytes_of()
    with open(cellar.folder / "amber.yaml", "a", encoding="utf-8") as book:
        said = cellar.run("stock", "amber.yaml", stdout=book)
    expect(said.returncode == 2 and "no report is written over it" in said.stderr, said.stderr)
    expect(cellar.bytes_of() == before, "the book has changed")


def lost_outputs_are_told(cellar):
    """A full device and a closed output: exit status 2 and a message, on every command."""
    first = ["--version"], ["--help"], ["stock", "--help"], ["record", "--help"], ["new", "--help"], ["fortify", "--help"]
    fortify = ["fortify", "--volume", "1000 L", "--sugar", "240 g/L", "--arrest", "7 %vol", "--spirit", "96 %vol", "--to", "16 %vol"]
    for arguments in [*first, fortify, *([*command, "amber.yaml"] for command in COMMANDS)]:
        for end in (">/dev/full", ">&-"):
            said = subprocess.run(["bash", "-c", f'"$@" {end}', "bash", cellar.program, *arguments], cwd=cellar.folder, text=True,
                                  capture_output=True, check=False)
            expect(said.returncode == 2 and "could not be written" in said.stderr, f"{arguments} {end}: {said.returncode} {said.stderr}")
    entry = ["record", "petrel.yaml", "gauge", "--tier", "P1", "--volume", "420 L", "--date", "2024-12-01", "--entered", "2024-12-01"]
    said = subprocess.run(["bash", "-c", '"$@" >&-', "bash", cellar.program, *entry], cwd=cellar.folder, text=True,
                          capture_output=True, check=False)
    expect(said.returncode == 2 and "the entry stands in the file all the same" in said.stderr, said.stderr)
    said = subprocess.run(["bash", "-c", '"$@" >/dev/full </dev/null', "bash", cellar.program, "new", "fresh.yaml"], cwd=cellar.folder,
                          text=True, capture_output=True, check=False)
    expect(said.returncode == 2 and not (cellar.folder / "fresh.yaml").exists(), "it asks where nobody sees the questions")
    # A closed output gives its number to no file: the book keeps its bytes.
    before = cellar.bytes_of()
    for ends in (">&-", "2>&-", ">&- 2>&-", "<&- >&- 2>&-"):
        subprocess.run(["bash", "-c", f'"$@" {ends}', "bash", cellar.program, "stock", "amber.yaml", "nowhere.yaml"], cwd=cellar.folder,
                       capture_output=True, check=False)
    expect(cellar.bytes_of() == before, "a file has changed")


def a_faulty_file_stops_all(cellar):
    """Nothing is printed or written of the sound ones, nobody would see that one is missing."""
    cellar.write("slips.yaml", (cellar.folder / "amber.yaml").read_text("utf-8") + "untill: 2030\n")
    cellar.write("old.txt", "old\n")
    for command in COMMANDS:
        for form in ([], ["--json"], ["--csv"]):
            if form and "--sheet" in command or command == ["check"] and form:
                continue
            said = cellar.run(*command, "amber.yaml", "slips.yaml", *form)
            expect(said.returncode == 2 and said.stdout == "", f"{command} {form}: {said.returncode} {said.stdout[:200]}")
            cellar.refuses("unknown key 'untill'", *command, "amber.yaml", "slips.yaml", *form, "-o", "old.txt")
    sound = [answer["sound"] for answer in json.loads(cellar.run("check", "--json", "amber.yaml", "slips.yaml").stdout)]
    expect(sound == [True, False], "check answers for every file")
    expect("sound: amber.yaml" in cellar.run("check", "amber.yaml", "slips.yaml").stderr, "it does not say which are sound")


def a_file_counts_once(cellar):
    (cellar.folder / "link.yaml").symlink_to("amber.yaml")
    for command in ("check", "stock", "losses", "refresh", "report"):
        cellar.refuses("'amber.yaml' is given twice", command, "amber.yaml", "amber.yaml")
        cellar.refuses("'amber.yaml' and 'link.yaml' are one file", command, "amber.yaml", "link.yaml")


def stocks_of_different_days_say_so(cellar):
    said = cellar.run("stock", "working_year.yaml", "petrel.yaml").stdout  # 4 Nov 2025 and 20 Nov 2024, the last entries
    expect("of different days (Tern 4 Nov 2025, Petrel 20 Nov" in said, said)
    expect("of different days" not in cellar.run("stock", "working_year.yaml", "petrel.yaml", "--on", "2025-11-04").stdout, "one day")


def rows_of(text):
    expect("\r\n" in text and text.count("\n") == text.count("\r\n"), "the line ends differ")
    return list(csv.reader(io.StringIO(text, newline="")))


def a_csv_of_several_files_is_one_table(cellar):
    for command in COMMANDS[1:]:
        if "--sheet" in command or "--lot" in command or command[0] == "refresh":
            continue
        said = cellar.run(*command, "amber.yaml", "petrel.yaml", "--csv", *(["--mean", "3 years"] if command == ["target"] else []))
        if said.returncode == 2:
            continue  # petrel has no habit
        head, *rows = rows_of(said.stdout)
        expect(head[0] == "reserve", f"{command}: the first column is {head[0]}")
        expect(all(len(row) == len(head) for row in rows), f"{command}: the rows differ in width")
        expect(head not in rows, f"{command}: the header stands twice")
        one = list(csv.DictReader(io.StringIO(cellar.run(*command, "petrel.yaml", "--csv").stdout, newline="")))
        wanted = {"Amber", "Petrel"} if one else {"Amber"}
        expect(wanted <= {row[0] for row in rows} <= wanted | {"all"}, f"{command}: {[row[0] for row in rows]}")
        of_petrel = [row for row in csv.DictReader(io.StringIO(said.stdout, newline="")) if row["reserve"] == "Petrel"]
        if command[0] not in ("forecast", "target"):  # their years may run on
            for mine, his in zip(one, of_petrel):
                expect(all(his[name] == value for name, value in mine.items()), f"{command}: {mine} is {his}")


NAMED = """reserve: "=1+1"
tiers: [{name: "@sum", vessels: [{name: "+B1", capacity: 225 L}, {name: "-B2", capacity: 225 L}], evaporation: 2 %/yr, vapour: 10 %vol}]
lots: [{name: "=HYPERLINK(\\"http://x.invalid/\\",\\"click\\")", vintage: 2020, alcohol: 18 %vol}]
log:
  - {date: 2020-11-01, do: add, lot: "=HYPERLINK(\\"http://x.invalid/\\",\\"click\\")", to: "@sum", volume: 440 L}
  - {date: 2021-11-01, do: draw, from: "@sum", volume: 40 L, for: "-2+3"}
habit: {day: 1 Nov, draw: 40 L, for: "=draw {year}", refill: none}
until: 2024
"""


def is_figure(text):
    return re.fullmatch(r"[-+]?\d[\d,.]*( ?%)?", text) is not None


def no_cell_runs(cellar):
    """No text begins with what a spreadsheet takes for a formula; a figure stays a figure."""
    cellar.write("named.yaml", NAMED)
    seen = 0
    for command in (["stock"], ["age"], ["forecast"], ["losses"], ["label"], ["report"], ["trace", "--draw", "-2+3"],
                    ["compare", "--vary", "@less: habit.draw=10 L"]):
        said = cellar.run(*command, "named.yaml", "--csv")
        expect(said.returncode in (0, 1), f"{command}: {said.stderr}")
        for row in csv.reader(io.StringIO(said.stdout, newline="")):
            for cell in row:
                expect(not cell or cell[0] not in "=+-@\t\r" or is_figure(cell), f"{command}: {cell!r} would run")
                seen += cell.startswith("'")
    expect(seen > 10, f"only {seen} cells were made harmless")
    changes = {row["change_pct"] for row in csv.DictReader(io.StringIO(cellar.run("forecast", "amber.yaml", "--csv").stdout))}
    expect(any(change.startswith("-") for change in changes), "a figure below zero stays")


def nothing_steers_the_screen(cellar):
    """Arguments in messages: what cannot be seen is shown by its number."""
    escape, mark = "\x1b[31mred", "a\u200eb"
    for arguments in (["stock", "amber.yaml", "-o", f"/nowhere/{escape}"], ["stock", "amber.yaml", "-o", f"/nowhere/{mark}"],
                      ["fortify", "--volume", escape], ["fortify", escape], ["fortify", "--lot", escape], ["stock", escape],
                      ["record", "amber.yaml", escape], ["record", "amber.yaml", "draw", "--from", escape], ["new", f"/nowhere/{escape}"],
                      ["stock", "amber.yaml", f"--{escape}"], [escape], ["target", "amber.yaml", "--mean", escape],
                      ["refresh", "amber.yaml", "--draw", mark], ["age", "amber.yaml", "--draw", escape],
                      ["label", "amber.yaml", "--rules", escape], ["compare", "amber.yaml", "--vary", escape],
                      ["compare", "amber.yaml", "--vary-file", escape]):
        said = cellar.run(*arguments)
        expect(said.returncode == 2, f"{arguments}: {said.returncode}")
        for hidden in "\x1b\u200e":
            expect(hidden not in said.stderr + said.stdout, f"{arguments}: {said.stderr!r}")
    expect("<U+001B>[31mred" in cellar.run("stock", "amber.yaml", "-o", f"/nowhere/{escape}").stderr, "it is not shown")


def names_can_be_seen(cellar):
    """Default_Ignorable_Code_Point of the Unicode Character Database, one of each of its blocks that may stand in a name."""
    book = (cellar.folder / "petrel.yaml").read_text("utf-8")
    for code in (0x00AD, 0x034F, 0x061C, 0x115F, 0x17B4, 0x180E, 0x200B, 0x200C, 0x200D, 0x200E, 0x200F, 0x202E, 0x2060, 0x2064, 0x206A,
                 0x3164, 0xFE0F, 0xFFA0, 0xFFF0, 0x1BCA0, 0x1D173, 0xE0041, 0xE0100):
        cellar.write("hidden.yaml", book.replace("reserve: Petrel", f"reserve: Pet{chr(code)}rel"))
        said = cellar.run("check", "hidden.yaml")
        expect(said.returncode == 2 and f"U+{code:04X}" in said.stderr, f"U+{code:04X}: {said.returncode} {said.stderr}")
        expect(chr(code) not in said.stderr or code in (0x200C, 0x200D, 0xFE0F), f"U+{code:04X} is not shown by its number")
    cellar.write("seen.yaml", book + "# \u2764\ufe0f\n")  # a picture in a remark is no name
    expect(cellar.run("check", "seen.yaml").returncode == 0, cellar.run("check", "seen.yaml").stderr)


def other_files_stay_unseen(cellar):
    """A file that is no scenario and no rule file is told, not shown."""
    cellar.write("secret", "root:x:0:0:root:/root:/bin/bash\npassword: hunter2\n")
    cellar.write("secret.yaml", "root:x:0:0:root:/root:/bin/bash\npassword: hunter2\n")
    lot = "lots: [{name: A, from: secret, draw: D}]\n"
    cellar.write("from.yaml", "reserve: R\ntiers: [{name: T, vessels: [{name: B, capacity: 225 L}]}]\n" + lot)
    amber = (cellar.folder / "amber.yaml").read_text("utf-8")
    cellar.write("rules.yaml", "".join(line for line in amber.splitlines(True) if not line.startswith("rules:")) + "rules: [secret.yaml]\n")
    for arguments in (["check", "from.yaml"], ["check", "rules.yaml"], ["label", "amber.yaml", "--rules", "secret"]):
        said = cellar.run(*arguments)
        expect(said.returncode == 2, f"{arguments}: {said.returncode} {said.stderr}")
        for secret in ("root:", "hunter2", "password"):
            expect(secret not in said.stderr, f"{arguments}: {said.stderr}")


def says(cellar, wanted, *arguments):
    said = cellar.run(*arguments)
    expect(wanted in said.stderr, f"{arguments}: '{wanted}' is not in: {said.stderr}")
    return said


def messages_name_what_was_meant(cellar):
    says(cellar, "did you mean 'us'?", "label", "amber.yaml", "--rules", "uss")
    says(cellar, "eu", "label", "amber.yaml", "--rules", "uss")
    (cellar.folder / "dang.yaml").symlink_to("gone.yaml")
    said = says(cellar, "this is a link to 'gone.yaml', and nothing stands there", "check", "dang.yaml")
    expect("dang.yaml'?" not in said.stderr, said.stderr)
    expect(cellar.run("stock", "amber.yaml", "-o", "-").stdout == cellar.run("stock", "amber.yaml").stdout, "-o - is the screen")
    expect(not (cellar.folder / "-").exists(), "a file named '-' was made")
    cellar.refuses("the name of a file is missing", "stock", "amber.yaml", "-o", "")
    amber = (cellar.folder / "amber.yaml").read_text("utf-8")
    cellar.write("draw.yaml", amber.replace("draw: 20 %", "draw: 20", 1))
    says(cellar, "did you mean '20 %' or '20 L'?", "check", "draw.yaml")
    said = says(cellar, "the day lies ahead: 2099-12-10", "record", "petrel.yaml", "gauge", "--tier", "P1", "--volume", "420 L", "--date",
                "2099-12-10", "--show")


def impossible_plans_speak_json(cellar):
    """Exit status 1 prints what is impossible; docs/json.md says how."""
    for arguments in (["refresh", "amber.yaml", "--draw", "5000 L"],
                      ["fortify", "--volume", "1000 L", "--sugar", "240 g/L", "--arrest", "7 %vol", "--spirit", "20 %vol", "--to", "25 %vol"]):
        said = cellar.run(*arguments, "--json")
        expect(said.returncode == 1, f"{arguments}: {said.returncode} {said.stderr}")
        answer = json.loads(said.stdout)
        expect(answer["impossible"][0]["what"] in said.stderr, f"{arguments}: {answer}")
        expect(answer["file"] == (None if arguments[0] == "fortify" else arguments[1]), f"{arguments}: {answer}")
    shutil.copy(cellar.project / "docs" / "examples" / "first.yaml", cellar.folder / "first.yaml")
    said = cellar.run("refresh", "amber.yaml", "first.yaml", "--draw", "500 L", "--json")  # the second holds 435 L
    expect(said.returncode == 1, said.stderr)
    expect(["impossible" in plan for plan in json.loads(said.stdout)["plans"]] == [False, True], said.stdout[:300])


TESTS = [reports_spare_what_was_read, reports_spare_every_book, the_screen_may_be_a_file_too, lost_outputs_are_told, a_faulty_file_stops_all,
         a_file_counts_once, stocks_of_different_days_say_so, a_csv_of_several_files_is_one_table, no_cell_runs, nothing_steers_the_screen,
         names_can_be_seen, other_files_stay_unseen, messages_name_what_was_meant, impossible_plans_speak_json]


def main():
    program, project = sys.argv[1], pathlib.Path(sys.argv[2]).resolve()
    failed = 0
    for test in TESTS:
        with tempfile.TemporaryDirectory(prefix="tierce-safety-") as folder:
            try:
                test(Cellar(os.path.abspath(program), project, folder))
                print(f"{test.__name__}: holds")
            except Failure as failure:
                failed += 1
                print(f"{test.__name__}: FAILED: {failure}")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
