//! A drilled core: number, day, lane, station and length readings, and what it was drilled for.
//!
//! A core that counts nowhere needs its reason. Where the base was low and filled with slab concrete, a core is as long
//! as slab and filling together: it must not be averaged, and a column or the remarks that say so void it. Remarks that
//! contradict what a column says outright are refused: either reading would move money.

use rust_decimal::Decimal;

use super::who::{Who, is_who, who};
use super::{VOID, begins, first_word, says_void};
use crate::finding::{Code, Finding, Place};
use crate::intake::cell::shown;
use crate::intake::kind::{Field, Holds, Measure};
use crate::intake::record::{Core, Purpose, Read};
use crate::intake::row::{Refused, Row};
use crate::intake::wording::fold;

pub(super) fn read(row: &mut Row<'_>) -> Option<Core> {
    let number = row.need(Field::Number, Row::text);
    let date = row.need(Field::Date, Row::date);
    let lane = row.need(Field::Lane, Row::lane);
    let station = lane.as_ref().and_then(|l| row.need(Field::Station, |r, f| r.station(f, l.value)));
    let offset = row.text(Field::Offset);
    let readings = readings(row);
    let (purpose, remarks) = purpose(row)?;
    let Who { taken_by, by, sampling, settles } = who(row, Some(Field::Purpose));
    let (station, behind) = station?;
    let offset = offset.or_else(|| behind.map(|text| Read { value: text, at: station.at, typed: None }));
    Some(Core {
        number: number?,
        date: date?,
        lane: lane?,
        station,
        offset,
        readings: readings?,
        purpose,
        taken_by,
        by,
        sampling,
        settles,
        remarks,
    })
}

/// All readings of a core, or its average where the sheet has only that.
fn readings(row: &mut Row<'_>) -> Option<Vec<Read<Decimal>>> {
    super::readings(row, (Holds::Readings, Field::Length), Measure::Depth)
}

type Text = Read<Box<str>>;

/// Words of a column for each purpose.
const EXPLORATORY: &[&str] = &["exploratory", "exploration", "exp", "expl", "bounding"];
const CHECK: &[&str] = &["check", "checking", "recheck", "confirmation", "confirming"];
const LOT: &[&str] =
    &["lot", "acceptance", "regular", "random", "standard", "initial", "primary", "original", "average", ""];
/// A base lower than planned, filled with the concrete of the slab.
const BASE_FILL: &[&str] = &[
    "low base",
    "base low",
    "base fill",
    "base filled",
    "filled base",
    "low subgrade",
    "subgrade low",
    "low subbase",
    "subgrade fill",
    "low spot in base",
    "low spot of base",
    "low spot in the base",
];

/// What remarks say of a core's purpose.
#[derive(Clone, Copy, PartialEq)]
enum Remarked {
    Nothing,
    Says(Purpose),
    /// They speak of exploratory cores, this one or others.
    Unclear,
}

/// What the words of the remarks say of a core. `exploratory cores` may speak of others: `unclear`.
fn remarked(remarks: &str) -> Remarked {
    let folded = format!(" {} ", fold(remarks));
    let says = |words: &str| {
        let denied = ["no", "not", "non", "without"].iter().any(|no| folded.contains(&format!(" {no} {words} ")));
        folded.contains(&format!(" {words} ")) && !denied
    };
    if begins(remarks, VOID) || says_void(remarks, false) || BASE_FILL.iter().any(|words| says(words)) {
        Remarked::Says(Purpose::Void)
    } else if says("exploratory cores") || says("see exploratory") {
        Remarked::Unclear
    } else if says("exploratory") {
        Remarked::Says(Purpose::Exploratory)
    } else if folded.starts_with(" check core ") {
        Remarked::Says(Purpose::Check)
    } else {
        Remarked::Nothing
    }
}

/// What the row's own columns say of the purpose; `Err` where a cell cannot be understood.
fn stated(row: &mut Row<'_>) -> Result<Option<(Purpose, Text)>, Refused> {
    if let Some(void) = voided(row)? {
        return Ok(Some((Purpose::Void, void)));
    }
    let Some(found) = row.find(Field::Purpose) else { return Ok(None) };
    let text = row.worded(&found).ok_or(Refused)?;
    let (word, folded, heading) = (first_word(&text), fold(&text), fold(found.heading));
    let heads = |words: &[&str]| heading.split(' ').any(|w| words.contains(&w));
    let yes = matches!(folded.as_str(), "yes" | "y" | "x");
    // Beside a party the word may stand anywhere: `QC check core`.
    let beside = is_who(&text);
    let is =
        |words: &[&str]| words.contains(&word.as_str()) || (beside && folded.split(' ').any(|w| words.contains(&w)));
    let purpose = if is(VOID) || BASE_FILL.iter().any(|w| folded.contains(w)) {
        Purpose::Void
    } else if is(EXPLORATORY) || (yes && heads(EXPLORATORY)) {
        Purpose::Exploratory
    } else if is(CHECK) || (yes && heads(CHECK)) {
        Purpose::Check
    } else if folded.is_empty() {
        return Ok(None);
    } else if is(LOT) || (is(&["no", "n"]) && (heads(EXPLORATORY) || heads(CHECK))) {
        Purpose::Lot
    } else if beside {
        return Ok(None);
    } else {
        let what = "does not say what the core is for";
        row.refuse(Code::CellUnreadable, &found, what, "write acceptance, exploratory, check, or void with the reason");
        return Err(Refused);
    };
    let said = Read { value: text.trim().into(), at: found.at, typed: None };
    Ok(Some((purpose, said)))
}

