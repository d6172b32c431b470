//! Ride: segments with their index and pay, lots of straightedge deviations, the index drawn along the line.

use super::judged::outcomes;
use super::layout::{figure, line, numbers, text, unit, words};
use super::{Block, Chart, Finished, Page, Row, Series, SeriesStyle, Shown, Table};
use crate::accept::{Outcome, SegmentJudged};
use crate::figure::FigureId;
use crate::intake::{Profile, Straightedge};
use crate::rules::{Gives, Pay, Property, RuleSet, Shape};
use crate::units::Unit;

/// The page; none where no rule set for it is chosen and nothing was measured.
pub(super) fn page(finished: Finished<'_>) -> Option<Page> {
    let records = &finished.intake.records;
    let mut blocks = Vec::new();
    match chosen(finished, Property::Smoothness) {
        Some(set) => blocks.extend(judged(finished, set)),
        None if !records.profiles.is_empty() => {
            blocks.push(unchosen("smoothness", "segments"));
            blocks.push(Block::Table(recorded(finished)));
        }
        None => {}
    }
    match chosen(finished, Property::Straightedge) {
        Some(set) => blocks.push(Block::Table(straightedge_lots(finished, set))),
        None if !records.straightedge.is_empty() => {
            blocks.push(unchosen("straightedge", "deviations"));
            blocks.push(Block::Table(deviations(finished)));
        }
        None => {}
    }
    (!blocks.is_empty()).then_some(Page {
        id: "ride",
        title: "Ride",
        question: "Which segments are rough or smooth under the rule, and what does that change?",
        blocks,
    })
}

fn unchosen(property: &str, what: &str) -> Block {
    Block::Text(format!("contract.toml chooses no rule set for {property}: {what} are listed, not judged."))
}

fn chosen(finished: Finished<'_>, property: Property) -> Option<&RuleSet> {
    finished.rules.iter().find(|set| set.property == property)
}

/// Heading and unit of what a table pays.
fn paid(finished: Finished<'_>, pay: Option<&Pay>) -> (&'static str, String) {
    let currency = &finished.contract.currency;
    match pay.map(|pay| pay.gives) {
        Some(Gives::MoneyPerSegment) => ("whole segment", currency.clone()),
        Some(Gives::MoneyPerArea) => ("rate", format!("{currency}/{}", finished.contract.system.area())),
        Some(Gives::Percent) | None => ("paid", unit(Unit::Percent)),
    }
}

/// What a table pays; until the engineer decides, a table of money says a percent, which has no place in its column.
fn pays(finished: Finished<'_>, pay: Option<&Pay>, id: Option<FigureId>) -> Shown {
    let percent = id.is_some_and(|id| finished.book[id].unit == Unit::Percent);
    let in_percent = pay.is_none_or(|pay| pay.gives == Gives::Percent);
    if percent && !in_percent { text("undecided") } else { figure(id) }
}

fn judged(finished: Finished<'_>, set: &RuleSet) -> Vec<Block> {
    let Shape::Ride(rule) = &set.shape else { return Vec::new() };
    let mut blocks = vec![Block::Text(format!(
        "The {} of a segment is the mean of its passes or wheel paths; a segment is {} long, and one of another length is paid in \
         proportion unless the rule says otherwise.",
        rule.index.word(),
        rule.length.written
    ))];
    if rule.lot.is_some() {
        blocks.push(Block::Table(lots(finished, set)));
    }
    for lane in 0..finished.contract.lanes.len() {
        blocks.extend(lane_of(finished, set, lane));
    }
    blocks
}

