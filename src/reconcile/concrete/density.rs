//! How much concrete a ticket really brought: yield by density.
//!
//! ```text
//! Y  = W / D          yield of a load: mass of its batch over the density of its fresh concrete
//! Ry = Y / V          relative yield, against the volume on its ticket: below 1 where the ticket says more than came
//! ```
//!
//! ASTM C138/C138M. A mix is corrected by the mean of its loads, of at least three (ASTM C94/C94M, from memory); one load by
//! itself corrects nothing. Where the scales' record of a load is not at hand, its mass is taken as the mix was designed,
//! and said so. A density without a ticket of a known load is left out and counted.

use std::collections::BTreeMap;

use super::split::value;
use super::{Cause, YieldLine};
use crate::contract::{Contract, Mix};
use crate::figure::{Book, CellId, Expr, Figure, FigureId, mean, sum};
use crate::intake::{Fresh, Records};
use crate::line::{counted, folded, slug};
use crate::reconcile::Ground;
use crate::reconcile::sample::{Of, sample};
use crate::units::Unit;

/// Loads that a mean yield needs.
const LOADS: usize = 3;
const C138: &str = "ASTM C138/C138M";
const C94: &str = "mean of at least three loads, ASTM C94/C94M (from memory)";

/// The yield of one load.
#[derive(Clone, Debug, PartialEq)]
pub struct SingleYield {
    /// Fresh test with the density, by place in the records.
    pub test: usize,
    /// Load, by place in the records.
    pub load: usize,
    /// Mass of the batch.
    pub mass: FigureId,
    /// Density.
    pub density: CellId,
    /// Yield.
    pub volume: FigureId,
    /// Relative yield.
    pub relative: FigureId,
    /// Mean of this and the two before it.
    pub running: Option<FigureId>,
    /// True where the mass is that of the mix design.
    pub by_design: bool,
}

/// The yield of a mix.
#[derive(Clone, Debug, PartialEq)]
pub struct MixYield {
    /// Mix, as the tickets name it.
    pub mix: String,
    /// Its loads, in order of day and ticket.
    pub loads: Vec<SingleYield>,
    /// Mean density.
    pub density: Option<FigureId>,
    /// Mean relative yield, and how far it may be off, nineteen times in twenty; `None` below three loads.
    pub relative: Option<(FigureId, Option<FigureId>)>,
    /// Net volume of the mix by ticket, what of it was short, its value, and how far the shortness may be off.
    pub short: Option<Short>,
}

/// What tickets of a mix say beyond what came.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Short {
    /// Net volume by ticket.
    pub net: FigureId,
    /// Short of it; below zero where more came.
    pub volume: FigureId,
    /// How far that may be off, nineteen times in twenty.
    pub off: Option<FigureId>,
    /// Its value.
    pub money: Option<FigureId>,
}

/// The yields of all mixes, and the densities that could not be used.
#[derive(Clone, Debug, Default)]
pub(super) struct MixYields {
    pub mixes: Vec<MixYield>,
    /// Densities whose ticket, volume or mass is not known.
    pub unused: usize,
}

impl MixYields {
    /// Mean relative yield of a mix.
    pub(super) fn relative(&self, mix: &str) -> Option<FigureId> {
        let mix = folded(mix);
        self.mixes.iter().find(|m| folded(&m.mix) == mix)?.relative.map(|(relative, _)| relative)
    }
}

/// A density with its load and what was batched for it.
struct Sampled {
    mix: String,
    test: usize,
    load: usize,
    mass: Mass,
}

/// Where the mass of a batch is taken from.
enum Mass {
    Batch(usize),
    Design(usize),
}

/// The yields of every mix that has densities.
pub(super) fn yields(ground: Ground<'_>, book: &mut Book) -> MixYields {
    let mut found = MixYields::default();
    let mut by_mix: BTreeMap<String, Vec<Sampled>> = BTreeMap::new();
    let index = Index::of(ground);
    for (i, test) in ground.records.fresh.iter().enumerate().filter(|(_, f)| f.density.is_some()) {
        match index.sampled(ground, i, test) {
            Some(sampled) => by_mix.entry(folded(&sampled.mix)).or_default().push(sampled),
            None => found.unused += 1,
        }
    }
    found.mixes = by_mix.into_values().map(|samples| of_mix(ground, book, samples)).collect();
    found.mixes.sort_by(|a, b| counted(&a.mix, &b.mix));
    found
}

/// Loads and batches by ticket.
struct Index {
    loads: BTreeMap<String, Vec<usize>>,
    batches: BTreeMap<String, Vec<usize>>,
    /// Placement of each load, by place in the records.
    placements: Vec<Option<usize>>,
}

