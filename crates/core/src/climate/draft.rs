//! One winter cut from a record, hour by hour, with temperature whole and every other field as far as it is known.

use crate::climate::calendar::{self, Span};
use crate::climate::daily_to_hourly::{self, DayCurve};
use crate::climate::defaults::Defaults;
use crate::climate::hourly_grid::{
    LENDING_DAYS, LINEAR_HOURS, at_hours, fill_from_neighbour_days, fill_runs, midnight, over_hours,
};
use crate::climate::moist_air::{dew_point_from_rh, dew_point_over_water, saturation_fao};
use crate::climate::quantity::{Quantity, day, hour};
use crate::climate::raw::{DayRow, DayValues, HourValues, RadiationInterval};
use crate::climate::readings::Readings;
use crate::climate::rejection::Rejection;
use crate::climate::series::Station;
use crate::climate::solar;
use crate::climate::stuck;

/// Most missing days in a row filled by a straight line (common practice, no source).
const LINEAR_DAYS: usize = 2;
/// Hour of the day a daily humidity is taken to hold at, h: near the minimum (common practice, no source).
const HUMIDITY_HOUR: f64 = 6.0;

/// A winter before its missing fields are replaced. Hourly vectors have 24 entries a day.
#[derive(Debug, Clone)]
pub struct Draft {
    /// Its days.
    pub span: Span,
    /// Air temperature, degC, whole.
    pub outdoor_c: Vec<f64>,
    /// Dew point, degC.
    pub dewpoint_c: Vec<Option<f64>>,
    /// Wind at 10 m, m/s.
    pub wind: Vec<Option<f64>>,
    /// Global horizontal irradiance, W/m2, mean over the hour that begins.
    pub ghi: Vec<Option<f64>>,
    /// Direct normal irradiance, W/m2, likewise.
    pub dni: Vec<Option<f64>>,
    /// Diffuse horizontal irradiance, W/m2, likewise.
    pub dhi: Vec<Option<f64>>,
    /// Downward longwave, W/m2, likewise.
    pub sky_longwave: Vec<Option<f64>>,
    /// Cloud cover, 0 to 1.
    pub cloud: Vec<Option<f64>>,
    /// Snow depth, m.
    pub snow_depth: Vec<Option<f64>>,
    /// Measured daily radiation, J/m2, one a day.
    pub ghi_sum: Vec<Option<f64>>,
    /// Lowest and highest temperature, degC, one pair a day.
    pub extremes_c: Vec<(f64, f64)>,
    /// Days in which a temperature was filled.
    pub filled_days: usize,
    /// Hours whose temperature was filled; 24 a filled day in daily records.
    pub filled_hours: usize,
    /// Days on which the record repeats its readings.
    pub stuck_days: usize,
}

/// Days on which readings repeat within the span.
///
/// # Errors
/// When they repeat for longer than weather can.
fn stuck_within(readings: &[stuck::Reading], span: Span) -> Result<usize, Rejection> {
    let within = stuck::within(readings, span);
    if let Some(&(from, to)) = within.iter().max_by_key(|(from, to)| to - from)
        && to - from + 1 >= stuck::TOO_LONG
    {
        return Err(Rejection::Stuck {
            days: usize::try_from(to - from + 1).unwrap_or(0),
            first: calendar::date_text(from),
        });
    }
    let days = within.iter().map(|(from, to)| to - from + 1).sum::<i64>();
    Ok(usize::try_from(days).unwrap_or(0))
}

