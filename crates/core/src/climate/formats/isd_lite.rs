//! ISD-Lite: hourly airport reports of the whole world, one file a station and year, usually gzip-packed.
//!
//! Layout: the network's own description of the format. Fixed width, UTC: columns 1-4 year, 6-7 month, 9-11 day, 12-13
//! hour, then six-wide whole numbers: temperature and dew point in tenths of a degree Celsius, sea-level pressure, wind
//! direction, wind in tenths of m/s, sky cover in oktas, two sums of precipitation. Missing is -9999. Hours without a
//! report have no line. The file does not say where the station is.

use super::table::whole;
use super::{Format, Hints, each_line, excerpt};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{Clock, HourRow, HourValues, PartialStation, RawRecord};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("ISD-Lite", fits, read);

/// Missing code.
const MISSING: i64 = -9999;
/// Characters up to the sky cover, the last field used here.
const NEEDED: usize = 49;

/// Minutes since 1970-01-01 00:00 UTC of a line's stamp.
fn stamp(line: &str) -> Option<i64> {
    let part = |a: usize, b: usize| line.get(a..b).map(str::trim);
    if [4, 7]
        .iter()
        .any(|i| line.as_bytes().get(*i) != Some(&b' '))
    {
        return None;
    }
    let year = part(0, 4).filter(|y| y.len() == 4)?.parse().ok()?;
    let (month, day) = (part(5, 7)?.parse().ok()?, part(8, 11)?.parse().ok()?);
    let day = calendar::day_of(year, month, day)?;
    Some(day * MINUTES_A_DAY + 60 * whole(part(11, 13)?, 0, 23)?)
}

/// A six-wide whole number; the outer `None` is no number, the inner a missing value.
fn field(line: &str, number: usize) -> Option<Option<i64>> {
    let from = 13 + 6 * number;
    let value = line.get(from..from + 6)?.trim().parse::<i64>().ok()?;
    Some((value != MISSING).then_some(value))
}

fn fits(source: &Source) -> bool {
    let line = source.line(1);
    line.is_ascii() && stamp(line).is_some() && (0..6).all(|i| field(line, i).is_some())
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let mut rows = Readings::expecting(source.line_count());
    each_line(source, |line, text| {
        rows.push(row(line, text)?);
        Ok(())
    })?;
    let mut record = RawRecord::of(station(&source.name), rows);
    record.clock = Clock::Utc;
    Ok(record)
}

fn row(line: usize, text: &str) -> Result<HourRow, ClimateError> {
    if text.len() < NEEDED {
        return Err(ClimateError::ShortRow {
            got: text.split_whitespace().count(),
            need: 12,
        });
    }
    let minute = stamp(text).ok_or_else(|| ClimateError::BadTime {
        what: "time",
        text: excerpt(text.get(..13).unwrap_or(text)),
        expected: "year, month, day and hour (UTC) in the first 13 characters, as \"2016 01 31 07\"",
    })?;
    let value = |number: usize, column: &str| {
        field(text, number).ok_or_else(|| ClimateError::BadNumber {
            column: column.to_owned(),
            text: excerpt(text.get(13 + 6 * number..).unwrap_or("")),
        })
    };
    let tenths = |v: Option<i64>| v.map(|x| x as f64 / 10.0);
    let values = HourValues {
        outdoor_c: tenths(value(0, "air temperature")?),
        dewpoint_c: tenths(value(1, "dew point")?),
        wind: tenths(value(4, "wind speed")?),
        // 9 and more: the sky is obscured or described in words; taken as covered.
        cloud: value(5, "sky cover")?.map(|okta| okta.clamp(0, 8) as f64 / 8.0),
        ..HourValues::default()
    };
    Ok(HourRow::new(line, minute, values))
}

/// The station's numbers as the network puts them into file names (`725300-94846-2016.gz`): they keep stations apart.
fn station(name: &str) -> PartialStation {
    let file = name.rsplit(['/', '\\']).next().unwrap_or(name);
    let stem = file.split('.').next().unwrap_or(file);
    let parts: Vec<&str> = stem.split('-').collect();
    let numbers = parts.len() >= 2
        && parts
            .iter()
            .all(|p| !p.is_empty() && p.chars().all(|c| c.is_ascii_alphanumeric()))
        && parts.last().is_some_and(|y| y.len() == 4);
    let id = numbers.then(|| parts.get(..parts.len() - 1).unwrap_or(&[]).join("-"));
    PartialStation {
        id,
        source: Some("ISD-Lite, National Oceanic and Atmospheric Administration".into()),
        ..PartialStation::default()
    }
}
