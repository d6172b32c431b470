"""What the account of concrete and of the other materials rests on: batch weights, levels of the trimmed base,
base tickets, curing, baskets and tie bars, and the supplier's invoices."""

import datetime as dt
import random

from harrow_road.crew import station
from harrow_road.plan import LANES, NB
from harrow_road.plants import MONTHS, time_of
from line import half_up
from sheets import Book, write_csv

# Pounds in a cubic yard, aggregates saturated surface-dry: cement, fly ash, fine, coarse, water.
# The inspector finds 144.6 lb/ft3 on both. P-4000-A makes 3,904 / 27 = 144.6; P-4000-S makes 142.4, so that its loads yield 1.5
# percent less than their tickets: planted.
DESIGN = {"P-4000-A": (423, 141, 1215, 1888, 237), "P-4000-S": (400, 120, 1240, 1852, 234)}
PRICE = {"P-4000-A": 118.50, "P-4000-S": 121.00}
MOIST = {5: (4.0, 1.0), 6: (3.5, 1.0), 7: (4.5, 1.5)}

# Planted; sample-inputs/README.md lists them.
LOW = ("NB-1", 8800, 9100, 0.03)  # lane, first and last station, ft below design
LATE = ("P-20", -6, 97)  # placement, load, minutes from batching to discharge
BILLED_TWICE = ("P-16", 7)
SHORT_LOAD = ("P-24", 6)
LITTLE_CURING = "P-18"


def plant_faults(placements):
    """A load that was discharged late."""
    number, which, minutes = LATE
    load = next(p for p in placements if p.number == number).loads[which]
    load.discharged = time_of(load.batched.hour * 60 + load.batched.minute + minutes)


def weights(rng, load, month):
    """What the scales show for a load, in pounds."""
    cement, ash, fine, coarse, water = DESIGN[load.placement.mix]
    of_fine, of_coarse = MOIST[month]
    goal = [cement, ash, fine * (1 + of_fine / 100), coarse * (1 + of_coarse / 100),
            water - fine * of_fine / 100 - coarse * of_coarse / 100]
    spread = [0.004, 0.008, 0.005, 0.005, 0.006]
    return [half_up(load.volume * mass * (1 + max(-2, min(2, rng.gauss(0, 1))) * part)) for mass, part in zip(goal, spread)]


def batch_weights(folder, placements):
    """Plant A prints a workbook a month, plant B an export with other headings and the water in gallons."""
    rng = random.Random(310711)
    for month, word in MONTHS.items():
        fine, coarse = MOIST[month]
        mine = [p for p in placements if p.date.month == month]
        book = Book(folder / word / f"plant-a weights {word} 2031.xlsx", "Plant A (invented)")
        sheet = book.sheet("Batch weights", [11, 11, 11, 9, 9, 9, 9, 9, 9, 9])
        sheet.row(["Example Ready Mix, plant A: batch weights as printed by the scales"], "title")
        sheet.blank()
        sheet.row(["Ticket No.", "Date", "Mix", "Cement (lb)", "Fly ash (lb)", "Sand (lb)", "Stone (lb)", "Water (lb)",
                   "Sand moisture (%)", "Stone moisture (%)"], "head")
        rows = [["Ticket", "Batch date", "Mix", "Cem lb", "Ash lb", "FA lb", "CA lb", "Batch water gal", "FA moisture %", "CA moisture %"]]
        for load in (load for p in mine for load in p.loads):
            scales = weights(rng, load, month)
            if load.placement.plant == "A":
                sheet.row([int(load.ticket), load.placement.date, load.placement.mix, *scales, fine, coarse],
                          ["0", "date", None, "0", "0", "0", "0", "0", "0.0", "0.0"])
            else:
                rows.append([load.ticket, f"{load.placement.date:%m/%d/%Y}", load.placement.mix,
                             *[f"{w:.0f}" for w in scales[:4]], f"{scales[4] / 8.33:.1f}", f"{fine:.1f}", f"{coarse:.1f}"])
        book.close()
        if len(rows) > 1:
            write_csv(folder / word / f"plant_b_weights_{word}.csv", rows)


def base_levels(folder):
    """`crew/trimmed base NB.xlsx`: the trimmed base by level, every 100 ft of both lanes."""
    rng = random.Random(310713)
    book = Book(folder / "trimmed base NB.xlsx", "Survey crew (invented)")
    sheet = book.sheet("Levels", [8, 11, 8, 11, 12, 12])
    sheet.row(["Trimmed base, NB mainline: levels on the lane centre"], "title")
    sheet.row(["Point", "Date", "Lane", "Station", "Design elev. (ft)", "As-built elev. (ft)"], "head")
    point, lane_low, first, last, deep = 0, *LOW
    for lane in ("NB-1", "NB-2"):
        for label in range(1050, 11550, 100):
            design = half_up(612.40 + 0.0042 * (label - 1000), 2)
            low = deep if lane == lane_low and first <= label <= last else rng.choice([-0.01, 0.0, 0.0, 0.01, 0.01])
            point += 1
            sheet.row([point, dt.date(2031, 5, 2), lane, NB.write(label, 0), design, half_up(design - low, 2)],
                      ["0", "date", None, None, "0.00", "0.00"])
    book.close()
    return point


