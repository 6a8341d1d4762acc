//! Scenario texts with their variants.
//!
//! A variant is the text of a scenario and a patch on it. Patches stand in the file itself, under `[[variant]]`, or are written
//! by the program ([`Source::with`]); both go through the same reader, so that nothing a variant says escapes the checks.

use std::path::{Path, PathBuf};

use toml::Spanned;
use toml::de::{DeTable, DeValue};

use super::fields::Fields;
use super::kinship::{name, parent};
use super::presets::Presets;
use super::reader::Reader;
use super::{LARGEST, Loaded, MOST_SYNTAX_ERRORS, patch, toml_help, too_large, whole_file};
use crate::climate::ClimateChoice;
use crate::materials::Materials;
use crate::problem::{Problem, Problems};
use crate::stand::Site;

/// Most variants of one file: beyond, no table can be read.
const MOST_VARIANTS: usize = 40;

/// Key under which a patch of the program's own stands; no scenario may use it.
const GENERATED: &str = "written_by_the_program";

/// The text of a scenario, not yet read.
#[derive(Debug, Clone)]
pub struct Source {
    text: String,
    name: String,
    folder: Option<PathBuf>,
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
    pub fn new(text: &str, name: &str, folder: Option<&Path>) -> Self {
        Self {
            text: text.strip_prefix('\u{feff}').unwrap_or(text).to_owned(),
            name: super::reader::clean(name),
            folder: folder.map(Path::to_owned),
        }
    }

    /// What messages call it.
    #[must_use]
    pub fn name(&self) -> &str {
        &self.name
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
            let Some(patch) = tables(tree.get_ref().get(GENERATED)).into_iter().next() else {
                return Err(whole_file(
                    &self.name,
                    "no patch in the text".to_owned(),
                    None,
                ));
            };
            desk.patched(&base, patch).map(|(_, loaded)| loaded)
        })
    }

    /// The weather asked for and the site, as far as they can be read, whatever else is wrong with the text.
    #[must_use]
    pub fn weather(&self) -> Option<(ClimateChoice, Site)> {
        self.read(&self.text, |desk, tree| {
            let mut reader = desk.reader();
            let root = reader.root(tree.get_ref(), super::ROOT_KEYS);
            let section = reader.section_or_empty(&root, "site", super::site::SITE_KEYS);
            let site = super::site::site(&mut reader, &section);
            let choice = super::site::climate(&mut reader, &section, desk.folder);
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
        let damaged = |m: String| {
            whole_file(
                &self.name,
                format!("a table of this program is damaged: {m}"),
                None,
            )
        };
        let desk = Desk {
            text,
            file: &self.name,
            folder: self.folder.as_deref(),
            fields: Fields::built_in().map_err(damaged)?,
            presets: Presets::built_in().map_err(damaged)?,
            materials: Materials::builtin().map_err(|e| damaged(e.to_string()))?,
        };
        let (tree, errors) = DeTable::parse_recoverable(text);
        if !errors.is_empty() {
            let mut reader = desk.reader();
            // A file that is something else altogether has a mistake in every line: a few are enough to see it.
            for e in errors.iter().take(MOST_SYNTAX_ERRORS) {
                let span = e.span().unwrap_or(0..0);
                reader.error(
                    &span,
                    format!("this is not valid TOML: {}", e.message()),
                    None,
                    toml_help(text, &span),
                );
            }
            let mut all = reader.into_problems().0;
            all.extend(desk.beside_syntax(tree.get_ref(), &all));
            all.sort_by_key(|p| p.place.as_ref().map(|p| (p.line, p.column)));
            return Err(Problems(all));
        }
        then(&desk, &tree)
    }
}

/// The tables under a key: a list of them, or a single one.
fn tables<'r, 'a>(value: Option<&'r Spanned<DeValue<'a>>>) -> Vec<&'r DeTable<'a>> {
    match value.map(Spanned::get_ref) {
        Some(DeValue::Table(t)) => vec![t],
        Some(DeValue::Array(list)) => list
            .iter()
            .filter_map(|v| match v.get_ref() {
                DeValue::Table(t) => Some(t),
                _ => None,
            })
            .collect(),
        _ => Vec::new(),
    }
}

/// What is needed to read trees of one text.
struct Desk<'t> {
    text: &'t str,
    file: &'t str,
    folder: Option<&'t Path>,
    fields: Fields,
    presets: Presets,
    materials: Materials,
}

