//! What a test of fresh concrete stands for: its load, its placement, or its day.
//!
//! The ticket leads to its load and the load to its placement; a placement's number leads there itself. Where both are
//! said they must agree. Without either, the day with lane and station must leave exactly one. Nothing is guessed.

use chrono::{Days, NaiveDate};
use rust_decimal::Decimal;

use crate::accept::Places;
use crate::accept::ground::Ground;
use crate::accept::said::Said;
use crate::intake::{Fresh, Outcome, Read, each_ticket, ticket_run};
use crate::line::{Stretch, add_place, folded};
use crate::rules::Represents;

/// What a test stands for; loads and placements by place in the records.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(super) enum Stands {
    /// A load.
    Load(usize),
    /// A placement.
    Placement(usize),
    /// What was placed of a section on a day.
    Day(NaiveDate, usize),
}

impl Stands {
    /// What a test stands for; for its day, one for each section it lies in.
    ///
    /// # Errors
    /// In words, why it cannot be told.
    pub(super) fn of(ground: Ground, by: Represents, test: &Fresh) -> Result<Vec<Self>, String> {
        let loads = loads(ground, test);
        let stands = match by {
            Represents::Load => {
                let loads = loads?;
                if loads.is_empty() {
                    return Err("it names no ticket, and a test stands for its load".into());
                }
                for &load in &loads {
                    agrees(ground, test, load)?;
                }
                loads.into_iter().map(Stands::Load).collect()
            }
            Represents::Placement => vec![Stands::Placement(placement(ground, test, loads)?)],
            Represents::Day => day(ground, test, loads)?,
        };
        if stands.iter().any(|stands| !stands.ground(ground).is_empty()) {
            return Ok(stands);
        }
        let name = stands.first().map_or_else(String::new, |stands| stands.name(ground));
        Err(format!("{name} lies in no section"))
    }

    /// The placement, where it is one or a load of one.
    pub(super) fn placement(&self, ground: Ground) -> Option<usize> {
        match *self {
            Stands::Load(load) => ground.line.placement_of_load(load),
            Stands::Placement(placement) => Some(placement),
            Stands::Day(..) => None,
        }
    }

    /// Its placed stretches, section by section; those of the whole placement for a load.
    pub(super) fn ground(&self, ground: Ground) -> Vec<(usize, Places)> {
        let placements = match *self {
            Stands::Day(day, _) => ground.line.directory.on(day).to_vec(),
            _ => self.placement(ground).into_iter().collect(),
        };
        let within = |stretch: &Stretch| !matches!(*self, Stands::Day(_, section) if stretch.section != section);
        let mut own: Vec<usize> =
            placements.into_iter().flat_map(|p| ground.line.placements[p].stretches.iter().copied()).collect();
        own.sort_unstable();
        let mut sections: std::collections::BTreeMap<usize, Places> = std::collections::BTreeMap::new();
        for stretch in own.into_iter().map(|s| &ground.line.stretches[s]).filter(|s| within(s)) {
            let places = sections.entry(stretch.section).or_default();
            add_place(places, (stretch.lane, stretch.from, stretch.to));
        }
        sections.into_iter().collect()
    }

    /// False for a load of which nothing went into the work.
    pub(super) fn went_in(&self, ground: Ground) -> bool {
        let Stands::Load(load) = *self else { return true };
        let load = &ground.records.loads[load];
        let off = |read: &Option<Read<Decimal>>| read.as_ref().map(|r| r.value).unwrap_or_default();
        load.outcome == Outcome::Placed && load.volume.value > off(&load.wasted) + off(&load.returned)
    }

    /// `load 88213 of 2031-07-01`.
    pub(super) fn name(&self, ground: Ground) -> String {
        match *self {
            Stands::Load(load) => {
                let load = &ground.records.loads[load];
                format!("load {} of {}", load.ticket.value, load.date.value)
            }
            Stands::Placement(placement) => {
                let placement = &ground.records.placements[placement];
                format!("placement {} of {}", placement.number.value, placement.date.value)
            }
            Stands::Day(day, section) => format!("{} of {day}", ground.contract.sections[section].name),
        }
    }
}

/// The loads of a test's tickets, dated on its day or, past midnight, on the day before; none where it names no ticket.
/// A test that names several belongs to each, where each is there.
fn loads(ground: Ground, test: &Fresh) -> Result<Vec<usize>, String> {
    let Some(ticket) = &test.ticket else { return Ok(Vec::new()) };
    let whole = !ground.line.directory.loads_of(&ticket.value).is_empty();
    let each = if whole { vec![&*ticket.value] } else { each_ticket(&ticket.value) };
    each.into_iter().map(|ticket| load(ground, ticket, test.date.value)).collect()
}

