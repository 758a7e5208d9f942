#!/usr/bin/env python3
"""The JSON of every command holds what docs/schema and docs/json.md say, no more and no less.

Usage: json_schema_test.py PROGRAM PROJECT_FOLDER            compares
       json_schema_test.py --update PROGRAM PROJECT_FOLDER   writes the tables of docs/json.md anew

Needs python3-jsonschema. Three checks:
1. every output that is tried is valid, and holds no field that the schema does not name;
2. every field that a schema names was seen in some output;
3. the tables in docs/json.md are those of the schemas (a failure prints the tables to paste).
"""
import json
import pathlib
import re
import subprocess
import sys
import tempfile
import textwrap

import jsonschema

# Commands that read scenarios are run on every one; those that need arguments stand in WITHOUT_SCENARIO with them.
ON_SCENARIOS = ["check", "stock", "age", "forecast", "losses", "dose", "label", "refresh", "report", "target"]
WITHOUT_SCENARIO = {
    "trace": [
        "--lot|GG22|--at-least|50 %|docs/examples/put_right.yaml".split("|"),
        "--draw|Bottling 2025|docs/examples/put_right.yaml".split("|"),
        "--draw|Bottling 2028|scenarios/amber.yaml".split("|"),
    ],
    "record": [
        "docs/examples/put_right.yaml|draw|--from|floor|--volume|20 L|--show".split("|"),
    ],
    "fortify": [
        "--volume|1000 L|--sugar|240 g/L|--arrest|7 %vol|--spirit|96 %vol|--to|16 %vol|--designation|vin doux naturel".split("|"),
        "--fruit|1500 kg|--yield|650 L/t|--sugar|24 Bx|--to|18 %vol|--sweet|95 g/L|--spirit|77 %vol|--drum|200 L|--lot|GG26".split("|"),
    ],
    "compare": [
        "scenarios/amber.yaml|--vary|less: habit.draw=15 %|--vary|none in 2031: habit.except.2031.refill=none".split("|"),
        "scenarios/amber.yaml|--vary|more than there is: habit.draw=4000 L".split("|"),
    ],
    "new": [["{folder}/new.yaml", "--vessels", "5", "--filled", "2026-11-02"]],
}
# Further command lines of commands that read scenarios. With several files the output is a list, that of the premises
# last; or it holds plans and an order.
FURTHER = [
    ["dose", "--json", "tests/data/not_reachable.yaml"],
    ["refresh", "--json", "scenarios/amber.yaml", "docs/examples/first.yaml", "--sugar", "245 g/L", "--spirit", "96 %vol",
     "--yield", "650 L/t", "--fruit-cost", "1.20 EUR/kg"],
    ["target", "--json", "scenarios/amber.yaml", "--mean", "4.9 years, 30 years", "--bring", "va: 0.55 g/L, sugar: 90 g/L"],
    ["target", "--json", "tests/data/just_the_age.yaml"],
    ["refresh", "--json", "scenarios/amber.yaml", "--lots", "GG24: 200 L, GG25: 300 L"],
    ["stock", "--json", "scenarios/working_year.yaml", "scenarios/petrel.yaml"],
    ["losses", "--json", "scenarios/working_year.yaml", "scenarios/petrel.yaml"],
    ["refresh", "--json", "scenarios/amber.yaml", "docs/examples/first.yaml", "--draw", "500 L"],
    ["refresh", "--json", "scenarios/amber.yaml", "--draw", "5000 L"],
    ["fortify", "--json", *"--volume|1000 L|--sugar|240 g/L|--arrest|7 %vol|--spirit|20 %vol|--to|25 %vol".split("|")],
]
LONGEST_LINE = 120
PARTS = "parts.schema.json#/$defs/"
WHOLE = r'"([a-z]+)\.schema\.json"'  # the output of another command within one


def run(program, project, arguments):
    """Standard output of the program, whatever its exit status."""
    return subprocess.run([program, *arguments], cwd=project, capture_output=True, text=True, check=False)


def load_schemas(project):
    """Schemas by command; the shared parts under 'parts'."""
    folder = project / "docs" / "schema"
    return {path.name.split(".")[0]: json.loads(path.read_text("utf-8")) for path in sorted(folder.glob("*.json"))
            if path.name != "scenario.schema.json"}  # that one is of a file, not of an output


