//! Where everything is: alignments, lanes and sections, and whether they fit together.

use super::model::{Driveway, Entered, Lane, Section, Width};
use super::names::{Names, folded};
use crate::intake::LaneId;
use crate::keyed::{Found, Group, Reader};
use crate::units::{Alignment, Equation, Side, Station, StationError, StationLabel, Unit};

/// Alignments, lanes and sections; `None` in place of one whose mistakes are reported.
pub(super) struct Ground {
    pub(super) alignments: Vec<Option<Alignment>>,
    pub(super) lanes: Vec<Option<Lane>>,
    pub(super) sections: Vec<Option<Section>>,
    pub(super) driveways: Vec<Option<Driveway>>,
    pub(super) lane_names: Names,
    pub(super) section_names: Names,
    /// Whether each section states a specified strength, mistaken or not.
    pub(super) has_strength: Vec<bool>,
}

impl Ground {
    /// Reads all three.
    pub(super) fn read(reader: &mut Reader<'_>, root: &Group) -> Self {
        let lines = Lines::read(reader, root);
        let groups = root.groups("lanes");
        let names = Names::read(reader, groups, "name", "lane");
        let on: Vec<Option<usize>> = groups.iter().map(|group| lines.find(reader, group)).collect();
        let lanes = groups.iter().zip(&on).map(|(group, &on)| lane(reader, group, &lines, on)).collect();
        also_clash(reader, groups, "lane");
        let groups = root.groups("sections");
        let section_names = Names::read(reader, groups, "name", "section");
        let sections: Vec<Option<Section>> =
            groups.iter().map(|group| section(reader, group, &lines, &names, &on)).collect();
        let has_strength = groups.iter().map(|group| group.has("strength")).collect();
        overlaps(reader, groups, &sections, &names);
        let groups = root.groups("driveways");
        Names::read(reader, groups, "name", "driveway");
        let driveways = groups.iter().map(|group| driveway(reader, group, &lines, &names, &on)).collect();
        Self {
            alignments: lines.alignments,
            lanes,
            sections,
            driveways,
            lane_names: names,
            section_names,
            has_strength,
        }
    }
}

/// The alignments with their names.
struct Lines {
    names: Names,
    alignments: Vec<Option<Alignment>>,
}

impl Lines {
    fn read(reader: &mut Reader<'_>, root: &Group) -> Self {
        let groups = root.groups("alignments");
        let names = Names::read(reader, groups, "name", "alignment");
        let alignments = groups.iter().map(|group| alignment(reader, group)).collect();
        Self { names, alignments }
    }

    fn find(&self, reader: &mut Reader<'_>, lane: &Group) -> Option<usize> {
        self.names.find(reader, &lane.text("alignment")?)
    }

    /// The point a label names; a label that names none, or two, is reported.
    fn place(&self, reader: &mut Reader<'_>, on: usize, label: &Found<StationLabel>) -> Option<Station> {
        let error = match self.alignments.get(on)?.as_ref()?.place(label.value) {
            Ok(station) => return Some(station),
            Err(error) => error,
        };
        let remedy = match error {
            StationError::Twice { .. } => "write BK behind the station for the first, AH for the second",
            _ => "correct the station, or the alignment's begin, end and equations",
        };
        reader.mistake(label.at, format!("'{}': {error}", label.key), remedy);
        None
    }
}

fn alignment(reader: &mut Reader<'_>, group: &Group) -> Option<Alignment> {
    let equations: Vec<Option<Equation>> = group.groups("equations").iter().map(equation).collect();
    let system = reader.system()?;
    let (begin, end) = (group.station("begin")?, group.station("end")?);
    let alignment = Alignment {
        name: group.text("name")?.value,
        full_station: system.full_station(),
        begin: begin.value.value,
        end: end.value.value,
        equations: equations.into_iter().collect::<Option<Vec<_>>>()?,
    };
    let faults = alignment.faults();
    for fault in &faults {
        let message = format!("alignment \"{}\": {fault}", alignment.name);
        reader.mistake(
            begin.at,
            message,
            "let stations rise from begin to end, with the equations in order along the line",
        );
    }
    let read = group.has("equations") != alignment.equations.is_empty();
    (read && faults.is_empty()).then_some(alignment)
}

fn equation(group: &Group) -> Option<Equation> {
    Some(Equation { back: group.station("back")?.value.value, ahead: group.station("ahead")?.value.value })
}