impl<'t> Desk<'t> {
    fn reader<'a>(&self) -> Reader<'a>
    where
        't: 'a,
    {
        Reader::new(
            self.text,
            self.file,
            self.fields.clone(),
            self.materials.clone(),
        )
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
    fn beside_syntax<'a>(&self, tree: &'a DeTable<'a>, syntax: &[Problem]) -> Vec<Problem>
    where
        't: 'a,
    {
        let lines: Vec<usize> = syntax
            .iter()
            .filter_map(|p| Some(p.place.as_ref()?.line))
            .collect();
        let heading = |line: &usize| {
            let text = self.text.lines().nth(line - 1).unwrap_or_default();
            text.trim_start().starts_with('[')
        };
        if lines.len() >= MOST_SYNTAX_ERRORS || lines.iter().any(heading) {
            return Vec::new();
        }
        let mut reader = self.reader();
        let _ = super::scenario(&mut reader, &self.presets, tree, None);
        let mut found = reader.alone();
        found.retain(|p| p.place.as_ref().is_some_and(|p| !lines.contains(&p.line)));
        found
    }

    /// Reads a tree with what a patch had to say before.
    fn loaded<'a>(&self, mut reader: Reader<'a>, tree: &'a DeTable<'a>) -> Result<Loaded, Problems>
    where
        't: 'a,
    {
        let scenario = super::scenario(&mut reader, &self.presets, tree, self.folder);
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
            _ => Err(whole_file(
                self.file,
                "the scenario is not complete".to_owned(),
                None,
            )),
        }
    }

    fn patched<'a>(
        &self,
        base: &DeTable<'a>,
        patch: &DeTable<'a>,
    ) -> Result<(DeTable<'a>, Loaded), Problems>
    where
        't: 'a,
    {
        let mut reader = self.reader();
        let tree = patch::apply(&mut reader, base, patch);
        let loaded = self.loaded(reader, &tree)?;
        Ok((tree, loaded))
    }

    fn family(&self, tree: &Spanned<DeTable<'t>>) -> Result<Family, Problems> {
        let written = self.without_variants(tree.get_ref());
        let base = self.loaded(self.reader(), &written);
        let known: Vec<Problem> = match &base {
            Ok(l) => l.warnings.0.clone(),
            Err(p) => p.0.clone(),
        };
        let mut all = known.clone();
        let mut told: Vec<Problem> = Vec::new();
        let mut variants: Vec<Variant> = Vec::new();
        let mut trees: Vec<(String, DeTable<'t>)> = Vec::new();
        let mut slips = self.reader();
        let list = tree.get_ref().get("variant");
        if let Some(v) = list {
            let bad = match v.get_ref() {
                DeValue::Table(_) => false,
                DeValue::Array(a) => a.iter().any(|i| !matches!(i.get_ref(), DeValue::Table(_))),
                _ => true,
            };
            if bad {
                slips.error(
                    &v.span(),
                    "variants must be tables of settings",
                    Some("[[variant]] with a name and the settings that change"),
                    None,
                );
            }
        }
        let patches = tables(list);
        if let (true, Some(v)) = (patches.len() > MOST_VARIANTS, list) {
            slips.error(
                &v.span(),
                format!("{} variants", patches.len()),
                Some(&format!("at most {MOST_VARIANTS}")),
                None,
            );
        }
        for (i, patch) in patches.iter().take(MOST_VARIANTS).enumerate() {
            let Some(name) = name(&mut slips, list, patch, i, &trees) else {
                continue;
            };
            let Some(from) = parent(&mut slips, &name, &written, patch, &trees) else {
                continue;
            };
            let mut reader = self.reader();
            let tree = patch::apply(&mut reader, from, patch);
            match self.loaded(reader, &tree) {
                Ok(mut loaded) => {
                    loaded.warnings.0.retain(|p| !known.contains(p));
                    variants.push(Variant {
                        name: name.clone(),
                        loaded,
                    });
                }
                Err(p) => {
                    for problem in p.0 {
                        // What an earlier variant said that this one goes on from is not said again.
                        if !known.contains(&problem) && !told.contains(&problem) {
                            all.push(Problem {
                                what: format!("variant \"{name}\": {}", problem.what),
                                ..problem.clone()
                            });
                            told.push(problem);
                        }
                    }
                }
            }
            trees.push((name, tree));
        }
        all.extend(slips.into_problems().0);
        let all = Problems(all);
        match base {
            Ok(base) if !all.any_error() => Ok(Family { base, variants }),
            _ => {
                let mut all = all;
                all.0
                    .sort_by_key(|p| p.place.as_ref().map(|p| (p.line, p.column)));
                Err(all)
            }
        }
    }
}
