//! Years put together from months of different years: rows brought onto the clock of one nominal year.

use std::collections::BTreeSet;

use jiff::civil::Date;

use super::columns::Column;
use super::table::{Row, Table};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{HourRow, HourValues, Kind, PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// Year whose calendar a typical year is put on: a common year followed by another, so that no winter of it has a 29
/// February.
pub const NOMINAL_YEAR: i16 = 2001;

/// Hours of a common year.
pub const YEAR_HOURS: usize = 8760;

/// Year, month and day as written.
pub(super) type CalendarDay = (i64, i64, i64);

/// A calendar day and the minutes since its midnight; 1440 is the next midnight.
pub(super) type Stamp = (CalendarDay, i64);

/// A row with the calendar fields as written.
pub(super) struct Dated {
    line: usize,
    stamp: Stamp,
    values: HourValues,
}

impl Dated {
    /// The row in that year, if its day is one.
    fn in_year(&self, year: i64) -> Option<HourRow> {
        let ((_, month, day), minute) = self.stamp;
        let (year, month) = (i16::try_from(year).ok()?, i8::try_from(month).ok()?);
        let date = Date::new(year, month, i8::try_from(day).ok()?).ok()?;
        Some(HourRow::new(
            self.line,
            calendar::day_number(date) * MINUTES_A_DAY + minute,
            self.values,
        ))
    }
}

/// A table's rows with the calendar fields that `stamp` reads.
pub(super) fn read(
    table: &Table<'_>,
    columns: &'static [Column<HourValues>],
    mut stamp: impl FnMut(&Row<'_>) -> Result<Stamp, Box<Problem>>,
) -> Result<Vec<Dated>, Problems> {
    let columns = table.columns(columns)?;
    table.rows(|row| {
        Ok(Dated {
            line: row.line,
            stamp: stamp(row)?,
            values: row.values(&columns)?,
        })
    })
}

/// The rows on their own years, if every date exists and time moves forward all through.
pub(super) fn real_years(dated: &[Dated]) -> Option<Vec<HourRow>> {
    let real = |r: &Dated| {
        let ((year, ..), _) = r.stamp;
        let known = i16::try_from(year).is_ok_and(|y| calendar::YEARS.contains(&y));
        r.in_year(year).filter(|_| known)
    };
    let rows: Option<Vec<HourRow>> = dated.iter().map(real).collect();
    rows.filter(|rows| rows.windows(2).all(|w| w[0].minute < w[1].minute))
}

/// A record of rows on their own years or on a typical year's, as they allow. One calendar year alone is used as a typical
/// year, and one that lacks hours is warned about.
pub(super) fn record(source: &Source, station: PartialStation, dated: &[Dated]) -> RawRecord {
    if dated.len() > YEAR_HOURS + 24
        && let Some(rows) = real_years(dated)
    {
        return RawRecord::of(station, rows);
    }
    let years: BTreeSet<i64> = dated.iter().map(|r| r.stamp.0.0).collect();
    let span = match (years.first(), years.last()) {
        (Some(a), Some(b)) if a != b => format!(
            "a typical year put together from months of {a} to {b}: not a recent winter and not a hard one; the spread from winter to winter is not in it"
        ),
        (Some(a), _) => format!(
            "one calendar year ({a}): its autumn is put before its own spring, and the spread from winter to winter is not in it"
        ),
        _ => String::new(),
    };
    let (mut year, mut last_month) = (i64::from(NOMINAL_YEAR), 0);
    let in_order = dated.iter().filter_map(|row| {
        let ((_, month, _), _) = row.stamp;
        year += i64::from(last_month == 12 && month == 1);
        last_month = month;
        row.in_year(year)
    });
    let rows: Vec<HourRow> = in_order.collect();
    let (got, leap_rows) = (rows.len(), dated.len() - rows.len());
    let mut record = RawRecord::of(station, rows);
    record.kind = Kind::TypicalYear;
    record.notes.push(span);
    if leap_rows > 0 {
        record.notes.push(format!(
            "{leap_rows} hours of 29 February (or of no calendar day) left out of the typical year"
        ));
    }
    if got < YEAR_HOURS {
        let whole = YEAR_HOURS;
        let fault = ClimateError::NotAWholeYear { got, whole };
        record.warnings.push(fault.warning(&source.name, None));
    }
    record
}
