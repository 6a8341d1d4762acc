//! GHCN-Daily in fixed width (`.dly`): one line for each station, month and element.
//!
//! Layout (the network's own description, from memory): 1-11 station, 12-15 year, 16-17 month, 18-21 element, then 31 times
//! a value of five characters and three flags (measurement, quality, source). Missing is -9999; days a month does not have
//! are missing.

use super::ghcn_elements::{Days, Element, missing};
use super::table::whole;
use super::{Format, Hints, TemperatureUnit, each_line, excerpt};
use crate::climate::calendar;
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("GHCN-Daily, fixed width (.dly)", fits, read);

/// Characters before the first day.
const HEAD: usize = 21;
/// Characters of one day.
const DAY: usize = 8;

/// Station, year, month and element of a line.
fn head(line: &str) -> Option<(&str, i16, i8, &str)> {
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
    .then_some((
        station,
        i16::try_from(year).ok()?,
        i8::try_from(month).ok()?,
        element,
    ))
}

fn fits(source: &Source) -> bool {
    let line = source.line(1);
    let value = |at: usize| {
        line.get(at..at + 5)
            .is_some_and(|t| t.trim().parse::<i64>().is_ok())
    };
    line.is_ascii() && head(line).is_some() && value(HEAD) && value(HEAD + DAY)
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let mut days = Days::default();
    let read = each_line(source, |line, text| {
        let Some((station, year, month, element)) = head(text) else {
            return Err(ClimateError::BadTime {
                what: "line of a month",
                text: excerpt(text.get(..HEAD).unwrap_or(text)),
                expected: "11 characters of station, then year, month and element, as USW00094846201501TMAX",
            });
        };
        days.station(station);
        match Element::of(element) {
            Some(element) => take(&mut days, text, line, (year, month), element),
            None => Ok(()),
        }
    });
    days.record(source, read, PartialStation::default())
}

/// Takes one line's days.
fn take(
    days: &mut Days,
    text: &str,
    line: usize,
    (year, month): (i16, i8),
    element: &Element,
) -> Result<(), ClimateError> {
    for (of_month, at) in (1..=31).zip((HEAD..).step_by(DAY)) {
        let Some(day) = calendar::day_of(year, month, of_month) else {
            break;
        };
        let Some(written) = text.get(at..at + 5) else {
            let got = (at - HEAD) / DAY;
            return Err(ClimateError::ShortRow { got, need: 31 });
        };
        let Ok(raw) = written.trim().parse::<i64>() else {
            return Err(ClimateError::BadNumber {
                column: format!("day {of_month}"),
                text: excerpt(written),
            });
        };
        let raw = raw as f64;
        // Trailing blanks, and with them the last flags, may have been cut off.
        let failed = text.as_bytes().get(at + 6).is_some_and(|q| *q != b' ');
        if missing(raw) {
            continue;
        }
        days.touch(day, line);
        if failed {
            days.failed += 1;
            continue;
        }
        let value = element.si(raw, TemperatureUnit::TenthsCelsius);
        days.put(day, line, element, value)?;
    }
    Ok(())
}
