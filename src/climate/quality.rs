//! Checks of the values of one record: ranges, order, stuck instruments, wrong units.
//!
//! Limits: the reader rules every format shares (common practice for station data, no source): air temperature -70 to
//! 60 degC, relative humidity 0 to 110 %, wind 0 to 75 m/s, global radiation 0 to 1500 W/m2, minimum at most 0.5 K above the
//! maximum. A value outside becomes missing and is counted; too many of them stop the reading.

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{DayRow, HourRow, RawRecord, Rows};
use crate::climate::source::Source;
use crate::diagnostic::{Problem, Problems};

/// Share of temperatures out of range from which the column is not what it claims to be.
const HOPELESS_SHARE: f64 = 0.1;
/// Allowed excess of a day's minimum over its maximum, K.
const CROSSED: f64 = 0.5;
/// Days of equal readings from which an instrument counts as stuck.
pub const STUCK_DAYS: usize = 3;
/// 95th percentile of daily maxima no place reaches, degC: the hottest towns stay near 48 (common practice, no source).
const HOTTEST_P95: f64 = 52.0;
/// Mean daily range no station keeps up, K: dry high plains have 17 to 18 (Champion, Nebraska, in the samples).
const WIDEST_RANGE: f64 = 24.0;

/// Counts one quantity's values outside its range.
struct Range {
    what: &'static str,
    text: &'static str,
    low: f64,
    high: f64,
    count: usize,
    first: Option<(f64, usize)>,
}

impl Range {
    const fn new(what: &'static str, text: &'static str, low: f64, high: f64) -> Self {
        Self {
            what,
            text,
            low,
            high,
            count: 0,
            first: None,
        }
    }

    fn keep(&mut self, value: &mut Option<f64>, line: usize) {
        if let Some(x) = *value
            && !(self.low..=self.high).contains(&x)
        {
            self.count += 1;
            self.first.get_or_insert((x, line));
            *value = None;
        }
    }

    fn warning(&self, source: &Source) -> Option<Problem> {
        let (first, line) = self.first?;
        let fault = ClimateError::OutOfRange {
            count: self.count,
            what: self.what,
            range: self.text,
            first,
            line,
        };
        Some(fault.warning(&source.name, Some(source.place(line))))
    }
}

fn temperature(what: &'static str) -> Range {
    Range::new(what, "-70 to 60 degC", -70.0, 60.0)
}

fn humidity() -> Range {
    Range::new("relative humidities", "0 to 110 %", 0.0, 1.1)
}

fn wind() -> Range {
    Range::new("wind speeds", "0 to 75 m/s", 0.0, 75.0)
}

fn snow() -> Range {
    Range::new("snow depths", "0 to 10 m", 0.0, 10.0)
}

/// Checks a record in place; warnings are added to it.
///
/// # Errors
/// Times that do not move forward, no usable temperature, or temperatures that cannot be degrees Celsius.
pub fn check(source: &Source, record: &mut RawRecord) -> Result<(), Problems> {
    let warnings = match &mut record.rows {
        Rows::Hours(rows) => check_hours(source, rows)?,
        Rows::Days(rows) => check_days(source, rows)?,
    };
    record.warnings.extend(warnings);
    Ok(())
}

fn fail(source: &Source, fault: ClimateError, line: Option<usize>) -> Problems {
    Problems(vec![
        fault.error(&source.name, line.map(|l| source.place(l))),
    ])
}

fn check_order(
    source: &Source,
    rows: impl Iterator<Item = (i64, usize)>,
    text: fn(i64) -> String,
) -> Result<(), Problems> {
    let mut before: Option<(i64, usize)> = None;
    for (t, line) in rows {
        if let Some((b, before_line)) = before
            && t <= b
        {
            let fault = ClimateError::TimesGoBack {
                this: text(t),
                before: text(b),
                before_line,
            };
            return Err(fail(source, fault, Some(line)));
        }
        before = Some((t, line));
    }
    Ok(())
}

