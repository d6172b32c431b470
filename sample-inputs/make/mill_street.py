"""Makes `sample-inputs/mill-street`: a small invented contract whose sheets are a mess.

Everything wrong here is wrong on purpose and listed in sample-inputs/README.md. The sheets are written cell by cell, as
somebody filled them in, with openpyxl; LibreOffice saves the .ods and the .xls.
"""

import datetime as dt
import pathlib
import shutil

import openpyxl
from openpyxl.chart import BarChart, Reference
from openpyxl.styles import Font
from openpyxl.utils.datetime import CALENDAR_MAC_1904

from sheets import MADE, convert, settle

BOLD, STRUCK = Font(bold=True), Font(strike=True)
CONTRACT = '''# An invented contract whose sheets are a mess. Nothing in it is real.
number   = "MS-7"
title    = "Mill Street, two blocks"
notice   = "Invented data: a fictional contract that shows what is refused, and how"
units    = "US customary"
dates    = "month-day-year"

[parties]
owner      = "Example City"
contractor = "Example Paving Company"
engineer   = "Resident Engineer (invented)"

[rounding]
length = "0.1 half up"
area   = "0.01 half up"
volume = "0.01 half up"
money  = "0.01 half up"

[[alignments]]
name      = "MS"
begin     = "0+00"
end       = "18+00"
# Labels from 8+90 to 9+00 stand twice on this line.
equations = [{ back = "9+00", ahead = "8+90" }]

[[lanes]]
name      = "MS-L"
alignment = "MS"
side      = "left"
width     = "12 ft"
also      = ["Lt lane", "westbound"]

[[lanes]]
name      = "MS-R"
alignment = "MS"
side      = "right"
width     = "12 ft"
also      = ["Rt lane", "eastbound"]

[[sections]]
name         = "Mill Street"
from         = "0+00"
to           = "18+00"
lanes        = ["MS-L", "MS-R"]
thickness    = "8 in"
strength     = "4000 psi"
strength_age = "28 day"

[[items]]
number      = "1"
description = "Concrete pavement, 8 in"
unit        = "SY"
quantity    = "4,826.67"
price       = "54.20"
measured    = "placed area"
sections    = ["Mill Street"]
adjusted_by = ["thickness", "strength"]

[[items]]
number      = "2"
description = "Concrete driveway, 6 in"
unit        = "SY"
quantity    = "140"
price       = "57.00"
measured    = "by hand"
rounding    = "0.01 half up"

[[items]]
number      = "3"
description = "Casting adjusted to grade"
unit        = "EA"
quantity    = "8"
price       = "610.00"
measured    = "by hand"
rounding    = "1 half up"

[rules]
thickness = "example-stepped-average"
strength  = "example-two-rule-strength"

[[periods]]
number  = 1
through = 2031-08-31

[retainage]
percent = "5 percent"

[yield]
warn_over = "8 percent"

# The rod man's sheet has headings of his own.
[[sheets]]
file        = "rod.xlsx"
sheet       = "Pts"
kind        = "probes"
heading_row = 3
columns     = { "When" = "date", "Where" = "station", "d" = "depth" }
units       = { depth = "mm" }
every_row   = { lane = "MS-L" }

[[set_aside]]
file   = "old/*"
reason = "draft of the first cores, superseded by the laboratory's sheet"
'''


def day(month, number):
    return dt.datetime(2031, month, number)


def fill(sheet, rows, start=1):
    """Writes rows from row `start` on; None leaves a cell empty. Returns the row after the last."""
    for r, row in enumerate(rows, start=start):
        for c, value in enumerate(row, start=1):
            if value is not None:
                cell = sheet.cell(r, c, value)
                if isinstance(value, dt.datetime):
                    cell.number_format = "mm/dd/yyyy"
                elif isinstance(value, dt.time):
                    cell.number_format = "h:mm"
    return start + len(rows)


def save(book, path):
    path.parent.mkdir(parents=True, exist_ok=True)
    book.properties.created = MADE
    book.save(path)
    settle(path)


