//! What a reader must see in the account: a placement that took less than its plan volume, which is a warning of thin
//! pavement and not a saving; one that took more than the contract's limit, or than the others make likely; a mix whose
//! tickets say more than came; a low stretch under the slab.

use std::collections::BTreeSet;

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::running::RunningRow;
use super::{LowGrade, MixYield, Yield, YieldLine};
use crate::contract::Entered;
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::intake::LaneId;
use crate::line::span;
use crate::reconcile::Ground;
use crate::statistics::{outlier_critical, student};
use crate::units::Station;
use crate::units::conversions::RATIO_TO_PERCENT;

/// Chance of naming a placement, or a mix, that is like the others: one in a hundred over both sides.
const BY_CHANCE: f64 = 0.005;

pub(super) fn warnings(ground: Ground<'_>, book: &Book, account: &Yield) -> Vec<Finding> {
    let words = Words { ground, book };
    let of_placements = account.placements.iter().filter_map(|y| words.warning(y, y.placement?));
    let mut findings: Vec<Finding> = of_placements.collect();
    findings.extend(words.left_limits(account));
    findings.extend(words.unlike_others(account));
    findings.extend(account.densities.iter().filter_map(|mix| words.under_yields(mix)));
    findings.extend(account.low_grade.iter().map(|low| words.low_grade(low)));
    findings
}

struct Words<'a> {
    ground: Ground<'a>,
    book: &'a Book,
}

