//! How much to feed, and until when bees still take syrup at this place.

use super::stores::STORES_PER_LITRE_SYRUP;
use crate::calendar::MonthDay;
use crate::calendar::{days_between, later};
use crate::climate::Record;
use crate::climate::series::Winter;
use crate::colony::feeding::{SYRUPS, appetite};
use crate::colony::parameters::Parameters;
use crate::ensemble::levels::{Method, level};
use jiff::civil::Date;
use serde::Serialize;

/// First and last day of the autumn in which syrup can be fed, north of the equator (common practice, no source).
const AUTUMN: (MonthDay, MonthDay) = (
    MonthDay { month: 8, day: 15 },
    MonthDay { month: 12, day: 15 },
);
/// From the northern autumn to the southern one, days.
const HALF_A_YEAR: u32 = 182;
/// A year of hives is taken to begin so many days before the autumn: whoever weighs then still has it before them.
const BEFORE_AUTUMN: u32 = 60;

/// First and last day of the autumn in which syrup can be fed, at a latitude (degrees, north positive).
///
/// ```
/// let (first, last) = partywall_core::decision::feeding::autumn(42.0);
/// assert_eq!((first.month, first.day, last.month, last.day), (8, 15, 12, 15));
/// assert_eq!(partywall_core::decision::feeding::autumn(-42.0).0.month, 2);
/// ```
#[must_use]
pub fn autumn(latitude_deg: f64) -> (MonthDay, MonthDay) {
    if latitude_deg < 0.0 {
        (later(AUTUMN.0, HALF_A_YEAR), later(AUTUMN.1, HALF_A_YEAR))
    } else {
        AUTUMN
    }
}

/// The first and last day of an autumn where the record was measured, and its whole autumns: without a whole one there is no last day for
/// syrup.
#[must_use]
pub fn autumns_of(record: &Record) -> ((MonthDay, MonthDay), Vec<Winter>) {
    let autumn = autumn(record.station.latitude_deg);
    let whole = record.cut(autumn.0, autumn.1);
    (autumn, whole.map_or_else(|_| Vec::new(), |c| c.whole))
}

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
/// let f = partywall_core::decision::feeding::feed(9.7);
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
    /// Whether that day lies before the day the hive is weighed: it is too late for so much syrup then.
    pub too_late: bool,
    /// Litres of 2:1 syrup of which all is still taken, in so many autumns, when they are put on on the day of the weighing; `litres`
    /// at most.
    pub still_litres: f64,
}

/// Syrup that `bees` bees take in an hour in outside air of `air_c` degC, kg: that of the feeder of a winter run, none below
/// [`Parameters::syrup_c`], rising to [`Parameters::syrup_per_bee_day`] in warm air.
pub(super) fn taken_in_an_hour(air_c: f64, bees: f64, p: &Parameters) -> f64 {
    appetite(air_c, p) * p.syrup_per_bee_day * bees / 24.0
}

/// Mass of a litre of 2:1 syrup, kg.
fn litre() -> f64 {
    1e-3 * SYRUPS.first().map_or(1330.0, |s| s.density)
}

/// Days from an autumn's first day to the last on which `litres` of 2:1 syrup put on are still taken, all of them, by a colony
/// of `bees` bees; `None` when they never are.
#[must_use]
pub fn last_day(autumn: &Winter, bees: f64, litres: f64, p: &Parameters) -> Option<usize> {
    let mut wanted = litre() * litres;
    for (i, hour) in autumn.hours.iter().enumerate().rev() {
        wanted -= taken_in_an_hour(hour.outdoor_c, bees, p);
        if wanted <= 0.0 {
            // Put on at the start of the day that holds this hour, it has at least the hours counted.
            return Some(i / 24);
        }
    }
    None
}

/// A day of the year as days since another, the first of an autumn or a season; negative in the two months before it.
pub(super) fn since(first: MonthDay, day: MonthDay) -> i64 {
    let year_begins = later(first, 365 - BEFORE_AUTUMN);
    i64::from(days_between(year_begins, day)) - i64::from(BEFORE_AUTUMN)
}