def flattened(schema, definitions):
    """The schema with the fields of its allOf taken in, so that fields without a name can be refused."""
    properties, required = dict(schema.get("properties", {})), list(schema.get("required", []))
    for other in schema.get("allOf", []):
        part = flattened(definitions[other["$ref"].removeprefix(PARTS)], definitions)
        properties = {**part["properties"], **properties}
        required = part["required"] + required
    return {**schema, "properties": properties, "required": required}


def strict(schema, definitions):
    """One schema as the test wants it: self-contained, and closed to fields that it does not name."""
    if schema.get("type") == "object":
        schema = flattened(schema, definitions)
        schema.pop("allOf", None)
        schema["additionalProperties"] = False
    return json.loads(re.sub(WHOLE, r'"#/$defs/tierce_\1"', json.dumps(schema).replace(PARTS, "#/$defs/")))


def without_dialect(schema):
    return {key: value for key, value in schema.items() if key != "$schema"}


def validator_for(schemas, command):
    definitions = schemas["parts"]["$defs"]
    bundle = strict(schemas[command], definitions)
    bundle["$defs"] = {name: strict(part, definitions) for name, part in definitions.items()}
    bundle["$defs"] |= {f"tierce_{other}": strict(without_dialect(schema), definitions) for other, schema in schemas.items()
                        if other not in ("parts", command)}
    jsonschema.Draft202012Validator.check_schema(bundle)
    return jsonschema.Draft202012Validator(bundle, format_checker=jsonschema.FormatChecker())


def part_validator(schemas, name):
    definitions = {part: strict(schema, schemas["parts"]["$defs"]) for part, schema in schemas["parts"]["$defs"].items()}
    return jsonschema.Draft202012Validator({"$ref": "#/$defs/" + name, "$defs": definitions})


def commands_of(program, project):
    return re.findall(r"^  ([a-z]+)  +\S", run(program, project, ["--help"]).stdout, re.MULTILINE)


def scenario_files(project):
    folders = ["scenarios", "docs/examples", "tests/data/contract"]
    return [str(path.relative_to(project)) for folder in folders for path in sorted((project / folder).glob("*.yaml"))]


def runs(project):
    """Every command line that is tried: command, arguments."""
    for command in ON_SCENARIOS:
        for file in scenario_files(project):
            yield command, [command, "--json", file]
    yield "label", ["label", "--json", "--evidence", "scenarios/amber.yaml"]
    for command, lists in WITHOUT_SCENARIO.items():
        for arguments in lists:
            with tempfile.TemporaryDirectory() as folder:  # for commands that write
                yield command, [command, "--json", *(argument.replace("{folder}", folder) for argument in arguments)]
    for arguments in FURTHER:
        yield arguments[0], arguments


def fields_seen(value, seen):
    """Collects the set of field names of every object in the output."""
    if isinstance(value, dict):
        seen.update(value)
        for inner in value.values():
            fields_seen(inner, seen)
    elif isinstance(value, list):
        for inner in value:
            fields_seen(inner, seen)


def errors_of(output, command, validator, schemas):
    """What an output holds that its schema does not allow; of several files, each part by its own."""
    def errors(part):
        return [*(part_validator(schemas, "impossible_plan") if "impossible" in part else validator).iter_errors(part)]

    if isinstance(output, list):
        *each, premises = output
        return [error for part in each for error in errors(part)] + [
            *part_validator(schemas, "premises_" + command).iter_errors(premises)]
    if "plans" in output:
        return [error for part in output["plans"] for error in errors(part)] + [
            *part_validator(schemas, "order_sum").iter_errors(output["order"])]
    return errors(output)


