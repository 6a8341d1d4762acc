//! What a change does beyond the colony it is told of: to a colony that it takes away, and to the stand as a whole.

use super::phrases::{self, size_kg_lb};
use partywall_core::answer::rank::RankedColony;

use super::words;
use partywall_core::decision::stand_total::StandTotal;
use partywall_core::decision::too_small::TooSmall;

/// A colony that a change takes away, and whether there is a ground for that.
pub(super) fn no_more(c: &RankedColony) -> String {
    let frames = words::frames(c.deep_frames);
    let ground = match c.too_small {
        Some(TooSmall::Cold) => {
            "it does not hold its warmth alone, which is the ground for it".to_owned()
        }
        Some(TooSmall::Frames) => {
            format!(
                "{frames} deep frames of bees are few, which is the ground for it, though it stands the cold alone"
            )
        }
        None => format!("{frames} deep frames strong, it stands the cold alone: no ground for it"),
    };
    format!("{} is no more: {ground}", c.stack)
}

/// What a change does to all colonies of the stand together, over so many draws.
pub(super) fn whole(w: &StandTotal, draws: usize) -> String {
    let kg = w.need.spread.middle;
    let need = if w.need.close {
        "as much honey as before, as far as can be told".to_owned()
    } else {
        format!(
            "{} {} honey ({})",
            size_kg_lb(kg),
            if kg > 0.0 { "less" } else { "more" },
            phrases::range(&w.need)
        )
    };
    let [before, after] = w.colonies;
    let queens = if before == after {
        String::new()
    } else {
        format!(
            "{after} queen{} left of {before}; ",
            if after == 1 { "" } else { "s" }
        )
    };
    format!(
        "the stand as a whole needs {need}; {queens}a colony starves or is killed by cold in {} instead of {} of {draws} draws",
        w.short[1], w.short[0]
    )
}
