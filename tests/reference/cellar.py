"""A second program for the same book: parcels in plain dictionaries, written from docs/model.md alone.

It knows what the demo scenarios and tests/data/wood/yearly.yaml need: the three clocks, tiers without wood, tanks that
gather draws, stated vapour, SO2 without acetaldehyde, costs.
Units: litres, grams (SO2 in milligrams), EUR, days of 365 to the year, %vol.
"""
import math

from quantities import amount, day_of, days_of, unit_of

NAN = float("nan")
SOLUTES = ["sugar", "acidity", "va", "so2_total", "so2_free", "so2_free_low", "so2_free_high", "acid_ph", "money"]
YIELD = 2 * 64.06 / 222.32  # grams of SO2 from a gram of potassium metabisulfite (section 13)
FLOWS = ["opening", "in", "dosed", "drawn", "evaporated", "gauge", "lost", "analysed", "gained"]


class Row:
    def __init__(self, stated, tier, so2_loss):
        self.name, self.tier = stated["name"], tier
        self.capacities = [amount(v["capacity"]) for v in stated.get("vessels", [stated]) for _ in marks(v)]
        self.levels = [0.0] * len(self.capacities)
        self.vessel_names = [name for v in stated.get("vessels", [stated]) for name in marks(v)]
        self.target = amount(stated["target"]) if "target" in stated else sum(self.capacities)
        self.loss = stated.get("evaporation", "3 %/yr") if tier else "0 %/yr"
        self.vapour = amount(stated["vapour"]) if "vapour" in stated else 0.0
        self.so2_loss = so2_loss
        self.of_wood = tier and stated.get("wood", "yes") == "yes"
        # (lot, day it entered or None, days in wood or None) -> [litres, litres as entered, litres of alcohol]
        self.parcels = {}
        self.solutes = dict.fromkeys(SOLUTES, 0.0)
        self.ph = NAN

    def volume(self):
        return math.fsum(parcel[0] for parcel in self.parcels.values())

    def alcohol(self):
        return math.fsum(parcel[2] for parcel in self.parcels.values())

    def take(self, share, only_vessel=None):
        """Whole wine: of every parcel and amount the same share (section 4). Returns it."""
        taken = {key: [share * x for x in parcel] for key, parcel in self.parcels.items()}
        solutes = {name: share * x for name, x in self.solutes.items()}
        litres = share * self.volume()
        if only_vessel is None:
            self.levels = [(1 - share) * level for level in self.levels]
        else:
            self.levels[only_vessel] -= litres
        if share >= 1:
            self.parcels, self.solutes, self.ph = {}, dict.fromkeys(SOLUTES, 0.0), NAN
        else:
            self.parcels = {key: [(1 - share) * x for x in parcel] for key, parcel in self.parcels.items()}
            self.solutes = {name: (1 - share) * x for name, x in self.solutes.items()}
        return taken, solutes

    def put(self, parcels, solutes):
        litres = math.fsum(parcel[0] for parcel in parcels.values())
        for key, parcel in parcels.items():
            old = self.parcels.get(key, [0.0, 0.0, 0.0])
            self.parcels[key] = [a + b for a, b in zip(old, parcel)]
        self.solutes = {name: x + solutes[name] for name, x in self.solutes.items()}
        ullage = [c - level for c, level in zip(self.capacities, self.levels)]
        room = sum(ullage)
        fill, over = min(litres, room), max(0.0, litres - room)
        self.levels = [level + (fill * u / room if room > 0 else 0) + over * c / sum(self.capacities)
                       for level, u, c in zip(self.levels, ullage, self.capacities)]

    def lose_vapour(self, keep, strength):
        """Litres go, and alcohol at the strength of the vapour; the rest stays (section 3)."""
        litres, alcohol = self.volume(), self.alcohol()
        lost = litres * (1 - keep)
        gone = lost * strength / 100
        for parcel in self.parcels.values():
            parcel[2] -= gone * parcel[2] / alcohol if alcohol > 0 else 0.0
            parcel[0] *= keep
        return lost, gone

    def pass_time(self, years):
        if not self.parcels or years == 0:
            return 0.0, 0.0, 0.0
        before = self.volume()
        if self.of_wood:  # section 11: each part grows older in wood by itself
            self.parcels = {(lot, entered, days if days is None else days + round(365 * years)): parcel
                            for (lot, entered, days), parcel in self.parcels.items()}
        if unit_of(self.loss) == "%/yr":
            keep = (1 - amount(self.loss)) ** years
            self.levels = [level * keep for level in self.levels]
        else:
            self.levels = [level - min(level, amount(self.loss) * years) for level in self.levels]
            keep = sum(self.levels) / before
        lost, gone = self.lose_vapour(keep, self.vapour)
        left = (1 - self.so2_loss) ** years
        so2 = self.solutes["so2_total"] * (1 - left)
        self.solutes["so2_total"] -= so2
        self.solutes["so2_free_high"] *= left  # its share of the total stays; the others lose the free first (section 13)
        for name in ("so2_free", "so2_free_low"):
            least = self.solutes["so2_free_high"] / 10
            self.solutes[name] = least if self.solutes[name] - so2 < least else self.solutes[name] - so2
        return lost, gone, so2


