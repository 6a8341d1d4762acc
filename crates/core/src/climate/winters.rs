//! Cutting a record into whole winters.

use std::borrow::Cow;

use jiff::civil::Date;

use crate::calendar::MonthDay;
use crate::climate::calendar::{self, MINUTES_A_DAY, Span};
use crate::climate::draft::{self, Draft};
use crate::climate::error::ClimateError;
use crate::climate::fields;
use crate::climate::formats::typical::YEAR_HOURS;
use crate::climate::hourly_grid::midnight;
use crate::climate::quantity::Values;
use crate::climate::raw::{HourRow, HourValues, Kind, Rows};
use crate::climate::readings::Readings;
use crate::climate::record::Record;
use crate::climate::rejection::Rejection;
use crate::climate::series::Winter;
use crate::problem::Problems;

/// A winter that cannot be used, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RejectedWinter {
    /// "1991/92".
    pub label: String,
    /// Why.
    pub reason: Rejection,
}

/// What had to be mended in a whole winter's temperatures.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Mended {
    /// Hours filled; 24 a filled day in daily records.
    pub filled_hours: usize,
    /// Readings that no weather has, taken as missing (and filled, where the gap is short enough).
    pub impossible: usize,
}

/// What a record gives for one season.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Cut {
    /// Whole winters, oldest first.
    pub whole: Vec<Winter>,
    /// What had to be mended in each of them.
    pub mended: Vec<Mended>,
    /// Winters the record touches but does not hold whole.
    pub rejected: Vec<RejectedWinter>,
}

/// A winter cut, or why it could not be.
#[derive(Debug)]
pub(crate) struct Drafted {
    pub(crate) label: String,
    pub(crate) start: Date,
    pub(crate) draft: Result<Draft, Rejection>,
}

impl Record {
    /// Every whole winter from `start` to `end`, both days included, hour by hour, oldest first. A season whose start is
    /// later in the year than its end runs over New Year. A typical year gives one winter, "typical year", on the calendar
    /// of a nominal common year.
    ///
    /// # Errors
    /// When no winter is whole; the message says what the record spans and why winters were rejected.
    pub fn winters(&self, start: MonthDay, end: MonthDay) -> Result<Vec<Winter>, Problems> {
        let cut = self.cut(start, end)?;
        if cut.whole.is_empty() {
            return Err(self.no_winter(start, end, &cut.rejected));
        }
        Ok(cut.whole)
    }

    /// Whole and rejected winters; none of either is no error here.
    ///
    /// # Errors
    /// When `start` or `end` is no day of the year.
    pub fn cut(&self, start: MonthDay, end: MonthDay) -> Result<Cut, Problems> {
        let mut out = Cut::default();
        for Drafted {
            label,
            start,
            draft,
        } in self.drafts(start, end)?
        {
            match draft {
                Ok(draft) => {
                    out.mended.push(Mended {
                        filled_hours: draft.filled_hours,
                        impossible: self.impossible_within(draft.span),
                    });
                    out.whole.push(Winter {
                        label,
                        start,
                        hours: fields::complete(&draft, &self.station, &self.defaults),
                        filled_days: draft.filled_days,
                        stuck_days: draft.stuck_days,
                    });
                }
                Err(reason) => out.rejected.push(RejectedWinter { label, reason }),
            }
        }
        Ok(out)
    }

    /// Impossible temperatures within a span.
    fn impossible_within(&self, span: Span) -> usize {
        let days = &self.impossible;
        days.partition_point(|d| *d <= span.last) - days.partition_point(|d| *d < span.first)
    }

    /// Winters before their missing fields are replaced.
    pub(crate) fn drafts(&self, start: MonthDay, end: MonthDay) -> Result<Vec<Drafted>, Problems> {
        let typical = self.kind == Kind::TypicalYear;
        let rows = match &self.rows {
            Rows::Hours(rows) if typical => Cow::Owned(Rows::Hours(twice(rows))),
            rows => Cow::Borrowed(rows),
        };
        let Some((first, last)) = days_of(&rows) else {
            return Ok(Vec::new());
        };
        let mut out = Vec::new();
        for (mut label, start, span) in self.candidates(start, end, first, last)? {
            if typical {
                label = "typical year".into();
            }
            let draft = if typical && (span.first < first || span.last > last) {
                Err(Rejection::YearNotWhole)
            } else if span.first < first {
                Err(Rejection::BeginsInside(calendar::date_text(first)))
            } else if span.last > last {
                Err(Rejection::EndsInside(calendar::date_text(last)))
            } else if !any_within(&rows, span) {
                Err(Rejection::NoReadings)
            } else {
                match rows.as_ref() {
                    Rows::Hours(rows) => draft::from_hours(rows, self.radiation, span),
                    Rows::Days(rows) => draft::from_days(rows, &self.station, &self.defaults, span),
                }
            };
            out.push(Drafted {
                label,
                start,
                draft,
            });
        }
        if typical {
            // One year laid twice end to end: the first winter that is whole is the only one there is.
            let whole = out.iter().position(|d| d.draft.is_ok());
            let telling = |d: &Drafted| d.draft.as_ref().err() != Some(&Rejection::YearNotWhole);
            let best = whole
                .or_else(|| out.iter().position(telling))
                .or((!out.is_empty()).then_some(0));
            out = best.map(|i| out.swap_remove(i)).into_iter().collect();
        }
        Ok(out)
    }

