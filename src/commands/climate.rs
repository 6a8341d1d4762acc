//! `partywall climate`: what is in a weather record, and which of its winters is the hard one.

mod document;
mod rows;
mod save;
mod words;

use partywall_report::text;
use partywall_report::texts::said;
use std::io::Write;

use serde::Serialize;

use super::{Failure, files};
use crate::cli::{ClimateArgs, Format, SyntheticArgs};
use partywall_core::calendar::MonthDay;
use partywall_core::climate::series::Winter;
use partywall_core::climate::spring;
use partywall_core::climate::sums::Sums;
use partywall_core::climate::{Kind, Record};
use partywall_core::colony::parameters::Parameters;
use partywall_core::ensemble::levels::{Method, level};
use partywall_core::ensemble::winters::{Basis, choose};
use partywall_core::problem::Problem;
use rows::ToldWinter;

/// Winters wanted for saying what holds in nine of ten: the rank 0.9 (N + 1) exists from 9 on.
const ENOUGH_FOR_NINE_IN_TEN: usize = 9;

/// What the command tells, ready for JSON; temperatures in degC, degree days in K d.
#[derive(Debug, Serialize)]
struct ClimateSummary {
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
    average: Option<String>,
    mildest: Option<String>,
    latest_spring: Option<String>,
    /// What holds in nine winters of ten, if there are enough of them.
    nine_in_ten: Option<ToldLevel>,
    /// The same of winters made up or referred to the last years, if asked for.
    made: Option<ToldMade>,
    /// Air outside below which clusters hardly move, degC.
    #[serde(skip)]
    moves_c: f64,
}

/// What holds in nine winters of ten; temperatures in degC.
#[derive(Debug, Serialize)]
struct ToldLevel {
    /// The winter's mean stays above.
    mean_c: f64,
    /// The mean of the coldest ten days in a row stays above.
    coldest_spell_c: f64,
    /// Whether it is counted by rank or reckoned from the spread.
    method: Method,
    /// Winters it is taken from.
    winters: usize,
}

/// Winters other than the real ones.
#[derive(Debug, Serialize)]
struct ToldMade {
    synthetic: bool,
    notes: Vec<String>,
    winters: usize,
    nine_in_ten: Option<ToldLevel>,
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
struct ToldRejected {
    winter: String,
    reason: String,
}

/// Reads the record and writes what is in it.
///
/// # Errors
/// When the record cannot be read or holds no whole winter (then everything else has been written), when winters cannot be
/// made up from it as asked, or writing fails.
pub fn run(args: &ClimateArgs, out: &mut dyn Write) -> Result<(), Failure> {
    super::terminal::end_at_ctrl_c();
    let record = crate::files::weather::load_all(&args.files)?;
    let output = files::begin(args.out.as_deref(), args.files.iter().map(String::as_str))?;
    let season = season_of(record.station.latitude_deg);
    let mut told = tell(&record, season)?;
    if !told.winters.is_empty() {
        told.made = made(&record, season, args.made)?;
        if let Some(output) = output {
            save::save(&output, &told)?;
            output.finish()?;
        }
    }
    match args.format {
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &told)?;
            writeln!(out)?;
        }
        Format::Text => write!(
            out,
            "{}",
            document::document(&told, args.units.into()).text()
        )?,
        Format::Csv => out.write_all(&save::table(&told)?)?,
    }
    if told.winters.is_empty() {
        out.flush()?;
        record.winters(season.from, season.to)?;
    }
    Ok(())
}

/// Winters made up, or referred to the last years, as asked.
fn made(
    record: &Record,
    season: Season,
    asked: SyntheticArgs,
) -> Result<Option<ToldMade>, Failure> {
    if asked == SyntheticArgs::default() {
        return Ok(None);
    }
    let chosen = choose(record, season.from, season.to, asked.with(None))?;
    Ok(Some(ToldMade {
        synthetic: chosen.basis != Basis::Real,
        winters: chosen.winters.len(),
        nine_in_ten: nine_in_ten(&chosen.winters),
        notes: chosen.notes,
    }))
}

/// What holds in nine of ten of these winters.
fn nine_in_ten(winters: &[Winter]) -> Option<ToldLevel> {
    let sums: Vec<Sums> = winters.iter().filter_map(Sums::of).collect();
    // A level is the share at or below; cold counts upwards.
    let of = |get: fn(&Sums) -> f64| {
        let cold: Vec<f64> = sums.iter().map(|s| -get(s)).collect();
        level(&cold, 0.9)
    };
    let (mean, spell) = (of(|s| s.mean_c)?, of(|s| s.coldest_spell_c)?);
    Some(ToldLevel {
        mean_c: round(-mean.value, 2),
        coldest_spell_c: round(-spell.value, 1),
        method: mean.method,
        winters: sums.len(),
    })
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

fn tell(record: &Record, season: Season) -> Result<ClimateSummary, Failure> {
    let cut = record.cut(season.from, season.to)?;
    let parameters = Parameters::with(&[]).map_err(Failure::fault)?;
    let springs = spring::springs(record)?;
    let winters = rows::winters(&cut, &springs, &parameters);
    let mut notes = record.notes.clone();
    notes.extend(spring::rule(record));
    let by_cold = |a: &&ToldWinter, b: &&ToldWinter| b.mean_c.total_cmp(&a.mean_c);
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
    Ok(ClimateSummary {
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
                Kind::Hourly => said("record.hourly_readings"),
                Kind::Daily => said("record.daily_readings"),
                Kind::TypicalYear => said("record.hourly_readings_typical_year"),
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
        notes,
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
        average: rows::average(&winters).map(|w| w.winter.clone()),
        latest_spring: winters
            .iter()
            .find(|w| w.spring == rows::LATEST_SPRING)
            .map(|w| w.winter.clone()),
        nine_in_ten: nine_in_ten(&cut.whole),
        made: None,
        moves_c: parameters.cluster_complete_c,
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
        Some(place) => text!("record.line", line = place.line, what = p.what, help),
        None => format!("{}{help}", p.what),
    }
}

fn round(x: f64, digits: i32) -> f64 {
    let scale = 10_f64.powi(digits);
    let rounded = (x * scale).round() / scale;
    // No "-0".
    if rounded == 0.0 { 0.0 } else { rounded }
}
