//! Rank 7. Placed against theoretical. Acceptance never enters here.

use chrono::NaiveDate;

use crate::figure::FigureId;

/// One line of the yield account: a placement, a day, a lane, a mix, or the contract.
#[derive(Clone, Debug, PartialEq)]
pub struct YieldLine {
    /// What it is for: `placement 14`, `NB-2`, `P-4000`.
    pub name: String,
    /// Day, for placements and days.
    pub date: Option<NaiveDate>,
    /// Plan volume of what was placed.
    pub theoretical: FigureId,
    /// Batched by ticket.
    pub batched: Option<FigureId>,
    /// Rejected.
    pub rejected: Option<FigureId>,
    /// Wasted at the site.
    pub wasted: Option<FigureId>,
    /// Returned to the plant.
    pub returned: Option<FigureId>,
    /// Batched less rejected, wasted and returned.
    pub net: FigureId,
    /// Net less theoretical.
    pub over: FigureId,
    /// The same in percent of theoretical.
    pub percent: FigureId,
    /// Depth the net volume makes over the placed area.
    pub depth: Option<FigureId>,
}

/// The yield account.
#[derive(Clone, Debug, PartialEq)]
pub struct Yield {
    /// By placement, in order of date and number.
    pub placements: Vec<YieldLine>,
    /// By day.
    pub days: Vec<YieldLine>,
    /// By lane; a placement's net volume is shared by theoretical volume.
    pub lanes: Vec<YieldLine>,
    /// By mix.
    pub mixes: Vec<YieldLine>,
    /// The whole contract; `None` where nothing was placed.
    pub contract: Option<YieldLine>,
    /// Volume on loads that fit no placement; `None` where there are none.
    pub loose: Option<FigureId>,
}
