//! What one hive stand gains a colony against another, from the same draws.

use super::hive_water::{WaterSummary, poor_days};
use super::planned::Planned;
use super::starving::Starving;
use super::stores::{left_behind, stores_needed};
use crate::ensemble::draws::DrawOutcome;
use crate::ensemble::levels::{FEWEST, level, middle};
use crate::water::WinterWater;
use serde::Serialize;

/// Less than this is no difference a scale could show, kg (a choice: half a pound, finer than a luggage scale reads).
pub const NO_HONEY: f64 = 0.25;
/// Less than this is no difference of a margin, K (a choice: less than a glance at a thermometer tells).
pub const NO_MARGIN: f64 = 0.5;
/// A difference counts when so large a share of the draws agrees on its sign (a choice).
const AGREE: f64 = 0.9;

/// The middle of some outcomes, and the range that one in ten lies below and one in ten above; least and most when there are
/// fewer than five.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Spread {
    /// One in ten is lower.
    pub low: f64,
    /// As many are lower as higher.
    pub middle: f64,
    /// One in ten is higher.
    pub high: f64,
}

impl Spread {
    /// The spread of some outcomes; `None` without any, or when one is not a number.
    ///
    /// ```
    /// use partywall_core::decision::gains::Spread;
    /// let nine: Vec<f64> = (1..=9).map(f64::from).collect();
    /// let s = Spread::of(&nine).unwrap();
    /// assert_eq!((s.low, s.middle, s.high), (1.0, 5.0, 9.0));
    /// assert_eq!(Spread::of(&[3.0, 1.0]).unwrap().middle, 2.0);
    /// assert!(Spread::of(&[]).is_none());
    /// ```
    #[must_use]
    pub fn of(v: &[f64]) -> Option<Self> {
        if v.is_empty() || v.iter().any(|x| !x.is_finite()) {
            return None;
        }
        if v.len() >= FEWEST {
            let at = |p| level(v, p).map(|l| l.value);
            return Some(Self {
                low: at(0.1)?,
                middle: at(0.5)?,
                high: at(0.9)?,
            });
        }
        let mut sorted = v.to_vec();
        sorted.sort_by(f64::total_cmp);
        let n = sorted.len();
        Some(Self {
            low: sorted[0],
            middle: middle(&sorted),
            high: sorted[n - 1],
        })
    }

    /// Half the width of the range.
    #[must_use]
    pub fn half(&self) -> f64 {
        0.5 * (self.high - self.low)
    }
}

/// A difference over all draws, and whether it can be told from none.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Difference {
    /// Its size over the draws; positive is better.
    pub spread: Spread,
    /// Draws in which it is better.
    pub better: usize,
    /// Draws in which it is worse.
    pub worse: usize,
    /// Too close to call: less than nine draws in ten agree on the sign, or the middle is too small to show.
    pub close: bool,
}

impl Difference {
    /// From the differences draw by draw; `smallest` is what shows. `None` without draws.
    #[must_use]
    pub fn of(v: &[f64], smallest: f64) -> Option<Self> {
        let spread = Spread::of(v)?;
        let better = v.iter().filter(|d| **d > 0.0).count();
        let worse = v.iter().filter(|d| **d < 0.0).count();
        let agreed = better.max(worse) as f64 >= AGREE * v.len() as f64;
        Some(Self {
            spread,
            better,
            worse,
            close: !agreed || spread.middle.abs() < smallest,
        })
    }
}

