//! The measured quantities of an item, line by line.
//!
//! Placed items take one line per placement: the part of it that lies in the item's sections. Items measured by hand take
//! one line per row of the hand-measured sheets: the quantity as entered, or length x width (x depth) x count.

use std::collections::BTreeMap;

use chrono::NaiveDate;

use super::{Inputs, Persons, QuantityLine, stepwise};
use crate::contract::{Item, Measurement};
use crate::figure::{Book, Expr, Figure, FigureId, sum};
use crate::finding::{Code, Finding, Place};
use crate::intake::Measured;
use crate::line::{Stretch, slug};
use crate::units::{Conversion, System, Unit, conversions};

/// Lines of an item by date, and what could not be taken.
pub(super) fn lines(
    inputs: Inputs<'_>,
    (item, plan): (usize, FigureId),
    book: &mut Book,
) -> (Vec<QuantityLine>, Vec<Finding>) {
    let (mut lines, findings) = match &inputs.contract.items[item].measured {
        Measurement::ByHand => by_hand(inputs, item, book),
        Measurement::ByPercent => stepwise::by_percent(inputs, item, plan, book),
        Measurement::ByCalendar => (stepwise::by_calendar(inputs, item, book), Vec::new()),
        Measurement::BySchedule => Default::default(),
        measured => (placed(inputs, item, measured, book), Vec::new()),
    };
    lines.sort_by(|a, b| (a.date, &a.what).cmp(&(b.date, &b.what)));
    (lines, findings)
}

fn placed(inputs: Inputs<'_>, item: usize, measured: &Measurement, book: &mut Book) -> Vec<QuantityLine> {
    let contract = inputs.contract;
    let row = &contract.items[item];
    let (Measurement::PlacedArea(sections)
    | Measurement::PlacedVolume(sections)
    | Measurement::DeliveredVolume(sections)
    | Measurement::PlacedLength(sections)) = measured
    else {
        return Vec::new();
    };
    let nets = nets(inputs);
    let mut lines = Vec::new();
    for (index, on_line) in inputs.line.placements.iter().enumerate() {
        let stretches: Vec<&Stretch> = on_line
            .stretches
            .iter()
            .map(|&s| &inputs.line.stretches[s])
            .filter(|s| sections.contains(&s.section))
            .collect();
        if stretches.is_empty() {
            continue;
        }
        let placement = &inputs.records.placements[index];
        let whole = stretches.len() == on_line.stretches.len();
        let Some(expr) = quantity_of(inputs, measured, (index, nets.get(&index).copied()), &stretches, whole) else {
            continue;
        };
        let what = format!("placement {}, {}", placement.number.value, extent(inputs, &stretches));
        let figure = Figure::new(
            format!("item-{}.placement-{}", slug(&row.number), slug(&placement.number.value)),
            format!("item {}, placement {}", row.number, placement.number.value),
            "q",
            row.unit,
            expr,
        )
        .rounded(row.rounding);
        let quantity = book.add(figure);
        let persons = Persons::of(placement.by.as_ref(), placement.checked_by.as_ref());
        let record = Some(placement.number.at);
        lines.push(QuantityLine { date: placement.date.value, what, quantity, record, persons });
    }
    lines
}

/// Net volume delivered to each placement.
fn nets(inputs: Inputs<'_>) -> BTreeMap<usize, FigureId> {
    inputs.account.placements.iter().filter_map(|y| Some((y.placement?, y.net))).collect()
}

/// What of a placement counts for the item, as a formula in the item's unit.
fn quantity_of(
    inputs: Inputs<'_>,
    measured: &Measurement,
    (placement, net): (usize, Option<FigureId>),
    stretches: &[&Stretch],
    whole: bool,
) -> Option<Expr> {
    let of = |pick: fn(&Stretch) -> FigureId| sum(stretches.iter().map(|s| pick(s)));
    Some(match measured {
        Measurement::PlacedArea(_) => of(|s| s.area),
        Measurement::PlacedLength(_) => of(|s| s.length),
        Measurement::PlacedVolume(_) => of(|s| s.volume),
        Measurement::DeliveredVolume(_) => {
            let net = net?;
            let all = inputs.line.placements[placement].volume?;
            if whole { Expr::from(net) } else { net * of(|s| s.volume) / all }
        }
        _ => return None,
    })
}

/// `NB-1, NB-2, 10+00 to 21+12`.
fn extent(inputs: Inputs<'_>, stretches: &[&Stretch]) -> String {
    let contract = inputs.contract;
    let mut lanes: Vec<&str> = stretches.iter().map(|s| contract.lane(s.lane).name.as_str()).collect();
    lanes.dedup();
    let from = stretches.iter().min_by_key(|s| s.from).map(|s| contract.station(s.lane, s.from));
    let to = stretches.iter().max_by_key(|s| s.to).map(|s| contract.station(s.lane, s.to));
    format!("{}, {} to {}", lanes.join(", "), from.unwrap_or_default(), to.unwrap_or_default())
}

