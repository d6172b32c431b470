"""Random lots through the program and through scipy: every average, what entered the table, and pay must be the same.

    python random_lots.py PROGRAM RULE_SETS WORK

PROGRAM is the slabtally to run, RULE_SETS the folder of shipped rule sets, WORK a folder to write contracts into. Both sides
read the same TOML; nothing else is shared. Each rule set judges forty lots of random mean, spread and number of cores.
"""

import copy
import json
import math
import pathlib
import random
import statistics
import subprocess
import sys
import tomllib
from fractions import Fraction as F

from scipy import stats

LOTS = 40
SEED = 20310731


def exact(value):
    return F(str(value))


def amount(text):
    """`0.50 in`, `10 percent`: the number and whether it is a percentage."""
    text = text["is"] if isinstance(text, dict) else text
    front, unit = text.split()
    return F(front), unit == "percent"


def half_up(value, text):
    step = F(text.split()[0])
    steps = abs(value) / step
    whole = math.floor(steps) + (1 if steps - math.floor(steps) >= F(1, 2) else 0)
    return (whole if value >= 0 else -whole) * step


class Undecided(Exception):
    """The rule leaves it to the engineer."""


class Rule:
    """A rule set's TOML, computed anew."""

    def __init__(self, text):
        self.text = text
        self.rounds = text.get("compares", "rounded") == "rounded"
        self.feet = text["cores"].get("depth_in") == "ft"

    def compared(self, value, rounding):
        return half_up(value, rounding) if self.rounds and rounding else value

    def limit(self, table, key, design):
        number, percent = amount(table[key])
        return design * number / 100 if percent else number

    def judge(self, design, cores):
        """Average, what enters the table, and pay."""
        unit = 12 if self.feet else 1
        design = design / unit
        table = self.text["cores"]
        lengths = [self.compared(core / unit, table["round"]) for core in cores]
        if "thin_exclusion" in table:
            thin = self.limit(table, "thin_exclusion", design)
            lengths = [length for length in lengths if design - length <= thin]
        cap = table.get("thick_cap") and self.limit(table, "thick_cap", design)
        if "volume" in self.text:
            cap = self.limit(self.text["volume"], "credit", design)
        if cap is not None:
            lengths = [min(length, design + cap) for length in lengths]
        average = self.compared(sum(lengths) / len(lengths), self.text["average"]["round"])
        entered = self.measure(design, lengths, average)
        return average, entered, self.pay(design, average, entered, len(lengths))

    def wholly_apart(self, design, cores):
        """Whether the sections around very thin cores, each to its good neighbours, leave nothing of the lot."""
        table = self.text["cores"]
        if "thin_exclusion" not in table:
            return False
        good = [design - self.compared(core, table["round"]) <= self.limit(table, "thin_exclusion", design) for core in cores]
        return not good[0] and not good[-1] and not any(a and b for a, b in zip(good, good[1:]))

    def measure(self, design, lengths, average):
        if "deficiency" in self.text:
            table = self.text["deficiency"]
            short = design - average
            if table.get("as") == "percent":
                short = short / design * 100
            return self.compared(max(F(0), short), table["round"])
        spread = math.sqrt(statistics.variance(lengths))
        if "index" in self.text:
            table = self.text["index"]
            return self.compared(average - half_up(F(spread), table["spread"]) - design, table["round"])
        return self.within(self.text["within"], design, average, spread, len(lengths))

    def within(self, table, design, average, spread, n):
        percents = []
        for side in ("lower", "upper"):
            if side in table:
                by = amount(table[side])[0]
                limit = design - by if side == "lower" else design + by
                distance = float(average - limit if side == "lower" else limit - average)
                percents.append(self.percent(table, distance / spread, n))
        total = percents[0] if len(percents) == 1 else max(0, sum(percents) - 100)
        return half_up(F(total), table["round"]) if "round" in table else total

    def percent(self, table, index, n):
        if table["look_up"] == "formula":
            z = min(1, max(0, 0.5 - index * math.sqrt(n) / (2 * (n - 1))))
            return 100 * stats.beta.sf(z, n / 2 - 1, n / 2 - 1)
        [column] = [c for c in table["table"] if c["tests"] == str(n)]
        cells = list(zip(map(float, column["index"].split()), map(float, column["percent"].split())))
        positive = self.looked_up(sorted(cells), abs(index), table["look_up"])
        return positive if index >= 0 else 100 - positive

    @staticmethod
    def looked_up(cells, index, direction):
        below = [c for c in cells if c[0] <= index]
        above = [c for c in cells if c[0] >= index]
        if not above:
            return cells[-1][1]
        if direction == "up":
            return above[0][1]
        if direction == "down":
            return below[-1][1]
        (q0, p0), (q1, p1) = below[-1], above[0]
        if direction == "nearest":
            return p1 if index >= (q0 + q1) / 2 else p0
        return p0 if q0 == q1 else p0 + (p1 - p0) * (index - q0) / (q1 - q0)

    def step(self, value):
        """The step a value falls into, by the ends that belong to it."""
        table = self.text["pay"]
        for step in table["steps"]:
            over = "from" not in step or (value > exact(step["from"]) if table["ends"] == "upper" else value >= exact(step["from"]))
            under = "to" not in step or (value < exact(step["to"]) if table["ends"] == "lower" else value <= exact(step["to"]))
            if over and under:
                return step
        raise ValueError(f"no step for {float(value)}")

    def pay(self, design, average, entered, n):
        table = self.text["pay"]
        if "points" in table:
            points = [(float(p["at"]), float(p["pay"])) for p in table["points"]]
            return self.looked_up(points, max(float(entered), points[0][0]), "between")
        step = self.step(n if table.get("entered_with") == "tests" else entered)
        ratio = table["pay_in"] == "ratio"
        if "decision" in step:
            raise Undecided
        if "power" in step:
            return 100 * (average / design) ** step["power"]
        if "times" not in step:
            return exact(step["pay"]) * (100 if ratio else 1)
        x = float(entered) / (100 if ratio else 1)
        paid = step["plus"] + step["times"] * x + step.get("squared", 0) * x * x
        paid = min(paid, step.get("most", math.inf))
        return paid * 100 if ratio else paid


