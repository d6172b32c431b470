//! Lots on the ground: a section cut into pieces of a size, or what of it was placed together.
//!
//! By area or volume all lanes of a section are taken together, with their tapers; a lot ends where the plan area (times
//! design thickness) from the section's beginning reaches a multiple of the lot size. By length each lane is cut by
//! itself. A cut is rounded to 0.1 ft or 0.01 m along the line (common practice: the precision stations are staked to).
//! By day or placement a lot is the stretches that were placed so.

use std::collections::BTreeMap;

use chrono::NaiveDate;
use rust_decimal::prelude::ToPrimitive;
use rust_decimal::{Decimal, dec};

use super::names::slug;
use super::{Line, LotSpan, Stretch, proof, width};
use crate::contract::{Contract, Section};
use crate::figure::{Book, Expr, Given, GivenId, Origin, sum, whole};
use crate::intake::{LaneId, Records};
use crate::rules::{Leftover, LotBy, LotRule, RuleNumber};
use crate::units::{Rounding, Station, System, between};

/// Most lots of a stretch: a lot size that makes more is a mistake, and its stretch is one lot.
const MOST: u32 = 100_000;

/// The lots of every section: sized ones tile it, in the order of sections, lanes and stations; the others are what was
/// placed, in that order. Lots of so many tests are not cut on the ground: there are none here.
#[must_use]
pub fn lots(contract: &Contract, records: &Records, line: &Line, rule: &LotRule) -> Vec<LotSpan> {
    match rule.by {
        LotBy::Area(_) | LotBy::Length(_) | LotBy::Volume(_) => cut_lots(contract, rule),
        LotBy::Day => placed_lots(contract, line, |stretch| {
            let day = stretch.date.to_string();
            ((stretch.date, 0), day.clone(), day)
        }),
        LotBy::Placement => placed_lots(contract, line, |stretch| {
            let number = &records.placements[stretch.placement].number.value;
            let key = format!("placement-{}", slug(number));
            ((stretch.date, stretch.placement), format!("placement {number}"), key)
        }),
        LotBy::Section => sections(contract),
        LotBy::Tests(_) => Vec::new(),
    }
}

/// Lots of a size.
fn cut_lots(contract: &Contract, rule: &LotRule) -> Vec<LotSpan> {
    let mut lots = Vec::new();
    for strip in strips(contract, rule) {
        let mut ends: Vec<Station> = strip.cuts.iter().map(|&(_, at)| at).collect();
        ends.push(strip.to);
        let mut from = strip.from;
        for (n, to) in (1..).zip(ends) {
            lots.push(LotSpan {
                name: format!("{} lot {n}", strip.name),
                key: format!("{}.lot-{n}", strip.key),
                section: strip.section,
                places: strip.lanes.iter().map(|&lane| (lane, from, to)).collect(),
            });
            from = to;
        }
    }
    lots
}

/// Lots of what was placed together; `what` gives a lot its order, name and key.
fn placed_lots(
    contract: &Contract,
    line: &Line,
    what: impl Fn(&Stretch) -> ((NaiveDate, usize), String, String),
) -> Vec<LotSpan> {
    let mut lots: BTreeMap<(usize, (NaiveDate, usize)), LotSpan> = BTreeMap::new();
    for stretch in &line.stretches {
        let (order, name, key) = what(stretch);
        let section = &contract.sections[stretch.section].name;
        let lot = lots.entry((stretch.section, order)).or_insert_with(|| LotSpan {
            name: format!("{section}, {name}"),
            key: format!("{}.{key}", slug(section)),
            section: stretch.section,
            places: Vec::new(),
        });
        add_place(&mut lot.places, (stretch.lane, stretch.from, stretch.to));
    }
    lots.into_values().collect()
}

/// One more stretch, joined to the last where it goes on from there. Stretches come by lane and station.
pub fn add_place(places: &mut Vec<(LaneId, Station, Station)>, (lane, from, to): (LaneId, Station, Station)) {
    match places.last_mut() {
        Some((of, _, end)) if *of == lane && end.along == from.along => *end = to,
        _ => places.push((lane, from, to)),
    }
}

