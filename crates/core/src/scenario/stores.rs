//! Stores: from a weight, from frames of honey or from the scale, hung into the frames and checked against each other.

use std::ops::Range;

use super::messages::Slots;
use super::node::{Node, Section};
use super::reader::Reader;
use crate::stand::plausible::{LEANING_HELP, Weights, capacity, in_pounds, other_unit};
use crate::stand::{HiveBox, Scale, TareSource};
use crate::units::format;

/// A scale is read to about this, kg (a luggage scale, two lifts).
const SCALE_ERROR: f64 = 2.0;

/// A count of honey frames is good to this share.
const COUNT_ERROR: f64 = 0.15;

/// Error of a tare the keeper weighed, kg: wood takes up and loses water.
const OWN_TARE_ERROR: f64 = 1.0;

/// What the scale says of the stores, and how wrong it can be.
struct Weighed<'a> {
    hive: &'a Section<'a>,
    scale: &'a Scale,
    /// Where the readings stand.
    at: Range<usize>,
    /// Stores by the scale, kg.
    stores: Option<f64>,
    /// The reading less bees and pollen, kg: tare and honey.
    wood_and_honey: f64,
    /// What all combs full hold, kg.
    holds: f64,
    /// Error of the weighing, kg.
    error: f64,
    /// A reading in another unit that would make sense.
    slip: Option<String>,
}

impl Weighed<'_> {
    /// Whether the tare, written in the other unit, would leave as much honey as there can be, and how that is told.
    fn tare_slip(&self, honey: [f64; 2]) -> Option<String> {
        let node = self.hive.get("scale")?;
        let written = node.value.as_table()?.get("tare")?.get_ref();
        let pounds = in_pounds(written.as_str()?);
        let both = self.wood_and_honey;
        let band = [both - honey[1], both - honey[0]];
        other_unit(self.scale.tare, pounds, band, band).map(|w| format!("look at the tare: {w}"))
    }

    /// A unit that would explain why the scale does not leave `kg` for stores.
    fn unit_slip(&self, kg: f64) -> Option<String> {
        let near = [kg - self.error, kg + self.error];
        self.slip.clone().or_else(|| self.tare_slip(near))
    }
}

/// Stores in kg, and the frames of honey of every box made to agree with them.
pub(super) fn stores<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    hive: &Section<'a>,
    scale: &Scale,
    counted: bool,
    boxes: &mut [HiveBox],
    bees_and_pollen: f64,
) -> Option<f64> {
    let tare_error = match scale.tare_source {
        TareSource::Parts => reader.presets.parts.error,
        TareSource::OwnWeighing => OWN_TARE_ERROR,
    };
    let weights = Weights::of(boxes, scale.tare, tare_error, bees_and_pollen);
    let w = Weighed {
        hive,
        scale,
        at: hive
            .get("scale")
            .map_or_else(|| section.span.clone(), |n| n.span),
        stores: scale.gross.map(|g| g - scale.tare - bees_and_pollen),
        wood_and_honey: scale.gross.map_or(f64::NAN, |g| g - bees_and_pollen),
        holds: weights.holds,
        error: SCALE_ERROR + tare_error,
        slip: scale
            .gross
            .and_then(|g| weights.other_unit(g, scale.lifts.pounds)),
    };
    if let Some(what) = weights.leaning(&scale.lifts) {
        reader.caution(
            &w.at,
            "leaning",
            &[("what", &what), ("help", &LEANING_HELP)],
        );
    }
    if let Some(kg) = w.stores.filter(|kg| *kg < 0.0) {
        let slip = w.slip.clone().or_else(|| w.tare_slip([0.0, w.holds]));
        let usual = "is the tare too large, or only one end of the hive read?";
        let help = slip.unwrap_or_else(|| usual.to_owned());
        reader.refuse(
            &w.at,
            "nothing_for_stores",
            &[("kg", &format::mass(kg)), ("help", &help)],
        );
        return None;
    }
    if let Some(at) = section.get("honey") {
        return by_weight(reader, section, &at, &w, counted, boxes);
    }
    if counted {
        return by_count(reader, section, &w, boxes);
    }
    let (Some(kg), Some(at)) = (w.stores, hive.get("scale")) else {
        reader.refuse(&section.span, "no_honey", &[("path", &section.path)]);
        return None;
    };
    let note = format!(
        "reading less tare, bees and pollen, +/- {} kg",
        format::trimmed(w.error, 0)
    );
    reader.derived(
        &section.path_of("honey"),
        Some("scale reading"),
        format::mass(kg),
        note,
    );
    spread(reader, &at, boxes, kg, false, w.slip).then_some(kg)
}

fn in_frames(boxes: &[HiveBox]) -> f64 {
    boxes.iter().map(|b| b.honey_frames * b.full_frame).sum()
}

