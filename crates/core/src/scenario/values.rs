//! Single values of the tree: texts, flags, quantities with units, counts, words, each checked and noted.

use toml::de::DeValue;

use super::Kind;
use super::fields::Field;
use super::reader::{Node, Reader, Section};
use crate::units::{self, Quantity, format};

impl<'a> Reader<'a> {
    /// A text value.
    pub(super) fn text(&mut self, section: &Section<'a>, key: &str) -> Option<(&'a str, Node<'a>)> {
        let node = section.get(key)?;
        match node.text() {
            Some(t) if !t.trim().is_empty() && t.len() <= 200 => Some((t.trim(), node)),
            Some(_) => {
                self.error_alone(
                    &node.span,
                    format!("{} must be a text of 1 to 200 letters", node.path),
                    Some("a text"),
                    None,
                );
                None
            }
            None => {
                self.error_alone(
                    &node.span,
                    format!(
                        "{} must be a text in quotes, but is {}",
                        node.path,
                        node.written()
                    ),
                    Some("a text in quotes"),
                    None,
                );
                None
            }
        }
    }

    /// Yes or no.
    pub(super) fn flag(&mut self, section: &Section<'a>, key: &str) -> Option<bool> {
        let node = section.get(key)?;
        if let DeValue::Boolean(b) = node.value {
            return Some(*b);
        }
        self.error_alone(
            &node.span,
            format!(
                "{} must be true or false, but is {}",
                node.path,
                node.written()
            ),
            Some("true or false"),
            Some("write it without quotes".to_owned()),
        );
        None
    }

    /// A quantity with a unit at a node, within the range of a field.
    pub(super) fn quantity_at(&mut self, node: &Node<'_>, field: &str) -> Option<f64> {
        let f = self.fields.get(field);
        let q = f.quantity()?;
        let Some(text) = node.text() else {
            let (what, help) = match node.value {
                DeValue::Integer(_) | DeValue::Float(_) => (
                    format!(
                        "{} is the bare number {}; {} needs a unit",
                        node.path,
                        node.written(),
                        q.word()
                    ),
                    format!("write for example {}, in quotes", q.examples()),
                ),
                _ => (
                    format!(
                        "{} must be {}, but is {}",
                        node.path,
                        q.word(),
                        node.written()
                    ),
                    format!("write for example {}", q.examples()),
                ),
            };
            self.error_alone(
                &node.span,
                what,
                Some(&format!("{} with its unit, in quotes", q.word())),
                Some(help),
            );
            return None;
        };
        match units::parse(text, q) {
            Ok(v) => self.in_range(node, &f, v).then_some(v),
            Err(e) => {
                let help = e.hint();
                self.error_alone(&node.span, e.to_string(), Some(q.word()), help);
                None
            }
        }
    }

    /// Refuses a value outside the plausible range of its field.
    pub(super) fn in_range(&mut self, node: &Node<'_>, f: &Field, v: f64) -> bool {
        let (low, high) = f.range();
        if (low..=high).contains(&v) {
            return true;
        }
        self.error_alone(
            &node.span,
            format!(
                "{} = {} is outside what is plausible",
                node.path,
                node.written()
            ),
            Some(&f.range_words()),
            f.limits(),
        );
        false
    }

    /// A quantity under a key; `None` when it is absent or bad (then a problem is noted).
    pub(super) fn quantity(
        &mut self,
        section: &Section<'a>,
        key: &str,
        field: &str,
    ) -> Option<f64> {
        let node = section.get(key)?;
        let v = self.quantity_at(&node, field)?;
        self.note_given(&node, v, self.fields.get(field).quantity());
        Some(v)
    }

    /// Notes a value that was written and used as it is.
    pub(super) fn note_given(&mut self, node: &Node<'_>, v: f64, q: Option<Quantity>) {
        let used = q.map_or_else(|| format::trimmed(v, 3), |q| format::any(v, q));
        self.note(
            &node.path.clone(),
            Some(node.written()),
            used,
            "",
            Kind::Given,
        );
    }

