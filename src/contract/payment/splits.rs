//! `[[splits]]`: who pays which share of which item, or where it is charged.

use rust_decimal::Decimal;

use super::model::{Split, SplitRule};
use super::share;
use crate::contract::Entered;
use crate::contract::names::Names;
use crate::keyed::{Group, Reader};

/// The splits.
pub(super) fn splits(reader: &mut Reader<'_>, root: &Group, (items, sections): (&Names, &Names)) -> Option<Vec<Split>> {
    let groups = root.groups("splits");
    Names::read(reader, groups, "name", "split");
    let found: Vec<Option<Split>> = groups.iter().map(|group| split(reader, group, (items, sections))).collect();
    found.into_iter().collect()
}

fn split(reader: &mut Reader<'_>, group: &Group, names: (&Names, &Names)) -> Option<Split> {
    let rules: Vec<Option<SplitRule>> = group.groups("rules").iter().map(|of| rule(reader, of, names)).collect();
    let rules = rules.into_iter().collect::<Option<Vec<_>>>()?;
    let last = rules.iter().position(|rule| rule.items.is_empty() && rule.sections.is_empty());
    if let Some(after) = last.and_then(|last| group.groups("rules").get(last + 1)) {
        let message =
            "this rule covers nothing: the one above it names neither items nor sections and takes all that is left";
        reader.mistake(after.at, message, "let the rule for all that is left stand last");
    }
    Some(Split { name: group.text("name")?.value, rules })
}

fn rule(reader: &mut Reader<'_>, group: &Group, (items, sections): (&Names, &Names)) -> Option<SplitRule> {
    let named = |reader: &mut Reader<'_>, key: &str, names: &Names| match group.texts(key) {
        Some(listed) => names.find_all(reader, &listed.value),
        None => (!group.has(key)).then(Vec::new),
    };
    let (items, sections) = (named(reader, "items", items), named(reader, "sections", sections));
    let shares: Vec<Option<(String, Entered)>> = group.groups("shares").iter().map(|of| part(reader, of)).collect();
    let shares = shares.into_iter().collect::<Option<Vec<_>>>()?;
    let all: Decimal = shares.iter().map(|(_, share)| share.value).sum();
    if all != Decimal::from(100) {
        let message = format!("the shares of this rule add up to {} percent, not 100", all.normalize());
        reader.mistake(group.at("shares"), message, "correct the shares");
    }
    Names::read(reader, group.groups("shares"), "part", "part");
    Some(SplitRule { items: items?, sections: sections?, shares })
}

fn part(reader: &mut Reader<'_>, group: &Group) -> Option<(String, Entered)> {
    let percent = share(reader, group, "percent");
    Some((group.text("part")?.value, percent?))
}
