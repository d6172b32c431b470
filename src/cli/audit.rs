//! The command `audit`: draws a reviewer's sample, writes its work sheets, and says in a few lines what is covered.

use std::path::Path;

use chrono::NaiveDate;

use super::{OPEN, compute, print, summary};
use crate::run::{Sampling, Stop};

pub(super) fn audit(
    dir: &Path,
    through: Option<NaiveDate>,
    sampling: &Sampling,
    out: Option<&Path>,
    replace: bool,
) -> Result<u8, Stop> {
    let mut computed = compute(dir, through)?;
    let audited = computed.audit(sampling);
    let package = computed.audit_package(&audited)?;
    let default = Path::new("out").join(computed.audit_folder());
    let target = out.unwrap_or(&default);
    computed.deliver(target, &package, replace)?;
    let names: Vec<&str> = package.iter().map(|(name, _)| name.as_str()).collect();
    print(&summary::audit(&computed, &audited, (target, &names)))?;
    Ok(if computed.findings.keep_open() || !audited.equal() { OPEN } else { 0 })
}
