//! What was agreed with the supplier: the price of each mix, as leaves for formulas.

use std::collections::BTreeMap;

use crate::contract::{Contract, Entered};
use crate::line::folded;

/// Prices by every name that a mix goes by.
pub(super) struct Agreed<'c> {
    contract: &'c Contract,
    by_name: BTreeMap<String, usize>,
}

impl<'c> Agreed<'c> {
    pub(super) fn of(contract: &'c Contract) -> Self {
        let names = |(place, mix): (usize, &'c crate::contract::Mix)| {
            std::iter::once(&mix.name).chain(&mix.also).map(move |name| (folded(name), place))
        };
        Self { contract, by_name: contract.mixes.iter().enumerate().flat_map(names).collect() }
    }

    /// Whether two names are of one mix.
    pub(super) fn same(&self, a: &str, b: &str) -> bool {
        let (a, b) = (folded(a), folded(b));
        match (self.by_name.get(&a), self.by_name.get(&b)) {
            (Some(a), Some(b)) => a == b,
            _ => a == b,
        }
    }

    /// The agreed price of a mix, or of concrete where its mix has none; with the name it is agreed for.
    pub(super) fn price(&self, mix: Option<&str>) -> Option<(&'c Entered, String)> {
        let mix = mix.and_then(|name| self.by_name.get(&folded(name))).map(|&place| &self.contract.mixes[place]);
        let own = mix.and_then(|mix| Some((mix.price.as_ref()?, mix.name.clone())));
        own.or_else(|| self.contract.yields.price.as_ref().map(|price| (price, "concrete".into())))
    }
}
