//! The table of what a scenario may say, `keys.toml`: which keys a section knows, of what kind, in what range, and what is taken when
//! nothing is written. Reading, schema and documentation all go by it.

use std::sync::LazyLock;

use serde::Deserialize;

use super::own_values::{Own, own};
use super::presets;
use crate::climate::builtin;
use crate::colony::feeding::SYRUPS;
use crate::units::{self, Quantity};

const TABLE: &str = include_str!("keys.toml");

/// What may stand under a key.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A text with a unit.
    Quantity(Quantity),
    /// Degrees of latitude or longitude, as a number or as "40.4 N".
    Degrees,
    /// A bare number.
    Number,
    /// A whole number.
    Count,
    /// A day of the year.
    Day,
    /// Any text of up to 200 letters.
    Text,
    /// A text with a form of its own.
    Form,
    /// One of the words of the key.
    Word,
    /// Yes or no.
    Flag,
    /// This one of the two.
    Only(bool),
    /// Layers of material.
    Layers,
    /// A table with the keys of a section, or what a row of the section "behind" says.
    Named(String),
    /// A list.
    List(Box<Kind>),
}

impl Kind {
    fn named(word: &str) -> Self {
        let quantity = match word {
            "length" => Quantity::Length,
            "volume" => Quantity::Volume,
            "time" => Quantity::Time,
            "difference" => Quantity::TemperatureDifference,
            "mass" => Quantity::Mass,
            "temperature" => Quantity::Temperature,
            "power" => Quantity::Power,
            "angle" => Quantity::Angle,
            "conductivity" => Quantity::Conductivity,
            "density" => Quantity::Density,
            "specific_heat" => Quantity::SpecificHeat,
            "r_value" => Quantity::RValue,
            "degrees" => return Self::Degrees,
            "number" => return Self::Number,
            "count" => return Self::Count,
            "day" => return Self::Day,
            "text" => return Self::Text,
            "string" => return Self::Form,
            "word" => return Self::Word,
            "flag" => return Self::Flag,
            "true" | "false" => return Self::Only(word == "true"),
            "layers" => return Self::Layers,
            other => {
                let list = other.strip_prefix('[').and_then(|w| w.strip_suffix(']'));
                return list.map_or_else(
                    || Self::Named(other.to_owned()),
                    |of| Self::List(Box::new(Self::named(of))),
                );
            }
        };
        Self::Quantity(quantity)
    }
}

/// One row of the table.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Key {
    #[serde(rename = "key")]
    pub(crate) name: String,
    /// As the table has it; see its head.
    pub(crate) kind: String,
    low: Option<String>,
    high: Option<String>,
    /// What is taken when nothing is written.
    pub(crate) value: Option<String>,
    /// Where the default (or the limits) comes from.
    #[serde(default)]
    pub(crate) source: String,
    /// What it is, in one line.
    #[serde(default)]
    pub(crate) about: String,
    /// What a text measures when it is a quantity.
    of: Option<String>,
    /// The words of a choice.
    #[serde(default)]
    pub(crate) words: Vec<String>,
    words_of: Option<String>,
    /// One or a list of it.
    #[serde(default)]
    pub(crate) many: bool,
    /// Most of these.
    pub(crate) most: Option<usize>,
    /// What keepers call it besides.
    #[serde(default)]
    called: Vec<String>,
}

impl Key {
    /// What may stand under it.
    pub(crate) fn kinds(&self) -> Vec<Kind> {
        self.kind
            .split('|')
            .map(|w| Kind::named(w.trim()))
            .collect()
    }

    /// What the value measures, if it is written with a unit.
    pub(crate) fn quantity(&self) -> Option<Quantity> {
        let said = self.of.as_ref().map(|w| Kind::named(w));
        said.into_iter().chain(self.kinds()).find_map(|k| match k {
            Kind::Quantity(q) => Some(q),
            Kind::Degrees => Some(Quantity::Angle),
            _ => None,
        })
    }

    fn read(&self, text: Option<&String>) -> Option<f64> {
        let text = text?;
        match self.quantity() {
            Some(q) => units::parse(text, q).ok(),
            None => text.parse().ok(),
        }
    }

