//! The fields a record lacks, each replaced by a stated method, and the words that say so.

use std::array::from_fn;

use crate::climate::calendar;
use crate::climate::defaults::Defaults;
use crate::climate::draft::{Draft, through_mornings};
use crate::climate::quantity::Values;
use crate::climate::raw::{Kind, RawRecord, Rows};
use crate::climate::readings::Readings;
use crate::climate::series::{Hour, Station};
use crate::climate::sky;
use crate::climate::solar::{self, Ephemeris};

/// Least daily extraterrestrial sum, J/m2, from which the clearness of a day says something about its clouds (common
/// practice, no source).
const JUDGEABLE: f64 = 0.5e6;
/// Lowest and highest believable share of the sun above the air that reaches the ground in a day.
const CLEARNESS: (f64, f64) = (0.02, 0.90);

/// How much of one field a file holds.
#[derive(Debug, Clone, PartialEq)]
pub struct Coverage {
    /// Field, in words.
    pub field: &'static str,
    /// Share of the rows that have it, 0 to 1.
    pub share: f64,
}

/// Turns a draft into whole hours: sun, dew point, wind, longwave and snow as measured where measured.
#[must_use]
pub fn complete(draft: &Draft, station: &Station, defaults: &Defaults) -> Vec<Hour> {
    let lowest: Vec<Option<f64>> = draft
        .extremes_c
        .iter()
        .map(|(low, _)| Some(low - defaults.dewpoint_below_minimum.value))
        .collect();
    let dew_stand_in = through_mornings(&lowest);
    let wind_stand_in = usual_wind(&draft.wind, defaults);
    let mut out = Vec::with_capacity(draft.outdoor_c.len());
    for day in 0..draft.span.days() {
        let Some(date) = calendar::date_of(draft.span.first + i64::try_from(day).unwrap_or(0))
        else {
            continue;
        };
        let sun = SunDay::new(date, station);
        let (low, high) = draft.extremes_c.get(day).copied().unwrap_or_default();
        let coefficient = defaults.hargreaves_in(date.month(), station.latitude_deg);
        let hours = day * 24..day * 24 + 24;
        let measured = draft.ghi.get(hours.clone()).unwrap_or(&[]);
        // The coefficients were fitted to the FAO-56 sum, which runs up to 4 % below the exact one in October.
        let day_of_year = u16::try_from(date.day_of_year()).unwrap_or(1);
        let above = solar::extraterrestrial_daily(station.latitude_deg, day_of_year);
        let sum = draft
            .ghi_sum
            .get(day)
            .copied()
            .flatten()
            .unwrap_or_else(|| {
                solar::hargreaves_global(above, low, high, coefficient, station.elevation)
            });
        let ghi = sun.hourly_global(sum, measured);
        let total: f64 = ghi.iter().sum::<f64>() * 3600.0;
        let cloud_of_day = if sun.sum > JUDGEABLE {
            sky::cloud_from_daily_clearness(total / sun.sum, station.elevation)
        } else {
            defaults.cloud_unknown.value
        };
        for (h, i) in hours.enumerate() {
            let outdoor_c = draft.outdoor_c[i];
            let dewpoint_c = draft.dewpoint_c[i]
                .or(dew_stand_in[i])
                .unwrap_or(outdoor_c)
                .min(outdoor_c);
            let (dni, dhi) = sun.split(h, ghi[h], draft.dni[i], draft.dhi[i]);
            let cloud = draft.cloud[i].unwrap_or(cloud_of_day);
            out.push(Hour {
                outdoor_c,
                dewpoint_c,
                wind: draft.wind[i].unwrap_or(wind_stand_in),
                ghi: ghi[h],
                dni,
                dhi,
                sky_longwave: draft.sky_longwave[i]
                    .unwrap_or_else(|| sky::sky_longwave(outdoor_c, dewpoint_c, cloud)),
                snow_depth: draft.snow_depth[i].unwrap_or(0.0),
                sun_elevation_deg: sun.elevation_deg[h],
                sun_azimuth_deg: sun.azimuth_deg[h],
            });
        }
    }
    out
}

/// Wind for hours without: the mean of the winter's own hours if at least half of them are known, else the stand-in.
fn usual_wind(wind: &[Option<f64>], defaults: &Defaults) -> f64 {
    let known: Vec<f64> = wind.iter().flatten().copied().collect();
    if known.is_empty() || known.len() * 2 < wind.len() {
        return defaults.wind.value;
    }
    known.iter().sum::<f64>() / known.len() as f64
}

