//! A line for concrete: volume, mix and price against the ticket and the agreed price, and the line's own arithmetic.
//!
//! The volume of the ticket is payable whole: what was returned or wasted was batched for the buyer (common practice).
//! Where another mix is billed than the ticket's, the ticket's price is payable, and the line's price is compared with
//! that of the mix it bills, so that one fault is one remark.

use super::Reason;
use super::due::Due;
use super::judge::{Judge, Judged, stated};
use super::words::Words;
use crate::figure::Expr;
use crate::intake::{Billed, Load};
use crate::line::ledger::billed::{PRICE, VOLUME};
use crate::units::plain;

impl Judge<'_> {
    pub(super) fn concrete(&mut self, judged: &mut Judged) {
        let billed = &self.records.billed[judged.line];
        let load = judged.load.map(|load| &self.records.loads[load]);
        self.volume(judged, billed, load);
        self.mix(judged, billed, load);
        self.price(judged, billed, load);
        judged.due = self.worth(judged, billed, load);
        let volume = stated(billed.volume.as_ref());
        let written = Words(self.contract).volume(volume.unwrap_or_default());
        self.arithmetic(judged, (volume, written));
    }

    fn volume(&self, judged: &mut Judged, billed: &Billed, load: Option<&Load>) {
        let words = Words(self.contract);
        match (stated(billed.volume.as_ref()), load.map(|load| load.volume.value)) {
            (Some(billed), Some(ticket)) if billed > ticket => {
                let (more, unit) = (plain(billed - ticket), self.contract.system.volume());
                let (billed, ticket) = (plain(billed), words.volume(ticket));
                judged.because(Reason::Volume, format!("{billed} {unit} billed, {ticket} on the ticket: {more} more"));
            }
            (None, None) => judged.unchecked.push("the line gives no volume".into()),
            _ => {}
        }
    }

    fn mix(&self, judged: &mut Judged, billed: &Billed, load: Option<&Load>) {
        if let (Some(own), Some(ticket)) = (&billed.mix, load.and_then(|load| load.mix.as_ref()))
            && !self.agreed.same(&own.value, &ticket.value)
        {
            judged.because(Reason::Mix, format!("{} billed, {} on the ticket", own.value, ticket.value));
        }
    }

    fn price(&self, judged: &mut Judged, billed: &Billed, load: Option<&Load>) {
        let words = Words(self.contract);
        let mix = billed.mix.as_ref().or_else(|| load?.mix.as_ref()).map(|mix| &*mix.value);
        match (stated(billed.price.as_ref()), self.agreed.price(mix)) {
            (Some(price), Some((agreed, mix))) if price != agreed.value => {
                let (found, expected) = (words.money(price), words.money(agreed.value));
                let (unit, off) = (self.contract.system.volume(), words.difference(price, agreed.value));
                let text = format!("{found} a {unit} billed, {expected} agreed for {mix}: {off}");
                judged.against(agreed, Reason::Price, text);
            }
            (_, None) => {
                let of = mix.map_or_else(|| "concrete of no stated mix".into(), |mix| format!("mix {mix}"));
                judged.not_agreed.push(format!("no price is agreed for {of}, so its price is taken as billed"));
            }
            _ => {}
        }
    }

    /// The smaller volume at the agreed price of the ticket's mix, or else at the billed price.
    fn worth(&mut self, judged: &Judged, billed: &Billed, load: Option<&Load>) -> Due {
        let own = stated(billed.volume.as_ref()).map(|_| self.ledger.billed_cell(judged.line, VOLUME).into());
        let recorded = judged.load.map(|load| self.ledger.load_volume(load).into());
        let quantities: Vec<Expr> = [own, recorded].into_iter().flatten().collect();
        let mix = load.and_then(|load| load.mix.as_ref()).or(billed.mix.as_ref()).map(|mix| &*mix.value);
        let as_billed = || stated(billed.price.as_ref()).map(|_| self.ledger.billed_cell(judged.line, PRICE).into());
        let price = match self.agreed.price(mix) {
            Some((agreed, mix)) => Some(self.book.given(agreed.given(format!("agreed price of {mix}"), "p")).into()),
            None => as_billed(),
        };
        match price {
            Some(price) if !quantities.is_empty() => {
                Due::Worth { quantities, price, unit: self.contract.system.volume() }
            }
            _ => Due::AsBilled,
        }
    }
}