def rule_sets(folder):
    """TOML text by name: the shipped ones, and the look-up directions on one and two limits."""
    read = lambda name: (folder / f"{name}.toml").read_text(encoding="utf-8")
    names = [
        "fhwa-1969-average", "texas-360-average", "wisconsin-415-average", "illinois-420-percent", "caltrans-40-deduction",
        "ohio-451-ratio", "ufgs-32-13-11-average", "example-index", "wsdot-5-05-volume", "faa-p501-thickness",
        "example-linear-pay", "example-curve-by-tests", "example-within-two-limits",
    ]  # fmt: skip
    sets = {name: read(name) for name in names}
    table = sets["faa-p501-thickness"]
    table = table[table.index("\n[[within.table]]") :]
    for direction in ("up", "down", "nearest", "between"):
        text = sets["example-within-two-limits"].replace('look_up = "formula"', f'look_up = "{direction}"')
        text = text.replace('"example-within-two-limits"', f'"two-limits-{direction}"')
        sets[f"two-limits-{direction}"] = text + table
        text = sets["faa-p501-thickness"].replace('look_up = "up"', f'look_up = "{direction}"')
        sets[f"one-limit-{direction}"] = text.replace('"faa-p501-thickness"', f'"one-limit-{direction}"')
    return sets


def number_of_cores(text, random_numbers):
    least = max(text["cores"]["per_lot"], text["cores"].get("if_deficient", 0))
    if "within" not in text:
        return random_numbers.randint(least, max(least, 12))
    if "table" in text["within"]:
        return random_numbers.randint(max(3, least), 8)
    return random_numbers.randint(max(3, least), 25)


def lots(name, text, random_numbers):
    """Design thickness and core lengths in inches of each lot."""
    tight = "thin_exclusion" in text["cores"]
    for _ in range(LOTS):
        design = F(random_numbers.choice([8, 9, 10, 11, 12]))
        mean = float(design) + random_numbers.uniform(-0.7, 0.4)
        spread = random_numbers.uniform(0.02, 0.15 if tight else 0.6)
        lengths = [F(round(random_numbers.gauss(mean, spread) * 100), 100) for _ in range(number_of_cores(text, random_numbers))]
        if len(set(lengths)) == 1:
            lengths[0] += F(1, 100)
        yield design, lengths


