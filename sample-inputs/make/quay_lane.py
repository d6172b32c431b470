"""Makes `sample-inputs/quay-lane`: a small invented contract in metres, millimetres, megapascals and kilonewtons."""

import datetime as dt
import math
import pathlib
import random
import shutil

from line import Alignment, Lane, half_up
from sheets import Book, convert, write_csv

LINE = Alignment("Quay Lane", 0.0, 200.0, full=1000)
LANES = {lane.name: lane for lane in (Lane("QL-L", LINE, [(0.0, 3.5)]), Lane("QL-R", LINE, [(0.0, 3.5)]))}
DESIGN = 220  # mm
# Number, day, lane, from, to: the right lane was paved back towards the quay.
POURS = [
    ("1", dt.date(2031, 3, 11), "QL-L", 0.0, 104.0),
    ("2", dt.date(2031, 3, 13), "QL-L", 104.0, 200.0),
    ("3", dt.date(2031, 3, 18), "QL-R", 200.0, 98.5),
    ("4", dt.date(2031, 3, 20), "QL-R", 98.5, 0.0),
]
CONTRACT = '''# An invented contract in SI units. Nothing in it is real.
number   = "QL-204"
title    = "Quay Lane, concrete carriageway"
notice   = "Invented data: a fictional contract that shows the program"
units    = "SI"
dates    = "day-month-year"
currency = "€"

[parties]
owner      = "Example Harbour Board"
contractor = "Example Surfacing"
engineer   = "Resident Engineer (invented)"

[rounding]
length = "0.01 half up"
area   = "0.01 half up"
volume = "0.01 half up"
money  = "0.01 half up"

[[alignments]]
name  = "Quay Lane"
begin = "0+000"
end   = "0+200"

[[lanes]]
name      = "QL-L"
alignment = "Quay Lane"
side      = "left"
width     = "3.5 m"
also      = ["left lane"]

[[lanes]]
name      = "QL-R"
alignment = "Quay Lane"
side      = "right"
width     = "3.5 m"
also      = ["right lane"]

[[sections]]
name         = "carriageway"
from         = "0+000"
to           = "0+200"
lanes        = ["QL-L", "QL-R"]
thickness    = "220 mm"
strength     = "30 MPa"
strength_age = "28 day"

[[items]]
number      = "5.1"
description = "Concrete carriageway, 220 mm"
unit        = "m2"
quantity    = "1400"
price       = "68.40"
measured    = "placed area"
sections    = ["carriageway"]
adjusted_by = ["thickness", "strength"]

[[items]]
number      = "5.2"
description = "Concrete footway crossing, 150 mm"
unit        = "m2"
quantity    = "60"
price       = "74.00"
measured    = "by hand"
rounding    = "0.01 half up"

[[items]]
number      = "5.3"
description = "Gully grating raised to level"
unit        = "each"
quantity    = "6"
price       = "310.00"
measured    = "by hand"
rounding    = "1 half up"

[rules]
thickness = "example-stepped-average-si"
strength  = "example-two-rule-strength-si"

[[periods]]
number  = 1
through = 2031-04-30

[retainage]
percent = "3 percent"

[yield]
warn_over = "6 percent"

[fresh]
air         = ["4 percent", "8 percent"]
slump       = ["20 mm", "80 mm"]
temperature = ["5 C", "32 C"]
'''


def chainage(value):
    return LINE.write(value, 3)


def theory(pour):
    return LANES[pour[2]].area(*sorted(pour[3:5])) * DESIGN / 1000


def placements(folder):
    """One sheet, dates as cells, chainages with three decimals."""
    book = Book(folder / "Paving diary March.xlsx", "Paving crew (invented)")
    sheet = book.sheet("Diary", [8, 12, 10, 13, 13, 12, 30])
    sheet.row(["Paving diary"], "title")
    sheet.blank()
    sheet.row(["Pour No.", "Date", "Lane", "From", "To", "Mix", "Remarks"], "head")
    for number, day, lane, start, end in POURS:
        remark = "towards the quay" if start > end else None
        sheet.row([int(number), day, lane, chainage(start), chainage(end), "C30 P", remark],
                  [None, "date-dmy", None, None, None, None, "note"])
    book.close()


def loads(folder):
    """Sixty tickets in a CSV, fifteen a pour, volumes in cubic metres, dates as text with the day first."""
    rng = random.Random(20401)
    rows = [["Docket", "Date", "Time batched", "Truck", "Mix", "Pour", "Volume (m3)", "Returned (m3)", "Status"]]
    docket = 880
    for pour in POURS:
        need = half_up(theory(pour) * (1 + rng.uniform(0.015, 0.035)), 1)
        size = half_up(need / 15 + 0.05, 1)
        sizes = [size] * 14 + [half_up(need - 14 * size, 1)]
        back = 0.3 if pour[0] == "2" else 0.0
        sizes[-1] = half_up(sizes[-1] + back, 1)
        for i, volume in enumerate(sizes):
            docket += 1
            minutes = 420 + 13 * i + rng.randrange(0, 5)
            rows.append([f"Q{docket}", f"{pour[1]:%d/%m/%Y}", f"{minutes // 60:02d}:{minutes % 60:02d}", f"M{1 + i % 5}", "C30 P", pour[0],
                         f"{volume:.1f}", f"{back:.1f}" if back and i == 14 else "", ""])
    write_csv(folder / "dockets" / "dockets march.csv", rows)
    return docket - 880


