//! Sums over a winter that tell a hard one from a mild one.
//!
//! Degree days with base B are kelvin days: hourly `sum max(0, B - T)/24` or daily `sum max(0, B - day's mean)`, as each
//! function says.

use jiff::civil::Date;

use crate::calendar::MonthDay;
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::draft::Draft;
use crate::climate::formats::typical::NOMINAL_YEAR;
use crate::climate::raw::{Kind, Rows};
use crate::climate::record::Record;
use crate::climate::series::Winter;
use crate::climate::winters;
use crate::problem::Problems;

/// Lower base of degree days, degC: near the temperature below which a cluster holds (and bees stop flying).
pub const BASE_LOW_C: f64 = 10.0;
/// Upper base of degree days, degC: the usual one of building services.
pub const BASE_HIGH_C: f64 = 18.0;
/// A day that stays at or below this is bitter, degC.
pub const BITTER_C: f64 = -15.0;
/// Length of the cold spell looked for, days.
pub const SPELL_DAYS: usize = 10;

/// Sums of one winter, from its hours.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sums {
    /// Days.
    pub days: usize,
    /// Mean temperature, degC.
    pub mean_c: f64,
    /// Coldest hour, degC.
    pub min_c: f64,
    /// Mean of the coldest day, degC.
    pub coldest_day_c: f64,
    /// Heating degree days below 10 degC from hours, K d.
    pub hdd10: f64,
    /// Heating degree days below 18 degC from daily means of 24 hours, K d.
    pub hdd18: f64,
    /// Hours above 10 degC.
    pub hours_above_10: usize,
    /// Days that stay below 0 degC.
    pub ice_days: usize,
    /// Minus the sum of daily means below 0 degC, 1 November to 31 March, K d (the Hellmann number).
    pub cold_sum: f64,
    /// Mean of the coldest ten days in a row, degC.
    pub coldest_spell_c: f64,
    /// First day of that spell, counted from the winter's first day (0-based).
    pub coldest_spell_day: usize,
    /// Longest run of days that never rise above -15 degC.
    pub bitter_days: usize,
}

impl Sums {
    /// Sums of a winter; `None` for one without a whole day.
    #[must_use]
    pub fn of(winter: &Winter) -> Option<Self> {
        let temps: Vec<f64> = winter.hours.iter().map(|h| h.outdoor_c).collect();
        Self::of_temperatures(winter.start, &temps)
    }

    /// Sums of hourly temperatures, degC, 24 a day from `start` on; `None` without a whole day.
    #[must_use]
    pub fn of_temperatures(start: Date, temps: &[f64]) -> Option<Self> {
        let days: Vec<&[f64]> = temps.chunks_exact(24).collect();
        if days.is_empty() {
            return None;
        }
        let mean = |t: &[f64]| t.iter().sum::<f64>() / t.len() as f64;
        let max = |t: &[f64]| t.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        let day_means: Vec<f64> = days.iter().map(|d| mean(d)).collect();
        let first = calendar::day_number(start);
        let spell = SPELL_DAYS.min(days.len());
        let (mut coldest_spell_c, mut coldest_spell_day) = (f64::INFINITY, 0);
        for (i, w) in day_means.windows(spell).enumerate() {
            let m = mean(w);
            if m < coldest_spell_c {
                (coldest_spell_c, coldest_spell_day) = (m, i);
            }
        }
        let (mut run, mut bitter_days) = (0, 0);
        for day in &days {
            run = if max(day) <= BITTER_C { run + 1 } else { 0 };
            bitter_days = bitter_days.max(run);
        }
        Some(Self {
            days: days.len(),
            mean_c: mean(temps),
            min_c: temps.iter().copied().fold(f64::INFINITY, f64::min),
            coldest_day_c: day_means.iter().copied().fold(f64::INFINITY, f64::min),
            hdd10: temps.iter().map(|t| (BASE_LOW_C - t).max(0.0)).sum::<f64>() / 24.0,
            hdd18: day_means.iter().map(|t| (BASE_HIGH_C - t).max(0.0)).sum(),
            hours_above_10: temps.iter().filter(|t| **t > BASE_LOW_C).count(),
            ice_days: days.iter().filter(|d| max(d) < 0.0).count(),
            cold_sum: cold_sum(first, &day_means),
            coldest_spell_c,
            coldest_spell_day,
            bitter_days,
        })
    }
}

/// Minus the sum of daily means below 0 degC from 1 November to 31 March.
fn cold_sum(first_day: i64, means_c: &[f64]) -> f64 {
    let counts = |i: usize| {
        let day = first_day + i64::try_from(i).unwrap_or(0);
        calendar::date_of(day).is_some_and(|d| matches!(d.month(), 11 | 12 | 1..=3))
    };
    means_c
        .iter()
        .enumerate()
        .filter(|(i, t)| **t < 0.0 && counts(*i))
        .map(|(_, t)| -t)
        .sum()
}

