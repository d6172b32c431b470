//! What a specification asks of the steps below, in and after the slab: how dense, how deep, how true, how soon, how warm, how
//! strong before traffic, and how often each is to be proved. Nothing here changes a price; an item may wait for the proof.

use crate::figure::Clause;
use crate::intake::{Bar, Step, Surface};
use crate::units::Rounding;

use super::lotting::LotRule;
use super::model::RuleNumber;
mod keys;
mod read;
#[cfg(test)]
mod tests;

pub(super) use keys::{
    BARS, CURE, DENSITIES, DEPTHS, JOINTS, LEVELS, MATURITY, OPENING, REQUIRED, SAW, STEPS, WEATHER,
};
pub(super) use read::construction;

/// A rule for construction. Every part may be left out; what is left out is not judged.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct ConstructionRule {
    /// Density and moisture, by layer.
    pub densities: Vec<DensityRule>,
    /// Elevations against design, by surface.
    pub levels: Vec<LevelRule>,
    /// Depths of steps: of mixing, of base.
    pub depths: Vec<DepthRule>,
    /// Where bars lie.
    pub bars: Vec<BarRule>,
    /// Transverse joints.
    pub joints: Option<JointRule>,
    /// Sawing.
    pub saw: Option<SawRule>,
    /// Curing.
    pub cure: Option<CureRule>,
    /// Weather and concrete temperature.
    pub weather: Option<WeatherRule>,
    /// Strength by maturity.
    pub maturity: Option<MaturityRule>,
    /// When pavement may be opened.
    pub opening: Option<OpeningRule>,
    /// Steps that must be on record for every placed stretch.
    pub steps: Vec<(Step, Clause)>,
    /// How often what is to be proved.
    pub required: Vec<Required>,
}

/// Density and moisture of a layer: percent of the maximum dry density, and a window about the optimum moisture.
#[derive(Clone, Debug, PartialEq)]
pub struct DensityRule {
    /// Subgrade or base.
    pub layer: Surface,
    /// Lowest percent of the maximum; it passes itself.
    pub least: RuleNumber,
    /// Highest; it passes itself.
    pub most: Option<RuleNumber>,
    /// Moisture against the optimum, in points: lowest (below zero: drier) and highest. Both pass themselves.
    pub moisture: (Option<RuleNumber>, Option<RuleNumber>),
    /// Rounding of a dry density that is computed from a wet one, before the percent is taken; `None`: carried as computed.
    pub dry_round: Option<Rounding>,
    /// Rounding of the percent before it is compared.
    pub round: Rounding,
    /// How far a printed percent may be from the recomputed one; a verdict that turns within it is open.
    pub printed_within: RuleNumber,
    /// How far along the line a retest may lie from the test it repeats.
    pub retest_within: Option<RuleNumber>,
    /// Specific gravity of the solids where the laboratory gives none, for the zero-air-voids line.
    pub gravity: Option<RuleNumber>,
}

/// Elevation of a surface against its design; both ends pass themselves.
#[derive(Clone, Debug, PartialEq)]
pub struct LevelRule {
    /// Which surface.
    pub surface: Surface,
    /// How far below design it may be, a depth above zero.
    pub below: RuleNumber,
    /// How far above.
    pub above: RuleNumber,
}

/// Depth of a step; both ends pass themselves.
#[derive(Clone, Debug, PartialEq)]
pub struct DepthRule {
    /// Reclaim or base.
    pub step: Step,
    /// Lowest.
    pub least: RuleNumber,
    /// Highest.
    pub most: Option<RuleNumber>,
}

/// Where a bar must lie. Each is the greatest deviation, either way, and passes itself.
#[derive(Clone, Debug, PartialEq)]
pub struct BarRule {
    /// Dowel or tie bar.
    pub bar: Bar,
    /// From the middle of the slab's design thickness, up or down.
    pub depth: Option<RuleNumber>,
    /// From the joint, along the bar.
    pub side: Option<RuleNumber>,
    /// Tilt, end to end.
    pub tilt: Option<RuleNumber>,
    /// Turn, end to end.
    pub skew: Option<RuleNumber>,
}

/// Transverse joints.
#[derive(Clone, Debug, PartialEq)]
pub struct JointRule {
    /// Planned distance.
    pub spacing: RuleNumber,
    /// How many design thicknesses apart they may be at most.
    pub most_thicknesses: Option<RuleNumber>,
}

/// Sawing.
#[derive(Clone, Debug, PartialEq)]
pub struct SawRule {
    /// Longest time from the last concrete of a placement to the end of sawing, in hours.
    pub within: Option<RuleNumber>,
    /// Shallowest cut, in percent of the design thickness.
    pub least: Option<RuleNumber>,
    /// Rounding of that percent before it is compared.
    pub round: Option<Rounding>,
}

/// Curing.
#[derive(Clone, Debug, PartialEq)]
pub struct CureRule {
    /// Longest time from the last concrete of a placement until curing begins, in minutes.
    pub within: Option<RuleNumber>,
    /// Largest area that one unit of compound may cover.
    pub covers: Option<RuleNumber>,
}

