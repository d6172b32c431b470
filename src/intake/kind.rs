//! The one table of what field sheets hold: kinds of record, their fields, what each field holds, and what the trade
//! calls it.
//!
//! A heading is recognised by these wordings and by nothing else. Wordings are folded before they are compared
//! ([`super::wording`]): case, punctuation and common short forms (`Sta`, `Qty`, `No.`, `#`) do not tell headings
//! apart. Within a field they stand from the most to the least particular: where two columns fit one field, the earlier
//! wording wins. Common practice; no document.

use super::kind_steps;
use crate::units::{System, Unit, between};
use rust_decimal::Decimal;

/// A field of a record. One word each, the same in headings, findings and `contract.toml`.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Field {
    Number,
    Date,
    Lane,
    From,
    To,
    Stations,
    Station,
    Mix,
    Crew,
    Start,
    Finish,
    Remarks,
    Ticket,
    Batched,
    Discharged,
    Plant,
    Truck,
    Volume,
    Placement,
    Status,
    Wasted,
    Returned,
    Water,
    Offset,
    Length,
    Average,
    Purpose,
    Depth,
    Set,
    Shape,
    Cast,
    Tested,
    Due,
    Age,
    Diameter,
    Load,
    Strength,
    Slump,
    Air,
    Temperature,
    Density,
    Item,
    Location,
    Width,
    Count,
    Quantity,
    By,
    Unit,
    Party,
    Sampling,
    Settles,
    CheckedBy,
    Voided,
    WaterCement,
    Reading,
    Index,
    Deviation,
    Direction,
    Arrived,
    Washed,
    UsedElsewhere,
    Withheld,
    Revolutions,
    Surface,
    Design,
    Measured,
    Cement,
    FlyAsh,
    Slag,
    Fine,
    Intermediate,
    Coarse,
    BatchWater,
    Admixture,
    TotalMass,
    FineMoisture,
    IntermediateMoisture,
    CoarseMoisture,
    Material,
    Moisture,
    Invoice,
    Charge,
    Described,
    Minutes,
    Price,
    Amount,
    Step,
    Time,
    Moment,
    Rate,
    Accepted,
    Lift,
    Method,
    Wet,
    Dry,
    Maximum,
    Optimum,
    PercentOf,
    RetestOf,
    Gravity,
    Bar,
    Place,
    Side,
    Tilt,
    Skew,
    AirTemperature,
    Humidity,
    Wind,
    Evaporation,
    Sensor,
    Factor,
    EquivalentAge,
    About,
    What,
    /// Known, but not kept by this kind of record.
    Elsewhere,
}

impl Field {
    /// How many there are.
    pub(super) const COUNT: usize = Field::Elsewhere as usize + 1;

    /// The word in `contract.toml`.
    pub(super) fn word(self) -> &'static str {
        match self {
            Field::Number => "number",
            Field::Date => "date",
            Field::Lane => "lane",
            Field::From => "from",
            Field::To => "to",
            Field::Stations => "stations",
            Field::Station => "station",
            Field::Mix => "mix",
            Field::Crew => "crew",
            Field::Start => "start",
            Field::Finish => "finish",
            Field::Remarks => "remarks",
            Field::Ticket => "ticket",
            Field::Batched => "batched",
            Field::Discharged => "discharged",
            Field::Plant => "plant",
            Field::Truck => "truck",
            Field::Volume => "volume",
            Field::Placement => "placement",
            Field::Status => "status",
            Field::Wasted => "wasted",
            Field::Returned => "returned",
            Field::Water => "water",
            Field::Offset => "offset",
            Field::Length => "length",
            Field::Average => "average",
            Field::Purpose => "purpose",
            Field::Depth => "depth",
            Field::Set => "set",
            Field::Shape => "shape",
            Field::Cast => "cast",
            Field::Tested => "tested",
            Field::Due => "due",
            Field::Age => "age",
            Field::Diameter => "diameter",
            Field::Load => "load",
            Field::Strength => "strength",
            Field::Slump => "slump",
            Field::Air => "air",
            Field::Temperature => "temperature",
            Field::Density => "density",
            Field::Item => "item",
            Field::Location => "location",
            Field::Width => "width",
            Field::Count => "count",
            Field::Quantity => "quantity",
            Field::By => "by",
            Field::Unit => "unit",
            Field::Party => "party",
            Field::Sampling => "sampling",
            Field::Settles => "settles",
            Field::CheckedBy => "checked_by",
            Field::Voided => "void",
            Field::WaterCement => "water_cement",
            Field::Reading => "reading",
            Field::Index => "index",
            Field::Deviation => "deviation",
            Field::Direction => "direction",
            Field::Arrived => "arrived",
            Field::Washed => "washed",
            Field::UsedElsewhere => "elsewhere",
            Field::Withheld => "withheld",
            Field::Revolutions => "revolutions",
            Field::Surface => "surface",
            Field::Design => "design",
            Field::Measured => "measured",
            Field::Cement => "cement",
            Field::FlyAsh => "fly_ash",
            Field::Slag => "slag",
            Field::Fine => "fine",
            Field::Intermediate => "intermediate",
            Field::Coarse => "coarse",
            Field::BatchWater => "batch_water",
            Field::Admixture => "admixture",
            Field::TotalMass => "total_mass",
            Field::FineMoisture => "fine_moisture",
            Field::IntermediateMoisture => "intermediate_moisture",
            Field::CoarseMoisture => "coarse_moisture",
            Field::Material => "material",
            Field::Moisture => "moisture",
            Field::Invoice => "invoice",
            Field::Charge => "charge",
            Field::Described => "described",
            Field::Minutes => "minutes",
            Field::Price => "price",
            Field::Amount => "amount",
            Field::Step => "step",
            Field::Time => "time",
            Field::Moment => "moment",
            Field::Rate => "rate",
            Field::Accepted => "accepted",
            Field::Lift => "lift",
            Field::Method => "method",
            Field::Wet => "wet",
            Field::Dry => "dry",
            Field::Maximum => "maximum",
            Field::Optimum => "optimum",
            Field::PercentOf => "percent",
            Field::RetestOf => "retest_of",
            Field::Gravity => "specific_gravity",
            Field::Bar => "bar",
            Field::Place => "place",
            Field::Side => "side",
            Field::Tilt => "tilt",
            Field::Skew => "skew",
            Field::AirTemperature => "air_temperature",
            Field::Humidity => "humidity",
            Field::Wind => "wind",
            Field::Evaporation => "evaporation",
            Field::Sensor => "sensor",
            Field::Factor => "maturity",
            Field::EquivalentAge => "equivalent_age",
            Field::About => "about",
            Field::What => "what",
            Field::Elsewhere => "not kept",
        }
    }
}

/// What a measured number is a measure of.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Measure {
    Volume,
    /// Thicknesses, core lengths, slump, specimen sizes.
    Depth,
    Length,
    Force,
    Strength,
    Percent,
    Temperature,
    Density,
    /// A ratio by mass.
    Ratio,
    /// Roughness and profile index.
    Smoothness,
    /// What a straightedge shows: a depth that may be zero.
    Deviation,
    /// Water added at the site: a liquid, whatever it was measured in.
    Liquid,
    /// Water batched at the plant: a mass, whatever it was measured in.
    BatchWater,
    /// Batch weights.
    Mass,
    /// Elevations: lengths above or below a datum.
    Elevation,
    /// How far a liquid goes.
    Coverage,
    /// Wind.
    Speed,
    /// Rates of evaporation.
    Evaporation,
    /// Temperature-time factors.
    Maturity,
    /// Equivalent ages.
    Hours,
    /// Depths above or below what is meant: shifts, tilts.
    SignedDepth,
    /// In the unit of the item that the row names.
    OfItem,
}

