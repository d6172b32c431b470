//! Results that were called to settle others: a referee's core or test set in place of the one in dispute.
//!
//! What is settled stays listed and is not averaged; what settles it counts. A result may settle one that itself settles
//! another. What cannot be told (nothing of that number, two results for one dispute, a circle, a referee's result that
//! names nothing) changes nothing and is a finding.

use crate::finding::{Code, Finding, Place};
use crate::intake::TakenBy;
use crate::line::folded;

/// A core or test set that may settle another, or be settled.
pub(in crate::accept) struct Claim<'a> {
    pub(in crate::accept) number: &'a str,
    pub(in crate::accept) by: TakenBy,
    /// Number of what it settles.
    pub(in crate::accept) settles: Option<&'a str>,
    /// The rows it stands on, at least one.
    pub(in crate::accept) rows: Vec<Place>,
}

/// How a core or test set stands to the others.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(in crate::accept) struct Settlement {
    /// What settles it, by place.
    pub(in crate::accept) by: Option<usize>,
    /// What it settles, by place: the parts of a split sample may be two.
    pub(in crate::accept) settles: Vec<usize>,
    /// True where it is to settle something and cannot: it counts nowhere.
    pub(in crate::accept) refused: bool,
}

impl Settlement {
    /// Whether it stands in its lot.
    pub(in crate::accept) fn stands(&self) -> bool {
        self.by.is_none() && !self.refused
    }
}

/// How each stands. `noun` is `core` or `set`; `unused` are numbers on the sheets that are not among the claims (void
/// ones, say): what settles one of these just counts. `together` says, in words, why one may not settle another.
pub(in crate::accept) fn settled(
    noun: &str,
    claims: &[Claim],
    unused: &[String],
    together: impl Fn(usize, usize) -> Result<(), String>,
    findings: &mut Vec<Finding>,
) -> Vec<Settlement> {
    let mut all = vec![Settlement::default(); claims.len()];
    let mut refuse = |one: &mut Settlement, at: usize, why: &str| {
        one.refused = true;
        findings.push(refused(noun, &claims[at], why));
    };
    for (at, one) in all.iter_mut().enumerate() {
        match named(noun, claims, at, unused) {
            Ok(targets) => match targets.iter().try_for_each(|&target| together(at, target)) {
                Ok(()) => one.settles = targets,
                Err(why) => refuse(one, at, &why),
            },
            Err(why) => refuse(one, at, &why),
        }
    }
    let asked = all.clone();
    for (at, one) in all.iter_mut().enumerate() {
        let others = (0..claims.len()).filter(|&other| other != at && share(&asked[at], &asked[other]));
        let others: Vec<&str> = others.map(|other| claims[other].number).collect();
        if !others.is_empty() {
            refuse(one, at, &format!("{noun} {} is to settle the same one, and only one can", others.join(", ")));
        } else if circles(&asked, at) {
            refuse(one, at, "it settles what settles it");
        }
    }
    for at in 0..claims.len() {
        if all[at].refused {
            all[at].settles.clear();
        }
        for target in all[at].settles.clone() {
            all[target].by = Some(at);
        }
    }
    all
}

/// What a claim names.
///
/// # Errors
/// In words, where it should name something and does not.
fn named(noun: &str, claims: &[Claim], at: usize, unused: &[String]) -> Result<Vec<usize>, String> {
    let claim = &claims[at];
    let Some(typed) = claim.settles else {
        let lost = claim.by == TakenBy::Referee;
        let why = || format!("it is a referee's, and nothing says which {noun} it settles");
        return if lost { Err(why()) } else { Ok(Vec::new()) };
    };
    let number = folded(typed);
    let settles = |other: &Claim| other.settles.map(folded).as_ref() == Some(&number);
    let of_number = claims.iter().enumerate().filter(|(i, c)| *i != at && folded(c.number) == number && !settles(c));
    let targets: Vec<usize> = of_number.map(|(i, _)| i).collect();
    if targets.is_empty() && !unused.contains(&number) {
        return Err(format!("it is to settle {noun} {typed}, and no {noun} of that number is used"));
    }
    Ok(targets)
}

