//! The four readings of one figure agree, and the check of units refuses what is not so.

use rust_decimal::{Decimal, dec};

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
    let step = |from, to, value, word: &str| Step { from, to, value, word: word.into(), open: false };
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

/// FAA AC 150/5370-10, section 110, worked example, from memory: four densities, quality index 1.4352, 97.84 percent by the formula.
#[test]
fn a_percent_within_limits_reads_four_ways() {
    let mut book = Book::default();
    let q = given(&mut book, "index", "QL", dec!(1.4352), Unit::One);
    let n = given(&mut book, "tests", "n", dec!(4), Unit::One);
    let id = book.add(Figure::new("lot-7.within", "percent within", "PL", Unit::Percent, within_limits(q, n)).shown(2));
    assert_eq!(book[id].text(), "97.84");
    assert!(matches!(book[id].value, Value::Real(_)));
    let line = hand(&book, id);
    assert_eq!((line.formula.as_str(), line.numbers.as_str()), ("P(QL; n)", "P(1.4352; n = 4)"));
    assert_eq!(
        live(&book, &book[id], &Sheet),
        "100*BETADIST(MAX(0,MIN(1,1/2+(G1)*SQRT(G1)/(2*(G1-1)))),(G1)/2-1,(G1)/2-1)"
    );
    assert_eq!(trace(&book, id).below.len(), 2, "index and tests");
    let wrong = Figure::new("x", "x", "x", Unit::One, within_limits(q, n));
    assert!(check_dimensions(&book, &wrong).is_err(), "a percent within limits is a percent");
    let length = given(&mut book, "length", "L", dec!(8.63), Unit::Inch);
    let wrong = Figure::new("x", "x", "x", Unit::Percent, within_limits(length, n));
    assert!(check_dimensions(&book, &wrong).is_err(), "an index is not in inches");
}

#[test]
fn critical_values_read_four_ways() {
    let mut book = Book::default();
    let tail = given(&mut book, "tail", "a", dec!(0.05), Unit::One);
    let t = book.add(Figure::new("t", "critical t", "tc", Unit::One, student(tail, whole(6))).shown(3));
    // Printed so at the back of any book of statistics.
    assert_eq!(book[t].text(), "1.943");
    assert_eq!((hand(&book, t).formula.as_str(), hand(&book, t).numbers.as_str()), ("t(a; 6)", "t(0.05; 6)"));
    assert_eq!(live(&book, &book[t], &Sheet), "TINV(2*(G1),6)");
    let f = book.add(Figure::new("f", "critical F", "Fc", Unit::One, fisher(tail, whole(4), whole(9))).shown(2));
    assert_eq!(book[f].text(), "3.63");
    assert_eq!(hand(&book, f).numbers, "F(0.05; 4, 9)");
    assert_eq!(live(&book, &book[f], &Sheet), "FINV(G1,4,9)");
    let percent = given(&mut book, "tail in percent", "a", dec!(5), Unit::Percent);
    let wrong = Figure::new("x", "x", "x", Unit::One, student(percent, whole(6)));
    assert!(check_dimensions(&book, &wrong).is_err(), "a tail of 5 percent is not a tail of 5");
}

#[test]
fn a_distribution_that_has_no_value_says_why() {
    let mut book = Book::default();
    let q = given(&mut book, "index", "Q", dec!(1.2), Unit::One);
    let broken = given(&mut book, "freedom", "v", dec!(5.6), Unit::One);
    let tail = given(&mut book, "tail", "a", dec!(0.7), Unit::One);
    let why = |book: &Book, expr: Expr| match book.evaluate(&expr) {
        Value::Not(why) => why,
        other => panic!("{other:?}"),
    };
    assert_eq!(
        why(&book, within_limits(q, whole(2))),
        "a percent within limits is estimated from a whole number of tests, three or more (found 2)"
    );
    assert_eq!(why(&book, student(q, broken)), "degrees of freedom are a whole number, 1 or more (found 5.6)");
    assert_eq!(why(&book, student(tail, whole(5))), "there is no t for a tail of 0.7");
    assert_eq!(why(&book, fisher(q, whole(5), whole(5))), "there is no F for a tail of 1.2");
    assert_eq!(why(&book, within_limits(q / whole(0), whole(5))), "division by zero");
}

