"""How long tierce takes, start included, as its input grows: tiers, lots and years, entries of the log, vessels.

Usage: scale.py TIERCE. Writes invented scenarios into a temporary folder, runs `forecast` on each (and on the largest
`report`, `check`, `label`) and prints a table of CPU time (user and system), peak memory and bytes written. The best of
three runs counts: on a busy machine only the least is the work.
"""
import os
import subprocess
import sys
import tempfile

LOT = ("  - {name: L%d, vintage: %d, alcohol: 18 %%vol, sugar: 95 g/L, acidity: 5 g/L, pH: 3.5,"
       " so2: {free: 20 mg/L, total: 70 mg/L}}\n")


def head(tiers, vessels, loss):
    """A reserve; each tier's vessels hold 1000 L together."""
    lines = ["reserve: Skerry Vale\ntiers:\n"]
    for k in range(tiers):
        lines.append(f"  - {{name: t{k}, vessels: [{{name: t{k}v, count: {vessels}, capacity: {1000 / vessels:g} L}}],"
                     f" evaporation: {loss} %/yr, vapour: 12 %vol}}\n")
    return lines


def yearly(tiers, years, vessels=4):
    """Filled once; then a draw and a refill with the lot of the year, each year, all in the log."""
    # What all tiers lose together passes through the youngest: it must not be more than that holds.
    lines = head(tiers, vessels, min(3.0, 60.0 / tiers))
    lines.append("lots:\n" + "".join(LOT % (year, year) for year in range(1900, 1900 + years)))
    lines.append("log:\n" + "".join(f"  - {{date: 1901-02-10, do: add, lot: L1900, to: t{k}, volume: 1000 L}}\n"
                                    for k in range(tiers)))
    for year in range(1901, 1900 + years):
        lines.append(f"  - {{date: {year + 1}-02-10, do: draw, from: t{tiers - 1}, share: 20 %}}\n"
                     f"  - {{date: {year + 1}-02-10, do: refill, lot: L{year}}}\n")
    return "".join(lines) + f"until: {1901 + years}\n"


def daily(entries):
    """A log of many small draws and of wine moved down, with new wine each spring."""
    days = [f"{month:02d}-{day:02d}" for month in range(3, 13) for day in range(1, 29)]
    years = max(1, entries // (2 * len(days)))
    lines = head(3, 4, 3.0)
    lines.append("lots:\n" + "".join(LOT % (year, year) for year in range(1900, 1901 + years)))
    lines.append("log:\n" + "".join(f"  - {{date: 1901-02-10, do: add, lot: L1900, to: t{k}, volume: 1000 L}}\n"
                                    for k in range(3)))
    written = 3
    for year in range(1901, 1901 + years):
        for day in days:
            if written + 2 > entries:
                break
            lines.append(f"  - {{date: {year}-{day}, do: draw, from: t2, volume: 0.5 L}}\n"
                         f"  - {{date: {year}-{day}, do: move, from: t1, to: t2, volume: 0.4 L}}\n")
            written += 2
        lines.append(f"  - {{date: {year}-12-30, do: refill, lot: L{year}}}\n")
        written += 1
    return "".join(lines)


def habit(tiers, until, more=""):
    """One fill, then a habit with a dose a year."""
    lines = head(tiers, 4, 3.0)
    lines.append("lots:\n" + LOT % (2000, 2000) + "log:\n")
    lines += [f"  - {{date: 2001-01-01, do: add, lot: L2000, to: t{k}, volume: 1000 L}}\n" for k in range(tiers)]
    lines.append("habit: {day: 10 Feb, draw: 10 %, refill: {like: L2000}, dose: {so2: 10 mg/L}}\n")
    return "".join(lines) + f"until: {until}\n" + more


def corrected(entries):
    """Losses, and a correction of each."""
    lines = head(1, 40, 3.0) + ["lots:\n" + LOT % (2000, 2000) + "log:\n",
                                "  - {date: 2001-01-01, do: add, lot: L2000, to: t0, volume: 900 L}\n"]
    lines += [f"  - {{date: 2001-02-01, do: lose, from: t0, volume: 0.01 L, ref: R{i}}}\n" for i in range(entries)]
    lines += [f"  - {{date: 2002-01-01, do: correct, entry: {{ref: R{i}}}, because: misread,"
              f" with: {{volume: 0.02 L}}}}\n" for i in range(entries)]
    return "".join(lines)


def measure(tierce, texts, folder, arguments=("forecast",)):
    """Least CPU seconds of three runs, the peak of memory and what was written, in MB."""
    paths = []
    for i, text in enumerate(texts):
        paths.append(os.path.join(folder, f"scale{i}.yaml"))
        with open(paths[-1], "w", encoding="utf-8") as file:
            file.write(text)
    best, peak, out = float("inf"), 0.0, os.path.join(folder, "out")
    for _ in range(3):
        with open(out, "wb") as written:
            child = subprocess.Popen([tierce, *arguments, *paths], stdout=written, stderr=subprocess.PIPE, text=True)
            said = child.stderr.read()
            _, status, usage = os.wait4(child.pid, 0)
        if os.waitstatus_to_exitcode(status) not in (0, 1):  # 1: a plan that cannot be kept, or a claim that fails
            sys.exit(f"tierce could not run the scenario:\n{said}")
        best = min(best, usage.ru_utime + usage.ru_stime)
        peak = max(peak, usage.ru_maxrss / 1024.0)  # Linux counts in kB
    return best, peak, os.path.getsize(out) / 1e6


def main():
    cases = []
    for tiers, years in [(25, 37), (50, 75), (100, 75), (100, 150), (200, 150), (400, 150)]:
        cases.append((f"{tiers} tiers, {years} lots, {years} years", [yearly(tiers, years)]))
    for entries in [2500, 5000, 10000, 20000, 40000]:
        cases.append((f"{entries:,} entries in the log", [daily(entries)]))
    for tiers in [250, 500, 1000, 2000]:
        cases.append((f"{50 * tiers:,} vessels in {tiers:,} tiers, 60 years", [yearly(tiers, 60, vessels=50)]))
    for years in [100, 200, 400, 999]:
        cases.append((f"report: {years} years of habit", [habit(5, 2001 + years)], ("report",)))
    for entries in [5000, 10000, 20000]:
        cases.append((f"report: {entries:,} entries", [daily(entries)], ("report",)))
    cases.append(("report: ten houses of 40 years", [habit(5, 2040)] * 10, ("report",)))
    for tiers in [400, 2000]:
        cases.append((f"report: {50 * tiers:,} vessels, 60 years", [yearly(tiers, 60, vessels=50)], ("report",)))
    cases.append(("forecast --json: 999 years", [habit(5, 3000)], ("forecast", "--json")))
    for entries in [5000, 10000, 20000]:
        cases.append((f"check: {entries:,} entries, all corrected", [corrected(entries)], ("check",)))
    claims = "claims:\n" + "  - {say: mean age, at least: 2 years}\n"
    for number in [50, 100, 200]:
        cases.append((f"label: {number} claims, 98 draws",
                      [habit(1, 2098, claims + "  - {say: mean age, at least: 2 years}\n" * (number - 1))], ("label",)))
    with tempfile.TemporaryDirectory() as folder:
        print(f"{'':48}{'s':>10}{'MB':>10}{'MB out':>10}")
        for name, *case in cases:
            seconds, megabytes, written = measure(sys.argv[1], case[0], folder, *case[1:])
            print(f"{name:48}{seconds:10.3f}{megabytes:10.0f}{written:10.1f}", flush=True)


if __name__ == "__main__":
    main()