impl Index {
    fn of(ground: Ground<'_>) -> Self {
        let Records { loads, batches, .. } = ground.records;
        let mut index = Self { loads: BTreeMap::new(), batches: BTreeMap::new(), placements: vec![None; loads.len()] };
        for (i, load) in loads.iter().enumerate() {
            index.loads.entry(folded(&load.ticket.value)).or_default().push(i);
        }
        for (i, batch) in batches.iter().enumerate() {
            index.batches.entry(folded(&batch.ticket.value)).or_default().push(i);
        }
        for (p, placement) in ground.line.placements.iter().enumerate() {
            let (first, after) = placement.loads;
            index.placements.iter_mut().take(after as usize).skip(first as usize).for_each(|to| *to = Some(p));
        }
        index
    }

    /// The load that a density was measured on and what was batched for it; `None` where either is not known for sure.
    fn sampled(&self, ground: Ground<'_>, i: usize, test: &Fresh) -> Option<Sampled> {
        let Records { loads, batches, placements, .. } = ground.records;
        let ticket = folded(&test.ticket.as_ref()?.value);
        let load = only(self.loads.get(&ticket)?, |&l| loads[l].date.value == test.date.value)?;
        let of_batch = |b: &usize| batches[*b].date.value == loads[load].date.value;
        let batch = self.batches.get(&ticket).and_then(|all| only(all, of_batch));
        let own = loads[load].mix.as_ref().map(|m| m.value.to_string());
        let placed = || self.placements[load].and_then(|p| placements[p].mix.as_ref()).map(|m| m.value.to_string());
        let mix = own.or_else(placed)?;
        let mass = match batch.filter(|&b| batches[b].total.is_some() || !batches[b].weights.is_empty()) {
            Some(batch) => Mass::Batch(batch),
            None => Mass::Design(designed(ground.contract, &mix)?),
        };
        Some(Sampled { mix, test: i, load, mass })
    }
}

/// The only one of several, or the only one of those that fit.
fn only(all: &[usize], fits: impl Fn(&usize) -> bool) -> Option<usize> {
    let fitting: Vec<usize> = all.iter().copied().filter(|one| fits(one)).collect();
    match (all, fitting.as_slice()) {
        ([one], _) | (_, [one]) => Some(*one),
        _ => None,
    }
}

/// The mix of the contract that has a design.
fn designed(contract: &Contract, mix: &str) -> Option<usize> {
    contract.mix(mix).filter(|&m| !contract.mixes[m].design.is_empty())
}

fn of_mix(ground: Ground<'_>, book: &mut Book, mut samples: Vec<Sampled>) -> MixYield {
    let Records { fresh, loads, .. } = ground.records;
    samples.sort_by(|a, b| {
        let (la, lb) = (&loads[a.load], &loads[b.load]);
        let by_ticket = || counted(&la.ticket.value, &lb.ticket.value);
        la.date
            .value
            .cmp(&lb.date.value)
            .then_with(by_ticket)
            .then_with(|| fresh[a.test].number.at.cmp(&fresh[b.test].number.at))
    });
    let mix = samples.first().map(|s| s.mix.clone()).unwrap_or_default();
    let mut singles: Vec<SingleYield> = samples.iter().map(|sample| single(ground, book, sample)).collect();
    for k in (LOADS - 1)..singles.len() {
        let three: Vec<FigureId> = singles[k + 1 - LOADS..=k].iter().map(|s| s.relative).collect();
        let ticket = &loads[singles[k].load].ticket.value;
        let key = format!("yield.mix-{}.running-{}", slug(&mix), slug(ticket));
        let label = format!("{mix}, relative yield of three loads up to ticket {ticket}");
        singles[k].running =
            Some(book.add(Figure::new(key, label, "Ry_3", Unit::One, mean(three)).shown(4).under(C94)));
    }
    let key = format!("yield.mix-{}", slug(&mix));
    let density = Of {
        key: &format!("{key}.density"),
        label: &format!("{mix}, density"),
        symbol: "D",
        unit: ground.contract.system.density(),
        decimals: 2,
        clause: C138,
    };
    let densities: Vec<Expr> = singles.iter().map(|s| s.density.into()).collect();
    let density = sample(book, density, &densities).map(|s| s.mean);
    let relative = Of {
        key: &format!("{key}.relative"),
        label: &format!("{mix}, relative yield"),
        symbol: "Ry",
        unit: Unit::One,
        decimals: 4,
        clause: &format!("{C138}; {C94}"),
    };
    let relatives: Vec<Expr> = singles.iter().map(|s| s.relative.into()).collect();
    let relative = sample(book, relative, &relatives).filter(|_| singles.len() >= LOADS);
    MixYield { mix, loads: singles, density, relative: relative.map(|s| (s.mean, s.off)), short: None }
}

