//! The quantities a row of weather may hold: what each is called, what no weather exceeds, and where a row keeps it.
//!
//! Ranges: the reader rules every format shares (common practice for station data, no source).

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::raw::{DayValues, HourValues};

/// One quantity of rows with the values `V`.
#[derive(Debug, Clone, Copy)]
pub struct Quantity<V> {
    /// In words that follow "the".
    pub name: &'static str,
    /// Many of them in words; quantities with the same words are counted together.
    pub many: &'static str,
    /// What is possible.
    pub range: &'static Range,
    /// Where it is kept.
    pub slot: fn(&mut V) -> &mut Option<f64>,
}

/// Lowest and highest possible value.
#[derive(Debug, Clone, Copy)]
pub struct Range {
    /// Lowest, SI.
    pub low: f64,
    /// Highest, SI.
    pub high: f64,
    /// Both with their unit, in words.
    pub text: &'static str,
}

/// The values of a row, and all that differs between hourly and daily rows.
pub trait Values: Copy + Default + PartialEq + 'static {
    /// Every quantity; temperatures first, counted together under the words of the first.
    const QUANTITIES: &'static [Quantity<Self>];
    /// Whether a row stands for a day.
    const DAILY: bool;

    /// The time or date of a row in words.
    fn moment(minute: i64) -> String;
}

const AIR: Range = range(-70.0, 60.0, "-70 to 60 degC");
const SHARE: Range = range(0.0, 1.1, "0 to 110 %");
const SPEED: Range = range(0.0, 75.0, "0 to 75 m/s");
const SUN: Range = range(0.0, 1500.0, "0 to 1500 W/m2");
const SKY: Range = range(20.0, 700.0, "20 to 700 W/m2");
const COVER: Range = range(0.0, 1.0, "0 to the whole sky");
const DEPTH: Range = range(0.0, 10.0, "0 to 10 m");
const DAY_SUM: Range = range(0.0, 45.0e6, "0 to 45 MJ/m2");
const PRESSURE: Range = range(0.0, 6000.0, "0 to 6 kPa");

const fn range(low: f64, high: f64, text: &'static str) -> Range {
    Range { low, high, text }
}

const fn of<V>(
    name: &'static str,
    many: &'static str,
    range: &'static Range,
    slot: fn(&mut V) -> &mut Option<f64>,
) -> Quantity<V> {
    Quantity {
        name,
        many,
        range,
        slot,
    }
}

/// Quantities of hourly rows.
pub mod hour {
    use super::*;

    type Q = Quantity<HourValues>;

    /// Air temperature, degC.
    pub const TEMP: Q = of("air temperature", "air temperatures", &AIR, |v| {
        &mut v.outdoor_c
    });
    /// Dew point, degC.
    pub const DEW: Q = of("dew point", "dew points", &AIR, |v| &mut v.dewpoint_c);
    /// Relative humidity, 0 to 1.
    pub const HUMIDITY: Q = of("relative humidity", "relative humidities", &SHARE, |v| {
        &mut v.rel_humidity
    });
    /// Wind at 10 m, m/s.
    pub const WIND: Q = of("wind", "wind speeds", &SPEED, |v| &mut v.wind);
    /// Global horizontal irradiance, W/m2.
    pub const GHI: Q = of("global radiation", "global radiation values", &SUN, |v| {
        &mut v.ghi
    });
    /// Direct normal irradiance, W/m2.
    pub const DNI: Q = of("direct radiation", "direct radiation values", &SUN, |v| {
        &mut v.dni
    });
    /// Diffuse horizontal irradiance, W/m2.
    pub const DHI: Q = of("diffuse radiation", "diffuse radiation values", &SUN, |v| {
        &mut v.dhi
    });
    /// Downward longwave irradiance, W/m2.
    pub const LONGWAVE: Q = of(
        "longwave radiation",
        "longwave radiation values",
        &SKY,
        |v| &mut v.sky_longwave,
    );
    /// Cloud cover, 0 to 1.
    pub const CLOUD: Q = of("cloud cover", "cloud covers", &COVER, |v| &mut v.cloud);
    /// Snow depth, m.
    pub const SNOW: Q = of("snow depth", "snow depths", &DEPTH, |v| &mut v.snow_depth);
}

/// Quantities of daily rows.
pub mod day {
    use super::*;

    type Q = Quantity<DayValues>;
    /// Lowest air temperature, degC.
    pub const MIN: Q = of("day's minimum", "temperatures", &AIR, |v| &mut v.tmin_c);
    /// Highest air temperature, degC.
    pub const MAX: Q = of("day's maximum", "temperatures", &AIR, |v| &mut v.tmax_c);
    /// Mean air temperature, degC.
    pub const MEAN: Q = of("day's mean temperature", "temperatures", &AIR, |v| {
        &mut v.tmean_c
    });
    /// Global horizontal radiation, J/m2.
    pub const SUM: Q = of(
        "day's global radiation",
        "daily radiation sums",
        &DAY_SUM,
        |v| &mut v.ghi_sum,
    );
    /// Wind at 10 m, m/s.
    pub const WIND: Q = of("wind", "wind speeds", &SPEED, |v| &mut v.wind);
    /// Vapour pressure, Pa.
    pub const VAPOUR: Q = of("vapour pressure", "vapour pressures", &PRESSURE, |v| {
        &mut v.vapour_pressure
    });
    /// Relative humidity, 0 to 1.
    pub const HUMIDITY: Q = of("relative humidity", "relative humidities", &SHARE, |v| {
        &mut v.rel_humidity
    });
    /// Snow depth, m.
    pub const SNOW: Q = of("snow depth", "snow depths", &DEPTH, |v| &mut v.snow_depth);
}

impl Values for HourValues {
    const QUANTITIES: &'static [Quantity<Self>] = &[
        hour::TEMP,
        hour::DEW,
        hour::HUMIDITY,
        hour::WIND,
        hour::GHI,
        hour::DNI,
        hour::DHI,
        hour::LONGWAVE,
        hour::CLOUD,
        hour::SNOW,
    ];
    const DAILY: bool = false;

    fn moment(minute: i64) -> String {
        calendar::time_text(minute)
    }
}

impl Values for DayValues {
    const QUANTITIES: &'static [Quantity<Self>] = &[
        day::MIN,
        day::MAX,
        day::MEAN,
        day::SUM,
        day::WIND,
        day::VAPOUR,
        day::HUMIDITY,
        day::SNOW,
    ];
    const DAILY: bool = true;

    fn moment(minute: i64) -> String {
        calendar::date_text(minute.div_euclid(MINUTES_A_DAY))
    }
}
