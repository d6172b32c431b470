//! Steps of a table in order, without gap or overlap, so that every value has exactly one.
//!
//! Where both ends belong to a step, the table is written on a grid (0.20, then 0.21) and the rounding of what enters it
//! must be that grid: otherwise 0.204 would fall between two steps.

use crate::figure::{Ends, Step};
use crate::keyed::{At, Reader};
use crate::units::{Rounding, plain};

/// A step with where it stands.
pub(super) struct Row {
    pub(super) step: Step,
    pub(super) at: At,
}

/// What enters a table is rounded thus, or not at all.
pub(super) struct Grid {
    pub(super) rounding: Option<Rounding>,
    /// Whether it can be below zero.
    pub(super) signed: bool,
    /// Where the file says which ends belong to a step.
    pub(super) at: At,
}

/// Whether the steps take in every value once; mistakes are reported.
pub(super) fn rows_in_order(reader: &mut Reader<'_>, rows: &[Row], ends: Ends, grid: &Grid) -> bool {
    match (ends, grid.rounding) {
        (Ends::Both, None) => {
            let message =
                "both ends belong to a step, but what enters the table is not rounded and can fall between two";
            reader.mistake(grid.at, message, "write \"lower\" or \"upper\", or round what enters the table");
            false
        }
        (_, rounding) => in_order(reader, rows, (ends, grid.signed), rounding.unwrap_or(Rounding::to_decimals(12))),
    }
}

fn in_order(reader: &mut Reader<'_>, rows: &[Row], (ends, signed): (Ends, bool), entered_with: Rounding) -> bool {
    let mut sound = open_outside(reader, rows, ends, signed);
    for (i, row) in rows.iter().enumerate() {
        sound &= forward(reader, row, i, ends);
        if ends == Ends::Both {
            sound &= on_grid(reader, row, i, entered_with);
        }
    }
    if !sound {
        return false;
    }
    for (i, pair) in rows.windows(2).enumerate() {
        if let [before, after] = pair {
            sound &= touch(reader, (before, after), i, ends, entered_with);
        }
    }
    sound
}

/// The first step begins at zero or has no lower end, and the last one no upper end.
fn open_outside(reader: &mut Reader<'_>, rows: &[Row], ends: Ends, signed: bool) -> bool {
    let mut sound = true;
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return false };
    if let Some(from) = first.step.from.filter(|from| signed || ends == Ends::Upper || !from.is_zero()) {
        sound = false;
        let message = format!("{} leaves lesser values without a step", named(first, 0));
        let remedy = if from.is_zero() || signed {
            "leave its 'from' out"
        } else {
            "let it begin at 0, or leave its 'from' out"
        };
        reader.mistake(first.at, message, remedy);
    }
    if let Some(to) = last.step.to {
        sound = false;
        let message = format!("the last step ends at {to}, so a greater value has none");
        reader.mistake(last.at, message, "leave its 'to' out, or add a last step with 'from' only");
    }
    sound
}

fn forward(reader: &mut Reader<'_>, row: &Row, i: usize, ends: Ends) -> bool {
    let (Some(from), Some(to)) = (row.step.from, row.step.to) else { return true };
    let sound = if ends == Ends::Both { from <= to } else { from < to };
    if !sound {
        let message = format!("{} runs backward or is empty", named(row, i));
        reader.mistake(row.at, message, "let 'from' be the lower end and 'to' the upper");
    }
    sound
}

fn on_grid(reader: &mut Reader<'_>, row: &Row, i: usize, entered_with: Rounding) -> bool {
    let off = [row.step.from, row.step.to].into_iter().flatten().find(|end| entered_with.apply(*end) != Some(*end));
    if let Some(off) = off {
        let message = format!(
            "{} has an end at {off}, but what enters the table is rounded to {} and never has that value",
            named(row, i),
            entered_with.to()
        );
        reader.mistake(row.at, message, "write the steps on the grid of that rounding, or correct the rounding");
    }
    off.is_none()
}

/// Each step begins where the one before ends: one grid step on where both ends are in, exactly there otherwise.
fn touch(reader: &mut Reader<'_>, (before, after): (&Row, &Row), i: usize, ends: Ends, entered_with: Rounding) -> bool {
    let pair = format!("{} and {}", named(before, i), named(after, i + 1));
    let (Some(to), Some(from)) = (before.step.to, after.step.from) else {
        let message = format!("{pair} do not say where one ends and the next begins");
        reader.mistake_with(
            after.at,
            before.at,
            message,
            "only the first step lacks 'from' and only the last lacks 'to'",
        );
        return false;
    };
    let wanted = if ends == Ends::Both { to.checked_add(entered_with.to()) } else { Some(to) };
    let Some(wanted) = wanted.filter(|wanted| *wanted != from) else { return wanted.is_some() };
    let what = if from < wanted { "overlap" } else { "leave a gap between them" };
    let why = match ends {
        Ends::Both => format!("what enters the table is rounded to {}", entered_with.to()),
        Ends::Lower | Ends::Upper => "each step begins where the one before ends".to_string(),
    };
    let message = format!("{pair} {what}: {why}");
    reader.mistake_with(after.at, before.at, message, format!("let the second begin at {}", plain(wanted)));
    false
}

/// `step 2 (0.21 to 0.30, line 41)`.
fn named(row: &Row, i: usize) -> String {
    let span = match (row.step.from, row.step.to) {
        (Some(from), Some(to)) => format!("{from} to {to}"),
        (None, Some(to)) => format!("up to {to}"),
        (Some(from), None) => format!("from {from} on"),
        (None, None) => "any value".to_string(),
    };
    format!("step {} ({span}, line {})", i + 1, row.at.line)
}
