"""Recalculates a workbook with LibreOffice and compares every formula with the value stored beside it.

    python recalculate.py OUT_DIR

LibreOffice trusts values that another program stored, so it is told to recalculate (OOXMLRecalcMode = 0), and to be sure
that it did, it is given a copy in which every stored number of a formula was replaced by a wrong one. Then every formula must
come out as `estimate.xlsx` has it, and every figure on sheet 'Calculations' as `result.json` has it. Of an audit the files are
`audit.xlsx` and `audit.json`.
"""

import datetime as dt
import decimal
import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import zipfile

import openpyxl

WRONG = "987654321.125"
CLOSE = 1e-9
SETTINGS = """<?xml version="1.0" encoding="UTF-8"?>
<oor:items xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema">
<item oor:path="/org.openoffice.Office.Calc/Formula/Load"><prop oor:name="OOXMLRecalcMode" oor:op="fuse"><value>0</value></prop></item>
</oor:items>
"""
CELL = re.compile(rb"<c\b([^>]*)>(<f\b(?:[^>]*/>|[^>]*>.*?</f>))(<v>)([^<]*)(</v>)", re.S)


def spoil(source, target):
    """Copies a workbook with every number stored beside a formula replaced; returns how many were."""
    count = 0

    def wrong(match):
        nonlocal count
        attributes, formula, before, value, after = match.groups()
        if b't="' in attributes and b't="n"' not in attributes:
            return match.group(0)
        count += 1
        return b"<c" + attributes + b">" + formula + before + WRONG.encode() + after

    with zipfile.ZipFile(source) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for info in old.infolist():
            data = old.read(info)
            if info.filename.startswith("xl/worksheets/"):
                data = CELL.sub(wrong, data)
            new.writestr(info, data)
    return count


def recalculated(workbook, folder):
    """The workbook after LibreOffice has computed all of it anew."""
    soffice = shutil.which("soffice")
    if soffice is None:
        sys.exit("LibreOffice (soffice) is not installed")
    profile = folder / "profile" / "user"
    profile.mkdir(parents=True)
    (profile / "registrymodifications.xcu").write_text(SETTINGS, encoding="utf-8")
    out = folder / "out"
    subprocess.run(
        [soffice, f"-env:UserInstallation={(folder / 'profile').as_uri()}", "--headless", "--convert-to",
         "xlsx:Calc MS Excel 2007 XML", "--outdir", str(out), str(workbook)],
        check=True, capture_output=True, timeout=900,
    )
    return out / workbook.name


def plain(value):
    """Values as they are compared: empty text is nothing, a moment its serial."""
    if value == "":
        return None
    if isinstance(value, (dt.datetime, dt.date, dt.time, dt.timedelta)):
        return openpyxl.utils.datetime.to_excel(value) if not isinstance(value, dt.timedelta) else value.total_seconds() / 86400
    return value


def same(ours, theirs):
    ours, theirs = plain(ours), plain(theirs)
    if isinstance(ours, bool) or isinstance(theirs, bool) or isinstance(ours, str) or isinstance(theirs, str):
        return type(ours) is type(theirs) and ours == theirs
    if ours is None or theirs is None:
        return ours is theirs
    return abs(ours - theirs) <= max(CLOSE, CLOSE * abs(ours))


def is_error(value):
    return isinstance(value, str) and (value.startswith("#") and value.endswith(("!", "?", "A")) or value.startswith("Err:"))


def compare(original, computed):
    """Formulas per sheet, and what differs."""
    formulas = openpyxl.load_workbook(original)
    stored = openpyxl.load_workbook(original, data_only=True)
    new = openpyxl.load_workbook(computed, data_only=True)
    kept = openpyxl.load_workbook(computed)
    counts, wrong = {}, []
    for sheet in formulas.worksheets:
        counts[sheet.title] = 0
        for row in sheet.iter_rows():
            for cell in row:
                if cell.data_type != "f":
                    continue
                counts[sheet.title] += 1
                where = f"{sheet.title}!{cell.coordinate}"
                ours = stored[sheet.title][cell.coordinate].value
                theirs = new[sheet.title][cell.coordinate].value
                if is_error(ours) or is_error(theirs):
                    wrong.append(f"{where}: error; stored {ours!r}, recalculated {theirs!r}, formula {cell.value}")
                elif not same(ours, theirs):
                    wrong.append(f"{where}: stored {ours!r}, recalculated {theirs!r}, formula {cell.value}")
                elif kept[sheet.title][cell.coordinate].data_type != "f":
                    wrong.append(f"{where}: LibreOffice did not keep the formula {cell.value}")
    return counts, wrong


def figures_on_sheet(original):
    """Key to value on sheet 'Calculations', columns found by their headings."""
    sheet = openpyxl.load_workbook(original, data_only=True)["Calculations"]
    rows = list(sheet.iter_rows(values_only=True))
    top = next(i for i, row in enumerate(rows) if "Key" in row and "Value" in row)
    key, value = rows[top].index("Key"), rows[top].index("Value")
    return {row[key]: row[value] for row in rows[top + 1 :] if row[key] is not None}


def compare_figures(original, result):
    """Figures of result.json against the sheet, both ways."""
    ours = {figure["key"]: figure["value"] for figure in result["figures"]}
    sheet = figures_on_sheet(original)
    wrong = [f"figure {key} stands in result.json but not on 'Calculations'" for key in ours.keys() - sheet.keys()]
    wrong += [f"figure {key} stands on 'Calculations' but not in result.json" for key in sheet.keys() - ours.keys()]
    for key in sorted(ours.keys() & sheet.keys()):
        if not agrees(ours[key], sheet[key]):
            wrong.append(f"figure {key}: result.json {ours[key]!r}, Calculations {sheet[key]!r}")
    return len(ours), wrong


def agrees(value, shown):
    """A figure's value in result.json against its cell; a figure that could not be worked out has words there."""
    if value is None:
        return isinstance(shown, str) and shown.startswith("not computed")
    if isinstance(shown, bool):
        return value == ("yes" if shown else "no")
    try:
        number = float(decimal.Decimal(str(value)))
    except decimal.InvalidOperation:
        return value == shown
    return isinstance(shown, (int, float)) and same(number, shown)


def main():
    out = pathlib.Path(sys.argv[1])
    book, data = ("audit.xlsx", "audit.json") if (out / "audit.xlsx").exists() else ("estimate.xlsx", "result.json")
    original = out / book
    with tempfile.TemporaryDirectory() as name:
        folder = pathlib.Path(name)
        spoiled = folder / book
        replaced = spoil(original, spoiled)
        counts, wrong = compare(original, recalculated(spoiled, folder))
    total = sum(counts.values())
    if counts.get("Calculations", 0) < 1:
        wrong.append("sheet 'Calculations' has no formula")
    if replaced < total // 2:
        wrong.append(f"only {replaced} of {total} stored values could be replaced before recalculation")
    count, more = compare_figures(original, json.loads((out / data).read_text(encoding="utf-8")))
    wrong += more
    for line in wrong[:40]:
        print("  " + line)
    if len(wrong) > 40:
        print(f"  and {len(wrong) - 40} more")
    by_sheet = ", ".join(f"{sheet} {n}" for sheet, n in counts.items() if n)
    print(f"recalculated {total} formulas ({by_sheet}), compared {count} figures: {len(wrong)} differ")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
