//! One weather record, whatever file it came from: hourly, gap-free, every field the model needs filled in by a
//! stated method.

use jiff::civil::Date;

use crate::calendar::MonthDay;
use crate::climate::calendar;

/// Where a record was measured.
#[derive(Debug, Clone, PartialEq)]
pub struct Station {
    /// Name as given in the file.
    pub name: String,
    /// Degrees, north positive.
    pub latitude_deg: f64,
    /// Degrees, east positive; `None` when the file does not say (then local standard time is taken as solar time).
    pub longitude_deg: Option<f64>,
    /// Metres above sea level.
    pub elevation: f64,
    /// Hours local standard time is ahead of UTC.
    pub utc_offset_h: f64,
    /// Origin and licence as the file states them.
    pub source: Option<String>,
}

/// Weather of one hour. Temperatures are at the start of the hour; radiation and wind are means over the hour that
/// begins there.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Hour {
    /// Air temperature, degC.
    pub outdoor_c: f64,
    /// Dew point, degC.
    pub dewpoint_c: f64,
    /// Wind speed at 10 m in the open, m/s.
    pub wind: f64,
    /// Global horizontal irradiance, W/m2.
    pub ghi: f64,
    /// Direct normal irradiance, W/m2.
    pub dni: f64,
    /// Diffuse horizontal irradiance, W/m2.
    pub dhi: f64,
    /// Downward longwave irradiance of the sky, W/m2.
    pub sky_longwave: f64,
    /// Snow depth, m; 0 when unknown.
    pub snow_depth: f64,
    /// Geometric solar elevation at mid-hour, degrees.
    pub sun_elevation_deg: f64,
    /// Solar azimuth at mid-hour, degrees clockwise from north.
    pub sun_azimuth_deg: f64,
}

/// One whole winter, hour by hour.
#[derive(Debug, Clone, PartialEq)]
pub struct Winter {
    /// "1982/83".
    pub label: String,
    /// Local standard date of the first hour (00:00).
    pub start: Date,
    /// Consecutive hours in local standard time.
    pub hours: Vec<Hour>,
    /// Days in which a temperature was filled.
    pub filled_days: usize,
    /// Days with stuck values.
    pub stuck_days: usize,
}

/// Zero of the Celsius scale, K.
const ZERO_C: f64 = 273.15;

impl Winter {
    /// Makes every hour colder by `by` K (warmer when negative): air and dew point, and the sky's longwave as a sky that keeps its
    /// distance from the air, `L (T - by)^4 / T^4`. Sun, wind and snow stay as they are.
    pub fn make_colder(&mut self, by: f64) {
        for h in &mut self.hours {
            let before = h.outdoor_c + ZERO_C;
            h.outdoor_c -= by;
            h.dewpoint_c -= by;
            h.sky_longwave *= ((before - by) / before).powi(4);
        }
    }
}

impl Winter {
    /// Its days from `start` to `end`, both included; `None` when it does not hold them all. Filled and stuck days stay those of the
    /// whole.
    #[must_use]
    pub fn part(&self, start: MonthDay, end: MonthDay) -> Option<Self> {
        let mine = calendar::day_number(self.start);
        // The first such day that is not before the given one.
        let next = |day: MonthDay, from: i64| {
            let year = calendar::date_of(from)?.year();
            [year, year.checked_add(1)?]
                .into_iter()
                .filter_map(|y| calendar::in_year(y, day).map(calendar::day_number))
                .find(|d| *d >= from)
        };
        let first = next(start, mine)?;
        let last = next(end, first)?;
        let hour = |day: i64| usize::try_from(24 * (day - mine)).ok();
        let hours = self.hours.get(hour(first)?..hour(last + 1)?)?;
        Some(Self {
            label: self.label.clone(),
            start: calendar::date_of(first)?,
            hours: hours.to_vec(),
            filled_days: self.filled_days,
            stuck_days: self.stuck_days,
        })
    }
}

#[cfg(test)]
impl Winter {
    /// A winter of still, dark hours of these temperatures, degC, from a date on.
    pub(crate) fn dark(label: &str, start: Date, outdoor_c: impl Iterator<Item = f64>) -> Self {
        let hour = |outdoor_c| Hour {
            outdoor_c,
            dewpoint_c: -20.0,
            wind: 0.0,
            ghi: 0.0,
            dni: 0.0,
            dhi: 0.0,
            sky_longwave: 200.0,
            snow_depth: 0.0,
            sun_elevation_deg: 0.0,
            sun_azimuth_deg: 0.0,
        };
        Self {
            label: label.to_owned(),
            start,
            hours: outdoor_c.map(hour).collect(),
            filled_days: 0,
            stuck_days: 0,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::raw::PartialStation;

    /// Catches a colder winter whose sky stays warm: the sky must stay as many kelvins below the air, within a few tenths, and
    /// what is not temperature must not change.
    #[test]
    fn colder_air_has_a_colder_sky() {
        let hour = Hour {
            outdoor_c: -5.0,
            dewpoint_c: -8.0,
            wind: 3.0,
            ghi: 120.0,
            dni: 80.0,
            dhi: 60.0,
            sky_longwave: 220.0,
            snow_depth: 0.1,
            sun_elevation_deg: 12.0,
            sun_azimuth_deg: 170.0,
        };
        let mut winter = Winter {
            label: "a".into(),
            start: jiff::civil::date(2000, 10, 1),
            hours: vec![hour],
            filled_days: 0,
            stuck_days: 0,
        };
        winter.make_colder(3.0);
        let h = winter.hours[0];
        assert_eq!((h.outdoor_c, h.dewpoint_c), (-8.0, -11.0));
        let below = |h: &Hour| h.outdoor_c - crate::climate::sky::sky_temperature(h.sky_longwave);
        assert!((below(&h) - below(&hour)).abs() < 0.5);
        assert_eq!((h.wind, h.ghi, h.snow_depth), (3.0, 120.0, 0.1));
    }

    /// Catches a part that is a day off, in leap years above all, or that is made up where the winter does not reach.
    #[test]
    fn parts_keep_their_days() {
        let record = crate::climate::built_in("champion", &PartialStation::default()).unwrap();
        let day = |month, day| MonthDay { month, day };
        let wide = record.winters(day(9, 1), day(5, 30)).unwrap();
        let narrow = record.winters(day(10, 1), day(5, 19)).unwrap();
        for w in &wide {
            let n = narrow.iter().find(|n| n.label == w.label).unwrap();
            let part = w.part(day(10, 1), day(5, 19)).unwrap();
            assert_eq!((part.start, part.hours.len()), (n.start, n.hours.len()));
            let noon = |w: &Winter, d: usize| w.hours[24 * d + 12].outdoor_c;
            for d in [0, 100, n.hours.len() / 24 - 2] {
                assert_eq!(noon(&part, d), noon(n, d), "{} day {d}", w.label);
            }
            assert!(part.part(day(9, 30), day(1, 5)).is_none());
            assert!(w.part(day(10, 1), day(6, 1)).is_none());
        }
    }
}
