//! Where the bees' water goes: what the winters of a run come to, and their months.

use crate::ensemble::levels::{level, middle};
use crate::water::{Gathered, MonthOfWater, WaterBooks, WinterWater};
use jiff::civil::Date;
use serde::Serialize;

/// An amount in a middling winter, and in a poor one.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Amount {
    /// As many winters have more as have less.
    pub middling: f64,
    /// Not more than this in the level of winters asked for; `None` below five winters.
    pub poor: Option<f64>,
}

impl Amount {
    /// Of one value a winter, at the level `p`. None is below zero, however little is known of the winters.
    fn of(values: impl Iterator<Item = f64>, p: f64) -> Self {
        let mut all: Vec<f64> = values.collect();
        all.sort_by(f64::total_cmp);
        let least = all.first().copied().unwrap_or(0.0);
        Self {
            middling: middle(&all),
            poor: level(&all, p).map(|l| l.value.max(least)),
        }
    }
}

/// Days as they are told: whole ones, rounded up.
fn whole(days: f64) -> f64 {
    (days - 1e-9).ceil().max(0.0)
}

/// Days on which water drips on the bees that the level `p` of winters does not pass, as whole days; below five winters the most of those
/// there are.
///
/// ```
/// use partywall_core::decision::hive_water::poor_days;
/// assert_eq!(poor_days(&[0, 0, 1, 2, 3, 4, 5, 6, 30], 0.9), 30.0);
/// assert_eq!(poor_days(&[0, 3], 0.9), 3.0);
/// ```
#[must_use]
pub fn poor_days(days: &[u32], p: f64) -> f64 {
    let all: Vec<f64> = days.iter().map(|d| f64::from(*d)).collect();
    let most = all.iter().copied().fold(0.0, f64::max);
    whole(level(&all, p).map_or(most, |l| l.value))
}

/// What the winters come to. Masses in kg.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct WaterSummary {
    /// Water the bees gave off.
    pub made: Amount,
    /// Carried out by the air.
    pub carried: Amount,
    /// Gone out through walls, floor and lid.
    pub through: Amount,
    /// Run off over the floor and out.
    pub run_off: Amount,
    /// More water in the wood than in autumn.
    pub in_wood: Amount,
    /// Most dew and ice under the lid at a time.
    pub lid_most: Amount,
    /// The most of all winters.
    pub lid_worst: f64,
    /// The day of that.
    pub lid_worst_on: Option<Date>,
    /// Days on which water dripped on the bees; whole ones in a poor winter.
    pub drip_days: Amount,
    /// What dripped on the bees.
    pub on_bees: Amount,
    /// Winters in which it did on any day.
    pub winters_dripped: usize,
    /// Outside air that passed, mean of all winters, L/s.
    pub air: f64,
}

impl WaterSummary {
    /// Of winters, at the level `p`.
    #[must_use]
    pub fn of(winters: &[WinterWater], p: f64) -> Self {
        let amount = |of: fn(&WinterWater) -> f64| Amount::of(winters.iter().map(of), p);
        let drip_days = amount(|w| f64::from(w.drip_days));
        let worst = winters
            .iter()
            .max_by(|a, b| a.lid_most.total_cmp(&b.lid_most));
        Self {
            made: amount(|w| w.made),
            carried: amount(|w| w.carried),
            through: amount(|w| w.through),
            run_off: amount(|w| w.run_off),
            in_wood: amount(|w| w.in_wood),
            lid_most: amount(|w| w.lid_most),
            lid_worst: worst.map_or(0.0, |w| w.lid_most),
            lid_worst_on: worst.and_then(|w| w.lid_most_on),
            drip_days: Amount {
                poor: drip_days.poor.map(whole),
                ..drip_days
            },
            on_bees: amount(|w| w.on_bees),
            winters_dripped: winters.iter().filter(|w| w.drip_days > 0).count(),
            air: winters.iter().map(|w| w.air).sum::<f64>() / winters.len().max(1) as f64,
        }
    }
}

/// A month in the mean of the winters; where the season holds a part of it, that part.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct MeanMonth {
    /// Month of the year, 1 to 12.
    pub month: i8,
    /// Water the bees gave off, kg.
    pub made: f64,
    /// Carried out by air, kg.
    pub carried: f64,
    /// What came down as dew or ice, kg; some of it more than once.
    pub dew: Gathered,
    /// Outside air that passed, L/s.
    pub air: f64,
    /// Relative humidity of the air around the cluster, 0 to 1.
    pub humidity: f64,
    /// Carbon dioxide among the bees, by volume.
    pub carbon_dioxide: f64,
}