fn share(a: &Settlement, b: &Settlement) -> bool {
    a.settles.iter().any(|target| b.settles.contains(target))
}

/// Whether what one settles leads back to it.
fn circles(all: &[Settlement], at: usize) -> bool {
    let (mut seen, mut open) = (vec![false; all.len()], all[at].settles.clone());
    while let Some(next) = open.pop() {
        if next == at {
            return true;
        }
        if !std::mem::replace(&mut seen[next], true) {
            open.extend(&all[next].settles);
        }
    }
    false
}

fn refused(noun: &str, claim: &Claim, why: &str) -> Finding {
    let place = claim.rows.first().cloned().unwrap_or_else(|| Place::Named(claim.number.to_string()));
    let message = format!("{noun} {} counts nowhere: {why}", claim.number);
    let remedy = format!("write the number of the {noun} in dispute under 'settles', and one result for each");
    Finding::new(Code::SettlesUnknown, place, message, remedy).with(claim.rows.iter().skip(1).cloned())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::source::{CellRef, SheetId};

    /// Number and what it settles; all of them the referee's where they settle anything.
    fn of(claims: &[(&'static str, Option<&'static str>)], unused: &[String]) -> (Vec<Settlement>, Vec<String>) {
        let claims: Vec<Claim> = (1..)
            .zip(claims)
            .map(|(row, &(number, settles))| Claim {
                number,
                by: settles.map_or(TakenBy::Unstated, |_| TakenBy::Referee),
                settles,
                rows: vec![Place::Row(CellRef::new(SheetId(0), row, 0))],
            })
            .collect();
        let mut findings = Vec::new();
        let all = settled("core", &claims, unused, |_, _| Ok(()), &mut findings);
        (all, findings.into_iter().map(|f| f.message).collect())
    }

    #[test]
    fn what_settles_counts_and_what_is_settled_does_not() {
        let (all, said) = of(&[("C-1", None), ("R-1", Some("c-1")), ("C-2", None)], &[]);
        assert_eq!((all[0].by, all[1].by, all[2].by), (Some(1), None, None));
        assert_eq!(all.iter().map(Settlement::stands).collect::<Vec<_>>(), [false, true, true]);
        assert_eq!(said, [""; 0]);
        // The same core measured again under its own number, and a referee's result that is itself settled.
        assert_eq!(of(&[("C-1", None), ("C-1", Some("C-1"))], &[]).0[0].by, Some(1));
        let (chain, _) = of(&[("C-1", None), ("R-1", Some("C-1")), ("R-2", Some("R-1"))], &[]);
        assert_eq!(chain.iter().map(Settlement::stands).collect::<Vec<_>>(), [false, false, true]);
    }

    #[test]
    fn what_cannot_be_told_changes_nothing() {
        let (all, said) = of(&[("C-1", None), ("R-1", Some("C-9"))], &[]);
        assert_eq!((all[0].stands(), all[1].stands()), (true, false));
        assert_eq!(said, ["core R-1 counts nowhere: it is to settle core C-9, and no core of that number is used"]);
        let (all, said) = of(&[("C-1", None), ("R-1", Some("C-1")), ("R-2", Some("C-1"))], &[]);
        assert_eq!(all.iter().map(Settlement::stands).collect::<Vec<_>>(), [true, false, false]);
        assert_eq!(said.len(), 2);
        let (all, said) = of(&[("R-1", Some("R-2")), ("R-2", Some("R-1"))], &[]);
        assert!(all.iter().all(|one| one.refused && one.by.is_none()));
        assert!(said[0].ends_with("it settles what settles it"), "{said:?}");
        // A void core has no result to be replaced.
        assert_eq!(of(&[("R-1", Some("C-9"))], &["c-9".into()]), (vec![Settlement::default()], vec![]));
    }
}
