//! Every key of `contract.toml`: from this table come the strict reading, the JSON Schema and the description.
//!
//! The examples belong together: put into one file they make a contract that loads (a test holds it); of materials, those
//! of one way of reckoning the need.

use super::payment::keys::{
    ADDED_BY_KEY, CHANGE, ENTRY, FROM_KEY, INDEX, OVER_PRICE_KEY, PAYMENT, RETAINAGE, SCHEDULE_KEY, SPLIT, STORED,
    STORED_MATERIAL, TIME, TO_KEY, UNDER_PRICE_KEY, UNTIL_FINAL_KEY, VARIATION,
};
use crate::keyed::{Form, Key, Measure, Need, UNITS};

use Form::{Choice, Count, Counts, Date, Either, Limits, Number, Pairs, Quantity, Station, Table, Tables, Text, Texts};

/// Orders of day, month and year in dates written as text.
pub(super) const DATE_ORDERS: &[&str] = &["month-day-year", "day-month-year", "year-month-day"];
/// How an item may be measured.
pub(super) const MEASURES: &[&str] = &[
    "placed area",
    "placed volume",
    "delivered volume",
    "placed length",
    "by hand",
    "by percent",
    "by schedule",
    "by calendar",
];
/// Kinds of record.
pub(super) const KINDS: &[&str] = &[
    "placements",
    "loads",
    "cores",
    "probes",
    "specimens",
    "fresh",
    "profiles",
    "straightedge",
    "measured",
    "levels",
    "batches",
    "materials",
    "invoices",
    "work",
    "density",
    "compaction",
    "bars",
    "weather",
    "logger",
    "calibration",
    "documents",
];

/// The whole file.
pub(super) const CONTRACT: &[Key] = &[
    Key::required("number", Text, "\"HR-31-07\"", "contract number; also names the folder of the reports"),
    Key::required("title", Text, "\"Harrow Road reconstruction\"", "what the contract is for"),
    Key::optional("notice", Text, "\"Invented data\"", "a line printed on every page"),
    UNITS,
    Key::required("dates", Choice(DATE_ORDERS), "\"month-day-year\"", "order of dates that sheets write as text"),
    Key::optional("currency", Text, "\"$\"", "sign before amounts; `$` where left out"),
    Key::required("parties", Table(PARTIES), "", "who is party to the contract"),
    Key::required("rounding", Table(ROUNDING), "", "how quantities and amounts are rounded; never implicit"),
    Key::required("alignments", Tables(ALIGNMENT), "", "the lines that stations run along"),
    Key::required("lanes", Tables(LANE), "", "the lanes"),
    Key::required(
        "sections",
        Tables(SECTION),
        "",
        "stretches of lanes with one design; two of one lane may not overlap",
    ),
    Key::optional(
        "driveways",
        Tables(DRIVEWAY),
        "",
        "driveways and cross streets, which are opened by themselves: the opening table has a line for each",
    ),
    Key::required("items", Tables(ITEM), "", "the contract items that are paid"),
    Key::optional("rules", Table(RULES), "", "the rule set that judges each property"),
    Key::optional("choices", Table(CHOICES), "", "what was chosen where a rule leaves a choice"),
    Key::required("periods", Tables(PERIOD), "", "the pay periods, in order"),
    Key::optional("retainage", Table(RETAINAGE), "", "what is held back from each estimate"),
    Key::optional("payment", Table(PAYMENT), "", "what becomes of an estimate below zero"),
    Key::optional("stored", Table(STORED), "", "what is paid for materials that are not in the work yet"),
    Key::optional("stored_materials", Tables(STORED_MATERIAL), "", "the materials stored, each with its invoice"),
    Key::optional(
        "variation",
        Table(VARIATION),
        "",
        "what happens in the final period where a quantity is far from the one bid",
    ),
    Key::optional("indices", Tables(INDEX), "", "prices by month that the pay of items follows"),
    Key::optional("final", Table(FINAL), "", "what the final estimate asks for"),
    Key::optional("splits", Tables(SPLIT), "", "who pays which share of which item, or where it is charged"),
    Key::optional("changes", Tables(CHANGE), "", "change orders: quantities, prices, new items and days"),
    Key::optional("time", Table(TIME), "", "the days allowed, and what a day late or early is worth"),
    Key::optional(
        "entries",
        Tables(ENTRY),
        "",
        "signed amounts entered by hand: deductions, and what is given back of them",
    ),
    Key::optional("yield", Table(YIELD), "", "limits and allowances of the account of concrete"),
    Key::optional("mixes", Tables(MIX), "", "the mixes of concrete, what they hold and what they cost"),
    Key::optional("batching", Table(BATCHING), "", "how far batch weights may be off their target, below and above it"),
    Key::optional("tickets", Table(TICKETS), "", "limits on loads that the contract states"),
    Key::optional(
        "supply",
        Table(SUPPLY),
        "",
        "what was agreed with the supplier of concrete, besides the prices of mixes",
    ),
    Key::optional(
        "materials",
        Tables(MATERIAL),
        "",
        "materials besides concrete that an account is kept of: base, curing compound, baskets, bars, sealant",
    ),
    Key::optional(
        "draw",
        Table(DRAW),
        "",
        "where the tests of a lot are drawn by lot, and how near to it they must be taken",
    ),
    Key::optional("checking", Table(CHECKING), "", "whether a second person has to check what is paid"),
    Key::optional("papers", Tables(PAPER), "", "papers that pay depends on: certificates, mill reports, invoices"),
    Key::optional("fresh", Table(FRESH), "", "limits the contract states for fresh concrete"),
    Key::optional("sheets", Tables(SHEET), "", "what recognition of the field sheets cannot know"),
    Key::optional("set_aside", Tables(SET_ASIDE), "", "files, sheets or rows that are not to be used"),
];

