//! Rank 15. Arguments, summary, exit codes: the only place that prints.
//!
//! Exit codes: 0 done, nothing left open; 1 done, but rows were refused, records conflict or proof is missing, and the
//! reports say NOT FINAL; 2 wrong arguments; 3 could not be done, nothing written.
#![allow(clippy::print_stdout, clippy::print_stderr)]

mod arguments;
mod audit;
mod closing;
mod contracts;
mod drawing;
mod explaining;
mod forms;
mod progress;
mod summary;

use std::io::{self, Write};
use std::path::Path;
use std::process::ExitCode;

use clap::Parser;

use crate::figure::TraceNode;
use crate::run::{self, Asked, Computed, Odds, Sampling, Stop, Writing, Written};
use arguments::{Arguments, Command, SchemaOf};
use summary::Told;

const OPEN: u8 = 1;
const WRONG_ARGUMENTS: u8 = 2;
const NOT_DONE: u8 = 3;

/// Runs the program on the arguments of the process.
#[must_use]
pub fn main() -> ExitCode {
    let arguments = match Arguments::try_parse() {
        Ok(arguments) => arguments,
        Err(e) => {
            let code = if e.use_stderr() { WRONG_ARGUMENTS } else { 0 };
            // A closed pipe is the reader's choice, not a fault.
            e.print().unwrap_or(());
            return ExitCode::from(code);
        }
    };
    match arguments.command {
        Command::Report { contract_dir, all, through, out, replace, parquet, keep_typ, json } => {
            let writing = Writing { through, replace, keep_typ, parquet: parquet.as_deref() };
            let done = if all { contracts::report } else { report };
            finish(done(&contract_dir, out.as_deref(), &writing, json), json)
        }
        Command::Check { contract_dir, through, explain: Some(file), .. } => {
            finish(explaining::explain(contract_dir.as_deref(), &file, through), false)
        }
        Command::Check { contract_dir, through, out, json, explain: None } => {
            finish(check(&contract_dir.unwrap_or_default(), through, out.as_deref(), json), json)
        }
        Command::Close { contract_dir, period, despite } => {
            finish(closing::close(&contract_dir, period, despite.as_deref()), false)
        }
        Command::Compare { first, second, all, json } => finish(closing::compare((&first, &second), all, json), json),
        Command::Verify { contract_dir, json } => finish(closing::verify(&contract_dir, json), json),
        Command::Trace { contract_dir, figure, through } => finish(trace_one(&contract_dir, &figure, through), false),
        Command::At { contract_dir, station, lane, near, through } => {
            finish(at(&contract_dir, (&station, lane.as_deref()), near, through), false)
        }
        Command::Draw { contract_dir, lot, csv, through } => {
            finish(drawing::draw(&contract_dir, lot.as_deref(), csv.as_deref(), through), false)
        }
        Command::Audit { contract_dir, seed, share, random, through, out, replace } => {
            let sampling = Sampling { seed, share, random };
            finish(audit::audit(&contract_dir, through, &sampling, out.as_deref(), replace), false)
        }
        Command::Forms { contract_dir, kind, out, replace } => {
            finish(forms::forms(&contract_dir, kind.as_deref(), out.as_deref(), replace), false)
        }
        Command::Risk { contract_dir, lot, plan, n, target, spread, acceptable, rejectable, seed, draws, through } => {
            let odds = Odds { seed, draws, acceptable, rejectable };
            let asked = match (plan, n, target, spread) {
                (Some(rule), Some(n), Some(target), Some(spread)) => Some(Asked { rule, n, target, spread }),
                _ => None,
            };
            finish(risk(contract_dir.as_deref(), lot.as_deref(), asked.as_ref(), &odds, through), false)
        }
        Command::Rules { contract_dir: Some(dir), compare: Some(lot), with, through, .. } => {
            finish(compare_rules(&dir, &lot, &with, through), false)
        }
        Command::Rules { id, contract_dir, .. } => finish(show_rules(id.as_deref(), contract_dir.as_deref()), false),
        Command::Schema { of } => {
            let schema = match of {
                SchemaOf::Contract => run::contract_schema(),
                SchemaOf::Result => run::result_schema(),
            };
            finish(print(&format!("{schema:#}\n")).map(|()| 0), false)
        }
    }
}

