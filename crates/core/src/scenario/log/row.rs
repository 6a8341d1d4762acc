//! One row of the log: day, hive, and the reading by one way of lifting.

use super::super::fields::Fields;
use super::super::reader::clean;
use super::{COLUMNS, Log, Origin, Weighing};
use crate::stand::plausible::in_pounds;
use crate::stand::{Lift, Lifts};
use crate::units::{self, Quantity};
use jiff::civil::Date;

impl Log<'_> {
    /// `columns[i]` is which of [`COLUMNS`] field i is.
    pub(super) fn weighing(
        &mut self,
        fields: &[&str],
        columns: &[Option<usize>],
        line: Option<u64>,
    ) -> Option<Weighing> {
        let at = |name: &str| {
            columns
                .iter()
                .position(|c| c.is_some_and(|c| COLUMNS[c] == name))
        };
        let value = |name: &str| {
            at(name)
                .and_then(|i| fields.get(i))
                .map_or("", |f| f.trim())
        };
        let before = self.problems.len();
        let date = self.date(value("date"), at("date").unwrap_or(0), line);
        let hive = self.hive(value("hive"), at("hive").unwrap_or(0), line);
        let mut reading = |name: &str| {
            let text = value(name);
            (!text.is_empty()).then(|| self.reading(text, name, at(name).unwrap_or(0), line))
        };
        let (front, back, whole, one) = (
            reading("front"),
            reading("back"),
            reading("whole"),
            reading("one_side"),
        );
        let ways = [
            front.is_some() || back.is_some(),
            whole.is_some(),
            one.is_some(),
        ];
        let weighed = match ways.iter().filter(|w| **w).count() {
            0 => {
                let help =
                    "the two numbers of front and back, or one under whole or one_side".to_owned();
                self.error(
                    line,
                    at("front").unwrap_or(0),
                    "this weighing has no reading".to_owned(),
                    "front and back, or whole, or one_side",
                    Some(help),
                );
                None
            }
            1 => {
                match (front, back, whole, one) {
                    (Some(f), Some(b), ..) => f.zip(b).map(|(f, b)| (Lift::FrontAndBack, f + b)),
                    (Some(_), None, ..) | (None, Some(_), ..) => {
                        let missing = if ways[0] && value("back").is_empty() {
                            "back"
                        } else {
                            "front"
                        };
                        self.error(line, at(missing).or(at("front")).unwrap_or(0), format!("only one of front and back is given, {missing} is missing"),
                        "both", Some("lift the other end too; or write it under one_side to have it doubled".to_owned()));
                        None
                    }
                    (.., Some(w), _) => w.map(|w| (Lift::Whole, w)),
                    (.., one) => one.flatten().map(|s| (Lift::OneSide, 2.0 * s)),
                }
            }
            _ => {
                self.error(
                    line,
                    at("whole").unwrap_or(0),
                    "the hive is weighed in more than one way".to_owned(),
                    "front and back, or whole, or one_side",
                    Some("a row for one way only".to_owned()),
                );
                None
            }
        };
        if self.problems.len() > before {
            return None;
        }
        let (lift, gross) = weighed?;
        let lifts = Lifts {
            front_back: front.flatten().zip(back.flatten()).map(|(f, b)| [f, b]),
            pounds: ["front", "back", "whole", "one_side"]
                .into_iter()
                .any(|name| in_pounds(value(name))),
        };
        let first = ["front", "whole", "one_side"]
            .into_iter()
            .find(|name| !value(name).is_empty())
            .and_then(at)
            .unwrap_or(0);
        Some(Weighing {
            date: date?,
            hive: hive?,
            lift,
            gross,
            lifts,
            note: clean(value("note")),
            origin: Origin {
                date: self.at(line, at("date").unwrap_or(0)),
                reading: self.at(line, first),
            },
        })
    }

    fn date(&mut self, text: &str, index: usize, line: Option<u64>) -> Option<Date> {
        let shape = text.len() == 10 && text.as_bytes().get(4) == Some(&b'-');
        match text.parse::<Date>() {
            Ok(d) if shape => Some(d),
            _ => {
                let what = if text.is_empty() {
                    "the day of this weighing is not said".to_owned()
                } else {
                    format!("\"{text}\" is no day")
                };
                self.error(
                    line,
                    index,
                    what,
                    "year, month and day such as 2027-01-15",
                    None,
                );
                None
            }
        }
    }

    pub(super) fn hive(&mut self, text: &str, index: usize, line: Option<u64>) -> Option<String> {
        let listed = self.hives.join(", ");
        if text.is_empty() {
            if let [only] = self.hives {
                return Some((*only).to_owned());
            }
            self.error(
                line,
                index,
                "which hive was weighed is not said".to_owned(),
                &format!("one of {listed}"),
                None,
            );
            return None;
        }
        let same = self
            .hives
            .iter()
            .find(|h| h.to_lowercase() == text.to_lowercase());
        if let Some(h) = same {
            return Some((*h).to_owned());
        }
        let help = units::nearest(text, self.hives.iter().copied())
            .map(|n| format!("did you mean \"{n}\"?"));
        self.error(
            line,
            index,
            format!("no hive with a colony is called \"{text}\""),
            &format!("one of {listed}"),
            help,
        );
        None
    }

    fn reading(&mut self, text: &str, name: &str, index: usize, line: Option<u64>) -> Option<f64> {
        match units::parse(text, Quantity::Mass) {
            Ok(kg) => {
                let (low, high) =
                    Fields::built_in().map_or((1.0, 250.0), |f| f.get("reading").range());
                if (low..=high).contains(&kg) {
                    return Some(kg);
                }
                self.error(
                    line,
                    index,
                    format!("{name} = {text} is outside what one lift of a hive can be"),
                    "1 kg to 250 kg",
                    None,
                );
                None
            }
            Err(e) => {
                let help = e.hint();
                self.error(
                    line,
                    index,
                    format!("{name}: {e}"),
                    "a weight with its unit",
                    help,
                );
                None
            }
        }
    }
}
