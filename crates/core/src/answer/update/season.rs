//! The winter the weighings belong to.

use super::weights::weight_problem;
use super::years;
use crate::answer::AnswerError;
use crate::calendar;
use crate::calendar::MonthDay;
use crate::problem::{Problem, Problems, Severity};
use crate::scenario::log::Weighing;
use crate::stand::Scenario;
use jiff::civil::Date;

/// A day so shortly before the start is one of that autumn, not of the summer before it, days (a choice, that of feeds in a scenario).
const AUTUMN_BEFORE: i32 = 75;

/// The winter the weighings belong to.
pub(super) struct Season {
    pub(super) start: Date,
    pub(super) nectar: Date,
    pub(super) within: Vec<Weighing>,
}

impl Season {
    /// The winter of the latest weighing that lies between the scenario's start and first nectar; [`problems`] tells of those that do not.
    pub(super) fn of(all: &[Weighing], s: &Scenario) -> Result<Self, AnswerError> {
        if all.is_empty() {
            return Err(AnswerError::NoWeighing);
        }
        let (start, nectar) = latest(all, s)
            .ok_or_else(|| AnswerError::Problems(Problems(problems(all, s, None))))?;
        let mut within: Vec<Weighing> = all.iter().filter(|w| w.date >= start).cloned().collect();
        within.sort_by_key(|w| w.date);
        Ok(Self {
            start,
            nectar,
            within,
        })
    }

    pub(super) fn day(&self, date: Date) -> usize {
        self.start
            .until(date)
            .ok()
            .and_then(|s| usize::try_from(s.get_days()).ok())
            .unwrap_or(0)
    }

    pub(super) fn date(&self, day: usize, days: usize) -> Option<Date> {
        if day >= days {
            return None;
        }
        let span = jiff::Span::new().days(i64::try_from(day).ok()?);
        self.start
            .checked_add(span)
            .ok()
            .filter(|d| *d < self.nectar)
    }
}

/// All that is wrong with the days and the weights of the weighings that are meant for the winter of the latest, each at its place: those
/// since that winter's start, those in the weeks before it, and all of them when none lies within a season. What was weighed in summers
/// and winters before is let be, unless the year is a slip: a winter that begins after `today` has no weighing yet, and winters come one after
/// the other.
#[must_use]
pub fn problems(all: &[Weighing], s: &Scenario, today: Option<Date>) -> Vec<Problem> {
    let (ahead, all): (Vec<&Weighing>, Vec<&Weighing>) = all
        .iter()
        .partition(|w| today.is_some_and(|today| years::not_begun(w, s, today)));
    let ahead = ahead.into_iter().zip(today);
    let ahead = ahead.map(|(w, today)| years::ahead(w, today));
    let winter = latest(all.iter().copied(), s);
    let meant = |w: &&&Weighing| {
        winter.is_none_or(|(start, _)| {
            w.date >= start
                || (winter_of(w.date, s).is_none() && until(w.date, start) <= AUTUMN_BEFORE)
        })
    };
    let of_season = all
        .iter()
        .filter(meant)
        .filter_map(|w| match winter_of(w.date, s) {
            Some(_) => weight_problem(w, s),
            None => Some(out_of_season(w, s)),
        });
    let out_of_order = years::out_of_order(all.iter().copied(), s);
    ahead.chain(of_season).chain(out_of_order).collect()
}

/// What is said of a weighing between first nectar and the next start.
fn out_of_season(w: &Weighing, s: &Scenario) -> Problem {
    let (start, nectar) = (s.season.start, s.season.first_nectar);
    let next = i32::try_from(calendar::days_between(calendar::of(w.date), start)).unwrap_or(0);
    let (what, help) = if next <= AUTUMN_BEFORE {
        (
            format!("before the start of the season, {}", calendar::words(start)),
            "the reading of the start stands in the scenario: to begin with this one instead, move start under [season] to its day and give \
             reading and frames of that day; else leave it out",
        )
    } else {
        (
            format!("after first dependable nectar, {}", calendar::words(nectar)),
            "look at the year and the month; a weighing in summer says nothing of a winter, leave it out; where nectar comes later, write \
             first_nectar under [season]",
        )
    };
    Problem {
        severity: Severity::Error,
        code: "weighed_outside_season",
        file: w.origin.date.0.clone(),
        place: w.origin.date.1.clone(),
        what: format!("{} was weighed on {}, {what}", w.hive, w.date),
        expected: Some(format!(
            "a day from {} to the day before {}",
            calendar::words(start),
            calendar::words(nectar)
        )),
        help: Some(help.to_owned()),
    }
}

