//! Rank 12. A dossier to bytes: text reports, the typeset package, JSON, the workbook. Pure functions.
//!
//! Nothing is computed here that pays. Numbers are written once ([`shown`]), pages are laid out once (`view`), and the
//! templates in `templates/` say how a page reads; a contract folder may bring its own. Every value a template prints is
//! escaped by default, so that text from a cell can never become a Typst command or a terminal escape.

mod account;
mod basis;
mod columns;
mod contracts;
mod json;
mod parquet;
mod shown;
mod signs;
mod svg;
mod templates;
mod text;
mod typst;
mod view;
pub mod workbook;

pub use contracts::{contracts_csv, contracts_json, contracts_text};
pub use json::{json, result_schema};
pub use parquet::parquet;
pub use shown::clean;
pub use svg::svg;
pub use templates::Templates;
pub use text::{table_text, text, text_reports};
pub use typst::{pdf, typst_source};
pub use workbook::{form, refused, workbook};

/// Why something could not be rendered.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RenderError {
    /// A template says something the template engine cannot follow.
    #[error("templates/{name}, line {line}: {message}")]
    Template {
        /// File name.
        name: String,
        /// Line from 1.
        line: usize,
        /// What is wrong.
        message: String,
    },
    /// A template that nothing uses, or a use of a template that is not there.
    #[error("templates/{name}: {message}")]
    TemplateName {
        /// File name.
        name: String,
        /// What is wrong.
        message: String,
    },
    /// The typesetter could not follow the source that a template made.
    #[error("the typeset package, line {line} of its source (see it with --keep-typ): {message}")]
    Typeset {
        /// Line from 1 of the Typst source; 0 where the typesetter names none.
        line: usize,
        /// What is wrong.
        message: String,
    },
    /// The workbook could not be written.
    #[error("the workbook could not be made: {0}")]
    Workbook(String),
    /// A table for databases could not be written.
    #[error("the table {table} could not be written as Parquet: {message}")]
    Parquet {
        /// Which table.
        table: &'static str,
        /// What is wrong.
        message: String,
    },
    /// The result could not be written.
    #[error("the result could not be written: {0}")]
    Written(String),
}
