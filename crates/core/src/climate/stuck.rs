//! Instruments that repeat themselves: the same extremes on three days in a row or more.

use crate::climate::calendar::{self, MINUTES_A_DAY, Span};
use crate::climate::error::ClimateError;
use crate::climate::quantity::hour;
use crate::climate::raw::{DayRow, DayValues, HourValues};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::problem::Problem;

/// Days of equal readings from which an instrument counts as stuck (common practice, no source).
pub const STUCK_DAYS: usize = 3;
/// Days of equal readings from which a winter cannot be used: three can be chance where readings are rounded to whole degrees,
/// ten cannot (common practice, no source).
pub const TOO_LONG: i64 = 10;
/// Runs told one by one before the rest is summed up.
const MOST_TOLD: usize = 5;

/// One day's readings: those that a stuck instrument repeats.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Reading {
    /// Day, days since 1970-01-01.
    pub day: i64,
    /// Line the day begins on.
    pub line: usize,
    /// Minimum and maximum, or twice the mean, degC.
    pub values: [Option<f64>; 2],
}

/// Lowest and highest reading of every day of hourly rows.
#[must_use]
pub fn of_hours(rows: &Readings<HourValues>) -> Vec<Reading> {
    let mut out: Vec<Reading> = Vec::new();
    for (row, minute, t) in rows.known(&hour::TEMP) {
        let day = minute.div_euclid(MINUTES_A_DAY);
        match out.last_mut() {
            Some(r) if r.day == day => {
                r.values = [r.values[0].map(|l| l.min(t)), r.values[1].map(|h| h.max(t))];
            }
            _ => out.push(Reading {
                day,
                line: rows.lines.line(row),
                values: [Some(t); 2],
            }),
        }
    }
    out
}

/// Readings of daily rows.
#[must_use]
pub fn of_days(rows: &Readings<DayValues>) -> Vec<Reading> {
    let reading = |r: DayRow| Reading {
        day: r.day(),
        line: r.line,
        values: match (r.values.tmin_c, r.values.tmax_c) {
            (Some(low), Some(high)) => [Some(low), Some(high)],
            _ => [r.values.tmean_c; 2],
        },
    };
    rows.iter().map(reading).collect()
}

/// The part within `span` of every run of at least [`STUCK_DAYS`] days with equal readings: first and last day.
#[must_use]
pub fn within(readings: &[Reading], span: Span) -> Vec<(i64, i64)> {
    let cut = |(from, to): (i64, i64)| (from.max(span.first), to.min(span.last));
    runs(readings)
        .into_iter()
        .map(cut)
        .filter(|(from, to)| from <= to)
        .collect()
}

/// First and last day of every run of at least [`STUCK_DAYS`] consecutive days with equal readings.
fn runs(readings: &[Reading]) -> Vec<(i64, i64)> {
    let mut out = Vec::new();
    let mut start = 0;
    for i in 1..=readings.len() {
        let goes_on = readings.get(i).is_some_and(|r| {
            let before = &readings[i - 1];
            r.day == before.day + 1 && r.values[0].is_some() && r.values == before.values
        });
        if !goes_on {
            if i - start >= STUCK_DAYS {
                out.push((readings[start].day, readings[i - 1].day));
            }
            start = i;
        }
    }
    out
}

/// A warning for each run, after the first few one for all the rest.
#[must_use]
pub fn warnings(source: &Source, readings: &[Reading]) -> Vec<Problem> {
    let runs = runs(readings);
    let days = |(from, to): &(i64, i64)| usize::try_from(to - from + 1).unwrap_or(0);
    let told = runs.iter().take(MOST_TOLD).map(|run| {
        let first = readings.iter().find(|r| r.day == run.0);
        let line = first.map_or(1, |r| r.line);
        let fault = ClimateError::Stuck {
            days: days(run),
            from: calendar::date_text(run.0),
            to: calendar::date_text(run.1),
        };
        source.warning_at(fault, line)
    });
    let mut out: Vec<Problem> = told.collect();
    let rest = runs.get(MOST_TOLD..).unwrap_or(&[]);
    if !rest.is_empty() {
        let fault = ClimateError::MoreStuck {
            runs: rest.len(),
            days: rest.iter().map(days).sum(),
        };
        out.push(fault.warning(&source.name, None));
    }
    out
}
