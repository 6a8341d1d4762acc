//! How a hive is weighed: the reading, the way it is lifted, and its tare.

use super::messages::Slots;
use super::node::Section;
use super::reader::Reader;
use super::tare;
use crate::stand::plausible::{in_pounds, other_unit};
use crate::stand::{Lift, Lifts, Scale, Stack, TareSource};
use crate::units::format;

const READINGS: [&str; 4] = ["front", "back", "whole", "one_side"];

/// Reading and tare. `None` only when something in it is bad.
pub(super) fn scale<'a>(
    reader: &mut Reader<'a>,
    hive: &Section<'a>,
    stack: &Stack,
) -> Option<Scale> {
    let section = reader.section_or_empty(hive, "scale");
    let at = section.span.clone();
    let [front, back, whole, one] =
        READINGS.map(|key| (section.has(key), reader.quantity(&section, key)));
    let ways = [front.0 || back.0, whole.0, one.0];
    if ways.iter().filter(|g| **g).count() > 1 {
        reader.refuse(&at, "weighed_twice", &[]);
        return None;
    }
    if front.0 != back.0 {
        reader.refuse(&at, "one_end_only", &[]);
        return None;
    }
    let said = section.get("lift").and_then(|n| {
        let lift = match reader.word_at(&n, section.key("lift"))? {
            "whole" => Lift::Whole,
            "one side" => Lift::OneSide,
            _ => Lift::FrontAndBack,
        };
        Some((n, lift))
    });
    if let Some((n, lift)) = &said {
        reader.given(n, lift_text(*lift));
    }
    let sum = front.1.zip(back.1).map(|(a, b)| a + b);
    let (lift, gross) = match ways {
        [true, ..] => (Lift::FrontAndBack, Some(sum?)),
        [_, true, _] => (Lift::Whole, Some(whole.1?)),
        [.., true] => {
            let kg = 2.0 * one.1?;
            reader.caution(&at, "one_side_doubled", &[]);
            (Lift::OneSide, Some(kg))
        }
        _ => (said.as_ref().map_or(Lift::FrontAndBack, |(_, l)| *l), None),
    };
    if gross.is_none() && said.is_none() {
        let note = "how the target reading will be told, unless you say whole or one side";
        reader.assumed(&section.path_of("lift"), lift_text(lift), note);
    }
    if let Some((n, said)) = said.filter(|(_, l)| *l != lift) {
        let slots: &Slots<'_> = &[("said", &lift_text(said)), ("lift", &lift_text(lift))];
        reader.refuse(&n.span, "other_lift", slots);
    }
    let written = |key: &str| section.get(key).is_some_and(|n| in_pounds(&n.written()));
    let lifts = Lifts {
        front_back: front.1.zip(back.1).map(|(f, b)| [f, b]),
        pounds: READINGS.into_iter().any(written),
    };
    if let Some(kg) = gross {
        let note = match lift {
            Lift::Whole => "as read",
            Lift::FrontAndBack => "front + back",
            Lift::OneSide => "one side x 2",
        };
        reader.derived(
            &section.path,
            Some("scale readings"),
            format::mass(kg),
            note,
        );
    }
    let (tare, tare_source) = tare(reader, &section, stack)?;
    Some(Scale {
        lift,
        tare,
        tare_source,
        gross,
        lifts,
    })
}

/// Tare as weighed, or added up from the parts.
fn tare<'a>(
    reader: &mut Reader<'a>,
    section: &Section<'a>,
    stack: &Stack,
) -> Option<(f64, TareSource)> {
    let parts = tare::from_parts(stack, reader.presets, &reader.materials);
    let Some(n) = section.get("tare") else {
        let p = &reader.presets.parts;
        let error = format::trimmed(p.error, 0);
        let note = format!("added up from parts, +/- {error} kg (3-5): {}", p.source);
        reader.assumed(&section.path_of("tare"), format::mass(parts), note);
        return Some((parts, TareSource::Parts));
    };
    let kg = reader.quantity(section, "tare")?;
    // Boxes of one pattern from two makers differ by a factor of three at most: beyond half or twice the parts, look.
    let can = [0.5 * parts, 2.0 * parts];
    if kg < can[0] || kg > can[1] {
        let size = if kg < parts { "small" } else { "large" };
        let unit = other_unit(kg, in_pounds(&n.written()), can, can);
        let code = if unit.is_some() {
            "odd_tare_unit"
        } else {
            "odd_tare"
        };
        let (kg, parts, unit) = (
            format::mass(kg),
            format::mass(parts),
            unit.unwrap_or_default(),
        );
        let slots: &Slots<'_> = &[
            ("kg", &kg),
            ("size", &size),
            ("parts", &parts),
            ("unit", &unit),
        ];
        reader.caution(&n.span, code, slots);
    }
    Some((kg, TareSource::OwnWeighing))
}

/// "front and back" and the like.
#[must_use]
pub const fn lift_text(lift: Lift) -> &'static str {
    match lift {
        Lift::Whole => "whole",
        Lift::FrontAndBack => "front and back",
        Lift::OneSide => "one side",
    }
}