def crew(folder):
    """A chart sheet first, an empty sheet, then the placements: two-row headings, merged days, and rows nobody can place."""
    book = openpyxl.Workbook()
    pours = book.active
    pours.title = "Pours"
    book.create_sheet("Sheet2")
    pours["A1"] = "Mill Street - concrete placed"
    pours["A1"].font = Font(bold=True, size=14)
    pours.merge_cells("A1:H1")
    pours["A2"] = "prepared by: crew 2        all stations to the foot"
    fill(pours, [
        ["Pour", "Date", "Lane", "Station", None, "Mix", "Concrete", None, "Remarks"],
        ["No.", None, None, "from", "to", None, "first", "last", None],
    ], 4)
    for row in (4, 12):
        pours.merge_cells(f"D{row}:E{row}")
        pours.merge_cells(f"G{row}:H{row}")
    end = fill(pours, [
        [1, day(8, 4), "MS-L", "0+00", "4+50", "4000", dt.time(7, 40), dt.time(11, 5), None],
        [2, None, "MS-R", "0+00", "4+50", "4000", dt.time(12, 10), dt.time(15, 20), None],
        [3, day(8, 5), "Lt lane", "Sta 4+50.0", "Sta 8+70.0", "4000", dt.time(7, 35), dt.time(11, 0), "rain at noon"],
        [4, day(8, 7), "Rt lane", "4+50", "8+70", "4000", dt.time(7, 45), dt.time(11, 30), None],
        [5, day(8, 8), "MS-L", "8+70", "8+95 AH", "4000", dt.time(8, 0), dt.time(9, 0), "by hand at the equation"],
        [6, day(8, 11), "MS-R", "8+70", "8+95", "4000", dt.time(8, 0), dt.time(9, 0), "back or ahead not noted"],
        ["Pour", "Date", "Lane", "Station", None, "Mix", "Concrete", None, "Remarks"],
        ["No.", None, None, "from", "to", None, "first", "last", None],
        [7, day(8, 12), "MS-L", "8+95 AH", "13+60", "4000", dt.time(7, 30), dt.time(11, 45), None],
        [8, day(8, 13), "MS-R", "9+00 AH", "13+50", "4000", dt.time(7, 30), dt.time(11, 30), None],
        [9, day(8, 14), "MS-L", "13+50", "18+00", "4000", dt.time(7, 30), dt.time(11, 20), "10 ft over the end of pour 7"],
        [10, day(8, 15), "MS-3", "13+50", "18+00", "4000", dt.time(7, 30), dt.time(11, 20), "lane not in the contract"],
        [11, day(8, 15), "MS-R", "13+50", "18+40", "4000", dt.time(12, 30), dt.time(15, 20), "beyond the end"],
        [12, "8/18/2031", "eastbound", "13+50", "18+00", "4000", dt.time(7, 30), dt.time(11, 10), "placed again after removal"],
    ], 6)
    pours.merge_cells("B6:B7")
    pours.cell(end + 1, 1, "pours 10 and 11: see me - J.")
    pours.row_dimensions[9].hidden = True
    chart = book.create_chartsheet("Progress", 0)
    bars = BarChart()
    bars.title = "Loads a day"
    bars.add_data(Reference(pours, min_col=1, min_row=6, max_row=10))
    chart.add_chart(bars)
    notes = book.create_sheet("Notes")
    fill(notes, [
        ["Notes"], [None], ["Mon: string line reset at 4+50, checked twice."],
        ["Wed: plant slow, two trucks sent back.", None, None, "ask about ticket 5017"],
        ["Pour 6: nobody wrote whether 8+95 is back or ahead."],
    ])
    save(book, folder / "crew 2 pours AUG.xlsx")


def tickets_csv(folder):
    """Semicolons, headings again on each page, a total that is right and one that is wrong, a void ticket, text where a number belongs."""
    rows, number = [], 5000
    head = "Ticket;Date;Time;Truck;Pour;Yards (CY);Status;Note"
    plan = [("1", "08/04/2031", 16), ("2", "08/04/2031", 17), ("3", "08/05/2031", 15), ("4", "08/07/2031", 16),
            ("5", "08/08/2031", 2)]
    rows += ["Plant C;;;;;;;", "Mill Street;;;August 2031;;;;", "", head]
    for pour, date, count in plan:
        total = 0.0
        for i in range(count):
            number += 1
            volume, status, note = 8.5, "", ""
            if number == 5017:
                status, note = "Rejected", "too wet"
            if number == 5030:
                status, note = "VOID", "reprinted as 5031"
            if number == 5008:
                note = "85 °F in the drum"
            text = f"{volume:.2f}"
            if number == 5040:
                text, note = "8 or 9?", "smudged"
            if pour == "5":
                text, volume = "5.50", 5.5
            if status != "VOID" and number != 5040:
                total += volume
            rows.append(f"{number};{date};{7 + i // 5:02d}:{(i * 12) % 60:02d};{i % 6 + 1};{pour};{text};{status};{note}")
        if pour == "1":
            rows.append(f"Total pour 1;;;;;{total:.2f};;")
            rows.append("")
        if pour == "2":
            rows.append(f"Total pour 2;;;;;163.00;;")  # 136.00 with two digits changed over
            rows += ["", head]
    path = folder / "tickets" / "plant c export.csv"
    path.parent.mkdir(parents=True, exist_ok=True)
    path.write_text("\n".join(rows) + "\n", encoding="cp1252")
    return number


