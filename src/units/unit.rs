//! The units the trade measures in, customary and SI, with their dimension and size.
//!
//! A unit's size is its multiple of the SI base units; it is used only to *check* that a formula's unit is the one its
//! figure is labelled with, never to convert a value: values change unit by a named [`Conversion`](super::Conversion).

use std::collections::HashMap;
use std::fmt;
use std::sync::OnceLock;

use serde::{Deserialize, Serialize};

/// Exponents of length, mass, time, temperature and money.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Dimension(pub [i8; 5]);

impl Dimension {
    /// A pure number.
    pub const NONE: Self = Self([0; 5]);

    /// Exponents added: the dimension of a product.
    #[must_use]
    pub fn times(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| self.0[i] + other.0[i]))
    }

    /// Exponents subtracted: the dimension of a quotient.
    #[must_use]
    pub fn over(self, other: Self) -> Self {
        Self(std::array::from_fn(|i| self.0[i] - other.0[i]))
    }

    /// Exponents multiplied: the dimension of a whole power; `None` where the power is absurdly high.
    #[must_use]
    pub fn power(self, exponent: i64) -> Option<Self> {
        let mut raised = Self::NONE;
        for (to, from) in raised.0.iter_mut().zip(self.0) {
            *to = i8::try_from(i64::from(from).checked_mul(exponent)?).ok()?;
        }
        Some(raised)
    }

    /// Exponents halved: the dimension of a square root; `None` where one of them is odd.
    #[must_use]
    pub fn root(self) -> Option<Self> {
        self.0.iter().all(|e| e % 2 == 0).then(|| Self(self.0.map(|e| e / 2)))
    }
}

/// A unit of measurement. `MoneyPer` is a unit price.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(into = "String", try_from = "String")]
pub enum Unit {
    /// A count or ratio.
    One,
    /// Hundredths.
    Percent,
    /// Foot (international, 0.3048 m exactly).
    Foot,
    /// Inch.
    Inch,
    /// Mile.
    Mile,
    /// Metre.
    Metre,
    /// Millimetre.
    Millimetre,
    /// Kilometre.
    Kilometre,
    /// Square inch.
    SquareInch,
    /// Square foot.
    SquareFoot,
    /// Square yard.
    SquareYard,
    /// Square millimetre.
    SquareMillimetre,
    /// Square metre.
    SquareMetre,
    /// Cubic foot.
    CubicFoot,
    /// Cubic yard.
    CubicYard,
    /// Cubic metre.
    CubicMetre,
    /// US gallon.
    Gallon,
    /// Litre.
    Litre,
    /// Pound-force.
    PoundForce,
    /// Kilonewton.
    Kilonewton,
    /// Pound (mass).
    Pound,
    /// Short ton, 2,000 lb.
    Ton,
    /// Kilogram.
    Kilogram,
    /// Tonne, 1,000 kg.
    Tonne,
    /// Pound-force per square inch.
    Psi,
    /// Megapascal.
    Megapascal,
    /// Pound per cubic foot.
    PoundPerCubicFoot,
    /// Kilogram per cubic metre.
    KilogramPerCubicMetre,
    /// Pound per cubic yard: what a mix holds of one ingredient.
    PoundPerCubicYard,
    /// Square foot per gallon: how far a liquid goes.
    SquareFootPerGallon,
    /// Square metre per litre.
    SquareMetrePerLitre,
    /// Inch per mile: smoothness of a ride.
    InchPerMile,
    /// Metre per kilometre.
    MetrePerKilometre,
    /// Millimetre per kilometre.
    MillimetrePerKilometre,
    /// Degree Fahrenheit.
    Fahrenheit,
    /// Degree Celsius.
    Celsius,
    /// Day.
    Day,
    /// Month: as long as the calendar has it; never converted.
    Month,
    /// Minute.
    Minute,
    /// Hour.
    Hour,
    /// Mile per hour.
    MilePerHour,
    /// Kilometre per hour.
    KilometrePerHour,
    /// Pound per square foot and hour: a rate of evaporation.
    PoundPerSquareFootHour,
    /// Kilogram per square metre and hour.
    KilogramPerSquareMetreHour,
    /// Degree Fahrenheit times hour: maturity.
    FahrenheitHour,
    /// Degree Celsius times hour.
    CelsiusHour,
    /// Each: counted pieces.
    Each,
    /// Lump sum.
    LumpSum,
    /// The contract's currency.
    Money,
    /// A price for one of the unit.
    MoneyPer(&'static Unit),
}

use Unit::{
    Celsius, CelsiusHour, CubicFoot, CubicMetre, CubicYard, Day, Each, Fahrenheit, FahrenheitHour, Foot, Gallon, Hour,
    Inch, InchPerMile, Kilogram, KilogramPerCubicMetre, KilogramPerSquareMetreHour, Kilometre, KilometrePerHour,
    Kilonewton, Litre, LumpSum, Megapascal, Metre, MetrePerKilometre, Mile, MilePerHour, Millimetre,
    MillimetrePerKilometre, Minute, Money, MoneyPer, Month, One, Percent, Pound, PoundForce, PoundPerCubicFoot,
    PoundPerCubicYard, PoundPerSquareFootHour, Psi, SquareFoot, SquareFootPerGallon, SquareInch, SquareMetre,
    SquareMetrePerLitre, SquareMillimetre, SquareYard, Ton, Tonne,
};

/// One row of the table of units.
struct Entry {
    unit: Unit,
    symbol: &'static str,
    words: &'static [&'static str],
    dimension: [i8; 5],
    size: f64,
    decimals: u8,
}

