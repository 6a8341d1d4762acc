//! The colony of a hive: bees by frames or weight, pollen, stores.

use super::Kind;
use super::boxes::Boxed;
use super::openings::box_number;
use super::presets::Presets;
use super::reader::{Node, Reader, Section};
use super::season::date_within;
use super::{combs, feeds, stores, weighing};
use crate::stand::{Colony, HiveBox, Stack};
use crate::units::format;

pub(super) const KEYS: &[&str] = &[
    "frames_of_bees",
    "counted_at",
    "counted_in_box",
    "bees",
    "honey",
    "pollen",
    "club_stores",
    "dies",
];

/// Reads the colony; distributes the honey over `boxes`.
pub(super) fn colony<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
    stack: &Stack,
    boxed: &[Boxed],
    boxes: &mut [HiveBox],
) -> Option<Colony> {
    let node = hive.get("colony")?;
    let section = reader.section(&node, KEYS)?;
    let (bees, frames_of_bees) = bees(reader, presets, &section, &node, boxes);
    let pollen = reader.quantity_or(&section, "pollen", "pollen");
    let club_stores = reader.quantity(&section, "club_stores", "club_stores");
    let scale = weighing::scale(reader, presets, hive, stack);
    let stores = scale.as_ref().and_then(|scale| {
        stores::stores(
            reader,
            presets,
            &section,
            hive,
            &node,
            scale,
            boxed,
            boxes,
            bees.unwrap_or(0.0) + pollen,
        )
    });
    if scale.is_none() {
        // Stores hang on the scale; whether the honey is a weight does not.
        reader.quantity(&section, "honey", "honey");
    }
    let dies = date_within(reader, &section, "dies", None);
    let feeds = feeds::feeds(reader, hive, boxes);
    let hung = combs::hung(boxed, boxes);
    Some(Colony {
        bees: bees?,
        frames_of_bees,
        stores: stores?,
        pollen,
        scale: scale?,
        club_stores,
        hung,
        feeds,
        dies,
    })
}

fn bees<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    section: &Section<'a>,
    node: &Node<'a>,
    boxes: &[HiveBox],
) -> (Option<f64>, Option<f64>) {
    let b = &presets.bees;
    match (section.get("frames_of_bees"), section.get("bees")) {
        (Some(_), Some(at)) => {
            reader.error(
                &at.span,
                "bees are given as frames or as a weight, not both",
                Some("one of the two"),
                None,
            );
            (None, None)
        }
        (None, None) => {
            reader.error(
                &node.span,
                format!("{} does not say how many bees there are", node.path),
                Some("frames_of_bees = 9, or bees = \"2.8 kg\""),
                Some("look down between the combs at dusk, at 5-10 C, and count the seams full of bees in quarters".to_owned()),
            );
            (None, None)
        }
        (None, Some(at)) => {
            let kg = reader.quantity(section, "bees", "bees");
            let most = b.high * equivalent_frames(boxes, b.comb_area());
            if let Some(kg) = kg.filter(|kg| *kg > most && !boxes.is_empty()) {
                reader.error(
                    &at.span,
                    format!("{} of bees cannot sit on these frames", format::mass(kg)),
                    Some(&format!("at most {}", format::mass(most))),
                    None,
                );
            }
            (kg, None)
        }
        (Some(at), None) => {
            let count = reader.number_at(&at, "frames_of_bees");
            cold_count(reader, presets, section);
            let largest = boxes.iter().enumerate().filter(|(_, x)| x.frames > 0).fold(
                None,
                |best: Option<(usize, f64)>, (i, x)| {
                    let area = x.comb_length * x.comb_height;
                    if best.is_none_or(|(_, a)| area > a) {
                        Some((i, area))
                    } else {
                        best
                    }
                },
            );
            let Some(given) = box_number(reader, section, "counted_in_box", boxes.len()) else {
                return (None, None);
            };
            let Some(counted) = given
                .and_then(|i| boxes.get(i))
                .or_else(|| largest.and_then(|(i, _)| boxes.get(i)))
            else {
                if !boxes.is_empty() {
                    reader.error(
                        &at.span,
                        "bees on frames, but no box has frames",
                        Some("frames in a box"),
                        None,
                    );
                }
                return (None, None);
            };
            let Some(count) = count else {
                return (None, None);
            };
            let area = counted.comb_length * counted.comb_height;
            let room = equivalent_frames(boxes, area);
            if count > room + 1e-9 {
                let [only] = boxes else {
                    reader.error(
                        &at.span,
                        format!("{} frames of bees cannot sit in these boxes: they hold {} frames of that size", format::trimmed(count, 2), format::trimmed(room, 1)),
                        Some(&format!("at most {}", format::trimmed(room, 1))),
                        Some("count the seams full of bees in quarters".to_owned()),
                    );
                    return (None, None);
                };
                reader.error(
                    &at.span,
                    format!(
                        "{} frames of bees cannot sit in a box of {} frames",
                        format::trimmed(count, 2),
                        only.frames
                    ),
                    Some(&format!("at most {}", only.frames)),
                    Some("count the seams full of bees in quarters".to_owned()),
                );
                return (None, None);
            }
            let ratio = area / b.comb_area();
            let kg = count * b.per_frame * ratio;
            let per = if (ratio - 1.0).abs() < 0.005 {
                format!("{} kg per deep frame", b.per_frame)
            } else {
                format!(
                    "{} kg per deep frame x {} for the comb of {}",
                    b.per_frame,
                    format::trimmed(ratio, 2),
                    counted.pattern
                )
            };
            let range = format!(
                "range {}-{} kg",
                format::trimmed(b.low * ratio, 2),
                format::trimmed(b.high * ratio, 2)
            );
            reader.note(
                &at.path,
                Some(at.written()),
                format::mass(kg),
                format!("{per}, {range}: {}", b.source),
                Kind::Converted,
            );
            (Some(kg), Some(count))
        }
    }
}

fn cold_count<'a>(reader: &mut Reader<'a>, presets: &Presets, section: &Section<'a>) {
    let at = section.get("counted_at");
    let temp_c = reader.quantity_or(section, "counted_at", "counted_at");
    let Some(at) = at else { return };
    if temp_c < presets.bees.cold_below {
        reader.warn(
            &at.span,
            format!("bees counted at {}: the cluster has drawn together and the count may be low by half or more", format::temperature(temp_c)),
            Some("count again at dusk at 5-10 C; a cluster shrinks up to five-fold from 18 to -10 C".to_owned()),
        );
    } else if temp_c > 15.0 {
        reader.warn(
            &at.span,
            format!(
                "bees counted at {}: many are out or spread over more combs than they fill",
                format::temperature(temp_c)
            ),
            Some("count at dusk or dawn at 5-10 C".to_owned()),
        );
    }
}

/// All frames of a hive as frames of one comb area.
fn equivalent_frames(boxes: &[HiveBox], area: f64) -> f64 {
    boxes
        .iter()
        .map(|b| f64::from(b.frames) * b.comb_length * b.comb_height / area)
        .sum()
}
