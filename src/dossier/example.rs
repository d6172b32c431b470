//! A small, complete, invented dossier for the tests of every page: each kind of block once, each kind of shown value, a
//! banner, findings, and names that try to be a Typst command, a spreadsheet formula, a template or a terminal escape.

use chrono::NaiveDate;
use rust_decimal::{Decimal, dec};

use super::model::{
    Align, BasisFile, BasisRule, BasisSheet, Block, Chart, Column, Dossier, FindingLine, Head, LaneBand, Mark,
    MarkShape, Page, Piece, Row, RowKind, Series, SeriesStyle, Shown, State, Strip, Table, Tick, UnusedLine,
};
use crate::figure::{
    self, Book, CellId, CellValue, Ends, Expr, Figure, FigureId, Given, GivenId, Origin, Statistic, Step, Steps,
    TableCell, TableId, Total, mean, sum, whole,
};
use crate::finding::{Code, Kind};
use crate::intake::RowCount;
use crate::source::{CellRef, SheetId, Sources};
use crate::units::conversions::{FT2_TO_YD2, PERCENT_TO_RATIO};
use crate::units::{Rounding, Unit};

/// What a name must never become.
pub(crate) const HOSTILE: &str =
    "#panic() $x$ =1+1 \u{1b}[31m {{ x }} *bold* _em_ <l> @ref \\ `raw` // /* ~ \"q\" \u{202e}";

struct Figures {
    item: [FigureId; 5],
    adjustment: [FigureId; 9],
    days: Vec<[FigureId; 4]>,
    total: [FigureId; 3],
    due: FigureId,
    account: Vec<FigureId>,
    control: [FigureId; 4],
}

/// The dossier and the book behind it.
pub(crate) fn example() -> (Dossier, Book) {
    let mut sources = Sources::default();
    let cores = sources.add("field/cores.ods", Some("Cores".into()));
    let plant = sources.add("field/plant-b.csv", None);
    let mut book = Book::new(sources);
    let core_table = book.add_table(core_records(cores));
    let load_table = book.add_table(load_records(plant));
    let figures = compute(&mut book, core_table, load_table);
    (dossier(core_table, load_table, &figures), book)
}

fn day(d: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(2031, 7, d).unwrap()
}

fn read(value: CellValue, sheet: SheetId, row: u32, column: u16, typed: Option<&str>) -> TableCell {
    TableCell { value, at: Some(CellRef::new(sheet, row, column)), typed: typed.map(Into::into) }
}

fn core_records(sheet: SheetId) -> figure::Table {
    let column = |heading, unit, decimals| figure::Column { heading, unit, decimals };
    let mut table = figure::Table::new(
        "Cores",
        vec![
            column("core", Unit::One, None),
            column("distance", Unit::Foot, Some(1)),
            column("length", Unit::Inch, Some(2)),
            column("remark", Unit::One, None),
        ],
    );
    let rows = [
        ("C-41", dec!(14112), dec!(9.12), "9.12", ""),
        ("C-42", dec!(14182.5), dec!(8.63), "8 5/8", HOSTILE),
        ("C-42A", dec!(14190), dec!(8.71), "8.71", "beside C-42"),
        ("C-42B", dec!(14175), dec!(8.58), "8.58", ""),
        ("C-43", dec!(14260), dec!(9.04), "9.04", "=1+1"),
    ];
    for (row, (name, along, length, typed, remark)) in (4..).zip(rows) {
        table.push([
            read(CellValue::Text(name.into()), sheet, row, 0, None),
            read(CellValue::Number(along), sheet, row, 1, None),
            read(CellValue::Number(length), sheet, row, 6, Some(typed)),
            read(CellValue::Text(remark.into()), sheet, row, 7, None),
        ]);
    }
    table
}

