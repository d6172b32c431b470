//! The audit of an estimate: a reviewer's sample drawn, each chosen line computed again, and every file finished in memory.

use rust_decimal::Decimal;

use super::package::failed;
use super::{Computed, Stop};
use crate::dossier::{self, Dossier};
use crate::pay::audit::{self, Audit, SampleRule, Sampled};
use crate::render;

/// How a sample is drawn; `None` for what is usual.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Sampling {
    /// Seed; else that of the contract's draw, else its number.
    pub seed: Option<String>,
    /// Share of the money that the largest lines are to reach, in percent; else 50.
    pub share: Option<Decimal>,
    /// How many more lines are drawn; else 10.
    pub random: Option<usize>,
}

/// What is usual.
const SHARE: Decimal = Decimal::from_parts(50, 0, 0, false, 0);
const RANDOM: usize = 10;

/// A sample of an estimate, and the pages made of it.
pub struct Audited {
    /// The sample.
    pub audit: Audit,
    /// Its pages and work sheets.
    pub dossier: Dossier,
}

impl Audited {
    /// Whether every chosen line came out equal when it was computed a second time.
    #[must_use]
    pub fn equal(&self) -> bool {
        self.audit.sample.iter().all(Sampled::equal)
    }
}

impl Computed {
    /// Draws a sample and computes each of its lines again.
    pub fn audit(&mut self, sampling: &Sampling) -> Audited {
        let rule = SampleRule {
            seed: sampling.seed.clone().unwrap_or_else(|| super::risk::seed(&self.contract)),
            share: sampling.share.unwrap_or(SHARE),
            random: sampling.random.unwrap_or(RANDOM),
        };
        let audit = audit::audit(&self.contract, &self.judged, &self.estimate, rule, &mut self.book);
        let dossier = dossier::audit(self.finished(), &audit);
        Audited { audit, dossier }
    }

    /// Every file of an audit, by name.
    ///
    /// # Errors
    /// What could not be rendered, in words.
    pub fn audit_package(&self, audited: &Audited) -> Result<Vec<(String, Vec<u8>)>, Stop> {
        let (dossier, book) = (&audited.dossier, &self.book);
        let files = [
            ("audit.xlsx", render::workbook(dossier, book)),
            ("audit.txt", render::text(&self.templates, dossier, book, "audit.txt").map(String::into_bytes)),
            ("audit.json", render::json(dossier, book).map(String::into_bytes)),
        ];
        files.into_iter().map(|(name, bytes)| Ok((name.to_string(), bytes.map_err(|e| failed(&e))?))).collect()
    }

    /// `hr-31-07-03-audit`: the folder an audit is written to, unless another is named.
    #[must_use]
    pub fn audit_folder(&self) -> String {
        format!("{}-audit", self.folder())
    }
}
