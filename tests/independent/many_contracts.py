"""The README's questions over many contracts: runs its SQL, as it stands there, with DuckDB over the Parquet tables of all
samples, and holds the answers against each contract's own result.json.

    many_contracts.py REPORTS STORE

REPORTS and STORE are what `slabtally report sample-inputs --all --out REPORTS --parquet STORE` wrote.
"""

import json
import os
import re
import sys
from decimal import Decimal
from pathlib import Path

import duckdb

TABLES = ["adjustments", "estimate", "figures", "findings", "lots", "quantities"]


def queries():
    """The SQL of the README, in order: indented lines from one that begins with SELECT to the next blank one."""
    text = Path("README.md").read_text()
    found = re.findall(r"^(    SELECT\b.*?)(?:\n\n|\Z)", text, re.S | re.M)
    return ["\n".join(line[4:] for line in query.splitlines()) for query in found]


def results(reports):
    """Each contract's own result, by the name that its tables stand under."""
    found = {}
    for path in sorted(Path(reports).glob("*/result.json")):
        contract, period = path.parent.name.rsplit("-", 1)
        found[contract, period] = json.loads(path.read_text())
    return found


def figure(result, key):
    return next(Decimal(f["value"]) for f in result["figures"] if f["key"] == key)


def page(result, page_id):
    return next(p for p in result["pages"] if p["id"] == page_id)


def due(rows, results):
    """Earned, due, and whether anything is open, contract by contract."""
    assert len(rows) == len(results) >= 3, rows
    for contract, period, currency, earned, this_period, nothing_open in rows:
        result = results[contract, period]
        assert currency == result["contract"]["currency"], contract
        assert earned == figure(result, "earned.to-date"), (contract, earned)
        assert this_period == figure(result, "due.this-period"), (contract, this_period)
        assert nothing_open == result["closed"], contract


def deficient(rows, results):
    """Lots that a rule found deficient, and what that took off, by property."""
    assert rows, "the samples have deficient lots"
    seen = set()
    for contract, period, property_, lots, taken_off in rows:
        seen.add((contract, period))
        result = results[contract, period]
        lines = [f for f in result["figures"] if re.match(rf"item-[^.]+\.{property_}\.[^.]+$", f["key"])]
        off = [Decimal(f["value"]) for f in lines if Decimal(f["value"]) < 0]
        assert taken_off == sum(off), (contract, property_, taken_off, off)
        # The page of adjustments lists as many lots with a deduction.
        table = next(t for t in page(result, "adjustments")["tables"] if t["id"] == "adjustment-lines")
        cells = [row["cells"] for row in table["rows"] if row["kind"] == "line"]
        keys = {f["key"] for f in lines if Decimal(f["value"]) < 0}
        named = {c[0]["shown"] for c in cells if any(cell.get("figure") in keys for cell in c)}
        assert lots == len(named) > 0, (contract, property_, lots, named)
    for name, result in results.items():
        taken = [f for f in result["figures"] if f["key"] == "adjustments.to-date" and Decimal(f["value"]) < 0]
        assert bool(taken) == (name in seen), (name, taken)


def whole(store, results):
    """Every table has every contract, and the figures and findings are those of result.json, one for one."""
    connection = duckdb.connect()
    for table in TABLES:
        files = sorted(Path(store).glob(f"*/*/{table}.parquet"))
        assert len(files) == len(results), (table, files)
        columns = [tuple(connection.sql(f"DESCRIBE FROM '{f}'").fetchall()) for f in files]
        assert all(c == columns[0] for c in columns), f"{table} has other columns in another contract"
    for (contract, period), result in results.items():
        at = Path(store) / f"contract={contract}" / f"period={period}"
        rows = connection.sql(f"SELECT key, value, shown, value_double FROM '{at}/figures.parquet'").fetchall()
        own = [(f["key"], f["value"], f["shown"]) for f in result["figures"]]
        assert sorted((k, v, s) for k, v, s, _ in rows) == sorted(own), contract
        for key, value, _, double in rows:
            if double is not None:
                assert abs(float(value) - double) <= 1e-14 * max(1.0, abs(double)), (key, value, double)
        codes = connection.sql(f"SELECT code FROM '{at}/findings.parquet'").fetchall()
        assert sorted(c for (c,) in codes) == sorted(f["code"] for f in result["findings"]), contract
        # Each exact amount equals the figure that its key names.
        for table, column in [("estimate", "amount_to_date"), ("quantities", "quantity"), ("adjustments", "amount")]:
            values = {f["key"]: f["value"] for f in result["figures"]}
            for key, amount in connection.sql(f"SELECT figure, {column} FROM '{at}/{table}.parquet'").fetchall():
                assert (amount is None) == (values[key] is None), key
                assert amount is None or amount == Decimal(values[key]), (key, amount, values[key])


def main():
    reports, store = (os.path.abspath(path) for path in sys.argv[1:3])
    found = queries()
    assert len(found) == 2, f"the README has {len(found)} queries"
    own = results(reports)
    whole(store, own)
    # The queries name the folder `store`, wherever it lies.
    os.chdir(os.path.dirname(store))
    assert os.path.basename(store) == "store" and all("'store/" in query for query in found)
    connection = duckdb.connect()
    due(connection.sql(found[0]).fetchall(), own)
    deficient(connection.sql(found[1]).fetchall(), own)
    print(f"{len(found)} queries over {len(own)} contracts agree with their results")


main()