def marks(vessel):
    count = vessel.get("count", 1)
    if isinstance(count, list):
        return [f"{vessel['name']}{mark}" for mark in count]
    return [vessel["name"]] if count == 1 else [f"{vessel['name']}{i + 1}" for i in range(count)]


class Cellar:
    def __init__(self, scenario):
        self.s = scenario
        loss = amount(scenario["so2_loss"]) if "so2_loss" in scenario else 0.4  # default of section 13
        self.rows = [Row(t, True, loss) for t in scenario["tiers"]] + [Row(t, False, loss) for t in scenario.get("tanks", [])]
        self.tiers = [row for row in self.rows if row.tier]
        self.entry = scenario.get("clock", "harvest") in ("entry", "wood")
        self.wood = scenario.get("clock", "harvest") == "wood"
        self.lots = {lot["name"]: dict(lot) for lot in scenario["lots"]}
        self.zero = {}  # parcel -> day of age zero, NaN where unknown
        self.least = {}  # parcel of unknown age -> day on which it was wine
        self.today = None
        self.years, self.draws, self.refreshes, self.doses, self.readings = [], [], [], [], []
        self.total = {what: dict.fromkeys(FLOWS, 0.0) for what in ("volume", "alcohol", "sugar", "so2", "money")}
        self.year = None

    # Ages (section 11).

    def age(self, key, day):
        return key[2] / 365 if self.wood else (day - self.zero[key]) / 365

    def least_age(self, key, day):
        return key[2] / 365 if self.wood else (day - self.least.get(key, self.zero[key])) / 365

    # Books.

    def book(self, flow, litres, alcohol, solutes=None):
        self.total["volume"][flow] += litres
        self.total["alcohol"][flow] += alcohol
        if solutes:
            self.total["sugar"][flow] += solutes["sugar"]
            self.total["so2"][flow] += solutes["so2_total"]
            self.total["money"][flow] += solutes["money"]
        self.year[flow] += litres

    def held(self):
        return math.fsum(row.volume() for row in self.rows)

    def go_to(self, day):
        while self.year and day >= 365 * (self.year["year"] + 1):
            self.pass_to(365 * (self.year["year"] + 1))
            self.close_year()
            self.open_year(self.year["year"] + 1)
        if self.year is None:
            self.today = day
            self.open_year(day // 365)
        self.pass_to(day)

    def pass_to(self, day):
        years = (day - self.today) / 365
        for row in self.rows:
            lost, gone, so2 = row.pass_time(years)
            self.book("evaporated", lost, gone)
            self.total["so2"]["gained"] -= so2
            earned = row.solutes["money"] * ((1 + amount(self.s.get("interest", "0 %/yr"))) ** years - 1)
            row.solutes["money"] += earned  # of wine that is there: an empty row holds none
            self.total["money"]["gained"] += earned
        self.today = day

    def open_year(self, year):
        self.year = {"year": year, **dict.fromkeys(FLOWS, 0.0)}
        self.year["opening"] = self.held()

    def close_year(self):
        self.years.append({**self.year, "closing": self.held(), "closing_alcohol": math.fsum(r.alcohol() for r in self.rows)})

    # Wine.

    def wine_of(self, lot_name, litres, day, row):
        lot = self.lots[lot_name]
        key = (lot_name, day if self.entry and row.tier else None, 0 if self.wood else None)
        self.zero[key] = day if self.entry else day_of(lot.get("harvested", f"{lot['vintage']}-10-01"))
        return {key: [litres, litres, litres * amount(lot["alcohol"]) / 100]}, solutes_of(lot, litres)

    def add(self, lot, row, litres, day):
        wine, solutes = self.wine_of(lot, litres, day, row)
        self.book("in", litres, sum(p[2] for p in wine.values()), solutes)
        row.put(wine, solutes)

    def place(self, name):
        for row in self.rows:
            if row.name == name:
                return row, None
        for row in self.rows:
            if name in row.vessel_names:
                return row, row.vessel_names.index(name)
        raise KeyError(name)

    def share_of(self, act, row, key=None):
        text = act if key is None else act[key]
        if unit_of(text) == "%":
            return amount(text)
        if " x " in text:
            count, size = text.split(" x ")
            return float(count) * amount(size) / row.volume()
        return amount(text) / row.volume()

    def pour(self, giver, taker, share):
        """Wine that was in no tier yet enters one on the day that it leaves its tank."""
        parcels, solutes = giver.take(share)
        if taker.tier and self.entry:
            parcels = {(lot, self.today if entered is None else entered, days): parcel
                       for (lot, entered, days), parcel in parcels.items()}
            self.zero.update({key: key[1] for key in parcels if key not in self.zero})
        taker.put(parcels, solutes)

    def draw(self, row, text, name, date, past, to=None):
        before = math.fsum(r.alcohol() for r in self.tiers)
        ph = ph_of(row)
        share = self.share_of(text, row)
        parcels, solutes = row.take(share)
        litres, alcohol = (math.fsum(p[i] for p in parcels.values()) for i in (0, 2))
        if to is None:
            self.book("drawn", litres, alcohol, solutes)
        else:  # section 9: it is still in the book
            to.put(parcels, solutes)
        self.draws.append({"date": date, "name": name, "from": row.name, "past": past, "day": self.today, "parcels": parcels,
                           "solutes": solutes, "before": before, "after": math.fsum(r.alcohol() for r in self.tiers),
                           "alcohol": alcohol, "pH": ph})

    def refill(self, lot, order, date, past):
        """Section 6."""
        needs = [max(0.0, row.target - row.volume()) for row in self.tiers]
        into = [math.fsum(needs[k:]) for k in range(len(needs))]
        moves = []

        def pour(k):
            if into[k] <= 1e-9 * sum(self.tiers[k].capacities):
                return
            giver = self.tiers[k - 1]
            self.tiers[k].put(*giver.take(into[k] / giver.volume()))
            moves.append({"from": giver.name, "to": self.tiers[k].name, "volume_L": into[k]})
        if order == "oldest first":
            for k in range(len(self.tiers) - 1, 0, -1):
                pour(k)
        self.add(lot, self.tiers[0], into[0], self.today)
        if order == "youngest first":
            for k in range(1, len(self.tiers)):
                pour(k)
        self.refreshes.append({"date": date, "past": past, "new_wine_L": into[0], "lot": lot, "moves": moves})

    def dose(self, act, date, past):
        rows = self.tiers if act.get("tier", "all") == "all" else [self.place(act["tier"])[0]]
        level = amount(act["so2"]) if "so2" in act else amount(act["metabisulfite"]) * 1000 * YIELD / sum(r.volume() for r in rows)
        for row in rows:
            added = level * row.volume()
            row.solutes["so2_total"] += added
            sweet = row.solutes["sugar"] / row.volume() >= 12
            for name, binds in (("so2_free", 1 / 3), ("so2_free_low", 2 / 3 if sweet else 1 / 2), ("so2_free_high", 1 / 5)):
                row.solutes[name] += added * (1 - binds)  # section 13
            self.total["so2"]["dosed"] += added
            self.doses.append({"date": date, "past": past, "tier": row.name, "dose_mg_L": level, "so2_g": added / 1000,
                               "metabisulfite_g": added / 1000 / YIELD})

    def gauge(self, act):
        row, vessel = self.place(act["tier"])
        found, had = amount(act["volume"]), row.volume() if vessel is None else row.levels[vessel]
        before = row.volume()
        keep = (before - had + found) / before
        row.levels = [level * found / had if vessel in (None, i) else level for i, level in enumerate(row.levels)]
        self.readings.append((act["date"], "volume", found, had))
        self.book("gauge", *row.lose_vapour(keep, row.vapour))

    def analyse(self, act):
        row, _ = self.place(act["tier"])
        litres = row.volume()
        if "alcohol" in act:
            had = row.alcohol()
            factor = amount(act["alcohol"]) * litres / 100 / had
            for parcel in row.parcels.values():
                parcel[2] *= factor
            self.total["alcohol"]["analysed"] += row.alcohol() - had
            self.readings.append((act["date"], "alcohol", amount(act["alcohol"]), 100 * had / litres))
        if "pH" in act:
            self.readings.append((act["date"], "pH", act["pH"], ph_of(row)))
            row.ph = act["pH"]
        found = {name: amount(act[name]) for name in ("sugar", "acidity", "va") if name in act}
        for name, text in act.get("so2", {}).items():
            found["so2_" + name] = amount(text)
        for name, level in found.items():
            had = row.solutes[name]
            self.readings.append((act["date"], name.replace("_", " "), level, had / litres))
            row.solutes[name] = level * litres
            if name == "so2_free":
                row.solutes["so2_free_low"] = row.solutes["so2_free_high"] = level * litres
            if name in ("sugar", "so2_total"):
                self.total["so2" if name == "so2_total" else name]["analysed"] += level * litres - had

    # The log and the habit.

    def run(self):
        acts = [(day_of(o["date"]), 0, o, self.open_with) for o in self.s.get("opening", [])]
        acts += [(day_of(e["date"]), 1, e, self.do) for e in self.s.get("log", [])]
        acts += [(day, 2, (date, habit), self.do_habit) for day, date, habit in self.habit_days()]
        for day, _, act, what in sorted(acts, key=lambda a: a[:2]):
            self.go_to(day)
            what(act)
        self.go_to(365 * (self.until() + 1) - 1)
        self.pass_to(365 * (self.until() + 1))
        self.close_year()

    def until(self):
        return self.s.get("until") or int(str(self.s["log"][-1]["date"])[:4]) + 20

    def open_with(self, opening):
        row, _ = self.place(opening["tier"])
        litres = amount(opening["volume"])
        parcels = {}
        for name, text in opening.get("lots", {"unknown": "100 %"}).items():
            key = (name, ("opening", self.today), None)
            self.zero[key], self.least[key] = NAN, self.today
            parcels[key] = [amount(text) * x for x in (litres, litres, litres * amount(opening["alcohol"]) / 100)]
        solutes = solutes_of(opening, litres)
        self.book("opening", litres, sum(p[2] for p in parcels.values()), solutes)
        row.put(parcels, solutes)

    def do(self, act):
        verb, date = act["do"], str(act["date"])
        if verb == "add":
            self.add(act["lot"], self.place(act["to"])[0], amount(act["volume"]), self.today)
        elif verb == "draw":
            text = act.get("share") or act.get("volume") or act["bottles"]
            self.draw(self.place(act["from"])[0], text, act.get("for", date), date, True,
                      self.place(act["to"])[0] if "to" in act else None)
        elif verb == "move":
            giver = self.place(act["from"])[0]
            self.pour(giver, self.place(act["to"])[0], self.share_of(act.get("share") or act["volume"], giver))
        elif verb == "lose":
            row, vessel = self.place(act["from"])
            parcels, solutes = row.take(self.share_of(act.get("share") or act["volume"], row), vessel)
            self.book("lost", *(math.fsum(p[i] for p in parcels.values()) for i in (0, 2)), solutes)
        elif verb == "refill":
            self.refill(act["lot"], act.get("order", "oldest first"), date, True)
        else:
            {"dose": lambda: self.dose(act, date, True), "gauge": lambda: self.gauge(act), "analyse": lambda: self.analyse(act)}[verb]()

    def habit_days(self):
        habits = self.s.get("habit") or []
        log = self.s.get("log", [])
        last = max(day_of(e["date"]) for e in log)
        refills = [day_of(e["date"]) for e in log if e["do"] == "refill"]
        for habit in habits if isinstance(habits, list) else [habits]:
            months = int(amount(habit["every"])) if "every" in habit else 12
            for day, date in days_of(habit, last // 365, self.until()):
                late = not refills or (day - refills[-1]) / 365 > months / 24
                if day > last and late and day >= day_of(habit.get("from", "0001-01-01")):
                    yield day, date, {**habit, **habit.get("except", {}).get(int(date[:4]), {})}

    def do_habit(self, dated):
        date, habit = dated
        draw_first = habit.get("order", "draw first") == "draw first"

        def draw():
            if habit.get("draw", "none") != "none":
                self.draw(self.tiers[-1], habit["draw"], habit.get("for", date).replace("{year}", date[:4]), date, False)
        if draw_first:
            draw()
        if habit.get("refill", "none") != "none":
            self.refill(self.lot_like(habit["refill"], date), "oldest first" if draw_first else "youngest first", date, False)
        if not draw_first:
            draw()
        if habit.get("dose", "none") != "none":
            self.dose(habit["dose"], date, False)

    def lot_like(self, refill, date):
        """Section 12: the last harvest on or before the day."""
        like = self.lots[refill["like"]]
        harvest = str(like.get("harvested", f"{like['vintage']}-10-01"))
        year = int(date[:4])
        if f"{year:04}{harvest[4:]}" > date:
            year -= 1
        used = {e.get("lot") for e in self.s.get("log", [])}
        for lot in self.s["lots"]:
            if lot.get("vintage") == year and lot["name"] not in used:
                return lot["name"]
        name = f"{refill['like']}/{year}"
        self.lots.setdefault(name, {**like, **{k: v for k, v in refill.items() if k != "like"}, "name": name, "vintage": year,
                                    "harvested": f"{year:04}{harvest[4:]}"})
        return name


def solutes_of(wine, litres):
    level = {name: amount(wine[name]) if name in wine else NAN for name in ("sugar", "acidity", "va")}
    level["money"] = amount(wine["cost"]) if "cost" in wine else NAN
    so2 = wine.get("so2", {})
    level.update({"so2_" + name: amount(so2[name]) if name in so2 else NAN for name in ("free", "total")})
    level["so2_free_low"] = level["so2_free_high"] = level["so2_free"]
    level["acid_ph"] = level["acidity"] * wine.get("pH", NAN)
    return {name: litres * x for name, x in level.items()}


def ph_of(row):
    """Section 14: the latest reading, else the mean weighted by acid."""
    return row.ph if not math.isnan(row.ph) else row.solutes["acid_ph"] / row.solutes["acidity"] if row.solutes["acidity"] else NAN
