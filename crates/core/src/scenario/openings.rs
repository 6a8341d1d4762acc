//! Openings to the outside air: entrance, upper hole, notch under the cover.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::keys::Key;
use super::layers;
use super::messages::Slots;
use super::node::{Node, Section};
use super::reader::Reader;
use super::values::mm;
use crate::stand::{Floor, HiveBox, Opening, OpeningPlace};
use crate::units::{self, format};

/// Width and height of a rectangle or, for a single length, of a round hole of that diameter; m and m2.
struct Shape {
    width: f64,
    height: f64,
    area: f64,
}

impl Shape {
    fn told(&self) -> String {
        let (width, height) = (mm(self.width), mm(self.height));
        format!("{width} x {height} mm, {}", format::area(self.area))
    }
}

/// Reads "75 x 9 mm" or "20 mm"; the rows have the ranges of width and height.
fn shape(reader: &mut Reader<'_>, node: &Node<'_>, rows: [&Key; 2]) -> Option<Shape> {
    let Some(text) = node.text() else {
        let code = if node.is_number() {
            "opening_without_unit"
        } else {
            "no_opening"
        };
        let (path, written) = (&node.path, node.written());
        reader.refuse(&node.span, code, &[("path", path), ("written", &written)]);
        return None;
    };
    let sizes = if text.to_lowercase().contains(['x', '×']) || text.contains(" by ") {
        units::parse_size(text, 2)
    } else {
        units::parse(text, units::Quantity::Length).map(|d| vec![d])
    };
    let sizes = match sizes {
        Ok(s) => s,
        Err(e) => {
            let help = e.hint().unwrap_or_default();
            reader.refuse(&node.span, "bad_opening", &[("what", &e), ("help", &help)]);
            return None;
        }
    };
    if !sizes
        .iter()
        .zip(rows)
        .all(|(v, row)| reader.in_range(node, row, *v))
    {
        return None;
    }
    let (width, height, area, note) = match sizes.as_slice() {
        [width, height] => (*width, *height, width * height, ""),
        [d] => (*d, *d, PI / 4.0 * d * d, "a round hole of that diameter"),
        _ => return None,
    };
    let found = Shape {
        width,
        height,
        area,
    };
    reader.given_because(node, found.told(), note);
    Some(found)
}

/// All openings of a hive. z = 0 is the underside of the floor.
pub(super) fn openings<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    floor: &Floor,
    boxes: &[HiveBox],
) -> Vec<Opening> {
    let (board, space) = match floor {
        Floor::Solid { layers, space } => (layers::thickness(layers), *space),
        Floor::OpenMesh { space } => (0.0, *space),
    };
    let top = board + space + boxes.iter().map(|b| b.depth).sum::<f64>();
    let entrance = entrance(reader, hive, board, space, boxes);
    let hole = upper_hole(reader, hive, board + space, boxes);
    let notch = top_notch(reader, hive, top, boxes);
    [entrance, hole, notch].into_iter().flatten().collect()
}

fn is_none(node: &Node<'_>) -> bool {
    let none = |t: &str| t.trim().eq_ignore_ascii_case("none");
    matches!(node.value, DeValue::Boolean(false)) || node.text().is_some_and(none)
}

/// Refuses an opening larger than its wall.
fn within(reader: &mut Reader<'_>, node: &Node<'_>, size: f64, room: f64, way: &str) {
    if size > room {
        too_large(reader, node, size, room, way);
    }
}

fn too_large(reader: &mut Reader<'_>, node: &Node<'_>, size: f64, room: f64, way: &str) {
    let slots: &Slots<'_> = &[("size", &mm(size)), ("room", &mm(room)), ("way", &way)];
    reader.refuse(&node.span, "opening_too_large", slots);
}

fn inside(b: &HiveBox) -> f64 {
    b.width - 2.0 * layers::thickness(&b.walls)
}

fn entrance<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    board: f64,
    space: f64,
    boxes: &[HiveBox],
) -> Option<Opening> {
    let (w, h) = (
        reader.keys.behind("entrance_width"),
        reader.keys.behind("entrance_height"),
    );
    let s = match hive.get("entrance") {
        Some(node) if is_none(&node) => {
            if hive.has("colony") {
                reader.caution(&node.span, "no_entrance", &[]);
            }
            return None;
        }
        Some(node) => {
            let s = shape(reader, &node, [w, h])?;
            if let Some(b) = boxes.first() {
                within(reader, &node, s.width, inside(b), "wide");
                high(reader, &node, s.height, space);
            }
            s
        }
        None => {
            let (width, height) = (w.default_value(), h.default_value());
            let area = width * height;
            let s = Shape {
                width,
                height,
                area,
            };
            let note = format!("{}; {}", w.source, h.source);
            reader.assumed(&hive.path_of("entrance"), s.told(), note);
            s
        }
    };
    Some(Opening {
        place: OpeningPlace::Floor,
        area: s.area,
        height: s.height,
        z: board + s.height.min(space) / 2.0,
    })
}

/// Whether an entrance is higher than the space on the floor, or than what keeps mice out.
fn high(reader: &mut Reader<'_>, node: &Node<'_>, height: f64, space: f64) {
    let told = mm(height);
    if height > space {
        let slots: &Slots<'_> = &[("height", &told), ("space", &mm(space))];
        reader.refuse(&node.span, "entrance_too_high", slots);
    } else if height > 0.010 {
        reader.caution(&node.span, "mice", &[("height", &told)]);
    }
}

fn upper_hole<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    bottom: f64,
    boxes: &[HiveBox],
) -> Option<Opening> {
    let node = hive.get("upper_hole").filter(|n| !is_none(n))?;
    let (size, section) = if node.is_table() {
        let section = reader.section(&node, "upper_hole")?;
        let Some(size) = section.get("size") else {
            reader.refuse(&node.span, "hole_without_size", &[]);
            return None;
        };
        (size, section)
    } else {
        (
            node.clone(),
            reader.silent("upper_hole", &node.path, &node.span),
        )
    };
    let hole = reader.keys.behind("hole");
    let s = shape(reader, &size, [hole, hole])?;
    let last = boxes.len().checked_sub(1)?;
    let index = reader
        .box_number(&section, "box", boxes.len())?
        .unwrap_or(last);
    let b = boxes.get(index)?;
    if !section.has("box") {
        reader.assumed(
            &section.path_of("box"),
            format!("box {}", index + 1),
            "in the top box",
        );
    }
    let above = match section.has("above_box_bottom") {
        true => reader.quantity(&section, "above_box_bottom")?,
        false => b.depth / 2.0,
    };
    within(reader, &size, s.width, inside(b), "wide");
    if above + s.height / 2.0 > b.depth || above < s.height / 2.0 {
        let room = 2.0 * above.min(b.depth - above).max(0.0);
        too_large(reader, &size, s.height, room, "high");
    }
    let below: f64 = boxes.iter().take(index).map(|b| b.depth).sum();
    Some(Opening {
        place: OpeningPlace::Box(index),
        area: s.area,
        height: s.height,
        z: bottom + below + above,
    })
}

fn top_notch<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    top: f64,
    boxes: &[HiveBox],
) -> Option<Opening> {
    let node = hive.get("top_notch").filter(|n| !is_none(n))?;
    let hole = reader.keys.behind("hole");
    let s = shape(reader, &node, [hole, hole])?;
    if let Some(b) = boxes.last() {
        within(reader, &node, s.width, b.width, "wide");
    }
    Some(Opening {
        place: OpeningPlace::Head,
        area: s.area,
        height: s.height,
        z: top + s.height / 2.0,
    })
}
