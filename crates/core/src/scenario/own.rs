//! What a scenario sets for itself: level, own materials, colony parameters.

use toml::de::DeValue;

use super::Kind;
use super::reader::{Reader, Section};
use crate::colony::parameters;
use crate::materials::MaterialOverride;
use crate::materials::Materials;
use crate::units::format;

pub(super) const MATERIAL_KEYS: &[&str] = &["name", "conductivity", "density", "specific_heat"];

/// "9 in 10", "90 %" or 0.9.
pub(super) fn level<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> f64 {
    let f = reader.fields.get("level");
    let Some(node) = root.get("level") else {
        reader.note(
            "level",
            None,
            "9 winters in 10",
            f.source.clone(),
            Kind::Default,
        );
        return f.default();
    };
    let value = match node.text() {
        None => {
            return reader
                .number(root, "level", "level")
                .unwrap_or_else(|| f.default());
        }
        Some(text) => share(text),
    };
    match value {
        Some(v) if reader.in_range(&node, &f, v) => {
            let used = format!("{} winters in 100", format::trimmed(v * 100.0, 1));
            reader.note("level", Some(node.written()), used, "", Kind::Converted);
            v
        }
        Some(_) => f.default(),
        None => {
            reader.error(
                &node.span,
                format!("{} is no share of winters", node.written()),
                Some("\"9 in 10\", \"90 %\" or 0.9"),
                None,
            );
            f.default()
        }
    }
}

fn share(text: &str) -> Option<f64> {
    if let Some(percent) = text.trim().strip_suffix('%') {
        return percent
            .trim()
            .parse::<f64>()
            .ok()
            .map(|p| p / 100.0)
            .filter(|p| p.is_finite());
    }
    let (a, b) = text.split_once(" in ").or_else(|| text.split_once('/'))?;
    let (a, b): (f64, f64) = (a.trim().parse().ok()?, b.trim().parse().ok()?);
    (b > 0.0).then_some(a / b).filter(|p| p.is_finite())
}

/// The scenario's own materials; they join the reader's table.
pub(super) fn materials<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> Vec<MaterialOverride> {
    let Some(node) = root.get("material") else {
        return Vec::new();
    };
    let mut all: Vec<MaterialOverride> = Vec::new();
    for item in reader.list(&node) {
        let Some(section) = reader.section(&item, MATERIAL_KEYS) else {
            continue;
        };
        let Some((name, at)) = reader.text(&section, "name") else {
            if !section.has("name") {
                reader.error(
                    &item.span,
                    "this material has no name",
                    Some("name = \"...\""),
                    None,
                );
            }
            continue;
        };
        let key = name
            .to_lowercase()
            .split_whitespace()
            .collect::<Vec<_>>()
            .join("-");
        if all.iter().any(|m| m.key == key) {
            reader.error(
                &at.span,
                format!("the material \"{name}\" is given twice"),
                Some("one [[material]] of each name"),
                None,
            );
            continue;
        }
        let known = reader
            .materials
            .get(&key)
            .ok()
            .map(|m| (m.conductivity, m.density, m.specific_heat));
        let mut value = |key: &str, usual: Option<f64>| {
            if !section.has(key) && usual.is_none() {
                reader.error(
                    &item.span,
                    format!("the new material \"{name}\" has no {key}"),
                    Some(&format!("{key} = \"...\"")),
                    None,
                );
            }
            if section.has(key) {
                reader.quantity(&section, key, key)
            } else {
                usual
            }
        };
        let values = (
            value("conductivity", known.map(|k| k.0)),
            value("density", known.map(|k| k.1)),
            value("specific_heat", known.map(|k| k.2)),
        );
        if let (Some(conductivity), Some(density), Some(specific_heat)) = values {
            all.push(MaterialOverride {
                key,
                conductivity,
                density,
                specific_heat,
            });
        }
    }
    match Materials::with_overrides(&all) {
        Ok(table) => reader.materials = table,
        Err(e) => reader.error(&node.span, e.to_string(), None, None),
    }
    all
}

/// Colony parameters the scenario overrides.
pub(super) fn parameters<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> Vec<(String, f64)> {
    let Some(node) = root.get("parameters") else {
        return Vec::new();
    };
    let table = match parameters::table() {
        Ok(t) => t,
        Err(e) => {
            reader.error(&node.span, e.to_string(), None, None);
            return Vec::new();
        }
    };
    let keys: Vec<&str> = table.iter().map(|p| p.key.as_str()).collect();
    let Some(section) = reader.section(&node, &keys) else {
        return Vec::new();
    };
    let mut all = Vec::new();
    for p in &table {
        let Some(at) = section.get(&p.key) else {
            continue;
        };
        let v = match at.value {
            DeValue::Integer(i) => i.to_string().parse::<f64>().ok(),
            DeValue::Float(x) => x.as_str().replace('_', "").parse::<f64>().ok(),
            _ => None,
        };
        let limits = format!("{} to {} {}", p.low, p.high, p.unit);
        match v {
            Some(v) if (p.low..=p.high).contains(&v) => {
                let used = format!("{v} {}", p.unit);
                reader.note(
                    &at.path,
                    Some(at.written()),
                    used,
                    format!("{}, default {}: {}", p.name, p.default, p.source),
                    Kind::Given,
                );
                all.push((p.key.clone(), v));
            }
            Some(_) => reader.error(
                &at.span,
                format!(
                    "{} = {} is outside what the sources give for {}",
                    at.path,
                    at.written(),
                    p.name
                ),
                Some(&limits),
                Some(format!("the source: {}", p.source)),
            ),
            None => reader.error(
                &at.span,
                format!(
                    "{} must be a plain number in {}, but is {}",
                    at.path,
                    p.unit,
                    at.written()
                ),
                Some(&limits),
                None,
            ),
        }
    }
    all
}