/// The sun of one local standard day at the station.
struct SunDay {
    elevation_deg: [f64; 24],
    azimuth_deg: [f64; 24],
    /// Extraterrestrial irradiance facing the sun, W/m2.
    normal: [f64; 24],
    /// Mean extraterrestrial irradiance on the horizontal, W/m2.
    horizontal: [f64; 24],
    /// Sum of the day on the horizontal, J/m2.
    sum: f64,
}

impl SunDay {
    fn new(date: jiff::civil::Date, station: &Station) -> Self {
        let Station {
            latitude_deg,
            longitude_deg,
            utc_offset_h,
            ..
        } = *station;
        let longitude = longitude_deg.unwrap_or(15.0 * utc_offset_h);
        let suns: [Ephemeris; 24] =
            from_fn(|h| Ephemeris::at(solar::julian_day(date, h as f64 + 0.5 - utc_offset_h)));
        let seen = suns
            .each_ref()
            .map(|s| s.seen_from(latitude_deg, longitude));
        let horizontal: [f64; 24] = from_fn(|h| {
            let clock = h as f64;
            solar::hour_mean_extraterrestrial(
                date,
                clock,
                latitude_deg,
                longitude_deg,
                utc_offset_h,
            )
        });
        Self {
            elevation_deg: seen.each_ref().map(|s| s.elevation_deg),
            azimuth_deg: seen.each_ref().map(|s| s.azimuth_deg),
            normal: suns.each_ref().map(Ephemeris::extraterrestrial_normal),
            sum: horizontal.iter().sum::<f64>() * 3600.0,
            horizontal,
        }
    }

    /// Global irradiance of each hour, W/m2: measured where measured, else the daily sum (J/m2) in proportion to the
    /// irradiance above the air. The sum is held to what can reach the ground.
    fn hourly_global(&self, sum: f64, measured: &[Option<f64>]) -> [f64; 24] {
        let clearness = if self.sum > 0.0 {
            (sum / self.sum).clamp(CLEARNESS.0, CLEARNESS.1)
        } else {
            0.0
        };
        from_fn(|h| {
            let known = measured.get(h).copied().flatten();
            known.unwrap_or(clearness * self.horizontal[h]).max(0.0)
        })
    }

    /// Direct normal and diffuse horizontal irradiance of an hour, W/m2.
    fn split(&self, h: usize, ghi: f64, dni: Option<f64>, dhi: Option<f64>) -> (f64, f64) {
        let sin_h = self.elevation_deg[h].to_radians().sin();
        let parts = match (dni, dhi) {
            (Some(dni), Some(dhi)) if sin_h > 0.0 => return (dni, dhi),
            (_, Some(dhi)) => solar::beam_from_diffuse(ghi, dhi, sin_h, self.normal[h]),
            (Some(dni), None) => {
                solar::beam_from_diffuse(ghi, ghi - dni * sin_h.max(0.0), sin_h, self.normal[h])
            }
            (None, None) => solar::split_global(ghi, self.horizontal[h], sin_h, self.normal[h]),
        };
        (parts.dni, parts.dhi)
    }
}

