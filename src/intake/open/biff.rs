//! Walks over the records of an `.xls` workbook stream (MS-XLS, Excel Binary File Format) to see where cells stand, which
//! are struck out, which rows are hidden and which areas merged. It reads no values.

use std::collections::BTreeMap;

use super::compound::{long, short};

const BOF: u16 = 0x0809;
const EOF: u16 = 0x000A;
const FONT: u16 = 0x0031;
const XF: u16 = 0x00E0;
const FORMAT: u16 = 0x041E;
const BOUND_SHEET: u16 = 0x0085;
const FILE_PASS: u16 = 0x002F;
const ROW: u16 = 0x0208;
const MERGED: u16 = 0x00E5;
const FORMULA: u16 = 0x0006;
const FORMULA_TEXT: u16 = 0x0207;
const MANY_NUMBERS: u16 = 0x00BD;
/// Number, label, truth or error, packed number, shared label, label with runs.
const CELLS: [u16; 6] = [0x0203, 0x0204, 0x0205, 0x027E, 0x00FD, 0x00D6];
const DIMENSIONS: u16 = 0x0200;

/// Rows and columns that the format has.
const ROWS: u32 = 65_536;
const COLUMNS: u32 = 256;

/// Why a stream cannot be trusted.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Fault {
    /// It ends before it should, or a record does.
    CutShort,
    /// A password stands before it.
    Locked,
    /// A cell or a sheet's size lies outside what the format has.
    Outside,
    /// Two sheets are said to stand in the same records.
    Shared,
    /// A cell stands there twice: row and column from 0.
    Twice(u32, u16),
}

/// How the cells of a format look.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Look {
    struck: bool,
    percent: bool,
}

/// What is known of a cell without its value.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(super) struct Spot {
    /// Struck out by its font.
    pub(super) struck: bool,
    /// Shown as a percentage.
    pub(super) percent: bool,
    /// A formula whose text was promised and not stored.
    pub(super) unstored: bool,
}

/// What the walk over one sheet saw.
#[derive(Debug, Default)]
pub(super) struct SheetWalk {
    /// Filled cells by row and column.
    pub(super) spots: BTreeMap<(u32, u16), Spot>,
    /// Merged areas: first row, first column, last row, last column.
    pub(super) merged: Vec<(u32, u16, u32, u16)>,
    /// Rows hidden.
    pub(super) hidden_rows: Vec<u32>,
}

impl SheetWalk {
    /// Cells of the rectangle around all filled ones.
    pub(super) fn extent(&self) -> u64 {
        let rows = || self.spots.keys().map(|(row, _)| u64::from(*row));
        let columns = || self.spots.keys().map(|(_, column)| u64::from(*column));
        let side = |least: Option<u64>, most: Option<u64>| most.zip(least).map_or(0, |(most, least)| most - least + 1);
        side(rows().min(), rows().max()) * side(columns().min(), columns().max())
    }
}

/// All sheets of a workbook stream in their order; sheets that hold no cells, such as charts, are empty.
pub(super) fn walk(stream: &[u8]) -> Result<Vec<SheetWalk>, Fault> {
    let (mut fonts, mut formats, mut sheets) = (Vec::new(), Vec::new(), Vec::new());
    let mut percents = vec![9, 10]; // the two that the format has built in
    let mut records = Records(stream);
    loop {
        let (kind, data) = records.next().ok_or(Fault::CutShort)?;
        match kind {
            EOF => break,
            FILE_PASS if short(data, 0) != Some(0) => return Err(Fault::Locked),
            FONT => fonts.push(short(data, 2).ok_or(Fault::CutShort)? & 0x0008 != 0),
            XF => formats.push(short(data, 0).zip(short(data, 2)).ok_or(Fault::CutShort)?),
            FORMAT if data.get(2..).is_some_and(|code| code.contains(&b'%')) => percents.extend(short(data, 0)),
            BOUND_SHEET => sheets.push((long(data, 0).ok_or(Fault::CutShort)?, data.get(5).copied() == Some(0))),
            _ => {}
        }
    }
    let look = |(font, number)| Look { struck: is_struck(&fonts, font), percent: percents.contains(&number) };
    let looks: Vec<Look> = formats.into_iter().map(look).collect();
    let start = |at: u32| usize::try_from(at).ok().and_then(|at| stream.get(at..)).ok_or(Fault::CutShort);
    let mut left = stream.len();
    sheets
        .into_iter()
        .map(|(at, grid)| if grid { sheet(start(at)?, &looks, &mut left) } else { Ok(SheetWalk::default()) })
        .collect()
}

/// Fonts are numbered without a number 4.
fn is_struck(fonts: &[bool], number: u16) -> bool {
    let place = if number > 4 { number - 1 } else { number };
    fonts.get(usize::from(place)).copied().unwrap_or(false)
}

