//! One lot priced under several rule sets: what another agency's rule would have made of the same cores.

use super::{Computed, Stop, named};
use crate::accept::{Outcome, judge_on};
use crate::dossier::{Compared, comparison};
use crate::figure::{Book, Figure, FigureId, sum};
use crate::finding::{Code, Finding, Place};
use crate::line::LotSpan;
use crate::pay::worth;
use crate::render::table_text;
use crate::rules::RuleSet;
use crate::units::Unit;

impl Computed {
    /// A lot, by its name or a part of it that only one lot has, under rule sets of its property in the contract's units:
    /// those named, or all there are.
    ///
    /// # Errors
    /// Where no lot, or more than one, has that name, or a rule set named cannot judge it.
    pub fn compare(&self, lot: &str, with: &[String], catalogue: &[RuleSet]) -> Result<String, Stop> {
        let outcome = self.outcome(lot)?;
        let sets = self.sets(outcome, with, catalogue)?;
        let span = LotSpan {
            name: outcome.name.clone(),
            key: "compared".into(),
            section: outcome.section,
            places: outcome.places.clone(),
        };
        let mut book = self.book.clone();
        let compared: Vec<Compared> = sets.into_iter().map(|set| self.under(set, &span, &mut book)).collect();
        let items = self.contract.items.iter().filter(|item| item.measured.sections().contains(&outcome.section));
        let items: Vec<&str> = items.map(|item| item.number.as_str()).collect();
        let table = comparison(&self.contract, (&outcome.name, &items.join(", ")), &compared, &book);
        Ok(format!("{}\n\n{}", table.title, table_text(&table, &book, &self.dossier().head)))
    }

    fn under<'s>(&self, set: &'s RuleSet, span: &LotSpan, book: &mut Book) -> Compared<'s> {
        let records = (&self.contract, &self.intake.records, &self.line);
        let judged = judge_on(records, set, span, self.through, book);
        let mut outcomes: Vec<(Outcome, Option<FigureId>)> = Vec::new();
        for outcome in judged.outcomes {
            let amounts = worth(&self.contract, &outcome, book).into_iter().map(|(_, amount)| amount).collect();
            let amount = total(book, &format!("compared.{}.{}", set.id, outcomes.len()), amounts);
            outcomes.push((outcome, amount));
        }
        let amounts = outcomes.iter().filter_map(|(_, amount)| *amount).collect();
        let amount = total(book, &format!("compared.{}", set.id), amounts);
        Compared { set, outcomes, amount }
    }

    fn outcome(&self, wanted: &str) -> Result<&Outcome, Stop> {
        let all = &self.judged.outcomes;
        let names: Vec<&str> = all.iter().map(|outcome| outcome.name.as_str()).collect();
        let nothing = "no lot is judged; choose a rule set in contract.toml first";
        named::lot(wanted, &names, nothing).map(|lot| &all[lot])
    }

    fn sets<'s>(&self, outcome: &Outcome, with: &[String], catalogue: &'s [RuleSet]) -> Result<Vec<&'s RuleSet>, Stop> {
        let fits = |set: &&RuleSet| set.property == outcome.property && set.system == self.contract.system;
        let able: Vec<&RuleSet> = catalogue.iter().filter(fits).collect();
        if with.is_empty() {
            return Ok(able);
        }
        let ids: Vec<&str> = able.iter().map(|set| set.id.as_str()).collect();
        let found: Result<Vec<&RuleSet>, &String> =
            with.iter().map(|id| able.iter().copied().find(|set| set.id == *id).ok_or(id)).collect();
        found.map_err(|id| {
            let message = format!("no rule set of this id judges {} in the contract's units", outcome.property.word());
            let remedy = format!("choose from {}", ids.join(", "));
            Finding::new(Code::RuleInvalid, Place::Named(id.clone()), message, remedy).into()
        })
    }
}

/// The sum of amounts; `None` of nothing.
fn total(book: &mut Book, key: &str, amounts: Vec<FigureId>) -> Option<FigureId> {
    if amounts.is_empty() {
        return None;
    }
    Some(book.add(Figure::new(key, "adjustments", "a", Unit::Money, sum(amounts)).shown(2)))
}
