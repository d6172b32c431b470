//! The table of keys for people: one Markdown table for each table of the file.

use super::key::{Form, Key};

/// Every key of a file: whether it is required, how it is written, what it means.
#[must_use]
pub fn markdown(keys: &[Key]) -> String {
    let (tables, plain): (Vec<&Key>, Vec<&Key>) = keys.iter().partition(|key| key.example.is_empty());
    let mut out = String::from("### At the top\n\n");
    out.push_str(&rows(&plain));
    for key in tables {
        let (Form::Table(of) | Form::Tables(of)) = key.form else { continue };
        let required = if key.need == super::Need::Required { "Required." } else { "Optional." };
        out.push_str(&format!("\n### `{}`\n\n{required} {}\n\n", key.line(), sentence(key.meaning)));
        out.push_str(&rows(&of.iter().collect::<Vec<_>>()));
        for inner in of {
            inline(key, inner, &mut out);
        }
    }
    out
}

/// A table written inside a line has its own short list.
fn inline(outer: &Key, inner: &Key, out: &mut String) {
    let (Form::Table(of) | Form::Tables(of) | Form::Either(_, &(Form::Table(of) | Form::Tables(of)))) = inner.form
    else {
        return;
    };
    out.push_str(&format!("\nEach table in `{}` of `{}`:\n\n", inner.name, outer.line()));
    out.push_str(&rows(&of.iter().collect::<Vec<_>>()));
}

fn rows(keys: &[&Key]) -> String {
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
