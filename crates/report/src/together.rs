//! What a change does beyond the colony it is told of: to a colony that it takes away, and to the stand as a whole.

use super::phrases::{self, size_kg_lb};
use crate::text;
use crate::texts::either;
use partywall_core::answer::rank::RankedColony;

use super::words;
use partywall_core::decision::stand_total::StandTotal;
use partywall_core::decision::too_small::TooSmall;

/// A colony that a change takes away, and whether there is a ground for that.
pub(super) fn no_more(c: &RankedColony) -> String {
    let frames = words::frames(c.deep_frames);
    let ground = match c.too_small {
        Some(TooSmall::Cold) => {
            text!("contest.does_not_hold_warmth")
        }
        Some(TooSmall::Frames) => {
            text!("contest.deep_frames_bees_few", frames)
        }
        None => text!("contest.deep_frames_strong_stands", frames),
    };
    text!("contest.no_more", stack = c.stack, ground)
}

/// What a change does to all colonies of the stand together, over so many draws.
pub(super) fn whole(w: &StandTotal, draws: usize) -> String {
    let kg = w.need.spread.middle;
    let need = if w.need.close {
        text!("contest.much_honey_before_far")
    } else {
        text!(
            "contest.honey",
            kg = size_kg_lb(kg),
            more_or_less = either(kg > 0.0, "contest.less", "contest.more"),
            range = phrases::range(&w.need)
        )
    };
    let [before, after] = w.colonies;
    let queens = if before == after {
        String::new()
    } else {
        text!(
            "contest.queen_left",
            after,
            s = if after == 1 { "" } else { "s" },
            before
        )
    };
    text!(
        "contest.stand_whole_needs_colony",
        need,
        queens,
        then = w.short[1],
        now = w.short[0],
        draws
    )
}