fn finish(result: Result<u8, Stop>, json: bool) -> ExitCode {
    match result {
        Ok(code) => ExitCode::from(code),
        Err(stop) => {
            if json {
                println!("{}", summary::stop_json(&stop));
            }
            eprint!("{}", summary::stopped(&stop));
            ExitCode::from(NOT_DONE)
        }
    }
}

fn compute(dir: &Path, through: Option<chrono::NaiveDate>) -> Result<Computed, Stop> {
    let bar = progress::Bar::of("reading", "files");
    let computed = run::compute(dir, through, &|done, all| bar.tick(done, all));
    bar.finish();
    computed
}

fn report(dir: &Path, out: Option<&Path>, writing: &Writing<'_>, json: bool) -> Result<u8, Stop> {
    let computed = compute(dir, writing.through)?;
    let default = Path::new("out").join(computed.folder());
    let written = computed.write(out.unwrap_or(&default), writing)?;
    let told = Told { edited: written.first().map(|w| w.edited.clone()).unwrap_or_default(), refused: None };
    tell(&computed, &written, &told, json)
}

fn check(dir: &Path, through: Option<chrono::NaiveDate>, out: Option<&Path>, json: bool) -> Result<u8, Stop> {
    let computed = compute(dir, through)?;
    let out = out.unwrap_or(Path::new("out"));
    let edited = computed.since(&out.join(computed.folder())).edited;
    let told = Told { edited, refused: computed.list_refused(out)? };
    tell(&computed, &[], &told, json)
}

fn tell(computed: &Computed, wrote: &[Written], told: &Told, json: bool) -> Result<u8, Stop> {
    eprint!("{}{}", summary::findings(computed), summary::edited(told));
    print(&if json { summary::json(computed, wrote, told) } else { summary::lines(computed, wrote, told) })?;
    Ok(if computed.findings.keep_open() { OPEN } else { 0 })
}

fn trace_one(dir: &Path, figure: &str, through: Option<chrono::NaiveDate>) -> Result<u8, Stop> {
    let mut text = String::new();
    write_node(&compute(dir, through)?.trace(figure)?, "", "", &mut text);
    print(&text)?;
    Ok(0)
}

fn at(
    dir: &Path,
    (station, lane): (&str, Option<&str>),
    near: Option<rust_decimal::Decimal>,
    through: Option<chrono::NaiveDate>,
) -> Result<u8, Stop> {
    print(&compute(dir, through)?.at(station, lane, near)?)?;
    Ok(0)
}

fn write_node(node: &TraceNode, before: &str, own: &str, out: &mut String) {
    out.push_str(&format!("{before}{own}{}\n", run::printable(&node.text)));
    let under = match own {
        "" => before.to_string(),
        "+- " => format!("{before}|  "),
        _ => format!("{before}   "),
    };
    let last = node.below.len().saturating_sub(1);
    for (i, child) in node.below.iter().enumerate() {
        write_node(child, &under, if i == last { "`- " } else { "+- " }, out);
    }
}

fn show_rules(id: Option<&str>, dir: Option<&Path>) -> Result<u8, Stop> {
    print(&run::explain_rules(dir, id)?)?;
    Ok(0)
}

fn compare_rules(dir: &Path, lot: &str, with: &[String], through: Option<chrono::NaiveDate>) -> Result<u8, Stop> {
    let (catalogue, _) = run::rule_sets(Some(dir))?;
    print(&compute(dir, through)?.compare(lot, with, &catalogue)?)?;
    Ok(0)
}

fn risk(
    dir: Option<&Path>,
    lot: Option<&str>,
    asked: Option<&Asked>,
    odds: &Odds,
    through: Option<chrono::NaiveDate>,
) -> Result<u8, Stop> {
    let text = match (asked, dir) {
        (Some(asked), _) => run::curve_of(asked, &run::rule_sets(dir)?.0, odds)?,
        (None, Some(dir)) => compute(dir, through)?.risk(lot, odds)?,
        (None, None) => String::new(),
    };
    print(&text)?;
    Ok(0)
}

/// To stdout; a reader that went away is not a fault.
fn print(text: &str) -> Result<(), Stop> {
    match io::stdout().lock().write_all(text.as_bytes()) {
        Err(e) if e.kind() != io::ErrorKind::BrokenPipe => Err(summary::not_printed(&e)),
        _ => Ok(()),
    }
}
