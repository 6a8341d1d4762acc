//! What the user wrote: typed, checked, with every default stated.
//!
//! [`load`] reads a file, [`parse`] a text, [`built_in`] one of the scenarios that come with the program. Each gives the
//! [`Scenario`] together with how every value was read, or all problems at once with their places.

mod boxes;
mod colony;
mod combs;
mod covers;
mod feeds;
mod fields;
mod fit;
mod joints;
mod kinship;
mod layers;
pub mod log;
mod openings;
mod own;
mod patch;
mod presets;
mod reader;
pub mod schema;
mod season;
mod site;
#[cfg(test)]
mod slips;
mod source;
mod stack;
mod stores;
mod tare;
mod unknown;
mod values;
mod weighing;

use std::path::Path;

use toml::de::DeTable;

use crate::problem::{Place, Problem, Problems, Severity};
use crate::stand::{self, Scenario};
use crate::units;
use presets::Presets;
use reader::{Node, Reader, Section};
pub use source::{Family, Source, Variant};

/// Largest scenario file that is read, bytes: a hive needs a few thousand.
const LARGEST: usize = 1 << 20;

/// Hives the program can put in a row.
const MOST_HIVES: usize = 4;

const ROOT_KEYS: &[&str] = &[
    "title",
    "level",
    "reserve",
    "site",
    "season",
    "stress",
    "every_hive",
    "hive",
    "between",
    "material",
    "parameters",
    "variant",
];

/// Scenarios that come with the program: name and text.
const BUILT_IN: &[(&str, &str)] = &[
    (
        "larch-flats",
        include_str!("../../../../scenarios/larch-flats.toml"),
    ),
    (
        "larch-twelve",
        include_str!("../../../../scenarios/larch-twelve.toml"),
    ),
    (
        "cold-larch",
        include_str!("../../../../scenarios/cold-larch.toml"),
    ),
    (
        "far-honey",
        include_str!("../../../../scenarios/far-honey.toml"),
    ),
    (
        "heater-box",
        include_str!("../../../../scenarios/heater-box.toml"),
    ),
    ("single", include_str!("../../../../scenarios/single.toml")),
];

/// How a value came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Used as it was written.
    Given,
    /// Worked out from what was written.
    Converted,
    /// Taken because nothing was written.
    Default,
}

/// How one value of the scenario was read.
#[derive(Debug, Clone, PartialEq, Eq, serde::Serialize)]
pub struct Reading {
    /// Key path, "hive.Left.entrance".
    pub path: String,
    /// As the keeper wrote it; `None` when nothing was written.
    pub written: Option<String>,
    /// As used, with its units.
    pub used: String,
    /// The rule or the source; empty when the value is used as written.
    pub note: String,
    /// How it came about.
    pub kind: Kind,
}

/// A scenario with how it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The checked scenario.
    pub scenario: Scenario,
    /// Every value, conversion and default, in the order of the file's rooms.
    pub readings: Vec<Reading>,
    /// Things to look at that do not stop the program.
    pub warnings: Problems,
    /// Where the feeds stand: hive by hive, each in the order of [`stand::Colony::feeds`].
    pub feeds: Vec<FeedPlace>,
}

/// Where a feed of a hive is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FeedPlace {
    /// Name of the hive.
    pub hive: String,
    /// The file, as the user named it.
    pub file: String,
    /// Its date in it.
    pub place: Place,
}

/// Names of the scenarios that come with the program.
#[must_use]
pub fn built_in_names() -> Vec<&'static str> {
    BUILT_IN.iter().map(|(n, _)| *n).collect()
}

/// Text of one of the scenarios that come with the program.
#[must_use]
pub fn built_in_text(name: &str) -> Option<&'static str> {
    BUILT_IN.iter().find(|(n, _)| *n == name).map(|(_, t)| *t)
}

/// One of the scenarios that come with the program.
///
/// # Errors
/// [`Problems`] when there is none of that name.
pub fn built_in(name: &str) -> Result<Loaded, Problems> {
    built_in_source(name)?.family().map(|f| f.base)
}

/// One of the scenarios that come with the program, with its variants.
///
/// # Errors
/// [`Problems`] when there is none of that name.
pub fn built_in_family(name: &str) -> Result<Family, Problems> {
    built_in_source(name)?.family()
}

