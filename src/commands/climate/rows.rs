//! The winters of a record, one row each.

use std::collections::HashMap;

use jiff::civil::Date;
use serde::Serialize;

use super::round;
use partywall_core::climate::spring::Spring;
use partywall_core::climate::stresses::Stresses;
use partywall_core::climate::sums::Sums;
use partywall_core::climate::{self, Cut, Mended};
use partywall_core::colony::flights;
use partywall_core::colony::parameters::Parameters;
use partywall_report::pictures::axis;

/// One winter; temperatures in degC, degree days in K d.
#[derive(Debug, Clone, Serialize)]
pub(super) struct ToldWinter {
    pub(super) winter: String,
    pub(super) days: usize,
    pub(super) mean_c: f64,
    pub(super) coldest_hour_c: f64,
    pub(super) coldest_day_c: f64,
    pub(super) coldest_spell_c: f64,
    pub(super) coldest_spell_from: String,
    pub(super) longest_run_never_above_minus_15_days: usize,
    pub(super) longest_without_moving_h: usize,
    pub(super) longest_without_moving_from: String,
    pub(super) flight_hours: usize,
    pub(super) longest_without_flight_days: usize,
    pub(super) degree_days_below_10_c: f64,
    pub(super) degree_days_below_18_c: f64,
    pub(super) cold_sum: f64,
    pub(super) hours_above_10_c: usize,
    pub(super) ice_days: usize,
    pub(super) filled_days: usize,
    pub(super) filled_hours: usize,
    pub(super) stuck_days: usize,
    pub(super) impossible_readings: usize,
    /// First dandelions and first dependable nectar by the rule of thumb.
    pub(super) dandelion_by_rule: Option<Date>,
    pub(super) nectar_by_rule: Option<Date>,
    pub(super) verdict: &'static str,
    pub(super) spring: &'static str,
}

/// The whole winters of a record; `springs` by the rule of thumb, `p` says when clusters move and bees fly.
pub(super) fn winters(cut: &Cut, springs: &[Spring], p: &Parameters) -> Vec<ToldWinter> {
    let springs: HashMap<&str, &Spring> = springs.iter().map(|s| (s.winter.as_str(), s)).collect();
    let none = Mended::default();
    let summed: Vec<_> = cut
        .whole
        .iter()
        .enumerate()
        .filter_map(|(i, w)| Some((w, Sums::of(w)?, cut.mended.get(i).unwrap_or(&none))))
        .collect();
    let mut by_cold: Vec<f64> = summed.iter().map(|(_, s, _)| -s.mean_c).collect();
    by_cold.sort_by(f64::total_cmp);
    let lateness = |s: &Spring| {
        let day = i32::from(s.nectar.day_of_year());
        // South of the equator a spring may run over New Year.
        f64::from(if s.dandelion.year() < s.nectar.year() {
            day + 366
        } else {
            day
        })
    };
    let mut by_spring: Vec<f64> = springs.values().map(|s| lateness(s)).collect();
    by_spring.sort_by(f64::total_cmp);
    summed
        .iter()
        .map(|(w, s, mended)| {
            let spring = springs.get(w.label.as_str());
            // Out of the wind: what a record knows of it, it knows of open land.
            let stress = Stresses::of(w, p.cluster_complete_c, |h| {
                flights::hour(h.outdoor_c, h.ghi, 0.0, 1.0, p).cleansing
            });
            ToldWinter {
                winter: w.label.clone(),
                days: s.days,
                mean_c: round(s.mean_c, 2),
                coldest_hour_c: round(s.min_c, 1),
                coldest_day_c: round(s.coldest_day_c, 1),
                coldest_spell_c: round(s.coldest_spell_c, 1),
                coldest_spell_from: spell_date(w.start, s.coldest_spell_day),
                longest_run_never_above_minus_15_days: s.bitter_days,
                longest_without_moving_h: stress.still_hours,
                longest_without_moving_from: if stress.still_hours == 0 {
                    String::new()
                } else {
                    axis::day(stress.still_from)
                },
                flight_hours: stress.flight_hours,
                longest_without_flight_days: stress.confined_days,
                degree_days_below_10_c: round(s.hdd10, 1),
                degree_days_below_18_c: round(s.hdd18, 1),
                cold_sum: round(s.cold_sum, 1),
                hours_above_10_c: s.hours_above_10,
                ice_days: s.ice_days,
                filled_days: w.filled_days,
                filled_hours: mended.filled_hours,
                stuck_days: w.stuck_days,
                impossible_readings: mended.impossible,
                dandelion_by_rule: spring.map(|s| s.dandelion),
                nectar_by_rule: spring.map(|s| s.nectar),
                verdict: verdict(-s.mean_c, &by_cold),
                spring: spring.map_or("", |s| spring_verdict(lateness(s), &by_spring)),
            }
        })
        .collect()
}

