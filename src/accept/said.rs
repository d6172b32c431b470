//! What a sheet says about where a test was taken, and the placement that this means.
//!
//! The placement number on the sheet decides. Without one: the day, with the lane and the station where the sheet says
//! them. Exactly one placement must be left; nothing is guessed, and a number that contradicts the day is not used.

use chrono::{Days, NaiveDate};

use super::ground::Ground;
use crate::intake::{LaneId, Placement};
use crate::units::Station;

/// What is said about where a test was taken or its specimens cast.
#[derive(Clone, Debug, PartialEq)]
pub(super) struct Said {
    pub(super) placement: Option<String>,
    pub(super) lane: Option<LaneId>,
    pub(super) station: Option<Station>,
    pub(super) day: NaiveDate,
}

impl Said {
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
            [] => Err(format!("no placement of {}{} is on the sheets", self.day, self.whereabouts(ground))),
            many => {
                let all = &ground.records.placements;
                let names: Vec<&str> = many.iter().map(|&i| &*all[i].number.value).collect();
                Err(format!("placements {} of {} could be meant", names.join(", "), self.day))
            }
        }
    }

    /// Placements of that number, of its day or past midnight of it.
    fn named(&self, ground: Ground, number: &str) -> Result<Vec<usize>, String> {
        let all = &ground.records.placements;
        let named = ground.line.directory.numbered(number);
        let Some(&first) = named.first() else {
            return Err(format!("placement {number} stands on no placement sheet"));
        };
        let on = |day| named.iter().copied().filter(move |&i| all[i].date.value == day);
        let that_day: Vec<usize> = on(self.day).collect();
        if !that_day.is_empty() {
            return Ok(that_day);
        }
        let before = self.day.checked_sub_days(Days::new(1)).unwrap_or(self.day);
        let day_before: Vec<usize> = on(before).collect();
        if day_before.is_empty() {
            return Err(format!("placement {number} was placed on {}, not on {}", all[first].date.value, self.day));
        }
        Ok(day_before)
    }

    /// Placements of the day that fit lane and station.
    pub(super) fn of_the_day(&self, ground: Ground) -> Vec<usize> {
        let fits = |p: &Placement| {
            let (a, b) = (p.from.value.along, p.to.value.along);
            self.lane.is_none_or(|lane| p.lanes.value.contains(&lane))
                && self.station.is_none_or(|at| a.min(b) <= at.along && at.along <= a.max(b))
        };
        let of_day = ground.line.directory.on(self.day).iter().copied();
        of_day.filter(|&i| fits(&ground.records.placements[i])).collect()
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
}
