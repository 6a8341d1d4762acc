//! Values and sections of the tree, with their places and the key paths to them.

use std::ops::Range;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::keys::{Key, Spec};

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
    /// A value of the tree under a path.
    pub(super) fn new(path: impl Into<String>, value: &'a Spanned<DeValue<'a>>) -> Self {
        Self {
            path: path.into(),
            span: value.span(),
            value: value.get_ref(),
        }
    }

    /// The value if it is a text.
    pub(super) fn text(&self) -> Option<&'a str> {
        self.value.as_str()
    }

    /// Whether it is a table.
    pub(super) fn is_table(&self) -> bool {
        matches!(self.value, DeValue::Table(_))
    }

    /// Whether it is a bare number.
    pub(super) fn is_number(&self) -> bool {
        matches!(self.value, DeValue::Integer(_) | DeValue::Float(_))
    }

    /// The value if it is a number; infinite or no number at all as it is written.
    pub(super) fn number(&self) -> Option<f64> {
        match self.value {
            DeValue::Integer(i) => i.to_string().parse().ok(),
            DeValue::Float(x) => x.as_str().replace('_', "").parse().ok(),
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

    /// The elements of a list; a single value counts as a list of one.
    pub(super) fn list(&self) -> Vec<Self> {
        match self.value {
            DeValue::Array(items) => items
                .iter()
                .enumerate()
                .map(|(i, v)| Node::new(format!("{} {}", self.path, i + 1), v))
                .collect(),
            _ => vec![self.clone()],
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
    pub(super) spec: &'static Spec,
    pub(super) table: Option<&'a DeTable<'a>>,
    behind: Option<(&'a DeTable<'a>, String)>,
}

impl<'a> Section<'a> {
    /// A section that says what is in a table, or nothing.
    pub(super) fn new(
        spec: &'static Spec,
        path: &str,
        span: Range<usize>,
        table: Option<&'a DeTable<'a>>,
    ) -> Self {
        Self {
            path: path.to_owned(),
            span,
            spec,
            table,
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
            let value = table.get_key_value(key)?.1;
            Some(Node::new(joined(path, key), value))
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
        joined(&self.path, key)
    }

    /// Where a key stands; the section itself when it is not there.
    pub(super) fn span_of(&self, key: &str) -> Range<usize> {
        self.get(key).map_or_else(|| self.span.clone(), |n| n.span)
    }

    /// The row of a key in the table of keys.
    pub(super) fn key(&self, key: &str) -> &'static Key {
        self.spec.key(key)
    }
}

fn joined(path: &str, key: &str) -> String {
    if path.is_empty() {
        key.to_owned()
    } else {
        format!("{path}.{key}")
    }
}

/// Text without control characters, so that a file cannot steer the terminal.
pub(super) fn clean(text: &str) -> String {
    text.chars()
        .map(|c| if c.is_control() { '\u{fffd}' } else { c })
        .collect()
}
