//! Thickness: lots, cores, the drawing.

use super::judged::{depth, entered, luck, outcomes, paid, paid_cells, rule};
use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Chart, Finished, Page, Row, Series, SeriesStyle, Shown, Table, drawn, exploring, placed};
use crate::accept::{CoreJudged, Outcome};
use crate::rules::{Property, RuleSet};

pub(super) fn page(finished: Finished<'_>) -> Page {
    let mut blocks = Vec::new();
    if let Some(set) = rule(finished, Property::Thickness) {
        blocks.push(Block::Table(lots(finished, set)));
        blocks.extend(luck(finished, set, "thickness-luck"));
        blocks.extend(exploring::blocks(finished));
        blocks.extend(placed::strips(finished).into_iter().map(Block::Strip));
        blocks.extend(drawn::table(finished).map(Block::Table));
        for section in 0..finished.contract.sections.len() {
            blocks.extend(cores_of(finished, section));
        }
    } else {
        blocks
            .push(Block::Text("contract.toml chooses no rule set for thickness: cores are listed, not judged.".into()));
    }
    if !finished.intake.records.probes.is_empty() {
        blocks.push(Block::Table(probes(finished)));
    }
    Page {
        id: "thickness",
        title: "Thickness",
        question: "Which stretches are thin under the rule, by how much, and which cores say so?",
        blocks,
    }
}

fn lots(finished: Finished<'_>, set: &RuleSet) -> Table {
    let depth = depth(finished);
    let mut columns = vec![
        words("lot or section", 42),
        words("how it stands", 26),
        words("design", 8),
        numbers("average", unit(depth), 9),
        entered(set, depth),
    ];
    columns.extend(paid(set));
    columns.extend([numbers("area", unit(finished.contract.system.area()), 12), words("note", 50)]);
    Table {
        id: "thickness-lots".into(),
        title: "Lots and deficient sections".into(),
        columns,
        rows: outcomes(finished, Property::Thickness).map(|o| outcome_row(finished, set, o)).collect(),
        note: "The calculation of each deficient lot or section stands on the page Adjustments.".into(),
    }
}

fn outcome_row(finished: Finished<'_>, set: &RuleSet, outcome: &Outcome) -> Row {
    let section = &finished.contract.sections[outcome.section];
    let mut cells = vec![
        text(outcome.name.clone()),
        text(outcome.verdict.word()),
        text(section.thickness.written.clone()),
        figure(outcome.average),
        figure(outcome.entered),
    ];
    cells.extend(paid_cells(finished, set, outcome));
    cells.extend([figure(outcome.area), text(outcome.note.clone())]);
    line(cells)
}

/// The cores of a section along the line, and their lengths drawn; nothing where it has none.
fn cores_of(finished: Finished<'_>, section: usize) -> Vec<Block> {
    let mut cores: Vec<&CoreJudged> = finished.judged.cores.iter().filter(|c| c.section == section).collect();
    cores.sort_by_key(|c| finished.intake.records.cores[c.core].station.value);
    if cores.is_empty() {
        return Vec::new();
    }
    let (id, name) = (format!("thickness-cores-{}", section + 1), &finished.contract.sections[section].name);
    let chart = chart(finished, &id, name);
    vec![Block::Table(core_table(finished, id, name, &cores)), Block::Chart(chart)]
}

fn core_table(finished: Finished<'_>, id: String, section: &str, cores: &[&CoreJudged]) -> Table {
    let system = finished.contract.system;
    let standing = cores.iter().any(|core| !core.standing.is_empty());
    Table {
        id,
        title: format!("Cores of {section}, along the line"),
        columns: vec![
            words("core", 9),
            words("drilled", 11),
            words("lane", 8),
            words("station", 12),
            numbers("along", unit(system.length()), 10),
            words("lot", 30),
            numbers("length", unit(depth(finished)), 9),
            numbers("design", unit(depth(finished)), 8),
            numbers("least good", unit(depth(finished)), 9),
            numbers("deficiency", unit(depth(finished)), 10),
            numbers("counted as", unit(depth(finished)), 10),
        ]
        .into_iter()
        .chain(standing.then(|| words("how it counts", 40)))
        .collect(),
        rows: cores.iter().map(|c| core_row(finished, c, standing)).collect(),
        note:
            "Least good: design less the rule's tolerance. Counted as: blank where the core is left out of the average."
                .into(),
    }
}

fn core_row(finished: Finished<'_>, judged: &CoreJudged, standing: bool) -> Row {
    let core = &finished.intake.records.cores[judged.core];
    let mut cells = vec![
        text(core.number.value.to_string()),
        Shown::Date(core.date.value),
        text(finished.contract.lane(core.lane.value).name.clone()),
        text(finished.contract.station(core.lane.value, core.station.value)),
        Shown::Cell(finished.line.ledger.core_along(judged.core)),
        text(if judged.lot.is_empty() { "exploratory".into() } else { judged.lot.clone() }),
        Shown::Figure(judged.length),
        Shown::Figure(judged.design),
        Shown::Figure(judged.least),
        Shown::Figure(judged.deficiency),
        figure(judged.counted),
    ];
    cells.extend(standing.then(|| text(judged.standing.clone())));
    line(cells)
}

/// Depths probed in fresh concrete: listed beside the cores, never judged in their place.
fn probes(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let row = |(i, p): (usize, &crate::intake::Probe)| {
        line(vec![
            text(p.number.value.to_string()),
            Shown::Date(p.date.value),
            text(finished.contract.lane(p.lane.value).name.clone()),
            text(finished.contract.station(p.lane.value, p.station.value)),
            Shown::Cell(finished.line.ledger.probe_depth(i)),
        ])
    };
    Table {
        id: "thickness-probes".into(),
        title: "Depth probes".into(),
        columns: vec![
            words("probe", 16),
            words("day", 11),
            words("lane", 8),
            words("station", 12),
            numbers("depth", unit(system.depth()), 9),
        ],
        rows: finished.intake.records.probes.iter().enumerate().map(row).collect(),
        note: "Probes are listed, not judged: the rule judges cores.".into(),
    }
}

fn chart(finished: Finished<'_>, table: &str, section: &str) -> Chart {
    let system = finished.contract.system;
    let series = |name: &str, column, style| Series { name: name.into(), column, style };
    Chart {
        title: format!("Core lengths of {section} along the line"),
        form: super::ChartForm::Lines,
        table: table.into(),
        along: 4,
        numeric: true,
        series: vec![
            series("core length", 6, SeriesStyle::Points),
            series("design", 7, SeriesStyle::Line),
            series("least good", 8, SeriesStyle::Line),
        ],
        x_title: format!("distance along the alignment, {}", system.length()),
        y_title: format!("length, {}", depth(finished)),
    }
}
