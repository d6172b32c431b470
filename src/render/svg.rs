//! The step drawings as one standalone SVG 1.1 file: every strip below the other, in points, as the PDF has them.
//!
//! Tones are those of the PDF, each doubled by a hatch and by the word in the legend. There are no scripts and no references to
//! anything outside the file; whatever came from a cell is cleaned and escaped.

use super::shown::clean;
use super::typst::{Drawing, Placed, PlacedLane, PlacedMark, drawing};
use crate::dossier::{Block, Dossier, MarkShape, State, Strip};

const INK: &str = "#1c2326";
const MARGIN: f64 = 24.0;
const TITLE: f64 = 40.0;
const BETWEEN: f64 = 16.0;

/// The drawing of all step strips; `None` where the dossier has none.
#[must_use]
pub fn svg(dossier: &Dossier) -> Option<String> {
    let blocks = dossier.pages.iter().flat_map(|p| &p.blocks);
    let strips: Vec<&Strip> = blocks
        .filter_map(|b| match b {
            Block::Strip(strip) if strip.steps => Some(strip),
            _ => None,
        })
        .collect();
    if strips.is_empty() {
        return None;
    }
    let drawings: Vec<(&Strip, Drawing)> = strips.iter().map(|s| (*s, drawing(s, dossier.head.letter))).collect();
    let width = drawings.iter().map(|(_, d)| d.width).fold(0.0, f64::max) + 2.0 * MARGIN;
    let mut body = String::new();
    let mut y = MARGIN;
    let head = format!("{} {}, {}", dossier.head.number, dossier.head.title, dossier.head.through);
    body.push_str(&words((MARGIN, y + 8.0), 11.0, "start", true, &head));
    if !dossier.head.notice.is_empty() {
        body.push_str(&words((MARGIN, y + 21.0), 8.0, "start", false, &dossier.head.notice));
    }
    y += 36.0;
    for (strip, drawing) in &drawings {
        y = strip_at(&mut body, strip, drawing, y);
    }
    body.push_str(&words(
        (MARGIN, y + 8.0),
        8.0,
        "start",
        false,
        "The records show this; the contract, local code and the engineer decide.",
    ));
    let height = y + 8.0 + MARGIN;
    Some(format!(
        "<?xml version=\"1.0\" encoding=\"UTF-8\"?>\n<svg xmlns=\"http://www.w3.org/2000/svg\" width=\"{width:.1}pt\" height=\"{height:.1}pt\" viewBox=\"0 0 {width:.1} {height:.1}\" font-family=\"Libertinus Serif, Georgia, serif\">\n<title>{}</title>\n{HATCHES}<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>\n{body}</svg>\n",
        escape(&head)
    ))
}

/// One hatch for each family of states, as in the PDF.
const HATCHES: &str = r##"<defs>
<pattern id="failed" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#e0a070"/><path d="M0 5L5 0" stroke="#5a2a0c" stroke-width="0.9"/></pattern>
<pattern id="unproved" width="6" height="6" patternUnits="userSpaceOnUse"><rect width="6" height="6" fill="#f4eecb"/><circle cx="3" cy="3" r="0.7" fill="#6d6433"/></pattern>
<pattern id="missing" width="5" height="5" patternUnits="userSpaceOnUse"><rect width="5" height="5" fill="#d9cfe6"/><path d="M0 5L5 0M0 0L5 5" stroke="#33204f" stroke-width="0.8"/></pattern>
<pattern id="may-open" width="6" height="4" patternUnits="userSpaceOnUse"><rect width="6" height="4" fill="#e3edf8"/><path d="M0 2H6" stroke="#2c5a8c" stroke-width="0.4"/></pattern>
<pattern id="not-yet" width="4" height="6" patternUnits="userSpaceOnUse"><rect width="4" height="6" fill="#dddfe1"/><path d="M2 0V6" stroke="#4a5056" stroke-width="0.6"/></pattern>
</defs>
"##;

/// How a state is filled, and how its outline is drawn.
fn look(state: State) -> (&'static str, &'static str) {
    let thin = "stroke=\"#1c2326\" stroke-width=\"0.5\"";
    let heavy = "stroke=\"#1c2326\" stroke-width=\"1.1\"";
    match state {
        State::Sound | State::Proved => ("#cfe1e4", thin),
        State::NotTested | State::Unproved => ("url(#unproved)", thin),
        State::Deficient | State::Failed => ("url(#failed)", heavy),
        State::Missing => ("url(#missing)", heavy),
        State::NotPlaced => ("#ffffff", "stroke=\"#55606a\" stroke-width=\"0.5\" stroke-dasharray=\"3 2\""),
        State::MayOpen => ("url(#may-open)", thin),
        State::NotYet => ("url(#not-yet)", thin),
    }
}

