//! The pay table of a rule set: steps in order, without gap or overlap, so that every deficiency has exactly one.
//!
//! Where both ends belong to a step, the table is written on a grid (0.20, then 0.21) and the rounding of what enters it
//! must be that grid: otherwise 0.204 would fall between two steps.

use rust_decimal::Decimal;

use super::load::Source;
use super::model::Status;
use crate::figure::{Ends, Step, Steps};
use crate::keyed::{At, Group, Reader};
use crate::units::{Rounding, Unit, plain};

/// A step with where it stands.
struct Row {
    step: Step,
    at: At,
}

/// The table; `None` once its mistakes are reported.
pub(super) fn steps(
    reader: &mut Reader<'_>,
    table: &Group,
    source: &Source,
    entered_with: Option<Rounding>,
    entered_in: Unit,
) -> Option<Steps> {
    let unit = table.unit("deficiency_in");
    let fits = unit.as_ref().is_some_and(|unit| unit.value == entered_in);
    if let Some(unit) = unit.filter(|_| !fits) {
        let message = format!("'{}' is \"{}\", but the deficiency is in {entered_in}", unit.key, unit.written);
        reader.mistake(unit.at, message, format!("write the table in {entered_in}"));
    }
    let ends = ends(table);
    let rows: Option<Vec<Row>> = table.groups("steps").iter().map(|group| row(reader, group)).collect();
    let rows = rows.filter(|rows| !rows.is_empty())?;
    let sound = in_order(reader, &rows, ends?, entered_with?);
    let status = match source.status? {
        Status::Transcribed => "",
        Status::FromMemory => " (from memory)",
        Status::Example => " (example)",
    };
    let steps = Steps {
        title: format!("{}, {}", source.title, table.text("title")?.value),
        clause: format!("{}{status}", source.clause(table)),
        set: source.id.clone(),
        entered_in,
        gives: Unit::Percent,
        ends: ends?,
        rows: rows.into_iter().map(|row| row.step).collect(),
    };
    (fits && sound).then_some(steps)
}

fn ends(table: &Group) -> Option<Ends> {
    Some(match table.text("ends")?.value.as_str() {
        "both" => Ends::Both,
        "lower" => Ends::Lower,
        _ => Ends::Upper,
    })
}

fn row(reader: &mut Reader<'_>, group: &Group) -> Option<Row> {
    let (from, to) = (group.number("from"), group.number("to"));
    let pay = group.number("pay")?;
    if pay.value < Decimal::ZERO {
        reader.mistake(
            pay.at,
            format!("'{}' is {}, below zero", pay.key, pay.written),
            "write what is paid, from 0 percent",
        );
        return None;
    }
    if (group.has("from") && from.is_none()) || (group.has("to") && to.is_none()) {
        return None;
    }
    Some(Row {
        step: Step {
            from: from.map(|n| n.value),
            to: to.map(|n| n.value),
            value: pay.value,
            word: group.text("word").map(|word| word.value).unwrap_or_default(),
        },
        at: group.at,
    })
}

fn in_order(reader: &mut Reader<'_>, rows: &[Row], ends: Ends, entered_with: Rounding) -> bool {
    let mut sound = open_outside(reader, rows, ends);
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
fn open_outside(reader: &mut Reader<'_>, rows: &[Row], ends: Ends) -> bool {
    let mut sound = true;
    let (Some(first), Some(last)) = (rows.first(), rows.last()) else { return false };
    if let Some(from) = first.step.from.filter(|from| ends == Ends::Upper || !from.is_zero()) {
        sound = false;
        let message = format!("{} does not take in a deficiency of zero", named(first, 0));
        let remedy = if from.is_zero() { "leave its 'from' out" } else { "let it begin at 0, or leave its 'from' out" };
        reader.mistake(first.at, message, remedy);
    }
    if let Some(to) = last.step.to {
        sound = false;
        let message = format!("the last step ends at {to}, so a greater deficiency has none");
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
        reader.mistake(
            row.at,
            message,
            "write the steps on the grid of the deficiency's rounding, or correct that rounding",
        );
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
        (None, None) => "any deficiency".to_string(),
    };
    format!("step {} ({span}, line {})", i + 1, row.at.line)
}
