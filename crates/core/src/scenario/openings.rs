//! Openings to the outside air: entrance, upper hole, notch under the cover.

use std::f64::consts::PI;

use toml::de::DeValue;

use super::Kind;
use super::boxes::mm;
use super::layers;
use super::reader::{Node, Reader, Section};
use crate::stand::{Floor, HiveBox, Opening, OpeningPlace};
use crate::units::{self, format};

/// Keys of an upper hole written as a table.
pub(super) const HOLE_KEYS: &[&str] = &["size", "box", "above_box_bottom"];

/// Width and height of a rectangle or, for a single length, of a round hole of that diameter; m and m2.
struct Shape {
    width: f64,
    height: f64,
    area: f64,
}

/// Reads "75 x 9 mm" or "20 mm".
fn shape(reader: &mut Reader<'_>, node: &Node<'_>, fields: [&str; 2]) -> Option<Shape> {
    let Some(text) = node.text() else {
        let bare = matches!(node.value, DeValue::Integer(_) | DeValue::Float(_));
        let what = if bare {
            format!(
                "{} is the bare number {}; a length needs a unit",
                node.path,
                node.written()
            )
        } else {
            format!(
                "{} must be the size of an opening, but is {}",
                node.path,
                node.written()
            )
        };
        reader.error(
            &node.span,
            what,
            Some("\"75 x 9 mm\", \"20 mm\" for a round hole, or false for none"),
            None,
        );
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
            reader.error(
                &node.span,
                e.to_string(),
                Some("\"75 x 9 mm\", or \"20 mm\" for a round hole"),
                e.hint(),
            );
            return None;
        }
    };
    for (v, field) in sizes.iter().zip(fields) {
        let f = reader.fields.get(field);
        if !reader.in_range(node, &f, *v) {
            return None;
        }
    }
    let found = match sizes.as_slice() {
        [width, height] => Shape {
            width: *width,
            height: *height,
            area: width * height,
        },
        [d] => Shape {
            width: *d,
            height: *d,
            area: PI / 4.0 * d * d,
        },
        _ => return None,
    };
    reader.note(
        &node.path,
        Some(node.written()),
        format!(
            "{} x {} mm, {}",
            mm(found.width),
            mm(found.height),
            format::area(found.area)
        ),
        if sizes.len() == 1 {
            "a round hole of that diameter"
        } else {
            ""
        },
        Kind::Given,
    );
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
    let mut found = Vec::new();
    found.extend(entrance(reader, hive, board, space, boxes));
    found.extend(upper_hole(reader, hive, board + space, boxes));
    if let Some(node) = hive.get("top_notch").filter(|n| !is_none(n))
        && let Some(s) = shape(reader, &node, ["hole", "hole"])
    {
        if boxes.last().is_some_and(|b| s.width > b.width) {
            too_large(
                reader,
                &node,
                s.width,
                boxes.last().map_or(0.0, |b| b.width),
                "wide",
            );
        }
        found.push(Opening {
            place: OpeningPlace::Head,
            area: s.area,
            height: s.height,
            z: top + s.height / 2.0,
        });
    }
    found
}

fn is_none(node: &Node<'_>) -> bool {
    matches!(node.value, DeValue::Boolean(false))
        || node
            .text()
            .is_some_and(|t| t.trim().eq_ignore_ascii_case("none"))
}

fn too_large(reader: &mut Reader<'_>, node: &Node<'_>, size: f64, room: f64, way: &str) {
    reader.error(
        &node.span,
        format!(
            "an opening {} mm {way} is larger than the wall it is in, {} mm {way}",
            mm(size),
            mm(room)
        ),
        Some(&format!("at most {} mm", mm(room))),
        None,
    );
}

