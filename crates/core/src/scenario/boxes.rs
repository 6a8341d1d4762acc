//! Boxes: pattern, overrides, frames, followers.

use toml::de::DeValue;

use super::fit;
use super::layers;
use super::messages::Slots;
use super::node::{Node, Section};
use super::presets::Pattern;
use super::reader::Reader;
use super::values::mm;
use crate::stand::{FramesAt, HiveBox, Layer};
use crate::units::format;

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
    hive: &Section<'a>,
    hive_walls: &[Layer],
    empty: bool,
) -> Option<Vec<Boxed>> {
    let Some(node) = hive.get("boxes") else {
        reader.refuse(&hive.span, "no_boxes", &[("hive", &hive.path)]);
        return None;
    };
    let items = node.list();
    if items.is_empty() || items.len() > 8 {
        reader.refuse(
            &node.span,
            "count_of_boxes",
            &[("hive", &hive.path), ("n", &items.len())],
        );
        return None;
    }
    // Every box is looked at before the first that fails counts.
    let numbered = items.into_iter().zip(1..);
    let all: Vec<Option<Boxed>> = numbered
        .map(|(mut item, n)| {
            item.path = format!("{}.box {n}", hive.path);
            one(reader, item, hive_walls, empty)
        })
        .collect();
    all.into_iter().collect()
}

fn one<'a>(
    reader: &mut Reader<'a>,
    node: Node<'a>,
    hive_walls: &[Layer],
    empty: bool,
) -> Option<Boxed> {
    let (section, named) = if node.text().is_some() {
        (
            reader.silent("box", &node.path, &node.span),
            Some(node.clone()),
        )
    } else {
        let section = reader.section(&node, "box")?;
        let named = section.get("pattern");
        (section, named)
    };
    let p = match &named {
        Some(at) => pattern(reader, at)?,
        None => Pattern::default(),
    };
    let walls = layers::layers(reader, &section, "walls").unwrap_or_else(|| hive_walls.to_vec());
    let two_walls = 2.0 * layers::thickness(&walls);
    let frames = frames(reader, &section, &p, empty)?;
    let pitch = match p.pitch {
        Some(pitch) if !section.has("pitch") => pitch,
        _ => reader.quantity_or(&section, "pitch"),
    };
    let length = side(
        reader,
        &section,
        ["length", "inside_length"],
        two_walls,
        p.length,
    );
    let by_count = p
        .spare
        .zip(p.frames)
        .map(|(spare, n)| f64::from(n) * pitch + spare + two_walls);
    let width = side(
        reader,
        &section,
        ["width", "inside_width"],
        two_walls,
        p.width.or(by_count),
    );
    let counted = by_count.is_some() && !section.has("width") && !section.has("inside_width");
    if let Some(w) = width.filter(|_| counted) {
        let note = "frames x spacing + 25 mm spare + two walls, as in a ten-frame box";
        reader.assumed(&section.path_of("width"), format::length(w), note);
    }
    let depth = dimension(reader, &section, "depth", p.depth);
    let some_frames = frames != Some(0);
    let mut comb = |key: &str, preset: Option<f64>| {
        let usual = if some_frames {
            preset
        } else {
            Some(preset.unwrap_or(0.0))
        };
        dimension(reader, &section, key, usual)
    };
    let comb_length = comb("comb_length", p.comb_length);
    let comb_height = comb("comb_height", p.comb_height);
    let known = [
        ("length", length.is_some()),
        ("width", width.is_some()),
        ("depth", depth.is_some()),
        ("frames", frames.is_some()),
        ("comb_length", comb_length.is_some()),
        ("comb_height", comb_height.is_some()),
    ];
    refuse_missing(reader, &section, &p, &known);
    let (length, width, depth, frames) = (length?, width?, depth?, frames?);
    let (comb_length, comb_height) = (comb_length?, comb_height?);
    if let Some(at) = &named {
        let note = p
            .note
            .as_ref()
            .map_or_else(|| p.source.clone(), |n| format!("{}; {n}", p.source));
        let used = format!("{} x {} x {} mm outside", mm(length), mm(width), mm(depth));
        reader.derived(&section.path_of("pattern"), Some(&at.written()), used, note);
    }
    let comb_thickness = match some_frames {
        true => reader.quantity_or(&section, "comb_thickness"),
        false => 0.025,
    };
    let full_frame = full_frame(
        reader,
        &section,
        &p,
        [comb_length, comb_height],
        some_frames,
    );
    let (honey_frames, by_frame) = honey_frames(reader, &section, frames);
    let followers = reader.count(&section, "followers").unwrap_or(0);
    let follower_thickness = match followers {
        0 => 0.0,
        _ => reader.quantity_or(&section, "follower_thickness"),
    };
    let filler = layers::named(reader, &section, "filler");
    let hive_box = HiveBox {
        pattern: if named.is_some() {
            p.name
        } else {
            "own size".to_owned()
        },
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
        frames_at: frames_at(reader, &section).unwrap_or(FramesAt::Centre),
        followers,
        follower_thickness,
        filler,
        honey_frames,
    };
    fit::fits(reader, &section, &hive_box);
    Some(Boxed {
        hive_box,
        honey_given: section.has("honey_frames"),
        by_frame,
    })
}

fn pattern(reader: &mut Reader<'_>, at: &Node<'_>) -> Option<Pattern> {
    let presets = reader.presets;
    let Some(text) = at.text() else {
        let (path, written) = (&at.path, at.written());
        reader.refuse(
            &at.span,
            "no_pattern_name",
            &[("path", path), ("written", &written)],
        );
        return None;
    };
    let found = presets.pattern(text);
    if found.is_none() {
        let near = || {
            presets
                .nearest_pattern(text)
                .map(|n| format!("did you mean \"{n}\"?"))
        };
        let help = presets.help_for_trade_name(text).or_else(near).unwrap_or_else(|| {
            let known = presets.pattern_names().join(", ");
            format!("known: {known}; ten-frame boxes of any other count of frames; or leave the pattern out and give the sizes")
        });
        reader.refuse(
            &at.span,
            "no_such_pattern",
            &[("text", &text), ("help", &help)],
        );
    }
    found
}

