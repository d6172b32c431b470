//! Charges beside the concrete: for a load below full size, and for the time a truck waited.
//!
//! ```text
//! waiting = discharged - arrived - free time, and not below zero
//! ```
//!
//! A short load may be charged only where its ticket has less than the agreed volume; a volume equal to it is full. Where
//! no free time is agreed, all of the time on the site is payable. A charge below what was agreed is no fault.
//! Common practice.

use rust_decimal::Decimal;

use super::Reason;
use super::due::Due;
use super::judge::{Judge, Judged, stated};
use super::words::{Words, clock, minutes};
use crate::contract::{Entered, Supply};
use crate::figure::{Book, Expr, Given, Origin, max, whole};
use crate::intake::{Billed, Load};
use crate::line::ledger::billed::{MINUTES, RATE};
use crate::units::Unit;

/// Minutes of a day, for a truck that came before midnight and was discharged after it.
const DAY: i64 = 1440;

/// A truck that seems to have been on the site longer than half a day has a mistyped time.
const LONGEST: i64 = DAY / 2;

/// The time a truck waited, by its ticket.
pub(super) struct Waited {
    /// Minutes on the site.
    on_site: Decimal,
    /// Of these payable.
    pub payable: Option<Decimal>,
    /// The formula of what is payable.
    expr: Expr,
}

