//! The account of the whole contract from top to bottom, with what was measured of the slab and what lies under it.

use super::super::layout::{figure, line, money, numbers, subtotal, text, total, unit, words};
use super::super::{Block, Chart, ChartForm, Finished, Row, Series, SeriesStyle, Shown, Table};
use crate::reconcile::{Cause, Evidence, Split, Step};

pub(super) fn blocks(finished: Finished<'_>) -> Vec<Block> {
    let account = finished.account;
    let mut blocks = Vec::new();
    if !account.steps.is_empty() {
        blocks.push(Block::Table(steps(finished)));
        blocks.push(Block::Chart(waterfall(finished)));
    }
    if let Some(split) = account.contract.as_ref().and_then(|whole| whole.split.as_ref()) {
        blocks.extend(unmeasured(split).map(Block::Text));
        blocks.extend(measured(finished, split).map(Block::Table));
    }
    blocks.extend(low_grade(finished).map(Block::Table));
    blocks.extend(surveyed(finished).map(Block::Table));
    if let Some(loose) = account.loose.filter(|_| account.steps.is_empty()) {
        let unit_name = unit(finished.contract.system.volume());
        blocks.push(Block::Table(Table {
            id: "yield-loose".into(),
            title: "Loads that fit no placement".into(),
            columns: vec![words("", 40), numbers("batched", unit_name, 12)],
            rows: vec![line(vec![text("in no account"), Shown::Figure(loose)])],
            note: "Each is among the findings.".into(),
        }));
    }
    blocks
}

fn steps(finished: Finished<'_>) -> Table {
    let (contract, steps) = (finished.contract, &finished.account.steps);
    let priced = steps.iter().any(|step| step.money.is_some());
    let row = |(i, step): (usize, &Step)| -> Row {
        let mut cells =
            vec![text(step.name.clone()), Shown::Figure(step.volume), Shown::Figure(step.percent), figure(step.depth)];
        cells.extend(priced.then(|| figure(step.money)));
        match (step.level, i + 1 == steps.len()) {
            (_, true) => total(cells),
            (true, _) => subtotal(cells),
            (false, _) => line(cells),
        }
    };
    let mut columns = vec![
        words("", 36),
        numbers("volume", unit(contract.system.volume()), 12),
        numbers("of plan", "%", 9),
        numbers("as depth", unit(contract.system.depth()), 9),
    ];
    columns.extend(priced.then(|| money("value", &contract.currency, 15)));
    Table {
        id: "yield-account".into(),
        title: "The account of the contract to date, from batched to plan volume".into(),
        columns,
        rows: steps.iter().enumerate().map(row).collect(),
        note: "What is taken off stands below zero. Each column adds up from top to bottom; what is not explained is what the \
               measured causes leave."
            .into(),
    }
}

fn waterfall(finished: Finished<'_>) -> Chart {
    let volume = unit(finished.contract.system.volume());
    Chart {
        title: "From batched to plan volume".into(),
        form: ChartForm::Waterfall,
        table: "yield-account".into(),
        along: 0,
        numeric: false,
        series: vec![Series { name: "volume".into(), column: 1, style: SeriesStyle::Points }],
        x_title: String::new(),
        y_title: format!("volume, {volume}"),
    }
}

/// Which causes nobody measured, in words.
fn unmeasured(split: &Split) -> Option<String> {
    let missing = |cause: Cause, of: &'static str| split.part(cause).is_none().then_some(of);
    let missing: Vec<&str> = [
        missing(Cause::Batch, "densities of at least three loads of a mix with their tickets"),
        missing(Cause::Grade, "levels of the surface under the slab with their design"),
        missing(Cause::Slab, "cores or depth probes"),
        missing(Cause::Width, "widths as placed"),
    ]
    .into_iter()
    .flatten()
    .collect();
    (!missing.is_empty()).then(|| {
        format!("Not measured, so that what they took is among what is not explained: {}.", missing.join("; "))
    })
}

