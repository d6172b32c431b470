"""What was done to the grade and the base before paving, as crews and inspectors wrote it: subgrade work, density tests, base log."""

import datetime as dt
import random

from harrow_road.crew import station
from harrow_road.plan import LANES, LEFT_OUT, NB, NOT_WORKED, SB, SECTIONS
from line import half_up
from sheets import Book, write_csv

PLANTED_STEPS = {
    "retested 1": {"file": "inspector/grade/density tests NB.xlsx", "layer": "Subgrade", "lane": "NB-1", "which": 4,
                   "record": "SD-109", "retest": "SD-112", "station": "41+95", "percent": 93.4},
    "retested 2": {"file": "inspector/grade/density tests SB.xlsx", "layer": "Subgrade", "lane": "SB-1", "which": 9,
                   "record": "SD-212", "retest": "SD-214", "station": "75+65", "percent": 92.8},
    "retested 3": {"file": "inspector/grade/density tests SB.xlsx", "layer": "Base", "lane": "SB-2", "which": 4,
                   "record": "BD-222", "retest": "BD-223", "station": "40+60", "percent": 94.1},
    "no retest": {"file": "inspector/grade/density tests SB.xlsx", "layer": "Subgrade", "lane": "SB-2", "at": 8805.0,
                  "record": "SD-210", "station": "88+05", "percent": 93.1},
    "last digit": {"file": "inspector/grade/density tests NB.xlsx", "layer": "Base", "lane": "NB-2", "which": 7,
                   "record": "BD-116", "station": "62+70", "percent": 95.0},
    "late acceptance": {"file": "crew/base/base log.xlsx", "placement": "P-36", "lane": "NB-S", "from": 5860.0, "to": 6160.0,
                        "paved": dt.date(2031, 6, 24), "accepted": dt.date(2031, 6, 25)},
    "thin base": {"file": "crew/base/base log.xlsx", "placement": "P-31", "lane": "SB-1, SB-2", "from": 4600.0, "to": 4270.0,
                  "depth": 3.2},
    "deep bars": {"file": "inspector/june/bar positions.ods", "placement": "P-27", "lane": "SB-1", "station": "58+15",
                  "bars": (7, 8), "depth": 6.15},
    "no curing": {"file": "crew/june/curing log.xlsx", "placement": "P-24"},
    "thin curing": {"file": "crew/june/curing log.xlsx", "placement": "P-40", "rate": 171},
    "late saw": {"file": "crew/june/saw log.xlsx", "placement": "P-22", "hours": 31},
    "shallow cut": {"file": "crew/june/saw log.xlsx", "placement": "P-33", "depth": 2.6, "from": 4000.0, "to": 3670.0},
    "evaporation": {"file": "inspector/july/weather.csv", "date": dt.date(2031, 7, 10), "hour": 14, "rate": 0.23},
    "logger hole": {"file": "inspector/june/logger SB-2 3.csv", "placement": "P-25", "after": 52, "hours": 7},
    "early opening": {"file": "inspector/openings.xlsx", "placement": "P-20", "days": 3},
}

# Curve: maximum dry density, optimum moisture, specific gravity, day of the report.
CURVES = {
    "SG-1": (115.6, 13.6, 2.69, dt.date(2031, 4, 7)),
    "SG-2": (118.9, 12.1, 2.68, dt.date(2031, 4, 8)),
    "SG-3": (112.7, 14.8, 2.70, dt.date(2031, 5, 12)),
    "MB-1": (128.9, 6.6, 2.58, dt.date(2031, 4, 16)),
    "MB-2": (130.2, 6.3, 2.58, dt.date(2031, 5, 28)),
}


def worked(day):
    return day.weekday() < 5 and day not in NOT_WORKED


def workday(day, days):
    """The day so many workdays later, or earlier."""
    one = dt.timedelta(days=1 if days > 0 else -1)
    for _ in range(abs(days)):
        day += one
        while not worked(day):
            day += one
    return day


def month_word(day):
    return {5: "may", 6: "june", 7: "july"}[day.month]