/// A pay that falls with the square of the thickness ratio: 0.96^2 is exactly 0.9216.
#[test]
fn a_power_is_multiplied_out_where_it_can_be() {
    let mut book = Book::default();
    let [measured, planned] = [("measured", "t", dec!(9.6)), ("planned", "T", dec!(10.0))]
        .map(|(label, symbol, value)| given(&mut book, label, symbol, value, Unit::Inch));
    let ratio = (measured / planned).power(whole(2));
    let id = book.add(Figure::new("pay", "pay", "f", Unit::One, ratio).shown(4));
    assert_eq!(book[id].value, Value::Exact(dec!(0.9216)));
    assert_eq!(hand(&book, id).formula, "(t / T)^2");
    assert_eq!(hand(&book, id).numbers, "(9.60 / 10.00)^2");
    assert_eq!(live(&book, &book[id], &Sheet), "POWER(G1/(G1),2)");

    let broken = given(&mut book, "exponent", "k", dec!(0.5), Unit::One);
    assert_eq!(book.evaluate(&whole(4).power(broken)), Value::Real(2.0));
    assert_eq!(book.evaluate(&whole(3).power(whole(0))), Value::Exact(dec!(1)));
    assert_eq!(book.evaluate(&whole(10).power(whole(30))).real(), Some(1e30), "too long for a decimal");
    assert_eq!(book.evaluate(&whole(2).power(whole(-1))), Value::Real(0.5));
    assert!(matches!(book.evaluate(&whole(0).power(whole(0))), Value::Not(_)));
    assert!(matches!(book.evaluate(&whole(-8).power(broken)), Value::Not(_)));

    let square = Figure::new("x", "x", "x", Unit::SquareInch, Expr::from(measured).power(whole(2)));
    assert_eq!(check_dimensions(&book, &square), Ok(()));
    let wrong = Figure::new("x", "x", "x", Unit::Inch, Expr::from(measured).power(broken));
    assert!(check_dimensions(&book, &wrong).is_err(), "inches are not raised to a power that is not of the formula");
}

#[test]
fn a_root_halves_the_unit() {
    let mut book = Book::default();
    let area = given(&mut book, "area", "A", dec!(2.25), Unit::SquareInch);
    let id = book.add(Figure::new("side", "side", "s", Unit::Inch, root(area)));
    assert_eq!(book[id].text(), "1.50");
    assert_eq!((hand(&book, id).formula.as_str(), hand(&book, id).numbers.as_str()), ("sqrt(A)", "sqrt(2.25)"));
    assert_eq!(live(&book, &book[id], &Sheet), "SQRT(G1)");
    let length = given(&mut book, "length", "L", dec!(4), Unit::Inch);
    let wrong = Figure::new("x", "x", "x", Unit::Inch, root(length));
    assert!(check_dimensions(&book, &wrong).is_err(), "a length has no square root");
    assert!(matches!(book.evaluate(&root(whole(-1))), Value::Not(_)));
}

