//! Which part of an `.xlsx` package holds which sheet (ECMA-376 part 2, relationships).

use std::collections::BTreeMap;
use std::io::Read;

use quick_xml::Reader;
use quick_xml::events::Event;

use super::archive::Archive;

/// Longest part about the workbook itself that is read whole.
const LONGEST_PART: u64 = 64 << 20;

/// Names of the parts, in lower case, in the order of the workbook's sheets. `None` where the package does not say.
pub(super) fn sheet_parts(archive: &mut Archive<'_>) -> Option<Vec<String>> {
    let root = part(archive, "_rels/.rels")?;
    let is_workbook =
        |it: &Attributes| it.get("Type").is_some_and(|kind| kind.ends_with("/relationships/officeDocument"));
    let workbook = elements(&root, "Relationship")?.into_iter().rfind(is_workbook)?.remove("Target")?;
    let workbook = workbook.trim_start_matches('/').to_owned();
    let (folder, name) = workbook.rfind('/').map_or(("", workbook.as_str()), |slash| workbook.split_at(slash + 1));
    let relations = part(archive, &format!("{folder}_rels/{name}.rels"))?;
    let targets: BTreeMap<String, String> = elements(&relations, "Relationship")?
        .into_iter()
        .filter_map(|mut it| Some((it.remove("Id")?, it.remove("Target")?)))
        .collect();
    let content = part(archive, &workbook)?;
    let sheets = elements(&content, "sheet")?;
    sheets.iter().map(|it| targets.get(it.get("id")?).map(|target| absolute(folder, target))).collect()
}

/// Attributes by local name.
type Attributes = BTreeMap<String, String>;

fn absolute(folder: &str, target: &str) -> String {
    target.strip_prefix('/').map_or_else(|| format!("{folder}{target}"), str::to_owned).to_ascii_lowercase()
}

/// A part whole, its name taken without regard to case; `None` where it is missing or too long to be read whole.
pub(super) fn part(archive: &mut Archive<'_>, name: &str) -> Option<Vec<u8>> {
    let same = |other: &[u8]| String::from_utf8_lossy(other).replace('\\', "/").eq_ignore_ascii_case(name);
    let index = archive.file_names_raw().position(same)?;
    let mut content = Vec::new();
    let read = archive.by_index(index).ok()?.take(LONGEST_PART + 1).read_to_end(&mut content).ok()?;
    u64::try_from(read).is_ok_and(|read| read <= LONGEST_PART).then_some(content)
}

/// The attributes of every element of that local name.
fn elements(xml: &[u8], name: &str) -> Option<Vec<Attributes>> {
    let mut reader = Reader::from_reader(xml);
    let (mut found, mut buffer) = (Vec::new(), Vec::new());
    loop {
        buffer.clear();
        match reader.read_event_into(&mut buffer).ok()? {
            Event::Start(element) | Event::Empty(element) if element.local_name().as_ref() == name => {
                let pairs = element.attributes().flatten();
                found.push(pairs.map(|it| (it.key.local_name().as_ref().to_owned(), it.value.into_owned())).collect());
            }
            Event::Eof => return Some(found),
            _ => {}
        }
    }
}