fn escape(text: &str) -> String {
    clean(text).replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;").replace('"', "&quot;")
}

fn words((x, y): (f64, f64), size: f64, anchor: &str, bold: bool, text: &str) -> String {
    let weight = if bold { " font-weight=\"600\"" } else { "" };
    format!(
        "<text x=\"{x:.1}\" y=\"{y:.1}\" font-size=\"{size}\" text-anchor=\"{anchor}\" fill=\"{INK}\"{weight}>{}</text>\n",
        escape(text)
    )
}

fn line((x1, y1): (f64, f64), (x2, y2): (f64, f64), stroke: &str) -> String {
    format!("<path d=\"M{x1:.1} {y1:.1}L{x2:.1} {y2:.1}\" fill=\"none\" {stroke}/>\n")
}

/// A strip with its title and legend; the height at which the next may begin.
fn strip_at(body: &mut String, strip: &Strip, drawing: &Drawing, y: f64) -> f64 {
    body.push_str(&format!("<g id=\"{}\">\n", escape(&strip.id)));
    body.push_str(&words((MARGIN, y + 9.0), 10.0, "start", true, &strip.title));
    legend(body, drawing, y + 16.0);
    let mut top = y + TITLE;
    for row in &drawing.rows {
        row_at(body, drawing, row, top);
        top += row.height + BETWEEN;
    }
    body.push_str("</g>\n");
    top + BETWEEN
}

fn legend(body: &mut String, drawing: &Drawing, y: f64) {
    let mut x = MARGIN;
    for entry in &drawing.states {
        let (fill, stroke) = look(entry.state);
        body.push_str(&format!(
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"24\" height=\"9\" fill=\"{fill}\" {stroke}/>\n"
        ));
        body.push_str(&words((x + 28.0, y + 7.5), 8.0, "start", false, entry.word));
        x += 40.0 + letters(entry.word);
    }
    for entry in &drawing.marks {
        body.push_str(&shape((x + 3.0, y + 4.5), entry.shape, entry.deficient));
        body.push_str(&words((x + 8.0, y + 7.5), 8.0, "start", false, &entry.word));
        x += 18.0 + letters(&entry.word);
    }
    let right = MARGIN + drawing.width;
    let bar = right - drawing.bar - 90.0;
    body.push_str(&line(
        (bar, y + 5.0),
        (bar + drawing.bar, y + 5.0),
        &format!("stroke=\"{INK}\" stroke-width=\"2.4\""),
    ));
    body.push_str(&words((bar + drawing.bar + 4.0, y + 7.5), 8.0, "start", false, &drawing.bar_label));
    body.push_str(&words((right - 24.0, y + 7.5), 8.0, "end", false, "ahead"));
    body.push_str(&format!(
        "<path d=\"M{:.1} {:.1}h14v-2l6 3l-6 3v-2h-14z\" fill=\"{INK}\"/>\n",
        right - 20.0,
        y + 4.0
    ));
}

/// About how long words of the legend are.
fn letters(words: &str) -> f64 {
    u32::try_from(words.chars().count()).map_or(0.0, f64::from) * 4.2
}

fn row_at(body: &mut String, drawing: &Drawing, row: &Placed, top: f64) {
    let (left, right) = (MARGIN + drawing.left, MARGIN + row.right);
    body.push_str(&words((MARGIN, top + 9.0), 9.0, "start", true, &row.group));
    body.push_str(&line((left, top + 15.0), (right, top + 15.0), &format!("stroke=\"{INK}\" stroke-width=\"0.6\"")));
    for tick in &row.ticks {
        let (x, long) = (MARGIN + tick.x, if tick.label.is_empty() { 3.0 } else { 6.0 });
        body.push_str(&line(
            (x, top + 12.0),
            (x, top + 12.0 + long),
            &format!("stroke=\"{INK}\" stroke-width=\"0.6\""),
        ));
        body.push_str(&words((x, top + 9.0), 7.5, "middle", false, &tick.label));
    }
    for lane in &row.lanes {
        lane_at(body, drawing, lane, top);
    }
    for (x, text, anchor) in [(left, &row.begins, "start"), (right, &row.ends, "end")] {
        if !text.is_empty() {
            let dashes = format!("stroke=\"{INK}\" stroke-width=\"0.9\" stroke-dasharray=\"5 2 1 2\"");
            body.push_str(&line((x, top + 8.0), (x, top + row.height), &dashes));
            let x = if anchor == "start" { x + 3.0 } else { x - 3.0 };
            body.push_str(&words((x, top + row.height - 1.0), 7.0, anchor, false, text));
        }
    }
}

