//! Which cores of a lot count: what is settled by a referee's core, whose results count, outliers, thick cores dropped.
//!
//! A core that counts nowhere still shows how thick the pavement is where it stands: it bounds sections like an exploratory
//! one, and a very thin one still asks for the engineer. A settled core does neither: what settled it stands in its place.

use super::{Bench, MeasuredCore};
use crate::accept::ground::Ground;
use crate::accept::quality::{Claim, Desk, Settlement, Tested, apart, settled, sift};
use crate::figure::FigureId;
use crate::finding::{Finding, Place};
use crate::line::{LotSpan, folded};

/// How the cores of a lot count.
#[derive(Clone, Debug, Default)]
pub(super) struct Counting {
    /// Figures of the comparisons.
    pub(super) steps: Vec<FigureId>,
    /// What a reader should know beside the lot.
    pub(super) notes: Vec<String>,
    /// True where a finding says that the contractor's cores wait for the agency's.
    pub(super) waits: bool,
}

/// Takes the settled cores out of `cores` and gives them back; what settles one takes its purpose.
pub(super) fn settle(ground: Ground, cores: &mut Vec<MeasuredCore>, findings: &mut Vec<Finding>) -> Vec<MeasuredCore> {
    let records = &ground.records.cores;
    let claims: Vec<Claim> = cores
        .iter()
        .map(|core| Claim {
            number: &records[core.core].number.value,
            by: records[core.core].taken_by,
            settles: records[core.core].settles.as_ref().map(|number| &*number.value),
            rows: vec![Place::Row(records[core.core].number.at)],
        })
        .collect();
    let unused = |(i, _): &(usize, _)| !cores.iter().any(|core| core.core == *i);
    let unused: Vec<String> =
        records.iter().enumerate().filter(unused).map(|(_, core)| folded(&core.number.value)).collect();
    let together = |at: usize, target: usize| {
        let apart = || format!("core {}, which it is to settle, stands in another lot", cores[target].number);
        if cores[at].lot == cores[target].lot { Ok(()) } else { Err(apart()) }
    };
    let all = settled("core", &claims, &unused, together, findings);
    for at in 0..cores.len() {
        let (standing, exploratory) = stands(cores, &all, at);
        cores[at].out = all[at].refused;
        cores[at].standing = standing;
        cores[at].settles = all[at].settles.first().map(|&target| cores[target].number.clone());
        cores[at].exploratory = exploratory;
    }
    let mut places = all.iter();
    let (stay, gone) = cores.drain(..).partition(|_| places.next().is_none_or(|one| one.by.is_none()));
    *cores = stay;
    gone
}

/// The words beside a core, and whether it is exploratory: as what it settles in the end is.
fn stands(cores: &[MeasuredCore], all: &[Settlement], at: usize) -> (String, bool) {
    let mut first = at;
    while let Some(&target) = all[first].settles.first() {
        first = target;
    }
    let word = match (&all[at], all[at].settles.first()) {
        (one, _) if one.refused => "settles nothing that can be told: does not count".into(),
        (Settlement { by: Some(by), .. }, _) => format!("settled by {}", cores[*by].number),
        (_, Some(&target)) => format!("settles {}", cores[target].number),
        _ => String::new(),
    };
    (word, cores[first].exploratory)
}

impl Bench<'_> {
    /// Whose cores of a lot count, which is an outlier, and which thick ones the contractor has dropped.
    pub(super) fn counting(&mut self, (at, lot): (usize, &LotSpan), cores: &mut [MeasuredCore]) -> Counting {
        let of_lot: Vec<usize> = (0..cores.len()).filter(|&i| cores[i].lot == at && cores[i].is_of_lot()).collect();
        let tested: Vec<Tested> = of_lot.iter().map(|&i| self.tested(&cores[i])).collect();
        let complete = self.ground.wholly_placed(lot);
        let (key, name) = (format!("{}.cores", lot.key), lot.name.clone());
        let mut desk = Desk { book: self.book, findings: self.findings, key: &key, lot: &name, complete };
        let sifted = sift(&mut desk, self.rule.verification.as_ref(), &tested);
        for (&i, standing) in of_lot.iter().zip(&sifted.standing) {
            cores[i].out = !standing.counts();
            says(&mut cores[i], standing.word());
        }
        let mut counting = Counting { steps: sifted.steps, notes: sifted.notes, waits: sifted.waits };
        let settled = of_lot.iter().filter_map(|&i| Some((&cores[i].number, cores[i].settles.as_ref()?)));
        counting.notes.extend(settled.map(|(number, settled)| format!("core {number} settles {settled}")));
        if let Some(rule) = &self.rule.outliers {
            let limit = self.rule.thin_exclusion.as_ref().map(|limit| limit.value);
            let kept = |i: &usize| cores[*i].is_averaged() && limit.is_none_or(|limit| cores[*i].short <= limit);
            let (kept, results): (Vec<usize>, Vec<&Tested>) =
                of_lot.iter().zip(&tested).filter(|(i, _)| kept(i)).map(|(&i, tested)| (i, tested)).unzip();
            let found = apart(&mut desk, rule, &results);
            for (place, &i) in kept.iter().enumerate() {
                cores[i].dropped = found.dropped == Some(place);
                says(&mut cores[i], found.word(place));
            }
            counting.steps.extend(found.steps);
            counting.notes.extend(Some(found.note).filter(|note| !note.is_empty()));
        }
        self.drop_thick(lot, &of_lot, cores, &mut counting);
        counting
    }

    fn tested(&self, core: &MeasuredCore) -> Tested {
        let record = &self.ground.records.cores[core.core];
        Tested {
            name: format!("core {}", core.number),
            number: folded(&core.number),
            value: core.length,
            by: record.taken_by,
            sampling: record.sampling,
            rows: vec![Place::Row(record.number.at)],
        }
    }
}

/// One more remark on how a core counts.
pub(super) fn says(core: &mut MeasuredCore, word: &str) {
    if !core.standing.is_empty() && !word.is_empty() {
        core.standing.push_str("; ");
    }
    core.standing.push_str(word);
}
