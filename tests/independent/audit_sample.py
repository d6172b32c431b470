"""Draws an audit's sample again with Python and compares: every number, every chosen line, and what they cover.

    python audit_sample.py OUT_DIR

OUT_DIR holds `audit.json`. The numbers are drawn from seed and name with hashlib; the largest are taken with exact fractions.
"""

import hashlib
import json
import pathlib
import re
import sys
from fractions import Fraction as F


def amount(text):
    return F(re.sub(r"[^0-9.\-]", "", text))


def number(seed, name):
    return int(hashlib.sha256(f"{seed}/{name}/1".encode()).hexdigest()[:16], 16) * 10**6 // 16**16


def largest(lines, share):
    whole = sum(abs(a) for _, a in lines)
    reached, taken = F(0), []
    for name, a in sorted(lines, key=lambda line: (-abs(line[1]), line[0].encode())):
        if share < 100 and reached >= whole * share / 100:
            break
        taken.append(name)
        reached += abs(a)
    return taken


def main(folder):
    result = json.loads((pathlib.Path(folder) / "audit.json").read_text())
    pages = {page["id"]: page for page in result["pages"]}
    figures = {figure["key"]: figure for figure in result["figures"]}
    cells = [[cell["shown"] for cell in row["cells"]] for row in pages["audit-population"]["tables"][0]["rows"]]
    lines = [(row[1], amount(row[2])) for row in cells]
    drawn = next(f for f in result["figures"] if f["key"].endswith(".number"))
    seed = re.search(r"drawn with seed (.*?): the first", json.dumps(drawn)).group(1)
    share = F(figures["audit.share"]["value"])
    listed = next(t for t in pages["audit"]["tables"] if t["id"] == "audit-list")["rows"]
    listed = [[cell["shown"] for cell in row["cells"]] for row in listed]
    for row in cells:
        assert number(seed, row[1]) == round(amount(row[3]) * 10**6), row
    first = largest(lines, share)
    random = sum(1 for row in listed if row[3].startswith("drawn at random"))
    rest = sorted((number(seed, name), name.encode(), name) for name, _ in lines if name not in first)
    chosen = first + [name for *_, name in rest[:random]]
    item = {name: name.split(",")[0] for name, _ in lines}
    left = sorted({item[name] for name, _ in lines} - {item[name] for name in chosen})
    chosen += [min((number(seed, n), n.encode(), n) for n, _ in lines if item[n] == i)[2] for i in left]
    assert sorted(chosen) == sorted(row[1] for row in listed), "other lines are chosen"
    assert chosen[: len(first) + random] == [row[1] for row in listed][: len(first) + random], "in another order"
    covered = sum(abs(a) for name, a in lines if name in set(chosen))
    assert covered == F(figures["audit.chosen"]["value"]), "another coverage"
    print(f"{len(lines)} numbers and {len(chosen)} chosen lines drawn again")


if __name__ == "__main__":
    main(sys.argv[1])
