//! Dates whose day and month were exchanged on the way, as spreadsheets do with days 1 to 12.

use jiff::civil::Date;

use crate::climate::calendar::{self, MINUTES_A_DAY};

/// What is wrong with the dates of a column.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Exchanged {
    /// Rows with day and month exchanged.
    pub(super) count: usize,
    /// Line of the first one.
    pub(super) line: usize,
    /// Its date as written, whole days since 1970-01-01.
    pub(super) written: i64,
    /// The date that is meant.
    pub(super) meant: i64,
}

/// The day with day and month exchanged, if it is another one.
fn exchanged(day: i64) -> Option<i64> {
    let date = calendar::date_of(day)?;
    let other = Date::new(date.year(), date.day(), date.month()).ok()?;
    (other != date).then(|| calendar::day_number(other))
}

/// Looks whether rows that are not in order (minutes since 1970-01-01 00:00, with their lines) are in order, without a gap
/// longer than `longest_gap` minutes, once some dates are read with day and month exchanged. `None` when that does not
/// mend them.
pub(super) fn explain(
    rows: impl IntoIterator<Item = (i64, usize)>,
    longest_gap: i64,
) -> Option<Exchanged> {
    let mut before: Option<i64> = None;
    let mut found: Option<Exchanged> = None;
    for (minute, line) in rows {
        let (day, clock) = (
            minute.div_euclid(MINUTES_A_DAY),
            minute.rem_euclid(MINUTES_A_DAY),
        );
        let other = exchanged(day).map(|d| d * MINUTES_A_DAY + clock);
        let follows = |t: i64| before.is_none_or(|b| t > b && t - b <= longest_gap);
        before = if follows(minute) {
            Some(minute)
        } else {
            let meant = other.filter(|t| follows(*t))?;
            let first = found.get_or_insert(Exchanged {
                count: 0,
                line,
                written: day,
                meant: meant.div_euclid(MINUTES_A_DAY),
            });
            first.count += 1;
            Some(meant)
        };
    }
    found
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Hours of some days of 2014, written with day and month exchanged where that gives a date.
    fn hours(from: &str, days: i64) -> Vec<(i64, usize)> {
        let first = calendar::parse_date(from).unwrap();
        let mut out = Vec::new();
        for day in first..first + days {
            let written = exchanged(day).unwrap_or(day);
            for hour in 0..24 {
                out.push((written * MINUTES_A_DAY + hour * 60, out.len() + 2));
            }
        }
        out
    }

    /// Catches the days 1 to 12 of each month, exchanged, not being recognised, or their number or place being wrong.
    #[test]
    fn exchanged_days_are_recognised() {
        let found = explain(hours("2014-01-01", 59), 3 * MINUTES_A_DAY).unwrap();
        // 1 January is the same either way; 11 days of January and 11 of February are not.
        assert_eq!((found.count, found.line), (22 * 24, 2 + 24));
        assert_eq!(calendar::date_text(found.written), "2014-02-01");
        assert_eq!(calendar::date_text(found.meant), "2014-01-02");
    }

    /// Catches any disorder being put down to exchanged dates.
    #[test]
    fn other_disorder_is_not_explained() {
        let mut rows: Vec<(i64, usize)> = (0..10).map(|i| (i * MINUTES_A_DAY, 2)).collect();
        rows.swap(3, 7);
        assert_eq!(explain(rows, 3 * MINUTES_A_DAY), None);
        assert_eq!(explain([(0, 1), (0, 2)], MINUTES_A_DAY), None);
    }
}
