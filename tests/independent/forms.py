"""Fills in the blank forms of a contract with LibreOffice, as a crew would, and reads them back with the program.

    python3 forms.py PROGRAM CONTRACT_DIR WORK_DIR

Needs the system's Python with UNO (package python3-uno). Each form is opened in LibreOffice, which must know the check on every
column: a list for every lane, step and the like, with the contract's own words; a day between two days; and so on. LibreOffice
itself must find nothing invalid in the rows as they are filled in, and must find each of a row of wrong entries invalid. The
forms are saved by LibreOffice as .xlsx and as .ods; of either, `check` must count every row as used, and say nothing of any
cell, column or sheet. A form that was only opened and saved must be read without a word too.
"""

import datetime as dt
import json
import pathlib
import re
import shutil
import subprocess
import sys
import time
import tomllib

import uno
from com.sun.star.beans import PropertyValue

EXAMPLE = "Example, not read"
ROWS = 3
FILTERS = {"xlsx": "Calc MS Excel 2007 XML", "ods": "calc8"}
EPOCH = dt.date(1899, 12, 30)
ORDERS = {"month-day-year": "{0.month}/{0.day}/{0.year}", "day-month-year": "{0.day}/{0.month}/{0.year}",
          "year-month-day": "{0.year}-{0.month:02}-{0.day:02}"}
# The locale in which a program takes each order of dates.
LOCALES = {"month-day-year": ("en", "US"), "day-month-year": ("en", "GB"), "year-month-day": ("sv", "SE")}
# Findings of reading. What other stages say of a few invented rows, such as a load without its placement, is no matter here.
READING = {
    "file-unreadable", "file-passed-over", "encoding-assumed", "sheet-unrecognised", "unit-unknown", "cell-unreadable",
    "cell-missing", "cell-error", "formula-unstored", "date-ambiguous", "station-unplaced", "lane-unknown", "item-unknown",
    "material-unknown", "mix-unknown", "total-mismatch", "duplicate", "repeated", "hidden-rows", "set-aside", "column-unused",
    "core-purpose", "core-void", "quantity-unit-wrong",
}