def materials(folder, placements):
    """`crew/<month>/materials <month>.xlsx`: base by ticket, curing compound, baskets and tie bars by day."""
    rng = random.Random(310714)
    for month, word in MONTHS.items():
        book = Book(folder / word / f"materials {word}.xlsx", "Paving crew (invented)")
        base = book.sheet("Base", [10, 11, 12, 13, 11, 11, 11, 9])
        base.row(["Base tickets by day, asphalt millings"], "title")
        base.row(["Ticket", "Date", "Material", "Lanes", "From Sta.", "To Sta.", "Net (tons)", "Moisture (%)"], "head")
        used = book.sheet("Used", [20, 11, 13, 11, 11, 10, 8])
        used.row(["Used by day"], "title")
        used.row(["Material", "Date", "Lane", "From Sta.", "To Sta.", "Quantity", "Unit"], "head")
        for p in (p for p in placements if p.date.month == month):
            ends = (station(p.alignment, p.start, True), station(p.alignment, p.end, True))
            length = abs(p.end - p.start)
            lanes, days = ", ".join(p.lanes), dt.timedelta(days=4)
            moisture = half_up(rng.uniform(2.5, 5.5), 1)
            outer = 1 if any(lane.endswith(("-1", "-S")) for lane in p.lanes) else 0
            dry = (p.area() + outer * length) * 4 / 12 * 128 / 2000
            tons = half_up(dry * (1 + rng.uniform(0.005, 0.03)) * (1 + moisture / 100), 2)
            base.row([f"M-{p.number[2:]}", p.date - days, "Millings base", lanes, *ends, tons, moisture],
                     [None, "date", None, None, None, None, "0.00", "0.0"])
            free = 1 if "shoulder" in p.section else 2
            gallons = (p.area() + free * length * p.thickness / 12) / 150 * (1 + rng.uniform(0.005, 0.04))
            if p.number == LITTLE_CURING:
                gallons *= 0.5
            used.row(["Curing compound", p.date, lanes, *ends, half_up(gallons, 1), "gal"], [None, "date", None, None, None, "0.0", None])
            if "mainline" in p.section:
                used.row(["Dowel basket", p.date, lanes, *ends, round(length / 15) * len(p.lanes), "each"],
                         [None, "date", None, None, None, "0", None])
                if len(p.lanes) == 2:
                    used.row(["Tie bar", p.date, lanes, *ends, round(length / 2.5), "each"], [None, "date", None, None, None, "0", None])
        book.close()


def invoices(folder, placements):
    """Two invoices a month of plant A, one of plant B."""
    heads = ["Invoice No.", "Delivery date", "Ticket", "Description", "Mix", "Qty", "UOM", "Unit price", "Amount"]
    for month, word in MONTHS.items():
        for plant, halves in (("A", ((1, 15), (16, 31))), ("B", ((1, 31),))):
            for half, (first, last) in enumerate(halves, start=1):
                mine = [p for p in placements if p.plant == plant and p.date.month == month and first <= p.date.day <= last]
                if not mine:
                    continue
                number = f"{plant}-31{month:02d}{half}"
                lines = [line for p in mine for line in billed(number, p)]
                write(folder / word, plant, number, heads, lines)


def billed(number, placement):
    """The lines of a placement's loads."""
    price = PRICE[placement.mix]
    for which, load in enumerate(placement.loads):
        if load.rejected:
            continue
        line = [number, placement.date, load.ticket, "Concrete", placement.mix, load.volume, "CY", price, half_up(load.volume * price, 2)]
        yield line
        if (placement.number, which) == BILLED_TWICE:
            yield line
        if (placement.number, which) == SHORT_LOAD:
            yield [number, placement.date, load.ticket, "Short load charge", None, 1, "EA", 85.00, 85.00]


def write(folder, plant, number, heads, lines):
    if plant == "B":
        rows = [[line[0], f"{line[1]:%m/%d/%Y}", *line[2:5], f"{line[5]:.2f}", line[6], f"${line[7]:.2f}", f"${line[8]:,.2f}"] for line in lines]
        write_csv(folder / f"invoice {number}.csv", [heads, *rows])
        return
    book = Book(folder / f"invoice {number}.xlsx", "Plant A (invented)")
    sheet = book.sheet("Invoice", [11, 12, 10, 18, 10, 8, 6, 10, 12])
    sheet.row([f"Example Ready Mix, plant A: invoice {number}"], "title")
    sheet.row(heads, "head")
    for line in lines:
        sheet.row([line[0], line[1], int(line[2]), *line[3:]], [None, "date", "0", None, None, "0.00", None, "0.00", "0.00"])
    book.close()


assert all(lane in LANES for lane in ("NB-1", "NB-2"))
