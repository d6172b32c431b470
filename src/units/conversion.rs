//! Exact conversions, each with where its constant comes from.
//!
//! A conversion is a quotient of two decimals, so that `ft2 / 9 = yd2` and `yd2 x in / 36 = yd3` stay exact where the
//! trade writes them exactly.

use rust_decimal::Decimal;
use rust_decimal::dec;

use super::unit::{Dimension, Unit};

/// `to = from x times / over`. `from` may be a product of units (`yd2` and `in` make `yd3`) or a
/// quotient (`yd3` over `yd2` is a depth).
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Conversion {
    /// The units multiplied together before; for a quotient, the first over the product of the others.
    pub from: &'static [Unit],
    /// The unit after.
    pub to: Unit,
    /// Numerator.
    pub times: Decimal,
    /// Denominator.
    pub over: Decimal,
    /// Document, or 'definition' where the number follows from one.
    pub source: &'static str,
}

impl Conversion {
    /// Dimension and size of what goes in.
    #[must_use]
    pub fn accepts(&self) -> (Dimension, f64) {
        self.from.iter().fold((Dimension::NONE, 1.0), |(d, s), u| (d.times(u.dimension()), s * u.size()))
    }

    /// The number alone of a unit that is paid by, for a formula that takes it so; `None` for money and pure numbers.
    #[must_use]
    pub fn number_of(unit: Unit) -> Option<Conversion> {
        let Unit::MoneyPer(of) = unit.price()? else { return None };
        let source = "the number alone, for a formula that takes it in this unit";
        Some(Conversion {
            from: std::slice::from_ref(of),
            to: Unit::One,
            times: Decimal::ONE,
            over: Decimal::ONE,
            source,
        })
    }

    /// The value in the unit after; `None` on overflow.
    #[must_use]
    pub fn apply(&self, value: Decimal) -> Option<Decimal> {
        value.checked_mul(self.times)?.checked_div(self.over)
    }
}

/// The named conversions that formulas use.
pub mod conversions {
    use super::{Conversion, Decimal, Unit, dec};
    use Unit::{
        Celsius, CelsiusHour, CubicFoot, CubicMetre, CubicYard, Day, Fahrenheit, FahrenheitHour, Foot, Gallon, Hour,
        Inch, Kilogram, KilogramPerCubicMetre, KilogramPerSquareMetreHour, KilometrePerHour, Kilonewton, Litre,
        Megapascal, Metre, MilePerHour, Millimetre, Minute, One, Percent, Pound, PoundForce, PoundPerCubicFoot,
        PoundPerCubicYard, PoundPerSquareFootHour, Psi, SquareFoot, SquareFootPerGallon, SquareInch, SquareMetre,
        SquareMetrePerLitre, SquareMillimetre, SquareYard, Ton, Tonne,
    };

    const DEFINITION: &str = "definition: 1 yd = 3 ft, 1 ft = 12 in";
    const SI: &str = "definition: 1 m = 1,000 mm, 1 MPa = 1 N/mm2";

    const COUNTED: &str = "the number alone, for a formula that takes it in this unit";
    const SCALES: &str = "definition: 9 F are 5 C";
    const DEFINITION_MILE: &str = "definition: 1 mi = 1.609344 km, 1 lb = 0.45359237 kg, 1 ft2 = 0.09290304 m2";

    const WATER: &str = "8.33 lb of water in a gallon, as in the free-moisture example of an Army engineer manual";

    const fn of(from: &'static [Unit], to: Unit, times: Decimal, over: Decimal, source: &'static str) -> Conversion {
        Conversion { from, to, times, over, source }
    }

