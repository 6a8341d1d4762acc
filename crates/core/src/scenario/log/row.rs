//! One row of the log: day, hive, and the reading by one way of lifting.

use super::super::keys::Keys;
use super::super::messages::Slots;
use super::super::node::clean;
use super::{COLUMNS, Log, Origin, Spot, Weighing};
use crate::spreadsheet::plain;
use crate::stand::plausible::in_pounds;
use crate::stand::{Lift, Lifts};
use crate::units::{self, Quantity};
use jiff::civil::Date;

/// Years a weighing can be of: others are slips of a key.
const YEARS: std::ops::RangeInclusive<i16> = 1900..=2200;

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
                .map_or("", |f| plain(f.trim()))
        };
        let before = self.problems.len();
        let date = self.date(value("date"), (line, at("date").unwrap_or(0)));
        let hive = self.hive(value("hive"), (line, at("hive").unwrap_or(0)));
        let mut reading = |name: &str| {
            let text = value(name);
            (!text.is_empty()).then(|| self.reading(text, name, (line, at(name).unwrap_or(0))))
        };
        let (front, back, whole, one) = (
            reading("front"),
            reading("back"),
            reading("whole"),
            reading("one_side"),
        );
        let spot = |name: &str| (line, at(name).or(at("front")).unwrap_or(0));
        let weighed = match (front, back, whole, one) {
            (None, None, None, None) => {
                self.refuse(spot("front"), "log_no_reading", &[]);
                None
            }
            (Some(f), Some(b), None, None) => f.zip(b).map(|(f, b)| (Lift::FrontAndBack, f + b)),
            (Some(_), None, None, None) | (None, Some(_), None, None) => {
                let missing = if front.is_some() { "back" } else { "front" };
                self.refuse(spot(missing), "log_one_end_only", &[("missing", &missing)]);
                None
            }
            (None, None, Some(w), None) => w.map(|w| (Lift::Whole, w)),
            (None, None, None, Some(one)) => one.map(|s| (Lift::OneSide, 2.0 * s)),
            _ => {
                self.refuse((line, at("whole").unwrap_or(0)), "log_two_ways", &[]);
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

    fn date(&mut self, text: &str, spot: Spot) -> Option<Date> {
        let shape = text.len() == 10 && text.as_bytes().get(4) == Some(&b'-');
        match text.parse::<Date>() {
            Ok(d) if shape && YEARS.contains(&d.year()) => return Some(d),
            Ok(_) if shape => self.refuse(spot, "log_far_year", &[("text", &text)]),
            _ if text.is_empty() => self.refuse(spot, "log_row_without_date", &[]),
            _ => self.refuse(spot, "log_no_day", &[("text", &text)]),
        }
        None
    }

    pub(super) fn hive(&mut self, text: &str, spot: Spot) -> Option<String> {
        let hives = self.hives;
        let listed = hives.join(", ");
        if text.is_empty() {
            if let [only] = hives {
                return Some((*only).to_owned());
            }
            self.refuse(spot, "log_which_hive", &[("hives", &listed)]);
            return None;
        }
        let same = hives
            .iter()
            .find(|h| h.to_lowercase() == text.to_lowercase());
        if same.is_none() {
            let near = units::nearest(text, hives.iter().copied());
            let help = near.map_or_else(String::new, |n| format!("did you mean \"{n}\"?"));
            let slots: &Slots<'_> = &[("text", &text), ("hives", &listed), ("help", &help)];
            self.refuse(spot, "log_no_hive", slots);
        }
        same.map(|h| (*h).to_owned())
    }

    fn reading(&mut self, text: &str, name: &str, spot: Spot) -> Option<f64> {
        let row = Keys::get().ok()?.section("scale").key("whole");
        let (low, high) = row.range();
        match units::parse(text, Quantity::Mass) {
            Ok(kg) if (low..=high).contains(&kg) => return Some(kg),
            Ok(_) => {
                let range = row.range_words();
                let slots: &Slots<'_> = &[("name", &name), ("text", &text), ("range", &range)];
                self.refuse(spot, "log_reading_out_of_range", slots);
            }
            Err(e) => {
                let help = e.hint().unwrap_or_default();
                let slots: &Slots<'_> = &[("name", &name), ("what", &e), ("help", &help)];
                self.refuse(spot, "log_bad_reading", slots);
            }
        }
        None
    }
}
