//! One hive of the file: floor, boxes, covers, cladding, openings, colony or heater.

use toml::de::DeValue;

use super::Kind;
use super::boxes::{self, mm};
use super::colony;
use super::covers;
use super::feeds;
use super::layers;
use super::openings;
use super::presets::Presets;
use super::reader::{Node, Reader, Section};
use super::season::date_within;
use super::weighing;
use crate::stand::{Floor, Heater, HiveBox, Layer, Ledge, Stack};

/// What may be said of one hive or, under `every_hive`, of all.
pub(super) const SHARED_KEYS: &[&str] = &[
    "boxes",
    "walls",
    "finish",
    "floor",
    "inner_cover",
    "top",
    "cover",
    "wrap",
    "side_foam",
    "ledge",
    "entrance",
    "upper_hole",
    "top_notch",
];
/// What may be said of one hive only.
pub(super) const OWN_KEYS: &[&str] = &["name", "colony", "scale", "heater", "feed"];

/// What may be said of one hive.
pub(super) fn keys() -> Vec<&'static str> {
    [OWN_KEYS, SHARED_KEYS].concat()
}
pub(super) const FLOOR_KEYS: &[&str] = &["kind", "board", "under", "space"];
pub(super) const LEDGE_KEYS: &[&str] = &["shelf", "shelf_thickness", "filler", "filler_thickness"];
pub(super) const HEATER_KEYS: &[&str] = &["power", "box"];

/// Widths that differ by less are the same box, m.
const SAME: f64 = 0.002;

/// Reads one hive. `index` counts from 0.
pub(super) fn stack<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
    name: String,
) -> Option<Stack> {
    let heated = hive.has("heater");
    let walls = layers::layers_or(reader, presets, hive, "walls", "walls");
    let boxed = boxes::boxes(reader, presets, hive, &walls, heated && !hive.has("colony"));
    let floor = floor(reader, presets, hive);
    let top = covers::top(reader, presets, hive);
    let cover = covers::cover(reader, presets, hive);
    let cladding = covers::cladding(reader, presets, hive);
    let Some(boxed) = boxed else {
        // What hangs on the boxes would only be told wrongly: honey that does not fit, holes in boxes that are not there.
        unboxed(reader, hive);
        return None;
    };
    let mut all: Vec<HiveBox> = boxed.iter().map(|b| b.hive_box.clone()).collect();
    let ledge = ledge(reader, presets, hive, &all);
    let openings = openings::openings(reader, hive, &floor, &all);
    let heater = heater(reader, hive, all.len());
    if heated && let Some(at) = hive.get("heater").filter(|_| hive.has("colony")) {
        reader.error(
            &at.span,
            "a heater and a colony in one hive",
            Some("one of the two"),
            Some("the heater measures an empty box; take it or the colony out".to_owned()),
        );
    }
    if !heated && !hive.has("colony") {
        reader.warn(
            &hive.span,
            format!("{name} has neither colony nor heater: it only shelters its neighbour"),
            None,
        );
    }
    if hive.has("scale")
        && !hive.has("colony")
        && let Some(at) = hive.get("scale")
    {
        reader.warn(
            &at.span,
            "a scale reading of a hive without a colony is not used",
            None,
        );
    }
    if let Some(at) = hive.get("feed").filter(|_| !hive.has("colony")) {
        reader.error(
            &at.span,
            "feed in a hive without a colony",
            Some("[hive.colony], or no [[hive.feed]]"),
            None,
        );
    }
    let mut stack = Stack {
        name,
        floor,
        boxes: Vec::new(),
        top,
        cover,
        cladding,
        openings,
        ledge,
        colony: None,
        heater,
    };
    stack.boxes.clone_from(&all);
    stack.colony = colony::colony(reader, presets, hive, &stack, &boxed, &mut all);
    stack.boxes = all;
    (!stack.boxes.is_empty()).then_some(stack)
}

/// Checks of a hive whose boxes cannot be read what does not hang on them: the names of its settings, readings, weights and dates.
fn unboxed<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) {
    for (key, keys) in [
        ("colony", colony::KEYS),
        ("scale", weighing::SCALE_KEYS),
        ("heater", HEATER_KEYS),
        ("ledge", LEDGE_KEYS),
    ] {
        let table = |n: &Node<'_>| matches!(n.value, DeValue::Table(_));
        let Some(section) = hive
            .get(key)
            .filter(table)
            .and_then(|node| reader.section(&node, keys))
        else {
            continue;
        };
        let quantities: &[(&str, &str)] = match key {
            "colony" => &[
                ("pollen", "pollen"),
                ("club_stores", "club_stores"),
                ("honey", "honey"),
                ("bees", "bees"),
                ("counted_at", "counted_at"),
            ],
            "scale" => &[
                ("front", "reading"),
                ("back", "reading"),
                ("whole", "reading"),
                ("one_side", "reading"),
                ("tare", "tare"),
            ],
            _ => &[],
        };
        for (key, field) in quantities {
            reader.quantity(&section, key, field);
        }
        if key == "colony" {
            date_within(reader, &section, "dies", None);
        }
    }
    if hive.has("colony") {
        feeds::feeds(reader, hive, &[]);
    }
}