fn load_records(sheet: SheetId) -> figure::Table {
    let column = |heading, unit, decimals| figure::Column { heading, unit, decimals };
    let mut table = figure::Table::new(
        "Loads",
        vec![
            column("ticket", Unit::One, None),
            column("day", Unit::One, None),
            column("outcome", Unit::One, None),
            column("volume", Unit::CubicYard, Some(2)),
        ],
    );
    for n in 0..24_u32 {
        let outcome = if n == 17 { "rejected" } else { "placed" };
        table.push([
            read(CellValue::Text(format!("{}", 88_200 + n).into()), sheet, n + 1, 0, None),
            read(CellValue::Date(day(8 + n / 4)), sheet, n + 1, 1, Some("as typed")),
            read(CellValue::Word(outcome), sheet, n + 1, 2, None),
            read(CellValue::Number(dec!(8.00) + Decimal::new(i64::from(n % 3) * 25, 2)), sheet, n + 1, 3, None),
        ]);
    }
    table
}

fn given(book: &mut Book, label: &str, symbol: &str, value: Decimal, unit: Unit, line: u32, key: &str) -> GivenId {
    let origin = Origin::Contract { line, key: key.into() };
    let written = format!("{value} {unit}");
    book.given(Given { label: label.into(), symbol: symbol.into(), value, unit, written, origin })
}

fn pay_steps(book: &mut Book) -> figure::StepsId {
    let step = |from, to, value, word: &str| Step { from, to, value, word: word.into(), open: false };
    book.steps(Steps {
        title: "example rule, table 1".into(),
        clause: "example rule, section 4, 2031 (example)".into(),
        set: "example-rule".into(),
        entered_in: Unit::Inch,
        gives: Unit::Percent,
        ends: Ends::Both,
        rows: vec![
            step(None, Some(dec!(0.20)), dec!(100), ""),
            step(Some(dec!(0.21)), Some(dec!(0.30)), dec!(80), ""),
            step(Some(dec!(0.31)), Some(dec!(0.40)), dec!(72), ""),
            step(Some(dec!(0.41)), None, dec!(0), "remove and replace"),
        ],
    })
}

