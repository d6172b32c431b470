//! One step of the work: which, day, lanes, from and to or a single joint, and what is to be known of it.

use super::first_word;
use super::placement::one_alignment;
use crate::finding::Code;
use crate::intake::kind::{Field, Measure};
use crate::intake::record::{LaneId, Read, Step, Work};
use crate::intake::row::Row;
use crate::intake::stepped;
use crate::units::{Station, Unit};

pub(super) fn read(row: &mut Row<'_>) -> Option<Work> {
    let number = row.text(Field::Number);
    let step = step(row);
    let date = row.need(Field::Date, Row::date);
    let lanes = row.need(Field::Lane, one_alignment);
    let lane = lanes.as_ref().and_then(|l| l.value.first().copied());
    let ends = lane.and_then(|lane| ends(row, lane));
    let times = (row.time(Field::Start), row.time(Field::Finish));
    let depth = row.measure(Field::Depth, Measure::Depth);
    let rate = row.measure(Field::Rate, Measure::Coverage);
    let count = row.bare(Field::Count, Unit::Each);
    let material = row.text(Field::Material);
    let accepted = row.date(Field::Accepted);
    let passed = passed(row);
    let by = row.text(Field::By);
    let remarks = row.text(Field::Remarks);
    let (step, date, lanes, (from, to)) = (step?, date?, lanes?, ends?);
    let number = number.unwrap_or_else(|| {
        let words = format!("{} {}, row {}", step.word(), date.value, row.line.row + 1);
        super::stand_in(row, &words)
    });
    Some(Work {
        number,
        step,
        date,
        times,
        lanes,
        from,
        to,
        depth,
        rate,
        count,
        material,
        accepted,
        passed,
        by,
        remarks,
    })
}

/// Which step, by the row or by the table.
fn step(row: &mut Row<'_>) -> Option<Step> {
    let Some(found) = row.find(Field::Step) else {
        if row.table.step.is_none() {
            row.missing(&[Field::Step]);
        }
        let shut = row.table.step == Some(Step::Open) && says(row, &["closed", "close", "shut"]);
        return if shut { Some(Step::Close) } else { row.table.step };
    };
    let text = row.worded(&found)?;
    let step = stepped::step(&text).or_else(|| Step::named(text.trim().to_lowercase().as_str()));
    if step.is_none() {
        let words: Vec<&str> = Step::ALL.iter().map(|s| s.word()).collect();
        let what = format!("names no step of the work, or two ({})", words.join(", "));
        row.refuse(Code::CellUnreadable, &found, &what, "write one step; a row that is two steps is two rows");
    }
    step
}

/// From and to, or the one station of a joint.
fn ends(row: &mut Row<'_>, lane: LaneId) -> Option<(Read<Station>, Read<Station>)> {
    let apart = row.table.column(Field::From).is_some() || row.table.column(Field::Stations).is_some();
    if apart {
        return super::placement::ends(row, lane, "so nothing was done there");
    }
    if let (Some(found), Some(alignment)) = (row.find(Field::Station), row.alignment(lane))
        && row
            .worded(&found)
            .is_some_and(|text| crate::intake::lane::ends(&text, alignment).is_some_and(|e| e.2.is_empty()))
    {
        return row.stretch(Field::Station, lane);
    }
    let (station, _) = row.need(Field::Station, |r, f| r.station(f, lane))?;
    Some((station.clone(), station))
}

/// Whether the row's status begins with one of some words.
fn says(row: &mut Row<'_>, words: &[&str]) -> bool {
    let found = row.find(Field::Status);
    found.and_then(|f| row.worded(&f)).is_some_and(|text| words.contains(&first_word(&text).as_str()))
}

/// Whether it passed when it was looked at.
fn passed(row: &mut Row<'_>) -> Option<bool> {
    let found = row.find(Field::Status)?;
    let text = row.worded(&found)?;
    match first_word(&text).as_str() {
        "pass" | "passed" | "passes" | "ok" | "accepted" | "approved" | "yes" | "y" | "good" | "complete"
        | "completed" | "done" => Some(true),
        "open" | "opened" | "closed" | "close" | "shut" if row.table.step == Some(Step::Open) => None,
        "fail" | "failed" | "fails" | "rejected" | "no" | "n" | "redo" => Some(false),
        _ => {
            row.refuse(
                Code::CellUnreadable,
                &found,
                "does not say whether it passed",
                "write passed or failed, or clear the cell",
            );
            None
        }
    }
}