/// One sheet. Sheets share no records, so all of them together are no longer than the stream: `left` is what the others
/// have left of it. A small file could otherwise have the same cells read ten thousand times.
fn sheet(stream: &[u8], looks: &[Look], left: &mut usize) -> Result<SheetWalk, Fault> {
    let mut seen = SheetWalk::default();
    let mut records = Records(stream);
    let mut depth = 0_u32;
    let mut text_awaited = None;
    loop {
        let (kind, data) = records.next().ok_or(Fault::CutShort)?;
        *left = left.checked_sub(4 + data.len()).ok_or(Fault::Shared)?;
        match kind {
            BOF => depth += 1,
            EOF if depth <= 1 => break,
            EOF => depth -= 1,
            // Charts within the sheet carry records of their own.
            _ if depth > 1 => {}
            FORMULA_TEXT => text_awaited = None,
            FORMULA => {
                unstored(&mut seen, text_awaited.take());
                let at = cell(&mut seen, data, looks)?;
                text_awaited = awaits_text(data).then_some(at);
            }
            MANY_NUMBERS => many_numbers(&mut seen, data, looks)?,
            _ if CELLS.contains(&kind) => {
                cell(&mut seen, data, looks)?;
            }
            ROW => seen.hidden_rows.extend(hidden_row(data)),
            MERGED => merged(&mut seen, data).ok_or(Fault::CutShort)?,
            DIMENSIONS => dimensions(data)?,
            _ => {}
        }
    }
    unstored(&mut seen, text_awaited);
    Ok(seen)
}

fn unstored(seen: &mut SheetWalk, at: Option<(u32, u16)>) {
    if let Some(spot) = at.and_then(|at| seen.spots.get_mut(&at)) {
        spot.unstored = true;
    }
}

/// A cell's place and format: the first six bytes of every record of one.
fn cell(seen: &mut SheetWalk, data: &[u8], looks: &[Look]) -> Result<(u32, u16), Fault> {
    let [row, column, format] = [short(data, 0), short(data, 2), short(data, 4)];
    put(seen, row.ok_or(Fault::CutShort)?, column.ok_or(Fault::CutShort)?, format.ok_or(Fault::CutShort)?, looks)
}

fn put(seen: &mut SheetWalk, row: u16, column: u16, format: u16, looks: &[Look]) -> Result<(u32, u16), Fault> {
    let at = (u32::from(row), column);
    if u32::from(column) >= COLUMNS {
        return Err(Fault::Outside);
    }
    let look = looks.get(usize::from(format)).copied().unwrap_or_default();
    let spot = Spot { struck: look.struck, percent: look.percent, unstored: false };
    match seen.spots.insert(at, spot) {
        None => Ok(at),
        Some(_) => Err(Fault::Twice(at.0, at.1)),
    }
}

/// Numbers side by side: row, first column, then format and number of each, then last column.
fn many_numbers(seen: &mut SheetWalk, data: &[u8], looks: &[Look]) -> Result<(), Fault> {
    let (row, first) = (short(data, 0).ok_or(Fault::CutShort)?, short(data, 2).ok_or(Fault::CutShort)?);
    let numbers = data.get(4..data.len().saturating_sub(2)).ok_or(Fault::CutShort)?;
    for (number, column) in numbers.chunks_exact(6).zip(first..=u16::MAX) {
        put(seen, row, column, short(number, 0).ok_or(Fault::CutShort)?, looks)?;
    }
    Ok(())
}

/// Whether the formula's value is a text, which the next record brings.
fn awaits_text(data: &[u8]) -> bool {
    data.get(6) == Some(&0) && short(data, 12) == Some(0xFFFF)
}

fn hidden_row(data: &[u8]) -> Option<u32> {
    (short(data, 12)? & 0x0020 != 0).then_some(u32::from(short(data, 0)?))
}

fn merged(seen: &mut SheetWalk, data: &[u8]) -> Option<()> {
    for at in 0..usize::from(short(data, 0)?) {
        let area = data.get(2 + at * 8..10 + at * 8)?;
        let (top, bottom) = (u32::from(short(area, 0)?), u32::from(short(area, 2)?));
        seen.merged.push((top, short(area, 4)?, bottom, short(area, 6)?));
    }
    Some(())
}

/// A sheet that claims more rows or columns than the format has would make its reader ask for that much memory.
fn dimensions(data: &[u8]) -> Result<(), Fault> {
    let (rows, columns) = match data.len() {
        10 => (short(data, 2).map(u32::from), short(data, 6).map(u32::from)),
        _ => (long(data, 4), short(data, 10).map(u32::from)),
    };
    match rows.zip(columns) {
        Some((rows, columns)) if rows <= ROWS && columns <= COLUMNS => Ok(()),
        Some(_) => Err(Fault::Outside),
        None => Err(Fault::CutShort),
    }
}

/// Kind and data of each record.
struct Records<'a>(&'a [u8]);

impl<'a> Iterator for Records<'a> {
    type Item = (u16, &'a [u8]);

    fn next(&mut self) -> Option<Self::Item> {
        let kind = short(self.0, 0)?;
        let end = 4 + usize::from(short(self.0, 2)?);
        let data = self.0.get(4..end)?;
        self.0 = &self.0[end..];
        Some((kind, data))
    }
}
