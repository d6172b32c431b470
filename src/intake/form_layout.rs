//! Which columns a form of each kind of record has: what a crew fills in, at most fourteen across a sheet of paper; what is
//! rarer stands on the right, beyond the paper. Each field of each kind stands here once, or is left out with the reason.
//! Common practice; no document.

use super::form::{Asked, Danger, Entry, Layout, Sample};
use super::kind::Field;
use Danger::{Breaking, Dust, Equipment, FreshConcrete, Gauge, Sprays, Traffic, Weather};
use Sample::{Begin, Blank, Clock, DaysBefore, First, Lane, Middle, Number, Says};

const fn ask(field: Field, heading: &'static str, sample: Sample) -> Asked {
    Asked { field, heading, hint: "", sample, entry: None }
}

const fn hint(asked: Asked, hint: &'static str) -> Asked {
    Asked { hint, ..asked }
}

const fn usual(asked: Asked, entry: Entry) -> Asked {
    Asked { entry: Some(entry), ..asked }
}

const LANE: Asked = ask(Field::Lane, "Lane", Lane);
const LANES: Asked = hint(
    usual(ask(Field::Lane, "Lane", Lane), Entry::Lane { several: true }),
    "Lanes done together stand in one cell: the one, then &, then the other.",
);
const STATION: Asked = ask(Field::Station, "Station", Begin);
const FROM: Asked = ask(Field::From, "From station", Begin);
const TO: Asked = ask(Field::To, "To station", Middle);
const MIX: Asked = ask(Field::Mix, "Mix", First);
const PLACEMENT: Asked = ask(Field::Placement, "Placement no", Says("P-14"));
const REMARKS: Asked = ask(Field::Remarks, "Remarks", Blank);
const CHECKED: Asked =
    hint(ask(Field::CheckedBy, "Checked by", Says("J. Second")), "Somebody else than the one who measured.");
const PARTY: Asked = hint(
    ask(Field::Party, "Taken by", Says("contractor")),
    "Which party took it; a person's name may stand here, and then says nothing of the party.",
);
const SAMPLING: Asked = ask(Field::Sampling, "Split or independent", Blank);
const SETTLES: Asked =
    hint(ask(Field::Settles, "Settles", Blank), "Only a referee's: the number of what it was called to settle.");
const TICKET: Asked = ask(Field::Ticket, "Ticket no", Says("88213"));
const UNIT: Asked = ask(Field::Unit, "Unit", First);
const SURFACES: Entry = Entry::Word(&["subgrade", "base", "pavement"]);
const TESTED: Entry = Entry::Word(&["subgrade", "base"]);
const STEPS: Entry = Entry::Word(&[
    "reclaim", "compact", "trim", "base", "baskets", "ties", "texture", "cure", "saw", "seal", "open", "close",
]);

const TWO_CELLS: &str = "from and to have a column each";
const IN_HEADING: &str = "the headings say the units";

/// Whether the form of a kind asks for a field.
pub(super) fn asks(kind: &str, field: Field) -> bool {
    let layout = LAYOUTS.iter().find(|layout| layout.kind == kind);
    layout.is_some_and(|l| l.printed.iter().chain(l.beyond).any(|asked| asked.field == field))
}

