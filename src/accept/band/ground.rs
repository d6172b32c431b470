//! The placed area that a test stands for, and what its result does to pay there.

use super::held::Held;
use super::stands::Stands;
use super::{Bench, what};
use crate::accept::ground::{CAUTION, add_note, in_words};
use crate::accept::price::{adjustment, pays};
use crate::accept::{Outcome, Places, Verdict};
use crate::figure::{Expr, Figure, FigureId, Statistic, Total};
use crate::finding::{Code, Finding, Place};
use crate::line::ledger::load;
use crate::line::{PlacedWithin, placed_within, slug};
use crate::units::Unit;

/// What of a ground lies in one section.
struct Share {
    area: FigureId,
    volume: FigureId,
    /// How it was computed.
    steps: Vec<FigureId>,
}

impl Bench<'_> {
    /// The outcomes of a ground, one for each section it lies in, and the finding where it is not paid in full.
    pub(super) fn conclude(&mut self, stands: &Stands, tests: &[usize], held: &Held, note: &str) -> Vec<usize> {
        let name = self.name(stands);
        let part = self.part_of_placement(stands, &slug(&name));
        let sections = stands.ground(self.ground);
        let alone = sections.len() == 1;
        let mut outcomes = Vec::new();
        let mut areas = Vec::new();
        for (section, places) in sections {
            let of = &self.ground.contract.sections[section].name;
            let name = if alone { name.clone() } else { format!("{name}, {of}") };
            let Some(share) = self.share(&places, &name, part.as_ref()) else { continue };
            areas.push(in_words(self.book, share.area));
            outcomes.push(self.judged.outcomes.len());
            let outcome = self.outcome((name, section, places), tests, held, share, note);
            self.judged.outcomes.push(outcome);
        }
        if !matches!(held.verdict, Verdict::Sound | Verdict::Raised) && !areas.is_empty() {
            let finding = self.outside(stands, tests, held, &areas.join(" and "));
            self.findings.push(finding);
        }
        outcomes
    }

    /// v of a load and V of all loads of its placement that went into the work.
    fn part_of_placement(&mut self, stands: &Stands, key: &str) -> Option<(FigureId, FigureId)> {
        let Stands::Load(index) = *stands else { return None };
        let (line, records, contract) = (self.ground.line, self.ground.records, self.ground.contract);
        let placement = stands.placement(self.ground)?;
        let rows = line.placements[placement].loads;
        let own = u32::try_from(index).ok().map(|index| (index, index.saturating_add(1)))?;
        let off = |row: usize| (records.loads[row].wasted.is_some(), records.loads[row].returned.is_some());
        let net = |rows: (u32, u32)| {
            let within = (rows.0..rows.1).filter_map(|row| usize::try_from(row).ok()).map(off);
            let (wasted, returned) =
                within.fold((false, false), |(w, r), (wasted, returned)| (w || wasted, r || returned));
            let total = |column| {
                let only = Some((load::OUTCOME, load::PLACED));
                Expr::from(Total { of: Statistic::Sum, table: line.ledger.loads, column, rows, only })
            };
            let less = [wasted.then_some(load::WASTED), returned.then_some(load::RETURNED)];
            less.into_iter().flatten().fold(total(load::VOLUME), |net, column| net - total(column))
        };
        let mut add = |part: &str, label: String, symbol: &'static str, rows| {
            let unit = contract.system.volume();
            let figure = Figure::new(format!("{key}.{part}"), label, symbol, unit, net(rows));
            self.book.add(figure.rounded(contract.roundings.volume).note("less wasted and returned"))
        };
        let number = &records.placements[placement].number.value;
        let ticket = &records.loads[index].ticket.value;
        let volume = add("load", format!("volume of load {ticket}"), "v", own);
        Some((volume, add("all-loads", format!("volume of all loads of placement {number}"), "V", rows)))
    }

    /// Area and volume of some stretches, or of a load's part of them; `None` where nothing is placed.
    fn share(&mut self, places: &Places, name: &str, part: Option<&(FigureId, FigureId)>) -> Option<Share> {
        let (line, contract, key) = (self.ground.line, self.ground.contract, slug(name));
        let whole = if part.is_some() { format!("{key}.placement") } else { key.clone() };
        let PlacedWithin { length, area, volume } = placed_within(line, contract, self.book, places, &whole, name)?;
        let Some(&(own, all)) = part else {
            return Some(Share { area, volume, steps: vec![length, area] });
        };
        let mut part_of = |what: &str, symbol: &'static str, of: FigureId, unit: Unit, rounding| {
            let figure = Figure::new(format!("{key}.{what}"), format!("{name}, {what}"), symbol, unit, of * own / all);
            self.book.add(figure.rounded(rounding).under(self.set.citation.clone()).note("the load's part by volume"))
        };
        let roundings = contract.roundings;
        let own_area = part_of("area", "A_l", area, contract.system.area(), roundings.area);
        let own_volume = part_of("volume", "V_l", volume, contract.system.volume(), roundings.volume);
        Some(Share { area: own_area, volume: own_volume, steps: vec![area, own, all, own_area] })
    }

    fn outcome(
        &mut self,
        (name, section, places): (String, usize, Places),
        tests: &[usize],
        held: &Held,
        share: Share,
        note: &str,
    ) -> Outcome {
        let limit = held.beyond.as_ref().map(|(_, limit)| limit.figure);
        let mut steps = vec![held.result];
        steps.extend(limit);
        steps.push(held.deviation);
        steps.extend(held.pay);
        steps.extend(share.steps);
        let mut outcome = Outcome {
            verdict: held.verdict,
            average: Some(held.result),
            entered: Some(held.deviation),
            pay: held.pay,
            area: Some(share.area),
            steps,
            note: held.note.clone(),
            ..Outcome::unjudged(self.set, name, section, places)
        };
        add_note(&mut outcome, note);
        let days = tests.iter().map(|&test| self.ground.records.fresh[test].date.value);
        outcome.decided = days.max();
        let effect = held.effect.filter(|_| held.verdict != Verdict::Sound);
        if let (Some(effect), Some(decided)) = (effect, outcome.decided) {
            let table = held.beyond.as_ref().and_then(|(side, _)| side.table(self.rule));
            outcome.adjustments.push(adjustment(self.book, table, effect, (share.area, share.volume), decided));
        }
        outcome
    }

    fn outside(&self, stands: &Stands, tests: &[usize], held: &Held, areas: &str) -> Finding {
        let said = |id| in_words(self.book, id);
        let how = held.beyond.as_ref().map_or_else(String::new, |(side, limit)| {
            format!("{} {}, {}", said(held.deviation), side.words(), limit.said)
        });
        let contract = self.ground.contract;
        let pays = match held.effect {
            Some(effect) => pays(self.book, contract, effect, areas),
            None => format!("pays in full for {areas}"),
        };
        let word = if held.verdict == Verdict::Undecided && !held.note.is_empty() {
            format!(" until it is decided ({})", held.note)
        } else {
            String::new()
        };
        let numbers = self.numbers(tests).join(", ");
        let message = format!(
            "{} {} is {how}; {} {pays}{word}, {}, and {CAUTION}; test {numbers}",
            what(self.set.property),
            said(held.result),
            self.set.named(),
            stands.name(self.ground),
        );
        let remedy = "compare the result with the tester's report; page Adjustments says what it does to pay";
        let mut cells = self.cells(tests).into_iter();
        let place = cells.next().unwrap_or(Place::Named(self.name(stands)));
        Finding::new(Code::FreshOutside, place, message, remedy).with(cells)
    }
}