/// Refuses a temperature column of which a good part is impossible or nothing is left.
fn check_share(source: &Source, range: &Range, usable: usize, rows: usize) -> Result<(), Problems> {
    if let Some((first, line)) = range.first
        && range.count as f64 > HOPELESS_SHARE * (range.count + usable) as f64
    {
        let fault = ClimateError::ManyOutOfRange {
            bad: range.count,
            of: range.count + usable,
            first,
            line,
        };
        return Err(fail(source, fault, Some(line)));
    }
    if usable == 0 {
        return Err(fail(source, ClimateError::NoTemperatures { rows }, None));
    }
    Ok(())
}

fn check_hours(source: &Source, rows: &mut [HourRow]) -> Result<Vec<Problem>, Problems> {
    check_order(
        source,
        rows.iter().map(|r| (r.minute, r.line)),
        calendar::time_text,
    )?;
    let mut temp = temperature("air temperatures");
    let mut others = [
        temperature("dew points"),
        humidity(),
        wind(),
        Range::new("global radiation values", "0 to 1500 W/m2", 0.0, 1500.0),
        Range::new("direct radiation values", "0 to 1500 W/m2", 0.0, 1500.0),
        Range::new("diffuse radiation values", "0 to 1500 W/m2", 0.0, 1500.0),
        Range::new("longwave radiation values", "20 to 700 W/m2", 20.0, 700.0),
        Range::new("cloud covers", "0 to the whole sky", 0.0, 1.0),
        snow(),
    ];
    for row in rows.iter_mut() {
        let v = &mut row.values;
        temp.keep(&mut v.temp_c, row.line);
        let fields = [
            &mut v.dewpoint_c,
            &mut v.rel_humidity,
            &mut v.wind,
            &mut v.ghi,
            &mut v.dni,
            &mut v.dhi,
            &mut v.sky_longwave,
            &mut v.cloud,
            &mut v.snow_depth,
        ];
        for (range, field) in others.iter_mut().zip(fields) {
            range.keep(field, row.line);
        }
    }
    let usable = rows.iter().filter(|r| r.values.temp_c.is_some()).count();
    check_share(source, &temp, usable, rows.len())?;
    let extremes = day_extremes(rows);
    let mut warnings: Vec<Problem> = std::iter::once(&temp)
        .chain(&others)
        .filter_map(|r| r.warning(source))
        .collect();
    warnings.extend(check_units(
        source,
        extremes.iter().map(|d| (d.min, d.max)),
    )?);
    let readings: Vec<_> = extremes
        .iter()
        .map(|d| (d.day, d.line, [Some(d.min), Some(d.max)]))
        .collect();
    warnings.extend(stuck_warnings(source, &readings));
    Ok(warnings)
}

