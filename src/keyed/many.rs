//! Values made of values: lists, limits, the user's own keys, tables and lists of tables.

use std::collections::BTreeMap;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::group::{Found, Taken};
use super::key::Key;
use super::measure::Measure;
use super::reader::{At, Here, Reader};

impl Reader<'_> {
    pub(super) fn limits(&mut self, here: &Here<'_, '_>, measure: Measure) -> Option<Taken> {
        let DeValue::Array(items) = here.value.get_ref() else { return self.wrong_type(here) };
        if items.len() != 2 {
            let message = format!("'{}' lists {}; expected the lowest and the highest", here.path, items.len());
            return self.wrong(here, message, format!("write it so: {}", here.key.line()));
        }
        let mut ends = [None, None];
        let mut sound = true;
        for (i, value) in items.iter().enumerate() {
            if value.get_ref().as_str().is_some_and(|text| text.trim() == "none") {
                continue;
            }
            let item = Here { key: here.key, path: format!("{}[{i}]", here.path), value };
            let found = self.quantity(&item, measure).map(|quantity| self.found(&item, quantity));
            sound &= found.is_some();
            ends[i] = found;
        }
        if let [Some(low), Some(high)] = &ends
            && low.value.0 > high.value.0
        {
            let message =
                format!("'{}': the lowest, {}, is above the highest, {}", here.path, low.written, high.written);
            return self.wrong(here, message, "write the lowest first".into());
        }
        sound.then_some(Taken::Limits(ends))
    }

    fn found<T>(&self, here: &Here<'_, '_>, value: T) -> Found<T> {
        Found { value, written: self.written(here.value), at: self.here_at(here), key: here.path.clone() }
    }

    pub(super) fn list<T>(
        &mut self,
        here: &Here<'_, '_>,
        each: impl Fn(&mut Self, &Here<'_, '_>) -> Option<T>,
    ) -> Option<Vec<Found<T>>> {
        let DeValue::Array(items) = here.value.get_ref() else { return self.wrong_type(here) };
        if items.is_empty() {
            return self.wrong(
                here,
                format!("'{}' lists nothing", here.path),
                format!("write it so: {}", here.key.line()),
            );
        }
        let mut taken = Vec::with_capacity(items.len());
        for (i, value) in items.iter().enumerate() {
            let item = Here { key: here.key, path: format!("{}[{i}]", here.path), value };
            taken.push(each(self, &item).map(|v| self.found(&item, v)));
        }
        taken.into_iter().collect()
    }

    pub(super) fn pairs<T>(
        &mut self,
        here: &Here<'_, '_>,
        each: impl Fn(&mut Self, &Here<'_, '_>) -> Option<T>,
    ) -> Option<BTreeMap<String, Found<T>>> {
        let DeValue::Table(table) = here.value.get_ref() else { return self.wrong_type(here) };
        let mut taken = Vec::with_capacity(table.len());
        for (name, value) in table {
            let item = Here { key: here.key, path: format!("{}.\"{}\"", here.path, name.get_ref()), value };
            taken.push(each(self, &item).map(|v| (name.get_ref().to_string(), self.found(&item, v))));
        }
        taken.into_iter().collect()
    }

    pub(super) fn table(&mut self, here: &Here<'_, '_>, keys: &'static [Key]) -> Option<Taken> {
        match here.value.get_ref() {
            DeValue::Table(table) => {
                let at = self.header(here.value, table);
                Some(Taken::Group(self.group(table, at, here.path.clone(), keys)))
            }
            DeValue::Array(_) => self.wrong(
                here,
                format!("'{}' is a list; it stands once only", here.path),
                format!("write [{}] in single brackets, once", here.path),
            ),
            _ => self.wrong_type(here),
        }
    }

    pub(super) fn tables(&mut self, here: &Here<'_, '_>, keys: &'static [Key]) -> Option<Taken> {
        let items = match here.value.get_ref() {
            DeValue::Array(items) if !items.is_empty() => items,
            DeValue::Array(_) => {
                let message = format!("'{}' lists nothing", here.path);
                return self.wrong(here, message, format!("write it so: {}", here.key.line()));
            }
            DeValue::Table(_) => {
                let message = format!("'{}' is a single table; expected a list of them", here.path);
                return self.wrong(here, message, format!("write [[{}]] in double brackets", here.path));
            }
            _ => return self.wrong_type(here),
        };
        let mut groups = Vec::with_capacity(items.len());
        for (i, value) in items.iter().enumerate() {
            let path = format!("{}[{i}]", here.path);
            let DeValue::Table(table) = value.get_ref() else {
                return self.wrong_type(&Here { key: here.key, path, value });
            };
            let at = self.header(value, table);
            groups.push(self.group(table, at, path, keys));
        }
        Some(Taken::Groups(groups))
    }

    /// Where a table stands: its heading or opening brace.
    fn header(&self, value: &Spanned<DeValue<'_>>, table: &DeTable<'_>) -> At {
        let first_key = table.keys().map(|key| key.span().start).min();
        self.at(first_key.map_or(value.span().start, |first| first.min(value.span().start)))
    }
}
