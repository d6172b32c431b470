//! Thick cores that the contractor has dropped where the rule lets him.
//!
//! ```text
//! limit    T + k s      s of all cores of the lot; only thicker ones may go
//! most     n p          so many of them, rounded down, thickest first
//! ```
//!
//! Iowa DOT I.M. 346: more than 3 s over the target, at most 10 percent of the cores; mean, standard deviation and index are
//! then computed of the others. The choice is the contractor's and stands in the contract file; nothing is dropped without
//! it, and nothing says here whether it is to his advantage.

use rust_decimal::Decimal;
use rust_decimal::prelude::ToPrimitive;

use super::counting::{Counting, says};
use super::{Bench, MeasuredCore};
use crate::accept::ground::in_words;
use crate::contract::{Contract, FILE};
use crate::figure::{Comparison, Expr, Figure, FigureId, compare, count, spread};
use crate::finding::{Code, Finding, Place};
use crate::line::{LotSpan, folded};
use crate::rules::{Judged, Measure, RuleSet, Shape, ThickOption};
use crate::units::{Mode, Rounding, Unit, conversions};

const ALL: &str = "all";

/// A choice to drop thick cores where no rule in use gives it.
pub(in crate::accept) fn unasked(contract: &Contract, sets: &[&RuleSet]) -> Option<Finding> {
    let gives = |set: &&RuleSet| matches!(&set.shape, Shape::Thickness(rule) if rule.thick_option.is_some());
    if contract.choices.drop_thick_cores.is_empty() || sets.iter().any(gives) {
        return None;
    }
    let message = "'choices.drop_thick_cores' has thick cores dropped, and no rule set in use gives that choice";
    Some(invalid(contract, message.into(), "take it out, or choose a rule set for thickness that has a 'thick_option'"))
}

fn invalid(contract: &Contract, message: String, remedy: &str) -> Finding {
    let place = Place::Line { file: FILE.into(), line: contract.choices.line, column: 1 };
    Finding::new(Code::ContractInvalid, place, message, remedy)
}

impl Bench<'_> {
    /// Choices for what is neither a section nor a lot.
    pub(super) fn unknown_choices(&mut self, lots: &[LotSpan]) {
        let contract = self.ground.contract;
        let names = contract.choices.drop_thick_cores.iter().map(|name| folded(name));
        for name in names.filter(|_| self.ground.only.is_none()) {
            let is = |other: &str| folded(other) == name;
            if name != ALL && !contract.sections.iter().any(|s| is(&s.name)) && !lots.iter().any(|lot| is(&lot.name)) {
                let message = format!("'choices.drop_thick_cores' names \"{name}\", which is no section and no lot");
                let remedy = "write the name of a section or of a lot as the reports print it, or \"all\"";
                self.findings.push(invalid(contract, message, remedy));
            }
        }
    }

    fn chosen(&self, lot: &LotSpan) -> bool {
        let contract = self.ground.contract;
        let (section, name) = (folded(&contract.sections[lot.section].name), folded(&lot.name));
        let chosen = contract.choices.drop_thick_cores.iter().map(|name| folded(name));
        chosen.into_iter().any(|chosen| [ALL, section.as_str(), name.as_str()].contains(&chosen.as_str()))
    }

    /// Drops the thick cores of a lot as far as the rule lets the contractor, where he chose so.
    pub(super) fn drop_thick(
        &mut self,
        lot: &LotSpan,
        of_lot: &[usize],
        cores: &mut [MeasuredCore],
        counting: &mut Counting,
    ) {
        let rule = self.rule;
        let Some(option) = rule.thick_option.as_ref().filter(|_| rule.judged == Judged::Lot && self.chosen(lot)) else {
            return;
        };
        let mut kept: Vec<usize> = of_lot.iter().copied().filter(|&i| cores[i].is_averaged()).collect();
        if kept.len() < 2 {
            return;
        }
        let lengths: Vec<FigureId> = kept.iter().map(|&i| cores[i].length).collect();
        let (limit, most) = self.thick_limit(lot, option, &lengths, counting);
        let thick = |i: &usize| self.book.evaluate(&compare(cores[*i].length, Comparison::Above, limit)).holds();
        kept.retain(thick);
        kept.sort_by_key(|&i| (cores[i].short, i));
        kept.truncate(self.book[most].value.decimal().and_then(|most| most.to_usize()).unwrap_or(0));
        for &i in &kept {
            cores[i].dropped = true;
            says(&mut cores[i], "thick, dropped at the contractor's choice");
        }
        let names: Vec<&str> = kept.iter().map(|&i| cores[i].number.as_str()).collect();
        counting.notes.push(match (names.as_slice(), self.book[limit].text(), in_words(self.book, most)) {
            ([], limit, _) => {
                format!(
                    "the contractor chose to drop thick cores, and none may go (over {limit} {}, {} of them)",
                    rule.depth, option.most.written
                )
            }
            (names, limit, most) => format!(
                "dropped at the contractor's choice, over {limit} {}, at most {most}: core {}",
                rule.depth,
                names.join(", ")
            ),
        });
    }

    /// T + k s, and how many may go.
    fn thick_limit(
        &mut self,
        lot: &LotSpan,
        option: &ThickOption,
        lengths: &[FigureId],
        counting: &mut Counting,
    ) -> (FigureId, FigureId) {
        let (unit, design) = (self.rule.depth, self.designs[lot.section].thickness);
        let decimals = self.book[design].decimals.max(self.rule.core.decimals());
        let key = |part: &str| format!("{}.thick-{part}", lot.key);
        let all = || lengths.iter().copied();
        let s = Figure::new(key("spread"), "standard deviation of all cores", "s", unit, spread(all()));
        let s = match &self.rule.measure {
            Measure::Index { spread, .. } => s.rounded(*spread),
            _ => s.shown(decimals + 2),
        };
        let s = self.book.add(s.under(&option.beyond.clause));
        let beyond = self.book.given(option.beyond.given("standard deviations over the target", "k"));
        let limit = design + beyond * s;
        let limit = Figure::new(key("limit"), "only thicker cores may be dropped", "tmax", unit, limit);
        let limit = self.book.add(limit.shown(decimals).under(&option.beyond.clause));
        let share = self.book.given(option.most.given("largest share of the cores", "p"));
        let most = count(all()) * Expr::from(share).to(conversions::PERCENT_TO_RATIO);
        let most = Figure::new(key("most"), "cores that may be dropped", "nmax", Unit::One, most);
        let most = match Rounding::new(Decimal::ONE, Mode::Down) {
            Ok(down) => most.rounded(down),
            Err(_) => most,
        };
        let most = self.book.add(most.under(&option.most.clause));
        counting.steps.extend([s, limit, most]);
        (limit, most)
    }
}
