//! How long a whole report over 200,000 loads takes, against the floor: reading the same cells with calamine and writing
//! the same cells with `rust_xlsxwriter`. Run with `cargo bench --profile dev`.
//!
//! Each measurement runs in a process of its own, so that its peak memory is its own. Ratios carry over between machines,
//! seconds do not.

#![allow(missing_docs, clippy::print_stdout, clippy::cast_precision_loss)]

use std::env;
use std::error::Error;
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use std::time::Instant;

use calamine::{DataRef, Reader, Xlsx};
use rust_xlsxwriter::{Format, Workbook};
use slabtally::{outbox, run};

type Outcome<T> = Result<T, Box<dyn Error>>;

const LOADS: u32 = 200_000;
const LOADS_A_PLACEMENT: u32 = 50;
const RUNS: usize = 3;

fn main() -> Outcome<()> {
    let arguments: Vec<String> = env::args().collect();
    match arguments.iter().position(|a| a == "--only").and_then(|i| arguments.get(i + 1)) {
        Some(what) => one(what),
        None => all(),
    }
}

fn folder(loads: u32) -> PathBuf {
    Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("bench-{loads}"))
}

fn all() -> Outcome<()> {
    for loads in [LOADS / 4, LOADS] {
        generate(&folder(loads), loads)?;
    }
    println!("{:<34}{:>10}{:>12}", "median of 3", "wall, s", "peak, MiB");
    let floor = measure("floor 200000")?;
    let whole = measure("report 200000")?;
    let quarter = measure("report 50000")?;
    let unpacked = unpacked_mib(&folder(LOADS))?;
    println!("whole report / floor, time                {:.2}", whole.0 / floor.0);
    println!("peak memory / unpacked cells ({unpacked:.0} MiB)    {:.2}", whole.1 / unpacked);
    println!("200,000 loads / 50,000 loads, time        {:.2}", whole.0 / quarter.0);
    Ok(())
}

fn measure(what: &str) -> Outcome<(f64, f64)> {
    let mut walls = Vec::new();
    let mut peak: f64 = 0.0;
    for _ in 0..RUNS {
        let since = Instant::now();
        let output = Command::new(env::current_exe()?).args(["--only", what]).output()?;
        walls.push(since.elapsed().as_secs_f64());
        if !output.status.success() {
            return Err(format!("{what}: {}", String::from_utf8_lossy(&output.stderr)).into());
        }
        peak = peak.max(String::from_utf8(output.stdout)?.trim().parse()?);
    }
    walls.sort_by(f64::total_cmp);
    let wall = walls[RUNS / 2];
    println!("{what:<34}{wall:>10.2}{peak:>12.0}");
    Ok((wall, peak))
}

fn one(what: &str) -> Outcome<()> {
    let (job, loads) = what.split_once(' ').ok_or("a job and a number of loads")?;
    let at = folder(loads.parse()?);
    match job {
        "floor" => floor(&at)?,
        _ => report(&at)?,
    }
    println!("{}", peak_mib()?);
    Ok(())
}

fn report(at: &Path) -> Outcome<()> {
    let computed = run::compute(at, None, &|_, _| ()).map_err(|stop| format!("{stop:?}"))?;
    if computed.findings.keep_open() {
        return Err("the generated contract has open findings".into());
    }
    let package = computed.package(false).map_err(|stop| format!("{stop:?}"))?;
    outbox::deliver(&at.join("out"), &package, true)?;
    Ok(())
}

/// The same cells read and written with the same libraries, and nothing else.
fn floor(at: &Path) -> Outcome<()> {
    let mut files: Vec<PathBuf> =
        fs::read_dir(at.join("field"))?.map(|e| e.map(|e| e.path())).collect::<Result<_, _>>()?;
    files.sort();
    let mut out = Workbook::new();
    let date = Format::new().set_num_format("yyyy-mm-dd");
    for file in files {
        let mut book: Xlsx<_> = calamine::open_workbook(&file)?;
        for name in book.sheet_names() {
            let sheet = out.add_worksheet_with_constant_memory()?;
            let mut cells = book.worksheet_cells_reader(&name)?;
            while let Some(cell) = cells.next_cell()? {
                let (row, column) = cell.get_position();
                let column = u16::try_from(column)?;
                match cell.get_value() {
                    DataRef::Float(f) => sheet.write_number(row, column, *f)?,
                    DataRef::DateTime(d) => sheet.write_number_with_format(row, column, d.as_f64(), &date)?,
                    DataRef::SharedString(s) => sheet.write_string(row, column, *s)?,
                    DataRef::String(s) => sheet.write_string(row, column, s)?,
                    _ => sheet,
                };
            }
        }
    }
    fs::write(at.join("floor.xlsx"), out.save_to_buffer()?)?;
    Ok(())
}

