//! Which placement and sections a set of specimens stands for.

use chrono::NaiveDate;

use crate::accept::ground::Ground;
use crate::accept::said::Said;
use crate::contract::Section;
use crate::intake::{LaneId, Read, Specimen};
use crate::line::folded;
use crate::units::Station;

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
            day: cast,
        })
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