def tickets_again(folder, number):
    """The rest of August as a workbook: two tickets of the CSV again, one with another volume; struck-out, error, formula cells."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "aug"
    fill(sheet, [["Ticket #", "Date", "Batch time", "Truck #", "Pour #", "Load (cu yd)", "Wasted (cu yd)", "Remarks"]], 2)
    for cell in sheet[2]:
        cell.font = BOLD
    rows = [
        [5003, day(8, 4), dt.time(7, 24), 3, 1, 8.5, None, "also on the export"],
        [5005, day(8, 4), dt.time(7, 48), 5, 1, 8.0, None, "also on the export, other volume"],
        [number + 1, day(8, 11), dt.time(8, 5), 1, 6, 1.75, None, "pour 6 is not placed"],
    ]
    number += 1
    for pour, date, count in [(7, day(8, 12), 17), (8, day(8, 13), 16), (9, day(8, 14), 17), (12, day(8, 18), 17)]:
        for i in range(count):
            number += 1
            rows.append([number, date, dt.time(7 + i // 5, (i * 12) % 60), i % 6 + 1, pour, 8.5, None, None])
    end = fill(sheet, rows, 3)
    sheet["F8"] = "8.50"  # a number typed as text
    sheet["F9"] = "8 1/2"  # a fraction
    sheet["F12"] = "=4.25*2"  # saved by a program that stores no values
    sheet["F15"] = "#REF!"
    sheet["F15"].data_type = "e"
    sheet["G16"] = 0.5
    for cell in sheet[18]:
        cell.font = STRUCK
    sheet["H18"] = "never came"
    sheet["B20"] = "8/13/31"
    sheet["B21"] = "13.8.2031"
    sheet["E22"] = 13
    sheet.row_dimensions[24].hidden = True
    sheet.cell(end, 1, "TOTAL").font = BOLD
    sheet.cell(end, 6, "see export")
    save(book, folder / "tickets" / "rest of august (fixed).xlsx")


def cores(folder):
    """Millimetres in one file, whose dates count from 1904; inches with fractions in another; no unit at all in a third."""
    book = openpyxl.Workbook()
    book.epoch = CALENDAR_MAC_1904
    sheet = book.active
    sheet.title = "cores"
    fill(sheet, [
        ["CORES, lengths in mm as measured"],
        [None],
        ["Core", "Date", "Lane", "Station", "Length (mm)", None, None, "Remarks"],
        [None, None, None, None, 1, 2, 3, None],
        ["M1", day(8, 25), "MS-L", "1+12", 205, 206, 204, None],
        ["M2", day(8, 25), "MS-R", "3+40", 207, 206, 208, None],
        ["M3", day(8, 25), "MS-L", "6+05", 203, 203, 204, None],
        ["M4", day(8, 25), "MS-R", "7+77", 171, 170, 172, "very thin"],
        ["M4A", day(8, 26), "MS-R", "7+60", 179, 180, 179, "exploratory"],
        ["M4B", day(8, 26), "MS-R", "7+94", 202, 201, 203, "exploratory"],
    ])
    sheet.merge_cells("E3:G3")
    save(book, folder / "lab" / "cores part 1.xlsx")

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "second visit"
    fill(sheet, [
        ["Core No.", "Date", "Lane", "Sta.", "Length, in.", "Remarks"],
        ["I1", day(8, 27), "Lt lane", "10+20", "8 1/8", None],
        ["I2", day(8, 27), "Rt lane", "11+64", "8 3/16", None],
        ["I3", day(8, 27), "Lt lane", "13+05", 7.9, None],
        ["I4", day(8, 27), "Rt lane", "14+40", "8-1/4", None],
        ["I5", day(8, 27), "Lt lane", "16+88", "about 8", None],
        ["I6", day(8, 27), "Lt lane", "17+45", 8.05, None],
        ["M1", day(8, 25), "Lt lane", "1+12", 8.07, "same number as in part 1, another length"],
    ])
    path = folder / "lab" / "cores part 2.xlsx"
    save(book, path)
    convert([path], "ods")

    book = openpyxl.Workbook()
    fill(book.active, [
        ["Core", "Date", "Lane", "Station", "Length"],
        ["X1", day(8, 28), "MS-R", "16+10", 8.1],
        ["X2", day(8, 28), "MS-R", "17+20", 8.2],
    ])
    save(book, folder / "lab" / "cores part 3.xlsx")
    book = openpyxl.Workbook()
    fill(book.active, [["Core", "Date", "Lane", "Station", "Length (in)"], ["M1", day(8, 24), "MS-L", "1+12", 7.1]])
    save(book, folder / "old" / "cores draft.xlsx")


def cylinders(folder):
    """Breaks as .xls, strengths as reported, dates as text, some of which can be read two ways."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "breaks"
    rows = [["Mill Street cylinders", None, None, None, None, None, None], [None],
            ["Cylinder", "Set", "Pour", "Cast", "Age", "Tested", "Strength"],
            [None, None, None, None, "days", None, "psi"]]
    casts = {1: "08/04/2031", 3: "08/05/2031", 4: "8/7/2031", 7: "08/12/2031", 8: "Aug 13, 2031", 9: "2031-08-14", 12: "8/9/10"}
    tested = {1: "08/11/2031", 3: "08/12/2031", 4: "8/14/2031", 7: "08/19/2031", 8: "Aug 20, 2031", 9: "2031-08-21", 12: "08/25/2031"}
    for pour, cast in casts.items():
        for letter in "AB":
            rows.append([f"{pour}{letter}", f"P{pour}", pour, cast, 7, tested[pour], 3350 + 37 * pour + (20 if letter == "B" else 0)])
        for letter in "CD":
            rows.append([f"{pour}{letter}", f"P{pour}", pour, cast, 28, None, None])
    fill(sheet, rows)
    path = folder / "lab" / "breaks.xlsx"
    save(book, path)
    convert([path], "xls")