const PARTIES: &[Key] = &[
    Key::required("owner", Text, "\"Town of Example\"", "who pays"),
    Key::required("contractor", Text, "\"Example Paving\"", "who builds"),
    Key::required("engineer", Text, "\"Example Engineers\"", "who certifies"),
];

const ROUNDING: &[Key] = &[
    Key::required("length", Form::Rounding, "\"0.1 half up\"", "of lengths along the line, in ft or m"),
    Key::required("area", Form::Rounding, "\"0.01 half up\"", "of areas, in yd2 or m2"),
    Key::required("volume", Form::Rounding, "\"0.01 half up\"", "of volumes, in yd3 or m3"),
    Key::required("money", Form::Rounding, "\"0.01 half up\"", "of amounts"),
    Key::optional(
        "by_unit",
        Pairs(&Text),
        "{ hour = \"0.5 half up\", day = \"1 half up\" }",
        "unit, to the rounding of quantities in it, of items that are not measured as placed and have none of their own",
    ),
];

const ALIGNMENT: &[Key] = &[
    Key::required("name", Text, "\"NB\"", "its name"),
    Key::required("begin", Station, "\"10+00\"", "first station"),
    Key::required("end", Station, "\"117+00\"", "last station"),
    Key::optional(
        "equations",
        Tables(EQUATION),
        "[{ back = \"58+32.10\", ahead = \"58+50.00\" }]",
        "where the stationing changes, in order along the line",
    ),
];

const EQUATION: &[Key] = &[
    Key::required("back", Station, "\"58+32.10\"", "the point by the stationing behind it"),
    Key::required("ahead", Station, "\"58+50.00\"", "the same point by the stationing ahead"),
];

