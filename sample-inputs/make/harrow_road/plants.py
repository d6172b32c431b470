"""Truckloads: plant A exports one workbook a month with day totals, plant B one CSV a month."""

import datetime as dt
import itertools
import random

from harrow_road.plan import LANES, YIELD
from line import half_up
from sheets import Book, write_csv

MONTHS = {5: "may", 6: "june", 7: "july"}


class Load:
    """One ticket."""

    def __init__(self, placement, volume):
        self.placement, self.volume = placement, volume
        self.ticket = self.truck = ""
        self.batched = self.discharged = None
        self.wasted = self.returned = None
        self.rejected = False
        self.water = None
        self.remarks = None


def fill(placement, rng, size):
    """Loads that bring the net volume to theory plus the day's yield, to a quarter yard."""
    share = YIELD.get(placement.number, rng.uniform(0.012, 0.038))
    if placement.theory() < 40:
        share = 0.03
    wasted = rng.choice([0.25, 0.5, 0.5, 0.75])
    need = half_up(placement.theory() * (1 + share) * 4) / 4 + wasted
    loads = []
    while need > 1e-9:
        volume = size if need > size else max(2.0, half_up(need * 2 + 0.49) / 2)
        loads.append(Load(placement, volume))
        need -= volume
    loads[0].wasted, loads[0].remarks = wasted, "spilled at the header"
    if need < -1e-9:
        loads[-1].returned = -need
    for load in loads:
        if rng.random() < 0.15:
            load.water = rng.choice([2, 3, 4, 5])
    if rng.random() < 0.3 and len(loads) > 5:
        bad = Load(placement, size)
        bad.rejected, bad.remarks = True, rng.choice(["slump 5 in, refused", "over 90 minutes, refused", "air 9.1, refused"])
        loads.insert(rng.randrange(2, len(loads) - 1), bad)
    return loads


def time_of(minutes):
    return dt.time(int(minutes) // 60 % 24, int(minutes) % 60)


def schedule(loads, rng, trucks, start):
    """Batch and discharge times and trucks."""
    step = max(4.0, min(9.0, 430 / len(loads)))
    for i, load in enumerate(loads):
        batched = start + i * step + rng.uniform(0, 2)
        load.batched = time_of(batched)
        load.discharged = time_of(batched + rng.uniform(24, 52))
        load.truck = trucks[i % len(trucks)]


def produce(placements):
    """Every ticket, in the order batched; plant A serves the mainlines, plant B the shoulders."""
    rng = random.Random(310702)
    numbers = {"A": itertools.count(41207), "B": itertools.count(7106)}
    trucks = {"A": [f"T-{n}" for n in range(11, 22)], "B": [str(n) for n in range(501, 507)]}
    # A second placement of a plant on one day has trucks of its own.
    more = {"A": [f"T-{n}" for n in range(31, 42)], "B": [str(n) for n in range(511, 517)]}
    served = set()
    for placement in placements:
        plant = "B" if "shoulder" in placement.section else "A"
        placement.plant = plant
        own = more if (plant, placement.date) in served else trucks
        served.add((plant, placement.date))
        # Plant B's mixers carry 7.5 yd3, plant A's open trucks 8.
        placement.loads = fill(placement, rng, 7.5 if plant == "B" else 8.0)
        schedule(placement.loads, rng, own[plant], rng.choice([405, 420, 420, 435]))
        for load in placement.loads:
            load.ticket = str(next(numbers[plant])) if plant == "A" else f"B{next(numbers[plant])}"


def plant_a(folder, placements):
    """`plants/<month>/`: tickets with a title block, day totals, and a summary sheet that only repeats them."""
    heads = ["Ticket No.", "Date", "Batched", "Discharged", "Truck", "Mix", "Load (yd3)", "Placement", "Status",
             "Wasted (yd3)", "Returned (yd3)", "Water added (gal)", "Remarks"]
    for month, word in MONTHS.items():
        days = [p for p in placements if p.plant == "A" and p.date.month == month]
        book = Book(folder / word / f"plant-a tickets {word} 2031.xlsx", "Plant A (invented)")
        sheet = book.sheet("Tickets", [11, 11, 9, 10, 7, 11, 9, 10, 10, 8, 9, 9, 24])
        sheet.row(["Example Ready Mix, plant A"], "title")
        sheet.row([f"Delivery tickets, {word.capitalize()} 2031"])
        sheet.row(["Job: HR-31-07, Harrow Road", None, None, None, "Customer: Example Paving Company"])
        sheet.blank()
        sheet.row(heads, "head")
        summary = []
        for day, group in itertools.groupby(days, key=lambda p: p.date):
            first, volume = sheet.at, 0.0
            for load in itertools.chain.from_iterable(p.loads for p in group):
                sheet.row(
                    [int(load.ticket), day, load.batched, load.discharged, load.truck, load.placement.mix, load.volume,
                     load.placement.number, "Rejected" if load.rejected else None, load.wasted, load.returned,
                     load.water, load.remarks],
                    ["0", "date", "time", "time", None, None, "0.00", None, None, "0.00", "0.00", "0", None],
                )
                volume += load.volume
            sheet.put(sheet.at, 0, f"Total {day:%m/%d/%Y}", "total-text")
            sheet.formula(sheet.at, 6, f"=SUM(G{first + 1}:G{sheet.at})", volume, "total")
            sheet.at += 2
            summary.append((day, volume))
        sheet.sheet.freeze_panes(5, 1)
        other = book.sheet("Summary", [12, 12])
        other.row(["Shipped by day"], "title")
        other.row(["Day", "Shipped"], "head")
        for day, volume in summary:
            other.row([day, volume], ["date", "0.00"])
        book.close()


def plant_b(folder, placements):
    """`plants/<month>/plant_b_<month>.csv`: an export with the lane in place of the placement, dates as text."""
    heads = ["Ticket No", "Date", "Time", "Truck", "Mix", "Lane", "CY", "Status", "Wasted CY", "Returned CY", "Remarks"]
    last = None
    for month, word in MONTHS.items():
        rows = [heads]
        mine = [p for p in placements if p.plant == "B" and p.date.month == month]
        if not mine:
            continue
        if last:
            rows.append(last)  # the month's first export repeats the last ticket of the month before
        for placement in mine:
            for load in placement.loads:
                rows.append([
                    load.ticket, f"{placement.date:%m/%d/%Y}", f"{load.batched:%H:%M}", load.truck, placement.mix,
                    placement.lanes[0], f"{load.volume:.2f}", "REJECTED" if load.rejected else "",
                    f"{load.wasted:.2f}" if load.wasted else "", f"{load.returned:.2f}" if load.returned else "",
                    load.remarks or "",
                ])
            if placement.number == "P-47":
                rows.append([f"B{9001}", f"{placement.date:%m/%d/%Y}", "", "504", placement.mix, placement.lanes[0],
                             "7.50", "VOID", "", "", "printed twice by mistake"])
        last = rows[-1]
        write_csv(folder / word / f"plant_b_{word}.csv", rows)
    assert all(lane in LANES for p in placements for lane in p.lanes)
