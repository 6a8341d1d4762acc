//! Single values of the tree: texts, flags, quantities with units, counts, words, days, each checked against the table of keys and noted.

use toml::de::DeValue;

use super::keys::Key;
use super::messages::Slots;
use super::node::{Node, Section};
use super::reader::Reader;
use crate::calendar::{self, DateError, MonthDay};
use crate::units::{self, Quantity, format};

/// A day so shortly before the start is one of this autumn, not of the summer after first nectar, days (a choice).
const AUTUMN_BEFORE: u32 = 75;

/// Millimetres with at most one decimal.
pub(super) fn mm(m: f64) -> String {
    format::trimmed(m * 1000.0, 1)
}

/// Words between quotes with commas between.
fn quoted<'w>(words: impl IntoIterator<Item = &'w String>) -> String {
    let quoted: Vec<String> = words.into_iter().map(|w| format!("\"{w}\"")).collect();
    quoted.join(", ")
}

/// A value as it is told.
fn told(v: f64, q: Option<Quantity>) -> String {
    q.map_or_else(|| format::trimmed(v, 3), |q| format::any(v, q))
}

impl<'a> Reader<'a> {
    /// A text value.
    pub(super) fn text(&mut self, section: &Section<'a>, key: &str) -> Option<(&'a str, Node<'a>)> {
        let node = section.get(key)?;
        match node.text() {
            Some(t) if !t.trim().is_empty() && t.len() <= 200 => return Some((t.trim(), node)),
            Some(_) => self.refuse_value(&node, "text_length", &[]),
            None => self.refuse_value(&node, "no_text", &[]),
        }
        None
    }

    /// Yes or no.
    pub(super) fn flag(&mut self, section: &Section<'a>, key: &str) -> Option<bool> {
        let node = section.get(key)?;
        if let DeValue::Boolean(b) = node.value {
            return Some(*b);
        }
        self.refuse_value(&node, "no_flag", &[]);
        None
    }

    /// A quantity with a unit at a node, within the range of a key.
    pub(super) fn quantity_at(&mut self, node: &Node<'_>, key: &Key) -> Option<f64> {
        let q = key.quantity()?;
        let Some(text) = node.text() else {
            let code = if node.is_number() {
                "no_unit"
            } else {
                "no_quantity"
            };
            self.refuse_value(
                node,
                code,
                &[("quantity", &q.word()), ("examples", &q.examples())],
            );
            return None;
        };
        match units::parse(text, q) {
            Ok(v) => self.in_range(node, key, v).then_some(v),
            Err(e) => {
                let help = e.hint().unwrap_or_default();
                self.refuse_value(
                    node,
                    "bad_value",
                    &[("what", &e), ("expected", &q.word()), ("help", &help)],
                );
                None
            }
        }
    }

    /// Refuses a value outside the plausible range of its key.
    pub(super) fn in_range(&mut self, node: &Node<'_>, key: &Key, v: f64) -> bool {
        let (low, high) = key.range();
        // "-0" is none of the values from 0 on.
        let inside = (low..=high).contains(&v) && !(low >= 0.0 && v.is_sign_negative());
        if !inside {
            let (range, limits) = (key.range_words(), key.limits().unwrap_or_default());
            self.refuse_value(
                node,
                "out_of_range",
                &[("range", &range), ("limits", &limits)],
            );
        }
        inside
    }

    /// A quantity under a key; `None` when it is absent or bad (then a problem is noted).
    pub(super) fn quantity(&mut self, section: &Section<'a>, key: &str) -> Option<f64> {
        let node = section.get(key)?;
        let v = self.quantity_at(&node, section.key(key))?;
        self.given(&node, told(v, section.key(key).quantity()));
        Some(v)
    }

    /// A quantity under a key, or its default, noted as such.
    pub(super) fn quantity_or(&mut self, section: &Section<'a>, key: &str) -> f64 {
        let row = section.key(key);
        if section.has(key) {
            return self
                .quantity(section, key)
                .unwrap_or_else(|| row.default_value());
        }
        self.usual(section, key, told(row.default_value(), row.quantity()));
        row.default_value()
    }

    /// A bare number (frames, shares) at a node, within the range of a key.
    pub(super) fn number_at(&mut self, node: &Node<'_>, key: &Key) -> Option<f64> {
        match node.number().filter(|v| v.is_finite()) {
            Some(v) => self.in_range(node, key, v).then_some(v),
            None => {
                self.refuse_value(node, "no_number", &[]);
                None
            }
        }
    }

    /// A bare number under a key.
    pub(super) fn number(&mut self, section: &Section<'a>, key: &str) -> Option<f64> {
        let node = section.get(key)?;
        let v = self.number_at(&node, section.key(key))?;
        self.given(&node, told(v, None));
        Some(v)
    }

