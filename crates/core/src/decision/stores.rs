//! From honey eaten in many winters to what the scale must read.

use crate::calendar::MonthDay;
use crate::calendar::into_season;
use crate::ensemble::levels::{FEWEST, Level, level};
use crate::stand::{Colony, Lift, TareSource};
use jiff::civil::Date;
use serde::Serialize;

/// Stores that one litre of 2:1 syrup (by weight, 0.89 kg sugar) leaves in the combs, kg: 1.08 at most, less a tenth for
/// the bees' own work.
pub const STORES_PER_LITRE_SYRUP: f64 = 0.97;

/// Error of a tare added up from parts, kg: same-pattern boxes of two makers differ by a factor of three
/// (common practice, no source for the figure itself: 3 to 5 kg).
pub const TARE_ERROR_PARTS: f64 = 4.0;
/// Error of a tare weighed by the keeper, kg (luggage scale).
pub const TARE_ERROR_WEIGHED: f64 = 1.0;

/// What one colony needs and what its scale must read.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Target {
    /// Honey eaten in a middling winter, kg.
    pub need_middling: f64,
    /// Honey eaten in a poor winter (the level asked for), kg.
    pub need_poor: f64,
    /// How that level was taken.
    pub level: Level,
    /// Stores that must still be there on the last day, kg.
    pub reserve: f64,
    /// Honey that stays where the bees do not get at it when they have little, kg; see [`Target::with_unreached`].
    pub unreached: f64,
    /// Stores needed on the start date, kg: poor winter, what is not reached, and reserve.
    pub stores: f64,
    /// Weight of the whole hive with those stores, kg.
    pub gross: f64,
    /// What the scale must read per lift, kg: one value for the whole hive, front and back each, or one side.
    pub per_lift: f64,
    /// Error of the target from the tare, kg.
    pub tare_error: f64,
    /// Stores there now less stores needed, kg; negative is short.
    pub spare: f64,
    /// Litres of 2:1 syrup to make up for what is short; 0 when nothing is.
    pub syrup_litres: f64,
    /// Winters in which the stores there now would have run out before first nectar.
    pub ran_out: usize,
    /// Earliest day of the winter on which they ran out in any of them.
    pub earliest_out: Option<Date>,
}

/// Works the target out from the honey eaten in each winter of seasons that begin on `start`, kg; `None` below five winters.
#[must_use]
pub fn target(
    colony: &Colony,
    eaten: &[f64],
    ran_out: &[Option<Date>],
    p: f64,
    reserve: f64,
    start: MonthDay,
) -> Option<Target> {
    let middling = level(eaten, 0.5)?;
    let poor = level(eaten, p)?;
    let stores = stores_needed(poor.value, 0.0, reserve);
    let gross = colony.scale.tare + colony.bees + colony.pollen + stores;
    let per_lift = match colony.scale.lift {
        Lift::Whole => gross,
        Lift::FrontAndBack | Lift::OneSide => gross / 2.0,
    };
    let spare = colony.stores - stores;
    Some(Target {
        need_middling: middling.value,
        need_poor: poor.value,
        level: poor,
        reserve,
        unreached: 0.0,
        stores,
        gross,
        per_lift,
        tare_error: match colony.scale.tare_source {
            TareSource::OwnWeighing => TARE_ERROR_WEIGHED,
            TareSource::Parts => TARE_ERROR_PARTS,
        },
        spare,
        syrup_litres: (-spare).max(0.0) / STORES_PER_LITRE_SYRUP,
        ran_out: ran_out.iter().flatten().count(),
        earliest_out: ran_out
            .iter()
            .flatten()
            .copied()
            .min_by_key(|d| into_season(start, *d)),
    })
}

impl Target {
    /// The same with `unreached` kg more, for the honey that stays where the bees do not get at it.
    #[must_use]
    pub fn with_unreached(mut self, unreached: f64) -> Self {
        let stores = stores_needed(self.need_poor, unreached, self.reserve);
        let more = stores - self.stores;
        self.unreached = unreached;
        self.stores = stores;
        self.per_lift *= 1.0 + more / self.gross;
        self.gross += more;
        self.spare -= more;
        self.syrup_litres = (-self.spare).max(0.0) / STORES_PER_LITRE_SYRUP;
        self
    }
}

/// Stores needed on the start date, kg: what a poor winter takes, what stays out of reach ([`left_behind`]), and the reserve. The one
/// sum behind the target of `run` and the tables of `compare` and `rank`.
///
/// ```
/// use partywall_core::decision::stores::stores_needed;
/// assert_eq!(stores_needed(20.0, 2.0, 3.0), 25.0);
/// ```
#[must_use]
pub fn stores_needed(poor: f64, unreached: f64, reserve: f64) -> f64 {
    poor + unreached + reserve
}

/// Honey left out of reach in middling winters, kg, from winters in which the hive held just what that winter takes; the entries
/// are what each colony starved beside, 0 for one that ate all. `None` below five winters.
///
/// The mean of the middle half, since more weight does not help a colony that is held fast by deep cold with its combs half full. The
/// middle one alone would not do: mostly next to nothing is left, or a good part of all, so that it hangs on a single winter.
///
/// ```
/// use partywall_core::decision::stores::left_behind;
/// let kg = left_behind(&[0.5, 0.0, 12.0, 1.0, 0.2]).unwrap();
/// assert!((kg - (0.75 * 0.2 + 0.5 + 0.75 * 1.0) / 2.5).abs() < 1e-12);
/// ```
#[must_use]
pub fn left_behind(beside: &[f64]) -> Option<f64> {
    if beside.len() < FEWEST || beside.iter().any(|kg| !kg.is_finite()) {
        return None;
    }
    let mut sorted = beside.to_vec();
    sorted.sort_by(f64::total_cmp);
    let n = sorted.len() as f64;
    let (low, high) = (0.25 * n, 0.75 * n);
    let shared = |i: usize| ((i + 1) as f64).min(high) - (i as f64).max(low);
    let sum: f64 = (0..sorted.len())
        .map(|i| shared(i).max(0.0) * sorted[i])
        .sum();
    Some(sum / (high - low))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario;

    /// Catches a target whose parts do not add up, with and without what is not reached, and syrup that does not make up for what is
    /// short.
    #[test]
    fn the_parts_add_up() {
        let s = scenario::built_in("larch-flats").unwrap().scenario;
        let colony = s.stacks[1].colony.as_ref().unwrap();
        let eaten: Vec<f64> = (0..19).map(|i| 15.0 + 0.5 * f64::from(i)).collect();
        let plain = target(colony, &eaten, &[None], 0.9, 3.0, s.season.start).unwrap();
        for unreached in [0.0, 1.5] {
            let t = plain.clone().with_unreached(unreached);
            assert_eq!(t.stores, t.need_poor + unreached + t.reserve);
            let gross = colony.scale.tare + colony.bees + colony.pollen + t.stores;
            assert!((t.gross - gross).abs() < 1e-9);
            assert!((2.0 * t.per_lift - t.gross).abs() < 1e-9);
            assert!((t.spare - (colony.stores - t.stores)).abs() < 1e-9);
            assert!(t.spare < 0.0);
            assert!((t.syrup_litres * STORES_PER_LITRE_SYRUP + t.spare).abs() < 1e-9);
        }
    }
}
