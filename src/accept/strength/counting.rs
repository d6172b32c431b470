//! Which tests of a lot count: whose results, and which is an outlier.
//!
//! A test that counts in no lot is in neither criterion. An outlier that the rule drops leaves the lot's average only: it
//! still may not be below the floor, and stays in its running averages.

use super::Bench;
use super::lot::Lot;
use super::test::Test;
use crate::accept::quality::{Desk, Tested, apart, sift};
use crate::figure::FigureId;

/// How the tests of a lot count.
#[derive(Clone, Debug, Default)]
pub(super) struct Counting {
    /// Tests that do not count, by place.
    pub(super) out: Vec<usize>,
    /// The test that is dropped from the average.
    pub(super) dropped: Option<usize>,
    /// Figures of the comparisons.
    pub(super) steps: Vec<FigureId>,
    /// What a reader should know beside the lot.
    pub(super) notes: Vec<String>,
    /// True where a finding says that the contractor's tests wait for the agency's.
    pub(super) waits: bool,
}

impl Bench<'_> {
    /// Whose tests count in each lot, and which are outliers.
    pub(super) fn who_counts(&mut self, lots: &mut [Lot], tests: &mut [Test]) {
        for lot in &mut *lots {
            lot.counting = self.counting(lot, tests);
        }
        for (i, test) in tests.iter_mut().enumerate() {
            let mut of = lots.iter().filter(|lot| lot.tests.contains(&i)).peekable();
            if of.peek().is_some() && of.all(|lot| lot.counting.out.contains(&i)) {
                test.judged.counts = false;
            }
        }
    }

    fn counting(&mut self, lot: &Lot, tests: &mut [Test]) -> Counting {
        let complete = !lot.tests.iter().any(|&i| tests[i].is_awaited());
        let (places, tested): (Vec<usize>, Vec<Tested>) =
            lot.tests.iter().filter_map(|&i| Some((i, self.tested(&tests[i])?))).unzip();
        let mut desk = Desk { book: self.book, findings: self.findings, key: &lot.key, lot: &lot.name, complete };
        let sifted = sift(&mut desk, self.rule.verification.as_ref(), &tested);
        let never = |test: &Test| test.judged.strength.is_none() && !test.is_awaited();
        let without: Vec<usize> = lot.tests.iter().copied().filter(|&i| never(&tests[i])).collect();
        let out = places.iter().zip(&sifted.standing).filter(|(_, standing)| !standing.counts()).map(|(&i, _)| i);
        let mut counting = Counting {
            out: out.chain(without).collect(),
            dropped: None,
            steps: sifted.steps,
            notes: sifted.notes,
            waits: sifted.waits,
        };
        for (&i, standing) in places.iter().zip(&sifted.standing) {
            says(&mut tests[i], standing.word());
        }
        if let Some(rule) = &self.rule.outliers {
            let kept = places.iter().zip(&tested).filter(|(i, _)| !counting.out.contains(i));
            let (kept, results): (Vec<usize>, Vec<&Tested>) = kept.map(|(&i, tested)| (i, tested)).unzip();
            let found = apart(&mut desk, rule, &results);
            counting.dropped = found.dropped.map(|place| kept[place]);
            kept.iter().enumerate().for_each(|(place, &i)| says(&mut tests[i], found.word(place)));
            counting.steps.extend(found.steps);
            counting.notes.extend(Some(found.note).filter(|note| !note.is_empty()));
        }
        counting
    }

    fn tested(&self, test: &Test) -> Option<Tested> {
        Some(Tested {
            name: format!("test {}", test.judged.name),
            number: test.set.clone(),
            value: test.judged.strength?,
            by: test.taken.0,
            sampling: test.taken.1,
            rows: self.rows(&[test]),
        })
    }
}

/// One more remark on how a test counts; in several lots the same is said once.
fn says(test: &mut Test, word: &str) {
    let standing = &mut test.judged.standing;
    if word.is_empty() || standing.split("; ").any(|said| said == word) {
        return;
    }
    if !standing.is_empty() {
        standing.push_str("; ");
    }
    standing.push_str(word);
}
