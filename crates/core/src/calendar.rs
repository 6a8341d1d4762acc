//! Days of the year as a keeper writes them: "1 Oct", "October 1".

use jiff::civil::Date;

/// A day of the year, without a year.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub struct MonthDay {
    /// 1 to 12.
    pub month: u8,
    /// 1 to 31.
    pub day: u8,
}

impl serde::Serialize for MonthDay {
    /// In words: "1 October".
    fn serialize<S: serde::Serializer>(&self, s: S) -> Result<S::Ok, S::Error> {
        s.serialize_str(&words(*self))
    }
}

const MONTHS: [(&str, u8); 12] = [
    ("january", 31),
    ("february", 28),
    ("march", 31),
    ("april", 30),
    ("may", 31),
    ("june", 30),
    ("july", 31),
    ("august", 31),
    ("september", 30),
    ("october", 31),
    ("november", 30),
    ("december", 31),
];

/// Why a text is no day of the year.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[non_exhaustive]
pub enum DateError {
    /// Not a day and a month.
    #[error("\"{0}\" is not a day and a month")]
    Form(String),
    /// A year is given.
    #[error("\"{0}\" has a year; the date is for every winter of the record")]
    Year(String),
    /// The month has no such day.
    #[error("{}{} has no day {day}", month[..1].to_uppercase(), &month[1..])]
    NoSuchDay {
        /// Month in words.
        month: &'static str,
        /// Day asked for.
        day: u32,
    },
    /// 29 February is not in every year.
    #[error("29 February is not in every year")]
    LeapDay,
}

/// Reads a day of the year without a year.
///
/// # Errors
/// [`DateError`].
pub fn parse(text: &str) -> Result<MonthDay, DateError> {
    let form = || DateError::Form(text.to_owned());
    let words: Vec<&str> = text
        .split(|c: char| c.is_whitespace() || c == '.' || c == ',')
        .filter(|w| !w.is_empty())
        .collect();
    let is_year = |w: &&str| w.len() == 4 && w.chars().all(|c| c.is_ascii_digit());
    if words.len() == 3 && words.iter().any(is_year) {
        return Err(DateError::Year(text.to_owned()));
    }
    let [a, b] = words.as_slice() else {
        return Err(form());
    };
    let (day, month) = if a.starts_with(|c: char| c.is_ascii_digit()) {
        (a, b)
    } else {
        (b, a)
    };
    let day: u32 = without_ending(day).parse().map_err(|_| form())?;
    let month = month.to_lowercase();
    if month.len() < 3 {
        return Err(form());
    }
    let (index, (name, last)) = MONTHS
        .iter()
        .enumerate()
        .find(|(_, (name, _))| name.starts_with(&month))
        .ok_or_else(form)?;
    if index == 1 && day == 29 {
        return Err(DateError::LeapDay);
    }
    if day == 0 || day > u32::from(*last) {
        return Err(DateError::NoSuchDay { month: name, day });
    }
    Ok(MonthDay {
        month: index as u8 + 1,
        day: day as u8,
    })
}

/// "1st" as "1".
fn without_ending(day: &str) -> &str {
    ["st", "nd", "rd", "th"]
        .iter()
        .find_map(|e| day.strip_suffix(e))
        .unwrap_or(day)
}

/// Day of a year of 365 days, 0 for 1 January.
#[must_use]
pub fn day_of_year(d: MonthDay) -> u32 {
    MONTHS
        .iter()
        .take(usize::from(d.month).saturating_sub(1))
        .map(|(_, n)| u32::from(*n))
        .sum::<u32>()
        + u32::from(d.day)
        - 1
}

/// Whether a day lies within a season, its first and last day included.
///
/// ```
/// use partywall_core::calendar::{parse, within};
/// let day = |t: &str| parse(t).unwrap();
/// assert!(within(day("1 Oct"), day("19 May"), day("15 Nov")));
/// assert!(!within(day("1 Oct"), day("19 May"), day("1 Sep")));
/// ```
#[must_use]
pub fn within(start: MonthDay, end: MonthDay, day: MonthDay) -> bool {
    days_between(start, day) <= days_between(start, end)
}

/// Days from one day of the year to the next time the other comes, 0 to 364.
#[must_use]
pub fn days_between(from: MonthDay, to: MonthDay) -> u32 {
    (365 + day_of_year(to) - day_of_year(from)) % 365
}

/// Days from a date to the next time such a day of the year comes, that date included; the day before a leap day for it.
///
/// ```
/// use jiff::civil::date;
/// use partywall_core::calendar::{days_after, parse};
/// let day = parse("10 Mar").unwrap();
/// assert_eq!((days_after(date(1999, 10, 1), day), days_after(date(2000, 10, 1), day)), (161, 160));
/// ```
#[must_use]
pub fn days_after(start: Date, day: MonthDay) -> u32 {
    let (month, of_month) = (day.month as i8, day.day as i8);
    (0..2)
        .find_map(|years| {
            let year = start.year() + years;
            let date =
                Date::new(year, month, of_month).or_else(|_| Date::new(year, month, of_month - 1));
            u32::try_from(start.until(date.ok()?).ok()?.get_days()).ok()
        })
        .unwrap_or(0)
}

