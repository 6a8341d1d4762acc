//! Weighings of a year that cannot be meant: in a winter that has not begun, or in an earlier one than the rows above.

use super::season::winter_of;
use crate::calendar;
use crate::problem::{Problem, Severity};
use crate::scenario::log::Weighing;
use crate::stand::Scenario;
use jiff::civil::Date;
use std::collections::HashMap;

/// Whether a weighing lies in a winter that begins after `today`.
pub(super) fn not_begun(w: &Weighing, s: &Scenario, today: Date) -> bool {
    winter_of(w.date, s).is_some_and(|(start, _)| start > today)
}

/// What is said of it.
pub(super) fn ahead(w: &Weighing, today: Date) -> Problem {
    problem(
        w,
        format!(
            "{} was weighed on {}, in a winter that has not begun",
            w.hive, w.date
        ),
        format!("a day up to {today}"),
        "look at the year; if it is right, look at the clock of this computer",
    )
}

/// Weighings in an earlier winter than one before them in the log of the same hive or, for one that stands in no log, of any.
///
/// They would not count, and the answer would be of a winter that is not meant.
pub(super) fn out_of_order<'a>(
    all: impl IntoIterator<Item = &'a Weighing>,
    s: &Scenario,
) -> Vec<Problem> {
    let mut latest: HashMap<&str, (&Weighing, (Date, Date))> = HashMap::new();
    let mut found = Vec::new();
    for w in all {
        let Some(winter) = winter_of(w.date, s) else {
            continue;
        };
        let given = w.origin.date.1.is_none();
        let before = if given {
            latest.values().max_by_key(|(_, (start, _))| *start)
        } else {
            latest.get(w.hive.as_str())
        };
        match before {
            Some((other, later)) if later.0 > winter.0 => {
                found.push(earlier(w, other, *later, given));
            }
            _ => {
                latest.insert(&w.hive, (w, winter));
            }
        }
    }
    found
}

fn earlier(w: &Weighing, other: &Weighing, (start, nectar): (Date, Date), given: bool) -> Problem {
    let line = other.origin.date.1.as_ref();
    let line = line.map_or_else(String::new, |p| format!(" (line {})", p.line));
    let help = if given {
        "look at the year; a weighing of an earlier winter does not count now: to keep it, write it into the log above the rows of that winter"
    } else {
        "look at the year of both; if they are right, put the rows of earlier winters above those of later ones"
    };
    let from = calendar::words(calendar::of(start));
    let to = calendar::words(calendar::of(nectar));
    problem(
        w,
        format!(
            "{} was weighed on {}, in an earlier winter than {} on {}{line}",
            w.hive, w.date, other.hive, other.date
        ),
        format!(
            "a day from {from} {} to the day before {to} {}, or of a later winter",
            start.year(),
            nectar.year()
        ),
        help,
    )
}

fn problem(w: &Weighing, what: String, expected: String, help: &str) -> Problem {
    Problem {
        severity: Severity::Error,
        code: "weighed_in_another_year",
        file: w.origin.date.0.clone(),
        place: w.origin.date.1.clone(),
        what,
        expected: Some(expected),
        help: Some(help.to_owned()),
    }
}

/// The start of the last winter that had begun by `today`, where the latest weighing is of an earlier one.
#[must_use]
pub fn since_begun(all: &[Weighing], s: &Scenario, today: Date) -> Option<(Date, Date)> {
    let latest = all.iter().map(|w| w.date).max()?;
    let start = super::season::before(today, s.season.start)?;
    (latest < start).then_some((latest, start))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::answer::update::problems;
    use crate::scenario::{self, log};
    use jiff::civil::date;

    const TODAY: Date = date(2027, 2, 10);

    fn read(rows: &[&str]) -> (Vec<Weighing>, Scenario) {
        let s = scenario::built_in("larch-flats").unwrap().scenario;
        let text = format!("date,hive,whole\n{}\n", rows.join("\n"));
        let all = log::parse(&text, "log.csv", &["Left", "Right"]).unwrap();
        (all, s)
    }

    fn told(rows: &[&str], given: Option<&str>) -> Vec<String> {
        let (mut all, s) = read(rows);
        if let Some(day) = given {
            let row: log::Row = [day, "Right", "", "", "45 kg", "", ""].map(str::to_owned);
            all.push(log::one(&row, "the command line", &["Left", "Right"]).unwrap());
        }
        let found = problems(&all, &s, Some(TODAY));
        found.iter().map(ToString::to_string).collect()
    }

    /// Catches a slip in the year by which a weighing, or all the others, silently no longer count.
    #[test]
    fn a_wrong_year_is_told() {
        let log = ["2026-02-01,Left,50 kg", "2027-01-05,Left,52 kg"];
        for good in ["2027-01-20", "2026-11-20"] {
            assert_eq!(told(&log, Some(good)), [""; 0]);
        }
        for (day, words) in [
            (
                "2026-01-20",
                "in an earlier winter than Left on 2027-01-05 (line 3)",
            ),
            (
                "2017-01-20",
                "in an earlier winter than Left on 2027-01-05 (line 3)",
            ),
            ("2028-01-20", "in a winter that has not begun"),
            ("2037-01-20", "in a winter that has not begun"),
        ] {
            let all = told(&log, Some(day));
            assert_eq!(all.len(), 1, "{all:?}");
            let start = format!("the command line, --date: Right was weighed on {day}, {words}");
            assert!(all[0].starts_with(&start), "{all:?}");
            let row = format!("{day},Left,51 kg");
            let rows = [&log[..], &[&row], &["2027-01-25,Left,50 kg"]].concat();
            let all = told(&rows, None);
            assert_eq!(all.len(), 1, "{all:?}");
            let start = format!("log.csv:4:1: Left was weighed on {day}, {words}");
            assert!(all[0].starts_with(&start), "{all:?}");
        }
        // A log hive by hive, each over two winters, is no slip.
        let by_hive = [
            &log[..],
            &["2026-02-01,Right,44 kg", "2027-01-05,Right,45 kg"],
        ]
        .concat();
        assert_eq!(told(&by_hive, None), [""; 0]);
    }

    /// Catches an answer for a winter that is over, asked by a slip in the only year there is.
    #[test]
    fn a_winter_that_is_over_is_told() {
        let (all, s) = read(&["2026-01-20,Left,52 kg"]);
        let start = date(2026, 10, 1);
        let over = Some((date(2026, 1, 20), start));
        assert_eq!(since_begun(&all, &s, TODAY), over);
        assert_eq!(since_begun(&all, &s, date(2026, 9, 30)), None);
        let (all, s) = read(&["2027-01-20,Left,52 kg"]);
        assert_eq!(since_begun(&all, &s, TODAY), None);
    }
}