const LANE: &[Key] = &[
    Key::required("name", Text, "\"NB-1\"", "its name"),
    Key::required("alignment", Text, "\"NB\"", "the alignment its stations run along"),
    Key::required("side", Choice(&["left", "right"]), "\"right\"", "side of the alignment, looking ahead"),
    Key::required(
        "width",
        Either(&Quantity(Measure::Length), &Tables(WIDTH)),
        "\"12 ft\"",
        "its width; several of them, at stations in order, taper evenly in between",
    ),
    Key::optional("also", Texts, "[\"NB lane 1\", \"NB inside\"]", "what field sheets call it besides its name"),
];

const WIDTH: &[Key] = &[
    Key::required("at", Station, "\"15+00\"", "station"),
    Key::required("width", Quantity(Measure::Length), "\"11 ft\"", "width there"),
];

const SECTION: &[Key] = &[
    Key::required("name", Text, "\"NB mainline\"", "its name"),
    Key::required("from", Station, "\"10+00\"", "where it begins"),
    Key::required("to", Station, "\"117+00\"", "where it ends, ahead of `from`"),
    Key::required("lanes", Texts, "[\"NB-1\"]", "its lanes, all of one alignment"),
    Key::required("thickness", Quantity(Measure::Depth), "\"9.5 in\"", "design thickness"),
    Key::optional("strength", Quantity(Measure::Strength), "\"4000 psi\"", "specified strength"),
    Key::optional("strength_age", Quantity(Measure::Age), "\"28 day\"", "age at which the strength counts")
        .need(Need::With("strength")),
    Key::optional(
        "strength_test",
        Choice(&["cylinder", "beam"]),
        "\"cylinder\"",
        "what the strength is of: compressive (cylinder, also where left out) or flexural (beam)",
    )
    .need(Need::Beside("strength")),
];

const ITEM: &[Key] = &[
    Key::required("number", Text, "\"401\"", "item number"),
    Key::required("description", Text, "\"Concrete pavement, 9.5 in\"", "what it is"),
    Key::required("unit", Form::Unit, "\"SY\"", "unit its quantity is paid in"),
    Key::required("quantity", Number, "\"57,066.67\"", "plan quantity, in the unit"),
    Key::required("price", Number, "\"61.50\"", "price for one of the unit"),
    Key::required("measured", Choice(MEASURES), "\"placed area\"", "how its quantity is measured"),
    Key::optional("sections", Texts, "[\"NB mainline\"]", "the sections it is measured in")
        .need(Need::Depends("yes, where measured as placed or delivered")),
    Key::optional(
        "rounding",
        Form::Rounding,
        "\"0.01 half up\"",
        "rounding of its quantity; where left out, that of `[rounding]` for lengths, areas or volumes",
    )
    .need(Need::Depends("only where measured by hand, percent, schedule or calendar, and `[rounding]` has none for its unit")),
    Key::optional(
        "adjusted_by",
        Texts,
        "[\"thickness\", \"strength\"]",
        "the properties whose rules adjust its pay, or \"combined\" for what several pay together; each needs its rule set in \
         `[rules]`",
    ),
    Key::optional(
        "waits_for",
        Texts,
        "[\"base-density\"]",
        "what the rule set for construction requires to be proved before the ground is paid: pieces whose proof is due and \
         not there are held",
    )
    .need(Need::Depends("no; only of items measured by area or length")),
    Key::optional("retained", Form::Flag, "true", "whether retainage is taken of it; false for an item that carries none"),
    SCHEDULE_KEY,
    FROM_KEY,
    TO_KEY,
    UNTIL_FINAL_KEY,
    ADDED_BY_KEY,
    OVER_PRICE_KEY,
    Key::optional(
        "differs_because",
        Text,
        "\"the driveway at 88+20 was added by the owner\"",
        "why more or less of it was built than agreed; printed on the final estimate",
    ),
    UNDER_PRICE_KEY,
];

