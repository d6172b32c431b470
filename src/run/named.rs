//! Which lot is meant by a name that was typed: the one of that name, or the only one that has it as a part.

use super::Stop;
use crate::finding::{Code, Finding, Place};

/// Place of the lot meant; case does not matter.
///
/// # Errors
/// Where it means none or several, with those near it or else all; `nothing` is the remedy where there are none at all.
pub(super) fn lot(wanted: &str, names: &[&str], nothing: &str) -> Result<usize, Stop> {
    meant(wanted, names).map_err(|near| {
        let remedy = listed(&near, names, nothing);
        let message = "no lot has this name, or several do";
        Finding::new(Code::LotUnknown, Place::Named(wanted.into()), message, remedy).into()
    })
}

fn meant(wanted: &str, names: &[&str]) -> Result<usize, Vec<usize>> {
    let folded: Vec<String> = names.iter().map(|name| crate::line::folded(name)).collect();
    let wanted = crate::line::folded(wanted);
    if let Some(exact) = folded.iter().position(|name| *name == wanted) {
        return Ok(exact);
    }
    let near: Vec<usize> = (0..folded.len()).filter(|&i| folded[i].contains(&wanted)).collect();
    match near.as_slice() {
        [only] => Ok(*only),
        _ => Err(near),
    }
}

/// How many names a message lists.
const LISTED: usize = 20;

fn listed(near: &[usize], names: &[&str], nothing: &str) -> String {
    let shown: Vec<&str> = if near.is_empty() { names.to_vec() } else { near.iter().map(|&i| names[i]).collect() };
    if shown.is_empty() {
        return nothing.to_string();
    }
    let more = shown.len().saturating_sub(LISTED);
    let more = if more > 0 { format!(", and {more} more") } else { String::new() };
    format!("there are {}{more}", shown[..shown.len().min(LISTED)].join("; "))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_whole_name_wins_over_a_longer_one_that_has_it() {
        let names = ["NB lot 1", "NB lot 10", "SB lot 2"];
        assert_eq!(meant("nb lot 1", &names), Ok(0));
        assert_eq!(meant("lot 10", &names), Ok(1));
        assert_eq!(meant("lot 1", &names), Err(vec![0, 1]));
        assert_eq!(meant("shoulder", &names), Err(vec![]));
        assert_eq!(listed(&[0, 1], &names, "none"), "there are NB lot 1; NB lot 10");
    }
}