/// Start and first nectar of the winter of the latest weighing that lies within one.
fn latest<'a>(all: impl IntoIterator<Item = &'a Weighing>, s: &Scenario) -> Option<(Date, Date)> {
    let mut dates: Vec<Date> = all.into_iter().map(|w| w.date).collect();
    dates.sort_unstable();
    dates.into_iter().rev().find_map(|d| winter_of(d, s))
}

/// Start and first nectar of the winter a day lies in.
pub(super) fn winter_of(date: Date, s: &Scenario) -> Option<(Date, Date)> {
    let start = before(date, s.season.start)?;
    let nectar = in_year(start.year(), s.season.first_nectar).filter(|n| *n > start);
    let nectar = nectar.or_else(|| in_year(start.year().checked_add(1)?, s.season.first_nectar))?;
    (date < nectar).then_some((start, nectar))
}

fn until(from: Date, to: Date) -> i32 {
    from.until(to).map_or(i32::MAX, |s| s.get_days())
}

fn in_year(year: i16, d: MonthDay) -> Option<Date> {
    Date::new(year, d.month as i8, d.day as i8).ok()
}

/// The last such day of the year not after `date`.
pub(super) fn before(date: Date, d: MonthDay) -> Option<Date> {
    let this = in_year(date.year(), d)?;
    if this <= date {
        Some(this)
    } else {
        in_year(date.year().checked_sub(1)?, d)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::scenario::{self, log};

    fn told(rows: &[&str]) -> Vec<String> {
        let s = scenario::built_in("larch-flats").unwrap().scenario;
        let text = format!("date,hive,whole\n{}\n", rows.join("\n"));
        let all = log::parse(&text, "log.csv", &["Left", "Right"]).unwrap();
        let found = problems(&all, &s, None);
        assert!(
            found
                .iter()
                .all(|p| p.expected.is_some() && p.help.is_some())
        );
        found.iter().map(ToString::to_string).collect()
    }

    /// Catches a day outside the season that is told without its place, one that hides another or an impossible weight, one that is passed
    /// over because a later row is good, and a log of earlier years that is refused for a summer long past.
    #[test]
    fn days_outside_the_season_are_told_each_at_its_place() {
        let all = told(&[
            "2027-01-15,Left,52 kg",
            "2027-07-01,Left,60 kg",
            "2026-09-20,Right,45 kg",
            "2027-02-01,Right,9 kg",
        ]);
        assert_eq!(all.len(), 3, "{all:?}");
        assert_eq!(
            all[0],
            "log.csv:3:1: Left was weighed on 2027-07-01, after first dependable nectar, 19 May"
        );
        assert_eq!(
            all[1],
            "log.csv:4:1: Right was weighed on 2026-09-20, before the start of the season, 1 October"
        );
        assert!(
            all[2].starts_with("log.csv:5:18: Right on 2027-02-01: 9.0 kg is less"),
            "{all:?}"
        );
        // The day of nectar itself is out, the day before and the start are in.
        assert_eq!(told(&["2027-05-19,Left,52 kg"]).len(), 1);
        assert_eq!(
            told(&["2027-05-18,Left,52 kg", "2026-10-01,Left,55 kg"]),
            [""; 0]
        );
        // What was written in summers and winters before is let be, whatever it was.
        let old = [
            "2025-07-01,Left,60 kg",
            "2026-01-10,Left,9 kg",
            "2026-06-30,Left,60 kg",
        ];
        assert_eq!(
            told(&[&old[..], &["2027-01-15,Left,52 kg"]].concat()),
            [""; 0]
        );
        // None within a season: all are told.
        assert_eq!(
            told(&["2026-06-01,Left,52 kg", "2027-07-01,Left,50 kg"]).len(),
            2
        );
    }
}
