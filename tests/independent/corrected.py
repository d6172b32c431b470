"""Fills in a list of refused rows with LibreOffice, as an office would, and reads it back with the program.

    python3 corrected.py PROGRAM CONTRACT_DIR WORK_DIR

Needs the system's Python with UNO. `check` writes the list; LibreOffice opens it, finds it protected but for the three columns that
are to be filled in, gets a value typed for some of its lines, and saves it as .xlsx and as .ods. Put into `field/`, either must be
read back: as many corrections as were typed, each telling what was received, none refused, and no sheet of it taken for records.
"""

import json
import pathlib
import shutil
import subprocess
import sys

from forms import FILTERS, office, said

# What is typed for a cell of this heading, whatever stands in it: each can be read where it is typed.
TYPED = {"Length": "17' 6\"", "Width": "9 3/4 ft", "Length, in.": "8.1", "Date": "2031-08-13", "Cast": "2031-08-09",
         "Lane": "MS-L", "Yards (CY)": "8.5", "Load (cu yd)": "9", "Air (%)": "6.2", "Item": "2"}
VALUE, BY, ON, MARK, CELL, HEADING = 8, 9, 10, 11, 3, 4


def check(program, contract, out):
    done = subprocess.run([program, "check", str(contract), "--json", "--out", str(out)], capture_output=True, text=True, timeout=600)
    return json.loads(done.stdout)


def fill(sheet, rows):
    """Types what is known for each line; returns how many lines were filled in."""
    filled = 0
    for row in rows:
        typed = TYPED.get(sheet.getCellByPosition(HEADING, row).String)
        if typed:
            for column, text in ((VALUE, typed), (BY, "A. Moss"), (ON, "2031-09-01")):
                sheet.getCellByPosition(column, row).FormulaLocal = text
            filled += 1
    return filled


def main(program, contract, work):
    program, contract = pathlib.Path(program).resolve(), pathlib.Path(contract)
    work = pathlib.Path(work)
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir(parents=True)
    first = check(program, contract, work)
    process, desktop = office(work, ("en", "US"))
    wrong, told = [], []
    try:
        for kind, name in FILTERS.items():
            doc = desktop.loadComponentFromURL(pathlib.Path(first["refused"]).resolve().as_uri(), "_blank", 0, (said("Hidden", True),))
            sheet = doc.Sheets.getByName("Rows to correct")
            rows = [r for r in range(5, 400) if sheet.getCellByPosition(MARK, r).String]
            if not sheet.isProtected():
                wrong.append("the list is not protected")
            for row in rows:
                open_cells = [c for c in range(20) if not sheet.getCellByPosition(c, row).CellProtection.IsLocked]
                if open_cells != [VALUE, BY, ON]:
                    wrong.append(f"row {row + 1}: open to be filled in are columns {open_cells}")
            filled = fill(sheet, rows)
            copy = work / kind
            shutil.copytree(contract, copy)
            doc.storeToURL((copy / "field" / f"refused.{kind}").resolve().as_uri(), (said("FilterName", name),))
            doc.close(True)
            second = check(program, copy, work / f"again-{kind}")
            codes = [f["code"] for f in second["findings"]]
            if codes.count("row-corrected") != filled:
                wrong.append(f"{kind}: {filled} lines filled in, {codes.count('row-corrected')} taken")
            unfit = [f["message"] for f in second["findings"] if f["code"] in ("correction-unfit", "sheet-unrecognised")]
            wrong.extend(f"{kind}: {message}" for message in unfit)
            known = {f["place"] for f in second["findings"]} - {f["place"] for f in first["findings"]}
            wrong.extend(f"{kind}: {place}" for place in known if f"refused.{kind}" in place)
            rejects = {f["place"] for f in second["findings"] if f["kind"] == "reject"}
            corrected = {f["place"] for f in second["findings"] if f["code"] == "row-corrected"}
            wrong.extend(f"{kind}: {place} is corrected and refused all the same" for place in sorted(corrected & rejects))
            before = sum(1 for f in first["findings"] if f["kind"] == "reject")
            told.append(f"{kind} {filled} of {len(rows)} lines, {before} places refused before, {len(rejects)} now")
    finally:
        process.kill()
    if not all(" 0 of" not in line for line in told):
        wrong.append("nothing was filled in")
    print(*wrong, sep="\n")
    print(f"filled in by LibreOffice: {'; '.join(told)}; {len(wrong)} wrong")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:4]))
