#!/usr/bin/env python3
"""The demo scenarios, reckoned a second time, against every figure of `tierce forecast --json`.

usage: demo_by_scipy.py PROGRAM [PROJECT_FOLDER]    prints one row a scenario; exit status 1 if a figure differs

cellar.py follows every parcel in plain loops, written from docs/model.md alone; ages are weighted with numpy; the long
run is solved with scipy's general eigenvalues and linear solver from a run of many years.
Not compared, and counted as such: proof gallons and molecular SO2 (their own tables hold them), and sentences.
"""
import json
import math
import pathlib
import subprocess
import sys

import numpy
import scipy.linalg
import yaml

import cellar

DEMOS = [f"scenarios/{name}.yaml" for name in ("amber", "three_tiers", "five_casks", "four_scales", "steel_reserve")]
WOOD = "tests/data/wood/yearly.yaml"  # its parts are too many for the 300 years of long_run()
TOLERANCE = 1e-9  # relative: both sides work with doubles, over some thousand operations
NOT_COMPARED = {"proof_gal", "so2_molecular_mg_L", "so2_molecular_low_mg_L", "so2_molecular_high_mg_L", "metabisulfite_yield"}


class Text(yaml.SafeLoader):
    """Every plain value as text, but whole numbers and lists: units and dates are read by cellar.py."""


Text.yaml_implicit_resolvers = {first: [(tag, rule) for tag, rule in rules if tag.endswith((":int", ":float"))]
                                for first, rules in yaml.SafeLoader.yaml_implicit_resolvers.items()}


def known(value):
    return None if value is None or math.isnan(value) else value


def ages(book, parcels, day):
    """Section 11."""
    keys = [key for key, parcel in parcels.items() if parcel[0] > 0]
    litres, entered, alcohol = (numpy.array([parcels[key][i] for key in keys]) for i in range(3))
    age = numpy.array([book.age(key, day) for key in keys])
    least = numpy.array([book.least_age(key, day) for key in keys])
    share = litres / litres.sum()
    order = numpy.argsort(age, kind="stable")
    reached = numpy.cumsum(share[order])
    mean = float(share @ age)
    quantile = {str(q): float(age[order][numpy.searchsorted(reached, q - 1e-12)]) if not math.isnan(mean) else NAN for q in (0.1, 0.5, 0.9)}
    certain = numpy.where(numpy.isnan(age), numpy.inf, age)
    youngest = float(certain.min()) if certain.min() <= least.min() else NAN
    return {"mean_y": mean, "mean_by_alcohol_y": float(alcohol @ age / alcohol.sum()) if alcohol.sum() > 0 else NAN,
            "mean_by_solids_y": float(entered @ age / entered.sum()), "youngest_y": youngest,
            "oldest_y": float(age.max()), "sd_y": math.sqrt(float(share @ (age - mean) ** 2)) if not math.isnan(mean) else NAN,
            "quantiles_y": quantile, "unknown_fraction": float(share[numpy.isnan(age)].sum()),
            "mean_at_least_y": float(share @ least), "youngest_at_least_y": float(least.min()), "oldest_at_least_y": float(least.max())}


NAN = math.nan


def wine(parcels, solutes, ph):
    litres, alcohol = (math.fsum(parcel[i] for parcel in parcels.values()) for i in (0, 2))
    if not litres > 0:
        return {"volume_L": 0.0}
    return {"volume_L": litres, "alcohol_L": alcohol, "alcohol_pct": 100 * alcohol / litres, "sugar_g_L": solutes["sugar"] / litres,
            "acidity_g_L": solutes["acidity"] / litres, "volatile_g_L": solutes["va"] / litres, "pH": ph,
            "money": solutes["money"], "cost_per_L": solutes["money"] / litres, "so2_total_mg_L": solutes["so2_total"] / litres, "so2_free_mg_L": solutes["so2_free"] / litres,
            **{f"so2_free_{end}_mg_L": (min if end == "low" else max)(solutes[name] for name in ("so2_free", "so2_free_low", "so2_free_high")) / litres for end in ("low", "high")}}


def shares(book, parcels, day):
    total = math.fsum(parcel[0] for parcel in parcels.values())
    return {key: {"litres": parcel[0], "fraction": parcel[0] / total, "age_y": book.age(key, day)}
            for key, parcel in parcels.items() if parcel[0] > 0}


