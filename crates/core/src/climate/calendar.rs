//! Days and minutes since 1970-01-01 of the station's own clock, to and from calendar dates.

use jiff::civil::Date;

use crate::calendar::MonthDay;

/// Minutes of a day.
pub const MINUTES_A_DAY: i64 = 1440;

/// Years a reading can come from: since there are thermometers, and not from a far future that is a slip of the pen.
pub const YEARS: std::ops::RangeInclusive<i16> = 1650..=2200;

/// The day everything is counted from.
const EPOCH: Date = Date::constant(1970, 1, 1);

/// A run of whole days.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Span {
    /// First day, days since 1970-01-01.
    pub first: i64,
    /// Last day, included.
    pub last: i64,
}

impl Span {
    /// Number of days.
    #[must_use]
    pub fn days(&self) -> usize {
        usize::try_from(self.last - self.first + 1).unwrap_or(0)
    }

    /// Number of hours.
    #[must_use]
    pub fn hours(&self) -> usize {
        self.days() * 24
    }
}

/// Whole days from 1970-01-01 to `date`.
#[must_use]
pub fn day_number(date: Date) -> i64 {
    date.duration_since(EPOCH).as_hours() / 24
}

/// The date `day` whole days after 1970-01-01; `None` beyond the calendar's range.
#[must_use]
pub fn date_of(day: i64) -> Option<Date> {
    EPOCH
        .checked_add(jiff::SignedDuration::from_hours(day.checked_mul(24)?))
        .ok()
}

/// The date as year-month-day, for messages.
#[must_use]
pub fn date_text(day: i64) -> String {
    date_of(day).map_or_else(|| format!("day {day}"), |d| d.to_string())
}

/// The time as year-month-day hour:minute, for messages.
#[must_use]
pub fn time_text(minute: i64) -> String {
    let m = minute.rem_euclid(MINUTES_A_DAY);
    format!(
        "{} {:02}:{:02}",
        date_text(minute.div_euclid(MINUTES_A_DAY)),
        m / 60,
        m % 60
    )
}

/// That day of that year; 29 February becomes 28 February in a common year.
#[must_use]
pub fn in_year(year: i16, day: MonthDay) -> Option<Date> {
    let (month, of_month) = (i8::try_from(day.month).ok()?, i8::try_from(day.day).ok()?);
    let date = |year, of_month| Date::new(year, month, of_month).ok();
    // Only 29 February is a day of a leap year and of no other.
    date(year, of_month).or_else(|| date(2000, of_month).and_then(|_| date(year, 28)))
}

/// Reads `YYYY-MM-DD` (also with single-digit month or day) into days since 1970-01-01.
#[must_use]
pub fn parse_date(text: &str) -> Option<i64> {
    let text = text.trim();
    // The usual form, ten characters, without searching for its parts.
    if let [a, b, c, d, b'-', e, f, b'-', g, h] = *text.as_bytes()
        && let (Some(ab), Some(cd), Some(month), Some(day)) =
            (two(a, b), two(c, d), two(e, f), two(g, h))
    {
        return day_of(100 * i16::from(ab) + i16::from(cd), month, day);
    }
    let mut parts = text.split('-');
    let (y, m, d) = (parts.next()?, parts.next()?, parts.next()?);
    if parts.next().is_some() || y.len() != 4 {
        return None;
    }
    day_of(y.parse().ok()?, m.parse().ok()?, d.parse().ok()?)
}

/// Days since 1970-01-01 of a date that a reading can have; `None` for no date, or one out of [`YEARS`].
#[must_use]
pub fn day_of(year: i16, month: i8, day: i8) -> Option<i64> {
    YEARS
        .contains(&year)
        .then(|| Date::new(year, month, day).ok().map(day_number))
        .flatten()
}

/// Two digits as a number.
fn two(a: u8, b: u8) -> Option<i8> {
    let digit = |x: u8| x.is_ascii_digit().then(|| x - b'0');
    i8::try_from(10 * digit(a)? + digit(b)?).ok()
}