const DRIVEWAY: &[Key] = &[
    Key::required("name", Text, "\"Drive 14\"", "its name"),
    Key::required("from", Station, "\"24+10\"", "where it begins along the line"),
    Key::required("to", Station, "\"24+34\"", "where it ends, ahead of `from`"),
    Key::required("lanes", Texts, "[\"NB-1\"]", "the lanes it crosses, all of one alignment"),
];

const RULES: &[Key] = &[
    Key::optional("thickness", Text, "\"example-stepped-average\"", "id of the rule set for thickness"),
    Key::optional("strength", Text, "\"example-two-rule-strength\"", "id of the rule set for strength"),
    Key::optional("air", Text, "\"iowa-2-34-air\"", "id of the rule set for air content"),
    Key::optional("slump", Text, "\"iowa-2-34-slump\"", "id of the rule set for slump"),
    Key::optional("water-cement", Text, "\"iowa-2-34-water-cement\"", "id of the rule set for the water-cement ratio"),
    Key::optional(
        "smoothness",
        Text,
        "\"example-tenth-mile-incentive\"",
        "id of the rule set for smoothness by a roughness or profile index",
    ),
    Key::optional(
        "straightedge",
        Text,
        "\"example-straightedge-percent\"",
        "id of the rule set for straightedge deviations",
    ),
    Key::optional(
        "construction",
        Text,
        "\"example-construction\"",
        "id of the rule set for the steps below, in and after the slab; it changes no pay",
    ),
    Key::optional(
        "combined",
        Text,
        "\"example-product\"",
        "id of the rule set for what several of these pay together; an item that lists \"combined\" lists none of them",
    ),
];

const CHOICES: &[Key] = &[Key::optional(
    "drop_thick_cores",
    Texts,
    "[\"NB mainline\"]",
    "the contractor has thick cores dropped, as far as the rule for thickness allows it: names of sections or lots, or \
     `all`",
)];

const FINAL: &[Key] = &[Key::required(
    "reasons_beyond",
    Quantity(Measure::Percent),
    "\"5 percent\"",
    "difference between built and agreed, in percent of what was agreed, beyond which an item needs `differs_because`",
)];

const PERIOD: &[Key] = &[
    Key::required("number", Count, "1", "its number; each higher than the one before"),
    Key::required("through", Date, "2031-05-31", "its last day"),
    Key::optional("final", Form::Flag, "true", "whether it is the final one; only of the last"),
];

/// What the depth of the slab may be taken from.
pub(super) const DEPTHS_BY: &[&str] = &["cores and probes", "cores", "probes", "levels"];

const YIELD: &[Key] = &[
    Key::optional(
        "warn_over",
        Quantity(Measure::Percent),
        "\"5 percent\"",
        "concrete placed over theoretical volume, in percent of it, above which a reader is warned",
    ),
    Key::optional(
        "act_over",
        Quantity(Measure::Percent),
        "\"8 percent\"",
        "the same, above which something must be done; above `warn_over`",
    ),
    Key::optional(
        "act_under",
        Quantity(Measure::Percent),
        "\"2 percent\"",
        "concrete placed under theoretical volume, in percent of it, beyond which something must be done; any is a warning",
    ),
    Key::optional(
        "allowance",
        Quantity(Measure::Percent),
        "\"0.5 percent\"",
        "allowed for loss of air and settlement, in percent of theoretical volume",
    ),
    Key::optional(
        "depth_by",
        Choice(DEPTHS_BY),
        "\"cores and probes\"",
        "what the depth of the slab is taken from; cores of lots and depth probes where left out",
    ),
    Key::optional(
        "low_grade",
        Quantity(Measure::Depth),
        "\"0.25 in\"",
        "how far below its design the surface under the slab may lie before it is pointed at",
    ),
    Key::optional(
        "price",
        Number,
        "\"118.50\"",
        "what one unit of concrete is worth where its mix has no price of its own",
    ),
];