fn compute(book: &mut Book, cores: TableId, loads: TableId) -> Figures {
    let cent: Rounding = "0.01 half up".parse().unwrap();
    let per_yard = Unit::SquareYard.price().unwrap();
    let price = given(book, "unit price", "p", dec!(61.50), per_yard, 88, "items[0].price");
    let design = given(book, "design thickness", "T", dec!(9.00), Unit::Inch, 61, "sections[2].thickness");
    let width = given(book, "lane width", "w", dec!(12), Unit::Foot, 40, "lanes[1].width");
    let before = given(book, "previous periods", "B", dec!(18_250.00), Unit::SquareYard, 12, "periods[1]");
    let keep = given(book, "retainage", "r", dec!(5), Unit::Percent, 14, "retainage");
    let steps = pay_steps(book);
    let at = |row, column| CellId { table: cores, row, column };

    let length = book.add(
        Figure::new("lot-7.length", "length", "L", Unit::Foot, Expr::from(at(4, 1)) - at(0, 1))
            .note("cores C-41 and C-43")
            .shown(1),
    );
    let area = book
        .add(Figure::new("lot-7.area", "area", "A", Unit::SquareYard, (length * width).to(FT2_TO_YD2)).rounded(cent));
    let average = book.add(
        Figure::new("lot-7.average", "average", "t", Unit::Inch, mean([at(1, 2), at(2, 2), at(3, 2)]))
            .rounded(cent)
            .note("cores C-42, C-42A, C-42B"),
    );
    let lacking =
        book.add(Figure::new("lot-7.deficiency", "deficiency", "d", Unit::Inch, design - average).rounded(cent));
    let pay = book.add(
        Figure::new("lot-7.pay", "pay", "f", Unit::Percent, Expr::from(lacking).in_steps(steps))
            .shown(0)
            .under("example rule, table 1 row 3"),
    );
    let cut = whole(0) - (whole(1) - Expr::from(pay).to(PERCENT_TO_RATIO)) * area * price;
    let amount = book.add(
        Figure::new("lot-7.adjustment", "adjustment", "D", Unit::Money, cut)
            .rounded(cent)
            .under("example rule, section 4.2"),
    );
    let unknown =
        book.add(Figure::new("lot-9.average", "average", "t", Unit::Inch, mean(Vec::<Expr>::new())).rounded(cent));

    let through = book.add(
        Figure::new("item-1.through", "quantity to date", "Q", Unit::SquareYard, Expr::from(before) + area * whole(16))
            .rounded(cent),
    );
    let this = book.add(
        Figure::new("item-1.quantity", "quantity this period", "q", Unit::SquareYard, through - before).rounded(cent),
    );
    let earned = book.add(Figure::new("item-1.amount", "amount", "a", Unit::Money, this * price).rounded(cent));
    let total = book.add(
        Figure::new("total", "earned this period", "E", Unit::Money, sum([Expr::from(earned), Expr::from(amount)]))
            .rounded(cent),
    );
    let held = book.add(
        Figure::new("retainage", "retainage", "R", Unit::Money, total * Expr::from(keep).to(PERCENT_TO_RATIO))
            .rounded(cent),
    );
    let due = book.add(Figure::new("due", "due this period", "P", Unit::Money, total - held).rounded(cent));

    let mut days = Vec::new();
    for (n, start) in (0..6_u32).map(|n| (n, n * 4)) {
        let volume = |only| Total { of: Statistic::Sum, table: loads, column: 3, rows: (start, start + 4), only };
        let key = |what: &str| format!("day-{}.{what}", n + 1);
        let delivered = book.add(Figure::new(key("delivered"), "delivered", "V", Unit::CubicYard, volume(None)));
        let placed = book.add(Figure::new(key("placed"), "placed", "N", Unit::CubicYard, volume(Some((2, "placed")))));
        let plan = given(
            book,
            "plan volume",
            "Y",
            dec!(30.5) + Decimal::new(i64::from(n) * 7, 1),
            Unit::CubicYard,
            70 + n,
            "plan",
        );
        let theory = book.add(Figure::new(key("theory"), "theoretical", "Y", Unit::CubicYard, plan));
        let over = book.add(
            Figure::new(
                key("over"),
                "over theory",
                "o",
                Unit::Percent,
                ((placed - theory) / theory).to(crate::units::conversions::RATIO_TO_PERCENT),
            )
            .rounded("0.1 half up".parse().unwrap()),
        );
        days.push([delivered, placed, theory, over]);
    }
    let column = |i: usize| days.iter().map(|d| d[i]).collect::<Vec<_>>();
    let all = [0, 1, 2].map(|i| {
        let (key, label) = [("all.delivered", "delivered"), ("all.placed", "placed"), ("all.theory", "theoretical")][i];
        book.add(Figure::new(key, label, "V", Unit::CubicYard, sum(column(i))))
    });
    let (account, control) = (account(book), control(book, &days));
    Figures {
        account,
        control,
        item: [this, through, earned, total, held],
        adjustment: [length, area, average, lacking, pay, amount, unknown, area, amount],
        days,
        total: all,
        due,
    }
}

/// Ordered, taken away and added: 100 - 4 - 1.5 + 2 = 96.5.
fn account(book: &mut Book) -> Vec<FigureId> {
    let mut steps = Vec::new();
    for (n, value) in (1_u32..).zip([dec!(100), dec!(-4), dec!(-1.5), dec!(2)]) {
        let typed = given(book, "step", "v", value, Unit::CubicYard, 80 + n, "steps");
        let key = format!("account.step-{n}");
        steps.push(book.add(Figure::new(key, "step", "v", Unit::CubicYard, typed).shown(1)));
    }
    let left = sum(steps.clone());
    steps.push(book.add(Figure::new("account.left", "left", "v", Unit::CubicYard, left).shown(1)));
    steps
}

