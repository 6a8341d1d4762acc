//! What a scenario sets for itself: level, own materials, colony parameters.

use super::messages::Slots;
use super::node::Section;
use super::reader::Reader;
use crate::colony::parameters;
use crate::hive::comb_table;
use crate::materials::{MaterialOverride, Materials};
use crate::units::format;

/// "9 in 10", "90 %" or 0.9.
pub(super) fn level<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> f64 {
    let row = root.key("level");
    let Some(node) = root.get("level") else {
        reader.usual(root, "level", "9 winters in 10");
        return row.default_value();
    };
    let Some(text) = node.text() else {
        return reader
            .number(root, "level")
            .unwrap_or_else(|| row.default_value());
    };
    match share(text) {
        Some(v) if reader.in_range(&node, row, v) => {
            reader.converted(
                &node,
                format!("{} winters in 100", format::trimmed(v * 100.0, 1)),
                "",
            );
            return v;
        }
        Some(_) => {}
        None => reader.refuse(&node.span, "no_share", &[("written", &node.written())]),
    }
    row.default_value()
}

fn share(text: &str) -> Option<f64> {
    let number = |t: &str| t.trim().parse::<f64>().ok();
    let share = match text.trim().strip_suffix('%') {
        Some(percent) => number(percent)? / 100.0,
        None => {
            let (a, b) = text.split_once(" in ").or_else(|| text.split_once('/'))?;
            number(a)? / number(b).filter(|b| *b > 0.0)?
        }
    };
    Some(share).filter(|p| p.is_finite())
}

/// Most materials of a scenario's own (a choice).
const MOST_MATERIALS: usize = 100;

/// The scenario's own materials; they join the reader's table.
pub(super) fn materials<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> Vec<MaterialOverride> {
    let Some(node) = root.get("material") else {
        return Vec::new();
    };
    let mut all: Vec<MaterialOverride> = Vec::new();
    for item in reader.few(node.list(), MOST_MATERIALS) {
        let section = reader.section(&item, "material");
        all.extend(section.and_then(|s| material(reader, &s, &all)));
    }
    match Materials::with_overrides(&all) {
        Ok(table) => reader.materials = table,
        Err(e) => reader.refuse(
            &node.span,
            "bad_value",
            &[("what", &e), ("expected", &""), ("help", &"")],
        ),
    }
    all
}

fn material<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    before: &[MaterialOverride],
) -> Option<MaterialOverride> {
    let Some((name, at)) = reader.text(section, "name") else {
        if !section.has("name") {
            reader.refuse(&section.span, "material_without_name", &[]);
        }
        return None;
    };
    let lower = name.to_lowercase();
    let key = lower.split_whitespace().collect::<Vec<_>>().join("-");
    if before.iter().any(|m| m.key == key) {
        reader.refuse(&at.span, "material_twice", &[("name", &name)]);
        return None;
    }
    let known = reader.materials.get(&key).ok();
    let known = known.map(|m| [m.conductivity, m.density, m.specific_heat]);
    let mut value = |key: &str, usual: Option<f64>| {
        if section.has(key) {
            return reader.quantity(section, key);
        }
        if usual.is_none() {
            reader.refuse(
                &section.span,
                "material_lacks",
                &[("name", &name), ("key", &key)],
            );
        }
        usual
    };
    let (conductivity, density, specific_heat) = (
        value("conductivity", known.map(|k| k[0])),
        value("density", known.map(|k| k[1])),
        value("specific_heat", known.map(|k| k[2])),
    );
    Some(MaterialOverride {
        key,
        conductivity: conductivity?,
        density: density?,
        specific_heat: specific_heat?,
    })
}

/// What a scenario may set for itself: the colony's parameters, then those of combs and seams.
pub(super) fn own() -> Result<Vec<Own>, String> {
    let colony = parameters::table().map_err(|e| e.to_string())?;
    let combs = comb_table().map_err(|e| e.to_string())?;
    let of_colony = colony.into_iter().map(|p| Own {
        key: p.key,
        name: p.name,
        unit: p.unit,
        limits: [p.low, p.high],
        usual: p.default,
        source: p.source,
    });
    let of_combs = combs.into_iter().map(|(key, p)| Own {
        key,
        name: p.what,
        unit: p.unit,
        limits: p.range,
        usual: p.value,
        source: p.source,
    });
    Ok(of_colony.chain(of_combs).collect())
}

/// A parameter a scenario may set.
pub(super) struct Own {
    pub key: String,
    pub name: String,
    pub unit: String,
    pub limits: [f64; 2],
    pub usual: f64,
    pub source: String,
}

/// Parameters the scenario overrides.
pub(super) fn parameters<'a>(reader: &mut Reader<'a>, root: &Section<'a>) -> Vec<(String, f64)> {
    let section = reader.section_or_empty(root, "parameters");
    // The table of keys holds these rows too: it could not be read if this one could not.
    let table = own().unwrap_or_default();
    let mut all = Vec::new();
    for p in table {
        let Some(at) = section.get(&p.key) else {
            continue;
        };
        let [low, high] = p.limits;
        let limits = format!("{low} to {high} {}", p.unit);
        let code = match at.number() {
            Some(v) if (low..=high).contains(&v) => {
                let note = format!("{}, default {}: {}", p.name, p.usual, p.source);
                reader.given_because(&at, format!("{v} {}", p.unit), &note);
                all.push((p.key, v));
                continue;
            }
            Some(_) => "parameter_out_of_range",
            None => "no_parameter",
        };
        let written = at.written();
        let slots: &Slots<'_> = &[
            ("path", &at.path),
            ("written", &written),
            ("name", &p.name),
            ("unit", &p.unit),
            ("limits", &limits),
            ("source", &p.source),
        ];
        reader.refuse(&at.span, code, slots);
    }
    all
}
