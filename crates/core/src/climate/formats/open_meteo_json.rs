//! Open-Meteo's archive as JSON: the same variables as in its CSV ([`super::open_meteo`]), one array each, `null` for
//! missing, units beside them.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::value::RawValue;

use super::open_meteo::{self, DAILY, EXPECTED, HOURLY, Variable};
use super::{Format, Hints, MAX_PROBLEMS, excerpt};
use crate::climate::calendar::MINUTES_A_DAY;
use crate::climate::error::ClimateError;
use crate::climate::limits::MAX_LINES;
use crate::climate::raw::{DayRow, DayValues, HourRow, HourValues, RawRecord};
use crate::climate::source::{Source, is_json};
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format {
    name: "Open-Meteo JSON",
    fits,
    read,
};

type Series<'a> = BTreeMap<String, &'a RawValue>;
type Units = BTreeMap<String, String>;

#[derive(Deserialize)]
struct Answer<'a> {
    latitude: f64,
    longitude: f64,
    elevation: Option<f64>,
    utc_offset_seconds: i64,
    hourly_units: Option<Units>,
    #[serde(borrow)]
    hourly: Option<Series<'a>>,
    daily_units: Option<Units>,
    #[serde(borrow)]
    daily: Option<Series<'a>>,
}

/// A time: ISO text or Unix seconds.
#[derive(Deserialize)]
#[serde(untagged)]
enum Stamp<'a> {
    Unix(i64),
    #[serde(borrow)]
    Text(Cow<'a, str>),
}

fn fits(source: &Source) -> bool {
    let has = |key: &str| source.text.contains(key);
    is_json(source.text.as_bytes())
        && has("\"utc_offset_seconds\"")
        && (has("\"hourly\"") || has("\"daily\""))
}

/// A parser's fault at its place in the whole text; `piece` is the part of it that was parsed.
fn json_fault(source: &Source, piece: &str, error: &serde_json::Error) -> Problem {
    let before = (piece.as_ptr() as usize).saturating_sub(source.text.as_ptr() as usize);
    let lines = |text: &str| text.matches('\n').count();
    let head = source.text.get(..before).unwrap_or("");
    let line = lines(head) + error.line().max(1);
    let column = if error.line() <= 1 {
        let started = head.rfind('\n').map_or(0, |i| i + 1);
        head.get(started..).unwrap_or("").chars().count() + error.column()
    } else {
        error.column()
    };
    let mut reason = error.to_string();
    if let Some(at) = reason.rfind(" at line ") {
        reason.truncate(at);
    }
    let mut problem = source.error_at(ClimateError::BadJson { reason }, line);
    if let Some(place) = &mut problem.place {
        (place.column, place.width) = (column.max(1), 1);
    }
    problem
}

fn parse<'a, T: Deserialize<'a>>(source: &Source, piece: &'a str) -> Result<T, Problems> {
    serde_json::from_str(piece).map_err(|e| Problems(vec![json_fault(source, piece, &e)]))
}

/// Parses one series, if it is not longer than any record's: its rows take more memory than its text.
fn parse_series<'a, T: Deserialize<'a>>(
    source: &Source,
    raw: &'a RawValue,
) -> Result<Vec<T>, Problems> {
    if raw.get().bytes().filter(|b| *b == b',').count() >= MAX_LINES {
        let fault = ClimateError::TooManyLines { limit: MAX_LINES };
        return Err(Problems(vec![source.error(fault)]));
    }
    parse(source, raw.get())
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    // Several places come as a list.
    let answer: Answer<'_> = if source.text.trim_start().starts_with('[') {
        let mut answers: Vec<Answer<'_>> = parse(source, &source.text)?;
        match answers.pop() {
            Some(only) if answers.is_empty() => only,
            _ => {
                let fault = ClimateError::SeveralStations {
                    stations: format!("{} places", answers.len() + 1),
                };
                return Err(Problems(vec![source.error(fault)]));
            }
        }
    } else {
        parse(source, &source.text)?
    };
    let offset = answer.utc_offset_seconds;
    let possible = answer.latitude.abs() <= 90.0
        && answer.longitude.abs() <= 180.0
        && (-12 * 3600..=14 * 3600).contains(&offset);
    if !possible {
        let fault = ClimateError::BadHeader {
            what: "place or time zone",
            text: format!("{}, {}, {offset} s", answer.latitude, answer.longitude),
            expected: "latitude and longitude in degrees, the offset from UTC in seconds",
        };
        return Err(Problems(vec![source.error(fault)]));
    }
    // Whole seconds of at most 14 h are exact.
    let station = open_meteo::place(
        answer.latitude,
        answer.longitude,
        answer.elevation,
        offset as f64,
    );
    let no_units = Units::new();
    if let Some(series) = answer.hourly.filter(|s| s.contains_key("temperature_2m")) {
        let units = answer.hourly_units.as_ref().unwrap_or(&no_units);
        let (minutes, line) = times(source, &series, offset)?;
        let values: Vec<HourValues> = values(source, &series, units, HOURLY, minutes.len())?;
        let rows = minutes.into_iter().zip(values);
        let rows = rows.map(|(minute, values)| HourRow {
            line,
            minute,
            values,
        });
        return Ok(open_meteo::record(station, rows.collect(), Vec::new()));
    }
    let series = answer.daily.unwrap_or_default();
    if !DAILY
        .iter()
        .take(3)
        .any(|v| v.0.iter().any(|n| series.contains_key(*n)))
    {
        let fault = ClimateError::MissingColumn {
            what: "the air temperature",
            expected: EXPECTED,
            found: series.keys().cloned().collect::<Vec<_>>().join(", "),
        };
        return Err(Problems(vec![source.error(fault)]));
    }
    let units = answer.daily_units.as_ref().unwrap_or(&no_units);
    let (minutes, line) = times(source, &series, offset)?;
    let values: Vec<DayValues> = values(source, &series, units, DAILY, minutes.len())?;
    let rows = minutes
        .into_iter()
        .zip(values)
        .map(|(minute, values)| DayRow {
            line,
            day: minute.div_euclid(MINUTES_A_DAY),
            values,
        });
    Ok(open_meteo::record(station, Vec::new(), rows.collect()))
}

