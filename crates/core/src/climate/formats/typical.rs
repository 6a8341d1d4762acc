//! Years put together from months of different years: rows brought onto the clock of one nominal year.

use std::collections::BTreeSet;

use jiff::civil::Date;

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{HourRow, HourValues, Kind};
use crate::climate::source::Source;
use crate::problem::Problem;

/// Year whose calendar a typical year is put on: a common year followed by another, so that no winter of it has a 29
/// February.
pub const NOMINAL_YEAR: i16 = 2001;

/// Hours of a common year.
pub const YEAR_HOURS: usize = 8760;

/// A row with the calendar fields as written.
#[derive(Debug, Clone, Copy)]
pub(super) struct Dated {
    pub(super) line: usize,
    pub(super) year: i16,
    pub(super) month: i8,
    pub(super) day: i8,
    /// Minutes since midnight; 1440 is the next midnight.
    pub(super) minute_of_day: i64,
    pub(super) values: HourValues,
}

fn minute_in(year: i16, row: &Dated) -> Option<i64> {
    let date = Date::new(year, row.month, row.day).ok()?;
    Some(calendar::day_number(date) * MINUTES_A_DAY + row.minute_of_day)
}

/// The rows on their own years, if every date exists and time moves forward all through.
pub(super) fn real_years(dated: &[Dated]) -> Option<Vec<HourRow>> {
    let rows: Vec<HourRow> = dated
        .iter()
        .filter(|r| calendar::YEARS.contains(&r.year))
        .filter_map(|r| {
            Some(HourRow {
                line: r.line,
                minute: minute_in(r.year, r)?,
                values: r.values,
            })
        })
        .collect();
    (rows.len() == dated.len() && rows.windows(2).all(|w| w[0].minute < w[1].minute))
        .then_some(rows)
}

/// Decides between real years and a typical year and gives every row its minute. One calendar year alone is used as a
/// typical year.
pub(super) fn place_on_clock(dated: &[Dated], notes: &mut Vec<String>) -> (Kind, Vec<HourRow>) {
    if dated.len() > YEAR_HOURS + 24
        && let Some(rows) = real_years(dated)
    {
        return (Kind::Hourly, rows);
    }
    let years: BTreeSet<i16> = dated.iter().map(|r| r.year).collect();
    let span = match (years.first(), years.last()) {
        (Some(a), Some(b)) if a != b => format!(
            "a typical year put together from months of {a} to {b}: not a recent winter and not a hard one; the spread from winter to winter is not in it"
        ),
        (Some(a), _) => format!(
            "one calendar year ({a}): its autumn is put before its own spring, and the spread from winter to winter is not in it"
        ),
        _ => String::new(),
    };
    notes.push(span);
    let mut rows = Vec::with_capacity(dated.len());
    let (mut year, mut last_month, mut leap_rows) = (NOMINAL_YEAR, 0, 0_usize);
    for row in dated {
        if last_month == 12 && row.month == 1 {
            year = year.saturating_add(1);
        }
        last_month = row.month;
        match minute_in(year, row) {
            Some(minute) => rows.push(HourRow {
                line: row.line,
                minute,
                values: row.values,
            }),
            None => leap_rows += 1,
        }
    }
    if leap_rows > 0 {
        notes.push(format!(
            "{leap_rows} hours of 29 February (or of no calendar day) left out of the typical year"
        ));
    }
    (Kind::TypicalYear, rows)
}

/// A warning when a typical year lacks hours.
pub(super) fn warn_if_short(source: &Source, hours: usize) -> Vec<Problem> {
    if hours >= YEAR_HOURS {
        return Vec::new();
    }
    let fault = ClimateError::NotAWholeYear {
        got: hours,
        whole: YEAR_HOURS,
    };
    vec![fault.warning(&source.name, None)]
}