def long_run(scenario):
    """The habit for 300 years, then one period by tiers: its matrix, the eigenvalue, the mean age of what is drawn."""
    plain = {**scenario, "until": int(str(scenario["log"][-1]["date"])[:4]) + 300}
    habits = scenario["habit"] if isinstance(scenario["habit"], list) else [scenario["habit"]]
    plain["habit"] = [{k: v for k, v in habit.items() if k not in ("except", "dose")} for habit in habits]
    book = cellar.Cellar(plain)
    book.run()
    book.zero.update(book.least)  # of wine without an age next to nothing is left; it takes that of the opening
    last = [draw for draw in book.draws if draw["date"][:4] == str(plain["until"])]
    litres = [math.fsum(p[0] for p in draw["parcels"].values()) for draw in last]
    mean = math.fsum(share * ages(book, draw["parcels"], draw["day"])["mean_y"] for draw, share in zip(last, litres)) / math.fsum(litres)
    volumes = numpy.array([row.volume() for row in book.tiers])
    for index, row in enumerate(book.tiers):  # what lies in each tier gets the tier's mark
        row.parcels = {(index, "held", None): [math.fsum(p[i] for p in row.parcels.values()) for i in range(3)]}
    period = {**plain, "until": plain["until"] + 1}
    book.s = period
    book.open_year(period["until"])
    for day, date, habit in book.habit_days():
        if date[:4] == str(period["until"]):
            book.go_to(day)
            book.do_habit((date, habit))
    book.pass_to(365 * (period["until"] + 1))
    held = numpy.array([[row.parcels.get((j, "held", None), [0.0])[0] for j in range(len(volumes))] for row in book.tiers])
    largest = max(abs(scipy.linalg.eigvals(held / volumes)))
    return {"mean_y": mean, "half_life_y": math.log(0.5) / math.log(largest)}


class Compare:
    def __init__(self):
        self.figures, self.largest, self.where, self.faults = 0, 0.0, "", []

    def number(self, path, wanted, found, scale=0.0):
        self.figures += 1
        if known(wanted) is None or found is None:
            if known(wanted) is not None or found is not None:
                self.faults.append(f"{path}: reckoned {wanted}, program {found}")
            return
        off = abs(wanted - found) / max(abs(wanted), scale, 1e-300) if wanted != found else 0.0
        if off > self.largest:
            self.largest, self.where = off, path
        if off > TOLERANCE:
            self.faults.append(f"{path}: reckoned {wanted!r}, program {found!r}")

    def all(self, path, wanted, found, scale=0.0):
        for key, value in wanted.items():
            if isinstance(value, dict):
                self.all(f"{path}.{key}", value, found[key], scale)
            elif isinstance(value, (str, bool)):
                self.figures += 1
                if value != found[key]:
                    self.faults.append(f"{path}.{key}: reckoned {value!r}, program {found[key]!r}")
            elif key not in NOT_COMPARED:
                self.number(f"{path}.{key}", value, found[key], scale)

    def rows(self, path, wanted, found):
        if len(wanted) != len(found):
            self.faults.append(f"{path}: reckoned {len(wanted)}, program {len(found)}")
        for index, (one, other) in enumerate(zip(wanted, found)):
            self.all(f"{path}[{index}]", one, other, LITRES)


LITRES = 1e-3  # litres below it are compared to it: differences of large figures


def draw_figures(book, draw):
    of_year = math.fsum(other["alcohol"] for other in book.draws if other["date"][:4] == draw["date"][:4])
    result = {"date": draw["date"], "name": draw["name"], "from": draw["from"], "past": draw["past"],
              **wine(draw["parcels"], draw["solutes"], draw["pH"]), "age": ages(book, draw["parcels"], draw["day"])}
    result["age"]["stock_over_draw_y"] = draw["before"] / of_year if of_year > 0 else NAN
    result["age"]["stock_after_over_draw_y"] = draw["after"] / of_year if of_year > 0 else NAN
    return result


def compare_shares(compare, path, wanted, found, by_wood):
    names = {}
    for share in found:
        day = cellar.day_of(share["entered"]) if "entered" in share else None
        names[share["lot"], day, round(365 * share["age_y"]) if by_wood else None] = share
    mine = {(lot, day if isinstance(day, int) else None, days): share for (lot, day, days), share in wanted.items()}
    if set(mine) != set(names):
        compare.faults.append(f"{path}: lots differ: {set(mine) ^ set(names)}")
    for key in set(mine) & set(names):
        compare.all(f"{path}[{key[0]}]", mine[key], names[key], 1e-9)