const MIX: &[Key] = &[
    Key::required("name", Text, "\"P-4000\"", "its name"),
    Key::optional("also", Texts, "[\"4000 paving\"]", "what field sheets call it besides its name"),
    Key::optional("sections", Texts, "[\"NB mainline\"]", "the sections it may be placed in; any where left out"),
    Key::optional("price", Number, "\"118.50\"", "agreed price of one unit of it"),
    Key::optional(
        "water_cement",
        Quantity(Measure::Ratio),
        "\"0.45\"",
        "highest ratio of water to cementitious material, by mass",
    ),
    Key::optional(
        "design",
        Table(DESIGN),
        "{ cement = \"564 lb/yd3\", fine = \"1240 lb/yd3\", coarse = \"1800 lb/yd3\", water = \"282 lb/yd3\" }",
        "mass of each ingredient in one unit of it, aggregates saturated surface-dry",
    ),
];

const fn content(name: &'static str, meaning: &'static str) -> Key {
    Key::optional(name, Quantity(Measure::Content), "\"564 lb/yd3\"", meaning)
}

const DESIGN: &[Key] = &[
    content("cement", "portland or blended cement"),
    content("fly_ash", "fly ash"),
    content("slag", "slag cement"),
    content("fine", "fine aggregate"),
    content("intermediate", "aggregate between fine and coarse"),
    content("coarse", "coarse aggregate"),
    content("water", "water"),
    content("admixture", "admixtures, where they are weighed"),
];

const fn tolerance(name: &'static str, meaning: &'static str) -> Key {
    Key::optional(name, Limits(Measure::SignedPercent), "[\"-1 percent\", \"5 percent\"]", meaning)
}

const BATCHING: &[Key] = &[
    tolerance("cement", "of portland or blended cement"),
    tolerance("fly_ash", "of fly ash"),
    tolerance("slag", "of slag cement"),
    tolerance("fine", "of fine aggregate"),
    tolerance("intermediate", "of the aggregate between fine and coarse"),
    tolerance("coarse", "of coarse aggregate"),
    tolerance("water", "of water"),
    tolerance("admixture", "of admixtures"),
];

const TICKETS: &[Key] = &[
    Key::optional("time_limit", Quantity(Measure::Time), "\"90 min\"", "longest time from batching to discharge"),
    Key::optional("revolutions", Number, "\"300\"", "most turns of the drum until discharge"),
    Key::optional(
        "waived",
        Tables(WAIVED),
        "[{ ticket = \"88213\", reason = \"placed without water added, engineer's note of 2031-06-03\" }]",
        "loads for which time and turns were waived",
    ),
    Key::optional(
        "shortest_round",
        Quantity(Measure::Time),
        "\"35 min\"",
        "least time between two batchings of one truck: haul, discharge, return",
    ),
    Key::optional("first_batch", Text, "\"05:30\"", "time of day before which nothing is batched"),
    Key::optional(
        "last_batch",
        Text,
        "\"19:00\"",
        "time of day after which nothing is batched; before `first_batch` where the shift passes midnight",
    )
    .need(Need::With("first_batch")),
    Key::optional(
        "numbered",
        Texts,
        "[\"Plant A\"]",
        "plants whose tickets are numbered through for this contract alone, so that a gap is a missing ticket",
    ),
    Key::optional(
        "copied",
        Quantity(Measure::Percent),
        "\"0.1 percent\"",
        "chance below which repeated weights and last digits are said to look copied",
    ),
];

const WAIVED: &[Key] = &[
    Key::required("ticket", Text, "\"88213\"", "ticket of the load"),
    Key::required("reason", Text, "\"placed without water added\"", "why"),
];

const SUPPLY: &[Key] = &[
    Key::optional("short_load_below", Quantity(Measure::Volume), "\"6 yd3\"", "loads below it may be charged as short"),
    Key::optional("short_load_charge", Number, "\"85.00\"", "what a short load is charged")
        .need(Need::With("short_load_below")),
    Key::optional("free_time", Quantity(Measure::Time), "\"30 min\"", "minutes of a load on the site that are free"),
    Key::optional("waiting_price", Number, "\"2.25\"", "price of each minute beyond").need(Need::With("free_time")),
];

