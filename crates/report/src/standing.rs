//! Where a hive stands against its target, in words.

use super::words::Units;
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
        Some(read) => format!(
            "{gross} by your count of honey, while the scale read {}",
            u.mass(read)
        ),
        None => format!("about {gross} by your count of honey"),
    }
}

/// Where the hive stands against its target.
pub(super) fn standing(c: &ColonyResult, g: &Target, a: &Advice, u: Units) -> String {
    let spare = g.spare + c.planned.counted;
    let error = a.reading.map_or(g.tare_error, |r| r.error);
    let now = match &a.asked {
        Some(k) => format!("On {} it weighed {}", words(k.start), now(c, u)),
        None => format!("Now {}", now(c, u)),
    };
    let planned = planned(&c.planned, u);
    let off = off_target(c, g, u);
    if spare.abs() < WORTH_FEEDING {
        format!("{now}{planned}: just enough, give or take what the weighing may be off")
    } else if spare.abs() < error {
        let side = if spare < 0.0 { "short" } else { "over" };
        format!("{now}{planned}: {off} {side}, which is less than the weighing may be off")
    } else if spare < 0.0 {
        format!("{now}{planned}: short by {off}")
    } else {
        format!("{now}{planned}: {off} to spare")
    }
}

/// What the feeding planned adds.
fn planned(p: &Planned, u: Units) -> String {
    if p.given <= 0.0 {
        return String::new();
    }
    let adds = if p.counted < WORTH_FEEDING {
        "next to nothing".to_owned()
    } else {
        format!("{} of stores", u.mass(p.counted))
    };
    let why = match (p.too_late() > 0.0, p.no_room > 0.0) {
        (true, true) => "is syrup that comes too late to be taken, or finds no room in the combs",
        (true, false) => "is syrup that comes too late to be taken",
        (false, true) => "finds no room in the combs",
        (false, false) => return format!(", and the feeding you plan adds {adds}"),
    };
    format!(
        ", and the feeding you plan adds {adds}; the rest of its {} {why}",
        u.mass(p.given)
    )
}