/// Cuts a winter from hourly rows.
///
/// # Errors
/// When a gap is too long to fill.
pub fn from_hours(
    rows: &Readings<HourValues>,
    radiation: RadiationInterval,
    span: Span,
) -> Result<Draft, Rejection> {
    let pad_days = i64::try_from(LENDING_DAYS).unwrap_or(0);
    let pad = LENDING_DAYS * 24;
    let from = midnight(span.first - pad_days);
    let padded = span.hours() + 2 * pad;
    let rows = &rows.window(from, midnight(span.last + 1 + pad_days));
    let inner = pad..pad + span.hours();

    let measured = at_hours(rows, &hour::TEMP, from, padded);
    let mut filled = measured.clone();
    fill_runs(&mut filled, LINEAR_HOURS, true);
    fill_from_neighbour_days(&mut filled);
    if let Some((count, first)) = gaps(&filled[inner.clone()]) {
        let first = calendar::time_text(midnight(span.first) + 60 * first);
        return Err(Rejection::HoursMissing { count, first });
    }
    let outdoor_c: Vec<f64> = filled[inner.clone()].iter().flatten().copied().collect();
    let filled_days = measured[inner.clone()]
        .chunks(24)
        .filter(|day| day.iter().any(Option::is_none))
        .count();

    let instants = |quantity: &Quantity<HourValues>| {
        let mut v = at_hours(rows, quantity, from, padded);
        fill_runs(&mut v, LINEAR_HOURS, true);
        v[inner.clone()].to_vec()
    };
    let means = |quantity: &Quantity<HourValues>| {
        let first = midnight(span.first);
        over_hours(rows, quantity, radiation, first, span.hours())
    };
    let humidity = instants(&hour::HUMIDITY);
    let mut dewpoint_c = instants(&hour::DEW);
    for ((dew, rh), t) in dewpoint_c.iter_mut().zip(&humidity).zip(&outdoor_c) {
        if dew.is_none() {
            *dew = rh.map(|rh| dew_point_from_rh(*t, rh.max(0.01)));
        }
    }
    let stuck_days = stuck_within(&stuck::of_hours(rows), span)?;
    Ok(Draft {
        span,
        extremes_c: outdoor_c.chunks(24).map(extremes).collect(),
        outdoor_c,
        dewpoint_c,
        wind: instants(&hour::WIND),
        ghi: means(&hour::GHI),
        dni: means(&hour::DNI),
        dhi: means(&hour::DHI),
        sky_longwave: means(&hour::LONGWAVE),
        cloud: instants(&hour::CLOUD),
        snow_depth: instants(&hour::SNOW),
        ghi_sum: vec![None; span.days()],
        filled_days,
        filled_hours: measured[inner].iter().filter(|t| t.is_none()).count(),
        stuck_days,
    })
}

/// How many values are missing, and where the first is.
fn gaps(values: &[Option<f64>]) -> Option<(usize, i64)> {
    let first = values.iter().position(Option::is_none)?;
    let count = values.iter().filter(|v| v.is_none()).count();
    Some((count, i64::try_from(first).unwrap_or(0)))
}

fn extremes(day: &[f64]) -> (f64, f64) {
    day.iter()
        .fold((f64::INFINITY, f64::NEG_INFINITY), |(a, b), t| {
            (a.min(*t), b.max(*t))
        })
}

