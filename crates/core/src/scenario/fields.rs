//! The table of what a scenario may say: ranges, defaults and their sources, from `fields.toml`.

use std::collections::BTreeMap;

use serde::Deserialize;

use crate::units::{self, Quantity};

const TABLE: &str = include_str!("fields.toml");

/// One row of the table.
#[derive(Debug, Clone, Deserialize)]
#[serde(deny_unknown_fields)]
pub(super) struct Field {
    /// Kind of the value; see the head of the table.
    kind: String,
    /// Lowest plausible value, as written.
    low: Option<String>,
    /// Highest plausible value, as written.
    high: Option<String>,
    /// What is taken when nothing is written.
    pub(super) value: Option<String>,
    /// Where the default (or the limits) comes from.
    pub(super) source: String,
}

impl Field {
    /// What the value measures, if it is written with a unit.
    pub(super) fn quantity(&self) -> Option<Quantity> {
        Some(match self.kind.as_str() {
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
            _ => return None,
        })
    }

    /// One of the written values in its inner unit.
    fn read(&self, text: Option<&String>) -> Option<f64> {
        let text = text?;
        match self.quantity() {
            Some(q) => units::parse(text, q).ok(),
            None => text.parse().ok(),
        }
    }

    /// Why the limits are what they are, if the table says so.
    pub(super) fn limits(&self) -> Option<String> {
        match self.source.strip_prefix("limits") {
            Some("") => None,
            Some(rest) => Some(format!("the limits{rest}")),
            None => Some(format!("the limits: {}", self.source)),
        }
    }

    /// Lowest and highest plausible value in the inner unit; open where the table states none.
    pub(super) fn range(&self) -> (f64, f64) {
        (
            self.read(self.low.as_ref()).unwrap_or(f64::NEG_INFINITY),
            self.read(self.high.as_ref()).unwrap_or(f64::INFINITY),
        )
    }

    /// The default in its inner unit; 0 where the table states none (a test sees to it that none is asked for).
    pub(super) fn default(&self) -> f64 {
        self.read(self.value.as_ref()).unwrap_or(0.0)
    }

    /// "5 mm to 600 mm", for messages.
    pub(super) fn range_words(&self) -> String {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => format!("{low} to {high}"),
            (Some(low), None) => format!("{low} or more"),
            (None, Some(high)) => format!("at most {high}"),
            (None, None) => "any value".to_owned(),
        }
    }
}

/// All rows by key.
#[derive(Debug, Clone)]
pub(super) struct Fields(BTreeMap<String, Field>);

impl Fields {
    /// The table shipped with the program; the message of the TOML reader if it is damaged.
    pub(super) fn built_in() -> Result<Self, String> {
        toml::from_str(TABLE).map(Self).map_err(|e| e.to_string())
    }

    /// A row; an open one when the table lacks it (a test sees to it that no such key is asked for).
    pub(super) fn get(&self, key: &str) -> Field {
        self.0.get(key).cloned().unwrap_or_else(|| Field {
            kind: "word".to_owned(),
            low: None,
            high: None,
            value: None,
            source: "no row in the table of fields".to_owned(),
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a limit or default that cannot be read, lies outside its limits, or has no source, and a kind that is
    /// misspelt (it would be taken for a word).
    #[test]
    fn every_row_is_sound() {
        let Fields(rows) = Fields::built_in().unwrap();
        for (key, f) in rows {
            assert!(!f.source.is_empty(), "{key}");
            if ["word", "layers"].contains(&f.kind.as_str()) {
                assert!(f.value.is_some() && f.low.is_none(), "{key}");
                continue;
            }
            assert!(
                f.quantity().is_some() || ["count", "number"].contains(&f.kind.as_str()),
                "{key}: {}",
                f.kind
            );
            let (low, high) = f.range();
            assert!(low.is_finite() && high.is_finite() && low < high, "{key}");
            if f.value.is_some() {
                let v = f.read(f.value.as_ref()).unwrap();
                assert!((low..=high).contains(&v), "{key}");
            }
        }
    }
}
