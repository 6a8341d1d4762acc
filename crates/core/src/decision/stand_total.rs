//! What a change does to the stand as a whole: moving bees or honey buys one colony what it costs the other.

use super::gains::{Difference, NO_HONEY};
use crate::ensemble::draws::DrawOutcome;
use serde::Serialize;

/// The sum over all colonies of a stand.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct StandTotal {
    /// Honey that all colonies together need less, kg; negative: more.
    pub need: Difference,
    /// Colonies, each with its queen, before and after.
    pub colonies: [usize; 2],
    /// Draws in which one of them or more starves or is killed by cold, before and after.
    pub short: [usize; 2],
}

/// The sum over all stacks, draw by draw, the same draws in the same order; `None` without draws, or where one colony is all there is.
#[must_use]
pub fn whole(
    old: &[Vec<Option<DrawOutcome>>],
    new: &[Vec<Option<DrawOutcome>>],
) -> Option<StandTotal> {
    let count = |d: Option<&Vec<Option<DrawOutcome>>>| d.map_or(0, |d| d.iter().flatten().count());
    let colonies = [count(old.first()), count(new.first())];
    if colonies[0] < 2 {
        return None;
    }
    let need = |d: &[Option<DrawOutcome>]| -> f64 { d.iter().flatten().map(|f| f.need).sum() };
    let less: Vec<f64> = old
        .iter()
        .zip(new)
        .map(|(o, n)| need(o) - need(n))
        .collect();
    let short = |all: &[Vec<Option<DrawOutcome>>]| {
        let fails = |f: &DrawOutcome| f.starved || f.too_cold;
        all.iter().filter(|d| d.iter().flatten().any(fails)).count()
    };
    Some(StandTotal {
        need: Difference::of(&less, NO_HONEY)?,
        colonies,
        short: [short(old), short(new)],
    })
}

#[cfg(test)]
mod tests {
    use super::super::gains::tests::draw;
    use super::*;

    /// Catches a sum that forgets a colony: two that need 20 and 12 kg become one that needs 29 beside honey for it, and the stand needs
    /// 3 kg less, not 9 more; and a draw counted as fed although one of two starves.
    #[test]
    fn the_stand_is_the_sum_of_its_colonies() {
        let pair: Vec<_> = (0..10)
            .map(|i| vec![draw(20.0 + f64::from(i), 25.5, 9.0), draw(12.0, 15.0, 9.0)])
            .collect();
        let one: Vec<_> = (0..10)
            .map(|i| vec![draw(29.0 + f64::from(i), 45.0, 9.0), None])
            .collect();
        let w = whole(&pair, &one).unwrap();
        assert!((w.need.spread.middle - 3.0).abs() < 1e-12 && !w.need.close);
        assert_eq!(w.colonies, [2, 1]);
        assert_eq!(w.short, [4, 0]);
        assert!(whole(&one, &one).is_none() && whole(&[], &[]).is_none());
    }
}