/// What a change does to one colony.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Gain {
    /// Honey more in the hive at first nectar, kg: less eaten, or more put in.
    pub honey: Difference,
    /// The same with one kind of colony only: how much of the spread is winters, kg. `None` when not run.
    pub honey_by_winters: Option<Spread>,
    /// Heat in hand more at the weakest moment, K of colder air.
    pub margin: Difference,
    /// Draws it starves in now but would not have, less those it would but does not: fewer is positive.
    pub starved_fewer: i64,
    /// Draws it starves in before and after.
    pub starved: [usize; 2],
    /// The draws in which it starves only before or only after, and whether they are more than chance.
    pub starving: Starving,
    /// As `starved_fewer` for draws in which the cold alone kills.
    pub too_cold_fewer: i64,
    /// Draws in which the cold alone kills before and after.
    pub too_cold: [usize; 2],
    /// Bees more on the start date, kg.
    pub bees: f64,
    /// Hours of flight more, middle of the draws.
    pub flight_hours: f64,
    /// Least heat in hand of all draws before and after, K of colder air.
    pub heat_in_hand: [f64; 2],
    /// Days on which water drips on the bees, before and after: one draw in ten has more.
    pub drip_days: [f64; 2],
    /// Draws in which it drips on them at all, before and after.
    pub dripped: [usize; 2],
    /// Most dew and ice under the lid, kg, before and after: one draw in ten has more.
    pub lid_most: [f64; 2],
}

/// The gain of `new` against `old`, the same draws in the same order; draws in which either has no colony are left out.
/// `None` when none is left.
#[must_use]
pub fn gain(
    old: &[Option<DrawOutcome>],
    new: &[Option<DrawOutcome>],
    plain: Option<[&[Option<DrawOutcome>]; 2]>,
) -> Option<Gain> {
    let both = pairs(old, new);
    let honey = honey(&both);
    let margin: Vec<f64> = both
        .iter()
        .map(|(o, n)| n.heat_in_hand - o.heat_in_hand)
        .collect();
    let count = |what: fn(&DrawOutcome) -> bool| {
        [
            both.iter().filter(|(o, _)| what(o)).count(),
            both.iter().filter(|(_, n)| what(n)).count(),
        ]
    };
    let fewer = |[old, new]: [usize; 2]| old as i64 - new as i64;
    let (starved, too_cold) = (count(|f| f.starved), count(|f| f.too_cold));
    let flight: Vec<f64> = both
        .iter()
        .map(|(o, n)| f64::from(n.flight_hours) - f64::from(o.flight_hours))
        .collect();
    Some(Gain {
        honey: Difference::of(&honey, NO_HONEY)?,
        honey_by_winters: plain.and_then(|[o, n]| Spread::of(&self::honey(&pairs(o, n)))),
        margin: Difference::of(&margin, NO_MARGIN)?,
        starved_fewer: fewer(starved),
        starved,
        starving: Starving::of(both.iter().map(|(o, n)| (o.starved, n.starved))),
        too_cold_fewer: fewer(too_cold),
        too_cold,
        bees: both.first().map_or(0.0, |(o, n)| n.bees - o.bees),
        flight_hours: Spread::of(&flight)?.middle,
        heat_in_hand: [
            least(&mut both.iter().map(|(o, _)| o.heat_in_hand)),
            least(&mut both.iter().map(|(_, n)| n.heat_in_hand)),
        ],
        drip_days: before_after(&both, &|all| poor_days(&days(all), POOR)),
        dripped: before_after(&both, &|all| all.iter().filter(|w| w.drip_days > 0).count()),
        lid_most: before_after(&both, &lid),
    })
}

/// The poor one of draws: one in ten is worse, as in a [`Spread`].
const POOR: f64 = 0.9;

fn days(all: &[WinterWater]) -> Vec<u32> {
    all.iter().map(|w| w.drip_days).collect()
}

fn lid(all: &[WinterWater]) -> f64 {
    let most: Vec<f64> = all.iter().map(|w| w.lid_most).collect();
    Spread::of(&most).map_or(0.0, |s| s.high)
}

/// Something of the water before a change and after it.
fn before_after<T>(
    both: &[(DrawOutcome, DrawOutcome)],
    of: &dyn Fn(&[WinterWater]) -> T,
) -> [T; 2] {
    let water = |which: fn(&(DrawOutcome, DrawOutcome)) -> &DrawOutcome| -> Vec<WinterWater> {
        both.iter().map(|pair| which(pair).water).collect()
    };
    [of(&water(|p| &p.0)), of(&water(|p| &p.1))]
}

fn least(v: &mut dyn Iterator<Item = f64>) -> f64 {
    v.fold(f64::INFINITY, f64::min)
}

