//! Walks a TOML tree that knows its places, collecting every problem instead of stopping at the first, and noting how
//! each value was read.

use std::collections::HashSet;
use std::ops::Range;

use toml::de::{DeTable, DeValue};

use super::keys::{Key, Keys};
use super::messages::{Slots, message};
use super::node::{Node, Section, clean};
use super::presets::Presets;
use super::readings::{FeedPlace, Kind, Reading};
use crate::calendar::MonthDay;
use crate::colony::parameters::Parameters;
use crate::materials::Materials;
use crate::problem::{MOST_KEPT, Place, Problem, Severity};

/// Longest line that is kept as an excerpt, characters.
const EXCERPT: usize = 160;

/// Collects problems and readings while the tree is walked.
pub(super) struct Reader<'a> {
    text: &'a str,
    file: &'a str,
    lines: Vec<usize>,
    problems: Vec<(usize, Problem)>,
    /// How many of them are errors.
    errors: usize,
    /// Indices of those that are wrong by themselves, whatever else is there: a value that is none, a setting that does not exist.
    alone: Vec<usize>,
    /// How every value was read, in the order in which it was asked for, and the same to look it up.
    readings: Vec<Reading>,
    noted: HashSet<Reading>,
    /// Where the feeds stand, hive by hive in the order written.
    pub(super) feeds: Vec<FeedPlace>,
    /// What a scenario may say.
    pub(super) keys: &'static Keys,
    /// Box patterns, surfaces and trade words.
    pub(super) presets: &'static Presets,
    /// Materials, the scenario's own included once they are read.
    pub(super) materials: Materials,
    /// First day of the season and first nectar, once they are read.
    pub(super) winter: Option<(MonthDay, MonthDay)>,
    /// The colony parameters with the scenario's own, once they are read.
    pub(super) colony: Option<Parameters>,
}

impl<'a> Reader<'a> {
    /// A reader of one text.
    ///
    /// # Errors
    /// What is wrong with a table of the program, in words.
    pub(super) fn new(text: &'a str, file: &'a str) -> Result<Self, String> {
        let lines = std::iter::once(0)
            .chain(text.match_indices('\n').map(|(i, _)| i + 1))
            .collect();
        Ok(Self {
            text,
            file,
            lines,
            problems: Vec::new(),
            errors: 0,
            alone: Vec::new(),
            readings: Vec::new(),
            noted: HashSet::new(),
            feeds: Vec::new(),
            keys: Keys::get()?,
            presets: Presets::get()?,
            materials: Materials::builtin().map_err(|e| e.to_string())?,
            winter: None,
            colony: None,
        })
    }

    /// The place of some bytes: line and column counted from 1, in characters.
    pub(super) fn place(&self, span: &Range<usize>) -> Place {
        let start = floor_boundary(self.text, span.start);
        let line = self.lines.partition_point(|&l| l <= start).max(1);
        let from = self.lines.get(line - 1).copied().unwrap_or(0);
        let to = self.lines.get(line).map_or(self.text.len(), |&l| l - 1);
        let whole = self.text.get(from..to).unwrap_or("").trim_end_matches('\r');
        let end = floor_boundary(self.text, span.end.min(from + whole.len()).max(start));
        let count = |range: Range<usize>| self.text.get(range).unwrap_or("").chars().count();
        Place {
            line,
            column: count(from..start) + 1,
            width: count(start..end).max(1),
            text: whole.chars().take(EXCERPT).collect(),
        }
    }

    /// Whether so many errors were found that more of them tell nothing.
    pub(super) fn full(&self) -> bool {
        self.errors >= MOST_KEPT
    }

    fn put(&mut self, severity: Severity, span: &Range<usize>, code: &str, slots: &Slots<'_>) {
        let (kept, all) = (self.errors, self.problems.len());
        match severity {
            Severity::Error if kept < MOST_KEPT => self.errors += 1,
            Severity::Warning if all - kept < MOST_KEPT => {}
            _ => return,
        }
        let said = message(code, slots);
        let problem = Problem {
            severity,
            code: said.code,
            file: self.file.to_owned(),
            place: Some(self.place(span)),
            what: clean(&said.what),
            expected: said.expected.as_deref().map(clean),
            help: said.help.as_deref().map(clean),
        };
        self.problems.push((span.start, problem));
    }

