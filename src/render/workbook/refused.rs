//! The workbook of refused rows that goes back to whoever wrote them: what is wrong with which cell, room for the
//! corrected value, for who corrected it and when, and the row as it was received with the cell marked in it.
//!
//! Its headings and the marks of the rows are those by which it is read back; everything but the three columns to be
//! filled in is protected, without a password.

use rust_xlsxwriter::{DataValidation, Format, FormatBorder, FormatPattern, ProtectionOptions, Workbook};

use super::address::FIRST;
use super::leaf::{Leaf, ROW_PIXELS, lines_of};
use super::list::{self, Heading, List};
use super::style::{self, Weight};
use super::{COLUMN_PIXELS, COMPRESSION, properties};
use crate::dossier::{RefusedGroup, RefusedLine, RefusedList};
use crate::render::RenderError;
use crate::source::column_letters;

/// The sheet of cells to be corrected.
const CELLS: &str = "Rows to correct";
/// The sheet of rows that no corrected cell settles.
const OTHERS: &str = "Rows to settle otherwise";
/// Widths of the columns by which a correction is read back.
const WIDTHS: [f64; 12] = [5.0, 24.0, 14.0, 7.0, 15.0, 15.0, 34.0, 34.0, 18.0, 18.0, 13.0, 15.0];
/// The columns to be filled in: corrected value, by whom, on which day.
const ENTRY: [u16; 3] = [8, 9, 10];
/// Where the row as received begins.
const ROW: u16 = 12;
/// Columns of a received row that are shown.
const ROW_SHOWN: u16 = 200;

/// The workbook, as the bytes of an `.xlsx` file.
///
/// # Errors
/// Where it cannot be made.
pub fn refused(refused: &RefusedList) -> Result<Vec<u8>, RenderError> {
    let mut file = Workbook::new();
    file.set_default_format(&style::base(), ROW_PIXELS, COLUMN_PIXELS)?;
    file.set_zip_compression_level(COMPRESSION);
    file.set_properties(&properties(&refused.head));
    if !refused.groups.is_empty() {
        cells(&mut Leaf::new(file.add_worksheet(), CELLS)?, refused)?;
    }
    if !refused.others.is_empty() {
        others(&mut Leaf::new(file.add_worksheet(), OTHERS)?, refused)?;
    }
    Ok(file.save_to_buffer()?)
}

/// How the cells of the list look.
struct Looks {
    line: Format,
    small: Format,
    entry: Format,
    group: Format,
    received: Format,
    wrong: Format,
}

impl Looks {
    fn new() -> Self {
        let line = style::line(Weight::Line, false).set_text_wrap();
        let boxed = line.clone().set_border(FormatBorder::Thin).set_border_color(style::ACCENT);
        Self {
            small: style::set_off(line.clone()).set_font_size(8).set_font_color(style::MUTED),
            entry: style::typed(boxed.clone()).set_num_format("@").set_unlocked(),
            group: style::set_off(style::caption()),
            received: style::line(Weight::Line, false),
            wrong: boxed.set_bold().set_pattern(FormatPattern::LightUp).set_foreground_color(style::MUTED),
            line,
        }
    }
}

fn cells(leaf: &mut Leaf, refused: &RefusedList) -> Result<(), RenderError> {
    let columns: Vec<Heading<'_>> =
        refused.headings.iter().zip(WIDTHS).map(|(text, width)| list::words(text, width)).collect();
    let rows: usize = refused.groups.iter().map(|group| group.lines.len() + 1).sum();
    let what = "Fill in the three outlined columns, save, and put this file into field/. What was received stays on record; \
                the sheets themselves are not changed.";
    let rows = u32::try_from(rows).unwrap_or(u32::MAX);
    List::open(leaf, &refused.head, (CELLS, what), columns, rows)?;
    let looks = Looks::new();
    leaf.text(FIRST - 1, ROW, "The row as received", &style::column_heading(false, true))?;
    let (mut row, mut number) = (FIRST, 1);
    for group in &refused.groups {
        group_title(leaf, row, group, &looks)?;
        row += 1;
        for line in &group.lines {
            write_line(leaf, row, number, line, &looks)?;
            (row, number) = (row + 1, number + 1);
        }
    }
    finish(leaf, FIRST + rows)
}

