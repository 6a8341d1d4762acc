//! When to look at a hive in winter: the day to lift it first, and the next ones.

use crate::scenario::dates::{days_between, later};
use crate::scenario::model::MonthDay;
use jiff::civil::Date;
use serde::Serialize;

/// Days before the earliest day on which any winter starved the colony (a choice: time to fetch sugar and wait for a mild day).
const AHEAD: u32 = 21;
/// Days from one look to the next (common practice: every two weeks).
const EVERY: u32 = 14;
/// By then at the latest, north and south of the equator (a choice: before brood takes most).
const LATEST: [MonthDay; 2] = [
    MonthDay { month: 2, day: 15 },
    MonthDay { month: 8, day: 15 },
];

/// The days on which to lift a hive between the weighing in autumn and first dependable nectar, as "15 Feb".
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Looks {
    /// The first.
    pub first: String,
    /// Every two weeks from then on, the last before first dependable nectar.
    pub next: Vec<String>,
}

impl Looks {
    /// From a season and the days on which the colony starved in the winters run, if it did: three weeks before the earliest of
    /// them, in the middle of February at the latest, never before the season begins. A season without either mid-February or
    /// mid-August is looked at from its middle on.
    ///
    /// ```
    /// use partywall::report::looks::Looks;
    /// use partywall::scenario::model::MonthDay;
    /// let (start, nectar) = (MonthDay { month: 10, day: 1 }, MonthDay { month: 4, day: 1 });
    /// let looks = Looks::of(start, nectar, []);
    /// assert_eq!(looks.words(), "15 Feb, then 1, 15 and 29 Mar");
    /// ```
    #[must_use]
    pub fn of(start: MonthDay, nectar: MonthDay, starved: impl IntoIterator<Item = Date>) -> Self {
        let season = days_between(start, nectar);
        let since = |d: MonthDay| days_between(start, d);
        let latest = LATEST
            .into_iter()
            .map(since)
            .find(|d| *d < season)
            .unwrap_or(season / 2);
        let earliest = starved
            .into_iter()
            .filter_map(|d| {
                Some(since(MonthDay {
                    month: u8::try_from(d.month()).ok()?,
                    // A year here has no 29 February.
                    day: u8::try_from(d.day())
                        .ok()?
                        .min(if d.month() == 2 { 28 } else { 31 }),
                }))
            })
            .min();
        let first = earliest.map_or(latest, |d| d.saturating_sub(AHEAD).min(latest));
        let short = |days: u32| short(later(start, days));
        Self {
            first: short(first),
            next: (1..)
                .map(|n| first + n * EVERY)
                .take_while(|d| *d < season)
                .map(short)
                .collect(),
        }
    }

    /// "15 Feb, then 1, 15 and 29 Mar, 12 and 26 Apr, 10 May".
    #[must_use]
    pub fn words(&self) -> String {
        let mut months: Vec<(&str, Vec<&str>)> = Vec::new();
        for day in &self.next {
            let Some((number, month)) = day.split_once(' ') else {
                continue;
            };
            match months.last_mut() {
                Some((last, days)) if *last == month => days.push(number),
                _ => months.push((month, vec![number])),
            }
        }
        if months.is_empty() {
            return self.first.clone();
        }
        let months: Vec<String> = months
            .iter()
            .map(|(month, days)| match days.split_last() {
                Some((last, before)) if !before.is_empty() => {
                    format!("{} and {last} {month}", before.join(", "))
                }
                _ => format!("{} {month}", days.concat()),
            })
            .collect();
        format!("{}, then {}", self.first, months.join(", "))
    }

    /// All of them in turn.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        std::iter::once(&self.first)
            .chain(&self.next)
            .map(String::as_str)
    }
}

/// "15 Feb".
fn short(d: MonthDay) -> String {
    Date::new(
        2001,
        i8::try_from(d.month).unwrap_or(1),
        i8::try_from(d.day).unwrap_or(1),
    )
    .map_or_else(|_| String::new(), super::words::day)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    const OCTOBER: MonthDay = MonthDay { month: 10, day: 1 };
    const MAY: MonthDay = MonthDay { month: 5, day: 19 };

    /// Catches a first look after the colony has starved: in autumn, over New Year, in a leap year, or told for mid-February whatever
    /// the day; and looks beyond first nectar.
    #[test]
    fn the_first_look_is_before_the_colony_starves() {
        let first = |days: &[Date]| Looks::of(OCTOBER, MAY, days.iter().copied()).first;
        assert_eq!(first(&[date(1990, 4, 1)]), "15 Feb");
        assert_eq!(first(&[date(1990, 4, 1), date(1989, 12, 1)]), "10 Nov");
        assert_eq!(first(&[date(1990, 1, 10)]), "20 Dec");
        assert_eq!(first(&[date(1989, 11, 15)]), "25 Oct");
        assert_eq!(first(&[date(1989, 10, 5)]), "1 Oct");
        assert_eq!(first(&[date(1992, 2, 29)]), "7 Feb");
        let all = Looks::of(OCTOBER, MAY, []);
        assert_eq!(
            all.words(),
            "15 Feb, then 1, 15 and 29 Mar, 12 and 26 Apr, 10 May"
        );
        assert_eq!(all.all().count(), 7);
    }

    /// Catches mid-February told to keepers south of the equator, and a look outside a short season.
    #[test]
    fn the_season_sets_what_is_late() {
        let april = MonthDay { month: 4, day: 1 };
        let september = MonthDay { month: 9, day: 20 };
        assert_eq!(Looks::of(april, september, []).first, "15 Aug");
        let november = MonthDay { month: 11, day: 1 };
        let january = MonthDay { month: 1, day: 31 };
        let short = Looks::of(november, january, []);
        assert_eq!(short.words(), "16 Dec, then 30 Dec, 13 and 27 Jan");
    }
}
