//! The keys of `contract.toml` that speak of payment.

use crate::keyed::{Form, Key, Measure, Need};

use Form::{Choice, Count, Date, Dates, Flag, Number, Quantity, Table, Tables, Text, Texts};

pub(in crate::contract) const RETAINAGE: &[Key] = &[
    Key::required("percent", Quantity(Measure::Percent), "\"5 percent\"", "share of what is earned that is held back"),
    Key::optional(
        "steps",
        Tables(RETAINAGE_STEP),
        "[{ earned = \"50 percent\", percent = \"2.5 percent\", of = \"earned after\" }]",
        "other shares from a day or an amount on, in order; the last that is reached holds",
    ),
    Key::optional(
        "most",
        Quantity(Measure::ShareOrMoney),
        "\"5 percent\"",
        "most that is held back: an amount, or a percentage of the contract amount as changed",
    ),
    Key::optional(
        "release",
        Tables(RELEASE),
        "[{ from = 2031-07-01, percent = \"2.5 percent\" }]",
        "what is given back before the end, each rounded by itself; never more than was held back",
    ),
    Key::optional(
        "released_at_final",
        Flag,
        "true",
        "whether all of it is given back in the final period; not where left out",
    ),
];

/// What a step of retainage holds for.
const STEP_OF: &[&str] = &["all earned", "earned after"];

const RETAINAGE_STEP: &[Key] = &[
    Key::optional("from", Date, "2031-07-01", "first day on which it holds")
        .need(Need::Depends("this or `earned`")),
    Key::optional(
        "earned",
        Quantity(Measure::Percent),
        "\"50 percent\"",
        "share of the contract amount as changed, from which on it holds once so much is earned (reached is enough); measured on what \
         retainage is reckoned on",
    )
    .need(Need::Depends("this or `from`")),
    Key::required("percent", Quantity(Measure::Percent), "\"2.5 percent\"", "share held back"),
    Key::required(
        "of",
        Choice(STEP_OF),
        "\"all earned\"",
        "what it is taken of: all that is earned, or, with `earned`, what is earned after",
    ),
];

const RELEASE: &[Key] = &[
    Key::required("from", Date, "2031-07-01", "first day on which it is given back"),
    Key::required("percent", Quantity(Measure::Percent), "\"2.5 percent\"", "share of what retainage is reckoned on"),
];

/// Where an entry counts.
const COUNTS: &[&str] = &["as earned", "after retainage"];

pub(in crate::contract) const ENTRY: &[Key] = &[
    Key::required("id", Text, "\"D-1\"", "its own name, by which later entries reverse it"),
    Key::required("date", Date, "2031-05-31", "its day"),
    Key::required("reason", Text, "\"payroll documents missing\"", "why"),
    Key::required(
        "amount",
        Number,
        "\"-2,000.00\"",
        "amount, below zero for a deduction; never edited later, but reversed by another entry",
    ),
    Key::optional(
        "reverses",
        Text,
        "\"D-0\"",
        "the earlier entry that it gives back or takes back, in part or whole; of the other sign",
    )
    .need(Need::Depends("no; only of an earlier entry")),
    Key::optional("item", Text, "\"401\"", "the item it concerns"),
    Key::optional(
        "counts",
        Choice(COUNTS),
        "\"after retainage\"",
        "whether it counts as earned, so that retainage is taken of it, or after retainage, also where left out",
    ),
];

/// How days may be counted.
const DAYS: &[&str] = &["calendar days", "working days"];

pub(in crate::contract) const TIME: &[Key] = &[
    Key::required("start", Date, "2031-04-14", "first day counted"),
    Key::required("days", Count, "150", "days allowed, the first and the last counted"),
    Key::required(
        "count",
        Choice(DAYS),
        "\"working days\"",
        "whether every day counts, or weekdays (Monday to Friday) without the holidays",
    ),
    Key::optional("holidays", Dates, "[2031-05-26, 2031-07-04]", "days that are not counted among working days")
        .need(Need::Depends("no; only of working days")),
    Key::optional("completed", Date, "2031-10-17", "last day counted, once the work is done"),
    Key::optional("damages", Number, "\"2,000.00\"", "taken off for each day counted beyond those allowed"),
    Key::optional("incentive", Number, "\"2,000.00\"", "paid for each day early, once the work is completed"),
    Key::optional("incentive_days", Count, "140", "days that early is reckoned against").need(Need::With("incentive")),
    Key::optional("incentive_most", Number, "\"20,000.00\"", "most that is paid as incentive")
        .need(Need::Beside("incentive")),
];

/// What counts as earned for a schedule.
const SCHEDULE_OF: &[&str] = &["other items", "all items"];
/// When a step is reached.
const REACHED: &[&str] = &["at", "above"];

pub(in crate::contract) const SCHEDULE: &[Key] = &[
    Key::required(
        "of",
        Choice(SCHEDULE_OF),
        "\"other items\"",
        "what counts as earned: the items that are not by schedule, or those and what this schedule has paid by its steps before",
    ),
    Key::required("reached", Choice(REACHED), "\"at\"", "whether a step is reached at its share or only above it"),
    Key::optional("from", Date, "2031-04-14", "day before which nothing is paid"),
    Key::required(
        "steps",
        Tables(SCHEDULE_STEP),
        "[{ earned = \"5 percent\", item = \"25 percent\", contract = \"2.5 percent\" }]",
        "what is paid from a share earned on, rising; the rest is paid in the final period",
    ),
];