/// A column that says whether the core is void.
fn voided(row: &mut Row<'_>) -> Result<Option<Text>, Refused> {
    let Some(found) = row.find(Field::Voided) else { return Ok(None) };
    let text = row.worded(&found).ok_or(Refused)?;
    if VOID.contains(&first_word(&text).as_str()) || matches!(fold(&text).as_str(), "yes" | "y" | "x") {
        return Ok(Some(Read { value: text.trim().into(), at: found.at, typed: None }));
    }
    if matches!(fold(&text).as_str(), "no" | "n" | "" | "ok") {
        return Ok(None);
    }
    let what = "does not say whether the core is void";
    row.refuse(Code::CellUnreadable, &found, what, "write yes or no, and the reason in the remarks");
    Err(Refused)
}

/// The purpose, and the remarks with the reason of a void core.
fn purpose(row: &mut Row<'_>) -> Option<(Purpose, Option<Text>)> {
    let remarks = row.text(Field::Remarks);
    let stated = stated(row).ok()?;
    let remarked = remarks.as_ref().map_or(Remarked::Nothing, |r| remarked(&r.value));
    let Some((stated, words)) = stated else {
        let purpose = match remarked {
            Remarked::Nothing => Purpose::Lot,
            Remarked::Says(purpose) => purpose,
            Remarked::Unclear => {
                unclear(row, remarks.as_ref());
                return None;
            }
        };
        return (purpose != Purpose::Void || has_reason(row, remarks.as_ref())).then_some((purpose, remarks));
    };
    if contradict(stated, remarked) {
        conflict(row, &words, remarks.as_ref());
        return None;
    }
    if stated != Purpose::Void {
        return Some((stated, remarks));
    }
    let remarks = reasoned(&words, remarks);
    has_reason(row, remarks.as_ref()).then_some((stated, remarks))
}

/// Whether the remarks say something else than the column.
fn contradict(stated: Purpose, remarked: Remarked) -> bool {
    match remarked {
        Remarked::Says(Purpose::Void) => stated != Purpose::Void,
        Remarked::Says(Purpose::Exploratory | Purpose::Check) => stated == Purpose::Lot,
        _ => false,
    }
}

fn conflict(row: &mut Row<'_>, words: &Text, remarks: Option<&Text>) {
    let (said, at) = remarks.map_or(("", words.at), |r| (&*r.value, r.at));
    let number = number(row);
    let message = format!(
        "the column says that core {number} is for '{}', and its remarks say '{said}'; it is not counted until one of them is corrected",
        words.value
    );
    row.faults.push(Finding::new(Code::CorePurpose, Place::Cell(at), message, STATE).with([Place::Cell(words.at)]));
}

/// No column says what the core is for, and its remarks can be read both ways.
fn unclear(row: &mut Row<'_>, remarks: Option<&Text>) {
    let Some(remarks) = remarks else { return };
    let message = format!(
        "core {} may be exploratory or not: its remarks say '{}', and no column says what it is for; it is not counted until one does",
        number(row),
        remarks.value
    );
    row.faults.push(Finding::new(Code::CorePurpose, Place::Cell(remarks.at), message, STATE));
}

/// The core's number as it stands.
fn number(row: &Row<'_>) -> String {
    row.raw(Field::Number).map_or_else(String::new, |c| shown(&c.value))
}

/// The remedy where the purpose is in question.
const STATE: &str = "write in a column 'Purpose' what the core is for: acceptance, exploratory, check, or void with the reason in the remarks";

/// The reason of a void core stands in its remarks; a column that says it itself (`low base`) is put before them.
fn reasoned(words: &Text, remarks: Option<Text>) -> Option<Text> {
    if is_bare(&words.value) {
        return remarks;
    }
    let value =
        remarks.as_ref().map_or_else(|| words.value.clone(), |r| format!("{}; {}", words.value, r.value).into());
    Some(Read { value, at: words.at, typed: None })
}

/// Whether a text says that a core is void and not why.
fn is_bare(text: &str) -> bool {
    let folded = fold(text);
    VOID.contains(&folded.as_str()) || matches!(folded.as_str(), "yes" | "y" | "x" | "void core" | "core void")
}

/// A core is void only with its reason.
fn has_reason(row: &mut Row<'_>, remarks: Option<&Text>) -> bool {
    let has = remarks.is_some_and(|r| !is_bare(&r.value));
    if !has {
        let place = remarks.map_or_else(|| Place::Row(row.own_cell()), |r| Place::Cell(r.at));
        let number = number(row);
        let message = format!("core {number} is marked void, and nothing says why");
        row.faults.push(Finding::new(
            Code::CellMissing,
            place,
            message,
            "write the reason in the remarks; until then the core is listed with the rows that could not be read",
        ));
    }
    has
}

/// Whether a row whose core cannot be read whole is void with its reason: then it is set aside like any void row.
pub(super) fn is_void(row: &Row<'_>) -> Option<String> {
    let text = |field: Field| row.raw(field).map(|c| shown(&c.value)).unwrap_or_default();
    let (purpose, voided, remarks) = (text(Field::Purpose), text(Field::Voided), text(Field::Remarks));
    let said = |t: &str| VOID.contains(&first_word(t).as_str()) || BASE_FILL.iter().any(|w| fold(t).contains(w));
    let yes = matches!(fold(&voided).as_str(), "yes" | "y" | "x");
    let by_column = said(&purpose) || said(&voided) || yes;
    let void = by_column || (purpose.is_empty() && (begins(&remarks, VOID) || says_void(&remarks, false)));
    let reasons: Vec<&str> =
        [&*purpose, &*remarks].into_iter().filter(|t| !t.trim().is_empty() && !is_bare(t)).collect();
    (void && !reasons.is_empty()).then(|| format!("marked void: {}", reasons.join(", ")))
}