    /// A whole number under a key.
    pub(super) fn count(&mut self, section: &Section<'a>, key: &str) -> Option<u32> {
        let node = section.get(key)?;
        let v = self.number_at(&node, section.key(key))?;
        if v.fract() != 0.0 || v < 0.0 {
            self.refuse_value(&node, "no_whole_number", &[]);
            return None;
        }
        self.given(&node, told(v, None));
        Some(v as u32)
    }

    /// A box number counted from 1 at the bottom, as an index; the outer `None` means a problem was noted.
    pub(super) fn box_number(
        &mut self,
        section: &Section<'a>,
        key: &str,
        boxes: usize,
    ) -> Option<Option<usize>> {
        if !section.has(key) {
            return Some(None);
        }
        let n = self.count(section, key)? as usize;
        if n == 0 || n > boxes {
            self.refuse(
                &section.span_of(key),
                "no_such_box",
                &[("n", &n), ("boxes", &boxes)],
            );
            return None;
        }
        Some(Some(n - 1))
    }

    /// One of the words of a key, as the table has it.
    pub(super) fn word_at(&mut self, node: &Node<'_>, key: &'static Key) -> Option<&'static str> {
        self.word_or(node, key, &[])
    }

    /// As [`Self::word_at`]; `otherwise` are words that people use for them, with what to write instead.
    pub(super) fn word_or(
        &mut self,
        node: &Node<'_>,
        key: &'static Key,
        otherwise: &[(&[&str], &str)],
    ) -> Option<&'static str> {
        let i = self.one_of(node, &key.words, otherwise)?;
        key.words.get(i).map(String::as_str)
    }

    /// Which of a few words a value is, by its place among them.
    pub(super) fn one_of(
        &mut self,
        node: &Node<'_>,
        words: &[String],
        otherwise: &[(&[&str], &str)],
    ) -> Option<usize> {
        let listed = quoted(words);
        let Some(text) = node.text() else {
            self.refuse_value(node, "no_word", &[("choices", &listed)]);
            return None;
        };
        let plain = text.trim().to_lowercase();
        let found = words.iter().position(|w| *w == plain);
        if found.is_none() {
            let known = otherwise
                .iter()
                .find(|(said, _)| said.contains(&plain.as_str()));
            let near = units::nearest(&plain, words.iter().map(String::as_str));
            let help = match (known, near) {
                (Some((_, instead)), _) => format!("write {instead}"),
                (None, Some(n)) => format!("did you mean \"{n}\"?"),
                (None, None) => String::new(),
            };
            self.refuse_value(
                node,
                "no_choice",
                &[("text", &text), ("choices", &listed), ("help", &help)],
            );
        }
        found
    }

    /// A day of the year under a key.
    pub(super) fn day(&mut self, s: &Section<'a>, key: &str) -> Option<(MonthDay, Node<'a>)> {
        let node = s.get(key)?;
        let Some(text) = node.text() else {
            let dated = matches!(node.value, DeValue::Datetime(_));
            let code = if dated { "day_with_year" } else { "no_day" };
            let slots: &Slots<'_> = &[("path", &node.path), ("written", &node.written())];
            self.refuse(&node.span, code, slots);
            return None;
        };
        match calendar::parse(text) {
            Ok(d) => {
                self.given(&node, calendar::words(d));
                Some((d, node))
            }
            Err(e) => {
                let help = match e {
                    DateError::LeapDay => "write \"28 Feb\"",
                    DateError::Year(_) => "leave out the year",
                    _ => "",
                };
                self.refuse(&node.span, "bad_day", &[("what", &e), ("help", &help)]);
                None
            }
        }
    }

    /// A day under a key that must lie within the season, from its start to the day before first nectar. `before` is what to try for a day
    /// in the ten weeks before the start.
    pub(super) fn day_within(
        &mut self,
        s: &Section<'a>,
        key: &str,
        before: Option<&str>,
    ) -> Option<MonthDay> {
        let (d, node) = self.day(s, key)?;
        let Some((start, end)) = self.winter else {
            return Some(d);
        };
        if calendar::days_between(start, d) < calendar::days_between(start, end) {
            return Some(d);
        }
        let just_before = calendar::days_between(d, start) <= AUTUMN_BEFORE;
        let before = before.filter(|_| just_before);
        let code = if before.is_some() {
            "day_before_season"
        } else {
            "day_outside_season"
        };
        let [day, start, end] = [d, start, end].map(calendar::words);
        let help = before.unwrap_or_default();
        self.refuse(
            &node.span,
            code,
            &[
                ("day", &day),
                ("start", &start),
                ("end", &end),
                ("help", &help),
            ],
        );
        None
    }
}
