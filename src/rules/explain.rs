//! A rule set in plain words, 100 columns wide, for whoever has to check that it is the agency's.

use super::model::{
    Judged, Leftover, LotBy, Property, Reach, RuleNumber, RuleSet, Shape, Status, StrengthLot, StrengthRule,
    ThicknessRule,
};
use crate::figure::{Ends, Steps};
use crate::units::{Rounding, System, Unit, plain};

const WIDTH: usize = 100;

/// The rule in plain words, with its tables.
#[must_use]
pub fn explain(set: &RuleSet) -> String {
    let mut page = Page::default();
    page.line(&format!("{}   ({})", set.title, set.id));
    page.line(&"-".repeat(WIDTH));
    let property = match set.property {
        Property::Thickness => "thickness",
        Property::Strength => "strength",
    };
    let system = match set.system {
        System::Customary => "US customary",
        System::Si => "SI",
    };
    page.says("judges", &format!("{property}, in {system} units"));
    page.says("citation", &set.citation);
    page.says("status", status(set.status));
    set.notes.iter().for_each(|note| page.says("note", note));
    page.line("");
    match &set.shape {
        Shape::Thickness(rule) => thickness(&mut page, rule),
        Shape::Strength(rule) => strength(&mut page, rule),
    }
    page.0
}

fn status(status: Status) -> &'static str {
    match status {
        Status::Transcribed => "transcribed: the rule's text was read",
        Status::FromMemory => "from memory: not to be relied on as the agency's current rule",
        Status::Example => "example: the shape of a rule, no agency's rule",
    }
}

fn thickness(page: &mut Page, rule: &ThicknessRule) {
    let lot = match &rule.lot.by {
        LotBy::Area(size) => format!("{} of pavement over all lanes of a section together", number(size)),
        LotBy::Length(size) => format!("{} of each lane by itself", number(size)),
    };
    let left = match rule.lot.leftover {
        Leftover::HalfJoins => {
            "what is left at a section's end is a lot from half a lot on, and else joins the lot before"
        }
        Leftover::Own => "what is left at a section's end is a lot of its own",
        Leftover::Joins => "what is left at a section's end joins the lot before",
    };
    page.says("lot", &format!("{lot}; {left}"));
    page.says(
        "cores",
        &format!(
            "{} in each lot; a core's length is the mean of its readings, {}",
            number(&rule.cores_per_lot),
            rounded(rule.core)
        ),
    );
    if let Some(cap) = &rule.thick_cap {
        page.says("", &format!("a core thicker than design by more than {} counts as design plus that", number(cap)));
    }
    if let Some(limit) = &rule.thin_exclusion {
        page.says("", &format!("a core deficient by more than {} is left out of the average and needs exploratory cores, which are never averaged", number(limit)));
    }
    page.says("average", &averaged(rule));
    page.says(
        "deficiency",
        &format!("design thickness less the average, not below zero, {}", rounded(rule.deficiency)),
    );
    table(page, &rule.steps);
}

fn averaged(rule: &ThicknessRule) -> String {
    let tolerance = number(&rule.tolerance);
    let reach = match rule.reach {
        Reach::ToGoodCore => "to the neighbouring good core of its lane, or the lot's end",
        Reach::HalfWay => "half way to the neighbouring good core of its lane, or to the lot's end",
    };
    let what = match rule.judged {
        Judged::Lot => {
            format!("of the whole lot, which is priced as one; a section around a core left out reaches {reach}")
        }
        Judged::Section => format!(
            "of the deficient section around cores deficient by more than {tolerance}, which reaches {reach}; \
             the rest of the lot is paid in full"
        ),
    };
    format!("{what}; {}", rounded(rule.average))
}

fn strength(page: &mut Page, rule: &StrengthRule) {
    let lot = match rule.lot {
        StrengthLot::Day => "all tests of one section cast on one day",
        StrengthLot::Placement => "all tests of one placement",
    };
    page.says("lot", lot);
    page.says(
        "test",
        &format!("the average of {} specimens of one set, {}", number(&rule.specimens_per_test), rounded(rule.test)),
    );
    let running = format!(
        "every average of {} consecutive tests is at least the specified strength ({}; {})",
        number(&rule.running),
        rounded(rule.running_average),
        rule.running.clause
    );
    page.says("criterion 1", &running);
    let floor = &rule.floor;
    let single = format!(
        "no test is below the specified strength by more than {}, or, where that is above {}, by more than {} of it ({})",
        number(&floor.amount),
        number(&floor.up_to),
        number(&floor.percent),
        floor.amount.clause
    );
    page.says("criterion 2", &single);
    page.says("average", &format!("of the lot's tests, {}", rounded(rule.lot_average)));
    let short =
        format!("of the average, in percent of the specified strength, not below zero, {}", rounded(rule.deficiency));
    page.says("deficiency", &short);
    match &rule.steps {
        Some(steps) => table(page, steps),
        None => page.says("pay", "is not changed by strength"),
    }
}

fn table(page: &mut Page, steps: &Steps) {
    let ends = match steps.ends {
        Ends::Both => "both ends belong to a step",
        Ends::Lower => "the lower end belongs to a step, the upper to the next",
        Ends::Upper => "the upper end belongs to a step, the lower to the one before",
    };
    page.line("");
    page.hanging("", &format!("{}; {ends}", steps.title));
    page.line(&format!(
        "{:>24}   {:>10}",
        format!("deficiency, {}", unit(steps.entered_in)),
        format!("pay, {}", unit(steps.gives))
    ));
    for (i, row) in steps.rows.iter().enumerate() {
        page.hanging(&format!("{:>24}   {:>10}   ", steps.span(i), plain(row.value)), &row.word);
    }
    page.says("from", &steps.clause);
}

fn rounded(rounding: Rounding) -> String {
    format!("rounded to {} {}", rounding.to(), rounding.mode().word())
}

/// A number as written, with its unit; a count by itself.
fn number(of: &RuleNumber) -> String {
    of.written.clone()
}

fn unit(unit: Unit) -> String {
    if unit == Unit::Percent { "percent".into() } else { unit.to_string() }
}

/// Lines no wider than the page.
#[derive(Default)]
struct Page(String);

impl Page {
    fn line(&mut self, text: &str) {
        self.0.push_str(text.trim_end());
        self.0.push('\n');
    }

    fn says(&mut self, what: &str, text: &str) {
        self.hanging(&format!("{what:<13}"), text);
    }

    /// `text` beside `head`, its further lines indented as far.
    fn hanging(&mut self, head: &str, text: &str) {
        let indent = head.chars().count();
        let mut line = head.to_string();
        for word in text.split_whitespace() {
            let filled = line.chars().count();
            if filled > indent && filled + 1 + word.chars().count() > WIDTH {
                self.line(&line);
                line = " ".repeat(indent);
            }
            if line.chars().count() > indent {
                line.push(' ');
            }
            line.push_str(word);
        }
        self.line(&line);
    }
}