def check_outputs(program, project, schemas, faults):
    validators = {command: validator_for(schemas, command) for command in schemas if command != "parts"}
    seen = set()
    for command, arguments in runs(project):
        said = run(program, project, arguments)
        line = "tierce " + " ".join(arguments)
        if said.returncode == 2 and command != "check":
            continue  # a faulty file: nothing is printed
        if said.returncode not in (0, 1, 2) or not said.stdout:
            faults.append(f"{line}: exit status {said.returncode}, {said.stderr.strip()}")
            continue
        output = json.loads(said.stdout)
        fields_seen(output, seen)
        for error in errors_of(output, command, validators[command], schemas)[:5]:
            faults.append(f"{line}: at {'/'.join(map(str, error.absolute_path)) or 'top'}: {error.message[:300]}")
    for name, schema in named_objects(schemas):
        for field in schema["properties"]:
            if field not in seen:
                faults.append(f"docs/schema: '{field}' of {name} is in no output that was tried")


def named_objects(schemas):
    """Every object that docs/json.md describes: commands first, then the shared parts."""
    for command, schema in schemas.items():
        if command != "parts":
            yield "tierce " + command, schema
    yield from schemas["parts"]["$defs"].items()


def type_text(schema):
    if "$ref" in schema and not schema["$ref"].startswith(PARTS):
        command = schema["$ref"].split(".")[0]
        return f"[tierce {command}](#tierce-{command})"
    if "$ref" in schema:
        return f"[{part_name(schema)}](#{anchor(part_name(schema))})"
    if "anyOf" in schema:
        return " or ".join(type_text(one) for one in schema["anyOf"])
    if "enum" in schema:
        return ", ".join(f"`{value}`" for value in schema["enum"]) if len(schema["enum"]) < 4 else "text"
    if "const" in schema:
        return f"`{schema['const']}`"
    types = schema["type"] if isinstance(schema["type"], list) else [schema["type"]]
    if types == ["array"]:
        return "list of " + type_text(schema["items"])
    words = {"string": schema.get("format", "text"), "integer": "whole number", "boolean": "true or false"}
    return " or ".join(words.get(word, word) for word in types)


def part_name(schema):
    return schema["$ref"].removeprefix(PARTS)


def anchor(heading):
    return heading.lower().replace(" ", "-")


def table_of(schema):
    lines = []
    for other in schema.get("allOf", []):
        lines += [f"All fields of {type_text(other)}, and:", ""]
    lines += ["| field | value | meaning |", "| --- | --- | --- |"]
    for field, part in schema["properties"].items():
        optional = "" if field in schema["required"] else "; may be absent"
        lines.append(f"| `{field}` | {type_text(part)}{optional} | {part['description']} |")
    return "\n".join([textwrap.fill(schema["description"], LONGEST_LINE), ""] + lines)


def update_tables(project, schemas):
    """Puts each table under its heading; a heading that is missing goes before the next one in order."""
    path = project / "docs" / "json.md"
    manual = path.read_text("utf-8")
    after = len(manual)
    for name, schema in reversed([*named_objects(schemas)]):
        wanted = f"## {name}\n\n{table_of(schema)}\n"
        start = manual.find(f"## {name}\n")
        if start < 0:
            manual = manual[:after] + wanted + ("\n" if after < len(manual) else "") + manual[after:]
            start = after
        else:
            end = re.compile(r"\| --- .*\n(\|.*\n)*").search(manual, start).end()
            manual = manual[:start] + wanted + manual[end:]
        after = start
    path.write_text(manual, "utf-8")


def check_tables(project, schemas, faults):
    manual = (project / "docs" / "json.md").read_text("utf-8")
    for name, schema in named_objects(schemas):
        wanted = f"## {name}\n\n{table_of(schema)}\n"
        if wanted not in manual:
            faults.append(f"docs/json.md should hold:\n\n{wanted}")
        for line in wanted.splitlines():
            if len(line) > LONGEST_LINE:
                faults.append(f"docs/schema: shorten this line of the table of {name}: {line}")


def main():
    program, project = sys.argv[-2], pathlib.Path(sys.argv[-1])
    schemas = load_schemas(project)
    if sys.argv[1] == "--update":
        update_tables(project, schemas)
        return 0
    faults = []
    for command in commands_of(program, project):
        if command not in schemas or command not in [*ON_SCENARIOS, *WITHOUT_SCENARIO]:
            faults.append(f"command '{command}' has no schema in docs/schema, or is not run by this test")
    check_outputs(program, project, schemas, faults)
    check_tables(project, schemas, faults)
    for fault in faults:
        print(fault)
    print(f"{len(faults)} faults")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
