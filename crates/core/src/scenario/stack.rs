//! One hive of the file: floor, boxes, covers, cladding, openings, colony or heater.

use super::boxes;
use super::colony;
use super::covers;
use super::feeds;
use super::layers;
use super::node::{Node, Section};
use super::openings;
use super::reader::Reader;
use super::values::mm;
use crate::stand::{Floor, Heater, HiveBox, Layer, Ledge, Stack};

/// Widths that differ by less are the same box, m.
const SAME: f64 = 0.002;

/// Reads one hive.
pub(super) fn stack<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    name: String,
) -> Option<Stack> {
    let has_colony = hive.has("colony");
    let walls = layers::layers_or(reader, hive, "walls");
    let boxed = boxes::boxes(reader, hive, &walls, hive.has("heater") && !has_colony);
    let floor = floor(reader, hive);
    let top = covers::top(reader, hive);
    let cover = covers::cover(reader, hive);
    let cladding = covers::cladding(reader, hive);
    let Some(boxed) = boxed else {
        // What hangs on the boxes would only be told wrongly: honey that does not fit, holes in boxes that are not there.
        unboxed(reader, hive);
        return None;
    };
    let mut all: Vec<HiveBox> = boxed.iter().map(|b| b.hive_box.clone()).collect();
    let ledge = ledge(reader, hive, &all);
    let openings = openings::openings(reader, hive, &floor, &all);
    let heater = heater(reader, hive, all.len());
    match hive.get("heater") {
        Some(at) if has_colony => reader.refuse(&at.span, "heater_and_colony", &[]),
        None if !has_colony => reader.caution(&hive.span, "only_shelter", &[("name", &name)]),
        _ => {}
    }
    if let Some(at) = hive.get("scale").filter(|_| !has_colony) {
        reader.caution(&at.span, "scale_without_colony", &[]);
    }
    if let Some(at) = hive.get("feed").filter(|_| !has_colony) {
        reader.refuse(&at.span, "feed_without_colony", &[]);
    }
    let mut stack = Stack {
        name,
        floor,
        boxes: all.clone(),
        top,
        cover,
        cladding,
        openings,
        ledge,
        colony: None,
        heater,
    };
    stack.colony = colony::colony(reader, hive, &stack, &boxed, &mut all);
    stack.boxes = all;
    Some(stack)
}

/// Checks of a hive whose boxes cannot be read what does not hang on them: the names of its settings, readings, weights and dates.
fn unboxed<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) {
    for key in ["colony", "scale", "heater", "ledge"] {
        let node = hive.get(key).filter(Node::is_table);
        let Some(section) = node.and_then(|n| reader.section(&n, key)) else {
            continue;
        };
        let quantities: &[&str] = match key {
            "colony" => &["pollen", "club_stores", "honey", "bees", "counted_at"],
            "scale" => &["front", "back", "whole", "one_side", "tare"],
            _ => &[],
        };
        for key in quantities {
            reader.quantity(&section, key);
        }
        if key == "colony" {
            reader.day_within(&section, "dies", None);
        }
    }
    if hive.has("colony") {
        feeds::feeds(reader, hive, &[]);
    }
}

fn floor<'a>(reader: &mut Reader<'a>, hive: &Section<'a>) -> Floor {
    let (section, said) = reader.table_or_value(hive, "floor", "kind");
    let mesh = match &said {
        Some(at) => {
            let word = reader.word_at(at, section.key("kind"));
            let mesh = word.is_some_and(|w| w != "solid");
            reader.given(at, if mesh { "open mesh" } else { "closed board" });
            mesh
        }
        None => {
            reader.usual(&section, "kind", "closed board");
            false
        }
    };
    let space = reader.quantity_or(&section, "space");
    if mesh {
        for key in ["board", "under"] {
            if let Some(at) = section.get(key) {
                reader.refuse(&at.span, "mesh_with_board", &[("key", &key)]);
            }
        }
        return Floor::OpenMesh { space };
    }
    let mut board = layers::layers_or(reader, &section, "board");
    board.extend(layers::layers(reader, &section, "under").unwrap_or_default());
    Floor::Solid {
        layers: board,
        space,
    }
}

fn ledge<'a>(reader: &mut Reader<'a>, hive: &Section<'a>, boxes: &[HiveBox]) -> Ledge {
    let steps = boxes.windows(2).map(|w| (w[1].width - w[0].width).abs());
    let step = steps.fold(0.0, f64::max);
    let node = hive.get("ledge");
    if step <= SAME {
        if let Some(at) = node {
            reader.caution(&at.span, "no_ledge", &[]);
        }
        return Ledge {
            shelf: false,
            shelf_thickness: 0.0,
            filler: None,
        };
    }
    let section = reader.section_or_empty(hive, "ledge");
    let shelf = reader.flag(&section, "shelf").unwrap_or(true);
    let thickness = section.key("shelf_thickness");
    match section.get("shelf") {
        Some(at) => reader.given(
            &at,
            if shelf {
                "closed with a board"
            } else {
                "left open"
            },
        ),
        None => {
            let used = format!("yes, under the {} mm overhang", mm(step));
            reader.assumed(&section.path_of("shelf"), used, &thickness.source);
        }
    }
    let shelf_thickness = match shelf {
        true => reader.quantity_or(&section, "shelf_thickness"),
        false => 0.0,
    };
    let filler = reader
        .text(&section, "filler")
        .and_then(|(text, at)| filler(reader, &section, text, &at, step));
    if filler.as_ref().is_some_and(|l| l.thickness > step + SAME) {
        let key = if section.has("filler_thickness") {
            "filler_thickness"
        } else {
            "filler"
        };
        reader.refuse(
            &section.span_of(key),
            "thick_ledge_filler",
            &[("step", &mm(step))],
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
    section: &Section<'a>,
    text: &str,
    at: &Node<'a>,
    step: f64,
) -> Option<Layer> {
    if text.starts_with(|c: char| c.is_ascii_digit()) {
        return layers::layer(reader, at);
    }
    let material = layers::material(reader, at, text)?;
    let thickness = if section.has("filler_thickness") {
        reader.quantity(section, "filler_thickness")?
    } else {
        let used = format!("{} mm of {material}", mm(step));
        reader.converted(at, used, "fills the void under the overhang whole");
        step
    };
    Some(Layer {
        material,
        thickness,
    })
}

fn heater<'a>(reader: &mut Reader<'a>, hive: &Section<'a>, boxes: usize) -> Option<Heater> {
    let node = hive.get("heater")?;
    let section = reader.section(&node, "heater")?;
    if !section.has("power") {
        reader.refuse(&node.span, "heater_without_power", &[]);
    }
    let power = reader.quantity(&section, "power")?;
    let given = reader.box_number(&section, "box", boxes)?;
    if given.is_none() {
        reader.assumed(
            &section.path_of("box"),
            "box 1",
            "the lowest box unless said",
        );
    }
    Some(Heater {
        power,
        in_box: given.unwrap_or(0),
    })
}