/// Sums of one winter from daily extremes, the day's mean being half way between them: comparable with what stations and
/// almanacs print.
#[derive(Debug, Clone, PartialEq)]
pub struct DaySums {
    /// "1982/83".
    pub label: String,
    /// Days.
    pub days: usize,
    /// Mean of (minimum + maximum)/2, degC.
    pub mean_c: f64,
    /// Lowest minimum, degC.
    pub min_c: f64,
    /// Heating degree days below 10 degC, K d.
    pub hdd10: f64,
    /// Heating degree days below 18 degC, K d.
    pub hdd18: f64,
    /// Days that reach 10 degC.
    pub days_reaching_10: usize,
    /// Days whose maximum is below 0 degC.
    pub ice_days: usize,
    /// Mean measured radiation, J/m2 a day; `None` when a day lacks it.
    pub ghi: Option<f64>,
    /// Minus the sum of daily means below 0 degC, 1 November to 31 March, K d.
    pub cold_sum: f64,
}

impl DaySums {
    fn of(label: String, draft: &Draft) -> Self {
        let extremes = &draft.extremes_c;
        let means: Vec<f64> = extremes.iter().map(|(a, b)| (a + b) / 2.0).collect();
        let lows = extremes.iter().map(|e| e.0);
        let n = means.len().max(1) as f64;
        let measured: Option<f64> = draft.ghi_sum.iter().copied().sum();
        Self {
            label,
            days: means.len(),
            mean_c: means.iter().sum::<f64>() / n,
            min_c: lows.fold(f64::INFINITY, f64::min),
            hdd10: means.iter().map(|t| (BASE_LOW_C - t).max(0.0)).sum(),
            hdd18: means.iter().map(|t| (BASE_HIGH_C - t).max(0.0)).sum(),
            days_reaching_10: extremes.iter().filter(|e| e.1 >= BASE_LOW_C).count(),
            ice_days: extremes.iter().filter(|e| e.1 < 0.0).count(),
            ghi: measured.map(|s| s / n),
            cold_sum: cold_sum(draft.span.first, &means),
        }
    }
}

/// Day sums of every whole winter of a record.
///
/// # Errors
/// When `start` or `end` is no day of the year.
pub fn day_sums(record: &Record, start: MonthDay, end: MonthDay) -> Result<Vec<DaySums>, Problems> {
    let drafts = record.drafts(start, end)?;
    Ok(drafts
        .into_iter()
        .filter_map(|d| Some(DaySums::of(d.label, &d.draft.ok()?)))
        .collect())
}

/// Sums of a typical year's winter over days as the file groups them, hours 1 to 24 (h:00 ends hour h), which is how
/// tables made from such files count; [`Sums::of`] counts from 00:00 to 23:00. `None` for other records and when a reading
/// is missing.
#[must_use]
pub fn by_file_days(record: &Record, start: MonthDay, end: MonthDay) -> Option<Sums> {
    let Rows::Hours(rows) = &record.rows else {
        return None;
    };
    if record.kind != Kind::TypicalYear {
        return None;
    }
    let from = calendar::in_year(NOMINAL_YEAR, start)?;
    let to = calendar::in_year(NOMINAL_YEAR + i16::from(start > end), end)?;
    let first = calendar::day_number(from) * MINUTES_A_DAY;
    let last = (calendar::day_number(to) + 1) * MINUTES_A_DAY;
    let temps: Option<Vec<f64>> = winters::twice(rows)
        .iter()
        .filter(|r| r.minute > first && r.minute <= last)
        .map(|r| r.values.outdoor_c)
        .collect();
    let temps = temps.filter(|t| i64::try_from(t.len()).is_ok_and(|n| n * 60 == last - first))?;
    Sums::of_temperatures(from, &temps)
}

/// Degree days of a whole typical year from daily means of its 24 hours, K d.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct YearDegreeDays {
    /// Heating, base 10 degC.
    pub hdd10: f64,
    /// Heating, base 18 degC.
    pub hdd18: f64,
    /// Cooling, base 10 degC.
    pub cdd10: f64,
    /// Cooling, base 18 degC.
    pub cdd18: f64,
}

/// Degree days of an hourly record's rows, taken day by day as the file groups them (hours 1 to 24). `None` for daily
/// records and when a temperature is missing.
#[must_use]
pub fn year_degree_days(record: &Record) -> Option<YearDegreeDays> {
    let Rows::Hours(rows) = &record.rows else {
        return None;
    };
    let mut days: Vec<(i64, f64, u32)> = Vec::new();
    for row in rows.iter() {
        let t = row.values.outdoor_c?;
        // The reading at h:00 ends hour h, so 24:00 still belongs to its day.
        let day = (row.minute - 1).div_euclid(MINUTES_A_DAY);
        match days.last_mut() {
            Some(d) if d.0 == day => (d.1, d.2) = (d.1 + t, d.2 + 1),
            _ => days.push((day, t, 1)),
        }
    }
    let means: Vec<f64> = days.iter().map(|(_, sum, n)| sum / f64::from(*n)).collect();
    let below = |base: f64| means.iter().map(|t| (base - t).max(0.0)).sum();
    let above = |base: f64| means.iter().map(|t| (t - base).max(0.0)).sum();
    Some(YearDegreeDays {
        hdd10: below(BASE_LOW_C),
        hdd18: below(BASE_HIGH_C),
        cdd10: above(BASE_LOW_C),
        cdd18: above(BASE_HIGH_C),
    })
}
