//! What the contract says of payment, as the engine sees it.

use chrono::NaiveDate;

use crate::contract::Entered;

/// Everything beyond quantity times price.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Payment {
    /// What is held back; `None` for nothing.
    pub retainage: Option<Retainage>,
    /// Deductions and what is given back, by hand, in the order of the file.
    pub entries: Vec<Entry>,
    /// Change orders, in the order of their days.
    pub changes: Vec<Change>,
    /// Days allowed; `None` where nothing is reckoned by them.
    pub time: Option<Time>,
    /// What is paid for stored materials; `None` for nothing.
    pub stored: Option<Stored>,
    /// What happens where a final quantity is far from the one bid; `None` for nothing.
    pub variation: Option<Variation>,
    /// Prices that the pay of items follows.
    pub indices: Vec<PriceIndex>,
    /// Who pays which share, or where it is charged.
    pub splits: Vec<Split>,
    /// True where an estimate below zero is carried to later ones, false where it is owed.
    pub carried: bool,
    /// True where the last period of the contract is the final one.
    pub last_is_final: bool,
    /// Share of the quantity agreed beyond which the final estimate needs a reason; `None` where none is asked for.
    pub reasons_beyond: Option<Entered>,
}

/// What is paid for materials that are not in the work yet.
#[derive(Clone, Debug, PartialEq)]
pub struct Stored {
    /// Share of the invoice for what is stored on the site.
    pub on_site: Entered,
    /// The same elsewhere; `None` where nothing is paid for it.
    pub elsewhere: Option<Entered>,
    /// Most, as a share of the amount agreed of the item it goes into.
    pub most: Entered,
    /// True where it goes down as the item is placed.
    pub drawn_down: bool,
    /// Contract amount as bid below which nothing is paid.
    pub least_award: Option<Entered>,
    /// Days within which a paid invoice has to follow.
    pub replace_within: Option<Entered>,
    /// The materials, in the order of the file.
    pub materials: Vec<StoredMaterial>,
}

/// A stored material with its invoice.
#[derive(Clone, Debug, PartialEq)]
pub struct StoredMaterial {
    /// Day on which it was stored.
    pub date: NaiveDate,
    /// Item it goes into, by place in the contract.
    pub item: usize,
    /// What it is.
    pub material: String,
    /// Number of the invoice.
    pub invoice: String,
    /// Amount of the invoice.
    pub amount: Entered,
    /// True on the site, false elsewhere.
    pub on_site: bool,
    /// What proves it.
    pub evidence: String,
    /// Day on which the invoice was paid.
    pub paid: Option<NaiveDate>,
    /// Line in the contract file.
    pub line: u32,
}

/// What happens in the final period where a quantity is far from the one bid.
#[derive(Clone, Debug, PartialEq)]
pub struct Variation {
    /// Share of the quantity beyond which another price may hold.
    pub over: Entered,
    /// Share below which another price may hold.
    pub under: Entered,
    /// Most that is paid then, as a share of the amount; `None` for no such limit.
    pub under_most: Option<Entered>,
    /// True where it is measured on the quantity bid, false where on that as changed.
    pub of_bid: bool,
}

/// A price by month, and the items whose pay follows it.
#[derive(Clone, Debug, PartialEq)]
pub struct PriceIndex {
    /// Name.
    pub name: String,
    /// The price that the bid rests on, for one unit of what is used.
    pub base: Entered,
    /// Change, in percent of the base, beyond which pay follows.
    pub trigger: Entered,
    /// True where the whole change counts then, false where only what lies beyond the trigger.
    pub whole: bool,
    /// Prices by month.
    pub values: Vec<IndexValue>,
    /// Items, by place in the contract, and how much one unit of each uses.
    pub items: Vec<(usize, Entered)>,
}

/// The price of a month.
#[derive(Clone, Debug, PartialEq)]
pub struct IndexValue {
    /// Year.
    pub year: i32,
    /// Month from 1.
    pub month: u32,
    /// Price.
    pub value: Entered,
    /// Where it was published.
    pub source: String,
}

/// Who pays which share of which item, or where it is charged.
#[derive(Clone, Debug, PartialEq)]
pub struct Split {
    /// Name: `funding`.
    pub name: String,
    /// Rules; the first that covers an item holds.
    pub rules: Vec<SplitRule>,
}

/// A rule of a split. Without items and sections it covers everything.
#[derive(Clone, Debug, PartialEq)]
pub struct SplitRule {
    /// Items, by place in the contract.
    pub items: Vec<usize>,
    /// Sections: covers the items that lie in them alone.
    pub sections: Vec<usize>,
    /// Parts and their percents, which add up to 100.
    pub shares: Vec<(String, Entered)>,
}

/// How an item is paid where not by quantity times price alone.
#[derive(Clone, Debug, Default, PartialEq)]
pub struct Terms {
    /// True where nothing is retained of it.
    pub free_of_retainage: bool,
    /// By what steps, where it is measured by schedule.
    pub schedule: Option<Schedule>,
    /// From when to when, where it is measured by the calendar.
    pub calendar: Option<Calendar>,
    /// Most that is paid of it before the final period.
    pub until_final: Option<UntilFinal>,
    /// The change that adds it, by place in [`Payment::changes`]; `None` where it was bid.
    pub added_by: Option<usize>,
    /// Price agreed for what lies beyond the upper share of variation.
    pub over_price: Option<Entered>,
    /// Price agreed for the whole quantity where it stays under the lower one.
    pub under_price: Option<Entered>,
    /// Why more or less of it was built than agreed, in words.
    pub differs_because: Option<String>,
}

