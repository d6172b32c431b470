//! What the contract says of payment, and what is wrong with it.

use rust_decimal::dec;

use super::{HARROW_ROAD, mistakes, said};
use crate::contract::{Measurement, Since, load};
use crate::units::Unit;

/// The mistakes once more tables stand behind the contract, without their lines.
fn more(text: &str) -> Vec<String> {
    let said = mistakes(&format!("{HARROW_ROAD}\n{text}"));
    said.iter().map(|said| said.split_once(' ').map_or("", |(_, rest)| rest).to_string()).collect()
}

const ENTRY: &str = "[[entries]]\nid = \"D-1\"\ndate = 2031-05-10\nreason = \"forms\"\namount = \"-10,000\"\n";

fn reversal(date: &str, of: &str, amount: &str) -> String {
    format!(
        "{ENTRY}[[entries]]\nid = \"D-2\"\ndate = {date}\nreason = \"came\"\namount = \"{amount}\"\nreverses = \"{of}\"\n"
    )
}

#[test]
fn an_entry_is_reversed_within_what_is_left_of_it() {
    let text = format!("{HARROW_ROAD}\n{}", reversal("2031-05-20", "D-1", "7,000"));
    let contract = load(&text).map_err(|f| said(&f)).unwrap();
    let entries = &contract.payment.entries;
    assert_eq!((entries[0].amount.value, entries[1].reverses), (dec!(-10000), Some(0)));
    let twice = format!(
        "{}[[entries]]\nid = \"D-3\"\ndate = 2031-05-21\nreason = \"came\"\namount = \"3,000.01\"\nreverses = \"D-1\"\n",
        reversal("2031-05-20", "D-1", "7,000")
    );
    let left = "entry D-3 reverses 3,000.01 of D-1, of which -3000.00 is left | reverse no more than is left, and enter the rest as an entry of its own";
    assert_eq!(more(&twice), [left]);
}

#[test]
fn an_entry_reverses_an_earlier_one_of_the_other_sign() {
    for (text, expected) in [
        (reversal("2031-05-20", "D-9", "7,000"), "names the entry \"D-9\", which is not in this file"),
        (reversal("2031-05-20", "D-1", "-7,000"), "entry D-2 has the sign of D-1, which it reverses"),
        (reversal("2031-05-09", "D-1", "7,000"), "entry D-2 reverses D-1, which does not come before it"),
        (reversal("2031-05-20", "D-2", "7,000"), "entry D-2 reverses D-2, which does not come before it"),
    ] {
        let said = more(&text);
        assert!(said.len() == 1 && said[0].contains(expected), "{said:?}");
    }
}

/// The contract with other words for its retainage.
fn retained(text: &str) -> String {
    HARROW_ROAD.replace("percent = \"5 percent\"\n", &format!("percent = \"5 percent\"\n{text}\n"))
}

#[test]
fn steps_of_retainage_hold_from_a_day_or_an_amount() {
    let both = "steps = [{ earned = \"50 percent\", percent = \"2 percent\", of = \"earned after\" }, { from = 2031-07-01, percent = \"0 percent\", of = \"all earned\" }]";
    let contract = load(&retained(both)).map_err(|f| said(&f)).unwrap();
    let steps = &contract.payment.retainage.as_ref().unwrap().steps;
    assert!(steps[0].after_only && matches!(&steps[0].since, Since::Earned(of) if of.value == dec!(50)));
    assert!(matches!(steps[1].since, Since::Date(_)));
    for (text, expected) in [
        (
            "steps = [{ percent = \"2 percent\", of = \"all earned\" }]",
            "holds from a day or from an amount earned, one of them",
        ),
        (
            "steps = [{ from = 2031-07-01, percent = \"2 percent\", of = \"earned after\" }]",
            "of what is earned after a day",
        ),
        (
            "steps = [{ earned = \"50 percent\", percent = \"2 percent\", of = \"all earned\" }, { earned = \"50 percent\", percent = \"1 percent\", of = \"all earned\" }]",
            "does not come after the one on line",
        ),
        ("most = \"110 percent\"", "a share lies between 0 and 100 percent"),
    ] {
        let said = mistakes(&retained(text));
        assert!(said.len() == 1 && said[0].contains(expected), "{said:?}");
    }
}

#[test]
fn a_most_is_a_share_or_an_amount() {
    let most =
        |text: &str| load(&retained(text)).map_err(|f| said(&f)).unwrap().payment.retainage.unwrap().most.unwrap();
    assert_eq!((most("most = \"50,000\"").value, most("most = \"50,000\"").unit), (dec!(50000), Unit::Money));
    assert_eq!(most("most = \"5 percent\"").unit, Unit::Percent);
}

/// The casting measured otherwise.
fn casting(text: &str) -> String {
    HARROW_ROAD.replace("measured = \"by hand\"\nrounding = \"1 half up\"", text)
}