/// By how cold winters were on the whole: "hardest" and "mildest" of the record, else "hard" and "mild" for the outer quarters, else "average".
fn verdict(cold: f64, sorted: &[f64]) -> &'static str {
    let n = sorted.len();
    if n < 2 {
        return "the only one";
    }
    let milder = sorted.iter().filter(|c| **c < cold).count();
    match milder {
        0 => "mildest",
        m if m == n - 1 => "hardest",
        m if m * 4 < n => "mild",
        m if (m + 1) * 4 > 3 * n => "hard",
        _ => "average",
    }
}

/// What a spring is called that no other comes after.
pub(super) const LATEST_SPRING: &str = "latest spring";

/// "late spring" for the last quarter of the springs, [`LATEST_SPRING`]; else nothing.
fn spring_verdict(day: f64, sorted: &[f64]) -> &'static str {
    let n = sorted.len();
    let earlier = sorted.iter().filter(|d| **d < day).count();
    let later = sorted.iter().filter(|d| **d > day).count();
    match (earlier, later) {
        _ if n < 2 => "",
        (0, _) => "",
        (_, 0) => LATEST_SPRING,
        (e, _) if (e + 1) * 4 > 3 * n => "late spring",
        _ => "",
    }
}

fn spell_date(start: Date, offset: usize) -> String {
    let day = climate::calendar::day_number(start) + i64::try_from(offset).unwrap_or(0);
    climate::calendar::date_of(day).map_or_else(String::new, axis::day)
}

/// The winter with as many colder as milder ones, the colder of two; `None` below three.
pub(super) fn average(winters: &[ToldWinter]) -> Option<&ToldWinter> {
    let mut order: Vec<&ToldWinter> = winters.iter().collect();
    order.sort_by(|a, b| b.mean_c.total_cmp(&a.mean_c));
    (order.len() > 2)
        .then(|| order.get(order.len() / 2).copied())
        .flatten()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a hard winter called mild, and an extreme missed when there are only two.
    #[test]
    fn verdicts_follow_the_cold() {
        let sorted = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
        let got: Vec<_> = sorted.iter().map(|h| verdict(*h, &sorted)).collect();
        assert_eq!(
            got,
            [
                "mildest", "mild", "average", "average", "average", "average", "hard", "hardest"
            ]
        );
        assert_eq!(verdict(1.0, &[1.0, 2.0]), "mildest");
        assert_eq!(verdict(2.0, &[1.0, 2.0]), "hardest");
        assert_eq!(verdict(2.0, &[2.0]), "the only one");
    }

    /// Catches early springs called late, and springs all of one day called late.
    #[test]
    fn late_springs_are_the_last_quarter() {
        let sorted = [101.0, 102.0, 103.0, 104.0, 105.0, 106.0, 107.0, 108.0];
        let got: Vec<_> = sorted.iter().map(|d| spring_verdict(*d, &sorted)).collect();
        assert_eq!(got[..6], [""; 6]);
        assert_eq!(got[6..], ["late spring", "latest spring"]);
        assert_eq!(spring_verdict(100.0, &[100.0, 100.0, 100.0]), "");
    }
}