impl Measure {
    /// The unit records are kept in; none for an item's quantity, which is kept in the item's.
    pub(super) fn kept_in(self, system: System) -> Option<Unit> {
        match self {
            Measure::Volume => Some(system.volume()),
            Measure::Depth | Measure::Deviation | Measure::SignedDepth => Some(system.depth()),
            Measure::Coverage => Some(system.coverage()),
            Measure::Speed => Some(system.speed()),
            Measure::Evaporation => Some(system.evaporation()),
            Measure::Maturity => Some(system.maturity()),
            Measure::Hours => Some(Unit::Hour),
            Measure::Length | Measure::Elevation => Some(system.length()),
            Measure::Force => Some(system.force()),
            Measure::Strength => Some(system.strength()),
            Measure::Percent => Some(Unit::Percent),
            Measure::Temperature => Some(system.temperature()),
            Measure::Density => Some(system.density()),
            Measure::Ratio => Some(Unit::One),
            Measure::Smoothness => Some(system.roughness()),
            Measure::Liquid => Some(system.liquid()),
            Measure::BatchWater | Measure::Mass => Some(system.mass()),
            Measure::OfItem => None,
        }
    }

    /// The unit where nothing on the sheet says one: only where the contract's system leaves one choice.
    pub(super) fn understood(self, system: System) -> Option<Unit> {
        match self {
            Measure::Volume
            | Measure::Percent
            | Measure::Temperature
            | Measure::Density
            | Measure::Ratio
            | Measure::Liquid
            | Measure::Mass
            | Measure::Coverage
            | Measure::Speed
            | Measure::Evaporation
            | Measure::Hours
            | Measure::Elevation => self.kept_in(system),
            _ => None,
        }
    }

    /// Units to offer in a remedy.
    pub(super) fn offered(self) -> &'static [Unit] {
        match self {
            Measure::Volume => &[Unit::CubicYard, Unit::CubicMetre],
            Measure::Depth | Measure::Deviation | Measure::SignedDepth => &[Unit::Inch, Unit::Millimetre],
            Measure::Coverage => &[Unit::SquareFootPerGallon, Unit::SquareMetrePerLitre],
            Measure::Speed => &[Unit::MilePerHour, Unit::KilometrePerHour],
            Measure::Evaporation => &[Unit::PoundPerSquareFootHour, Unit::KilogramPerSquareMetreHour],
            Measure::Maturity => &[Unit::CelsiusHour, Unit::FahrenheitHour],
            Measure::Hours => &[Unit::Hour, Unit::Day],
            Measure::Length | Measure::Elevation => &[Unit::Foot, Unit::Metre],
            Measure::Force => &[Unit::PoundForce, Unit::Kilonewton],
            Measure::Strength => &[Unit::Psi, Unit::Megapascal],
            Measure::Percent => &[Unit::Percent],
            Measure::Temperature => &[Unit::Fahrenheit, Unit::Celsius],
            Measure::Density => &[Unit::PoundPerCubicFoot, Unit::KilogramPerCubicMetre],
            Measure::Ratio => &[Unit::One],
            Measure::Smoothness => &[Unit::InchPerMile, Unit::MetrePerKilometre],
            Measure::Liquid => &[Unit::Gallon, Unit::Litre],
            Measure::BatchWater => &[Unit::Pound, Unit::Gallon, Unit::Kilogram, Unit::Litre],
            Measure::Mass => &[Unit::Pound, Unit::Kilogram],
            Measure::OfItem => &[],
        }
    }

    /// Whether a number in `unit` can be one of these.
    pub(super) fn accepts(self, unit: Unit) -> bool {
        match self {
            Measure::OfItem => unit != Unit::Money,
            Measure::Percent => unit == Unit::Percent,
            Measure::Liquid => Measure::BatchWater.accepts(unit),
            _ => self.offered().iter().any(|&to| between(Decimal::ONE, unit, to).is_some()),
        }
    }

    /// A volume of water as the mass that records keep, or a mass of it as the volume; `None` of anything else.
    pub(super) fn of_water(self, value: Decimal, unit: Unit, system: System) -> Option<Decimal> {
        let weighs = system.water_to_mass();
        match self {
            Measure::BatchWater => weighs.apply(between(value, unit, system.liquid())?),
            Measure::Liquid => between(value, unit, system.mass())?.checked_mul(weighs.over)?.checked_div(weighs.times),
            _ => None,
        }
    }

    /// Whether a number below zero can be one of these.
    pub(super) fn may_be_negative(self) -> bool {
        matches!(self, Measure::Temperature | Measure::Elevation | Measure::SignedDepth)
    }

    /// Whether zero can be one of these.
    pub(super) fn may_be_zero(self) -> bool {
        !matches!(self, Measure::Depth | Measure::Force | Measure::Strength | Measure::Density)
    }
}

/// What the cells of a field hold.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Holds {
    Text,
    Date,
    Time,
    /// A day and a time of day in one cell.
    Moment,
    Station,
    /// From and to in one cell.
    Stations,
    Lane,
    Item,
    Measure(Measure),
    /// As many columns as there are readings.
    Readings,
    Days,
    Count,
    /// `accepted`, `rejected`, `void`.
    Status,
    /// `cylinder`, `beam`, `core`.
    Shape,
    /// What a core was drilled for.
    Purpose,
    /// Whether a core is void.
    Voided,
    /// Which party, or a person's name.
    Party,
    /// `split`, `independent`.
    Sampling,
    /// One column for each wheel path or pass.
    Passes,
    /// `IRI`, `PI`.
    Index,
    /// Along the lane or across it.
    Direction,
    /// An amount or a price.
    Money,
    /// The unit of the row's principal number.
    UnitWord,
    /// Not kept.
    Nothing,
}

impl Holds {
    /// Whether there may be as many columns as there are readings.
    pub(super) fn is_many(self) -> bool {
        matches!(self, Holds::Readings | Holds::Passes)
    }

    /// What its numbers measure.
    pub(super) fn measure(self) -> Option<Measure> {
        match self {
            Holds::Measure(measure) => Some(measure),
            Holds::Readings => Some(Measure::Depth),
            Holds::Passes => Some(Measure::Smoothness),
            _ => None,
        }
    }

    /// Whether a heading that states `unit` can head such a column.
    pub(super) fn accepts(self, unit: Unit) -> bool {
        match self {
            Holds::Measure(measure) => measure.accepts(unit),
            Holds::Readings => Measure::Depth.accepts(unit),
            Holds::Passes => Measure::Smoothness.accepts(unit),
            Holds::Station | Holds::Stations => Measure::Length.accepts(unit),
            Holds::Days => unit == Unit::Day,
            Holds::Count => matches!(unit, Unit::Each | Unit::One | Unit::Minute),
            Holds::Text | Holds::Nothing | Holds::UnitWord | Holds::Money => true,
            _ => false,
        }
    }
}