const fn entry(
    unit: Unit,
    symbol: &'static str,
    words: &'static [&'static str],
    dimension: [i8; 5],
    size: f64,
    decimals: u8,
) -> Entry {
    Entry { unit, symbol, words, dimension, size, decimals }
}

const LB: f64 = 0.453_592_37;
const G: f64 = 9.806_65;

/// Symbol, other ways of writing it, exponents (length, mass, time, temperature, money), size in SI, decimals shown.
const TABLE: &[Entry] = &[
    entry(One, "", &["number", "count", "no", "ratio"], [0, 0, 0, 0, 0], 1.0, 0),
    entry(Percent, "%", &["percent", "pct", "per cent"], [0, 0, 0, 0, 0], 0.01, 1),
    entry(
        Foot,
        "ft",
        &["foot", "feet", "lf", "lin ft", "linear feet", "linear foot", "lnft", "'"],
        [1, 0, 0, 0, 0],
        0.3048,
        1,
    ),
    entry(Inch, "in", &["inch", "inches", "in.", "ins", "\""], [1, 0, 0, 0, 0], 0.0254, 2),
    entry(Mile, "mi", &["mile", "miles"], [1, 0, 0, 0, 0], 1609.344, 3),
    entry(Metre, "m", &["metre", "metres", "meter", "meters", "lm"], [1, 0, 0, 0, 0], 1.0, 2),
    entry(Millimetre, "mm", &["millimetre", "millimetres", "millimeter", "millimeters"], [1, 0, 0, 0, 0], 0.001, 0),
    entry(Kilometre, "km", &["kilometre", "kilometres", "kilometer", "kilometers"], [1, 0, 0, 0, 0], 1000.0, 3),
    entry(SquareInch, "in2", &["sq in", "square inch", "square inches", "in^2"], [2, 0, 0, 0, 0], 0.000_645_16, 2),
    entry(
        SquareFoot,
        "ft2",
        &["sf", "sq ft", "sqft", "square foot", "square feet", "ft^2"],
        [2, 0, 0, 0, 0],
        0.092_903_04,
        1,
    ),
    entry(
        SquareYard,
        "yd2",
        &["sy", "sq yd", "sq yds", "sqyd", "sqyds", "square yard", "square yards", "yd^2"],
        [2, 0, 0, 0, 0],
        0.836_127_36,
        2,
    ),
    entry(SquareMillimetre, "mm2", &["sq mm", "mm^2"], [2, 0, 0, 0, 0], 1e-6, 0),
    entry(
        SquareMetre,
        "m2",
        &["sq m", "sqm", "square metre", "square metres", "square meter", "square meters", "m^2"],
        [2, 0, 0, 0, 0],
        1.0,
        2,
    ),
    entry(
        CubicFoot,
        "ft3",
        &["cf", "cu ft", "cubic foot", "cubic feet", "ft^3"],
        [3, 0, 0, 0, 0],
        0.028_316_846_592,
        2,
    ),
    entry(
        CubicYard,
        "yd3",
        &[
            "cy",
            "cu yd",
            "cuyd",
            "cyd",
            "cyds",
            "cu yds",
            "cubic yds",
            "cu yards",
            "yd",
            "yds",
            "yards",
            "cubic yard",
            "cubic yards",
            "cubic yds",
            "cu yds",
            "cu yards",
            "yd^3",
        ],
        [3, 0, 0, 0, 0],
        0.764_554_857_984,
        2,
    ),
    entry(
        CubicMetre,
        "m3",
        &["cu m", "cum", "cu metres", "cu meters", "cubic metre", "cubic metres", "cubic meter", "cubic meters", "m^3"],
        [3, 0, 0, 0, 0],
        1.0,
        2,
    ),
    entry(Gallon, "gal", &["gallon", "gallons", "gals"], [3, 0, 0, 0, 0], 0.003_785_411_784, 1),
    entry(Litre, "L", &["litre", "litres", "liter", "liters"], [3, 0, 0, 0, 0], 0.001, 1),
    entry(PoundForce, "lbf", &["pounds force", "pound force"], [1, 1, -2, 0, 0], LB * G, 0),
    entry(Kilonewton, "kN", &["kilonewton", "kilonewtons"], [1, 1, -2, 0, 0], 1000.0, 1),
    entry(Pound, "lb", &["lbs", "pound", "pounds"], [0, 1, 0, 0, 0], LB, 1),
    entry(Ton, "ton", &["tons", "tn", "short ton", "short tons"], [0, 1, 0, 0, 0], 2000.0 * LB, 2),
    entry(Kilogram, "kg", &["kilogram", "kilograms", "kgs"], [0, 1, 0, 0, 0], 1.0, 1),
    entry(Tonne, "t", &["tonne", "tonnes", "metric ton", "metric tons"], [0, 1, 0, 0, 0], 1000.0, 2),
    entry(Psi, "psi", &["lb/in2", "lbf/in2", "pounds per square inch"], [-1, 1, -2, 0, 0], LB * G / 0.000_645_16, 0),
    entry(Megapascal, "MPa", &["n/mm2", "megapascal", "megapascals"], [-1, 1, -2, 0, 0], 1e6, 1),
    entry(
        PoundPerCubicFoot,
        "lb/ft3",
        &["pcf", "lb/cf", "lbs/ft3", "lb/cu ft"],
        [-3, 1, 0, 0, 0],
        LB / 0.028_316_846_592,
        1,
    ),
    entry(KilogramPerCubicMetre, "kg/m3", &["kg/cu m", "kg/cum"], [-3, 1, 0, 0, 0], 1.0, 0),
    entry(
        PoundPerCubicYard,
        "lb/yd3",
        &["pcy", "lb/cy", "lbs/cy", "lbs/yd3", "lb/cu yd"],
        [-3, 1, 0, 0, 0],
        LB / 0.764_554_857_984,
        0,
    ),
    entry(
        SquareFootPerGallon,
        "ft2/gal",
        &["sf/gal", "sq ft/gal", "sqft/gal"],
        [-1, 0, 0, 0, 0],
        0.092_903_04 / 0.003_785_411_784,
        0,
    ),
    entry(SquareMetrePerLitre, "m2/L", &["sq m/l", "m2 per l"], [-1, 0, 0, 0, 0], 1000.0, 2),
    entry(
        InchPerMile,
        "in/mi",
        &["in/mile", "in per mi", "in per mile", "inches per mile", "inch per mile", "inches/mile", "inch/mile", "ipm"],
        [0, 0, 0, 0, 0],
        0.0254 / 1609.344,
        1,
    ),
    entry(
        MetrePerKilometre,
        "m/km",
        &["mm/m", "m per km", "mm per m", "metres per kilometre", "meters per kilometer"],
        [0, 0, 0, 0, 0],
        0.001,
        2,
    ),
    entry(
        MillimetrePerKilometre,
        "mm/km",
        &["mm per km", "millimetres per kilometre", "millimeters per kilometer"],
        [0, 0, 0, 0, 0],
        1e-6,
        0,
    ),
    entry(Fahrenheit, "F", &["°f", "deg f", "degf", "degrees f", "fahrenheit"], [0, 0, 0, 1, 0], 5.0 / 9.0, 0),
    entry(Celsius, "C", &["°c", "deg c", "degc", "degrees c", "celsius"], [0, 0, 0, 1, 0], 1.0, 0),
    entry(Day, "day", &["days", "d"], [0, 0, 1, 0, 0], 86_400.0, 0),
    entry(Month, "month", &["months", "mo"], [0, 0, 1, 0, 0], 365.2425 / 12.0 * 86_400.0, 2),
    entry(Minute, "min", &["minute", "minutes", "mins"], [0, 0, 1, 0, 0], 60.0, 0),
    entry(Hour, "h", &["hour", "hours", "hr", "hrs"], [0, 0, 1, 0, 0], 3600.0, 1),
    entry(
        MilePerHour,
        "mph",
        &["mi/h", "mile/h", "miles/h", "miles per hour", "mile per hour"],
        [1, 0, -1, 0, 0],
        1609.344 / 3600.0,
        1,
    ),
    entry(
        KilometrePerHour,
        "km/h",
        &["kph", "kmh", "km/hr", "kilometres per hour", "kilometers per hour"],
        [1, 0, -1, 0, 0],
        1000.0 / 3600.0,
        1,
    ),
    entry(
        PoundPerSquareFootHour,
        "lb/ft2/h",
        &[
            "lb/ft2/hr",
            "lb/sf/hr",
            "lb/sf/h",
            "lbs/sf/hr",
            "psf/hr",
            "psf/h",
            "lb/sq ft/hr",
            "lb/sq ft/h",
            "lbs/ft2/hr",
        ],
        [-2, 1, -1, 0, 0],
        LB / 0.092_903_04 / 3600.0,
        3,
    ),
    entry(
        KilogramPerSquareMetreHour,
        "kg/m2/h",
        &["kg/m2/hr", "kg/sq m/h", "kg/sq m/hr"],
        [-2, 1, -1, 0, 0],
        1.0 / 3600.0,
        3,
    ),
    entry(
        FahrenheitHour,
        "F h",
        &[
            "f-h",
            "f-hr",
            "f-hrs",
            "f-hours",
            "°f-h",
            "°f-hr",
            "°f-hrs",
            "°f-hours",
            "°f h",
            "f hr",
            "deg f-h",
            "deg f-hr",
            "deg f-hours",
        ],
        [0, 0, 1, 1, 0],
        5.0 / 9.0 * 3600.0,
        0,
    ),
    entry(
        CelsiusHour,
        "C h",
        &[
            "c-h",
            "c-hr",
            "c-hrs",
            "c-hours",
            "°c-h",
            "°c-hr",
            "°c-hrs",
            "°c-hours",
            "°c h",
            "c hr",
            "deg c-h",
            "deg c-hr",
            "deg c-hours",
        ],
        [0, 0, 1, 1, 0],
        3600.0,
        0,
    ),
    entry(Each, "each", &["ea", "ea.", "pc", "pcs", "piece", "pieces"], [0, 0, 0, 0, 0], 1.0, 0),
    entry(LumpSum, "LS", &["lump sum", "l.s.", "lsum"], [0, 0, 0, 0, 0], 1.0, 2),
    entry(Money, "money", &[], [0, 0, 0, 0, 1], 1.0, 2),
];