const SCHEDULE_STEP: &[Key] = &[
    Key::required(
        "earned",
        Quantity(Measure::Percent),
        "\"5 percent\"",
        "share of the original contract amount that is earned",
    ),
    Key::required("item", Quantity(Measure::Percent), "\"25 percent\"", "share of the item that is paid"),
    Key::optional(
        "contract",
        Quantity(Measure::Percent),
        "\"2.5 percent\"",
        "share of the original contract amount, where that is less",
    ),
    Key::optional("least", Number, "\"1,000.00\"", "amount below which the step is put off until the next is reached"),
];

/// What the most before the final period is taken of.
const UNTIL_OF: &[&str] = &["plan", "earned"];

pub(in crate::contract) const UNTIL_FINAL: &[Key] = &[
    Key::required("percent", Quantity(Measure::Percent), "\"95 percent\"", "share that is paid at most"),
    Key::required("of", Choice(UNTIL_OF), "\"plan\"", "of the amount agreed, or of what is earned of the item"),
];

/// Keys of an item that say how it is paid.
pub(in crate::contract) const SCHEDULE_KEY: Key = Key::optional(
    "schedule",
    Table(SCHEDULE),
    "{ of = \"other items\", reached = \"at\", steps = [{ earned = \"5 percent\", item = \"50 percent\" }] }",
    "the steps by which a lump sum is paid as other work is earned",
)
.need(Need::Depends("only where measured by schedule"));

/// First day of an item by the calendar.
pub(in crate::contract) const FROM_KEY: Key =
    Key::optional("from", Date, "2031-04-14", "first day paid").need(Need::Depends("only where measured by calendar"));

/// Last day of an item by the calendar.
pub(in crate::contract) const TO_KEY: Key =
    Key::optional("to", Date, "2031-10-17", "last day paid").need(Need::Depends("only where measured by calendar"));

/// The most that is paid of an item before the final period.
pub(in crate::contract) const UNTIL_FINAL_KEY: Key = Key::optional(
    "until_final",
    Table(UNTIL_FINAL),
    "{ percent = \"95 percent\", of = \"plan\" }",
    "most that is paid of it before the final period",
);

/// The change that adds an item.
pub(in crate::contract) const ADDED_BY_KEY: Key =
    Key::optional("added_by", Text, "\"1\"", "number of the change that adds it, where it was not bid");

pub(in crate::contract) const CHANGE: &[Key] = &[
    Key::required("number", Text, "\"1\"", "its number"),
    Key::required("date", Date, "2031-06-10", "day from which it holds; changes stand in the order of their days"),
    Key::required("reason", Text, "\"stop bars at the cross streets\"", "why"),
    Key::optional(
        "items",
        Tables(CHANGE_LINE),
        "[{ item = \"401\", quantity = \"120.00\" }]",
        "what it changes of items that are there; an item that is new says `added_by`",
    ),
    Key::optional("days", Count, "5", "days that it adds to the time"),
];

const CHANGE_LINE: &[Key] = &[
    Key::required("item", Text, "\"401\"", "the item"),
    Key::optional("quantity", Number, "\"-120.00\"", "quantity added; below zero where it is taken away"),
    Key::optional("price", Number, "\"63.00\"", "unit price of what is done on and after the day of the change"),
    Key::optional(
        "amount",
        Number,
        "\"7,560.00\"",
        "what the line comes to, where that is not its quantity at its price, or at the price in force",
    ),
];

/// Price beyond the upper share of variation.
pub(in crate::contract) const OVER_PRICE_KEY: Key =
    Key::optional("over_price", Number, "\"58.00\"", "price agreed for what lies beyond `over` of `[variation]`");

/// Price under the lower share of variation.
pub(in crate::contract) const UNDER_PRICE_KEY: Key = Key::optional(
    "under_price",
    Number,
    "\"66.00\"",
    "price agreed for all of it where it stays under `under` of `[variation]`",
);

/// Whether stored materials go down as the item is placed.
const DRAWN_DOWN: &[&str] = &["as placed", "by hand"];

pub(in crate::contract) const STORED: &[Key] = &[
    Key::required(
        "on_site",
        Quantity(Measure::Percent),
        "\"100 percent\"",
        "share of the invoice for what is stored on the site",
    ),
    Key::optional(
        "elsewhere",
        Quantity(Measure::Percent),
        "\"90 percent\"",
        "the same elsewhere; nothing where left out",
    ),
    Key::required(
        "most",
        Quantity(Measure::Percent),
        "\"80 percent\"",
        "most for an item, as a share of its amount agreed (plan quantity x price, as changed)",
    ),
    Key::required(
        "drawn_down",
        Choice(DRAWN_DOWN),
        "\"as placed\"",
        "whether it goes down with the share of the agreed quantity that is placed, or is taken off by hand as entries",
    ),
    Key::optional("least_award", Number, "\"10,000.00\"", "contract amount as bid below which nothing is paid"),
    Key::optional("replace_within", Count, "60", "days after which an invoice that is not paid is a gap"),
];