/// A field of one kind of record.
#[derive(Debug)]
pub(super) struct FieldSpec {
    pub(super) field: Field,
    pub(super) holds: Holds,
    pub(super) wordings: &'static [&'static str],
}

/// Which kind.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) enum Kind {
    Placements,
    Loads,
    Cores,
    Probes,
    Specimens,
    Fresh,
    Profiles,
    Straightedge,
    Measured,
    Levels,
    Batches,
    Materials,
    Invoices,
    Work,
    Density,
    Compaction,
    Bars,
    Weather,
    Logger,
    Calibration,
    Documents,
}

/// A kind of record.
#[derive(Debug)]
pub(super) struct KindSpec {
    pub(super) kind: Kind,
    /// The word in `contract.toml`.
    pub(super) word: &'static str,
    /// One of them, in a sentence.
    pub(super) noun: &'static str,
    /// The field that names a record.
    pub(super) id: Field,
    /// Of each list, one field must be there.
    pub(super) needs: &'static [&'static [Field]],
    /// The number a unit column speaks of.
    pub(super) principal: Field,
    pub(super) fields: &'static [FieldSpec],
}

impl KindSpec {
    /// What the kind says of a field.
    pub(super) fn spec(&self, field: Field) -> Option<&'static FieldSpec> {
        self.fields.iter().find(|s| s.field == field)
    }

    /// The field that a word names.
    pub(super) fn field(&self, word: &str) -> Option<&'static FieldSpec> {
        self.fields.iter().find(|s| s.field != Field::Elsewhere && s.field.word() == word)
    }

    /// Whether one of the kind cannot be without the field, or without it and its alternatives.
    pub(super) fn needs(&self, field: Field) -> bool {
        self.needs.iter().any(|group| group.contains(&field))
    }
}

pub(super) const fn field(field: Field, holds: Holds, wordings: &'static [&'static str]) -> FieldSpec {
    FieldSpec { field, holds, wordings }
}

pub(super) const fn remarks() -> FieldSpec {
    field(Field::Remarks, Holds::Text, &["remarks", "remark", "notes", "note", "comments", "comment"])
}

pub(super) const fn lane() -> FieldSpec {
    field(
        Field::Lane,
        Holds::Lane,
        &["lane", "lanes", "lane no", "lane id", "lane name", "lane placed", "lanes placed"],
    )
}

pub(super) const fn station() -> FieldSpec {
    field(
        Field::Station,
        Holds::Station,
        &["station", "station no", "core station", "probe station", "location station", "station location"],
    )
}

pub(super) const fn mix() -> FieldSpec {
    field(
        Field::Mix,
        Holds::Text,
        &[
            "mix",
            "mix design",
            "mix id",
            "mix no",
            "mix design no",
            "mix code",
            "mix type",
            "concrete mix",
            "concrete class",
            "concrete grade",
            "grade of concrete",
            "concrete designation",
            "class of concrete",
            "class",
        ],
    )
}

pub(super) const fn placement() -> FieldSpec {
    field(
        Field::Placement,
        Holds::Text,
        &["placement", "placement no", "placement id", "pour", "pour no", "pour id", "placement ref", "pour ref"],
    )
}

const fn ticket() -> FieldSpec {
    field(
        Field::Ticket,
        Holds::Text,
        &[
            "ticket",
            "ticket no",
            "load ticket",
            "load ticket no",
            "ticket id",
            "ticket ref",
            "docket ref",
            "delivery note",
            "delivery ticket ref",
            "delivery ticket",
            "delivery ticket no",
            "batch ticket",
            "batch ticket no",
            "docket",
            "docket no",
            "delivery docket",
            "delivery docket no",
            "delivery note no",
            "truck ticket",
            "truck ticket no",
            "load no",
            "load id",
            "delivered ticket no",
            "delivered ticket",
        ],
    )
}

/// Which party took it; the column may as well hold a person's name.
const fn party() -> FieldSpec {
    field(
        Field::Party,
        Holds::Party,
        &[
            "party",
            "taken by party",
            "testing party",
            "qc qa",
            "qa qc",
            "qc or qa",
            "qc qa ia",
            "sample type",
            "type of sample",
            "sampling party",
            "test type",
            "type of test",
            "test purpose",
            "purpose of test",
            "taken by",
            "sampled by",
            "obtained by",
            "cored by",
            "drilled by",
            "cast by",
            "made by",
            "molded by",
            "tested by",
            "broken by",
            "test by",
            "by",
        ],
    )
}

const fn sampling() -> FieldSpec {
    field(
        Field::Sampling,
        Holds::Sampling,
        &[
            "split independent",
            "independent split",
            "split or independent",
            "independent or split",
            "sampling",
            "sampling type",
            "type of sampling",
            "sample split",
            "split sample",
            "split",
        ],
    )
}

/// What a referee's core or test was called to settle.
/// Who held a measurement against the ground or the arithmetic a second time.
const fn checked_by() -> FieldSpec {
    field(
        Field::CheckedBy,
        Holds::Text,
        &["checked by", "checked", "chk d by", "chk by", "verified by", "verified", "second person"],
    )
}

const fn settles() -> FieldSpec {
    field(
        Field::Settles,
        Holds::Text,
        &[
            "settles",
            "referee for",
            "referee of",
            "in dispute with",
            "dispute with",
            "disputed",
            "disputed core",
            "disputed test",
            "replaces",
            "replaces core",
            "replaces test",
            "replacement for",
            "supersedes",
            "settles core",
            "settles test",
        ],
    )
}

pub(super) const fn from() -> FieldSpec {
    field(
        Field::From,
        Holds::Station,
        &[
            "from station",
            "station from",
            "begin station",
            "station begin",
            "start station",
            "station start",
            "limits from",
            "stations from",
            "b station",
            "from",
        ],
    )
}

pub(super) const fn to() -> FieldSpec {
    field(
        Field::To,
        Holds::Station,
        &[
            "to station",
            "station to",
            "end station",
            "station end",
            "stop station",
            "station stop",
            "finish station",
            "limits to",
            "stations to",
            "e station",
            "to",
        ],
    )
}

const fn stations() -> FieldSpec {
    field(
        Field::Stations,
        Holds::Stations,
        &[
            "stations",
            "station limits",
            "station range",
            "limits",
            "station to station",
            "from to",
            "station from to",
            "station station",
            "b e station",
            "limits of placement",
            "placement limits",
            "limits of segment",
            "segment limits",
            "beg end station",
            "station begin end",
            "from to station",
            "stations from to",
            "limits station",
            "station",
        ],
    )
}

pub(super) const fn unit() -> FieldSpec {
    field(Field::Unit, Holds::UnitWord, &["unit", "units", "uom", "unit of measure", "unit of measurement"])
}

const fn weighed(which: Field, wordings: &'static [&'static str]) -> FieldSpec {
    field(which, Holds::Measure(Measure::Mass), wordings)
}

const fn moisture(which: Field, wordings: &'static [&'static str]) -> FieldSpec {
    field(which, Holds::Measure(Measure::Percent), wordings)
}

