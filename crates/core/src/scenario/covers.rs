//! What lies on a hive and around it: inner cover, top insulation, outer cover, side foam, wrap, surfaces.

use toml::de::DeValue;

use super::Kind;
use super::layers;
use super::presets::Presets;
use super::reader::{Reader, Section};
use crate::stand::{Cladding, Cover, Layer};

pub(super) const COVER_KEYS: &[&str] = &["kind", "layers", "overhang", "skirt", "space", "finish"];

pub(super) const SIDE_KEYS: &[&str] = &["front", "back", "left", "right"];

pub(super) fn top<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
) -> Vec<Layer> {
    let mut all = layers::layers_or(reader, presets, hive, "inner_cover", "inner_cover");
    all.extend(layers::layers_or(reader, presets, hive, "top", "top"));
    all
}

/// Absorptance and emissivity of a surface by its word, or of the default surface, noted.
fn finish<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    section: &Section<'a>,
    usual: &str,
) -> (f64, f64) {
    let used = |f: &super::presets::Finish| {
        format!(
            "{}: takes {} of sunlight, emissivity {}",
            f.name, f.absorptance, f.emissivity
        )
    };
    let usual = presets
        .finish(usual)
        .map_or((0.7, 0.9, String::new(), String::new()), |f| {
            (f.absorptance, f.emissivity, used(f), f.source.clone())
        });
    let Some(at) = section.get("finish") else {
        reader.note(
            &section.path_of("finish"),
            None,
            usual.2,
            usual.3,
            Kind::Default,
        );
        return (usual.0, usual.1);
    };
    let choices: Vec<(&str, usize)> = presets
        .finishes()
        .iter()
        .enumerate()
        .map(|(i, f)| (f.name.as_str(), i))
        .collect();
    match reader
        .choice_at(&at, &choices)
        .and_then(|i| presets.finishes().get(i))
    {
        Some(f) => {
            reader.note(
                &at.path,
                Some(at.written()),
                used(f),
                f.source.clone(),
                Kind::Converted,
            );
            (f.absorptance, f.emissivity)
        }
        None => (usual.0, usual.1),
    }
}

pub(super) fn cover<'a>(reader: &mut Reader<'a>, presets: &Presets, hive: &Section<'a>) -> Cover {
    let node = hive.get("cover");
    let section = match &node {
        Some(n) if matches!(n.value, DeValue::Table(_)) => reader.section(n, COVER_KEYS),
        _ => None,
    }
    .unwrap_or_else(|| Section::empty(&hive.path_of("cover"), hive.span.clone()));
    let said = match &node {
        Some(n) if !matches!(n.value, DeValue::Table(_)) => Some(n.clone()),
        _ => section.get("kind"),
    };
    let flush = match &said {
        Some(at) => {
            let flush = reader
                .choice_at(at, &[("telescoping", false), ("flush", true)])
                .unwrap_or(false);
            reader.note(
                &at.path,
                Some(at.written()),
                if flush { "flush" } else { "telescoping" },
                "",
                Kind::Given,
            );
            flush
        }
        None => {
            let source = reader.fields.get("cover").source;
            reader.note(
                &section.path_of("kind"),
                None,
                "telescoping",
                source,
                Kind::Default,
            );
            false
        }
    };
    let field = if flush {
        "cover_flush"
    } else {
        "cover_telescoping"
    };
    let built = layers::layers_or(reader, presets, &section, "layers", field);
    let (overhang, skirt) = if flush {
        for key in ["overhang", "skirt"] {
            if let Some(at) = section.get(key) {
                reader.error(
                    &at.span,
                    format!("a flush cover has no {key}"),
                    Some("kind = \"telescoping\""),
                    None,
                );
            }
        }
        (0.0, 0.0)
    } else {
        (
            reader.quantity_or(&section, "overhang", "overhang"),
            reader.quantity_or(&section, "skirt", "skirt"),
        )
    };
    let space = reader.quantity_or(&section, "space", "cover_space");
    let metal = built
        .last()
        .is_some_and(|l| ["steel", "aluminium"].contains(&l.material.as_str()));
    let usual = if metal {
        "weathered metal"
    } else {
        "weathered wood"
    };
    let (absorptance, emissivity) = finish(reader, presets, &section, usual);
    Cover {
        layers: built,
        overhang,
        skirt,
        space,
        absorptance,
        emissivity,
    }
}

pub(super) fn cladding<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
) -> Cladding {
    let mut sides: [Vec<Layer>; 4] = Default::default();
    if let Some(node) = hive.get("side_foam") {
        if matches!(node.value, DeValue::Table(t) if !t.contains_key("material")) {
            if let Some(section) = reader.section(&node, SIDE_KEYS) {
                for (side, key) in sides.iter_mut().zip(SIDE_KEYS) {
                    *side = layers::layers(reader, presets, &section, key).unwrap_or_default();
                }
            }
        } else {
            let all = layers::layers(reader, presets, hive, "side_foam").unwrap_or_default();
            sides = [all.clone(), all.clone(), all.clone(), all];
        }
    }
    let wrap = wrap(reader, presets, hive);
    for side in &mut sides {
        side.extend(wrap.clone());
    }
    let usual = if wrap.is_empty() {
        "weathered wood"
    } else {
        "black"
    };
    let (absorptance, emissivity) = finish(reader, presets, hive, usual);
    let [front, back, left, right] = sides;
    Cladding {
        front,
        back,
        left,
        right,
        absorptance,
        emissivity,
    }
}

/// The wrap: layers, or `true` for one layer of tar paper.
fn wrap<'a>(reader: &mut Reader<'a>, presets: &Presets, hive: &Section<'a>) -> Vec<Layer> {
    if let Some(node) = hive.get("wrap")
        && matches!(node.value, DeValue::Boolean(true))
    {
        let f = reader.fields.get("wrap");
        let text = f.value.clone().unwrap_or_default();
        reader.note(
            &node.path,
            Some("true".to_owned()),
            text.clone(),
            f.source.clone(),
            Kind::Default,
        );
        return layers::default_layers(&text);
    }
    layers::layers(reader, presets, hive, "wrap").unwrap_or_default()
}