fn floor<'a>(reader: &mut Reader<'a>, presets: &Presets, hive: &Section<'a>) -> Floor {
    let kinds = [("solid", false), ("mesh", true), ("open mesh", true)];
    let node = hive.get("floor");
    let section = match &node {
        Some(n) if matches!(n.value, DeValue::Table(_)) => reader.section(n, FLOOR_KEYS),
        _ => None,
    }
    .unwrap_or_else(|| Section::empty(&hive.path_of("floor"), hive.span.clone()));
    let said = match &node {
        Some(n) if !matches!(n.value, DeValue::Table(_)) => Some(n.clone()),
        _ => section.get("kind"),
    };
    let mesh = match &said {
        Some(at) => {
            let mesh = reader.choice_at(at, &kinds).unwrap_or(false);
            reader.note(
                &at.path,
                Some(at.written()),
                if mesh { "open mesh" } else { "closed board" },
                "",
                Kind::Given,
            );
            mesh
        }
        None => {
            let source = reader.fields.get("floor").source;
            reader.note(
                &section.path_of("kind"),
                None,
                "closed board",
                source,
                Kind::Default,
            );
            false
        }
    };
    let space = reader.quantity_or(&section, "space", "floor_space");
    if mesh {
        for key in ["board", "under"] {
            if let Some(at) = section.get(key) {
                reader.error(
                    &at.span,
                    format!("an open mesh floor has no {key}"),
                    Some("kind = \"solid\" when a board closes the mesh"),
                    None,
                );
            }
        }
        return Floor::OpenMesh { space };
    }
    let mut board = layers::layers_or(reader, presets, &section, "board", "floor_board");
    board.extend(layers::layers(reader, presets, &section, "under").unwrap_or_default());
    Floor::Solid {
        layers: board,
        space,
    }
}

fn ledge<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
    boxes: &[HiveBox],
) -> Ledge {
    let step = boxes
        .windows(2)
        .map(|w| (w[1].width - w[0].width).abs())
        .fold(0.0, f64::max);
    let node = hive.get("ledge");
    let none = Ledge {
        shelf: false,
        shelf_thickness: 0.0,
        filler: None,
    };
    if step <= SAME {
        if let Some(at) = node.filter(|_| !boxes.is_empty()) {
            reader.warn(
                &at.span,
                "all boxes of this hive are equally wide: there is no ledge to close",
                None,
            );
        }
        return none;
    }
    let section = node
        .and_then(|n| reader.section(&n, LEDGE_KEYS))
        .unwrap_or_else(|| Section::empty(&hive.path_of("ledge"), hive.span.clone()));
    let shelf = reader.flag(&section, "shelf").unwrap_or(true);
    if let Some(at) = section.get("shelf") {
        let used = if shelf {
            "closed with a board"
        } else {
            "left open"
        };
        reader.note(&at.path, Some(at.written()), used, "", Kind::Given);
    }
    if !section.has("shelf") {
        let source = reader.fields.get("ledge_shelf").source;
        reader.note(
            &section.path_of("shelf"),
            None,
            format!("yes, under the {} mm overhang", mm(step)),
            source,
            Kind::Default,
        );
    }
    let shelf_thickness = if shelf {
        reader.quantity_or(&section, "shelf_thickness", "ledge_shelf")
    } else {
        0.0
    };
    let filler = reader
        .text(&section, "filler")
        .and_then(|(text, at)| filler(reader, presets, &section, text, &at, step));
    if filler.as_ref().is_some_and(|l| l.thickness > step + SAME)
        && let Some(at) = section
            .get("filler_thickness")
            .or_else(|| section.get("filler"))
    {
        reader.error(
            &at.span,
            format!(
                "the filler is thicker than the ledge is wide, {} mm",
                mm(step)
            ),
            Some(&format!("at most {} mm", mm(step))),
            None,
        );
    }
    Ledge {
        shelf,
        shelf_thickness,
        filler,
    }
}

/// Filler of the void below an overhang: "60 mm eps", or a material that fills it whole.
fn filler<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    section: &Section<'a>,
    text: &str,
    at: &Node<'a>,
    step: f64,
) -> Option<Layer> {
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return layers::layer(reader, presets, at);
    }
    let material = layers::material(reader, presets, at, text)?;
    if section.has("filler_thickness") {
        let thickness = reader.quantity(section, "filler_thickness", "ledge_filler")?;
        return Some(Layer {
            material,
            thickness,
        });
    }
    reader.note(
        &at.path,
        Some(at.written()),
        format!("{} mm of {material}", mm(step)),
        "fills the void under the overhang whole",
        Kind::Converted,
    );
    Some(Layer {
        material,
        thickness: step,
    })
}

fn heater<'a>(reader: &mut Reader<'a>, hive: &Section<'a>, boxes: usize) -> Option<Heater> {
    let node = hive.get("heater")?;
    let section = reader.section(&node, HEATER_KEYS)?;
    if !section.has("power") {
        reader.error(
            &node.span,
            "this heater has no power",
            Some("power = \"12.5 W\""),
            None,
        );
    }
    let power = reader.quantity(&section, "power", "heater_power")?;
    let given = openings::box_number(reader, &section, "box", boxes)?;
    if given.is_none() {
        reader.note(
            &section.path_of("box"),
            None,
            "box 1",
            "the lowest box unless said",
            Kind::Default,
        );
    }
    Some(Heater {
        power,
        in_box: given.unwrap_or(0),
    })
}
