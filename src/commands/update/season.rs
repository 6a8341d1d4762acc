//! The winter the weighings belong to.

use super::Failure;
use crate::diagnostic::{Problem, Problems, Severity};
use crate::scenario::dates;
use crate::scenario::log::Weighing;
use crate::scenario::model::{MonthDay, Scenario};
use jiff::civil::Date;

/// The winter the weighings belong to.
pub(super) struct Season {
    pub(super) start: Date,
    pub(super) nectar: Date,
    pub(super) within: Vec<Weighing>,
}

impl Season {
    /// The winter of the latest weighing, which must lie between the scenario's start and first nectar.
    pub(super) fn of(all: &[Weighing], s: &Scenario) -> Result<Self, Failure> {
        let latest = all.iter().map(|w| w.date).max();
        let Some(latest) = latest else {
            return Err(Failure::Input("no weighing is given".into()));
        };
        let start = before(latest, s.season.start);
        let length = dates::days_between(s.season.start, s.season.first_nectar);
        let nectar = start.and_then(|d| {
            let nectar = in_year(d.year(), s.season.first_nectar)?;
            if nectar > d {
                Some(nectar)
            } else {
                in_year(d.year().checked_add(1)?, s.season.first_nectar)
            }
        });
        match start.zip(nectar) {
            Some((start, nectar)) if latest < nectar => Ok(Self {
                start,
                nectar,
                within: {
                    let mut within: Vec<Weighing> =
                        all.iter().filter(|w| w.date >= start).cloned().collect();
                    within.sort_by_key(|w| w.date);
                    within
                },
            }),
            _ => Err(Failure::Problems(Problems(vec![Problem {
                severity: Severity::Error,
                file: "weighings".into(),
                place: None,
                what: format!("{latest} is not within the season of {length} days"),
                expected: Some(format!(
                    "a day from {} to the day before {}",
                    dates::words(s.season.start),
                    dates::words(s.season.first_nectar)
                )),
                help: Some("the season runs from its start (the weighing in autumn) to first nectar, under [season]".into()),
            }]))),
        }
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

fn in_year(year: i16, d: MonthDay) -> Option<Date> {
    Date::new(year, d.month as i8, d.day as i8).ok()
}

/// The last such day of the year not after `date`.
fn before(date: Date, d: MonthDay) -> Option<Date> {
    let this = in_year(date.year(), d)?;
    if this <= date {
        Some(this)
    } else {
        in_year(date.year().checked_sub(1)?, d)
    }
}
