//! Open-Meteo's archive as JSON: the same variables as in its CSV ([`super::open_meteo`]), one array each, `null` for
//! missing, units beside them.

use std::borrow::Cow;
use std::collections::{BTreeMap, BTreeSet};
use std::fmt;
use std::marker::PhantomData;

use serde::de::{Deserialize, Deserializer, MapAccess, SeqAccess, Visitor};
use serde_json::value::RawValue;

use super::columns::Column;
use super::open_meteo::{DAILY, EXPECTED, HOURLY, is_of_use, minute_of, record};
use super::{Format, Hints, MAX_PROBLEMS, excerpt};
use crate::climate::decode::is_json;
use crate::climate::error::ClimateError;
use crate::climate::limits::MAX_LINES;
use crate::climate::quantity::{Values, hour};
use crate::climate::raw::{PartialStation, RawRecord, Row};
use crate::climate::readings::Readings;
use crate::climate::source::{Source, refuse_any};
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format::new("Open-Meteo JSON", fits, read);

/// Names of series kept to be told when none is of use.
const MOST_NAMES: usize = 100;

type Series<'a> = Known<&'a RawValue>;
type Units = Known<String>;

#[derive(serde::Deserialize)]
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

/// What an object holds under the names of times and variables; an object may have millions of others.
struct Known<T> {
    known: BTreeMap<&'static str, T>,
    /// The first of all names there are, by the alphabet.
    found: BTreeSet<String>,
}

impl<T> Default for Known<T> {
    fn default() -> Self {
        Self {
            known: BTreeMap::new(),
            found: BTreeSet::new(),
        }
    }
}

impl<'de, T: Deserialize<'de>> Deserialize<'de> for Known<T> {
    fn deserialize<D: Deserializer<'de>>(deserializer: D) -> Result<Self, D::Error> {
        struct Fill<T>(Known<T>);
        impl<'de, T: Deserialize<'de>> Visitor<'de> for Fill<T> {
            type Value = Known<T>;

            fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
                f.write_str("a map")
            }

            fn visit_map<A: MapAccess<'de>>(mut self, mut map: A) -> Result<Known<T>, A::Error> {
                let Known { known, found } = &mut self.0;
                while let Some((name, value)) = map.next_entry::<Cow<'de, str>, T>()? {
                    if let Some(name) = names().find(|n| *n == name) {
                        known.insert(name, value);
                    }
                    found.insert(name.into_owned());
                    if found.len() > MOST_NAMES {
                        found.pop_last();
                    }
                }
                Ok(self.0)
            }
        }
        deserializer.deserialize_map(Fill(Known::default()))
    }
}

/// Name of the series of times.
const TIME: &str = "time";

/// Every name of a series that may be read.
fn names() -> impl Iterator<Item = &'static str> {
    let hourly = HOURLY.iter().flat_map(|c| c.names);
    let all = hourly.chain(DAILY.iter().flat_map(|c| c.names));
    all.copied().chain([TIME])
}

/// A time: ISO text or Unix seconds.
#[derive(serde::Deserialize)]
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

/// Takes the elements of an array one after the other, so that they are never held together.
struct Each<T, F>(F, PhantomData<T>);

impl<'de, T: Deserialize<'de>, F: FnMut(T)> Visitor<'de> for Each<T, F> {
    type Value = ();

    fn expecting(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("a sequence")
    }

    fn visit_seq<A: SeqAccess<'de>>(mut self, mut array: A) -> Result<(), A::Error> {
        while let Some(element) = array.next_element()? {
            (self.0)(element);
        }
        Ok(())
    }
}

/// Parses an array, each of its elements given to `take`.
fn each<'a, T: Deserialize<'a>>(
    source: &Source,
    piece: &'a str,
    take: impl FnMut(T),
) -> Result<(), Problems> {
    let mut deserializer = serde_json::Deserializer::from_str(piece);
    let parsed = deserializer.deserialize_seq(Each(take, PhantomData));
    let parsed = parsed.and_then(|()| deserializer.end());
    parsed.map_err(|e| json_fault(source, piece, &e).into())
}