/// Lots that measured segments stand for.
fn lots(finished: Finished<'_>, set: &RuleSet) -> Table {
    let system = finished.contract.system;
    let row = |o: &Outcome| {
        line(vec![
            text(o.name.clone()),
            text(o.verdict.word()),
            figure(o.average),
            pays(finished, set.pay(), o.pay),
            figure(o.area),
            text(o.note.clone()),
        ])
    };
    let (heading, of) = paid(finished, set.pay());
    Table {
        id: "ride-lots".into(),
        title: "Lots".into(),
        columns: vec![
            words("lot", 42),
            words("how it stands", 26),
            numbers("index", unit(system.roughness()), 9),
            numbers(heading, of, 9),
            numbers("area", unit(system.area()), 12),
            words("note", 50),
        ],
        rows: outcomes(finished, Property::Smoothness).map(row).collect(),
        note: "The index of a lot is that of the segments measured in it, each by its length.".into(),
    }
}

/// The segments of a lane along the line, and their index drawn; nothing where it has none.
fn lane_of(finished: Finished<'_>, set: &RuleSet, lane: usize) -> Vec<Block> {
    let of_lane = |s: &&SegmentJudged| usize::from(s.lane.0) == lane;
    let segments: Vec<&SegmentJudged> = finished.judged.segments.iter().filter(of_lane).collect();
    if segments.is_empty() {
        return Vec::new();
    }
    let (id, name) = (format!("ride-segments-{}", lane + 1), &finished.contract.lanes[lane].name);
    let chart = chart(finished, &id, name);
    vec![Block::Table(segment_table(finished, set, (id, name), &segments)), Block::Chart(chart)]
}

fn segment_table(
    finished: Finished<'_>,
    set: &RuleSet,
    (id, lane): (String, &str),
    segments: &[&SegmentJudged],
) -> Table {
    let system = finished.contract.system;
    let (heading, of) = paid(finished, set.pay());
    let money = set.pay().is_some_and(|pay| pay.gives == Gives::MoneyPerSegment);
    let mut columns = vec![
        words("segment", 22),
        words("run on", 11),
        words("from", 12),
        words("to", 12),
        numbers("from along", unit(system.length()), 10),
        numbers("length", unit(system.length()), 9),
        numbers("passes", "", 7),
        numbers("index", unit(system.roughness()), 9),
        numbers(heading, of, 9),
    ];
    columns.extend(money.then(|| numbers("prorated", finished.contract.currency.clone(), 11)));
    columns.extend([words("how it stands", 26), words("note", 40)]);
    Table {
        id,
        title: format!("Segments of {lane}, along the line"),
        columns,
        rows: segments.iter().map(|s| segment_row(finished, set, s, money)).collect(),
        note: "Segments that lie where nothing was placed, cover another or have another index are among the findings."
            .into(),
    }
}

fn segment_row(finished: Finished<'_>, set: &RuleSet, segment: &SegmentJudged, money: bool) -> Row {
    let profile = &finished.intake.records.profiles[segment.profile];
    let ledger = &finished.line.ledger;
    let begins = profile.from.value == segment.ends.0;
    let from = if begins { ledger.profile_from(segment.profile) } else { ledger.profile_to(segment.profile) };
    let station = |at| text(finished.contract.station(segment.lane, at));
    let outcome = &finished.judged.outcomes[segment.outcome];
    let mut cells = vec![
        text(profile.number.value.to_string()),
        Shown::Date(profile.date.value),
        station(segment.ends.0),
        station(segment.ends.1),
        Shown::Cell(from),
        Shown::Figure(segment.length),
        Shown::Count(profile.readings.len() as u64),
        figure(segment.index),
        pays(finished, set.pay(), outcome.pay),
    ];
    let prorated = outcome.adjustments.first().map(|a| a.effect.figure());
    let prorated = prorated.filter(|&id| finished.book[id].unit == Unit::Money);
    cells.extend(money.then(|| figure(prorated)));
    let note = if outcome.note.is_empty() { &segment.note } else { &outcome.note };
    cells.extend([text(outcome.verdict.word()), text(note.clone())]);
    line(cells)
}