/// Mean of the days, limits beside it, and the contract's.
fn control(book: &mut Book, days: &[[FigureId; 4]]) -> [FigureId; 4] {
    let centre = mean(days.iter().map(|d| d[3]));
    let tenth = "0.1 half up".parse().unwrap();
    let centre = book.add(Figure::new("control.mean", "mean", "m", Unit::Percent, centre).rounded(tenth));
    let reach = given(book, "reach of the limits", "k", dec!(12), Unit::Percent, 90, "reach");
    let agreed = given(book, "agreed limit", "l", dec!(25), Unit::Percent, 91, "agreed");
    let mut limit = |key: &str, expr: Expr| book.add(Figure::new(key, "limit", "l", Unit::Percent, expr).shown(1));
    let upper = limit("control.upper", centre + Expr::from(reach));
    let lower = limit("control.lower", centre - Expr::from(reach));
    [centre, upper, lower, limit("control.agreed", Expr::from(agreed))]
}

fn column(heading: &str, unit: &str, align: Align, width: u8) -> Column {
    Column { heading: heading.into(), unit: unit.into(), align, width }
}

fn line(cells: Vec<Shown>) -> Row {
    Row { kind: RowKind::Line, cells }
}

fn words(text: &str) -> Shown {
    Shown::Text(text.into())
}

fn dossier(cores: TableId, loads: TableId, figures: &Figures) -> Dossier {
    Dossier {
        head: head(),
        pages: vec![
            summary(figures),
            estimate(figures),
            adjustments(figures),
            yields(figures),
            thickness(cores, figures),
        ],
        work_sheets: Vec::new(),
        findings: findings(),
        unused: vec![UnusedLine {
            place: "field/plant-b.csv, row 26".into(),
            why: "refused".into(),
            reason: "25:10 is not a time of day".into(),
            cells: vec!["88213".into(), "25:10".into(), HOSTILE.into()],
        }],
        records: vec![cores, loads],
        files: vec![
            BasisFile { file: "field/cores.ods".into(), sha256: "3b".repeat(32), bytes: 18_204 },
            BasisFile { file: "field/plant-b.csv".into(), sha256: "a7".repeat(32), bytes: 2_410 },
        ],
        sheets: vec![
            BasisSheet {
                file: "field/cores.ods".into(),
                sheet: "Cores".into(),
                kinds: "cores".into(),
                rows: RowCount { seen: 10, used: 5, blank: 1, heading: 4, ..RowCount::default() },
            },
            BasisSheet {
                file: "field/plant-b.csv".into(),
                sheet: String::new(),
                kinds: "loads".into(),
                rows: RowCount { seen: 26, used: 24, heading: 1, refused: 1, ..RowCount::default() },
            },
        ],
        rules: vec![BasisRule {
            id: "example-rule".into(),
            title: "Example thickness rule".into(),
            used_for: "thickness".into(),
            citation: "invented for this example".into(),
            status: "example".into(),
            notes: vec!["not an agency's table".into()],
            sha256: "5c".repeat(32),
        }],
        settings: vec![("date order".into(), "month first".into()), ("bounds".into(), "at the good core".into())],
        leading: vec![("due", figures.due), ("earned", figures.item[3])],
    }
}

fn head() -> Head {
    Head {
        number: "EX-2031-007".into(),
        title: "Harrow Road, reconstruction of both roadways".into(),
        notice: "Invented data, for demonstration only".into(),
        owner: "Township of Example".into(),
        contractor: format!("Invented Paving {HOSTILE}"),
        engineer: "Engineer of the example".into(),
        period: "period 3".into(),
        from: Some(day(1)),
        through: day(31),
        not_final: Some("NOT FINAL: 1 row refused, 1 conflict".into()),
        currency: "$".into(),
        program: "slabtally 0.1.0".into(),
        letter: true,
    }
}

