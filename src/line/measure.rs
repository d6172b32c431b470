//! Length, area and volume of a piece of a lane as figures.
//!
//! Length is the difference of two distances along the line, so station equations are crossed without a word. Area is
//! length times width, or the sum of trapezoids where the lane tapers (geometry); volume is area times design thickness.
//! Each is rounded as the contract says, and the next starts from the rounded one, as on a calculation sheet.

use rust_decimal::Decimal;

use super::width::{self, Part};
use crate::contract::Contract;
use crate::figure::{Book, Expr, Figure, FigureId, sum, whole};
use crate::intake::LaneId;
use crate::units::Station;

/// A piece of a lane with the leaves that prove its ends.
#[derive(Clone, Debug)]
pub(super) struct Run {
    pub lane: LaneId,
    pub section: usize,
    pub from: (Station, Expr),
    pub to: (Station, Expr),
    /// What it is called: `placement 14, NB-1`.
    pub label: String,
    /// Head of its keys: `placement-14.nb-1`.
    pub key: String,
}

/// Length, area and volume of a run.
pub(super) fn measure(contract: &Contract, book: &mut Book, run: &Run) -> [FigureId; 3] {
    let length = length(contract, book, run);
    let area = area(contract, book, run, length);
    [length, area, volume(contract, book, run, area)]
}

/// Length and area of a piece of a lane between two leaves, whatever lies on it, under `key.length` and `key.area`.
pub fn ground(
    contract: &Contract,
    book: &mut Book,
    lane: LaneId,
    (from, to): ((Station, Expr), (Station, Expr)),
    (key, label): (&str, &str),
) -> (FigureId, FigureId) {
    let run = Run { lane, section: 0, from, to, label: label.into(), key: key.into() };
    let length = length(contract, book, &run);
    (length, area(contract, book, &run, length))
}

fn length(contract: &Contract, book: &mut Book, run: &Run) -> FigureId {
    let span = format!("{} to {}", contract.station(run.lane, run.from.0), contract.station(run.lane, run.to.0));
    let expr = run.to.1.clone() - run.from.1.clone();
    book.add(
        Figure::new(
            format!("{}.length", run.key),
            format!("{}, length", run.label),
            "L",
            contract.system.length(),
            expr,
        )
        .rounded(contract.roundings.length)
        .note(span),
    )
}

fn area(contract: &Contract, book: &mut Book, run: &Run, length: FigureId) -> FigureId {
    let parts = width::parts(contract, run.lane, run.from.0.along, run.to.0.along);
    let expr = match parts.as_slice() {
        [only] if only.between.0 == only.between.1 => {
            let w = width::given(contract, book, run.lane, only.between.0);
            (length * w).to(contract.system.to_area())
        }
        [only] => {
            let average = average_width(contract, book, run, only, (&run.from.1, &run.to.1));
            (length * average).to(contract.system.to_area())
        }
        many => sum((1..).zip(many).map(|(n, part)| part_area(contract, book, run, (n, part))).collect::<Vec<_>>()),
    };
    let label = format!("{}, area", run.label);
    book.add(
        Figure::new(format!("{}.area", run.key), label, "A", contract.system.area(), expr)
            .rounded(contract.roundings.area),
    )
}

/// Area of one trapezoid, from its own length.
fn part_area(contract: &Contract, book: &mut Book, run: &Run, (n, part): (u32, &Part)) -> FigureId {
    let from = end_of(contract, book, run, part.from);
    let to = end_of(contract, book, run, part.to);
    let average = average_width(contract, book, run, part, (&from, &to));
    let at = |along| contract.station(run.lane, contract.alignment(run.lane).at(along));
    let label = format!("{}, area {} to {}", run.label, at(part.from), at(part.to));
    let expr = ((to - from) * average).to(contract.system.to_area());
    book.add(
        Figure::new(format!("{}.area-part-{n}", run.key), label, format!("A_{n}"), contract.system.area(), expr)
            .shown(4),
    )
}

fn end_of(contract: &Contract, book: &mut Book, run: &Run, along: Decimal) -> Expr {
    if along == run.from.0.along {
        return run.from.1.clone();
    }
    if along == run.to.0.along {
        return run.to.1.clone();
    }
    width::change(contract, book, run.lane, along).unwrap_or_else(|| run.from.1.clone())
}

/// The width of a part: constant, or the mean of the widths at its ends.
fn average_width(contract: &Contract, book: &mut Book, run: &Run, part: &Part, (from, to): (&Expr, &Expr)) -> Expr {
    if part.between.0 == part.between.1 {
        return width::given(contract, book, run.lane, part.between.0).into();
    }
    let first = width_at(contract, book, run, part, (part.from, from));
    let last = width_at(contract, book, run, part, (part.to, to));
    (first + last) / whole(2)
}

