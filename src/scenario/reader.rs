//! Walks a TOML tree that knows its places, collecting every problem instead of stopping at the first, and noting how
//! each value was read.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fields::{Field, Fields};
use super::{Kind, Reading};
use crate::diagnostic::{Place, Problem, Severity};
use crate::hive::materials::Materials;
use crate::units::{self, Quantity, format};

/// Longest line that is kept as an excerpt, characters.
const EXCERPT: usize = 160;

/// One value of the tree with its place and the key path to it.
#[derive(Debug, Clone)]
pub(super) struct Node<'a> {
    /// Dotted path, "hive.Left.entrance".
    pub(super) path: String,
    /// Bytes in the text.
    pub(super) span: Range<usize>,
    /// The value.
    pub(super) value: &'a DeValue<'a>,
}

impl<'a> Node<'a> {
    /// The value if it is a text.
    pub(super) fn text(&self) -> Option<&'a str> {
        match self.value {
            DeValue::String(s) => Some(s.as_ref()),
            _ => None,
        }
    }

    /// The value as a keeper would see it.
    pub(super) fn written(&self) -> String {
        match self.value {
            DeValue::String(s) => format!("\"{}\"", clean(s)),
            DeValue::Integer(i) => i.to_string(),
            DeValue::Float(f) => f.to_string(),
            DeValue::Boolean(b) => b.to_string(),
            DeValue::Datetime(d) => d.to_string(),
            DeValue::Array(_) => "a list".to_owned(),
            DeValue::Table(_) => "a table".to_owned(),
        }
    }
}

/// A table of the file, with the table that speaks for every hive behind it.
#[derive(Debug, Clone)]
pub(super) struct Section<'a> {
    /// Dotted path.
    pub(super) path: String,
    /// Bytes in the text.
    pub(super) span: Range<usize>,
    table: Option<&'a DeTable<'a>>,
    behind: Option<(&'a DeTable<'a>, String)>,
}

impl<'a> Section<'a> {
    /// A section that says nothing.
    pub(super) fn empty(path: &str, span: Range<usize>) -> Self {
        Self {
            path: path.to_owned(),
            span,
            table: None,
            behind: None,
        }
    }

    /// The same with another section to ask when this one is silent.
    pub(super) fn with_behind(mut self, behind: &Self) -> Self {
        self.behind = behind.table.map(|t| (t, behind.path.clone()));
        self
    }

    /// The value of a key, if it is there.
    pub(super) fn get(&self, key: &str) -> Option<Node<'a>> {
        let find = |table: &'a DeTable<'a>, path: &str| {
            table.get_key_value(key).map(|(_, v)| Node {
                path: if path.is_empty() {
                    key.to_owned()
                } else {
                    format!("{path}.{key}")
                },
                span: v.span(),
                value: v.get_ref(),
            })
        };
        self.table
            .and_then(|t| find(t, &self.path))
            .or_else(|| self.behind.as_ref().and_then(|(t, path)| find(t, path)))
    }

    /// Whether the key is there.
    pub(super) fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// Path of one of its keys.
    pub(super) fn path_of(&self, key: &str) -> String {
        if self.path.is_empty() {
            key.to_owned()
        } else {
            format!("{}.{key}", self.path)
        }
    }
}

/// Collects problems and readings while the tree is walked.
pub(super) struct Reader<'a> {
    text: &'a str,
    file: &'a str,
    lines: Vec<usize>,
    problems: Vec<(usize, Problem)>,
    /// How every value was read, in the order in which it was asked for.
    pub(super) readings: Vec<Reading>,
    /// Ranges and defaults.
    pub(super) fields: Fields,
    /// Materials, the scenario's own included once they are read.
    pub(super) materials: Materials,
}

