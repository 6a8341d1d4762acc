//! The colony of a hive: bees by frames or weight; stores by frames, weight or scale; pollen; how the hive is weighed.

use super::Kind;
use super::boxes::Boxed;
use super::model::{Colony, HiveBox, Lift, Scale, Stack, TareSource};
use super::openings::box_number;
use super::presets::Presets;
use super::reader::{Node, Reader, Section};
use super::tare;
use crate::units::format;

const KEYS: &[&str] = &[
    "frames_of_bees",
    "counted_at",
    "counted_in_box",
    "bees",
    "honey",
    "pollen",
    "club_stores",
];
const SCALE_KEYS: &[&str] = &["front", "back", "whole", "one_side", "lift", "tare"];

/// A scale is read to about this, kg (a luggage scale, two lifts).
const SCALE_ERROR: f64 = 2.0;
/// A count of honey frames is good to this share.
const COUNT_ERROR: f64 = 0.15;
/// Error of a tare the keeper weighed, kg: wood takes up and loses water.
const OWN_TARE_ERROR: f64 = 1.0;

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
    let scale = scale(reader, presets, hive, stack)?;
    let stores = stores(
        reader,
        presets,
        &section,
        hive,
        &node,
        &scale,
        boxed,
        boxes,
        bees.unwrap_or(0.0) + pollen,
    );
    Some(Colony {
        bees: bees?,
        frames_of_bees,
        stores: stores?,
        pollen,
        scale,
        club_stores,
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

/// Reading and tare. `None` only when something in it is bad.
fn scale<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    hive: &Section<'a>,
    stack: &Stack,
) -> Option<Scale> {
    let section = reader.section_or_empty(hive, "scale", SCALE_KEYS);
    let at = hive
        .get("scale")
        .map_or_else(|| hive.span.clone(), |n| n.span);
    let [front, back, whole, one] = ["front", "back", "whole", "one_side"].map(|key| {
        let given = section.has(key);
        (given, reader.quantity(&section, key, "reading"))
    });
    let ways = [front.0 || back.0, whole.0, one.0]
        .iter()
        .filter(|g| **g)
        .count();
    if ways > 1 {
        reader.error(
            &at,
            "the hive is weighed in more than one way",
            Some("front and back, or whole, or one_side"),
            None,
        );
        return None;
    }
    if front.0 != back.0 {
        reader.error(
            &at,
            "only one of front and back is given",
            Some("both front and back"),
            Some(
                "lift the other end too; or write one_side for a lift that is to be doubled"
                    .to_owned(),
            ),
        );
        return None;
    }
    let mut lift = Lift::FrontAndBack;
    let words = [
        ("whole", Lift::Whole),
        ("front and back", Lift::FrontAndBack),
        ("one side", Lift::OneSide),
    ];
    let said = section
        .get("lift")
        .and_then(|n| reader.choice_at(&n, &words).map(|l| (n, l)));
    if let Some((n, l)) = &said {
        lift = *l;
        reader.note(
            &n.path,
            Some(n.written()),
            lift_words(lift),
            "",
            Kind::Given,
        );
    }
    let mut gross = None;
    let sum = |a: Option<f64>, b: Option<f64>| a.zip(b).map(|(a, b)| a + b);
    if front.0 {
        (lift, gross) = (Lift::FrontAndBack, Some(sum(front.1, back.1)?));
    } else if whole.0 {
        (lift, gross) = (Lift::Whole, Some(whole.1?));
    } else if one.0 {
        (lift, gross) = (Lift::OneSide, Some(2.0 * one.1?));
        reader.warn(
            &at,
            "one side doubled is a poor weighing: stores lie to one side",
            Some("lift front and back in turn and add; in a pair the outer side reads too high late in winter".to_owned()),
        );
    } else if said.is_none() {
        reader.note(
            &section.path_of("lift"),
            None,
            lift_words(lift),
            "how the target reading will be told, unless you say whole or one side",
            Kind::Default,
        );
    }
    if let Some((n, l)) = said.filter(|(_, l)| *l != lift) {
        reader.error(
            &n.span,
            format!("the reading is not by \"{}\"", lift_words(l)),
            Some(lift_words(lift)),
            None,
        );
    }
    if let Some(kg) = gross {
        let note = match lift {
            Lift::Whole => "as read",
            Lift::FrontAndBack => "front + back",
            Lift::OneSide => "one side x 2",
        };
        reader.note(
            &section.path,
            Some("scale readings".to_owned()),
            format::mass(kg),
            note,
            Kind::Converted,
        );
    }
    let parts = tare::from_parts(stack, presets, &reader.materials);
    if let Some(n) = section.get("tare") {
        let kg = reader.quantity(&section, "tare", "tare")?;
        // Boxes of one pattern from two makers differ by a factor of three at most: beyond half or twice the parts, look.
        if kg < 0.5 * parts || kg > 2.0 * parts {
            let size = if kg < parts { "small" } else { "large" };
            reader.warn(
                &n.span,
                format!("a tare of {} is very {size} for these boxes: the parts come to {}", format::mass(kg), format::mass(parts)),
                Some("tare is everything but bees, honey and pollen: wood, frames, wax, floor, covers".to_owned()),
            );
        }
        return Some(Scale {
            lift,
            tare: kg,
            tare_source: TareSource::OwnWeighing,
            gross,
        });
    }
    let p = &presets.parts;
    reader.note(
        &section.path_of("tare"),
        None,
        format::mass(parts),
        format!(
            "added up from parts, +/- {} kg (3-5): {}",
            format::trimmed(p.error, 0),
            p.source
        ),
        Kind::Default,
    );
    Some(Scale {
        lift,
        tare: parts,
        tare_source: TareSource::Parts,
        gross,
    })
}

fn lift_words(lift: Lift) -> &'static str {
    match lift {
        Lift::Whole => "whole",
        Lift::FrontAndBack => "front and back",
        Lift::OneSide => "one side",
    }
}

