//! The JSON Schema of the scenario file, for editors that complete and check as one types.
//!
//! The keys are those of the reader's own tables, ranges and defaults those of `fields.toml`, words those of the presets and the
//! parameter table, so that the schema cannot drift from what is read. It is looser than the reader: what hangs on other
//! values (a filler thicker than its ledge) only the reader tells.

mod hive;
mod stand;
#[cfg(test)]
mod tests;

use super::fields::Fields;
use super::layers;
use super::presets::Presets;
use crate::units::Quantity;
use serde_json::{Map, Value, json};

/// What may stand under a key.
enum Of {
    /// A quantity with its unit, within the range of a row of `fields.toml`.
    Quantity(&'static str),
    /// A bare number within the range of a row.
    Number(&'static str),
    /// A whole number within the range of a row.
    Count(&'static str),
    /// A day of the year.
    Day(&'static str),
    /// Any text.
    Text(&'static str),
    /// Yes or no.
    Flag(&'static str),
    /// One of a few words.
    Word(Vec<String>, &'static str),
    /// Layers of material, with the row of their default.
    Layers(&'static str),
    /// What is built elsewhere.
    Ready(Value),
}

/// Builds the schema.
struct Build {
    fields: Fields,
    presets: Presets,
}

/// The schema (JSON Schema, draft 2020-12).
///
/// # Errors
/// A damaged table in the program, in words.
pub fn schema() -> Result<Value, String> {
    let b = Build {
        fields: Fields::built_in()?,
        presets: Presets::built_in()?,
    };
    let mut root = b.root()?;
    if let Some(top) = root.as_object_mut() {
        top.insert(
            "$schema".into(),
            json!("https://json-schema.org/draft/2020-12/schema"),
        );
        top.insert("title".into(), json!("partywall scenario"));
        top.insert("description".into(), json!(
            "Hives on one stand and the winter they are to face. Values with a unit are text in quotes, counts are bare numbers."
        ));
        top.insert("required".into(), json!(["site", "hive"]));
        top.insert(
            "$defs".into(),
            json!({ "layer": b.layer(), "layers": b.layers() }),
        );
    }
    Ok(root)
}

fn words(all: &[&str]) -> Vec<String> {
    all.iter().map(|w| (*w).to_owned()).collect()
}

fn one_or_list(of: &Value) -> Value {
    json!({ "anyOf": [of, { "type": "array", "items": of }] })
}

impl Build {
    /// A table with the keys of one of the reader's tables. A key nobody describes is allowed as it is; a test sees to it that
    /// there is none.
    fn table(&self, keys: &[&str], known: Vec<(&str, Of)>) -> Value {
        let mut properties = Map::new();
        for key in keys {
            let of = known.iter().find(|(k, _)| k == key);
            properties.insert(
                (*key).into(),
                of.map_or_else(|| json!({}), |(_, of)| self.of(of)),
            );
        }
        json!({ "type": "object", "properties": properties, "additionalProperties": false })
    }

    fn of(&self, of: &Of) -> Value {
        match of {
            Of::Quantity(row) => {
                let f = self.fields.get(row);
                let examples = f.quantity().map_or("", Quantity::examples);
                self.said(
                    row,
                    json!({ "type": "string", "minLength": 1 }),
                    &format!("with its unit, such as {examples}"),
                )
            }
            Of::Number(row) | Of::Count(row) => {
                let (low, high) = self.fields.get(row).range();
                let kind = if matches!(of, Of::Count(_)) {
                    "integer"
                } else {
                    "number"
                };
                self.said(
                    row,
                    json!({ "type": kind, "minimum": low, "maximum": high }),
                    "a bare number",
                )
            }
            Of::Day(row) => self.said(
                row,
                json!({ "type": "string", "pattern": "[0-9]", "examples": ["1 Oct"] }),
                "a day without a year, such as \"1 Oct\"",
            ),
            Of::Text(about) => {
                json!({ "type": "string", "minLength": 1, "maxLength": 200, "description": about })
            }
            Of::Flag(about) => json!({ "type": "boolean", "description": about }),
            Of::Word(all, about) => json!({ "type": "string", "enum": all, "description": about }),
            Of::Layers(row) => self.said(
                row,
                json!({ "$ref": "#/$defs/layers" }),
                "layers such as \"50 mm xps\", from the inside outwards; false for none",
            ),
            Of::Ready(v) => v.clone(),
        }
    }

    /// Puts range, default and source of a row of the table of fields beside a schema.
    fn said(&self, row: &str, mut of: Value, how: &str) -> Value {
        let f = self.fields.get(row);
        let mut about = vec![how.to_owned()];
        let range = f.range_words();
        if range != "any value" {
            about.push(range);
        }
        match f.value.as_deref() {
            Some("") | None => {}
            Some(v) => about.push(format!("{v} unless said")),
        }
        about.push(f.source);
        of["description"] = json!(about.join("; "));
        of
    }

    fn layer(&self) -> Value {
        let r = json!({ "type": "string", "description": "printed R-value, such as \"R-5\" or \"RSI 0.88\"" });
        let table = self.table(
            layers::KEYS,
            vec![
                ("material", Of::Text("name of a material")),
                ("thickness", Of::Quantity("layer")),
                ("r_value", Of::Ready(r)),
            ],
        );
        json!({ "anyOf": [{ "type": "string", "minLength": 1, "examples": ["19 mm pine", "R-5 xps"] }, table] })
    }

    fn layers(&self) -> Value {
        let layer = json!({ "$ref": "#/$defs/layer" });
        json!({ "anyOf": [layer, { "type": "array", "items": layer }, { "const": false }] })
    }
}
