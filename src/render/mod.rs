//! Rank 10. The dossier as files: pure functions to bytes.

pub mod workbook;

pub use workbook::workbook;

/// Why a file could not be made.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum RenderError {
    /// The workbook could not be written.
    #[error("the workbook could not be made: {0}")]
    Workbook(String),
}
