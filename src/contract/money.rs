//! What is paid: items, the rules that adjust them, periods.

use rust_decimal::Decimal;
use rust_decimal::dec;

use super::ground::{Ground, entered};
use super::model::{Choices, Entered, Item, Measurement, Period, Roundings, RuleChoice};
use super::names::Names;
use super::payment;
use crate::keyed::{Found, Group, Reader};
use crate::rules::{Proof, Property};
use crate::units::{Rounding, System, Unit, between};

/// The roundings that the contract names.
pub(super) fn roundings(root: &Group) -> Option<Roundings> {
    let group = root.group("rounding")?;
    let of = |key: &str| group.rounding(key).map(|found| found.value);
    Some(Roundings { length: of("length")?, area: of("area")?, volume: of("volume")?, money: of("money")? })
}

/// The rule sets chosen.
pub(super) fn rules(root: &Group) -> RuleChoice {
    let of = |property: Property| {
        let id = root.group("rules")?.text(property.word())?;
        Some((property, (id.value, id.at.line)))
    };
    Property::ALL.into_iter().filter_map(of).collect()
}

/// What was chosen where a rule leaves a choice.
pub(super) fn choices(root: &Group) -> Choices {
    let found = root.group("choices").and_then(|group| group.texts("drop_thick_cores"));
    found.map_or_else(Choices::default, |found| {
        let names = found.value.into_iter().map(|name| name.value).collect();
        Choices { drop_thick_cores: names, line: found.at.line }
    })
}

/// The items.
pub(super) fn items(reader: &mut Reader<'_>, root: &Group, ground: &Ground) -> Option<Vec<Item>> {
    let groups = root.groups("items");
    Names::read(reader, groups, "number", "item");
    let roundings = roundings(root);
    roundings_by_unit(reader, root);
    let items: Vec<Option<Item>> =
        groups.iter().map(|group| item(reader, root, group, ground, roundings.as_ref())).collect();
    items.into_iter().collect()
}

fn item(
    reader: &mut Reader<'_>,
    root: &Group,
    group: &Group,
    ground: &Ground,
    roundings: Option<&Roundings>,
) -> Option<Item> {
    let unit = group.unit("unit").filter(|unit| payable(reader, unit));
    let measured = measured(reader, group, ground);
    if let (Some(unit), Some(measured)) = (&unit, group.text("measured")) {
        fits(reader, unit, &measured);
    }
    let adjusted_by = adjusted_by(reader, root, group, ground, measured.as_ref());
    let waits_for = waits_for(reader, root, group, measured.as_ref());
    let (quantity, price) = (amount(reader, group, "quantity"), amount(reader, group, "price"));
    let rounding = item_rounding(reader, (root, group), measured.as_ref(), roundings);
    let terms = payment::terms(reader, group, measured.as_ref());
    let unit = unit?.value;
    Some(Item {
        number: group.text("number")?.value,
        description: group.text("description")?.value,
        unit,
        quantity: numbered(&quantity?, unit),
        price: numbered(&price?, unit.price()?),
        measured: measured?,
        rounding: rounding?,
        adjusted_by: adjusted_by?,
        waits_for: waits_for?,
        terms: terms?,
        line: group.at.line,
    })
}

/// Whether a unit is one that things are paid by.
pub(super) fn payable(reader: &mut Reader<'_>, unit: &Found<Unit>) -> bool {
    let sound = unit.value.price().is_some() && unit.value != Unit::Percent;
    if !sound {
        let message = format!("'{}' says \"{}\", which is not a unit that is paid by", unit.key, unit.written);
        reader.mistake(unit.at, message, "write the unit of the item, such as SY, CY, each or LS");
    }
    sound
}

fn measured(reader: &mut Reader<'_>, group: &Group, ground: &Ground) -> Option<Measurement> {
    let word = group.text("measured");
    let listed = group.texts("sections");
    let sections = listed.as_ref().and_then(|listed| ground.section_names.find_all(reader, &listed.value));
    let word = word?;
    let elsewhere = match word.value.as_str() {
        "by hand" => Some(Measurement::ByHand),
        "by percent" => Some(Measurement::ByPercent),
        "by schedule" => Some(Measurement::BySchedule),
        "by calendar" => Some(Measurement::ByCalendar),
        _ => None,
    };
    if let Some(elsewhere) = elsewhere {
        if group.has("sections") {
            let message = format!("an item measured {} has no sections", word.value);
            reader.mistake(
                group.at("sections"),
                message,
                "take 'sections' out, or say how the item is measured in them",
            );
        }
        return Some(elsewhere);
    }
    if !group.has("sections") {
        let message = format!("an item measured as {} needs the sections it is measured in", word.value);
        reader.mistake(word.at, message, "add, such as: sections = [\"NB mainline\"]");
    }
    let sections = sections?;
    Some(match word.value.as_str() {
        "placed area" => Measurement::PlacedArea(sections),
        "placed volume" => Measurement::PlacedVolume(sections),
        "delivered volume" => Measurement::DeliveredVolume(sections),
        _ => Measurement::PlacedLength(sections),
    })
}