/// The day of the year of a date; the day before a leap day for it.
#[must_use]
pub fn of(date: Date) -> MonthDay {
    let part = |x: i8| u8::try_from(x).unwrap_or(1);
    let leap = date.month() == 2 && date.day() == 29;
    MonthDay {
        month: part(date.month()),
        day: if leap { 28 } else { part(date.day()) },
    }
}

/// How far into the season that begins on `start` a date lies, days: orders dates of several winters within theirs, on either half of
/// the earth.
///
/// ```
/// use jiff::civil::date;
/// use partywall_core::calendar::{into_season, parse};
/// let (north, south) = (parse("1 Oct").unwrap(), parse("1 Apr").unwrap());
/// assert!(into_season(north, date(1990, 12, 24)) < into_season(north, date(1985, 1, 2)));
/// assert!(into_season(south, date(1990, 7, 24)) < into_season(south, date(1985, 8, 2)));
/// ```
#[must_use]
pub fn into_season(start: MonthDay, date: Date) -> u32 {
    days_between(start, of(date))
}

/// The shortest season that holds all of these, each from its first to its last day; `None` without any, or when they fill the year.
///
/// ```
/// use partywall_core::calendar::{parse, spanning};
/// let d = |text| parse(text).unwrap();
/// let all = [(d("1 Oct"), d("19 May")), (d("20 Sep"), d("1 May")), (d("15 Oct"), d("6 Jun"))];
/// assert_eq!(spanning(&all), Some((d("20 Sep"), d("6 Jun"))));
/// assert_eq!(spanning(&[(d("1 Oct"), d("1 Mar")), (d("1 Apr"), d("30 Sep"))]), None);
/// ```
#[must_use]
pub fn spanning(seasons: &[(MonthDay, MonthDay)]) -> Option<(MonthDay, MonthDay)> {
    let (from, _) = *seasons.first()?;
    let (mut first, mut last) = (0_i64, 0_i64);
    for &(start, end) in seasons {
        let after = i64::from(days_between(from, start));
        let begins = if after > 182 { after - 365 } else { after };
        first = first.min(begins);
        last = last.max(begins + i64::from(days_between(start, end)));
    }
    // One day at least must be left between the end and the next start.
    let day = |n: i64| Some(later(from, u32::try_from(n.rem_euclid(365)).ok()?));
    (last - first < 364)
        .then(|| day(first).zip(day(last)))
        .flatten()
}

/// The day that many days later, in a year of 365 days.
#[must_use]
pub fn later(from: MonthDay, days: u32) -> MonthDay {
    let mut left = (day_of_year(from) + days) % 365;
    for (i, (_, n)) in MONTHS.iter().enumerate() {
        let n = u32::from(*n);
        if left < n {
            return MonthDay {
                month: i as u8 + 1,
                day: left as u8 + 1,
            };
        }
        left -= n;
    }
    from
}

/// "1 October".
#[must_use]
pub fn words(d: MonthDay) -> String {
    let name = MONTHS
        .get(usize::from(d.month).saturating_sub(1))
        .map_or("?", |(n, _)| n);
    let mut letters = name.chars();
    let first = letters
        .next()
        .map(|c| c.to_ascii_uppercase())
        .unwrap_or('?');
    format!("{} {first}{}", d.day, letters.as_str())
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Would catch a day and month swapped, a wrong month length, and a year silently dropped.
    #[test]
    fn reads_the_forms_keepers_use() {
        let d = |month, day| Ok(MonthDay { month, day });
        for text in [
            "1 Oct",
            "Oct 1",
            "1 October",
            "October 1st",
            "1. oct",
            "1st OCT",
        ] {
            assert_eq!(parse(text), d(10, 1), "{text}");
        }
        assert_eq!(parse("19 May"), d(5, 19));
        assert_eq!(parse("22nd Feb"), d(2, 22));
        assert_eq!(
            parse("3rd of May"),
            Err(DateError::Form("3rd of May".to_owned()))
        );
        assert_eq!(
            parse("1 Oct 2024"),
            Err(DateError::Year("1 Oct 2024".to_owned()))
        );
        assert_eq!(
            parse("31 Apr"),
            Err(DateError::NoSuchDay {
                month: "april",
                day: 31
            })
        );
        assert_eq!(parse("29 Feb"), Err(DateError::LeapDay));
        for text in [
            "",
            "Oct",
            "1",
            "1 Jx",
            "ma 3",
            "0 May",
            "-1 May",
            "99999999999 May",
            "1 2",
        ] {
            assert!(parse(text).is_err(), "{text}");
        }
    }

    /// Would catch an off-by-one in the count of days across the new year.
    #[test]
    fn counts_days_across_the_new_year() {
        let d = |t| parse(t).unwrap();
        assert_eq!(days_between(d("1 Oct"), d("19 May")), 230);
        assert_eq!(days_between(d("31 Dec"), d("1 Jan")), 1);
        assert_eq!(days_between(d("1 Oct"), d("1 Oct")), 0);
        assert_eq!(later(d("12 May"), 7), d("19 May"));
        assert_eq!(later(d("28 Dec"), 7), d("4 Jan"));
        assert_eq!(words(d("1 Oct")), "1 October");
    }
}
