//! Layers of material as a keeper writes them: "19 mm pine", "R-5 xps", or a table with material and thickness.

use toml::de::DeValue;

use super::Kind;
use super::presets::Presets;
use super::reader::{Node, Reader, Section};
use crate::materials::MaterialError;
use crate::stand::Layer;
use crate::units::{self, Quantity, format};

/// Keys of a layer written as a table.
pub(super) const KEYS: &[&str] = &["material", "thickness", "r_value"];

/// Key into the material table for a keeper's word; notes a problem when there is none.
pub(super) fn material(
    reader: &mut Reader<'_>,
    presets: &Presets,
    node: &Node<'_>,
    words: &str,
) -> Option<String> {
    let plain = words
        .trim()
        .to_lowercase()
        .split_whitespace()
        .collect::<Vec<_>>()
        .join(" ");
    let key = presets
        .material_word(&plain)
        .map_or_else(|| plain.replace(' ', "-"), str::to_owned);
    // Whatever else it is called by: foam is sold under many names, and they insulate unlike.
    if plain == "insulation" || (plain.contains("foam") && reader.materials.get(&key).is_err()) {
        reader.error(
            &node.span,
            format!("\"{words}\" can be several materials"),
            Some("the kind of foam"),
            Some("write eps (white, of pressed beads), xps (smooth, one colour through), pir (yellow, faced with foil or paper) or pu; the label says which".to_owned()),
        );
        return None;
    }
    match reader.materials.get(&key) {
        Ok(m) => Some(m.key.clone()),
        Err(e) => {
            let help = match e {
                MaterialError::Unknown {
                    nearest: Some(n), ..
                } => format!("did you mean \"{n}\"?"),
                _ => format!(
                    "known: {}; or add your own with [[material]]",
                    reader.materials.keys().collect::<Vec<_>>().join(", ")
                ),
            };
            reader.error(
                &node.span,
                format!("no material is called \"{words}\""),
                Some("a material"),
                Some(help),
            );
            None
        }
    }
}

/// Thickness of a layer of a material that has a printed R-value: d = R k (steady conduction through a flat layer; R in m2K/W, k in W/mK,
/// d in m).
fn thickness_of_r(reader: &mut Reader<'_>, node: &Node<'_>, key: &str, r: f64) -> Option<f64> {
    let k = reader.materials.get(key).ok()?.conductivity;
    let d = r * k;
    let f = reader.fields.get("layer");
    reader.in_range(node, &f, d).then(|| {
        let path = node.path.clone();
        reader.note(
            &path,
            Some(node.written()),
            format!("{} of {key}", format::length(d)),
            format!("{} x {k} W/mK of the material table", format::r_value(r)),
            Kind::Converted,
        );
        d
    })
}

/// One layer.
pub(super) fn layer<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    node: &Node<'a>,
) -> Option<Layer> {
    match node.value {
        DeValue::String(text) => written(reader, presets, node, text),
        DeValue::Table(_) => {
            let section = reader.section(node, KEYS)?;
            table(reader, presets, node, &section)
        }
        _ => {
            reader.error(
                &node.span,
                format!(
                    "{} must be a layer of material, but is {}",
                    node.path,
                    node.written()
                ),
                Some("a layer such as \"19 mm pine\""),
                None,
            );
            None
        }
    }
}

fn table<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    node: &Node<'a>,
    section: &Section<'a>,
) -> Option<Layer> {
    let Some((word, at)) = reader.text(section, "material") else {
        if !section.has("material") {
            reader.error(
                &node.span,
                "this layer has no material",
                Some("material = \"...\""),
                None,
            );
        }
        return None;
    };
    let key = material(reader, presets, &at, word)?;
    match (section.get("thickness"), section.get("r_value")) {
        (Some(t), None) => {
            let thickness = reader.quantity_at(&t, "layer")?;
            reader.note_given(&t, thickness, Some(Quantity::Length));
            Some(Layer {
                material: key,
                thickness,
            })
        }
        (None, Some(r)) => {
            let text = r.text().unwrap_or_default();
            match units::parse(text, Quantity::RValue) {
                Ok(v) => thickness_of_r(reader, &r, &key, v).map(|thickness| Layer {
                    material: key,
                    thickness,
                }),
                Err(e) => {
                    reader.error(&r.span, e.to_string(), Some("an R-value"), e.hint());
                    None
                }
            }
        }
        (Some(_), Some(r)) => {
            reader.error(
                &r.span,
                "a layer has a thickness or an R-value, not both",
                Some("one of the two"),
                None,
            );
            None
        }
        (None, None) => {
            reader.error(
                &node.span,
                "this layer has no thickness",
                Some("thickness = \"25 mm\" or r_value = \"R-5\""),
                None,
            );
            None
        }
    }
}