const CEMENT: &[&str] = &[
    "cement",
    "cem",
    "cement actual",
    "actual cement",
    "cement batched",
    "cement weight",
    "weight of cement",
    "portland cement",
    "cement mass",
    "type il",
    "type il cement",
    "type i ii",
    "type i ii cement",
];
const FLY_ASH: &[&str] = &[
    "fly ash",
    "flyash",
    "ash",
    "fly ash actual",
    "fly ash weight",
    "class f ash",
    "class f fly ash",
    "class c fly ash",
];
const SLAG: &[&str] = &["slag", "slag cement", "ggbfs", "slag actual", "slag weight"];
const FINE: &[&str] = &[
    "fine aggregate",
    "fine agg",
    "sand",
    "sand actual",
    "fine aggregate actual",
    "sand weight",
    "fine aggregate weight",
    "fines",
    "fine",
    "fa",
];
const INTERMEDIATE: &[&str] =
    &["intermediate aggregate", "intermediate agg", "intermediate", "pea gravel", "intermediate aggregate weight"];
const COARSE: &[&str] = &[
    "coarse aggregate",
    "coarse agg",
    "stone",
    "stone actual",
    "coarse aggregate actual",
    "stone weight",
    "coarse aggregate weight",
    "rock",
    "gravel",
    "coarse",
    "no 57 stone",
    "no 57",
    "57 stone",
    "ca",
];
/// A bare `water` beside batch weights is this too; that is settled where the row is read.
const BATCH_WATER: &[&str] = &[
    "batch water",
    "batched water",
    "water batched",
    "mix water",
    "mixing water",
    "water actual",
    "actual water",
    "water weight",
    "plant water",
    "water at plant",
];
const ADMIXTURE: &[&str] = &["admixture", "admixtures", "admix", "admixture weight"];
const TOTAL_MASS: &[&str] = &[
    "total weight",
    "total mass",
    "total batch weight",
    "total batch mass",
    "batch weight",
    "batch mass",
    "total batched",
    "weight total",
    "total actual",
];
/// On a sheet of batch weights alone, `total` is that of the masses.
const TOTAL_OF_BATCH: &[&str] =
    &["total weight", "total mass", "total batch weight", "total batch mass", "batch weight", "batch mass", "total"];
const FINE_MOISTURE: &[&str] = &[
    "fine aggregate moisture",
    "sand moisture",
    "fine moisture",
    "fa moisture",
    "moisture fine",
    "moisture sand",
    "free moisture sand",
    "free moisture fine",
    "fine agg moisture",
];
const INTERMEDIATE_MOISTURE: &[&str] =
    &["intermediate aggregate moisture", "intermediate moisture", "moisture intermediate"];
const COARSE_MOISTURE: &[&str] = &[
    "coarse aggregate moisture",
    "stone moisture",
    "coarse moisture",
    "ca moisture",
    "moisture coarse",
    "moisture stone",
    "free moisture stone",
    "free moisture coarse",
    "coarse agg moisture",
    "rock moisture",
];

pub(super) const fn elsewhere(wordings: &'static [&'static str]) -> FieldSpec {
    field(Field::Elsewhere, Holds::Nothing, wordings)
}

const SLUMP: &[&str] = &["slump", "measured slump", "slump test", "slump result"];
const AIR: &[&str] =
    &["air", "air content", "entrained air", "total air", "air test", "percent air", "air percent", "measured air"];
const TEMPERATURE: &[&str] = &[
    "temperature",
    "concrete temperature",
    "temperature of concrete",
    "temperature concrete",
    "mix temperature",
    "fresh temperature",
];
const DENSITY: &[&str] = &["density", "unit weight", "fresh density", "unit mass", "wet density", "fresh unit weight"];

const WATER_CEMENT: &[&str] = &[
    "w c",
    "w cm",
    "w c ratio",
    "w cm ratio",
    "wc",
    "wcm",
    "wc ratio",
    "wcm ratio",
    "water cement ratio",
    "water cement",
    "water cementitious",
    "water cementitious ratio",
    "water cementitious materials ratio",
    "water to cement ratio",
    "water to cementitious ratio",
    "water binder ratio",
    "w b",
];
const STRENGTH: &[&str] = &[
    "compressive strength",
    "comp strength",
    "flexural strength",
    "modulus of rupture",
    "unit strength",
    "fc",
    "f c",
    "f r",
    "fr",
    "strength",
    "break strength",
    "measured strength",
    "strength result",
    "stress",
    "unit stress",
    "mor",
    "psi",
    "mpa",
    "break",
];
/// Wheel paths, then the index of the whole lane, then what is a reading only with a number behind it (`Pass 2`): a
/// column `Pass` alone says which pass a row is.
const PASSES: &[&str] = &[
    "lwp",
    "rwp",
    "left",
    "right",
    "left wheel path",
    "right wheel path",
    "left wheelpath",
    "right wheelpath",
    "inside wheel path",
    "outside wheel path",
    "inside wheelpath",
    "outside wheelpath",
    "inner wheel path",
    "outer wheel path",
    "iwp",
    "owp",
    "l iri",
    "r iri",
    "iri l",
    "iri r",
    "left iri",
    "right iri",
    "iri left",
    "iri right",
    "lwp iri",
    "rwp iri",
    "iri lwp",
    "iri rwp",
    "iri left wheel path",
    "iri right wheel path",
    "left wheel path iri",
    "right wheel path iri",
    "left pi",
    "right pi",
    "pi left",
    "pi right",
    "lwp pi",
    "rwp pi",
    "pi lwp",
    "pi rwp",
    "pi left wheel path",
    "pi right wheel path",
    "left trace",
    "right trace",
    "first pass",
    "second pass",
    "third pass",
    "iri",
    "pi",
    "profile index",
    "international roughness index",
    "roughness index",
    "roughness",
    "reading",
    "pass",
    "run",
    "trace",
    "iri pass",
    "iri run",
    "pi pass",
    "pi trace",
    "pi run",
];

/// Whether a wording of [`PASSES`], by its place, speaks of one wheel path; from `iri` on they speak of the whole lane.
pub(super) fn is_wheel_path(rank: usize) -> bool {
    PASSES.iter().position(|w| *w == "iri").is_some_and(|whole| rank < whole)
}

/// Whether a wording of [`PASSES`], by its place, is a reading only with a number behind it.
pub(super) fn needs_number(rank: usize) -> bool {
    PASSES.iter().position(|w| *w == "pass").is_some_and(|first| rank >= first)
}

