//! `.ods` spreadsheets, streamed: a cell or row that says it repeats a million times costs nothing while it is empty, and
//! is counted against the caps while it is not (OASIS `OpenDocument` 1.3 part 3, section 9).
//!
//! Formulas count by their stored value. Cell remarks, drawings and recorded changes are not cells.

use std::io::{BufRead, BufReader};

use memchr::memmem;
use quick_xml::Reader;
use quick_xml::events::{BytesStart, Event};

use super::archive;
use super::ods_styles::Styles;
use super::ods_text::{Shown, shown};
use super::ods_value::Told;
use super::package::part;
use super::received::{Filling, Received, partly_struck};
use super::xml::attribute;
use crate::finding::Finding;
use crate::intake::raw::{RawSheet, RawValue};

/// All sheets of a spreadsheet.
pub(super) fn read(received: &Received<'_>) -> Result<Vec<RawSheet>, Finding> {
    let (mut archive, seen) = archive::checked(received)?;
    let mut whole = |name: &str| match part(&mut archive, name) {
        None if seen.contains_key(&name.to_lowercase()) => {
            Err(received.refuse(format!("its part {name} is too long to be looked into"), "ask for it anew"))
        }
        found => Ok(found),
    };
    let is_locked = |manifest: Vec<u8>| memmem::find(&manifest, b"encryption-data").is_some();
    if whole("META-INF/manifest.xml")?.is_some_and(is_locked) {
        return Err(received.refuse("the file is locked with a password", "save it again without a password"));
    }
    let mut styles = Styles::default();
    if let Some(common) = whole("styles.xml")? {
        common_styles(&common, &mut styles).map_err(|error| malformed(received, &error))?;
    }
    let content = archive
        .by_name("content.xml")
        .map_err(|_| received.refuse("the file is not whole: its part content.xml is missing", "ask for it anew"))?;
    let mut reader = Reader::from_reader(BufReader::with_capacity(1 << 16, content));
    reader.config_mut().expand_empty_elements = true;
    let mut walk = Walk { reader, received, filling: Filling::new(received), styles, sheets: Vec::new() };
    walk.content()?;
    Ok(walk.sheets)
}

fn common_styles(xml: &[u8], styles: &mut Styles) -> Result<(), quick_xml::Error> {
    let mut reader = Reader::from_reader(xml);
    reader.config_mut().expand_empty_elements = true;
    let mut buffer = Vec::new();
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer)? {
            Event::Start(element) => styles.start(&element),
            Event::End(element) => styles.end(element.name().as_ref()),
            Event::Eof => return Ok(()),
            _ => {}
        }
    }
}

fn malformed(received: &Received<'_>, error: &quick_xml::Error) -> Finding {
    received.refuse(
        format!("the file does not follow its own format: {error}"),
        "open it in a spreadsheet program and save it again, or ask for it anew",
    )
}

fn cut_short(received: &Received<'_>) -> Finding {
    received.refuse("the file ends in the middle of a sheet", "ask for it anew")
}

/// How often an element repeats itself. What is no number that fits is taken as far too many.
fn repeats(element: &BytesStart<'_>, name: &str) -> u32 {
    attribute(element, name).map_or(1, |count| count.trim().parse().unwrap_or(u32::MAX))
}

/// The walk through the content.
struct Walk<'a, R> {
    reader: Reader<R>,
    received: &'a Received<'a>,
    filling: Filling<'a>,
    styles: Styles,
    sheets: Vec<RawSheet>,
}

/// A sheet while its rows are read.
struct Open {
    sheet: RawSheet,
    /// The row that comes next.
    row: u32,
    /// Up to which column, not counting it, a style holds where neither cell nor row names one.
    column_styles: Vec<(u32, Option<String>)>,
    /// True for copies of sheets of other files, kept for their formulas.
    is_copy: bool,
}

/// A filled cell of a row, and how many stand side by side.
struct Filled {
    column: u32,
    count: u32,
    value: RawValue,
    struck: bool,
}

