//! The templates a report is printed from: the program's own, each replaceable by a file of the same name in the contract
//! folder's `templates`.
//!
//! Escaping is the default for every value a template prints; only a template that says `| safe` can turn it off.

use serde::Serialize;
use tera::{Context, ErrorKind, Tera};

use super::RenderError;
use super::shown::clean;
use super::typst::escape;

const TEXT: &[(&str, &str)] = &[
    ("report.txt", include_str!("../../templates/report.txt")),
    ("estimate.txt", include_str!("../../templates/estimate.txt")),
    ("yield.txt", include_str!("../../templates/yield.txt")),
    ("as-built.txt", include_str!("../../templates/as-built.txt")),
    ("audit.txt", include_str!("../../templates/audit.txt")),
    ("deficiencies.txt", include_str!("../../templates/deficiencies.txt")),
];

const TYPST: &[(&str, &str)] = &[
    ("package.typ", include_str!("../../templates/package.typ")),
    ("package-run.typ", include_str!("../../templates/package-run.typ")),
    ("package-look.typ", include_str!("../../templates/package-look.typ")),
    ("package-drawings.typ", include_str!("../../templates/package-drawings.typ")),
];

/// Templates, read and checked.
#[derive(Debug)]
pub struct Templates {
    text: Tera,
    typst: Tera,
}

impl Templates {
    /// The program's templates, and `own` ones (file name and text) that replace them or stand beside them.
    ///
    /// # Errors
    /// Where one cannot be followed (with its line), or has a name that nothing uses.
    pub fn new(own: &[(String, String)]) -> Result<Self, RenderError> {
        for (name, _) in own {
            used(name, own)?;
        }
        Ok(Self {
            text: engine(".txt", TEXT, own, |value, out| out.write_all(clean(value).as_bytes()))?,
            typst: engine(".typ", TYPST, own, |value, out| out.write_all(escape(value).as_bytes()))?,
        })
    }

    pub(super) fn text(&self, name: &str, view: &impl Serialize) -> Result<String, RenderError> {
        render(&self.text, name, view)
    }

    pub(super) fn typst(&self, name: &str, view: &impl Serialize) -> Result<String, RenderError> {
        render(&self.typst, name, view)
    }
}

/// Refuses a template that would be read and never printed, such as a misspelt `estmate.txt`.
fn used(name: &str, own: &[(String, String)]) -> Result<(), RenderError> {
    let built_in = TEXT.iter().chain(TYPST);
    let reports: Vec<&str> = built_in.map(|(name, _)| *name).collect();
    let quoted = [format!("\"{name}\""), format!("'{name}'")];
    let included = own.iter().any(|(other, text)| other != name && quoted.iter().any(|q| text.contains(q.as_str())));
    if reports.contains(&name) || included {
        return Ok(());
    }
    let message =
        format!("no report has this name and no other template includes it (names are: {})", reports.join(", "));
    Err(RenderError::TemplateName { name: name.into(), message })
}

fn engine(
    suffix: &'static str,
    built_in: &[(&str, &str)],
    own: &[(String, String)],
    escape: tera::EscapeFn,
) -> Result<Tera, RenderError> {
    let mut engine = Tera::new();
    engine.autoescape_on([suffix]);
    engine.set_escape_fn(escape);
    let replaced = |name: &str| own.iter().any(|(own, _)| own == name);
    let mut all: Vec<(&str, &str)> = built_in.iter().copied().filter(|(name, _)| !replaced(name)).collect();
    all.extend(
        own.iter().filter(|(name, _)| name.ends_with(suffix)).map(|(name, text)| (name.as_str(), text.as_str())),
    );
    engine.add_raw_templates(all).map_err(|error| in_words(&error, ""))?;
    Ok(engine)
}

fn render(engine: &Tera, name: &str, view: &impl Serialize) -> Result<String, RenderError> {
    let context = Context::from_serialize(view).map_err(|error| in_words(&error, name))?;
    engine.render(name, &context).map_err(|error| in_words(&error, name))
}

fn in_words(error: &tera::Error, name: &str) -> RenderError {
    match error.kind() {
        ErrorKind::SyntaxError(report) | ErrorKind::RenderingError(report) => RenderError::Template {
            name: if report.filename().is_empty() { name.into() } else { report.filename().into() },
            line: report.span().start_line,
            message: report.message().into(),
        },
        other => RenderError::TemplateName { name: name.into(), message: other.to_string() },
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::example;
    use crate::render::text;

    fn own(name: &str, text: &str) -> Vec<(String, String)> {
        vec![(name.into(), text.into())]
    }

    #[test]
    fn a_template_of_the_same_name_replaces_ours() {
        let (dossier, book) = example();
        let templates =
            Templates::new(&own("yield.txt", "Contract {{ head.number }} / {{ head.contractor }}")).unwrap();
        let shown = text(&templates, &dossier, &book, "yield.txt").unwrap();
        assert!(shown.starts_with("Contract EX-2031-007 / Invented Paving #panic()"), "{shown}");
        assert!(!shown.contains('\u{1b}'));
    }

    #[test]
    fn a_mistake_is_named_with_its_line() {
        let error = Templates::new(&own("yield.txt", "one\ntwo {% if %}")).unwrap_err();
        assert!(matches!(&error, RenderError::Template { name, line: 2, .. } if name == "yield.txt"), "{error}");
    }

    #[test]
    fn a_value_that_does_not_exist_is_named_with_its_line() {
        let (dossier, book) = example();
        let templates = Templates::new(&own("yield.txt", "one\n\n{{ head.colour }}")).unwrap();
        let error = text(&templates, &dossier, &book, "yield.txt").unwrap_err();
        assert!(matches!(&error, RenderError::Template { name, line: 3, .. } if name == "yield.txt"), "{error}");
    }

    #[test]
    fn a_misspelt_name_is_refused() {
        let error = Templates::new(&own("estmate.txt", "hello")).unwrap_err();
        assert!(error.to_string().starts_with("templates/estmate.txt: no report has this name"), "{error}");
    }

    #[test]
    fn a_template_may_bring_its_own_parts() {
        let both = [own("letterhead.txt", "Township"), own("yield.txt", "{% include \"letterhead.txt\" %}")].concat();
        let (dossier, book) = example();
        let shown = text(&Templates::new(&both).unwrap(), &dossier, &book, "yield.txt").unwrap();
        assert_eq!(shown, "Township\n");
    }
}
