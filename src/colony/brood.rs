//! Brood as a dated extra: bees reared per day, what they are fed, and how large a nest must be kept warm.

use super::parameters::Parameters;
use std::collections::VecDeque;

/// Days from egg to emerging worker (beekeeping texts).
pub const DAYS_TO_EMERGE: usize = 21;

/// Share of full brood on the first day of brood (common practice, no source).
const FIRST_SHARE: f64 = 0.1;

/// Brood in the nest, by the day it was begun.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Brood {
    /// Cells begun per day, oldest first; at most [`DAYS_TO_EMERGE`] entries.
    begun: VecDeque<f64>,
}

/// What a day of brood rearing does to the colony.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct BroodDay {
    /// Bees that emerge.
    pub emerged: f64,
    /// Honey fed, kg.
    pub fed: f64,
}

/// Share of full brood rearing on a day: 0 before `start`, rising in a line from a tenth to one at `full`, one after.
/// Days are counted from any common origin.
#[must_use]
pub fn share(day: i32, start: i32, full: i32) -> f64 {
    if day < start {
        0.0
    } else if day >= full || full <= start {
        1.0
    } else {
        FIRST_SHARE + (1.0 - FIRST_SHARE) * f64::from(day - start) / f64::from(full - start)
    }
}

impl Brood {
    /// Rears brood for one day: `share` of what `bees` adults and one queen can do.
    pub fn day(&mut self, share: f64, bees: f64, p: &Parameters) -> BroodDay {
        let begun = share * (p.brood_per_bee_day * bees).min(p.brood_max_day);
        let emerged = if self.begun.len() >= DAYS_TO_EMERGE {
            self.begun.pop_front().unwrap_or(0.0)
        } else {
            0.0
        };
        self.begun.push_back(begun);
        BroodDay {
            emerged,
            fed: begun * p.brood_food,
        }
    }

    /// Cells with brood.
    #[must_use]
    pub fn cells(&self) -> f64 {
        self.begun.iter().sum()
    }

    /// Volume of comb and seam to be kept at brood temperature, m3.
    #[must_use]
    pub fn volume(&self, p: &Parameters) -> f64 {
        self.cells() / p.brood_cells_per_m3
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches bees that are lost or invented between egg and emergence.
    #[test]
    fn every_cell_emerges_once() {
        let p = Parameters::with(&[]).unwrap();
        let mut b = Brood::default();
        let (mut emerged, mut fed) = (0.0, 0.0);
        for day in 0..60 {
            let d = b.day(if day < 30 { 0.5 } else { 0.0 }, 10_000.0, &p);
            emerged += d.emerged;
            fed += d.fed;
        }
        let begun = 30.0 * 0.5 * (p.brood_per_bee_day * 10_000.0).min(p.brood_max_day);
        assert!((emerged - begun).abs() < 1e-9 * begun);
        assert!((fed - begun * p.brood_food).abs() < 1e-12);
        assert!(b.cells() < 1e-9);
    }

    /// Catches a ramp that starts early, overshoots or divides by zero.
    #[test]
    fn ramp() {
        assert_eq!(share(9, 10, 20), 0.0);
        assert_eq!(share(10, 10, 20), 0.1);
        assert_eq!(share(20, 10, 20), 1.0);
        assert_eq!(share(99, 10, 20), 1.0);
        assert_eq!(share(10, 10, 10), 1.0);
    }
}