impl<R: BufRead> Walk<'_, R> {
    fn content(&mut self) -> Result<(), Finding> {
        let mut buffer = Vec::new();
        loop {
            buffer.clear();
            match self.reader.read_event_into(&mut buffer).map_err(|error| malformed(self.received, &error))? {
                Event::Start(element) => match element.name().as_ref() {
                    "table:table" => self.table(&element)?,
                    "table:tracked-changes" => self.pass(&element)?,
                    _ => self.styles.start(&element),
                },
                Event::End(element) => self.styles.end(element.name().as_ref()),
                Event::Eof => return Ok(()),
                _ => {}
            }
        }
    }

    /// Goes to the end of an element that holds no cells.
    fn pass(&mut self, element: &BytesStart<'_>) -> Result<(), Finding> {
        let mut buffer = Vec::new();
        self.reader
            .read_to_end_into(element.name(), &mut buffer)
            .map(|_| ())
            .map_err(|error| malformed(self.received, &error))
    }

    fn table(&mut self, table: &BytesStart<'_>) -> Result<(), Finding> {
        let mut sheet = self.received.sheet(Some(attribute(table, "table:name").unwrap_or_default()));
        sheet.hidden = attribute(table, "table:style-name").is_some_and(|style| self.styles.hidden(&style));
        let mut open = Open { sheet, row: 0, column_styles: Vec::new(), is_copy: false };
        let mut buffer = Vec::new();
        loop {
            buffer.clear();
            match self.reader.read_event_into(&mut buffer).map_err(|error| malformed(self.received, &error))? {
                Event::Start(element) => match element.name().as_ref() {
                    "table:table-column" => column(&mut open, &element),
                    "table:table-row" => self.row(&mut open, &element)?,
                    "table:table-source" => open.is_copy = true,
                    "table:shapes" | "office:forms" => self.pass(&element)?,
                    _ => {}
                },
                Event::End(element) if element.name().as_ref() == "table:table" => break,
                Event::Eof => return Err(cut_short(self.received)),
                _ => {}
            }
        }
        if !open.is_copy {
            self.sheets.push(self.filling.close(open.sheet)?);
        }
        Ok(())
    }

    fn row(&mut self, open: &mut Open, row: &BytesStart<'_>) -> Result<(), Finding> {
        let count = repeats(row, "table:number-rows-repeated");
        let is_hidden = attribute(row, "table:visibility").is_some_and(|it| it != "visible");
        let style = attribute(row, "table:default-cell-style-name");
        let cells = self.cells(open, style.as_deref())?;
        if !cells.is_empty() {
            for row in open.row..open.row.saturating_add(count) {
                if is_hidden {
                    open.sheet.hidden_rows.push(row);
                }
                self.fill(&mut open.sheet, row, &cells)?;
            }
        }
        open.row = open.row.saturating_add(count);
        Ok(())
    }

    fn fill(&mut self, sheet: &mut RawSheet, row: u32, cells: &[Filled]) -> Result<(), Finding> {
        for cell in cells {
            for column in cell.column..cell.column.saturating_add(cell.count) {
                self.filling.add(sheet, (row, column), cell.value.clone(), cell.struck)?;
            }
        }
        Ok(())
    }

    /// The filled cells of a row.
    fn cells(&mut self, open: &mut Open, row_style: Option<&str>) -> Result<Vec<Filled>, Finding> {
        let mut cells = Vec::new();
        let mut column = 0_u32;
        let mut buffer = Vec::new();
        loop {
            buffer.clear();
            match self.reader.read_event_into(&mut buffer).map_err(|error| malformed(self.received, &error))? {
                Event::Start(cell)
                    if matches!(cell.name().as_ref(), "table:table-cell" | "table:covered-table-cell") =>
                {
                    let count = repeats(&cell, "table:number-columns-repeated");
                    open.sheet.merged.extend(span(&cell, open.row, column));
                    let shown = shown(&mut self.reader, &cell, &self.styles)
                        .map_err(|error| malformed(self.received, &error))?
                        .ok_or_else(|| cut_short(self.received))?;
                    let struck = shown.struck || self.struck(open, &cell, row_style, column);
                    if let Some(value) = value(Told::by(&cell), shown) {
                        cells.push(Filled { column, count, value, struck });
                    }
                    column = column.saturating_add(count);
                }
                Event::Start(element) => self.pass(&element)?,
                Event::End(element) if element.name().as_ref() == "table:table-row" => return Ok(cells),
                Event::Eof => return Err(cut_short(self.received)),
                _ => {}
            }
        }
    }

    /// Whether the cell's style strikes it out: its own, else its row's, else its column's.
    fn struck(&self, open: &Open, cell: &BytesStart<'_>, row_style: Option<&str>, column: u32) -> bool {
        let own = attribute(cell, "table:style-name");
        let of_column = || {
            let at = open.column_styles.partition_point(|(end, _)| *end <= column);
            open.column_styles.get(at).and_then(|(_, style)| style.as_deref())
        };
        let style = own.as_deref().or(row_style).or_else(of_column);
        style.is_some_and(|style| self.styles.struck("table-cell", style))
    }
}