#[test]
fn an_item_says_how_it_is_measured_and_nothing_else() {
    let month = "rounding = \"0.5 half up\"\nmeasured = \"by calendar\"\nfrom = 2031-05-01\nto = 2031-06-10";
    let text = casting(month).replace("unit = \"each\"", "unit = \"month\"");
    assert_eq!(load(&text).map_err(|f| said(&f)).unwrap().items[1].measured, Measurement::ByCalendar);
    for (text, expected) in [
        (casting(month), "the calendar counts days or months"),
        (
            casting("rounding = \"1 half up\"\nmeasured = \"by schedule\""),
            "an item measured by schedule needs 'schedule'",
        ),
        (
            casting("rounding = \"1 half up\"\nmeasured = \"by hand\"\nfrom = 2031-05-01"),
            "'from' is of items measured by calendar",
        ),
        (casting("measured = \"by percent\""), "an item measured by percent needs its own rounding"),
    ] {
        let said = mistakes(&text);
        assert!(said.iter().any(|said| said.contains(expected)), "{said:?}");
    }
}

#[test]
fn quantities_are_rounded_by_their_unit_where_the_item_does_not_say() {
    let by_unit = |text: &str| {
        casting("measured = \"by hand\"").replace("money  =", &format!("by_unit = {{ {text} }}\nmoney  ="))
    };
    let contract = load(&by_unit("each = \"1 half even\"")).map_err(|f| said(&f)).unwrap();
    assert_eq!(contract.items[1].rounding.to_string(), "1 half even");
    let said = mistakes(&by_unit("each = \"1 half even\", barrel = \"1 half up\", hour = \"half\""));
    assert_eq!(said.len(), 2, "{said:?}");
}

#[test]
fn the_last_period_may_be_final_and_no_other() {
    let last = HARROW_ROAD.replace("through = 2031-06-30", "through = 2031-06-30\nfinal = true");
    assert!(load(&last).map_err(|f| said(&f)).unwrap().payment.last_is_final);
    let first = HARROW_ROAD.replace("through = 2031-05-31", "through = 2031-05-31\nfinal = true");
    assert!(mistakes(&first)[0].contains("a period is final, and another comes after it"));
    let word = HARROW_ROAD.replace("through = 2031-06-30", "through = 2031-06-30\nfinal = \"yes\"");
    assert!(mistakes(&word)[0].contains("'periods[1].final' is text; expected: true or false"));
}

#[test]
fn shares_of_a_split_are_a_hundred_and_its_last_rule_takes_the_rest() {
    let split = |rules: &str| format!("[[splits]]\nname = \"Funding\"\nrules = [{rules}]\n");
    let all =
        "{ shares = [{ part = \"state\", percent = \"80 percent\" }, { part = \"town\", percent = \"20 percent\" }] }";
    assert!(load(&format!("{HARROW_ROAD}\n{}", split(all))).is_ok());
    assert_eq!(
        more(&split(&all.replace("20", "19"))),
        ["the shares of this rule add up to 99 percent, not 100 | correct the shares"]
    );
    assert!(more(&split(&format!("{all}, {all}")))[0].starts_with("this rule covers nothing"));
}

#[test]
fn changes_stored_materials_and_indices_say_what_is_wrong() {
    let change = "[[changes]]\nnumber = \"1\"\ndate = 2031-06-01\nreason = \"agreed\"\n";
    for (text, expected) in [
        (format!("{change}items = [{{ item = \"401\" }}]\n"), "changes neither quantity nor price nor amount"),
        (format!("{change}items = [{{ item = \"999\", quantity = 1 }}]\n"), "names the item \"999\""),
        (format!("{change}[[changes]]\nnumber = \"2\"\ndate = 2031-05-01\nreason = \"agreed\"\n"), "before the one above it"),
        ("[[stored_materials]]\ndate = 2031-05-01\nitem = \"401\"\nmaterial = \"bars\"\ninvoice = \"A\"\namount = 1\nplace = \"on site\"\nevidence = \"photo\"\n".into(), "the contract does not say at what rates"),
        ("[[indices]]\nname = \"Fuel\"\nbase = \"3\"\ntrigger = \"10 percent\"\ncounts = \"whole change\"\nvalues = [{ month = \"May\", value = \"3\", source = \"p\" }]\nitems = [{ item = \"401\", use = 1 }]\n".into(), "which is not a month"),
        ("[variation]\nover = \"25 percent\"\nunder = \"75 percent\"\nof = \"bid\"\n".into(), "not above the quantity bid"),
        ("[time]\nstart = 2031-05-01\ndays = 10\ncount = \"calendar days\"\nholidays = [2031-05-26]\ncompleted = 2031-04-01\n".into(), "before it starts"),
    ] {
        let said = more(&text);
        assert!(said.iter().any(|said| said.contains(expected)), "{said:?}");
    }
}
