//! Where a hive stands against its target, in words.

use super::words::Units;
use crate::text;
use crate::texts::{either, said};
use partywall_core::calendar::words;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::WORTH_FEEDING;
use partywall_core::decision::planned::Planned;
use partywall_core::decision::result::ColonyResult;
use partywall_core::decision::stores::Target;

/// How far the hive is from its target with the feeding planned; rounded once, from the exact weights, for all places alike.
pub(super) fn off_target(c: &ColonyResult, g: &Target, u: Units) -> String {
    u.mass((g.spare + c.planned.counted).abs())
}

/// Weights that differ by less are one on a scale, kg.
const ONE_WEIGHT: f64 = 0.5;

/// What the hive weighs, and how that is known where it is not what the scale read: "58.5 kg (129 lb) by your count of honey (the scale read 62
/// kg (137 lb))".
fn now(c: &ColonyResult, u: Units) -> String {
    let gross = u.mass(c.gross);
    match c.read {
        Some(read) if (read - c.gross).abs() < ONE_WEIGHT => gross,
        Some(read) => text!(
            "standing.your_count_honey_while",
            gross,
            read = u.mass(read)
        ),
        None => text!("standing.about_your_count_honey", gross),
    }
}

/// Where the hive stands against its target.
pub(super) fn standing(c: &ColonyResult, g: &Target, a: &Advice, u: Units) -> String {
    let spare = g.spare + c.planned.counted;
    let error = a.reading.map_or(g.tare_error, |r| r.error);
    let now = match &a.asked {
        Some(k) => text!("standing.weighed", start = words(k.start), now = now(c, u)),
        None => text!("standing.now", now = now(c, u)),
    };
    let planned = planned(&c.planned, u);
    let off = off_target(c, g, u);
    if spare.abs() < WORTH_FEEDING {
        text!("standing.just_enough_give_take", now, planned)
    } else if spare.abs() < error {
        let side = either(spare < 0.0, "standing.short", "standing.over");
        text!("standing.which_less_than_weighing", now, planned, off, side)
    } else if spare < 0.0 {
        text!("standing.short_by", now, planned, off)
    } else {
        text!("standing.spare", now, planned, off)
    }
}

/// What the feeding planned adds.
fn planned(p: &Planned, u: Units) -> String {
    if p.given <= 0.0 {
        return String::new();
    }
    let adds = if p.counted < WORTH_FEEDING {
        text!("standing.next_nothing")
    } else {
        text!("standing.stores", counted = u.mass(p.counted))
    };
    let why = match (p.too_late() > 0.0, p.no_room > 0.0) {
        (true, true) => said("standing.syrup_comes_too_late"),
        (true, false) => said("standing.syrup_comes_too_late_taken"),
        (false, true) => said("standing.finds_no_room_combs"),
        (false, false) => return text!("standing.feeding_you_plan_adds", adds),
    };
    text!(
        "standing.feeding_you_plan_adds_rest",
        adds,
        given = u.mass(p.given),
        why
    )
}