fn column(open: &mut Open, element: &BytesStart<'_>) {
    let start = open.column_styles.last().map_or(0, |(end, _)| *end);
    let end = start.saturating_add(repeats(element, "table:number-columns-repeated"));
    open.column_styles.push((end, attribute(element, "table:default-cell-style-name")));
}

/// A merged area that begins at this cell.
fn span(cell: &BytesStart<'_>, row: u32, column: u32) -> Option<(u32, u16, u32, u16)> {
    let (rows, columns) = (repeats(cell, "table:number-rows-spanned"), repeats(cell, "table:number-columns-spanned"));
    if rows.max(1) == 1 && columns.max(1) == 1 {
        return None;
    }
    let last = column.saturating_add(columns.max(1) - 1);
    let last = u16::try_from(last).unwrap_or(u16::MAX);
    Some((row, u16::try_from(column).ok()?, row.saturating_add(rows.max(1) - 1), last))
}

/// What stands in the cell; `None` where nothing does.
fn value(told: Told, shown: Shown) -> Option<RawValue> {
    if shown.partly_struck {
        return Some(partly_struck(&shown.text));
    }
    told.value(shown.text)
}

#[cfg(test)]
mod tests {
    use super::super::samples::{opened, refusal, refusal_within, spoken, spreadsheet};
    use super::*;
    use crate::intake::setting::Caps;