/// The last day on which `litres` of 2:1 syrup are taken in a share `p_level` of autumns, by a colony of `bees_kg` kg that is weighed
/// on `weighed`; `None` below five autumns, or when there are autumns in which they never are.
#[must_use]
pub fn last_feeding(
    autumns: &[Winter],
    bees_kg: f64,
    litres: f64,
    p_level: f64,
    p: &Parameters,
    weighed: MonthDay,
) -> Option<LastFeeding> {
    let bees = bees_kg / p.bee_mass;
    let days: Vec<f64> = autumns
        .iter()
        .map(|a| last_day(a, bees, litres, p).map(|d| -(d as f64)))
        .collect::<Option<_>>()?;
    let late = level(&days, p_level)?;
    let start = autumns.last()?.start;
    let earliest = days.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    let part = |x: i8| u8::try_from(x).unwrap_or(1);
    let first = MonthDay {
        month: part(start.month()),
        day: part(start.day()),
    };
    let from = since(first, weighed);
    let last = (-late.value).max(0.0).floor();
    let from_then: Vec<f64> = autumns
        .iter()
        .map(|a| {
            let hours = 24 * usize::try_from(from).unwrap_or(0);
            let left = a.hours.iter().skip(hours);
            -left
                .map(|h| taken_in_an_hour(h.outdoor_c, bees, p))
                .sum::<f64>()
        })
        .collect();
    let still = level(&from_then, p_level).map_or(0.0, |l| -l.value / litre());
    // Between two days the spread of autumns is drawn as a line: where all is still taken on the weighing day, that day is not too late.
    let last = if from as f64 > last && still >= litres {
        from as f64
    } else {
        last
    };
    Some(LastFeeding {
        date: after(start, last)?,
        litres,
        not_below_c: p.syrup_c,
        level: p_level,
        method: late.method,
        autumns: autumns.len(),
        earliest: after(start, -earliest)?,
        too_late: (last as i64) < from,
        still_litres: still.clamp(0.0, litres),
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

    const OCTOBER: MonthDay = MonthDay { month: 10, day: 1 };

    fn autumns(name: &str) -> Vec<Winter> {
        let record = climate::built_in(name, &Default::default()).unwrap();
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
            let f = last_feeding(autumns, kg, litres, level, &p, OCTOBER).unwrap();
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
        assert_eq!(last_feeding(&cold, 2.8, 10.0, 0.9, &p, OCTOBER), None);
        assert_eq!(
            last_feeding(&autumns("champion")[..4], 2.8, 10.0, 0.9, &p, OCTOBER),
            None
        );
    }

    /// Catches a last day named to a keeper who weighs after it, one called too late by one who weighs in summer, and litres that are
    /// still taken on a day on which they are not.
    #[test]
    fn a_last_day_before_the_weighing_is_too_late() {
        let p = Parameters::with(&[]).unwrap();
        let plains = autumns("champion");
        let on = |month, day| {
            let weighed = MonthDay { month, day };
            last_feeding(&plains, 2.8, 10.0, 0.9, &p, weighed).unwrap()
        };
        let told = on(10, 1).date;
        let part = |x: i8| u8::try_from(x).unwrap();
        for (month, day, late) in [
            (7, 20, false),
            (10, 1, false),
            (part(told.month()), part(told.day()), false),
            (11, 5, true),
            (11, 20, true),
            (12, 25, true),
            (3, 1, true),
        ] {
            let f = on(month, day);
            assert_eq!((f.too_late, f.date), (late, told), "{day}.{month}.");
            if late {
                assert!(f.still_litres < 10.0, "{f:?}");
            } else {
                assert!(f.still_litres > 9.9, "{f:?}");
            }
        }
        assert!(on(11, 20).still_litres > on(12, 14).still_litres);
        assert_eq!(on(3, 1).still_litres, 0.0);
    }
}
