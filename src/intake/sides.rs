//! Lanes named behind a stretch, in one cell with it: `12+00 to 14+50 Lt & Rt`, `12+00 - 14+50 (NB-1)`.
//!
//! What stands behind the stretch names lanes where each word is a lane of the contract, by its name or by what the
//! contract says sheets call it. It must agree with the row's own lane; an unknown word is refused.

use super::kind::Field;
use super::lane;
use super::record::{LaneId, Read};
use super::row::{Found, Row};
use super::table::Table;
use crate::finding::Code;
use crate::units::Alignment;

/// What stands behind a stretch in a text; nothing where it is no stretch, or nothing stands there.
pub(super) fn behind(text: &str, alignment: &Alignment) -> Option<String> {
    let (.., rest) = lane::ends(text, alignment)?;
    let words = rest.trim_matches(|c: char| c.is_whitespace() || matches!(c, '(' | ')' | '[' | ']' | ',' | ';' | ':'));
    let words = words.trim_start_matches(['-', '–', '@']).trim().trim_end_matches('.');
    (!words.is_empty()).then(|| words.to_string())
}

impl<'a> Row<'a> {
    /// Lanes of the row: in their own cell, or behind its stretch.
    pub(super) fn lanes(&mut self, field: Field) -> Option<Read<Vec<LaneId>>> {
        let before = self.faults.len();
        let own = self.own_lanes(field);
        let Some((found, words)) = self.words_behind().filter(|_| self.faults.len() == before) else { return own };
        let Ok(said) = self.words.names.lanes(&words) else {
            let lanes = lane::all_lanes(self.words.setting);
            let what =
                format!("has '{words}' behind its stations, which is no lane of the contract; its lanes are {lanes}");
            let cure = format!("write the stations alone, or add `also = [\"{words}\"]` to the lane in contract.toml");
            self.refuse(Code::LaneUnknown, &found, &what, &cure);
            return None;
        };
        match own {
            Some(own) if own.value == said => Some(own),
            Some(own) => {
                let setting = self.words.setting;
                let what = format!(
                    "names {} behind its stations, and the row's lane is {}",
                    lane::lane_names(setting, &said),
                    lane::lane_names(setting, &own.value)
                );
                self.refuse(Code::LaneUnknown, &found, &what, "correct one of the two");
                None
            }
            None => Some(found.keep(said, Some(found.shown().into()))),
        }
    }

    /// The cell of the row's stretch, with the words behind it.
    fn words_behind(&mut self) -> Option<(Found<'a>, String)> {
        let column = self.table.column(Field::Stations)?;
        let found = self.in_column(column).ok()??;
        let super::raw::RawValue::Text(text) = found.value else { return None };
        let words = behind(text, self.words.setting.alignments.first()?)?;
        Some((found, words))
    }
}

/// Whether the first rows under a heading name lanes behind their stretches.
pub(super) fn are_named(table: &Table, grid: &super::grid::Grid<'_>, alignments: &[Alignment]) -> bool {
    let (Some(column), Some(alignment)) = (table.column(Field::Stations), alignments.first()) else { return false };
    let below = grid.lines.partition_point(|l| l.row <= table.heading.row);
    grid.lines[below..].iter().take(20).filter_map(|l| grid.holding(*l, column.at)).any(|cell| match &cell.value {
        super::raw::RawValue::Text(text) => behind(text, alignment).is_some(),
        _ => false,
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use rust_decimal::dec;

    #[test]
    fn words_behind_a_stretch_are_found() {
        let line = Alignment {
            name: "NB".into(),
            full_station: dec!(100),
            begin: dec!(0),
            end: dec!(9000),
            equations: vec![],
        };
        for (text, words) in [
            ("12+00 to 14+50 Lt & Rt", Some("Lt & Rt")),
            ("12+00 - 14+50 (NB-1)", Some("NB-1")),
            ("Sta 12+00 TO 14+50, Lt.", Some("Lt")),
            ("12+00 to 14+50", None),
            ("12+00 14+50", None),
            ("12+00", None),
        ] {
            assert_eq!(behind(text, &line).as_deref(), words, "{text}");
        }
    }
}