impl Unit {
    fn entry(self) -> &'static Entry {
        let found = match self {
            MoneyPer(_) => Money,
            other => other,
        };
        TABLE.iter().find(|e| e.unit == found).unwrap_or(&TABLE[0])
    }

    /// The unit as it is written after a number: `yd2`, `psi`. Empty for a pure number.
    #[must_use]
    pub fn symbol(self) -> &'static str {
        self.entry().symbol
    }

    /// Exponents of the unit.
    #[must_use]
    pub fn dimension(self) -> Dimension {
        match self {
            MoneyPer(unit) => Money.dimension().over(unit.dimension()),
            _ => Dimension(self.entry().dimension),
        }
    }

    /// Multiple of the SI base units, for checking formulas only.
    #[must_use]
    pub fn size(self) -> f64 {
        match self {
            MoneyPer(unit) => 1.0 / unit.size(),
            _ => self.entry().size,
        }
    }

    /// Decimals shown where no rounding says otherwise.
    #[must_use]
    pub fn decimals(self) -> u8 {
        self.entry().decimals
    }

    /// The unit price of this unit; `None` for money itself and pure numbers.
    #[must_use]
    pub fn price(self) -> Option<Unit> {
        match self {
            One | Money | MoneyPer(_) => None,
            other => TABLE.iter().find(|e| e.unit == other).map(|e| MoneyPer(&e.unit)),
        }
    }

    /// True for amounts and prices.
    #[must_use]
    pub fn is_money(self) -> bool {
        matches!(self, Money | MoneyPer(_))
    }

    /// The unit that `word` names, as people write it (`SY`, `sq. yd.`, `in.`), or none.
    ///
    /// ```
    /// use slabtally::units::Unit;
    /// assert_eq!(Unit::named("SY"), Some(Unit::SquareYard));
    /// assert_eq!(Unit::named("cu. yd."), Some(Unit::CubicYard));
    /// assert_eq!(Unit::named("furlong"), None);
    /// ```
    #[must_use]
    pub fn named(word: &str) -> Option<Unit> {
        let folded = fold(word);
        if folded.is_empty() { None } else { by_word().get(&folded).copied() }
    }

    /// Every unit but prices, in table order.
    pub fn all() -> impl Iterator<Item = Unit> {
        TABLE.iter().map(|e| e.unit)
    }
}

