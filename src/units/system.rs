//! The two systems a contract may be written in, and the unit each quantity is then kept in.

use rust_decimal::Decimal;
use rust_decimal::dec;
use serde::{Deserialize, Serialize};

use super::conversion::{Conversion, conversions};
use super::unit::Unit;

/// US customary or SI.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash, Serialize, Deserialize)]
pub enum System {
    /// Feet, inches, square and cubic yards, psi, degrees Fahrenheit.
    #[serde(rename = "US customary")]
    Customary,
    /// Metres, millimetres, square and cubic metres, megapascals, degrees Celsius.
    #[serde(rename = "SI")]
    Si,
}

impl System {
    fn pick<T>(self, customary: T, si: T) -> T {
        match self {
            System::Customary => customary,
            System::Si => si,
        }
    }

    /// Lengths, widths and distances along the line.
    #[must_use]
    pub fn length(self) -> Unit {
        self.pick(Unit::Foot, Unit::Metre)
    }

    /// Thicknesses, core lengths, specimen dimensions, slump.
    #[must_use]
    pub fn depth(self) -> Unit {
        self.pick(Unit::Inch, Unit::Millimetre)
    }

    /// Pavement areas.
    #[must_use]
    pub fn area(self) -> Unit {
        self.pick(Unit::SquareYard, Unit::SquareMetre)
    }

    /// Concrete volumes.
    #[must_use]
    pub fn volume(self) -> Unit {
        self.pick(Unit::CubicYard, Unit::CubicMetre)
    }

    /// Strengths.
    #[must_use]
    pub fn strength(self) -> Unit {
        self.pick(Unit::Psi, Unit::Megapascal)
    }

    /// Loads on a specimen.
    #[must_use]
    pub fn force(self) -> Unit {
        self.pick(Unit::PoundForce, Unit::Kilonewton)
    }

    /// Temperatures.
    #[must_use]
    pub fn temperature(self) -> Unit {
        self.pick(Unit::Fahrenheit, Unit::Celsius)
    }

    /// Wind.
    #[must_use]
    pub fn speed(self) -> Unit {
        self.pick(Unit::MilePerHour, Unit::KilometrePerHour)
    }

    /// Rates of evaporation.
    #[must_use]
    pub fn evaporation(self) -> Unit {
        self.pick(Unit::PoundPerSquareFootHour, Unit::KilogramPerSquareMetreHour)
    }

    /// Maturity as a temperature-time factor.
    #[must_use]
    pub fn maturity(self) -> Unit {
        self.pick(Unit::FahrenheitHour, Unit::CelsiusHour)
    }

    /// Densities.
    #[must_use]
    pub fn density(self) -> Unit {
        self.pick(Unit::PoundPerCubicFoot, Unit::KilogramPerCubicMetre)
    }

    /// Smoothness of a ride: roughness and profile index.
    #[must_use]
    pub fn roughness(self) -> Unit {
        self.pick(Unit::InchPerMile, Unit::MetrePerKilometre)
    }

    /// Masses: batch weights.
    #[must_use]
    pub fn mass(self) -> Unit {
        self.pick(Unit::Pound, Unit::Kilogram)
    }

    /// Liquids: water, curing compound.
    #[must_use]
    pub fn liquid(self) -> Unit {
        self.pick(Unit::Gallon, Unit::Litre)
    }

    /// What a mix holds of one ingredient.
    #[must_use]
    pub fn content(self) -> Unit {
        self.pick(Unit::PoundPerCubicYard, Unit::KilogramPerCubicMetre)
    }

    /// How far a liquid goes.
    #[must_use]
    pub fn coverage(self) -> Unit {
        self.pick(Unit::SquareFootPerGallon, Unit::SquareMetrePerLitre)
    }

    /// Masses of base and other bulk.
    #[must_use]
    pub fn bulk(self) -> Unit {
        self.pick(Unit::Ton, Unit::Tonne)
    }

    /// Length of a full station.
    #[must_use]
    pub fn full_station(self) -> Decimal {
        self.pick(dec!(100), dec!(1000))
    }

    /// Length times width to pavement area.
    #[must_use]
    pub fn to_area(self) -> Conversion {
        self.pick(conversions::FT2_TO_YD2, conversions::M_M_TO_M2)
    }

    /// Pavement area times thickness to volume.
    #[must_use]
    pub fn to_volume(self) -> Conversion {
        self.pick(conversions::YD2_IN_TO_YD3, conversions::M2_MM_TO_M3)
    }

    /// Volume over area to thickness.
    #[must_use]
    pub fn to_depth(self) -> Conversion {
        self.pick(conversions::YD_TO_IN, conversions::M_TO_MM)
    }

    /// Area over width to length.
    #[must_use]
    pub fn to_length(self) -> Conversion {
        self.pick(conversions::YD2_FT_TO_FT, conversions::M2_M_TO_M)
    }

    /// Load over area to strength.
    #[must_use]
    pub fn to_strength(self) -> Conversion {
        self.pick(conversions::LBF_IN2_TO_PSI, conversions::KN_MM2_TO_MPA)
    }

    /// Mass over density to volume: the yield of a batch.
    #[must_use]
    pub fn to_yield(self) -> Conversion {
        self.pick(conversions::LB_TO_YD3, conversions::KG_TO_M3)
    }

    /// Volume times what the mix holds of an ingredient, to mass.
    #[must_use]
    pub fn to_content(self) -> Conversion {
        self.pick(conversions::YD3_TO_LB, conversions::M3_TO_KG)
    }

    /// Volume times density to bulk mass.
    #[must_use]
    pub fn to_bulk(self) -> Conversion {
        self.pick(conversions::YD3_TO_TON, conversions::M3_TO_TONNE)
    }

    /// Area over coverage to liquid.
    #[must_use]
    pub fn to_liquid(self) -> Conversion {
        self.pick(conversions::YD2_TO_GAL, conversions::M2_TO_LITRE)
    }

    /// Area over liquid to how far it went.
    #[must_use]
    pub fn to_coverage(self) -> Conversion {
        self.pick(conversions::YD2_PER_GAL, conversions::M2_PER_LITRE)
    }

    /// Water by volume to its mass.
    #[must_use]
    pub fn water_to_mass(self) -> Conversion {
        self.pick(conversions::WATER_GAL_TO_LB, conversions::WATER_LITRE_TO_KG)
    }

    /// A depth in the unit of lengths: inches to feet, millimetres to metres.
    #[must_use]
    pub fn depth_to_length(self) -> Conversion {
        match self {
            System::Customary => conversions::IN_TO_FT,
            System::Si => conversions::MILLIMETRE_TO_METRE,
        }
    }

    /// A depth given in the unit of lengths: feet to inches, metres to millimetres.
    #[must_use]
    pub fn length_to_depth(self) -> Conversion {
        match self {
            System::Customary => conversions::FT_TO_IN,
            System::Si => conversions::METRE_TO_MILLIMETRE,
        }
    }
}