fn built_in_source(name: &str) -> Result<Source, Problems> {
    match built_in_text(name) {
        Some(text) => Ok(Source::new(text, name, None)),
        None => Err(whole_file(
            name,
            format!("no built-in scenario is called \"{}\"", reader::clean(name)),
            Some({
                let all = built_in_names().join(", ");
                units::nearest(name, built_in_names()).map_or_else(
                    || format!("built in: {all}; or give the name of a file, such as my-hive.toml"),
                    |n| format!("did you mean \"{n}\"? (built in: {all})"),
                )
            }),
        )),
    }
}

/// Reads a scenario file; weather files it names are looked for from its folder.
///
/// # Errors
/// [`Problems`]: all that is wrong, errors and warnings, in file order.
pub fn load(path: &Path) -> Result<Loaded, Problems> {
    read(path)?.family().map(|f| f.base)
}

fn read(path: &Path) -> Result<Source, Problems> {
    let name = path.display().to_string();
    let size = std::fs::metadata(path).map(|m| m.len());
    if size.as_ref().is_ok_and(|s| *s > LARGEST as u64) {
        return Err(too_large(&name));
    }
    let bytes = std::fs::read(path).map_err(|e| {
        let help = if path.is_dir() {
            "that is a folder: name the scenario file in it".to_owned()
        } else {
            "look at the name and the folder; `partywall example` lists the built-in scenarios"
                .to_owned()
        };
        whole_file(&name, format!("the file cannot be read: {e}"), Some(help))
    })?;
    let text = String::from_utf8(bytes).map_err(|e| {
        let line = e
            .as_bytes()
            .iter()
            .take(e.utf8_error().valid_up_to())
            .filter(|b| **b == b'\n')
            .count()
            + 1;
        let help = "save it as UTF-8, or write C and F without a degree sign".to_owned();
        whole_file(
            &name,
            format!("the file is not UTF-8 text (line {line})"),
            Some(help),
        )
    })?;
    let base = path
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."));
    Ok(Source::new(&text, &name, Some(base)))
}

/// A scenario file or, if there is no such file, the built-in scenario of that name.
///
/// # Errors
/// As [`load`].
pub fn open(word: &str) -> Result<Loaded, Problems> {
    open_source(word)?.family().map(|f| f.base)
}

/// The text of a scenario file or, if there is no such file, of the built-in scenario of that name.
///
/// # Errors
/// [`Problems`] when there is no such text.
pub fn open_source(word: &str) -> Result<Source, Problems> {
    let built_in = built_in_text(word).is_some() && !Path::new(word).exists();
    let path = word.contains(['.', '/', '\\']) || Path::new(word).exists();
    if built_in || !path {
        built_in_source(word)
    } else {
        read(Path::new(word))
    }
}

/// Syntax mistakes of one file that are told.
const MOST_SYNTAX_ERRORS: usize = 8;

fn whole_file(file: &str, what: String, help: Option<String>) -> Problems {
    Problems(vec![Problem {
        severity: Severity::Error,
        code: crate::problem::Code::Other,
        file: reader::clean(file),
        place: None::<Place>,
        what,
        expected: None,
        help,
    }])
}

fn too_large(name: &str) -> Problems {
    whole_file(
        name,
        format!("the file is larger than {LARGEST} bytes: this is no scenario"),
        None,
    )
}

/// Reads a scenario text. `file_name` is what messages call it; weather files are looked for in `base`, and not at all
/// when it is `None`. Variants in it are checked too.
///
/// # Errors
/// [`Problems`]: all that is wrong, errors and warnings, in file order.
pub fn parse(text: &str, file_name: &str, base: Option<&Path>) -> Result<Loaded, Problems> {
    Source::new(text, file_name, base).family().map(|f| f.base)
}

/// The slip that most often makes a line invalid: a value with a unit and no quotes.
fn toml_help(text: &str, span: &std::ops::Range<usize>) -> Option<String> {
    let at = text.get(..span.start.min(text.len()))?;
    let line_start = at.rfind('\n').map_or(0, |i| i + 1);
    let line = text.get(line_start..)?.lines().next()?;
    let (_, value) = line.split_once('=')?;
    let value = value.split('#').next()?.trim();
    let decimal = value.split_once(',').is_some_and(|(whole, part)| {
        let digits = |t: &str| !t.is_empty() && t.chars().all(|c| c.is_ascii_digit());
        digits(whole.trim_start_matches('-')) && digits(part)
    });
    if decimal {
        return Some(format!(
            "write decimals with a point: {}",
            value.replace(',', ".")
        ));
    }
    let bare = value.starts_with(|c: char| c.is_ascii_digit() || c == '-')
        && value.chars().any(char::is_alphabetic);
    if bare {
        return Some(format!(
            "put a value with a unit in quotes: \"{}\"",
            reader::clean(value)
        ));
    }
    // One word or one quote only; lists and tables have quotes of their own.
    let quotes = value.matches('"').count();
    let text = value.trim_matches('"').trim();
    (quotes < 2 && !text.is_empty() && !text.starts_with(['[', '{', '\'']))
        .then(|| format!("put a text between two quotes: \"{}\"", reader::clean(text)))
}

