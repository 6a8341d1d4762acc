//! Days and hours of a winter, and the weather a step is driven with.

use crate::calendar::MonthDay;
use crate::calendar::days_after;
use crate::climate::series::{Hour, Winter};
use crate::stand::Scenario;
use jiff::civil::{Date, DateTime};

/// Days from the winter's start on which brood starts and is full.
#[derive(Debug, Clone, Copy)]
pub(super) struct BroodDates {
    /// First brood.
    pub start: i32,
    /// Full brood.
    pub full: i32,
}

impl BroodDates {
    /// For one winter.
    pub fn of(scenario: &Scenario, winter: &Winter) -> Self {
        let day = |md: MonthDay| days_after(winter.start, md) as i32;
        Self {
            start: day(scenario.season.brood_start),
            full: day(scenario.season.brood_full),
        }
    }
}

/// Local time of an hour of a winter.
pub(super) fn winter_time(start: Date, hour: usize) -> DateTime {
    let days = jiff::Span::new().days((hour / 24) as i64);
    start
        .checked_add(days)
        .unwrap_or(start)
        .at((hour % 24) as i8, 0, 0, 0)
}

/// Weather halfway through an hour: temperatures between its ends, means as they are.
pub(super) fn halfway(a: &Hour, b: &Hour) -> Hour {
    Hour {
        outdoor_c: 0.5 * (a.outdoor_c + b.outdoor_c),
        dewpoint_c: 0.5 * (a.dewpoint_c + b.dewpoint_c),
        ..*a
    }
}

/// Mean weather of the first day, without sun: where the network starts from.
pub(super) fn mean_day(hours: &[Hour]) -> Hour {
    let day = &hours[..hours.len().min(24)];
    let mean = |f: fn(&Hour) -> f64| day.iter().map(f).sum::<f64>() / day.len().max(1) as f64;
    Hour {
        outdoor_c: mean(|h| h.outdoor_c),
        dewpoint_c: mean(|h| h.dewpoint_c),
        wind: mean(|h| h.wind),
        ghi: 0.0,
        dni: 0.0,
        dhi: 0.0,
        sky_longwave: mean(|h| h.sky_longwave),
        snow_depth: mean(|h| h.snow_depth),
        sun_elevation_deg: -10.0,
        sun_azimuth_deg: 0.0,
    }
}