impl Judge<'_> {
    pub(super) fn short_load(&mut self, judged: &mut Judged) {
        let supply = self.contract.supply.as_ref();
        let billed = &self.records.billed[judged.line];
        let load = judged.load.map(|load| &self.records.loads[load]);
        match (supply.and_then(|s| s.short_load_below.as_ref()), load) {
            (Some(below), Some(load)) if load.volume.value >= below.value => {
                judged.due = Due::Nothing;
                judged.against(below, Reason::ShortLoad, full(Words(self.contract), load, below));
                return;
            }
            (None, _) => judged.not_agreed.push("the contract does not say below which volume a load is short".into()),
            (Some(_), _) => {}
        }
        match supply.and_then(|s| s.short_load_charge.as_ref()) {
            Some(charge) => self.charged(judged, billed, charge),
            None => judged.not_agreed.push("no charge for short loads is agreed".into()),
        }
    }

    fn charged(&mut self, judged: &mut Judged, billed: &Billed, charge: &Entered) {
        judged.due = Due::Charge(self.book.given(charge.given("agreed charge for a short load", "c")).into());
        let amount = billed.amount.value;
        if amount > charge.value {
            let words = Words(self.contract);
            let (found, expected, more) =
                (words.money(amount), words.money(charge.value), words.difference(amount, charge.value));
            let text = format!("{found} charged for a short load, {expected} agreed: {more}");
            judged.against(charge, Reason::ShortLoad, text);
        }
    }

    pub(super) fn waiting(&mut self, judged: &mut Judged) {
        let Some(supply) = self.contract.supply.as_ref() else {
            judged.not_agreed.push("the contract says nothing of waiting".into());
            return;
        };
        let billed = &self.records.billed[judged.line];
        let waited = self.time(judged, supply);
        self.rate(judged, billed, supply);
        let own = stated(billed.minutes.as_ref());
        if let (Some(own), Some(waited)) = (own, waited.as_ref()) {
            self.too_long(judged, own, waited, supply);
        }
        judged.due = self.waiting_due(judged, billed, waited, supply);
        self.arithmetic(judged, (own, minutes(own.unwrap_or_default())));
    }

    /// The time by the ticket, or why it is not known.
    fn time(&mut self, judged: &mut Judged, supply: &Supply) -> Option<Waited> {
        if supply.free_time.is_none() {
            judged.not_agreed.push("no free time on the site is agreed, so all of it is payable".into());
        }
        self.waited(judged.load?).map_err(|why| judged.unchecked.push(why)).ok()
    }

    fn rate(&self, judged: &mut Judged, billed: &Billed, supply: &Supply) {
        let words = Words(self.contract);
        match (a_minute(billed), supply.waiting_price.as_ref()) {
            (Some(price), Some(agreed)) if price > agreed.value => {
                let (found, expected) = (words.money(price), words.money(agreed.value));
                let more = words.difference(price, agreed.value);
                let text = format!("{found} a minute billed, {expected} agreed: {more}");
                judged.against(agreed, Reason::Waiting, text);
            }
            (_, None) => {
                judged.not_agreed.push("no price of a minute is agreed, so it is taken as billed".into());
            }
            (None, Some(_)) if billed.price.is_some() => {
                judged.unchecked.push("the line does not say whether its price is for a minute".into());
            }
            _ => {}
        }
    }

    fn too_long(&self, judged: &mut Judged, own: Decimal, waited: &Waited, supply: &Supply) {
        let Some(payable) = waited.payable.filter(|payable| own > *payable) else { return };
        let load = judged.load.map(|load| &self.records.loads[load]);
        let times = load.and_then(|l| Some((clock(l.arrived.as_ref()?.value), clock(l.discharged.as_ref()?.value))));
        let span = times.map_or_else(String::new, |(from, to)| format!(" ({from} to {to})"));
        let free = supply.free_time.as_ref();
        let of_it = free.map_or_else(String::new, |free| format!(", of which {} are free", minutes(free.value)));
        let (on_site, more) = (minutes(waited.on_site), minutes(own - payable));
        let text = format!("{} billed; {on_site} on the site by the ticket{span}{of_it}: {more} more", minutes(own));
        match free {
            Some(free) => judged.against(free, Reason::Waiting, text),
            None => judged.because(Reason::Waiting, text),
        }
    }

    fn waiting_due(&mut self, judged: &Judged, billed: &Billed, waited: Option<Waited>, supply: &Supply) -> Due {
        let own = stated(billed.minutes.as_ref()).map(|_| self.ledger.billed_cell(judged.line, MINUTES).into());
        let quantities: Vec<Expr> = [own, waited.map(|w| w.expr)].into_iter().flatten().collect();
        let as_billed = || a_minute(billed).map(|_| self.ledger.billed_cell(judged.line, RATE).into());
        let price = match supply.waiting_price.as_ref() {
            Some(agreed) => Some(self.book.given(agreed.given("agreed price of a minute", "p")).into()),
            None => as_billed(),
        };
        match price {
            Some(price) if !quantities.is_empty() => Due::Worth { quantities, price, unit: Unit::Minute },
            _ => Due::AsBilled,
        }
    }

    /// The time a truck waited by its ticket; in words why it is not known.
    pub(super) fn waited(&mut self, load: usize) -> Result<Waited, String> {
        let [_, arrived, discharged] = self.ledger.load_columns.minutes;
        let ticket = &self.records.loads[load];
        let cell = |there: bool, column| self.ledger.load_cell(load, column).filter(|_| there);
        let arrived = cell(ticket.arrived.is_some(), arrived).ok_or("its ticket does not say when the truck came")?;
        let discharged =
            cell(ticket.discharged.is_some(), discharged).ok_or("its ticket does not say when it was discharged")?;
        let mut on_site = discharged - arrived;
        let mut long = self.book.evaluate(&on_site).decimal().ok_or("the times of its ticket cannot be compared")?;
        if long < Decimal::ZERO {
            on_site = on_site + a_day(self.book);
            long += Decimal::from(DAY);
        }
        if long > Decimal::from(LONGEST) {
            return Err("its ticket has the truck discharged before it came".into());
        }
        let free = self.contract.supply.as_ref().and_then(|supply| supply.free_time.as_ref());
        let expr = match free {
            Some(free) => {
                let free = self.book.given(free.given("free time on the site", "f"));
                max([on_site - free, whole(0)])
            }
            None => on_site,
        };
        let payable = self.book.evaluate(&expr).decimal();
        Ok(Waited { on_site: long, payable, expr })
    }
}

/// The price of a minute, of a line that says how many; without them its price may be for anything.
fn a_minute(billed: &Billed) -> Option<Decimal> {
    stated(billed.minutes.as_ref()).and_then(|_| stated(billed.price.as_ref()))
}

fn full(words: Words<'_>, load: &Load, below: &Entered) -> String {
    let (volume, limit) = (words.volume(load.volume.value), words.volume(below.value));
    format!("charged as a short load, but the ticket has {volume}; short is below {limit}")
}

/// A day, where a truck was discharged after midnight.
fn a_day(book: &mut Book) -> crate::figure::GivenId {
    book.given(Given {
        label: "a day, since the truck was discharged after midnight".into(),
        symbol: "d".into(),
        value: Decimal::from(DAY),
        unit: Unit::Minute,
        written: "24 h".into(),
        origin: Origin::Entry { what: "24 hours of 60 minutes".into() },
    })
}
