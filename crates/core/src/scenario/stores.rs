//! Stores: from a weight, from frames of honey or from the scale, hung into the frames and checked against each other.

use super::Kind;
use super::boxes::Boxed;
use super::presets::Presets;
use super::reader::{Node, Reader, Section};
use crate::problem::Code;
use crate::stand::plausible::{LEANING_HELP, Weights, capacity, in_pounds, other_unit};
use crate::stand::{HiveBox, Scale, TareSource};
use crate::units::format;

/// A scale is read to about this, kg (a luggage scale, two lifts).
const SCALE_ERROR: f64 = 2.0;

/// A count of honey frames is good to this share.
const COUNT_ERROR: f64 = 0.15;

/// Error of a tare the keeper weighed, kg: wood takes up and loses water.
const OWN_TARE_ERROR: f64 = 1.0;

/// Stores in kg, and the frames of honey of every box made to agree with them.
#[allow(clippy::too_many_arguments)]
pub(super) fn stores<'a>(
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
    let weights = Weights::of(boxes, scale.tare, tare_error, bees_and_pollen);
    let holds = weights.holds;
    let slip = scale
        .gross
        .and_then(|g| weights.other_unit(g, scale.lifts.pounds));
    if let Some(what) = weights.leaning(&scale.lifts) {
        reader.warn(&scale_at, what, Some(LEANING_HELP.to_owned()));
    }
    if let Some(kg) = by_scale.filter(|kg| *kg < 0.0) {
        reader.error(
            &scale_at,
            format!(
                "the reading leaves {} for stores after tare, bees and pollen",
                format::mass(kg)
            ),
            Some("a reading above the weight of the empty hive and its bees"),
            Some(
                slip.or_else(|| {
                    tare_slip(
                        hive,
                        scale,
                        gross_less(scale, bees_and_pollen),
                        [0.0, holds],
                    )
                })
                .unwrap_or_else(|| {
                    "is the tare too large, or only one end of the hive read?".to_owned()
                }),
            ),
        );
        return None;
    }
    let of_wood = gross_less(scale, bees_and_pollen);
    let error = SCALE_ERROR + tare_error;
    let tare = |kg: f64| tare_slip(hive, scale, of_wood, [kg - error, kg + error]);
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
        disagree(
            reader,
            &scale_at,
            by_scale,
            [kg, holds],
            error,
            slip.or_else(|| tare(kg)),
        );
        let slip = other_unit(kg, in_pounds(&at.written()), [0.0, holds], [0.0, holds]);
        return spread(reader, &at, boxes, kg, counted && by_frames > 0.0, slip).then_some(kg);
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
        let Some(scale) = by_scale else {
            return Some(by_frames);
        };
        // On the safe side: the lighter of the two, however near they are, so that a few grams on the scale turn nothing.
        let lighter = scale < by_frames;
        if (scale - by_frames).abs() > error {
            warn(
                reader,
                &scale_at,
                scale,
                [by_frames, holds],
                error,
                if lighter {
                    "the scale's, being less, is used"
                } else {
                    "the count, being less, is used"
                },
                slip.or_else(|| tare(by_frames)),
            );
        }
        if !lighter {
            return Some(by_frames);
        }
        let at = hive.get("scale")?;
        return spread(reader, &at, boxes, scale, by_frames > 0.0, None).then_some(scale);
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
    spread(reader, &at, boxes, kg, false, slip).then_some(kg)
}

/// The reading less bees and pollen, kg: tare and honey.
fn gross_less(scale: &Scale, bees_and_pollen: f64) -> f64 {
    scale.gross.map_or(f64::NAN, |g| g - bees_and_pollen)
}

/// Whether the tare, written in the other unit, would leave as much honey as there can be, of `both` kg of tare and honey, and how that is
/// told.
fn tare_slip(hive: &Section<'_>, scale: &Scale, both: f64, honey: [f64; 2]) -> Option<String> {
    let node = hive.get("scale")?;
    let written = node.value.as_table()?.get("tare")?.get_ref();
    let pounds = in_pounds(written.as_str()?);
    let band = [both - honey[1], both - honey[0]];
    other_unit(scale.tare, pounds, band, band).map(|w| format!("look at the tare: {w}"))
}

/// Warns when the scale and a weight of stores differ by more than the weighing can be wrong.
fn disagree(
    reader: &mut Reader<'_>,
    at: &std::ops::Range<usize>,
    by_scale: Option<f64>,
    [kg, holds]: [f64; 2],
    error: f64,
    slip: Option<String>,
) {
    let Some(scale) = by_scale.filter(|s| (s - kg).abs() > error) else {
        return;
    };
    warn(
        reader,
        at,
        scale,
        [kg, holds],
        error,
        "the honey given is used",
        slip,
    );
}

fn warn(
    reader: &mut Reader<'_>,
    at: &std::ops::Range<usize>,
    scale: f64,
    [kg, holds]: [f64; 2],
    error: f64,
    used: &str,
    slip: Option<String>,
) {
    if scale > holds + error {
        reader.warn(
            at,
            format!(
                "the scale leaves {} for stores, more than all combs full hold ({}); {used}",
                format::mass(scale),
                format::mass(holds)
            ),
            Some(slip.unwrap_or_else(|| {
                "check reading and tare; is a box or a count of frames missing?".to_owned()
            })),
        );
        reader.coded(Code::StoresDisagree);
        return;
    }
    reader.warn(
        at,
        format!(
            "the scale leaves {} for stores, but {} of honey are given: they differ by more than the weighing can be wrong ({} kg), and {used}",
            format::mass(scale),
            format::mass(kg),
            format::trimmed(error, 1)
        ),
        Some(slip.unwrap_or_else(|| "weigh dry, snow off; check the tare; count again".to_owned())),
    );
    reader.coded(Code::StoresDisagree);
}

/// Hangs the honey into the frames: in the proportion counted, or from the top box down. `false` when the combs
/// cannot hold it (then a problem is noted).
fn spread(
    reader: &mut Reader<'_>,
    at: &Node<'_>,
    boxes: &mut [HiveBox],
    kg: f64,
    as_counted: bool,
    slip: Option<String>,
) -> bool {
    let capacity = capacity(boxes);
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
            Some(
                slip.unwrap_or_else(|| "check reading and tare, or the count of frames".to_owned()),
            ),
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
                b.honey_frames = (b.honey_frames * kg / counted).min(f64::from(b.frames));
            }
            return true;
        }
    }
    let mut left = kg;
    for b in boxes.iter_mut().rev() {
        let here = left.min(f64::from(b.frames) * b.full_frame);
        b.honey_frames = if b.full_frame > 0.0 {
            // Rounding must not hang a hair more than the box has frames.
            (here / b.full_frame).min(f64::from(b.frames))
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