/// Where a material is stored.
const PLACES: &[&str] = &["on site", "elsewhere"];

pub(in crate::contract) const STORED_MATERIAL: &[Key] = &[
    Key::required("date", Date, "2031-05-20", "day from which it is stored"),
    Key::required("item", Text, "\"401\"", "the item it goes into"),
    Key::required("material", Text, "\"Dowel baskets, 400\"", "what it is, and how much"),
    Key::required("invoice", Text, "\"A-1107\"", "number of its invoice"),
    Key::required("amount", Number, "\"60,000.00\"", "amount of the invoice"),
    Key::required("place", Choice(PLACES), "\"on site\"", "where it is stored"),
    Key::required("evidence", Text, "\"photos and mill certificates of 2031-05-20\"", "what proves it"),
    Key::optional("paid", Date, "2031-06-18", "day on which the invoice was paid"),
];

/// What variation is measured on.
const VARIES_FROM: &[&str] = &["bid", "as changed"];

pub(in crate::contract) const VARIATION: &[Key] = &[
    Key::required(
        "over",
        Quantity(Measure::Percent),
        "\"125 percent\"",
        "share of the quantity beyond which the price may be another",
    ),
    Key::required("under", Quantity(Measure::Percent), "\"75 percent\"", "share below which the price may be another"),
    Key::optional(
        "under_most",
        Quantity(Measure::Percent),
        "\"75 percent\"",
        "most that is paid for an item below it, as a share of that quantity at the price bid",
    ),
    Key::required(
        "of",
        Choice(VARIES_FROM),
        "\"bid\"",
        "whether it is measured on the quantity bid or on that as changed",
    ),
];

/// What becomes of an estimate below zero.
const NEGATIVE: &[&str] = &["carried", "owed"];

pub(in crate::contract) const PAYMENT: &[Key] = &[Key::required(
    "negative",
    Choice(NEGATIVE),
    "\"owed\"",
    "whether an estimate below zero is carried to later ones, so that never less is paid to date than before, or owed, also \
     without this table",
)];

/// How much of a change counts.
const INDEX_COUNTS: &[&str] = &["whole change", "beyond the trigger"];

pub(in crate::contract) const INDEX: &[Key] = &[
    Key::required("name", Text, "\"Diesel fuel\"", "its name"),
    Key::required("base", Number, "\"3.10\"", "the price that the bid rests on, for one unit of what is used"),
    Key::required(
        "trigger",
        Quantity(Measure::Percent),
        "\"10 percent\"",
        "change, in percent of the base, beyond which pay follows",
    ),
    Key::required(
        "counts",
        Choice(INDEX_COUNTS),
        "\"beyond the trigger\"",
        "whether the whole change counts then, or only what lies beyond the trigger",
    ),
    Key::required(
        "values",
        Tables(INDEX_VALUE),
        "[{ month = \"2031-05\", value = \"3.55\", source = \"state index, page 2\" }]",
        "the price by month",
    ),
    Key::required(
        "items",
        Tables(INDEX_ITEM),
        "[{ item = \"401\", use = \"0.25\" }]",
        "the items whose pay follows it",
    ),
];

const INDEX_VALUE: &[Key] = &[
    Key::required("month", Text, "\"2031-05\"", "the month, of the day of each measured line"),
    Key::required("value", Number, "\"3.55\"", "price in it"),
    Key::required("source", Text, "\"state index, page 2\"", "where it was published"),
];

const INDEX_ITEM: &[Key] = &[
    Key::required("item", Text, "\"401\"", "the item"),
    Key::required("use", Number, "\"0.25\"", "how much one unit of it uses"),
];

pub(in crate::contract) const SPLIT: &[Key] = &[
    Key::required("name", Text, "\"Funding\"", "its name"),
    Key::required(
        "rules",
        Tables(SPLIT_RULE),
        "[{ shares = [{ part = \"federal\", percent = \"80 percent\" }, { part = \"town\", percent = \"20 percent\" }] }]",
        "the first that covers an item holds; what none covers stands as its own part, `not assigned`",
    ),
];

const SPLIT_RULE: &[Key] = &[
    Key::optional(
        "items",
        Texts,
        "[\"401\"]",
        "the items it covers; all that are left where neither items nor sections are named",
    ),
    Key::optional("sections", Texts, "[\"NB mainline\"]", "covers items that lie in these sections alone"),
    Key::required(
        "shares",
        Tables(SPLIT_SHARE),
        "[{ part = \"federal\", percent = \"80 percent\" }, { part = \"town\", percent = \"20 percent\" }]",
        "parts and their percents, 100 together; the last takes what rounding leaves",
    ),
];

const SPLIT_SHARE: &[Key] = &[
    Key::required("part", Text, "\"federal\"", "who or where"),
    Key::required("percent", Quantity(Measure::Percent), "\"80 percent\"", "its share"),
];