    /// Notes an error at a place.
    pub(super) fn refuse(&mut self, span: &Range<usize>, code: &str, slots: &Slots<'_>) {
        self.put(Severity::Error, span, code, slots);
    }

    /// Notes an error that does not hang on anything else in the file.
    pub(super) fn refuse_alone(&mut self, span: &Range<usize>, code: &str, slots: &Slots<'_>) {
        if !self.full() {
            self.alone.push(self.problems.len());
        }
        self.refuse(span, code, slots);
    }

    /// As [`Self::refuse_alone`], of a value: the message may name its path and the value as written.
    pub(super) fn refuse_value(&mut self, node: &Node<'_>, code: &str, slots: &Slots<'_>) {
        let written = node.written();
        let own: [(&str, &dyn std::fmt::Display); 2] =
            [("path", &node.path), ("written", &written)];
        self.refuse_alone(&node.span, code, &[&own[..], slots].concat());
    }

    /// Notes a warning at a place.
    pub(super) fn caution(&mut self, span: &Range<usize>, code: &str, slots: &Slots<'_>) {
        self.put(Severity::Warning, span, code, slots);
    }

    /// The elements of a list, which may be so many; one error for all that are beyond.
    pub(super) fn few(&mut self, mut items: Vec<Node<'a>>, most: usize) -> Vec<Node<'a>> {
        if let Some(beyond) = items.get(most) {
            let slots: &Slots<'_> = &[("n", &items.len()), ("most", &most)];
            let span = beyond.span.clone();
            self.refuse(&span, "long_list", slots);
        }
        items.truncate(most);
        items
    }

    /// The errors that do not hang on anything else in the file, in file order.
    pub(super) fn alone(mut self) -> Vec<Problem> {
        let (mut alone, mut seen) = (self.alone.iter().peekable(), HashSet::new());
        let mut kept: Vec<(usize, Problem)> = Vec::new();
        for (i, p) in self.problems.drain(..).enumerate() {
            if alone.next_if_eq(&&i).is_some() && seen.insert(p.clone()) {
                kept.push(p);
            }
        }
        kept.sort_by_key(|(at, _)| *at);
        kept.into_iter().map(|(_, p)| p).collect()
    }

    /// All problems in file order, and all readings.
    pub(super) fn into_problems(mut self) -> (Vec<Problem>, Vec<Reading>) {
        self.problems.sort_by_key(|(at, _)| *at);
        let problems = self.problems.into_iter().map(|(_, p)| p).collect();
        (problems, self.readings)
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

    fn note(&mut self, path: &str, written: Option<&str>, used: &str, note: &str, kind: Kind) {
        let reading = Reading {
            path: clean(path),
            written: written.map(clean),
            used: clean(used),
            note: clean(note),
            kind,
        };
        // What is said once for every hive is asked for by each of them.
        if self.noted.insert(reading.clone()) {
            self.readings.push(reading);
        }
    }

    /// Notes a value that is used as it was written.
    pub(super) fn given(&mut self, node: &Node<'_>, used: impl AsRef<str>) {
        self.given_because(node, used, "");
    }

    /// As [`Self::given`], with a word on it.
    pub(super) fn given_because(&mut self, node: &Node<'_>, used: impl AsRef<str>, note: &str) {
        self.note(
            &node.path,
            Some(&node.written()),
            used.as_ref(),
            note,
            Kind::Given,
        );
    }

    /// Notes what was worked out from a value.
    pub(super) fn converted(
        &mut self,
        node: &Node<'_>,
        used: impl AsRef<str>,
        note: impl AsRef<str>,
    ) {
        let written = node.written();
        self.derived(&node.path, Some(&written), used, note);
    }

    /// Notes what was worked out from something that is no single value of the file.
    pub(super) fn derived(
        &mut self,
        path: &str,
        written: Option<&str>,
        used: impl AsRef<str>,
        note: impl AsRef<str>,
    ) {
        self.note(path, written, used.as_ref(), note.as_ref(), Kind::Converted);
    }

    /// Notes what was taken for granted.
    pub(super) fn assumed(&mut self, path: &str, used: impl AsRef<str>, note: impl AsRef<str>) {
        self.note(path, None, used.as_ref(), note.as_ref(), Kind::Default);
    }

    /// As [`Self::assumed`], for one word that was written and stands for more.
    pub(super) fn assumed_for(&mut self, node: &Node<'_>, used: &str, note: &str) {
        self.note(&node.path, Some(&node.written()), used, note, Kind::Default);
    }

    /// Notes the default of a key of a section, `used` as the reader words it, with its source.
    pub(super) fn usual(&mut self, section: &Section<'_>, key: &str, used: impl AsRef<str>) {
        let key: &Key = section.key(key);
        self.assumed(&section.path_of(&key.name), used, &key.source);
    }

    /// The top of the tree, with unknown keys refused.
    pub(super) fn root(&mut self, tree: &'a DeTable<'a>) -> Section<'a> {
        let spec = self.keys.section("scenario");
        let root = Section::new(spec, "", 0..0, Some(tree));
        self.refuse_unknown(&root);
        root
    }

    /// A section that says nothing, at a place.
    pub(super) fn silent(&self, spec: &str, path: &str, span: &Range<usize>) -> Section<'a> {
        Section::new(self.keys.section(spec), path, span.clone(), None)
    }

