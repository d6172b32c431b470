//! Which placement a load went to.
//!
//! The placement number on the ticket decides. Without one: the day, the lane and the mix where both say them, and last
//! the time of day, within first and last concrete. Exactly one must be left; nothing is guessed.

use chrono::NaiveTime;

use super::Directory;
use super::names::folded;
use crate::contract::Contract;
use crate::finding::{Code, Finding, Place};
use crate::intake::{Load, Placement, Records};
use crate::units::plain;

/// Placements, and where to look them up.
struct Index<'r> {
    placements: &'r [Placement],
    directory: &'r Directory,
}

/// Why a load went nowhere: in words, and the placements it could mean.
struct Unmatched {
    why: String,
    candidates: Vec<usize>,
}

/// For each load, in the order of the records, the placement it went to; and a finding for each that fits none.
pub(super) fn matched(
    contract: &Contract,
    records: &Records,
    directory: &Directory,
) -> (Vec<Option<usize>>, Vec<Finding>) {
    let index = Index { placements: &records.placements, directory };
    let mut findings = Vec::new();
    let mut goes_to = Vec::with_capacity(records.loads.len());
    for load in &records.loads {
        goes_to.push(match index.find(contract, load) {
            Ok(placement) => {
                findings.extend(contradiction(contract, load, &records.placements[placement]));
                Some(placement)
            }
            Err(unmatched) => {
                findings.push(finding(contract, records, load, &unmatched));
                None
            }
        });
    }
    (goes_to, findings)
}

impl Index<'_> {
    fn find(&self, contract: &Contract, load: &Load) -> Result<usize, Unmatched> {
        match &load.placement {
            Some(number) => self.by_number(load, &number.value),
            None => self.by_day_and_place(contract, load),
        }
    }

    fn by_number(&self, load: &Load, number: &str) -> Result<usize, Unmatched> {
        let named = self.directory.numbered(number);
        if named.is_empty() {
            let why = format!("it names placement {number}, which stands on no placement sheet");
            return Err(Unmatched { why, candidates: self.directory.on(load.date.value).to_vec() });
        }
        let same_day = |&i: &usize| self.placements[i].date.value == load.date.value;
        let on_day: Vec<usize> = named.iter().copied().filter(same_day).collect();
        match (named, on_day.as_slice()) {
            ([only], _) | (_, [only]) => Ok(*only),
            _ => {
                let why = format!("it names placement {number}, which stands on {} rows", named.len());
                Err(Unmatched { why, candidates: named.to_vec() })
            }
        }
    }

    fn by_day_and_place(&self, contract: &Contract, load: &Load) -> Result<usize, Unmatched> {
        let day = self.directory.on(load.date.value);
        let in_lane = |i: usize| load.lane.as_ref().is_none_or(|l| self.placements[i].lanes.value.contains(&l.value));
        let of_mix = |i: usize| match (&load.mix, &self.placements[i].mix) {
            (Some(a), Some(b)) => folded(&a.value) == folded(&b.value),
            _ => true,
        };
        let fits: Vec<usize> = day.iter().copied().filter(|&i| in_lane(i) && of_mix(i)).collect();
        let at_time: Vec<usize> = fits.iter().copied().filter(|&i| self.within_times(load, i)).collect();
        match (fits.as_slice(), at_time.as_slice()) {
            ([only], _) | (_, [only]) => Ok(*only),
            _ => Err(self.several(contract, load, day.to_vec(), fits)),
        }
    }

    /// False only where both say their times and the load's lies outside.
    fn within_times(&self, load: &Load, placement: usize) -> bool {
        let at = load.discharged.as_ref().or(load.batched.as_ref());
        match (at, &self.placements[placement].times) {
            (Some(at), (Some(first), Some(last))) => between(at.value, first.value, last.value),
            _ => true,
        }
    }

    fn several(&self, contract: &Contract, load: &Load, day: Vec<usize>, fits: Vec<usize>) -> Unmatched {
        let date = load.date.value;
        let lane = load.lane.as_ref().map(|l| format!(" in lane {}", contract.lane(l.value).name)).unwrap_or_default();
        let mix = load.mix.as_ref().map(|m| format!(" of mix {}", m.value)).unwrap_or_default();
        let at = load.discharged.as_ref().or(load.batched.as_ref()).map(|t| t.value);
        match (day.len(), fits.len()) {
            (0, _) => Unmatched { why: format!("it names no placement, and there is none on {date}"), candidates: day },
            (_, 0) => {
                Unmatched { why: format!("it names no placement, and none on {date} is{lane}{mix}"), candidates: day }
            }
            (_, n) if at.is_some() && !fits.iter().any(|&i| self.within_times(load, i)) => Unmatched {
                why: format!(
                    "it names no placement, and none of the {n} on {date}{lane}{mix} was under way{}",
                    time(at)
                ),
                candidates: fits,
            },
            (_, n) => Unmatched {
                why: format!("it names no placement, and {n} on {date}{lane}{mix} could be meant"),
                candidates: fits,
            },
        }
    }
}

