//! Scenario texts with their variants.
//!
//! A variant is the text of a scenario and a patch on it. Patches stand in the file itself, under `[[variant]]`, or are written
//! by the program ([`Source::with`]); both go through the same reader, so that nothing a variant says escapes the checks.

use std::collections::HashSet;

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::folder::Folder;
use super::kinship::{name, parent};
use super::messages::{Slots, message};
use super::node::{Node, clean};
use super::reader::Reader;
use super::readings::Loaded;
use super::{hives, patch, site, syntax};
use crate::climate::ClimateChoice;
use crate::problem::{Problem, Problems, Severity};
use crate::stand::Site;

/// Largest scenario that is read, bytes: a hive needs a few thousand.
pub const LARGEST: usize = 1 << 20;

/// Syntax mistakes of one file that are told.
const MOST_SYNTAX_ERRORS: usize = 8;

/// Most variants of one file: beyond, no table can be read.
const MOST_VARIANTS: usize = 40;

/// Key under which a patch of the program's own stands; no scenario may use it.
const GENERATED: &str = "written_by_the_program";

/// The text of a scenario, not yet read.
#[derive(Debug, Clone)]
pub struct Source {
    text: String,
    name: String,
    folder: Option<Folder>,
}

/// A scenario with its variants.
#[derive(Debug, Clone, PartialEq)]
pub struct Family {
    /// The scenario as written.
    pub base: Loaded,
    /// Its variants, in file order.
    pub variants: Vec<Variant>,
}

/// One variant of a scenario.
#[derive(Debug, Clone, PartialEq)]
pub struct Variant {
    /// Its name.
    pub name: String,
    /// The scenario it comes to; `warnings` holds only what the scenario without it does not say.
    pub loaded: Loaded,
}

impl Source {
    /// A text; weather files are looked for in `folder`, and not at all when it is `None`.
    #[must_use]
    pub fn new(text: &str, name: &str, folder: Option<&Folder>) -> Self {
        Self {
            text: text.strip_prefix('\u{feff}').unwrap_or(text).to_owned(),
            name: clean(name),
            folder: folder.cloned(),
        }
    }

    /// What messages call it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
    }

    /// The text as it was read.
    #[must_use]
    pub fn text(&self) -> &str {
        &self.text
    }

    /// Reads the scenario and all its variants.
    ///
    /// # Errors
    /// [`Problems`]: all that is wrong with the scenario and with any variant, in file order.
    pub fn family(&self) -> Result<Family, Problems> {
        self.read(&self.text, |desk, tree| desk.family(tree))
    }

    /// The scenario with a patch of the program's own: lines of TOML as they could stand under `[[variant]]`, without its
    /// name.
    ///
    /// # Errors
    /// [`Problems`] when the scenario or what it becomes cannot be used.
    pub fn with(&self, patch: &str) -> Result<Loaded, Problems> {
        let text = format!("{}\n[[{GENERATED}]]\n{patch}\n", self.text);
        self.read(&text, |desk, tree| {
            let base = desk.without_variants(tree.get_ref());
            let Some(patch) = tables(tree.get_ref().get(GENERATED)).pop() else {
                return Err(whole_file(&self.name, "no_patch", &[]));
            };
            let mut reader = desk.reader()?;
            let tree = patch::apply(&mut reader, &base, patch);
            desk.loaded(reader, &tree)
        })
    }

    /// The weather asked for and the site, as far as they can be read, whatever else is wrong with the text.
    #[must_use]
    pub fn weather(&self) -> Option<(ClimateChoice, Site)> {
        self.read(&self.text, |desk, tree| {
            let mut reader = desk.reader()?;
            let root = reader.root(tree.get_ref());
            let section = reader.section_or_empty(&root, "site");
            let site = site::site(&mut reader, &section);
            let choice = site::climate(&mut reader, &section, desk.folder);
            Ok(choice.map(|c| (c, site)))
        })
        .ok()
        .flatten()
    }

    fn read<'t, T>(
        &'t self,
        text: &'t str,
        then: impl FnOnce(&Desk<'t>, &Spanned<DeTable<'t>>) -> Result<T, Problems>,
    ) -> Result<T, Problems> {
        if text.len() > LARGEST {
            return Err(too_large(&self.name));
        }
        let desk = Desk {
            text,
            file: &self.name,
            folder: self.folder.as_ref(),
        };
        let (tree, errors) = DeTable::parse_recoverable(text);
        if !errors.is_empty() {
            let mut reader = desk.reader()?;
            // A file that is something else altogether has a mistake in every line: a few are enough to see it.
            for e in errors.iter().take(MOST_SYNTAX_ERRORS) {
                let span = e.span().unwrap_or(0..0);
                let help = syntax::help(text, &span).unwrap_or_else(|| syntax::ANY.to_owned());
                reader.refuse(&span, "no_toml", &[("what", &e.message()), ("help", &help)]);
            }
            let mut all = reader.into_problems().0;
            all.extend(desk.beside_syntax(tree.get_ref(), &all)?);
            all.sort_by_key(place);
            return Err(Problems(all));
        }
        then(&desk, &tree)
    }
}

/// One problem of a file as a whole.
pub(super) fn whole_file(file: &str, code: &str, slots: &Slots<'_>) -> Problems {
    let said = message(code, slots);
    Problems(vec![Problem {
        severity: Severity::Error,
        code: said.code,
        file: clean(file),
        place: None,
        what: said.what,
        expected: said.expected,
        help: said.help,
    }])
}

/// What is said of a file larger than [`LARGEST`].
#[must_use]
pub fn too_large(file: &str) -> Problems {
    whole_file(file, "too_large", &[("most", &(LARGEST >> 20))])
}