/// Whether the unit can hold what is measured.
fn fits(reader: &mut Reader<'_>, unit: &Found<Unit>, measured: &Found<String>) {
    let Some(system) = reader.system() else { return };
    let (kept, what) = match measured.value.as_str() {
        "placed area" => (system.area(), "an area"),
        "placed volume" | "delivered volume" => (system.volume(), "a volume"),
        "placed length" => (system.length(), "a length"),
        _ => return,
    };
    let ours = same_system(unit.value, system) && between(Decimal::ONE, kept, unit.value).is_some();
    if !ours {
        let message = format!(
            "'{}' says \"{}\", but an item measured as {} needs the unit of {what}",
            unit.key, unit.written, measured.value
        );
        reader.mistake(unit.at, message, format!("write \"{kept}\", or change how the item is measured"));
    }
}

fn same_system(unit: Unit, system: System) -> bool {
    use Unit::{CubicFoot, CubicMetre, CubicYard, Foot, Kilometre, Metre, Mile, SquareFoot, SquareMetre, SquareYard};
    match system {
        System::Customary => matches!(unit, Foot | Mile | SquareFoot | SquareYard | CubicFoot | CubicYard),
        System::Si => matches!(unit, Metre | Kilometre | SquareMetre | CubicMetre),
    }
}

fn item_rounding(
    reader: &mut Reader<'_>,
    (root, group): (&Group, &Group),
    measured: Option<&Measurement>,
    roundings: Option<&Roundings>,
) -> Option<Rounding> {
    if group.has("rounding") {
        return group.rounding("rounding").map(|found| found.value);
    }
    match measured? {
        Measurement::PlacedArea(_) => roundings.map(|r| r.area),
        Measurement::PlacedVolume(_) | Measurement::DeliveredVolume(_) => roundings.map(|r| r.volume),
        Measurement::PlacedLength(_) => roundings.map(|r| r.length),
        Measurement::ByHand | Measurement::ByPercent | Measurement::BySchedule | Measurement::ByCalendar => {
            let of_unit = group.unit("unit").and_then(|unit| rounding_of(root, unit.value));
            if of_unit.is_none() {
                let word = group.text("measured").map_or_else(String::new, |word| word.value);
                let message = format!("an item measured {word} needs its own rounding");
                reader.mistake(group.at("measured"), message, "add, such as: rounding = \"0.01 half up\"");
            }
            of_unit
        }
    }
}

/// The rounding that the contract has for quantities in a unit.
fn rounding_of(root: &Group, unit: Unit) -> Option<Rounding> {
    let pairs = root.group("rounding")?.text_pairs("by_unit")?.value;
    pairs.into_iter().find(|(word, _)| Unit::named(word) == Some(unit)).and_then(|(_, text)| text.value.parse().ok())
}

/// Reports roundings by unit that name no unit or say no rounding.
fn roundings_by_unit(reader: &mut Reader<'_>, root: &Group) {
    let Some(pairs) = root.group("rounding").and_then(|group| group.text_pairs("by_unit")) else { return };
    for (word, text) in pairs.value {
        if Unit::named(&word).is_none_or(|unit| unit.price().is_none()) {
            let message = format!("'{}' rounds \"{word}\", which is not a unit that is paid by", text.key);
            reader.mistake(text.at, message, "write a unit such as hour, day, month, SY or LS");
        }
        if let Err(why) = text.value.parse::<Rounding>() {
            reader.mistake(text.at, format!("'{}': {why}", text.key), "write it so: \"0.5 half up\"");
        }
    }
}

fn adjusted_by(
    reader: &mut Reader<'_>,
    root: &Group,
    group: &Group,
    ground: &Ground,
    measured: Option<&Measurement>,
) -> Option<Vec<Property>> {
    if !group.has("adjusted_by") {
        return Some(Vec::new());
    }
    let words = group.texts("adjusted_by")?;
    let by_ground = matches!(
        measured,
        None | Some(Measurement::PlacedArea(_) | Measurement::PlacedVolume(_) | Measurement::DeliveredVolume(_))
    );
    if !by_ground {
        let message = "pay is adjusted by area or volume; this item is measured by neither";
        reader.mistake(words.at, message, "take 'adjusted_by' out, or measure the item by area or volume");
    }
    let mut properties = Vec::new();
    for word in &words.value {
        let Some(property) = property(reader, word) else { continue };
        if properties.contains(&property) {
            reader.mistake(word.at, format!("'{}' names {} twice", words.key, word.value), "name it once");
        }
        if !root.group("rules").is_some_and(|rules| rules.has(&word.value)) {
            let message = format!("the item is adjusted by {}, but no rule set for it is chosen", word.value);
            reader.mistake(word.at, message, format!("choose one under [rules], or take \"{}\" out", word.value));
        }
        if property == Property::Strength {
            without_strength(reader, word, ground, measured);
        }
        properties.push(property);
    }
    Some(properties)
}