fn chart(finished: Finished<'_>, table: &str, lane: &str) -> Chart {
    let system = finished.contract.system;
    Chart {
        title: format!("Index of {lane} along the line"),
        form: super::ChartForm::Lines,
        table: table.into(),
        along: 4,
        numeric: true,
        series: vec![Series { name: "index".into(), column: 7, style: SeriesStyle::Points }],
        x_title: format!("distance along the alignment, {}", system.length()),
        y_title: format!("index, {}", system.roughness()),
    }
}

/// Segments as recorded, where no rule judges them.
fn recorded(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let passes = finished.intake.records.profiles.iter().map(|p| p.readings.len()).max().unwrap_or(0);
    let row = |(i, p): (usize, &Profile)| {
        let station = |at| text(finished.contract.station(p.lane.value, at));
        let mut cells = vec![
            text(p.number.value.to_string()),
            Shown::Date(p.date.value),
            text(finished.contract.lane(p.lane.value).name.clone()),
            station(p.from.value),
            station(p.to.value),
            text(p.measure.word()),
        ];
        let reading = |k| {
            if k < p.readings.len() { Shown::Cell(finished.line.ledger.profile_reading(i, k)) } else { Shown::Blank }
        };
        cells.extend((0..passes).map(reading));
        line(cells)
    };
    let mut columns = vec![
        words("segment", 22),
        words("run on", 11),
        words("lane", 8),
        words("from", 12),
        words("to", 12),
        words("index", 16),
    ];
    columns.extend((1..=passes).map(|n| numbers(&format!("pass {n}"), unit(system.roughness()), 8)));
    Table {
        id: "ride-recorded".into(),
        title: "Smoothness segments".into(),
        columns,
        rows: finished.intake.records.profiles.iter().enumerate().map(row).collect(),
        note: String::new(),
    }
}

fn straightedge_lots(finished: Finished<'_>, set: &RuleSet) -> Table {
    let system = finished.contract.system;
    let step = |o: &Outcome, n: usize| figure(o.entered.and(o.steps.get(n).copied()));
    let row = |o: &Outcome| {
        line(vec![
            text(o.name.clone()),
            text(o.verdict.word()),
            step(o, 0),
            step(o, 1),
            figure(o.entered),
            pays(finished, set.pay(), o.pay),
            figure(o.area),
            text(o.note.clone()),
        ])
    };
    let (heading, of) = paid(finished, set.pay());
    Table {
        id: "straightedge-lots".into(),
        title: "Straightedge, by lots".into(),
        columns: vec![
            words("lot", 42),
            words("how it stands", 26),
            numbers("measurements", "", 12),
            numbers("over tolerance", "", 9),
            numbers("over", unit(Unit::Percent), 8),
            numbers(heading, of, 9),
            numbers("area", unit(system.area()), 12),
            words("note", 50),
        ],
        rows: outcomes(finished, Property::Straightedge).map(row).collect(),
        note: "Over: percent of all measurements of the lot that exceed their tolerance, so the sheet has to hold the good ones too."
            .into(),
    }
}

/// Deviations as recorded, where no rule judges them.
fn deviations(finished: Finished<'_>) -> Table {
    let system = finished.contract.system;
    let row = |(i, s): (usize, &Straightedge)| {
        line(vec![
            text(s.number.value.to_string()),
            Shown::Date(s.date.value),
            text(finished.contract.lane(s.lane.value).name.clone()),
            text(finished.contract.station(s.lane.value, s.station.value)),
            text(if s.across { "across" } else { "along" }),
            Shown::Cell(finished.line.ledger.straightedge_deviation(i)),
        ])
    };
    Table {
        id: "straightedge-deviations".into(),
        title: "Straightedge deviations".into(),
        columns: vec![
            words("deviation at", 16),
            words("day", 11),
            words("lane", 8),
            words("station", 12),
            words("laid", 8),
            numbers("deviation", unit(system.depth()), 9),
        ],
        rows: finished.intake.records.straightedge.iter().enumerate().map(row).collect(),
        note: String::new(),
    }
}
