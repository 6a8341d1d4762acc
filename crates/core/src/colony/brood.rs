//! Brood: when it starts, bees reared per day, what they are fed, and how large a nest must be kept warm.
//!
//! It starts once its season has come and a week is warm enough, or after a month of waiting all the same; warming, not
//! the date alone, sets it off (Nurnberger et al. 2018, PeerJ). From then it rises in a line to full. What is begun in a day is
//! limited by the bees, by the queen, by the cells the cluster can keep warm and by the honey it touches.

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
    /// Cells begun.
    pub begun: f64,
    /// Bees that emerge.
    pub emerged: f64,
    /// Honey fed, kg.
    pub fed: f64,
    /// Pollen it takes, kg.
    pub pollen: f64,
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

/// Days over which outside air is averaged for the start of brood.
const WEEK: usize = 7;

/// When brood starts in a winter, from the date and from warmth.
#[derive(Debug, Clone, PartialEq)]
pub struct BroodClock {
    start: i32,
    full: i32,
    week: VecDeque<f64>,
    onset: Option<i32>,
}

impl BroodClock {
    /// Brood may start on day `start`; were it to start then, it would be full on day `full`. Days are counted from
    /// any common origin.
    #[must_use]
    pub fn new(start: i32, full: i32) -> Self {
        Self {
            start,
            full,
            week: VecDeque::with_capacity(WEEK),
            onset: None,
        }
    }

    /// Share of full brood on a day whose mean outside air is `mean_c` degC. To be asked once a day, in order.
    pub fn day(&mut self, day: i32, mean_c: f64, p: &Parameters) -> f64 {
        if self.week.len() == WEEK {
            self.week.pop_front();
        }
        self.week.push_back(mean_c);
        if self.onset.is_none() && day >= self.start {
            let mean = self.week.iter().sum::<f64>() / self.week.len() as f64;
            let waited = f64::from(day - self.start) >= p.brood_wait_days;
            if waited || mean >= p.brood_onset_c {
                self.onset = Some(day);
            }
        }
        self.onset
            .map_or(0.0, |o| share(day, o, o + (self.full - self.start)))
    }

    /// Day on which brood started.
    #[must_use]
    pub fn onset(&self) -> Option<i32> {
        self.onset
    }
}

impl Brood {
    /// Rears brood for one day: `share` of what `bees` adults and one queen can do.
    pub fn day(&mut self, share: f64, bees: f64, p: &Parameters) -> BroodDay {
        self.day_within(share, bees, f64::INFINITY, p)
    }

    /// The same in a nest of at most `room` cells.
    pub fn day_within(&mut self, share: f64, bees: f64, room: f64, p: &Parameters) -> BroodDay {
        let begun = share * (p.brood_per_bee_day * bees).min(p.brood_max_day);
        let emerging = if self.begun.len() >= DAYS_TO_EMERGE {
            self.begun.front().copied().unwrap_or(0.0)
        } else {
            0.0
        };
        let begun = begun.min((room - (self.cells() - emerging)).max(0.0));
        let emerged = if self.begun.len() >= DAYS_TO_EMERGE {
            self.begun.pop_front().unwrap_or(0.0)
        } else {
            0.0
        };
        self.begun.push_back(begun);
        BroodDay {
            begun,
            emerged,
            fed: begun * p.brood_food,
            pollen: begun * p.pollen_per_bee,
        }
    }

    /// Cells with brood.
    #[must_use]
    pub fn cells(&self) -> f64 {
        // The sum of nothing is -0, which would be printed so.
        self.begun.iter().sum::<f64>() + 0.0
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

    /// Catches brood begun beyond its room, and room that is not given free by what emerges.
    #[test]
    fn keeps_to_its_room() {
        let p = Parameters::with(&[]).unwrap();
        let mut b = Brood::default();
        for _ in 0..80 {
            b.day_within(1.0, 20_000.0, 3000.0, &p);
            assert!(b.cells() <= 3000.0 + 1e-9);
        }
        assert!(b.cells() > 2900.0);
    }

    /// Catches a start by date alone or by warmth alone, and one that never comes.
    #[test]
    fn starts_by_date_and_warmth() {
        let p = Parameters::with(&[]).unwrap();
        let onset = |air: &dyn Fn(i32) -> f64| {
            let mut c = BroodClock::new(100, 140);
            let shares: Vec<f64> = (0..200).map(|d| c.day(d, air(d), &p)).collect();
            (c.onset(), shares)
        };
        let (warm, shares) = onset(&|_| 6.0);
        assert_eq!(warm, Some(100));
        assert_eq!((shares[99], shares[100], shares[140]), (0.0, 0.1, 1.0));
        let (cold, shares) = onset(&|_| -10.0);
        assert_eq!(cold, Some(128));
        assert_eq!((shares[127], shares[168]), (0.0, 1.0));
        let (thaw, _) = onset(&|d| if d < 110 { -10.0 } else { 8.0 });
        assert!((111..120).contains(&thaw.unwrap()), "{thaw:?}");
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
