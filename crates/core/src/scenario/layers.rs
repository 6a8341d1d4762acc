//! Layers of material as a keeper writes them: "19 mm pine", "R-5 xps", or a table with material and thickness.

use toml::de::DeValue;

use super::keys::Key;
use super::node::{Node, Section};
use super::reader::Reader;
use crate::materials::MaterialError;
use crate::stand::Layer;
use crate::units::{self, Quantity, UnitError, format};

/// Most layers of a wall, a top or a cover (a choice).
const MOST_LAYERS: usize = 20;

/// Key into the material table for a keeper's word; notes a problem when there is none.
pub(super) fn material(reader: &mut Reader<'_>, node: &Node<'_>, words: &str) -> Option<String> {
    let lower = words.trim().to_lowercase();
    let plain = lower.split_whitespace().collect::<Vec<_>>().join(" ");
    let key = reader
        .presets
        .material_word(&plain)
        .map_or_else(|| plain.replace(' ', "-"), str::to_owned);
    let found = reader.materials.get(&key).map(|m| m.key.clone());
    // Whatever else it is called by: foam is sold under many names, and they insulate unlike.
    if plain == "insulation" || (plain.contains("foam") && found.is_err()) {
        reader.refuse(&node.span, "which_foam", &[("words", &words)]);
        return None;
    }
    let near = match found {
        Ok(key) => return Some(key),
        Err(MaterialError::Unknown { nearest, .. }) => nearest,
        Err(_) => None,
    };
    let code = if near.is_some() {
        "material_misspelt"
    } else {
        "no_such_material"
    };
    let known = reader.materials.keys().collect::<Vec<_>>().join(", ");
    let near = near.unwrap_or_default();
    reader.refuse(
        &node.span,
        code,
        &[("words", &words), ("near", &near), ("known", &known)],
    );
    None
}

/// A material under a key, noted.
pub(super) fn named<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
) -> Option<String> {
    let (text, at) = reader.text(section, key)?;
    let material = material(reader, &at, text)?;
    reader.given(&at, &material);
    Some(material)
}

/// Thickness of a layer of a material that has a printed R-value: d = R k (steady conduction through a flat layer; R in m2K/W, k in W/mK,
/// d in m).
fn thickness_of_r(reader: &mut Reader<'_>, node: &Node<'_>, key: &str, r: f64) -> Option<f64> {
    let k = reader.materials.get(key).ok()?.conductivity;
    let d = r * k;
    let row = reader.keys.section("layer").key("thickness");
    reader.in_range(node, row, d).then(|| {
        let used = format!("{} of {key}", format::length(d));
        reader.converted(
            node,
            used,
            format!("{} x {k} W/mK of the material table", format::r_value(r)),
        );
        d
    })
}

/// One layer.
pub(super) fn layer<'a>(reader: &mut Reader<'a>, node: &Node<'a>) -> Option<Layer> {
    match node.value {
        DeValue::String(text) => written(reader, node, text),
        DeValue::Table(_) => {
            let section = reader.section(node, "layer")?;
            table(reader, &section)
        }
        _ => {
            let (path, written) = (&node.path, node.written());
            reader.refuse(
                &node.span,
                "no_layer",
                &[("path", path), ("written", &written)],
            );
            None
        }
    }
}

fn table<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<Layer> {
    let Some((word, at)) = reader.text(section, "material") else {
        if !section.has("material") {
            reader.refuse(&section.span, "layer_without_material", &[]);
        }
        return None;
    };
    let material = material(reader, &at, word)?;
    let thickness = match (section.get("thickness"), section.get("r_value")) {
        (Some(_), None) => reader.quantity(section, "thickness")?,
        (None, Some(r)) => match units::parse(r.text().unwrap_or_default(), Quantity::RValue) {
            Ok(v) => thickness_of_r(reader, &r, &material, v)?,
            Err(e) => {
                let (expected, help) = (Quantity::RValue.word(), e.hint().unwrap_or_default());
                reader.refuse(
                    &r.span,
                    "bad_value",
                    &[("what", &e), ("expected", &expected), ("help", &help)],
                );
                return None;
            }
        },
        (Some(_), Some(r)) => {
            reader.refuse(&r.span, "layer_twice_thick", &[]);
            return None;
        }
        (None, None) => {
            reader.refuse(&section.span, "layer_without_thickness", &[]);
            return None;
        }
    };
    Some(Layer {
        material,
        thickness,
    })
}