    /// Why the limits are what they are, if the table says so.
    pub(crate) fn limits(&self) -> Option<String> {
        match self.source.strip_prefix("limits") {
            Some("") => None,
            Some(rest) => Some(format!("the limits{rest}")),
            None => Some(format!("the limits: {}", self.source)),
        }
    }

    /// Lowest and highest plausible value in the inner unit; open where the table states none.
    pub(crate) fn range(&self) -> (f64, f64) {
        let end = |text: &Option<String>, open: f64| self.read(text.as_ref()).unwrap_or(open);
        (
            end(&self.low, f64::NEG_INFINITY),
            end(&self.high, f64::INFINITY),
        )
    }

    /// The default in its inner unit; 0 where the table states none.
    pub(crate) fn default_value(&self) -> f64 {
        self.read(self.value.as_ref()).unwrap_or(0.0)
    }

    /// The default as the table has it.
    pub(crate) fn usual(&self) -> &str {
        self.value.as_deref().unwrap_or_default()
    }

    /// "5 mm to 600 mm", for messages.
    pub(crate) fn range_words(&self) -> String {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => format!("{low} to {high}"),
            _ => "any value".to_owned(),
        }
    }
}

/// What is looked for in a section that has no such key.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
struct Elsewhere {
    keys: Vec<String>,
    help: String,
}

/// The keys of one section.
#[derive(Debug, Clone, Default, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Spec {
    pub(crate) name: String,
    /// As it stands in the file.
    pub(crate) heading: String,
    with: Option<String>,
    /// Keys that must be there.
    #[serde(default)]
    pub(crate) required: Vec<String>,
    /// Whether other keys may stand there.
    #[serde(default)]
    pub(crate) open: bool,
    elsewhere: Option<Elsewhere>,
    pub(crate) keys: Vec<Key>,
    /// How many of the keys are its own; those of another section come behind.
    #[serde(skip)]
    shared_from: usize,
}

static OPEN: LazyLock<Key> = LazyLock::new(Key::default);

impl Spec {
    /// The row of a key, if there is one.
    pub(crate) fn find(&self, key: &str) -> Option<&Key> {
        self.keys.iter().find(|k| k.name == key)
    }

    /// The row of a key; an open one when there is none (a test sees to it that no such key is asked for).
    pub(crate) fn key(&'static self, key: &str) -> &'static Key {
        self.find(key).unwrap_or(&OPEN)
    }

    /// The keys that are its own, without those it shares with another section.
    pub(crate) fn own(&self) -> &[Key] {
        self.keys.get(..self.shared_from).unwrap_or(&self.keys)
    }

    /// All keys with commas between.
    pub(crate) fn listed(&self) -> String {
        let names: Vec<&str> = self.keys.iter().map(|k| k.name.as_str()).collect();
        names.join(", ")
    }

    /// What to try for a setting that does not exist: another name, another place, or what is known here.
    pub(crate) fn help_for(&self, name: &str) -> String {
        let lists = |all: &[String]| all.iter().any(|k| k == name);
        if let Some(e) = self.elsewhere.as_ref().filter(|e| lists(&e.keys)) {
            return e.help.clone();
        }
        let called = self.keys.iter().find(|k| lists(&k.called));
        called
            .map(|k| k.name.as_str())
            .or_else(|| units::nearest(name, self.keys.iter().map(|k| k.name.as_str())))
            .map_or_else(
                || format!("known here: {}", self.listed()),
                |n| format!("did you mean \"{n}\"?"),
            )
    }
}

/// The whole table.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(crate) struct Keys {
    #[serde(rename = "section")]
    pub(crate) sections: Vec<Spec>,
}

static EMPTY: LazyLock<Spec> = LazyLock::new(Spec::default);
static KEYS: LazyLock<Result<Keys, String>> = LazyLock::new(Keys::load);