#[test]
fn a_floating_value_enters_a_table_whose_steps_touch() {
    let mut book = Book::default();
    let area = given(&mut book, "area", "A", dec!(0.04), Unit::SquareInch);
    let [lower, upper, both] = [Ends::Lower, Ends::Upper, Ends::Both].map(|ends| book.steps(classic_steps(ends)));
    let entered = |book: &Book, steps| book.evaluate(&root(area).in_steps(steps));
    // The root of 0.04 is 0.20 to fifteen digits, whatever binary makes of it.
    assert_eq!(entered(&book, lower), Value::Exact(dec!(80)));
    assert_eq!(entered(&book, upper), Value::Exact(dec!(100)));
    assert!(matches!(entered(&book, both), Value::Not(_)), "a table on a grid is entered with a rounded number");
    let id = book.add(Figure::new("pay", "pay", "f", Unit::Percent, root(area).in_steps(upper)));
    assert!(live(&book, &book[id], &Sheet).contains("ROUND(SQRT(G1),9)<=B1:B2"));
    assert_eq!(hand(&book, id).numbers, "table(sqrt(0.04)), step 0.20 and less");
    assert!(trace(&book, id).below[0].text.starts_with("step 0.20 and less in gives 100 %"));
}

#[test]
fn binary_dust_decides_nothing() {
    let mut book = Book::default();
    let third = given(&mut book, "third", "u", dec!(0.1), Unit::One);
    // The root of 0.1, squared, is a digit beside 0.1 in binary; a third of a millionth is no dust.
    let dusty = || root(third) * root(third);
    let close = || dusty() + whole(1) / whole(3_000_000);
    assert_eq!(book.evaluate(&dusty().rounded(rounding("0.1 up"))), Value::Exact(dec!(0.1)));
    assert_eq!(book.evaluate(&close().rounded(rounding("0.1 up"))), Value::Exact(dec!(0.2)));
    assert_eq!(book.evaluate(&compare(dusty(), Comparison::AtMost, third)), Value::Truth(true));
    assert_eq!(book.evaluate(&compare(dusty(), Comparison::AtLeast, third)), Value::Truth(true));
    assert_eq!(book.evaluate(&compare(close(), Comparison::AtMost, third)), Value::Truth(false));
    let test = either(compare(dusty(), Comparison::Below, third), whole(1), whole(2));
    let id = book.add(Figure::new("x", "x", "x", Unit::One, test));
    assert_eq!(live(&book, &book[id], &Sheet), "IF((ROUND(SQRT(G1)*SQRT(G1),9)<G1),1,2)");
}

#[test]
fn a_drawn_value_names_its_seed() {
    let mut book = Book::default();
    let how = "number 3 of lot-7/thickness, 0.7832 of the lot's length".to_string();
    let station = book.given(Given {
        label: "location".into(),
        symbol: "x".into(),
        value: dec!(391.6),
        unit: Unit::Foot,
        written: "0.7832".into(),
        origin: Origin::Drawn { seed: "20310".into(), how },
    });
    let id = book.add(Figure::new("at", "at", "x", Unit::Foot, station));
    assert_eq!(
        trace(&book, id).below[0].text,
        "location 391.6 ft   drawn with seed 20310: number 3 of lot-7/thickness, 0.7832 of the lot's length, \"0.7832\""
    );
}

/// By hand: 10.20, 10.20, 10.20 and 9.39 have a standard deviation of exactly 0.405 (squares 3 x 0.2025^2 + 0.6075^2 =
/// 0.492075, over 3 is 0.164025); in binary it comes out a hair below, which must not decide how it is rounded.
#[test]
fn a_floating_tie_goes_up_whatever_binary_makes_of_it() {
    let mut book = Book::default();
    let given = |book: &mut Book, value: Decimal| {
        book.given(Given {
            label: value.to_string(),
            symbol: "t".into(),
            value,
            unit: Unit::Inch,
            written: value.to_string(),
            origin: Origin::Entry { what: value.to_string() },
        })
    };
    let values = [dec!(10.20), dec!(10.200), dec!(10.2000), dec!(9.39)].map(|v| given(&mut book, v));
    let figure = Figure::new("s", "spread", "s", Unit::Inch, spread(values)).rounded("0.01 half up".parse().unwrap());
    let id = book.add(figure);
    assert_eq!(book[id].value.decimal(), Some(dec!(0.41)));
}
