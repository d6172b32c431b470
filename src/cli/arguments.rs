//! What can be typed.

use std::path::PathBuf;

use chrono::NaiveDate;
use clap::{Parser, Subcommand, ValueEnum};

const EXIT_CODES: &str = "Exit codes:
  0  done, nothing left open
  1  done, but rows were refused, records conflict or proof is missing; the reports say NOT FINAL
  2  wrong arguments
  3  could not be done; nothing was written";

const COMPARE_CODES: &str = "Exit codes:
  0  nothing differs
  1  something does
  2  wrong arguments
  3  could not be done";

const VERIFY_CODES: &str = "Exit codes:
  0  every closing is as it was closed, and would be closed the same today
  1  something was altered, or differs today; what, is said
  2  wrong arguments
  3  could not be done";

const FORMS_CODES: &str = "Exit codes:
  0  written
  2  wrong arguments
  3  could not be done; nothing was written";

/// As-built and pay-quantity reports for concrete pavement, from the field spreadsheets as received.
#[derive(Debug, Parser)]
#[command(version, after_help = EXIT_CODES, max_term_width = 100)]
pub(super) struct Arguments {
    #[command(subcommand)]
    pub(super) command: Command,
}

#[derive(Debug, Subcommand)]
pub(super) enum Command {
    /// Read, compute, and write the pay package: workbook, text reports, PDF, result.json
    #[command(after_help = EXIT_CODES)]
    Report {
        /// Folder with contract.toml and field/; with --all, any folder with such folders below it
        contract_dir: PathBuf,
        /// Every contract folder at any depth, each to its own folder, and a summary of all
        #[arg(long)]
        all: bool,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
        /// Folder to write to [default: out/<contract>-<period>; with --all, out, which gets such folders]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Replace what is there already
        #[arg(long)]
        replace: bool,
        /// Write the result as Parquet tables too, to DIR/contract=<contract>/period=<period>
        #[arg(long, value_name = "DIR")]
        parquet: Option<PathBuf>,
        /// Leave the PDF's Typst source beside it
        #[arg(long)]
        keep_typ: bool,
        /// Print the summary as JSON
        #[arg(long)]
        json: bool,
    },
    /// Read and compute, print the same summary, write only the list of refused rows
    #[command(after_help = EXIT_CODES)]
    Check {
        /// Folder with contract.toml and field/ [with --explain: default, the nearest folder above FILE that has one]
        #[arg(required_unless_present = "explain")]
        contract_dir: Option<PathBuf>,
        /// Say how a field file was read: its headings, fields, units, and what settles the rest
        #[arg(long, value_name = "FILE", conflicts_with_all = ["json", "out"])]
        explain: Option<PathBuf>,
        /// Folder for the list of refused rows, <contract>-<period>-refused.xlsx [default: out]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
        /// Print the summary as JSON
        #[arg(long)]
        json: bool,
    },
    /// Close a period: freeze its package, its records and what it was computed from in closed/
    #[command(after_help = EXIT_CODES)]
    Close {
        /// Folder with contract.toml and field/
        contract_dir: PathBuf,
        /// Number of the period
        period: u32,
        /// Close although rows are refused, records conflict or proof is missing, for this reason, which is kept
        #[arg(long, value_name = "REASON")]
        despite: Option<String>,
    },
    /// Check every byte of the closed periods, rebuild each from the inputs of today, and say what differs
    #[command(after_help = VERIFY_CODES)]
    Verify {
        /// Folder with contract.toml, field/ and closed/
        contract_dir: PathBuf,
        /// Print it as JSON
        #[arg(long)]
        json: bool,
    },
    /// Compare two results: which amounts changed, by how much, and because of which records
    #[command(after_help = COMPARE_CODES)]
    Compare {
        /// A package (`out/CONTRACT-PERIOD`), a closing (`CONTRACT_DIR/closed/NN`), or a contract folder, which is computed
        first: PathBuf,
        /// The result that is held against it
        second: PathBuf,
        /// List every line where otherwise the first are shown
        #[arg(long)]
        all: bool,
        /// Print it as JSON
        #[arg(long)]
        json: bool,
    },
    /// Print one figure as a tree, down to file, sheet, cell and text as typed
    Trace {
        /// Folder with contract.toml and field/
        contract_dir: PathBuf,
        /// Its key as printed beside every calculation, such as due.this-period; a part that only one key has will do
        figure: String,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
    },
    /// Print all that is known at one station, lane by lane, in order of time
    #[command(after_help = EXIT_CODES)]
    At {
        /// Folder with contract.toml and field/
        contract_dir: PathBuf,
        /// The station, as painted: 58+20
        station: String,
        /// One lane [default: every lane that has a section there]
        lane: Option<String>,
        /// How far along the line tests are shown, in feet or metres [default: 50 ft, 15 m]
        #[arg(long, value_name = "DISTANCE")]
        near: Option<rust_decimal::Decimal>,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
    },
    /// Draw the random core locations of each lot from the contract's seed
    #[command(after_help = EXIT_CODES)]
    Draw {
        /// Folder with contract.toml; field/ is read only where lots are what was placed together
        contract_dir: PathBuf,
        /// One lot: its name, or a part of it that only one has [default: all lots]
        #[arg(long, value_name = "NAME")]
        lot: Option<String>,
        /// Write the list as CSV to a new file, or with - to the terminal in place of the text
        #[arg(long, value_name = "FILE")]
        csv: Option<PathBuf>,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
    },
    /// Draw a reviewer's sample of the lines that move money, each on a work sheet that computes it again
    #[command(after_help = EXIT_CODES)]
    Audit {
        /// Folder with contract.toml and field/
        contract_dir: PathBuf,
        /// Seed of the random draw [default: that of the contract's draw, else its number]
        #[arg(long)]
        seed: Option<String>,
        /// Share of the money that the largest lines are to reach, in percent [default: 50]
        #[arg(long, value_name = "PERCENT", value_parser = percent)]
        share: Option<rust_decimal::Decimal>,
        /// How many more lines are drawn at random [default: 10]
        #[arg(long, value_name = "N")]
        random: Option<usize>,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
        /// Folder to write to [default: out/<contract>-<period>-audit]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Replace the folder if it is there already
        #[arg(long)]
        replace: bool,
    },
    /// Write a blank workbook for each kind of record, with the contract's own words to choose from
    #[command(after_help = FORMS_CODES)]
    Forms {
        /// Folder with contract.toml
        contract_dir: PathBuf,
        /// One kind of record, such as cores [default: every kind that fits the contract]
        #[arg(long, value_name = "WORD")]
        kind: Option<String>,
        /// Folder to write to [default: out/<contract>-forms]
        #[arg(long, value_name = "DIR")]
        out: Option<PathBuf>,
        /// Replace the folder if it is there already
        #[arg(long)]
        replace: bool,
    },
    /// Say how much of a lot's pay is luck of the draw, and what an acceptance plan risks
    Risk {
        /// Folder with contract.toml and field/
        #[arg(required_unless_present = "plan")]
        contract_dir: Option<PathBuf>,
        /// One lot with the operating curve of its plan: its name, or a part of it that only one lot has
        lot: Option<String>,
        /// The operating curve of this rule set for any lot; needs --n, --target and --spread
        #[arg(long, value_name = "RULE_ID", conflicts_with = "lot", requires_all = ["n", "target", "spread"])]
        plan: Option<String>,
        /// Results in a lot
        #[arg(long, requires = "plan")]
        n: Option<usize>,
        /// Design thickness or specified strength, in the unit of the rule set
        #[arg(long, requires = "plan")]
        target: Option<f64>,
        /// Standard deviation of results, in the same unit
        #[arg(long, requires = "plan")]
        spread: Option<f64>,
        /// Acceptable quality, in percent within limits or in what the mean is short [default: 90 percent, or none]
        #[arg(long, value_name = "QUALITY", allow_negative_numbers = true)]
        acceptable: Option<f64>,
        /// Rejectable quality [default: 50 percent, or where the table leaves the lot to a decision]
        #[arg(long, value_name = "QUALITY", allow_negative_numbers = true)]
        rejectable: Option<f64>,
        /// Seed of the drawn lots [default: that of the contract's draw, else its number]
        #[arg(long)]
        seed: Option<String>,
        /// How many lots are drawn [default: 4000]
        #[arg(long, value_parser = clap::builder::RangedU64ValueParser::<usize>::new().range(100..=1_000_000))]
        draws: Option<usize>,
        /// As-of date, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE")]
        through: Option<NaiveDate>,
    },
    /// List the rule sets, print one in plain words, or price one lot under several
    Rules {
        /// Id of a rule set
        #[arg(conflicts_with = "compare")]
        id: Option<String>,
        /// Contract folder whose own rules/ are listed too
        #[arg(long, value_name = "DIR")]
        contract_dir: Option<PathBuf>,
        /// Price this lot under several rule sets side by side: its name, or a part of it that only one lot has
        #[arg(long, value_name = "LOT", requires = "contract_dir")]
        compare: Option<String>,
        /// Only under this rule set; may be given several times [default: all of the lot's property and units]
        #[arg(long, value_name = "ID", requires = "compare")]
        with: Vec<String>,
        /// As-of date of the comparison, YYYY-MM-DD [default: the last day of the last period in contract.toml]
        #[arg(long, value_name = "DATE", requires = "compare")]
        through: Option<NaiveDate>,
    },
    /// Print the JSON Schema of contract.toml or of result.json
    Schema {
        /// Of which file
        of: SchemaOf,
    },
}

/// A share of the whole.
fn percent(typed: &str) -> Result<rust_decimal::Decimal, String> {
    let share: rust_decimal::Decimal =
        typed.parse().map_err(|_| "write a number of percent, such as 50 or 62.5".to_string())?;
    let within = share >= rust_decimal::Decimal::ZERO && share <= rust_decimal::Decimal::ONE_HUNDRED;
    if within { Ok(share) } else { Err("a share lies between 0 and 100 percent".into()) }
}

#[derive(Clone, Copy, Debug, ValueEnum)]
pub(super) enum SchemaOf {
    /// contract.toml
    Contract,
    /// result.json
    Result,
}
