#!/usr/bin/env python3
"""The schema for editors accepts every sound scenario, and refuses every bad file that a schema can refuse.

Usage: scenario_schema_test.py PROJECT_FOLDER      Needs python3-jsonschema, python3-yaml.
"""
import json
import pathlib
import re
import sys

import jsonschema
import yaml

BASE = """reserve: Amber
tiers: [{name: floor, vessels: [{name: F, count: 2, capacity: 225 L}], evaporation: 0 %/yr}]
lots: [{name: GG21, vintage: 2021, alcohol: 18 %vol}]
"""  # '@base' of tests/data/bad
# What a claim's figures must look like, its 'say' decides, and which measures a dip needs, the other measures.
# What stands under 'with' follows from the entry that is corrected.
LEFT_TO_THE_PROGRAM = ("corrections.txt: what a correction says", "claims.txt", "vessels.txt: a dip without measures", "vessels.txt: measures that do not go together")
# Faults of form: a schema sees them. All else (names, dates, litres) needs the program.
OF_FORM = re.compile(r"unknown key|has no unit|unknown unit|: a scenario has no '|: a[n]? [\w' :]+ has no '"
                     r"|is negative|'(units|clock|order|wood|hemisphere|cause|use|so2_pk)' cannot be ")
MARKS = {"<tab>": "\t", "<nbsp>": "\u00a0", "<thin>": "\u202f", "<cr>": "\r", "<esc>": "\x1b"}  # as in bad_files_test


class Core(yaml.SafeLoader):
    """YAML 1.2's core, as editors read it: dates, yes and no are text."""


Core.yaml_implicit_resolvers = {
    first: [(tag, rule) for tag, rule in rules if tag.endswith((":int", ":float", ":null"))]
    for first, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()}


def sound_files(project):
    for folder in ("scenarios", "docs/examples", "tests/data/contract"):
        for path in sorted((project / folder).glob("*.yaml")):
            text = path.read_text("utf-8")
            if not text.startswith("# Faulty on purpose"):
                yield str(path.relative_to(project)), text


def bad_files(project):
    for path in sorted((project / "tests/data/bad").glob("*.txt")):
        for case in ("\n" + path.read_text("utf-8")).split("\n@@ ")[1:]:
            title, rest = case.split("\n", 1)
            text, _, said = rest.partition("\n@>")
            text = text.replace("@base\n", BASE).replace("@base", BASE)
            for mark, meant in MARKS.items():
                text = text.replace(mark, meant)
            yield f"{path.name}: {title}", text, said


def main():
    project = pathlib.Path(sys.argv[1])
    schema = json.loads((project / "docs/schema/scenario.schema.json").read_text("utf-8"))
    jsonschema.Draft202012Validator.check_schema(schema)
    validator = jsonschema.Draft202012Validator(schema)
    faults, refused, of_form = [], 0, 0
    for name, text in sound_files(project):
        for error in list(validator.iter_errors(yaml.load(text, Core)))[:3]:
            faults.append(f"{name}: refused at {'/'.join(map(str, error.absolute_path))}: {error.message[:200]}")
    for name, text, said in bad_files(project):
        try:
            document = yaml.load(text, Core)
        except (yaml.YAMLError, ValueError):
            continue  # no YAML: an editor says so itself
        errors = not validator.is_valid(document)
        refused += errors
        headline = re.findall(r"^bad\.yaml:\d+:\d+: (.*)$", said, re.M)
        if not name.startswith(LEFT_TO_THE_PROGRAM) and any(OF_FORM.search(": " + line) for line in headline):
            of_form += 1
            if not errors:
                faults.append(f"{name}: a fault of form that the schema takes: {headline[0]}")
        if not headline and errors:
            error = next(validator.iter_errors(document))
            faults.append(f"{name}: sound, and refused: {error.message[:200]}")
    if of_form < 40:
        faults.append(f"only {of_form} bad files have faults of form: is tests/data/bad read?")
    for fault in faults:
        print(fault)
    print(f"{len(faults)} faults; the schema refuses {refused} bad files, {of_form} of them for faults of form")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
