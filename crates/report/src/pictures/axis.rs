//! Scales with round numbers, and the months of a winter.

use super::drawing::Span;
use jiff::ToSpan;
use jiff::civil::Date;

/// A scale from values to a place on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// Least and greatest value.
    pub range: Span,
    /// Where they are drawn, units.
    pub place: Span,
}

impl Scale {
    /// A scale that holds a range and ends at round values, and these values in at most about `most` steps.
    #[must_use]
    pub fn round(range: Span, most: usize, place: Span) -> (Self, Vec<f64>) {
        let marks = ticks(range[0], range[1], most);
        let range = [marks.first(), marks.last()].map(|m| m.copied().unwrap_or(0.0));
        (Self { range, place }, marks)
    }

    /// Where a value is drawn; values outside the range at its ends.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let [a, b] = self.range;
        let t = ((value - a) / (b - a)).clamp(0.0, 1.0);
        self.place[0] + t * (self.place[1] - self.place[0])
    }
}

/// Least and greatest of values.
#[must_use]
pub fn span(values: impl IntoIterator<Item = f64>) -> Span {
    let nothing = [f64::INFINITY, f64::NEG_INFINITY];
    let wider = |[lo, hi]: Span, v: f64| [lo.min(v), hi.max(v)];
    values.into_iter().fold(nothing, wider)
}

/// Round values in even steps around `lo..hi`, at most `most + 2`; equal ends are moved apart first. Both must be finite.
#[must_use]
pub fn ticks(lo: f64, hi: f64, most: usize) -> Vec<f64> {
    let (lo, hi) = if hi - lo > 1e-6 * (1.0 + lo.abs().max(hi.abs())) {
        (lo, hi)
    } else {
        (lo, lo + 1.0_f64.max(1e-3 * lo.abs()))
    };
    let rough = (hi - lo) / most.max(1) as f64;
    let power = 10.0_f64.powf(rough.log10().floor());
    let step = [1.0, 2.0, 5.0, 10.0]
        .iter()
        .map(|m| m * power)
        .find(|s| *s >= rough * (1.0 - 1e-9))
        .unwrap_or(10.0 * power);
    let first = (lo / step + 1e-9).floor();
    let last = (hi / step - 1e-9).ceil();
    (0..=(last - first).max(1.0) as usize)
        .map(|i| (first + i as f64) * step)
        .collect()
}

/// Whole numbers with a comma at the thousands, others with as many decimals as they need, three at most.
#[must_use]
pub fn number(value: f64) -> String {
    let plain = partywall_core::units::format::trimmed(value, 3);
    if value.abs() < 1000.0 || plain.contains('.') {
        return plain;
    }
    let (sign, digits) = plain
        .strip_prefix('-')
        .map_or(("", plain.as_str()), |d| ("-", d));
    let mut out = String::new();
    for (i, c) in digits.chars().enumerate() {
        if i > 0 && (digits.len() - i) % 3 == 0 {
            out.push(',');
        }
        out.push(c);
    }
    format!("{sign}{out}")
}

/// "12 Feb".
#[must_use]
pub fn day(date: Date) -> String {
    date.strftime("%-d %b").to_string()
}

/// Days that follow one another.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Dates {
    /// The first.
    pub start: Date,
    /// How many.
    pub days: usize,
}

impl Dates {
    /// The months in them: name, from and to which day.
    #[must_use]
    pub fn months(&self) -> Vec<(String, Span)> {
        let days = self.days as f64;
        let mut out = Vec::new();
        let (mut from, mut date) = (0.0, self.start);
        while from < days {
            let left = f64::from(i16::from(date.days_in_month()) - i16::from(date.day()) + 1);
            let to = (from + left).min(days);
            out.push((date.strftime("%b").to_string(), [from, to]));
            let Ok(next) = date.first_of_month().checked_add(1.month()) else {
                break;
            };
            (from, date) = (from + left, next);
        }
        out
    }
}
