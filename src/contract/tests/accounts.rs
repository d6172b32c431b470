//! What the contract says of the accounts: yield, mixes, batching, tickets, supply, materials.

use super::{HARROW_ROAD, mistakes};
use crate::contract::{DepthBy, Need, load};
use crate::intake::{Ingredient, LaneId};
use rust_decimal::dec;

const ACCOUNTS: &str = r#"
[[mixes]]
name = "P-4000"
also = ["4000 paving"]
sections = ["NB mainline"]
price = "118.50"
water_cement = "0.45"
design = { cement = "564 lb/yd3", fine = "1240 lb/yd3", coarse = "1800 lb/yd3", water = "245 lb/yd3" }

[batching]
cement = ["-1 percent", "5 percent"]
water = ["none", "2 percent"]

[tickets]
time_limit = "90 min"
revolutions = 300
waived = [{ ticket = "88213", reason = "no water added" }]
shortest_round = "35 min"
first_batch = "20:00"
last_batch = "06:00"
numbered = ["Plant A"]
copied = "0.1 percent"

[supply]
short_load_below = "6 yd3"
short_load_charge = "85.00"
free_time = "30 min"
waiting_price = "2.25"

[[materials]]
name = "Millings base"
unit = "ton"
needed = "by volume"
depth = "4 in"
density = "128 lb/ft3"
price = "14.20"
warn_under = "2 percent"

[[materials]]
name = "Tie bars"
unit = "each"
needed = "along longitudinal joints"
joints = [{ left = "NB-1", right = "NB-2" }]
spacing = "30 in"
"#;

fn text() -> String {
    let second = "\n[[lanes]]\nname = \"NB-2\"\nalignment = \"NB\"\nside = \"right\"\nwidth = \"12 ft\"\n";
    let yields = "warn_over = \"5 percent\"\nact_over = \"8 percent\"\nlow_grade = \"0.25 in\"\ndepth_by = \"cores\"\nprice = \"120\"";
    HARROW_ROAD.replacen("warn_over = \"5 percent\"", yields, 1) + second + ACCOUNTS
}

/// What is wrong once a text is put in place of another: every mistake, without its place.
fn wrong(from: &str, to: &str) -> Vec<String> {
    let text = text();
    assert_eq!(text.matches(from).count(), 1, "'{from}'");
    mistakes(&text.replacen(from, to, 1)).iter().map(|m| m.split_once(' ').unwrap().1.to_string()).collect()
}

fn one(from: &str, to: &str, says: &str) {
    let said = wrong(from, to);
    assert_eq!(said.len(), 1, "{said:#?}");
    assert!(said[0].contains(says), "{said:#?}");
}

#[test]
fn everything_that_was_agreed_is_read() {
    let contract = load(&text()).unwrap_or_else(|found| panic!("{found:#?}"));
    assert_eq!(contract.yields.depth_by, DepthBy::Cores);
    let mix = &contract.mixes[contract.mix("4000 Paving").unwrap()];
    assert_eq!(mix.design[&Ingredient::Coarse].value, dec!(1800));
    assert_eq!(contract.price_of(contract.mix("P-4000")).unwrap().value, dec!(118.50));
    assert_eq!(contract.price_of(None).unwrap().value, dec!(120), "the price of all others");
    let (low, high) = &contract.batching.tolerances[&Ingredient::Cement];
    assert_eq!((low.as_ref().unwrap().value, high.as_ref().unwrap().value), (dec!(-1), dec!(5)));
    assert!(contract.batching.tolerances[&Ingredient::Water].0.is_none());
    let tickets = contract.tickets.as_ref().unwrap();
    assert_eq!(tickets.waived[0].reason, "no water added");
    assert!(tickets.day.1 < tickets.day.0, "a shift past midnight");
    assert_eq!(contract.supply.as_ref().unwrap().waiting_price.as_ref().unwrap().value, dec!(2.25));
    assert_eq!(contract.materials[0].sections.len(), contract.sections.len(), "needed everywhere");
    let Need::LongitudinalJoints { joints, spacing } = &contract.materials[1].need else { panic!("tie bars") };
    assert_eq!(joints, &[(LaneId(0), LaneId(2))]);
    assert_eq!(spacing.as_ref().unwrap().value, dec!(2.5), "30 in");
}

#[test]
fn limits_that_contradict_each_other_are_refused() {
    one("act_over = \"8 percent\"", "act_over = \"5 percent\"", "not above 'yield.warn_over'");
    one("[\"-1 percent\", \"5 percent\"]", "[\"1 percent\", \"5 percent\"]", "does not hold the target itself");
    one("last_batch = \"06:00\"", "last_batch = \"6 o'clock\"", "which is not a time of day");
    one("short_load_below = \"6 yd3\"\n", "", "short_load");
    one("price = \"118.50\"", "price = \"-118.50\"", "below zero");
}

#[test]
fn names_mean_one_thing_and_something_that_is_there() {
    one("sections = [\"NB mainline\"]\nprice", "sections = [\"SB\"]\nprice", "\"SB\", which is not in this file");
    one("right = \"NB-2\"", "right = \"NB-9\"", "\"NB-9\", which is not in this file");
    one("right = \"NB-2\"", "right = \"NB-1\"", "names no two lanes of one alignment");
    one("name = \"Tie bars\"", "name = \"Millings base\"", "stands on line");
    one("cement = \"564 lb/yd3\"", "cement = \"564 lb\"", "a mass per volume");
}

#[test]
fn a_material_says_what_its_need_takes_and_nothing_else() {
    one("density = \"128 lb/ft3\"\n", "", "which takes 'density'");
    one("depth = \"4 in\"", "depth = \"4 in\"\npieces = 1", "says nothing of a material that is needed by volume");
    one("unit = \"ton\"", "unit = \"gal\"", "a mass or a volume");
    one("unit = \"each\"\nneeded", "unit = \"ft\"\nneeded", "pieces");
    one("depth = \"4 in\"", "depth = \"0 in\"", "is zero");
}
