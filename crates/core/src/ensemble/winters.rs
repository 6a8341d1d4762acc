//! Which winters are run: the real ones of a record, or ones made up from them, and the words that say what a level then means.

use std::f64::consts::TAU;

use serde::Serialize;
use thiserror::Error;

use crate::calendar::MonthDay;
use crate::climate::record::Record;
use crate::climate::series::Winter;
use crate::climate::synthetic::{self, SyntheticError};
use crate::climate::trend::{self, TooFew};
use crate::climate::{Kind, calendar};
use crate::ensemble::levels;
use crate::ensemble::runner::spread;
use crate::problem::Problems;
use crate::season::outcome::WinterOutcome;

/// Nearer to the equator than this no half of the year is winter, degrees (common practice, no source).
const NO_WINTER_BELOW_DEG: f64 = 10.0;
/// Hives and weather further apart than this are told, degrees of latitude: some 330 km, over which winters differ by a
/// kelvin or two (common practice, no source).
const FAR_DEG: f64 = 3.0;

/// What the user asks for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Asked {
    /// So many of the record's winters, standing for all; `None` for all of them.
    pub count: Option<usize>,
    /// So many winters made up.
    pub synthetic: Option<usize>,
    /// Whether the drift of the climate is taken out.
    pub detrend: bool,
}

/// Where the winters that are run come from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Basis {
    /// Whole winters as they were.
    Real,
    /// Months of real winters.
    Months,
    /// A typical year, colder and milder by assumption.
    Typical,
}

/// The winters to run.
#[derive(Debug, Clone, PartialEq)]
pub struct Chosen {
    /// The winters.
    pub winters: Vec<Winter>,
    /// Whole winters of the record.
    pub available: usize,
    /// Where they come from.
    pub basis: Basis,
    /// What was chosen and what it means, in plain words.
    pub notes: Vec<String>,
}

/// Why no winter can be chosen.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum ChoiceError {
    /// The record has no whole winter.
    #[error(transparent)]
    Record(#[from] Problems),
    /// Too few for a drift.
    #[error("{0}\nleave out --detrend, or get a longer record")]
    Trend(#[from] TooFew),
    /// No winter can be made up.
    #[error("{0}\nchange or leave out --synthetic")]
    Synthetic(#[from] SyntheticError),
    /// A drift of a typical year.
    #[error(
        "a typical year has no drift that could be taken out\nleave out --detrend, or get a record of twenty years or more"
    )]
    TypicalTrend,
    /// Two choices that exclude each other.
    #[error("--winters and --synthetic are both given\ngive one of them")]
    Both,
    /// Summer where the weather was measured.
    #[error(
        "from {start} to {end} it is summer where the weather was measured ({name}, {latitude_deg:.1} degrees {side})\n\
         give the season's own dates, or a record from the hives' side of the equator"
    )]
    Summer {
        /// First day of the season.
        start: String,
        /// Last day.
        end: String,
        /// Station.
        name: String,
        /// Degrees, without sign.
        latitude_deg: f64,
        /// "north" or "south".
        side: &'static str,
    },
    /// Hives and weather on two sides of the equator.
    #[error(
        "the hives stand {hives_deg:.1} degrees {hives_side}, the weather was measured {weather_deg:.1} degrees {weather_side} ({name}): its winter is their summer\n\
         take a record from the hives' side of the equator"
    )]
    OtherSide {
        /// Degrees, without sign.
        hives_deg: f64,
        /// "north" or "south".
        hives_side: &'static str,
        /// Degrees, without sign.
        weather_deg: f64,
        /// "north" or "south".
        weather_side: &'static str,
        /// Station.
        name: String,
    },
}

fn side(latitude_deg: f64) -> &'static str {
    if latitude_deg < 0.0 { "south" } else { "north" }
}

/// Whether the middle of a season lies within a quarter of a year of the winter solstice at that latitude.
fn is_winter(start: MonthDay, end: MonthDay, latitude_deg: f64) -> bool {
    let over_new_year = i16::from(start > end);
    // A nominal common year; 29 February counts as the day before.
    let day = |year, d| calendar::in_year(year, d).map(calendar::day_number);
    let (Some(from), Some(to), Some(solstice)) = (
        day(2001, start),
        day(2001 + over_new_year, end),
        day(2001, MonthDay { month: 12, day: 21 }),
    ) else {
        return true;
    };
    let away = 0.5 * (from + to) as f64 - solstice as f64;
    (TAU * away / 365.25).cos() * latitude_deg.signum() > 0.0
}

