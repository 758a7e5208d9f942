"""Numbers with units and days of the calendar, as the second program reads them."""
UNITS = {"L": 1, "hL": 100, "mL": 0.001, "gal": 3.785411784, "%": 0.01, "%/yr": 0.01, "%vol": 1, "proof": 0.5, "g/L": 1,
         "mg/L": 1, "L/yr per vessel": 1, "months": 1, "g": 1, "years": 1, "°C": 1, "%/yr of total": 0.01,
         "EUR/L": 1}
MONTHS = ["Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec"]
BEFORE = [0, 31, 59, 90, 120, 151, 181, 212, 243, 273, 304, 334]


def amount(text):
    number, unit = str(text).split(" ", 1)
    return float(number) * UNITS[unit]


def unit_of(text):
    return str(text).split(" ", 1)[1]


def day_of(iso):
    """Section 2: 365 days to every year, 29 February counts as 1 March."""
    year, month, day = map(int, str(iso).split("-"))
    return 365 * year + BEFORE[month - 1] + day - 1


def days_of(habit, first, until):
    if "every" in habit:
        year, month, day = map(int, str(habit["from"]).split("-"))
        step = int(amount(habit["every"]))
        count = year * 12 + month - 1
        while count // 12 <= until:
            date = f"{count // 12:04}-{count % 12 + 1:02}-{day:02}"
            yield day_of(date), date
            count += step
    else:
        day, month = habit["day"].split()
        for year in range(first, until + 1):
            date = f"{year:04}-{MONTHS.index(month) + 1:02}-{int(day):02}"
            yield day_of(date), date