fn scenario<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    tree: &'a DeTable<'a>,
    base: Option<&Path>,
) -> Option<Scenario> {
    let root = reader.root(tree, ROOT_KEYS);
    let own = own::materials(reader, &root);
    let site_section = reader.section_or_empty(&root, "site", site::SITE_KEYS);
    let site = site::site(reader, &site_section);
    let climate = site::climate(reader, &site_section, base);
    let season_section = reader.section_or_empty(&root, "season", season::SEASON_KEYS);
    let mut season = season::season(reader, &season_section);
    let stress_section = reader.section_or_empty(&root, "stress", season::STRESS_KEYS);
    let stress = season::stress(reader, &stress_section, &mut season);
    reader.winter = reader.winter.map(|(start, _)| (start, season.first_nectar));
    let title = reader
        .text(&root, "title")
        .map_or_else(|| site.name.clone(), |(t, _)| reader::clean(t));
    let level = own::level(reader, &root);
    let reserve = reader.quantity_or(&root, "reserve", "reserve");
    let parameters = own::parameters(reader, &root);
    reader.colony = crate::colony::parameters::Parameters::with(&parameters).ok();
    let (stacks, hives) = stacks(reader, presets, &root);
    let joints = joints::joints(reader, presets, &root, &stacks, hives);
    let stacks: Vec<stand::Stack> = stacks.into_iter().flatten().collect();
    Some(Scenario {
        title,
        site,
        season,
        climate: climate?,
        stacks,
        joints,
        materials: own,
        parameters,
        level,
        reserve,
        stress,
    })
}

/// The name a hive has in the file.
fn named(hive: &Node<'_>) -> Option<String> {
    let toml::de::DeValue::Table(table) = hive.value else {
        return None;
    };
    let name = table.get("name")?.get_ref().as_str()?;
    (!name.trim().is_empty()).then(|| reader::clean(name))
}

/// All hives, left to right, those that cannot be read as `None`, and how many the file has.
fn stacks<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    root: &Section<'a>,
) -> (Vec<Option<stand::Stack>>, usize) {
    let every = reader.section_or_empty(root, "every_hive", stack::SHARED_KEYS);
    let items: Vec<Node<'a>> = root
        .get("hive")
        .map(|n| reader.list(&n))
        .unwrap_or_default();
    if items.is_empty() {
        reader.error(
            &(0..0),
            "the scenario has no hive",
            Some("at least one [[hive]]"),
            Some("see the built-in scenario \"single\" for a short one".to_owned()),
        );
    }
    if let Some(fifth) = items.get(MOST_HIVES) {
        reader.error(
            &fifth.span.clone(),
            format!("{} hives in a row", items.len()),
            Some("1 to 4 hives"),
            Some("hives further along change little: leave the outer ones out".to_owned()),
        );
    }
    let mut names: Vec<String> = Vec::new();
    let mut all = Vec::new();
    for (i, item) in items.iter().take(MOST_HIVES).enumerate() {
        let mut item = item.clone();
        item.path =
            named(&item).map_or_else(|| format!("hive {}", i + 1), |name| format!("hive.{name}"));
        let Some(section) = reader.section(&item, &stack::keys()) else {
            all.push(None);
            continue;
        };
        let mut section = section.with_behind(&every);
        let name = match reader.text(&section, "name") {
            Some((t, at)) => {
                let name = reader::clean(t);
                if names
                    .iter()
                    .any(|n| n.to_lowercase() == name.to_lowercase())
                {
                    reader.error(
                        &at.span,
                        format!("two hives are called \"{name}\""),
                        Some("a name of its own for each hive"),
                        None,
                    );
                }
                name
            }
            None => {
                let name = format!("Hive {}", i + 1);
                reader.note(
                    &section.path_of("name"),
                    None,
                    name.clone(),
                    "counted from the left",
                    Kind::Default,
                );
                name
            }
        };
        names.push(name.clone());
        section.path = format!("hive.{name}");
        all.push(stack::stack(reader, presets, &section, name));
    }
    (all, items.len().min(MOST_HIVES))
}
