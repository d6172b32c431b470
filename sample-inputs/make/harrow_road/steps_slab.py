"""What was done in and after the slab: baskets and bars, curing, sawing, sealing, weather, maturity, opening, photographs."""

import datetime as dt
import itertools
import math
import random

from harrow_road.crew import station
from harrow_road.lab import LAST_DAY
from harrow_road.plan import LANES
from harrow_road.plants import MONTHS
from harrow_road.steps import PLANTED_STEPS, log_times, month_word, on_five, workday, worked
from line import half_up
from sheets import Book, convert, write_csv

CROSSING = 6410.0  # in NB 74+00 to 74+60, placed in July


def ends_of(placement):
    return station(placement.alignment, placement.start, True), station(placement.alignment, placement.end, True)


def minutes(time):
    return time.hour * 60 + time.minute


def moment(day, time, later):
    return dt.datetime.combine(day, time) + dt.timedelta(minutes=later)


def slashed(day):
    return f"{day:%m/%d/%Y}"


def baskets(folder, placements):
    """`crew/<month>/baskets.xlsx`: at 15 ft on the mainlines, with a total at the foot."""
    rng = random.Random(310731)
    for month, word in MONTHS.items():
        book = Book(folder / word / "baskets.xlsx", "Paving crew (invented)")
        sheet = book.sheet("Baskets", [11, 13, 12, 12, 11, 10])
        sheet.row(["Dowel baskets set"], "title")
        sheet.row([f"Mainline, joints at 15 ft, {word.capitalize()} 2031"])
        sheet.blank()
        sheet.row(["Date", "Lanes", "From station", "To station", "Baskets set", "Crew"], "head")
        first, total = sheet.at, 0
        for p in (p for p in placements if p.date.month == month and "mainline" in p.section):
            eve = p.date - dt.timedelta(days=1)
            count = round(abs(p.end - p.start) / 15) * len(p.lanes)
            total += count
            sheet.row([eve if worked(eve) and eve.month == month else p.date, ", ".join(p.lanes), *ends_of(p), count,
                       rng.choice(["Baskets 1", "Baskets 2"])], ["date", None, None, None, "0", None])
        sheet.put(sheet.at, 0, "Total", "total-text")
        sheet.formula(sheet.at, 4, f"=SUM(E{first + 1}:E{sheet.at})", total, "total")
        book.close()


def bar_positions(folder, placements):
    """`inspector/<month>/bar positions.ods`: twelve dowels of one joint in sixty, scanned a day or two after paving."""
    rng = random.Random(310732)
    fault = PLANTED_STEPS["deep bars"]
    joints = []
    for lane in ("NB-1", "NB-2", "SB-1", "SB-2"):
        line = LANES[lane].alignment
        wanted = [420 + 880 * i + rng.uniform(-60, 60) for i in range(12)]
        for place in wanted + [CROSSING] * lane.startswith("NB"):
            along = 15.0 * round(place / 15)
            p = next(p for p in placements if lane in p.lanes and p.span[0] <= along <= p.span[1])
            joints.append((workday(p.date, rng.randrange(1, 3)), lane, along, station(line, along, True), p.number))
    joints.sort()
    paths = []
    for month, word in MONTHS.items():
        mine = [joint for joint in joints if joint[0].month == month]
        if not mine:
            continue
        paths.append(folder / word / "bar positions.xlsx")
        book = Book(paths[-1], "Inspector (invented)")
        sheet = book.sheet("Bars", [11, 8, 12, 8, 11, 11, 11, 11])
        sheet.row(["Dowel positions, scanned on the finished slab"], "title")
        sheet.row(["HR-31-07, slab 9.5 in, 12 dowels a joint and lane"])
        sheet.row(["Date", "Lane", "Joint station", "Bar no", "Depth to centre (in)", "Side shift (in)", "Vertical tilt (in)",
                   "Horizontal skew (in)"], "head")
        for day, lane, _, where, number in mine:
            for bar in range(1, 13):
                off = [max(-most, min(most, half_up(rng.gauss(0, by) * 20) / 20))
                       for by, most in ((0.14, 0.4), (0.22, 0.65), (0.10, 0.3), (0.10, 0.3))]
                depth = half_up(4.75 + off[0], 2)
                if (number, lane, where) == (fault["placement"], fault["lane"], fault["station"]) and bar in fault["bars"]:
                    depth = fault["depth"]
                sheet.row([day, lane, where, bar, depth, *(half_up(v, 2) + 0.0 for v in off[1:])],
                          ["date", None, None, "0", "0.00", "0.00", "0.00", "0.00"])
            sheet.blank()
        book.close()
    convert(paths, "ods")


