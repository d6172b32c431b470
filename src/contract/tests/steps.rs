//! Driveways, and items that wait for proof.

use super::*;
use crate::rules::Proof;

const RULES: &str = "strength  = \"example-two-rule-strength\"";
const ADJUSTED: &str = "adjusted_by = [\"thickness\", \"strength\"]";

fn changed(rules: &str, item: &str) -> String {
    HARROW_ROAD.replace(RULES, &format!("{RULES}\n{rules}")).replace(ADJUSTED, &format!("{ADJUSTED}\n{item}"))
}

fn mistakes(text: &str) -> Vec<String> {
    load(text).map_err(|f| said(&f)).err().unwrap_or_default()
}

#[test]
fn an_item_waits_for_what_the_rule_set_requires() {
    let (sets, _) = crate::rules::catalogue(&[]);
    let rules = "construction = \"example-construction\"";
    let contract = load(&changed(rules, "waits_for = [\"base-density\", \"strength\"]")).map_err(|f| said(&f)).unwrap();
    assert_eq!(contract.items[0].waits_for, [Proof::BaseDensity, Proof::Strength]);
    assert!(contract.chosen(&sets).is_ok());
    let in_vain = load(&changed(rules, "waits_for = [\"ties\"]")).map_err(|f| said(&f)).unwrap();
    let why = in_vain.chosen(&sets).map(|all| all.len()).map_err(|f| said(&f)).unwrap_err();
    assert!(
        why[0].contains("item 401 waits for ties, and the rule set 'example-construction' does not require it"),
        "{why:?}"
    );
}

#[test]
fn what_an_item_cannot_wait_for_is_said_with_its_line() {
    let without = mistakes(&changed("", "waits_for = [\"strength\"]"));
    assert!(without[0].contains("no rule set for construction is chosen"), "{without:?}");
    let rules = "construction = \"example-construction\"";
    let odd = mistakes(&changed(rules, "waits_for = [\"luck\", \"strength\", \"strength\"]"));
    assert!(
        odd[0].contains("says \"luck\"; nothing is proved by that") && odd[1].contains("names strength twice"),
        "{odd:?}"
    );
    let by_hand = HARROW_ROAD.replace(RULES, &format!("{RULES}\n{rules}")).replace(
        "measured = \"by hand\"\nrounding = \"1 half up\"",
        "measured = \"by hand\"\nrounding = \"1 half up\"\nwaits_for = [\"strength\"]",
    );
    assert!(
        mistakes(&by_hand)[0].contains("measured neither by placed area nor by placed length"),
        "{:?}",
        mistakes(&by_hand)
    );
    let adjusted =
        HARROW_ROAD.replace(RULES, &format!("{RULES}\n{rules}")).replace(ADJUSTED, "adjusted_by = [\"construction\"]");
    assert!(mistakes(&adjusted)[0].contains("nothing is adjusted by that"), "{:?}", mistakes(&adjusted));
}

#[test]
fn a_driveway_lies_on_lanes_of_one_alignment_between_two_stations() {
    let with = |driveway: &str| format!("{HARROW_ROAD}\n[[driveways]]\n{driveway}");
    let sound = load(&with("name = \"Drive 14\"\nlanes = [\"NB-1\"]\nfrom = \"24+10\"\nto = \"24+34\"\n"))
        .map_err(|f| said(&f))
        .unwrap();
    assert_eq!((sound.driveways.len(), sound.driveways[0].name.as_str()), (1, "Drive 14"));
    let reversed = mistakes(&with("name = \"Drive 14\"\nlanes = [\"NB-1\"]\nfrom = \"24+34\"\nto = \"24+10\"\n"));
    assert!(reversed[0].contains("is not ahead of 'from'"), "{reversed:?}");
    let stray = mistakes(&with("name = \"Drive 14\"\nlanes = [\"XX\"]\nfrom = \"24+10\"\nto = \"24+34\"\n"));
    assert!(stray[0].contains("which is not in this file"), "{stray:?}");
}