/// "25 mm xps", "xps 25 mm", "R-5 xps", "xps R-5".
fn written<'a>(reader: &mut Reader<'a>, node: &Node<'a>, text: &str) -> Option<Layer> {
    let words: Vec<&str> = text.split_whitespace().collect();
    if words.len() < 2 || text.len() > 120 {
        let alone = words.len() == 1 && units::kind_of(text).is_none();
        let code = if alone {
            "layer_of_one_word"
        } else {
            "layer_unread"
        };
        reader.refuse(&node.span, code, &[("text", &text)]);
        return None;
    }
    let mut first_error = None;
    for cut in (1..words.len()).rev() {
        let (a, b) = (words[..cut].join(" "), words[cut..].join(" "));
        for (size, name) in [(&a, &b), (&b, &a)] {
            for want in [Quantity::Length, Quantity::RValue] {
                match units::parse(size, want) {
                    Ok(v) => return sized(reader, node, name, want, v),
                    Err(e) if want == Quantity::Length && of_another_kind(&e) => {
                        first_error = first_error.or(Some(e));
                    }
                    Err(_) => {}
                }
            }
        }
    }
    match first_error {
        None => reader.refuse(&node.span, "layer_without_unit", &[("text", &text)]),
        Some(e) => {
            let help = e.hint().unwrap_or_default();
            reader.refuse(
                &node.span,
                "layer_of_other_kind",
                &[("what", &e), ("help", &help)],
            );
        }
    }
    None
}

/// Whether a size was read, but of a kind that no layer has, or with a decimal comma.
fn of_another_kind(e: &UnitError) -> bool {
    match e {
        UnitError::WrongKind { is, .. } => *is != Quantity::RValue,
        UnitError::Comma { .. } => true,
        _ => false,
    }
}

/// A layer of the material of that name, as thick as it is or with that R-value.
fn sized(
    reader: &mut Reader<'_>,
    node: &Node<'_>,
    name: &str,
    of: Quantity,
    v: f64,
) -> Option<Layer> {
    let material = material(reader, node, name)?;
    if of == Quantity::RValue {
        let thickness = thickness_of_r(reader, node, &material, v)?;
        return Some(Layer {
            material,
            thickness,
        });
    }
    let row = reader.keys.section("layer").key("thickness");
    if !reader.in_range(node, row, v) {
        return None;
    }
    let conducts = reader.materials.get(&material);
    let note = conducts.map_or_else(
        |_| String::new(),
        |m| format!("{} W/mK: {}", m.conductivity, m.source),
    );
    reader.given_because(node, format!("{} of {material}", format::length(v)), &note);
    Some(Layer {
        material,
        thickness: v,
    })
}

/// The layers under a key: one, a list, or `false` for none. `None` when the key is absent.
pub(super) fn layers<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
) -> Option<Vec<Layer>> {
    let node = section.get(key)?;
    if let DeValue::Boolean(false) = node.value {
        reader.given(&node, "none");
        return Some(Vec::new());
    }
    let items = reader.few(node.list(), MOST_LAYERS);
    Some(items.iter().filter_map(|n| layer(reader, n)).collect())
}

/// The layers under a key, or its default, noted as such.
pub(super) fn layers_or<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
) -> Vec<Layer> {
    layers_or_of(reader, section, key, section.key(key))
}

/// As [`layers_or`], with the default of another row.
pub(super) fn layers_or_of<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
    row: &Key,
) -> Vec<Layer> {
    if let Some(given) = layers(reader, section, key) {
        return given;
    }
    let used = if row.usual().is_empty() {
        "none"
    } else {
        row.usual()
    };
    reader.assumed(&section.path_of(key), used, &row.source);
    default_layers(row.usual())
}

/// Layers of the table of keys: "19 mm softwood, 0.5 mm steel".
pub(super) fn default_layers(text: &str) -> Vec<Layer> {
    text.split(',')
        .filter_map(|part| {
            let (size, material) = part.trim().rsplit_once(' ')?;
            let thickness = units::parse(size, Quantity::Length).ok()?;
            let material = material.to_owned();
            Some(Layer {
                material,
                thickness,
            })
        })
        .collect()
}

/// Sum of the thicknesses, m.
pub(super) fn thickness(layers: &[Layer]) -> f64 {
    layers.iter().map(|l| l.thickness).sum()
}
