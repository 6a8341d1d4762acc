//! How a hive is weighed: the reading, the way it is lifted, and its tare.

use super::Kind;
use super::presets::Presets;
use super::reader::{Reader, Section};
use super::tare;
use crate::stand::plausible::{in_pounds, other_unit};
use crate::stand::{Lift, Lifts, Scale, Stack, TareSource};
use crate::units::format;

pub(super) const SCALE_KEYS: &[&str] = &["front", "back", "whole", "one_side", "lift", "tare"];

/// Reading and tare. `None` only when something in it is bad.
pub(super) fn scale<'a>(
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
    let written = |key: &str| section.get(key).is_some_and(|n| in_pounds(&n.written()));
    let lifts = Lifts {
        front_back: front.1.zip(back.1).map(|(f, b)| [f, b]),
        pounds: ["front", "back", "whole", "one_side"]
            .into_iter()
            .any(written),
    };
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
            let can = [0.5 * parts, 2.0 * parts];
            let help = other_unit(kg, in_pounds(&n.written()), can, can).unwrap_or_else(|| {
                "tare is everything but bees, honey and pollen: wood, frames, wax, floor, covers"
                    .to_owned()
            });
            reader.warn(
                &n.span,
                format!(
                    "a tare of {} is very {size} for these boxes: the parts come to {}",
                    format::mass(kg),
                    format::mass(parts)
                ),
                Some(help),
            );
        }
        return Some(Scale {
            lift,
            tare: kg,
            tare_source: TareSource::OwnWeighing,
            gross,
            lifts,
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
        lifts,
    })
}

fn lift_words(lift: Lift) -> &'static str {
    match lift {
        Lift::Whole => "whole",
        Lift::FrontAndBack => "front and back",
        Lift::OneSide => "one side",
    }
}