    /// A quantity under a key, or the default of its field, noted as such.
    pub(super) fn quantity_or(&mut self, section: &Section<'a>, key: &str, field: &str) -> f64 {
        if section.has(key) {
            return self
                .quantity(section, key, field)
                .unwrap_or_else(|| self.fields.get(field).default());
        }
        let f = self.fields.get(field);
        let used = f.quantity().map_or_else(
            || format::trimmed(f.default(), 3),
            |q| format::any(f.default(), q),
        );
        self.note(
            &section.path_of(key),
            None,
            used,
            f.source.clone(),
            Kind::Default,
        );
        f.default()
    }

    /// A bare number (frames, shares) at a node, within the range of a field.
    pub(super) fn number_at(&mut self, node: &Node<'_>, field: &str) -> Option<f64> {
        let f = self.fields.get(field);
        let v = match node.value {
            DeValue::Integer(i) => i.to_string().parse::<f64>().ok(),
            DeValue::Float(x) => x.as_str().replace('_', "").parse::<f64>().ok(),
            _ => None,
        };
        match v {
            Some(v) if v.is_finite() => self.in_range(node, &f, v).then_some(v),
            _ => {
                self.error_alone(
                    &node.span,
                    format!(
                        "{} must be a plain number, but is {}",
                        node.path,
                        node.written()
                    ),
                    Some("a number without quotes and unit"),
                    Some("write for example 9 or 9.5".to_owned()),
                );
                None
            }
        }
    }

    /// A bare number under a key.
    pub(super) fn number(&mut self, section: &Section<'a>, key: &str, field: &str) -> Option<f64> {
        let node = section.get(key)?;
        let v = self.number_at(&node, field)?;
        self.note_given(&node, v, None);
        Some(v)
    }

    /// A whole number under a key, within the range of a field.
    pub(super) fn count(&mut self, section: &Section<'a>, key: &str, field: &str) -> Option<u32> {
        let node = section.get(key)?;
        let v = self.number_at(&node, field)?;
        if v.fract() != 0.0 || v < 0.0 {
            self.error_alone(
                &node.span,
                format!(
                    "{} must be a whole number, but is {}",
                    node.path,
                    node.written()
                ),
                Some("a whole number"),
                None,
            );
            return None;
        }
        self.note_given(&node, v, None);
        Some(v as u32)
    }

    /// One of a few words.
    pub(super) fn choice_at<T: Copy>(
        &mut self,
        node: &Node<'_>,
        choices: &[(&str, T)],
    ) -> Option<T> {
        self.choice_or(node, choices, &[])
    }

    /// As [`Self::choice_at`]; `otherwise` are words that people use for them, with what to write instead.
    pub(super) fn choice_or<T: Copy>(
        &mut self,
        node: &Node<'_>,
        choices: &[(&str, T)],
        otherwise: &[(&[&str], &str)],
    ) -> Option<T> {
        let words: Vec<&str> = choices.iter().map(|(w, _)| *w).collect();
        let listed = words
            .iter()
            .map(|w| format!("\"{w}\""))
            .collect::<Vec<_>>()
            .join(", ");
        let Some(text) = node.text() else {
            self.error_alone(
                &node.span,
                format!(
                    "{} must be one of a few words, but is {}",
                    node.path,
                    node.written()
                ),
                Some(&listed),
                None,
            );
            return None;
        };
        let plain = text.trim().to_lowercase();
        if let Some((_, t)) = choices.iter().find(|(w, _)| *w == plain) {
            return Some(*t);
        }
        let known = otherwise
            .iter()
            .find(|(said, _)| said.contains(&plain.as_str()));
        let help = known.map_or_else(
            || {
                units::nearest(&plain, words.iter().copied())
                    .map(|n| format!("did you mean \"{n}\"?"))
            },
            |(_, instead)| Some(format!("write {instead}")),
        );
        self.error_alone(
            &node.span,
            format!("\"{text}\" is not a choice for {}", node.path),
            Some(&listed),
            help,
        );
        None
    }
}