def curing_log(folder, placements):
    """`crew/<month>/curing log.xlsx`: compound sprayed 15 to 40 minutes after the last concrete."""
    rng = random.Random(310733)
    for month, word in MONTHS.items():
        book = Book(folder / word / "curing log.xlsx", "Paving crew (invented)")
        sheet = book.sheet("Curing", [11, 13, 12, 12, 9, 20, 11, 10])
        sheet.row(["Curing log"], "title")
        sheet.row([f"Harrow Road reconstruction, {word.capitalize()} 2031"])
        sheet.blank()
        sheet.row(["Date", "Lanes", "From station", "To station", "Start", "Compound", "Coverage (ft2/gal)", "Crew"], "head")
        week = None
        for p in (p for p in placements if p.date.month == month):
            last = log_times(p)[1]
            wait = min(40, max(rng.randrange(15, 41), max(minutes(load.discharged) for load in p.loads) - minutes(last) + 8))
            rate, crew = rng.randrange(134, 149), "Curing 1" if "mainline" in p.section else "Curing 2"
            if p.number == PLANTED_STEPS["no curing"]["placement"]:
                continue
            if p.number == PLANTED_STEPS["thin curing"]["placement"]:
                rate = PLANTED_STEPS["thin curing"]["rate"]
            if week not in (None, p.date.isocalendar()[1]):
                sheet.blank()
            week = p.date.isocalendar()[1]
            sheet.row([p.date, ", ".join(p.lanes), *ends_of(p), moment(p.date, last, wait).time(), "white pigmented", rate, crew],
                      ["date", None, None, None, "time", None, "0", None])
        book.close()


def saw_log(folder, placements):
    """`crew/<month>/saw log.xlsx`: finished the same night or the next morning, one row a placement or two."""
    rng = random.Random(310734)
    late, shallow = PLANTED_STEPS["late saw"], PLANTED_STEPS["shallow cut"]
    rows = []
    for p in placements:
        last = log_times(p)[1]
        hours = rng.choice([rng.uniform(8.4, 9.2), rng.uniform(15.2, 17.4)]) if last.hour > 12 else rng.uniform(8.2, 11.8)
        hours = late["hours"] if p.number == late["placement"] else hours
        cut = on_five(p.alignment, p.start + (p.end - p.start) * rng.uniform(0.45, 0.55))
        if p.number == shallow["placement"]:
            cut = p.alignment.along(shallow["from"])
        halves = [p.start, cut, p.end] if p.number == shallow["placement"] or rng.random() < 0.25 and abs(p.end - p.start) > 300 else [p.start, p.end]
        for which, (a, b) in enumerate(zip(halves, halves[1:])):
            done = moment(p.date, last, round(hours * 60) - (35 if which == 0 and len(halves) == 3 else 0))
            depth = half_up(rng.uniform(3.2, 3.4) if p.thickness > 9 else rng.uniform(2.7, 2.9), 1)
            if p.number == shallow["placement"] and which == 1:
                depth = shallow["depth"]
            rows.append([done.date(), done.time(), ", ".join(p.lanes), station(p.alignment, a, True), station(p.alignment, b, True), depth,
                         "Saw 1" if "mainline" in p.section else "Saw 2"])
    rows.sort(key=lambda row: row[:2])
    for month, word in MONTHS.items():
        book = Book(folder / word / "saw log.xlsx", "Saw crew (invented)")
        sheet = book.sheet("Sawing", [11, 9, 13, 12, 12, 11, 9])
        sheet.row(["Saw log, transverse joints"], "title")
        sheet.row([f"{word.capitalize()} 2031: 9.5 in slab one third deep, shoulder 2.7 in"])
        sheet.row(["Date", "Finish", "Lanes", "From station", "To station", "Depth of cut (in)", "Crew"], "head")
        before = None
        for row in (row for row in rows if row[0].month == month):
            if before and row[0] - before > dt.timedelta(days=2):
                sheet.blank()
            before = row[0]
            sheet.row(row, ["date", "time", None, None, None, "0.0", None])
        book.close()


