//! Walks a TOML tree that knows its places, collecting every problem instead of stopping at the first, and noting how
//! each value was read.

use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::fields::Fields;
use super::{FeedPlace, Kind, Reading, unknown};
use crate::calendar::MonthDay;
use crate::colony::parameters::Parameters;
use crate::materials::Materials;
use crate::problem::{Code, Place, Problem, Severity};

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
    /// Indices of those that are wrong by themselves, whatever else is there: a value that is none, a setting that does not exist.
    alone: Vec<usize>,
    /// How every value was read, in the order in which it was asked for.
    pub(super) readings: Vec<Reading>,
    /// Where the feeds stand, hive by hive in the order written.
    pub(super) feeds: Vec<FeedPlace>,
    /// Ranges and defaults.
    pub(super) fields: Fields,
    /// Materials, the scenario's own included once they are read.
    pub(super) materials: Materials,
    /// First day of the season and first nectar, once they are read.
    pub(super) winter: Option<(MonthDay, MonthDay)>,
    /// The colony parameters with the scenario's own, once they are read.
    pub(super) colony: Option<Parameters>,
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
            alone: Vec::new(),
            readings: Vec::new(),
            feeds: Vec::new(),
            fields,
            materials,
            winter: None,
            colony: None,
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
                code: Code::Other,
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

    /// Notes an error that does not hang on anything else in the file.
    pub(super) fn error_alone(
        &mut self,
        span: &Range<usize>,
        what: impl Into<String>,
        expected: Option<&str>,
        help: Option<String>,
    ) {
        self.alone.push(self.problems.len());
        self.error(span, what, expected, help);
    }

    /// The errors that do not hang on anything else in the file, in file order.
    pub(super) fn alone(mut self) -> Vec<Problem> {
        let mut kept: Vec<(usize, Problem)> = Vec::new();
        for (i, p) in self.problems.drain(..).enumerate() {
            if self.alone.contains(&i) && !kept.contains(&p) {
                kept.push(p);
            }
        }
        kept.sort_by_key(|(at, _)| *at);
        kept.into_iter().map(|(_, p)| p).collect()
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

    /// Says what the problem noted last is, for programs.
    pub(super) fn coded(&mut self, code: Code) {
        if let Some((_, last)) = self.problems.last_mut() {
            last.code = code;
        }
    }

    /// Notes where a feed of a hive stands: its date.
    pub(super) fn feed_at(&mut self, hive: &Section<'a>, span: &Range<usize>) {
        let name = hive.path.strip_prefix("hive.").unwrap_or(&hive.path);
        self.feeds.push(FeedPlace {
            hive: name.to_owned(),
            file: self.file.to_owned(),
            place: self.place(span),
        });
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
        let reading = Reading {
            path: clean(path),
            written: written.map(|w| clean(&w)),
            used: clean(&used.into()),
            note: clean(&note.into()),
            kind,
        };
        // What is said once for every hive is asked for by each of them.
        if !self.readings.contains(&reading) {
            self.readings.push(reading);
        }
    }

    /// "0.109 W/mK", the conductivity a material has in the table or the scenario.
    pub(super) fn conductivity_note(&self, key: &str) -> String {
        self.materials.get(key).map_or_else(
            |_| String::new(),
            |m| format!("{} W/mK: {}", m.conductivity, m.source),
        )
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
    pub(super) fn root(&mut self, tree: &'a DeTable<'a>, keys: &[&str]) -> Section<'a> {
        self.refuse_unknown(tree, "", keys);
        Section {
            path: String::new(),
            span: 0..0,
            table: Some(tree),
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
                in_file(path)
            };
            let help = unknown::help(path, name, keys);
            self.error_alone(
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
}

/// A section in the words of the file: "[hive.colony] of Left", "[[between]] number 1".
fn in_file(path: &str) -> String {
    let numbered = |word: &str, list: &str| -> Option<String> {
        let (key, n) = word.rsplit_once(' ')?;
        n.parse::<u32>().ok()?;
        Some(format!("[[{list}{key}]] number {n}"))
    };
    let Some(rest) = path.strip_prefix("hive.") else {
        return numbered(path, "").unwrap_or_else(|| format!("[{path}]"));
    };
    // A name may hold dots; a setting does not.
    let own = |s: &str| {
        let key = s.split(' ').next().unwrap_or_default();
        key == "box" || super::stack::keys().contains(&key)
    };
    match rest.rsplit_once('.').filter(|(_, last)| own(last)) {
        Some((name, last)) if last.starts_with("box ") => format!("{last} of {name}"),
        Some((name, last)) => format!(
            "{} of {name}",
            numbered(last, "hive.").unwrap_or_else(|| format!("[hive.{last}]"))
        ),
        None => format!("[[hive]] {rest}"),
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