/// The sheet that the lines below it came from, and the letters of its columns.
fn group_title(leaf: &mut Leaf, row: u32, group: &RefusedGroup, looks: &Looks) -> Result<(), RenderError> {
    leaf.text(row, 1, &group.title, &looks.group)?;
    let last = group.lines.iter().flat_map(|l| l.row.iter().map(|(column, _)| *column)).max().unwrap_or(0);
    for column in 0..=last.min(ROW_SHOWN) {
        leaf.text(row, ROW + column, &column_letters(column), &style::muted())?;
    }
    Ok(())
}

fn write_line(leaf: &mut Leaf, row: u32, number: u64, line: &RefusedLine, looks: &Looks) -> Result<(), RenderError> {
    leaf.count(row, 0, number, &style::line(Weight::Line, true))?;
    let texts = [&line.file, &line.sheet, &line.cell, &line.heading, &line.received, &line.wrong, &line.remedy];
    let mut lines = 1;
    for (column, text) in (1_u16..).zip(texts) {
        leaf.text(row, column, text, &style::set_off(looks.line.clone()))?;
        lines = lines.max(lines_of(text, WIDTHS[usize::from(column)] - 1.5));
    }
    leaf.lines(row, lines)?;
    for column in ENTRY {
        leaf.blank(row, column, &looks.entry)?;
    }
    leaf.text(row, ENTRY[2] + 1, &line.mark, &looks.small)?;
    let shown = line.row.iter().filter(|(column, _)| *column <= ROW_SHOWN && *column != line.column);
    for (column, text) in shown {
        leaf.text(row, ROW + column, text, &looks.received)?;
    }
    if line.column <= ROW_SHOWN {
        leaf.text(row, ROW + line.column, &line.received, &looks.wrong)?;
    }
    Ok(())
}

/// What helps whoever fills it in, and keeps the rest as it is.
fn finish(leaf: &mut Leaf, end: u32) -> Result<(), RenderError> {
    let hints = [
        ("Corrected value", "What should stand in the cell, with its unit where the sheet writes one."),
        ("Corrected by", "Your name. A correction without it is not taken."),
        ("Corrected on", "The day of the correction, such as 2031-07-03."),
    ];
    for (column, (title, words)) in ENTRY.into_iter().zip(hints) {
        let hint = DataValidation::new().allow_any_value().set_input_title(title)?.set_input_message(words)?;
        leaf.sheet.add_data_validation(FIRST, column, end, column, &hint)?;
    }
    leaf.sheet.set_freeze_panes(FIRST, 4)?.set_print_area(0, 0, end, ROW - 1)?;
    let allowed = ProtectionOptions { format_columns: true, format_rows: true, ..ProtectionOptions::default() };
    leaf.sheet.protect_with_options(&allowed);
    Ok(())
}

fn others(leaf: &mut Leaf, refused: &RefusedList) -> Result<(), RenderError> {
    let most = refused.others.iter().map(|row| row.cells.len()).max().unwrap_or(0).min(usize::from(ROW_SHOWN));
    let numbered: Vec<String> = (1..=most).map(|n| format!("cell {n}")).collect();
    let mut columns: Vec<Heading<'_>> =
        refused.beside.iter().zip([40.0, 56.0, 56.0]).map(|(text, width)| list::words(text, width)).collect();
    columns.extend(numbered.iter().map(|text| list::words(text, 12.0)));
    let rows = refused.obstacles.len() + refused.others.len();
    let what = "No corrected cell settles these rows: say in contract.toml what the sheet holds, then run again.";
    let rows = u32::try_from(rows).unwrap_or(u32::MAX);
    let list = List::open(leaf, &refused.head, (OTHERS, what), columns, rows)?;
    let mut row = FIRST;
    for obstacle in &refused.obstacles {
        list.words(leaf, row, &obstacle.each_ref().map(String::as_str))?;
        row += 1;
    }
    for other in &refused.others {
        let mut cells = vec![other.place.as_str(), other.reason.as_str(), ""];
        cells.extend(other.cells.iter().take(most).map(String::as_str));
        list.words(leaf, row, &cells)?;
        row += 1;
    }
    Ok(())
}