    /// Name, first date and days of every winter that shares a day with `first` to `last`.
    fn candidates(
        &self,
        start: MonthDay,
        end: MonthDay,
        first: i64,
        last: i64,
    ) -> Result<Vec<(String, Date, Span)>, Problems> {
        // A leap year has every day there is.
        let no_day = |day: &MonthDay| calendar::in_year(2000, *day).is_none();
        if let Some(MonthDay { month, day }) = [start, end].into_iter().find(no_day) {
            let fault = ClimateError::NotADay { month, day };
            return Err(fault.error(&self.source_name, None).into());
        }
        let years = [first, last].map(|d| calendar::date_of(d).map_or(0, Date::year));
        let winter = |year: i16| {
            let end_year = year.saturating_add(i16::from(start > end));
            let from = calendar::in_year(year, start)?;
            let span = Span {
                first: calendar::day_number(from),
                last: calendar::day_number(calendar::in_year(end_year, end)?),
            };
            let label = match end_year == year {
                true => year.to_string(),
                false => format!("{year}/{:02}", end_year.rem_euclid(100)),
            };
            (span.last >= first && span.first <= last).then_some((label, from, span))
        };
        let all = years[0].saturating_sub(1)..=years[1];
        Ok(all.filter_map(winter).collect())
    }

    fn no_winter(&self, start: MonthDay, end: MonthDay, rejected: &[RejectedWinter]) -> Problems {
        let text = |d: MonthDay| format!("{:02}-{:02}", d.month, d.day);
        let why = |r: &RejectedWinter| format!("{}: {}", r.label, r.reason);
        let why: Vec<String> = rejected.iter().take(4).map(why).collect();
        let fault = ClimateError::NoWholeWinter {
            start: text(start),
            end: text(end),
            span: self.span_text(),
            rejected: match why.is_empty() {
                true => String::new(),
                false => format!(" ({})", why.join("; ")),
            },
        };
        fault.error(&self.source_name, None).into()
    }

    /// Number of rows the file holds.
    #[must_use]
    pub fn row_count(&self) -> usize {
        self.rows.count()
    }

    /// First and last day of the record, in words; a typical year without its nominal years.
    #[must_use]
    pub fn span_text(&self) -> String {
        let Some((first, last)) = days_of(&self.rows) else {
            return "no day".into();
        };
        let text = |day: i64| {
            if self.kind == Kind::TypicalYear {
                calendar::date_of(day)
                    .map_or_else(String::new, |d| format!("{:02}-{:02}", d.month(), d.day()))
            } else {
                calendar::date_text(day)
            }
        };
        format!("{} to {}", text(first), text(last))
    }
}

/// First and last day that rows lie in. Hour 24 of a day is the next midnight but belongs to the day.
pub(crate) fn days_of(rows: &Rows) -> Option<(i64, i64)> {
    let ends = i64::from(matches!(rows, Rows::Hours(_)));
    let (first, last) = rows.ends()?;
    let day = |minute: i64| minute.div_euclid(MINUTES_A_DAY);
    Some((day(first), day(last - ends)))
}

/// Whether a row lies within the span's days.
fn any_within(rows: &Rows, span: Span) -> bool {
    fn any<V: Values>(rows: &Readings<V>, span: Span) -> bool {
        let at = rows.minutes.below(midnight(span.first));
        let next = rows.minutes.get(at);
        next.is_some_and(|m| m < midnight(span.last + 1))
    }
    match rows {
        Rows::Hours(rows) => any(rows, span),
        Rows::Days(rows) => any(rows, span),
    }
}

/// One year followed by itself, so that its autumn runs into its own spring.
pub(crate) fn twice(rows: &Readings<HourValues>) -> Readings<HourValues> {
    let year = i64::try_from(YEAR_HOURS).unwrap_or(0) * 60;
    let shifted = rows.iter().map(|r| HourRow {
        minute: r.minute + year,
        ..r
    });
    let mut out = rows.clone();
    let last = rows.len().checked_sub(1).and_then(|i| rows.minutes.get(i));
    let last = last.unwrap_or(i64::MIN);
    out.extend(shifted.filter(|r| r.minute > last));
    out
}