/// The water of one hive over all winters.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct HiveWater {
    /// Winters.
    #[serde(flatten)]
    pub summary: WaterSummary,
    /// Months, in the order of the season.
    pub months: Vec<MeanMonth>,
}

impl HiveWater {
    /// From the books of the winters, at the level `p`.
    #[must_use]
    pub fn of(books: &[&WaterBooks], p: f64) -> Self {
        let winters: Vec<WinterWater> = books.iter().map(|b| b.sums).collect();
        Self {
            summary: WaterSummary::of(&winters, p),
            months: months(books),
        }
    }
}

/// The months of all winters, in the order in which they come: sums in the mean of the winters that have the month, states in the mean of
/// their hours.
fn months(books: &[&WaterBooks]) -> Vec<MeanMonth> {
    let mut order: Vec<i8> = Vec::new();
    for m in books.iter().flat_map(|b| &b.months) {
        if !order.contains(&m.month) {
            order.push(m.month);
        }
    }
    let mean = |month: i8| {
        let same = books.iter().flat_map(|b| &b.months);
        let same: Vec<&MonthOfWater> = same.filter(|m| m.month == month).collect();
        let sum = |of: fn(&MonthOfWater) -> f64| -> f64 {
            same.iter().map(|m| of(m)).sum::<f64>() / same.len().max(1) as f64
        };
        let hours: f64 = same.iter().map(|m| f64::from(m.hours)).sum();
        let state = |of: fn(&MonthOfWater) -> f64| -> f64 {
            same.iter().map(|m| f64::from(m.hours) * of(m)).sum::<f64>() / hours.max(1.0)
        };
        MeanMonth {
            month,
            made: sum(|m| m.made),
            carried: sum(|m| m.carried),
            dew: Gathered {
                lid: sum(|m| m.dew.lid),
                walls: sum(|m| m.dew.walls),
                floor: sum(|m| m.dew.floor),
                combs: sum(|m| m.dew.combs),
            },
            air: state(|m| m.air),
            humidity: state(|m| m.humidity),
            carbon_dioxide: state(|m| m.carbon_dioxide),
        }
    };
    order.into_iter().map(mean).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    fn winter(lid_most: f64, drip_days: u32) -> WinterWater {
        WinterWater {
            lid_most,
            lid_most_on: Some(date(2000 + drip_days as i16, 1, 5)),
            drip_days,
            ..WinterWater::default()
        }
    }

    /// Catches a poor winter that is a good one, parts of a day, the day of another winter's worst lid, and a level made up from four winters.
    #[test]
    fn winters_come_to_a_middling_and_a_poor_one() {
        let all: Vec<WinterWater> = (0..10)
            .map(|i| winter(0.1 * f64::from(i), if i < 7 { 0 } else { i }))
            .collect();
        let s = WaterSummary::of(&all, 0.9);
        assert!((s.lid_most.middling - 0.45).abs() < 1e-12);
        // Rank 9.9 of ten winters: 0.8 + 0.9 x 0.1 of the lid, 8.9 of the days.
        assert!((s.lid_most.poor.unwrap() - 0.89).abs() < 1e-12);
        assert_eq!(s.drip_days.poor, Some(9.0));
        assert_eq!((s.drip_days.middling, s.winters_dripped), (0.0, 3));
        assert_eq!((s.lid_worst, s.lid_worst_on), (0.9, Some(date(2009, 1, 5))));
        let few = WaterSummary::of(&all[..4], 0.9);
        assert_eq!((few.drip_days.poor, few.winters_dripped), (None, 0));
        assert_eq!(poor_days(&[0, 0, 0, 0, 0, 0, 0, 0, 1, 1], 0.9), 1.0);
        assert_eq!(poor_days(&[], 0.9), 0.0);
    }

    /// Catches months out of the season's order, a month that only some winters have spread over all, and humidity that counts a
    /// month of few hours as much as a whole one.
    #[test]
    fn months_are_means_in_the_order_of_the_season() {
        let month = |month, hours, made, humidity| MonthOfWater {
            month,
            hours,
            made,
            humidity,
            ..MonthOfWater::default()
        };
        let books = |months: Vec<MonthOfWater>| WaterBooks {
            months,
            ..WaterBooks::default()
        };
        let one = books(vec![month(12, 100, 1.0, 0.5), month(1, 100, 2.0, 0.5)]);
        let two = books(vec![month(12, 300, 2.0, 0.9)]);
        let w = HiveWater::of(&[&one, &two], 0.9);
        let told: Vec<(i8, f64)> = w.months.iter().map(|m| (m.month, m.made)).collect();
        assert_eq!(told, [(12, 1.5), (1, 2.0)]);
        assert!((w.months[0].humidity - 0.8).abs() < 1e-12);
    }
}