/// The yield of one load.
fn single(ground: Ground<'_>, book: &mut Book, sample: &Sampled) -> SingleYield {
    let contract = ground.contract;
    let ledger = &ground.line.ledger;
    let ticket = &ground.records.loads[sample.load].ticket.value;
    let key = format!("yield.load-{}", slug(ticket));
    let (mass, by_design) = mass(ground, book, (&key, ticket), sample);
    let density = ledger.fresh_density(sample.test);
    let volume = Figure::new(
        format!("{key}.yield"),
        format!("ticket {ticket}, yield by density"),
        "Y",
        contract.system.volume(),
        (mass / density).to(contract.system.to_yield()),
    );
    let volume = book.add(volume.shown(3).under(C138));
    let relative = Figure::new(
        format!("{key}.relative"),
        format!("ticket {ticket}, relative yield"),
        "Ry",
        Unit::One,
        volume / ledger.load_volume(sample.load),
    );
    let relative = book.add(relative.shown(4).under(C138));
    SingleYield { test: sample.test, load: sample.load, mass, density, volume, relative, running: None, by_design }
}

/// Mass of what was batched for a load: the total the scales give, the sum of what they give, or the design's.
fn mass(ground: Ground<'_>, book: &mut Book, (key, ticket): (&str, &str), sample: &Sampled) -> (FigureId, bool) {
    let ledger = &ground.line.ledger;
    let (expr, note, by_design): (Expr, &str, bool) = match sample.mass {
        Mass::Batch(b) if ground.records.batches[b].total.is_some() => (ledger.batch_total(b).into(), "", false),
        Mass::Batch(b) => {
            let cells = ground.records.batches[b].weights.keys().map(|&i| ledger.batch_weight(b, i));
            (sum(cells.collect::<Vec<_>>()), "", false)
        }
        Mass::Design(m) => {
            let content = design_mass(ground.contract, book, &ground.contract.mixes[m]);
            let expr = (ledger.load_volume(sample.load) * content).to(ground.contract.system.to_content());
            (expr, "batch weights not at hand: as designed", true)
        }
    };
    let figure = Figure::new(
        format!("{key}.mass"),
        format!("ticket {ticket}, mass batched"),
        "W",
        ground.contract.system.mass(),
        expr,
    );
    (book.add(figure.note(note)), by_design)
}

/// Mass of one unit of volume of a mix by its design.
fn design_mass(contract: &Contract, book: &mut Book, mix: &Mix) -> FigureId {
    let key = format!("mix-{}.design", slug(&mix.name));
    if let Some(known) = book.by_key(&key) {
        return known;
    }
    let masses: Vec<_> = mix
        .design
        .iter()
        .map(|(ingredient, mass)| {
            let label = format!("{} of mix {}", ingredient.words(), mix.name);
            book.given(mass.given(label, ingredient.word()))
        })
        .collect();
    let label = format!("design mass of mix {}", mix.name);
    book.add(Figure::new(key, label, "w", contract.system.content(), sum(masses)))
}

/// What each corrected mix is short of by density, with its value and how far it may be off.
pub(super) fn shorts(ground: Ground<'_>, book: &mut Book, found: &mut MixYields, mixes: &[YieldLine]) {
    for mix in &mut found.mixes {
        let Some((_, off)) = mix.relative else { continue };
        let name = folded(&mix.mix);
        let line = mixes.iter().find(|line| folded(&line.name) == name);
        let part = line.and_then(|line| Some((line, line.split.as_ref()?, line.split.as_ref()?.part(Cause::Batch)?)));
        let Some((line, split, part)) = part else { continue };
        let (key, label) = (format!("yield.mix-{}", slug(&mix.mix)), &mix.mix);
        let system = ground.contract.system;
        let off = off.map(|off| {
            let label = format!("{label}, how far the shortness may be off");
            let figure = Figure::new(format!("{key}.short-off"), label, "h_V", system.volume(), line.net * off);
            book.add(figure.rounded(ground.contract.roundings.volume))
        });
        let money = split.price.as_ref().map(|price| {
            let names = (format!("{key}.short-value"), format!("{label}, value of what was short"));
            value(ground.contract, book, (&names.0, &names.1), part.volume, price)
        });
        mix.short = Some(Short { net: line.net, volume: part.volume, off, money });
    }
}
