//! Everything for machines: the same pages, every figure with its formula and sources, findings, and what it rests on.
//!
//! Numbers are decimal strings, never binary floating point. Records themselves are only counted; they stand in the workbook.

mod form;

use self::form::{
    Calculation, Cell, Column, Contract, Drawing, FigureOut, File, Finding, GivenOut, Lane, Leading, Mark, Output,
    Page, Piece, ReadCell, RecordRows, Records, Row, Rule, SCHEMA, Setting, Sheet, Source, Table, Unused,
};
use super::RenderError;
use super::shown::words;
use crate::dossier::{Block, Dossier, RowKind, Shown};
use crate::figure::{Book, CellValue, Expr, Figure, FigureId, Given, Statistic, TableCell, Total, Value, hand};
use crate::intake::RowCount;

/// The result as JSON, indented, always in the same order.
///
/// # Errors
/// When it cannot be written as JSON.
pub fn json(dossier: &Dossier, book: &Book) -> Result<String, RenderError> {
    let mut text = serde_json::to_string_pretty(&output(dossier, book))
        .map_err(|error| RenderError::Written(error.to_string()))?;
    text.push('\n');
    Ok(text)
}

/// The JSON Schema of `result.json`.
#[must_use]
pub fn result_schema() -> serde_json::Value {
    schemars::schema_for!(Output).to_value()
}

fn output(dossier: &Dossier, book: &Book) -> Output {
    let head = &dossier.head;
    Output {
        schema: SCHEMA,
        program: head.program.clone(),
        contract: Contract {
            number: head.number.clone(),
            title: head.title.clone(),
            notice: head.notice.clone(),
            owner: head.owner.clone(),
            contractor: head.contractor.clone(),
            engineer: head.engineer.clone(),
            period: head.period.clone(),
            from: head.from.map(|day| day.to_string()),
            through: head.through.to_string(),
            currency: head.currency.clone(),
        },
        closed: head.not_final.is_none(),
        not_final: head.not_final.clone(),
        leading: dossier.leading.iter().map(|&(name, id)| leading(book, name, id)).collect(),
        pages: dossier
            .pages
            .iter()
            .map(|p| page(book, (p.id, p.title, p.question), &p.blocks, &head.currency))
            .chain(dossier.work_sheets.iter().map(|sheet| work_sheet(book, sheet, &head.currency)))
            .collect(),
        figures: book.figures().map(|(id, f)| figure(book, id, f)).collect(),
        findings: dossier.findings.iter().map(finding).collect(),
        unused: dossier
            .unused
            .iter()
            .map(|u| Unused {
                place: u.place.clone(),
                why: u.why.clone(),
                reason: u.reason.clone(),
                cells: u.cells.clone(),
            })
            .collect(),
        records: dossier
            .records
            .iter()
            .map(|&id| Records { name: book.table(id).name.into(), rows: book.table(id).len() })
            .collect(),
        files: dossier
            .files
            .iter()
            .map(|f| File { path: f.file.clone(), sha256: f.sha256.clone(), bytes: f.bytes })
            .collect(),
        sheets: dossier.sheets.iter().map(sheet).collect(),
        rules: dossier.rules.iter().map(rule).collect(),
        settings: dossier
            .settings
            .iter()
            .map(|(name, value)| Setting { name: name.clone(), value: value.clone() })
            .collect(),
    }
}

fn leading(book: &Book, name: &str, id: FigureId) -> Leading {
    Leading { name: name.into(), figure: book[id].key.clone(), value: value(&book[id].value) }
}

fn work_sheet(book: &Book, sheet: &crate::dossier::WorkSheet, currency: &str) -> Page {
    page(book, ("work-sheet", &sheet.title, &sheet.why), &sheet.blocks(), currency)
}

fn page(book: &Book, (id, title, question): (&str, &str, &str), blocks: &[Block], currency: &str) -> Page {
    let mut out = Page {
        id: id.into(),
        title: title.into(),
        question: question.into(),
        tables: Vec::new(),
        calculations: Vec::new(),
        cautions: Vec::new(),
        drawings: Vec::new(),
    };
    for block in blocks {
        match block {
            Block::Table(t) => out.tables.push(table(book, t, currency)),
            Block::Calculation { title, figures, remark } => out.calculations.push(Calculation {
                title: title.clone(),
                figures: figures.iter().map(|&id| book[id].key.clone()).collect(),
                remark: remark.clone(),
            }),
            Block::Caution(text) => out.cautions.push(text.clone()),
            Block::Strip(strip) => out.drawings.push(drawing(strip)),
            // Words between tables, lines to sign, and charts (drawn from a table that stands here) carry no data.
            Block::Heading(_) | Block::Text(_) | Block::Signatures(_) | Block::Chart(_) => {}
        }
    }
    out
}

