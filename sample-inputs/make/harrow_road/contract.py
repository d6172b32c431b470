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
{sections}{driveways}
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
waits_for   = ["base-density", "strength"]

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
construction = "example-construction"

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
act_over  = "8 percent"
act_under = "2 percent"
low_grade = "0.25 in"

[[mixes]]
name         = "P-4000-A"
sections     = ["NB mainline", "SB mainline"]
price        = "118.50"
water_cement = "0.47"
design       = {{ cement = "423 lb/yd3", fly_ash = "141 lb/yd3", fine = "1215 lb/yd3", coarse = "1888 lb/yd3", water = "237 lb/yd3" }}

[[mixes]]
name         = "P-4000-S"
sections     = ["NB shoulder", "SB shoulder"]
price        = "121.00"
water_cement = "0.50"
design       = {{ cement = "400 lb/yd3", fly_ash = "120 lb/yd3", fine = "1240 lb/yd3", coarse = "1852 lb/yd3", water = "234 lb/yd3" }}

[batching]
cement  = ["-1 percent", "5 percent"]
fly_ash = ["-5 percent", "5 percent"]
fine    = ["-2 percent", "2 percent"]
coarse  = ["-2 percent", "2 percent"]

[tickets]
time_limit     = "90 min"
shortest_round = "35 min"
first_batch    = "05:30"
last_batch     = "19:00"
copied         = "0.1 percent"

[supply]
short_load_below  = "4 yd3"
short_load_charge = "85.00"

[[materials]]
name         = "Millings base"
unit         = "ton"
needed       = "by volume"
depth        = "4 in"
density      = "128 lb/ft3"
beyond_edges = "1 ft"
price        = "14.20"
warn_over    = "5 percent"
warn_under   = "1 percent"

[[materials]]
name       = "Curing compound"
unit       = "gal"
needed     = "by area"
covers     = "150 ft2/gal"
edges      = "9 in"
price      = "6.40"
warn_over  = "10 percent"
warn_under = "1 percent"

[[materials]]
name       = "Dowel basket"
also       = ["baskets"]
unit       = "each"
sections   = ["NB mainline", "SB mainline"]
needed     = "at transverse joints"
spacing    = "15 ft"
pieces     = "1"
warn_under = "1 percent"

[[materials]]
name       = "Tie bar"
unit       = "each"
sections   = ["NB mainline", "SB mainline"]
needed     = "along longitudinal joints"
joints     = [{{ left = "NB-1", right = "NB-2" }}, {{ left = "SB-1", right = "SB-2" }}]
spacing    = "2.5 ft"
warn_under = "1 percent"

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

DRIVEWAY = '''
[[driveways]]
name  = "{name}"
from  = "{start}"
to    = "{end}"
lanes = ["{lane}"]
'''

# Those of `inspector/driveways.ods` that are opened by themselves: lane, from, to.
DRIVEWAYS = [
    ("NB-S", 1705, 1727), ("NB-S", 3172, 3197), ("NB-S", 8363, 8385), ("NB-S", 9567, 9593),
    ("SB-S", 2422, 2443), ("SB-S", 3982, 4004), ("SB-S", 7240, 7263), ("SB-S", 8797, 8824),
]


def plan_area(kind):
    """Plan area of the sections of a kind, square yards."""
    return sum(LANES[lane].area(0, line.length) for name, (line, lanes, _) in SECTIONS.items() if kind in name for lane in lanes) / 9


def write(folder):
    sections = "".join(
        SECTION.format(name=name, end=line.write(line.end, 0), lanes=", ".join(f'"{lane}"' for lane in lanes), thickness=f"{depth:g}")
        for name, (line, lanes, depth) in SECTIONS.items()
    )
    driveways = "".join(
        DRIVEWAY.format(name=f"Drive {number}", lane=lane, start=LANES[lane].alignment.write(start, 0), end=LANES[lane].alignment.write(end, 0))
        for number, (lane, start, end) in enumerate(DRIVEWAYS, start=1)
    )
    text = TEXT.format(sections=sections, driveways=driveways, mainline=f"{plan_area('mainline'):,.2f}",
                       shoulder=f"{plan_area('shoulder'):,.2f}", joint=f"{NB.length + SB.length:,.1f}")
    (folder / "contract.toml").write_text(text, encoding="utf-8")