impl Words<'_> {
    fn warning(&self, y: &YieldLine, p: usize) -> Option<Finding> {
        let (over, theoretical) = (self.number(y.over)?, self.number(y.theoretical)?);
        if theoretical <= Decimal::ZERO {
            return None;
        }
        if over < Decimal::ZERO {
            return Some(self.under(y, p));
        }
        let percent = RATIO_TO_PERCENT.apply(over.checked_div(theoretical)?)?;
        let limits = &self.ground.contract.yields;
        let over = |limit: &&Entered| percent > limit.value;
        let act = limits.act_over.as_ref().filter(over).map(|limit| self.above(y, p, limit, Code::OverActLimit));
        act.or_else(|| limits.warn_over.as_ref().filter(over).map(|limit| self.above(y, p, limit, Code::OverLimit)))
    }

    fn under(&self, y: &YieldLine, p: usize) -> Finding {
        let depth = y.depth.map_or_else(String::new, |depth| {
            format!("; over its area the net volume makes {}, of {} designed", self.written(depth), self.designed(p))
        });
        let limit = self.ground.contract.yields.act_under.as_ref();
        let percent = self.number(y.over).zip(self.number(y.theoretical));
        let percent = percent.and_then(|(over, theory)| RATIO_TO_PERCENT.apply(over.checked_div(theory)?));
        let beyond = limit.filter(|limit| percent.is_some_and(|percent| -percent > limit.value));
        let beyond = beyond.map_or_else(String::new, |l| format!(", beyond the contract's limit of {}", l.written));
        Finding::new(
            Code::PlacedUnderTheory,
            Place::Row(self.ground.records.placements[p].number.at),
            format!("{} ({} %){beyond}{depth}", self.against(y, p, "less"), self.book[y.percent].text()),
            format!(
                "core {} before it is taken as full thickness; check that every ticket is there and what is noted as wasted",
                self.where_to_core(p)
            ),
        )
    }

    fn above(&self, y: &YieldLine, p: usize, limit: &Entered, code: Code) -> Finding {
        let percent = self.book[y.percent].text();
        let (word, first) = match code {
            Code::OverActLimit => {
                ("the contract's limit to act, ", "hold the next placement until the cause is known: ")
            }
            _ => ("the contract's limit of ", ""),
        };
        Finding::new(
            code,
            Place::Row(self.ground.records.placements[p].number.at),
            format!("{} ({percent} %), above {word}{}", self.against(y, p, "more"), limit.written),
            format!(
                "{first}look for low grade, edge slump, waste or returned concrete not noted, and a stretch measured short"
            ),
        )
    }

    /// The first placement with which the account to date was over the contract's limit.
    fn left_limits(&self, account: &Yield) -> Option<Finding> {
        let row = account.running.rows.get(account.running.first_over?)?;
        let limit = self.ground.contract.yields.warn_over.as_ref()?;
        let y = account.placements.get(row.line)?;
        let placement = &self.ground.records.placements[y.placement?];
        Some(Finding::new(
            Code::YieldLeftLimit,
            Place::Row(placement.number.at),
            format!(
                "up to and with placement {} of {} the contract took {} net for a plan volume of {}, {} % over: the first \
                 placement with which it is above the contract's limit of {}",
                placement.number.value,
                placement.date.value,
                self.written(row.net),
                self.written(row.theoretical),
                self.book[row.percent].text(),
                limit.written
            ),
            "read the account from top to bottom on the page Yield: it shows which causes are measured and what is left",
        ))
    }

    /// Placements outside the control chart that chance does not explain either (ASTM E178, both sides, 1 percent).
    fn unlike_others(&self, account: &Yield) -> Vec<Finding> {
        let rows = &account.running.rows;
        let own: Vec<f64> = rows.iter().filter_map(|row| self.book[row.own].value.real()).collect();
        let Some(count) = own.len().to_f64().filter(|&n| n > 2.0 && own.len() == rows.len()) else { return Vec::new() };
        let mean = own.iter().sum::<f64>() / count;
        let spread = (own.iter().map(|x| (x - mean).powi(2)).sum::<f64>() / (count - 1.0)).sqrt();
        let Some(most) = outlier_critical(BY_CHANCE, own.len()) else { return Vec::new() };
        let apart = |row: &RunningRow, x: f64| row.outside && spread > 0.0 && (x - mean).abs() / spread > most;
        let named = rows.iter().zip(own).filter(|(row, x)| apart(row, *x));
        named.filter_map(|(row, _)| self.unlike(account, row)).collect()
    }

    fn unlike(&self, account: &Yield, row: &RunningRow) -> Option<Finding> {
        let y = account.placements.get(row.line)?;
        let placement = &self.ground.records.placements[y.placement?];
        let (low, _, high) = account.running.chart?;
        let excess = row.excess?;
        let more = self.number(excess.volume)? >= Decimal::ZERO;
        let worth = excess.money.map(|money| self.money(money));
        let worth = worth.map_or_else(String::new, |worth| format!(" ({})", worth.trim_start_matches('-')));
        let finding = Finding::new(
            Code::YieldUnlikeOthers,
            Place::Row(placement.number.at),
            format!(
                "placement {} of {} took {} % {} its plan volume, where all placements make {} to {} % over it likely; that is \
                 {} {} than the others took for as much plan volume{worth}",
                placement.number.value,
                placement.date.value,
                self.book[row.own].text().trim_start_matches('-'),
                if self.number(row.own)? < Decimal::ZERO { "under" } else { "over" },
                self.book[low].text(),
                self.book[high].text(),
                self.written(excess.volume).trim_start_matches('-'),
                if more { "more" } else { "less" },
            ),
            "compare its tickets with the batch weights, the times of its trucks and the inspector's count of loads, and its \
             stations with the ground",
        );
        Some(finding)
    }

    /// A mix whose loads yield less than their tickets, by more than the tests leave to chance.
    fn under_yields(&self, mix: &MixYield) -> Option<Finding> {
        let ((relative, off), short) = (mix.relative?, mix.short?);
        let (mean, off_by) = (self.book[relative].value.real()?, self.book[off?].value.real()?);
        let df = mix.loads.len().checked_sub(1)?.to_f64()?;
        let certain = off_by / student(0.025, df)? * student(BY_CHANCE, df)?;
        if 1.0 - mean <= certain {
            return None;
        }
        let worth = short.money.map_or_else(String::new, |money| format!(", worth {}", self.money(money)));
        let cells = mix.loads.iter().map(|single| {
            let test = &self.ground.records.fresh[single.test];
            Place::Row(test.number.at)
        });
        let finding = Finding::new(
            Code::MixUnderYields,
            Place::Named(format!("mix {}", mix.mix)),
            format!(
                "{} loads of mix {} yielded {} of their tickets by density (give or take {}): of {} net by ticket, {} were not \
                 there{worth}",
                mix.loads.len(),
                mix.mix,
                self.book[relative].text(),
                self.book[off?].text(),
                self.written(short.net),
                self.written(short.volume)
            ),
            "hand the supplier the table of relative yields; have scales, batch weights and air checked",
        );
        Some(finding.with(cells))
    }

    fn low_grade(&self, low: &LowGrade) -> Finding {
        let contract = self.ground.contract;
        let limit = contract.yields.low_grade.as_ref().map_or("", |limit| limit.written.as_str());
        let worth = low.money.map_or_else(String::new, |money| format!(", worth {}", self.money(money)));
        let rows = || low.levels.iter().map(|&level| self.ground.records.levels[level].number.at);
        let place = Place::Named(format!(
            "{}, {} to {}",
            contract.lane(low.lane).name,
            contract.station(low.lane, low.from),
            contract.station(low.lane, low.to)
        ));
        let finding = Finding::new(
            Code::GradeLow,
            place,
            format!(
                "{} under the slab {} below design on average, each station by more than the contract's {limit}; over {} that \
                 takes {} of concrete beyond the plan volume{worth}",
                match low.levels.len() {
                    1 => "1 level".to_string(),
                    n => format!("{n} levels"),
                },
                if low.levels.len() == 1 {
                    format!("lies {}", self.written(low.low))
                } else {
                    format!("lie {}", self.written(low.low))
                },
                self.written(low.area),
                self.written(low.volume)
            ),
            "trim or fill before concrete is placed; where it is placed, the account shows what it took",
        );
        finding.with(rows().map(Place::Row))
    }

    /// `near 13+00 in NB-1, the middle of its longest part without a core or probe`.
    fn where_to_core(&self, p: usize) -> String {
        let Ground { contract, line, .. } = self.ground;
        let longest = line.placements[p]
            .stretches
            .iter()
            .flat_map(|&s| self.bare(s))
            .max_by_key(|(_, from, to)| (to.along - from.along, std::cmp::Reverse(from.along)));
        longest.map_or_else(
            || "here".into(),
            |(lane, from, to)| {
                let middle = contract.alignment(lane).at((from.along + to.along) / Decimal::TWO);
                // To a whole foot or metre as painted.
                let whole = contract.alignment(lane).at(middle.along + (middle.label.round() - middle.label));
                format!(
                    "near {} in {}, the middle of its longest part without a core or probe,",
                    contract.station(lane, whole),
                    contract.lane(lane).name
                )
            },
        )
    }

    /// The parts of a stretch between its ends and what was cored or probed in it.
    fn bare(&self, s: usize) -> Vec<(LaneId, Station, Station)> {
        let Ground { contract, records, line } = self.ground;
        let stretch = &line.stretches[s];
        let within = |lane: LaneId, at: Station| {
            (lane == stretch.lane && stretch.from.along < at.along && at.along < stretch.to.along).then_some(at.along)
        };
        let cores = line.cores_along.iter().filter(|(lane, ..)| *lane == stretch.lane);
        let cores = cores.filter_map(|&(lane, along, _)| within(lane, contract.alignment(lane).at(along)));
        let probes = records.probes.iter().filter_map(|p| within(p.lane.value, p.station.value));
        let mut cuts: Vec<Decimal> = cores.chain(probes).chain([stretch.from.along, stretch.to.along]).collect();
        cuts.sort_unstable();
        let at = |along| contract.alignment(stretch.lane).at(along);
        cuts.windows(2).map(|pair| (stretch.lane, at(pair[0]), at(pair[1]))).collect()
    }

    /// `placement 14 of 2031-07-01 (NB-1, 10+00 to 12+00) took 880.00 yd3 net for a plan volume of 888.89 yd3, 8.89 less`.
    fn against(&self, y: &YieldLine, p: usize, more_or_less: &str) -> String {
        let placement = &self.ground.records.placements[p];
        let difference = self.book[y.over].text();
        format!(
            "placement {} of {} ({}) took {} net for a plan volume of {}, {} {more_or_less}",
            placement.number.value,
            placement.date.value,
            span(self.ground.contract, placement),
            self.written(y.net),
            self.written(y.theoretical),
            difference.trim_start_matches('-'),
        )
    }

    /// Design thickness of the sections a placement lies in: `10 in`, `8 in and 10 in`.
    fn designed(&self, p: usize) -> String {
        let line = self.ground.line;
        let sections: BTreeSet<usize> =
            line.placements[p].stretches.iter().map(|&s| line.stretches[s].section).collect();
        let mut written: Vec<&str> =
            sections.iter().map(|&s| self.ground.contract.sections[s].thickness.written.as_str()).collect();
        written.sort_unstable();
        written.dedup();
        written.join(" and ")
    }

    fn number(&self, id: FigureId) -> Option<Decimal> {
        self.book[id].value.decimal()
    }

    fn written(&self, id: FigureId) -> String {
        format!("{} {}", self.book[id].text(), self.book[id].unit)
    }

    /// `$1,234.50`, `-$1,234.50`.
    fn money(&self, id: FigureId) -> String {
        let text = self.book[id].text();
        let sign = &self.ground.contract.currency;
        text.strip_prefix('-').map_or_else(|| format!("{sign}{text}"), |text| format!("-{sign}{text}"))
    }
}