/// A width between two of the contract is a figure of its own, so that it can be read and checked.
fn width_at(contract: &Contract, book: &mut Book, run: &Run, part: &Part, end: (Decimal, &Expr)) -> Expr {
    let along = end.0;
    let (expr, interpolated) = width::formula(contract, book, run.lane, part, end);
    if !interpolated {
        return expr;
    }
    let at = contract.station(run.lane, contract.alignment(run.lane).at(along));
    let label = format!("{}, width at {at}", run.label);
    let figure = Figure::new(format!("{}.width", run.key), label, "w", contract.system.length(), expr).shown(4);
    book.add(figure).into()
}

fn volume(contract: &Contract, book: &mut Book, run: &Run, area: FigureId) -> FigureId {
    let thickness = thickness(contract, book, run.section);
    let label = format!("{}, plan volume", run.label);
    let expr = (area * thickness).to(contract.system.to_volume());
    book.add(
        Figure::new(format!("{}.volume", run.key), label, "V", contract.system.volume(), expr)
            .rounded(contract.roundings.volume),
    )
}

/// Design thickness of a section as a given value, the same wherever it is used.
pub fn thickness(contract: &Contract, book: &mut Book, section: usize) -> crate::figure::GivenId {
    let section = &contract.sections[section];
    book.given(section.thickness.given(format!("design thickness of {}", section.name), "T"))
}

/// The sum of figures of one unit, under its own key even where it is of one only, so that it can always be asked for.
/// `None` of nothing.
pub fn total(book: &mut Book, key: &str, label: &str, symbol: &str, parts: &[FigureId]) -> Option<FigureId> {
    let first = *parts.first()?;
    let mut figure = Figure::new(key, label, symbol, book[first].unit, whole(0));
    figure.decimals = book[first].decimals;
    Some(book.add_sum(figure, parts.iter().map(|&id| id.into()).collect()))
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{self, NB_S};
    use super::*;
    use crate::figure::{Given, Origin, check_dimensions};
    use rust_decimal::dec;

    fn run(contract: &Contract, book: &mut Book, lane: LaneId, section: usize, ends: (&str, &str)) -> Run {
        let mut end = |label: &str| {
            let station = fixture::station(contract, lane, label);
            let given = book.given(Given {
                label: label.into(),
                symbol: "s".into(),
                value: station.along,
                unit: contract.system.length(),
                written: label.into(),
                origin: Origin::Entry { what: label.into() },
            });
            (station, Expr::from(given))
        };
        let (from, to) = (end(ends.0), end(ends.1));
        Run { lane, section, from, to, label: "x".into(), key: "x".into() }
    }

    fn values(lane: LaneId, section: usize, ends: (&str, &str)) -> [Decimal; 3] {
        let contract = fixture::contract();
        let mut book = fixture::book();
        let run = run(&contract, &mut book, lane, section, ends);
        let figures = measure(&contract, &mut book, &run);
        for (_, figure) in book.figures() {
            assert_eq!(check_dimensions(&book, figure), Ok(()), "{}", figure.key);
        }
        figures.map(|id| book[id].value.decimal().unwrap())
    }

    /// Geometry: a taper from 8 to 11 ft over 150 ft is 9.5 ft x 150 ft = 1,425 ft2; with 500 ft of 8 ft before and
    /// 100 ft of 11 ft behind it, 6,525 ft2 = 725 yd2; 8 in of it are 725 x 8 / 36 = 161.11 yd3.
    #[test]
    fn a_taper_has_the_area_of_its_trapezoids() {
        assert_eq!(values(NB_S, 1, ("15+00", "16+50")), [dec!(150.0), dec!(158.33), dec!(35.18)]);
        assert_eq!(values(NB_S, 1, ("10+00", "17+50")), [dec!(750.0), dec!(725.00), dec!(161.11)]);
    }

    /// Geometry: cut at 15+50 and 16+00 the widths are 9 and 10 ft, the area 9.5 x 50 / 9 = 52.78 yd2.
    #[test]
    fn a_piece_of_a_taper_has_the_widths_at_its_own_ends() {
        assert_eq!(values(NB_S, 1, ("15+50", "16+00"))[1], dec!(52.78));
    }

    /// Geometry: the trapezoids of any cut are exact against the integral of w(s) = 8 + 3 (s - 500) / 150.
    #[test]
    fn trapezoids_are_the_integral_of_a_straight_taper() {
        let contract = fixture::contract();
        let integral = |s: Decimal| dec!(8) * s + (s - dec!(500)) * (s - dec!(500)) / dec!(100);
        for (a, b) in [(dec!(500), dec!(650)), (dec!(512.5), dec!(640)), (dec!(600), dec!(601))] {
            let exact = (integral(b) - integral(a)) / dec!(9);
            assert_eq!(width::plan_area(&contract, NB_S, a, b).round_dp(20), exact.round_dp(20));
        }
    }
}
