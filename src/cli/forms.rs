//! The command `forms`: writes the blank forms of a contract and says which it wrote, and for which kinds there is none.

use std::path::Path;

use super::print;
use crate::run::{self, Stop};

pub(super) fn forms(dir: &Path, kind: Option<&str>, out: Option<&Path>, replace: bool) -> Result<u8, Stop> {
    let forms = run::forms(dir, kind)?;
    let default = Path::new("out").join(forms.folder());
    let target = out.unwrap_or(&default);
    forms.deliver(target, replace)?;
    let names: Vec<&str> = forms.files.iter().map(|(name, _)| name.as_str()).collect();
    let mut said = format!("wrote     {}/  {}\n", target.display(), names.join(" "));
    for (kind, why) in &forms.unfit {
        said.push_str(&format!("no form   {kind}: {why}\n"));
    }
    print(&said)?;
    Ok(0)
}
