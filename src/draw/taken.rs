//! Drawn and taken: every core of a lot held against the location drawn for it.
//!
//! Cores and locations of a lot are paired one to one so that as few as possible are off, and the total distance is least:
//! the benefit of the doubt. A core in another lane, further along the line than the tolerance, or further across where its
//! offset can be read, was moved. Exploratory, check and void cores, referees' and assurance cores are not compared.
//!
//! A moved core still counts: whether its lot is judged without it is the engineer's decision.

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use super::locate::{DrawnLot, Location};
use super::offset::{from_left, stated, written};
use super::pairing::pairing;
use crate::contract::{Contract, DrawRule};
use crate::figure::{Book, Figure, FigureId, Given, Origin};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Core, Records, TakenBy};
use crate::line::{Line, LotSpan, slug, within};
use crate::units::plain;

/// A core that is averaged in a lot.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct LotCore<'a> {
    /// Place in the records.
    pub core: usize,
    /// Name of the lot.
    pub lot: &'a str,
}

/// A drawn location with the core taken for it, or a core for which none was drawn.
#[derive(Clone, Debug, PartialEq)]
pub struct CoreDrawn {
    /// Name of the lot.
    pub lot: String,
    /// The location.
    pub drawn: Option<Drawn>,
    /// The core, by place in the records; `None` where it is not taken yet.
    pub core: Option<usize>,
    /// How far ahead of the drawn location along the line it was taken, negative where behind.
    pub off: Option<FigureId>,
    /// Last day it is due, once the lot is wholly placed.
    pub due: Option<NaiveDate>,
}

/// A drawn location as figures.
#[derive(Clone, Debug, PartialEq)]
pub struct Drawn {
    /// Lane and station in words.
    pub lane: String,
    /// Station as painted.
    pub station: String,
    /// Distance along the line.
    pub along: FigureId,
    /// Offset as the contract has it measured.
    pub offset: FigureId,
}

/// Holds the cores against the locations of their lots. Lots on which nothing is placed yet are left out.
pub fn compare(
    contract: &Contract,
    rule: &DrawRule,
    (records, line): (&Records, &Line),
    (drawn, cores): (&[DrawnLot], &[LotCore]),
    book: &mut Book,
) -> (Vec<CoreDrawn>, Vec<Finding>) {
    let mut bench = Bench { contract, rule, records, line, book, rows: Vec::new(), findings: Vec::new() };
    for lot in drawn {
        bench.lot(lot, cores);
    }
    (bench.rows, bench.findings)
}

struct Bench<'a> {
    contract: &'a Contract,
    rule: &'a DrawRule,
    records: &'a Records,
    line: &'a Line,
    book: &'a mut Book,
    rows: Vec<CoreDrawn>,
    findings: Vec<Finding>,
}

/// How far a core is from a location.
struct Off {
    /// Along the line, ahead positive.
    along: Decimal,
    /// Across the lane, where its offset can be read and is compared.
    across: Option<Decimal>,
    other_lane: bool,
    moved: bool,
}

/// More than any distance along a line: one core moved less outweighs all distances.
const MOVED: Decimal = rust_decimal::dec!(1_000_000_000_000);

