"""What the laboratory sent: cores with nine readings each, and cylinders in sets of four."""

import datetime as dt
import math
import random

from harrow_road.crew import station
from harrow_road.plan import LOW_STRENGTH, NOT_WORKED, THIN, plan_lots
from harrow_road.plants import MONTHS
from line import half_up
from sheets import Book, convert

LAST_DAY = dt.date(2031, 7, 31)


def readings(rng, mean):
    """Nine caliper readings to 0.05 in whose mean is the one wanted, to a few thousandths."""
    spread = [rng.gauss(0, 0.06) for _ in range(9)]
    middle = sum(spread) / 9
    found = [half_up((mean + s - middle) * 20) / 20 for s in spread]
    while abs(sum(found) / 9 - mean) > 0.0035:
        i = rng.randrange(9)
        found[i] = half_up(found[i] + (0.05 if sum(found) / 9 < mean else -0.05), 2)
    return found


def placed_on(placements, lane, along):
    """The placement under a core, or none in a stretch left out."""
    return next((p for p in placements if lane in p.lanes and p.span[0] + 1 < along < p.span[1] - 1), None)


def draw_cores(placements):
    """Three a lot, one in each third of it, lane and station at random; two mainline lots in seven get a fourth."""
    rng = random.Random(310706)
    cores = []
    for section, number, start, end in plan_lots():
        alignment, lanes, design = next(
            (p.alignment, sorted({lane for q in placements if q.section == section for lane in q.lanes}), p.thickness)
            for p in placements if p.section == section
        )
        wanted = THIN.get((section, number))
        count = 4 if "mainline" in section and number in (4, 8, 12) else 3
        for i in range(count):
            while True:
                lane = rng.choice(lanes)
                third = (end - start) / count
                along = half_up(start + third * i + rng.uniform(5, third - 5), 1)
                placement = placed_on(placements, lane, along)
                if placement and abs(along - 4832.1) > 5:
                    break
            length = wanted[i] if wanted else design + min(0.42, max(-0.12, rng.gauss(0.10, 0.11)))
            cores.append([placement, lane, alignment, along, half_up(length, 2), rng])
    return cores


def core_sheet(folder, placements):
    """`lab/cores.ods`: one sheet a drilling campaign, a heading of two rows, readings L1 to L9 in inches."""
    rng = random.Random(310707)
    campaigns = {"Cores May-June": (dt.date(2031, 6, 2), dt.date(2031, 6, 30)), "Cores July": (dt.date(2031, 7, 1), dt.date(2031, 7, 30))}
    drilled = []
    for placement, lane, alignment, along, length, _ in draw_cores(placements):
        day = placement.date + dt.timedelta(days=rng.randrange(5, 9))
        while day.weekday() > 4 or day in NOT_WORKED or day > dt.date(2031, 7, 30):
            day += dt.timedelta(days=-1 if day > dt.date(2031, 7, 28) else 1)
        drilled.append((day, alignment.name, along, lane, alignment, length))
    drilled.sort(key=lambda c: c[:4])
    path = folder / "cores.xlsx"
    book = Book(path, "Laboratory (invented)")
    number = 0
    for name, (first, last) in campaigns.items():
        sheet = book.sheet(name, [9, 11, 8, 12, 14] + [6] * 9 + [26])
        sheet.row(["Core lengths, caliper, nine readings"], "title")
        sheet.row([f"Contract HR-31-07, {name}"])
        sheet.blank()
        sheet.sheet.merge_range(sheet.at, 5, sheet.at, 13, "Length readings", book.formats["head-middle"])
        sheet.row([None] * 5)
        sheet.row(["Core No.", "Drilled", "Lane", "Station", "Offset"] + [f"L{i} (in)" for i in range(1, 10)] + ["Remarks"], "head")
        for day, _, along, lane, alignment, length in drilled:
            if day <= last and (day >= first or name.endswith("June")):
                number += 1
                offset = f"{half_up(rng.uniform(1.5, 6.5), 1)} ft from edge" if lane.endswith("S") else f"{half_up(rng.uniform(1.5, 10.5), 1)} ft from edge"
                sheet.row([f"C-{number:03d}", day, lane, station(alignment, along), offset, *readings(rng, length), None],
                          [None, "date", None, None, None] + ["0.00"] * 9 + [None])
    book.close()
    convert([path], "ods")
    return number


def sets(placements):
    """How many sets each placement got: three on eight long mainline days, otherwise two; one on a shoulder."""
    long_days = sorted((p for p in placements if p.theory() > 300), key=lambda p: -p.theory())
    three = {p.number for p in long_days[:8]}
    for p in placements:
        yield p, (3 if p.number in three else 2) if p.theory() > 200 else 1


def cylinder_sheets(folder, placements):
    """`lab/cylinders <month>.xls`, by month cast: two at 7 days and two at 28 days a set, some not broken yet."""
    rng = random.Random(310708)
    heads = ["Specimen No.", "Set", "Placement", "Date cast", "Age (days)", "Date tested", "Diameter (in)", "Max. load (lbf)", "Strength (psi)", "Break type", "Remarks"]
    made, number, paths = 0, 0, []
    books = {}
    for p, count in sets(placements):
        if p.date.month not in books:
            word = MONTHS[p.date.month]
            paths.append(folder / f"cylinders {word}.xlsx")
            book = Book(paths[-1], "Laboratory (invented)")
            sheet = book.sheet("Cylinders", [12, 8, 10, 11, 8, 11, 9, 11, 10, 9, 22])
            sheet.row(["Compressive strength of cylinders, 6 x 12 in"], "title")
            sheet.row([f"Contract HR-31-07, cast in {word} 2031"])
            sheet.row(heads, "head")
            books[p.date.month] = (book, sheet)
        sheet = books[p.date.month][1]
        for which in range(count):
            number += 1
            level = rng.gauss(4880, 260)
            if p.number == LOW_STRENGTH:
                level = (3455, 3720, 3690)[which]
            for letter, age in zip("ABCD", (7, 7, 28, 28)):
                made += 1
                due = p.date + dt.timedelta(days=age)
                diameter = half_up(rng.gauss(6.0, 0.008), 2)
                strength = level * (0.74 if age == 7 else 1.0) + rng.gauss(0, 45)
                load = half_up(strength * math.pi * diameter**2 / 4 / 10) * 10
                reported = half_up(load / (math.pi * diameter**2 / 4) / 10) * 10
                done = due <= LAST_DAY
                sheet.row(
                    [f"{number:03d}{letter}", f"S-{number:03d}", p.number, p.date, age, due if done else None,
                     diameter if done else None, load if done else None, reported if done else None, rng.randrange(1, 6) if done else None,
                     None if done else f"due {due:%m/%d/%Y}"],
                    [None, None, None, "date", "0", "date", "0.00", "thousands", "thousands", "0", "note"],
                )
    for book, _ in books.values():
        book.close()
    convert(paths, "xls")
    return made