def compare_all(book, scenario, found):
    compare = Compare()
    compare.rows("draws", [draw_figures(book, draw) for draw in book.draws], found["draws"])
    for index, draw in enumerate(book.draws):
        compare_shares(compare, f"draws[{index}].shares", shares(book, draw["parcels"], draw["day"]), found["draws"][index]["shares"], book.wood)
        litres = math.fsum(parcel[0] for parcel in draw["parcels"].values())
        for bottle in found["draws"][index]["bottle_costs"]:
            compare.number(f"draws[{index}].bottle_costs", bottle["bottle_L"] * draw["solutes"]["money"] / litres, bottle["cost"])
    for index, row in enumerate(book.rows):
        figures = wine(row.parcels, row.solutes, cellar.ph_of(row))
        if row.parcels:
            figures["age"] = ages(book, row.parcels, book.today)
        figures["capacity_L"] = math.fsum(row.capacities)
        compare.all(f"stock[{index}]", figures, found["stock"][index], LITRES)
        compare_shares(compare, f"stock[{index}].shares", shares(book, row.parcels, book.today), found["stock"][index]["shares"], book.wood)
        for vessel, level in zip(found["stock"][index]["vessels"], row.levels):
            compare.number(f"stock[{index}].{vessel['name']}", level, vessel["volume_L"], LITRES)
    compare.rows("years", [{"year": y["year"], "closing_L": y["closing"], "closing_alcohol_L": y["closing_alcohol"],
                            **{f"{flow}_L": y[flow] for flow in ("opening", "in", "drawn", "evaporated", "gauge", "lost")}}
                           for y in book.years], found["years"])
    compare.rows("refreshes", [{k: v for k, v in one.items() if k != "moves"} for one in book.refreshes], found["refreshes"])
    for index, one in enumerate(book.refreshes):
        compare.rows(f"refreshes[{index}].moves", one["moves"], found["refreshes"][index]["moves"])
    compare.rows("doses", book.doses, found["doses"])
    compare.rows("readings", [{"date": str(r[0]), "quantity": r[1], "measured": r[2], "book": r[3]} for r in
                              sorted(book.readings, key=lambda r: order_of(r, found))], sorted(found["readings"], key=lambda r: order_of(
                                  (r["date"], r["quantity"]), found)))
    held = {"volume": book.held(), "alcohol": math.fsum(r.alcohol() for r in book.rows),
            "sugar": math.fsum(r.solutes["sugar"] for r in book.rows), "so2": math.fsum(r.solutes["so2_total"] for r in book.rows),
            "money": math.fsum(r.solutes["money"] for r in book.rows)}
    for what, field in (("volume", "volume_L"), ("alcohol", "alcohol_L"), ("sugar", "sugar_g"), ("so2", "so2_mg"), ("money", "money")):
        if math.isnan(held[what]):
            continue  # the file does not state what this balance needs
        throughput = math.fsum(book.total[what][flow] for flow in ("opening", "in", "dosed"))
        compare.all(f"balance.{field}", {**book.total[what], "held": held[what]}, found["balance"][field], 1e-6 * known_or(throughput, 1))
    if not book.wood:
        compare.all("long_run", long_run(scenario), found["long_run"])
    return compare


def known_or(value, other):
    return other if math.isnan(value) else value


def order_of(reading, found):
    return str(reading[0]), reading[1]


def main():
    program = sys.argv[1]
    project = pathlib.Path(sys.argv[2] if len(sys.argv) > 2 else pathlib.Path(__file__).resolve().parents[2])
    faults = []
    print("| scenario | figures compared | largest relative deviation |\n| --- | --- | --- |")
    for name in [*DEMOS, WOOD]:
        path = project / name
        said = subprocess.run([program, "forecast", "--json", str(path)], capture_output=True, text=True, check=True)
        scenario = yaml.load(path.read_text("utf-8"), Text)
        book = cellar.Cellar(scenario)
        book.run()
        compare = compare_all(book, scenario, json.loads(said.stdout))
        bound = f"1e{math.ceil(math.log10(compare.largest))}" if compare.largest > 0 else "0"
        print(f"| `{name}` | {compare.figures} | below {bound} |")
        faults += [f"{name}: {fault}" for fault in compare.faults]
    for fault in faults[:60]:
        print(fault, file=sys.stderr)
    print(f"{len(faults)} figures differ by more than {TOLERANCE:g}", file=sys.stderr)
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