/// Minutes on the file's clock, and the line they begin on.
fn times(source: &Source, series: &Series<'_>, offset: i64) -> Result<(Vec<i64>, usize), Problems> {
    let Some(raw) = series.get("time") else {
        let fault = ClimateError::MissingColumn {
            what: "the times",
            expected: "\"time\"",
            found: series.keys().cloned().collect::<Vec<_>>().join(", "),
        };
        return Err(Problems(vec![source.error(fault)]));
    };
    let before = (raw.get().as_ptr() as usize).saturating_sub(source.text.as_ptr() as usize);
    let line = source
        .text
        .get(..before)
        .unwrap_or("")
        .matches('\n')
        .count()
        + 1;
    let stamps: Vec<Stamp<'_>> = parse_series(source, raw)?;
    if stamps.is_empty() {
        return Err(Problems(vec![source.error(ClimateError::NoRows)]));
    }
    let (mut out, mut problems) = (Vec::with_capacity(stamps.len()), Vec::new());
    for stamp in stamps {
        let minute = match &stamp {
            Stamp::Unix(seconds) => open_meteo::minute_of_unix(*seconds, offset),
            Stamp::Text(text) => open_meteo::minute_of(text, offset)
                .or_else(|| open_meteo::day_of(text, offset).map(|d| d * MINUTES_A_DAY)),
        };
        match minute {
            Some(minute) => out.push(minute),
            None if problems.len() < MAX_PROBLEMS => {
                let text = match stamp {
                    Stamp::Unix(seconds) => seconds.to_string(),
                    Stamp::Text(text) => excerpt(&text),
                };
                let fault = ClimateError::BadTime {
                    what: "time",
                    text,
                    expected: "YYYY-MM-DDTHH:MM, YYYY-MM-DD or Unix seconds",
                };
                problems.push(source.error_at(fault, line));
            }
            None => break,
        }
    }
    if problems.is_empty() {
        Ok((out, line))
    } else {
        Err(Problems(problems))
    }
}

/// The rows' values, series by series.
fn values<V: Default + Clone>(
    source: &Source,
    series: &Series<'_>,
    units: &Units,
    variables: &[Variable<V>],
    count: usize,
) -> Result<Vec<V>, Problems> {
    let mut out = vec![V::default(); count];
    for (names, measure, slot) in variables {
        let found = names.iter().find_map(|n| Some((*n, series.get(*n)?)));
        let Some((name, raw)) = found else { continue };
        let unit = units.get(name).map_or("", String::as_str);
        let (shift, factor) = open_meteo::conversion(name, *measure, unit)
            .map_err(|f| Problems(vec![source.error(f)]))?;
        let read: Vec<Option<f64>> = parse_series(source, raw)?;
        if read.len() != count {
            let fault = ClimateError::UnevenSeries {
                column: name.to_owned(),
                got: read.len(),
                times: count,
            };
            return Err(Problems(vec![source.error(fault)]));
        }
        for (row, value) in out.iter_mut().zip(read) {
            *slot(row) = value.map(|x| (x + shift) * factor);
        }
    }
    Ok(out)
}