fn summary(figures: &Figures) -> Page {
    let amount = |what: &str, id| line(vec![words(what), Shown::Figure(id)]);
    Page {
        id: "summary",
        title: "Summary",
        question: "What is due this period, what is held, and what is missing?",
        blocks: vec![
            Block::Table(Table {
                id: "summary-due".into(),
                title: "What is due".into(),
                columns: vec![column("", "", Align::Left, 40), column("amount", "$", Align::Right, 16)],
                rows: vec![
                    amount("Earned this period, with adjustments", figures.item[3]),
                    amount("Retainage, 5 %", figures.item[4]),
                    Row { kind: RowKind::Total, cells: vec![words("Due this period"), Shown::Figure(figures.due)] },
                ],
                note: String::new(),
            }),
            Block::Caution("One row could not be read; the amount due changes once it is settled.".into()),
            Block::Text("The records show what was placed; what to pay is the engineer's decision.".into()),
        ],
    }
}

fn estimate(figures: &Figures) -> Page {
    let cells = vec![
        words("605-0900"),
        words("Concrete pavement, 9 inch"),
        words("yd2"),
        Shown::Figure(figures.item[0]),
        Shown::Figure(figures.item[1]),
        Shown::Figure(figures.item[2]),
    ];
    let total =
        vec![Shown::Blank, words("Total"), Shown::Blank, Shown::Blank, Shown::Blank, Shown::Figure(figures.item[2])];
    Page {
        id: "estimate",
        title: "Estimate",
        question: "What was done, item by item, and what is it worth?",
        blocks: vec![
            Block::Table(Table {
                id: "estimate-items".into(),
                title: "Items of work".into(),
                columns: vec![
                    column("item", "", Align::Left, 9),
                    column("description", "", Align::Left, 30),
                    column("unit", "", Align::Left, 5),
                    column("this period", "", Align::Right, 12),
                    column("to date", "", Align::Right, 12),
                    column("amount", "$", Align::Right, 14),
                ],
                rows: vec![line(cells), Row { kind: RowKind::Total, cells: total }],
                note: "Quantities are measured by the placed area.".into(),
            }),
            Block::Signatures(vec![
                ("Prepared by, for the contractor".into(), format!("Invented Paving {HOSTILE}")),
                ("Engineer".into(), "Engineer of the example".into()),
                ("Owner".into(), "Township of Example".into()),
            ]),
        ],
    }
}

fn adjustments(figures: &Figures) -> Page {
    let f = &figures.adjustment;
    Page {
        id: "adjustments",
        title: "Adjustments",
        question: "What was taken off or added, and how was each worked out?",
        blocks: vec![
            Block::Heading("Thickness".into()),
            Block::Calculation {
                title: format!("Deficient section, northbound lane 2, 141+12.0 to 142+60.0, lot 7 {HOSTILE}"),
                figures: vec![f[0], f[1], f[2], f[3], f[4], f[5]],
                remark: "Good cores C-41 and C-43 bound the section.".into(),
            },
            Block::Calculation { title: "Lot 9".into(), figures: vec![f[6]], remark: "No core was taken.".into() },
        ],
    }
}

fn yields(figures: &Figures) -> Page {
    let mut rows: Vec<Row> = (8..)
        .zip(&figures.days)
        .map(|(d, f)| {
            line([vec![Shown::Date(day(d)), Shown::Count(4)], f.iter().map(|&id| Shown::Figure(id)).collect()].concat())
        })
        .collect();
    let mut total = vec![words("Total"), Shown::Count(24)];
    total.extend(figures.total.iter().map(|&id| Shown::Figure(id)));
    rows.push(Row { kind: RowKind::Total, cells: total });
    Page {
        id: "yield",
        title: "Yield",
        question: "Where did the concrete go, day by day?",
        blocks: vec![
            Block::Table(Table {
                id: "yield-days".into(),
                title: "Placed against theoretical, by day".into(),
                columns: vec![
                    column("day", "", Align::Left, 10),
                    column("loads", "", Align::Right, 6),
                    column("delivered", "yd3", Align::Right, 11),
                    column("placed", "yd3", Align::Right, 11),
                    column("theoretical", "yd3", Align::Right, 11),
                    column("over theory", "%", Align::Right, 11),
                ],
                rows,
                note: String::new(),
            }),
            Block::Chart(Chart {
                title: "Concrete by day".into(),
                form: super::ChartForm::Lines,
                table: "yield-days".into(),
                along: 0,
                numeric: false,
                series: vec![
                    Series { name: "placed".into(), column: 3, style: SeriesStyle::Points },
                    Series { name: "theoretical".into(), column: 4, style: SeriesStyle::Line },
                ],
                x_title: "day".into(),
                y_title: "volume, yd3".into(),
            }),
            Block::Table(account_table(figures)),
            Block::Chart(account_chart()),
            Block::Table(control_table(figures)),
            Block::Chart(control_chart()),
        ],
    }
}

