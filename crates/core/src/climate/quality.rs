//! Checks of the values of one record: ranges and order; stuck instruments and wrong units have files of their own.
//!
//! A value outside its range ([`crate::climate::quantity`]) and a minimum more than 0.5 K above the maximum become missing and
//! are counted; too many impossible temperatures stop the reading.

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::quantity::Values;
use crate::climate::raw::{DayValues, HourValues, RawRecord, Rows};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::climate::steps::Steps;
use crate::climate::{stuck, swapped, wrong_unit};
use crate::problem::{Problem, Problems};

/// Share of temperatures out of range from which the column is not what it claims to be.
const HOPELESS_SHARE: f64 = 0.1;
/// Longest gap between rows for exchanged dates to be the explanation of disorder, minutes: a few days (common practice,
/// no source).
const LONGEST_GAP: i64 = 5 * MINUTES_A_DAY;
/// Allowed excess of a day's minimum over its maximum, K.
const CROSSED: f64 = 0.5;

/// Values outside their range, dropped.
struct Outside {
    many: &'static str,
    range: &'static str,
    count: usize,
    /// The first by rows: its row, itself and its line.
    first: Option<(usize, f64, usize)>,
}

impl Outside {
    fn warning(&self, source: &Source) -> Option<Problem> {
        let (_, first, line) = self.first?;
        let fault = ClimateError::OutOfRange {
            count: self.count,
            what: self.many,
            range: self.range,
            first,
            line: source.whereabouts(line).1,
        };
        Some(source.warning_at(fault, line))
    }
}

/// Day a row lies in.
fn day_of(minutes: &Steps, row: usize) -> i64 {
    minutes.get(row).unwrap_or(0).div_euclid(MINUTES_A_DAY)
}

/// What the check of the values found.
#[derive(Default)]
struct Found {
    /// Temperatures first.
    outside: Vec<Outside>,
    /// Day of every temperature reading dropped.
    dropped: Vec<i64>,
    /// Temperatures left.
    usable: usize,
    /// Line of every day with a minimum above its maximum.
    crossed: Vec<usize>,
}

impl Found {
    /// Drops values outside their range.
    fn drop_outside<V: Values>(&mut self, rows: &mut Readings<V>) {
        for (quantity, column) in V::QUANTITIES.iter().zip(&mut rows.columns) {
            let known = self.outside.iter().position(|o| o.many == quantity.many);
            let counter = known.unwrap_or(self.outside.len());
            if known.is_none() {
                self.outside.push(Outside {
                    many: quantity.many,
                    range: quantity.range.text,
                    count: 0,
                    first: None,
                });
            }
            let outside = &mut self.outside[counter];
            for (row, slot) in column.iter_mut().enumerate() {
                let x = *slot;
                if x.is_nan() {
                    continue;
                }
                if (quantity.range.low..=quantity.range.high).contains(&x) {
                    self.usable += usize::from(counter == 0);
                    continue;
                }
                *slot = f64::NAN;
                if counter == 0 {
                    self.dropped.push(day_of(&rows.minutes, row));
                }
                outside.count += 1;
                if outside.first.is_none_or(|(before, ..)| row < before) {
                    outside.first = Some((row, x, rows.lines.line(row)));
                }
            }
        }
        self.dropped.sort_unstable();
    }

    /// Drops minima and maxima that are crossed, and puts right those that nearly meet.
    fn drop_crossed(&mut self, rows: &mut Readings<DayValues>) {
        // The first two of the quantities of a day.
        let [lows, highs, ..] = &mut rows.columns[..] else {
            return;
        };
        for (row, (low, high)) in lows.iter_mut().zip(highs).enumerate() {
            // Not so where one is missing.
            if *low > *high {
                let far = *low > *high + CROSSED;
                std::mem::swap(low, high);
                if far {
                    (*low, *high) = (f64::NAN, f64::NAN);
                    self.usable -= 2;
                    self.crossed.push(rows.lines.line(row));
                    self.dropped.push(day_of(&rows.minutes, row));
                }
            }
        }
        self.dropped.sort_unstable();
    }

    /// Refuses a temperature column of which a good part is impossible or nothing is left.
    fn check_share(&self, source: &Source, rows: usize) -> Result<(), Problems> {
        if let Some(Outside {
            count,
            first: Some((_, first, line)),
            ..
        }) = self.outside.first()
            && *count as f64 > HOPELESS_SHARE * (count + self.usable) as f64
        {
            let fault = ClimateError::ManyOutOfRange {
                bad: *count,
                of: count + self.usable,
                first: *first,
                line: source.whereabouts(*line).1,
            };
            return Err(source.error_at(fault, *line).into());
        }
        if self.usable == 0 {
            return Err(source.error(ClimateError::NoTemperatures { rows }).into());
        }
        Ok(())
    }
}

/// Checks a record in place; warnings are added to it. Gives the day of every temperature reading dropped, in order.
///
/// # Errors
/// Times that do not move forward, no usable temperature, or temperatures that cannot be degrees Celsius.
pub fn check(source: &Source, record: &mut RawRecord) -> Result<Vec<i64>, Problems> {
    check_rows_in_order(source, &record.rows)?;
    let mut found = Found::default();
    match &mut record.rows {
        Rows::Hours(rows) => found.drop_outside(rows),
        Rows::Days(rows) => {
            found.drop_outside(rows);
            found.drop_crossed(rows);
        }
    }
    found.check_share(source, record.rows.count())?;
    let warnings = &mut record.warnings;
    warnings.extend(found.outside.iter().filter_map(|o| o.warning(source)));
    if let Some(&first) = found.crossed.first() {
        let fault = ClimateError::Crossed {
            count: found.crossed.len(),
            line: source.whereabouts(first).1,
        };
        warnings.push(source.warning_at(fault, first));
    }
    let readings = match &record.rows {
        Rows::Hours(rows) => stuck::of_hours(rows),
        Rows::Days(rows) => stuck::of_days(rows),
    };
    let extremes = readings.iter().filter_map(|r| r.values[0].zip(r.values[1]));
    warnings.extend(wrong_unit::check_extremes(source, extremes)?);
    warnings.extend(stuck::warnings(source, &readings));
    Ok(found.dropped)
}

/// Refuses rows whose times do not move forward.
///
/// # Errors
/// At the first row that is not later than the row before it.
pub fn check_rows_in_order(source: &Source, rows: &Rows) -> Result<(), Problems> {
    let mut stamps = rows.stamps().zip(rows.stamps().skip(1));
    let Some(((before, before_line), (this, line))) = stamps.find(|(a, b)| b.0 <= a.0) else {
        return Ok(());
    };
    if let Some(found) = swapped::explain(rows.stamps(), LONGEST_GAP) {
        let fault = ClimateError::Exchanged {
            count: found.count,
            written: calendar::date_text(found.written),
            meant: calendar::date_text(found.meant),
        };
        return Err(source.error_at(fault, found.line).into());
    }
    let text = match rows {
        Rows::Hours(_) => HourValues::moment,
        Rows::Days(_) => DayValues::moment,
    };
    let fault = ClimateError::TimesGoBack {
        this: text(this),
        before: text(before),
        before_line: source.whereabouts(before_line).1,
    };
    Err(source.error_at(fault, line).into())
}
