//! Daymet, one place of North America, daily from 1980 on: lines about the place, then a table.
//!
//! Columns are matched by name, since only those asked for are there. `yday` runs from 1 to 365 in every year: 29 February
//! is day 60 of a leap year and 31 December is left out. `srad` is the mean over the hours of daylight, so the day's sum
//! is srad times dayl. Older files write whole numbers as `1980.0`.

use jiff::civil::Date;

use super::table::{Table, coordinate};
use super::{Format, Hints};
use crate::climate::calendar;
use crate::climate::raw::{DayRow, DayValues, Kind, PartialStation, RawRecord, Rows};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format {
    name: "Daymet single place",
    fits,
    read,
};

/// Lines among which the header row is looked for; six to eight are usual.
const HEADER_WITHIN: usize = 40;
/// Missing code.
fn missing(x: f64) -> bool {
    x == -9999.0
}

fn header(source: &Source) -> Option<usize> {
    (1..=source.line_count().min(HEADER_WITHIN)).find(|l| {
        source.line(*l).starts_with("year,yday,") || source.line(*l).starts_with("year, yday,")
    })
}

fn fits(source: &Source) -> bool {
    header(source).is_some()
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let line = header(source).unwrap_or(1);
    let table = Table::new(source, line, b',')?;
    let low = table.need(
        table.find_start("tmin ("),
        "the day's minimum",
        "tmin (deg c)",
    )?;
    let high = table.need(
        table.find_start("tmax ("),
        "the day's maximum",
        "tmax (deg c)",
    )?;
    let (daylight, sun) = (table.find_start("dayl ("), table.find_start("srad ("));
    let vapour = table.find_start("vp (");
    let mut rows = Vec::new();
    table.rows(table.names().len(), |row| {
        let date = row.whole(0, 1900, 2200).zip(row.whole(1, 1, 365));
        let day = date.and_then(|(year, yday)| {
            let first = Date::new(i16::try_from(year).ok()?, 1, 1).ok()?;
            Some(calendar::day_number(first) + yday - 1)
        });
        let form = "a year and a day of the year from 1 to 365 in the first two fields";
        let day = day.ok_or_else(|| row.bad_time(1, "day of the year", form))?;
        let (seconds, power) = (row.number(daylight, missing)?, row.number(sun, missing)?);
        rows.push(DayRow {
            line: row.line,
            day,
            values: DayValues {
                tmin_c: row.number(Some(low), missing)?,
                tmax_c: row.number(Some(high), missing)?,
                ghi_sum: seconds.zip(power).map(|(s, w)| s * w),
                vapour_pressure: row.number(vapour, missing)?,
                ..DayValues::default()
            },
        });
        Ok(())
    })?;
    let mut record = RawRecord::of(station(source, line), Kind::Daily, Rows::Days(rows));
    record.notes.push(
        "the file leaves out 31 December of leap years; filled from the days beside it".into(),
    );
    if sun.is_some() && daylight.is_none() {
        record.notes.push(
            "radiation cannot be used without the length of the day: ask for \"dayl\" too".into(),
        );
    }
    if table.find_start("swe (").is_some() {
        record.notes.push(
            "the snow's water is in the file, its depth is not: snow is taken as none".into(),
        );
    }
    Ok(record)
}

/// The number after a word in one of the lines before the header.
fn after(source: &Source, header: usize, word: &str, limit: f64) -> Option<f64> {
    (1..header).find_map(|l| {
        let (_, rest) = source.line(l).split_once(word)?;
        coordinate(rest.split_whitespace().next()?, limit)
    })
}

fn station(source: &Source, header: usize) -> PartialStation {
    PartialStation {
        latitude_deg: after(source, header, "Latitude:", 90.0),
        longitude_deg: after(source, header, "Longitude:", 180.0),
        elevation: after(source, header, "Elevation:", 9000.0),
        name: Some("Daymet grid cell".into()),
        source: Some("Daymet, Oak Ridge National Laboratory".into()),
        ..PartialStation::default()
    }
}
