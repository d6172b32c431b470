//! Lanes, items, materials and mixes as sheets name them, and stations as they are written.
//!
//! A lane is known by its name in the contract or by what the contract says sheets call it; blanks, dashes and case do
//! not tell lanes apart unless two lanes would then be one.

use std::collections::{BTreeMap, BTreeSet};

use rust_decimal::Decimal;

use super::record::LaneId;
use super::setting::{LaneWords, Setting};
use crate::units::{Alignment, Station, StationError, StationLabel};

/// The names of all lanes and items of the contract.
#[derive(Clone, Debug, Default)]
pub(super) struct Names {
    plain: BTreeMap<String, LaneId>,
    exact: BTreeMap<String, Vec<LaneId>>,
    folded: BTreeMap<String, Vec<LaneId>>,
    items: BTreeMap<String, Vec<usize>>,
    materials: BTreeMap<String, Vec<usize>>,
    mixes: BTreeSet<String>,
}

fn is_called(lane: &LaneWords, word: &str) -> bool {
    std::iter::once(&lane.name).chain(&lane.also).any(|w| w.trim().eq_ignore_ascii_case(word.trim()))
}

fn squeezed(text: &str) -> String {
    text.chars().filter(|c| c.is_alphanumeric()).flat_map(char::to_lowercase).collect()
}

/// Why a lane could not be told.
#[derive(Clone, Debug, PartialEq, Eq)]
pub(super) enum NoLane {
    /// No lane is called so.
    Unknown(String),
    /// More than one is.
    Several(String, Vec<LaneId>),
}

impl Names {
    pub(super) fn of(setting: &Setting) -> Self {
        let mut names = Self::default();
        for (place, lane) in setting.lanes.iter().enumerate() {
            let Ok(id) = u16::try_from(place).map(LaneId) else { break };
            if setting.lanes.iter().all(|other| std::ptr::eq(other, lane) || !is_called(other, &lane.name)) {
                names.plain.insert(lane.name.clone(), id);
            }
            for word in std::iter::once(&lane.name).chain(&lane.also) {
                push(&mut names.exact, word.trim().to_lowercase(), id);
                push(&mut names.folded, squeezed(word), id);
            }
        }
        for (place, item) in setting.items.iter().enumerate() {
            push(&mut names.items, squeezed(&item.number), place);
        }
        for (place, material) in setting.materials.iter().enumerate() {
            for word in std::iter::once(&material.name).chain(&material.also) {
                push(&mut names.materials, squeezed(word), place);
            }
        }
        names.mixes = setting.mixes.iter().map(|mix| squeezed(mix)).collect();
        names
    }

    /// The lane that a text names.
    pub(super) fn lane(&self, text: &str) -> Result<LaneId, NoLane> {
        let text = text.trim();
        if let Some(lane) = self.plain.get(text) {
            return Ok(*lane);
        }
        let exact = self.exact.get(&text.to_lowercase());
        match exact.or_else(|| self.folded.get(&squeezed(text))).map_or(&[][..], Vec::as_slice) {
            [only] => Ok(*only),
            [] => Err(NoLane::Unknown(text.to_string())),
            several => Err(NoLane::Several(text.to_string(), several.to_vec())),
        }
    }

    /// One lane or several: `NB-1`, `NB-1 & NB-2`, `1, 2`.
    pub(super) fn lanes(&self, text: &str) -> Result<Vec<LaneId>, NoLane> {
        match self.lane(text) {
            Ok(lane) => return Ok(vec![lane]),
            Err(several @ NoLane::Several(..)) => return Err(several),
            Err(NoLane::Unknown(_)) => {}
        }
        let joined = text.replace(" and ", "&").replace(" AND ", "&");
        let mut lanes = Vec::new();
        for piece in joined.split(['&', ',', ';', '/', '+', '\n']).map(str::trim).filter(|p| !p.is_empty()) {
            let lane = self.lane(piece)?;
            if !lanes.contains(&lane) {
                lanes.push(lane);
            }
        }
        lanes.sort_unstable();
        if lanes.is_empty() { Err(NoLane::Unknown(text.to_string())) } else { Ok(lanes) }
    }

    /// The material that a text names; `None` where there is none, or more than one.
    pub(super) fn material(&self, text: &str) -> Option<usize> {
        match self.materials.get(&squeezed(text)).map_or(&[][..], Vec::as_slice) {
            [only] => Some(*only),
            _ => None,
        }
    }

    /// Whether a text names a mix of the contract.
    pub(super) fn is_mix(&self, text: &str) -> bool {
        self.mixes.contains(&squeezed(text))
    }

    /// The item that a number names; `None` where there is none, or more than one.
    pub(super) fn item(&self, text: &str) -> Option<usize> {
        match self.items.get(&squeezed(text)).map_or(&[][..], Vec::as_slice) {
            [only] => Some(*only),
            _ => None,
        }
    }
}

fn push<T: Copy + PartialEq>(map: &mut BTreeMap<String, Vec<T>>, key: String, value: T) {
    let all = map.entry(key).or_default();
    if !all.contains(&value) {
        all.push(value);
    }
}