/// Every kind of record.
pub(super) static KINDS: &[KindSpec] = &[
    KindSpec {
        kind: Kind::Placements,
        word: "placements",
        noun: "placement",
        id: Field::Number,
        needs: &[&[Field::Date], &[Field::Lane], &[Field::From, Field::Stations], &[Field::To, Field::Stations]],
        principal: Field::From,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &["placement no", "placement", "placement id", "pour no", "pour", "pour id", "no", "id"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "date placed",
                    "placement date",
                    "pour date",
                    "date poured",
                    "paving date",
                    "date paved",
                    "date of placement",
                    "date",
                    "day",
                ],
            ),
            lane(),
            from(),
            to(),
            stations(),
            field(
                Field::Width,
                Holds::Measure(Measure::Length),
                &[
                    "width placed",
                    "placed width",
                    "measured width",
                    "as built width",
                    "width as built",
                    "paved width",
                    "width paved",
                ],
            ),
            mix(),
            field(Field::Crew, Holds::Text, &["crew", "paver", "paving crew", "crew paver", "crew no", "foreman"]),
            field(
                Field::Start,
                Holds::Time,
                &[
                    "first concrete",
                    "start time",
                    "time start",
                    "time started",
                    "time begin",
                    "time began",
                    "begin time",
                    "time from",
                    "first",
                ],
            ),
            field(
                Field::Finish,
                Holds::Time,
                &[
                    "last concrete",
                    "finish",
                    "finish time",
                    "time finish",
                    "time finished",
                    "time ended",
                    "end time",
                    "time end",
                    "stop time",
                    "time stop",
                    "time to",
                    "last",
                ],
            ),
            field(Field::By, Holds::Text, &["measured by", "recorded by", "stationed by"]),
            checked_by(),
            remarks(),
        ],
    },
    KindSpec {
        kind: Kind::Loads,
        word: "loads",
        noun: "load",
        id: Field::Ticket,
        needs: &[&[Field::Ticket], &[Field::Date], &[Field::Volume]],
        principal: Field::Volume,
        fields: &[
            ticket(),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "delivery date",
                    "date delivered",
                    "load date",
                    "ticket date",
                    "batch date",
                    "date batched",
                    "date placed",
                    "pour date",
                    "date poured",
                    "date of delivery",
                    "date",
                    "day",
                ],
            ),
            field(
                Field::Batched,
                Holds::Time,
                &["batched", "batch time", "time batched", "time loaded", "load time", "batched at", "loaded", "time"],
            ),
            field(
                Field::Discharged,
                Holds::Time,
                &[
                    "discharged",
                    "discharge time",
                    "time discharged",
                    "time unloaded",
                    "unload time",
                    "unloaded",
                    "time placed",
                    "time emptied",
                    "discharge",
                    "discharged at",
                    "end discharge",
                    "discharge end",
                    "finish discharge",
                    "discharge finished",
                ],
            ),
            field(
                Field::Plant,
                Holds::Text,
                &["plant", "plant no", "batch plant", "plant id", "plant name", "batch plant no", "supplier"],
            ),
            field(
                Field::Truck,
                Holds::Text,
                &[
                    "truck",
                    "truck no",
                    "truck id",
                    "vehicle",
                    "vehicle no",
                    "truck unit",
                    "truck unit no",
                    "unit no",
                    "mixer",
                    "mixer no",
                    "mixer truck",
                    "mixer truck no",
                    "lorry",
                    "lorry no",
                    "wagon",
                    "wagon no",
                ],
            ),
            mix(),
            field(
                Field::Volume,
                Holds::Measure(Measure::Volume),
                &[
                    "volume",
                    "load volume",
                    "volume delivered",
                    "delivered volume",
                    "volume batched",
                    "batched volume",
                    "quantity delivered",
                    "delivered quantity",
                    "volume of load",
                    "concrete volume",
                    "concrete delivered",
                    "concrete quantity",
                    "volume of concrete",
                    "quantity batched",
                    "load size",
                    "load quantity",
                    "batch size",
                    "batch volume",
                    "quantity",
                    "yardage",
                    "delivered",
                    "amount",
                    "size",
                    "cubic yards",
                    "cu yds",
                    "cu yd",
                    "cy",
                    "yd3",
                    "yards",
                    "yds",
                    "cubic metres",
                    "cubic meters",
                    "cubic yds",
                    "cu m",
                    "cyd",
                    "yds3",
                    "m3",
                    "load",
                ],
            ),
            placement(),
            lane(),
            field(
                Field::Status,
                Holds::Status,
                &[
                    "status",
                    "load status",
                    "outcome",
                    "disposition",
                    "accepted rejected",
                    "accept reject",
                    "accepted",
                    "acceptance",
                ],
            ),
            field(
                Field::Wasted,
                Holds::Measure(Measure::Volume),
                &[
                    "wasted",
                    "waste",
                    "volume wasted",
                    "wasted volume",
                    "quantity wasted",
                    "wasted at site",
                    "wasted quantity",
                ],
            ),
            field(
                Field::Returned,
                Holds::Measure(Measure::Volume),
                &[
                    "returned",
                    "volume returned",
                    "returned volume",
                    "quantity returned",
                    "returned quantity",
                    "sent back",
                    "returned to plant",
                    "return",
                ],
            ),
            field(
                Field::Washed,
                Holds::Measure(Measure::Volume),
                &["washed out", "washout", "wash out", "washed", "washout volume", "volume washed out", "drum wash"],
            ),
            field(
                Field::UsedElsewhere,
                Holds::Measure(Measure::Volume),
                &[
                    "used elsewhere",
                    "volume used elsewhere",
                    "elsewhere",
                    "other work",
                    "used for other work",
                    "volume to other work",
                    "diverted",
                    "volume diverted",
                    "to other item",
                ],
            ),
            field(
                Field::Arrived,
                Holds::Time,
                &[
                    "arrived",
                    "arrival",
                    "arrival time",
                    "time arrived",
                    "time of arrival",
                    "arrive",
                    "on site",
                    "time on site",
                    "arrived at",
                    "arrive job",
                    "at job",
                ],
            ),
            field(
                Field::Withheld,
                Holds::Measure(Measure::Liquid),
                &[
                    "water withheld",
                    "withheld water",
                    "withheld",
                    "water allowed",
                    "allowable water",
                    "water held back",
                    "water that may be added",
                    "water to add",
                    "trim water",
                ],
            ),
            field(
                Field::Revolutions,
                Holds::Count,
                &[
                    "revolutions",
                    "drum revolutions",
                    "total revolutions",
                    "revs",
                    "drum revs",
                    "total revs",
                    "rev counter",
                    "revolution counter",
                    "revolutions at discharge",
                    "mixer revolutions",
                ],
            ),
            field(
                Field::Water,
                Holds::Measure(Measure::Liquid),
                &[
                    "water added",
                    "wtr",
                    "added water",
                    "site water",
                    "water added at site",
                    "gal added",
                    "gallons added",
                    "water added on site",
                    "jobsite water",
                    "water at site",
                    "water",
                ],
            ),
            weighed(Field::Cement, CEMENT),
            weighed(Field::FlyAsh, FLY_ASH),
            weighed(Field::Slag, SLAG),
            weighed(Field::Fine, FINE),
            weighed(Field::Intermediate, INTERMEDIATE),
            weighed(Field::Coarse, COARSE),
            field(Field::BatchWater, Holds::Measure(Measure::BatchWater), BATCH_WATER),
            weighed(Field::Admixture, ADMIXTURE),
            weighed(Field::TotalMass, TOTAL_MASS),
            moisture(Field::FineMoisture, FINE_MOISTURE),
            moisture(Field::IntermediateMoisture, INTERMEDIATE_MOISTURE),
            moisture(Field::CoarseMoisture, COARSE_MOISTURE),
            elsewhere(WATER_CEMENT),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Cores,
        word: "cores",
        noun: "core",
        id: Field::Number,
        needs: &[&[Field::Number], &[Field::Date], &[Field::Lane], &[Field::Station], &[Field::Length, Field::Average]],
        principal: Field::Length,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &[
                    "core no",
                    "core",
                    "core id",
                    "core mark",
                    "core ref",
                    "sample no",
                    "sample id",
                    "sample",
                    "no",
                    "id",
                ],
            ),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "date cored",
                    "core date",
                    "date drilled",
                    "coring date",
                    "drilled",
                    "cored",
                    "date of coring",
                    "date of core",
                    "date taken",
                    "date obtained",
                    "date",
                ],
            ),
            lane(),
            station(),
            field(
                Field::Offset,
                Holds::Text,
                &[
                    "offset",
                    "offset from cl",
                    "cl offset",
                    "distance from edge",
                    "offset from edge",
                    "offset lt rt",
                    "core offset",
                    "transverse offset",
                    "distance from cl",
                    "distance from centerline",
                    "distance from centreline",
                    "o s",
                ],
            ),
            field(
                Field::Length,
                Holds::Readings,
                &[
                    "length",
                    "core length",
                    "thickness",
                    "core thickness",
                    "length reading",
                    "length readings",
                    "core length reading",
                    "core length readings",
                    "core readings",
                    "thickness reading",
                    "thickness readings",
                    "measured length",
                    "measured lengths",
                    "measured thickness",
                    "length measured",
                    "length measurement",
                    "length measurements",
                    "lengths",
                    "thickness measurements",
                    "reading",
                    "readings",
                    "measurement",
                    "measurements",
                    "caliper reading",
                    "caliper readings",
                    "pavement thickness",
                    "slab thickness",
                    "core depth",
                    "depth of core",
                    "core height",
                    "height of core",
                    "depth",
                    "height",
                    "l",
                    "t",
                    "r",
                ],
            ),
            field(
                Field::Average,
                Holds::Measure(Measure::Depth),
                &[
                    "average length",
                    "average thickness",
                    "average core length",
                    "average core thickness",
                    "length average",
                    "thickness average",
                    "average",
                ],
            ),
            field(
                Field::Purpose,
                Holds::Purpose,
                &[
                    "exploratory",
                    "purpose",
                    "core purpose",
                    "purpose of core",
                    "core use",
                    "use of core",
                    "core type",
                    "type of core",
                    "reason for core",
                    "check core",
                    "type",
                ],
            ),
            field(Field::Voided, Holds::Voided, &["void", "voided", "core void", "void core"]),
            party(),
            sampling(),
            settles(),
            elsewhere(STRENGTH),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Probes,
        word: "probes",
        noun: "depth probe",
        id: Field::Number,
        needs: &[&[Field::Date], &[Field::Lane], &[Field::Station], &[Field::Depth]],
        principal: Field::Depth,
        fields: &[
            field(Field::Number, Holds::Text, &["probe no", "probe", "probe id", "check no", "reading no", "no", "id"]),
            field(
                Field::Date,
                Holds::Date,
                &["date probed", "probe date", "date measured", "date checked", "date placed", "date"],
            ),
            lane(),
            station(),
            field(
                Field::Depth,
                Holds::Measure(Measure::Depth),
                &[
                    "probe depth",
                    "depth probe",
                    "probed depth",
                    "measured depth",
                    "depth measured",
                    "edge depth",
                    "slab depth",
                    "concrete depth",
                    "depth check",
                    "depth",
                    "thickness",
                    "probe reading",
                    "reading",
                ],
            ),
            elsewhere(&["offset", "offset from cl", "cl offset", "offset from edge"]),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Specimens,
        word: "specimens",
        noun: "specimen",
        id: Field::Number,
        needs: &[&[Field::Number, Field::Set], &[Field::Cast], &[Field::Strength, Field::Load, Field::Due]],
        principal: Field::Strength,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &[
                    "specimen no",
                    "specimen",
                    "specimen id",
                    "specimen mark",
                    "specimen ref",
                    "cylinder ref",
                    "beam ref",
                    "cylinder no",
                    "cylinder",
                    "cylinder id",
                    "cylinder mark",
                    "beam no",
                    "beam",
                    "beam id",
                    "beam mark",
                    "lab no",
                    "core no",
                    "core",
                    "core id",
                    "core mark",
                    "mark",
                    "no",
                    "id",
                ],
            ),
            field(
                Field::Set,
                Holds::Text,
                &[
                    "set",
                    "set no",
                    "set id",
                    "sample set",
                    "cylinder set",
                    "cylinder set no",
                    "beam set",
                    "beam set no",
                    "sample no",
                    "sample id",
                    "sample",
                    "test set",
                    "test no",
                ],
            ),
            field(Field::Shape, Holds::Shape, &["specimen type", "type of specimen", "shape", "type"]),
            field(
                Field::Cast,
                Holds::Date,
                &[
                    "date cast",
                    "cast date",
                    "casting date",
                    "date of casting",
                    "cast",
                    "date made",
                    "made",
                    "date molded",
                    "date moulded",
                    "mold date",
                    "date poured",
                    "molded",
                    "moulded",
                    "date fabricated",
                    "date sampled",
                    "sample date",
                    "date placed",
                    "pour date",
                    "poured",
                    "date of pour",
                    "date",
                ],
            ),
            field(
                Field::Tested,
                Holds::Date,
                &[
                    "date tested",
                    "test date",
                    "date of test",
                    "tested",
                    "date broken",
                    "break date",
                    "date of break",
                    "broken",
                    "broke",
                    "date broke",
                    "broken on",
                    "tested on",
                ],
            ),
            field(Field::Due, Holds::Date, &["due date", "date due", "due", "test due", "break due", "due on"]),
            field(
                Field::Age,
                Holds::Days,
                &["age", "test age", "age at test", "age at break", "break age", "days old", "days"],
            ),
            field(
                Field::Diameter,
                Holds::Measure(Measure::Depth),
                &[
                    "diameter",
                    "average diameter",
                    "cylinder diameter",
                    "specimen diameter",
                    "core diameter",
                    "beam width",
                    "width",
                    "average width",
                ],
            ),
            field(
                Field::Load,
                Holds::Measure(Measure::Force),
                &[
                    "load at failure",
                    "failure load",
                    "maximum load",
                    "ultimate load",
                    "breaking load",
                    "peak load",
                    "crushing load",
                    "total load",
                    "load",
                    "force",
                ],
            ),
            field(Field::Strength, Holds::Measure(Measure::Strength), STRENGTH),
            placement(),
            lane(),
            station(),
            mix(),
            elsewhere(SLUMP),
            elsewhere(AIR),
            elsewhere(TEMPERATURE),
            elsewhere(DENSITY),
            elsewhere(WATER_CEMENT),
            elsewhere(&["ticket", "ticket no", "load ticket", "truck", "truck no"]),
            party(),
            sampling(),
            settles(),
            remarks(),
        ],
    },
    KindSpec {
        kind: Kind::Fresh,
        word: "fresh",
        noun: "fresh-concrete test",
        id: Field::Number,
        needs: &[&[Field::Date], &[Field::Slump, Field::Air, Field::Temperature, Field::Density, Field::WaterCement]],
        principal: Field::Slump,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &["test no", "test", "test id", "sample no", "sample id", "sample", "set no", "set", "no", "id"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &["date tested", "test date", "date sampled", "sample date", "date placed", "pour date", "date"],
            ),
            ticket(),
            placement(),
            lane(),
            station(),
            field(Field::Slump, Holds::Measure(Measure::Depth), SLUMP),
            field(Field::Air, Holds::Measure(Measure::Percent), AIR),
            field(Field::Temperature, Holds::Measure(Measure::Temperature), TEMPERATURE),
            field(Field::Density, Holds::Measure(Measure::Density), DENSITY),
            field(Field::WaterCement, Holds::Measure(Measure::Ratio), WATER_CEMENT),
            party(),
            sampling(),
            settles(),
            elsewhere(&[
                "air temperature",
                "ambient temperature",
                "ambient",
                "truck",
                "truck no",
                "time",
                "sample time",
                "time sampled",
                "time tested",
                "test time",
                "mix",
                "mix design",
                "mix id",
            ]),
            remarks(),
        ],
    },
    KindSpec {
        kind: Kind::Profiles,
        word: "profiles",
        noun: "smoothness segment",
        id: Field::Number,
        needs: &[
            &[Field::Date],
            &[Field::Lane],
            &[Field::From, Field::Stations],
            &[Field::To, Field::Stations],
            &[Field::Reading, Field::Average],
        ],
        principal: Field::Reading,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &["segment no", "segment", "segment id", "seg no", "seg", "section no", "interval", "no", "id"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "date profiled",
                    "profile date",
                    "date of profile",
                    "date tested",
                    "test date",
                    "date of test",
                    "date run",
                    "run date",
                    "date measured",
                    "date",
                ],
            ),
            lane(),
            from(),
            to(),
            stations(),
            field(Field::Reading, Holds::Passes, PASSES),
            field(
                Field::Average,
                Holds::Measure(Measure::Smoothness),
                &[
                    "mri",
                    "average roughness index",
                    "average iri",
                    "iri average",
                    "average international roughness index",
                    "average pi",
                    "pi average",
                    "average profile index",
                    "profile index average",
                    "average index",
                    "average",
                ],
            ),
            field(
                Field::Index,
                Holds::Index,
                &["index", "index type", "type of index", "ride index", "smoothness index", "smoothness measure"],
            ),
            elsewhere(&["segment length", "length"]),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Straightedge,
        word: "straightedge",
        noun: "straightedge deviation",
        id: Field::Number,
        needs: &[&[Field::Date], &[Field::Lane], &[Field::Station], &[Field::Deviation]],
        principal: Field::Deviation,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &[
                    "deviation no",
                    "straightedge no",
                    "check no",
                    "reading no",
                    "spot no",
                    "spot",
                    "location no",
                    "no",
                    "id",
                ],
            ),
            field(
                Field::Date,
                Holds::Date,
                &["date checked", "date tested", "test date", "date measured", "check date", "date"],
            ),
            lane(),
            station(),
            field(
                Field::Deviation,
                Holds::Measure(Measure::Deviation),
                &[
                    "straightedge deviation",
                    "straight edge deviation",
                    "deviation from straightedge",
                    "deviation from straight edge",
                    "deviation under straightedge",
                    "surface deviation",
                    "measured deviation",
                    "maximum deviation",
                    "deviation",
                    "deviations",
                    "straightedge reading",
                    "straightedge",
                    "straight edge",
                    "surface variation",
                ],
            ),
            field(
                Field::Direction,
                Holds::Direction,
                &[
                    "transverse longitudinal",
                    "longitudinal transverse",
                    "long trans",
                    "trans long",
                    "transverse",
                    "longitudinal",
                    "direction",
                    "orientation",
                    "direction of straightedge",
                ],
            ),
            elsewhere(&["offset", "offset from cl", "cl offset", "offset from edge"]),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Measured,
        word: "measured",
        noun: "measured quantity",
        id: Field::Item,
        needs: &[
            &[Field::Item],
            &[Field::Date],
            &[Field::Quantity, Field::Length, Field::Width, Field::Depth, Field::Count],
        ],
        principal: Field::Quantity,
        fields: &[
            field(
                Field::Item,
                Holds::Item,
                &["item no", "item", "pay item", "pay item no", "bid item", "bid item no", "item id", "contract item"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &["date measured", "measured on", "measurement date", "date placed", "date of measurement", "date"],
            ),
            field(
                Field::Location,
                Holds::Text,
                &[
                    "location",
                    "where",
                    "place",
                    "address",
                    "site",
                    "station",
                    "station location",
                    "location station",
                    "stations",
                ],
            ),
            field(Field::Length, Holds::Measure(Measure::Length), &["length", "measured length", "l"]),
            field(Field::Width, Holds::Measure(Measure::Length), &["width", "measured width", "average width", "w"]),
            field(
                Field::Depth,
                Holds::Measure(Measure::Depth),
                &["depth", "thickness", "measured depth", "average depth", "height", "d"],
            ),
            field(
                Field::Count,
                Holds::Count,
                &["count", "no of pieces", "pieces", "pcs", "each", "ea", "how many", "no of units", "no off", "no of"],
            ),
            field(
                Field::Quantity,
                Holds::Measure(Measure::OfItem),
                &[
                    "measured quantity",
                    "quantity measured",
                    "net quantity",
                    "total quantity",
                    "quantity",
                    "quantities",
                    "area",
                    "measured area",
                    "amount",
                    "total",
                ],
            ),
            unit(),
            field(Field::By, Holds::Text, &["measured by", "by", "inspector", "initials", "recorded by", "taken by"]),
            checked_by(),
            elsewhere(&["description", "item description"]),
            remarks(),
        ],
    },
    KindSpec {
        kind: Kind::Levels,
        word: "levels",
        noun: "level",
        id: Field::Number,
        needs: &[&[Field::Date], &[Field::Lane], &[Field::Station], &[Field::Measured]],
        principal: Field::Measured,
        fields: &[
            field(
                Field::Number,
                Holds::Text,
                &["level no", "point no", "point", "shot no", "shot", "check no", "no", "id"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "date levelled",
                    "date leveled",
                    "date surveyed",
                    "survey date",
                    "date measured",
                    "date checked",
                    "check date",
                    "date",
                ],
            ),
            lane(),
            station(),
            field(
                Field::Offset,
                Holds::Text,
                &[
                    "offset",
                    "offset from cl",
                    "cl offset",
                    "offset from edge",
                    "offset from centreline",
                    "offset from centerline",
                    "position",
                ],
            ),
            field(Field::Surface, Holds::Text, &["surface", "layer", "course", "level of"]),
            field(
                Field::Design,
                Holds::Measure(Measure::Elevation),
                &[
                    "design elevation",
                    "plan elevation",
                    "theoretical elevation",
                    "design grade",
                    "plan grade",
                    "design level",
                    "elevation design",
                    "elevation plan",
                    "proposed elevation",
                    "grade elevation",
                    "design rl",
                    "design",
                ],
            ),
            field(
                Field::Measured,
                Holds::Measure(Measure::Elevation),
                &[
                    "measured elevation",
                    "as built elevation",
                    "actual elevation",
                    "surveyed elevation",
                    "elevation measured",
                    "elevation as built",
                    "measured grade",
                    "as built grade",
                    "actual grade",
                    "measured level",
                    "as built level",
                    "elevation",
                    "as built rl",
                    "rl",
                ],
            ),
            elsewhere(&["difference", "diff", "cut fill", "cut", "fill", "high low", "high", "low"]),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Batches,
        word: "batches",
        noun: "batch",
        id: Field::Ticket,
        needs: &[
            &[Field::Ticket],
            &[Field::Date],
            &[Field::Cement, Field::FlyAsh, Field::Slag],
            &[Field::Fine, Field::Intermediate, Field::Coarse, Field::TotalMass],
        ],
        principal: Field::TotalMass,
        fields: &[
            ticket(),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "batch date",
                    "date batched",
                    "date of batch",
                    "ticket date",
                    "load date",
                    "delivery date",
                    "date",
                    "day",
                ],
            ),
            field(
                Field::Plant,
                Holds::Text,
                &["plant", "plant no", "batch plant", "plant id", "plant name", "supplier"],
            ),
            mix(),
            weighed(Field::Cement, CEMENT),
            weighed(Field::FlyAsh, FLY_ASH),
            weighed(Field::Slag, SLAG),
            weighed(Field::Fine, FINE),
            weighed(Field::Intermediate, INTERMEDIATE),
            weighed(Field::Coarse, COARSE),
            field(Field::BatchWater, Holds::Measure(Measure::BatchWater), BATCH_WATER),
            field(Field::Water, Holds::Measure(Measure::BatchWater), &["water", "wtr", "water added at plant"]),
            weighed(Field::Admixture, ADMIXTURE),
            weighed(Field::TotalMass, TOTAL_OF_BATCH),
            moisture(Field::FineMoisture, FINE_MOISTURE),
            moisture(Field::IntermediateMoisture, INTERMEDIATE_MOISTURE),
            moisture(Field::CoarseMoisture, COARSE_MOISTURE),
            elsewhere(&["time", "batch time", "time batched", "truck", "truck no"]),
            elsewhere(WATER_CEMENT),
            remarks(),
        ],
    },
    KindSpec {
        kind: Kind::Materials,
        word: "materials",
        noun: "delivery",
        id: Field::Ticket,
        needs: &[&[Field::Material], &[Field::Date], &[Field::Quantity]],
        principal: Field::Quantity,
        fields: &[
            field(
                Field::Material,
                Holds::Text,
                &["material", "product", "type of material", "material type", "material delivered", "material used"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "date delivered",
                    "delivery date",
                    "date placed",
                    "date used",
                    "date received",
                    "haul date",
                    "date",
                    "day",
                ],
            ),
            ticket(),
            field(
                Field::Quantity,
                Holds::Measure(Measure::OfItem),
                &[
                    "net weight",
                    "net quantity",
                    "net",
                    "quantity delivered",
                    "quantity received",
                    "quantity used",
                    "amount used",
                    "delivered",
                    "received",
                    "quantity",
                    "amount",
                    "gallons used",
                    "gallons",
                    "tons",
                    "tonnes",
                    "pieces",
                    "count",
                    "weight",
                    "used",
                ],
            ),
            field(
                Field::Moisture,
                Holds::Measure(Measure::Percent),
                &["moisture", "moisture content", "percent moisture", "moisture percent", "water content"],
            ),
            field(
                Field::Wasted,
                Holds::Measure(Measure::OfItem),
                &[
                    "wasted",
                    "waste",
                    "returned",
                    "taken back",
                    "wasted quantity",
                    "quantity wasted",
                    "returned quantity",
                ],
            ),
            lane(),
            from(),
            to(),
            stations(),
            elsewhere(&["gross", "gross weight", "tare", "tare weight", "truck", "truck no", "time"]),
            remarks(),
            unit(),
        ],
    },
    KindSpec {
        kind: Kind::Invoices,
        word: "invoices",
        noun: "invoice line",
        id: Field::Invoice,
        needs: &[&[Field::Invoice], &[Field::Date], &[Field::Amount]],
        principal: Field::Quantity,
        fields: &[
            field(
                Field::Invoice,
                Holds::Text,
                &["invoice no", "invoice", "inv no", "inv", "invoice id", "invoice ref", "bill no", "bill"],
            ),
            field(
                Field::Date,
                Holds::Date,
                &[
                    "date delivered",
                    "delivery date",
                    "date of delivery",
                    "ticket date",
                    "ship date",
                    "invoice date",
                    "date",
                    "day",
                ],
            ),
            ticket(),
            field(Field::Charge, Holds::Text, &["charge", "charge type", "type of charge", "line type", "type"]),
            field(
                Field::Described,
                Holds::Text,
                &["description", "item description", "billed for", "for", "product", "item", "details", "service"],
            ),
            mix(),
            field(
                Field::Quantity,
                Holds::Measure(Measure::OfItem),
                &[
                    "quantity billed",
                    "billed quantity",
                    "quantity",
                    "volume billed",
                    "volume",
                    "cubic yards",
                    "cu yd",
                    "cy",
                    "yards",
                    "cubic metres",
                    "m3",
                    "units",
                ],
            ),
            field(
                Field::Minutes,
                Holds::Count,
                &["minutes", "waiting minutes", "minutes billed", "minutes waited", "wait minutes"],
            ),
            field(
                Field::Price,
                Holds::Money,
                &["unit price", "price each", "price", "unit rate", "rate", "unit cost", "price per unit"],
            ),
            field(
                Field::Amount,
                Holds::Money,
                &[
                    "line amount",
                    "line total",
                    "amount",
                    "ext price",
                    "ext amount",
                    "extended amount",
                    "ext",
                    "extension",
                    "extended",
                    "extended price",
                    "total price",
                    "total",
                    "net amount",
                ],
            ),
            elsewhere(&["tax", "due date", "terms", "customer", "job", "po", "po no", "plant", "truck", "truck no"]),
            remarks(),
            field(
                Field::Unit,
                Holds::Text,
                &["unit", "units of measure", "uom", "unit of measure", "unit of measurement"],
            ),
        ],
    },
    kind_steps::WORK,
    kind_steps::DENSITY,
    kind_steps::COMPACTION,
    kind_steps::BARS,
    kind_steps::WEATHER,
    kind_steps::LOGGER,
    kind_steps::CALIBRATION,
    kind_steps::DOCUMENTS,
];

