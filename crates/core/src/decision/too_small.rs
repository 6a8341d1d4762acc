//! Whether a colony is too small to be wintered alone: the only ground on which combining it is advised, by `run` and `rank` alike.

use super::margins::{BEES_PER_DEEP_FRAME, COLD_ACT, FRAMES_MARGINAL, allowed};
use serde::Serialize;

/// Why a colony is too small to be wintered alone.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum TooSmall {
    /// It cannot hold its warmth: next to no heat in hand at the weakest moment, or killed by cold in more winters than the level allows.
    Cold,
    /// Fewer frames of bees than is common practice, though it holds its warmth here.
    Frames,
}

/// The ground on which a colony of `bees` kg is to be combined with another, if there is one. Cold goes before the count.
///
/// ```
/// use partywall_core::decision::too_small::{TooSmall, too_small};
/// assert_eq!(too_small(0.8, 1.0, (9, 36), 0.9), Some(TooSmall::Cold));
/// assert_eq!(too_small(1.2, 12.0, (0, 36), 0.9), Some(TooSmall::Frames));
/// assert_eq!(too_small(1.6, 12.0, (0, 36), 0.9), None);
/// ```
#[must_use]
pub fn too_small(
    bees: f64,
    heat_in_hand: f64,
    (too_cold, winters): (usize, usize),
    level: f64,
) -> Option<TooSmall> {
    if heat_in_hand < COLD_ACT || too_cold as f64 > allowed(winters, level) {
        Some(TooSmall::Cold)
    } else {
        (bees / BEES_PER_DEEP_FRAME < FRAMES_MARGINAL).then_some(TooSmall::Frames)
    }
}