    fn table(rows: &str) -> Vec<u8> {
        spreadsheet("", &format!(r#"<table:table table:name="Cores">{rows}</table:table>"#))
    }

    fn text(text: &str) -> String {
        format!(r#"<table:table-cell office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#)
    }

    fn first(bytes: &[u8]) -> RawSheet {
        opened(bytes, "field/cores.ods").unwrap().sheets.remove(0)
    }

    #[test]
    fn values_come_as_the_sheet_types_them() {
        let sheet = first(&table(
            r#"<table:table-row><table:table-cell office:value-type="float" office:value="9.25"><text:p>9 1/4</text:p></table:table-cell>
            <table:table-cell office:value-type="date" office:date-value="2031-07-03"><text:p>7/3/31</text:p></table:table-cell>
            <table:table-cell office:value-type="time" office:time-value="PT06H00M00S"><text:p>6:00</text:p></table:table-cell>
            <table:table-cell office:value-type="boolean" office:boolean-value="true"><text:p>TRUE</text:p></table:table-cell>
            <table:table-cell table:formula="of:=1/0" office:value-type="string" office:string-value="" calcext:value-type="error"><text:p>#DIV/0!</text:p></table:table-cell>
            <table:table-cell table:formula="of:=[.A1]"/><table:table-cell office:value-type="string"><text:p>N<text:s text:c="2"/>1 &amp; <text:span>2</text:span></text:p><text:p>b</text:p></table:table-cell></table:table-row>"#,
        ));
        assert_eq!(
            spoken(&sheet),
            [
                "A1 9.25",
                "B1 moment 48032",
                "C1 moment 0.25",
                "D1 true",
                "E1 error #DIV/0!",
                "F1 unstored",
                "G1 N  1 & 2\nb"
            ]
        );
    }

    #[test]
    fn empty_repeats_cost_nothing_and_filled_ones_are_laid_out() {
        let sheet = first(&table(&format!(
            r#"<table:table-row table:number-rows-repeated="1048570"><table:table-cell table:number-columns-repeated="16384"/></table:table-row>
            <table:table-row table:number-rows-repeated="2"><table:table-cell table:number-columns-repeated="16383"/>{}</table:table-row>
            <table:table-row table:number-rows-repeated="99999999999"><table:table-cell/></table:table-row>"#,
            text("x")
        )));
        assert_eq!(spoken(&sheet), ["XFD1048571 x", "XFD1048572 x"]);
    }

    #[test]
    fn filled_repeats_beyond_the_caps_are_refused() {
        let row = |rows: &str, columns: &str| {
            table(&format!(
                r#"<table:table-row table:number-rows-repeated="{rows}"><table:table-cell office:value-type="float"
                office:value="1" table:number-columns-repeated="{columns}"/></table:table-row>"#
            ))
        };
        assert!(refusal(&row("1", "99999999999"), "field/a.ods").starts_with("column 16385 is filled"));
        assert!(refusal(&row("1048577", "1"), "field/a.ods").starts_with("row 1048577 is filled"));
        let caps = Caps { cells: 5_000, ..Caps::default() };
        let message = refusal_within(&row("1048576", "16384"), "field/a.ods", &caps);
        assert_eq!(message, "the file has more than 5000 filled cells");
    }

    #[test]
    fn what_is_struck_out_merged_or_hidden_is_said() {
        let styles = r#"<style:style style:name="ce1" style:family="table-cell"><style:text-properties style:text-line-through-style="solid"/></style:style>
            <style:style style:name="ce2" style:family="table-cell" style:parent-style-name="ce1"/>
            <style:style style:name="T1" style:family="text"><style:text-properties style:text-line-through-style="solid"/></style:style>
            <style:style style:name="ta1" style:family="table"><style:table-properties table:display="false"/></style:style>"#;
        let cell = |more: &str, text: &str| {
            format!(r#"<table:table-cell {more} office:value-type="string"><text:p>{text}</text:p></table:table-cell>"#)
        };
        let merged = r#"table:number-columns-spanned="3" table:number-rows-spanned="1""#;
        let tables = format!(
            r#"<table:table table:name="Loads" table:style-name="ta1"><table:table-column/><table:table-column table:default-cell-style-name="ce2"/>
            <table:table-row>{}<table:covered-table-cell table:number-columns-repeated="2"/></table:table-row>
            <table:table-row table:visibility="collapse">{}{}</table:table-row><table:table-row>{}{}</table:table-row></table:table>"#,
            cell(merged, "Loads"),
            cell("", "88213"),
            cell("", "void"),
            cell(r#"table:style-name="ce1""#, "88214"),
            cell(r#"table:style-name="Default""#, r#"<text:span text:style-name="T1">9.0</text:span> 9.5"#)
        );
        let sheet = first(&spreadsheet(styles, &tables));
        assert_eq!(
            spoken(&sheet),
            ["A1 Loads", "A2 88213", "B2 void struck", "A3 88214 struck", "B3 error partly struck out: 9.0 9.5"]
        );
        assert_eq!((sheet.merged.as_slice(), sheet.hidden_rows.as_slice()), (&[(0, 0, 0, 2)][..], &[1][..]));
        assert!(sheet.hidden);
    }

    #[test]
    fn remarks_recorded_changes_and_copies_of_other_files_are_no_cells() {
        let remark = r#"<table:table-cell office:value-type="string"><office:annotation><text:p>see me</text:p></office:annotation><text:p>N1</text:p></table:table-cell>"#;
        let tables = format!(
            r#"<table:tracked-changes><table:table-row>{}</table:table-row></table:tracked-changes>
            <table:table table:name="Cores"><table:table-row>{remark}</table:table-row></table:table>
            <table:table table:name="'file:///a.ods'#Sheet1"><table:table-source/><table:table-row>{}</table:table-row></table:table>"#,
            text("old"),
            text("copy")
        );
        let file = opened(&spreadsheet("", &tables), "field/cores.ods").unwrap();
        assert_eq!(file.sheets.iter().map(spoken).collect::<Vec<_>>(), [vec!["A1 N1"]]);
    }

    #[test]
    fn a_sheet_that_never_ends_is_refused() {
        let bytes = spreadsheet("", r#"<table:table table:name="Cores"><table:table-row>"#);
        let message = refusal(&bytes, "field/cores.ods");
        assert!(message.starts_with("the file"), "{message}");
    }
}