/// The names of some lanes, for a message.
pub(super) fn lane_names(setting: &Setting, lanes: &[LaneId]) -> String {
    let names: Vec<&str> =
        lanes.iter().filter_map(|l| setting.lanes.get(usize::from(l.0))).map(|l| l.name.as_str()).collect();
    names.join(", ")
}

/// The names of all lanes, for a message.
pub(super) fn all_lanes(setting: &Setting) -> String {
    setting.lanes.iter().map(|l| l.name.as_str()).collect::<Vec<_>>().join(", ")
}

/// A station with what is written behind it.
pub(super) fn station<'t>(text: &'t str, alignment: &Alignment) -> Result<(Station, &'t str), StationError> {
    let (label, rest) = StationLabel::read(text, alignment.full_station)?;
    Ok((alignment.place(label)?, rest))
}

/// Whether what stands behind a station can be an offset: `Rt`, `Lt 3.2`, `12 ft right`, `CL`.
pub(super) fn is_offset(rest: &str) -> bool {
    let rest = rest.trim_start_matches([',', ';', '(', ' ', '@']).to_lowercase();
    let rest = rest.trim_start_matches(|c: char| c.is_ascii_digit() || matches!(c, '.' | ' ' | '\'' | '"'));
    let rest =
        rest.strip_prefix("ft").or_else(|| rest.strip_prefix('m')).unwrap_or(rest).trim_start_matches(['.', ' ']);
    let word: String = rest.chars().take_while(|c| c.is_alphabetic()).collect();
    ["lt", "rt", "l", "r", "left", "right", "cl", "c", "centerline", "centreline", "offset"].contains(&word.as_str())
}

/// Words and signs between the ends of a stretch.
const BETWEEN: [&str; 12] = ["through", "thru", "until", "to", "--", "-", "–", "—", "→", "/", ",", "~"];

/// Both ends of `12+00 to 14+50 Lt`, as two texts, and what stands behind them.
pub(super) fn ends(text: &str, alignment: &Alignment) -> Option<(String, String, String)> {
    let text = text.trim();
    let (_, rest) = StationLabel::read(text, alignment.full_station).ok()?;
    let lower = rest.to_lowercase();
    let word = BETWEEN.iter().find(|w| lower.starts_with(**w)).map_or(0, |w| w.len());
    let to = rest.get(word..)?.trim();
    let (_, left) = StationLabel::read(to, alignment.full_station).ok()?;
    let before = &text[..text.len() - rest.len()];
    let apart = word > 0 || before.ends_with(['\n', '\t']) || before.ends_with("  ");
    let end = to[..to.len() - left.len()].trim_end();
    apart.then(|| (before.trim_end().to_string(), end.to_string(), left.to_string()))
}

/// Both ends of `1200-1450`: two bare distances.
pub(super) fn bare_ends(text: &str) -> Option<(Decimal, Decimal)> {
    let figure = |t: &str| {
        let sound = t.bytes().all(|b| b.is_ascii_digit() || b == b'.') && t.starts_with(|c: char| c.is_ascii_digit());
        if sound { t.parse::<Decimal>().ok() } else { None }
    };
    let text = text.trim();
    let (from, rest) = text.split_at(text.find(|c: char| !c.is_ascii_digit() && c != '.')?);
    let lower = rest.trim_start().to_lowercase();
    let word = BETWEEN.iter().take_while(|w| **w != "/").find(|w| lower.starts_with(**w))?.len();
    Some((figure(from)?, figure(rest.trim_start().get(word..)?.trim())?))
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn what_stands_behind_a_station_is_an_offset_or_not() {
        for text in ["Rt", "LT 3.2", "6.0 Rt", "12 ft right", "CL", "(R)", "4.5' lt"] {
            assert!(is_offset(text), "{text}");
        }
        for text in ["to 14+50", "broken", "?", "14+50"] {
            assert!(!is_offset(text), "{text}");
        }
    }

    #[test]
    fn a_cell_may_hold_both_ends() {
        let line = Alignment {
            name: "NB".into(),
            full_station: dec!(100),
            begin: dec!(1000),
            end: dec!(2000),
            equations: vec![],
        };
        for text in ["12+00 to 14+50", "12+00-14+50", "Sta. 12+00 – Sta. 14+50", "12+00 thru 14+50", "12+00\n14+50"] {
            let (from, to, _) = ends(text, &line).unwrap_or_else(|| panic!("{text}"));
            assert_eq!(station(&from, &line).unwrap().0.label, dec!(1200), "{text}");
            assert_eq!(station(&to, &line).unwrap().0.label, dec!(1450), "{text}");
        }
        assert!(ends("12+00", &line).is_none());
        assert_eq!(ends("12+00 to 14+50 to 16+00", &line).unwrap().2, "to 16+00");
        assert_eq!(ends("12+00  14+50", &line).unwrap().1, "14+50");
        assert!(ends("12+00 14+50", &line).is_none());
        assert_eq!(bare_ends("1200 - 1450.5"), Some((dec!(1200), dec!(1450.5))));
        assert_eq!(bare_ends("12+00 - 14+50"), None);
    }
}
