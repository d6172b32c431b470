//! The example dossier as a workbook, read back by another reader.

use std::io::Cursor;

use calamine::{Data, Range, Reader, Xlsx, open_workbook_from_rs};
use rust_decimal::dec;

use super::workbook;
use crate::dossier::{HOSTILE, example};
use crate::figure::{Book, Expr, Figure, Given, Origin, Value, fisher, root, student, whole, within_limits};
use crate::units::Unit;

type Opened = Xlsx<Cursor<Vec<u8>>>;

fn opened() -> (Opened, Book) {
    let (dossier, book) = example();
    let bytes = workbook(&dossier, &book).unwrap();
    (open_workbook_from_rs(Cursor::new(bytes)).unwrap(), book)
}

/// The example with a drawn value and a figure of every kind that follows from it.
fn with_statistics() -> (Opened, Book) {
    let (dossier, mut book) = example();
    let drawn = book.given(Given {
        label: "share".into(),
        symbol: "u".into(),
        value: dec!(0.05),
        unit: Unit::One,
        written: "0.05".into(),
        origin: Origin::Drawn { seed: "20310".into(), how: "number 1 of lot-7".into() },
    });
    let figures: [(&str, Unit, Expr); 6] = [
        ("kind.power", Unit::One, Expr::from(drawn).power(whole(3))),
        ("kind.root", Unit::One, root(drawn)),
        ("kind.within", Unit::Percent, within_limits(root(drawn), whole(5))),
        ("kind.all-within", Unit::Percent, within_limits(whole(9), whole(5))),
        ("kind.t", Unit::One, student(drawn, whole(6))),
        ("kind.F", Unit::One, fisher(drawn, whole(4), whole(9))),
    ];
    for (key, unit, expr) in figures {
        book.add(Figure::new(key, key, "x", unit, expr).shown(4));
    }
    let bytes = workbook(&dossier, &book).unwrap();
    (open_workbook_from_rs(Cursor::new(bytes)).unwrap(), book)
}

fn values(file: &mut Opened, sheet: &str) -> Range<Data> {
    file.worksheet_range(sheet).unwrap()
}

fn formulas(file: &mut Opened, sheet: &str) -> Range<String> {
    file.worksheet_formula(sheet).unwrap()
}

/// Row of the first cell in a column that reads `text`.
fn row_of(sheet: &Range<Data>, column: u32, text: &str) -> u32 {
    (0..=sheet.end().unwrap().0)
        .find(|&row| sheet.get_value((row, column)) == Some(&Data::String(text.into())))
        .unwrap_or_else(|| panic!("no '{text}'"))
}

#[test]
fn sheets_stand_in_reading_order() {
    let (file, _) = opened();
    let expected = [
        "Summary",
        "Estimate",
        "Adjustments",
        "Yield",
        "Thickness",
        "Lanes as built",
        "Findings",
        "Calculations",
        "Given values",
        "Rule tables",
        "Cores",
        "Loads",
        "Rows not used",
        "Basis",
    ];
    assert_eq!(file.sheet_names(), expected);
}

#[test]
fn every_figure_is_a_formula_with_its_value_stored() {
    let (mut file, book) = opened();
    let (sheet, live) = (values(&mut file, "Calculations"), formulas(&mut file, "Calculations"));
    for (_, figure) in book.figures() {
        let row = row_of(&sheet, 0, &figure.key);
        let (value, formula) = (sheet.get_value((row, 5)).unwrap(), live.get_value((row, 5)));
        match &figure.value {
            Value::Not(why) => assert_eq!(value, &Data::String(format!("not computed: {why}"))),
            other => {
                assert_eq!(value, &Data::Float(other.real().unwrap()), "{}", figure.key);
                assert!(formula.is_some_and(|f| !f.is_empty()), "{}", figure.key);
            }
        }
    }
}

#[test]
fn statistics_are_live_in_functions_every_program_has() {
    let (mut file, book) = with_statistics();
    let (sheet, live) = (values(&mut file, "Calculations"), formulas(&mut file, "Calculations"));
    let given = values(&mut file, "Given values");
    let drawn = row_of(&given, 0, "share");
    let place = (0..8).find_map(|c| given.get_value((drawn, c)).filter(|d| d.to_string().starts_with("drawn")));
    assert_eq!(place, Some(&Data::String("drawn with seed 20310: number 1 of lot-7".into())));
    let cell = format!("'Given values'!$C${}", drawn + 1);
    for (key, formula, shown) in [
        ("kind.power", format!("POWER({cell},3)"), "0.0001"),
        ("kind.root", format!("SQRT({cell})"), "0.2236"),
        (
            "kind.within",
            format!("100*BETADIST(MAX(0,MIN(1,1/2+(SQRT({cell}))*SQRT(5)/(2*(5-1)))),(5)/2-1,(5)/2-1)"),
            "57.9370",
        ),
        ("kind.all-within", "100*BETADIST(MAX(0,MIN(1,1/2+(9)*SQRT(5)/(2*(5-1)))),(5)/2-1,(5)/2-1)".into(), "100.0000"),
        ("kind.t", format!("TINV(2*({cell}),6)"), "1.9432"),
        ("kind.F", format!("FINV({cell},4,9)"), "3.6331"),
    ] {
        assert_eq!(live.get_value((row_of(&sheet, 0, key), 5)), Some(&formula), "{key}");
        assert_eq!(book[book.by_key(key).unwrap()].text(), shown, "{key}");
    }
}

