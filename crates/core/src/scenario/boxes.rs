//! Boxes: pattern, overrides, frames, followers, and whether it all fits.

mod sizes;

use toml::de::DeValue;

use super::Kind;
use super::combs;
use super::fit;
use super::layers;
use super::presets::{Pattern, Presets};
use super::reader::{Node, Reader, Section};
use crate::stand::{FramesAt, HiveBox, Layer};
use crate::units::format;
use sizes::{dimension, full_frame, side};

/// Settings of one box.
pub(super) const KEYS: &[&str] = &[
    "pattern",
    "length",
    "width",
    "inside_length",
    "inside_width",
    "depth",
    "walls",
    "frames",
    "pitch",
    "comb_length",
    "comb_height",
    "comb_thickness",
    "full_frame",
    "frames_at",
    "followers",
    "follower_thickness",
    "filler",
    "honey_frames",
];

/// A box and what was said of it.
pub(super) struct Boxed {
    /// The box.
    pub(super) hive_box: HiveBox,
    /// Whether the keeper said how many frames of honey hang in it.
    pub(super) honey_given: bool,
    /// Share of each frame that is honey, from the left, if the keeper said so frame by frame.
    pub(super) by_frame: Option<Vec<f64>>,
}

/// All boxes of a hive, bottom to top; `None` when one of them cannot be read, so that nothing is held against what is missing.
pub(super) fn boxes<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
    hive_walls: &[Layer],
    empty: bool,
) -> Option<Vec<Boxed>> {
    let Some(node) = hive.get("boxes") else {
        reader.error(
            &hive.span,
            format!("{} has no boxes", hive.path),
            Some("boxes = [\"ten-frame deep\", ...], bottom to top"),
            None,
        );
        return None;
    };
    let items = reader.list(&node);
    if items.is_empty() || items.len() > 8 {
        reader.error(
            &node.span,
            format!("{} has {} boxes", hive.path, items.len()),
            Some("1 to 8 boxes, bottom to top"),
            None,
        );
        return None;
    }
    // Every box is looked at before the first that fails counts.
    let all: Vec<Option<Boxed>> = items
        .into_iter()
        .enumerate()
        .map(|(i, mut item)| {
            item.path = format!("{}.box {}", hive.path, i + 1);
            one(reader, presets, item, hive_walls, empty)
        })
        .collect();
    all.into_iter().collect()
}

