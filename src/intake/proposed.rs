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

/// Complete lines for a sheet: its kind, the row of its headings, its columns, and what no column holds.
pub(super) fn lines(grid: &Grid<'_>, heading: &Heading, words: Words<'_>) -> Vec<String> {
    let mut lines = vec![format!("kind = {}", quoted(heading.kind.word)), format!("heading_row = {}", heading.row + 1)];
    if heading.columns.len() < 3 {
        lines[0].push_str(&format!("   # or one of: {}", super::kind::kind_words().join(", ")));
    }
    let mut taken = BTreeSet::new();
    let (mut columns, mut every_row) = (Vec::new(), Vec::new());
    let mut lacking: Vec<(Field, Holds)> = heading
        .lacking
        .iter()
        .filter_map(|g| g.first())
        .filter_map(|f| Some((*f, heading.kind.spec(*f)?.holds)))
        .collect();
    lacking.sort_by_key(|(_, holds)| order(*holds));
    for (field, holds) in lacking {
        let fits = |(at, _): &&(u16, String)| !taken.contains(at) && looks(grid, heading, *at, holds, words);
        if let Some((at, written)) = heading.unused.iter().find(fits) {
            taken.insert(*at);
            columns.push(format!("{} = {}", quoted(written), quoted(field.word())));
        } else if matches!(field, Field::Lane | Field::Date | Field::Cast) {
            let lane = words.setting.lanes.first().map_or("...", |l| l.name.as_str());
            let example = if field == Field::Lane { lane } else { "2031-05-14" };
            every_row.push(format!("{} = {}", field.word(), quoted(example)));
        } else {
            columns.push(format!("{} = {}", quoted(&format!("heading of the {}", field.word())), quoted(field.word())));
        }
    }
    if !columns.is_empty() {
        let rest: Vec<String> =
            heading.unused.iter().filter(|(at, _)| !taken.contains(at)).map(|(_, h)| format!("'{h}'")).collect();
        let others = if rest.is_empty() { String::new() } else { format!("; other headings: {}", rest.join(", ")) };
        lines.push(format!("columns = {{ {} }}   # check: heading = field{others}", columns.join(", ")));
    }
    if !every_row.is_empty() {
        lines.push(format!("every_row = {{ {} }}   # correct what holds for every row", every_row.join(", ")));
    }
    lines
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
        (Holds::Date, RawValue::Text(text)) => !matches!(date::of_text(text, setting.date_order), Err(NoDate::Not(_))),
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
