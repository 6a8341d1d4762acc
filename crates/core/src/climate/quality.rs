//! Checks of the values of one record: ranges and order; stuck instruments and wrong units have files of their own.
//!
//! Limits: the reader rules every format shares (common practice for station data, no source): air temperature -70 to
//! 60 degC, relative humidity 0 to 110 %, wind 0 to 75 m/s, global radiation 0 to 1500 W/m2, minimum at most 0.5 K above the
//! maximum. A value outside becomes missing and is counted; too many of them stop the reading.

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{DayRow, HourRow, RawRecord, Rows};
use crate::climate::source::Source;
use crate::climate::{stuck, swapped, wrong_unit};
use crate::problem::{Problem, Problems};

/// Share of temperatures out of range from which the column is not what it claims to be.
const HOPELESS_SHARE: f64 = 0.1;
/// Longest gap between rows for exchanged dates to be the explanation of disorder, minutes: a few days (common practice,
/// no source).
const LONGEST_GAP: i64 = 5 * MINUTES_A_DAY;
/// Allowed excess of a day's minimum over its maximum, K.
const CROSSED: f64 = 0.5;

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

    /// Drops a value out of range; whether it did.
    fn keep(&mut self, value: &mut Option<f64>, line: usize) -> bool {
        if let Some(x) = *value
            && !(self.low..=self.high).contains(&x)
        {
            self.count += 1;
            self.first.get_or_insert((x, line));
            *value = None;
            return true;
        }
        false
    }

    fn warning(&self, source: &Source) -> Option<Problem> {
        let (first, line) = self.first?;
        let fault = ClimateError::OutOfRange {
            count: self.count,
            what: self.what,
            range: self.text,
            first,
            line: source.whereabouts(line).1,
        };
        Some(source.warning_at(fault, line))
    }
}

fn range_warnings(source: &Source, temp: &Range, others: &[Range]) -> Vec<Problem> {
    std::iter::once(temp)
        .chain(others)
        .filter_map(|r| r.warning(source))
        .collect()
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

/// What checking found: warnings, and the day of every temperature reading dropped.
type Found = (Vec<Problem>, Vec<i64>);

/// Checks a record in place; warnings are added to it. Gives the day of every temperature reading dropped, in order.
///
/// # Errors
/// Times that do not move forward, no usable temperature, or temperatures that cannot be degrees Celsius.
pub fn check(source: &Source, record: &mut RawRecord) -> Result<Vec<i64>, Problems> {
    check_rows_in_order(source, &record.rows)?;
    let (warnings, dropped) = match &mut record.rows {
        Rows::Hours(rows) => check_hours(source, rows)?,
        Rows::Days(rows) => check_days(source, rows)?,
    };
    record.warnings.extend(warnings);
    Ok(dropped)
}

fn fail(source: &Source, fault: ClimateError, line: Option<usize>) -> Problems {
    Problems(vec![match line {
        Some(line) => source.error_at(fault, line),
        None => source.error(fault),
    }])
}

/// Refuses rows whose times do not move forward.
///
/// # Errors
/// At the first row that is not later than the row before it.
pub fn check_rows_in_order(source: &Source, rows: &Rows) -> Result<(), Problems> {
    let hour = |r: &HourRow| (r.minute, r.line);
    let day = |r: &DayRow| (r.day.saturating_mul(MINUTES_A_DAY), r.line);
    let text = match rows {
        Rows::Hours(_) => calendar::time_text,
        Rows::Days(_) => |minute: i64| calendar::date_text(minute.div_euclid(MINUTES_A_DAY)),
    };
    let checked = match rows {
        Rows::Hours(rows) => check_order(source, rows.iter().map(hour), text),
        Rows::Days(rows) => check_order(source, rows.iter().map(day), text),
    };
    checked.map_err(|problems| {
        let times: Vec<(i64, usize)> = match rows {
            Rows::Hours(rows) => rows.iter().map(hour).collect(),
            Rows::Days(rows) => rows.iter().map(day).collect(),
        };
        match swapped::explain(&times, LONGEST_GAP) {
            Some(found) => {
                let fault = ClimateError::Exchanged {
                    count: found.count,
                    written: calendar::date_text(found.written),
                    meant: calendar::date_text(found.meant),
                };
                Problems(vec![source.error_at(fault, found.line)])
            }
            None => problems,
        }
    })
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
                before_line: source.whereabouts(before_line).1,
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
            line: source.whereabouts(line).1,
        };
        return Err(fail(source, fault, Some(line)));
    }
    if usable == 0 {
        return Err(fail(source, ClimateError::NoTemperatures { rows }, None));
    }
    Ok(())
}

fn check_hours(source: &Source, rows: &mut [HourRow]) -> Result<Found, Problems> {
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
    let mut dropped = Vec::new();
    for row in rows.iter_mut() {
        let v = &mut row.values;
        if temp.keep(&mut v.temp_c, row.line) {
            dropped.push(row.minute.div_euclid(MINUTES_A_DAY));
        }
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
    let readings = stuck::of_hours(rows);
    let mut warnings = range_warnings(source, &temp, &others);
    let extremes = readings.iter().filter_map(|r| r.values[0].zip(r.values[1]));
    warnings.extend(wrong_unit::check_extremes(source, extremes)?);
    warnings.extend(stuck::warnings(source, &readings));
    Ok((warnings, dropped))
}

fn check_days(source: &Source, rows: &mut [DayRow]) -> Result<Found, Problems> {
    let mut temp = temperature("temperatures");
    let mut others = [
        Range::new("daily radiation sums", "0 to 45 MJ/m2", 0.0, 45.0e6),
        wind(),
        Range::new("vapour pressures", "0 to 6 kPa", 0.0, 6000.0),
        humidity(),
        snow(),
    ];
    let (mut crossed, mut crossed_line) = (0, 0);
    let mut dropped = Vec::new();
    for row in rows.iter_mut() {
        let v = &mut row.values;
        for field in [&mut v.tmin_c, &mut v.tmax_c, &mut v.tmean_c] {
            if temp.keep(field, row.line) {
                dropped.push(row.day);
            }
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
                dropped.push(row.day);
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
    let mut warnings = range_warnings(source, &temp, &others);
    if crossed > 0 {
        let fault = ClimateError::Crossed {
            count: crossed,
            line: source.whereabouts(crossed_line).1,
        };
        warnings.push(source.warning_at(fault, crossed_line));
    }
    let pairs = rows
        .iter()
        .filter_map(|r| match (r.values.tmin_c, r.values.tmax_c) {
            (Some(a), Some(b)) => Some((a, b)),
            _ => r.values.tmean_c.map(|m| (m, m)),
        });
    warnings.extend(wrong_unit::check_extremes(source, pairs)?);
    warnings.extend(stuck::warnings(source, &stuck::of_days(rows)));
    Ok((warnings, dropped))
}
