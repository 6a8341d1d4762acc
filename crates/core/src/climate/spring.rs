//! When spring comes, by a rule of thumb: a keeper's own date always goes before it.
//!
//! Dandelions flower when the degree days above 10 degC since 1 January (1 July south of the equator), each day's mean taken as
//! (minimum + maximum)/2, reach a sum; dependable nectar follows some days later. Values, ranges and sources stand in
//! `defaults.toml`. The rule is weak: within the range of the sum the day moves by weeks, what flowers first is a matter of
//! the place, and where springs are long and cool it comes out weeks too late (Wageningen: the middle of May).

use jiff::civil::Date;

use crate::climate::calendar;
use crate::climate::draft::Draft;
use crate::climate::raw::Kind;
use crate::climate::record::Record;
use crate::problem::Problems;

use crate::calendar::MonthDay;

/// The spring that ends one winter, by the rule.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Spring {
    /// "1982/83", the winter before it.
    pub winter: String,
    /// First dandelions.
    pub dandelion: Date,
    /// First dependable nectar.
    pub nectar: Date,
}

/// First and last day looked at: half a year before and a month after midsummer.
fn stretch(latitude_deg: f64) -> [MonthDay; 2] {
    let (from, to) = if latitude_deg < 0.0 { (7, 1) } else { (1, 7) };
    [
        MonthDay {
            month: from,
            day: 1,
        },
        MonthDay { month: to, day: 31 },
    ]
}

/// Every spring the record holds whole, oldest first; springs in which the sum is not reached are left out.
///
/// # Errors
/// None in practice; those of [`Record::cut`].
pub fn springs(record: &Record) -> Result<Vec<Spring>, Problems> {
    let latitude = record.station.latitude_deg;
    let [from, to] = stretch(latitude);
    let rule = &record.defaults;
    let out = record.drafts(from, to)?.into_iter().filter_map(|d| {
        let draft = d.draft.ok()?;
        let day = reached(&draft, rule.dandelion_base.value, rule.dandelion_sum.value)?;
        Some(Spring {
            winter: if record.kind == Kind::TypicalYear {
                d.label
            } else {
                winter_before(d.start, latitude)
            },
            dandelion: calendar::date_of(day)?,
            nectar: calendar::date_of(day + rule.dandelion_to_nectar.value.round() as i64)?,
        })
    });
    Ok(out.collect())
}

/// Name of the winter that a spring ends.
fn winter_before(start: Date, latitude_deg: f64) -> String {
    let year = start.year();
    if latitude_deg < 0.0 {
        year.to_string()
    } else {
        format!("{}/{:02}", year - 1, year.rem_euclid(100))
    }
}

/// The day (since 1970-01-01) on which the degree days above `base` (degC) reach `sum` (K d).
fn reached(draft: &Draft, base: f64, sum: f64) -> Option<i64> {
    let mut so_far = 0.0;
    let at = draft.extremes_c.iter().position(|(low, high)| {
        so_far += (0.5 * (low + high) - base).max(0.0);
        so_far >= sum
    })?;
    Some(draft.span.first + i64::try_from(at).ok()?)
}

/// The middle and the last day of springs, by day of the year, as the first and the middle of them in the order of the
/// calendar; `None` without a spring.
#[must_use]
pub fn middle_and_latest(springs: &[Spring]) -> Option<(&Spring, &Spring)> {
    let mut order: Vec<&Spring> = springs.iter().collect();
    // South of the equator spring may run over New Year; no spring lies on both sides of midsummer.
    let key = |s: &&Spring| {
        let day = i32::from(s.nectar.day_of_year());
        if s.dandelion.month() >= 7 && s.nectar.month() < 7 {
            day + 366
        } else {
            day
        }
    };
    order.sort_by_key(key);
    Some((order.get(order.len() / 2)?, order.last()?))
}

/// The rule in words, with what it is worth.
fn words(record: &Record) -> String {
    let d = &record.defaults;
    format!(
        "dandelions at {:.0} degree days above {:.0} C since New Year (50 above 50 F: garden press retelling extension tables that were not seen), \
         nectar {:.0} days later (common practice, no source); give or take two weeks inland, and weeks too late near a mild coast",
        d.dandelion_sum.value, d.dandelion_base.value, d.dandelion_to_nectar.value
    )
}

