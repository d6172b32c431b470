//! `[variation]`: what happens where a final quantity is far from the one bid; `[payment]`: what becomes of an estimate below
//! zero.

use rust_decimal::Decimal;

use super::model::Variation;
use crate::contract::ground::entered;
use crate::keyed::{Found, Group, Reader};
use crate::units::Unit;

/// Variation; `None` within where the contract has no such clause.
#[allow(clippy::option_option)] // mistaken, absent, there
pub(super) fn variation(reader: &mut Reader<'_>, root: &Group) -> Option<Option<Variation>> {
    let Some(group) = root.group("variation") else { return (!root.has("variation")).then_some(None) };
    let hundred = Decimal::from(100);
    let (over, under) = (group.quantity("over")?, group.quantity("under")?);
    let mut lies = |found: &Found<(Decimal, Unit)>, wrong: bool, side: &str| {
        if wrong {
            let message = format!("'{}' is {}, not {side} the quantity bid", found.key, found.written);
            reader.mistake(found.at, message, "write it as a percentage of the quantity bid, such as \"125 percent\"");
        }
    };
    lies(&over, over.value.0 < hundred, "above");
    lies(&under, under.value.0 > hundred, "below");
    Some(Some(Variation {
        over: entered(&over),
        under: entered(&under),
        under_most: group.quantity("under_most").as_ref().map(entered),
        of_bid: group.text("of")?.value == "bid",
    }))
}

/// Whether an estimate below zero is carried to later ones; it is owed where the contract does not say.
pub(super) fn carries(root: &Group) -> bool {
    let found = root.group("payment").and_then(|group| group.text("negative"));
    found.is_some_and(|word| word.value == "carried")
}