def inspector(folder):
    """Two tables on one sheet under a page of prose, and the rod man's own headings."""
    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Book 1"
    end = fill(sheet, [
        ["Field book, Mill Street"], ["Measured with the wheel, checked with the tape on the 20th."], [None],
        ["Item", "Date", "Location", "Length", "Width", "Measured by"],
        [None, None, None, "ft", "ft", None],
        [2, day(8, 20), "no. 12", 18.5, 16, "A.B."],
        [2, day(8, 20), "no. 15", "17' 6\"", 16, "A.B."],
        [2, day(8, 20), "no. 21", 20, "1O", "A.B."],  # the letter O for a nought
        [9, day(8, 20), "no. 30", 20, 12, "A.B."],  # no such item
    ])
    fill(sheet, [
        [None], ["Fresh tests"], ["Date", "Ticket", "Pour", "Slump (in)", "Air (%)", "Temp (°F)"],
        [day(8, 4), 5004, 1, "1 3/4", 6.1, 81], [day(8, 5), 5040, 3, 1.5, 5.9, 84], [day(8, 12), 5070, 7, 2, "6,2", 86],
    ], end)
    more = book.create_sheet("castings")
    fill(more, [["Item", "Date", "Location", "Qty (each)"], [3, day(8, 21), "2+10", 1], [3, day(8, 21), "7+35", 1],
                [3, day(8, 22), "12+80", 2], ["Total", None, None, 4]])
    save(book, folder / "inspector book.xlsx")

    book = openpyxl.Workbook()
    sheet = book.active
    sheet.title = "Pts"
    fill(sheet, [
        ["Mill St. left lane, rod"], [None], ["Pt", "When", "Where", "d"],
        [1, day(8, 4), "0+80", 206], [2, day(8, 4), "2+95", 201], [3, day(8, 5), "5+50", 204], [4, day(8, 12), "10+10", 205],
        [5, day(8, 14), "15+00", 199],
    ])
    save(book, folder / "rod.xlsx")


def main():
    folder = pathlib.Path(__file__).resolve().parents[1] / "mill-street"
    shutil.rmtree(folder, ignore_errors=True)
    folder.mkdir(parents=True)
    (folder / "contract.toml").write_text(CONTRACT, encoding="utf-8")
    field = folder / "field"
    crew(field)
    tickets_again(field, tickets_csv(field))
    cores(field)
    cylinders(field)
    inspector(field)
    print("mill-street: a mess")


if __name__ == "__main__":
    main()