/// Number of elements a series has at most, if that is not more than any record has.
fn length(source: &Source, raw: &RawValue) -> Result<usize, Problems> {
    let commas = raw.get().bytes().filter(|b| *b == b',').count();
    if commas >= MAX_LINES {
        let fault = ClimateError::TooManyLines { limit: MAX_LINES };
        return Err(source.error(fault).into());
    }
    Ok(commas + 1)
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    // Several places come as a list.
    let answer: Answer<'_> = if source.text.trim_start().starts_with('[') {
        let (mut places, mut last) = (0, None);
        each(source, &source.text, |answer: Answer<'_>| {
            (places, last) = (places + 1, Some(answer));
        })?;
        match last {
            Some(only) if places == 1 => only,
            _ => {
                let stations = format!("{} places", places.max(1));
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
    if let Some(series) = hourly.filter(|s| is_of_use(HOURLY, |n| s.known.contains_key(n))) {
        let rows = rows(source, series, answer.hourly_units, HOURLY, offset)?;
        return Ok(record(place, offset, rows));
    }
    if !is_of_use(DAILY, |n| daily.known.contains_key(n)) {
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
    let found: Vec<&str> = series.found.iter().map(String::as_str).collect();
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
) -> Result<Readings<V>, Problems> {
    let units = units.unwrap_or_default();
    let raw = series
        .known
        .get(TIME)
        .ok_or_else(|| no_series(source, "times", "\"time\"", series))?;
    let line = lines_before(source, raw.get()).0 + 1;
    length(source, raw)?;
    let (mut out, mut problems) = (Readings::default(), Vec::new());
    each(source, raw.get(), |stamp: Stamp<'_>| {
        let text = match stamp {
            Stamp::Unix(seconds) => Cow::Owned(seconds.to_string()),
            Stamp::Text(text) => text,
        };
        if let Some(minute) = minute_of::<V>(&text, offset_s) {
            out.push(Row::new(line, minute, V::default()));
        } else if problems.len() < MAX_PROBLEMS {
            let fault = ClimateError::BadTime {
                what: "time",
                text: excerpt(&text),
                expected: "YYYY-MM-DDTHH:MM, YYYY-MM-DD or Unix seconds",
            };
            problems.push(source.error_at(fault, line));
        }
    })?;
    refuse_any(problems)?;
    if out.is_empty() {
        return Err(source.error(ClimateError::NoRows).into());
    }
    for column in columns {
        let mut names = column.names.iter();
        let found = names.find_map(|n| Some((*n, series.known.get(n)?)));
        let Some((name, raw)) = found else { continue };
        let unit = units.known.get(name).map_or("", String::as_str);
        let si = match column.units {
            Some(units) => units.of(name, unit).map_err(|f| source.error(f))?,
            None => continue,
        };
        let mut values = Vec::with_capacity(length(source, raw)?);
        each(source, raw.get(), |value: Option<f64>| {
            values.push(value.map_or(f64::NAN, si));
        })?;
        if values.len() != out.len() {
            let fault = ClimateError::UnevenSeries {
                column: name.to_owned(),
                got: values.len(),
                times: out.len(),
            };
            return Err(source.error(fault).into());
        }
        out.put(&column.quantity, values);
    }
    Ok(out)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches all of the names an object may have being kept, or the one that is read being lost among them.
    #[test]
    fn only_known_names_are_kept() {
        let many: String = (0..1000).map(|i| format!("\"x{i:04}\":0,")).collect();
        let text = format!("{{{many}\"time\":[1]}}");
        let series: Series<'_> = serde_json::from_str(&text).unwrap();
        assert_eq!(series.known.keys().collect::<Vec<_>>(), [&TIME]);
        assert_eq!(series.known[TIME].get(), "[1]");
        assert_eq!(series.found.len(), MOST_NAMES);
        assert!(series.found.contains("x0000"));
    }
}