fn time(at: Option<NaiveTime>) -> String {
    at.map(|t| format!(" at {}", t.format("%H:%M"))).unwrap_or_default()
}

/// A placement that runs past midnight ends earlier on the clock than it begins.
fn between(at: NaiveTime, first: NaiveTime, last: NaiveTime) -> bool {
    if first <= last { first <= at && at <= last } else { at >= first || at <= last }
}

fn finding(contract: &Contract, records: &Records, load: &Load, unmatched: &Unmatched) -> Finding {
    let named: Vec<String> = unmatched
        .candidates
        .iter()
        .map(|&i| {
            let p = &records.placements[i];
            format!("{} ({})", p.number.value, super::span(contract, p))
        })
        .collect();
    let candidates =
        if named.is_empty() { String::new() } else { format!("; placements it could be: {}", named.join(", ")) };
    Finding::new(
        Code::LoadWithoutPlacement,
        Place::Row(load.ticket.at),
        format!(
            "ticket {}, {} {}, counts for no placement: {}{candidates}",
            load.ticket.value,
            plain(load.volume.value),
            contract.system.volume(),
            unmatched.why
        ),
        "write the placement's number on the load's row, or correct its day, lane or mix",
    )
    .with(unmatched.candidates.iter().map(|&i| Place::Row(records.placements[i].number.at)))
}

/// A load that names a placement counts there; where its day, lane or mix says otherwise, a reader must see it. A shift may
/// run past midnight, so the day after is no contradiction.
fn contradiction(contract: &Contract, load: &Load, placement: &Placement) -> Option<Finding> {
    let stated = load.placement.as_ref()?;
    let days = (load.date.value - placement.date.value).num_days();
    let mut against: Vec<String> = Vec::new();
    if days != 0 && days != 1 {
        against.push(format!("is dated {}", load.date.value));
    }
    if let Some(lane) = load.lane.as_ref().filter(|l| !placement.lanes.value.contains(&l.value)) {
        against.push(format!("went to lane {}", contract.lane(lane.value).name));
    }
    if let (Some(own), Some(other)) = (&load.mix, &placement.mix)
        && folded(&own.value) != folded(&other.value)
    {
        against.push(format!("is of mix {}", own.value));
    }
    let other = placement.mix.as_ref().map(|m| format!(", mix {}", m.value)).unwrap_or_default();
    (!against.is_empty()).then(|| {
        Finding::new(
            Code::LoadContradicts,
            Place::Row(load.ticket.at),
            format!(
                "ticket {} names placement {} of {} ({}{other}) but {}; it counts there",
                load.ticket.value,
                stated.value,
                placement.date.value,
                super::span(contract, placement),
                against.join(" and ")
            ),
            "correct the load's row or the placement's, whichever is wrong",
        )
        .with([Place::Row(placement.number.at)])
    })
}