def contract(name, drawn):
    """Sections of 200 ft, one lot each, one placement a day."""
    end = 2 * len(drawn)
    sections = [
        f'{{ name = "S{i}", from = "{2 * i}+00", to = "{2 * i + 2}+00", lanes = ["W"], thickness = "{design} in" }},'
        for i, (design, _) in enumerate(drawn)
    ]
    quoted = ", ".join(f'"S{i}"' for i in range(len(drawn)))
    return f"""number = "R-1"
title = "Random lots"
units = "US customary"
dates = "year-month-day"
parties = {{ owner = "owner", contractor = "contractor", engineer = "engineer" }}
rounding = {{ length = "0.1 half up", area = "0.01 half up", volume = "0.01 half up", money = "0.01 half up" }}
alignments = [{{ name = "A", begin = "0+00", end = "{end}+00" }}]
lanes = [{{ name = "W", alignment = "A", side = "right", width = "24 ft" }}]
periods = [{{ number = 1, through = 2031-12-31 }}]
sections = [
{chr(10).join(sections)}
]
items = [{{ number = "1", description = "Pavement", unit = "SY", quantity = "1", price = "1", measured = "placed area", sections = [{quoted}], adjusted_by = ["thickness"] }}]
rules = {{ thickness = "{name}" }}
"""


def write(folder, name, text, drawn):
    (folder / "field").mkdir(parents=True, exist_ok=True)
    (folder / "rules").mkdir(exist_ok=True)
    (folder / "contract.toml").write_text(contract(name, drawn))
    (folder / "rules" / "own.toml").write_text(text)
    placements = ["Placement,Date,Lanes,From station,To station"]
    cores = ["Core,Date,Lane,Station,Length (in)"]
    for i, (_, lengths) in enumerate(drawn):
        placements.append(f"{i + 1},2031-06-02,W,{2 * i}+00,{2 * i + 2}+00")
        for k, length in enumerate(lengths):
            feet = 200 * i + 5 + 7 * k
            cores.append(f"C{i}-{k},2031-07-01,W,{feet // 100}+{feet % 100:02},{float(length):.2f}")
    (folder / "field" / "placements.csv").write_text("\n".join(placements) + "\n")
    (folder / "field" / "cores.csv").write_text("\n".join(cores) + "\n")


def figures(folder, program):
    out = folder / "out"
    ran = subprocess.run([program, "report", str(folder), "--out", str(out), "--replace"], capture_output=True, text=True)
    if ran.returncode not in (0, 1):
        raise SystemExit(f"{folder}: exit code {ran.returncode}\n{ran.stderr}")
    found = json.loads((out / "result.json").read_text(encoding="utf-8"))
    return {f["key"]: f["value"] for f in found["figures"]}


def of_lot(found, i, what):
    """The figure of section i's only lot, not of a section in it that is settled apart."""
    keys = [k for k in found if k.startswith(f"s{i}.") and k.endswith(f".{what}") and ".apart-" not in k and ".section-" not in k]
    return float(found[keys[0]]) if keys else None


def compare(name, text, folder, program):
    toml = tomllib.loads(text)
    random_numbers = random.Random(f"{SEED} {name}")
    drawn = list(lots(name, toml, random_numbers))
    write(folder, name, text, drawn)
    found = figures(folder, program)
    rule = Rule(copy.deepcopy(toml))
    measured = "deficiency" if "deficiency" in toml else "index" if "index" in toml else "within"
    compared, undecided, apart, differences = 0, 0, 0, []
    for i, (design, lengths) in enumerate(drawn):
        try:
            expected = rule.judge(design, lengths)
        except ZeroDivisionError:
            expected = None
        except Undecided:
            undecided += 1
            continue
        if expected is None or rule.wholly_apart(design, lengths):
            apart += 1
            if of_lot(found, i, "pay") is not None:
                differences.append(f"{name} S{i}: nothing of it should be left to price")
            continue
        for what, value in zip(("average", measured, "pay"), expected):
            got = of_lot(found, i, what)
            compared += 1
            if got is None or abs(got - float(value)) > 1e-9 * max(1, abs(float(value))):
                differences.append(f"{name} S{i} {what}: {got}, expected {float(value)} from {[float(x) for x in lengths]} on {design}")
    if compared < 3 * LOTS // 4:
        differences.append(f"{name}: only {compared} figures could be compared")
    return compared, undecided, apart, differences


def main():
    program, folder, work = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    total, left, settled, differences = 0, 0, 0, []
    sets = rule_sets(folder)
    for name, text in sets.items():
        compared, undecided, apart, found = compare(name, text, work / name, program)
        total, left, settled = total + compared, left + undecided, settled + apart
        differences += found
    print("\n".join(differences))
    print(f"{total} figures of {LOTS * len(sets)} lots under {len(sets)} rule sets compared, {left} lots left to the engineer, {settled} settled apart, {len(differences)} differences")
    sys.exit(1 if differences else 0)


if __name__ == "__main__":
    main()
