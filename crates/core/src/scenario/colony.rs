//! The colony of a hive: bees by frames or weight, pollen, stores.

use super::boxes::Boxed;
use super::node::{Node, Section};
use super::reader::Reader;
use super::{feeds, honey_placement, stores, weighing};
use crate::stand::{Colony, HiveBox, Stack};
use crate::units::format;

/// Reads the colony; distributes the honey over `boxes`.
pub(super) fn colony<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    stack: &Stack,
    boxed: &[Boxed],
    boxes: &mut [HiveBox],
) -> Option<Colony> {
    let node = hive.get("colony")?;
    let section = reader.section(&node, "colony")?;
    let (bees, frames_of_bees) = bees(reader, &section, boxes).unzip();
    let pollen = reader.quantity_or(&section, "pollen");
    let club_stores = reader.quantity(&section, "club_stores");
    let scale = weighing::scale(reader, hive, stack);
    let stores = match &scale {
        Some(scale) => {
            let counted = boxed.iter().any(|b| b.honey_given);
            let bees_and_pollen = bees.unwrap_or(0.0) + pollen;
            stores::stores(
                reader,
                &section,
                hive,
                scale,
                counted,
                boxes,
                bees_and_pollen,
            )
        }
        // Stores hang on the scale; whether the honey is a weight does not.
        None => reader.quantity(&section, "honey"),
    };
    let dies = reader.day_within(&section, "dies", None);
    let feeds = feeds::feeds(reader, hive, boxes);
    let by_frame = boxed.iter().map(|b| b.by_frame.as_deref());
    Some(Colony {
        bees: bees?,
        frames_of_bees: frames_of_bees.flatten(),
        stores: stores?,
        pollen,
        scale: scale?,
        club_stores,
        placements: honey_placement::by_frame(by_frame, boxes),
        feeds,
        dies,
    })
}

/// Weight of the bees, kg, and the frames of bees if these were counted.
fn bees<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    boxes: &[HiveBox],
) -> Option<(f64, Option<f64>)> {
    match (section.get("frames_of_bees"), section.get("bees")) {
        (Some(_), Some(at)) => {
            reader.refuse(&at.span, "bees_twice", &[]);
            None
        }
        (None, None) => {
            reader.refuse(&section.span, "no_bees", &[("path", &section.path)]);
            None
        }
        (None, Some(at)) => {
            let b = &reader.presets.bees;
            let most = b.high * equivalent_frames(boxes, b.comb_area());
            let kg = reader.quantity(section, "bees")?;
            if kg > most && !boxes.is_empty() {
                let (kg, most) = (format::mass(kg), format::mass(most));
                reader.refuse(&at.span, "bees_do_not_fit", &[("kg", &kg), ("most", &most)]);
            }
            Some((kg, None))
        }
        (Some(at), None) => by_frames(reader, section, &at, boxes).map(|(kg, n)| (kg, Some(n))),
    }
}

/// Weight of the bees by the frames they cover, kg, and these.
fn by_frames<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    at: &Node<'a>,
    boxes: &[HiveBox],
) -> Option<(f64, f64)> {
    let b = &reader.presets.bees;
    let count = reader.number_at(at, section.key("frames_of_bees"));
    cold_count(reader, section);
    let given = reader.box_number(section, "counted_in_box", boxes.len())?;
    let area = |x: &HiveBox| x.comb_length * x.comb_height;
    // The first of the boxes with the largest comb.
    let larger =
        |best: Option<usize>, (i, x): (usize, &HiveBox)| match best.and_then(|b| boxes.get(b)) {
            Some(b) if area(x) <= area(b) => best,
            _ => Some(i),
        };
    let combs = boxes.iter().enumerate().filter(|(_, x)| x.frames > 0);
    let largest = combs.fold(None, larger);
    let Some(counted) = given.or(largest).and_then(|i| boxes.get(i)) else {
        if !boxes.is_empty() {
            reader.refuse(&at.span, "bees_without_frames", &[]);
        }
        return None;
    };
    let count = count?;
    let room = equivalent_frames(boxes, area(counted));
    if count > room + 1e-9 {
        let (n, most) = (format::trimmed(count, 2), format::trimmed(room, 1));
        match boxes {
            [only] => reader.refuse(
                &at.span,
                "frames_of_bees_in_box",
                &[("n", &n), ("most", &only.frames)],
            ),
            _ => reader.refuse(
                &at.span,
                "frames_of_bees_in_boxes",
                &[("n", &n), ("most", &most)],
            ),
        }
        return None;
    }
    let ratio = area(counted) / b.comb_area();
    let kg = count * b.per_frame * ratio;
    let per = if (ratio - 1.0).abs() < 0.005 {
        format!("{} kg per deep frame", b.per_frame)
    } else {
        let (ratio, pattern) = (format::trimmed(ratio, 2), &counted.pattern);
        format!(
            "{} kg per deep frame x {ratio} for the comb of {pattern}",
            b.per_frame
        )
    };
    let [low, high] = [b.low, b.high].map(|per| format::trimmed(per * ratio, 2));
    let note = format!("{per}, range {low}-{high} kg: {}", b.source);
    reader.converted(at, format::mass(kg), note);
    Some((kg, count))
}

fn cold_count<'a>(reader: &mut Reader<'a>, section: &Section<'a>) {
    let temp_c = reader.quantity_or(section, "counted_at");
    let Some(at) = section.get("counted_at") else {
        return;
    };
    let code = if temp_c < reader.presets.bees.cold_below {
        "counted_cold"
    } else if temp_c > 15.0 {
        "counted_warm"
    } else {
        return;
    };
    reader.caution(&at.span, code, &[("temp", &format::temperature(temp_c))]);
}

/// All frames of a hive as frames of one comb area.
fn equivalent_frames(boxes: &[HiveBox], area: f64) -> f64 {
    boxes
        .iter()
        .map(|b| f64::from(b.frames) * b.comb_length * b.comb_height / area)
        .sum()
}
