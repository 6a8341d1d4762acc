//! Daymet, one place of North America, daily from 1980 on: lines about the place, then a table.
//!
//! Columns are matched by name, since only those asked for are there. `yday` runs from 1 to 365 in every year: 29 February
//! is day 60 of a leap year and 31 December is left out. `srad` is the mean over the hours of daylight, so the day's sum
//! is srad times dayl. Older files write whole numbers as `1980.0`.

use super::columns::{Column, column};
use super::facts::{place, said};
use super::table::Table;
use super::{Format, Hints, header_line};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::quantity::day;
use crate::climate::raw::{DayRow, DayValues, PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("Daymet single place", |s| header(s).is_some(), read);

const COLUMNS: &[Column<DayValues>] = &[
    column(&["tmin"], day::MIN).needed(),
    column(&["tmax"], day::MAX).needed(),
    column(&["vp"], day::VAPOUR),
];

fn header(source: &Source) -> Option<usize> {
    header_line(source, |l| {
        l.starts_with("year,yday,") || l.starts_with("year, yday,")
    })
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let line = header(source).unwrap_or(1);
    let table = Table::new(source, line, b',')?
        .bracketed()
        .missing(|x| x == -9999.0);
    let columns = table.columns(COLUMNS)?;
    let (daylight, sun) = (table.find("dayl"), table.find("srad"));
    let form = "a year and a day of the year from 1 to 365 in the first two fields";
    let rows = table.rows(|row| {
        let day = row.stamp(1, ("day of the year", form), |_| {
            let year = i16::try_from(row.whole(0, 1900, 2200)?).ok()?;
            Some(calendar::day_of(year, 1, 1)? + row.whole(1, 1, 365)? - 1)
        })?;
        let mut values: DayValues = row.values(&columns)?;
        if let (Some(daylight), Some(sun)) = (daylight, sun) {
            let seconds = row.number(daylight, "dayl")?;
            let power = row.number(sun, "srad")?;
            values.ghi_sum = seconds.zip(power).map(|(s, w)| s * w);
        }
        Ok(DayRow::new(row.line, day * MINUTES_A_DAY, values))
    })?;
    let station = PartialStation {
        name: Some("Daymet grid cell".into()),
        source: Some("Daymet, Oak Ridge National Laboratory".into()),
        ..place(
            |name| said(source, line, name),
            ["Latitude", "Longitude", "Elevation"],
        )
    };
    let mut record = RawRecord::of(station, rows);
    let mut note = |text: &str| record.notes.push(text.to_owned());
    note("the file leaves out 31 December of leap years; filled from the days beside it");
    if sun.is_some() && daylight.is_none() {
        note("radiation cannot be used without the length of the day: ask for \"dayl\" too");
    }
    if table.find("swe").is_some() {
        note("the snow's water is in the file, its depth is not: snow is taken as none");
    }
    Ok(record)
}