/// The units by their symbols and words, folded once: cells and headings ask for them without end.
fn by_word() -> &'static HashMap<String, Unit> {
    static BY_WORD: OnceLock<HashMap<String, Unit>> = OnceLock::new();
    BY_WORD.get_or_init(|| {
        let mut units = HashMap::new();
        for entry in TABLE {
            for word in std::iter::once(&entry.symbol).chain(entry.words) {
                units.entry(fold(word)).or_insert(entry.unit);
            }
        }
        units
    })
}

/// Case, dots, `²`/`³` and runs of blanks do not tell units apart.
fn fold(word: &str) -> String {
    let mut out = String::new();
    for c in word.trim().chars() {
        match c {
            '²' => out.push('2'),
            '³' => out.push('3'),
            '.' | '^' => {}
            c if c.is_whitespace() => {
                if !out.ends_with(' ') {
                    out.push(' ');
                }
            }
            c => out.extend(c.to_lowercase()),
        }
    }
    out.trim().to_string()
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            MoneyPer(unit) => write!(f, "money/{}", unit.symbol()),
            _ => f.write_str(self.symbol()),
        }
    }
}

impl From<Unit> for String {
    fn from(unit: Unit) -> Self {
        unit.to_string()
    }
}

impl TryFrom<String> for Unit {
    type Error = String;
    fn try_from(text: String) -> Result<Self, String> {
        let found = match text.strip_prefix("money/") {
            Some(of) => Unit::named(of).and_then(Unit::price),
            None if text.is_empty() => Some(One),
            None if text == "money" => Some(Money),
            None => Unit::named(&text),
        };
        found.ok_or_else(|| format!("'{text}' is not a unit this program knows"))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_names_one_unit() {
        let mut seen = std::collections::BTreeMap::new();
        for e in TABLE {
            for word in e.words.iter().chain([&e.symbol]).filter(|w| !w.is_empty()) {
                if let Some(before) = seen.insert(fold(word), e.unit) {
                    assert_eq!(before, e.unit, "'{word}' names two units");
                }
            }
        }
    }

    #[test]
    fn a_unit_survives_being_written_and_read() {
        for unit in Unit::all().chain(Unit::all().filter_map(Unit::price)) {
            assert_eq!(Unit::try_from(String::from(unit)), Ok(unit));
        }
    }
}
