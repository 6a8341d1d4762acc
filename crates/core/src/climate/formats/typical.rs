//! Years put together from months of different years: rows brought onto the clock of one nominal year.

use jiff::civil::Date;

use super::columns::Column;
use super::table::{Row, Table};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{self, HourValues, Kind, PartialStation, RawRecord};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::climate::steps::Steps;
use crate::problem::{Problem, Problems};

/// Year whose calendar a typical year is put on: a common year followed by another, so that no winter of it has a 29
/// February.
pub const NOMINAL_YEAR: i16 = 2001;

/// Hours of a common year.
pub const YEAR_HOURS: usize = 8760;

/// Year, month and day as written, whether there is such a day or not.
pub(super) type CalendarDay = (i16, i8, i8);

/// A calendar day and the minutes since its midnight; 1440 is the next midnight.
pub(super) type Stamp = (CalendarDay, i64);

/// A day of numbers that may be a year, a month and a day.
pub(super) fn calendar_day(year: i64, month: i64, day: i64) -> Option<CalendarDay> {
    let (month, day) = (i8::try_from(month).ok()?, i8::try_from(day).ok()?);
    Some((i16::try_from(year).ok()?, month, day))
}

/// Rows with the calendar fields as written.
pub(super) struct Dated {
    /// Day of each row.
    days: Vec<CalendarDay>,
    /// The rows, with the minutes since midnight of their days.
    rows: Readings<HourValues>,
}

/// Minute of a day in a year, if there is such a day in it.
fn minute_in(year: i64, (_, month, day): CalendarDay, minute: i64) -> Option<i64> {
    let date = Date::new(i16::try_from(year).ok()?, month, day).ok()?;
    Some(calendar::day_number(date) * MINUTES_A_DAY + minute)
}

/// A table's rows with the calendar fields that `stamp` reads.
pub(super) fn read(
    table: &Table<'_>,
    columns: &'static [Column<HourValues>],
    mut stamp: impl FnMut(&Row<'_>) -> Result<Stamp, Box<Problem>>,
) -> Result<Dated, Problems> {
    let columns = table.columns(columns)?;
    let mut days = Vec::new();
    let rows = table.rows(|row| {
        let (day, minute) = stamp(row)?;
        let values = row.values(&columns)?;
        days.push(day);
        Ok(raw::Row::new(row.line, minute, values))
    })?;
    Ok(Dated { days, rows })
}

impl Dated {
    /// The minutes of the rows on their own years, if every date exists and time moves forward all through.
    fn real_minutes(&self) -> Option<Steps> {
        let (mut out, mut last) = (Steps::default(), i64::MIN);
        for (day, minute) in self.days.iter().zip(self.rows.minutes.from(0)) {
            let known = calendar::YEARS.contains(&day.0);
            let minute = minute_in(day.0.into(), *day, minute).filter(|m| known && *m > last)?;
            out.push(minute);
            last = minute;
        }
        Some(out)
    }

    /// The rows on their own years, if every date exists and time moves forward all through; else as they are.
    pub(super) fn on_real_years(mut self) -> Result<Readings<HourValues>, Self> {
        match self.real_minutes() {
            Some(minutes) => {
                self.rows.minutes = minutes;
                Ok(self.rows)
            }
            None => Err(self),
        }
    }
}

/// A record of rows on their own years or on a typical year's, as they allow. One calendar year alone is used as a typical
/// year, and one that lacks hours is warned about.
pub(super) fn record(source: &Source, station: PartialStation, mut dated: Dated) -> RawRecord {
    if dated.days.len() > YEAR_HOURS + 24 {
        dated = match dated.on_real_years() {
            Ok(rows) => return RawRecord::of(station, rows),
            Err(dated) => dated,
        };
    }
    let Dated { days, rows: all } = dated;
    let years = || days.iter().map(|d| d.0);
    let span = match (years().min(), years().max()) {
        (Some(a), Some(b)) if a != b => format!(
            "a typical year put together from months of {a} to {b}: not a recent winter and not a hard one; the spread from winter to winter is not in it"
        ),
        (Some(a), _) => format!(
            "one calendar year ({a}): its autumn is put before its own spring, and the spread from winter to winter is not in it"
        ),
        _ => String::new(),
    };
    let (mut year, mut last_month) = (i64::from(NOMINAL_YEAR), 0);
    let in_order = days.iter().zip(all.iter()).filter_map(|(day, row)| {
        year += i64::from(last_month == 12 && day.1 == 1);
        last_month = day.1;
        let minute = minute_in(year, *day, row.minute)?;
        Some(raw::Row { minute, ..row })
    });
    let rows: Readings<HourValues> = in_order.collect();
    let (got, leap_rows) = (rows.len(), days.len() - rows.len());
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