fn account_table(figures: &Figures) -> Table {
    let names = ["Ordered", "Rejected, returned", "Wasted in the forms", "Found in the truck", "Left in place"];
    let kinds = [RowKind::Subtotal, RowKind::Line, RowKind::Line, RowKind::Line, RowKind::Total];
    let lines = names.into_iter().zip(kinds).zip(&figures.account);
    let mut rows: Vec<Row> =
        lines.map(|((name, kind), &id)| Row { kind, cells: vec![words(name), Shown::Figure(id)] }).collect();
    rows.insert(3, line(vec![words(HOSTILE), Shown::Blank]));
    Table {
        id: "yield-account".into(),
        title: "Where the concrete went".into(),
        columns: vec![column("", "", Align::Left, 30), column("volume", "yd3", Align::Right, 11)],
        rows,
        note: String::new(),
    }
}

fn account_chart() -> Chart {
    Chart {
        title: "Where the concrete went".into(),
        form: super::ChartForm::Waterfall,
        table: "yield-account".into(),
        along: 0,
        numeric: false,
        series: vec![Series { name: "volume".into(), column: 1, style: SeriesStyle::Points }],
        x_title: String::new(),
        y_title: "volume, yd3".into(),
    }
}

fn control_table(figures: &Figures) -> Table {
    let percent = |heading| column(heading, "%", Align::Right, 11);
    let row = |(n, day_figures): (usize, &[FigureId; 4])| {
        let outside = if n == 4 { Shown::Figure(day_figures[3]) } else { Shown::Blank };
        let limits = figures.control.iter().map(|&id| Shown::Figure(id));
        let cells = [Shown::Count(n as u64 + 1), Shown::Figure(day_figures[3])];
        line(cells.into_iter().chain(limits).chain([outside]).collect())
    };
    Table {
        id: "yield-control".into(),
        title: "Days against their limits".into(),
        columns: vec![
            column("number", "", Align::Right, 8),
            percent("over theory"),
            percent("mean"),
            percent("upper limit"),
            percent("lower limit"),
            percent("agreed"),
            percent("outside"),
        ],
        rows: figures.days.iter().enumerate().map(row).collect(),
        note: String::new(),
    }
}

fn control_chart() -> Chart {
    let series = |name: &str, column, style| Series { name: name.into(), column, style };
    Chart {
        title: "Concrete over theoretical, in order of days".into(),
        form: super::ChartForm::Lines,
        table: "yield-control".into(),
        along: 0,
        numeric: false,
        series: vec![
            series("over theory", 1, SeriesStyle::Joined),
            series("mean", 2, SeriesStyle::Line),
            series("upper limit", 3, SeriesStyle::Limit),
            series("lower limit", 4, SeriesStyle::Limit),
            series("agreed limit", 5, SeriesStyle::ContractLimit),
            series("outside the limits", 6, SeriesStyle::Outside),
        ],
        x_title: "day".into(),
        y_title: "over theoretical, %".into(),
    }
}

