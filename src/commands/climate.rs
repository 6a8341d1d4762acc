//! `partywall climate`: what is in a weather record, and which of its winters is the hard one.

mod text;

use std::io::Write;

use serde::Serialize;

use crate::cli::{ClimateArgs, Format};
use crate::climate::sums::Sums;
use crate::climate::{self, Cut, Kind, Record};
use crate::diagnostic::Problem;
use crate::scenario::model::MonthDay;

/// Winters wanted for saying what holds in nine of ten: the rank 0.9 (N + 1) exists from 9 on.
const ENOUGH_FOR_NINE_IN_TEN: usize = 9;

/// What the command tells, ready for JSON; temperatures in degC, degree days in K d.
#[derive(Debug, Serialize)]
struct Told {
    source: String,
    format: &'static str,
    station: ToldStation,
    record: ToldRecord,
    fields: Vec<ToldField>,
    notes: Vec<String>,
    warnings: Vec<String>,
    season: Season,
    gaps: Vec<ToldGap>,
    winters: Vec<ToldWinter>,
    rejected: Vec<ToldRejected>,
    hardest: Option<String>,
    mildest: Option<String>,
}

#[derive(Debug, Serialize)]
struct ToldStation {
    name: String,
    latitude_deg: f64,
    longitude_deg: Option<f64>,
    elevation_m: f64,
    utc_offset_h: f64,
    origin: Option<String>,
}

#[derive(Debug, Serialize)]
struct ToldRecord {
    kind: &'static str,
    span: String,
    rows: usize,
}

#[derive(Debug, Serialize)]
struct ToldField {
    field: &'static str,
    share: f64,
}

#[derive(Debug, Serialize)]
struct ToldGap {
    from: String,
    to: String,
    missing: i64,
    unit: &'static str,
}

#[derive(Debug, Clone, Copy, Serialize)]
struct Season {
    start: &'static str,
    end: &'static str,
    #[serde(skip)]
    from: MonthDay,
    #[serde(skip)]
    to: MonthDay,
}

#[derive(Debug, Serialize)]
struct ToldWinter {
    winter: String,
    days: usize,
    mean_c: f64,
    coldest_hour_c: f64,
    coldest_day_c: f64,
    coldest_spell_c: f64,
    coldest_spell_from: String,
    longest_run_never_above_minus_15_days: usize,
    degree_days_below_10_c: f64,
    degree_days_below_18_c: f64,
    cold_sum: f64,
    hours_above_10_c: usize,
    ice_days: usize,
    filled_days: usize,
    stuck_days: usize,
    verdict: &'static str,
}

/// Columns of the winters as CSV.
const WINTER_COLUMNS: &[&str] = &[
    "winter",
    "days",
    "mean_c",
    "coldest_hour_c",
    "coldest_day_c",
    "coldest_spell_c",
    "coldest_spell_from",
    "longest_run_never_above_minus_15_days",
    "degree_days_below_10_c",
    "degree_days_below_18_c",
    "cold_sum",
    "hours_above_10_c",
    "ice_days",
    "filled_days",
    "stuck_days",
    "verdict",
];

#[derive(Debug, Serialize)]
struct ToldRejected {
    winter: String,
    reason: String,
}

/// Reads the record and writes what is in it.
///
/// # Errors
/// When the record cannot be read or holds no whole winter (then everything else has been written), or writing fails.
pub fn run(args: &ClimateArgs, out: &mut dyn Write) -> anyhow::Result<()> {
    let record = climate::load(&climate::choose(&args.file))?;
    let season = season_of(record.station.latitude_deg);
    let told = tell(&record, season)?;
    match args.format {
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &told)?;
            writeln!(out)?;
        }
        Format::Text => text::write_text(&told, args.units, out)?,
        Format::Csv => {
            let rows = told
                .winters
                .iter()
                .map(serde_json::to_value)
                .collect::<Result<Vec<_>, _>>()?;
            out.write_all(&crate::report::csv::table(WINTER_COLUMNS, &rows)?)?;
        }
    }
    if told.winters.is_empty() {
        out.flush()?;
        record.winters(season.from, season.to)?;
    }
    Ok(())
}

/// The cold half of the year: October to March, April to September south of the equator.
fn season_of(latitude_deg: f64) -> Season {
    let (start, end, months) = if latitude_deg < 0.0 {
        ("04-01", "09-30", (4, 9, 30))
    } else {
        ("10-01", "03-31", (10, 3, 31))
    };
    Season {
        start,
        end,
        from: MonthDay {
            month: months.0,
            day: 1,
        },
        to: MonthDay {
            month: months.1,
            day: months.2,
        },
    }
}