fn by_hand(inputs: Inputs<'_>, item: usize, book: &mut Book) -> (Vec<QuantityLine>, Vec<Finding>) {
    let row = &inputs.contract.items[item];
    let (mut lines, mut findings) = (Vec::new(), Vec::new());
    for (index, measured) in inputs.records.measured.iter().enumerate().filter(|(_, m)| m.item.value == item) {
        let what = described(measured);
        match hand_quantity(inputs, item, index, book) {
            Ok(expr) => {
                let figure = Figure::new(
                    format!("item-{}.{}", slug(&row.number), place_and_day(measured)),
                    format!("item {}, {what}", row.number),
                    "q",
                    row.unit,
                    expr,
                )
                .rounded(row.rounding);
                let quantity = book.add(figure);
                findings.extend(entered_differs(inputs, item, index, quantity, book));
                let persons = Persons::of(measured.by.as_ref(), measured.checked_by.as_ref());
                let record = Some(measured.item.at);
                lines.push(QuantityLine { date: measured.date.value, what, quantity, record, persons });
            }
            Err(wanted) => findings.push(Finding::new(
                Code::QuantityUnitWrong,
                Place::Row(measured.item.at),
                format!(
                    "item {} is paid by the {}, but the row gives no {wanted}; the row is not paid",
                    row.number,
                    unit_word(row)
                ),
                format!("enter {wanted} in the row, or set the row aside with a reason in contract.toml"),
            )),
        }
    }
    (lines, findings)
}

fn unit_word(item: &Item) -> String {
    if item.unit == Unit::One { "number".into() } else { item.unit.to_string() }
}

/// What a row measured by hand is known by wherever it stands: its place and day. Rows of the same are numbered behind it.
fn place_and_day(measured: &Measured) -> String {
    let place = measured.location.as_ref().map_or("measured", |location| &*location.value);
    format!("{}-{}", slug(place), measured.date.value)
}

fn described(measured: &Measured) -> String {
    let parts = [&measured.location, &measured.remarks];
    let words: Vec<&str> = parts.into_iter().flatten().map(|r| &*r.value).collect();
    if words.is_empty() { "measured by hand".into() } else { words.join(", ") }
}

/// Dimensions where the row has them, otherwise the quantity as entered. The error names what the row lacks.
fn hand_quantity(inputs: Inputs<'_>, item: usize, index: usize, book: &Book) -> Result<Expr, String> {
    let unit = inputs.contract.items[item].unit;
    let row = &inputs.records.measured[index];
    let ledger = &inputs.line.ledger;
    let times_count = |expr: Expr| if row.count.is_some() { expr * ledger.measured_count(index) } else { expr };
    let by_dimensions = match shape_of(unit, inputs.contract.system) {
        Some(HandShape::Length) if row.length.is_some() => Some(ledger.measured_length(index).into()),
        Some(HandShape::Area(to)) if row.length.is_some() && row.width.is_some() => {
            Some((ledger.measured_length(index) * ledger.measured_width(index)).to(to))
        }
        Some(HandShape::Volume(to)) if row.length.is_some() && row.width.is_some() && row.depth.is_some() => {
            Some((ledger.measured_length(index) * ledger.measured_width(index) * ledger.measured_depth(index)).to(to))
        }
        _ => None,
    };
    let entered = row.quantity.as_ref().and_then(|_| ledger.measured_quantity(book, index, unit));
    match (by_dimensions, entered) {
        (Some(expr), _) => Ok(times_count(expr)),
        (None, Some(quantity)) => Ok(quantity.into()),
        (None, None) if row.count.is_some() && unit.dimension() == crate::units::Dimension::NONE => {
            Ok(ledger.measured_count(index).into())
        }
        (None, None) => Err(match shape_of(unit, inputs.contract.system) {
            Some(HandShape::Length) => "length or quantity".into(),
            Some(HandShape::Area(_)) => "length and width, or quantity".into(),
            Some(HandShape::Volume(_)) => "length, width and depth, or quantity".into(),
            None => "count or quantity".into(),
        }),
    }
}

/// What dimensions make a unit.
enum HandShape {
    Length,
    Area(Conversion),
    Volume(Conversion),
}

fn shape_of(unit: Unit, system: System) -> Option<HandShape> {
    Some(match (system, unit) {
        (System::Customary, Unit::Foot) | (System::Si, Unit::Metre) => HandShape::Length,
        (System::Customary, Unit::SquareYard) => HandShape::Area(conversions::FT2_TO_YD2),
        (System::Customary, Unit::SquareFoot) => HandShape::Area(conversions::FT_FT_TO_FT2),
        (System::Si, Unit::SquareMetre) => HandShape::Area(conversions::M_M_TO_M2),
        (System::Customary, Unit::CubicYard) => HandShape::Volume(conversions::FT2_IN_TO_YD3),
        (System::Customary, Unit::CubicFoot) => HandShape::Volume(conversions::FT2_IN_TO_FT3),
        (System::Si, Unit::CubicMetre) => HandShape::Volume(conversions::M2_MM_TO_M3),
        _ => return None,
    })
}

/// A quantity entered beside dimensions that make another one.
fn entered_differs(inputs: Inputs<'_>, item: usize, index: usize, quantity: FigureId, book: &Book) -> Option<Finding> {
    let row = &inputs.contract.items[item];
    let entered = inputs.records.measured[index].quantity.as_ref()?;
    let computed = book[quantity].value.decimal()?;
    let difference = computed - row.rounding.apply(entered.value)?;
    (difference.abs() > row.rounding.to()).then(|| {
        Finding::new(
            Code::QuantityDiffers,
            Place::Cell(entered.at),
            format!(
                "item {}: the row says {} {}, its dimensions make {computed} (difference {difference}, more than the rounding step {}); the dimensions are paid",
                row.number,
                entered.value.normalize(),
                row.unit,
                row.rounding.to()
            ),
            "correct the quantity or the dimensions",
        )
    })
}

/// Whether a line belongs to what was paid before.
pub(super) fn is_before(date: NaiveDate, before: Option<NaiveDate>) -> bool {
    before.is_some_and(|last| date <= last)
}