/// "25 mm xps", "xps 25 mm", "R-5 xps", "xps R-5".
fn written<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    node: &Node<'a>,
    text: &str,
) -> Option<Layer> {
    let words: Vec<&str> = text.split_whitespace().collect();
    if words.len() < 2 || text.len() > 120 {
        let alone = words.len() == 1 && units::kind_of(text).is_none();
        let help = if alone {
            "its thickness is missing"
        } else {
            "write thickness and material"
        };
        reader.error(
            &node.span,
            format!("\"{text}\" is not a layer of material"),
            Some("a layer such as \"19 mm pine\" or \"R-5 xps\""),
            Some(help.to_owned()),
        );
        return None;
    }
    let mut first_error = None;
    for cut in (1..words.len()).rev() {
        let (a, b) = (words[..cut].join(" "), words[cut..].join(" "));
        for (size, name) in [(&a, &b), (&b, &a)] {
            for want in [Quantity::Length, Quantity::RValue] {
                match units::parse(size, want) {
                    Ok(v) => {
                        let key = material(reader, presets, node, name)?;
                        let thickness = if want == Quantity::RValue {
                            thickness_of_r(reader, node, &key, v)?
                        } else {
                            let f = reader.fields.get("layer");
                            if !reader.in_range(node, &f, v) {
                                return None;
                            }
                            reader.note(
                                &node.path,
                                Some(node.written()),
                                format!("{} of {key}", format::length(v)),
                                reader.conductivity_note(&key),
                                Kind::Given,
                            );
                            v
                        };
                        return Some(Layer {
                            material: key,
                            thickness,
                        });
                    }
                    Err(
                        e @ (units::UnitError::WrongKind { .. } | units::UnitError::Comma { .. }),
                    ) if want == Quantity::Length
                        && !matches!(
                            &e,
                            units::UnitError::WrongKind {
                                is: Quantity::RValue,
                                ..
                            }
                        ) =>
                    {
                        first_error = first_error.or(Some(e));
                    }
                    Err(_) => {}
                }
            }
        }
    }
    let (what, help) = first_error.map_or_else(
        || {
            (
                format!("\"{text}\" is not a layer of material"),
                Some("write thickness with its unit, then the material".to_owned()),
            )
        },
        |e| (e.to_string(), e.hint()),
    );
    reader.error(
        &node.span,
        what,
        Some("a layer such as \"19 mm pine\" or \"R-5 xps\""),
        help,
    );
    None
}

/// The layers under a key: one, a list, or `false` for none. `None` when the key is absent.
pub(super) fn layers<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    section: &Section<'a>,
    key: &str,
) -> Option<Vec<Layer>> {
    let node = section.get(key)?;
    if let DeValue::Boolean(false) = node.value {
        reader.note(
            &node.path,
            Some("false".to_owned()),
            "none",
            "",
            Kind::Given,
        );
        return Some(Vec::new());
    }
    let items = reader.list(&node);
    Some(
        items
            .iter()
            .filter_map(|n| layer(reader, presets, n))
            .collect(),
    )
}

/// The layers under a key, or the default of a field, noted as such.
pub(super) fn layers_or<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    section: &Section<'a>,
    key: &str,
    field: &str,
) -> Vec<Layer> {
    if let Some(given) = layers(reader, presets, section, key) {
        return given;
    }
    let f = reader.fields.get(field);
    let text = f.value.clone().unwrap_or_default();
    let used = if text.is_empty() {
        "none".to_owned()
    } else {
        text.clone()
    };
    reader.note(
        &section.path_of(key),
        None,
        used,
        f.source.clone(),
        Kind::Default,
    );
    default_layers(&text)
}

/// Layers of the table of fields: "19 mm softwood, 0.5 mm steel".
pub(super) fn default_layers(text: &str) -> Vec<Layer> {
    text.split(',')
        .filter_map(|part| {
            let (size, material) = part.trim().rsplit_once(' ')?;
            let thickness = units::parse(size, Quantity::Length).ok()?;
            Some(Layer {
                material: material.to_owned(),
                thickness,
            })
        })
        .collect()
}

/// Sum of the thicknesses, m.
pub(super) fn thickness(layers: &[Layer]) -> f64 {
    layers.iter().map(|l| l.thickness).sum()
}