#[cfg(test)]
mod tests {
    use super::super::fixture::{self, NB_1, NB_2};
    use super::*;
    use rust_decimal::dec;

    fn two_a_day() -> (Contract, Vec<Placement>) {
        let contract = fixture::contract();
        let mut morning = fixture::placement(&contract, "1", "2031-07-01", &[NB_1], "10+00", "12+00");
        morning.times = (Some(fixture::time("06:00")), Some(fixture::time("11:00")));
        let mut evening = fixture::placement(&contract, "2", "2031-07-01", &[NB_2], "10+00", "12+00");
        evening.times = (Some(fixture::time("12:00")), Some(fixture::time("18:00")));
        (contract, vec![morning, evening])
    }

    fn goes_to(change: impl Fn(&mut Load)) -> (Option<usize>, Vec<Finding>) {
        let (contract, placements) = two_a_day();
        let mut load = fixture::load(501, "2031-07-01", dec!(8), None);
        change(&mut load);
        let directory = Directory::of(&placements);
        let (goes_to, findings) = matched(&contract, &fixture::records(placements, vec![load]), &directory);
        (goes_to[0], findings)
    }

    #[test]
    fn the_number_on_the_ticket_decides() {
        let (to, findings) = goes_to(|l| l.placement = Some(fixture::read("02".into(), 1, 1, 3)));
        assert_eq!((to, findings.len()), (Some(1), 0));
    }

    #[test]
    fn a_number_against_day_lane_and_mix_is_said() {
        let (to, findings) = goes_to(|l| {
            l.placement = Some(fixture::read("2".into(), 1, 1, 3));
            l.date.value = fixture::day("2031-07-21");
            l.lane = Some(fixture::read(NB_1, 1, 1, 4));
            l.mix = Some(fixture::read("HES".into(), 1, 1, 5));
        });
        assert_eq!(to, Some(1));
        assert_eq!(
            findings[0].message,
            "ticket 501 names placement 2 of 2031-07-01 (NB-2, 10+00 to 12+00, mix P-4000) but is dated 2031-07-21 and \
             went to lane NB-1 and is of mix HES; it counts there"
        );
        let (_, findings) = goes_to(|l| {
            l.placement = Some(fixture::read("2".into(), 1, 1, 3));
            l.date.value = fixture::day("2031-07-02");
        });
        assert!(findings.is_empty(), "a shift past midnight");
    }

    #[test]
    fn lane_and_time_tell_two_placements_of_a_day_apart() {
        assert_eq!(goes_to(|l| l.lane = Some(fixture::read(NB_2, 1, 1, 4))).0, Some(1));
        assert_eq!(goes_to(|l| l.batched = Some(fixture::time("10:15"))).0, Some(0));
        assert_eq!(goes_to(|l| l.batched = Some(fixture::time("11:30"))).0, None, "between the two");
    }

    #[test]
    fn a_load_that_could_be_either_is_not_guessed() {
        let (to, findings) = goes_to(|_| {});
        assert_eq!(to, None);
        assert_eq!(
            findings[0].message,
            "ticket 501, 8 yd3, counts for no placement: it names no placement, and 2 on 2031-07-01 could be meant; \
             placements it could be: 1 (NB-1, 10+00 to 12+00), 2 (NB-2, 10+00 to 12+00)"
        );
    }

    #[test]
    fn an_unknown_number_is_never_replaced_by_the_day() {
        let (to, findings) = goes_to(|l| l.placement = Some(fixture::read("9".into(), 1, 1, 3)));
        assert_eq!((to, findings[0].code), (None, Code::LoadWithoutPlacement));
        assert_eq!(goes_to(|l| l.date.value = fixture::day("2031-07-02")).0, None);
        assert_eq!(goes_to(|l| l.mix = Some(fixture::read("HES".into(), 1, 1, 5))).0, None);
    }
}