/// Reads `YYYY-MM-DDTHH:MM[:SS]` (`T` or a space) into minutes since 1970-01-01 00:00. Hour 24 is the next midnight; a
/// zone suffix is refused, because the clock must be the station's standard time.
#[must_use]
pub fn parse_time(text: &str) -> Option<i64> {
    let text = text.trim();
    // The usual form, sixteen characters.
    if let Some((date, [b'T' | b' ', a, b, b':', c, d])) =
        text.split_at_checked(10).map(|(l, r)| (l, r.as_bytes()))
        && let (Some(h), Some(m)) = (two(*a, *b), two(*c, *d))
        && date.len() == date.trim().len()
    {
        let in_day = 60 * i64::from(h) + i64::from(m);
        return (m < 60 && in_day <= MINUTES_A_DAY)
            .then(|| parse_date(date).map(|day| day * MINUTES_A_DAY + in_day))
            .flatten();
    }
    let (date, clock) = text.split_once(['T', ' '])?;
    let day = parse_date(date)?;
    let mut parts = clock.trim().split(':');
    let (h, m) = (parts.next()?, parts.next()?);
    if h.len() > 2 || m.len() != 2 {
        return None;
    }
    let (h, m): (i64, i64) = (h.parse().ok()?, m.parse().ok()?);
    if let Some(seconds) = parts.next() {
        seconds.parse::<u8>().ok().filter(|s| *s < 60)?;
    }
    let in_day = h * 60 + m;
    if parts.next().is_some() || h < 0 || !(0..60).contains(&m) || in_day > MINUTES_A_DAY {
        return None;
    }
    Some(day * MINUTES_A_DAY + in_day)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches an off-by-one in the day count on either side of a leap day, and lost round trips.
    #[test]
    fn day_numbers_count_leap_days_and_round_trip() {
        assert_eq!(parse_date("1970-01-01"), Some(0));
        assert_eq!(parse_date("2000-03-01"), Some(11017));
        assert_eq!(
            parse_date("2000-02-29").map(|d| d + 1),
            parse_date("2000-03-01")
        );
        assert_eq!(date_text(11017), "2000-03-01");
        assert_eq!(date_text(-1), "1969-12-31");
    }

    /// Catches ambiguous or impossible dates being taken for something plausible.
    #[test]
    fn dates_that_are_not_dates_are_refused() {
        for bad in [
            "2015-02-29",
            "03/04/2015",
            "15-03-04",
            "2015-13-01",
            "2015-00-10",
            "9999-01-01",
            "0201-01-01",
            "",
            "2015-3",
        ] {
            assert_eq!(parse_date(bad), None, "{bad}");
        }
    }

    /// Catches zones, 12-hour clocks and hour 25 slipping through, and hour 24 landing on the wrong day.
    #[test]
    fn times_of_day() {
        let base = parse_date("2015-01-01").unwrap() * MINUTES_A_DAY;
        assert_eq!(parse_time("2015-01-01T00:00"), Some(base));
        assert_eq!(parse_time("2015-01-01 7:53"), Some(base + 7 * 60 + 53));
        assert_eq!(parse_time("2015-01-01T24:00"), Some(base + 1440));
        assert_eq!(parse_time("2015-01-01T10:30:15"), Some(base + 630));
        for bad in [
            "2015-01-01T00:00Z",
            "2015-01-01T10:00-06:00",
            "2015-01-01T25:00",
            "2015-01-01T24:01",
            "2015-01-01 1:00 PM",
        ] {
            assert_eq!(parse_time(bad), None, "{bad}");
        }
    }

    /// Catches a season that starts on 29 February losing every common year.
    #[test]
    fn leap_day_of_a_common_year_is_the_28th() {
        let leap = MonthDay { month: 2, day: 29 };
        assert_eq!(
            in_year(2015, leap).map(|d| d.to_string()),
            Some("2015-02-28".into())
        );
        assert_eq!(
            in_year(2016, leap).map(|d| d.to_string()),
            Some("2016-02-29".into())
        );
        assert_eq!(in_year(2016, MonthDay { month: 2, day: 30 }), None);
    }
}
