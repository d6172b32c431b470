//! Whether the contractor's results may count beside the agency's: two samples of one lot that differ by no more than chance.
//!
//! ```text
//! variances   F = larger s^2 / smaller s^2               at most F(level / 2; n - 1 above, n - 1 below)
//! means       t = |x1 - x2| / (sp sqrt(1/n1 + 1/n2))     at most t(level / 2; n1 + n2 - 2), sp the pooled s
//!             t = |x1 - x2| / sqrt(s1^2/n1 + s2^2/n2)    where F parts the variances (Welch; degrees rounded down)
//! split       t = |mean d| / (s(d) / sqrt(n))            of the differences within split samples
//! ```
//!
//! The procedure is that of AASHTO R 9, appendix, written from memory: the document was not opened, and some agencies test
//! at other levels or one-sided. Only independent samples verify; split samples, which both parties tested, show whether
//! the two laboratories agree. Fewer than two independent results of either party verify nothing. Where any test parts
//! the two, only the agency's results count.

use rust_decimal::Decimal;

use super::{Desk, Sifted, Standing, Tested, other_part};
use crate::accept::ground::in_words;
use crate::figure::{
    Comparison, Expr, Figure, FigureId, GivenId, compare, count, either, fisher, max, mean, min, root, spread, student,
    whole,
};
use crate::finding::{Code, Finding, Place};
use crate::intake::{Sampling, TakenBy};
use crate::rules::Verification;
use crate::units::{Rounding, Unit, conversions};

/// Compares the parties, and says whose results count.
pub(super) fn verify(desk: &mut Desk, rule: &Verification, results: &[Tested], sifted: &mut Sifted) {
    let independent = |by| -> Vec<FigureId> {
        let of = results.iter().filter(move |result| result.by == by && result.sampling != Sampling::Split);
        of.map(|result| result.value).collect()
    };
    let (contractor, agency) = (independent(TakenBy::Contractor), independent(TakenBy::Agency));
    let pairs: Vec<(&Tested, &Tested)> = results
        .iter()
        .filter(|result| result.by == TakenBy::Contractor)
        .filter_map(|result| Some((result, other_part(result, results)?)))
        .collect();
    let level = desk.book.given(rule.level.given("level of significance, both sides", "a"));
    let mut test = Comparing { desk, rule, level, steps: Vec::new() };
    let split = test.split(&pairs);
    let verified = (contractor.len() >= 2 && agency.len() >= 2).then(|| test.independent(&contractor, &agency));
    sifted.steps.append(&mut test.steps);
    alone(results, pairs.len(), sifted);
    let parted: Vec<String> = split.into_iter().chain(verified.clone().flatten()).collect();
    let standing = match (&verified, parted.is_empty()) {
        (_, false) => Standing::Differs,
        (None, true) => Standing::Unverified,
        (Some(_), true) => Standing::Counts,
    };
    for (result, own) in results.iter().zip(&mut sifted.standing) {
        if result.by == TakenBy::Contractor && *own == Standing::Counts {
            *own = standing;
        }
    }
    let rows = results.iter().filter(|r| r.by == TakenBy::Contractor).flat_map(|r| r.rows.clone());
    let place = Place::Named(desk.lot.to_string());
    match standing {
        Standing::Differs => {
            sifted.notes.push("only the agency's results count: the contractor's differ from them".into());
            let message = format!(
                "the contractor's results differ from the agency's by more than chance at {}: {}; only the agency's count",
                rule.level.written,
                parted.join("; and ")
            );
            let remedy =
                "find out why they differ (samples, equipment, operators); a referee's result may settle single ones";
            desk.findings.push(Finding::new(Code::VerificationDiffers, place, message, remedy).with(rows));
        }
        Standing::Unverified => {
            let why = format!(
                "the contractor's results do not count until the agency's verify them, which needs two independent \
                 results of each (contractor {}, agency {})",
                contractor.len(),
                agency.len()
            );
            sifted.notes.push(why.clone());
            if desk.complete {
                sifted.waits = true;
                let remedy = "add the sheet that holds the agency's results, or have them taken";
                desk.findings.push(Finding::new(Code::VerificationMissing, place, why, remedy).with(rows));
            }
        }
        _ => sifted.notes.push("the contractor's results count: nothing parts them from the agency's".into()),
    }
}

