//! The JSON Schema of the scenario file, for editors that complete and check as one types, and the list of its settings for readers: both
//! from the table of keys, so that neither can drift from what is read. The schema is looser than the reader: what hangs on other values (a
//! filler thicker than its ledge) only the reader tells.

#[cfg(test)]
mod tests;

use serde_json::{Map, Value, json};

use super::keys::{Key, Keys, Kind, Spec};
use crate::units::Quantity;

/// The schema (JSON Schema, draft 2020-12).
///
/// # Errors
/// A damaged table in the program, in words.
pub fn schema() -> Result<Value, String> {
    let keys = Keys::get()?;
    let layer = json!({ "$ref": "#/$defs/layer" });
    let mut root = section(keys, keys.section("scenario"));
    root["$schema"] = json!("https://json-schema.org/draft/2020-12/schema");
    root["title"] = json!("partywall scenario");
    root["description"] = json!(
        "Hives on one stand and the winter they are to face. Values with a unit are text in quotes, counts are bare numbers."
    );
    root["$defs"] = json!({
        "layer": { "anyOf": [
            { "type": "string", "minLength": 1, "examples": ["19 mm pine", "R-5 xps"] },
            section(keys, keys.section("layer")),
        ] },
        "layers": { "anyOf": [layer, { "type": "array", "items": layer }, { "const": false }] },
    });
    Ok(root)
}

/// A table with the keys of a section.
fn section(keys: &'static Keys, spec: &Spec) -> Value {
    let properties: Map<String, Value> = spec
        .keys
        .iter()
        .map(|k| (k.name.clone(), of_key(keys, k)))
        .collect();
    let mut table = json!({ "type": "object", "properties": properties });
    if !spec.open {
        table["additionalProperties"] = json!(false);
    }
    if !spec.required.is_empty() {
        table["required"] = json!(spec.required);
    }
    table
}

/// What may stand under a key, with its range, default and source in words.
fn of_key(keys: &'static Keys, key: &Key) -> Value {
    let mut forms: Vec<Value> = key.kinds().iter().map(|k| of_kind(keys, key, k)).collect();
    let mut of = match forms.as_mut_slice() {
        [one] => one.take(),
        _ => json!({ "anyOf": forms }),
    };
    if key.many {
        let mut list = json!({ "type": "array", "items": of });
        if let Some(most) = key.most {
            list["minItems"] = json!(1);
            list["maxItems"] = json!(most);
        }
        of = json!({ "anyOf": [of, list] });
    }
    of["description"] = json!(described(key).join("; "));
    of
}

fn of_kind(keys: &'static Keys, key: &Key, kind: &Kind) -> Value {
    let text = json!({ "type": "string", "minLength": 1 });
    match kind {
        Kind::Quantity(_) | Kind::Form => text,
        Kind::Number | Kind::Count => {
            let (low, high) = key.range();
            let kind = if *kind == Kind::Count {
                "integer"
            } else {
                "number"
            };
            json!({ "type": kind, "minimum": low, "maximum": high })
        }
        Kind::Degrees => json!({ "anyOf": [{ "type": "number" }, text] }),
        Kind::Day => json!({ "type": "string", "pattern": "[0-9]", "examples": ["1 Oct"] }),
        Kind::Text => json!({ "type": "string", "minLength": 1, "maxLength": 200 }),
        Kind::Word => json!({ "type": "string", "enum": key.words }),
        Kind::Flag => json!({ "type": "boolean" }),
        Kind::Only(one) => json!({ "const": one }),
        Kind::Layers => json!({ "$ref": "#/$defs/layers" }),
        Kind::List(of) => json!({ "type": "array", "items": of_kind(keys, key, of) }),
        Kind::Named(name) => match keys.sections.iter().find(|s| s.name == *name) {
            Some(spec) => section(keys, spec),
            None => of_key(keys, keys.behind(name)),
        },
    }
}

/// What a key is, how it is written, its range, its default and where that comes from.
fn described(key: &Key) -> Vec<String> {
    let kinds = key.kinds();
    let how = kinds.iter().find_map(|k| match k {
        Kind::Quantity(q) => Some(format!("with its unit, such as {}", q.examples())),
        Kind::Degrees => Some(format!("a number or {}", Quantity::Angle.word())),
        Kind::Number | Kind::Count => Some("a bare number".to_owned()),
        Kind::Day => Some("a day without a year, such as \"1 Oct\"".to_owned()),
        Kind::Layers => {
            let layers = "layers such as \"50 mm xps\", from the inside outwards; false for none";
            Some(layers.to_owned())
        }
        _ => None,
    });
    let parts = [
        Some(key.about.clone()),
        how,
        range(key),
        usual(key),
        Some(key.source.clone()),
    ];
    parts
        .into_iter()
        .flatten()
        .filter(|p| !p.is_empty())
        .collect()
}

fn range(key: &Key) -> Option<String> {
    Some(key.range_words()).filter(|r| r != "any value")
}

fn usual(key: &Key) -> Option<String> {
    let value = key.value.as_ref().filter(|v| !v.is_empty());
    value.map(|v| format!("{v} unless said"))
}

/// One setting, as the list of settings tells it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Setting {
    /// Where it stands, "[hive.colony]".
    pub section: String,
    /// Its name there.
    pub key: String,
    /// What may stand under it: kinds, or the words of a choice.
    pub kind: String,
    /// Its plausible range; empty where there is none.
    pub range: String,
    /// What is taken when nothing is written; empty for nothing.
    pub usual: String,
    /// What it is.
    pub about: String,
    /// Where the default or the range comes from.
    pub source: String,
}

/// All settings of a scenario, section by section; those that hold for one hive as for all stand under all.
///
/// # Errors
/// A damaged table in the program, in words.
pub fn settings() -> Result<Vec<Setting>, String> {
    let keys = Keys::get()?;
    let row = |spec: &Spec, key: &Key| {
        let words = key.words.join(", ");
        let kind = key
            .kind
            .replace("word", if words.is_empty() { "word" } else { &words });
        Setting {
            section: spec.heading.clone(),
            key: key.name.clone(),
            kind: if key.many {
                format!("{kind}, or a list")
            } else {
                kind
            },
            range: range(key).unwrap_or_default(),
            usual: key.usual().to_owned(),
            about: key.about.clone(),
            source: key.source.clone(),
        }
    };
    let own = |spec: &'static Spec| spec.own().iter().map(move |k| row(spec, k));
    Ok(keys.sections.iter().flat_map(own).collect())
}

/// The settings as a page in Markdown, a table for each section.
///
/// # Errors
/// As [`settings`].
pub fn page() -> Result<String, String> {
    let mut page = "# Settings of a scenario\n\nMade from the table that the program reads by; \
         `TRYCMD=overwrite cargo test --test scenario` writes it anew.\n"
        .to_owned();
    let mut heading = String::new();
    for s in settings()? {
        if s.section != heading {
            heading.clone_from(&s.section);
            page += &format!(
                "\n## `{heading}`\n\n| key | what | kind | range | unless said | source |\n|---|---|---|---|---|---|\n"
            );
        }
        let cells = [s.about, s.kind, s.range, s.usual, s.source].map(|c| c.replace('|', "or"));
        page += &format!("| `{}` | {} |\n", s.key, cells.join(" | "));
    }
    Ok(page)
}
