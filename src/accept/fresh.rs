//! Fresh concrete against the limits that the contract states, where no rule set judges it.
//!
//! A result on the limit is within it. Nothing here changes pay.

use rust_decimal::Decimal;

use super::FreshJudged;
use super::ground::Ground;
use crate::contract::Entered;
use crate::figure::{Book, FigureId};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Fresh, Read};
use crate::rules::Property;
use crate::units::plain;

/// A finding for each result outside the contract's limits that no rule set has held against them.
pub(super) fn judge(ground: Ground, judged: &[FreshJudged], book: &Book) -> Vec<Finding> {
    let limits = &ground.contract.fresh;
    let mut findings = Vec::new();
    for (i, test) in ground.records.fresh.iter().enumerate() {
        let results = [
            (Some(Property::Air), "air content", &test.air, &limits.air),
            (Some(Property::Slump), "slump", &test.slump, &limits.slump),
            (None, "temperature", &test.temperature, &limits.temperature),
            (Some(Property::WaterCement), "water-cement ratio", &test.water_cement, &limits.water_cement),
        ];
        for (property, what, result, (lowest, highest)) in results {
            let Some(result) = result else { continue };
            let by_rule = judged.iter().find(|j| j.test == i && Some(j.property) == property && j.deviation.is_some());
            let settled =
                |of: fn(&FreshJudged) -> Option<FigureId>, limit: &Entered, beyond: fn(Decimal, Decimal) -> bool| {
                    by_rule.is_some_and(|j| {
                        let value = |id: FigureId| book[id].value.decimal();
                        let by = of(j).and_then(value);
                        by == Some(limit.value) || by.zip(value(j.result)).is_some_and(|(by, x)| beyond(x, by))
                    })
                };
            let below = lowest.as_ref().filter(|limit| result.value < limit.value);
            let below = below.filter(|limit| !settled(|j| j.limits.0, limit, |x, by| x < by));
            let above = highest.as_ref().filter(|limit| result.value > limit.value);
            let above = above.filter(|limit| !settled(|j| j.limits.1, limit, |x, by| x > by));
            findings.extend(below.map(|limit| outside(test, what, result, "below the contract's lowest", limit)));
            findings.extend(above.map(|limit| outside(test, what, result, "above the contract's highest", limit)));
        }
    }
    findings
}

fn outside(test: &Fresh, what: &str, result: &Read<Decimal>, how: &str, limit: &Entered) -> Finding {
    let ticket = test.ticket.as_ref().map_or_else(String::new, |ticket| format!(", ticket {}", ticket.value));
    Finding::new(
        Code::FreshOutside,
        Place::Cell(result.at),
        format!(
            "{what} {} is {how}, {} (contract.toml, line {}); test {} of {}{ticket}",
            format!("{} {}", plain(result.value), limit.unit).trim_end(),
            limit.written,
            limit.line,
            test.number.value,
            test.date.value
        ),
        "check what became of the load and of the pavement it went into; the engineer decides whether it may stay",
    )
}

#[cfg(test)]
mod tests {
    use rust_decimal::dec;

    use super::*;
    use crate::accept::fixture::run;
    use crate::intake::{Records, Sampling, TakenBy};
    use crate::line::fixture::{contract, day, entered, read};
    use crate::units::Unit;

    /// Limits of the example contract: air 5 to 8 percent, slump 0.5 to 3 in, 50 to 90 F.
    fn outside_of(air: Decimal, slump: Decimal, temperature: Decimal) -> Vec<String> {
        let mut contract = contract();
        let limit = |value, unit, line| Some(entered(value, unit, line, "fresh"));
        let fresh = &mut contract.fresh;
        fresh.air = (limit(dec!(5), Unit::Percent, 101), limit(dec!(8), Unit::Percent, 101));
        fresh.slump = (limit(dec!(0.5), Unit::Inch, 102), limit(dec!(3), Unit::Inch, 102));
        fresh.temperature = (limit(dec!(50), Unit::Fahrenheit, 103), limit(dec!(90), Unit::Fahrenheit, 103));
        let test = Fresh {
            number: read("F-3".into(), 4, 3, 0),
            date: read(day("2031-07-01"), 4, 3, 1),
            ticket: Some(read("88213".into(), 4, 3, 2)),
            placement: None,
            lane: None,
            station: None,
            slump: Some(read(slump, 4, 3, 3)),
            air: Some(read(air, 4, 3, 4)),
            temperature: Some(read(temperature, 4, 3, 5)),
            density: None,
            water_cement: None,
            taken_by: TakenBy::Unstated,
            by: None,
            sampling: Sampling::Unstated,
            settles: None,
            remarks: None,
        };
        let records = Records { fresh: vec![test], ..Records::default() };
        let run = run(&contract, None, None, records, "2031-07-31");
        run.of(Code::FreshOutside).iter().map(|f| f.message.clone()).collect()
    }

    #[test]
    fn a_result_on_the_limit_is_within_it() {
        assert!(outside_of(dec!(5), dec!(3), dec!(90)).is_empty());
        assert!(outside_of(dec!(8.0), dec!(0.5), dec!(50)).is_empty());
    }

    #[test]
    fn a_result_outside_names_the_limit_and_where_it_stands() {
        assert_eq!(
            outside_of(dec!(8.5), dec!(0.25), dec!(91)),
            [
                "air content 8.5 % is above the contract's highest, 8 % (contract.toml, line 101); test F-3 of 2031-07-01, ticket 88213",
                "slump 0.25 in is below the contract's lowest, 0.5 in (contract.toml, line 102); test F-3 of 2031-07-01, ticket 88213",
                "temperature 91 F is above the contract's highest, 90 F (contract.toml, line 103); test F-3 of 2031-07-01, ticket 88213",
            ]
        );
    }
}