fn place(p: &Problem) -> Option<(usize, usize)> {
    p.place.as_ref().map(|p| (p.line, p.column))
}

/// The tables under a key: a list of them, or a single one.
fn tables<'r, 'a>(value: Option<&'r Spanned<DeValue<'a>>>) -> Vec<&'r DeTable<'a>> {
    match value.map(Spanned::get_ref) {
        Some(DeValue::Table(t)) => vec![t],
        Some(DeValue::Array(list)) => list.iter().filter_map(|v| v.get_ref().as_table()).collect(),
        _ => Vec::new(),
    }
}

/// What is needed to read trees of one text.
struct Desk<'t> {
    text: &'t str,
    file: &'t str,
    folder: Option<&'t Folder>,
}

impl<'t> Desk<'t> {
    fn reader<'a>(&self) -> Result<Reader<'a>, Problems>
    where
        't: 'a,
    {
        Reader::new(self.text, self.file)
            .map_err(|m| whole_file(self.file, "damaged", &[("what", &m)]))
    }

    /// The tree of the scenario as written.
    fn without_variants<'a>(&self, tree: &DeTable<'a>) -> DeTable<'a> {
        let mut base = tree.clone();
        base.remove("variant");
        base.remove(GENERATED);
        base
    }

    /// What is wrong beside the syntax: values and settings that are wrong by themselves, on lines that could be read. What a line that
    /// could not be read would have said is not missed, and under a heading that could not be read nothing is called unknown.
    fn beside_syntax<'a>(
        &self,
        tree: &'a DeTable<'a>,
        syntax: &[Problem],
    ) -> Result<Vec<Problem>, Problems>
    where
        't: 'a,
    {
        let lines = syntax.iter().filter_map(|p| Some(p.place.as_ref()?.line));
        let lines: Vec<usize> = lines.collect();
        let heading = |line: &usize| {
            let text = self.text.lines().nth(line - 1).unwrap_or_default();
            text.trim_start().starts_with('[')
        };
        if lines.len() >= MOST_SYNTAX_ERRORS || lines.iter().any(heading) {
            return Ok(Vec::new());
        }
        let mut reader = self.reader()?;
        let _ = hives::scenario(&mut reader, tree, None);
        let mut found = reader.alone();
        found.retain(|p| p.place.as_ref().is_some_and(|p| !lines.contains(&p.line)));
        Ok(found)
    }

    /// Reads a tree with what a patch had to say before.
    fn loaded<'a>(&self, mut reader: Reader<'a>, tree: &'a DeTable<'a>) -> Result<Loaded, Problems>
    where
        't: 'a,
    {
        let scenario = hives::scenario(&mut reader, tree, self.folder);
        let feeds = std::mem::take(&mut reader.feeds);
        let (mut problems, readings) = reader.into_problems();
        // What is said for every hive is read once for each: one problem is enough.
        problems.dedup();
        let problems = Problems(problems);
        match scenario {
            Some(scenario) if !problems.any_error() => Ok(Loaded {
                scenario,
                readings,
                warnings: problems,
                feeds,
            }),
            _ if problems.any_error() => Err(problems),
            _ => Err(whole_file(self.file, "incomplete", &[])),
        }
    }

    fn family(&self, tree: &Spanned<DeTable<'t>>) -> Result<Family, Problems> {
        let written = self.without_variants(tree.get_ref());
        let base = self.loaded(self.reader()?, &written);
        let mut all = match &base {
            Ok(l) => l.warnings.0.clone(),
            Err(p) => p.0.clone(),
        };
        let known: HashSet<Problem> = all.iter().cloned().collect();
        let mut told: HashSet<Problem> = HashSet::new();
        let mut variants: Vec<Variant> = Vec::new();
        let mut trees: Vec<(String, DeTable<'t>)> = Vec::new();
        let mut slips = self.reader()?;
        if let Some((key, _)) = tree.get_ref().get_key_value(GENERATED) {
            slips.refuse(&key.span(), "reserved_key", &[("name", &GENERATED)]);
        }
        let list = tree.get_ref().get("variant");
        let patches = tables(list);
        if let Some(v) = list {
            if Node::new("variant", v).list().iter().any(|n| !n.is_table()) {
                slips.refuse(&v.span(), "no_variant_tables", &[]);
            }
            if patches.len() > MOST_VARIANTS {
                let slots: &Slots<'_> = &[("n", &patches.len()), ("most", &MOST_VARIANTS)];
                slips.refuse(&v.span(), "many_variants", slots);
            }
        }
        for (i, patch) in patches.iter().take(MOST_VARIANTS).enumerate() {
            let Some(name) = name(&mut slips, list, patch, i, &trees) else {
                continue;
            };
            let Some(from) = parent(&mut slips, &name, &written, patch, &trees) else {
                continue;
            };
            let mut reader = self.reader()?;
            let tree = patch::apply(&mut reader, from, patch);
            match self.loaded(reader, &tree) {
                Ok(mut loaded) => {
                    loaded.warnings.0.retain(|p| !known.contains(p));
                    let name = name.clone();
                    variants.push(Variant { name, loaded });
                }
                Err(p) => {
                    for problem in p.0 {
                        // What an earlier variant said that this one goes on from is not said again.
                        if !known.contains(&problem) && told.insert(problem.clone()) {
                            all.push(Problem {
                                what: format!("variant \"{name}\": {}", problem.what),
                                ..problem
                            });
                        }
                    }
                }
            }
            trees.push((name, tree));
        }
        all.extend(slips.into_problems().0);
        let mut all = Problems(all);
        match base {
            Ok(base) if !all.any_error() => Ok(Family { base, variants }),
            _ => {
                all.0.sort_by_key(place);
                Err(all)
            }
        }
    }
}