fn peak_mib() -> Outcome<f64> {
    let status = fs::read_to_string("/proc/self/status")?;
    let line = status.lines().find_map(|l| l.strip_prefix("VmHWM:")).ok_or("no VmHWM")?;
    let kib: f64 = line.trim().trim_end_matches(" kB").trim().parse()?;
    Ok(kib / 1024.0)
}

/// Bytes of the worksheets once unpacked.
fn unpacked_mib(at: &Path) -> Outcome<f64> {
    let mut bytes = 0;
    for entry in fs::read_dir(at.join("field"))? {
        let mut archive = zip::ZipArchive::new(fs::File::open(entry?.path())?)?;
        for i in 0..archive.len() {
            bytes += archive.by_index(i)?.size();
        }
    }
    Ok(bytes as f64 / f64::from(1 << 20))
}

/// A contract with one long lane, its placements, and their loads in one workbook.
fn generate(at: &Path, loads: u32) -> Outcome<()> {
    let placements = loads / LOADS_A_PLACEMENT;
    fs::create_dir_all(at.join("field"))?;
    let end = 100 * placements * 10;
    fs::write(at.join("contract.toml"), contract(end))?;
    let date = Format::new().set_num_format("yyyy-mm-dd");
    let time = Format::new().set_num_format("hh:mm");
    let first = chrono::NaiveDate::from_ymd_opt(2031, 1, 1).ok_or("a day")?;

    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    sheet.write_row(0, 0, ["Placement No.", "Date", "Lane", "From station", "To station", "Mix"])?;
    for p in 0..placements {
        let row = p + 1;
        sheet.write_string(row, 0, format!("P{p}"))?;
        sheet.write_datetime_with_format(row, 1, first + chrono::Days::new(u64::from(p / 20)), &date)?;
        sheet.write_string(row, 2, "L1")?;
        sheet.write_string(row, 3, format!("{}+00", p * 10))?;
        sheet.write_string(row, 4, format!("{}+00", (p + 1) * 10))?;
        sheet.write_string(row, 5, "M-4000")?;
    }
    book.save(at.join("field/placements.xlsx"))?;

    let mut book = Workbook::new();
    let sheet = book.add_worksheet();
    let headings = [
        "Ticket",
        "Date",
        "Batched",
        "Discharged",
        "Plant",
        "Truck",
        "Mix",
        "Volume (CY)",
        "Placement",
        "Status",
        "Wasted (CY)",
        "Remarks",
    ];
    sheet.write_row(0, 0, headings)?;
    for n in 0..loads {
        let (row, p) = (n + 1, n / LOADS_A_PLACEMENT);
        let minutes = n % LOADS_A_PLACEMENT * 8;
        sheet.write_string(row, 0, format!("T{n:06}"))?;
        sheet.write_datetime_with_format(row, 1, first + chrono::Days::new(u64::from(p / 20)), &date)?;
        sheet.write_number_with_format(row, 2, f64::from(420 + minutes) / 1440.0, &time)?;
        sheet.write_number_with_format(row, 3, f64::from(445 + minutes) / 1440.0, &time)?;
        sheet.write_string(row, 4, "Plant A")?;
        // Each placement has trucks of its own, as it must where twenty are placed at once.
        sheet.write_string(row, 5, format!("{}-{}", p % 20, 100 + n % 30))?;
        sheet.write_string(row, 6, "M-4000")?;
        sheet.write_number(row, 7, 8.0 + f64::from(n % 3) / 4.0)?;
        sheet.write_string(row, 8, format!("P{p}"))?;
        sheet.write_string(row, 9, "placed")?;
        sheet.write_number(row, 10, f64::from(n % 7 / 6) / 4.0)?;
        sheet.write_string(row, 11, "")?;
    }
    book.save(at.join("field/tickets.xlsx"))?;
    Ok(())
}

fn contract(end: u32) -> String {
    format!(
        r#"number = "BENCH"
title = "Generated for measuring"
notice = "Generated data"
units = "US customary"
dates = "year-month-day"
[parties]
owner = "owner"
contractor = "contractor"
engineer = "engineer"
[rounding]
length = "0.1 half up"
area = "0.01 half up"
volume = "0.01 half up"
money = "0.01 half up"
[[alignments]]
name = "A"
begin = "0+00"
end = "{}+00"
[[lanes]]
name = "L1"
alignment = "A"
side = "right"
width = "12 ft"
[[sections]]
name = "main"
from = "0+00"
to = "{}+00"
lanes = ["L1"]
thickness = "9.5 in"
[[items]]
number = "1"
description = "Concrete pavement"
unit = "SY"
quantity = "1000"
price = "50.00"
measured = "placed area"
sections = ["main"]
[[periods]]
number = 1
through = 2099-12-31
"#,
        end / 100,
        end / 100
    )
}