/// How the need of a material may be reckoned.
pub(super) const NEEDS: &[&str] =
    &["by volume", "by area", "at transverse joints", "along longitudinal joints", "along lanes"];

const MATERIAL: &[Key] = &[
    Key::required("name", Text, "\"Millings base\"", "its name"),
    Key::optional("also", Texts, "[\"millings\"]", "what field sheets call it besides its name"),
    Key::required("unit", Form::Unit, "\"ton\"", "unit of its quantities"),
    Key::optional("sections", Texts, "[\"NB mainline\"]", "the sections it is needed in; all where left out"),
    Key::required("needed", Choice(NEEDS), "\"by volume\"", "how much of it is needed"),
    Key::optional("depth", Quantity(Measure::Depth), "\"4 in\"", "its depth").need(Need::Depends("by volume")),
    Key::optional("density", Quantity(Measure::Density), "\"128 lb/ft3\"", "its density, dry")
        .need(Need::Depends("by volume")),
    Key::optional(
        "beyond_edges",
        Quantity(Measure::Length),
        "\"1 ft\"",
        "how far it reaches beyond each free edge of the pavement",
    )
    .need(Need::Depends("no; only by volume")),
    Key::optional("covers", Quantity(Measure::Coverage), "\"150 ft2/gal\"", "area that one unit of it covers")
        .need(Need::Depends("by area")),
    Key::optional("edges", Quantity(Measure::Depth), "\"9.5 in\"", "depth of the free edges that are covered too")
        .need(Need::Depends("no; only by area")),
    Key::optional(
        "spacing",
        Quantity(Measure::Length),
        "\"15 ft\"",
        "distance between transverse joints, or between pieces along longitudinal joints",
    )
    .need(Need::Depends("at transverse joints; along longitudinal ones where it is counted by piece")),
    Key::optional(
        "pieces",
        Number,
        "\"1\"",
        "pieces at each joint of a lane; where left out it is measured by length, the width of the lane",
    )
    .need(Need::Depends("no; only at transverse joints")),
    Key::optional(
        "joints",
        Tables(JOINT),
        "[{ left = \"NB-1\", right = \"NB-2\" }]",
        "the pairs of lanes whose joints it lies along",
    )
    .need(Need::Depends("along longitudinal joints")),
    Key::optional("count", Number, "\"10\"", "how many of it beside each other").need(Need::Depends("along lanes")),
    Key::optional("price", Number, "\"14.20\"", "price of one unit of it"),
    Key::optional(
        "warn_over",
        Quantity(Measure::Percent),
        "\"5 percent\"",
        "used over needed, in percent of what is needed, above which a reader is warned",
    ),
    Key::optional(
        "warn_under",
        Quantity(Measure::Percent),
        "\"2 percent\"",
        "used under needed, in percent of it, above which a reader is warned",
    ),
];

const JOINT: &[Key] = &[
    Key::required("left", Text, "\"NB-1\"", "lane on one side"),
    Key::required("right", Text, "\"NB-2\"", "lane on the other, of the same alignment"),
];

/// What offsets across a lane may be measured from.
pub(super) const OFFSETS_FROM: &[&str] = &["left edge", "right edge", "lane centre"];

const CHECKING: &[Key] = &[Key::required(
    "required",
    Form::Flag,
    "true",
    "where true, a quantity that no second person checked is a gap that keeps the reports open; otherwise it is listed only",
)];

