"""Writes contract.toml of Harrow Road."""

from harrow_road.plan import NB, SB, SECTIONS, LANES

TEXT = '''# An invented contract that shows the program. Nothing in it is real.
number   = "HR-31-07"
title    = "Harrow Road reconstruction"
notice   = "Invented data: a fictional contract that shows the program"
units    = "US customary"
dates    = "month-day-year"
currency = "$"

[parties]
owner      = "Example County Public Works"
contractor = "Example Paving Company"
engineer   = "Resident Engineer (invented)"

[rounding]
length = "0.1 half up"
area   = "0.01 half up"
volume = "0.01 half up"
money  = "0.01 half up"

[[alignments]]
name      = "NB"
begin     = "10+00"
end       = "115+80"
equations = [{{ back = "58+32.10", ahead = "58+50.00" }}]

[[alignments]]
name  = "SB"
begin = "10+00"
end   = "115+60"

[[lanes]]
name      = "NB-1"
alignment = "NB"
side      = "right"
width     = "12 ft"
also      = ["NB lane 1", "NB inside"]

[[lanes]]
name      = "NB-2"
alignment = "NB"
side      = "right"
width     = "12 ft"
also      = ["NB lane 2", "NB outside"]

[[lanes]]
name      = "NB-S"
alignment = "NB"
side      = "right"
# The shoulder widens for a bus stop.
width = [
    {{ at = "10+00", width = "8 ft" }},
    {{ at = "15+00", width = "8 ft" }},
    {{ at = "16+50", width = "11 ft" }},
    {{ at = "19+50", width = "11 ft" }},
    {{ at = "21+00", width = "8 ft" }},
]
also = ["NB shoulder"]

[[lanes]]
name      = "SB-1"
alignment = "SB"
side      = "left"
width     = "12 ft"
also      = ["SB lane 1", "SB inside"]

[[lanes]]
name      = "SB-2"
alignment = "SB"
side      = "left"
width     = "12 ft"
also      = ["SB lane 2", "SB outside"]

[[lanes]]
name      = "SB-S"
alignment = "SB"
side      = "left"
width     = "8 ft"
also      = ["SB shoulder"]
{sections}
[[items]]
number      = "101"
description = "Mobilization"
unit        = "LS"
quantity    = "1"
price       = "185,000.00"
measured    = "by hand"
rounding    = "0.01 half up"

[[items]]
number      = "401"
description = "Concrete pavement, 9.5 in"
unit        = "SY"
quantity    = "{mainline}"
price       = "61.50"
measured    = "placed area"
sections    = ["NB mainline", "SB mainline"]
adjusted_by = ["thickness", "strength"]

[[items]]
number      = "402"
description = "Concrete shoulder, 8 in"
unit        = "SY"
quantity    = "{shoulder}"
price       = "48.75"
measured    = "placed area"
sections    = ["NB shoulder", "SB shoulder"]
adjusted_by = ["thickness", "strength"]

[[items]]
number      = "403"
description = "Longitudinal joint, lane to shoulder, sawed and sealed"
unit        = "LF"
quantity    = "{joint}"
price       = "2.85"
measured    = "placed length"
sections    = ["NB shoulder", "SB shoulder"]

[[items]]
number      = "405"
description = "Concrete driveway, 6 in"
unit        = "SY"
quantity    = "900"
price       = "58.00"
measured    = "by hand"
rounding    = "0.01 half up"

[[items]]
number      = "406"
description = "Casting adjusted to grade"
unit        = "EA"
quantity    = "42"
price       = "640.00"
measured    = "by hand"
rounding    = "1 half up"

[rules]
thickness = "example-stepped-average"
strength  = "example-two-rule-strength"

[[periods]]
number  = 1
through = 2031-05-31

[[periods]]
number  = 2
through = 2031-06-30

[[periods]]
number  = 3
through = 2031-07-31

[retainage]
percent = "5 percent"

[yield]
warn_over = "5 percent"

[fresh]
air         = ["5 percent", "8 percent"]
slump       = ["0.5 in", "3 in"]
temperature = ["50 F", "90 F"]

[[set_aside]]
file   = "plants/*.xlsx"
sheet  = "Summary"
reason = "the plant's own summary by day; its tickets are on the sheet before it"
'''

SECTION = '''
[[sections]]
name          = "{name}"
from          = "10+00"
to            = "{end}"
lanes         = [{lanes}]
thickness     = "{thickness} in"
strength      = "4000 psi"
strength_age  = "28 day"
strength_test = "cylinder"
'''


def plan_area(kind):
    """Plan area of the sections of a kind, square yards."""
    return sum(LANES[lane].area(0, line.length) for name, (line, lanes, _) in SECTIONS.items() if kind in name for lane in lanes) / 9


def write(folder):
    sections = "".join(
        SECTION.format(name=name, end=line.write(line.end, 0), lanes=", ".join(f'"{lane}"' for lane in lanes), thickness=f"{depth:g}")
        for name, (line, lanes, depth) in SECTIONS.items()
    )
    text = TEXT.format(sections=sections, mainline=f"{plan_area('mainline'):,.2f}", shoulder=f"{plan_area('shoulder'):,.2f}",
                       joint=f"{NB.length + SB.length:,.1f}")
    (folder / "contract.toml").write_text(text, encoding="utf-8")
