//! Evaporation: the exact form against a table computed with both forms (reference: an instrument maker's note has the metric one,
//! the US one is its exact twin), in US and SI contracts.

use rust_decimal::{Decimal, dec};

use super::{Seen, number, see};
use crate::contract::Contract;
use crate::finding::Code;
use crate::intake::{LaneId, Records, Weather};
use crate::line::fixture::{self, contract, day, placement, read, si_contract};
use crate::rules::{ConstructionRule, WeatherRule};
use crate::units::{Unit, between};
use crate::works::Finds;

/// Air, humidity, concrete, wind.
type Readings = (Decimal, Decimal, Decimal, Decimal);

fn weather(row: u32, (air, humidity, concrete, wind): Readings) -> Weather {
    let value = |value, column| Some(read(value, 3, row, column));
    Weather {
        date: read(day("2031-07-08"), 3, row, 0),
        time: Some(fixture::time("14:00")),
        lane: None,
        station: None,
        air: value(air, 2),
        humidity: value(humidity, 3),
        wind: value(wind, 4),
        concrete: value(concrete, 5),
        evaporation: None,
        by: None,
        remarks: None,
    }
}

fn rule(unit: Unit, limit: Decimal) -> ConstructionRule {
    let weather = WeatherRule {
        concrete: (Some(number(dec!(50), Unit::Fahrenheit)), Some(number(dec!(90), Unit::Fahrenheit))),
        evaporation: Some(number(limit, unit)),
        round: Some("0.0001 half up".parse().unwrap()),
        ..WeatherRule::default()
    };
    ConstructionRule { weather: Some(weather), ..ConstructionRule::default() }
}

fn seen(contract: &Contract, weather: Vec<Weather>, rule: ConstructionRule) -> Seen {
    let (from, to) = if contract.lanes.len() == 1 { ("0+000", "0+100") } else { ("10+00", "12+00") };
    let records = Records {
        weather,
        placements: vec![placement(contract, "1", "2031-07-08", &[LaneId(0)], from, to)],
        ..Records::default()
    };
    see(contract, records, rule, "2031-07-31")
}

/// Air F, humidity, concrete F, wind mph: rate in lb/ft2/h.
fn cases() -> Vec<(Readings, &'static str)> {
    vec![
        ((dec!(80), dec!(50), dec!(87), dec!(12)), "0.2435"),
        ((dec!(70), dec!(70), dec!(70), dec!(0)), "0.0123"),
        ((dec!(70), dec!(70), dec!(70), dec!(10)), "0.0615"),
        ((dec!(70), dec!(70), dec!(70), dec!(25)), "0.1353"),
        ((dec!(80), dec!(70), dec!(80), dec!(10)), "0.0859"),
        ((dec!(90), dec!(70), dec!(90), dec!(10)), "0.1153"),
        ((dec!(70), dec!(50), dec!(70), dec!(10)), "0.1025"),
        ((dec!(40), dec!(100), dec!(80), dec!(10)), "0.2356"),
    ]
}

#[test]
fn the_rate_of_evaporation_is_that_of_the_equation() {
    let rows = (1..).zip(cases()).map(|(row, (given, _))| weather(row, given)).collect();
    let seen = seen(&contract(), rows, rule(Unit::PoundPerSquareFootHour, dec!(0.20)));
    let rates: Vec<String> = seen
        .works
        .weather
        .iter()
        .map(|w| seen.book[w.evaporation.unwrap()].value.decimal().unwrap().to_string())
        .collect();
    let printed: Vec<&str> = cases().into_iter().map(|c| c.1).collect();
    assert_eq!(rates, printed);
    // 0.20 is the usual alarm: the first and the last are above it.
    let high: Vec<bool> = seen.works.weather.iter().map(|w| w.evaporates == Finds::Failed).collect();
    assert_eq!(high, [true, false, false, false, false, false, false, true]);
    assert_eq!(seen.findings.iter().filter(|f| f.code == Code::EvaporationHigh).count(), 2);
}

/// The exact metric form, E = 5.275e-6 ((Tc + 17.778)^2.5 - r (Ta + 17.778)^2.5) (V + 4.02336) in kg/m2/h, as the note prints it.
#[test]
fn the_metric_contract_gets_the_same_rate_in_its_own_unit() {
    for (row, (air, humidity, concrete, wind)) in [(1, (26.7, 50.0, 30.6, 19.0)), (2, (21.0, 70.0, 21.0, 16.0))] {
        let e = |v: f64| Decimal::from_f64_retain(v).unwrap().round_dp(3);
        let given = (e(air), e(humidity), e(concrete), e(wind));
        let seen = seen(&si_contract(), vec![weather(row, given)], rule(Unit::KilogramPerSquareMetreHour, dec!(1)));
        let term = |t: f64| (t + 17.778_f64).powf(2.5);
        let printed = 5.275e-6 * (term(concrete) - humidity / 100.0 * term(air)) * (wind + 4.02336);
        let ours = seen.book[seen.works.weather[0].evaporation.unwrap()].value.real().unwrap();
        assert!((ours / printed - 1.0).abs() < 5e-4, "{ours} against {printed}");
        assert_eq!(seen.book[seen.works.weather[0].evaporation.unwrap()].unit, Unit::KilogramPerSquareMetreHour);
    }
    assert_eq!(
        between(dec!(1), Unit::PoundPerSquareFootHour, Unit::KilogramPerSquareMetreHour).map(|v| v.round_dp(4)),
        Some(dec!(4.8824))
    );
}

/// WSDOT 5-05 (seen in part): concrete between 50 and 90 F; the limits themselves are inside.
#[test]
fn a_temperature_on_its_limit_is_inside_and_a_day_without_concrete_is_not_judged() {
    let at = |concrete| vec![weather(1, (dec!(70), dec!(70), concrete, dec!(0)))];
    let limits = || rule(Unit::PoundPerSquareFootHour, dec!(9));
    assert_eq!(seen(&contract(), at(dec!(90)), limits()).findings, []);
    assert_eq!(seen(&contract(), at(dec!(90.1)), limits()).codes(), [Code::TemperatureOutside]);
    assert_eq!(seen(&contract(), at(dec!(49.9)), limits()).codes(), [Code::TemperatureOutside]);
    let other_day =
        Weather { date: read(day("2031-07-09"), 3, 1, 0), ..weather(1, (dec!(70), dec!(70), dec!(99), dec!(0))) };
    assert_eq!(seen(&contract(), vec![other_day], limits()).findings, []);
}

#[test]
fn a_printed_rate_on_the_other_side_of_the_limit_is_said() {
    let printed = Weather { evaporation: Some(read(dec!(0.19), 3, 1, 6)), ..weather(1, cases()[0].0) };
    let seen = seen(&contract(), vec![printed], rule(Unit::PoundPerSquareFootHour, dec!(0.20)));
    assert_eq!(seen.codes(), [Code::EvaporationHigh, Code::EvaporationPrinted]);
}