    /// Inches to feet.
    pub const IN_TO_FT: Conversion = of(&[Inch], Foot, dec!(1), dec!(12), DEFINITION);
    /// Feet to inches.
    pub const FT_TO_IN: Conversion = of(&[Foot], Inch, dec!(12), dec!(1), DEFINITION);
    /// Millimetres to metres.
    pub const MILLIMETRE_TO_METRE: Conversion = of(&[Millimetre], Metre, dec!(1), dec!(1000), SI);
    /// Metres to millimetres.
    pub const METRE_TO_MILLIMETRE: Conversion = of(&[Metre], Millimetre, dec!(1000), dec!(1), SI);
    /// Square feet to square yards.
    pub const FT2_TO_YD2: Conversion = of(&[SquareFoot], SquareYard, dec!(1), dec!(9), DEFINITION);
    /// Square yards times inches to cubic yards.
    pub const YD2_IN_TO_YD3: Conversion = of(&[SquareYard, Inch], CubicYard, dec!(1), dec!(36), DEFINITION);
    /// Square metres times millimetres to cubic metres.
    pub const M2_MM_TO_M3: Conversion = of(&[SquareMetre, Millimetre], CubicMetre, dec!(1), dec!(1000), SI);
    /// Square feet times inches to cubic yards.
    pub const FT2_IN_TO_YD3: Conversion = of(&[SquareFoot, Inch], CubicYard, dec!(1), dec!(324), DEFINITION);
    /// Square feet times inches to cubic feet.
    pub const FT2_IN_TO_FT3: Conversion = of(&[SquareFoot, Inch], CubicFoot, dec!(1), dec!(12), DEFINITION);
    /// Cubic yards over square yards to inches.
    pub const YD_TO_IN: Conversion = of(&[CubicYard, SquareYard], Inch, dec!(36), dec!(1), DEFINITION);
    /// Cubic metres over square metres to millimetres.
    pub const M_TO_MM: Conversion = of(&[CubicMetre, SquareMetre], Millimetre, dec!(1000), dec!(1), SI);
    /// Square yards over feet to feet.
    pub const YD2_FT_TO_FT: Conversion = of(&[SquareYard, Foot], Foot, dec!(9), dec!(1), DEFINITION);
    /// Square metres over metres to metres.
    pub const M2_M_TO_M: Conversion = of(&[SquareMetre, Metre], Metre, dec!(1), dec!(1), SI);
    /// Square feet to square feet: a product of two lengths, labelled.
    pub const FT_FT_TO_FT2: Conversion = of(&[Foot, Foot], SquareFoot, dec!(1), dec!(1), DEFINITION);
    /// Two lengths in metres to square metres.
    pub const M_M_TO_M2: Conversion = of(&[Metre, Metre], SquareMetre, dec!(1), dec!(1), SI);
    /// Pounds-force over square inches to psi.
    pub const LBF_IN2_TO_PSI: Conversion = of(&[PoundForce, SquareInch], Psi, dec!(1), dec!(1), DEFINITION);
    /// Kilonewtons over square millimetres to megapascals.
    pub const KN_MM2_TO_MPA: Conversion = of(&[Kilonewton, SquareMillimetre], Megapascal, dec!(1000), dec!(1), SI);
    /// Pounds over pounds per cubic foot to cubic yards: the yield of a batch.
    pub const LB_TO_YD3: Conversion = of(&[Pound, PoundPerCubicFoot], CubicYard, dec!(1), dec!(27), DEFINITION);
    /// Kilograms over kilograms per cubic metre to cubic metres.
    pub const KG_TO_M3: Conversion = of(&[Kilogram, KilogramPerCubicMetre], CubicMetre, dec!(1), dec!(1), SI);
    /// Cubic yards times pounds per cubic yard to pounds.
    pub const YD3_TO_LB: Conversion = of(&[CubicYard, PoundPerCubicYard], Pound, dec!(1), dec!(1), DEFINITION);
    /// Cubic metres times kilograms per cubic metre to kilograms.
    pub const M3_TO_KG: Conversion = of(&[CubicMetre, KilogramPerCubicMetre], Kilogram, dec!(1), dec!(1), SI);
    /// Cubic yards times pounds per cubic foot to short tons.
    pub const YD3_TO_TON: Conversion = of(&[CubicYard, PoundPerCubicFoot], Ton, dec!(27), dec!(2000), DEFINITION);
    /// Cubic metres times kilograms per cubic metre to tonnes.
    pub const M3_TO_TONNE: Conversion = of(&[CubicMetre, KilogramPerCubicMetre], Tonne, dec!(1), dec!(1000), SI);
    /// Square yards over square feet per gallon to gallons.
    pub const YD2_TO_GAL: Conversion = of(&[SquareYard, SquareFootPerGallon], Gallon, dec!(9), dec!(1), DEFINITION);
    /// Square metres over square metres per litre to litres.
    pub const M2_TO_LITRE: Conversion = of(&[SquareMetre, SquareMetrePerLitre], Litre, dec!(1), dec!(1), SI);
    /// Square yards over gallons to square feet per gallon.
    pub const YD2_PER_GAL: Conversion = of(&[SquareYard, Gallon], SquareFootPerGallon, dec!(9), dec!(1), DEFINITION);
    /// Square metres over litres.
    pub const M2_PER_LITRE: Conversion = of(&[SquareMetre, Litre], SquareMetrePerLitre, dec!(1), dec!(1), SI);
    /// Gallons of water to pounds.
    pub const WATER_GAL_TO_LB: Conversion = of(&[Gallon], Pound, dec!(8.33), dec!(1), WATER);
    /// Litres of water to kilograms.
    pub const WATER_LITRE_TO_KG: Conversion = of(&[Litre], Kilogram, dec!(1), dec!(1), "common practice");
    /// Degrees Fahrenheit, the number alone.
    pub const FAHRENHEIT_DEGREES: Conversion = of(&[Fahrenheit], One, dec!(1), dec!(1), COUNTED);
    /// Miles per hour, the number alone.
    pub const MPH_NUMBER: Conversion = of(&[MilePerHour], One, dec!(1), dec!(1), COUNTED);
    /// Maturity, the number alone.
    pub const FAHRENHEIT_HOURS: Conversion = of(&[FahrenheitHour], One, dec!(1), dec!(1), COUNTED);
    /// The same in Celsius.
    pub const CELSIUS_HOURS: Conversion = of(&[CelsiusHour], One, dec!(1), dec!(1), COUNTED);
    /// Hours, the number alone.
    pub const HOURS: Conversion = of(&[Hour], One, dec!(1), dec!(1), COUNTED);
    /// A difference of temperatures.
    pub const FAHRENHEIT_TO_CELSIUS: Conversion = of(&[Fahrenheit], Celsius, dec!(5), dec!(9), SCALES);
    /// A difference of temperatures.
    pub const CELSIUS_TO_FAHRENHEIT: Conversion = of(&[Celsius], Fahrenheit, dec!(9), dec!(5), SCALES);
    /// Kilometres per hour to miles per hour.
    pub const KMH_TO_MPH: Conversion = of(&[KilometrePerHour], MilePerHour, dec!(1), dec!(1.609344), DEFINITION_MILE);
    /// The number that Menzel's formula comes to, as the rate that it is.
    pub const MILLIONTHS_TO_EVAPORATION: Conversion = of(
        &[One],
        PoundPerSquareFootHour,
        dec!(1),
        dec!(1000000),
        "Menzel's equation as ACI 305 prints it (from memory)",
    );
    /// A rate of evaporation in metric units.
    pub const EVAPORATION_TO_SI: Conversion =
        of(&[PoundPerSquareFootHour], KilogramPerSquareMetreHour, dec!(0.45359237), dec!(0.09290304), DEFINITION_MILE);
    /// Hours to minutes.
    pub const HOUR_TO_MINUTE: Conversion = of(&[Hour], Minute, dec!(60), dec!(1), "definition of the hour");
    /// Days to hours.
    pub const DAY_TO_HOUR: Conversion = of(&[Day], Hour, dec!(24), dec!(1), "definition of the day");
    /// A part of a month, the number that it is.
    pub const RATIO_TO_MONTH: Conversion = of(&[One], Unit::Month, dec!(1), dec!(1), COUNTED);
    /// A ratio to percent.
    pub const RATIO_TO_PERCENT: Conversion = of(&[One], Percent, dec!(100), dec!(1), "definition of percent");
    /// Percent to a ratio.
    pub const PERCENT_TO_RATIO: Conversion = of(&[Percent], One, dec!(1), dec!(100), "definition of percent");
}

