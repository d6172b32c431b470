//! From the text of `contract.toml` to the contract, or to every mistake in it.

use chrono::{Datelike, NaiveDate};

use super::ground::Ground;
use super::keys::CONTRACT;
use super::model::{Contract, Item, Parties};
use super::{draw, materials, mixes, money, papers, payment, sheets, tickets};
use crate::finding::{Code, Finding};
use crate::fingerprint::fingerprint;
use crate::intake::{Caps, DateOrder, ItemWords, LaneWords, MaterialWords, Setting};
use crate::keyed::{Found, Group, Reader, Terms, markdown};

/// Name of the file inside the contract folder.
pub const FILE: &str = "contract.toml";

/// The contract that a file describes.
///
/// # Errors
/// Every mistake in the file at once, in its order, each with line, column and remedy.
pub fn load(text: &str) -> Result<Contract, Vec<Finding>> {
    let terms = Terms { code: Code::ContractInvalid, file: FILE, keys: CONTRACT, converts: true };
    let (mut reader, root) = Reader::open(terms, text);
    let built = root.and_then(|root| contract(&mut reader, &root, text));
    reader.finish(built)
}

/// Every part is read before any is given up, so that all mistakes are found. Where a mistake is reported, what is
/// returned no longer matters: the contract is refused.
fn contract(reader: &mut Reader<'_>, root: &Group, text: &str) -> Option<Contract> {
    let number = root.text("number").filter(|number| names_a_folder(reader, number));
    let ground = Ground::read(reader, root);
    let items = money::items(reader, root, &ground);
    let added_by = payment::added_by(reader, root);
    let periods = money::periods(reader, root);
    let payment = payment::payment(reader, root);
    let (yields, mixes) = (mixes::yields(reader, root), mixes::mixes(reader, root, &ground));
    let batching = mixes::batching(reader, root);
    let (tickets, supply) = (tickets::tickets(reader, root), tickets::supply(reader, root));
    let materials = materials::materials(reader, root, &ground);
    let papers = papers::papers(reader, root);
    let (sheets, set_aside) = (sheets::sheets(reader, root), sheets::set_aside(reader, root));
    Some(Contract {
        number: number?.value,
        title: root.text("title")?.value,
        notice: root.text("notice").map(|found| found.value).unwrap_or_default(),
        parties: parties(root)?,
        system: reader.system()?,
        date_order: date_order(root)?,
        currency: root.text("currency").map_or_else(|| "$".to_string(), |found| found.value),
        alignments: ground.alignments.into_iter().collect::<Option<Vec<_>>>()?,
        lanes: ground.lanes.into_iter().collect::<Option<Vec<_>>>()?,
        sections: ground.sections.into_iter().collect::<Option<Vec<_>>>()?,
        driveways: ground.driveways.into_iter().collect::<Option<Vec<_>>>()?,
        items: with_their_change(items?, added_by?),
        rules: money::rules(root),
        choices: money::choices(root),
        roundings: money::roundings(root)?,
        periods: periods?,
        payment: payment?,
        yields: yields?,
        mixes: mixes?,
        batching,
        tickets: tickets?,
        supply: supply?,
        materials: materials?,
        fresh: sheets::fresh(root)?,
        draw: draw::rule(root),
        checking: papers::checking(root),
        papers: papers?,
        sheets: sheets?,
        set_aside: set_aside?,
        text: text.into(),
        sha256: fingerprint(text),
    })
}

/// The items, each with the change that adds it.
fn with_their_change(items: Vec<Item>, added_by: Vec<Option<usize>>) -> Vec<Item> {
    let mut items = items;
    items.iter_mut().zip(added_by).for_each(|(item, change)| item.terms.added_by = change);
    items
}

/// The reports stand in a folder of the contract's number.
fn names_a_folder(reader: &mut Reader<'_>, number: &Found<String>) -> bool {
    let bad = number.value.chars().find(|c| !(c.is_alphanumeric() || matches!(c, '-' | '_' | '.' | ' ')));
    let sound = bad.is_none() && !number.value.starts_with(['.', ' ']) && !number.value.ends_with(['.', ' ']);
    if !sound {
        let message = format!("'{}' is \"{}\", which cannot name a folder", number.key, number.value);
        let remedy = "use letters, digits, '-', '_', '.' and blanks, with neither '.' nor blank at its ends";
        reader.mistake(number.at, message, remedy);
    }
    sound
}

fn parties(root: &Group) -> Option<Parties> {
    let group = root.group("parties")?;
    let of = |key: &str| group.text(key).map(|found| found.value);
    Some(Parties { owner: of("owner")?, contractor: of("contractor")?, engineer: of("engineer")? })
}

fn date_order(root: &Group) -> Option<DateOrder> {
    Some(match root.text("dates")?.value.as_str() {
        "month-day-year" => DateOrder::MonthDayYear,
        "day-month-year" => DateOrder::DayMonthYear,
        _ => DateOrder::YearMonthDay,
    })
}

/// Years before the first and after the last period in which a day of a record may lie.
const YEARS_BESIDE: i32 = 5;

impl Contract {
    /// First and last year in which days of the contract lie; without periods there is none.
    fn years(&self) -> (i32, i32) {
        let through = |period: Option<&super::Period>| period.map(|it| it.through.year());
        through(self.periods.first())
            .zip(through(self.periods.last()))
            .map_or((1, 0), |(first, last)| (first - YEARS_BESIDE, last + YEARS_BESIDE))
    }

    /// What intake is told; records after `through` are set aside.
    #[must_use]
    pub fn setting(&self, through: NaiveDate) -> Setting {
        let lane = |lane: &super::Lane| LaneWords {
            name: lane.name.clone(),
            also: lane.also.clone(),
            alignment: lane.alignment,
        };
        let material = |material: &super::Material| MaterialWords {
            name: material.name.clone(),
            also: material.also.clone(),
            unit: material.unit,
        };
        Setting {
            system: self.system,
            date_order: self.date_order,
            years: self.years(),
            alignments: self.alignments.clone(),
            lanes: self.lanes.iter().map(lane).collect(),
            items: self.items.iter().map(|i| ItemWords { number: i.number.clone(), unit: i.entered_in() }).collect(),
            materials: self.materials.iter().map(material).collect(),
            mixes: self.mixes.iter().flat_map(|mix| std::iter::once(&mix.name).chain(&mix.also)).cloned().collect(),
            sheets: self.sheets.clone(),
            set_aside: self.set_aside.clone(),
            through,
            caps: Caps::default(),
        }
    }
}

/// The JSON Schema (draft 2020-12) of `contract.toml`.
#[must_use]
pub fn schema() -> serde_json::Value {
    crate::keyed::schema("contract.toml", "A concrete paving contract as slabtally reads it.", CONTRACT)
}

/// Every key of `contract.toml` in Markdown tables.
#[must_use]
pub fn keys_markdown() -> String {
    markdown(CONTRACT)
}
