//! What a winter asks of bees, from the record alone: how long it kept them still, and how often it let them out.

use jiff::civil::Date;

use crate::climate::calendar;
use crate::climate::series::{Hour, Winter};

/// Stresses of one winter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stresses {
    /// Hours of the longest spell without an hour above the temperature at which clusters move.
    pub still_hours: usize,
    /// Day on which that spell begins; the winter's first day when there is none.
    pub still_from: Date,
    /// Hours in which bees could fly.
    pub flight_hours: usize,
    /// Longest time between two such hours, or to the winter's ends, whole days.
    pub confined_days: usize,
}

impl Stresses {
    /// Of a winter; clusters move above `moves_c` (degC) in the air outside, bees fly in hours for which `flies` holds.
    #[must_use]
    pub fn of(winter: &Winter, moves_c: f64, flies: impl Fn(&Hour) -> bool) -> Self {
        let (still_at, still_hours) = longest(&winter.hours, |h| h.outdoor_c <= moves_c);
        let (_, confined) = longest(&winter.hours, |h| !flies(h));
        let day = calendar::day_number(winter.start) + i64::try_from(still_at / 24).unwrap_or(0);
        Self {
            still_hours,
            still_from: calendar::date_of(day).unwrap_or(winter.start),
            flight_hours: winter.hours.iter().filter(|h| flies(h)).count(),
            confined_days: confined / 24,
        }
    }
}

/// Where the longest run of hours for which `holds` begins, and its length.
fn longest(hours: &[Hour], holds: impl Fn(&Hour) -> bool) -> (usize, usize) {
    let (mut best, mut run) = ((0, 0), 0);
    for (i, hour) in hours.iter().enumerate() {
        run = if holds(hour) { run + 1 } else { 0 };
        if run > best.1 {
            best = (i + 1 - run, run);
        }
    }
    best
}

#[cfg(test)]
mod tests {
    use super::*;

    fn winter(temps: &[f64]) -> Winter {
        Winter::dark("a", jiff::civil::date(2013, 12, 30), temps.iter().copied())
    }

    /// Catches a spell that goes on over a single warm hour, a wrong start, and one that reaches the winter's end cut off.
    #[test]
    fn one_warm_hour_ends_a_spell() {
        let mut temps = vec![-10.0; 24 * 10];
        temps[24 * 4 + 5] = -6.9;
        temps[3] = 11.0;
        let s = Stresses::of(&winter(&temps), -7.0, |h| h.outdoor_c >= 10.0);
        assert_eq!(s.still_hours, 24 * 6 - 6);
        assert_eq!(s.still_from.to_string(), "2014-01-03");
        assert_eq!((s.flight_hours, s.confined_days), (1, 9));
        let mild = Stresses::of(&winter(&[0.0; 48]), -7.0, |_| true);
        assert_eq!((mild.still_hours, mild.confined_days), (0, 0));
    }
}
