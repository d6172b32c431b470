"""Stations, lanes and areas of an invented contract, kept apart from the program on purpose: nothing here is shared with it."""

import math


def half_up(value, decimals=0):
    """Rounds a half away from zero, as the sheets of a field office do."""
    factor = 10**decimals
    return math.copysign(math.floor(abs(value) * factor + 0.5 + 1e-9) / factor, value)


class Alignment:
    """A line with its stationing; `equations` are pairs of back and ahead label."""

    def __init__(self, name, begin, end, equations=(), full=100):
        self.name, self.begin, self.end, self.equations, self.full = name, begin, end, list(equations), full

    def runs(self):
        """First label, last label and distance along at the first, for each unbroken run of stationing."""
        start, along = self.begin, 0.0
        for back, ahead in self.equations:
            yield start, back, along
            along += back - start
            start = ahead
        yield start, self.end, along

    def along(self, label):
        """Distance from the beginning to a label."""
        for first, last, base in self.runs():
            if first <= label <= last:
                return base + label - first
        raise ValueError(f"{label} is not on {self.name}")

    def label(self, along):
        """Label at a distance from the beginning."""
        found = None
        for first, last, base in self.runs():
            if along >= base - 1e-9 and along <= base + last - first + 1e-9:
                found = first + along - base
        return found

    @property
    def length(self):
        return sum(last - first for first, last, _ in self.runs())

    def write(self, label, decimals=2):
        """`58+32.10`, or `0+234.500` where a full station is 1,000 m."""
        label = half_up(label, decimals)
        full = int(label // self.full)
        digits = len(str(self.full)) - 1
        width = digits + (decimals + 1 if decimals else 0)
        return f"{full}+{label - full * self.full:0{width}.{decimals}f}"


class Lane:
    """A lane whose width changes evenly between the stations given; `widths` are pairs of distance along and width."""

    def __init__(self, name, alignment, widths):
        self.name, self.alignment, self.widths = name, alignment, widths

    def width(self, along):
        """Width at a distance along."""
        if along <= self.widths[0][0]:
            return self.widths[0][1]
        for (a, wa), (b, wb) in zip(self.widths, self.widths[1:]):
            if a <= along <= b:
                return wa + (wb - wa) * (along - a) / (b - a) if b > a else wb
        return self.widths[-1][1]

    def area(self, start, end):
        """Plan area between two distances along, in square units of length."""
        cuts = [start] + [a for a, _ in self.widths if start < a < end] + [end]
        return sum((b - a) * (self.width(a) + self.width(b)) / 2 for a, b in zip(cuts, cuts[1:]))