fn thickness(cores: TableId, figures: &Figures) -> Page {
    let rows = (0..5_u32)
        .map(|row| {
            let cell = |column| Shown::Cell(CellId { table: cores, row, column });
            line(vec![cell(0), cell(1), cell(2), Shown::Figure(figures.adjustment[2]), cell(3)])
        })
        .collect();
    Page {
        id: "thickness",
        title: "Thickness",
        question: "Is the slab as thick as designed, and where is it not?",
        blocks: vec![
            Block::Strip(strip()),
            Block::Strip(step_strip()),
            Block::Table(Table {
                id: "thickness-cores".into(),
                title: "Cores".into(),
                columns: vec![
                    column("core", "", Align::Left, 8),
                    column("distance", "ft", Align::Right, 10),
                    column("length", "in", Align::Right, 8),
                    column("average", "in", Align::Right, 8),
                    column("remark", "", Align::Left, 24),
                ],
                rows,
                note: "Lengths are the mean of the measurements on a core.".into(),
            }),
            Block::Chart(Chart {
                title: "Length of cores along the line".into(),
                form: super::ChartForm::Lines,
                table: "thickness-cores".into(),
                along: 1,
                numeric: true,
                series: vec![
                    Series { name: "core".into(), column: 2, style: SeriesStyle::Points },
                    Series { name: "average".into(), column: 3, style: SeriesStyle::Line },
                ],
                x_title: "distance, ft".into(),
                y_title: "length, in".into(),
            }),
        ],
    }
}

fn strip() -> Strip {
    let piece = |from, to, state| Piece { from: Decimal::from(from), to: Decimal::from(to), state };
    let core = |number: &str, along, text: &str| Mark {
        number: number.into(),
        along,
        text: text.into(),
        deficient: !text.is_empty(),
        shape: MarkShape::Core,
    };
    Strip {
        id: "thickness-harrow-road".into(),
        group: String::new(),
        steps: false,
        title: "Harrow Road, thickness along the line".into(),
        from: dec!(13900),
        to: dec!(17100),
        ticks: (139..=171).map(|n| Tick { along: Decimal::from(n * 100), label: format!("{n}+00") }).collect(),
        lanes: vec![
            LaneBand {
                name: "SB 1".into(),
                pieces: vec![
                    piece(13_900, 15_200, State::Sound),
                    piece(15_200, 15_800, State::NotTested),
                    piece(15_800, 17_100, State::NotPlaced),
                ],
                marks: vec![core("C-31", dec!(14050), ""), core("C-32", dec!(14900), "")],
            },
            LaneBand {
                name: format!("NB 2 {HOSTILE}"),
                pieces: vec![
                    piece(13_900, 14_112, State::Sound),
                    piece(14_112, 14_260, State::Deficient),
                    piece(14_260, 17_000, State::Sound),
                    piece(17_000, 17_100, State::NotPlaced),
                ],
                marks: vec![
                    core("C-41", dec!(14112), ""),
                    core("C-42B", dec!(14175), "8.58 in"),
                    core("C-42", dec!(14182.5), "8.63 in"),
                    core("C-42A", dec!(14190), "8.71 in"),
                    core("C-43", dec!(14260), ""),
                ],
            },
        ],
    }
}

