//! Invoices of a small job, against hand arithmetic: P-4000 at $118.50 and HES at $131.00 a cubic yard were agreed.

mod charges;
mod concrete;
mod credits;
mod footing;
mod unbilled;

use rust_decimal::{Decimal, dec};

use super::{InvoiceAmounts, InvoiceAudit, Reason, invoices};
use crate::contract::{Contract, Mix, Supply};
use crate::figure::{Book, FigureId, check_dimensions};
use crate::finding::{Code, Finding};
use crate::intake::{Billed, Load, Read, Records};
use crate::line::{fixture, lay};
use crate::units::Unit;

const JULY_1: &str = "2031-07-01";

struct Job {
    book: Book,
    records: Records,
    audit: InvoiceAudit,
    findings: Vec<Finding>,
}

impl Job {
    fn value(&self, id: FigureId) -> Decimal {
        self.book[id].value.decimal().unwrap()
    }

    /// Billed, payable and to dispute.
    fn amounts(&self, of: InvoiceAmounts) -> [Decimal; 3] {
        [of.billed, of.payable, of.dispute].map(|id| self.value(id))
    }

    fn total(&self) -> [Decimal; 3] {
        self.amounts(self.audit.total.unwrap())
    }

    fn codes(&self) -> Vec<Code> {
        self.findings.iter().map(|f| f.code).collect()
    }

    /// The one line to dispute: why, and how much.
    fn only(&self) -> (&[Reason], Decimal) {
        assert_eq!(self.audit.disputes.len(), 1, "{:?}", self.audit.disputes);
        let dispute = &self.audit.disputes[0];
        assert_eq!(self.findings.len(), dispute.reasons.len(), "{:?}", self.findings);
        assert!(self.findings.iter().all(|f| !f.open), "an invoice never keeps the estimate open");
        (&dispute.reasons, self.value(dispute.dispute))
    }

    fn unchecked(&self) -> Vec<&str> {
        self.audit.unchecked.iter().map(|u| u.why.as_str()).collect()
    }
}

fn contract() -> Contract {
    let price =
        |value: Decimal, line, key: &str| Some(fixture::entered(value, Unit::CubicYard.price().unwrap(), line, key));
    let mix = |name: &str, also: &str, price, line| Mix {
        name: name.into(),
        also: vec![also.into()],
        sections: vec![],
        price,
        design: std::collections::BTreeMap::new(),
        water_cement: None,
        line,
    };
    Contract {
        mixes: vec![
            mix("P-4000", "4000 paving", price(dec!(118.50), 101, "mixes[0].price"), 100),
            mix("HES", "high early", price(dec!(131), 111, "mixes[1].price"), 110),
        ],
        supply: Some(Supply {
            short_load_below: Some(fixture::entered(dec!(6), Unit::CubicYard, 121, "supply.short_load_below")),
            short_load_charge: Some(fixture::entered(dec!(85), Unit::Money, 122, "supply.short_load_charge")),
            free_time: Some(fixture::entered(dec!(30), Unit::Minute, 123, "supply.free_time")),
            waiting_price: Some(fixture::entered(
                dec!(2.25),
                Unit::Minute.price().unwrap(),
                124,
                "supply.waiting_price",
            )),
            line: 120,
        }),
        ..fixture::contract()
    }
}

fn word(text: &str) -> Read<Box<str>> {
    fixture::read(text.into(), 4, 0, 3)
}

fn number(value: Decimal) -> Read<Decimal> {
    fixture::read(value, 4, 0, 5)
}

/// A received load of P-4000.
fn load(ticket: u32, volume: Decimal) -> Load {
    Load { mix: Some(word("P-4000")), ..fixture::load(ticket, JULY_1, volume, None) }
}

/// Three loads of 8, 8 and 8.25 yd3.
fn three() -> Vec<Load> {
    vec![load(501, dec!(8)), load(502, dec!(8)), load(503, dec!(8.25))]
}

/// A line of invoice 1001 for P-4000 at the agreed price.
fn line(row: u32, ticket: u32, volume: Decimal) -> Billed {
    Billed { mix: Some(word("P-4000")), ..fixture::billed(row, "1001", JULY_1, ticket, (volume, dec!(118.50))) }
}

/// The three loads as they ought to be billed: 948.00, 948.00 and 977.63 (8.25 x 118.50 = 977.625, half up).
fn three_billed() -> Vec<Billed> {
    vec![line(1, 501, dec!(8)), line(2, 502, dec!(8)), line(3, 503, dec!(8.25))]
}

fn job_under(contract: &Contract, loads: Vec<Load>, billed: Vec<Billed>) -> Job {
    let mut book = fixture::book();
    let mut records = Records { billed, ..fixture::records(vec![], loads) };
    let (line, _) = lay(contract, &mut records, &mut book);
    let (audit, findings) = invoices(contract, &records, &line, &mut book);
    for (_, figure) in book.figures() {
        assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
        assert!(figure.value.decimal().is_some(), "{}: {:?}", figure.key, figure.value);
    }
    Job { book, records, audit, findings }
}

fn job(loads: Vec<Load>, billed: Vec<Billed>) -> Job {
    job_under(&contract(), loads, billed)
}

/// The three loads, and their lines with a change.
fn three_with(change: impl FnOnce(&mut Vec<Load>, &mut Vec<Billed>)) -> Job {
    let (mut loads, mut billed) = (three(), three_billed());
    change(&mut loads, &mut billed);
    job(loads, billed)
}

#[test]
fn no_invoice_is_no_audit() {
    let job = job(three(), vec![]);
    assert_eq!((job.audit, job.findings.len()), (InvoiceAudit::default(), 0));
}

/// Arithmetic: 948.00 + 948.00 + 977.63 = 2,873.63.
#[test]
fn a_clean_invoice_has_nothing_to_dispute() {
    let job = three_with(|_, _| {});
    assert_eq!(job.total(), [dec!(2873.63), dec!(2873.63), dec!(0)]);
    assert_eq!((job.audit.disputes.len(), job.findings.len()), (0, 0));
    assert!(job.audit.unchecked.is_empty() && job.audit.not_agreed.is_empty());
    assert!(job.audit.unbilled.as_ref().is_some_and(|u| u.loads.is_empty() && u.expected.is_none()));
}