def on_five(alignment, along):
    """The nearest place whose label is a whole multiple of 5 ft."""
    for shift in (0, 10, 20, 30):
        label = 5 * round(alignment.label(along + shift) / 5)
        if all(not back < label < ahead for back, ahead in alignment.equations):
            return alignment.along(float(label))
    raise ValueError(f"no label of 5 ft at {along}")


def log_times(placement):
    """First and last concrete as on the placement log."""
    accepted = [load for load in placement.loads if not load.rejected]
    return accepted[0].discharged, accepted[-1].discharged


def base_days(placement):
    """Days on which the base was placed, tested and accepted; its tickets are of the first."""
    placed = placement.date - dt.timedelta(days=4)
    tested = workday(placed, 1)
    if tested >= placement.date:
        tested = placed
    return placed, tested, max(tested, workday(placement.date, -1))


def stretches(placements):
    """Subgrade in pieces: lanes, ends as distances along, days of reclaiming, compacting and trimming, curve."""
    rng = random.Random(310721)
    found = []
    for section, (alignment, lanes, _) in SECTIONS.items():
        cuts = [0.0]
        while alignment.length - cuts[-1] > 1500:
            rest = alignment.length - cuts[-1]
            cuts.append(on_five(alignment, cuts[-1] + min(rng.uniform(850, 1450), rest - 860)))
        cuts.append(alignment.length)
        for a, b in zip(cuts, cuts[1:]):
            paved = min(p.date for p in placements if p.section == section and p.span[0] < b and p.span[1] > a)
            trimmed = workday(paved - dt.timedelta(days=4), -rng.randrange(1, 4))
            compacted = workday(trimmed, -3)
            curve = rng.choice(["SG-1", "SG-1", "SG-2"] if alignment is NB else ["SG-2", "SG-3", "SG-3"])
            found.append((lanes, a, b, workday(compacted, -rng.randrange(1, 3)), compacted, trimmed, curve))
    return found


def subgrade_work(folder, pieces):
    """`crew/grade/subgrade work.xlsx`: a sheet a roadway, rows by day, a blank row where a week ends."""
    rng = random.Random(310722)
    book = Book(folder / "grade" / "subgrade work.xlsx", "Grading crew (invented)")
    for alignment in (NB, SB):
        sheet = book.sheet(f"{alignment.name} grade", [11, 11, 13, 12, 12, 10, 20, 10, 34])
        sheet.row([f"Subgrade work, {alignment.name}"], "title")
        sheet.row(["Harrow Road reconstruction, HR-31-07", None, None, None, "Grading crews 1 and 2"])
        sheet.blank()
        sheet.row(["Operation", "Date", "Lanes", "From station", "To station", "Depth (in)", "Material", "Crew", "Remarks"], "head")
        rows = []
        for lanes, a, b, reclaimed, compacted, trimmed, curve in pieces:
            if LANES[lanes[0]].alignment is not alignment:
                continue
            ends, crew = (station(alignment, a, True), station(alignment, b, True)), rng.choice(["Grade 1", "Grade 2"])
            named = ", ".join(lanes) if len(lanes) > 1 else f"{alignment.name} shoulder"
            soil = f"reclaimed soil {curve}"
            rows.append((reclaimed, a, 0, ["Reclaim", reclaimed, named, *ends, half_up(rng.uniform(12.0, 13.0) * 4) / 4, soil, crew,
                                           rng.choice([None, None, None, "two passes", "stones picked out"])]))
            rows.append((compacted, a, 1, ["Compact", compacted, named, *ends, None, soil, crew,
                                           rng.choice([None, None, None, "water added", "rolled six passes"])]))
            rows.append((trimmed, a, 2, ["Trim", trimmed, named, *ends, None, soil, crew, None]))
        week = None
        for day, _, _, cells in sorted(rows, key=lambda row: row[:3]):
            if week not in (None, day.isocalendar()[1]):
                sheet.blank()
            week = day.isocalendar()[1]
            sheet.row(cells, [None, "date", None, None, None, "0.00", None, None, "note"])
    book.close()