/// What a file holds, field by field.
#[must_use]
pub fn coverage(rows: &Rows) -> Vec<Coverage> {
    /// A field and how a row's values give it.
    type Get<V> = (&'static str, fn(&V) -> Option<f64>);
    fn of<V: Values>(rows: &Readings<V>, fields: &[Get<V>]) -> Vec<Coverage> {
        let mut counts = vec![0_usize; fields.len()];
        for row in rows.iter() {
            for (count, (_, get)) in counts.iter_mut().zip(fields) {
                *count += usize::from(get(&row.values).is_some());
            }
        }
        let share = |count: usize| count as f64 / rows.len().max(1) as f64;
        let each = fields.iter().zip(counts);
        each.map(|((field, _), count)| Coverage {
            field,
            share: share(count),
        })
        .collect()
    }
    match rows {
        Rows::Hours(rows) => of(
            rows,
            &[
                (TEMPERATURE, |v| v.outdoor_c),
                (HUMIDITY, |v| v.dewpoint_c.or(v.rel_humidity)),
                (WIND, |v| v.wind),
                (SUN, |v| v.ghi),
                (SPLIT, |v| v.dni.or(v.dhi)),
                (LONGWAVE, |v| v.sky_longwave),
                (CLOUD, |v| v.cloud),
                (SNOW, |v| v.snow_depth),
            ],
        ),
        Rows::Days(rows) => of(
            rows,
            &[
                (EXTREMES, |v| v.tmin_c.and(v.tmax_c)),
                (MEAN, |v| v.tmean_c),
                (HUMIDITY, |v| v.vapour_pressure.or(v.rel_humidity)),
                (WIND, |v| v.wind),
                (SUN, |v| v.ghi_sum),
                (SNOW, |v| v.snow_depth),
            ],
        ),
    }
}

const TEMPERATURE: &str = "air temperature";
const EXTREMES: &str = "daily minimum and maximum";
const MEAN: &str = "daily mean temperature";
const HUMIDITY: &str = "humidity or dew point";
const WIND: &str = "wind";
const SUN: &str = "global radiation";
const SPLIT: &str = "direct and diffuse radiation";
const LONGWAVE: &str = "longwave radiation of the sky";
const CLOUD: &str = "cloud cover";
const SNOW: &str = "snow depth";

/// What is replaced, and how, in plain words.
#[must_use]
pub fn replacements(raw: &RawRecord, coverage: &[Coverage], defaults: &Defaults) -> Vec<String> {
    let share = |field: &str| {
        coverage
            .iter()
            .find(|c| c.field == field)
            .map_or(0.0, |c| c.share)
    };
    let daily = raw.kind == Kind::Daily;
    let mut notes = Vec::new();
    let mut say = |field: &str, how: String| {
        let share = share(field);
        if share == 0.0 {
            notes.push(format!("{field}: not in the file; {how}"));
        } else if share < 0.995 {
            let missing = 100.0 * (1.0 - share);
            notes.push(format!(
                "{field}: {missing:.0} % of the rows lack it; there {how}"
            ));
        }
    };
    if daily && share(EXTREMES) > 0.0 {
        let how = "up to two missing days in a row are drawn as a straight line";
        say(EXTREMES, how.into());
    } else if daily {
        let ranges = &defaults.daily_range;
        let (least, most) = ranges
            .values
            .iter()
            .fold((f64::INFINITY, 0.0_f64), |(a, b), x| (a.min(*x), b.max(*x)));
        let source = &ranges.source;
        say(
            EXTREMES,
            format!(
                "an assumed range of {least:.0} to {most:.0} K by month stands around each daily mean, and the coldest hours and the flight hours rest on it ({source})"
            ),
        );
    }
    let below = defaults.dewpoint_below_minimum.value;
    let dew = match below == 0.0 {
        true => "the dew point is taken as the day's lowest temperature".into(),
        false => format!("the dew point is taken {below:.1} K below the day's lowest temperature"),
    };
    say(HUMIDITY, dew);
    let wind = match share(WIND) >= 0.5 {
        true => "the winter's own mean is used".into(),
        false => format!("a steady {:.1} m/s at 10 m is assumed", defaults.wind.value),
    };
    say(WIND, wind);
    let coefficient = defaults.hargreaves_winter.value;
    say(
        SUN,
        format!(
            "the day's sum is estimated from its range of temperature (coefficient {coefficient} in the winter half year)"
        ),
    );
    if !daily {
        let split = "estimated from global radiation and the sun's height (Erbs)";
        say(SPLIT, split.into());
        let sky = "computed from temperature, dew point and cloud (Clark and Allen)";
        say(LONGWAVE, sky.into());
    }
    if share(LONGWAVE) < 0.995 && share(CLOUD) < 0.995 {
        let how = "estimated from how much of the day's sun arrives";
        say(CLOUD, how.into());
    }
    if !raw.notes.iter().any(|n| n.starts_with(SNOW)) {
        say(SNOW, "unknown, taken as none".into());
    }
    if daily {
        notes.push(
            "hours are drawn from the daily values: minimum near sunrise, maximum at 15 h; heat sums stay within about 5 %, flight hours come out up to a fifth too many".into(),
        );
        if share(SUN) > 0.0 {
            notes.push("the day's radiation is spread over its hours like the sun above the air and split into direct and diffuse (Erbs)".into());
        }
        notes.push("longwave radiation of the sky is computed from temperature, dew point and cloud (Clark and Allen)".into());
    }
    notes
}
