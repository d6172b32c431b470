//! Sums of invoices: each over its own run of rows, all of them over the invoices, and those of the lines to dispute.

use super::{Dispute, InvoiceAmounts, InvoiceAudit, InvoiceTotal};
use crate::figure::{Book, Expr, Figure, FigureId, Statistic, Total, whole};
use crate::intake::Records;
use crate::line::ledger::billed::AMOUNT;
use crate::line::{Ledger, folded, slug};
use crate::units::Unit;

/// Takes up the sums; the disputes stand in the audit already.
pub(super) fn take_up((records, ledger): (&Records, &Ledger), audit: &mut InvoiceAudit, book: &mut Book) {
    let mut left = audit.disputes.as_slice();
    for rows in invoices(records) {
        let own = left.partition_point(|dispute| row(dispute.line) < rows.1);
        let (own, others) = left.split_at(own);
        left = others;
        audit.invoices.push(invoice((records, ledger), rows, own, book));
    }
    let all: Vec<InvoiceAmounts> = audit.invoices.iter().map(|invoice| invoice.amounts).collect();
    audit.total = Some(InvoiceAmounts {
        billed: sum(book, ("invoices.billed", "all invoices, billed", "B"), all.iter().map(|a| a.billed)),
        payable: sum(book, ("invoices.payable", "all invoices, payable", "P"), all.iter().map(|a| a.payable)),
        dispute: sum(book, ("invoices.dispute", "all invoices, to dispute", "D"), all.iter().map(|a| a.dispute)),
    });
    audit.disputed = (!audit.disputes.is_empty()).then(|| of_lines(ledger, &audit.disputes, book));
}

/// The runs of rows that are one invoice.
fn invoices(records: &Records) -> Vec<(u32, u32)> {
    let mut runs: Vec<(u32, u32)> = Vec::new();
    let mut last = None;
    for (line, billed) in records.billed.iter().enumerate() {
        let number = folded(&billed.invoice.value);
        match runs.last_mut() {
            Some(run) if last.as_ref() == Some(&number) => run.1 = row(line + 1),
            _ => runs.push((row(line), row(line + 1))),
        }
        last = Some(number);
    }
    runs
}

fn invoice(
    (records, ledger): (&Records, &Ledger),
    rows: (u32, u32),
    disputes: &[Dispute],
    book: &mut Book,
) -> InvoiceTotal {
    let number = records.billed[rows.0 as usize].invoice.value.to_string();
    let (key, label) = (format!("invoice-{}", slug(&number)), format!("invoice {number}"));
    let billed = Total { of: Statistic::Sum, table: ledger.billed, column: AMOUNT, rows, only: None };
    let billed = book.add(Figure::new(format!("{key}.billed"), format!("{label}, billed"), "B", Unit::Money, billed));
    let figures = disputes.iter().map(|dispute| dispute.dispute);
    let dispute = sum(book, (&format!("{key}.dispute"), &format!("{label}, to dispute"), "D"), figures);
    let payable = Figure::new(
        format!("{key}.payable"),
        format!("{label}, payable"),
        "P",
        Unit::Money,
        Expr::from(billed) - dispute,
    );
    InvoiceTotal { number, rows, amounts: InvoiceAmounts { billed, payable: book.add(payable), dispute } }
}

/// Sums of the lines to dispute alone.
fn of_lines(ledger: &Ledger, disputes: &[Dispute], book: &mut Book) -> InvoiceAmounts {
    let billed = Figure::new("invoices.lines.billed", "lines to dispute, billed", "B", Unit::Money, whole(0));
    let cells = disputes.iter().map(|dispute| ledger.billed_cell(dispute.line, AMOUNT).into()).collect();
    InvoiceAmounts {
        billed: book.add_sum(billed, cells),
        payable: sum(
            book,
            ("invoices.lines.payable", "lines to dispute, payable", "P"),
            disputes.iter().map(|d| d.payable),
        ),
        dispute: sum(
            book,
            ("invoices.lines.dispute", "lines to dispute, to dispute", "D"),
            disputes.iter().map(|d| d.dispute),
        ),
    }
}

/// The sum of amounts; zero of none.
fn sum(book: &mut Book, (key, label, symbol): (&str, &str, &str), of: impl Iterator<Item = FigureId>) -> FigureId {
    let parts: Vec<Expr> = of.map(Expr::from).collect();
    let figure = Figure::new(key, label, symbol, Unit::Money, whole(0));
    if parts.is_empty() { book.add(figure) } else { book.add_sum(figure, parts) }
}

fn row(line: usize) -> u32 {
    u32::try_from(line).unwrap_or(u32::MAX)
}
