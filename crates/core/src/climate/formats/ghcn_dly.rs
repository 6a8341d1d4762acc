//! GHCN-Daily in fixed width (`.dly`): one line for each station, month and element.
//!
//! Layout (the network's own description, from memory): 1-11 station, 12-15 year, 16-17 month, 18-21 element, then 31 times
//! a value of five characters and three flags (measurement, quality, source). Missing is -9999; days a month does not have
//! are missing.

use std::collections::BTreeSet;

use super::ghcn_elements::{Days, Element, MOST_STATIONS, missing, origin, several};
use super::table::whole;
use super::{Format, Hints, MAX_PROBLEMS, excerpt};
use crate::climate::calendar;
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format {
    name: "GHCN-Daily, fixed width (.dly)",
    fits,
    read,
};

/// Characters before the first day.
const HEAD: usize = 21;
/// Characters of one day.
const DAY: usize = 8;

/// Station, year, month and element of a line.
fn head(line: &str) -> Option<(&str, i64, i64, &str)> {
    let station = line.get(..11)?;
    let year = whole(line.get(11..15)?, 1650, 2200)?;
    let month = whole(line.get(15..17)?, 1, 12)?;
    let element = line.get(17..21)?;
    let coded = |s: &str| {
        s.bytes()
            .all(|b| b.is_ascii_uppercase() || b.is_ascii_digit())
    };
    (station
        .bytes()
        .all(|b| b.is_ascii_alphanumeric() || b == b'_')
        && coded(element))
    .then_some((station, year, month, element))
}

fn value(line: &str, day: usize) -> Option<f64> {
    let from = HEAD + DAY * (day - 1);
    let text = line.get(from..from + 5)?.trim();
    text.parse::<i64>().ok().map(|x| x as f64)
}

fn fits(source: &Source) -> bool {
    let line = source.line(1);
    line.is_ascii() && head(line).is_some() && value(line, 1).is_some() && value(line, 2).is_some()
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let (mut days, mut problems) = (Days::default(), Vec::new());
    let mut stations = BTreeSet::new();
    for line in 1..=source.line_count() {
        let text = source.line(line);
        if text.trim().is_empty() {
            continue;
        }
        if problems.len() >= MAX_PROBLEMS {
            break;
        }
        match head(text) {
            Some((station, year, month, element)) => {
                if stations.len() < MOST_STATIONS && !stations.contains(station) {
                    stations.insert(station.to_owned());
                }
                if let Some(element) = Element::of(element)
                    && let Err(fault) = take(&mut days, text, line, (year, month), element)
                {
                    problems.push(source.error_at(fault, line));
                }
            }
            None => {
                let fault = ClimateError::BadTime {
                    what: "line of a month",
                    text: excerpt(text.get(..HEAD).unwrap_or(text)),
                    expected: "11 characters of station, then year, month and element, as USW00094846201501TMAX",
                };
                problems.push(source.error_at(fault, line));
            }
        }
    }
    if let Some(fault) = several(&stations) {
        problems.insert(0, source.error(fault));
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let id = stations.into_iter().next();
    Ok(days.record(PartialStation {
        id,
        source: origin(),
        ..PartialStation::default()
    }))
}

/// Takes one line's days.
fn take(
    days: &mut Days,
    text: &str,
    line: usize,
    (year, month): (i64, i64),
    element: Element,
) -> Result<(), ClimateError> {
    for day in 1..=31 {
        let Some(number) = calendar::parse_date(&format!("{year}-{month}-{day}")) else {
            break;
        };
        let Some(raw) = value(text, day) else {
            let from = HEAD + DAY * (day - 1);
            return Err(match text.get(from..from + 5) {
                Some(written) => ClimateError::BadNumber {
                    column: format!("day {day}"),
                    text: excerpt(written),
                },
                None => ClimateError::ShortRow {
                    got: day - 1,
                    need: 31,
                },
            });
        };
        if missing(raw) {
            continue;
        }
        // Trailing blanks, and with them the last flags, may have been cut off.
        let quality = text.as_bytes().get(HEAD + DAY * (day - 1) + 6);
        if quality.is_some_and(|q| *q != b' ') {
            days.failed += 1;
            days.touch(number, line);
            continue;
        }
        days.put(number, line, element, element.raw_to_si(raw))?;
    }
    Ok(())
}
