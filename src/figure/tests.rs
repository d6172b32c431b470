//! The four readings of one figure agree, and the check of units refuses what is not so.

use rust_decimal::dec;

use super::*;
use crate::source::{CellRef, SheetId, Sources};
use crate::units::{Rounding, Unit, conversions};

fn rounding(text: &str) -> Rounding {
    text.parse().unwrap()
}

fn given(book: &mut Book, label: &str, symbol: &str, value: rust_decimal::Decimal, unit: Unit) -> GivenId {
    let origin = Origin::Contract { line: 7, key: label.into() };
    book.given(Given {
        label: label.into(),
        symbol: symbol.into(),
        value,
        unit,
        written: format!("{value} {unit}"),
        origin,
    })
}

/// Three cores in a table, as intake would leave them.
fn book_with_cores() -> (Book, TableId) {
    let mut sources = Sources::default();
    let sheet = sources.add("field/cores.ods", Some("Cores".into()));
    assert_eq!(sheet, SheetId(0));
    let mut book = Book::new(sources);
    let column = |heading, unit, decimals| Column { heading, unit, decimals };
    let mut table = Table::new("Cores", vec![column("core", Unit::One, None), column("length", Unit::Inch, Some(2))]);
    for (row, name, length, typed) in
        [(56, "C-42", dec!(8.63), Some("8 5/8")), (57, "C-42A", dec!(8.58), None), (58, "C-42B", dec!(8.71), None)]
    {
        let at = |column| Some(CellRef::new(sheet, row, column));
        table.push([
            TableCell { value: CellValue::Text(name.into()), at: at(0), typed: None },
            TableCell { value: CellValue::Number(length), at: at(6), typed: typed.map(Into::into) },
        ]);
    }
    let id = book.add_table(table);
    (book, id)
}

struct Sheet;
impl Addresses for Sheet {
    fn figure(&self, _: FigureId) -> String {
        "E9".into()
    }
    fn given(&self, _: GivenId) -> String {
        "G1".into()
    }
    fn cell(&self, id: CellId) -> String {
        format!("C{}", id.row + 1)
    }
    fn column(&self, _: TableId, _: u16, rows: (u32, u32)) -> String {
        format!("C{}:C{}", rows.0 + 1, rows.1)
    }
    fn steps(&self, _: StepsId) -> [String; 3] {
        ["A1:A2".into(), "B1:B2".into(), "D1:D2".into()]
    }
}

#[test]
fn the_average_of_three_cores_reads_four_ways() {
    let (mut book, cores) = book_with_cores();
    let lengths = (0..3).map(|row| book.cell(cores, row, 1));
    let average =
        Figure::new("lot-7.average", "average", "t", Unit::Inch, mean(lengths)).rounded(rounding("0.01 half up"));
    let id = book.add(average);

    assert_eq!(book[id].value, Value::Exact(dec!(8.64)));

    let line = hand(&book, id);
    assert_eq!(line.formula, "(C-42 + C-42A + C-42B) / 3");
    assert_eq!(line.numbers, "(8.63 + 8.58 + 8.71) / 3");
    assert_eq!((line.value.as_str(), line.unit.as_str()), ("8.64", "in"));

    assert_eq!(live(&book, &book[id], &Sheet), "ROUND(AVERAGE(C1,C2,C3),2)");

    let rows = rows_below(&book, id);
    assert_eq!(book.sources.rows(SheetId(0), &rows[&SheetId(0)]), "field/cores.ods, Cores, rows 57, 58, 59");

    let tree = trace(&book, id);
    assert_eq!(tree.below[0].text, "C-42, length 8.63 in   field/cores.ods, Cores!G57, \"8 5/8\"");
}

#[test]
fn an_area_is_in_square_yards_only_when_divided_by_nine() {
    let mut book = Book::default();
    let length = given(&mut book, "length", "L", dec!(148.0), Unit::Foot);
    let width = given(&mut book, "width", "w", dec!(12), Unit::Foot);
    let right = Figure::new("area", "area", "A", Unit::SquareYard, (length * width).to(conversions::FT2_TO_YD2));
    let wrong = Figure::new("area", "area", "A", Unit::SquareYard, length * width);
    assert!(check_dimensions(&book, &right).is_ok());
    assert!(check_dimensions(&book, &wrong).is_err());
    let id = book.add(right.rounded(rounding("0.01 half up")));
    assert_eq!(book[id].value, Value::Exact(dec!(197.33)));
    assert_eq!(hand(&book, id).numbers, "148.0 x 12.0 / 9");
    assert_eq!(live(&book, &book[id], &Sheet), "ROUND(G1*G1/9,2)");
}