const NIST: &str = "NIST Special Publication 811 (2008), appendix B: exact international yard and pound";

/// How many of the second unit make the first, for the plain one-to-one changes that intake meets.
const FACTORS: &[(Unit, Unit, Decimal, Decimal, &str)] = &[
    (Unit::Inch, Unit::Millimetre, dec!(25.4), dec!(1), NIST),
    (Unit::Inch, Unit::Foot, dec!(1), dec!(12), NIST),
    (Unit::Inch, Unit::Metre, dec!(0.0254), dec!(1), NIST),
    (Unit::Foot, Unit::Metre, dec!(0.3048), dec!(1), NIST),
    (Unit::Foot, Unit::Millimetre, dec!(304.8), dec!(1), NIST),
    (Unit::Metre, Unit::Millimetre, dec!(1000), dec!(1), NIST),
    (Unit::Kilometre, Unit::Metre, dec!(1000), dec!(1), NIST),
    (Unit::Mile, Unit::Foot, dec!(5280), dec!(1), NIST),
    (Unit::SquareYard, Unit::SquareFoot, dec!(9), dec!(1), NIST),
    (Unit::SquareYard, Unit::SquareMetre, dec!(0.83612736), dec!(1), NIST),
    (Unit::SquareFoot, Unit::SquareMetre, dec!(0.09290304), dec!(1), NIST),
    (Unit::CubicYard, Unit::CubicFoot, dec!(27), dec!(1), NIST),
    (Unit::CubicYard, Unit::CubicMetre, dec!(0.764554857984), dec!(1), NIST),
    (Unit::CubicFoot, Unit::CubicMetre, dec!(0.028316846592), dec!(1), NIST),
    (Unit::Kilonewton, Unit::PoundForce, dec!(1000), dec!(4.4482216152605), NIST),
    (Unit::Megapascal, Unit::Psi, dec!(645.16), dec!(4.4482216152605), NIST),
    (Unit::Kilogram, Unit::Pound, dec!(1), dec!(0.45359237), NIST),
    (Unit::Ton, Unit::Pound, dec!(2000), dec!(1), NIST),
    (Unit::Tonne, Unit::Kilogram, dec!(1000), dec!(1), NIST),
    (Unit::KilogramPerCubicMetre, Unit::PoundPerCubicFoot, dec!(0.028316846592), dec!(0.45359237), NIST),
    (Unit::MetrePerKilometre, Unit::MillimetrePerKilometre, dec!(1000), dec!(1), NIST),
    (Unit::Gallon, Unit::Litre, dec!(3.785411784), dec!(1), NIST),
    (Unit::SquareFootPerGallon, Unit::SquareMetrePerLitre, dec!(0.09290304), dec!(3.785411784), NIST),
    (Unit::MilePerHour, Unit::KilometrePerHour, dec!(1.609344), dec!(1), NIST),
    (Unit::PoundPerSquareFootHour, Unit::KilogramPerSquareMetreHour, dec!(0.45359237), dec!(0.09290304), NIST),
    (Unit::Hour, Unit::Minute, dec!(60), dec!(1), NIST),
    (Unit::Day, Unit::Hour, dec!(24), dec!(1), NIST),
    (Unit::CelsiusHour, Unit::FahrenheitHour, dec!(9), dec!(5), NIST),
];