/// The load of one ticket.
fn load(ground: Ground, ticket: &str, day: NaiveDate) -> Result<usize, String> {
    let all = &ground.records.loads;
    let found = ground.line.directory.loads_of(ticket);
    let on = |day| found.iter().copied().filter(|&i| all[i].date.value == day).collect::<Vec<_>>();
    let before = day.checked_sub_days(Days::new(1)).unwrap_or(day);
    let fits = Some(on(day)).filter(|fits| !fits.is_empty()).unwrap_or_else(|| on(before));
    match (fits.as_slice(), found.first()) {
        ([only], _) => Ok(*only),
        ([], None) => Err(match ticket_run(ticket) {
            Some((first, last)) => format!(
                "its ticket {ticket} stands on no sheet of loads; it can be one ticket, or those from {first} to {last}: \
                 write each of them"
            ),
            None => format!("its ticket {ticket} stands on no sheet of loads"),
        }),
        ([], Some(&other)) => {
            Err(format!("the load of its ticket {ticket} is of {}, not of {day}", all[other].date.value))
        }
        (many, _) => Err(format!("its ticket {ticket} stands on {} loads", many.len())),
    }
}

/// The one placement of some loads.
fn agree(ground: Ground, test: &Fresh, loads: &[usize]) -> Result<usize, String> {
    let mut placements = loads.iter().map(|&load| agrees(ground, test, load));
    let first = placements.next().unwrap_or_else(|| Err(String::from("it names no ticket")))?;
    for other in placements {
        if other? != first {
            let ticket = test.ticket.as_ref().map_or("", |t| &t.value);
            return Err(format!("the loads of its tickets {ticket} went to more than one placement"));
        }
    }
    Ok(first)
}

/// The placement of a load.
///
/// # Errors
/// Where the load counts for none, or the test names another.
fn agrees(ground: Ground, test: &Fresh, load: usize) -> Result<usize, String> {
    let ticket = &ground.records.loads[load].ticket.value;
    let placement = ground
        .line
        .placement_of_load(load)
        .ok_or_else(|| format!("the load of its ticket {ticket} counts for no placement"))?;
    let own = &ground.records.placements[placement].number.value;
    match test.placement.as_ref().filter(|named| folded(&named.value) != folded(own)) {
        Some(named) => {
            Err(format!("it names placement {}, but the load of its ticket {ticket} went to {own}", named.value))
        }
        None => Ok(placement),
    }
}

fn said(test: &Fresh) -> Said {
    Said {
        placement: test.placement.as_ref().map(|p| p.value.trim().to_string()),
        lane: test.lane.as_ref().map(|lane| lane.value),
        station: test.station.as_ref().map(|station| station.value),
        day: test.date.value,
    }
}

/// By its ticket, else by what its row says. A ticket that leads nowhere does no harm beside a placement's number.
fn placement(ground: Ground, test: &Fresh, loads: Result<Vec<usize>, String>) -> Result<usize, String> {
    match loads {
        Ok(loads) if !loads.is_empty() => agree(ground, test, &loads),
        Err(why) if test.placement.is_none() => Err(why),
        _ => said(test).placement(ground),
    }
}

/// The section it was taken in, else those of its placement, else the only one of its day.
fn day(ground: Ground, test: &Fresh, loads: Result<Vec<usize>, String>) -> Result<Vec<Stands>, String> {
    let point = said(test).point().and_then(|(lane, at)| ground.stretch_at(lane, at));
    let placement = match placement(ground, test, loads) {
        Ok(placement) => placement,
        Err(why) => {
            let fits =
                if test.placement.is_none() && test.ticket.is_none() { said(test).of_the_day(ground) } else { vec![] };
            let mut sections: Vec<usize> = fits.iter().flat_map(|&p| sections(ground, p)).collect();
            sections.sort_unstable();
            sections.dedup();
            return match sections.as_slice() {
                [only] => Ok(vec![Stands::Day(test.date.value, *only)]),
                _ => Err(why),
            };
        }
    };
    let on = ground.records.placements[placement].date.value;
    let all = sections(ground, placement);
    Ok(match point.filter(|stretch| all.contains(&stretch.section)) {
        Some(stretch) => vec![Stands::Day(on, stretch.section)],
        None if all.is_empty() => vec![Stands::Placement(placement)],
        None => all.into_iter().map(|section| Stands::Day(on, section)).collect(),
    })
}

/// Sections that a placement lies in.
fn sections(ground: Ground, placement: usize) -> Vec<usize> {
    Stands::Placement(placement).ground(ground).into_iter().map(|(section, _)| section).collect()
}
