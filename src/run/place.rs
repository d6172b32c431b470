//! All that is known at one place of the road, in order of time: how it stands first, then every record.

use rust_decimal::{Decimal, dec};

use super::{Computed, Stop};
use crate::finding::{Code, Finding, Place};
use crate::intake::LaneId;
use crate::line::folded;
use crate::units::{Station, StationError, StationLabel, System};
use crate::works::{self, Known, Stands};
use crate::wrapping::{PAGE, hang};

/// A point of a lane, as tests near it are asked for.
type Point = (LaneId, Station);

impl Computed {
    /// Everything known at a station, in one lane or in all that a section has there. Tests count where they lie within `near` of
    /// it along the line; 50 ft or 15 m where left out.
    ///
    /// # Errors
    /// Where the lane is not the contract's, or the station stands on none of its alignments, or twice.
    pub fn at(&self, station: &str, lane: Option<&str>, near: Option<Decimal>) -> Result<String, Stop> {
        let near = near.unwrap_or(match self.contract.system {
            System::Customary => dec!(50),
            System::Si => dec!(15),
        });
        let points = self.points(station, lane)?;
        let mut out = format!(
            "{} {}, records to {}; tests within {} {} along the line\n",
            self.contract.number,
            self.contract.title,
            self.through,
            near.normalize(),
            self.contract.system.length()
        );
        for point in points {
            out.push_str(&self.one_place(point, near));
        }
        out.push_str("\nThe records show this; the contract, local code and the engineer decide.\n");
        Ok(out)
    }

    /// The points that are asked for.
    fn points(&self, station: &str, lane: Option<&str>) -> Result<Vec<Point>, Stop> {
        let contract = &self.contract;
        let all = || (0..contract.lanes.len()).filter_map(|l| u16::try_from(l).ok()).map(LaneId);
        let lanes: Vec<LaneId> = match lane {
            None => all().collect(),
            Some(name) => {
                let same = |l: &crate::contract::Lane| {
                    folded(&l.name) == folded(name) || l.also.iter().any(|also| folded(also) == folded(name))
                };
                let own: Vec<LaneId> = all().filter(|&l| same(contract.lane(l))).collect();
                if own.is_empty() {
                    return Err(self.no_lane(name));
                }
                own
            }
        };
        let mut why = String::from("stands in no section of the contract");
        let mut points = Vec::new();
        for lane in lanes {
            let alignment = contract.alignment(lane);
            let label = StationLabel::read(station.trim(), alignment.full_station).and_then(|(label, rest)| {
                if rest.trim().is_empty() {
                    alignment.place(label)
                } else {
                    Err(StationError::NotAStation(station.into()))
                }
            });
            match label {
                Ok(at) if self.section(lane, at).is_some() => points.push((lane, at)),
                Ok(_) => {}
                Err(error) => why = error.to_string(),
            }
        }
        if points.is_empty() { Err(self.no_station(station, &why)) } else { Ok(points) }
    }

    fn section(&self, lane: LaneId, at: Station) -> Option<usize> {
        let holds = |s: &crate::contract::Section| {
            s.lanes.contains(&lane) && s.from.along <= at.along && at.along <= s.to.along
        };
        self.contract.sections.iter().position(holds)
    }

    fn no_lane(&self, name: &str) -> Stop {
        let lanes: Vec<&str> = self.contract.lanes.iter().map(|l| l.name.as_str()).collect();
        let message = "is not a lane of the contract";
        Finding::new(
            Code::LaneUnknown,
            Place::Named(name.into()),
            message,
            format!("its lanes are {}", lanes.join(", ")),
        )
        .into()
    }

    fn no_station(&self, station: &str, why: &str) -> Stop {
        let ends: Vec<String> = self
            .contract
            .alignments
            .iter()
            .map(|a| format!("{} from {} to {}", a.name, a.write(a.begin), a.write(a.end)))
            .collect();
        let remedy = format!("alignments run {}", ends.join(", "));
        Finding::new(Code::StationUnplaced, Place::Named(station.into()), why, remedy).into()
    }

    fn one_place(&self, (lane, at): Point, near: Decimal) -> String {
        let contract = &self.contract;
        let mut out = format!("\n{} at {}", contract.lane(lane).name, contract.station(lane, at));
        if let Some(section) = self.section(lane, at).map(|s| &contract.sections[s]) {
            out.push_str(&format!(", {}, design {}", section.name, section.thickness.written));
        }
        out.push('\n');
        for line in self.stands((lane, at)) {
            out.push_str(&lines("  ", &line));
        }
        let known = works::known_at(self.inputs(), &self.works, &self.book, (lane, at), near);
        if known.is_empty() {
            out.push_str("  nothing is on record here\n");
        }
        for one in &known {
            out.push_str(&self.line(one));
        }
        out
    }

    /// How the place stands: lots it lies in, proof, opening.
    fn stands(&self, (lane, at): Point) -> Vec<String> {
        let holds = |places: &[(LaneId, Station, Station)]| {
            places.iter().any(|p| p.0 == lane && p.1.along <= at.along && at.along <= p.2.along)
        };
        let mut lines: Vec<String> = self
            .judged
            .outcomes
            .iter()
            .filter(|o| holds(&o.places))
            .map(|o| format!("{}: {}, {}", o.property.word(), o.name, o.verdict.word()))
            .collect();
        for covered in &self.works.covered {
            for piece in covered.pieces.iter().filter(|p| holds(&p.places)) {
                let since =
                    if piece.stands == Stands::Proved { String::new() } else { format!(", due since {}", piece.since) };
                lines.push(format!("{}: {} ({}{since})", covered.proof.words(), piece.stands.word(), piece.name));
            }
        }
        let placed = |p: usize| {
            self.line.placements[p].stretches.iter().any(|&s| {
                let stretch = &self.line.stretches[s];
                holds(&[(stretch.lane, stretch.from, stretch.to)])
            })
        };
        for opening in self.works.openings.iter().filter(|o| placed(o.placement)) {
            let number = &self.intake.records.placements[opening.placement].number.value;
            lines.push(match (opening.may, opening.missing.is_empty()) {
                (Some(day), _) => format!("opening: by the records from {day} on (placement {number})"),
                (None, false) => format!("opening: not yet, {} (placement {number})", opening.missing),
                (None, true) => format!("opening: not yet (placement {number})"),
            });
        }
        lines
    }

    fn line(&self, known: &Known) -> String {
        let time = known.time.map_or_else(|| "     ".to_string(), |t| t.format("%H:%M").to_string());
        let what = lines(&format!("  {} {time}  ", known.date), &known.what);
        what + &lines(&" ".repeat(20), &self.intake.sources.row(known.at))
    }
}

/// A line with its continuation under its words.
fn lines(first: &str, words: &str) -> String {
    hang(first, words, PAGE).into_iter().fold(String::new(), |all, line| all + &super::printable(&line) + "\n")
}
