//! Open-Meteo's archive as JSON: the same variables as in its CSV ([`super::open_meteo`]), one array each, `null` for
//! missing, units beside them.

use std::borrow::Cow;
use std::collections::BTreeMap;

use serde::Deserialize;
use serde_json::value::RawValue;

use super::columns::Column;
use super::open_meteo::{DAILY, EXPECTED, HOURLY, is_of_use, minute_of, record};
use super::{Format, Hints, MAX_PROBLEMS, excerpt};
use crate::climate::decode::is_json;
use crate::climate::error::ClimateError;
use crate::climate::limits::MAX_LINES;
use crate::climate::quantity::{Values, hour};
use crate::climate::raw::{PartialStation, RawRecord, Row};
use crate::climate::source::{Source, refuse_any};
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format::new("Open-Meteo JSON", fits, read);

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
    let (before, head) = lines_before(source, piece);
    let line = before + error.line().max(1);
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
    serde_json::from_str(piece).map_err(|e| json_fault(source, piece, &e).into())
}

/// Parses one series, if it is not longer than any record's: its rows take more memory than its text.
fn parse_series<'a, T: Deserialize<'a>>(
    source: &Source,
    raw: &'a RawValue,
) -> Result<Vec<T>, Problems> {
    if raw.get().bytes().filter(|b| *b == b',').count() >= MAX_LINES {
        let fault = ClimateError::TooManyLines { limit: MAX_LINES };
        return Err(source.error(fault).into());
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
                let stations = format!("{} places", answers.len() + 1);
                let fault = ClimateError::SeveralStations { stations };
                return Err(source.error(fault).into());
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
        return Err(source.error(fault).into());
    }
    let place = PartialStation {
        latitude_deg: Some(answer.latitude),
        longitude_deg: Some(answer.longitude),
        elevation: answer.elevation,
        ..PartialStation::default()
    };
    let (hourly, daily) = (answer.hourly.as_ref(), answer.daily.unwrap_or_default());
    if let Some(series) = hourly.filter(|s| is_of_use(HOURLY, |n| s.contains_key(n))) {
        let rows = rows(source, series, answer.hourly_units, HOURLY, offset)?;
        return Ok(record(place, offset, rows));
    }
    if !is_of_use(DAILY, |n| daily.contains_key(n)) {
        return Err(no_series(source, hour::TEMP.name, EXPECTED, &daily).into());
    }
    let rows = rows(source, &daily, answer.daily_units, DAILY, offset)?;
    Ok(record(place, offset, rows))
}

/// The fault that there is no series with `what`.
fn no_series(
    source: &Source,
    what: &'static str,
    expected: &'static str,
    series: &Series<'_>,
) -> Problem {
    let found: Vec<&str> = series.keys().map(String::as_str).collect();
    source.error(ClimateError::MissingColumn {
        what,
        expected,
        found: found.join(", "),
    })
}

/// What stands before a piece of the text, and its number of line ends.
fn lines_before<'a>(source: &'a Source, piece: &str) -> (usize, &'a str) {
    let before = (piece.as_ptr() as usize).saturating_sub(source.text.as_ptr() as usize);
    let head = source.text.get(..before).unwrap_or("");
    (head.matches('\n').count(), head)
}

/// The rows, all on the line their times begin on.
fn rows<V: Values>(
    source: &Source,
    series: &Series<'_>,
    units: Option<Units>,
    columns: &[Column<V>],
    offset_s: i64,
) -> Result<Vec<Row<V>>, Problems> {
    let units = units.unwrap_or_default();
    let raw = series
        .get("time")
        .ok_or_else(|| no_series(source, "times", "\"time\"", series))?;
    let line = lines_before(source, raw.get()).0 + 1;
    let stamps: Vec<Stamp<'_>> = parse_series(source, raw)?;
    if stamps.is_empty() {
        return Err(source.error(ClimateError::NoRows).into());
    }
    let (mut out, mut problems) = (Vec::with_capacity(stamps.len()), Vec::new());
    for stamp in &stamps {
        let text = match stamp {
            Stamp::Unix(seconds) => Cow::Owned(seconds.to_string()),
            Stamp::Text(text) => Cow::Borrowed(text.as_ref()),
        };
        if let Some(minute) = minute_of::<V>(&text, offset_s) {
            out.push(Row::new(line, minute, V::default()));
            continue;
        }
        let fault = ClimateError::BadTime {
            what: "time",
            text: excerpt(&text),
            expected: "YYYY-MM-DDTHH:MM, YYYY-MM-DD or Unix seconds",
        };
        problems.push(source.error_at(fault, line));
        if problems.len() == MAX_PROBLEMS {
            break;
        }
    }
    refuse_any(problems)?;
    for column in columns {
        let found = column
            .names
            .iter()
            .find_map(|n| Some((*n, series.get(*n)?)));
        let Some((name, raw)) = found else { continue };
        let unit = units.get(name).map_or("", String::as_str);
        let si = match column.units {
            Some(units) => units.of(name, unit).map_err(|f| source.error(f))?,
            None => continue,
        };
        let read: Vec<Option<f64>> = parse_series(source, raw)?;
        if read.len() != out.len() {
            let fault = ClimateError::UnevenSeries {
                column: name.to_owned(),
                got: read.len(),
                times: out.len(),
            };
            return Err(source.error(fault).into());
        }
        for (row, value) in out.iter_mut().zip(read) {
            *(column.quantity.slot)(&mut row.values) = value.map(si);
        }
    }
    Ok(out)
}