const PAPER: &[Key] = &[
    Key::required(
        "paper",
        Text,
        "\"mill certificate\"",
        "what it is; each of these words must stand in the record of a document",
    ),
    Key::required("items", Texts, "[\"401\"]", "numbers of the items it is for"),
    Key::optional(
        "from",
        Text,
        "\"Example Cement\"",
        "who issues it; the record must then name each of these words, and otherwise the number of one of the items",
    ),
    Key::optional(
        "due_on",
        Date,
        "2031-06-01",
        "the day it is due; otherwise it is due with the first quantity of its items",
    ),
    Key::optional(
        "due_within_days",
        Count,
        "14",
        "days after the first quantity of its items by which it is due; beside a day, the later of the two",
    ),
    Key::optional(
        "holds",
        Form::Flag,
        "true",
        "whether what its items earned is held until it comes; false where left out",
    ),
];

const DRAW: &[Key] = &[
    Key::required(
        "seed",
        Form::TextOrWhole,
        "\"20310\"",
        "what the random numbers follow from; to be fixed and made known before the work",
    ),
    Key::required(
        "clear_of_edge",
        Quantity(Measure::Length),
        "\"2 ft\"",
        "no location is drawn nearer to an edge of a lane than this",
    ),
    Key::optional(
        "clear_of_ends",
        Quantity(Measure::Length),
        "\"5 ft\"",
        "no location is drawn nearer than this to where a lot begins or ends in a lane",
    ),
    Key::required(
        "tolerance",
        Quantity(Measure::Length),
        "\"5 ft\"",
        "how far along the line from its drawn location a core may be taken",
    ),
    Key::optional(
        "offset_from",
        Choice(OFFSETS_FROM),
        "\"left edge\"",
        "what offsets are measured from, looking ahead, on the drawing list and on the sheets of cores; the left edge of \
         the lane where left out",
    ),
    Key::optional(
        "tolerance_across",
        Quantity(Measure::Length),
        "\"1 ft\"",
        "how far across the lane it may be taken, where the sheet gives an offset; not compared where left out",
    )
    .need(Need::Beside("offset_from")),
    Key::optional(
        "within_days",
        Count,
        "60",
        "days after the last day of a lot's placing by which its cores are due; not compared where left out",
    ),
];

const FRESH: &[Key] = &[
    Key::optional("air", Limits(Measure::Percent), "[\"5 percent\", \"8 percent\"]", "air content"),
    Key::optional("slump", Limits(Measure::Depth), "[\"none\", \"3 in\"]", "slump"),
    Key::optional("temperature", Limits(Measure::Temperature), "[\"50 F\", \"90 F\"]", "temperature of the concrete"),
    Key::optional("water_cement", Limits(Measure::Ratio), "[\"none\", \"0.45\"]", "ratio of water to cement by mass"),
];

const SHEET: &[Key] = &[
    Key::required("file", Text, "\"lab/*.csv\"", "path inside `field/`; `*` stands for any run of characters"),
    Key::optional("sheet", Text, "\"Sheet1\"", "sheet name, `*` allowed; every sheet where left out"),
    Key::optional("kind", Choice(KINDS), "\"cores\"", "kind of record the sheet holds"),
    Key::optional("heading_row", Count, "4", "row its headings stand in, counted from 1"),
    Key::optional("columns", Pairs(&Text), "{ \"Len\" = \"length\" }", "heading as written, to the field it holds"),
    Key::optional("units", Pairs(&Form::Unit), "{ length = \"in\" }", "field, to the unit its column is written in"),
    Key::optional("every_row", Pairs(&Text), "{ lane = \"NB-1\" }", "field, to a value that holds for every row"),
];

const SET_ASIDE: &[Key] = &[
    Key::required("file", Text, "\"old/draft.xlsx\"", "path inside `field/`; `*` stands for any run of characters"),
    Key::optional("sheet", Text, "\"Sheet2\"", "sheet name; every sheet where left out"),
    Key::optional("rows", Counts, "[12, 13]", "rows, counted from 1; all where left out"),
    Key::required("reason", Text, "\"superseded by the laboratory's letter of 2031-06-03\"", "why"),
];