fn sections(contract: &Contract) -> Vec<LotSpan> {
    let one = |(section, s): (usize, &Section)| LotSpan {
        name: s.name.clone(),
        key: format!("{}.section", slug(&s.name)),
        section,
        places: s.lanes.iter().map(|&lane| (lane, s.from, s.to)).collect(),
    };
    contract.sections.iter().enumerate().map(one).collect()
}

/// Takes up where lots end as figures, so that what is measured within a lot can show how its ends were obtained.
pub fn mark_lots(contract: &Contract, rule: &LotRule, book: &mut Book) {
    for strip in strips(contract, rule) {
        for &(n, at) in &strip.cuts {
            let Some(expr) = cut_formula(contract, rule, book, &strip, n, at) else { continue };
            let Some(number) = size(rule) else { continue };
            let label = format!("{}, end of lot {n}", strip.name);
            if let Some(&lane) = strip.lanes.first() {
                let about = (label.as_str(), number.clause.as_str(), Some(staked(contract.system)));
                proof::mark_station(contract, book, (lane, at), expr, about);
            }
        }
    }
}

/// Lanes that are cut together.
struct Strip {
    name: String,
    key: String,
    section: usize,
    lanes: Vec<LaneId>,
    from: Station,
    to: Station,
    /// Multiple of the lot size, and where it is reached.
    cuts: Vec<(u32, Station)>,
}

fn strips(contract: &Contract, rule: &LotRule) -> Vec<Strip> {
    let mut strips = Vec::new();
    for (s, section) in contract.sections.iter().enumerate() {
        let key = slug(&section.name);
        match &rule.by {
            LotBy::Area(size) => {
                let size = width::area_in(contract, size.value, size.unit);
                let cuts = cuts(contract, rule, section, &section.lanes, size, &|a, b| {
                    section.lanes.iter().map(|&l| width::plan_area(contract, l, a, b)).sum()
                });
                strips.push(strip(section, s, section.name.clone(), key, section.lanes.clone(), cuts));
            }
            LotBy::Volume(size) => {
                let (size, to_volume) = (Some(size.value), contract.system.to_volume());
                let cuts = cuts(contract, rule, section, &section.lanes, size, &|a, b| {
                    let area: Decimal = section.lanes.iter().map(|&l| width::plan_area(contract, l, a, b)).sum();
                    area.checked_mul(section.thickness.value).and_then(|v| to_volume.apply(v)).unwrap_or_default()
                });
                strips.push(strip(section, s, section.name.clone(), key, section.lanes.clone(), cuts));
            }
            LotBy::Tests(_) | LotBy::Day | LotBy::Placement | LotBy::Section => {}
            LotBy::Length(size) => {
                let size = between(size.value, size.unit, contract.system.length());
                for &lane in &section.lanes {
                    let name = &contract.lane(lane).name;
                    let cuts = cuts(contract, rule, section, &[lane], size, &|a, b| b - a);
                    let key = format!("{key}.{}", slug(name));
                    strips.push(strip(section, s, format!("{}, {name}", section.name), key, vec![lane], cuts));
                }
            }
        }
    }
    strips
}

fn strip(
    section: &Section,
    s: usize,
    name: String,
    key: String,
    lanes: Vec<LaneId>,
    cuts: Vec<(u32, Station)>,
) -> Strip {
    Strip { name, key, section: s, lanes, from: section.from, to: section.to, cuts }
}

/// Where a section is cut: at each multiple of the size, measured from its beginning, the last as the leftover rule says.
fn cuts(
    contract: &Contract,
    rule: &LotRule,
    section: &Section,
    lanes: &[LaneId],
    size: Option<Decimal>,
    measure: &dyn Fn(Decimal, Decimal) -> Decimal,
) -> Vec<(u32, Station)> {
    let (begin, end) = (section.from.along, section.to.along);
    let whole = measure(begin, end);
    let (Some(size), Some(&lane)) = (size.filter(|s| *s > Decimal::ZERO), lanes.first()) else { return Vec::new() };
    let Some(full) = whole.checked_div(size).and_then(|n| n.floor().to_u32()).filter(|&n| n <= MOST) else {
        return Vec::new();
    };
    let left = whole - size * Decimal::from(full);
    let own = match rule.leftover {
        Leftover::Own => true,
        Leftover::HalfJoins => left * dec!(2) >= size,
        Leftover::Joins => false,
    };
    let last = if own { full } else { full.saturating_sub(1) };
    let alignment = contract.alignment(lane);
    (1..=last)
        .filter_map(|n| {
            let along = reached(begin, end, size * Decimal::from(n), measure);
            let along = staked(contract.system).apply(along)?;
            (begin < along && along < end).then(|| (n, alignment.at(along)))
        })
        .collect()
}