class Test:
    """A density test; its dry density and percent follow from wet density and moisture."""

    def __init__(self, layer, lane, along, date, curve, goal, rng):
        self.layer, self.lane, self.along, self.date, self.curve = layer, lane, along, date, curve
        self.number, self.retest_of, self.remarks, self.fault = "", None, None, None
        self.offset = f"{rng.randrange(2, 7 if lane.endswith('S') else 11)} ft lt of edge"
        most, optimum, _, _ = CURVES[curve]
        self.moisture = half_up(optimum + rng.uniform(-1.6, 1.2), 1)
        self.measure(half_up(goal / 100 * most * (1 + self.moisture / 100), 1))

    def measure(self, wet):
        """Takes a wet density; the rest of the row is computed as the sheet rounds it."""
        most, _, gravity, _ = CURVES[self.curve]
        self.wet = wet
        self.carried = wet / (1 + self.moisture / 100)
        self.dry = half_up(self.carried, 1)
        self.percent = half_up(self.dry / most * 100, 1)
        assert self.dry < gravity * 62.4 / (1 + self.moisture / 100 * gravity) - 0.5, "wetter than solids leave room for"

    def turn(self):
        """Makes the percent 95.0 by the rounded dry density and 94.9 by the one carried."""
        most, optimum, _, _ = CURVES[self.curve]
        for tenths in range(-15, 12):
            self.moisture = half_up(optimum + tenths / 10, 1)
            for step in range(-4, 5):
                self.measure(half_up(0.95 * most * (1 + self.moisture / 100) + step / 10, 1))
                if self.percent == 95.0 and 94.9 < self.carried / most * 100 < 94.949:
                    return
        raise ValueError("no row turns on its last digit")