/// What cores, probes and levels say of the slab.
fn measured(finished: Finished<'_>, split: &Split) -> Option<Table> {
    let system = finished.contract.system;
    let row = |name: String, evidence: &Evidence| -> Row {
        let (mean, off) = evidence.mean.map_or((None, None), |(mean, off)| (Some(mean), off));
        line(vec![
            text(name),
            Shown::Count(u64::try_from(evidence.tests).unwrap_or(u64::MAX)),
            figure(mean),
            figure(off),
            Shown::Figure(evidence.volume),
            figure(evidence.off),
            figure(evidence.untested),
        ])
    };
    let by = finished.contract.yields.depth_by.word();
    let slab = split.slab.as_ref().map(|slab| row(format!("slab thicker than designed ({by})"), slab));
    let grade = split.grade.as_ref().map(|grade| row("surface under the slab below design".into(), grade));
    let mut rows: Vec<Row> = slab.into_iter().chain(grade).collect();
    if rows.is_empty() {
        return None;
    }
    if let (Some(as_built), Some(slab)) = (finished.account.as_built, &split.slab) {
        let blank = Shown::Blank;
        let cells = vec![text("as-built volume"), blank.clone(), blank.clone(), blank.clone(), Shown::Figure(as_built)];
        rows.push(total(cells.into_iter().chain([figure(slab.off), blank]).collect()));
    }
    Some(Table {
        id: "yield-measured".into(),
        title: "What was measured of the slab".into(),
        columns: vec![
            words("", 40),
            numbers("tests", "", 7),
            numbers("mean", unit(system.depth()), 8),
            numbers("give or take", unit(system.depth()), 8),
            numbers("volume", unit(system.volume()), 11),
            numbers("give or take", unit(system.volume()), 10),
            numbers("not measured", unit(system.area()), 11),
        ],
        rows,
        note: "Means are of one section; over several, each section's mean counts on its own area. Give or take: Student's \
               interval of the mean, nineteen times in twenty. Exploratory cores are left out, because they were drilled where \
               the slab was thin."
            .into(),
    })
}

fn low_grade(finished: Finished<'_>) -> Option<Table> {
    let contract = finished.contract;
    let rows: Vec<Row> = finished
        .account
        .low_grade
        .iter()
        .map(|low| {
            line(vec![
                text(contract.lane(low.lane).name.clone()),
                text(contract.station(low.lane, low.from)),
                text(contract.station(low.lane, low.to)),
                Shown::Count(u64::try_from(low.levels.len()).unwrap_or(u64::MAX)),
                Shown::Figure(low.low),
                Shown::Figure(low.area),
                Shown::Figure(low.volume),
                figure(low.money),
            ])
        })
        .collect();
    if rows.is_empty() {
        return None;
    }
    let system = contract.system;
    Some(Table {
        id: "yield-low-grade".into(),
        title: "Low stretches under the slab".into(),
        columns: vec![
            words("lane", 8),
            words("from", 11),
            words("to", 11),
            numbers("levels", "", 8),
            numbers("below design", unit(system.depth()), 9),
            numbers("area", unit(system.area()), 11),
            numbers("concrete", unit(system.volume()), 10),
            money("value", &contract.currency, 13),
        ],
        rows,
        note: "A level stands for the ground half way to its neighbours. Each is among the findings.".into(),
    })
}

fn surveyed(finished: Finished<'_>) -> Option<Table> {
    let contract = finished.contract;
    let surveyed = finished.account.surveyed.as_ref()?;
    let mut rows: Vec<Row> = surveyed
        .prisms
        .iter()
        .map(|prism| {
            line(vec![
                text(contract.lane(prism.lane).name.clone()),
                text(contract.station(prism.lane, prism.from)),
                text(contract.station(prism.lane, prism.to)),
                Shown::Figure(prism.depths.0),
                Shown::Figure(prism.depths.1),
                Shown::Figure(prism.area),
                Shown::Figure(prism.volume),
                Shown::Blank,
                Shown::Blank,
            ])
        })
        .collect();
    rows.push(total(vec![
        text("surveyed"),
        Shown::Blank,
        Shown::Blank,
        Shown::Blank,
        Shown::Figure(surveyed.depth),
        Shown::Figure(surveyed.area),
        Shown::Figure(surveyed.volume),
        Shown::Figure(surveyed.plan),
        Shown::Figure(surveyed.over),
    ]));
    let system = contract.system;
    Some(Table {
        id: "yield-surveyed".into(),
        title: "The slab as surveyed, from base to pavement".into(),
        columns: vec![
            words("lane", 9),
            words("from", 11),
            words("to", 11),
            numbers("depth from", unit(system.depth()), 9),
            numbers("depth to", unit(system.depth()), 9),
            numbers("area", unit(system.area()), 11),
            numbers("volume", unit(system.volume()), 11),
            numbers("plan", unit(system.volume()), 11),
            numbers("over", unit(system.volume()), 9),
        ],
        rows,
        note: "Between two stations, placed area times the mean of their depths. The depth of the last line is volume over area."
            .into(),
    })
}