def sealing(folder, placements):
    """`crew/sealing.csv`: joints of pavement older than two weeks."""
    rng = random.Random(310735)
    rows = []
    for p in placements:
        day = workday(p.date + dt.timedelta(days=14), rng.randrange(1, 5))
        if day <= LAST_DAY:
            rows.append((day, p.number, [slashed(day), ", ".join(p.lanes), *ends_of(p), "silicone" if "mainline" in p.section else "hot poured",
                                         "Seal 1"]))
    rows.sort(key=lambda row: row[:2])
    write_csv(folder / "sealing.csv", [["Joints sealed, HR-31-07"], [], ["Date", "Lanes", "From station", "To station", "Sealant", "Crew"]]
              + [row for _, _, row in rows])


def evaporation(air, humidity, wind, concrete):
    """Pounds a square foot and hour, temperatures in F and wind in mph."""
    return half_up((concrete**2.5 - humidity / 100 * air**2.5) * (1 + 0.4 * wind) * 1e-6, 2)


def weather(folder, placements):
    """`inspector/<month>/weather.csv`: three rows a paving day."""
    rng = random.Random(310736)
    fault = PLANTED_STEPS["evaporation"]
    usual = {5: (54, 63, 70, 68), 6: (65, 75, 82, 76), 7: (69, 79, 86, 81)}
    for month, word in MONTHS.items():
        rows = [["Date", "Time", "Air (F)", "Humidity (%)", "Wind (mph)", "Concrete (F)", "Evaporation (lb/ft2/h)"]]
        for day in sorted({p.date for p in placements if p.date.month == month}):
            for which, hour in enumerate((8, 11, 14)):
                while True:
                    air, concrete = round(usual[month][which] + rng.gauss(0, 2.5)), round(usual[month][3] + which + rng.gauss(0, 2))
                    humidity, wind = rng.randrange(*((62, 85), (50, 70), (40, 60))[which]), rng.randrange(2, 13)
                    planted = (day, hour) == (fault["date"], fault["hour"])
                    if planted:
                        air, concrete, humidity, wind = 88, 86, rng.randrange(32, 42), rng.randrange(9, 15)
                    rate = evaporation(air, humidity, wind, concrete)
                    if rate == fault["rate"] if planted else 0.05 <= rate <= 0.15:
                        break
                rows.append([slashed(day), f"{hour}:00", air, humidity, wind, concrete, f"{rate:.2f}"])
        write_csv(folder / word / "weather.csv", rows)


def maturity_curve(folder):
    """`lab/maturity curve P-4000-A.xlsx`: two specimens at each of six ages."""
    rng = random.Random(310737)
    book = Book(folder / "maturity curve P-4000-A.xlsx", "Laboratory (invented)")
    sheet = book.sheet("Curve", [10, 12, 14, 14])
    sheet.row(["Strength and maturity of P-4000-A, temperature-time factor over -10 C"], "title")
    sheet.row(["Contract HR-31-07, cast 04/15/2031, cylinders 6 x 12 in"])
    sheet.blank()
    sheet.row(["Specimen", "Mix", "Maturity (C-h)", "Strength (psi)"], "head")
    for i, age in enumerate(days for days in (1, 2, 3, 5, 7, 14) for _ in range(2)):
        grown = half_up(32.6 * 24 * age * (1 + rng.gauss(0, 0.01)))
        sheet.row([f"MC-{i + 1:02d}", "P-4000-A", grown, half_up((-3300 + 930 * math.log(grown) + rng.gauss(0, 60)) / 10) * 10],
                  [None, None, "thousands", "thousands"])
        if i % 2:
            sheet.blank()
    book.close()