/// The forms, in the order of the kinds.
pub(super) static LAYOUTS: &[Layout] = &[
    Layout {
        kind: "placements",
        title: "Concrete placed",
        weather: true,
        dangers: &[FreshConcrete, Equipment, Traffic],
        printed: &[
            ask(Field::Number, "Placement no", Says("P-14")),
            ask(Field::Date, "Date placed", DaysBefore(60)),
            LANES,
            FROM,
            TO,
            hint(ask(Field::Width, "Measured width", Blank), "Only where it was measured and is not the lane's."),
            MIX,
            ask(Field::Crew, "Crew", Says("paving 1")),
            ask(Field::Start, "First concrete", Clock(6, 40)),
            ask(Field::Finish, "Last concrete", Clock(15, 5)),
            ask(Field::By, "Measured by", Says("A. First")),
            CHECKED,
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Stations, TWO_CELLS)],
    },
    Layout {
        kind: "loads",
        title: "Concrete delivered",
        weather: true,
        dangers: &[FreshConcrete, Equipment, Traffic],
        printed: &[
            TICKET,
            ask(Field::Date, "Date delivered", DaysBefore(60)),
            ask(Field::Plant, "Plant", First),
            ask(Field::Truck, "Truck no", Says("27")),
            MIX,
            ask(Field::Batched, "Batched", Clock(6, 20)),
            ask(Field::Arrived, "Arrived", Clock(6, 41)),
            ask(Field::Discharged, "Discharged", Clock(6, 58)),
            ask(Field::Volume, "Volume", Number("9.5", "7.5")),
            LANE,
            PLACEMENT,
            hint(ask(Field::Status, "Status", Says("accepted")), "Blank is accepted."),
            ask(Field::Water, "Water added at site", Number("4", "15")),
            REMARKS,
        ],
        beyond: &[
            ask(Field::Returned, "Returned", Blank),
            ask(Field::Wasted, "Wasted", Blank),
            ask(Field::Washed, "Washed out", Blank),
            ask(Field::UsedElsewhere, "Used elsewhere", Blank),
            ask(Field::Withheld, "Water withheld", Blank),
            ask(Field::Revolutions, "Drum revolutions", Blank),
        ],
        left_out: &[
            (Field::Cement, BATCHES),
            (Field::FlyAsh, BATCHES),
            (Field::Slag, BATCHES),
            (Field::Fine, BATCHES),
            (Field::Intermediate, BATCHES),
            (Field::Coarse, BATCHES),
            (Field::BatchWater, BATCHES),
            (Field::Admixture, BATCHES),
            (Field::TotalMass, BATCHES),
            (Field::FineMoisture, BATCHES),
            (Field::IntermediateMoisture, BATCHES),
            (Field::CoarseMoisture, BATCHES),
            (Field::Unit, IN_HEADING),
        ],
    },
    Layout {
        kind: "cores",
        title: "Cores drilled",
        weather: false,
        dangers: &[Dust, Traffic],
        printed: &[
            ask(Field::Number, "Core no", Says("C-31")),
            ask(Field::Date, "Date cored", DaysBefore(45)),
            LANE,
            STATION,
            hint(
                ask(Field::Offset, "Offset", Says("4.5 right of left edge")),
                "How far, and from what: across the lane.",
            ),
            ask(Field::Length, "Length 1", Number("9.6", "244")),
            ask(Field::Length, "Length 2", Number("9.7", "246")),
            ask(Field::Length, "Length 3", Number("9.6", "243")),
            hint(
                ask(Field::Purpose, "Purpose", Says("acceptance")),
                "Blank is acceptance; void needs its reason in the remarks.",
            ),
            PARTY,
            SAMPLING,
            REMARKS,
        ],
        beyond: &[
            ask(Field::Length, "Length 4", Blank),
            ask(Field::Length, "Length 5", Blank),
            ask(Field::Length, "Length 6", Blank),
            ask(Field::Length, "Length 7", Blank),
            ask(Field::Length, "Length 8", Blank),
            ask(Field::Length, "Length 9", Blank),
            SETTLES,
        ],
        left_out: &[
            (Field::Average, "the lengths are averaged from their readings"),
            (Field::Voided, "the purpose says void"),
            (Field::Unit, IN_HEADING),
        ],
    },
    Layout {
        kind: "probes",
        title: "Depth probed in fresh concrete",
        weather: false,
        dangers: &[FreshConcrete, Equipment, Traffic],
        printed: &[
            ask(Field::Number, "Probe no", Says("D-7")),
            ask(Field::Date, "Date probed", DaysBefore(60)),
            LANE,
            STATION,
            ask(Field::Depth, "Depth", Number("9.6", "244")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Unit, IN_HEADING)],
    },
    Layout {
        kind: "specimens",
        title: "Strength specimens",
        weather: false,
        dangers: &[FreshConcrete, Breaking],
        printed: &[
            ask(Field::Number, "Specimen no", Says("S-5A")),
            ask(Field::Set, "Set no", Says("S-5")),
            hint(ask(Field::Shape, "Specimen type", Says("cylinder")), "Blank is a cylinder."),
            ask(Field::Cast, "Date cast", DaysBefore(60)),
            ask(Field::Tested, "Date tested", DaysBefore(32)),
            ask(Field::Age, "Age", Number("28", "28")),
            ask(Field::Diameter, "Diameter", Number("4.00", "102")),
            ask(Field::Load, "Maximum load", Number("61200", "272.5")),
            ask(Field::Strength, "Strength", Number("4870", "33.6")),
            PLACEMENT,
            LANE,
            STATION,
            PARTY,
            REMARKS,
        ],
        beyond: &[ask(Field::Due, "Due date", Blank), MIX, SAMPLING, SETTLES],
        left_out: &[],
    },
    Layout {
        kind: "fresh",
        title: "Fresh concrete tested",
        weather: true,
        dangers: &[FreshConcrete, Equipment, Traffic],
        printed: &[
            ask(Field::Number, "Test no", Says("T-12")),
            ask(Field::Date, "Date tested", DaysBefore(60)),
            TICKET,
            PLACEMENT,
            LANE,
            STATION,
            ask(Field::Slump, "Slump", Number("1.50", "40")),
            ask(Field::Air, "Air content", Number("6.2", "6.2")),
            ask(Field::Temperature, "Concrete temperature", Number("78", "25")),
            ask(Field::Density, "Density", Number("143.2", "2294")),
            ask(Field::WaterCement, "Water-cement ratio", Number("0.42", "0.42")),
            PARTY,
            SAMPLING,
            REMARKS,
        ],
        beyond: &[SETTLES],
        left_out: &[],
    },
    Layout {
        kind: "profiles",
        title: "Smoothness profiled",
        weather: false,
        dangers: &[Traffic],
        printed: &[
            ask(Field::Number, "Segment no", Says("R-1")),
            ask(Field::Date, "Date profiled", DaysBefore(40)),
            LANE,
            FROM,
            TO,
            hint(ask(Field::Index, "Index", Says("IRI")), "IRI or MRI for a roughness index, PI for a profile index."),
            ask(Field::Reading, "Left wheel path", Number("58.4", "0.92")),
            ask(Field::Reading, "Right wheel path", Number("61.0", "0.96")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[
            (Field::Average, "the wheel paths are averaged from their readings"),
            (Field::Stations, TWO_CELLS),
            (Field::Unit, IN_HEADING),
        ],
    },
    Layout {
        kind: "straightedge",
        title: "Surface under the straightedge",
        weather: false,
        dangers: &[Traffic],
        printed: &[
            ask(Field::Number, "Check no", Says("E-3")),
            ask(Field::Date, "Date checked", DaysBefore(40)),
            LANE,
            STATION,
            ask(Field::Deviation, "Deviation", Number("0.12", "3")),
            hint(
                ask(Field::Direction, "Direction", Says("longitudinal")),
                "How the straightedge lay; blank is along the lane.",
            ),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Unit, IN_HEADING)],
    },
    Layout {
        kind: "measured",
        title: "Quantities measured by hand",
        weather: false,
        dangers: &[Equipment, Traffic],
        printed: &[
            hint(ask(Field::Item, "Item no", First), "The sheet of lists says what each item is."),
            ask(Field::Date, "Date measured", DaysBefore(30)),
            ask(Field::Location, "Location", Says("drive 4, left side")),
            ask(Field::Length, "Length", Blank),
            ask(Field::Width, "Width", Blank),
            ask(Field::Depth, "Depth", Blank),
            ask(Field::Count, "Count", Blank),
            hint(ask(Field::Quantity, "Quantity", Number("3", "3")), "What is paid, in the unit beside it."),
            hint(UNIT, "The unit of the quantity; the sheet of lists says in which each item is paid."),
            ask(Field::By, "Measured by", Says("A. First")),
            CHECKED,
            REMARKS,
        ],
        beyond: &[],
        left_out: &[],
    },
    Layout {
        kind: "levels",
        title: "Levels of grade, base and pavement",
        weather: false,
        dangers: &[Equipment, Traffic],
        printed: &[
            ask(Field::Number, "Point no", Says("G-40")),
            ask(Field::Date, "Date surveyed", DaysBefore(70)),
            LANE,
            STATION,
            hint(ask(Field::Offset, "Offset", Says("left edge")), "How far, and from what: across the lane."),
            usual(ask(Field::Surface, "Surface", Says("base")), SURFACES),
            ask(Field::Design, "Design elevation", Number("612.48", "186.68")),
            ask(Field::Measured, "Measured elevation", Number("612.45", "186.67")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Unit, IN_HEADING)],
    },
    Layout {
        kind: "batches",
        title: "Batch weights",
        weather: false,
        dangers: &[Equipment],
        printed: &[
            TICKET,
            ask(Field::Date, "Batch date", DaysBefore(60)),
            ask(Field::Plant, "Plant", First),
            MIX,
            ask(Field::Cement, "Cement", Number("4420", "2005")),
            ask(Field::FlyAsh, "Fly ash", Blank),
            ask(Field::Slag, "Slag", Blank),
            ask(Field::Fine, "Fine aggregate", Number("11480", "5207")),
            ask(Field::FineMoisture, "Fine moisture", Number("4.1", "4.1")),
            ask(Field::Coarse, "Coarse aggregate", Number("17210", "7806")),
            ask(Field::CoarseMoisture, "Coarse moisture", Number("1.2", "1.2")),
            ask(Field::BatchWater, "Batch water", Number("1390", "630")),
            ask(Field::TotalMass, "Total weight", Blank),
            REMARKS,
        ],
        beyond: &[
            ask(Field::Intermediate, "Intermediate aggregate", Blank),
            ask(Field::IntermediateMoisture, "Intermediate moisture", Blank),
            ask(Field::Admixture, "Admixture", Blank),
        ],
        left_out: &[(Field::Water, "the plant's water has a column of its own")],
    },
    Layout {
        kind: "materials",
        title: "Materials delivered",
        weather: false,
        dangers: &[Equipment, Traffic],
        printed: &[
            usual(ask(Field::Material, "Material", First), Entry::Material),
            ask(Field::Date, "Date delivered", DaysBefore(75)),
            TICKET,
            ask(Field::Quantity, "Quantity delivered", Number("18.4", "16.7")),
            hint(UNIT, "The unit of the quantity; the sheet of lists says in which the account is kept."),
            ask(Field::Moisture, "Moisture", Blank),
            hint(ask(Field::Wasted, "Wasted", Blank), "Wasted or taken back, in the same unit."),
            LANES,
            FROM,
            TO,
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Stations, TWO_CELLS)],
    },
    Layout {
        kind: "invoices",
        title: "Invoices for concrete",
        weather: false,
        dangers: &[],
        printed: &[
            ask(Field::Invoice, "Invoice no", Says("B-204")),
            ask(Field::Date, "Delivery date", DaysBefore(60)),
            TICKET,
            usual(
                hint(
                    ask(Field::Charge, "Charge", Says("concrete")),
                    "What the line bills for; a fee is checked against nothing.",
                ),
                Entry::Word(&["concrete", "short load", "waiting", "fee"]),
            ),
            ask(Field::Described, "Description", Blank),
            MIX,
            ask(Field::Quantity, "Quantity billed", Number("9.5", "7.5")),
            usual(UNIT, Entry::Unit),
            hint(ask(Field::Minutes, "Minutes waited", Blank), "Only where waiting is billed."),
            ask(Field::Price, "Unit price", Number("140", "140")),
            hint(ask(Field::Amount, "Line amount", Number("1330", "1050")), "As billed; a credit is below zero."),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[],
    },
    Layout {
        kind: "work",
        title: "Steps of the work done",
        weather: true,
        dangers: &[Equipment, Traffic, Dust, Sprays],
        printed: &[
            usual(ask(Field::Step, "Step", Says("saw")), STEPS),
            ask(Field::Date, "Date", DaysBefore(59)),
            ask(Field::Start, "Start", Clock(1, 30)),
            ask(Field::Finish, "Finish", Clock(4, 10)),
            LANES,
            usual(
                hint(
                    ask(Field::Station, "Station", Begin),
                    "One joint, or a stretch: its two stations with the word to between.",
                ),
                Entry::Station { stretch: true },
            ),
            hint(ask(Field::Depth, "Depth", Number("3.2", "81")), "Of the cut, the base or the mixing."),
            hint(ask(Field::Rate, "Coverage", Blank), "Of curing compound."),
            hint(ask(Field::Count, "Count", Blank), "Baskets, bars or joints."),
            hint(ask(Field::Material, "Material", Blank), "Compound or sealant; opened to whom."),
            usual(ask(Field::Status, "Result", Says("passed")), Entry::Word(&["passed", "failed"])),
            hint(ask(Field::Accepted, "Date accepted", Blank), "Where the engineer accepted the step."),
            ask(Field::By, "Done by", Says("saw crew")),
            REMARKS,
        ],
        beyond: &[ask(Field::Number, "Entry no", Blank)],
        left_out: &[
            (Field::From, ONE_CELL),
            (Field::To, ONE_CELL),
            (Field::Stations, ONE_CELL),
            (Field::Unit, IN_HEADING),
        ],
    },
    Layout {
        kind: "density",
        title: "Density and moisture of grade and base",
        weather: false,
        dangers: &[Gauge, Equipment, Traffic],
        printed: &[
            ask(Field::Number, "Test no", Says("N-18")),
            ask(Field::Date, "Date tested", DaysBefore(75)),
            LANES,
            STATION,
            ask(Field::Offset, "Offset", Says("mid lane")),
            usual(ask(Field::Surface, "Layer", Says("base")), TESTED),
            ask(Field::Lift, "Lift", Says("1")),
            hint(
                ask(Field::Material, "Curve no", Says("K-2")),
                "The laboratory's compaction curve that the result is held against.",
            ),
            ask(Field::Method, "Test method", Says("gauge 4")),
            ask(Field::Wet, "Wet density", Number("139.5", "2235")),
            ask(Field::Dry, "Dry density", Number("130.4", "2089")),
            ask(Field::Moisture, "Moisture", Number("7.0", "7.0")),
            hint(ask(Field::RetestOf, "Retest of", Blank), "The number of the test that failed."),
            REMARKS,
        ],
        beyond: &[
            ask(Field::Maximum, "Maximum dry density", Blank),
            ask(Field::Optimum, "Optimum moisture", Blank),
            ask(Field::PercentOf, "Percent compaction", Blank),
        ],
        left_out: &[],
    },
    Layout {
        kind: "compaction",
        title: "Compaction curves",
        weather: false,
        dangers: &[],
        printed: &[
            ask(Field::Material, "Curve no", Says("K-2")),
            ask(Field::Date, "Report date", DaysBefore(90)),
            ask(Field::Maximum, "Maximum dry density", Number("134.0", "2146")),
            ask(Field::Optimum, "Optimum moisture", Number("7.4", "7.4")),
            ask(Field::Gravity, "Specific gravity", Number("2.68", "2.68")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[],
    },
    Layout {
        kind: "bars",
        title: "Where dowels and tie bars lie",
        weather: false,
        dangers: &[FreshConcrete, Traffic],
        printed: &[
            ask(Field::Number, "Check no", Says("V-9")),
            ask(Field::Date, "Date measured", DaysBefore(58)),
            LANE,
            ask(Field::Station, "Joint station", Begin),
            usual(ask(Field::Bar, "Bar type", Says("dowel")), Entry::Word(&["dowel", "tie bar"])),
            ask(Field::Place, "Bar no", Says("3")),
            ask(Field::Depth, "Depth of bar", Number("4.8", "122")),
            hint(
                ask(Field::Side, "Side shift", Number("0.3", "8")),
                "Along the road, off the joint; below zero for back.",
            ),
            ask(Field::Tilt, "Vertical tilt", Number("0.1", "3")),
            ask(Field::Skew, "Horizontal skew", Number("-0.1", "-3")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[],
    },
    Layout {
        kind: "weather",
        title: "Weather at the placing",
        weather: false,
        dangers: &[Weather, Traffic],
        printed: &[
            ask(Field::Date, "Date", DaysBefore(60)),
            ask(Field::Time, "Time", Clock(9, 0)),
            LANE,
            STATION,
            ask(Field::AirTemperature, "Air temperature", Number("82", "28")),
            ask(Field::Humidity, "Relative humidity", Number("55", "55")),
            ask(Field::Wind, "Wind speed", Number("8", "13")),
            ask(Field::Temperature, "Concrete temperature", Number("79", "26")),
            ask(Field::Evaporation, "Evaporation rate", Blank),
            ask(Field::By, "Recorded by", Says("A. First")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[],
    },
    Layout {
        kind: "logger",
        title: "Temperature loggers read by hand",
        weather: false,
        dangers: &[Weather, Traffic],
        printed: &[
            ask(Field::Sensor, "Sensor no", Says("M-1")),
            ask(Field::Date, "Date", DaysBefore(59)),
            ask(Field::Time, "Time", Clock(7, 15)),
            ask(Field::Temperature, "Concrete temperature", Number("84", "29")),
            LANE,
            STATION,
            PLACEMENT,
            MIX,
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Moment, "day and time have a column each")],
    },
    Layout {
        kind: "calibration",
        title: "Specimens of a strength-maturity curve",
        weather: false,
        dangers: &[FreshConcrete, Breaking],
        printed: &[
            ask(Field::Number, "Specimen no", Says("M-3")),
            ask(Field::Date, "Date tested", DaysBefore(100)),
            MIX,
            ask(Field::Factor, "Maturity", Number("5400", "3000")),
            ask(Field::EquivalentAge, "Equivalent age", Blank),
            ask(Field::Strength, "Strength", Number("3150", "21.7")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Unit, IN_HEADING)],
    },
    Layout {
        kind: "documents",
        title: "Photographs and papers",
        weather: false,
        dangers: &[Traffic],
        printed: &[
            ask(Field::Number, "Document no", Says("F-12")),
            ask(Field::Date, "Date", DaysBefore(60)),
            usual(ask(Field::What, "Document type", Says("photograph")), Entry::Paper),
            ask(Field::About, "Subject", Says("dowel baskets before placing")),
            LANES,
            hint(STATION, "Or a stretch, in the next two columns."),
            ask(Field::From, "From station", Blank),
            ask(Field::To, "To station", Blank),
            ask(Field::By, "Taken by", Says("A. First")),
            REMARKS,
        ],
        beyond: &[],
        left_out: &[(Field::Stations, TWO_CELLS)],
    },
];

const BATCHES: &str = "the form for batch weights asks for it";
const ONE_CELL: &str = "one cell holds a joint or a stretch";