/// Where the measure from `begin` reaches `wanted`: halving, to a hundred-thousandth of the unit of length.
#[must_use]
pub fn reached(
    begin: Decimal,
    end: Decimal,
    wanted: Decimal,
    measure: &dyn Fn(Decimal, Decimal) -> Decimal,
) -> Decimal {
    let (mut low, mut high) = (begin, end);
    while high - low > dec!(0.00001) {
        let middle = (low + high) / dec!(2);
        if measure(begin, middle) < wanted {
            low = middle;
        } else {
            high = middle;
        }
    }
    high.round_dp(4)
}

/// The precision that stations are staked to: 0.1 ft, 0.01 m (common practice).
#[must_use]
pub fn staked(system: System) -> Rounding {
    Rounding::to_decimals(system.length().decimals())
}

fn size(rule: &LotRule) -> Option<&RuleNumber> {
    match &rule.by {
        LotBy::Area(size) | LotBy::Length(size) | LotBy::Volume(size) => Some(size),
        LotBy::Tests(_) | LotBy::Day | LotBy::Placement | LotBy::Section => None,
    }
}

/// The distance along the line of a cut: the section's beginning plus so many lots of length, or of area over the width of
/// all lanes. Where a lane tapers on the way, and for lots of volume, the cut stands as the rule's own value.
fn cut_formula(
    contract: &Contract,
    rule: &LotRule,
    book: &mut Book,
    strip: &Strip,
    n: u32,
    at: Station,
) -> Option<Expr> {
    let begin = proof::section_end(contract, book, strip.section, false);
    let number = size(rule)?;
    Some(match &rule.by {
        LotBy::Length(size) if size.unit == contract.system.length() => {
            let length = book.given(size.given("lot length", "L_lot"));
            begin + length * whole(n.into())
        }
        LotBy::Area(size) if size.unit == contract.system.area() => match constant_widths(contract, book, strip, at) {
            Some(widths) => {
                let area = book.given(size.given("lot area", "A_lot"));
                begin + (area * whole(n.into()) / sum(widths)).to(contract.system.to_length())
            }
            None => by_rule(contract, book, strip, number, n, at),
        },
        _ => by_rule(contract, book, strip, number, n, at),
    })
}

fn constant_widths(contract: &Contract, book: &mut Book, strip: &Strip, at: Station) -> Option<Vec<GivenId>> {
    let one = |&lane: &LaneId| match width::parts(contract, lane, strip.from.along, at.along).as_slice() {
        [only] if only.between.0 == only.between.1 => Some(width::given(contract, book, lane, only.between.0)),
        _ => None,
    };
    strip.lanes.iter().map(one).collect()
}

