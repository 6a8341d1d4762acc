//! Until when syrup is taken.

use crate::climate::series::Winter;
use jiff::ToSpan;
use jiff::civil::Date;

/// Mean of the daily highs below which bees no longer break cluster for syrup, degC (13 C / 55 F: Ontario's extension advice;
/// others say 10 C).
const TOO_COLD: f64 = 13.0;
/// Days over which the highs are taken together (a choice: one fine day does not make a feeding week).
const DAYS: usize = 7;

/// The day by which syrup must be fed: the middle one of all winters' first days of a week whose highs stay below
/// 13 degC on average, in the first winter's year. `None` without a winter or where it never gets so cold.
#[must_use]
pub fn syrup_until(winters: &[Winter]) -> Option<Date> {
    let mut days: Vec<usize> = winters.iter().filter_map(first_cold_week).collect();
    if 2 * days.len() <= winters.len() {
        return None;
    }
    days.sort_unstable();
    let middle = *days.get((days.len() - 1) / 2)?;
    let first = winters.first()?;
    first.start.checked_add((middle as i64).days()).ok()
}

fn first_cold_week(w: &Winter) -> Option<usize> {
    let highs: Vec<f64> = w
        .hours
        .chunks_exact(24)
        .map(|day| {
            day.iter()
                .map(|h| h.temp_c)
                .fold(f64::NEG_INFINITY, f64::max)
        })
        .collect();
    highs
        .windows(DAYS)
        .position(|week| week.iter().sum::<f64>() / (DAYS as f64) < TOO_COLD)
}
