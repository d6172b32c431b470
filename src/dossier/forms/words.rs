//! What a form says to those who fill it in: what to mind, what a cell takes, and what is wrong with an entry. Common
//! practice in our own words; the employer's safety plan and local rules go before it.

use chrono::NaiveDate;

use super::lists::Lists;
use super::{FormCheck, needed};
use crate::contract::Contract;
use crate::intake::{Danger, DateOrder, Entry, Form, FormColumn, Needed};

/// Who decides.
pub(super) const DECIDES: &str = "This form records what was done and measured. It accepts no work and opens nothing to traffic: the \
     engineer decides, under the contract.";
/// What goes before every caution.
const PLAN: &str = "Your employer's safety plan and the local rules go before these lines.";

fn caution(danger: Danger) -> &'static str {
    match danger {
        Danger::FreshConcrete => {
            "Fresh concrete is caustic: keep it off skin and out of eyes, wear waterproof gloves and boots, rinse splashes at once."
        }
        Danger::Equipment => {
            "Pavers, rollers and backing trucks: stay where the operator sees you, never between a truck and what it backs to."
        }
        Danger::Traffic => "Traffic beside the work: stay behind the barrier, face it, wear clothing that is seen.",
        Danger::Dust => {
            "Drilling and sawing set free silica dust: use water or a vacuum, and the respirator that the safety plan names."
        }
        Danger::Sprays => "Curing compound and sealant: read the label, keep upwind, no flame; eyes and skin covered.",
        Danger::Gauge => {
            "Nuclear gauge: licensed operator only, everyone else well away; it is never left alone and is locked when not in use."
        }
        Danger::Breaking => {
            "Cylinders, beams and cores break suddenly: guard closed, eyes covered, hands out of the machine."
        }
        Danger::Weather => {
            "Heat: water, shade, breaks. Cold: dry clothes, warm breaks. Watch each other; stop in lightning."
        }
    }
}

/// What to mind, the plan last; nothing where nothing endangers.
pub(super) fn cautions(dangers: &[Danger]) -> Vec<&'static str> {
    let own = dangers.iter().map(|danger| caution(*danger));
    own.chain((!dangers.is_empty()).then_some(PLAN)).collect()
}

/// What the signs mean, and what a row is.
pub(super) fn signs(form: &Form) -> String {
    let mut said = format!("One row for each {}. * must be filled in.", form.noun);
    for mark in ['†', '‡'] {
        if form.columns.iter().any(|column| column.needed == Needed::OneOf(mark)) {
            said.push_str(&format!(" {mark} one or more of these must."));
        }
    }
    said + " Nothing is carried down from the row above."
}

/// A heading without unit and mark.
pub(super) fn bare(heading: &str) -> String {
    heading.split(" (").next().unwrap_or(heading).trim_end_matches([' ', '*', '†', '‡']).into()
}

/// A day as somebody types it in the contract's order.
fn typed(contract: &Contract, day: NaiveDate) -> String {
    let format = match contract.date_order {
        DateOrder::MonthDayYear => "%-m/%-d/%Y",
        DateOrder::DayMonthYear => "%-d/%-m/%Y",
        DateOrder::YearMonthDay => "%Y-%m-%d",
    };
    day.format(format).to_string()
}

fn order(contract: &Contract) -> &'static str {
    match contract.date_order {
        DateOrder::MonthDayYear => "month/day/year",
        DateOrder::DayMonthYear => "day/month/year",
        DateOrder::YearMonthDay => "year-month-day",
    }
}

/// A station of the contract, as an example.
fn station(contract: &Contract) -> String {
    contract.alignments.first().map_or_else(|| "12+40".into(), |a| a.write(a.begin))
}

/// What is shown where a cell is chosen.
pub(super) fn prompt(contract: &Contract, column: &FormColumn, check: &FormCheck) -> String {
    let takes = match (check, column.entry) {
        (FormCheck::Text, _) => String::new(),
        (FormCheck::Day(first, _), _) => {
            format!(
                "Type {}, such as {}; see that the cell then shows the month you mean.",
                order(contract),
                typed(contract, *first)
            )
        }
        (FormCheck::Time, _) => "Time of day, such as 7:05 or 15:40.".into(),
        (FormCheck::Number { .. }, _) => "A number alone; the heading says the unit.".into(),
        (FormCheck::Station { .. }, Entry::Station { stretch: true }) => {
            format!("As painted, with its plus, such as {0}; a stretch as {0} to ...", station(contract))
        }
        (FormCheck::Station { .. }, _) => format!("As painted, with its plus, such as {}.", station(contract)),
        (FormCheck::List { only: true, .. }, _) => "Choose from the list.".into(),
        (FormCheck::List { only: false, .. }, _) => "Choose from the list, or type what is not on it.".into(),
    };
    let unlike = match column.entry {
        Entry::Number { below_zero: true, .. } => " It may lie below zero.",
        _ => "",
    };
    [needed(column), takes, unlike.into(), format!(" {}", column.hint)].concat().trim().to_string()
}

/// What is said of an entry that does not pass.
pub(super) fn fault(contract: &Contract, column: &FormColumn, check: &FormCheck, lists: &Lists) -> String {
    const KEEP: &str = "If it is right all the same, keep it.";
    match check {
        FormCheck::Text => String::new(),
        FormCheck::Day(first, last) => format!(
            "Type a day as {}, from {} to {}. {KEEP}",
            order(contract),
            typed(contract, *first),
            typed(contract, *last)
        ),
        FormCheck::Time => "Type a time of day such as 7:05 or 15:40.".into(),
        FormCheck::Number { below_zero: true, .. } => "Type one number, without a unit.".into(),
        FormCheck::Number { zero: true, .. } => "Type one number, not below zero, without a unit.".into(),
        FormCheck::Number { .. } => {
            "Type one number above zero, without a unit; leave the cell blank where nothing was measured.".into()
        }
        FormCheck::Station { .. } => {
            let ends: Vec<String> = contract
                .alignments
                .iter()
                .take(4)
                .map(|a| format!("{} {} to {}", a.name, a.write(a.begin), a.write(a.end)))
                .collect();
            format!("Type the station with its plus. The alignments run: {}. {KEEP}", ends.join("; "))
        }
        FormCheck::List { list, only } => {
            let called = lists.called(*list);
            let several = if column.entry == (Entry::Lane { several: true }) {
                " Several lanes: put & between them."
            } else {
                ""
            };
            if *only {
                format!("Choose one of the {called} on the list; nothing else can be read here.")
            } else {
                format!("This is not among the {called} on the list.{several} {KEEP}")
            }
        }
    }
}