    /// A value as a section of the table of keys, with unknown keys refused.
    pub(super) fn section(&mut self, node: &Node<'a>, spec: &str) -> Option<Section<'a>> {
        let spec = self.keys.section(spec);
        let DeValue::Table(table) = node.value else {
            let (path, written, keys) = (&node.path, node.written(), spec.listed());
            let slots: &Slots<'_> = &[("path", path), ("written", &written), ("keys", &keys)];
            self.refuse(&node.span, "no_table", slots);
            return None;
        };
        let section = Section::new(spec, &node.path, node.span.clone(), Some(table));
        self.refuse_unknown(&section);
        Some(section)
    }

    /// The section under a key that has the name of its section, or an empty one at the parent's place.
    pub(super) fn section_or_empty(&mut self, parent: &Section<'a>, key: &str) -> Section<'a> {
        let empty = self.silent(key, &parent.path_of(key), &parent.span);
        match parent.get(key) {
            Some(node) => self.section(&node, key).unwrap_or(empty),
            None => empty,
        }
    }

    /// What stands under a key as a table, or as the value that the table has under `main`: the section and that value.
    pub(super) fn table_or_value(
        &mut self,
        parent: &Section<'a>,
        key: &str,
        main: &str,
    ) -> (Section<'a>, Option<Node<'a>>) {
        let node = parent.get(key);
        let table = node.as_ref().filter(|n| n.is_table());
        let section = table.and_then(|n| self.section(n, key));
        let section =
            section.unwrap_or_else(|| self.silent(key, &parent.path_of(key), &parent.span));
        let value = node.filter(|n| !n.is_table()).or_else(|| section.get(main));
        (section, value)
    }

    fn refuse_unknown(&mut self, section: &Section<'a>) {
        let Some(table) = section.table else { return };
        for (key, _) in table.iter() {
            let name: &str = key.get_ref();
            if section.spec.find(name).is_some() {
                continue;
            }
            if self.full() {
                return;
            }
            let (place, help) = (self.in_file(&section.path), section.spec.help_for(name));
            let slots: &Slots<'_> = &[("name", &name), ("place", &place), ("help", &help)];
            self.refuse_alone(&key.span(), "unknown_key", slots);
        }
    }

    /// A section in the words of the file: "[hive.colony] of Left", "[[between]] number 1".
    fn in_file(&self, path: &str) -> String {
        if path.is_empty() {
            return "the file".to_owned();
        }
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
            key == "box" || self.keys.section("hive").find(key).is_some()
        };
        match rest.rsplit_once('.').filter(|(_, last)| own(last)) {
            Some((name, last)) if last.starts_with("box ") => format!("{last} of {name}"),
            Some((name, last)) => {
                let list = numbered(last, "hive.").unwrap_or_else(|| format!("[hive.{last}]"));
                format!("{list} of {name}")
            }
            None => format!("[[hive]] {rest}"),
        }
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