/// Stores of a weight that is given.
fn by_weight<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    at: &Node<'a>,
    w: &Weighed<'_>,
    counted: bool,
    boxes: &mut [HiveBox],
) -> Option<f64> {
    let by_frames = in_frames(boxes);
    let kg = reader.quantity(section, "honey")?;
    if kg == 0.0 {
        reader.caution(&at.span, "no_stores", &[("path", &section.path)]);
    }
    if counted && (kg - by_frames).abs() > (COUNT_ERROR * by_frames).max(0.5) {
        let (kg, frames) = (format::mass(kg), format::mass(by_frames));
        reader.caution(
            &at.span,
            "honey_and_frames_disagree",
            &[("kg", &kg), ("frames", &frames)],
        );
    }
    if let Some(scale) = w.stores.filter(|s| (s - kg).abs() > w.error) {
        disagree(reader, w, scale, kg, "the honey given is used");
    }
    let all = [0.0, w.holds];
    let slip = other_unit(kg, in_pounds(&at.written()), all, all);
    spread(reader, at, boxes, kg, counted && by_frames > 0.0, slip).then_some(kg)
}

/// Stores of the frames of honey counted, or the scale's if these are less.
fn by_count<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    w: &Weighed<'_>,
    boxes: &mut [HiveBox],
) -> Option<f64> {
    let by_frames = in_frames(boxes);
    let frames: f64 = boxes.iter().map(|b| b.honey_frames).sum();
    let part = |b: &HiveBox| {
        let [n, each] = [b.honey_frames, b.full_frame].map(|v| format::trimmed(v, 2));
        format!("{n} x {each} kg")
    };
    let parts: Vec<String> = boxes
        .iter()
        .filter(|b| b.honey_frames > 0.0)
        .map(part)
        .collect();
    let parts = if parts.is_empty() {
        "none".to_owned()
    } else {
        parts.join(" + ")
    };
    let written = format!("{} frames of honey", format::trimmed(frames, 2));
    let note = format!("{parts}; a count is good to 15 %");
    reader.derived(
        &section.path_of("honey"),
        Some(&written),
        format::mass(by_frames),
        note,
    );
    let Some(scale) = w.stores else {
        return Some(by_frames);
    };
    // On the safe side: the lighter of the two, however near they are, so that a few grams on the scale turn nothing.
    let lighter = scale < by_frames;
    if (scale - by_frames).abs() > w.error {
        let used = match lighter {
            true => "the scale's, being less, is used",
            false => "the count, being less, is used",
        };
        disagree(reader, w, scale, by_frames, used);
    }
    if !lighter {
        return Some(by_frames);
    }
    let at = w.hive.get("scale")?;
    spread(reader, &at, boxes, scale, by_frames > 0.0, None).then_some(scale)
}

/// Warns that the scale and a weight of stores differ by more than the weighing can be wrong.
fn disagree(reader: &mut Reader<'_>, w: &Weighed<'_>, scale: f64, kg: f64, used: &str) {
    let (code, usual) = if scale > w.holds + w.error {
        (
            "scale_above_combs",
            "check reading and tare; is a box or a count of frames missing?",
        )
    } else {
        (
            "scale_disagrees",
            "weigh dry, snow off; check the tare; count again",
        )
    };
    let help = w.unit_slip(kg).unwrap_or_else(|| usual.to_owned());
    let [scale, kg, holds] = [scale, kg, w.holds].map(format::mass);
    let error = format::trimmed(w.error, 1);
    let slots: &Slots<'_> = &[
        ("scale", &scale),
        ("kg", &kg),
        ("holds", &holds),
        ("error", &error),
        ("used", &used),
        ("help", &help),
    ];
    reader.caution(&w.at, code, slots);
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
        let [kg, capacity] = [kg, capacity].map(format::mass);
        let help =
            slip.unwrap_or_else(|| "check reading and tare, or the count of frames".to_owned());
        let slots: &Slots<'_> = &[("kg", &kg), ("capacity", &capacity), ("help", &help)];
        reader.refuse(&at.span, "honey_does_not_fit", slots);
        return false;
    }
    if as_counted {
        let counted = in_frames(boxes);
        let scaled = |b: &HiveBox| b.honey_frames * kg / counted;
        if boxes.iter().all(|b| scaled(b) <= f64::from(b.frames)) {
            for b in boxes.iter_mut() {
                b.honey_frames = scaled(b).min(f64::from(b.frames));
            }
            return true;
        }
    }
    let mut left = kg;
    for b in boxes.iter_mut().rev() {
        let here = left.min(f64::from(b.frames) * b.full_frame);
        // Rounding must not hang a hair more than the box has frames.
        b.honey_frames = match b.full_frame {
            full if full > 0.0 => (here / full).min(f64::from(b.frames)),
            _ => 0.0,
        };
        left -= here;
    }
    let numbered = boxes.iter().zip(1..);
    let words: Vec<String> = numbered
        .map(|(b, n)| format!("box {n}: {}", format::trimmed(b.honey_frames, 1)))
        .collect();
    let used = format!("frames of honey, {}", words.join(", "));
    reader.assumed(&at.path, used, "hung from the top down, as bees store it");
    true
}
