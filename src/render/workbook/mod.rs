//! The workbook: one sheet to each page of the dossier, one to each line of an audit, then findings, every calculation as a
//! live formula, what was given, the rule tables, the records, the rows not used, and the basis of it all.
//!
//! A number on a page refers to its row on 'Calculations'; that refers to records, given values and other figures; a
//! record names the sheet and row it was read from. Another program that recalculates the file must come to the stored
//! values. Lists are written row by row into temporary files, so that 200,000 loads need little memory. The same dossier
//! gives the same bytes: the time of creation is midnight after the last day of the period is over.

mod address;
mod basis;
mod calculations;
mod cell;
mod chart;
mod clean;
mod form;
mod given;
mod grid;
mod lanes;
mod leaf;
mod list;
mod lists;
mod page;
mod records;
mod refused;
mod sheet;
mod shown;
mod style;
mod table;
#[cfg(test)]
mod tests;
mod waterfall;
mod worksheet;

pub use self::refused::refused;

use rust_xlsxwriter::{DocProperties, Workbook, XlsxError};

pub use self::form::form;

use self::address::Plan;
use self::leaf::{Leaf, ROW_PIXELS};
use self::page::Matter;
use self::shown::ShownOn;
use super::RenderError;
use crate::dossier::{Block, Dossier, Head, Strip};
use crate::figure::Book;

/// Level of compression: nearly as small as the usual 6 and much faster on long lists.
const COMPRESSION: u8 = 3;
/// The sheet of the step drawings.
const LANES: &str = "Lanes as built";
/// Width of a column that was not set, in pixels, with the chosen typeface.
const COLUMN_PIXELS: u32 = 64;

impl From<XlsxError> for RenderError {
    fn from(error: XlsxError) -> Self {
        RenderError::Workbook(error.to_string())
    }
}

/// The workbook of a dossier, as the bytes of an `.xlsx` file.
///
/// # Errors
/// Where the temporary files cannot be written, or a list is longer than a sheet.
pub fn workbook(dossier: &Dossier, book: &Book) -> Result<Vec<u8>, RenderError> {
    let plan = Plan::new(dossier, book);
    let mut file = Workbook::new();
    file.set_default_format(&style::base(), ROW_PIXELS, COLUMN_PIXELS)?;
    file.set_zip_compression_level(COMPRESSION);
    file.set_properties(&properties(&dossier.head));
    let matter = Matter { dossier, book, plan: &plan };
    let shown = pages(&mut file, matter)?;
    work_sheets(&mut file, matter)?;
    lanes(&mut file, dossier)?;
    lists(&mut file, dossier, book, &plan, &shown)?;
    names(&mut file, dossier, &plan)?;
    Ok(file.save_to_buffer()?)
}

fn properties(head: &Head) -> DocProperties {
    DocProperties::new()
        .set_title(clean::cell(&format!("{} {}", head.number, head.title)))
        .set_subject(clean::cell(&head.period))
        .set_author(&head.program)
        .set_creation_datetime(&head.through)
}

/// The pages in reading order; the first opens.
fn pages(file: &mut Workbook, matter: Matter) -> Result<ShownOn, RenderError> {
    let mut shown = ShownOn::default();
    let named = matter.dossier.pages.iter().zip(&matter.plan.names.pages);
    for (n, (page, name)) in named.enumerate() {
        let mut leaf = Leaf::new(file.add_worksheet(), name)?;
        page::write(&mut leaf, matter, (page, name), n == 0, &mut shown)?;
    }
    Ok(shown)
}

/// The lines that a reviewer computes again, a sheet for each.
fn work_sheets(file: &mut Workbook, matter: Matter) -> Result<(), RenderError> {
    for (sheet, name) in matter.dossier.work_sheets.iter().zip(&matter.plan.names.work_sheets) {
        worksheet::write(&mut Leaf::new(file.add_worksheet(), name)?, matter, sheet)?;
    }
    Ok(())
}

/// The step drawings, where the dossier has any.
fn lanes(file: &mut Workbook, dossier: &Dossier) -> Result<(), RenderError> {
    let blocks = dossier.pages.iter().flat_map(|p| &p.blocks);
    let strips: Vec<&Strip> = blocks
        .filter_map(|b| match b {
            Block::Strip(strip) if strip.steps => Some(strip),
            _ => None,
        })
        .collect();
    if strips.is_empty() {
        return Ok(());
    }
    lanes::write(&mut Leaf::new(file.add_worksheet(), LANES)?, dossier, &strips)
}

/// The lists behind the pages.
fn lists(file: &mut Workbook, dossier: &Dossier, book: &Book, plan: &Plan, shown: &ShownOn) -> Result<(), RenderError> {
    let names = &plan.names;
    lists::write_findings(&mut long(file, &names.findings)?, dossier, plan)?;
    calculations::write(&mut long(file, &names.calculations)?, dossier, book, plan, shown)?;
    given::write_values(&mut long(file, &names.given)?, dossier, book, plan)?;
    given::write_rules(&mut long(file, &names.rules)?, dossier, book, plan)?;
    for (id, name) in &names.records {
        records::write(&mut long(file, name)?, dossier, book, plan, (*id, name))?;
    }
    lists::write_unused(&mut long(file, &names.unused)?, dossier, plan)?;
    basis::write(&mut Leaf::new(file.add_worksheet(), &names.basis)?, dossier, book, plan)
}

/// A sheet that is written row by row and not held in memory.
fn long<'w>(file: &'w mut Workbook, name: &str) -> Result<Leaf<'w>, RenderError> {
    Leaf::new(file.add_worksheet_with_constant_memory()?, name)
}

/// Names for the figures that lead, so that other sheets can refer to `due`.
fn names(file: &mut Workbook, dossier: &Dossier, plan: &Plan) -> Result<(), RenderError> {
    for (name, id) in &dossier.leading {
        if name.len() > 2 && name.chars().all(|c| c.is_ascii_alphabetic() || c == '_') {
            file.define_name(*name, &format!("={}", plan.figure_from_elsewhere(*id)))?;
        }
    }
    Ok(())
}