fn pairs(
    old: &[Option<DrawOutcome>],
    new: &[Option<DrawOutcome>],
) -> Vec<(DrawOutcome, DrawOutcome)> {
    old.iter()
        .zip(new)
        .filter_map(|(o, n)| Some(((*o)?, (*n)?)))
        .collect()
}

fn honey(both: &[(DrawOutcome, DrawOutcome)]) -> Vec<f64> {
    both.iter().map(|(o, n)| n.over() - o.over()).collect()
}

/// How a colony stands: one row of a comparison.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Standing {
    /// Honey the hive has, feeding included, kg (middle of the winters: syrup may come too late to be taken).
    pub has: f64,
    /// Honey eaten in a middling winter, kg; below five winters the middle of those there are.
    pub need_middling: f64,
    /// Honey that stays where the bees do not get at it when they have little, kg (see [`left_behind`]); 0 when that was not run.
    pub unreached: f64,
    /// Stores needed, kg: a poor winter (the level asked for), what is not reached, and the reserve; `None` below five winters.
    pub stores_needed: Option<f64>,
    /// Stores of syrup planned that comes too late to be taken, kg, left out of what is spare ([`super::planned`]).
    pub late: f64,
    /// Stores of the feeding planned that would find no room in the combs, kg, left out as well.
    pub no_room: f64,
    /// Stores there less stores needed, kg; negative is short.
    pub spare: Option<f64>,
    /// Least heat in hand of all winters, K of colder air.
    pub heat_in_hand: f64,
    /// Winters in which it starved as it stands.
    pub starved: usize,
    /// Those of them beside honey.
    pub beside: usize,
    /// Winters in which the cold alone killed it.
    pub too_cold: usize,
    /// Winters run.
    pub winters: usize,
    /// Where the water of its bees went.
    pub water: WaterSummary,
}

/// How a colony stands over its winters; `None` without a colony.
#[must_use]
pub fn standing(drawn_outcomes: &[Option<DrawOutcome>], p: f64, reserve: f64) -> Option<Standing> {
    let all: Vec<DrawOutcome> = drawn_outcomes.iter().copied().flatten().collect();
    let needs: Vec<f64> = all.iter().map(|f| f.need).collect();
    let short: Vec<f64> = all.iter().map(|f| reserve - f.over()).collect();
    let had: Vec<f64> = all.iter().map(|f| f.had).collect();
    let beside: Vec<f64> = all.iter().filter_map(|f| f.unreached).collect();
    let unreached = left_behind(&beside).unwrap_or(0.0);
    let water: Vec<WinterWater> = all.iter().map(|f| f.water).collect();
    Some(Standing {
        has: Spread::of(&had)?.middle,
        need_middling: Spread::of(&needs)?.middle,
        unreached,
        stores_needed: level(&needs, p).map(|l| stores_needed(l.value, unreached, reserve)),
        late: 0.0,
        no_room: 0.0,
        spare: level(&short, p).map(|l| -l.value - unreached),
        heat_in_hand: least(&mut all.iter().map(|f| f.heat_in_hand)),
        starved: all.iter().filter(|f| f.starved).count(),
        beside: all.iter().filter(|f| f.beside).count(),
        too_cold: all.iter().filter(|f| f.too_cold).count(),
        winters: all.len(),
        water: WaterSummary::of(&water, p),
    })
}

impl Standing {
    /// The same with `stores` kg on the start date and of the feeding planned what counts, not what the feeder of a run brought by May.
    #[must_use]
    pub fn with_planned(self, stores: f64, planned: &Planned) -> Self {
        let has = stores + planned.counted;
        Self {
            has,
            late: planned.too_late(),
            no_room: planned.no_room,
            spare: self.stores_needed.map(|needed| has - needed),
            ..self
        }
    }
}

/// The outcomes of one stack, draw by draw.
#[must_use]
pub fn of_stack(
    drawn_outcomes: &[Vec<Option<DrawOutcome>>],
    stack: usize,
) -> Vec<Option<DrawOutcome>> {
    drawn_outcomes
        .iter()
        .map(|d| d.get(stack).copied().flatten())
        .collect()
}

#[cfg(test)]
pub(super) mod tests;