fn lane(reader: &mut Reader<'_>, group: &Group, lines: &Lines, on: Option<usize>) -> Option<Lane> {
    let widths = widths(reader, group, lines, on);
    Some(Lane {
        name: group.text("name")?.value,
        also: if group.has("also") {
            group.texts("also")?.value.into_iter().map(|a| a.value).collect()
        } else {
            Vec::new()
        },
        alignment: on?,
        side: if group.text("side")?.value == "left" { Side::Left } else { Side::Right },
        widths: widths?,
    })
}

fn widths(reader: &mut Reader<'_>, group: &Group, lines: &Lines, on: Option<usize>) -> Option<Vec<Width>> {
    if let Some(width) = group.quantity("width") {
        positive(reader, &width, "a lane's width")?;
        let begin = lines.alignments.get(on?)?.as_ref()?.at(rust_decimal::Decimal::ZERO);
        return Some(vec![Width { at: begin, width: entered(&width) }]);
    }
    let tables = group.groups("width");
    let read: Vec<Option<(Width, Found<StationLabel>)>> =
        tables.iter().map(|table| width_at(reader, table, lines, on)).collect();
    let read = read.into_iter().collect::<Option<Vec<_>>>()?;
    let mut sound = !read.is_empty();
    for pair in read.windows(2) {
        let [(before, first), (after, second)] = pair else { continue };
        if after.at.along <= before.at.along {
            sound = false;
            let message = format!(
                "'{}' {} is not ahead of {} on line {}",
                second.key, second.written, first.written, first.at.line
            );
            reader.mistake(second.at, message, "list the widths by rising station, each station once");
        }
    }
    if sound && read.iter().all(|(width, _)| width.width.value.is_zero()) {
        sound = false;
        reader.mistake(group.at("width"), "the lane is zero wide everywhere", "give its width");
    }
    sound.then(|| read.into_iter().map(|(width, _)| width).collect())
}

fn width_at(
    reader: &mut Reader<'_>,
    table: &Group,
    lines: &Lines,
    on: Option<usize>,
) -> Option<(Width, Found<StationLabel>)> {
    let label = table.station("at")?;
    let at = lines.place(reader, on?, &label)?;
    Some((Width { at, width: entered(&table.quantity("width")?) }, label))
}

/// Reports a wording that means two things of one kind.
pub(super) fn also_clash(reader: &mut Reader<'_>, groups: &[Group], what: &str) {
    let mut taken: Vec<(String, usize, Found<String>)> = Vec::new();
    for (place, group) in groups.iter().enumerate() {
        taken.extend(group.text("name").map(|name| (folded(&name.value), place, name)));
    }
    for (place, group) in groups.iter().enumerate() {
        for word in group.texts("also").into_iter().flat_map(|list| list.value) {
            let fold = folded(&word.value);
            match taken.iter().find(|(name, of, _)| *name == fold && *of != place) {
                Some((_, of, other)) => {
                    let message = format!(
                        "'{}' says that \"{}\" means this {what}, but line {} uses \"{}\" for {what} {}",
                        word.key,
                        word.value,
                        other.at.line,
                        other.value,
                        groups[*of].text("name").map_or_else(|| format!("number {}", of + 1), |n| n.value)
                    );
                    reader.mistake_with(word.at, other.at, message, format!("let each wording mean one {what}"));
                }
                None => taken.push((fold, place, word)),
            }
        }
    }
}

fn section(
    reader: &mut Reader<'_>,
    group: &Group,
    lines: &Lines,
    names: &Names,
    on: &[Option<usize>],
) -> Option<Section> {
    let listed = group.texts("lanes");
    let lanes = listed.as_ref().and_then(|listed| names.find_all(reader, &listed.value));
    let line = lanes.as_ref().and_then(|lanes| shared_line(reader, group, lanes, names, on));
    let ends = line.and_then(|line| extent(reader, group, lines, line));
    let thickness = group.quantity("thickness").filter(|t| positive(reader, t, "a design thickness").is_some());
    let strength = strength(reader, group);
    let (from, to) = ends?;
    Some(Section {
        name: group.text("name")?.value,
        from,
        to,
        lines: (group.at("from").line, group.at("to").line),
        lanes: lanes?.into_iter().map(|lane| u16::try_from(lane).ok().map(LaneId)).collect::<Option<Vec<_>>>()?,
        thickness: entered(&thickness?),
        strength,
        flexural: group.text("strength_test").is_some_and(|test| test.value == "beam"),
    })
}

