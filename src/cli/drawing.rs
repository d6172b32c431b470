//! The command `draw`: the list to the terminal, or as CSV to the terminal or a new file.

use std::fs::OpenOptions;
use std::io::Write;
use std::path::Path;

use chrono::NaiveDate;

use super::{OPEN, print, summary};
use crate::finding::{Code, Finding, Place};
use crate::run::{self, Stop, printable};

pub(super) fn draw(dir: &Path, lot: Option<&str>, csv: Option<&Path>, through: Option<NaiveDate>) -> Result<u8, Stop> {
    let drawing = run::drawing(dir, through, lot)?;
    eprint!("{}", summary::grouped(drawing.findings_in_words()));
    match csv {
        Some(to) if to == Path::new("-") => print(&drawing.csv()?)?,
        Some(to) => {
            write_new(to, &drawing.csv()?)?;
            print(&format!("wrote     {}\n", to.display()))?;
        }
        None => print(&drawing.text().lines().map(|line| printable(line) + "\n").collect::<String>())?,
    }
    Ok(if drawing.open() { OPEN } else { 0 })
}

/// Writes a file that is not there yet.
fn write_new(to: &Path, text: &str) -> Result<(), Stop> {
    let written =
        OpenOptions::new().write(true).create_new(true).open(to).and_then(|mut f| f.write_all(text.as_bytes()));
    written.map_err(|why| {
        let place = Place::File(to.display().to_string());
        let remedy = "give the name of a file that is not there yet, in a folder that is, or - for the terminal";
        Finding::new(Code::NotWritten, place, why.to_string(), remedy).into()
    })
}