def cores(folder):
    """Eight cores, three readings each in millimetres."""
    rng = random.Random(20402)
    path = folder / "laboratory" / "Cores.xlsx"
    book = Book(path, "Laboratory (invented)")
    sheet = book.sheet("Cores", [9, 12, 9, 13, 10, 12, 12, 12, 20])
    sheet.row(["Drilled cores, length by caliper"], "title")
    sheet.row(["Core", "Drilled", "Lane", "Chainage", "Offset", "Length 1 (mm)", "Length 2 (mm)", "Length 3 (mm)", "Remarks"], "head")
    for i, (lane, at) in enumerate([("QL-L", 17.4), ("QL-L", 62.1), ("QL-L", 121.3), ("QL-L", 171.8),
                                    ("QL-R", 31.0), ("QL-R", 84.6), ("QL-R", 133.9), ("QL-R", 188.2)]):
        mean = [224, 221, 218, 226, 223, 222, 227, 215][i]
        readings = [mean + rng.choice([-1, 0, 0, 1]) for _ in range(3)]
        sheet.row([f"K{i + 1}", dt.date(2031, 3, 28), lane, chainage(at), "1.2 m", *readings, None],
                  [None, "date-dmy", None, None, None, "0", "0", "0", None])
    book.close()
    convert([path], "ods")
    return 8


def cylinders(folder):
    """Sixteen cylinders of 150 mm, two sets a pour on the long days, loads in kilonewtons."""
    rng = random.Random(20403)
    path = folder / "laboratory" / "Cylinders.xlsx"
    book = Book(path, "Laboratory (invented)")
    sheet = book.sheet("Cylinders 150x300", [11, 8, 8, 12, 11, 12, 13, 15, 16])
    sheet.row(["Compressive strength of cylinders"], "title")
    sheet.row(["Specimen", "Set", "Pour", "Date cast", "Age (days)", "Date tested", "Diameter (mm)", "Failure load (kN)", "Remarks"], "head")
    count = 0
    for i, pour in enumerate(POURS):
        level = rng.gauss(36.0, 1.6)
        for letter, age in zip("abcd", (7, 7, 28, 28)):
            count += 1
            diameter = half_up(rng.gauss(150.0, 0.3), 1)
            strength = level * (0.72 if age == 7 else 1) + rng.gauss(0, 0.4)
            load = half_up(strength * math.pi * diameter**2 / 4 / 1000, 1)
            sheet.row([f"{i + 1}{letter}", f"S{i + 1}", int(pour[0]), pour[1], age, pour[1] + dt.timedelta(days=age), diameter, load, None],
                      [None, None, None, "date-dmy", "0", "date-dmy", "0.0", "0.0", None])
    book.close()
    convert([path], "xls")
    return count


def site(folder):
    """Fresh tests, depth by rod, and what was measured by hand, as three sheets of one workbook."""
    rng = random.Random(20404)
    path = folder / "Site book.xlsx"
    book = Book(path, "Inspector (invented)")
    sheet = book.sheet("Fresh concrete", [12, 8, 8, 10, 9, 12, 15])
    sheet.row(["Date", "Docket", "Pour", "Slump (mm)", "Air (%)", "Concrete temperature (°C)", "Density (kg/m3)"], "head")
    for i, pour in enumerate(POURS):
        for k in (3, 9):
            sheet.row([pour[1], f"Q{881 + 15 * i + k}", int(pour[0]), rng.choice([40, 45, 50, 55]), half_up(rng.uniform(5.0, 6.6), 1),
                       rng.randrange(12, 18), rng.randrange(2310, 2345, 5)], ["date-dmy", None, None, "0", "0.0", "0", "0"])
    sheet = book.sheet("Rod", [12, 10, 12, 12])
    sheet.row(["Date", "Lane", "Chainage", "Depth (mm)"], "head")
    for pour in POURS:
        for _ in range(4):
            at = half_up(rng.uniform(*sorted(pour[3:5])), 1)
            sheet.row([pour[1], pour[2], chainage(at), rng.randrange(219, 231)], ["date-dmy", None, None, "0"])
    sheet = book.sheet("By hand", [8, 12, 26, 11, 11, 9, 14])
    sheet.row(["Item", "Date", "Location", "Length (m)", "Width (m)", "Count", "Measured by"], "head")
    for at, length, width in [(22, 4.2, 3.0), (71, 4.8, 3.0), (118, 3.9, 3.05), (166, 5.1, 3.0)]:
        sheet.row(["5.2", dt.date(2031, 3, 27), f"crossing at 0+{at:03d}", length, width, None, "R.E."],
                  [None, "date-dmy", None, "0.00", "0.00", None, None])
    for at in (15, 60, 105, 150, 190):
        sheet.row(["5.3", dt.date(2031, 3, 27), f"gully at 0+{at:03d}", None, None, 1, "R.E."],
                  [None, "date-dmy", None, None, None, "0", None])
    book.close()
    convert([path], "ods")


def main():
    folder = pathlib.Path(__file__).resolve().parents[1] / "quay-lane"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    (folder / "contract.toml").write_text(CONTRACT, encoding="utf-8")
    field = folder / "field"
    placements(field)
    print(f"quay-lane: {len(POURS)} placements, {loads(field)} loads, {cores(field)} cores, {cylinders(field)} cylinders")
    site(field)


if __name__ == "__main__":
    main()