def office(work, language):
    """Starts LibreOffice with a profile of its own in a language; returns its process and desktop."""
    profile = work / "profile"
    (profile / "user").mkdir(parents=True)
    (profile / "user" / "registrymodifications.xcu").write_text(
        '<?xml version="1.0" encoding="UTF-8"?>\n<oor:items xmlns:oor="http://openoffice.org/2001/registry">'
        '<item oor:path="/org.openoffice.Setup/L10N"><prop oor:name="ooSetupSystemLocale" oor:op="fuse"><value>'
        + "-".join(language) + "</value></prop></item></oor:items>\n", encoding="utf-8")
    pipe = f"forms{time.time_ns()}"
    process = subprocess.Popen(
        [shutil.which("soffice"), f"-env:UserInstallation={profile.resolve().as_uri()}", "--headless", "--invisible",
         "--norestore", "--nologo", f"--accept=pipe,name={pipe};urp;"],
        stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    context = uno.getComponentContext()
    resolver = context.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", context)
    for _ in range(240):
        try:
            there = resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
            return process, there.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", there)
        except Exception:
            time.sleep(0.25)
    process.kill()
    sys.exit("LibreOffice did not answer")


def said(name, value):
    one = PropertyValue()
    one.Name, one.Value = name, value
    return one


class Form:
    """A form as LibreOffice has it open."""

    def __init__(self, desktop, path):
        self.kind = path.stem
        self.doc = desktop.loadComponentFromURL(path.resolve().as_uri(), "_blank", 0, (said("Hidden", True),))
        self.sheet, self.lists = self.doc.Sheets.getByIndex(0), self.doc.Sheets.getByName("Lists")
        self.heads = next(r for r in range(60) if self.cell(r + 1, 0).String == EXAMPLE)
        self.first = self.heads + 2
        self.headings = []
        while self.cell(self.heads, len(self.headings)).String:
            self.headings.append(self.cell(self.heads, len(self.headings)).String)

    def cell(self, row, column):
        return self.sheet.getCellByPosition(column, row)

    def check(self, column, row=None):
        """The check on a column as LibreOffice knows it."""
        guard = self.cell(self.first if row is None else row, column).Validation
        return guard.Type.value, guard.ErrorAlertStyle.value, guard

    def words(self, column):
        """The words that a column's list offers."""
        name = re.fullmatch(r"=?\$?Lists\.(\$[A-Z]+\$\d+(?::\$[A-Z]+\$\d+)?)", self.check(column)[2].getFormula1())
        area = self.lists.getCellRangeByName(name[1].replace("$", ""))
        return [cell[0] for cell in area.getDataArray()]

    def type(self, row, column, text):
        """Types text as somebody at the keyboard does; the program takes it for what it can be."""
        self.cell(row, column).FormulaLocal = text

    def clear(self, row, column):
        self.cell(row, column).clearContents(1 | 2 | 4)

    def invalid(self):
        """Whether LibreOffice finds any entry that does not pass its check."""
        found = self.sheet.showInvalid()
        self.sheet.clearArrows()
        return found

    def save(self, path, kind):
        self.doc.storeToURL(path.resolve().as_uri(), (said("FilterName", FILTERS[kind]),))


def shifted(station, by):
    """A station further along by so many units, as it is painted."""
    whole, part = station.split("+")
    digits = len(part.split(".")[0])
    value = int(whole) * 10**digits + float(part) + by
    return f"{int(value // 10**digits)}+{value % 10**digits:0{digits}.0f}"


def entry(form, column, row, order):
    """What a crew types into a column of one of its rows: like the example, each row a day and a place further."""
    kind, _, _ = form.check(column)
    heading, example = form.headings[column], form.cell(form.heads + 1, column)
    blank = example.String in ("", EXAMPLE)
    if kind == "DATE":
        if blank and column != 0:
            return ""
        day = EPOCH + dt.timedelta(days=int(example.Value) if not blank else 47900)
        return ORDERS[order].format(day + dt.timedelta(days=row))
    if column == 0:
        return form.words(0)[0] if kind == "LIST" else f"R-{row + 1}"
    if blank:
        return ""
    if kind == "CUSTOM":
        return shifted(example.String, 20 * row)
    if heading.startswith("Ticket no"):
        return f"00{88213 + row}"
    return example.String if kind != "DECIMAL" else example.FormulaLocal


def expected(contract, form):
    """What is wrong with the checks of a form, as LibreOffice knows them."""
    wrong = []
    for column, heading in enumerate(form.headings):
        kind, style, guard = form.check(column)
        where = f"{form.kind}, {heading}"
        again = form.check(column, form.first + 499)[0]
        if again != kind:
            wrong.append(f"{where}: the last row is checked as {again}, the first as {kind}")
        if heading.endswith(" *") and "Must be filled in." not in guard.InputMessage:
            wrong.append(f"{where}: nothing says that it must be filled in")
        if kind not in ("ANY",) and not guard.ErrorMessage:
            wrong.append(f"{where}: nothing says what to type")
        if kind == "LIST" and (not all(form.words(column)) or len(set(form.words(column))) != len(form.words(column))):
            wrong.append(f"{where}: its list is {form.words(column)}")
        bare = heading.split(" (")[0].rstrip(" *†‡")
        if bare == "Lane":
            lanes = [lane["name"] for lane in contract["lanes"]]
            several = form.kind in ("placements", "materials", "work", "density", "documents")
            if (kind, style) != ("LIST", "WARNING" if several else "STOP") or form.words(column) != lanes:
                wrong.append(f"{where}: {kind}, {style}, {form.words(column) if kind == 'LIST' else ''}")
        if bare in ("Step", "Purpose", "Status", "Specimen type", "Bar type", "Layer", "Surface", "Index", "Direction") \
                and (kind, style) != ("LIST", "STOP"):
            wrong.append(f"{where}: {kind}, {style}")
        if "tation" in bare and (kind, style) != ("CUSTOM", "WARNING"):
            wrong.append(f"{where}: {kind}, {style}")
        if "ate" in bare.split() and kind != "DATE" or bare.startswith("Date") and (kind, style) != ("DATE", "WARNING"):
            wrong.append(f"{where}: {kind}, {style}")
        if " (" in heading and "days" not in heading and kind != "DECIMAL":
            wrong.append(f"{where}: {kind}, {style}")
    return wrong


def spoilt(form, order):
    """Entries that LibreOffice ought to find invalid, one of each check, and did not."""
    wrong = []
    for column, heading in enumerate(form.headings):
        kind = form.check(column)[0]
        bad = {"LIST": "no such word", "CUSTOM": "1240", "DATE": ORDERS[order].format(dt.date(1999, 1, 2)), "TIME": "noon",
               "DECIMAL": "about nine"}.get(kind)
        if bad is None:
            continue
        row = form.first + ROWS + 1
        form.type(row, column, bad)
        if not form.invalid():
            wrong.append(f"{form.kind}, {heading}: '{bad}' passes as {kind}")
        form.clear(row, column)
    return wrong


def fill(form, order):
    """Fills in rows as a crew does; returns what LibreOffice finds wrong with them."""
    wrong = []
    for row in range(ROWS):
        for column in range(len(form.headings)):
            text = entry(form, column, row, order)
            if not text:
                continue
            form.type(form.first + row, column, text)
            kind, there = form.check(column)[0], form.cell(form.first + row, column)
            real = kind in ("DATE", "TIME", "DECIMAL")
            if (there.Type.value == "VALUE") != real:
                wrong.append(f"{form.kind}, {form.headings[column]}: '{text}' became {there.Type.value} {there.String}")
    if form.invalid():
        wrong.append(f"{form.kind}: LibreOffice finds an entry invalid that the crew chose or typed rightly")
    return wrong


def told(program, folder):
    """What `check` says of a folder: rows used, rows refused, and the findings of reading."""
    text = subprocess.run([program, "check", folder], capture_output=True, text=True, timeout=600).stdout
    rows = re.search(r"^read +([\d,]+) files?, ([\d,]+) rows: ([\d,]+) used, .* ([\d,]+) refused, ([\d,]+) set aside", text, re.M)
    done = subprocess.run([program, "check", folder, "--json"], capture_output=True, text=True, timeout=600)
    result = json.loads(done.stdout)
    if rows is None:
        sys.exit(f"{folder}: {done.stdout}\n{text}")
    used, refused, aside = (int(rows[n].replace(",", "")) for n in (3, 4, 5))
    of_reading = [f"{f['code']}: {f['place']}: {f['message']}" for f in result["findings"] if f["code"] in READING]
    others = sorted({f["code"] for f in result["findings"] if "field/" in f["place"] and f["code"] not in READING})
    return (used, refused, aside), of_reading, others


def main():
    program, source, work = sys.argv[1], pathlib.Path(sys.argv[2]), pathlib.Path(sys.argv[3])
    shutil.rmtree(work, ignore_errors=True)
    work.mkdir(parents=True)
    contract = tomllib.loads((source / "contract.toml").read_text(encoding="utf-8"))
    order = contract.get("dates", "month-day-year")
    forms = work / "forms"
    subprocess.run([program, "forms", source, "--out", forms], check=True, stdout=subprocess.DEVNULL, timeout=120)
    paths = sorted(forms.glob("*.xlsx"))
    folders = {}
    for name in ("empty-xlsx", "empty-ods", "filled-xlsx", "filled-ods"):
        folders[name] = work / name
        (folders[name] / "field").mkdir(parents=True)
        shutil.copy(source / "contract.toml", folders[name])
        for own in ("rules", "templates"):
            if (source / own).is_dir():
                shutil.copytree(source / own, folders[name] / own)
    process, desktop = office(work, LOCALES[order])
    wrong, columns = [], 0
    try:
        for path in paths:
            form = Form(desktop, path)
            columns += len(form.headings)
            wrong += expected(contract, form)
            for kind in FILTERS:
                form.save(folders[f"empty-{kind}"] / "field" / f"{form.kind}.{kind}", kind)
            wrong += spoilt(form, order) + fill(form, order)
            for kind in FILTERS:
                form.save(folders[f"filled-{kind}"] / "field" / f"{form.kind}.{kind}", kind)
            form.doc.close(True)
    finally:
        try:
            desktop.terminate()
            process.wait(30)
        except Exception:
            process.kill()
    for name, folder in folders.items():
        counts, of_reading, others = told(program, folder)
        rows = len(paths) * ROWS if name.startswith("filled") else 0
        if counts != (rows, 0, 0):
            wrong.append(f"{name}: {counts} rows used, refused and set aside, where {rows} were filled in")
        wrong += [f"{name}: {finding}" for finding in of_reading]
        if name.startswith("empty") and others:
            wrong.append(f"{name}: {others}")
    for line in wrong[:60]:
        print("  " + line)
    print(f"{len(paths)} forms with {columns} checked columns, {ROWS} rows in each, saved as .xlsx and .ods: {len(wrong)} wrong")
    sys.exit(1 if wrong else 0)


if __name__ == "__main__":
    main()
