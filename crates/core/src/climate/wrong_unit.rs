//! Fahrenheit in a Celsius column, told from what no place on Earth reaches.

use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::quantity::hour;
use crate::climate::raw::{RawRecord, Rows};
use crate::climate::source::Source;
use crate::climate::stuck;
use crate::problem::{Problem, Problems};

/// 95th percentile of daily maxima no place reaches, degC: the hottest towns stay near 48 (common practice, no source).
const HOTTEST_P95: f64 = 52.0;
/// Mean daily range no station keeps up, K: dry high plains have 17 to 18 (Champion, Nebraska, in the samples).
const WIDEST_RANGE: f64 = 24.0;
/// Mean of December to February (June to August in the south) no place beyond [`COOL_LATITUDE_DEG`] reaches, degC; the
/// warmest, on southern coasts, stay near 12 (common practice, no source).
const WARMEST_WINTER: f64 = 15.0;
/// Latitude beyond which [`WARMEST_WINTER`] holds, degrees.
const COOL_LATITUDE_DEG: f64 = 40.0;

/// Warns when the heart of winter is warmer than the latitude allows: the mark of Fahrenheit in a record that holds
/// only winters.
pub fn check_against_place(source: &Source, record: &mut RawRecord, latitude_deg: f64) {
    if latitude_deg.abs() < COOL_LATITUDE_DEG {
        return;
    }
    // Rows of one day follow each other: its date is asked for once.
    let mut last = (i64::MIN, false);
    let mut in_winter = |day: i64| {
        if day != last.0 {
            let month = calendar::date_of(day).map_or(0, |d| d.month());
            let months = if latitude_deg > 0.0 {
                [12, 1, 2]
            } else {
                [6, 7, 8]
            };
            last = (day, months.contains(&month));
        }
        last.1
    };
    let temps: Vec<f64> = match &record.rows {
        Rows::Hours(rows) => rows
            .known(&hour::TEMP)
            .filter(|(_, minute, _)| in_winter(minute.div_euclid(MINUTES_A_DAY)))
            .map(|(_, _, t)| t)
            .collect(),
        Rows::Days(rows) => stuck::of_days(rows)
            .iter()
            .filter(|r| in_winter(r.day))
            .filter_map(|r| r.values[0].zip(r.values[1]))
            .map(|(a, b)| (a + b) / 2.0)
            .collect(),
    };
    let mean = temps.iter().sum::<f64>() / temps.len().max(1) as f64;
    if mean > WARMEST_WINTER {
        let evidence = format!(
            "the three midwinter months average {mean:.0} degC at latitude {latitude_deg:.0}"
        );
        record
            .warnings
            .push(ClimateError::Fahrenheit { evidence }.warning(&source.name, None));
    }
}

/// Fahrenheit in a Celsius column: hot days hotter than anywhere on Earth are an error; a daily range wider than any
/// station's is a warning, since a record without its summer shows nothing else.
pub(super) fn check_extremes(
    source: &Source,
    days: impl Iterator<Item = (f64, f64)>,
) -> Result<Option<Problem>, Problems> {
    let mut highs = Vec::new();
    let mut range_sum = 0.0;
    for (low, high) in days {
        highs.push(high);
        range_sum += high - low;
    }
    if highs.is_empty() {
        return Ok(None);
    }
    let mean_range = range_sum / highs.len() as f64;
    highs.sort_by(f64::total_cmp);
    let p95 = highs[(highs.len() - 1) * 95 / 100];
    if p95 > HOTTEST_P95 {
        let evidence = format!("one day in twenty is above {p95:.0} degC");
        return Err(source.error(ClimateError::Fahrenheit { evidence }).into());
    }
    if mean_range > WIDEST_RANGE {
        let evidence =
            format!("the day's maximum is on average {mean_range:.0} K above its minimum");
        return Ok(Some(
            ClimateError::Fahrenheit { evidence }.warning(&source.name, None),
        ));
    }
    Ok(None)
}