fn driveway(
    reader: &mut Reader<'_>,
    group: &Group,
    lines: &Lines,
    names: &Names,
    on: &[Option<usize>],
) -> Option<Driveway> {
    let listed = group.texts("lanes");
    let lanes = listed.as_ref().and_then(|listed| names.find_all(reader, &listed.value))?;
    let line = shared_line(reader, group, &lanes, names, on)?;
    let (from, to) = extent(reader, group, lines, line)?;
    let lanes = lanes.into_iter().map(|lane| u16::try_from(lane).ok().map(LaneId)).collect::<Option<Vec<_>>>()?;
    Some(Driveway { name: group.text("name")?.value, lanes, from, to })
}

/// The alignment that all lanes of a section share.
fn shared_line(
    reader: &mut Reader<'_>,
    group: &Group,
    lanes: &[usize],
    names: &Names,
    on: &[Option<usize>],
) -> Option<usize> {
    let first = *lanes.first()?;
    let line = (*on.get(first)?)?;
    for &lane in lanes {
        if on.get(lane).copied()?? != line {
            let message = format!("lanes {} and {} run along different alignments", names.at(first), names.at(lane));
            reader.mistake(group.at("lanes"), message, "make a section for each alignment");
            return None;
        }
    }
    Some(line)
}

fn extent(reader: &mut Reader<'_>, group: &Group, lines: &Lines, line: usize) -> Option<(Station, Station)> {
    let (from, to) = (group.station("from"), group.station("to"));
    let begin = from.as_ref().and_then(|label| lines.place(reader, line, label));
    let end = to.as_ref().and_then(|label| lines.place(reader, line, label));
    let (begin, end, to) = (begin?, end?, to?);
    if end.along <= begin.along {
        let message = format!("'{}' {} is not ahead of 'from' {}", to.key, to.written, from?.written);
        reader.mistake(to.at, message, "let 'from' be the lower station along the line and 'to' the higher");
        return None;
    }
    Some((begin, end))
}

/// Specified strength and its age; `None` where there is none, and where a mistake is reported.
fn strength(reader: &mut Reader<'_>, group: &Group) -> Option<(Entered, Entered)> {
    let strength = group.quantity("strength").filter(|s| positive(reader, s, "a specified strength").is_some());
    let age = group.quantity("strength_age").filter(|age| {
        let sound = age.value.0.is_integer() && !age.value.0.is_zero();
        if !sound {
            reader.mistake(
                age.at,
                format!("'{}' is {}; expected whole days", age.key, age.written),
                "write it so: \"28 day\"",
            );
        }
        sound
    });
    Some((entered(&strength?), entered(&age?)))
}

/// Two sections that share a lane and a stretch of it.
fn overlaps(reader: &mut Reader<'_>, groups: &[Group], sections: &[Option<Section>], names: &Names) {
    let placed: Vec<(&Group, &Section)> =
        groups.iter().zip(sections).filter_map(|(g, s)| Some((g, s.as_ref()?))).collect();
    for (i, (here, section)) in placed.iter().enumerate() {
        for (there, other) in &placed[..i] {
            let shared = section.lanes.iter().find(|lane| other.lanes.contains(lane));
            let (from, to) = (section.from.max(other.from), section.to.min(other.to));
            if let Some(lane) = shared.filter(|_| from.along < to.along) {
                let span = |key: &str, station: Station| {
                    let of =
                        if station == if key == "from" { section.from } else { section.to } { here } else { there };
                    of.station(key).map_or_else(|| station.label.to_string(), |label| label.written)
                };
                let message = format!(
                    "section \"{}\" (line {}) and section \"{}\" (line {}) both hold lane {} from {} to {}",
                    other.name,
                    there.at.line,
                    section.name,
                    here.at.line,
                    names.at(usize::from(lane.0)),
                    span("from", from),
                    span("to", to)
                );
                reader.mistake_with(here.at("from"), there.at("from"), message, "let one end where the other begins");
            }
        }
    }
}

fn positive(reader: &mut Reader<'_>, found: &Found<(rust_decimal::Decimal, Unit)>, what: &str) -> Option<()> {
    if found.value.0.is_zero() {
        reader.mistake(
            found.at,
            format!("'{}' is {}; {what} is above zero", found.key, found.written),
            "give its value",
        );
        return None;
    }
    Some(())
}

/// A quantity as the engine keeps it.
pub(super) fn entered(found: &Found<(rust_decimal::Decimal, Unit)>) -> Entered {
    Entered {
        value: found.value.0,
        unit: found.value.1,
        written: found.written.clone(),
        line: found.at.line,
        key: found.key.clone(),
    }
}
