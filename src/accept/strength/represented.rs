//! Which placement a set of specimens stands for.
//!
//! The placement number on the sheet decides. Without one: the day cast, with the lane and the station where the sheet
//! says them. Exactly one placement must be left; nothing is guessed, and a number that contradicts the day is not used.

use chrono::{Days, NaiveDate};

use crate::accept::ground::Ground;
use crate::contract::Section;
use crate::intake::{LaneId, Placement, Read, Specimen};
use crate::line::folded;
use crate::units::Station;

/// What the specimens of a set say about where they were cast.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Said {
    placement: Option<String>,
    lane: Option<LaneId>,
    station: Option<Station>,
    cast: NaiveDate,
}

impl Said {
    /// What all specimens of a set say together.
    ///
    /// # Errors
    /// In words, where two of them contradict each other.
    pub(super) fn by(specimens: &[&Specimen], cast: NaiveDate) -> Result<Self, String> {
        let text = |s: &Specimen| s.placement.as_ref().map(|p| p.value.trim().to_string());
        let value = |read: &Option<Read<LaneId>>| read.as_ref().map(|r| r.value);
        let at = |read: &Option<Read<Station>>| read.as_ref().map(|r| r.value);
        Ok(Self {
            placement: one("placements", specimens.iter().filter_map(|s| text(s)), |a, b| folded(a) == folded(b))?,
            lane: one("lanes", specimens.iter().filter_map(|s| value(&s.lane)), |a, b| a == b)?,
            station: one("stations", specimens.iter().filter_map(|s| at(&s.station)), |a, b| a.along == b.along)?,
            cast,
        })
    }

    /// Lane and station, where both are said.
    pub(super) fn point(&self) -> Option<(LaneId, Station)> {
        self.lane.zip(self.station)
    }

    /// The placement meant, by place in the records.
    ///
    /// # Errors
    /// In words, why it is none or more than one.
    pub(super) fn placement(&self, ground: Ground) -> Result<usize, String> {
        let fits: Vec<usize> = match &self.placement {
            Some(number) => self.named(ground, number)?,
            None => self.of_the_day(ground),
        };
        match fits.as_slice() {
            [only] => Ok(*only),
            [] => Err(format!("no placement of {}{} is on the sheets", self.cast, self.whereabouts(ground))),
            many => {
                let all = &ground.records.placements;
                let names: Vec<&str> = many.iter().map(|&i| &*all[i].number.value).collect();
                Err(format!("placements {} of {} could be meant", names.join(", "), self.cast))
            }
        }
    }

    /// Placements of that number, cast on their day or past midnight of it.
    fn named(&self, ground: Ground, number: &str) -> Result<Vec<usize>, String> {
        let all = ground.records.placements.iter().enumerate();
        let named: Vec<(usize, &Placement)> = all.filter(|(_, p)| folded(&p.number.value) == folded(number)).collect();
        let Some((_, first)) = named.first() else {
            return Err(format!("placement {number} stands on no placement sheet"));
        };
        let on = |p: &Placement, day| p.date.value == day;
        let that_day: Vec<usize> = named.iter().filter(|(_, p)| on(p, self.cast)).map(|(i, _)| *i).collect();
        if !that_day.is_empty() {
            return Ok(that_day);
        }
        let before = self.cast.checked_sub_days(Days::new(1)).unwrap_or(self.cast);
        let day_before: Vec<usize> = named.iter().filter(|(_, p)| on(p, before)).map(|(i, _)| *i).collect();
        if day_before.is_empty() {
            return Err(format!("placement {number} was placed on {}, not on {}", first.date.value, self.cast));
        }
        Ok(day_before)
    }

    fn of_the_day(&self, ground: Ground) -> Vec<usize> {
        let fits = |p: &Placement| {
            let (a, b) = (p.from.value.along, p.to.value.along);
            p.date.value == self.cast
                && self.lane.is_none_or(|lane| p.lanes.value.contains(&lane))
                && self.station.is_none_or(|at| a.min(b) <= at.along && at.along <= a.max(b))
        };
        ground.records.placements.iter().enumerate().filter(|(_, p)| fits(p)).map(|(i, _)| i).collect()
    }

    fn whereabouts(&self, ground: Ground) -> String {
        match (self.lane, self.station) {
            (Some(lane), Some(at)) => {
                format!(" at {} in lane {}", ground.contract.station(lane, at), ground.contract.lane(lane).name)
            }
            (Some(lane), None) => format!(" in lane {}", ground.contract.lane(lane).name),
            _ => String::new(),
        }
    }

    /// The sections that a test stands for: those of its placement with one and the same specified strength.
    ///
    /// # Errors
    /// In words, where there is none, or where the placement lies in sections of different strength and nothing says
    /// which.
    pub(super) fn sections(&self, ground: Ground, placement: usize) -> Result<Vec<usize>, String> {
        let all = &ground.contract.sections;
        let on_line = ground.line.placements.get(placement);
        let mut touched: Vec<usize> =
            on_line.into_iter().flat_map(|p| &p.stretches).map(|&s| ground.line.stretches[s].section).collect();
        touched.sort_unstable();
        touched.dedup();
        let number = &ground.records.placements[placement].number.value;
        let specified: Vec<usize> = touched.iter().copied().filter(|&s| all[s].strength.is_some()).collect();
        let point = self.lane.zip(self.station).and_then(|(lane, at)| ground.stretch_at(lane, at)).map(|s| s.section);
        let chosen = match (point, specified.as_slice()) {
            (Some(section), _) if specified.contains(&section) => section,
            (Some(section), _) if touched.contains(&section) => {
                return Err(format!("section {} has no specified strength", all[section].name));
            }
            (_, [first, rest @ ..]) if rest.iter().all(|&s| alike(&all[*first], &all[s])) => *first,
            (_, []) if touched.is_empty() => return Err(format!("placement {number} lies in no section")),
            (_, []) => return Err(format!("placement {number} lies in no section with a specified strength")),
            _ => {
                return Err(format!(
                    "placement {number} lies in sections of different specified strength, and nothing says in which it was cast"
                ));
            }
        };
        let mut sections: Vec<usize> = specified.into_iter().filter(|&s| alike(&all[chosen], &all[s])).collect();
        sections.sort_by_key(|&s| (s != chosen, s));
        Ok(sections)
    }
}

/// Whether two sections specify the same strength, at the same age, of the same kind of specimen.
pub(super) fn alike(a: &Section, b: &Section) -> bool {
    let spec = |s: &Section| s.strength.as_ref().map(|(strength, age)| (strength.value, age.value));
    spec(a) == spec(b) && a.flexural == b.flexural
}

/// The one value that all name, if any does.
fn one<T>(what: &str, mut values: impl Iterator<Item = T>, same: impl Fn(&T, &T) -> bool) -> Result<Option<T>, String> {
    let Some(first) = values.next() else { return Ok(None) };
    if values.all(|value| same(&first, &value)) {
        Ok(Some(first))
    } else {
        Err(format!("its specimens name different {what}"))
    }
}
