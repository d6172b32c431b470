//! What differs between two results, in words.

use super::{AmountChange, Difference};
use crate::closing::ChangeTold;

/// How many lines of one kind are printed before the rest is counted.
const SHOWN: usize = 20;

impl Difference {
    /// Whether nothing differs.
    #[must_use]
    pub fn none(&self) -> bool {
        let figures = self.amounts.is_empty() && self.other_figures == 0;
        figures && self.records.is_empty() && self.settled.is_empty() && self.arisen.is_empty()
    }

    /// In words; with `all` nothing is left to be counted.
    #[must_use]
    pub fn text(&self, all: bool) -> String {
        let most = if all { usize::MAX } else { SHOWN };
        let mut out = format!("first     {}\nsecond    {}\n", self.first, self.second);
        if self.none() {
            return out + "nothing differs\n";
        }
        out.push_str(&format!(
            "\namounts   {} differ, with {} other figures\n",
            self.amounts.len(),
            self.other_figures
        ));
        self.amounts.iter().for_each(|amount| amount.told(most, &mut out));
        out.push_str(&format!("\nrecords   {}\n", self.records_told()));
        listed(self.records.iter().map(ChangeTold::line), self.records.len(), most, &mut out);
        for (word, lines) in [("settled", &self.settled), ("arisen", &self.arisen)] {
            out.push_str(&format!("\n{word:<10}{} findings\n", lines.len()));
            listed(lines.iter().cloned(), lines.len(), most, &mut out);
        }
        out
    }

    fn records_told(&self) -> String {
        if !self.records_known {
            return "not compared: one of the results has no records.jsonl".into();
        }
        let count = |is: &str| self.records.iter().filter(|r| r.is == is).count();
        format!(
            "{} new, {} completed, {} changed, {} gone",
            count("new"),
            count("completed"),
            count("changed"),
            count("gone")
        )
    }
}

impl AmountChange {
    fn told(&self, most: usize, out: &mut String) {
        let said = |value: Option<rust_decimal::Decimal>| value.map_or_else(|| "not there".into(), |v| v.to_string());
        let sign = if self.by.is_sign_negative() { "" } else { "+" };
        out.push_str(&format!(
            "    {} ({}): {} to {}, {sign}{}   [{}]\n",
            self.label,
            self.unit,
            said(self.first),
            said(self.second),
            self.by,
            self.key
        ));
        listed(self.because.iter().map(|line| format!("    {line}")), self.because.len(), most, out);
    }
}

fn listed(lines: impl Iterator<Item = String>, all: usize, most: usize, out: &mut String) {
    lines.take(most).for_each(|line| out.push_str(&format!("    {line}\n")));
    if all > most {
        out.push_str(&format!("        and {} more; --all lists them\n", all - most));
    }
}