/// Stores in kg, and the frames of honey of every box made to agree with them.
#[allow(clippy::too_many_arguments)]
fn stores<'a>(
    reader: &mut Reader<'a>,
    presets: &Presets,
    section: &Section<'a>,
    hive: &Section<'a>,
    node: &Node<'a>,
    scale: &Scale,
    boxed: &[Boxed],
    boxes: &mut [HiveBox],
    bees_and_pollen: f64,
) -> Option<f64> {
    let counted = boxed.iter().any(|b| b.honey_given);
    let by_frames: f64 = boxes.iter().map(|b| b.honey_frames * b.full_frame).sum();
    let by_scale = scale.gross.map(|g| g - scale.tare - bees_and_pollen);
    let tare_error = if scale.tare_source == TareSource::Parts {
        presets.parts.error
    } else {
        OWN_TARE_ERROR
    };
    let scale_at = hive
        .get("scale")
        .map_or_else(|| node.span.clone(), |n| n.span);
    if let Some(kg) = by_scale.filter(|kg| *kg < 0.0) {
        reader.error(
            &scale_at,
            format!(
                "the reading leaves {} for stores after tare, bees and pollen",
                format::mass(kg)
            ),
            Some("a reading above the weight of the empty hive and its bees"),
            Some("is the tare too large, or only one end of the hive read?".to_owned()),
        );
        return None;
    }
    if section.has("honey") {
        let at = section.get("honey")?;
        let kg = reader.quantity(section, "honey", "honey")?;
        if counted && (kg - by_frames).abs() > (COUNT_ERROR * by_frames).max(0.5) {
            reader.warn(
                &at.span,
                format!(
                    "{} of honey, but the frames counted come to {}; the weight is used",
                    format::mass(kg),
                    format::mass(by_frames)
                ),
                Some("count or weigh again".to_owned()),
            );
        }
        disagree(reader, &scale_at, by_scale, kg, SCALE_ERROR + tare_error);
        return spread(reader, &at, boxes, kg, counted && by_frames > 0.0).then_some(kg);
    }
    if counted {
        let frames: f64 = boxes.iter().map(|b| b.honey_frames).sum();
        let parts: Vec<String> = boxes
            .iter()
            .filter(|b| b.honey_frames > 0.0)
            .map(|b| {
                format!(
                    "{} x {} kg",
                    format::trimmed(b.honey_frames, 2),
                    format::trimmed(b.full_frame, 2)
                )
            })
            .collect();
        reader.note(
            &section.path_of("honey"),
            Some(format!("{} frames of honey", format::trimmed(frames, 2))),
            format::mass(by_frames),
            format!(
                "{}; a count is good to 15 %",
                if parts.is_empty() {
                    "none".to_owned()
                } else {
                    parts.join(" + ")
                }
            ),
            Kind::Converted,
        );
        disagree(
            reader,
            &scale_at,
            by_scale,
            by_frames,
            SCALE_ERROR + tare_error + COUNT_ERROR * by_frames,
        );
        return Some(by_frames);
    }
    let Some(kg) = by_scale else {
        reader.error(
            &node.span,
            format!("{} does not say how much honey there is", node.path),
            Some("honey_frames in the boxes, honey = \"20 kg\" here, or a [hive.scale] reading"),
            None,
        );
        return None;
    };
    reader.note(
        &section.path_of("honey"),
        Some("scale reading".to_owned()),
        format::mass(kg),
        format!(
            "reading less tare, bees and pollen, +/- {} kg",
            format::trimmed(SCALE_ERROR + tare_error, 0)
        ),
        Kind::Converted,
    );
    let at = hive.get("scale")?;
    spread(reader, &at, boxes, kg, false).then_some(kg)
}