/// The rule in words; nothing for a record that holds no whole spring.
#[must_use]
pub fn rule(record: &Record) -> Option<String> {
    springs(record).ok().filter(|s| !s.is_empty()).map(|_| {
        format!(
            "first dependable nectar is told by a rule of thumb, your own date goes first: {}",
            words(record)
        )
    })
}

/// What the rule says of a record, beside the day a run goes to; nothing when the record holds no whole spring.
///
/// # Errors
/// As [`springs`].
pub fn note(record: &Record, taken: MonthDay) -> Result<Option<String>, Problems> {
    let springs = springs(record)?;
    let day = |d: Date| {
        let part = |x: i8| u8::try_from(x).unwrap_or(1);
        crate::calendar::words(MonthDay {
            month: part(d.month()),
            day: part(d.day()),
        })
    };
    Ok(middle_and_latest(&springs).map(|(middle, latest)| {
        format!(
            "the count goes to {}; a rule of thumb would put first dependable nectar on {} in a middling year and on {} after the winter {} ({})",
            crate::calendar::words(taken),
            day(middle.nectar),
            day(latest.nectar),
            latest.winter,
            words(record)
        )
    }))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate;
    use crate::climate::raw::PartialStation;

    /// A year of daily extremes `mean` -/+ 5 K, warming to `mean + 20` on `warm_from`.
    fn year(latitude: f64, warm: std::ops::Range<i64>) -> Record {
        use std::fmt::Write;
        let mut text = format!("# latitude: {latitude}\ndate,tmin_c,tmax_c\n");
        let first = calendar::parse_date("2013-12-20").unwrap();
        for day in first..first + 800 {
            let t = if warm.contains(&(day - first - 12)) {
                14.0
            } else {
                -4.0
            };
            let shift = (day % 2) as f64 * 0.01;
            let date = calendar::date_text(day);
            let _ = writeln!(text, "{date},{},{}", t - 5.0 + shift, t + 5.0 + shift);
        }
        climate::from_bytes("t", text.into_bytes()).unwrap()
    }

    /// Catches the sum begun on the wrong day, degree days counted from hours, or an off-by-one in the day: at 4 K above the base
    /// 27.8 K d are reached on the seventh warm day.
    #[test]
    fn the_sum_is_reached_on_the_day_it_should_be() {
        let springs = springs(&year(45.0, 99..300)).unwrap();
        let s = &springs[0];
        assert_eq!((s.winter.as_str(), springs.len()), ("2013/14", 1));
        assert_eq!(s.dandelion.to_string(), "2014-04-16");
        assert_eq!(s.nectar.to_string(), "2014-04-23");
    }

    /// Catches northern months used south of the equator.
    #[test]
    fn southern_springs_follow_july() {
        let springs = springs(&year(-42.0, 260..400)).unwrap();
        assert_eq!(springs[0].winter, "2014");
        assert_eq!(springs[0].dandelion.to_string(), "2014-09-24");
    }

    /// Catches a rule that gives nonsense on real records: at Champion dandelions flower in April as a rule, in Northway, Alaska,
    /// weeks later.
    #[test]
    fn real_springs_fall_in_spring() {
        let read = |name: &str| {
            let record = climate::built_in(name, &PartialStation::default()).unwrap();
            springs(&record).unwrap()
        };
        let plains = read("champion");
        assert_eq!(plains.len(), 36);
        let (middle, latest) = middle_and_latest(&plains).unwrap();
        assert!(
            (80..130).contains(&middle.dandelion.day_of_year()),
            "{middle:?}"
        );
        assert!(latest.dandelion.day_of_year() > middle.dandelion.day_of_year());
        let north = read("northway");
        let (far, _) = middle_and_latest(&north).unwrap();
        assert!(
            far.dandelion.day_of_year() > middle.dandelion.day_of_year() + 15,
            "{far:?} {middle:?}"
        );
    }
}