#[test]
fn a_percent_is_not_a_ratio() {
    let mut book = Book::default();
    let pay = given(&mut book, "pay", "f", dec!(72), Unit::Percent);
    let wrong = Figure::new("cut", "cut", "c", Unit::One, pay - whole(1));
    assert!(check_dimensions(&book, &wrong).is_err());
    let right = Figure::new("cut", "cut", "c", Unit::One, Expr::from(pay).to(conversions::PERCENT_TO_RATIO) - whole(1));
    assert!(check_dimensions(&book, &right).is_ok());
}

fn classic_steps(ends: Ends) -> Steps {
    let step = |from, to, value, word: &str| Step { from, to, value, word: word.into() };
    Steps {
        title: "example".into(),
        clause: "table 1".into(),
        set: "example".into(),
        entered_in: Unit::Inch,
        gives: Unit::Percent,
        ends,
        rows: vec![
            step(None, Some(dec!(0.20)), dec!(100), ""),
            step(Some(if ends == Ends::Both { dec!(0.21) } else { dec!(0.20) }), None, dec!(80), ""),
        ],
    }
}

#[test]
fn which_end_of_a_step_is_in_changes_pay() {
    assert_eq!(classic_steps(Ends::Both).find(dec!(0.20)), Some(0));
    assert_eq!(classic_steps(Ends::Both).find(dec!(0.205)), None, "a value off the table's grid has no row");
    assert_eq!(classic_steps(Ends::Upper).find(dec!(0.20)), Some(0));
    assert_eq!(classic_steps(Ends::Lower).find(dec!(0.20)), Some(1));
    assert_eq!(classic_steps(Ends::Upper).span(1), "over 0.20");
}

#[test]
fn what_cannot_be_computed_says_why_and_is_not_a_number() {
    let mut book = Book::default();
    let zero = given(&mut book, "nothing", "z", dec!(0), Unit::One);
    let broken = book.add(Figure::new("ratio", "ratio", "r", Unit::One, whole(1) / zero));
    assert_eq!(book[broken].value, Value::Not("division by zero".into()));
    let after = book.add(Figure::new("after", "after", "a", Unit::One, broken + whole(1)));
    assert_eq!(book[after].text(), "not computed");
}

#[test]
fn a_sum_of_many_parts_is_added_up_by_hundreds_and_foots() {
    let mut book = Book::default();
    let parts: Vec<Expr> = (1..=250).map(whole).collect();
    let id = book.add_sum(Figure::new("total", "total", "S", Unit::One, whole(0)), parts);
    assert_eq!(book[id].value, Value::Exact(dec!(31375)));
    assert_eq!(book[id].expr.parts().len(), 3);
}

/// M7 of a city's cylinder reports: 76,950 lbf on a 6.00 in cylinder is 2,721.5 psi with the area carried in full.
#[test]
fn the_area_of_a_circle_reads_four_ways() {
    let (mut book, _) = book_with_cores();
    let load = given(&mut book, "load", "P", dec!(76950), Unit::PoundForce);
    let diameter = given(&mut book, "diameter", "d", dec!(6), Unit::Inch);
    let strength = (load / circle_area(diameter)).to(conversions::LBF_IN2_TO_PSI);
    let id = book.add(Figure::new("cylinder.strength", "strength", "f", Unit::Psi, strength).shown(1));
    assert_eq!(book[id].text(), "2,721.5");
    let line = hand(&book, id);
    assert_eq!((line.formula.as_str(), line.numbers.as_str()), ("P / (pi d^2 / 4)", "76,950 / (pi 6.00^2 / 4)"));
    assert_eq!(live(&book, &book[id], &Sheet), "G1/(PI()*(G1)^2/4)");
    assert_eq!(trace(&book, id).below.len(), 2, "load and diameter");
    let wrong = Figure::new("x", "area", "A", Unit::Inch, circle_area(diameter));
    assert!(check_dimensions(&book, &wrong).is_err(), "an area is not a length");
    let area = Figure::new("x", "area", "A", Unit::SquareInch, circle_area(diameter));
    assert_eq!(check_dimensions(&book, &area), Ok(()));
}

#[test]
fn a_quotient_changes_unit_without_losing_a_tie() {
    // 489.75 yd3 over 1,800 yd2 is exactly 9.795 in: half up, 9.80.
    let mut book = Book::default();
    let net = given(&mut book, "net", "V", dec!(489.75), Unit::CubicYard);
    let area = given(&mut book, "area", "A", dec!(1800.00), Unit::SquareYard);
    let depth = (net / area).to(conversions::YD_TO_IN);
    let id = book.add(Figure::new("depth", "depth", "t", Unit::Inch, depth).rounded(rounding("0.01 half up")));
    assert_eq!(book[id].value, Value::Exact(dec!(9.80)));
}
