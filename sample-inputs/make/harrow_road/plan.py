"""What was built on Harrow Road: the line, the order of placements, and what was planted in them."""

import datetime as dt
import random

from line import Alignment, Lane

NB = Alignment("NB", 1000.0, 11580.0, [(5832.10, 5850.00)])
SB = Alignment("SB", 1000.0, 11560.0)

LANES = {
    lane.name: lane
    for lane in [
        Lane("NB-1", NB, [(0.0, 12.0)]),
        Lane("NB-2", NB, [(0.0, 12.0)]),
        # A bus stop: the shoulder widens to 11 ft between 16+50 and 19+50.
        Lane("NB-S", NB, [(NB.along(s), w) for s, w in [(1500, 8.0), (1650, 11.0), (1950, 11.0), (2100, 8.0)]]),
        Lane("SB-1", SB, [(0.0, 12.0)]),
        Lane("SB-2", SB, [(0.0, 12.0)]),
        Lane("SB-S", SB, [(0.0, 8.0)]),
    ]
}
# Section: alignment, lanes, design thickness in inches.
SECTIONS = {
    "NB mainline": (NB, ["NB-1", "NB-2"], 9.5),
    "SB mainline": (SB, ["SB-1", "SB-2"], 9.5),
    "NB shoulder": (NB, ["NB-S"], 8.0),
    "SB shoulder": (SB, ["SB-S"], 8.0),
}
PERIODS = [dt.date(2031, 5, 31), dt.date(2031, 6, 30), dt.date(2031, 7, 31)]
NOT_WORKED = {dt.date(2031, 5, 26), dt.date(2031, 7, 4), dt.date(2031, 5, 14), dt.date(2031, 6, 12)}

# Planted; sample-inputs/README.md lists them.
THIN = {("NB mainline", 10): (9.12, 9.18, 9.15), ("SB mainline", 5): (9.28, 9.21, 9.23)}  # lot: its core lengths, in
YIELD = {"P-11": -0.021, "P-29": 0.074, "P-12": 0.011, "P-31": 0.010, "P-33": 0.012}  # net over theoretical
LOW_STRENGTH = "P-21"
LEFT_OUT = ("SB-S", 4420.0, 4460.0)


class Placement:
    """A piece of pavement placed in one go; `start` and `end` are distances along, in the order of paving."""

    def __init__(self, section, lanes, start, end, date):
        self.section, self.lanes, self.start, self.end, self.date = section, lanes, start, end, date
        self.alignment, _, self.thickness = SECTIONS[section]
        self.number = ""
        self.loads = []

    @property
    def span(self):
        return min(self.start, self.end), max(self.start, self.end)

    def area(self):
        """Square feet."""
        return sum(LANES[lane].area(*self.span) for lane in self.lanes)

    def theory(self):
        """Cubic yards."""
        return self.area() * self.thickness / 324

    @property
    def mix(self):
        return "P-4000-S" if "shoulder" in self.section else "P-4000-A"


def headers(rng, alignment, pieces, fixed=()):
    """Distances at which the day's paving ended, on whole 5-ft labels, `fixed` ones among them."""
    found = {0.0, alignment.length, *fixed}
    step = alignment.length / pieces
    for i in range(1, pieces):
        at = alignment.along(5 * round(alignment.label(i * step + rng.uniform(-45, 45)) / 5))
        if all(abs(at - other) > step / 2 for other in found if other in fixed) or not fixed:
            found.add(at)
    return sorted(found)


def workdays(first, count, rng, rest=0.12):
    """Days worked: weekdays, some of them lost to rain."""
    days, day = [], first
    while len(days) < count:
        if day.weekday() < 5 and day not in NOT_WORKED and rng.random() > rest:
            days.append(day)
        day += dt.timedelta(days=1)
    return days


def placements():
    """All sixty, in order of date."""
    rng = random.Random(310701)
    crossing = (NB.along(7400.0), NB.along(7460.0))
    out = []
    cuts = headers(rng, NB, 16, crossing)
    pieces = [p for p in zip(cuts, cuts[1:]) if p != crossing]
    days = workdays(dt.date(2031, 5, 5), len(pieces), rng)
    out += [Placement("NB mainline", ["NB-1", "NB-2"], a, b, day) for (a, b), day in zip(pieces, days)]
    cuts = headers(rng, SB, 16)[::-1]  # paved down station, as the traffic runs
    days = workdays(dt.date(2031, 6, 3), 16, rng, 0.05)
    out += [Placement("SB mainline", ["SB-1", "SB-2"], a, b, day) for (a, b), day in zip(zip(cuts, cuts[1:]), days)]
    cuts = headers(rng, NB, 13)
    days = workdays(dt.date(2031, 6, 16), 13, rng, 0.05)
    out += [Placement("NB shoulder", ["NB-S"], a, b, day) for (a, b), day in zip(zip(cuts, cuts[1:]), days)]
    gap = (SB.along(LEFT_OUT[1]), SB.along(LEFT_OUT[2]))
    cuts = headers(rng, SB, 60 - 2 - len(out), gap)
    pieces = [p for p in zip(cuts, cuts[1:]) if p != gap]
    days = workdays(dt.date(2031, 7, 3), len(pieces), rng, 0.02)
    out += [Placement("SB shoulder", ["SB-S"], a, b, day) for (a, b), day in zip(pieces, days)]
    # The crossing at 74+00 was closed one lane at a time in July.
    out.append(Placement("NB mainline", ["NB-1"], *crossing, dt.date(2031, 7, 9)))
    out.append(Placement("NB mainline", ["NB-2"], *crossing, dt.date(2031, 7, 16)))
    out.sort(key=lambda p: (p.date, p.section))
    for i, p in enumerate(out, start=1):
        p.number = f"P-{i:02d}"
    return out


def plan_lots():
    """Lots of 2,000 yd2 of a section over all its lanes, only to know where thin cores belong: section, number, from, to."""
    lots = []
    for section, (alignment, lanes, _) in SECTIONS.items():
        area = lambda a, b: sum(LANES[lane].area(a, b) for lane in lanes) / 9  # noqa: E731
        whole = int(area(0, alignment.length) // 2000)
        rest = area(0, alignment.length) - whole * 2000
        count = whole + (1 if rest >= 1000 else 0)
        cuts = [0.0]
        for n in range(1, count):
            low, high = cuts[-1], alignment.length
            for _ in range(60):
                mid = (low + high) / 2
                low, high = (mid, high) if area(0, mid) < n * 2000 else (low, mid)
            cuts.append(round(high, 1))
        cuts.append(alignment.length)
        lots += [(section, i + 1, a, b) for i, (a, b) in enumerate(zip(cuts, cuts[1:]))]
    return lots
