//! Strength: lots, and tests in the order cast.

use super::judged::{entered, luck, outcomes, paid, paid_cells, rule};
use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Finished, Page, Row, Shown, Table};
use crate::accept::{Outcome, TestJudged};
use crate::rules::{Property, RuleSet};

const CAUTION: &str = "Strength shown here is of specimens. Whether pavement may be opened to equipment or traffic is decided by \
the licensed engineer under the contract.";

pub(super) fn page(finished: Finished<'_>) -> Page {
    let mut blocks = Vec::new();
    if let Some(set) = rule(finished, Property::Strength) {
        blocks.push(Block::Table(lots(finished, set)));
        blocks.extend(luck(finished, set, "strength-luck"));
        blocks.push(Block::Table(tests(finished)));
    } else {
        blocks.push(Block::Text(
            "contract.toml chooses no rule set for strength: specimens are listed, not judged.".into(),
        ));
    }
    blocks.push(Block::Caution(CAUTION.into()));
    Page {
        id: "strength",
        title: "Strength",
        question: "Which concrete is weak under the rule, which results are outstanding, and when are they due?",
        blocks,
    }
}

fn lots(finished: Finished<'_>, set: &RuleSet) -> Table {
    let system = finished.contract.system;
    let row = |o: &Outcome| {
        let mut cells = vec![text(o.name.clone()), text(o.verdict.word()), figure(o.average), figure(o.entered)];
        cells.extend(paid_cells(finished, set, o));
        cells.extend([figure(o.area), text(o.note.clone())]);
        line(cells)
    };
    let mut columns = vec![
        words("lot", 42),
        words("how it stands", 26),
        numbers("average", unit(system.strength()), 9),
        entered(set, system.strength()),
    ];
    columns.extend(paid(set));
    columns.extend([numbers("area", unit(system.area()), 12), words("note", 50)]);
    Table {
        id: "strength-lots".into(),
        title: "Lots".into(),
        columns,
        rows: outcomes(finished, Property::Strength).map(row).collect(),
        note: "The calculation of each deficient lot stands on the page Adjustments.".into(),
    }
}

fn tests(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let standing = finished.judged.tests.iter().any(|test| !test.standing.is_empty());
    Table {
        id: "strength-tests".into(),
        title: "Tests at the acceptance age".into(),
        columns: vec![
            words("test", 18),
            words("cast", 11),
            words("section", 24),
            words("placement", 10),
            numbers("specimens", "", 9),
            numbers("strength", unit(system.strength()), 10),
            numbers("running average", unit(system.strength()), 10),
            words("result", 24),
        ]
        .into_iter()
        .chain(standing.then(|| words("how it counts", 40)))
        .collect(),
        rows: finished.judged.tests.iter().map(|t| test_row(finished, t, standing)).collect(),
        note: "A result at an earlier age is never taken for one at the acceptance age.".into(),
    }
}

fn test_row(finished: Finished<'_>, test: &TestJudged, standing: bool) -> Row {
    let placement =
        test.placement.map_or_else(String::new, |p| finished.intake.records.placements[p].number.value.to_string());
    let result = match (test.strength, test.due) {
        (Some(_), _) if !test.counts => "does not count".into(),
        (Some(_), _) if test.passes => "passes both criteria".into(),
        (Some(_), _) => "below".into(),
        (None, Some(due)) => format!("outstanding, due {due}"),
        (None, None) => "outstanding".into(),
    };
    let mut cells = vec![
        text(test.name.clone()),
        Shown::Date(test.cast),
        text(finished.contract.sections[test.section].name.clone()),
        text(placement),
        Shown::Count(test.specimens.len() as u64),
        figure(test.strength),
        figure(test.running),
        text(result),
    ];
    cells.extend(standing.then(|| text(test.standing.clone())));
    line(cells)
}