/// Warns when the scale and the stores differ by more than both can be wrong.
fn disagree(
    reader: &mut Reader<'_>,
    at: &std::ops::Range<usize>,
    by_scale: Option<f64>,
    kg: f64,
    error: f64,
) {
    let Some(scale) = by_scale.filter(|s| (s - kg).abs() > error) else {
        return;
    };
    reader.warn(
        at,
        format!(
            "the scale leaves {} for stores, but {} of honey are given: they differ by more than both can be wrong ({} kg)",
            format::mass(scale),
            format::mass(kg),
            format::trimmed(error, 1)
        ),
        Some("weigh dry, snow off; check the tare; the honey given is used".to_owned()),
    );
}

/// Hangs the honey into the frames: in the proportion counted, or from the top box down. `false` when the combs
/// cannot hold it (then a problem is noted).
fn spread(
    reader: &mut Reader<'_>,
    at: &Node<'_>,
    boxes: &mut [HiveBox],
    kg: f64,
    as_counted: bool,
) -> bool {
    let capacity: f64 = boxes
        .iter()
        .map(|b| f64::from(b.frames) * b.full_frame)
        .sum();
    if boxes.is_empty() {
        return false;
    }
    if kg > capacity {
        reader.error(
            &at.span,
            format!(
                "{} of honey do not fit: all combs full hold {}",
                format::mass(kg),
                format::mass(capacity)
            ),
            Some(&format!("at most {}", format::mass(capacity))),
            Some("check reading and tare, or the count of frames".to_owned()),
        );
        return false;
    }
    if as_counted {
        let counted: f64 = boxes.iter().map(|b| b.honey_frames * b.full_frame).sum();
        let fits = boxes
            .iter()
            .all(|b| b.honey_frames * kg / counted <= f64::from(b.frames));
        if fits {
            for b in boxes.iter_mut() {
                b.honey_frames *= kg / counted;
            }
            return true;
        }
    }
    let mut left = kg;
    for b in boxes.iter_mut().rev() {
        let here = left.min(f64::from(b.frames) * b.full_frame);
        b.honey_frames = if b.full_frame > 0.0 {
            here / b.full_frame
        } else {
            0.0
        };
        left -= here;
    }
    let words: Vec<String> = boxes
        .iter()
        .enumerate()
        .map(|(i, b)| format!("box {}: {}", i + 1, format::trimmed(b.honey_frames, 1)))
        .collect();
    reader.note(
        &at.path,
        None,
        format!("frames of honey, {}", words.join(", ")),
        "hung from the top down, as bees store it",
        Kind::Default,
    );
    true
}
