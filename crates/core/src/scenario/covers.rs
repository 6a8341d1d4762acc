//! What lies on a hive and around it: inner cover, top insulation, outer cover, side foam, wrap, surfaces.

use toml::de::DeValue;

use super::layers;
use super::node::Section;
use super::presets::Finish;
use super::reader::Reader;
use crate::stand::{Cladding, Cover, Layer};

/// Inner cover and top insulation, from below.
pub(super) fn top<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) -> Vec<Layer> {
    let mut all = layers::layers_or(reader, hive, "inner_cover");
    all.extend(layers::layers_or(reader, hive, "top"));
    all
}

/// Absorptance and emissivity of a surface by its word, or of the default surface, noted.
fn finish<'a>(reader: &mut Reader<'a>, section: &Section<'a>, usual: &str) -> (f64, f64) {
    let presets = reader.presets;
    let used = |f: &Finish| {
        let (sun, emissivity) = (f.absorptance, f.emissivity);
        format!(
            "{}: takes {sun} of sunlight, emissivity {emissivity}",
            f.name
        )
    };
    let of = |f: &Finish| (f.absorptance, f.emissivity);
    let usual = presets.finish(usual);
    let Some(at) = section.get("finish") else {
        if let Some(f) = usual {
            reader.assumed(&section.path_of("finish"), used(f), &f.source);
        }
        return usual.map_or((0.7, 0.9), of);
    };
    let word = reader.word_at(&at, section.key("finish"));
    let found = word.and_then(|w| presets.finish(w));
    if let Some(f) = found {
        reader.converted(&at, used(f), &f.source);
    }
    found.or(usual).map_or((0.7, 0.9), of)
}

/// The outer cover.
pub(super) fn cover<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) -> Cover {
    let (section, said) = reader.table_or_value(hive, "cover", "kind");
    let flush = match &said {
        Some(at) => {
            let flush = reader.word_at(at, section.key("kind")) == Some("flush");
            reader.given(at, if flush { "flush" } else { "telescoping" });
            flush
        }
        None => {
            reader.usual(&section, "kind", "telescoping");
            false
        }
    };
    let row = match flush {
        true => reader.keys.behind("cover_flush"),
        false => section.key("layers"),
    };
    let built = layers::layers_or_of(reader, &section, "layers", row);
    let (overhang, skirt) = if flush {
        for key in ["overhang", "skirt"] {
            if let Some(at) = section.get(key) {
                reader.refuse(&at.span, "flush_cover_with", &[("key", &key)]);
            }
        }
        (0.0, 0.0)
    } else {
        let overhang = reader.quantity_or(&section, "overhang");
        (overhang, reader.quantity_or(&section, "skirt"))
    };
    let space = reader.quantity_or(&section, "space");
    let metal = |l: &Layer| ["steel", "aluminium"].contains(&l.material.as_str());
    let usual = match built.last().is_some_and(metal) {
        true => "weathered metal",
        false => "weathered wood",
    };
    let (absorptance, emissivity) = finish(reader, &section, usual);
    Cover {
        layers: built,
        overhang,
        skirt,
        space,
        absorptance,
        emissivity,
    }
}

/// Foam, wrap and surface of the four sides.
pub(super) fn cladding<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) -> Cladding {
    let mut sides: [Vec<Layer>; 4] = Default::default();
    let node = hive.get("side_foam");
    let by_side = |t: &toml::de::DeTable<'_>| !t.contains_key("material");
    if let Some(node) = node.filter(|n| n.value.as_table().is_some_and(by_side)) {
        if let Some(section) = reader.section(&node, "side_foam") {
            sides = ["front", "back", "left", "right"]
                .map(|key| layers::layers(reader, &section, key).unwrap_or_default());
        }
    } else if let Some(all) = layers::layers(reader, hive, "side_foam") {
        sides = [all.clone(), all.clone(), all.clone(), all];
    }
    let wrap = wrap(reader, hive);
    for side in &mut sides {
        side.extend(wrap.clone());
    }
    let usual = if wrap.is_empty() {
        "weathered wood"
    } else {
        "black"
    };
    let (absorptance, emissivity) = finish(reader, hive, usual);
    let [front, back, left, right] = sides;
    Cladding {
        front,
        back,
        left,
        right,
        absorptance,
        emissivity,
        wrapped: !wrap.is_empty(),
    }
}

/// The wrap: layers, or `true` for one layer of tar paper.
fn wrap<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) -> Vec<Layer> {
    let tar_paper = hive
        .get("wrap")
        .filter(|n| matches!(n.value, DeValue::Boolean(true)));
    let Some(node) = tar_paper else {
        return layers::layers(reader, hive, "wrap").unwrap_or_default();
    };
    let row = hive.key("wrap");
    reader.assumed_for(&node, row.usual(), &row.source);
    layers::default_layers(row.usual())
}