fn check_days(source: &Source, rows: &mut [DayRow]) -> Result<Vec<Problem>, Problems> {
    check_order(
        source,
        rows.iter().map(|r| (r.day, r.line)),
        calendar::date_text,
    )?;
    let mut temp = temperature("temperatures");
    let mut others = [
        Range::new("daily radiation sums", "0 to 45 MJ/m2", 0.0, 45.0e6),
        wind(),
        Range::new("vapour pressures", "0 to 6 kPa", 0.0, 6000.0),
        humidity(),
        snow(),
    ];
    let (mut crossed, mut crossed_line) = (0, 0);
    for row in rows.iter_mut() {
        let v = &mut row.values;
        for field in [&mut v.tmin_c, &mut v.tmax_c, &mut v.tmean_c] {
            temp.keep(field, row.line);
        }
        let fields = [
            &mut v.ghi_sum,
            &mut v.wind,
            &mut v.vapour_pressure,
            &mut v.rel_humidity,
            &mut v.snow_depth,
        ];
        for (range, field) in others.iter_mut().zip(fields) {
            range.keep(field, row.line);
        }
        if let (Some(low), Some(high)) = (v.tmin_c, v.tmax_c)
            && low > high
        {
            if low > high + CROSSED {
                crossed += 1;
                if crossed == 1 {
                    crossed_line = row.line;
                }
                (v.tmin_c, v.tmax_c) = (None, None);
            } else {
                (v.tmin_c, v.tmax_c) = (Some(high), Some(low));
            }
        }
    }
    let values = |r: &DayRow| {
        [r.values.tmin_c, r.values.tmax_c, r.values.tmean_c]
            .iter()
            .flatten()
            .count()
    };
    let usable: usize = rows.iter().map(values).sum();
    check_share(source, &temp, usable, rows.len())?;
    let mut warnings: Vec<Problem> = std::iter::once(&temp)
        .chain(&others)
        .filter_map(|r| r.warning(source))
        .collect();
    if crossed > 0 {
        let fault = ClimateError::Crossed {
            count: crossed,
            line: crossed_line,
        };
        warnings.push(fault.warning(&source.name, Some(source.place(crossed_line))));
    }
    let pairs = rows
        .iter()
        .filter_map(|r| match (r.values.tmin_c, r.values.tmax_c) {
            (Some(a), Some(b)) => Some((a, b)),
            _ => r.values.tmean_c.map(|m| (m, m)),
        });
    warnings.extend(check_units(source, pairs)?);
    let readings: Vec<_> = rows
        .iter()
        .map(|r| (r.day, r.line, day_readings(r)))
        .collect();
    warnings.extend(stuck_warnings(source, &readings));
    Ok(warnings)
}

/// Mean of December to February (June to August in the south) no place beyond [`COOL_LATITUDE_DEG`] reaches, degC; the
/// warmest, on southern coasts, stay near 12 (common practice, no source).
const WARMEST_WINTER: f64 = 15.0;
/// Latitude beyond which [`WARMEST_WINTER`] holds, degrees.
const COOL_LATITUDE_DEG: f64 = 40.0;

/// Warns when the heart of winter is warmer than the latitude allows: the mark of Fahrenheit in a record that holds
/// only winters.
pub fn check_against_place(source: &Source, record: &mut RawRecord, latitude_deg: f64) {
    if latitude_deg.abs() < COOL_LATITUDE_DEG {
        return;
    }
    let in_winter = |day: i64| {
        calendar::date_of(day).is_some_and(|d| {
            let month = d.month();
            if latitude_deg > 0.0 {
                matches!(month, 12 | 1 | 2)
            } else {
                matches!(month, 6..=8)
            }
        })
    };
    let temps: Vec<f64> = match &record.rows {
        Rows::Hours(rows) => rows
            .iter()
            .filter(|r| in_winter(r.minute.div_euclid(MINUTES_A_DAY)))
            .filter_map(|r| r.values.temp_c)
            .collect(),
        Rows::Days(rows) => rows
            .iter()
            .filter(|r| in_winter(r.day))
            .filter_map(|r| {
                r.values
                    .tmin_c
                    .zip(r.values.tmax_c)
                    .map(|(a, b)| (a + b) / 2.0)
                    .or(r.values.tmean_c)
            })
            .collect(),
    };
    let mean = temps.iter().sum::<f64>() / temps.len().max(1) as f64;
    if mean > WARMEST_WINTER {
        let evidence = format!(
            "the three midwinter months average {mean:.0} degC at latitude {latitude_deg:.0}"
        );
        record
            .warnings
            .push(ClimateError::Fahrenheit { evidence }.warning(&source.name, None));
    }
}

/// Readings that a stuck instrument repeats: minimum and maximum, or the mean alone.
fn day_readings(row: &DayRow) -> [Option<f64>; 2] {
    match (row.values.tmin_c, row.values.tmax_c) {
        (Some(a), Some(b)) => [Some(a), Some(b)],
        _ => [row.values.tmean_c, row.values.tmean_c],
    }
}

/// Lowest and highest reading of one day of an hourly record.
#[derive(Debug, Clone, Copy)]
struct DayExtremes {
    day: i64,
    line: usize,
    min: f64,
    max: f64,
}