fn tell(record: &Record, season: Season) -> anyhow::Result<Told> {
    let cut = record.cut(season.from, season.to)?;
    let winters = winters(&cut);
    let by_cold = |a: &&ToldWinter, b: &&ToldWinter| {
        a.degree_days_below_10_c
            .total_cmp(&b.degree_days_below_10_c)
    };
    let several = winters.len() > 1;
    let hardest = winters
        .iter()
        .max_by(by_cold)
        .filter(|_| several)
        .map(|w| w.winter.clone());
    let mildest = winters
        .iter()
        .min_by(by_cold)
        .filter(|_| several)
        .map(|w| w.winter.clone());
    let station = &record.station;
    Ok(Told {
        source: record.source_name.clone(),
        format: record.format,
        station: ToldStation {
            name: station.name.clone(),
            latitude_deg: station.latitude_deg,
            longitude_deg: station.longitude_deg,
            elevation_m: station.elevation,
            utc_offset_h: station.utc_offset_h,
            origin: station.source.clone(),
        },
        record: ToldRecord {
            kind: match record.kind {
                Kind::Hourly => "hourly readings",
                Kind::Daily => "daily readings",
                Kind::TypicalYear => "hourly readings of a typical year",
            },
            span: record.span_text(),
            rows: record.row_count(),
        },
        fields: record
            .coverage
            .iter()
            .map(|c| ToldField {
                field: c.field,
                share: c.share,
            })
            .collect(),
        notes: record.notes.clone(),
        warnings: record.warnings.iter().map(warning_text).collect(),
        season,
        gaps: record
            .gaps()
            .into_iter()
            .map(|g| ToldGap {
                from: g.from,
                to: g.to,
                missing: g.missing,
                unit: if record.kind == Kind::Daily {
                    "days"
                } else {
                    "hours"
                },
            })
            .collect(),
        winters,
        rejected: cut
            .rejected
            .iter()
            .map(|r| ToldRejected {
                winter: r.label.clone(),
                reason: r.reason.to_string(),
            })
            .collect(),
        hardest,
        mildest,
    })
}

/// One line for a warning; its place as a line number, because the command has no excerpt to show.
fn warning_text(p: &Problem) -> String {
    let help = p
        .help
        .as_ref()
        .map(|h| format!(" ({h})"))
        .unwrap_or_default();
    match &p.place {
        Some(place) => format!("line {}: {}{help}", place.line, p.what),
        None => format!("{}{help}", p.what),
    }
}

fn winters(cut: &Cut) -> Vec<ToldWinter> {
    let summed: Vec<_> = cut
        .whole
        .iter()
        .filter_map(|w| Sums::of(w).map(|s| (w, s)))
        .collect();
    let mut by_cold: Vec<f64> = summed.iter().map(|(_, s)| s.hdd10).collect();
    by_cold.sort_by(f64::total_cmp);
    summed
        .iter()
        .map(|(w, s)| ToldWinter {
            winter: w.label.clone(),
            days: s.days,
            mean_c: round(s.mean_c, 2),
            coldest_hour_c: round(s.min_c, 1),
            coldest_day_c: round(s.coldest_day_c, 1),
            coldest_spell_c: round(s.coldest_spell_c, 1),
            coldest_spell_from: spell_date(w.start, s.coldest_spell_day),
            longest_run_never_above_minus_15_days: s.bitter_days,
            degree_days_below_10_c: round(s.hdd10, 1),
            degree_days_below_18_c: round(s.hdd18, 1),
            cold_sum: round(s.cold_sum, 1),
            hours_above_10_c: s.hours_above_10,
            ice_days: s.ice_days,
            filled_days: w.filled_days,
            stuck_days: w.stuck_days,
            verdict: verdict(s.hdd10, &by_cold),
        })
        .collect()
}

/// "hardest" and "mildest" of the record, else "hard" and "mild" for the outer quarters, else "usual".
fn verdict(hdd10: f64, sorted: &[f64]) -> &'static str {
    let n = sorted.len();
    if n < 2 {
        return "the only one";
    }
    let milder = sorted.iter().filter(|h| **h < hdd10).count();
    match milder {
        0 => "mildest",
        m if m == n - 1 => "hardest",
        m if m * 4 < n => "mild",
        m if (m + 1) * 4 > 3 * n => "hard",
        _ => "usual",
    }
}

fn spell_date(start: jiff::civil::Date, offset: usize) -> String {
    let day = climate::calendar::day_number(start) + i64::try_from(offset).unwrap_or(0);
    climate::calendar::date_of(day)
        .map_or_else(String::new, |d| format!("{} {}", d.day(), month(d.month())))
}

fn month(m: i8) -> &'static str {
    const NAMES: [&str; 12] = [
        "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
    ];
    usize::try_from(m - 1)
        .ok()
        .and_then(|i| NAMES.get(i))
        .copied()
        .unwrap_or("")
}

fn round(x: f64, digits: i32) -> f64 {
    let scale = 10_f64.powi(digits);
    let rounded = (x * scale).round() / scale;
    // No "-0".
    if rounded == 0.0 { 0.0 } else { rounded }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a hard winter called mild, and an extreme missed when there are only two.
    #[test]
    fn verdicts_follow_the_degree_days() {
        let sorted = [1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0];
        let got: Vec<_> = sorted.iter().map(|h| verdict(*h, &sorted)).collect();
        assert_eq!(
            got,
            [
                "mildest", "mild", "usual", "usual", "usual", "usual", "hard", "hardest"
            ]
        );
        assert_eq!(verdict(1.0, &[1.0, 2.0]), "mildest");
        assert_eq!(verdict(2.0, &[1.0, 2.0]), "hardest");
        assert_eq!(verdict(2.0, &[2.0]), "the only one");
    }
}