def density_tests(folder, placements, pieces):
    """`inspector/grade/density tests <roadway>.xlsx`: one about each 700 ft of lane, retests a day later."""
    rng = random.Random(310723)
    heads = ["Test no", "Date", "Lane", "Station", "Offset", "Curve", "Lift", "Wet density (pcf)", "Moisture (%)", "Dry density (pcf)",
             "Max dry density (pcf)", "Optimum (%)", "Percent compaction (%)", "Retest of", "Remarks"]
    forms = [None, "date", None, None, None, None, "0", "0.0", "0.0", "0.0", "0.0", "0.0", "0.0", None, "note"]
    for alignment, hundred in ((NB, 100), (SB, 200)):
        book = Book(folder / "grade" / f"density tests {alignment.name}.xlsx", "Inspector (invented)")
        for layer, letter in (("Subgrade", "SD"), ("Base", "BD")):
            tests = tests_of(rng, alignment, layer, placements, pieces)
            tests.sort(key=lambda t: (t.date, t.retest_of is None, t.lane, t.along))
            for number, test in enumerate(tests, start=hundred + 1):
                test.number = f"{letter}-{number}"
            for test in tests:
                found = (test.number, station(alignment, test.along, True))
                assert test.fault is None or found == (test.fault["record"], test.fault["station"]), f"PLANTED_STEPS is out of date: {found}"
            sheet = book.sheet(layer, [9, 11, 8, 11, 14, 8, 6, 9, 9, 9, 9, 9, 11, 9, 30])
            sheet.row([f"Density and moisture of the {layer.lower()}, {alignment.name}, nuclear gauge"], "title")
            sheet.row(["Contract HR-31-07", None, None, None, "Required: 95 percent of maximum dry density"])
            sheet.blank()
            sheet.row(heads, "head")
            for before, test in zip([None, *tests], tests):
                if before and (before.date.month, before.date.day // 16) != (test.date.month, test.date.day // 16):
                    sheet.blank()
                most, optimum, _, _ = CURVES[test.curve]
                sheet.row([test.number, test.date, test.lane, station(alignment, test.along, True), test.offset, test.curve, 1, test.wet,
                           test.moisture, test.dry, most, optimum, test.percent, test.retest_of and test.retest_of.number, test.remarks], forms)
            sheet.sheet.freeze_panes(4, 1)
        book.close()
    write_csv(folder.parent / "lab" / "compaction curves.csv",
              [["Curve", "Maximum dry density (pcf)", "Optimum moisture (%)", "Specific gravity", "Date"]]
              + [[name, f"{most:.1f}", f"{optimum:.1f}", f"{gravity:.2f}", f"{day:%m/%d/%Y}"]
                 for name, (most, optimum, gravity, day) in CURVES.items()])


def tests_of(rng, alignment, layer, placements, pieces):
    """The tests of a layer of a roadway, not numbered yet."""
    planted = [fault for fault in PLANTED_STEPS.values() if fault.get("layer") == layer]
    tests = []
    for lane in (lane for lane in LANES.values() if lane.alignment is alignment):
        places = [(i, on_five(alignment, 350 + 700 * i + rng.uniform(-90, 90))) for i in range(int(alignment.length // 700))]
        places += [(None, alignment.along(fault["at"])) for fault in planted if fault["lane"] == lane.name and "at" in fault]
        for which, along in places:
            if lane.name == LEFT_OUT[0] and alignment.along(LEFT_OUT[1]) <= along <= alignment.along(LEFT_OUT[2]):
                along += 60
            if layer == "Subgrade":
                piece = next(p for p in pieces if lane.name in p[0] and p[1] <= along <= p[2])
                date, curve, limit = piece[4], piece[6], piece[5]
            else:
                placement = next(p for p in placements if lane.name in p.lanes and p.span[0] <= along <= p.span[1])
                date, curve, limit = base_days(placement)[1], "MB-1" if placement.date < dt.date(2031, 6, 6) else "MB-2", placement.date
            fault = next((f for f in planted if f["lane"] == lane.name and (f.get("which", -1) == which or (which is None and "at" in f))), None)
            test = Test(layer, lane.name, along, date, curve, fault["percent"] if fault else rng.uniform(95.6, 99.2), rng)
            test.fault = fault
            tests.append(test)
            if fault and fault["percent"] < 95:
                test.remarks = "failed"
                if which is not None:
                    test.remarks = "failed, rolled again"
                    again = Test(layer, lane.name, along, workday(date, 1), curve, rng.uniform(96.2, 98.4), rng)
                    assert again.date < limit, "retested too late"
                    again.retest_of, again.offset, again.remarks = test, test.offset, "retest"
                    tests.append(again)
            elif fault:
                test.turn()
    return tests


def base_log(folder, placements):
    """`crew/base/base log.xlsx`: one or two stretches a placement, blank rows between months."""
    rng = random.Random(310724)
    late, thin = PLANTED_STEPS["late acceptance"], PLANTED_STEPS["thin base"]
    book = Book(folder / "base" / "base log.xlsx", "Base crew (invented)")
    sheet = book.sheet("Base", [11, 13, 12, 12, 11, 18, 11, 10])
    sheet.row(["Millings base placed"], "title")
    sheet.row(["HR-31-07, both roadways", None, None, "Nominal depth: 4 in"])
    sheet.blank()
    sheet.row(["Date", "Lanes", "From station", "To station", "Depth placed (in)", "Material", "Date accepted", "Crew"], "head")
    month = None
    for p in placements:
        placed, _, accepted = base_days(p)
        cut = on_five(p.alignment, p.start + (p.end - p.start) * rng.uniform(0.4, 0.6))
        cut = p.alignment.along(late["to"]) if p.number == late["placement"] else cut
        cut = p.alignment.along(thin["from"]) if p.number == thin["placement"] else cut
        ends = [p.start, cut, p.end] if abs(p.end - p.start) > 640 else [p.start, p.end]
        if month not in (None, placed.month):
            sheet.blank()
        month = placed.month
        for which, (a, b) in enumerate(zip(ends, ends[1:])):
            depth, on = half_up(rng.uniform(3.8, 4.3), 1), accepted
            depth = thin["depth"] if p.number == thin["placement"] and which == 1 else depth
            on = late["accepted"] if p.number == late["placement"] and which == 0 else on
            sheet.row([placed, ", ".join(p.lanes), station(p.alignment, a, True), station(p.alignment, b, True), depth, "asphalt millings",
                       on, rng.choice(["Base 1", "Base 1", "Base 2"])],
                      ["date", None, None, None, "0.0", None, "date", None])
    book.close()


def write(field, placements):
    """All of the grade and the base."""
    pieces = stretches(placements)
    subgrade_work(field / "crew", pieces)
    density_tests(field / "inspector", placements, pieces)
    base_log(field / "crew", placements)
