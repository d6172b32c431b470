//! What the XML reader leaves to us: attributes by name, and the characters that references stand for.

use quick_xml::XmlVersion;
use quick_xml::events::{BytesRef, BytesStart};

/// The value of an attribute by its full name.
pub(super) fn attribute(element: &BytesStart<'_>, name: &str) -> Option<String> {
    let found = element.attributes().flatten().find(|it| it.key.as_ref() == name)?;
    let value = found.normalized_value(XmlVersion::Implicit1_0);
    Some(value.map_or_else(|_| found.value.clone().into_owned(), std::borrow::Cow::into_owned))
}

/// The character a reference stands for; one that is unknown stays as written, and none is ever fetched from outside.
pub(super) fn resolved(reference: &BytesRef<'_>) -> String {
    if let Ok(Some(letter)) = reference.resolve_char_ref() {
        return letter.to_string();
    }
    match reference.xml10_content().as_ref() {
        "amp" => String::from("&"),
        "lt" => String::from("<"),
        "gt" => String::from(">"),
        "quot" => String::from("\""),
        "apos" => String::from("'"),
        other => format!("&{other};"),
    }
}