/// The kind that a word of `contract.toml` names.
pub(super) fn kind_named(word: &str) -> Option<&'static KindSpec> {
    KINDS.iter().find(|k| k.word == word)
}

/// The words of all kinds of record, as `contract.toml` writes them.
#[must_use]
pub fn kind_words() -> Vec<&'static str> {
    KINDS.iter().map(|k| k.word).collect()
}

/// The words of a kind's fields, as `contract.toml` writes them; `None` where there is no such kind.
#[must_use]
pub fn field_words(kind: &str) -> Option<Vec<&'static str>> {
    let spec = kind_named(kind)?;
    Some(spec.fields.iter().filter(|f| f.field != Field::Elsewhere).map(|f| f.field.word()).collect())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::intake::wording::fold;

    #[test]
    fn within_a_kind_a_wording_means_one_field() {
        let mut twice: Vec<String> = Vec::new();
        for kind in KINDS {
            let mut seen = std::collections::BTreeMap::new();
            for spec in kind.fields {
                for wording in spec.wordings {
                    let before = seen.insert(fold(wording), spec.field);
                    if let Some(before) = before {
                        twice.push(format!("{}: '{wording}' means {before:?} and {:?}", kind.word, spec.field));
                    }
                }
            }
        }
        assert!(twice.is_empty(), "{twice:#?}");
    }

    #[test]
    fn each_kind_has_the_fields_it_needs() {
        for kind in KINDS {
            for field in kind.needs.iter().flat_map(|g| g.iter()) {
                assert!(kind.spec(*field).is_some(), "{} needs {field:?}", kind.word);
            }
            assert!(kind.spec(kind.id).is_some());
        }
    }
}
