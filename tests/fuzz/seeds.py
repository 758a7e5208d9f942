#!/usr/bin/env python3
"""Writes what the fuzzers begin with: usage: seeds.py FOLDER

Scenarios: every YAML file of the project, and every faulty file of the error catalogue. Quantities and dates: every
value that stands in one of them. FOLDER/words.dict: every key and verb of the schema, for libFuzzer's own changes.
"""
import hashlib
import json
import pathlib
import re
import sys

ROOT = pathlib.Path(__file__).resolve().parents[2]
BASE = """reserve: Amber
tiers: [{name: floor, vessels: [{name: F, count: 2, capacity: 225 L}], evaporation: 0 %/yr}]
lots: [{name: GG21, vintage: 2021, alcohol: 18 %vol}]
"""
MARKS = {"<tab>": "\t", "<nbsp>": "\u00a0", "<thin>": "\u202f", "<cr>": "\r", "<esc>": "\x1b"}
VALUE = re.compile(r":\s+([^\s,{}\[\]#][^,{}\[\]#\n]*)")


def bad_files():
    """The text of every case of tests/data/bad; its README says how they are written."""
    for path in sorted((ROOT / "tests" / "data" / "bad").glob("*.txt")):
        for case in path.read_text("utf-8").split("\n@@ ")[1:]:
            text = case.split("\n@>")[0].partition("\n")[2].replace("@base\n", BASE)
            for mark, meant in MARKS.items():
                text = text.replace(mark, meant)
            yield text + "\n"


def sound_files():
    for folder in ("scenarios", "docs/examples", "tests/data/contract"):
        for path in sorted((ROOT / folder).glob("*.yaml")):
            yield path.read_text("utf-8")


def words(schema):
    """Every name and every allowed word of a JSON schema."""
    if isinstance(schema, list):
        for part in schema:
            yield from words(part)
    elif isinstance(schema, dict):
        yield from schema.get("properties", {})
        yield from (word for word in schema.get("enum", []) if isinstance(word, str))
        yield from ([schema["const"]] if isinstance(schema.get("const"), str) else [])
        for part in schema.values():
            yield from words(part)


def write(folder, texts):
    folder.mkdir(parents=True, exist_ok=True)
    for text in texts:
        data = text.encode("utf-8")
        (folder / hashlib.sha1(data).hexdigest()).write_bytes(data)


def main():
    out = pathlib.Path(sys.argv[1])
    texts = [*sound_files(), *bad_files()]
    values = {value.strip().strip("'\"") for text in texts for value in VALUE.findall(text)}
    for target in ("scenario", "forecast"):
        write(out / target, texts)
    write(out / "quantity", (value for value in values if re.search(r"\d", value)))
    write(out / "date", (value for value in values if re.search(r"\d.*(-|[A-Z])", value)))
    schema = json.loads((ROOT / "docs" / "schema" / "scenario.schema.json").read_text("utf-8"))
    keys = sorted({word for word in words(schema) if word.isascii() and word.isprintable() and '"' not in word})
    (out / "words.dict").write_text("".join(f'"{word}"\n' for word in keys), "utf-8")


if __name__ == "__main__":
    main()