#[test]
fn the_deduction_can_be_followed_from_the_page_to_the_cores() {
    let (mut file, _) = opened();
    let page = values(&mut file, "Adjustments");
    let row = row_of(&page, 0, "adjustment");
    let column = (0..20).find(|&c| page.get_value((row, c)) == Some(&Data::Float(-3398.02))).unwrap();
    let calculations = values(&mut file, "Calculations");
    let at = |key: &str| row_of(&calculations, 0, key) + 1;
    let [adjustment, average] = ["lot-7.adjustment", "lot-7.average"].map(at);
    let shown = formulas(&mut file, "Adjustments");
    assert_eq!(shown.get_value((row, column)), Some(&format!("Calculations!$F${adjustment}")));
    let live = formulas(&mut file, "Calculations");
    assert_eq!(live.get_value((average - 1, 5)), Some(&"ROUND(AVERAGE(Cores!$C$7:$C$9),2)".to_string()));
    assert_eq!(calculations.get_value((average - 1, 10)), Some(&Data::String("Cores!C7 and 2 more".into())));
    let cores = values(&mut file, "Cores");
    assert_eq!([0, 2, 4, 5].map(|c| cores.get_value((6, c)).unwrap().to_string()), ["C-42", "8.63", "1", "6"]);
}

#[test]
fn text_from_a_cell_stays_text() {
    let (mut file, _) = opened();
    let cores = values(&mut file, "Cores");
    assert_eq!(cores.get_value((9, 3)), Some(&Data::String("=1+1".into())));
    assert!(formulas(&mut file, "Cores").is_empty());
    let remark = cores.get_value((6, 3)).unwrap().to_string();
    assert_eq!(remark, HOSTILE.replace('\u{1b}', "<U+001B>").replace('\u{202e}', "<U+202E>"));
    for (name, sheet) in file.worksheets() {
        for (row, column, value) in sheet.used_cells() {
            let text = value.to_string();
            assert!(!text.contains('\u{1b}') && !text.contains('\u{202e}'), "{name}, {row} {column}");
        }
    }
}

#[test]
fn a_step_without_limit_is_an_empty_cell() {
    let (mut file, _) = opened();
    let rules = values(&mut file, "Rule tables");
    let first = row_of(&rules, 0, "from, in") + 1;
    assert_eq!(rules.get_value((first, 0)), Some(&Data::Empty));
    assert_eq!(rules.get_value((first + 3, 0)), Some(&Data::Float(0.41)));
    assert_eq!(rules.get_value((first + 3, 3)), Some(&Data::String("remove and replace".into())));
    let live = formulas(&mut file, "Calculations");
    let looked_up = live.used_cells().find(|(_, _, f)| f.contains("Rule tables")).unwrap().2;
    assert!(looked_up.contains("'Rule tables'!$A$9:$A$12"), "{looked_up}");
}

#[test]
fn the_rows_of_every_sheet_are_accounted_for() {
    let (mut file, _) = opened();
    let (basis, live) = (values(&mut file, "Basis"), formulas(&mut file, "Basis"));
    let checks: Vec<_> = live.used_cells().collect();
    assert_eq!(checks.len(), 2);
    let (top, left) = live.start().unwrap();
    for (row, column, _) in checks {
        let at = (top + u32::try_from(row).unwrap(), left + u32::try_from(column).unwrap());
        assert_eq!(basis.get_value(at), Some(&Data::Float(0.0)));
    }
}

#[test]
fn an_account_is_drawn_from_cells_that_follow_its_table() {
    let (mut file, _) = opened();
    let (page, live) = (values(&mut file, "Yield"), formulas(&mut file, "Yield"));
    let (top, left) = (0..=page.end().unwrap().0)
        .find_map(|r| {
            (0..40).find(|&c| page.get_value((r, c)) == Some(&Data::String("begins at".into()))).map(|c| (r, c))
        })
        .unwrap();
    let column = |offset: u32| (1..=5).map(|n| page.get_value((top + n, left + offset)).cloned()).collect::<Vec<_>>();
    let numbers = |values: [f64; 5]| values.map(|v| Some(Data::Float(v))).to_vec();
    assert_eq!(column(0), numbers([0.0, 100.0, 96.0, 94.5, 0.0]), "where each bar begins");
    assert_eq!(column(1), numbers([100.0, 96.0, 94.5, 96.5, 96.5]), "where it ends");
    assert_eq!(page.get_value((top + 3, left - 2)), Some(&Data::String("Wasted in the forms: \u{2212}1.5".into())));
    assert_eq!(page.get_value((top + 6, left)).filter(|v| **v != Data::Empty), None, "a row without value has no bar");
    let row = row_of(&page, 0, "Wasted in the forms") + 1;
    assert!(live.get_value((top + 3, left - 1)).unwrap().ends_with(&format!("${row}")), "the value follows the table");
}

#[test]
fn the_same_dossier_gives_the_same_bytes() {
    let (dossier, book) = example();
    assert!(workbook(&dossier, &book) == workbook(&dossier, &book));
}