impl<'a> Reader<'a> {
    /// A reader of one text.
    pub(super) fn new(text: &'a str, file: &'a str, fields: Fields, materials: Materials) -> Self {
        let lines = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(i, _)| i + 1))
            .collect();
        Self {
            text,
            file,
            lines,
            problems: Vec::new(),
            readings: Vec::new(),
            fields,
            materials,
        }
    }

    /// The place of some bytes: line and column counted from 1, in characters.
    pub(super) fn place(&self, span: &Range<usize>) -> Place {
        let start = floor_boundary(self.text, span.start);
        let line = self.lines.partition_point(|&l| l <= start).max(1);
        let from = self.lines.get(line - 1).copied().unwrap_or(0);
        let to = self.lines.get(line).map_or(self.text.len(), |&l| l - 1);
        let whole = self.text.get(from..to).unwrap_or("").trim_end_matches('\r');
        let end = floor_boundary(self.text, span.end.min(from + whole.len()).max(start));
        let column = self.text.get(from..start).unwrap_or("").chars().count() + 1;
        let width = self
            .text
            .get(start..end)
            .unwrap_or("")
            .chars()
            .count()
            .max(1);
        Place {
            line,
            column,
            width,
            text: whole.chars().take(EXCERPT).collect(),
        }
    }

    fn put(
        &mut self,
        severity: Severity,
        span: &Range<usize>,
        what: String,
        expected: Option<String>,
        help: Option<String>,
    ) {
        let place = Some(self.place(span));
        let file = self.file.to_owned();
        let clean = |t: String| self::clean(&t);
        self.problems.push((
            span.start,
            Problem {
                severity,
                file,
                place,
                what: clean(what),
                expected: expected.map(clean),
                help: help.map(clean),
            },
        ));
    }

    /// Notes an error at a place.
    pub(super) fn error(
        &mut self,
        span: &Range<usize>,
        what: impl Into<String>,
        expected: Option<&str>,
        help: Option<String>,
    ) {
        self.put(
            Severity::Error,
            span,
            what.into(),
            expected.map(str::to_owned),
            help,
        );
    }

    /// Notes a warning at a place.
    pub(super) fn warn(
        &mut self,
        span: &Range<usize>,
        what: impl Into<String>,
        help: Option<String>,
    ) {
        self.put(Severity::Warning, span, what.into(), None, help);
    }

    /// Notes how a value was read.
    pub(super) fn note(
        &mut self,
        path: &str,
        written: Option<String>,
        used: impl Into<String>,
        note: impl Into<String>,
        kind: Kind,
    ) {
        self.readings.push(Reading {
            path: clean(path),
            written: written.map(|w| clean(&w)),
            used: clean(&used.into()),
            note: clean(&note.into()),
            kind,
        });
    }

    /// All problems in file order.
    pub(super) fn into_problems(mut self) -> (Vec<Problem>, Vec<Reading>) {
        self.problems.sort_by_key(|(at, _)| *at);
        (
            self.problems.into_iter().map(|(_, p)| p).collect(),
            self.readings,
        )
    }

    /// The top of the tree, with unknown keys refused.
    pub(super) fn root(&mut self, tree: &'a Spanned<DeTable<'a>>, keys: &[&str]) -> Section<'a> {
        self.refuse_unknown(tree.get_ref(), "", keys);
        Section {
            path: String::new(),
            span: 0..0,
            table: Some(tree.get_ref()),
            behind: None,
        }
    }

    /// A value as a section, with unknown keys refused.
    pub(super) fn section(&mut self, node: &Node<'a>, keys: &[&str]) -> Option<Section<'a>> {
        let DeValue::Table(table) = node.value else {
            self.error(
                &node.span,
                format!(
                    "{} must be a table of settings, but is {}",
                    node.path,
                    node.written()
                ),
                Some("a table"),
                Some(format!("its settings can be: {}", keys.join(", "))),
            );
            return None;
        };
        self.refuse_unknown(table, &node.path, keys);
        Some(Section {
            path: node.path.clone(),
            span: node.span.clone(),
            table: Some(table),
            behind: None,
        })
    }

    /// The section under a key, or an empty one at the parent's place.
    pub(super) fn section_or_empty(
        &mut self,
        parent: &Section<'a>,
        key: &str,
        keys: &[&str],
    ) -> Section<'a> {
        let empty = Section::empty(&parent.path_of(key), parent.span.clone());
        match parent.get(key) {
            Some(node) => self.section(&node, keys).unwrap_or(empty),
            None => empty,
        }
    }

    fn refuse_unknown(&mut self, table: &'a DeTable<'a>, path: &str, keys: &[&str]) {
        for (key, _) in table.iter() {
            let name: &str = key.get_ref();
            if keys.contains(&name) {
                continue;
            }
            let place = if path.is_empty() {
                "the file".to_owned()
            } else {
                format!("[{path}]")
            };
            let near = units::nearest(name, keys.iter().copied());
            let help = near.map_or_else(
                || format!("known here: {}", keys.join(", ")),
                |n| format!("did you mean \"{n}\"?"),
            );
            self.error(
                &key.span(),
                format!("\"{name}\" is not a setting of {place}"),
                Some("a known setting"),
                Some(help),
            );
        }
    }

    /// The elements of a list; a single value counts as a list of one.
    pub(super) fn list(&mut self, node: &Node<'a>) -> Vec<Node<'a>> {
        match node.value {
            DeValue::Array(items) => items
                .iter()
                .enumerate()
                .map(|(i, v)| Node {
                    path: format!("{} {}", node.path, i + 1),
                    span: v.span(),
                    value: v.get_ref(),
                })
                .collect(),
            _ => vec![node.clone()],
        }
    }

    /// A text value.
    pub(super) fn text(&mut self, section: &Section<'a>, key: &str) -> Option<(&'a str, Node<'a>)> {
        let node = section.get(key)?;
        match node.text() {
            Some(t) if !t.trim().is_empty() && t.len() <= 200 => Some((t.trim(), node)),
            Some(_) => {
                self.error(
                    &node.span,
                    format!("{} must be a text of 1 to 200 letters", node.path),
                    Some("a text"),
                    None,
                );
                None
            }
            None => {
                self.error(
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
        self.error(
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
            self.error(
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
                self.error(&node.span, e.to_string(), Some(q.word()), help);
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
        self.error(
            &node.span,
            format!(
                "{} = {} is outside what is plausible",
                node.path,
                node.written()
            ),
            Some(&f.range_words()),
            Some(format!("the limits: {}", f.source)),
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
                self.error(
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
            self.error(
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
        let words: Vec<&str> = choices.iter().map(|(w, _)| *w).collect();
        let listed = words
            .iter()
            .map(|w| format!("\"{w}\""))
            .collect::<Vec<_>>()
            .join(", ");
        let Some(text) = node.text() else {
            self.error(
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
        let help =
            units::nearest(&plain, words.iter().copied()).map(|n| format!("did you mean \"{n}\"?"));
        self.error(
            &node.span,
            format!("\"{text}\" is not a choice for {}", node.path),
            Some(&listed),
            help,
        );
        None
    }
}

/// The last character boundary at or before a byte.
fn floor_boundary(text: &str, at: usize) -> usize {
    let mut at = at.min(text.len());
    while !text.is_char_boundary(at) {
        at -= 1;
    }
    at
}

/// Text without control characters, so that a file cannot steer the terminal.
pub(super) fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect()
}
