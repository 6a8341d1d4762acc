//! Where the reduced network is held against the full one: in the winter that sets an answer, about its weakest moment. One rule for every
//! command that rests on the reduced network.

use crate::season::Comparison;
use crate::season::outcome::{ColonyOutcome, WinterOutcome};
use crate::season::{Method, SeasonError, WinterRun};
use std::ops::Range;

/// Days compared with the full network: this many before the weakest moment, and after it (a choice: three
/// weeks of the cold that leads to it, and a week of what follows).
const CHECKED: (usize, usize) = (20, 7);

/// How much of the winter is gone over with the full network.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum CheckWindow {
    /// Four weeks about the weakest moment.
    Weakest,
    /// All of it.
    Winter,
}

/// Index of the winter (or run) that sets an answer at a level (share of winters): the one at the rank `level (N + 1)` of those in which so
/// much honey was eaten, kg, all colonies together, as [`crate::ensemble::levels`] counts; `None` without winters.
#[must_use]
pub fn sets_the_answer(eaten: &[f64], level: f64) -> Option<usize> {
    let mut order: Vec<usize> = (0..eaten.len()).collect();
    order.sort_by(|&a, &b| eaten[a].total_cmp(&eaten[b]));
    let rank = (level * (order.len() as f64 + 1.0)).round() as usize;
    order.get(rank.clamp(1, order.len().max(1)) - 1).copied()
}

impl WinterRun<'_> {
    /// Holds the reduced network against the full one in this winter, which came to `outcome` on the reduced one. `None` without colonies, or
    /// where the stretch is too short to compare an hour.
    ///
    /// # Errors
    /// As [`WinterRun::run`].
    pub fn check(
        &self,
        outcome: &WinterOutcome,
        stretch: CheckWindow,
    ) -> Result<Option<Comparison>, SeasonError> {
        let hand = |c: &ColonyOutcome| c.weakest.heat_in_hand;
        let weakest = outcome
            .colonies
            .iter()
            .min_by(|a, b| hand(a).total_cmp(&hand(b)));
        let Some(weakest) = weakest else {
            return Ok(None);
        };
        let since = weakest.weakest.time - self.winter.start.at(0, 0, 0, 0);
        let day = usize::try_from(since.get_days()).unwrap_or(0);
        let hours = match stretch {
            CheckWindow::Weakest => about(day),
            CheckWindow::Winter => 0..self.winter.hours.len(),
        };
        let found = self.compare(Method::HOURLY, hours)?;
        Ok((found.hours > 0).then_some(found))
    }
}

/// The hours about a day of the winter.
fn about(day: usize) -> Range<usize> {
    24 * day.saturating_sub(CHECKED.0)..24 * (day + CHECKED.1)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a winter that does not set the answer: the hardest where nine in ten are asked for, one of the mild ones, or none where there
    /// are some.
    #[test]
    fn the_winter_at_the_level_is_checked() {
        let eaten: Vec<f64> = (0..19).map(|i| f64::from((7 * i) % 19)).collect();
        let at = |level| eaten[sets_the_answer(&eaten, level).unwrap()];
        assert_eq!((at(0.9), at(0.5)), (17.0, 9.0));
        assert_eq!((at(0.999), at(0.0)), (18.0, 0.0));
        assert_eq!(sets_the_answer(&[4.0], 0.9), Some(0));
        assert_eq!(sets_the_answer(&[], 0.9), None);
    }

    /// Catches a stretch that begins before the winter does, and one without the weakest day.
    #[test]
    fn the_stretch_holds_its_day() {
        assert_eq!(about(3), 0..240);
        assert_eq!(about(100), 24 * 80..24 * 107);
    }
}
