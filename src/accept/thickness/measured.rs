//! Cores as measured: length, deficiency, and the lot each one belongs to.
//!
//! The length is the mean of its readings, rounded where the rule rounds before it compares (a single reading is rounded as it is). A core that stands
//! where nothing was placed is reported and not used.

use chrono::NaiveDate;
use rust_decimal::Decimal;

use super::{Design, in_depth};
use crate::accept::ground::Ground;
use crate::figure::{Book, CellId, Figure, FigureId, mean};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Core, LaneId, Purpose};
use crate::line::{LotSpan, slug};
use crate::rules::{RuleSet, ThicknessRule};
use crate::units::Station;

/// A core on the line.
#[derive(Clone, Debug)]
pub(super) struct MeasuredCore {
    /// Place in the records.
    pub(super) core: usize,
    pub(super) number: String,
    pub(super) lane: LaneId,
    pub(super) at: Station,
    pub(super) date: NaiveDate,
    /// Place in the lots.
    pub(super) lot: usize,
    /// Section of the contract.
    pub(super) section: usize,
    pub(super) exploratory: bool,
    /// Mean of the readings, rounded.
    pub(super) length: FigureId,
    /// Design thickness less length.
    pub(super) deficiency: FigureId,
    /// What `deficiency` came to; negative for a thick core.
    pub(super) short: Decimal,
    /// True where it bounds and counts nowhere: not verified, assurance.
    pub(super) out: bool,
    /// True where it is left out of its lot's average though it counts for the number of cores: an outlier, a thick one.
    pub(super) dropped: bool,
    /// Number of the core that it settles.
    pub(super) settles: Option<String>,
    /// How it counts, in words; empty where that is plain.
    pub(super) standing: String,
}

impl MeasuredCore {
    /// Whether it counts for its lot's number of cores.
    pub(super) fn is_of_lot(&self) -> bool {
        !self.exploratory && !self.out
    }

    /// Whether it may enter an average.
    pub(super) fn is_averaged(&self) -> bool {
        self.is_of_lot() && !self.dropped
    }
}

/// Every core that is not void and stands on placed pavement, by lane and station. `designs` are the design thicknesses by section.
pub(super) fn measure(
    ground: Ground,
    (set, rule): (&RuleSet, &ThicknessRule),
    lots: &[LotSpan],
    designs: &[Design],
    book: &mut Book,
    findings: &mut Vec<Finding>,
) -> Vec<MeasuredCore> {
    let mut measured = Vec::new();
    let counted = |core: &Core| core.purpose != Purpose::Void;
    for (i, core) in ground.records.cores.iter().enumerate().filter(|(_, core)| counted(core)) {
        let Some(lot) = ground.lot_at(lots, core.lane.value, core.station.value) else {
            findings.push(unplaced(ground, core));
            continue;
        };
        let section = lots[lot].section;
        let (length, deficiency) = figures(ground, (set, rule), i, designs[section].thickness, book);
        let Some(short) = book[deficiency].value.decimal() else {
            findings.push(unmeasured(core));
            continue;
        };
        measured.push(MeasuredCore {
            core: i,
            number: core.number.value.to_string(),
            lane: core.lane.value,
            at: core.station.value,
            date: core.date.value,
            lot,
            section,
            exploratory: !core.purpose.is_averaged(),
            length,
            deficiency,
            short,
            out: false,
            dropped: false,
            settles: None,
            standing: String::new(),
        });
    }
    measured.sort_by_key(|core| (core.lane, core.at, core.core));
    measured
}

/// Length t of a core and its deficiency T - t.
fn figures(
    ground: Ground,
    (set, rule): (&RuleSet, &ThicknessRule),
    i: usize,
    design: FigureId,
    book: &mut Book,
) -> (FigureId, FigureId) {
    let core = &ground.records.cores[i];
    let (number, depth) = (&core.number.value, rule.depth);
    let key = format!("core-{}", slug(number));
    let readings: Vec<CellId> = (0..core.readings.len()).map(|k| ground.line.ledger.core_reading(i, k)).collect();
    let length = Figure::new(
        format!("{key}.length"),
        format!("core {number}, length"),
        format!("t({number})"),
        depth,
        in_depth(ground, rule, mean(readings)),
    );
    let length = book.add(set.compared(length, rule.core).under(&set.citation));
    let decimals = book[length].decimals.max(book[design].decimals);
    let deficiency = Figure::new(
        format!("{key}.deficiency"),
        format!("core {number}, deficiency"),
        format!("d({number})"),
        depth,
        design - length,
    );
    (length, book.add(deficiency.shown(decimals)))
}

fn unplaced(ground: Ground, core: &Core) -> Finding {
    Finding::new(
        Code::CoreUnplaced,
        Place::Row(core.number.at),
        format!(
            "core {} stands at {} in lane {}, where no placement lies; it is not used",
            core.number.value,
            ground.contract.station(core.lane.value, core.station.value),
            ground.contract.lane(core.lane.value).name
        ),
        "correct the lane or the station of the core, or add the missing placement",
    )
}

fn unmeasured(core: &Core) -> Finding {
    Finding::new(
        Code::CellUnreadable,
        Place::Row(core.number.at),
        format!("the length of core {} cannot be computed from its readings; it is not used", core.number.value),
        "correct the readings of the core",
    )
}