fn table(book: &Book, table: &crate::dossier::Table, currency: &str) -> Table {
    let unit = |i: usize| table.columns.get(i).map_or("", |c| c.unit.as_str());
    let kind = |kind| match kind {
        RowKind::Line => "line",
        RowKind::Subtotal => "subtotal",
        RowKind::Total => "total",
    };
    Table {
        id: table.id.clone(),
        title: table.title.clone(),
        columns: table.columns.iter().map(|c| Column { heading: c.heading.clone(), unit: c.unit.clone() }).collect(),
        rows: table
            .rows
            .iter()
            .map(|row| Row {
                kind: kind(row.kind),
                cells: row.cells.iter().enumerate().map(|(i, c)| cell(book, c, unit(i), currency)).collect(),
            })
            .collect(),
        note: table.note.clone(),
    }
}

fn cell(book: &Book, shown: &Shown, unit: &str, currency: &str) -> Cell {
    let said = match shown {
        Shown::Text(text) => text.clone(),
        other => words(book, other, unit, currency).text,
    };
    let figure = if let Shown::Figure(id) = shown { Some(book[*id].key.clone()) } else { None };
    let source = if let Shown::Cell(id) = shown {
        let at = book.table(id.table).cell(id.row, id.column).and_then(|c| c.at);
        at.map(|at| book.sources.cell(at))
    } else {
        None
    };
    Cell { shown: said, figure, source }
}

fn drawing(strip: &crate::dossier::Strip) -> Drawing {
    let lane = |lane: &crate::dossier::LaneBand| Lane {
        name: lane.name.clone(),
        pieces: lane
            .pieces
            .iter()
            .map(|p| Piece { from: p.from.to_string(), to: p.to.to_string(), state: p.state.word() })
            .collect(),
        marks: lane
            .marks
            .iter()
            .map(|m| Mark {
                shape: m.shape.word(),
                number: m.number.clone(),
                along: m.along.to_string(),
                text: m.text.clone(),
                deficient: m.deficient,
            })
            .collect(),
    };
    Drawing {
        id: strip.id.clone(),
        group: strip.group.clone(),
        steps: strip.steps,
        title: strip.title.clone(),
        from: strip.from.to_string(),
        to: strip.to.to_string(),
        lanes: strip.lanes.iter().map(lane).collect(),
    }
}

fn value(value: &Value) -> Option<String> {
    match value {
        Value::Truth(true) => Some("yes".into()),
        Value::Truth(false) => Some("no".into()),
        other => other.decimal().map(|d| d.to_string()),
    }
}

fn figure(book: &Book, id: FigureId, figure: &Figure) -> FigureOut {
    let line = hand(book, id);
    let mut below = Vec::new();
    sources(book, &figure.expr, &mut below);
    FigureOut {
        key: figure.key.clone(),
        label: figure.label.clone(),
        symbol: figure.symbol.clone(),
        unit: figure.unit.to_string(),
        value: value(&figure.value),
        shown: figure.text(),
        why_not: if let Value::Not(why) = &figure.value { Some(why.clone()) } else { None },
        rounding: figure.rounding.map(|r| r.to_string()),
        clause: figure.clause.clone(),
        note: figure.note.clone(),
        formula: line.formula,
        numbers: line.numbers,
        sources: below,
    }
}

fn sources(book: &Book, expr: &Expr, below: &mut Vec<Source>) {
    match expr {
        Expr::Figure(id) => below.push(Source::Figure(book[*id].key.clone())),
        Expr::Cell(id) => {
            let table = book.table(id.table);
            if let Some(cell) = table.cell(id.row, id.column) {
                let heading = table.columns.get(usize::from(id.column)).map_or("", |c| c.heading);
                below.push(Source::Cell(read_cell(book, table.row_name(id.row), heading, cell)));
            }
        }
        Expr::Given(id) => below.push(Source::Given(given(&book[*id]))),
        Expr::Total(total) => below.push(Source::Records(records(book, total))),
        Expr::LookUp(_, steps) => {
            let steps = &book[*steps];
            below.push(Source::Steps(format!("{}, {} (rule set {})", steps.title, steps.clause, steps.set)));
        }
        _ => {}
    }
    for part in expr.parts() {
        sources(book, part, below);
    }
}