fn lane_at(body: &mut String, drawing: &Drawing, lane: &PlacedLane, top: f64) {
    let y = top + lane.y;
    body.push_str(&words((MARGIN, y + drawing.band / 2.0 + 2.6), 7.5, "start", false, &lane.name));
    for piece in &lane.pieces {
        let (fill, stroke) = look(piece.state);
        let (x, width) = (MARGIN + piece.x, piece.width);
        body.push_str(&format!(
            "<rect x=\"{x:.1}\" y=\"{y:.1}\" width=\"{width:.1}\" height=\"{:.1}\" fill=\"{fill}\" {stroke}><title>{}</title></rect>\n",
            drawing.band,
            escape(piece.state.word())
        ));
        if !piece.word.is_empty() {
            let (cx, cy, half) = (MARGIN + piece.word_x, top + piece.word_y, letters(&piece.word) / 2.0 + 2.0);
            body.push_str(&format!(
                "<rect x=\"{:.1}\" y=\"{:.1}\" width=\"{:.1}\" height=\"9\" fill=\"#ffffff\" fill-opacity=\"0.85\"/>\n",
                cx - half,
                cy - 4.5,
                2.0 * half
            ));
            body.push_str(&words((cx, cy + 2.6), 7.5, "middle", false, &piece.word));
        }
    }
    lane.marks.iter().for_each(|m| mark_at(body, m, top));
}

fn mark_at(body: &mut String, mark: &PlacedMark, top: f64) {
    let (x, y) = (MARGIN + mark.x, top + mark.y);
    if mark.led {
        let to = (MARGIN + mark.label_x, top + mark.label_y - 1.0);
        body.push_str(&line((x, y), to, "stroke=\"#55606a\" stroke-width=\"0.35\""));
    }
    body.push_str(&shape((x, y), mark.shape, mark.deficient));
    if !mark.label.is_empty() {
        body.push_str(&words(
            (MARGIN + mark.label_x, top + mark.label_y + 5.5),
            6.4,
            "middle",
            mark.deficient,
            &mark.label,
        ));
    }
}

fn shape((x, y): (f64, f64), kind: MarkShape, deficient: bool) -> String {
    let look = if deficient {
        format!("fill=\"{INK}\" stroke=\"#ffffff\" stroke-width=\"0.5\"")
    } else {
        format!("fill=\"#ffffff\" stroke=\"{INK}\" stroke-width=\"0.7\"")
    };
    let path = match kind {
        MarkShape::Core => return format!("<circle cx=\"{x:.1}\" cy=\"{y:.1}\" r=\"2.4\" {look}/>\n"),
        MarkShape::Test => "m0 -2.6l2.6 2.6l-2.6 2.6l-2.6 -2.6z",
        MarkShape::Specimen => "m-2.2 -2.2h4.4v4.4h-4.4z",
        MarkShape::Logger => "m0 -2.4l2.6 4.8h-5.2z",
        MarkShape::Photo => "m-2.4 2.7v-5.4l4.8 1.6l-4 1.6v2.2z",
    };
    format!("<path d=\"M{x:.1} {y:.1}{path}\" {look}/>\n")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::dossier::{HOSTILE, example};

    #[test]
    fn the_drawing_is_well_formed_and_refers_to_nothing_outside() {
        let mut dossier = example().0;
        for block in dossier.pages.iter_mut().flat_map(|p| &mut p.blocks) {
            if let Block::Strip(strip) = block {
                strip.title = HOSTILE.into();
                strip
                    .lanes
                    .iter_mut()
                    .flat_map(|l| &mut l.marks)
                    .for_each(|m| (m.number, m.deficient) = (HOSTILE.into(), true));
            }
        }
        let file = svg(&dossier).expect("the example has a step drawing");
        let mut reader = quick_xml::Reader::from_str(&file);
        reader.config_mut().check_end_names = true;
        let (mut depth, mut elements) = (0, 0);
        loop {
            match reader.read_event().expect("well-formed XML") {
                quick_xml::events::Event::Start(_) => (depth, elements) = (depth + 1, elements + 1),
                quick_xml::events::Event::End(_) => depth -= 1,
                quick_xml::events::Event::Eof => break,
                _ => {}
            }
        }
        assert!(depth == 0 && elements > 20);
        assert!(
            !file.contains("<script") && !file.contains("href") && file.matches("http").count() == 1,
            "only the namespace"
        );
        for state in [State::Failed, State::Missing, State::Unproved, State::MayOpen, State::NotYet] {
            let (fill, _) = look(state);
            let id = fill.trim_start_matches("url(#").trim_end_matches(')');
            assert!(file.contains(&format!("<pattern id=\"{id}\"")) && file.contains(fill), "{state:?}");
        }
    }
}
