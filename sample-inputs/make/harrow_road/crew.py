"""What the crew and the inspector wrote: placement log, depth checks, fresh tests, hand-measured quantities."""

import datetime as dt
import random

from harrow_road.plan import LANES
from harrow_road.plants import MONTHS
from line import half_up
from sheets import Book, convert


def station(alignment, along, short=False):
    """As a crew writes it: whole feet without decimals, otherwise to the tenth."""
    label = half_up(alignment.label(along), 1)
    text = alignment.write(label, 1)
    return text[:-2] if short and text.endswith(".0") else text


def placement_log(folder, placements):
    """`crew/<month>/placement log.xlsx`: one row a placement under two title rows."""
    heads = ["Placement", "Date", "Lanes", "From Sta.", "To Sta.", "Mix", "Crew", "First concrete", "Last concrete", "Remarks"]
    for month, word in MONTHS.items():
        book = Book(folder / word / "placement log.xlsx", "Paving crew (invented)")
        sheet = book.sheet(f"{word.capitalize()} 2031", [10, 11, 13, 11, 11, 11, 10, 9, 9, 40])
        sheet.row(["Daily placement log"], "title")
        sheet.row([f"Harrow Road reconstruction, HR-31-07: {word} 2031"])
        sheet.blank()
        sheet.row(heads, "head")
        for p in (p for p in placements if p.date.month == month):
            accepted = [load for load in p.loads if not load.rejected]
            remarks = {"P-11": "subgrade trimmed again after rain", "P-16": "finished at the end of NB",
                       "P-51": "left out 44+20 to 44+60 for the culvert"}.get(p.number)
            if p.theory() < 40:
                remarks = "crossing closed one lane at a time, placed by hand"
            sheet.row(
                [p.number, p.date, ", ".join(p.lanes), station(p.alignment, p.start, True), station(p.alignment, p.end, True),
                 p.mix, "slip form" if p.plant == "A" and p.theory() > 40 else "hand", accepted[0].discharged,
                 accepted[-1].discharged, remarks],
                [None, "date", None, None, None, None, None, "time", "time", "note"],
            )
        book.close()


def depth_checks(folder, placements):
    """`crew/depth checks.xlsx`: rod readings in fresh concrete, two or three a placement, some rows hidden by hand."""
    rng = random.Random(310703)
    book = Book(folder / "depth checks.xlsx", "Paving crew (invented)")
    sheet = book.sheet("Depth checks", [9, 11, 8, 12, 11, 22])
    sheet.row(["Depth of fresh concrete by rod"], "title")
    sheet.row(["Check No.", "Date", "Lane", "Station", "Depth (in)", "Remarks"], "head")
    number = 0
    for p in placements:
        low, high = p.span
        for _ in range(2 if p.theory() < 300 else 3):
            number += 1
            depth = p.thickness + (rng.gauss(-0.3, 0.1) if p.number == "P-11" else rng.gauss(0.12, 0.15))
            at = rng.uniform(low + 10, high - 10)
            sheet.row([f"D-{number:03d}", p.date, rng.choice(p.lanes), station(p.alignment, at), half_up(depth * 8) / 8],
                      [None, "date", None, None, "0.00"])
    for row in (40, 41):
        sheet.sheet.set_row(row, None, None, {"hidden": True})
    book.close()
    return number


