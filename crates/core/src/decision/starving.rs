//! Whether one hive starves less often than another, over the same draws.
//!
//! Draws in which a colony starves in both hives, or in neither, say nothing. Among the others a hive that makes no difference is as often
//! the worse as the better one: the exact sign test on discordant pairs (Dixon & Mood 1946; for counts of yes and no, McNemar 1947).

use serde::Serialize;

/// A difference counts when chance alone gives one as large, either way, to so large a share of such comparisons at most (the usual one in
/// twenty; of the twenty to thirty changes that are tried on a stand, one may pass by chance).
pub const BY_CHANCE: f64 = 0.05;

/// Draws in which only one of two hives starves the colony.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct Starving {
    /// It starves in the old hive but not in the new one.
    pub saved: usize,
    /// It starves in the new hive but not in the old one.
    pub lost: usize,
    /// Whether that is more than chance would give.
    pub clear: bool,
}

impl Starving {
    /// From pairs of "starves before" and "starves after", draw by draw.
    ///
    /// ```
    /// use partywall_core::decision::starving::Starving;
    /// // Six draws saved and none lost: 2/64, less than one in twenty. Five: 2/32, more.
    /// let of = |saved| Starving::of((0..36).map(|i| (i < saved, false)));
    /// assert!(of(6).better() && !of(5).better());
    /// ```
    #[must_use]
    pub fn of(pairs: impl IntoIterator<Item = (bool, bool)>) -> Self {
        let (mut saved, mut lost) = (0, 0);
        for (before, after) in pairs {
            saved += usize::from(before && !after);
            lost += usize::from(after && !before);
        }
        Self {
            saved,
            lost,
            clear: by_chance(saved, lost) <= BY_CHANCE,
        }
    }

    /// It starves less often, by more than chance.
    #[must_use]
    pub fn better(&self) -> bool {
        self.clear && self.saved > self.lost
    }

    /// It starves more often, by more than chance.
    #[must_use]
    pub fn worse(&self) -> bool {
        self.clear && self.lost > self.saved
    }
}

/// The share of fair coins, tossed `a + b` times, that fall at least as unevenly as `a` to `b` either way:
/// `2 sum_{k >= max} C(n, k) / 2^n`, 1 at most.
fn by_chance(a: usize, b: usize) -> f64 {
    let n = a + b;
    // Each term from the one before, from k = n downwards: C(n, k) = C(n, k + 1) (k + 1) / (n - k).
    let mut term = 0.5f64.powf(n as f64);
    let mut tail = 0.0;
    for k in (a.max(b)..=n).rev() {
        tail += term;
        if k > 0 {
            term *= k as f64 / (n - k + 1) as f64;
        }
    }
    (2.0 * tail).min(1.0)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a tail that is summed wrongly: against binomial tables (n = 10: 8 or more heads 56/1024, 9 or more 11/1024).
    #[test]
    fn tails_are_those_of_the_table() {
        for (a, b, tail) in [
            (8, 2, 56.0 / 1024.0),
            (9, 1, 11.0 / 1024.0),
            (10, 0, 1.0 / 1024.0),
            (6, 0, 1.0 / 64.0),
            (7, 1, 9.0 / 256.0),
        ] {
            assert!((by_chance(a, b) - 2.0 * tail).abs() < 1e-12, "{a} {b}");
            assert_eq!(by_chance(a, b), by_chance(b, a));
        }
        assert_eq!((by_chance(0, 0), by_chance(3, 3)), (1.0, 1.0));
        assert!(by_chance(600, 400) < 1e-9);
    }

    /// Catches a rule that looks at the counts only: 9 against 3 is a difference when no draw is lost, and none when most are others.
    #[test]
    fn it_is_the_draws_that_change_that_count() {
        let steady = Starving::of((0..36).map(|i| (i < 9, i < 3)));
        assert_eq!((steady.saved, steady.lost), (6, 0));
        assert!(steady.better() && !steady.worse());
        // The same counts, but other draws: nine saved, three lost.
        let others = Starving::of((0..36).map(|i| (i < 9, (9..12).contains(&i))));
        assert_eq!((others.saved, others.lost), (9, 3));
        assert!(!others.clear && !others.better());
        let worse = Starving::of((0..36).map(|i| (i < 3, i < 9)));
        assert!(worse.worse() && !worse.better());
    }
}
