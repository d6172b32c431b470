//! The contract's own words as lists to choose from. A list stands on a sheet, so it may be as long as it needs to be.

use super::FormList;
use crate::contract::{Contract, Item, Measurement};
use crate::units::Unit;

/// The lists of one form; each stands there once.
#[derive(Debug, Default)]
pub(super) struct Lists(Vec<FormList>);

impl Lists {
    /// The place of a list; `None` where it has no words.
    pub(super) fn add(&mut self, list: FormList) -> Option<usize> {
        if list.words.is_empty() {
            return None;
        }
        if let Some(there) = self.0.iter().position(|l| *l == list) {
            return Some(there);
        }
        self.0.push(list);
        Some(self.0.len() - 1)
    }

    /// The first word of a list.
    pub(super) fn first(&self, list: usize) -> Option<String> {
        self.0.get(list)?.words.first().cloned()
    }

    /// What stands over a list, in small letters.
    pub(super) fn called(&self, list: usize) -> String {
        self.0.get(list).map_or_else(String::new, |l| l.heading.to_lowercase())
    }

    pub(super) fn done(self) -> Vec<FormList> {
        self.0
    }
}

/// Words with nothing beside them; each once.
pub(super) fn plain(heading: &str, words: impl IntoIterator<Item = String>) -> FormList {
    let mut once: Vec<String> = Vec::new();
    for word in words {
        if !once.contains(&word) {
            once.push(word);
        }
    }
    FormList { heading: heading.into(), words: once, beside: Vec::new() }
}

pub(super) fn lanes(contract: &Contract) -> FormList {
    plain("Lanes", contract.lanes.iter().map(|lane| lane.name.clone()))
}

pub(super) fn mixes(contract: &Contract) -> FormList {
    plain("Mixes", contract.mixes.iter().map(|mix| mix.name.clone()))
}

pub(super) fn plants(contract: &Contract) -> FormList {
    plain("Plants", contract.tickets.iter().flat_map(|tickets| tickets.numbered.iter().cloned()))
}

pub(super) fn papers(contract: &Contract) -> FormList {
    let own = contract.papers.iter().map(|paper| paper.paper.clone());
    plain("Document types", own.chain(["photograph".into(), "letter".into()]))
}

/// Items whose quantity is measured by hand.
pub(super) fn by_hand(contract: &Contract) -> Vec<&Item> {
    let by_hand = |item: &&Item| matches!(item.measured, Measurement::ByHand | Measurement::ByPercent);
    contract.items.iter().filter(by_hand).collect()
}

pub(super) fn items(contract: &Contract) -> FormList {
    let items = by_hand(contract);
    let each = |say: fn(&Item) -> String| items.iter().map(|item| say(item)).collect::<Vec<String>>();
    FormList {
        heading: "Items".into(),
        words: each(|item| item.number.clone()),
        beside: vec![
            ("Description".into(), each(|item| item.description.clone())),
            ("Paid in".into(), each(|item| item.entered_in().symbol().into())),
        ],
    }
}

pub(super) fn materials(contract: &Contract) -> FormList {
    let units = contract.materials.iter().map(|material| material.unit.symbol().into()).collect();
    FormList {
        heading: "Materials".into(),
        words: contract.materials.iter().map(|material| material.name.clone()).collect(),
        beside: vec![("Kept in".into(), units)],
    }
}

/// The units that quantities of a kind are in, that of the first item or material first.
pub(super) fn units(contract: &Contract, kind: &str) -> FormList {
    let symbol = |unit: Unit| unit.symbol().to_string();
    match kind {
        "measured" => plain("Units", by_hand(contract).into_iter().map(|item| symbol(item.entered_in()))),
        "materials" => plain("Units", contract.materials.iter().map(|material| symbol(material.unit))),
        _ => {
            let volume = symbol(contract.system.volume());
            plain("Units", [volume, "min".into(), "hours".into(), "each".into()])
        }
    }
}