fn day_extremes(rows: &[HourRow]) -> Vec<DayExtremes> {
    let mut out: Vec<DayExtremes> = Vec::new();
    for row in rows {
        let Some(t) = row.values.temp_c else { continue };
        let day = row.minute.div_euclid(MINUTES_A_DAY);
        match out.last_mut() {
            Some(d) if d.day == day => (d.min, d.max) = (d.min.min(t), d.max.max(t)),
            _ => out.push(DayExtremes {
                day,
                line: row.line,
                min: t,
                max: t,
            }),
        }
    }
    out
}

/// Days on which an hourly record repeats both its lowest and highest reading for three days or more.
#[must_use]
pub fn stuck_days_of_hours(rows: &[HourRow]) -> Vec<i64> {
    let readings: Vec<_> = day_extremes(rows)
        .iter()
        .map(|d| (d.day, d.line, [Some(d.min), Some(d.max)]))
        .collect();
    runs(&readings)
        .into_iter()
        .flat_map(|(from, to)| from..=to)
        .collect()
}

/// Days on which a daily record repeats its readings for three days or more.
#[must_use]
pub fn stuck_days_of_days(rows: &[DayRow]) -> Vec<i64> {
    let readings: Vec<_> = rows
        .iter()
        .map(|r| (r.day, r.line, day_readings(r)))
        .collect();
    runs(&readings)
        .into_iter()
        .flat_map(|(from, to)| from..=to)
        .collect()
}

/// Day, line, and the readings that would repeat.
type Reading = (i64, usize, [Option<f64>; 2]);

/// First and last day of every run of at least [`STUCK_DAYS`] consecutive days with equal readings.
fn runs(readings: &[Reading]) -> Vec<(i64, i64)> {
    let mut out = Vec::new();
    let mut start = 0;
    for i in 1..=readings.len() {
        let goes_on = readings.get(i).is_some_and(|r| {
            let before = &readings[i - 1];
            r.0 == before.0 + 1 && r.2[0].is_some() && r.2 == before.2
        });
        if !goes_on {
            if i - start >= STUCK_DAYS {
                out.push((readings[start].0, readings[i - 1].0));
            }
            start = i;
        }
    }
    out
}

fn stuck_warnings(source: &Source, readings: &[Reading]) -> Vec<Problem> {
    runs(readings)
        .into_iter()
        .map(|(from, to)| {
            let line = readings.iter().find(|r| r.0 == from).map_or(1, |r| r.1);
            let fault = ClimateError::Stuck {
                days: usize::try_from(to - from + 1).unwrap_or(0),
                from: calendar::date_text(from),
                to: calendar::date_text(to),
            };
            fault.warning(&source.name, Some(source.place(line)))
        })
        .collect()
}

/// Fahrenheit in a Celsius column: hot days hotter than anywhere on Earth are an error; a daily range wider than any
/// station's is a warning, since a record without its summer shows nothing else.
fn check_units(
    source: &Source,
    days: impl Iterator<Item = (f64, f64)>,
) -> Result<Option<Problem>, Problems> {
    let mut highs = Vec::new();
    let mut range_sum = 0.0;
    for (low, high) in days {
        highs.push(high);
        range_sum += high - low;
    }
    if highs.is_empty() {
        return Ok(None);
    }
    let mean_range = range_sum / highs.len() as f64;
    highs.sort_by(f64::total_cmp);
    let p95 = highs[(highs.len() - 1) * 95 / 100];
    if p95 > HOTTEST_P95 {
        let evidence = format!("one day in twenty is above {p95:.0} degC");
        return Err(fail(source, ClimateError::Fahrenheit { evidence }, None));
    }
    if mean_range > WIDEST_RANGE {
        let evidence =
            format!("the day's maximum is on average {mean_range:.0} K above its minimum");
        return Ok(Some(
            ClimateError::Fahrenheit { evidence }.warning(&source.name, None),
        ));
    }
    Ok(None)
}