/// Weather and concrete temperature; limits pass themselves.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct WeatherRule {
    /// Concrete temperature, lowest and highest.
    pub concrete: (Option<RuleNumber>, Option<RuleNumber>),
    /// Air temperature, lowest and highest, while concrete is placed.
    pub air: (Option<RuleNumber>, Option<RuleNumber>),
    /// Rate of evaporation at which precautions against plastic shrinkage are due.
    pub evaporation: Option<RuleNumber>,
    /// Rounding of the rate before it is compared.
    pub round: Option<Rounding>,
}

/// How maturity is reckoned (ASTM C1074).
#[derive(Clone, Debug, PartialEq)]
pub enum Maturity {
    /// Temperature-time factor: mean temperature less a datum, times hours; none below the datum.
    Factor {
        /// Datum temperature.
        datum: RuleNumber,
    },
    /// Equivalent age: `exp(-Q (1/T - 1/Ts))` times hours, temperatures absolute.
    Age {
        /// Activation energy over the gas constant, in kelvins.
        q: RuleNumber,
        /// Reference temperature.
        reference: RuleNumber,
    },
}

/// Strength by maturity.
#[derive(Clone, Debug, PartialEq)]
pub struct MaturityRule {
    /// How it is reckoned.
    pub by: Maturity,
    /// Fewest specimens of a mix's curve.
    pub least_specimens: RuleNumber,
    /// Whether the lower end of the prediction interval counts, at that chance on its side in percent; `None`: the curve itself.
    pub lower: Option<RuleNumber>,
    /// Longest time between two readings of a logger that is still reckoned through, in hours.
    pub longest_gap: RuleNumber,
    /// Rounding of the strength before it is compared.
    pub round: Rounding,
}

/// When pavement may be opened to traffic.
#[derive(Clone, Debug, PartialEq)]
pub struct OpeningRule {
    /// Least strength.
    pub strength: Option<RuleNumber>,
    /// True where that strength is flexural.
    pub flexural: bool,
    /// Least age.
    pub age: Option<RuleNumber>,
    /// True where both are needed; false where either will do.
    pub both: bool,
}

/// What is to be proved.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize)]
#[serde(rename_all = "kebab-case")]
pub enum Proof {
    /// Density of the subgrade.
    SubgradeDensity,
    /// Levels of the subgrade.
    SubgradeLevel,
    /// Density of the base.
    BaseDensity,
    /// Levels of the base.
    BaseLevel,
    /// Depth of the base.
    BaseDepth,
    /// Where dowels lie.
    Dowels,
    /// Where tie bars lie.
    Ties,
    /// Air of the fresh concrete.
    Air,
    /// Temperature of the concrete, by fresh tests or weather sheets.
    Temperature,
    /// Depth of saw cuts.
    SawDepth,
    /// Compressive or flexural strength at its specified age.
    Strength,
    /// Cores.
    Thickness,
    /// Smoothness by an index or a straightedge.
    Smoothness,
}

impl Proof {
    /// All of them, from the ground up.
    pub const ALL: [Self; 13] = [
        Proof::SubgradeDensity,
        Proof::SubgradeLevel,
        Proof::BaseDensity,
        Proof::BaseLevel,
        Proof::BaseDepth,
        Proof::Dowels,
        Proof::Ties,
        Proof::Air,
        Proof::Temperature,
        Proof::SawDepth,
        Proof::Strength,
        Proof::Thickness,
        Proof::Smoothness,
    ];

    /// The word in `contract.toml`, rule sets and figure keys.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Proof::SubgradeDensity => "subgrade-density",
            Proof::SubgradeLevel => "subgrade-level",
            Proof::BaseDensity => "base-density",
            Proof::BaseLevel => "base-level",
            Proof::BaseDepth => "base-depth",
            Proof::Dowels => "dowels",
            Proof::Ties => "ties",
            Proof::Air => "air",
            Proof::Temperature => "temperature",
            Proof::SawDepth => "saw-depth",
            Proof::Strength => "strength",
            Proof::Thickness => "thickness",
            Proof::Smoothness => "smoothness",
        }
    }

    /// In running words: `density of the base`.
    #[must_use]
    pub fn words(self) -> &'static str {
        match self {
            Proof::SubgradeDensity => "density of the subgrade",
            Proof::SubgradeLevel => "levels of the subgrade",
            Proof::BaseDensity => "density of the base",
            Proof::BaseLevel => "levels of the base",
            Proof::BaseDepth => "depth of the base",
            Proof::Dowels => "position of dowels",
            Proof::Ties => "position of tie bars",
            Proof::Air => "air of the concrete",
            Proof::Temperature => "temperature of the concrete",
            Proof::SawDepth => "depth of saw cuts",
            Proof::Strength => "strength",
            Proof::Thickness => "thickness by cores",
            Proof::Smoothness => "smoothness",
        }
    }

    /// The proof of a word.
    #[must_use]
    pub fn named(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|proof| proof.word() == word)
    }
}

/// How often something is to be proved.
#[derive(Clone, Debug, PartialEq)]
pub struct Required {
    /// What.
    pub proof: Proof,
    /// For each of these pieces of pavement.
    pub lot: LotRule,
    /// So many tests, at least.
    pub tests: RuleNumber,
}