def fresh_tests(folder, placements):
    """`inspector/<month>/fresh tests.xlsx`: slump, air, temperature and unit weight, two a placement."""
    rng = random.Random(310704)
    heads = ["Date", "Time", "Ticket", "Placement", "Slump (in)", "Air (%)", "Conc. temp. (F)", "Unit weight (lb/ft3)", "Tested by", "Remarks"]
    count = 0
    for month, word in MONTHS.items():
        book = Book(folder / word / "fresh tests.xlsx", "Inspector (invented)")
        sheet = book.sheet("Fresh tests", [11, 8, 9, 10, 8, 8, 9, 10, 9, 28])
        sheet.row(["Tests on fresh concrete"], "title")
        sheet.row(["Contract HR-31-07", None, None, f"{word.capitalize()} 2031"])
        sheet.blank()
        sheet.row(heads, "head")
        for p in (p for p in placements if p.date.month == month):
            accepted = [load for load in p.loads if not load.rejected]
            for load in (accepted[len(accepted) // 4], accepted[(3 * len(accepted)) // 4]) if len(accepted) > 3 else accepted[:1]:
                air, remarks = half_up(rng.uniform(5.4, 7.4), 1), None
                if count == 37:
                    air, remarks = 8.6, "plant told; next load 6.4"
                count += 1
                ticket = int(load.ticket) if p.plant == "A" else load.ticket
                heat = {5: 68, 6: 76, 7: 82}[month]
                sheet.row(
                    [p.date, load.discharged, ticket, p.number, half_up(rng.uniform(1.0, 2.25) * 4) / 4, air,
                     round(rng.gauss(heat, 3)), half_up(rng.gauss(144.6, 0.6), 1), "R.E.I.", remarks],
                    ["date", "time", None, None, "0.00", "0.0", "0", "0.0", None, "note"],
                )
        book.close()
    return count


DRIVE_SIDES = ["NB", "SB"]


def measured(folder):
    """`inspector/`: driveways by length and width (.ods), castings and mobilization by count (.xlsx)."""
    rng = random.Random(310705)
    path = folder / "driveways.xlsx"
    book = Book(path, "Inspector (invented)")
    sheet = book.sheet("Driveways", [8, 11, 26, 11, 11, 12, 24])
    sheet.row(["Driveways, measured by hand"], "title")
    sheet.row(["Item", "Date", "Location", "Length (ft)", "Width (ft)", "Measured by", "Remarks"], "head")
    for i in range(26):
        line = rng.choice(DRIVE_SIDES)
        date = dt.date(2031, 7, 1) + dt.timedelta(days=i if (dt.date(2031, 7, 1) + dt.timedelta(days=i)).weekday() < 5 else i - 2)
        at = 1200 + i * 395 + rng.randrange(0, 200)
        sheet.row(["405", date, f"{line} {at // 100}+{at % 100:02d}, house side", half_up(rng.uniform(11, 26), 1),
                   half_up(rng.uniform(10, 24), 1), "R.E.I.", "flare measured apart" if i % 9 == 4 else None],
                  [None, "date", None, "0.0", "0.0", None, "note"])
    book.close()
    convert([path], "ods")
    book = Book(folder / "castings and lump sums.xlsx", "Inspector (invented)")
    sheet = book.sheet("Castings", [8, 11, 30, 10, 12, 24])
    sheet.row(["Castings adjusted to grade"], "title")
    sheet.row(["Item", "Date", "Location", "Count (each)", "Measured by", "Remarks"], "head")
    total = 0
    for month in (5, 6, 7):
        for i in range(7):
            day = dt.date(2031, month, 6 + 3 * i)
            count = rng.choice([1, 1, 2, 2, 3])
            total += count
            sheet.row([406, day, f"{rng.choice(DRIVE_SIDES)} {rng.randrange(12, 113)}+{rng.randrange(0, 100):02d}", count, "R.E.I.", None],
                      [None, "date", None, "0", None, None])
    other = book.sheet("Lump sums", [8, 11, 30, 16, 12])
    other.row(["Item", "Date", "Location", "Quantity (LS)", "Measured by"], "head")
    for day, part, what in [(dt.date(2031, 5, 9), 0.5, "yard and plant set up"), (dt.date(2031, 6, 13), 0.25, "second paver on site"),
                            (dt.date(2031, 7, 25), 0.25, "cleared and left")]:
        other.row([101, day, what, part, "R.E.I."], [None, "date", None, "0.00", None])
    book.close()


def lanes_known():
    """The lanes, for the lab."""
    return LANES