def loggers(folder, placements):
    """`inspector/<month>/logger <lane> <number>.csv`: hourly readings after a placement, one with a hole."""
    rng = random.Random(310738)
    hole = PLANTED_STEPS["logger hole"]
    for number, lane, share, days, sensor in (("P-25", "SB-2", 0.45, 9, 3), ("P-41", "SB-1", 0.55, 7, 7), ("P-55", "NB-2", 0.5, 6, 8)):
        p = next(p for p in placements if p.number == number)
        along = on_five(p.alignment, p.start + (p.end - p.start) * share)
        first, last = log_times(p)
        begun = moment(p.date, dt.time(first.hour), 60 + 60 * int((minutes(last) - minutes(first)) * share // 60))
        rows = [["Sensor", "Date", "Time", "Temp (F)", "Lane", "Station", "Placement"]]
        for hour in range(24 * days + 1):
            at = begun + dt.timedelta(hours=hour)
            heat = 75 + 40 * math.sin(math.pi / 24 * hour)
            if hour > 12:
                swing = 4.5 * math.sin(2 * math.pi * (at.hour - 10) / 24) * (1 - math.exp((12 - hour) / 12))
                heat = 85 + 30 * math.exp((12 - hour) / 18) + swing
            heat = half_up(heat + rng.gauss(0, 0.25), 1)
            if number == hole["placement"] and hole["after"] < hour < hole["after"] + hole["hours"]:
                continue
            rows.append([f"{lane}/{sensor}", slashed(at), f"{at:%H:%M}", f"{heat:.1f}", lane, station(p.alignment, along, True), number])
        month = "july" if number == "P-41" else month_word(p.date)  # read out in July
        write_csv(folder / month / f"logger {lane} {sensor}.csv", rows)


# Their cylinders were below 3,500 psi at seven days, so they waited for the 28-day ones.
OPENED_LATER = {"P-08", "P-14", "P-21", "P-24", "P-26", "P-30", "P-32"}


def openings(folder, placements):
    """`inspector/openings.xlsx`: construction traffic on pavement of May and of June up to the 20th."""
    rng = random.Random(310739)
    early = PLANTED_STEPS["early opening"]
    rows = []
    for p in (p for p in placements if p.date <= dt.date(2031, 6, 20)):
        day = p.date + dt.timedelta(days=rng.randrange(8, 14) + (21 if p.number in OPENED_LATER else 0))
        day += dt.timedelta(days={5: 2, 6: 1}.get(day.weekday(), 0))
        if p.number == early["placement"]:
            day = p.date + dt.timedelta(days=early["days"])
        by = rng.choice(["inspector 1", "inspector 2"])
        rows.append([day, dt.time(7, 0), "Opened", ", ".join(p.lanes), *ends_of(p), "construction traffic", by])
        if p.number == "P-15":
            for later, time, event, whom in ((7, dt.time(7, 30), "Closed", None), (8, dt.time(15, 0), "Opened", "construction traffic")):
                rows.append([workday(day, later), time, event, ", ".join(p.lanes), *ends_of(p), whom, by])
    rows.sort(key=lambda row: row[:2])
    book = Book(folder / "openings.xlsx", "Inspector (invented)")
    sheet = book.sheet("Openings", [11, 8, 10, 13, 12, 12, 21, 12])
    sheet.row(["Pavement opened and closed"], "title")
    sheet.row(["Contract HR-31-07, through 07/31/2031"])
    sheet.blank()
    sheet.row(["Date", "Time", "Event", "Lanes", "From station", "To station", "Opened to", "By"], "head")
    for _, group in itertools.groupby(rows, key=lambda row: row[0].isocalendar()[1]):
        for row in group:
            sheet.row(row, ["date", "time"] + [None] * 6)
        sheet.blank()
    book.close()


SUBJECTS = [(-12, "subgrade rolled"), (-3, "base trimmed"), (0, "baskets ahead of the paver"), (0, "texture behind the paver"),
            (0, "curing compound on the slab"), (1, "saw cut, depth gauge in it"), (2, "joint spalled at the edge"), (6, "core hole filled")]


def photo_list(folder, placements):
    """`inspector/photo list.csv`: one or two photographs a placement."""
    rng = random.Random(310740)
    taken = []
    for p in placements:
        for _ in range(rng.choice([1, 1, 2])):
            days, subject = rng.choice(SUBJECTS[:2] + SUBJECTS[3:] if "shoulder" in p.section else SUBJECTS)
            day = workday(p.date, days) if days else p.date
            if day <= LAST_DAY:
                where = station(p.alignment, on_five(p.alignment, rng.uniform(p.span[0] + 5, p.span[1] - 5)), True)
                taken.append([day, rng.choice(p.lanes), where, subject, rng.choice(["inspector 1", "inspector 2", "paving foreman"])])
    taken.sort(key=lambda row: row[0])
    write_csv(folder / "photo list.csv", [["Photo", "Date", "Lane", "Station", "Subject", "Taken by"]]
              + [[f"HR-{i:04d}", slashed(row[0]), *row[1:]] for i, row in enumerate(taken, start=1)])


def write(field, placements):
    """All in and after the slab."""
    crew, inspector = field / "crew", field / "inspector"
    for records in (baskets, curing_log, saw_log, sealing):
        records(crew, placements)
    for records in (bar_positions, weather, loggers, openings, photo_list):
        records(inspector, placements)
    maturity_curve(field / "lab")
