//! Scales with round numbers, and the months of a winter.

use jiff::ToSpan;
use jiff::civil::Date;

/// A scale from values to a place on the sheet.
#[derive(Debug, Clone, PartialEq)]
pub struct Scale {
    /// Least and greatest value.
    pub range: [f64; 2],
    /// Where they are drawn, units.
    pub place: [f64; 2],
}

impl Scale {
    /// Where a value is drawn; values outside the range at its ends.
    #[must_use]
    pub fn at(&self, value: f64) -> f64 {
        let [a, b] = self.range;
        let t = ((value - a) / (b - a)).clamp(0.0, 1.0);
        self.place[0] + t * (self.place[1] - self.place[0])
    }
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

const MONTHS: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];

/// "12 Feb".
#[must_use]
pub fn day(date: Date) -> String {
    let month = MONTHS.get((date.month() - 1) as usize).unwrap_or(&"");
    format!("{} {month}", date.day())
}

/// The months that `days` days from `start` touch: name, first and last day number, the ends cut to the stretch.
#[must_use]
pub fn months(start: Date, days: f64) -> Vec<(&'static str, [f64; 2])> {
    let mut out = Vec::new();
    let (mut from, mut date) = (0.0, start);
    while from < days {
        let left = f64::from(i16::from(date.days_in_month()) - i16::from(date.day()) + 1);
        let to = (from + left).min(days);
        let name = MONTHS.get((date.month() - 1) as usize).unwrap_or(&"");
        out.push((*name, [from, to]));
        let Ok(next) = date.first_of_month().checked_add(1.month()) else {
            break;
        };
        (from, date) = (from + left, next);
    }
    out
}
