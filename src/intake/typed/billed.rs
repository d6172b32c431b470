//! A line of a supplier's invoice: invoice, day, ticket, what for, how much of it, its price and amount.

use rust_decimal::Decimal;

use crate::finding::Code;
use crate::intake::kind::Field;
use crate::intake::record::{Billed, Charge, Read};
use crate::intake::row::Row;
use crate::intake::wording::fold;
use crate::units::{Unit, between};

/// Words for what is no concrete by volume; the first that is found decides.
const CHARGES: &[(&str, Charge)] = &[
    ("short load", Charge::ShortLoad),
    ("small load", Charge::ShortLoad),
    ("minimum load", Charge::ShortLoad),
    ("partial load", Charge::ShortLoad),
    ("waiting", Charge::Waiting),
    ("wait", Charge::Waiting),
    ("standby", Charge::Waiting),
    ("stand by", Charge::Waiting),
    ("demurrage", Charge::Waiting),
    ("detention", Charge::Waiting),
    ("truck time", Charge::Waiting),
    ("unloading time", Charge::Waiting),
    ("surcharge", Charge::Other),
    ("fuel", Charge::Other),
    ("fee", Charge::Other),
    ("fees", Charge::Other),
    ("environmental", Charge::Other),
    ("tax", Charge::Other),
    ("concrete", Charge::Concrete),
    ("mix", Charge::Concrete),
    ("ready mix", Charge::Concrete),
    ("psi", Charge::Concrete),
    ("mpa", Charge::Concrete),
];
/// Words for hours, which are no unit of records.
const HOURS: &[&str] = &["h", "hr", "hrs", "hour", "hours"];
const MINUTES_OF_HOUR: Decimal = Decimal::from_parts(60, 0, 0, false, 0);

pub(super) fn read(row: &mut Row<'_>) -> Option<Billed> {
    let invoice = row.need(Field::Invoice, Row::text);
    let date = row.need(Field::Date, Row::date);
    let ticket = row.text(Field::Ticket);
    let kind = row.text(Field::Charge);
    let described = row.text(Field::Described);
    let mut mix = row.text(Field::Mix);
    let named = described.as_ref().filter(|d| row.words.names.is_mix(&d.value)).cloned();
    let charge = charge(row, [kind.as_ref(), described.as_ref()], mix.is_some() || named.is_some());
    if charge == Charge::Concrete {
        mix = mix.or(named);
    }
    let (volume, minutes) = quantity(row, charge);
    let price = row.money(Field::Price).map(|price| if by_the_hour(row, charge) { a_minute(price) } else { price });
    let amount = row.need(Field::Amount, Row::money);
    let remarks = row.text(Field::Remarks);
    let described = described.or(kind);
    Some(Billed {
        invoice: invoice?,
        date: date?,
        ticket,
        charge,
        described,
        mix,
        volume,
        minutes,
        price,
        amount: amount?,
        remarks,
    })
}

/// What the line bills for, by its words; without any, concrete where it names a mix or a volume.
fn charge(row: &Row<'_>, words: [Option<&Read<Box<str>>>; 2], names_mix: bool) -> Charge {
    let said = |text: &Read<Box<str>>| {
        let folded = format!(" {} ", fold(&text.value));
        CHARGES.iter().find(|(word, _)| folded.contains(&format!(" {word} "))).map(|(_, charge)| *charge)
    };
    if let Some(charge) = words.into_iter().flatten().find_map(said) {
        return charge;
    }
    let volume = row.table.column(Field::Quantity).and_then(|c| c.unit).is_some_and(is_volume);
    let silent = words.iter().all(Option::is_none);
    if names_mix || (silent && volume) { Charge::Concrete } else { Charge::Other }
}

fn is_volume(unit: Unit) -> bool {
    between(Decimal::ONE, unit, Unit::CubicMetre).is_some() || unit == Unit::CubicMetre
}

/// Volume of concrete, or minutes of waiting. A quantity of waiting that does not say minutes or hours is neither.
fn quantity(row: &mut Row<'_>, charge: Charge) -> (Option<Read<Decimal>>, Option<Read<Decimal>>) {
    let minutes = if charge == Charge::Waiting { row.bare(Field::Minutes, Unit::Minute) } else { None };
    let Some(found) = row.find(Field::Quantity) else { return (None, minutes) };
    let Some(typed) = row.number(&found) else { return (None, minutes) };
    let word = row.text(Field::Unit).map(|unit| unit.value.trim().to_lowercase());
    let own = word.as_deref().and_then(Unit::named);
    let unit = typed.unit.or(own).or(found.column.and_then(|c| c.unit));
    let keep = |value: Decimal| Read { value, at: found.at, typed: Some(found.shown().into()) };
    match charge {
        Charge::Concrete => (volume(row, &found, (typed.value, unit)), None),
        Charge::Waiting if minutes.is_some() => (None, minutes),
        Charge::Waiting => {
            let hours = by_the_hour(row, charge);
            let value = match unit {
                Some(Unit::Minute) => Some(typed.value),
                _ if hours => typed.value.checked_mul(MINUTES_OF_HOUR),
                _ => None,
            };
            (None, value.map(keep))
        }
        Charge::ShortLoad | Charge::Other => (None, None),
    }
}

/// Whether waiting is billed in hours, and so at a price of an hour. Minutes in a column of their own are none.
fn by_the_hour(row: &mut Row<'_>, charge: Charge) -> bool {
    let in_hours = |unit: Read<Box<str>>| HOURS.contains(&unit.value.trim().to_lowercase().as_str());
    charge == Charge::Waiting && row.find(Field::Minutes).is_none() && row.text(Field::Unit).is_some_and(in_hours)
}

/// A price of an hour as that of a minute.
fn a_minute(price: Read<Decimal>) -> Read<Decimal> {
    let typed = price.typed.clone().unwrap_or_else(|| price.value.to_string().into());
    match price.value.checked_div(MINUTES_OF_HOUR) {
        Some(value) => Read { value, at: price.at, typed: Some(format!("{typed} an hour").into()) },
        None => price,
    }
}

fn volume(
    row: &mut Row<'_>,
    found: &crate::intake::row::Found<'_>,
    (value, unit): (Decimal, Option<Unit>),
) -> Option<Read<Decimal>> {
    let kept = row.words.setting.system.volume();
    let unit = unit.unwrap_or(kept);
    let converted = if unit == kept { Some(value) } else { between(value, unit, kept) };
    if converted.is_none() {
        row.refuse(
            Code::CellUnreadable,
            found,
            &format!("is in {unit}, and concrete is billed by volume"),
            "correct the unit",
        );
    }
    let typed = (unit != kept).then(|| format!("{value} {unit}").into());
    converted.map(|value| Read { value, at: found.at, typed })
}
