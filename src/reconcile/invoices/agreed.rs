//! What was agreed with the supplier: the price of each mix, as leaves for formulas.

use std::collections::BTreeMap;

use crate::contract::{Contract, Entered};
use crate::intake::Records;
use crate::line::folded;

/// The mixes of the contract by the names that tickets and invoices call them.
pub(super) struct Agreed<'a> {
    contract: &'a Contract,
    mixes: BTreeMap<&'a str, Option<usize>>,
}

impl<'a> Agreed<'a> {
    /// Each name is looked up once, however many lines bear it.
    pub(super) fn of(contract: &'a Contract, records: &'a Records) -> Self {
        let loads = records.loads.iter().map(|load| load.mix.as_ref());
        let names = loads.chain(records.billed.iter().map(|billed| billed.mix.as_ref()));
        let mut mixes = BTreeMap::new();
        for name in names.flatten() {
            mixes.entry(&*name.value).or_insert_with(|| contract.mix(&name.value));
        }
        Self { contract, mixes }
    }

    fn mix(&self, name: &str) -> Option<usize> {
        self.mixes.get(name).copied().flatten()
    }

    /// Whether two names are of one mix.
    pub(super) fn same(&self, a: &str, b: &str) -> bool {
        match (self.mix(a), self.mix(b)) {
            (Some(a), Some(b)) => a == b,
            _ => folded(a) == folded(b),
        }
    }

    /// The agreed price of a mix, or of concrete where its mix has none; with the name it is agreed for.
    pub(super) fn price(&self, mix: Option<&str>) -> Option<(&'a Entered, String)> {
        let mix = mix.and_then(|name| self.mix(name));
        let price = self.contract.price_of(mix)?;
        let own = mix.and_then(|mix| self.contract.mixes.get(mix)).filter(|mix| mix.price.is_some());
        Some((price, own.map_or_else(|| "concrete".into(), |mix| mix.name.clone())))
    }
}