fn by_rule(contract: &Contract, book: &mut Book, strip: &Strip, number: &RuleNumber, n: u32, at: Station) -> Expr {
    let painted = strip.lanes.first().map_or_else(String::new, |&lane| contract.station(lane, at));
    let origin = Origin::Rule { set: number.set.clone(), key: number.key.clone(), clause: number.clause.clone() };
    let given = Given {
        label: format!("{}, where {n} x {} {} are reached, along the line", strip.name, number.value, number.unit),
        symbol: "s".into(),
        value: at.along,
        unit: contract.system.length(),
        written: painted,
        origin,
    };
    book.given(given).into()
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{self, NB_S};
    use super::*;
    use crate::figure::check_dimensions;
    use crate::units::Unit;
    use proptest::prelude::*;

    fn rule(size: Decimal, unit: Unit, leftover: Leftover) -> LotRule {
        let number = RuleNumber {
            value: size,
            unit,
            written: format!("{size} {unit}"),
            set: "example".into(),
            key: "lot.size".into(),
            clause: "example rule, 2.1".into(),
        };
        LotRule { by: if unit == Unit::Foot { LotBy::Length(number) } else { LotBy::Area(number) }, leftover }
    }

    fn spans(contract: &Contract, rule: &LotRule, section: usize) -> Vec<(String, Decimal, Decimal)> {
        let of = |l: &LotSpan| (l.name.clone(), l.places[0].1.label, l.places[0].2.label);
        cut_lots(contract, rule).iter().filter(|l| l.section == section).map(of).collect()
    }

    /// Geometry: 2,000 yd2 over 24 ft are 750 ft; 3,000 ft make four lots.
    #[test]
    fn a_lot_of_two_lanes_takes_both_widths() {
        let contract = fixture::contract();
        let all = spans(&contract, &rule(dec!(2000), Unit::SquareYard, Leftover::Own), 0);
        assert_eq!(all.len(), 4);
        assert_eq!(all[1], ("NB mainline lot 2".into(), dec!(1750), dec!(2500)));
    }

    /// Geometry: 3,000 ft are three lots of 900 ft and 300 ft left, a third of a lot.
    #[test]
    fn the_leftover_joins_or_stands_alone_as_the_rule_says() {
        let contract = fixture::contract();
        let last = |leftover| {
            let all = spans(&contract, &rule(dec!(900), Unit::Foot, leftover), 1);
            (all.len(), all.last().map(|l| l.1))
        };
        assert_eq!(last(Leftover::Own), (4, Some(dec!(3700))));
        assert_eq!(last(Leftover::HalfJoins), (3, Some(dec!(2800))));
        assert_eq!(last(Leftover::Joins), (3, Some(dec!(2800))));
    }

    #[test]
    fn a_section_smaller_than_a_lot_is_one_lot() {
        let contract = fixture::contract();
        for leftover in [Leftover::Own, Leftover::HalfJoins, Leftover::Joins] {
            assert_eq!(spans(&contract, &rule(dec!(90000), Unit::SquareYard, leftover), 0).len(), 1);
        }
    }

    /// Geometry: 8 ft wide to 500 ft and 11 ft from 650 ft, 725 yd2 lie before 750 ft (see `measure`).
    #[test]
    fn a_cut_beyond_a_taper_counts_the_taper() {
        let contract = fixture::contract();
        let all = spans(&contract, &rule(dec!(725), Unit::SquareYard, Leftover::Own), 1);
        assert_eq!(all[0].2, dec!(1750.0));
    }

    #[test]
    fn a_cut_shows_how_it_was_obtained() {
        for (size, unit) in [(dec!(1000), Unit::SquareYard), (dec!(700), Unit::Foot)] {
            let contract = fixture::contract();
            let mut book = fixture::book();
            let rule = rule(size, unit, Leftover::Own);
            mark_lots(&contract, &rule, &mut book);
            for (_, figure) in book.figures() {
                assert_eq!(check_dimensions(&book, figure), Ok(()));
            }
            for lot in cut_lots(&contract, &rule).iter().filter(|l| l.places[0].2.along < dec!(3000)) {
                let along = lot.places[0].2.along;
                let id = book.by_key(&format!("station.nb.{}", along.normalize())).unwrap();
                assert_eq!(book[id].value.decimal(), Some(along), "{}", lot.name);
            }
        }
    }

    proptest! {
        #[test]
        fn lots_tile_their_section(size in 100u32..20_000, which in 0usize..3, by_length: bool) {
            let contract = fixture::contract();
            let leftover = [Leftover::Own, Leftover::HalfJoins, Leftover::Joins][which];
            let unit = if by_length { Unit::Foot } else { Unit::SquareYard };
            let shoulder: Vec<(Station, Station)> = cut_lots(&contract, &rule(size.into(), unit, leftover))
                .into_iter()
                .filter(|l| l.places[0].0 == NB_S)
                .map(|l| (l.places[0].1, l.places[0].2))
                .collect();
            let section = &contract.sections[1];
            prop_assert_eq!(shoulder[0].0, section.from);
            prop_assert_eq!(shoulder[shoulder.len() - 1].1, section.to);
            let mut area = Decimal::ZERO;
            for (i, (from, to)) in shoulder.iter().enumerate() {
                prop_assert!(from.along < to.along);
                if i > 0 {
                    prop_assert_eq!(shoulder[i - 1].1, *from);
                }
                area += width::plan_area(&contract, NB_S, from.along, to.along);
            }
            let whole = width::plan_area(&contract, NB_S, section.from.along, section.to.along);
            prop_assert!((area - whole).abs() < dec!(0.000001));
        }
    }
}
