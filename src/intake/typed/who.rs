//! Who took a core or sample, whether it was split, and what it was called to settle.
//!
//! The columns that say so may as well hold a person's name (`tested by`): words that name no party say nothing, and
//! are kept as they stand. A cell that names two parties is refused with both.

use super::Row;
use crate::finding::Code;
use crate::intake::kind::Field;
use crate::intake::record::{Read, Sampling, TakenBy};
use crate::intake::row::Found;
use crate::intake::wording::fold;

/// What is said of who took a sample.
#[derive(Clone, Debug, Default, PartialEq)]
pub(super) struct Who {
    pub(super) taken_by: TakenBy,
    pub(super) by: Option<Read<Box<str>>>,
    pub(super) sampling: Sampling,
    pub(super) settles: Option<Read<Box<str>>>,
}

/// Words of parties, the longer first: what they cover is not read again.
const PARTIES: &[(&str, TakenBy)] = &[
    ("independent assurance", TakenBy::Assurance),
    ("contractor quality control", TakenBy::Contractor),
    ("contractor acceptance", TakenBy::Contractor),
    ("quality control", TakenBy::Contractor),
    ("process control", TakenBy::Contractor),
    ("quality assurance", TakenBy::Agency),
    ("acceptance agency", TakenBy::Agency),
    ("dispute resolution", TakenBy::Referee),
    ("third party", TakenBy::Referee),
    ("3rd party", TakenBy::Referee),
    ("contractor", TakenBy::Contractor),
    ("contractors", TakenBy::Contractor),
    ("producer", TakenBy::Contractor),
    ("qc", TakenBy::Contractor),
    ("agency", TakenBy::Agency),
    ("agencys", TakenBy::Agency),
    ("owner", TakenBy::Agency),
    ("owners", TakenBy::Agency),
    ("verification", TakenBy::Agency),
    ("acceptance", TakenBy::Agency),
    ("department", TakenBy::Agency),
    ("dot", TakenBy::Agency),
    ("qa", TakenBy::Agency),
    ("qv", TakenBy::Agency),
    ("assurance", TakenBy::Assurance),
    ("ia", TakenBy::Assurance),
    ("referee", TakenBy::Referee),
    ("dispute", TakenBy::Referee),
    ("arbitration", TakenBy::Referee),
];

const SPLIT: &[&str] = &["split", "splits", "splitted"];
const INDEPENDENT: &[&str] = &["independent", "independently", "ind", "indep"];

/// Parties and sampling that a text names.
fn heard(text: &str) -> (Vec<TakenBy>, Vec<Sampling>) {
    let mut rest = format!(" {} ", fold(text));
    let mut parties = Vec::new();
    for (words, party) in PARTIES {
        let padded = format!(" {words} ");
        if rest.contains(&padded) {
            rest = rest.replace(&padded, " | ");
            if !parties.contains(party) {
                parties.push(*party);
            }
        }
    }
    let has = |words: &[&str]| rest.split(' ').any(|w| words.contains(&w));
    let mut sampling = Vec::new();
    if has(SPLIT) {
        sampling.push(Sampling::Split);
    }
    if has(INDEPENDENT) {
        sampling.push(Sampling::Independent);
    }
    (parties, sampling)
}

/// Whether a text names a party or how a sample was taken.
pub(super) fn is_who(text: &str) -> bool {
    let (parties, sampling) = heard(text);
    !parties.is_empty() || !sampling.is_empty()
}

/// Reads who took the row's sample. `other` is a column of another field whose words may say it (`type`).
pub(super) fn who(row: &mut Row<'_>, other: Option<Field>) -> Who {
    let mut who = Who { settles: row.text(Field::Settles), ..Who::default() };
    let fields = [Some(Field::Party), Some(Field::Sampling), other];
    for field in fields.into_iter().flatten() {
        hear(row, field, &mut who);
    }
    for field in [Field::Number, Field::Set] {
        not_a_name(row, field);
    }
    who
}