/// The factor `(times, over, source)` that takes a value in `from` to `to`; `None` where they measure different things.
/// Temperatures have an offset and are handled by [`between`].
fn factor(from: Unit, to: Unit) -> Option<(Decimal, Decimal)> {
    if from == to {
        return Some((Decimal::ONE, Decimal::ONE));
    }
    FACTORS.iter().find_map(|&(a, b, times, over, _)| {
        if (a, b) == (from, to) {
            Some((times, over))
        } else if (b, a) == (from, to) {
            Some((over, times))
        } else {
            None
        }
    })
}

/// `value` in `from`, written in `to`. A load written in pounds counts as pounds-force, as laboratories mean it.
///
/// Returns `None` where the units measure different things or the value overflows.
///
/// ```
/// use rust_decimal::dec;
/// use slabtally::units::{Unit, between};
/// assert_eq!(between(dec!(254), Unit::Millimetre, Unit::Inch), Some(dec!(10)));
/// assert_eq!(between(dec!(50), Unit::Fahrenheit, Unit::Celsius), Some(dec!(10)));
/// assert_eq!(between(dec!(1), Unit::Inch, Unit::Psi), None);
/// ```
#[must_use]
pub fn between(value: Decimal, from: Unit, to: Unit) -> Option<Decimal> {
    match (from, to) {
        (Unit::Fahrenheit, Unit::Celsius) => value.checked_sub(dec!(32))?.checked_mul(dec!(5))?.checked_div(dec!(9)),
        (Unit::Celsius, Unit::Fahrenheit) => value.checked_mul(dec!(9))?.checked_div(dec!(5))?.checked_add(dec!(32)),
        (Unit::Pound, Unit::PoundForce) => Some(value),
        _ => {
            let (times, over) = factor(from, to)?;
            value.checked_mul(times)?.checked_div(over).map(|v| v.normalize())
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_factor_agrees_with_the_sizes_of_its_units() {
        for &(a, b, times, over, _) in FACTORS {
            let ratio: f64 = (times / over).try_into().unwrap();
            assert!((a.size() / b.size() / ratio - 1.0).abs() < 1e-12, "{a} to {b}");
            assert_eq!(a.dimension(), b.dimension());
        }
    }
}
