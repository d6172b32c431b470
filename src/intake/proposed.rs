//! The lines of `contract.toml` that are proposed for a sheet whose headings are not known: which heading may be which
//! field, by what stands in the cells below it. They are to be checked and pasted; nothing is read by them until then.

use std::collections::BTreeSet;

use super::cell::text_number;
use super::date::{self, NoDate};
use super::grid::{Grid, quoted};
use super::heading::Heading;
use super::kind::{Field, Holds};
use super::lane;
use super::raw::RawValue;
use super::row::Words;
use crate::units::StationLabel;

/// Cells of a column that are looked at.
const LOOKED_AT: usize = 12;

/// Known headings from which on the kind of a sheet is hardly in doubt.
const TELLING: usize = 3;

/// Complete lines for a sheet: its kind, the row of its headings, its columns, and what no column holds. Where even the
/// kind is in doubt, every heading stands there with a `?` for the field that only a person can name.
pub(super) fn lines(grid: &Grid<'_>, heading: &Heading, words: Words<'_>) -> Vec<String> {
    let kind = heading.kind.word;
    let doubtful = heading.columns.len() < TELLING;
    let others = format!("   # or one of: {}", super::kind::kind_words().join(", "));
    let mut lines = vec![
        format!("kind = {}{}", quoted(kind), if doubtful { others.as_str() } else { "" }),
        format!("heading_row = {}", heading.row + 1),
    ];
    let proposed = Proposed::of(grid, heading, words);
    let rest = heading.unused.iter().filter(|(at, _)| proposed.columns.iter().all(|(taken, ..)| taken != at));
    let rest: Vec<&str> = rest.map(|(_, written)| written.as_str()).collect();
    if doubtful {
        let fields = super::kind::field_words(kind).unwrap_or_default().join(", ");
        lines.push(format!("# fields of {kind}: {fields}"));
        lines.push("# put a field for each ?, or take the line out".into());
    }
    let proposed_line = |(_, written, field): &(u16, &str, Field)| {
        format!("columns.{} = {}   # check", quoted(written), quoted(field.word()))
    };
    lines.extend(proposed.columns.iter().map(proposed_line));
    lines.extend(proposed.doubts.iter().map(|doubt| format!("# {doubt}")));
    if doubtful {
        lines.extend(rest.iter().map(|written| format!("columns.{} = \"?\"", quoted(written))));
    } else if !rest.is_empty() {
        let rest: Vec<String> = rest.iter().map(|written| format!("'{written}'")).collect();
        lines.push(format!("# headings without a field: {}", rest.join(", ")));
    }
    let aside = if doubtful { "# if it holds for every row: " } else { "" };
    lines.extend(proposed.every_row.iter().map(|line| format!("{aside}{line}")));
    if !proposed.lacking.is_empty() {
        lines.push(format!("# needed too: {}", proposed.lacking.join(", ")));
    }
    lines
}

/// What the cells below the headings make likely.
#[derive(Default)]
struct Proposed<'h> {
    /// Column, its heading, and its likely field.
    columns: Vec<(u16, &'h str, Field)>,
    /// Fields that more than one heading could hold.
    doubts: Vec<String>,
    /// Lines for what may hold for every row.
    every_row: Vec<String>,
    /// Words of the fields for which nothing is likely.
    lacking: Vec<&'static str>,
}

impl<'h> Proposed<'h> {
    fn of(grid: &Grid<'_>, heading: &'h Heading, words: Words<'_>) -> Self {
        let mut proposed = Self::default();
        let mut taken = BTreeSet::new();
        let first = heading.lacking.iter().filter_map(|group| group.first());
        let mut lacking: Vec<(Field, Holds)> =
            first.filter_map(|field| Some((*field, heading.kind.spec(*field)?.holds))).collect();
        lacking.sort_by_key(|(_, holds)| order(*holds));
        for (field, holds) in lacking {
            let fits = |(at, _): &&(u16, String)| !taken.contains(at) && looks(grid, heading, *at, holds, words);
            let fitting: Vec<&(u16, String)> = heading.unused.iter().filter(fits).collect();
            if let Some((at, written)) = fitting.first() {
                taken.insert(*at);
                proposed.columns.push((*at, written, field));
                proposed.doubt(field, &fitting);
            } else if matches!(field, Field::Lane | Field::Date | Field::Cast) {
                let lane = words.setting.lanes.first().map_or("...", |l| l.name.as_str());
                let example = if field == Field::Lane { lane } else { "2031-05-14" };
                let line = format!("every_row.{} = {}   # correct it", field.word(), quoted(example));
                proposed.every_row.push(line);
            } else {
                proposed.lacking.push(field.word());
            }
        }
        proposed
    }

    fn doubt(&mut self, field: Field, fitting: &[&(u16, String)]) {
        if fitting.len() > 1 {
            let names: Vec<String> = fitting.iter().map(|(_, heading)| format!("'{heading}'")).collect();
            self.doubts.push(format!("the {} may be {}", field.word(), names.join(" or ")));
        }
    }
}

/// What can be told most surely comes first.
fn order(holds: Holds) -> u8 {
    match holds {
        Holds::Date => 0,
        Holds::Stations => 1,
        Holds::Station => 2,
        Holds::Lane => 3,
        Holds::Item => 4,
        Holds::Text => 5,
        _ => 6,
    }
}

/// Whether most cells below a heading could hold such a value.
fn looks(grid: &Grid<'_>, heading: &Heading, at: u16, holds: Holds, words: Words<'_>) -> bool {
    let below = grid.lines.partition_point(|l| l.row <= heading.row);
    let cells: Vec<&RawValue> =
        grid.lines[below..].iter().filter_map(|l| l.at(at)).take(LOOKED_AT).map(|c| &c.value).collect();
    let fitting = cells.iter().filter(|v| can_be(v, holds, words)).count();
    fitting > 0 && fitting * 2 >= cells.len()
}

fn can_be(value: &RawValue, holds: Holds, words: Words<'_>) -> bool {
    let setting = words.setting;
    let station = |t: &str| setting.alignments.first().is_some_and(|a| StationLabel::read(t, a.full_station).is_ok());
    match (holds, value) {
        (Holds::Date, RawValue::Moment(_)) => true,
        (Holds::Date, RawValue::Text(text)) => !matches!(date::of_text(text, setting.dates()), Err(NoDate::Not(_))),
        (Holds::Station, RawValue::Text(text)) => station(text),
        (Holds::Stations, RawValue::Text(text)) => {
            setting.alignments.first().is_some_and(|a| lane::ends(text, a).is_some())
        }
        (Holds::Lane, RawValue::Text(text)) => words.names.lanes(text).is_ok(),
        (Holds::Item, RawValue::Text(text)) => words.names.item(text).is_some(),
        (Holds::Item, RawValue::Number(n)) => words.names.item(&n.to_string()).is_some(),
        (Holds::Text, RawValue::Number(n)) => n.fract() == 0.0,
        (Holds::Text, RawValue::Text(text)) => {
            !station(text) && !can_be(value, Holds::Date, words) && !can_be(value, Holds::Lane, words)
        }
        (Holds::Date | Holds::Station | Holds::Stations | Holds::Lane, _) => false,
        (_, RawValue::Number(_)) => true,
        (_, RawValue::Text(text)) => text_number(text).is_ok(),
        _ => false,
    }
}
