//! The table of keys for people: one Markdown table for each table of the file.

use super::key::{Form, Key};

/// What stands in place of a table that is described elsewhere; `None` where it is described here.
type Elsewhere<'e> = &'e dyn Fn(&[Key]) -> Option<String>;

/// Every key of a file: whether it is required, how it is written, what it means.
#[must_use]
pub fn markdown(keys: &[Key]) -> String {
    let plain: Vec<&Key> = keys.iter().filter(|key| !key.example.is_empty()).collect();
    format!("### At the top\n\n{}{}", rows(&plain), markdown_of_tables(keys, &|_| None))
}

/// The tables among the keys, each under its own heading; those that are described elsewhere refer there.
#[must_use]
pub fn markdown_of_tables(keys: &[Key], elsewhere: Elsewhere<'_>) -> String {
    let mut out = String::new();
    for key in keys.iter().filter(|key| key.example.is_empty()) {
        let (Form::Table(of) | Form::Tables(of)) = key.form else { continue };
        let required = if key.need == super::Need::Required { "Required." } else { "Optional." };
        out.push_str(&format!("\n### `{}`\n\n{required} {}", key.line(), sentence(key.meaning)));
        match elsewhere(of) {
            Some(words) => out.push_str(&format!("; {words}\n")),
            None => out.push_str(&format!("\n\n{}", markdown_of_table(&key.line(), of, elsewhere))),
        }
    }
    out
}

/// The keys of one table, and of the tables written inside its lines.
#[must_use]
pub fn markdown_of_table(line: &str, of: &[Key], elsewhere: Elsewhere<'_>) -> String {
    let inner = of.iter().map(|key| inline(line, key, elsewhere));
    format!("{}{}", rows(&of.iter().collect::<Vec<_>>()), inner.collect::<String>())
}

/// A table written inside a line has its own short list.
fn inline(outer: &str, inner: &Key, elsewhere: Elsewhere<'_>) -> String {
    let (Form::Table(of) | Form::Tables(of) | Form::Either(_, &(Form::Table(of) | Form::Tables(of)))) = inner.form
    else {
        return String::new();
    };
    match elsewhere(of) {
        Some(words) if words.is_empty() => String::new(),
        Some(words) => format!("\nEach table in `{}` of `{outer}`: {words}\n", inner.name),
        None => {
            let keys: Vec<&Key> = of.iter().collect();
            format!("\nEach table in `{}` of `{outer}`:\n\n{}", inner.name, rows(&keys))
        }
    }
}

/// The rows of some keys, under the heads of their columns.
#[must_use]
pub fn rows(keys: &[&Key]) -> String {
    let mut out = String::from("| key | required | form | meaning | example |\n| --- | --- | --- | --- | --- |\n");
    for key in keys {
        out.push_str(&format!(
            "| `{}` | {} | {} | {} | `{}` |\n",
            key.name,
            key.need.words(),
            key.form.words(),
            sentence(key.meaning),
            key.example
        ));
    }
    out
}

fn sentence(words: &str) -> String {
    let mut chars = words.chars();
    chars.next().map_or_else(String::new, |first| format!("{}{}", first.to_uppercase(), chars.as_str()))
}