/// Split samples of which only one part is known are in no comparison.
fn alone(results: &[Tested], pairs: usize, sifted: &mut Sifted) {
    let split = results.iter().filter(|r| r.sampling == Sampling::Split);
    let split = split.filter(|r| matches!(r.by, TakenBy::Contractor | TakenBy::Agency)).count();
    match split.saturating_sub(2 * pairs) {
        0 => {}
        1 => sifted.notes.push("one split sample has no other part by its number; it is not compared".into()),
        n => sifted.notes.push(format!("{n} split samples have no other part by their numbers; they are not compared")),
    }
}

struct Comparing<'c, 'd> {
    desk: &'c mut Desk<'d>,
    rule: &'c Verification,
    level: GivenId,
    steps: Vec<FigureId>,
}

/// A party's results in figures.
struct Party {
    n: FigureId,
    mean: FigureId,
    spread: FigureId,
}

impl Comparing<'_, '_> {
    fn add(&mut self, part: &str, label: &str, symbol: &str, (unit, expr): (Unit, Expr), decimals: u8) -> FigureId {
        let figure = Figure::new(format!("{}.verification-{part}", self.desk.key), label, symbol, unit, expr);
        let id = self.desk.book.add(figure.shown(decimals).under(&self.rule.level.clause));
        self.steps.push(id);
        id
    }

    fn tail(&self) -> Expr {
        Expr::from(self.level).to(conversions::PERCENT_TO_RATIO) / whole(2)
    }

    fn above(&self, a: FigureId, b: FigureId) -> bool {
        self.desk.book.evaluate(&compare(a, Comparison::Above, b)).holds()
    }

    fn is_zero(&self, id: FigureId) -> bool {
        self.desk.book[id].value.decimal().is_none_or(|value| value.round_dp(9) == Decimal::ZERO)
    }

    fn party(&mut self, word: &str, k: u8, values: &[FigureId]) -> Party {
        let (unit, decimals) = values.first().map_or((Unit::One, 0), |&v| {
            let figure = &self.desk.book[v];
            (figure.unit, figure.decimals)
        });
        let all = || values.iter().copied();
        let label = |what: &str| format!("{word}'s independent results, {what}");
        let n = self.add(&format!("n{k}"), &label("number"), &format!("n{k}"), (Unit::One, count(all())), 0);
        let mean = self.add(&format!("x{k}"), &label("mean"), &format!("x{k}"), (unit, mean(all())), decimals + 1);
        let spread = (unit, spread(all()));
        let spread = self.add(&format!("s{k}"), &label("standard deviation"), &format!("s{k}"), spread, decimals + 2);
        Party { n, mean, spread }
    }

    /// Why the two parties differ; `None` where chance explains it.
    fn independent(&mut self, contractor: &[FigureId], agency: &[FigureId]) -> Option<String> {
        let (one, two) = (self.party("contractor", 1, contractor), self.party("agency", 2, agency));
        match (self.is_zero(one.spread), self.is_zero(two.spread)) {
            (true, true) => {
                let difference = self.desk.book.evaluate(&(one.mean - two.mean));
                let alike = difference.decimal().is_some_and(|d| d.round_dp(9) == Decimal::ZERO);
                (!alike).then(|| "each party's results are all alike, and not like the other's".into())
            }
            (true, false) | (false, true) => {
                Some("the results of one party are all alike, and those of the other are not".into())
            }
            (false, false) => {
                let variances = self.variances(&one, &two);
                let means = self.means(&one, &two, variances.is_none());
                match (variances, means) {
                    (Some(a), Some(b)) => Some(format!("{a}; and {b}")),
                    (a, b) => a.or(b),
                }
            }
        }
    }

    /// F test of the variances.
    fn variances(&mut self, one: &Party, two: &Party) -> Option<String> {
        let spreads = || [one.spread, two.spread];
        let f = (max(spreads()) / min(spreads())).power(whole(2));
        let f = self.add("f", "larger variance over the smaller", "F", (Unit::One, f), 3);
        let degrees = |party: &Party| party.n - whole(1);
        let critical = either(
            compare(one.spread, Comparison::AtLeast, two.spread),
            fisher(self.tail(), degrees(one), degrees(two)),
            fisher(self.tail(), degrees(two), degrees(one)),
        );
        let critical = self.add("f-critical", "largest F that is chance", "Fmax", (Unit::One, critical), 3);
        self.above(f, critical).then(|| self.says("the variances' F", f, critical))
    }