/// What an item waits for. That the chosen rule set requires it too is seen once the rule sets are read.
fn waits_for(
    reader: &mut Reader<'_>,
    root: &Group,
    group: &Group,
    measured: Option<&Measurement>,
) -> Option<Vec<Proof>> {
    if !group.has("waits_for") {
        return Some(Vec::new());
    }
    let words = group.texts("waits_for")?;
    if !matches!(measured, None | Some(Measurement::PlacedArea(_) | Measurement::PlacedLength(_))) {
        let message = "ground waits for its proof; this item is measured neither by placed area nor by placed length";
        reader.mistake(words.at, message, "take 'waits_for' out, or measure the item by placed area or length");
    }
    if !root.group("rules").is_some_and(|rules| rules.has("construction")) {
        let message = "an item waits for proof, but no rule set for construction is chosen that requires any";
        reader.mistake(words.at, message, "choose one under [rules], or take 'waits_for' out");
    }
    let mut proofs = Vec::new();
    for word in &words.value {
        match Proof::named(&word.value) {
            Some(proof) if proofs.contains(&proof) => {
                reader.mistake(word.at, format!("'{}' names {} twice", words.key, word.value), "name it once");
            }
            Some(proof) => proofs.push(proof),
            None => {
                let message = format!("'{}' says \"{}\"; nothing is proved by that", word.key, word.value);
                reader.mistake(word.at, message, format!("name one of: {}", Proof::ALL.map(Proof::word).join(", ")));
            }
        }
    }
    Some(proofs)
}

fn property(reader: &mut Reader<'_>, word: &Found<String>) -> Option<Property> {
    let property = Property::named(&word.value).filter(|p| *p != Property::Construction);
    if property.is_none() {
        let message = format!("'{}' says \"{}\"; nothing is adjusted by that", word.key, word.value);
        let words: Vec<&str> =
            Property::ALL.into_iter().filter(|p| *p != Property::Construction).map(Property::word).collect();
        reader.mistake(word.at, message, format!("name one of: {}", words.join(", ")));
    }
    property
}

/// Strength can only adjust what has a specified strength.
fn without_strength(reader: &mut Reader<'_>, word: &Found<String>, ground: &Ground, measured: Option<&Measurement>) {
    let sections = measured.map_or(&[][..], Measurement::sections);
    let none = sections.iter().all(|&section| ground.has_strength.get(section) == Some(&false));
    if none && !sections.is_empty() {
        let message = "the item is adjusted by strength, but none of its sections has a specified strength";
        reader.mistake(
            word.at,
            message,
            "give the sections their 'strength' and 'strength_age', or take \"strength\" out",
        );
    }
}

/// A number that cannot be below zero.
pub(super) fn amount(reader: &mut Reader<'_>, group: &Group, key: &str) -> Option<Found<Decimal>> {
    let found = group.number(key)?;
    if found.value < Decimal::ZERO {
        reader.mistake(
            found.at,
            format!("'{}' is {}, below zero", found.key, found.written),
            "write it without the minus",
        );
        return None;
    }
    Some(found)
}

/// A number in a unit that another key says.
pub(super) fn numbered(found: &Found<Decimal>, unit: Unit) -> Entered {
    entered(&found.with((found.value, unit)))
}

/// The periods, numbers and days rising.
pub(super) fn periods(reader: &mut Reader<'_>, root: &Group) -> Option<Vec<Period>> {
    let groups = root.groups("periods");
    for pair in groups.windows(2) {
        let [before, after] = pair else { continue };
        if let (Some(first), Some(second)) = (before.count("number"), after.count("number"))
            && second.value <= first.value
        {
            let message =
                format!("period {} comes after period {} on line {}", second.value, first.value, first.at.line);
            reader.mistake_with(second.at, first.at, message, "number the periods upward, in the order they end");
        }
        if let (Some(first), Some(second)) = (before.date("through"), after.date("through"))
            && second.value <= first.value
        {
            let message = format!(
                "this period ends on {}, not after the one before it, which ends on {} (line {})",
                second.value, first.value, first.at.line
            );
            reader.mistake_with(second.at, first.at, message, "let each period end later than the one before");
        }
    }
    groups
        .iter()
        .map(|group| Some(Period { number: group.count("number")?.value, through: group.date("through")?.value }))
        .collect()
}

/// A share, which cannot be more than all.
pub(super) fn share(reader: &mut Reader<'_>, group: &Group, key: &str) -> Option<Entered> {
    let found = group.quantity(key)?;
    at_most_all(reader, &found);
    Some(entered(&found))
}

/// Reports a share of more than all.
pub(super) fn at_most_all(reader: &mut Reader<'_>, found: &Found<(Decimal, Unit)>) {
    if found.value.0 > dec!(100) {
        let message = format!("'{}' is {}; a share lies between 0 and 100 percent", found.key, found.written);
        reader.mistake(found.at, message, "correct the percentage");
    }
}