fn read_cell(book: &Book, record: String, heading: &str, cell: &TableCell) -> ReadCell {
    let value = match &cell.value {
        CellValue::Number(n) => n.to_string(),
        other => other.to_string(),
    };
    ReadCell {
        record,
        column: heading.into(),
        typed: cell.typed.as_deref().map_or_else(|| value.clone(), ToString::to_string),
        value,
        place: cell.at.map(|at| book.sources.cell(at)),
    }
}

fn given(given: &Given) -> GivenOut {
    GivenOut {
        label: given.label.clone(),
        value: given.value.to_string(),
        unit: given.unit.to_string(),
        written: given.written.clone(),
        place: given.origin.to_string(),
    }
}

fn records(book: &Book, total: &Total) -> RecordRows {
    let table = book.table(total.table);
    RecordRows {
        table: table.name.into(),
        column: table.columns.get(usize::from(total.column)).map_or(String::new(), |c| c.heading.into()),
        first: total.rows.0 + 1,
        last: total.rows.1,
        only: total.only.map(|(_, word)| word.into()),
        of: if total.of == Statistic::Count { "count" } else { "sum" },
    }
}

fn finding(line: &crate::dossier::FindingLine) -> Finding {
    Finding {
        code: line.code.word().into(),
        kind: format!("{:?}", line.kind).to_lowercase(),
        place: line.place.clone(),
        message: line.message.clone(),
        remedy: line.remedy.clone(),
        related: line.related.clone(),
        open: line.open,
    }
}

fn sheet(sheet: &crate::dossier::BasisSheet) -> Sheet {
    let RowCount { seen, used, blank, heading, total, refused, set_aside } = sheet.rows;
    Sheet {
        file: sheet.file.clone(),
        name: sheet.sheet.clone(),
        kinds: sheet.kinds.clone(),
        seen,
        used,
        blank,
        heading,
        total,
        refused,
        set_aside,
    }
}

fn rule(rule: &crate::dossier::BasisRule) -> Rule {
    Rule {
        id: rule.id.clone(),
        title: rule.title.clone(),
        used_for: rule.used_for.clone(),
        citation: rule.citation.clone(),
        status: rule.status.clone(),
        notes: rule.notes.clone(),
        sha256: rule.sha256.clone(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::example;
    use serde_json::Value as Json;

    #[test]
    fn every_shown_figure_is_listed_with_its_path() {
        let (dossier, book) = example();
        let result: Json = serde_json::from_str(&json(&dossier, &book).unwrap()).unwrap();
        let figures = result["figures"].as_array().unwrap();
        let find = |key: &str| figures.iter().find(|f| f["key"] == key).unwrap();
        for page in result["pages"].as_array().unwrap() {
            for table in page["tables"].as_array().unwrap() {
                for cell in table["rows"].as_array().unwrap().iter().flat_map(|r| r["cells"].as_array().unwrap()) {
                    if let Some(key) = cell["figure"].as_str() {
                        assert!(!find(key)["sources"].as_array().unwrap().is_empty(), "{key}");
                    }
                }
            }
        }
        assert_eq!(find("lot-7.adjustment")["value"], "-3398.02");
        assert_eq!(find("lot-9.average")["value"], Json::Null);
        let typed = &find("lot-7.average")["sources"][0]["cell"];
        assert_eq!([&typed["typed"], &typed["place"]], ["8 5/8", "field/cores.ods, Cores!G6"]);
    }

    #[test]
    fn records_are_counted_not_listed() {
        let (dossier, book) = example();
        let result: Json = serde_json::from_str(&json(&dossier, &book).unwrap()).unwrap();
        assert_eq!(result["records"][1], serde_json::json!({ "name": "Loads", "rows": 24 }));
        assert_eq!(result["schema"], SCHEMA);
    }

    #[test]
    fn text_from_cells_survives_as_it_was_typed() {
        let (dossier, book) = example();
        let result: Json = serde_json::from_str(&json(&dossier, &book).unwrap()).unwrap();
        assert_eq!(result["unused"][0]["cells"][2], crate::dossier::HOSTILE);
    }

    #[test]
    fn the_schema_names_every_key_of_a_result() {
        let schema = result_schema();
        let (dossier, book) = example();
        let result: serde_json::Value = serde_json::from_str(&json(&dossier, &book).unwrap()).unwrap();
        let keys: Vec<&String> = result.as_object().unwrap().keys().collect();
        let mut named: Vec<&String> = schema["properties"].as_object().unwrap().keys().collect();
        named.sort();
        assert_eq!(keys, named);
    }
}
