//! When to look at a hive in winter: the day to lift it first, and the next ones.

use super::words::day;
use crate::text;
use jiff::civil::Date;
use partywall_core::calendar::MonthDay;
use partywall_core::decision::hefting::hefts;
use partywall_core::stand::Season;

/// The days on which to lift a hive between the weighing in autumn and first dependable nectar, as "15 Feb".
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Looks {
    /// The first.
    pub first: String,
    /// Every two weeks from then on, the last before first dependable nectar.
    pub next: Vec<String>,
}

impl Looks {
    /// From a season and the days on which the colony starved in the winters run, if it did.
    ///
    /// ```
    /// use partywall_report::looks::Looks;
    /// use partywall_core::calendar::MonthDay;
    /// use partywall_core::stand::Season;
    /// let day = |month, day| MonthDay { month, day };
    /// let season = Season { start: day(10, 1), first_nectar: day(4, 1), brood_start: day(2, 1), brood_full: day(3, 15) };
    /// assert_eq!(Looks::of(&season, &[]).words(), "15 Feb, then 1, 15 and 29 Mar");
    /// ```
    #[must_use]
    pub fn of(season: &Season, starved: &[Date]) -> Self {
        let mut days = hefts(season, starved).into_iter().map(short);
        Self {
            first: days.next().unwrap_or_default(),
            next: days.collect(),
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
                    text!("jobs.and", before = before.join(", "), last, month)
                }
                _ => format!("{} {month}", days.concat()),
            })
            .collect();
        text!("jobs.then", first = self.first, months = months.join(", "))
    }

    /// All of them in turn.
    pub fn all(&self) -> impl Iterator<Item = &str> {
        std::iter::once(&self.first)
            .chain(&self.next)
            .map(String::as_str)
    }
}

/// "15 Feb".
#[must_use]
pub fn short(d: MonthDay) -> String {
    let [month, number] = [d.month, d.day].map(|v| i8::try_from(v).unwrap_or(1));
    Date::new(2001, month, number).map_or_else(|_| String::new(), day)
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;
    use partywall_core::decision::hefting::first_heft;

    const fn on(month: u8, day: u8) -> MonthDay {
        MonthDay { month, day }
    }

    const NORTH: Season = Season {
        start: on(10, 1),
        first_nectar: on(5, 19),
        brood_start: on(2, 1),
        brood_full: on(3, 15),
    };

    /// Catches looks beyond first nectar, one left out, days under the wrong month, and a first look other than the first heft.
    #[test]
    fn looks_go_on_to_first_nectar() {
        let all = Looks::of(&NORTH, &[]);
        assert_eq!(
            all.words(),
            "15 Feb, then 1, 15 and 29 Mar, 12 and 26 Apr, 10 May"
        );
        assert_eq!(all.all().count(), 7);
        let starved = [date(1990, 1, 10), date(1992, 4, 29)];
        let early = Looks::of(&NORTH, &starved);
        assert_eq!(early.first, short(first_heft(&NORTH, &starved)));
        assert!(
            early
                .words()
                .starts_with("20 Dec, then 3, 17 and 31 Jan, 14"),
            "{}",
            early.words()
        );
        assert_eq!(early.next.last().map(String::as_str), Some("9 May"));
    }

    /// Catches February told to keepers south of the equator, and a season too short for a second look.
    #[test]
    fn the_season_sets_what_is_late() {
        let south = Season {
            start: on(4, 1),
            first_nectar: on(9, 20),
            brood_start: on(8, 1),
            brood_full: on(9, 1),
        };
        assert_eq!(
            Looks::of(&south, &[]).words(),
            "4 Aug, then 18 Aug, 1 and 15 Sep"
        );
        let short = Season {
            first_nectar: on(11, 10),
            brood_full: on(10, 20),
            ..NORTH
        };
        assert_eq!(Looks::of(&short, &[]).words(), "1 Nov");
    }
}