/// Holds the season and the hives' own latitude (degrees, north positive, if known) against the place of the record.
///
/// # Errors
/// When it is summer there, or the hives stand on the other side of the equator.
pub fn check_season(
    record: &Record,
    start: MonthDay,
    end: MonthDay,
    hives_deg: Option<f64>,
) -> Result<Vec<String>, ChoiceError> {
    let weather_deg = record.station.latitude_deg;
    let name = &record.station.name;
    let tells = |deg: f64| deg.abs() >= NO_WINTER_BELOW_DEG;
    if let Some(hives_deg) = hives_deg
        && tells(hives_deg)
        && tells(weather_deg)
        && hives_deg * weather_deg < 0.0
    {
        return Err(ChoiceError::OtherSide {
            hives_deg: hives_deg.abs(),
            hives_side: side(hives_deg),
            weather_deg: weather_deg.abs(),
            weather_side: side(weather_deg),
            name: name.clone(),
        });
    }
    if tells(weather_deg) && !is_winter(start, end, weather_deg) {
        return Err(ChoiceError::Summer {
            start: crate::calendar::words(start),
            end: crate::calendar::words(end),
            name: name.clone(),
            latitude_deg: weather_deg.abs(),
            side: side(weather_deg),
        });
    }
    let mut notes = Vec::new();
    if !tells(weather_deg) {
        notes.push("the weather was measured near the equator, where no season is winter".into());
    }
    if let Some(hives_deg) = hives_deg
        && (hives_deg - weather_deg).abs() > FAR_DEG
    {
        notes.push(format!(
            "the weather was measured {:.0} degrees of latitude from the hives: look for a nearer record",
            (hives_deg - weather_deg).abs()
        ));
    }
    Ok(notes)
}

/// Chooses among the winters from `start` to `end`.
///
/// # Errors
/// A record without a whole winter, or a choice it cannot fill.
pub fn choose(
    record: &Record,
    start: MonthDay,
    end: MonthDay,
    asked: Asked,
) -> Result<Chosen, ChoiceError> {
    if asked.count.is_some() && asked.synthetic.is_some() {
        return Err(ChoiceError::Both);
    }
    let mut winters = record.winters(start, end)?;
    let available = winters.len();
    let typical = record.kind == Kind::TypicalYear;
    let mut notes = Vec::new();
    if asked.detrend {
        if typical {
            return Err(ChoiceError::TypicalTrend);
        }
        notes.push(trend::remove(&mut winters)?.note());
    }
    let basis = match asked.synthetic {
        None => Basis::Real,
        Some(_) if typical => Basis::Typical,
        Some(_) => Basis::Months,
    };
    match (asked.synthetic, basis) {
        (Some(n), Basis::Typical) => {
            let spread = &record.defaults.typical_year_spread;
            let made = winters
                .first()
                .map(|w| synthetic::about_typical(w, spread.value, n));
            notes.push(format!(
                "{n} winters made up about one typical year, colder and milder as a whole with a spread of {:.1} C ({:.1} F): that spread is \
                 assumed, not measured here ({:.1} to {:.1} C elsewhere), and so is every \"winters in 10\" that rests on it",
                spread.value,
                1.8 * spread.value,
                spread.low,
                spread.high
            ));
            winters = made.transpose()?.unwrap_or_default();
        }
        (Some(n), _) => {
            let made = synthetic::from_months(&winters, n)?;
            notes.push(format!(
                "{n} winters made up from months of the {available} real ones ({}): smoother figures, but no more knowledge of the worst \
                 winter than those {available} hold; the coldest real one was {}",
                span(&winters),
                coldest(&winters)
            ));
            winters = made;
        }
        (None, _) => {
            if let Some(n) = asked.count {
                if n > available {
                    let more = if typical || available >= synthetic::FEWEST {
                        format!("--synthetic {n} makes more of them")
                    } else {
                        "a longer record has more".to_owned()
                    };
                    notes.push(format!(
                        "{n} winters were asked for, the record holds {available} whole ones: all of them are run; {more}"
                    ));
                }
                winters = spread(winters, n);
            }
            notes.push(meaning(&winters, typical));
        }
    }
    Ok(Chosen {
        winters,
        available,
        basis,
        notes,
    })
}

/// "1982/83 to 2017/18", or the only one.
fn span(winters: &[Winter]) -> String {
    match (winters.first(), winters.last()) {
        (Some(first), Some(last)) if winters.len() > 1 => {
            format!("{} to {}", first.label, last.label)
        }
        (Some(only), _) => only.label.clone(),
        _ => "none".to_owned(),
    }
}

/// Name of the winter with the lowest mean temperature.
#[must_use]
pub fn coldest(winters: &[Winter]) -> &str {
    winters
        .iter()
        .min_by(|a, b| trend::mean_c(a).total_cmp(&trend::mean_c(b)))
        .map_or("none", |w| w.label.as_str())
}

/// Which winter asked most of all colonies together, in words; nothing for a single winter.
#[must_use]
pub fn poorest(outcomes: &[WinterOutcome]) -> Option<String> {
    let eaten = |o: &WinterOutcome| o.colonies.iter().map(|c| c.eaten).sum::<f64>();
    let poorest = outcomes
        .iter()
        .max_by(|a, b| eaten(a).total_cmp(&eaten(b)))
        .filter(|_| outcomes.len() > 1)?;
    Some(format!(
        "the poorest of the winters run was {}: most honey was eaten in it",
        poorest.winter
    ))
}

/// What "9 winters in 10" means with real winters.
fn meaning(winters: &[Winter], typical: bool) -> String {
    let n = winters.len();
    if typical {
        return "one typical year says nothing about hard winters, and is often not like recent ones; --synthetic 19 spreads winters about it, by an assumed amount".to_owned();
    }
    if n < levels::FEWEST {
        return format!(
            "{n} {} too few to say what holds in 9 winters of 10 ({} needed)",
            if n == 1 { "winter is" } else { "winters are" },
            levels::FEWEST
        );
    }
    format!(
        "\"winters in 10\" are winters like the {n} of {}: the coldest of them was {}",
        span(winters),
        coldest(winters)
    )
}