impl Keys {
    /// The table shipped with the program.
    ///
    /// # Errors
    /// The message of the reader of a table that is damaged.
    pub(crate) fn get() -> Result<&'static Self, String> {
        KEYS.as_ref().map_err(Clone::clone)
    }

    fn load() -> Result<Self, String> {
        let mut keys: Self = toml::from_str(TABLE).map_err(|e| e.to_string())?;
        let presets = presets::Presets::get()?;
        for key in keys.sections.iter_mut().flat_map(|s| &mut s.keys) {
            key.about = key.about.replace("{records}", &builtin::names());
            key.about = key
                .about
                .replace("{patterns}", &presets.pattern_names().join(", "));
            match key.words_of.as_deref() {
                Some("finishes") => {
                    key.words = presets.finishes().iter().map(|f| f.name.clone()).collect();
                }
                Some("syrups") => key.words = SYRUPS.iter().map(|s| s.name.to_owned()).collect(),
                _ => {}
            }
        }
        keys.sections.push(of_parameters()?);
        let of = |name: &str| keys.sections.iter().find(|s| s.name == name);
        let more: Vec<Vec<Key>> = keys
            .sections
            .iter()
            .map(|s| {
                s.with
                    .as_deref()
                    .and_then(of)
                    .map_or_else(Vec::new, |o| o.keys.clone())
            })
            .collect();
        for (section, more) in keys.sections.iter_mut().zip(more) {
            section.shared_from = section.keys.len();
            section.keys.extend(more);
        }
        Ok(keys)
    }

    /// The keys of a section; none when there is no such section (a test sees to it that none such is asked for).
    pub(crate) fn section(&'static self, name: &str) -> &'static Spec {
        self.sections
            .iter()
            .find(|s| s.name == name)
            .unwrap_or(&EMPTY)
    }

    /// The row of a value that no key sets directly.
    pub(crate) fn behind(&'static self, name: &str) -> &'static Key {
        self.section("behind").key(name)
    }
}

/// The section of the colony's and the combs' parameters, from their own table.
fn of_parameters() -> Result<Spec, String> {
    let table = own()?;
    let row = |p: Own| Key {
        name: p.key,
        kind: "number".to_owned(),
        low: Some(p.limits[0].to_string()),
        high: Some(p.limits[1].to_string()),
        value: Some(p.usual.to_string()),
        source: p.source,
        about: format!("{}, {}", p.name, p.unit),
        ..Key::default()
    };
    Ok(Spec {
        name: "parameters".to_owned(),
        heading: "[parameters]".to_owned(),
        keys: table.into_iter().map(row).collect(),
        ..Spec::default()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a limit or default that cannot be read or lies outside its limits, a limit without its other end, a row without a source
    /// or a word on what it is, a choice without words, and a kind that is misspelt (it would be taken for a section).
    #[test]
    fn every_row_is_sound() {
        let keys = Keys::get().unwrap();
        for (s, k) in keys
            .sections
            .iter()
            .flat_map(|s| s.keys.iter().map(move |k| (s, k)))
        {
            let at = format!("{}.{}", s.name, k.name);
            assert!(!k.about.is_empty() && !k.about.contains('{'), "{at}");
            assert!(
                !k.source.is_empty() || (k.value.is_none() && k.low.is_none()),
                "{at}"
            );
            assert_eq!(k.low.is_some(), k.high.is_some(), "{at}");
            for kind in k.kinds() {
                let inner = if let Kind::List(of) = kind { *of } else { kind };
                match inner {
                    Kind::Word => assert!(!k.words.is_empty(), "{at}"),
                    Kind::Named(name) => {
                        let behind = keys.section("behind").find(&name).is_some();
                        assert!(
                            behind || keys.sections.iter().any(|s| s.name == name),
                            "{at}: {name}"
                        );
                    }
                    _ => {}
                }
            }
            let (low, high) = k.range();
            if k.low.is_some() {
                assert!(low.is_finite() && high.is_finite() && low < high, "{at}");
                let usual = k.value.as_ref().map(|v| k.read(Some(v)).unwrap());
                assert!(usual.is_none_or(|v| (low..=high).contains(&v)), "{at}");
            }
            assert!(
                k.words.is_empty() || k.value.as_ref().is_none_or(|v| k.words.contains(v)),
                "{at}"
            );
        }
    }
}