impl Bench<'_> {
    fn lot(&mut self, drawn: &DrawnLot, cores: &[LotCore]) {
        let lot = &drawn.lot;
        let placed = lot.places.iter().any(|&(lane, from, to)| !within(self.line, lane, from, to).is_empty());
        if !placed {
            return;
        }
        let own = self.compared(&lot.name, cores);
        let due = self.due(lot);
        let costs: Vec<Vec<Decimal>> = drawn
            .locations
            .iter()
            .map(|location| own.iter().map(|&core| self.cost(location, core)).collect())
            .collect();
        let paired = pairing(&costs);
        for (location, at) in drawn.locations.iter().zip(&paired) {
            let core = at.map(|at| own[at]);
            self.pair(drawn, location, core, due);
        }
        let over = own.iter().enumerate().filter(|(at, _)| !paired.contains(&Some(*at))).map(|(_, &core)| core);
        for core in over.collect::<Vec<_>>() {
            self.left_over(drawn, (core, &own), due);
        }
    }

    /// The cores of a lot that are compared, by lane, station and number.
    fn compared(&self, lot: &str, cores: &[LotCore]) -> Vec<usize> {
        let stands_for_itself =
            |core: &Core| core.settles.is_none() && !matches!(core.taken_by, TakenBy::Assurance | TakenBy::Referee);
        let mut own: Vec<usize> = cores
            .iter()
            .filter(|c| c.lot == lot && stands_for_itself(&self.records.cores[c.core]))
            .map(|c| c.core)
            .collect();
        let order = |&i: &usize| {
            let core = &self.records.cores[i];
            (core.lane.value, core.station.value, core.number.value.clone(), i)
        };
        own.sort_by_key(order);
        own
    }

    /// Last day on which the cores of a wholly placed lot may be taken.
    fn due(&self, lot: &LotSpan) -> Option<NaiveDate> {
        let mut last = None;
        for &(lane, from, to) in &lot.places {
            let pieces = within(self.line, lane, from, to);
            let placed: Decimal = pieces.iter().map(|piece| piece.to.along - piece.from.along).sum();
            if placed < to.along - from.along {
                return None;
            }
            last = last.max(pieces.iter().map(|piece| self.line.stretches[piece.stretch].date).max());
        }
        last?.checked_add_days(Days::new(self.rule.within_days?.into()))
    }

    fn off(&self, location: &Location, core: &Core) -> Off {
        let along = core.station.value.along - location.at.along;
        let other_lane = core.lane.value != location.lane;
        let system = self.contract.system;
        let across = self.rule.tolerance_across.as_ref().filter(|_| !other_lane).and_then(|_| {
            let text = core.offset.as_ref()?;
            Some(from_left(&text.value, self.rule.offset_from, location.width, system)? - location.offset)
        });
        let too_far = |limit: Option<Decimal>| across.zip(limit).is_some_and(|(by, limit)| by.abs() > limit);
        let moved = other_lane
            || along.abs() > self.rule.tolerance.value
            || too_far(self.rule.tolerance_across.as_ref().map(|t| t.value));
        Off { along, across, other_lane, moved }
    }

    fn cost(&self, location: &Location, core: usize) -> Decimal {
        let off = self.off(location, &self.records.cores[core]);
        let aside = if off.other_lane { location.width } else { off.across.unwrap_or_default().abs() };
        off.along.abs() + aside + if off.moved { MOVED } else { Decimal::ZERO }
    }

    fn pair(&mut self, drawn: &DrawnLot, location: &Location, core: Option<usize>, due: Option<NaiveDate>) {
        let figures = self.drawn(drawn, location);
        let off = core.map(|core| {
            let number = &self.records.cores[core].number.value;
            let figure = Figure::new(
                format!("core-{}.off-drawn", slug(number)),
                format!("core {number}, ahead of its drawn location (behind where negative)"),
                format!("off({number})"),
                self.contract.system.length(),
                self.line.ledger.core_along(core) - figures.along,
            );
            self.book.add(figure)
        });
        if let Some(core) = core {
            self.judge(drawn, location, core);
            self.late(&drawn.lot, core, due);
        }
        self.rows.push(CoreDrawn { lot: drawn.lot.name.clone(), drawn: Some(figures), core, off, due });
    }

    /// Station and offset of a location, as they were drawn.
    fn drawn(&mut self, drawn: &DrawnLot, location: &Location) -> Drawn {
        let (lot, number) = (&drawn.lot, location.number);
        let station = self.contract.station(location.lane, location.at);
        let offset = stated(self.rule.offset_from, location.offset, location.width);
        let in_words = written(self.rule.offset_from, location.offset, location.width, self.contract.system);
        let from = format!("from the {}", self.rule.offset_from.word());
        let along = self.figure(lot, location, "", (location.at.along, &station), ("along the line", &station));
        let offset = self.figure(lot, location, "-offset", (offset, &in_words), (&from, &format!("o{number}")));
        Drawn { lane: self.contract.lane(location.lane).name.clone(), station, along, offset }
    }

    fn figure(
        &mut self,
        lot: &LotSpan,
        location: &Location,
        part: &str,
        (value, in_words): (Decimal, &str),
        (what, symbol): (&str, &str),
    ) -> FigureId {
        let label = format!("location {} drawn for {}, {what}", location.number, lot.name);
        let unit = self.contract.system.length();
        let (u, v) = location.numbers;
        let given = self.book.given(Given {
            label: label.clone(),
            symbol: symbol.into(),
            value,
            unit,
            written: in_words.into(),
            origin: Origin::Drawn {
                seed: self.rule.seed.clone(),
                how: format!("{}, pair {}: {u} along and {v} across; {what}", location.stream, location.pair),
            },
        });
        let decimals = u8::try_from(value.normalize().scale()).unwrap_or(unit.decimals()).max(unit.decimals());
        let key = format!("{}.drawn-{}{part}", lot.key, location.number);
        self.book.add(Figure::new(key, label, symbol, unit, given).shown(decimals))
    }

    fn judge(&mut self, drawn: &DrawnLot, location: &Location, core: usize) {
        let off = self.off(location, &self.records.cores[core]);
        if !off.moved {
            return;
        }
        let core = &self.records.cores[core];
        let (lot, unit, rule) = (&drawn.lot.name, self.contract.system.length(), self.rule);
        let mut how = Vec::new();
        if off.other_lane {
            how.push("another lane".to_string());
        }
        let ahead = if off.along < Decimal::ZERO { "behind" } else { "ahead" };
        how.push(format!("{} {unit} {ahead} ({} allowed)", plain(off.along.abs()), rule.tolerance.written));
        if let (Some(by), Some(most)) = (off.across, &rule.tolerance_across) {
            let side = if by < Decimal::ZERO { "left" } else { "right" };
            how.push(format!("{} {unit} to the {side} ({} allowed)", plain(by.abs()), most.written));
        }
        let message = format!(
            "core {} of {lot} stands for location {}, drawn at {} in lane {}, {} from the {}, but was taken at {}: {}",
            core.number.value,
            location.number,
            self.contract.station(location.lane, location.at),
            self.contract.lane(location.lane).name,
            written(rule.offset_from, location.offset, location.width, self.contract.system),
            rule.offset_from.word(),
            self.stands(core),
            how.join(", ")
        );
        let remedy = "correct the station, lane or offset if it is mistyped; otherwise drill at the drawn location, or let \
                      the engineer record why the core was moved";
        self.findings.push(Finding::new(Code::CoreMoved, Place::Row(core.number.at), message, remedy));
    }

    /// `9+00 in lane L1`, with the offset as typed.
    fn stands(&self, core: &Core) -> String {
        let offset = core.offset.as_ref().map_or_else(String::new, |text| format!(", offset '{}'", text.value));
        let station = self.contract.station(core.lane.value, core.station.value);
        format!("{station} in lane {}{offset}", self.contract.lane(core.lane.value).name)
    }

    fn late(&mut self, lot: &LotSpan, core: usize, due: Option<NaiveDate>) {
        let core = &self.records.cores[core];
        let (Some(due), Some(days)) = (due.filter(|due| core.date.value > *due), self.rule.within_days) else { return };
        let message = format!(
            "core {} of {} was drilled on {}; it was due by {due}, within {days} days of the lot's last placing",
            core.number.value, lot.name, core.date.value
        );
        let remedy = "correct the date if it is mistyped; otherwise let the engineer record why the core was late";
        self.findings.push(Finding::new(Code::CoreLate, Place::Row(core.number.at), message, remedy));
    }

    /// A core beyond the number drawn. Where several parties took cores of the lot, those over are another party's own.
    fn left_over(&mut self, drawn: &DrawnLot, (core, own): (usize, &[usize]), due: Option<NaiveDate>) {
        let by = |i: usize| self.records.cores[i].taken_by;
        if own.iter().any(|&other| by(other) != by(core)) {
            return;
        }
        let lot = &drawn.lot.name;
        let core_record = &self.records.cores[core];
        let message = format!(
            "core {} is averaged in {lot}, but was taken at {}, where nothing was drawn: the {} drawn locations have cores \
             that are nearer",
            core_record.number.value,
            self.stands(core_record),
            drawn.locations.len()
        );
        let remedy = "say on the sheet what the core was for, if it is exploratory or a check; otherwise let the engineer \
                      record why it counts";
        self.findings.push(Finding::new(Code::CoreMoved, Place::Row(core_record.number.at), message, remedy));
        self.late(&drawn.lot, core, due);
        self.rows.push(CoreDrawn { lot: lot.clone(), drawn: None, core: Some(core), off: None, due });
    }
}
