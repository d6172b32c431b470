//! What a quantity measures, and the unit each unit system keeps it in.

use crate::units::{System, Unit};

/// What a quantity measures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Measure {
    /// Widths and distances along the line.
    Length,
    /// Thicknesses, slump.
    Depth,
    /// Thicknesses, kept in the unit they are written in (hundredths of a foot stay such).
    DepthAsWritten,
    /// Thicknesses, kept in the unit they are written in, or a percentage of the design thickness.
    DepthOrPercent,
    /// Pavement areas.
    Area,
    /// Volumes of concrete.
    Volume,
    /// Strengths.
    Strength,
    /// Temperatures.
    Temperature,
    /// Shares.
    Percent,
    /// Ages, in days.
    Age,
    /// Plain ratios such as water to cement; written without a unit.
    Ratio,
    /// Indexes of smoothness.
    Roughness,
    /// Densities, in mass per volume.
    Density,
    /// What a mix holds of an ingredient: mass per unit of volume.
    Content,
    /// How far a liquid goes.
    Coverage,
    /// Minutes.
    Time,
    /// Hours.
    Hours,
    /// Rates of evaporation.
    Evaporation,
    /// Shares that may be below zero, such as a tolerance below a target.
    SignedPercent,
    /// A share, or an amount of money written without a unit.
    ShareOrMoney,
}

impl Measure {
    /// The unit a file in this system keeps it in.
    #[must_use]
    pub fn unit(self, system: System) -> Unit {
        match self {
            Measure::Length => system.length(),
            Measure::Depth | Measure::DepthAsWritten | Measure::DepthOrPercent => system.depth(),
            Measure::Area => system.area(),
            Measure::Volume => system.volume(),
            Measure::Strength => system.strength(),
            Measure::Temperature => system.temperature(),
            Measure::Percent | Measure::SignedPercent | Measure::ShareOrMoney => Unit::Percent,
            Measure::Age => Unit::Day,
            Measure::Ratio => Unit::One,
            Measure::Roughness => system.roughness(),
            Measure::Density => system.density(),
            Measure::Content => system.content(),
            Measure::Coverage => system.coverage(),
            Measure::Time => Unit::Minute,
            Measure::Hours => Unit::Hour,
            Measure::Evaporation => system.evaporation(),
        }
    }

    /// The unit to name in a remedy; both systems' where the file's is not known.
    #[must_use]
    pub fn unit_words(self, system: Option<System>) -> String {
        let word = |unit: Unit| match unit {
            Unit::Percent => "percent".to_string(),
            Unit::One => "plain numbers".to_string(),
            _ => unit.to_string(),
        };
        match (system, self.unit(System::Customary), self.unit(System::Si)) {
            (Some(system), ..) => word(self.unit(system)),
            (None, customary, si) if customary == si => word(customary),
            (None, customary, si) => format!("{customary} or {si}"),
        }
    }

    /// In words, with its article.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Measure::Length => "a length",
            Measure::Depth | Measure::DepthAsWritten => "a depth",
            Measure::DepthOrPercent => "a depth or a percentage",
            Measure::Area => "an area",
            Measure::Volume => "a volume",
            Measure::Strength => "a strength",
            Measure::Temperature => "a temperature",
            Measure::Percent => "a percentage",
            Measure::Age => "an age",
            Measure::Ratio => "a ratio",
            Measure::Roughness => "an index of smoothness",
            Measure::Density => "a density",
            Measure::Content => "a mass per volume",
            Measure::Coverage => "an area per volume of liquid",
            Measure::Time => "a time",
            Measure::Hours => "hours",
            Measure::Evaporation => "a rate of evaporation",
            Measure::SignedPercent => "a percentage, below zero or above",
            Measure::ShareOrMoney => "a percentage or an amount of money",
        }
    }

    /// Whether a unit measures this.
    #[must_use]
    pub fn takes(self, unit: Unit) -> bool {
        match self {
            Measure::Percent | Measure::SignedPercent => unit == Unit::Percent,
            Measure::ShareOrMoney => matches!(unit, Unit::Percent | Unit::Money),
            Measure::Time => unit == Unit::Minute,
            Measure::Hours => unit == Unit::Hour,
            Measure::Ratio => unit == Unit::One,
            Measure::Roughness => {
                matches!(unit, Unit::InchPerMile | Unit::MetrePerKilometre | Unit::MillimetrePerKilometre)
            }
            Measure::DepthOrPercent => unit == Unit::Percent || Measure::Depth.takes(unit),
            _ => unit.dimension() == self.unit(System::Customary).dimension(),
        }
    }
}

/// The system a unit belongs to; `None` for those of both, such as percent and days.
pub(super) fn system_of(unit: Unit) -> Option<System> {
    use Unit::{
        Celsius, CelsiusHour, CubicMetre, Day, Each, Hour, Kilogram, KilogramPerCubicMetre, KilogramPerSquareMetreHour,
        Kilometre, KilometrePerHour, Kilonewton, Litre, LumpSum, Megapascal, Metre, MetrePerKilometre, Millimetre,
        MillimetrePerKilometre, Minute, Money, MoneyPer, Month, One, Percent, SquareMetre, SquareMetrePerLitre,
        SquareMillimetre, Tonne,
    };
    match unit {
        One | Percent | Day | Month | Minute | Hour | Each | LumpSum | Money => None,
        MoneyPer(of) => system_of(*of),
        Metre
        | Millimetre
        | Kilometre
        | SquareMillimetre
        | SquareMetre
        | SquareMetrePerLitre
        | CubicMetre
        | Litre
        | Kilonewton
        | Kilogram
        | Tonne
        | Megapascal
        | KilogramPerCubicMetre
        | MetrePerKilometre
        | MillimetrePerKilometre
        | Celsius
        | CelsiusHour
        | KilometrePerHour
        | KilogramPerSquareMetreHour => Some(System::Si),
        _ => Some(System::Customary),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_units_of_a_system_belong_to_it() {
        for measure in [
            Measure::Length,
            Measure::Depth,
            Measure::Area,
            Measure::Strength,
            Measure::Temperature,
            Measure::Roughness,
        ] {
            for system in [System::Customary, System::Si] {
                assert_eq!(system_of(measure.unit(system)), Some(system), "{measure:?}");
                assert!(measure.takes(measure.unit(system)));
            }
        }
        assert_eq!(system_of(Unit::Day), None);
    }
}
