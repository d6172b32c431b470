//! Rank 6. `contract.toml`: what was agreed, and where everything is.
//!
//! Loaded strictly: every unknown key, missing unit, overlapping section and unknown lane is reported at once, with line
//! and column. Spreadsheets never enter here.

mod chosen;
mod draw;
mod ground;
mod keys;
mod load;
mod materials;
mod mixes;
mod model;
mod money;
mod names;
mod papers;
mod payment;
mod sheets;
#[cfg(test)]
mod tests;
mod tickets;

pub use load::{FILE, keys_markdown, load, schema};
pub use model::{
    Batching, Choices, Contract, DepthBy, DrawRule, Driveway, Entered, FreshLimits, Item, Lane, Material, Measurement,
    Mix, Need, OffsetFrom, Paper, PaperDue, Parties, Period, Roundings, RuleChoice, Section, Supply, TicketRules,
    Waived, Width, Yields,
};
pub use payment::{
    Calendar, Change, ChangeLine, Entry, IndexValue, Payment, PriceIndex, Release, Retainage, RetainageStep, Schedule,
    ScheduleStep, Since, Split, SplitRule, Stored, StoredMaterial, Terms, Time, UntilFinal, Variation,
};