fn one<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    node: Node<'a>,
    hive_walls: &[Layer],
    empty: bool,
) -> Option<Boxed> {
    let section = match node.value {
        DeValue::String(_) => Section::empty(&node.path, node.span.clone()),
        _ => reader.section(&node, KEYS)?,
    };
    let named = match node.value {
        DeValue::String(_) => Some(node.clone()),
        _ => section.get("pattern"),
    };
    let pattern = match &named {
        Some(at) => Some(pattern(reader, presets, at)?),
        None => None,
    };
    let walls =
        layers::layers(reader, presets, &section, "walls").unwrap_or_else(|| hive_walls.to_vec());
    let two_walls = 2.0 * layers::thickness(&walls);
    let p = pattern.as_ref();
    let frames = match reader.count(&section, "frames", "frames") {
        Some(n) => Some(n),
        None if section.has("frames") => return None,
        None if empty => {
            reader.note(
                &section.path_of("frames"),
                None,
                "0",
                "an empty box stands for the heater test",
                Kind::Default,
            );
            Some(0)
        }
        None => p.and_then(|p| p.frames).inspect(|n| {
            reader.note(
                &section.path_of("frames"),
                None,
                n.to_string(),
                "as many as the pattern holds",
                Kind::Default,
            );
        }),
    };
    let pitch = match p.and_then(|p| p.pitch) {
        Some(pitch) if !section.has("pitch") => pitch,
        _ => reader.quantity_or(&section, "pitch", "pitch"),
    };
    let length = side(
        reader,
        &section,
        "length",
        "inside_length",
        two_walls,
        p.and_then(|p| p.length),
    );
    let by_count = p
        .and_then(|p| p.spare)
        .zip(p.and_then(|p| p.frames))
        .map(|(spare, n)| f64::from(n) * pitch + spare + two_walls);
    let width = side(
        reader,
        &section,
        "width",
        "inside_width",
        two_walls,
        p.and_then(|p| p.width).or(by_count),
    );
    if let (Some(w), Some(_)) = (
        width,
        by_count.filter(|_| !section.has("width") && !section.has("inside_width")),
    ) {
        reader.note(
            &section.path_of("width"),
            None,
            format::length(w),
            "frames x spacing + 25 mm spare + two walls, as in a ten-frame box",
            Kind::Default,
        );
    }
    let depth = dimension(
        reader,
        &section,
        "depth",
        "box_depth",
        p.and_then(|p| p.depth),
    );
    let some_frames = frames != Some(0);
    let comb = |reader: &mut Reader<'a>, key: &str, preset: Option<f64>| {
        if some_frames || section.has(key) {
            dimension(reader, &section, key, key, preset)
        } else {
            Some(preset.unwrap_or(0.0))
        }
    };
    let comb_length = comb(reader, "comb_length", p.and_then(|p| p.comb_length));
    let comb_height = comb(reader, "comb_height", p.and_then(|p| p.comb_height));
    let missing: Vec<&str> = [
        (
            "length",
            length.is_none() && !section.has("length") && !section.has("inside_length"),
        ),
        (
            "width",
            width.is_none() && !section.has("width") && !section.has("inside_width"),
        ),
        ("depth", depth.is_none() && !section.has("depth")),
        ("frames", frames.is_none()),
        (
            "comb_length",
            comb_length.is_none() && !section.has("comb_length"),
        ),
        (
            "comb_height",
            comb_height.is_none() && !section.has("comb_height"),
        ),
    ]
    .into_iter()
    .filter_map(|(key, gone)| gone.then_some(key))
    .collect();
    if !missing.is_empty() {
        let of = p.map_or_else(|| "a box without a pattern".to_owned(), |p| p.name.clone());
        let why = p.map_or_else(String::new, |p| format!(" ({})", p.source));
        reader.error(
            &node.span,
            format!("{of} needs your own measure of: {}", missing.join(", ")),
            Some("these settings in the box"),
            Some(format!(
                "measure the box and its comb with a ruler; length runs along the combs{why}"
            )),
        );
    }
    let (length, width, depth, frames, comb_length, comb_height) =
        (length?, width?, depth?, frames?, comb_length?, comb_height?);
    if let Some(p) = p {
        let note = p
            .note
            .as_ref()
            .map_or_else(|| p.source.clone(), |n| format!("{}; {n}", p.source));
        let used = format!("{} x {} x {} mm outside", mm(length), mm(width), mm(depth));
        reader.note(
            &section.path_of("pattern"),
            named.as_ref().map(Node::written),
            used,
            note,
            Kind::Converted,
        );
    }
    let comb_thickness = if some_frames {
        reader.quantity_or(&section, "comb_thickness", "comb_thickness")
    } else {
        0.025
    };
    let full_frame = full_frame(reader, &section, p, comb_length, comb_height, some_frames);
    let (honey_frames, by_frame) = combs::honey_frames(reader, &section, frames);
    let followers = reader
        .count(&section, "followers", "followers")
        .unwrap_or(0);
    let follower_thickness = if followers > 0 {
        reader.quantity_or(&section, "follower_thickness", "follower_thickness")
    } else {
        0.0
    };
    let filler = reader.text(&section, "filler").and_then(|(t, at)| {
        let key = layers::material(reader, presets, &at, t)?;
        reader.note(&at.path, Some(at.written()), key.clone(), "", Kind::Given);
        Some(key)
    });
    let frames_at = section.get("frames_at").and_then(|at| {
        let choices = [
            ("centre", FramesAt::Centre),
            ("center", FramesAt::Centre),
            ("left", FramesAt::Left),
            ("right", FramesAt::Right),
        ];
        let chosen = reader.choice_at(&at, &choices)?;
        reader.note(
            &at.path,
            Some(at.written()),
            format!("{chosen:?}").to_lowercase(),
            "",
            Kind::Given,
        );
        Some(chosen)
    });
    let hive_box = HiveBox {
        pattern: p.map_or_else(|| "own size".to_owned(), |p| p.name.clone()),
        length,
        width,
        depth,
        walls,
        frames,
        pitch,
        comb_length,
        comb_height,
        comb_thickness,
        full_frame,
        frames_at: frames_at.unwrap_or(FramesAt::Centre),
        followers,
        follower_thickness,
        filler,
        honey_frames,
    };
    fit::fits(reader, &section, &node, &hive_box);
    Some(Boxed {
        hive_box,
        honey_given: section.has("honey_frames"),
        by_frame,
    })
}

fn pattern(reader: &mut Reader<'_>, presets: &Presets, at: &Node<'_>) -> Option<Pattern> {
    let Some(text) = at.text() else {
        reader.error(
            &at.span,
            format!(
                "{} must be the name of a box pattern, but is {}",
                at.path,
                at.written()
            ),
            Some("a text in quotes"),
            None,
        );
        return None;
    };
    let found = presets.pattern(text);
    if found.is_none() {
        let help = presets.help_for_trade_name(text).unwrap_or_else(|| {
            presets.nearest_pattern(text).map_or_else(
                || format!("known: {}; ten-frame boxes of any other count of frames; or leave the pattern out and give the sizes", presets.pattern_names().join(", ")),
                |n| format!("did you mean \"{n}\"?"),
            )
        });
        reader.error(
            &at.span,
            format!("no box pattern is called \"{text}\""),
            Some("a box pattern"),
            Some(help),
        );
    }
    found
}

/// Millimetres with at most one decimal.
pub(super) fn mm(m: f64) -> String {
    format::trimmed(m * 1000.0, 1)
}
