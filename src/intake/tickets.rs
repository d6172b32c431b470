//! Several tickets in one cell: `88213, 88214` names each; `88213-88215` and `88213/14` can be one number or several.

/// Each ticket that a cell names: parted by commas, semicolons, `&`, `and` or line breaks, where each part bears a
/// figure; else the cell as it stands.
#[must_use]
pub fn each_ticket(text: &str) -> Vec<&str> {
    let words = [" and ", " AND ", " And "];
    let parts = text.split([',', ';', '&', '\n', '\r']).flat_map(|part| {
        let word = words.iter().find(|w| part.contains(**w)).unwrap_or(&"\n");
        part.split(word).collect::<Vec<_>>()
    });
    let parts: Vec<&str> = parts.map(str::trim).filter(|p| !p.is_empty()).collect();
    let numbered = parts.iter().all(|p| p.contains(|c: char| c.is_ascii_digit()));
    if parts.len() > 1 && numbered { parts } else { vec![text.trim()] }
}

/// More tickets than this are no run of loads.
const LONGEST: u64 = 60;
/// More tickets than this are not written in short.
const SHORT: u64 = 9;

/// First and last of a run that a ticket could mean: `88213-88215`, `88213/14`, `88213 to 88215`.
#[must_use]
pub fn ticket_run(text: &str) -> Option<(String, String)> {
    let text = text.trim();
    let (first, rest) = text.split_at(text.find(|c: char| !c.is_ascii_digit())?);
    let rest = rest.trim_start();
    let between = ["through", "thru", "to", "-", "–", "—", "/"];
    let word = between.iter().find(|w| rest.to_lowercase().starts_with(**w))?;
    let last = rest.get(word.len()..)?.trim();
    let figures = !last.is_empty() && last.bytes().all(|b| b.is_ascii_digit()) && last.len() <= first.len();
    // `101-3` is the third load of pour 101: only a stroke stands before the last figures of the next number.
    let short = last.len() < first.len();
    if first.len() < 3 || !figures || (short && (*word != "/" || last.len() < 2 || first.len() < 4)) {
        return None;
    }
    let last = format!("{}{last}", &first[..first.len() - last.len()]);
    let run = last.parse::<u64>().ok()?.checked_sub(first.parse().ok()?)?;
    (1..=if short { SHORT } else { LONGEST }).contains(&run).then(|| (first.to_string(), last))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn tickets_in_one_cell_are_told_apart() {
        for (text, each) in [
            ("88213", vec!["88213"]),
            ("88213, 88214", vec!["88213", "88214"]),
            ("88213 & 88214; A-7", vec!["88213", "88214", "A-7"]),
            ("88213 and 88214", vec!["88213", "88214"]),
            ("88213-88215", vec!["88213-88215"]),
            ("Smith, J", vec!["Smith, J"]),
        ] {
            assert_eq!(each_ticket(text), each, "{text}");
        }
    }

    #[test]
    fn what_could_be_a_run_is_known() {
        let run = |a: &str, b: &str| Some((a.to_string(), b.to_string()));
        for (text, is) in [
            ("88213-88215", run("88213", "88215")),
            ("88213/14", run("88213", "88214")),
            ("88213 to 88215", run("88213", "88215")),
            ("24-88213", None),
            ("88213-1", None),
            ("100-3", None),
            ("070331-32", None),
            ("101/3", None),
            ("88213", None),
            ("A-31052", None),
        ] {
            assert_eq!(ticket_run(text), is, "{text}");
        }
    }
}
