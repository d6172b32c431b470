"""Writes spreadsheets the way other people's programs do: XlsxWriter for .xlsx, LibreOffice for .ods and .xls, plain CSV.

Every document carries the same fixed date, so that running the scripts again gives the same content.
"""

import csv
import datetime as dt
import pathlib
import re
import shutil
import subprocess
import tempfile
import zipfile

import xlsxwriter

MADE = dt.datetime(2031, 8, 1, 8, 0, 0)
FORMATS = {
    "title": {"bold": True, "font_size": 14},
    "head": {"bold": True, "bottom": 1, "text_wrap": True, "valign": "bottom"},
    "head-middle": {"bold": True, "bottom": 1, "align": "center"},
    "date": {"num_format": "mm/dd/yyyy"},
    "date-dmy": {"num_format": "dd/mm/yyyy"},
    "time": {"num_format": "h:mm"},
    "0": {"num_format": "0"},
    "0.0": {"num_format": "0.0"},
    "0.00": {"num_format": "0.00"},
    "thousands": {"num_format": "#,##0"},
    "total": {"bold": True, "top": 1, "num_format": "0.00"},
    "total-text": {"bold": True, "top": 1},
    "struck": {"font_strikeout": True},
    "struck-date": {"font_strikeout": True, "num_format": "mm/dd/yyyy"},
    "note": {"italic": True, "font_color": "#555555"},
}


class Book:
    """A workbook written row by row."""

    def __init__(self, path, author):
        self.path = pathlib.Path(path)
        self.path.parent.mkdir(parents=True, exist_ok=True)
        self.book = xlsxwriter.Workbook(str(self.path), {"default_date_format": "mm/dd/yyyy"})
        self.book.set_properties({"author": author, "created": MADE, "comments": "Invented data"})
        self.formats = {name: self.book.add_format(spec) for name, spec in FORMATS.items()}

    def sheet(self, name, widths=()):
        """A new sheet, ready for rows."""
        return Sheet(self, name, widths)

    def close(self):
        self.book.close()


class Sheet:
    """A sheet that remembers which row comes next."""

    def __init__(self, book, name, widths):
        self.book, self.at = book, 0
        self.sheet = book.book.add_worksheet(name)
        for column, width in enumerate(widths):
            self.sheet.set_column(column, column, width)

    def row(self, cells, formats=None, skip=0):
        """Writes one row. `formats` is one name for all cells, or one per cell; None leaves a cell empty."""
        for column, value in enumerate(cells, start=skip):
            name = formats if isinstance(formats, str) else (formats[column - skip] if formats else None)
            self.put(self.at, column, value, name)
        self.at += 1

    def put(self, row, column, value, name=None):
        """Writes one cell."""
        form = self.book.formats[name] if name else None
        if value is None:
            return
        if isinstance(value, dt.time):
            self.sheet.write_number(row, column, (value.hour * 60 + value.minute) / 1440, form or self.book.formats["time"])
        elif isinstance(value, dt.date):
            self.sheet.write_datetime(
                row, column, dt.datetime(value.year, value.month, value.day), form or self.book.formats["date"]
            )
        elif isinstance(value, str) and value.startswith("="):
            raise ValueError("formulas are written with their value: use formula()")
        elif isinstance(value, str):
            self.sheet.write_string(row, column, value, form)
        else:
            self.sheet.write(row, column, value, form)

    def formula(self, row, column, formula, value, name=None):
        """A formula with the value its program stored."""
        self.sheet.write_formula(row, column, formula, self.book.formats[name] if name else None, value)

    def blank(self, rows=1):
        self.at += rows


def write_csv(path, rows, delimiter=",", encoding="utf-8", newline="\r\n"):
    """A plant's export."""
    path = pathlib.Path(path)
    path.parent.mkdir(parents=True, exist_ok=True)
    with open(path, "w", encoding=encoding, newline="") as file:
        csv.writer(file, delimiter=delimiter, lineterminator=newline).writerows(rows)


def convert(paths, kind):
    """Lets LibreOffice save .xlsx files as `ods` or `xls` beside themselves, and removes the .xlsx.

    All files of a kind go through one start of the program.
    """
    soffice = shutil.which("soffice")
    if soffice is None:
        raise SystemExit("LibreOffice (soffice) is needed to write .ods and .xls")
    target = {"ods": "ods:calc8", "xls": "xls:MS Excel 97"}[kind]
    with tempfile.TemporaryDirectory() as folder:
        for number, path in enumerate(paths):
            work = pathlib.Path(folder, str(number))
            work.mkdir()
            shutil.copy(path, work / pathlib.Path(path).name)
            subprocess.run(
                [soffice, f"-env:UserInstallation=file://{folder}/profile", "--headless", "--convert-to", target,
                 "--outdir", str(work), str(work / pathlib.Path(path).name)],
                check=True, capture_output=True, timeout=180,
            )
            made = work / (pathlib.Path(path).stem + "." + kind)
            if kind == "ods":
                settle(made)
            shutil.move(made, pathlib.Path(path).with_suffix("." + kind))
            pathlib.Path(path).unlink()


def settle(path):
    """Gives an .ods or .xlsx the fixed date, so that writing it again gives the same bytes."""
    date = MADE.isoformat().encode()
    with zipfile.ZipFile(path) as old:
        parts = [(info, old.read(info)) for info in old.infolist()]
    with zipfile.ZipFile(path, "w") as new:
        for info, data in parts:
            if info.filename.startswith("Thumbnails/"):
                continue
            if info.filename == "META-INF/manifest.xml":
                data = re.sub(rb"\s*<manifest:file-entry[^>]*Thumbnails[^>]*/>", b"", data)
            if info.filename == "meta.xml":
                data = re.sub(rb"(<(?:dc:date|meta:creation-date)>)[^<]*", rb"\g<1>" + date, data)
                data = re.sub(rb"<meta:editing-duration>[^<]*", rb"<meta:editing-duration>PT0S", data)
            if info.filename == "docProps/core.xml":
                data = re.sub(rb"(<dcterms:(?:created|modified)[^>]*>)[^<]*", rb"\g<1>" + date + b"Z", data)
            fixed = zipfile.ZipInfo(info.filename, MADE.timetuple()[:6])
            fixed.compress_type = zipfile.ZIP_STORED if info.filename == "mimetype" else zipfile.ZIP_DEFLATED
            new.writestr(fixed, data)