/// A change order.
#[derive(Clone, Debug, PartialEq)]
pub struct Change {
    /// Number.
    pub number: String,
    /// Day from which it holds.
    pub date: NaiveDate,
    /// Why.
    pub reason: String,
    /// What it changes of items that are there.
    pub lines: Vec<ChangeLine>,
    /// Days that it adds to the time.
    pub days: Option<Entered>,
}

/// What a change order changes of an item.
#[derive(Clone, Debug, PartialEq)]
pub struct ChangeLine {
    /// Item, by place in the contract.
    pub item: usize,
    /// Quantity added, below zero where it is taken away.
    pub quantity: Option<Entered>,
    /// Unit price of what is done from the day of the change on.
    pub price: Option<Entered>,
    /// What the line comes to, where that is not its quantity at its price.
    pub amount: Option<Entered>,
}

/// By what steps a lump sum is paid as other work is earned. What the steps leave is paid in the final period.
#[derive(Clone, Debug, PartialEq)]
pub struct Schedule {
    /// True where what the schedule itself has paid counts as earned beside the other items.
    pub of_all: bool,
    /// True where a step is reached at its share, false where only above it.
    pub at_is_enough: bool,
    /// Day before which nothing is paid; `None` for no such day.
    pub from: Option<NaiveDate>,
    /// Steps, rising.
    pub steps: Vec<ScheduleStep>,
}

/// A step of a schedule: the lesser of its two shares.
#[derive(Clone, Debug, PartialEq)]
pub struct ScheduleStep {
    /// Share of the original contract amount that must be earned.
    pub earned: Entered,
    /// Share of the item.
    pub item: Entered,
    /// Share of the original contract amount; `None` where only the item counts.
    pub contract: Option<Entered>,
    /// Amount below which the step is put off to the next.
    pub least: Option<Entered>,
}

/// The days of an item that is paid by the calendar, both counted.
#[derive(Clone, Debug, PartialEq)]
pub struct Calendar {
    /// First day.
    pub from: NaiveDate,
    /// Last day.
    pub to: NaiveDate,
    /// Line of the first day in the contract file.
    pub line: u32,
    /// Its key.
    pub key: String,
}

/// The most that is paid of an item before the final period.
#[derive(Clone, Debug, PartialEq)]
pub struct UntilFinal {
    /// Share.
    pub percent: Entered,
    /// True where it is of the amount agreed, false where of what is earned of the item.
    pub of_plan: bool,
}

/// The days allowed, and what a day late or early is worth.
#[derive(Clone, Debug, PartialEq)]
pub struct Time {
    /// First day counted.
    pub start: NaiveDate,
    /// Days allowed.
    pub days: Entered,
    /// True where only weekdays other than holidays count.
    pub working: bool,
    /// Days that are not counted among working days.
    pub holidays: Vec<NaiveDate>,
    /// Last day counted; `None` while the work goes on.
    pub completed: Option<NaiveDate>,
    /// Taken off for each day late.
    pub damages: Option<Entered>,
    /// Paid for each day early.
    pub incentive: Option<Entered>,
    /// Days that the incentive is reckoned against.
    pub incentive_days: Option<Entered>,
    /// Most that is paid as incentive.
    pub incentive_most: Option<Entered>,
    /// Line of the first day in the contract file.
    pub line: u32,
}

/// What is held back of what is earned.
#[derive(Clone, Debug, PartialEq)]
pub struct Retainage {
    /// Share from the start.
    pub percent: Entered,
    /// Other shares from a day or from an amount on, in order.
    pub steps: Vec<RetainageStep>,
    /// Most that is ever held back: an amount, or a share of the contract amount as changed.
    pub most: Option<Entered>,
    /// What is given back before the end, in order.
    pub release: Vec<Release>,
    /// True where the final period gives all of it back.
    pub released_at_final: bool,
}

/// From when a share of retainage holds.
#[derive(Clone, Debug, PartialEq)]
pub enum Since {
    /// From this day on.
    Date(NaiveDate),
    /// Once this share of the contract amount, as changed, is earned.
    Earned(Entered),
}

/// Another share of retainage.
#[derive(Clone, Debug, PartialEq)]
pub struct RetainageStep {
    /// From when.
    pub since: Since,
    /// Share.
    pub percent: Entered,
    /// True where it holds for what is earned after only, false where for all that is earned.
    pub after_only: bool,
}

/// A part of the retainage that is given back.
#[derive(Clone, Debug, PartialEq)]
pub struct Release {
    /// First day on which it is.
    pub from: NaiveDate,
    /// Share of what retainage is reckoned on.
    pub percent: Entered,
}

/// A signed amount entered by hand: a deduction below zero, or what is given back.
#[derive(Clone, Debug, PartialEq)]
pub struct Entry {
    /// Its own name, by which later entries reverse it.
    pub id: String,
    /// Day.
    pub date: NaiveDate,
    /// Why.
    pub reason: String,
    /// Signed amount.
    pub amount: Entered,
    /// The entry that it reverses in part or whole, by place in [`Payment::entries`].
    pub reverses: Option<usize>,
    /// Item it concerns, by place in the contract.
    pub item: Option<usize>,
    /// True where it counts as earned, before retainage; false where it stands after it.
    pub earned: bool,
}

impl Payment {
    /// What is left of an entry once the entries that reverse it by a day are taken off.
    #[must_use]
    pub fn reversed_by(&self, entry: usize, day: NaiveDate) -> Vec<usize> {
        let of = |e: &Entry| e.reverses == Some(entry) && e.date <= day;
        self.entries.iter().enumerate().filter(|(_, e)| of(e)).map(|(place, _)| place).collect()
    }
}