/// Cuts a winter from daily rows and draws the hours.
///
/// # Errors
/// When a gap is too long to fill.
pub fn from_days(
    rows: &Readings<DayValues>,
    station: &Station,
    defaults: &Defaults,
    span: Span,
) -> Result<Draft, Rejection> {
    // A few days more on both sides: the curve looks one day ahead and back, a gap may reach over the edge.
    let pad = LINEAR_DAYS + 1;
    let pad_days = i64::try_from(pad).unwrap_or(0);
    let first = span.first - pad_days;
    let padded = span.days() + 2 * pad;
    let has_extremes = rows.known(&day::MIN).next().is_some();
    let end = first + i64::try_from(padded).unwrap_or(0);
    let rows = &rows.window(midnight(first), midnight(end));
    let mut days: Vec<Option<DayRow>> = vec![None; padded];
    for row in rows.iter() {
        if let Ok(i) = usize::try_from(row.day() - first)
            && let Some(slot) = days.get_mut(i)
        {
            *slot = Some(row);
        }
    }
    let inner = pad..pad + span.days();
    let mut low = Vec::with_capacity(padded);
    let mut high = Vec::with_capacity(padded);
    let mut estimated = vec![false; padded];
    for (i, row) in days.iter().enumerate() {
        let values = row.map(|r| r.values).unwrap_or_default();
        let pair = match (values.tmin_c, values.tmax_c, values.tmean_c) {
            (Some(a), Some(b), _) => Some((a, b)),
            (_, _, Some(mean)) => {
                let month = calendar::date_of(first + i64::try_from(i).unwrap_or(0))
                    .map_or(1, |d| d.month());
                let half = defaults.range_in(month, station.latitude_deg) / 2.0;
                estimated[i] = has_extremes;
                Some((mean - half, mean + half))
            }
            _ => None,
        };
        low.push(pair.map(|p| p.0));
        high.push(pair.map(|p| p.1));
    }
    let missing: Vec<bool> = low.iter().map(Option::is_none).collect();
    fill_runs(&mut low, LINEAR_DAYS, false);
    fill_runs(&mut high, LINEAR_DAYS, false);
    if let Some((count, first)) = gaps(&low[inner.clone()]) {
        let first = calendar::date_text(span.first + first);
        return Err(Rejection::DaysMissing { count, first });
    }
    let curves = curves(&low, &high, first, station, defaults);
    let mut outdoor_c = Vec::with_capacity(span.hours());
    for i in inner.clone() {
        let Some(day) = curves[i] else { continue };
        let [before, after] = [i - 1, i + 1].map(|j| curves[j].unwrap_or(day));
        let at = |h| daily_to_hourly::temperature(f64::from(h), &before, &day, &after);
        outdoor_c.extend((0..24_u8).map(at));
    }
    let daily = |get: fn(&DayValues) -> Option<f64>| -> Vec<Option<f64>> {
        let value = |r: &Option<DayRow>| r.and_then(|r| get(&r.values));
        let mut v: Vec<_> = days.iter().map(value).collect();
        fill_runs(&mut v, LINEAR_DAYS, false);
        v
    };
    let spread = |v: &[Option<f64>]| -> Vec<Option<f64>> {
        v[inner.clone()].iter().flat_map(|x| [*x; 24]).collect()
    };
    let mut dew = daily(|v| v.vapour_pressure.map(dew_point_over_water));
    let humidity = daily(|v| v.rel_humidity);
    for (i, slot) in dew.iter_mut().enumerate() {
        if let (None, Some(rh), Some(a), Some(b)) = (*slot, humidity[i], low[i], high[i]) {
            // Vapour pressure of a day from its mean humidity: FAO-56 eq. 19.
            let pressure = rh.clamp(0.01, 1.0) * (saturation_fao(a) + saturation_fao(b)) / 2.0;
            *slot = Some(dew_point_over_water(pressure));
        }
    }
    let none = || vec![None; span.hours()];
    let stuck_days = stuck_within(&stuck::of_days(rows), span)?;
    let filled_days = inner
        .clone()
        .filter(|i| missing[*i] || estimated[*i])
        .count();
    Ok(Draft {
        span,
        outdoor_c,
        dewpoint_c: through_mornings(&dew)[pad * 24..(pad + span.days()) * 24].to_vec(),
        wind: spread(&daily(|v| v.wind)),
        ghi: none(),
        dni: none(),
        dhi: none(),
        sky_longwave: none(),
        cloud: none(),
        snow_depth: spread(&daily(|v| v.snow_depth)),
        ghi_sum: days[inner.clone()]
            .iter()
            .map(|r| r.and_then(|r| r.values.ghi_sum))
            .collect(),
        extremes_c: low[inner.clone()]
            .iter()
            .flatten()
            .copied()
            .zip(high[inner.clone()].iter().flatten().copied())
            .collect(),
        filled_days,
        filled_hours: 24 * filled_days,
        stuck_days,
    })
}

fn curves(
    low: &[Option<f64>],
    high: &[Option<f64>],
    first: i64,
    station: &Station,
    defaults: &Defaults,
) -> Vec<Option<DayCurve>> {
    let mut out = Vec::with_capacity(low.len());
    for (i, (a, b)) in low.iter().zip(high).enumerate() {
        let date = calendar::date_of(first + i64::try_from(i).unwrap_or(0));
        out.push(date.zip(a.zip(*b)).map(|(date, (tmin_c, tmax_c))| {
            let (rise, _) = solar::sunrise_sunset_h(
                date,
                station.latitude_deg,
                station.longitude_deg,
                station.utc_offset_h,
            );
            DayCurve {
                tmin_c,
                tmax_c,
                minimum_h: rise.clamp(
                    defaults.earliest_minimum_hour.value,
                    defaults.latest_minimum_hour.value,
                ),
                maximum_h: defaults.maximum_hour.value,
            }
        }));
    }
    out
}

/// Daily values that hold in the early morning, drawn through the hours by straight lines; 24 entries a day.
pub fn through_mornings(days: &[Option<f64>]) -> Vec<Option<f64>> {
    let mut out = Vec::with_capacity(days.len() * 24);
    for (i, today) in days.iter().enumerate() {
        let yesterday = i.checked_sub(1).and_then(|j| days[j]);
        let tomorrow = days.get(i + 1).copied().flatten();
        for h in 0..24_u8 {
            let h = f64::from(h);
            out.push(today.map(|now| {
                if h < HUMIDITY_HOUR {
                    let before = yesterday.unwrap_or(now);
                    before + (now - before) * (h + 24.0 - HUMIDITY_HOUR) / 24.0
                } else {
                    let after = tomorrow.unwrap_or(now);
                    now + (after - now) * (h - HUMIDITY_HOUR) / 24.0
                }
            }));
        }
    }
    out
}