    /// t test of the means: pooled where the variances are alike, else Welch's.
    fn means(&mut self, one: &Party, two: &Party, alike: bool) -> Option<String> {
        let square = |id: FigureId| Expr::from(id).power(whole(2));
        let apart = || max([one.mean - two.mean, two.mean - one.mean]);
        let share = |party: &Party| square(party.spread) / party.n;
        let (t, degrees, how) = if alike {
            let (unit, decimals) = (self.desk.book[one.spread].unit, self.desk.book[one.spread].decimals);
            let weighted = |party: &Party| (party.n - whole(1)) * square(party.spread);
            let pooled = root((weighted(one) + weighted(two)) / (one.n + two.n - whole(2)));
            let pooled = self.add("pooled", "pooled standard deviation", "sp", (unit, pooled), decimals);
            let t = apart() / (pooled * root(whole(1) / one.n + whole(1) / two.n));
            (t, one.n + two.n - whole(2), "pooled")
        } else {
            let down = Rounding::new(Decimal::ONE, crate::units::Mode::Down).ok();
            let part = |party: &Party| share(party).power(whole(2)) / (party.n - whole(1));
            let degrees = (share(one) + share(two)).power(whole(2)) / (part(one) + part(two));
            let degrees = down.map_or_else(|| degrees.clone(), |down| degrees.clone().rounded(down));
            (apart() / root(share(one) + share(two)), degrees, "Welch")
        };
        let t = self.add("t", &format!("difference of the means, {how}"), "t", (Unit::One, t), 3);
        let degrees = self.add("degrees", &format!("degrees of freedom, {how}"), "df", (Unit::One, degrees), 0);
        self.student(t, degrees, "the means' t")
    }

    /// Paired t test of the split samples; one pair alone tells nothing.
    fn split(&mut self, pairs: &[(&Tested, &Tested)]) -> Option<String> {
        if pairs.len() < 2 {
            return None;
        }
        let mut differences = Vec::new();
        for (k, (contractor, agency)) in (1..).zip(pairs) {
            let figure = &self.desk.book[contractor.value];
            let (unit, decimals) = (figure.unit, figure.decimals);
            let label = format!("{}, contractor's part less agency's", contractor.name);
            let difference = (unit, contractor.value - agency.value);
            differences.push(self.add(&format!("split-{k}"), &label, &format!("d{k}"), difference, decimals));
        }
        let figure = &self.desk.book[*differences.first()?];
        let (unit, decimals) = (figure.unit, figure.decimals);
        let all = || differences.iter().copied();
        let n = self.add("split-n", "split samples", "nd", (Unit::One, count(all())), 0);
        let middle = self.add("split-mean", "mean difference", "d", (unit, mean(all())), decimals + 1);
        let label = "standard deviation of the differences";
        let size = self.add("split-spread", label, "sd", (unit, spread(all())), decimals + 2);
        if self.is_zero(size) {
            let why = "all split samples differ by the same amount between the parties";
            return (!self.is_zero(middle)).then(|| why.into());
        }
        let apart = max([Expr::from(middle), whole(0) - middle]);
        let t = (Unit::One, apart / (size / root(n)));
        let t = self.add("split-t", "mean difference of split samples", "td", t, 3);
        let degrees = self.add("split-degrees", "degrees of freedom, pairs", "dfd", (Unit::One, n - whole(1)), 0);
        self.student(t, degrees, "the split samples' t")
    }

    fn student(&mut self, t: FigureId, degrees: FigureId, what: &str) -> Option<String> {
        let part = self.desk.book[t].key.rsplit("verification-").next().map(|part| format!("{part}-critical"));
        let symbol = format!("{}max", self.desk.book[t].symbol);
        let critical = (Unit::One, student(self.tail(), degrees));
        let critical = self.add(&part.unwrap_or_default(), "largest t that is chance", &symbol, critical, 3);
        self.above(t, critical).then(|| self.says(what, t, critical))
    }

    fn says(&self, what: &str, value: FigureId, critical: FigureId) -> String {
        let said = |id| in_words(self.desk.book, id);
        format!("{what} is {}, where {} is the most that chance explains", said(value), said(critical))
    }
}