/// How many frames are in a box; the outer `None` when what was written cannot be read.
fn frames<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    p: &Pattern,
    empty: bool,
) -> Option<Option<u32>> {
    if section.has("frames") {
        return reader.count(section, "frames").map(Some);
    }
    let (frames, note) = match p.frames {
        _ if empty => (Some(0), "an empty box stands for the heater test"),
        n => (n, "as many as the pattern holds"),
    };
    if let Some(n) = frames {
        reader.assumed(&section.path_of("frames"), n.to_string(), note);
    }
    Some(frames)
}

/// Refuses a box that lacks sizes that neither its pattern nor the keeper gives.
fn refuse_missing(
    reader: &mut Reader<'_>,
    section: &Section<'_>,
    p: &Pattern,
    known: &[(&str, bool)],
) {
    let said = |key: &str| {
        let inside = format!("inside_{key}");
        section.has(key) || (section.spec.find(&inside).is_some() && section.has(&inside))
    };
    let missing = known.iter().filter(|(key, there)| !there && !said(key));
    let missing: Vec<&str> = missing.map(|(key, _)| *key).collect();
    if missing.is_empty() {
        return;
    }
    let (of, why) = if p.name.is_empty() {
        ("a box without a pattern", String::new())
    } else {
        (p.name.as_str(), format!(" ({})", p.source))
    };
    let missing = missing.join(", ");
    reader.refuse(
        &section.span,
        "box_lacks",
        &[("of", &of), ("missing", &missing), ("why", &why)],
    );
}

/// An outside size, given outside or inside, or from the pattern.
fn side<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    [outside, inside]: [&str; 2],
    two_walls: f64,
    preset: Option<f64>,
) -> Option<f64> {
    if !section.has(inside) {
        return dimension(reader, section, outside, preset);
    }
    if section.has(outside) {
        let slots: &Slots<'_> = &[("outside", &outside), ("inside", &inside)];
        reader.refuse(&section.span_of(inside), "outside_and_inside", slots);
        return None;
    }
    let v = reader.quantity(section, inside)? + two_walls;
    let note = format!("{inside} + two walls");
    reader.derived(&section.path_of(outside), None, format::length(v), note);
    Some(v)
}

/// A size that is written, or that of the pattern.
fn dimension<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
    preset: Option<f64>,
) -> Option<f64> {
    match section.has(key) {
        true => reader.quantity(section, key),
        false => preset,
    }
}

/// Honey of a full frame: written, that of the pattern for its own comb, or by comb area at 0.30 kg/dm2.
fn full_frame<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    p: &Pattern,
    [length, height]: [f64; 2],
    some: bool,
) -> f64 {
    let key = "full_frame";
    if section.has(key) {
        return reader.quantity(section, key).unwrap_or(0.0);
    }
    if !some {
        return 0.0;
    }
    let own_comb = !section.has("comb_length") && !section.has("comb_height");
    let (kg, note) = if let Some(kg) = p.full_frame.filter(|_| own_comb) {
        let note = "honey of one full frame of this pattern, seen 15 % either way";
        (kg, note.to_owned())
    } else {
        let sigma = reader.keys.behind("honey_per_area");
        let note = format!(
            "0.30 kg per dm2 of comb, both faces (0.25-0.34): {}",
            sigma.source
        );
        (sigma.default_value() * length * height, note)
    };
    reader.assumed(&section.path_of(key), format::mass(kg), note);
    kg
}

/// Frames of honey of a box: `honey_frames = 5`, or a list with the share of each frame, from the left. Gives their sum and
/// the list.
fn honey_frames<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    frames: u32,
) -> (f64, Option<Vec<f64>>) {
    let key = "honey_frames";
    let list = |n: &Node<'_>| matches!(n.value, DeValue::Array(_));
    let Some(node) = section.get(key).filter(list) else {
        return (reader.number(section, key).unwrap_or(0.0), None);
    };
    let items = node.list();
    if items.len() != frames as usize {
        let (path, n) = (&node.path, items.len());
        reader.refuse(
            &node.span,
            "count_of_shares",
            &[("path", path), ("n", &n), ("frames", &frames)],
        );
        return (0.0, None);
    }
    let row = reader.keys.behind("honey_frame");
    let shares: Vec<f64> = items
        .iter()
        .filter_map(|n| reader.number_at(n, row))
        .collect();
    if shares.len() != items.len() {
        return (0.0, None);
    }
    let sum: f64 = shares.iter().sum();
    let written: Vec<String> = shares.iter().map(|s| format::trimmed(*s, 2)).collect();
    let written = format!("[{}]", written.join(", "));
    let used = format!("{} full frames", format::trimmed(sum, 2));
    let note = "share of each frame, from the left; bees reach only what hangs where they sit";
    reader.derived(&node.path, Some(&written), used, note);
    (sum, Some(shares))
}

fn frames_at<'a>(reader: &mut Reader<'a>, section: &Section<'a>) -> Option<FramesAt> {
    let at = section.get("frames_at")?;
    let (place, used) = match reader.word_at(&at, section.key("frames_at"))? {
        "left" => (FramesAt::Left, "left"),
        "right" => (FramesAt::Right, "right"),
        _ => (FramesAt::Centre, "centre"),
    };
    reader.given(&at, used);
    Some(place)
}
