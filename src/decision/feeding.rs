//! How much to feed, and until when bees still take syrup at this place.

use super::stores::STORES_PER_LITRE_SYRUP;
use crate::climate::series::Winter;
use crate::colony::feeding::{SYRUPS, appetite};
use crate::colony::parameters::Parameters;
use crate::ensemble::levels::{Method, level};
use crate::scenario::model::MonthDay;
use jiff::civil::Date;
use serde::Serialize;

/// First and last day of the autumn in which syrup can be fed.
pub const AUTUMN: (MonthDay, MonthDay) = (
    MonthDay { month: 8, day: 15 },
    MonthDay { month: 12, day: 15 },
);
/// Stores that a kilogram of sugar leaves in the combs after the bees' own work, kg (trade: 1.22 at most, 1.1 to plan on).
pub const STORES_PER_KG_SUGAR: f64 = 1.1;

/// Something to feed.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Feed {
    /// Stores it is to leave, kg.
    pub stores: f64,
    /// Litres of 2:1 syrup (by weight).
    pub syrup_litres: f64,
    /// Sugar to buy for it, kg; as much does as dry sugar or fondant.
    pub sugar: f64,
}

/// What leaves `stores` kg in the combs.
///
/// ```
/// let f = partywall::decision::feeding::feed(9.7);
/// assert!((f.syrup_litres - 10.0).abs() < 0.01 && (f.sugar - 8.8).abs() < 0.1);
/// ```
#[must_use]
pub fn feed(stores: f64) -> Feed {
    Feed {
        stores,
        syrup_litres: stores / STORES_PER_LITRE_SYRUP,
        sugar: stores / STORES_PER_KG_SUGAR,
    }
}

/// The last day on which syrup fed is still taken, in so many autumns.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LastFeeding {
    /// The day, in the year of the record's last autumn: only month and day mean something.
    pub date: Date,
    /// Litres of 2:1 syrup it holds for.
    pub litres: f64,
    /// Air below which bees take none, degC.
    pub not_below_c: f64,
    /// Share of autumns in which it is still taken, as asked for.
    pub level: f64,
    /// Whether that share was counted or reckoned from the autumns' spread.
    pub method: Method,
    /// Autumns of the record it was counted in.
    pub autumns: usize,
    /// The earliest of those days in any autumn.
    pub earliest: Date,
}

/// Days from an autumn's first day to the last on which `litres` of 2:1 syrup put on are still taken, all of them, by a colony
/// of `bees` bees; `None` when they never are. The rate is that of the feeder of a winter run: none below
/// [`Parameters::syrup_c`], rising to [`Parameters::syrup_per_bee_day`] in warm air.
#[must_use]
pub fn last_day(autumn: &Winter, bees: f64, litres: f64, p: &Parameters) -> Option<usize> {
    let density = SYRUPS.first().map_or(1330.0, |s| s.density);
    let mut wanted = 1e-3 * density * litres;
    for (i, hour) in autumn.hours.iter().enumerate().rev() {
        wanted -= appetite(hour.temp_c, p) * p.syrup_per_bee_day * bees / 24.0;
        if wanted <= 0.0 {
            // Put on at the start of the day that holds this hour, it has at least the hours counted.
            return Some(i / 24);
        }
    }
    None
}

/// The last day on which `litres` of 2:1 syrup are taken in a share `p_level` of autumns, by a colony of `bees_kg` kg; `None` below
/// five autumns, or when there are autumns in which they never are.
#[must_use]
pub fn last_feeding(
    autumns: &[Winter],
    bees_kg: f64,
    litres: f64,
    p_level: f64,
    p: &Parameters,
) -> Option<LastFeeding> {
    let bees = bees_kg / p.bee_mass;
    let days: Vec<f64> = autumns
        .iter()
        .map(|a| last_day(a, bees, litres, p).map(|d| -(d as f64)))
        .collect::<Option<_>>()?;
    let late = level(&days, p_level)?;
    let start = autumns.last()?.start;
    let earliest = days.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    Some(LastFeeding {
        date: after(start, -late.value)?,
        litres,
        not_below_c: p.syrup_c,
        level: p_level,
        method: late.method,
        autumns: autumns.len(),
        earliest: after(start, -earliest)?,
    })
}

/// So many whole days later, none before the day itself.
fn after(start: Date, days: f64) -> Option<Date> {
    let days = jiff::Span::new().days(days.max(0.0).floor() as i64);
    start.checked_add(days).ok()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate;
    use crate::scenario::model::ClimateChoice;

    fn autumns(name: &str) -> Vec<Winter> {
        let record = climate::load(&ClimateChoice::BuiltIn(name.into())).unwrap();
        record.winters(AUTUMN.0, AUTUMN.1).unwrap()
    }

    /// Catches a date that does not come earlier for more syrup, for fewer bees, for more certainty and in a colder place, and one
    /// far outside the trade's (done by mid September on the prairie, mid October at the latest in the northern tier; the
    /// demo's plain is milder).
    #[test]
    fn more_syrup_and_colder_places_must_be_fed_earlier() {
        let p = Parameters::with(&[]).unwrap();
        let plains = autumns("champion");
        let day = |autumns: &[Winter], kg, litres, level| {
            let f = last_feeding(autumns, kg, litres, level, &p).unwrap();
            let start = autumns.last().unwrap().start;
            start.until(f.date).unwrap().get_days()
        };
        let usual = day(&plains, 2.8, 10.0, 0.9);
        assert!(day(&plains, 2.8, 20.0, 0.9) < usual);
        assert!(day(&plains, 1.2, 10.0, 0.9) < usual);
        assert!(day(&plains, 2.8, 10.0, 0.5) > usual);
        // 15 August + 31 days is mid September, + 61 mid October, + 91 mid November.
        assert!((55..95).contains(&usual), "{usual}");
        let north = day(&autumns("baskatong"), 2.8, 10.0, 0.9);
        assert!((25..70).contains(&north) && north < usual, "{north}");
    }

    /// Catches a date for syrup that no bees could take, and one from too few autumns.
    #[test]
    fn what_cannot_be_told_is_not() {
        let p = Parameters::with(&[]).unwrap();
        let mut cold = autumns("champion");
        cold.iter_mut().for_each(|a| a.make_colder(60.0));
        assert_eq!(last_feeding(&cold, 2.8, 10.0, 0.9, &p), None);
        assert_eq!(
            last_feeding(&autumns("champion")[..4], 2.8, 10.0, 0.9, &p),
            None
        );
    }
}