/// `split` where a number should stand: the column says something else than it was taken for.
fn not_a_name(row: &mut Row<'_>, field: Field) {
    if row.table.kind.spec(field).is_none() {
        return;
    }
    let Some(found) = row.find(field) else { return };
    let text = fold(&found.shown());
    if SPLIT.contains(&&*text) || INDEPENDENT.contains(&&*text) {
        let cure = format!(
            "say in contract.toml that its column is the sampling, columns = {{ \"{}\" = \"sampling\" }}",
            found.heading
        );
        row.refuse(Code::CellUnreadable, &found, "says how the sample was taken, and is no number of it", &cure);
    }
}

/// Takes up what one column says; what contradicts another column or itself is refused.
fn hear(row: &mut Row<'_>, field: Field, who: &mut Who) {
    let Some(found) = row.find(field) else { return };
    let Some(text) = row.worded(&found) else { return };
    // What a core or specimen is for is no party: `acceptance` in a column of types.
    let own = matches!(field, Field::Party | Field::Sampling);
    let (parties, sampling) = heard(&if own { fold(&text) } else { fold(&text).replace("acceptance", "") });
    let party = parties.first().copied().unwrap_or_default();
    let way = sampling.first().copied().unwrap_or_default();
    if parties.len() > 1 {
        let words: Vec<&str> = parties.iter().map(|p| p.word()).collect();
        let what = format!("names more than one party: {}", words.join(" and "));
        row.refuse(Code::CellUnreadable, &found, &what, "name the party that took it");
    } else if sampling.len() > 1 {
        row.refuse(Code::CellUnreadable, &found, "says both split and independent", "write one of the two");
    } else if who.taken_by != TakenBy::Unstated && party != TakenBy::Unstated && party != who.taken_by {
        let what = format!("says {}, and another column says {}", party.word(), who.taken_by.word());
        row.refuse(Code::CellUnreadable, &found, &what, "settle which holds");
    } else if who.sampling != Sampling::Unstated && way != Sampling::Unstated && way != who.sampling {
        let what = format!("says {}, and another column says {}", way.word(), who.sampling.word());
        row.refuse(Code::CellUnreadable, &found, &what, "settle which holds");
    } else if field == Field::Sampling && parties.is_empty() && sampling.is_empty() && !may_be_silent(&found, &text) {
        row.refuse(Code::CellUnreadable, &found, "is neither split nor independent", "write split or independent");
    } else {
        if party != TakenBy::Unstated {
            who.taken_by = party;
        }
        let under_split = field == Field::Sampling && fold(found.heading).split(' ').all(|w| w != "independent");
        match way {
            Sampling::Unstated if field == Field::Sampling && under_split && is_yes(&text) => {
                who.sampling = Sampling::Split;
            }
            Sampling::Unstated => {}
            way => who.sampling = way,
        }
        if who.by.is_none() && (field == Field::Party || party != TakenBy::Unstated) {
            who.by = row.text(field);
        }
    }
}

/// `Split: yes`.
fn is_yes(text: &str) -> bool {
    matches!(fold(text).as_str(), "yes" | "y" | "x")
}

/// What says yes or no, or nothing; and a column `Sample` may hold a sample's number.
fn may_be_silent(found: &Found<'_>, text: &str) -> bool {
    fold(found.heading) == "sample" || is_yes(text) || matches!(fold(text).as_str(), "no" | "n" | "" | "na" | "n a")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn parties_are_known_by_their_words_and_names_say_nothing() {
        use TakenBy::{Agency, Assurance, Contractor, Referee};
        for (text, parties) in [
            ("QC", vec![Contractor]),
            ("Quality Control", vec![Contractor]),
            ("contractor's QC", vec![Contractor]),
            ("QA verification", vec![Agency]),
            ("Owner", vec![Agency]),
            ("Acceptance agency", vec![Agency]),
            ("Independent Assurance", vec![Assurance]),
            ("I.A.", vec![]),
            ("IA", vec![Assurance]),
            ("referee (third party)", vec![Referee]),
            ("J. Doe", vec![]),
            ("Maria Dotson", vec![]),
            ("QC / QA", vec![Contractor, Agency]),
        ] {
            assert_eq!(heard(text).0, parties, "{text}");
        }
    }

    #[test]
    fn an_independent_assurance_sample_may_still_be_split() {
        assert_eq!(heard("Independent assurance, split"), (vec![TakenBy::Assurance], vec![Sampling::Split]));
        assert_eq!(heard("QA independent").1, [Sampling::Independent]);
    }
}