/// One lane from the ground up, with every state of a step and every mark.
fn step_strip() -> Strip {
    use MarkShape::{Core, Logger, Photo, Specimen, Test};
    use State::{Failed, MayOpen, Missing, NotPlaced, NotYet, Proved, Unproved};
    let from = 13_900;
    let band = |name: &str, pieces: &[(i64, State)], marks: &[(&str, i64, MarkShape, &str)]| {
        let starts = std::iter::once(from).chain(pieces.iter().map(|p| p.0));
        LaneBand {
            name: name.into(),
            pieces: starts
                .zip(pieces)
                .map(|(from, &(to, state))| Piece { from: from.into(), to: to.into(), state })
                .collect(),
            marks: marks
                .iter()
                .map(|&(number, along, shape, text)| Mark {
                    number: number.into(),
                    along: along.into(),
                    text: text.into(),
                    deficient: !text.is_empty(),
                    shape,
                })
                .collect(),
        }
    };
    let end = 18_900;
    let tests = [("D-1", 14_200, Test, ""), ("D-2", 14_900, Test, "94 %"), ("D-3", 14_925, Test, "93 %")];
    let cores = [("C-41", 14_112, Core, ""), ("C-42", 14_183, Core, "8.63 in")];
    let specimens = [("S-1", 14_300, Specimen, ""), ("S-2", 15_600, Specimen, "3,410 psi")];
    Strip {
        id: "as-built-nb-1".into(),
        group: "NB-1".into(),
        steps: true,
        title: "Lane NB-1, as built, from the ground up".into(),
        from: from.into(),
        to: end.into(),
        ticks: (139..=189).map(|n| Tick { along: Decimal::from(n * 100), label: format!("{n}+00") }).collect(),
        lanes: vec![
            band("opening", &[(15_000, MayOpen), (17_800, NotYet), (end, NotPlaced)], &[]),
            band("sealing", &[(14_700, Proved), (15_100, Unproved), (17_800, Missing), (end, NotPlaced)], &[]),
            band("sawing", &[(15_600, Proved), (15_700, Missing), (17_800, Proved), (end, NotPlaced)], &[]),
            band("curing", &[(16_500, Proved), (17_800, Unproved), (end, NotPlaced)], &[("L-1", 15_050, Logger, "")]),
            band("strength", &[(15_500, Proved), (16_100, Failed), (17_800, Unproved), (end, NotPlaced)], &specimens),
            band(
                &format!("concrete {HOSTILE}"),
                &[(14_112, Proved), (14_260, Failed), (17_800, Proved), (end, NotPlaced)],
                &cores,
            ),
            band("baskets", &[(16_000, Proved), (17_900, Missing), (end, NotPlaced)], &[("P-7", 15_900, Photo, "")]),
            band("base", &[(14_800, Proved), (15_000, Failed), (end, Proved)], &tests),
            band("grade", &[(16_900, Proved), (end, Unproved)], &[]),
        ],
    }
}

fn findings() -> Vec<FindingLine> {
    let line = |code: Code, place: &str, message: &str, remedy: &str, open| FindingLine {
        code,
        kind: code.kind(),
        place: place.into(),
        message: message.into(),
        remedy: remedy.into(),
        related: Vec::new(),
        open,
    };
    let mut list = vec![
        line(
            Code::CellUnreadable,
            "field/plant-b.csv, row 26, column B",
            "'25:10' is not a time of day; the load (ticket 88213, 8.0 yd3) is not counted",
            "correct the cell, or set the row aside with a reason in contract.toml",
            true,
        ),
        line(
            Code::PlacedTwice,
            "northbound lane 2, 150+00 to 150+40",
            "two placements cover the same 40.0 ft",
            "say which one holds; the stretch is counted once meanwhile",
            true,
        ),
        line(
            Code::ThicknessDeficient,
            &format!("lot 7 {HOSTILE}"),
            "average 8.64 in is 0.36 in under the design thickness of 9.00 in",
            "the deduction is in the estimate; the engineer decides whether the pavement stays",
            false,
        ),
    ];
    list[1].related = vec!["field/placements.xlsx, July, row 14".into(), "field/placements.xlsx, July, row 19".into()];
    assert_eq!(list[0].kind, Kind::Reject);
    list
}

#[test]
fn the_example_is_worked_out_as_on_the_calculation_sheet() {
    let (dossier, book) = example();
    let text = |key: &str| book[book.by_key(key).unwrap()].text();
    // (9.00 - (8.63 + 8.71 + 8.58) / 3) = 0.36 in, the step 0.31 to 0.40: 28 % of 197.33 yd2 at $61.50.
    assert_eq!([text("lot-7.deficiency"), text("lot-7.pay"), text("lot-7.adjustment")], ["0.36", "72", "-3,398.02"]);
    assert_eq!(text("lot-9.average"), "not computed");
    assert!(dossier.sheets.iter().all(|s| s.rows.closes()));
}