fn entrance<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    board: f64,
    space: f64,
    boxes: &[HiveBox],
) -> Option<Opening> {
    let given = hive.get("entrance");
    let s = match &given {
        Some(node) if is_none(node) => {
            if !hive.has("colony") {
                return None;
            }
            reader.warn(
                &node.span,
                "no lower entrance: the bees cannot clear their dead",
                Some("leave at least a small one open".to_owned()),
            );
            return None;
        }
        Some(node) => shape(reader, node, ["entrance_width", "entrance_height"])?,
        None => {
            let (w, h) = (
                reader.fields.get("entrance_width"),
                reader.fields.get("entrance_height"),
            );
            let (width, height) = (w.default(), h.default());
            reader.note(
                &hive.path_of("entrance"),
                None,
                format!(
                    "{} x {} mm, {}",
                    mm(width),
                    mm(height),
                    format::area(width * height)
                ),
                format!("{}; {}", w.source, h.source),
                Kind::Default,
            );
            Shape {
                width,
                height,
                area: width * height,
            }
        }
    };
    let inner = boxes
        .first()
        .map(|b| b.width - 2.0 * layers::thickness(&b.walls));
    if let (Some(node), Some(inner)) = (&given, inner) {
        if s.width > inner {
            too_large(reader, node, s.width, inner, "wide");
        }
        if s.height > space {
            reader.error(
                &node.span,
                format!(
                    "an entrance {} mm high does not fit under the frames: the floor leaves {} mm",
                    mm(s.height),
                    mm(space)
                ),
                Some(&format!(
                    "at most {} mm, or a deeper floor (floor.space)",
                    mm(space)
                )),
                None,
            );
        } else if s.height > 0.010 {
            reader.warn(
                &node.span,
                format!("mice get through an entrance {} mm high", mm(s.height)),
                Some(
                    "under 10 mm, or a guard, keeps them out (common practice, no source)"
                        .to_owned(),
                ),
            );
        }
    }
    Some(Opening {
        place: OpeningPlace::Floor,
        area: s.area,
        height: s.height,
        z: board + s.height.min(space) / 2.0,
    })
}

fn upper_hole<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    bottom: f64,
    boxes: &[HiveBox],
) -> Option<Opening> {
    let node = hive.get("upper_hole").filter(|n| !is_none(n))?;
    let (size, section) = match node.value {
        DeValue::Table(_) => {
            let section = reader.section(&node, HOLE_KEYS)?;
            let Some(size) = section.get("size") else {
                reader.error(
                    &node.span,
                    "this upper hole has no size",
                    Some("size = \"20 mm\""),
                    None,
                );
                return None;
            };
            (size, section)
        }
        _ => (node.clone(), Section::empty(&node.path, node.span.clone())),
    };
    let s = shape(reader, &size, ["hole", "hole"])?;
    let last = boxes.len().checked_sub(1)?;
    let index = box_number(reader, &section, "box", boxes.len())?.unwrap_or(last);
    let b = boxes.get(index)?;
    if !section.has("box") {
        reader.note(
            &section.path_of("box"),
            None,
            format!("box {}", index + 1),
            "in the top box",
            Kind::Default,
        );
    }
    let above = if section.has("above_box_bottom") {
        reader.quantity(&section, "above_box_bottom", "hole")?
    } else {
        b.depth / 2.0
    };
    if s.width > b.width - 2.0 * layers::thickness(&b.walls) {
        too_large(
            reader,
            &size,
            s.width,
            b.width - 2.0 * layers::thickness(&b.walls),
            "wide",
        );
    }
    if above + s.height / 2.0 > b.depth || above < s.height / 2.0 {
        too_large(
            reader,
            &size,
            s.height,
            2.0 * above.min(b.depth - above).max(0.0),
            "high",
        );
    }
    let below: f64 = boxes.iter().take(index).map(|b| b.depth).sum();
    Some(Opening {
        place: OpeningPlace::Box(index),
        area: s.area,
        height: s.height,
        z: bottom + below + above,
    })
}

/// A box number counted from 1 at the bottom, as an index; the outer `None` means a problem was noted.
pub(super) fn box_number<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    key: &str,
    boxes: usize,
) -> Option<Option<usize>> {
    let Some(node) = section.get(key) else {
        return Some(None);
    };
    let n = reader.count(section, key, "frames")? as usize;
    if n == 0 || n > boxes {
        reader.error(
            &node.span,
            format!("there is no box {n}: the hive has {boxes}"),
            Some(&format!("1 (lowest) to {boxes}")),
            None,
        );
        return None;
    }
    Some(Some(n - 1))
}
