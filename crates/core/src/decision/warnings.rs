//! What must be said before the answer, because the answer hangs on it.

use super::result::ColonyResult;
use crate::calendar::MonthDay;
use crate::calendar::{self, day_of_year, days_between, words};
use crate::climate::spring::Spring;
use crate::decision::stores::STORES_PER_LITRE_SYRUP;
use crate::ensemble::levels::level;
use crate::problem::Problem;
use crate::season::outcome::WinterOutcome;
use crate::stand::Scenario;
use serde::Serialize;

/// A date of nectar so much earlier than the record's own rule of thumb is told first, days (the rule is good to about two weeks,
/// [`crate::climate::spring`]).
const EARLY: i64 = 14;
/// Days before nectar from which the weekly use of spring is taken (a choice: long enough to even out a cold week).
const SPRING: usize = 21;

/// Something that must be said before the answer.
#[derive(Debug, Clone, PartialEq, Serialize)]
#[serde(tag = "kind", rename_all = "snake_case")]
pub enum Warning {
    /// The count ends long before the record's own spring.
    EarlyNectar {
        /// The day the count goes to, "19 May".
        written: String,
        /// First dependable nectar in a middling year of the record, by the rule of thumb.
        by_rule: String,
        /// From the one to the other, days.
        days: i64,
        /// What each colony eats a week in the last three weeks before the written day, in a middling winter, kg.
        per_week: Vec<(String, f64)>,
    },
    /// A colony is taken to die on a day.
    Dies {
        /// Hive.
        hive: String,
        /// The day.
        day: String,
    },
    /// A feed is planned for a day that has passed.
    Passed {
        /// Hive.
        hive: String,
        /// The day of the feed.
        date: String,
        /// The day on which it is asked.
        on: String,
    },
    /// Syrup is planned that comes too late to be taken.
    LateSyrup {
        /// Hive.
        hive: String,
        /// Stores all the feeding planned would bring, kg.
        given: f64,
        /// Part of it that does not count, kg.
        lost: f64,
        /// The day of the last of it that is not taken whole.
        late: String,
    },
    /// Syrup or honey frames are planned for which the combs have no room.
    NoRoom {
        /// Hive.
        hive: String,
        /// Stores all the feeding planned would bring, kg.
        given: f64,
        /// Part of it that finds no room, kg.
        no_room: f64,
        /// The same as litres of 2:1 syrup.
        litres: f64,
    },
    /// Something in a file that may be a slip, as it was read.
    Input {
        /// File.
        file: String,
        /// Line, if it stands on one.
        line: Option<usize>,
        /// What is odd.
        what: String,
        /// What to try.
        help: Option<String>,
    },
}

/// Warnings of a reader, as part of the answer.
#[must_use]
pub fn of_input(problems: &[Problem]) -> Vec<Warning> {
    problems
        .iter()
        .map(|p| Warning::Input {
            file: p.file.clone(),
            line: p.place.as_ref().map(|p| p.line),
            what: p.what.clone(),
            help: p.help.clone(),
        })
        .collect()
}

/// Colonies that are taken to die.
#[must_use]
pub fn deaths(colonies: &[ColonyResult]) -> Vec<Warning> {
    let dying = |c: &ColonyResult| {
        Some(Warning::Dies {
            hive: c.stack.clone(),
            day: c.dies.clone()?,
        })
    };
    colonies.iter().filter_map(dying).collect()
}

/// Feeds planned for a day that has passed on the day on which it is asked, if that is known.
#[must_use]
pub fn passed(s: &Scenario, on: Option<MonthDay>) -> Vec<Warning> {
    let Some(on) = on else { return Vec::new() };
    let start = s.season.start;
    let feeds = s
        .colonies()
        .flat_map(|(k, c)| c.feeds.iter().map(move |f| (k, f)));
    feeds
        .filter(|(_, f)| days_between(start, f.date) < days_between(start, on))
        .map(|(k, f)| Warning::Passed {
            hive: k.name.clone(),
            date: words(f.date),
            on: words(on),
        })
        .collect()
}

/// Feeding that does not count, hive by hive.
#[must_use]
pub fn lost_feed(colonies: &[ColonyResult]) -> Vec<Warning> {
    let full = colonies.iter().filter(|c| c.planned.no_room > 0.0);
    let full = full.map(|c| Warning::NoRoom {
        hive: c.stack.clone(),
        given: c.planned.given,
        no_room: c.planned.no_room,
        litres: c.planned.no_room / STORES_PER_LITRE_SYRUP,
    });
    let late = colonies
        .iter()
        .filter(|c| c.planned.too_late() > 0.0)
        .filter_map(|c| {
            Some(Warning::LateSyrup {
                hive: c.stack.clone(),
                given: c.planned.given,
                lost: c.planned.too_late(),
                late: words(c.planned.late?),
            })
        });
    full.chain(late).collect()
}

/// Whether the written day of nectar lies more than two weeks before that of the middling spring.
#[must_use]
pub fn early_nectar(
    written: MonthDay,
    middling: Option<&Spring>,
    outcomes: &[WinterOutcome],
) -> Option<Warning> {
    let rule = calendar::of(middling?.nectar);
    // Both lie in one half of a year: what is more than that apart goes the other way round the calendar.
    let apart = i64::from(day_of_year(rule)) - i64::from(day_of_year(written));
    let days = (apart + 182).rem_euclid(365) - 182;
    (days > EARLY).then(|| Warning::EarlyNectar {
        written: words(written),
        by_rule: words(rule),
        days,
        per_week: per_week(outcomes),
    })
}

/// What each colony eats a week in the last weeks of the season, kg: the middle over the winters.
fn per_week(outcomes: &[WinterOutcome]) -> Vec<(String, f64)> {
    let count = outcomes.first().map_or(0, |o| o.colonies.len());
    (0..count)
        .filter_map(|c| {
            let all: Vec<f64> = outcomes
                .iter()
                .filter_map(|o| {
                    let by_day = &o.colonies.get(c)?.eaten_by_day;
                    let (last, before) = (
                        by_day.last()?,
                        by_day.get(by_day.len().checked_sub(1 + SPRING)?)?,
                    );
                    Some(7.0 * (last - before) / SPRING as f64)
                })
                .collect();
            let middle = level(&all, 0.5).map_or_else(
                || all.iter().sum::<f64>() / all.len().max(1) as f64,
                |l| l.value,
            );
            Some((outcomes.first()?.colonies.get(c)?.stack.clone(), middle))
        })
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::Date;
    use jiff::civil::date;

    fn spring(nectar: Date) -> Spring {
        Spring {
            winter: "2016/17".to_owned(),
            dandelion: nectar,
            nectar,
        }
    }

    /// Catches a warning at a date that is only a fortnight early or that is late, none at one that is weeks early, and days counted the
    /// wrong way round the year (south of the equator spring may end after New Year).
    #[test]
    fn only_a_date_weeks_early_is_told() {
        let day = |month, day| MonthDay { month, day };
        let told = |written, rule| match early_nectar(written, Some(&spring(rule)), &[]) {
            Some(Warning::EarlyNectar { days, .. }) => Some(days),
            _ => None,
        };
        assert_eq!(told(day(5, 19), date(2017, 6, 2)), None);
        assert_eq!(told(day(5, 19), date(2017, 6, 3)), Some(15));
        assert_eq!(told(day(5, 19), date(2017, 4, 26)), None);
        assert_eq!(told(day(12, 20), date(2018, 1, 14)), Some(25));
        assert_eq!(early_nectar(day(5, 19), None, &[]), None);
    }
}
