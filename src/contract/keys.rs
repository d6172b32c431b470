//! Every key of `contract.toml`: from this table come the strict reading, the JSON Schema and the description.
//!
//! The examples belong together: put into one file they make a contract that loads (a test holds it).

use crate::keyed::{Form, Key, Measure, Need, UNITS};

use Form::{Choice, Count, Counts, Date, Either, Limits, Number, Pairs, Quantity, Station, Table, Tables, Text, Texts};

/// Orders of day, month and year in dates written as text.
pub(super) const DATE_ORDERS: &[&str] = &["month-day-year", "day-month-year", "year-month-day"];
/// How an item may be measured.
pub(super) const MEASURES: &[&str] = &["placed area", "placed volume", "delivered volume", "placed length", "by hand"];
/// Kinds of record.
pub(super) const KINDS: &[&str] =
    &["placements", "loads", "cores", "probes", "specimens", "fresh", "profiles", "straightedge", "measured"];

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
    Key::required("items", Tables(ITEM), "", "the contract items that are paid"),
    Key::optional("rules", Table(RULES), "", "the rule set that judges each property"),
    Key::optional("choices", Table(CHOICES), "", "what was chosen where a rule leaves a choice"),
    Key::required("periods", Tables(PERIOD), "", "the pay periods, in order"),
    Key::optional("retainage", Table(RETAINAGE), "", "what is held back from each estimate"),
    Key::optional("yield", Table(YIELD), "", "when concrete placed over theory is to be warned of"),
    Key::optional(
        "draw",
        Table(DRAW),
        "",
        "where the tests of a lot are drawn by lot, and how near to it they must be taken",
    ),
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
        .need(Need::Depends("yes, unless measured by hand")),
    Key::optional(
        "rounding",
        Form::Rounding,
        "\"0.01 half up\"",
        "rounding of its quantity; where left out, that of `[rounding]` for lengths, areas or volumes",
    )
    .need(Need::Depends("only where measured by hand")),
    Key::optional(
        "adjusted_by",
        Texts,
        "[\"thickness\", \"strength\"]",
        "the properties whose rules adjust its pay, or \"combined\" for what several pay together; each needs its rule set in \
         `[rules]`",
    ),
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

const PERIOD: &[Key] = &[
    Key::required("number", Count, "1", "its number; each higher than the one before"),
    Key::required("through", Date, "2031-05-31", "its last day"),
];

const RETAINAGE: &[Key] = &[Key::required(
    "percent",
    Quantity(Measure::Percent),
    "\"5 percent\"",
    "share of what is earned that is held back",
)];

const YIELD: &[Key] = &[Key::required(
    "warn_over",
    Quantity(Measure::Percent),
    "\"5 percent\"",
    "concrete placed over theoretical volume, in percent of it, above which a reader is warned",
)];

/// What offsets across a lane may be measured from.
pub(super) const OFFSETS_FROM: &[&str] = &["left edge", "right edge", "lane centre"];

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
