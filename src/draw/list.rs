//! The drawing list: what the coring crew takes along, and how anyone draws it again.

use super::locate::{DrawnLot, Location};
use super::offset::written;
use crate::contract::{Contract, DrawRule};
use crate::wrapping::{PAGE, hang};

/// The list for people: lots with their locations, then how to draw one again.
#[must_use]
pub fn text(contract: &Contract, rule: &DrawRule, lots: &[DrawnLot], set: &str) -> String {
    let mut out = head(contract, rule, lots, set);
    let rows: Vec<Vec<[String; 5]>> =
        lots.iter().map(|lot| lot.locations.iter().map(|l| row(contract, l)).collect()).collect();
    let heads = ["core", "stratum", "numbers", "station", "lane"].map(String::from);
    let width = |i: usize| {
        let cells = rows.iter().flatten().chain([&heads]).map(|row| row[i].chars().count());
        cells.max().unwrap_or(0)
    };
    let widths: [usize; 5] = std::array::from_fn(width);
    let set_line = |cells: &[String; 5], last: &str| {
        let cells: Vec<String> = cells.iter().zip(widths).map(|(cell, width)| format!("{cell:<width$}")).collect();
        format!("  {}  {last}\n", cells.join("  "))
    };
    out.push_str(&set_line(&heads, &format!("from the {}", rule.offset_from.word())));
    for (lot, rows) in lots.iter().zip(&rows) {
        out.push_str(&format!("{}\n", lot.lot.name));
        for (location, cells) in lot.locations.iter().zip(rows) {
            let offset = written(rule.offset_from, location.offset, location.width, contract.system);
            out.push_str(&set_line(cells, &offset));
        }
        for number in &lot.without {
            out.push_str(&format!(
                "  {number}: no place of its stratum is clear of edges and ends; nothing is drawn\n"
            ));
        }
    }
    out.push('\n');
    out.push_str(&recipe(contract, rule, lots));
    out
}

fn head(contract: &Contract, rule: &DrawRule, lots: &[DrawnLot], set: &str) -> String {
    let ends =
        rule.clear_of_ends.as_ref().map_or_else(String::new, |c| format!(", {} clear of a lot's ends", c.written));
    wrapped(
        "",
        &format!(
            "{}, {}: core locations drawn with seed {} (contract.toml, line {}) for the lots of rule set {set}; {} clear of \
             the edges of a lane{ends}; {} in {}.",
            contract.number,
            contract.title,
            rule.seed,
            rule.line,
            rule.clear_of_edge.written,
            counted(lots.iter().map(|l| l.locations.len()).sum(), "location", "locations"),
            counted(lots.len(), "lot", "lots"),
        ),
    ) + "\n"
}

fn counted(n: usize, one: &str, many: &str) -> String {
    format!("{n} {}", if n == 1 { one } else { many })
}

fn row(contract: &Contract, location: &Location) -> [String; 5] {
    let station = |at| contract.station(location.lane, at);
    let (u, v) = location.numbers;
    let pair = if location.pair == 1 { String::new() } else { format!(" (pair {})", location.pair) };
    [
        location.number.to_string(),
        format!("{} to {}", station(location.stratum.0), station(location.stratum.1)),
        format!("{u:.6} {v:.6}{pair}"),
        station(location.at),
        contract.lane(location.lane).name.clone(),
    ]
}

/// How to draw a location again, by the first of the list.
fn recipe(contract: &Contract, rule: &DrawRule, lots: &[DrawnLot]) -> String {
    let stream = lots.iter().flat_map(|l| &l.locations).map(|l| l.stream.as_str()).next().unwrap_or("LOT, core K");
    let (step, unit) = (crate::line::staked(contract.system).to(), contract.system.length());
    let clear = &rule.clear_of_edge.written;
    [
        "To draw location K of a lot with N again, with any program:\n".to_string(),
        wrapped(
            "1. ",
            &format!(
                "Numbers: SHA-256 of the text \"{}/{stream}/1\" (put the lot and K in) has 64 hexadecimal digits. The first 16 \
                 over 16^16 is the first number, the next 16 the second, each cut to six decimals. A pair that falls in \
                 no clear place is passed over: pair 2 is digits 33 to 48 and 49 to 64, pair 3 begins the text ending in /2.",
                rule.seed
            ),
        ),
        wrapped(
            "2. ",
            &format!(
                "Station: where the plan area of the lot from its beginning, all its lanes together, is (K - 1 + first \
                 number) / N of the whole; down to {step} {unit}."
            ),
        ),
        wrapped(
            "3. ",
            &format!(
                "Lane and offset: second number x the width of all lanes of the lot there, side by side as the contract \
                 lists them, falls in one lane at a share f of its width W; {clear} + f x (W - 2 x {clear}) from its left \
                 edge, looking ahead; down to {step} {unit}."
            ),
        ),
    ]
    .concat()
}

/// A paragraph in lines, the first behind its mark, the others lined up under it.
fn wrapped(mark: &str, text: &str) -> String {
    hang(mark, text, PAGE).join("\n") + "\n"
}

/// The list for machines: one line for each location.
///
/// # Errors
/// Where the writer refuses a record, in words.
pub fn csv(contract: &Contract, rule: &DrawRule, lots: &[DrawnLot]) -> Result<String, String> {
    let unit = contract.system.length();
    let mut writer = csv::Writer::from_writer(Vec::new());
    let offset = format!("offset from {} ({unit})", rule.offset_from.word());
    let heads = [
        "lot",
        "core",
        "lane",
        "station",
        &format!("along ({unit})"),
        &offset,
        &format!("lane width ({unit})"),
        "stratum from",
        "stratum to",
        "seed",
        "stream",
        "pair",
        "number along",
        "number across",
    ];
    writer.write_record(heads).map_err(|e| e.to_string())?;
    for (lot, l) in lots.iter().flat_map(|lot| lot.locations.iter().map(move |l| (lot, l))) {
        let station = |at| contract.station(l.lane, at);
        writer
            .write_record([
                lot.lot.name.clone(),
                l.number.to_string(),
                contract.lane(l.lane).name.clone(),
                station(l.at),
                l.at.along.normalize().to_string(),
                super::offset::stated(rule.offset_from, l.offset, l.width).normalize().to_string(),
                l.width.round_dp(4).normalize().to_string(),
                station(l.stratum.0),
                station(l.stratum.1),
                rule.seed.clone(),
                l.stream.clone(),
                l.pair.to_string(),
                format!("{:.6}", l.numbers.0),
                format!("{:.6}", l.numbers.1),
            ])
            .map_err(|e| e.to_string())?;
    }
    let bytes = writer.into_inner().map_err(|e| e.to_string())?;
    String::from_utf8(bytes).map_err(|e| e.to_string())
}
