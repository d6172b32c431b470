//! The keys of rule sets for people: what all of them share once, then what each property has of its own.

use super::band::{DEVIATION, REPRESENTS, TEST_RESULT};
use super::keys::THICKNESS;
use super::load::keys;
use super::lotting::LOT;
use super::measure::{DEFICIENCY, INDEX, QUALITY};
use super::model::Property;
use super::pay::PAY;
use super::quality::{OUTLIERS, VERIFICATION};
use crate::keyed::{Key, markdown_of_table, markdown_of_tables, rows};

/// Tables that more than one property has, by the line that begins them.
const SHARED: [(&str, &[Key]); 10] = [
    ("[lot]", LOT),
    ("[deficiency]", DEFICIENCY),
    ("[index]", INDEX),
    ("table of [within]", QUALITY),
    ("[outliers]", OUTLIERS),
    ("[verification]", VERIFICATION),
    ("[test] of fresh concrete", TEST_RESULT),
    ("[represents]", REPRESENTS),
    ("[deviation]", DEVIATION),
    ("[pay]", PAY),
];

/// Every key of a rule set in Markdown tables: at the top, shared tables, then property by property.
#[must_use]
pub fn keys_markdown() -> String {
    let top: Vec<&Key> = plain(THICKNESS);
    let mut out = format!(
        "## In every rule set\n\n### At the top\n\n{}\nA number with a clause of its own is written `{{ is = \"0.20 in\", \
         clause = \"501.23(b)\" }}`.\n\n## Tables that several properties have\n",
        rows(&top)
    );
    for (line, of) in SHARED {
        out.push_str(&format!("\n### Shared: `{line}`\n\n{}", markdown_of_table(line, of, &own_clause)));
    }
    for property in Property::ALL {
        out.push_str(&format!("\n## {}\n{}", heading(property), lacking(property, &top)));
        let own = own_at_the_top(property, &top);
        if !own.is_empty() {
            out.push_str(&format!("\nAt the top too:\n\n{}", rows(&own)));
        }
        out.push_str(&markdown_of_tables(keys(property), &elsewhere));
    }
    out
}

/// The keys at the top that only this property has.
fn own_at_the_top(property: Property, top: &[&Key]) -> Vec<&'static Key> {
    plain(keys(property)).into_iter().filter(|key| !top.contains(key)).collect()
}

fn plain(keys: &'static [Key]) -> Vec<&'static Key> {
    keys.iter().filter(|key| !key.example.is_empty()).collect()
}

/// Which of the keys at the top a property does not have.
fn lacking(property: Property, top: &[&Key]) -> String {
    let own = plain(keys(property));
    let lacking: Vec<String> = top.iter().filter(|key| !own.contains(key)).map(|k| format!("`{}`", k.name)).collect();
    if lacking.is_empty() { String::new() } else { format!("\nWithout {} at the top.\n", lacking.join(", ")) }
}

fn elsewhere(of: &[Key]) -> Option<String> {
    let shared = SHARED.iter().find(|(_, shared)| *shared == of);
    shared.map(|(line, _)| format!("keys under \"Shared: {line}\".")).or_else(|| own_clause(of))
}

/// The table of a single number is described once for all.
fn own_clause(of: &[Key]) -> Option<String> {
    (of.iter().map(|key| key.name).eq(["is", "clause"])).then(String::new)
}

fn heading(property: Property) -> &'static str {
    match property {
        Property::Thickness => "Thickness",
        Property::Strength => "Strength",
        Property::Air => "Air",
        Property::Slump => "Slump",
        Property::WaterCement => "Water-cement ratio",
        Property::Smoothness => "Smoothness",
        Property::Straightedge => "Straightedge",
        Property::Construction => "Construction",
        Property::Combined => "Combined",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::keyed::Form;

    /// Every key of a table and of the tables in it.
    fn all(keys: &'static [Key]) -> Vec<&'static Key> {
        let inner = |key: &'static Key| match key.form {
            Form::Table(of) | Form::Tables(of) | Form::Either(_, &(Form::Table(of) | Form::Tables(of))) => all(of),
            _ => Vec::new(),
        };
        keys.iter().flat_map(|key| [vec![key], inner(key)].concat()).collect()
    }

    #[test]
    fn every_key_is_described_and_no_shared_one_twice() {
        let page = keys_markdown();
        for property in Property::ALL {
            for key in all(keys(property)).into_iter().filter(|key| !["is", "clause"].contains(&key.name)) {
                let row = rows(&[key]);
                let row = row.lines().last().unwrap();
                let found = if key.example.is_empty() { format!("### `{}`", key.line()) } else { row.to_string() };
                assert!(page.contains(&found), "{}: {}", property.word(), key.name);
            }
            for key in own_at_the_top(property, &plain(THICKNESS)) {
                assert_eq!(page.matches(rows(&[key]).lines().last().unwrap()).count(), 1, "{}", key.name);
            }
        }
        for (line, of) in SHARED {
            assert_eq!(page.matches(&markdown_of_table(line, of, &own_clause)).count(), 1, "{line}");
        }
        assert_eq!(page.matches("`price_per_volume` |").count(), 1);
        assert!(page.lines().filter(|l| l.starts_with('|')).all(|l| l.matches('|').count() == 6), "{page}");
    }
}
