//! One file per subcommand; the only place that prints.

pub mod check;
pub mod climate;
pub mod compare;
pub mod completions;
mod files;
mod forms;
mod heater;
mod page;
pub mod parameters;
mod pictures;
pub mod rank;
mod reports;
pub mod run;
mod terminal;
pub mod update;
pub mod verify;
mod weather;
pub mod yard;

use partywall_core::answer::AnswerError;
use partywall_core::climate as climate_room;
use partywall_core::ensemble::winters::ChoiceError;
use partywall_core::problem::Problems;
use partywall_core::scenario;
use partywall_core::season::SeasonError;
use partywall_core::stand::Scenario;
use partywall_report::text;

/// Why a command ends without an answer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum Failure {
    /// The input files have problems.
    #[error(transparent)]
    Problems(#[from] Problems),
    /// The input cannot be used.
    #[error("{0}")]
    Input(String),
    /// The user stopped the run.
    #[error("stopped: nothing was written")]
    Stopped,
    /// Reading or writing failed.
    #[error(transparent)]
    Io(#[from] std::io::Error),
    /// Something that should not happen.
    #[error("{0}")]
    Fault(String),
}

impl From<serde_json::Error> for Failure {
    /// Writing failed, or what should be written is at fault.
    fn from(e: serde_json::Error) -> Self {
        if e.is_io() {
            Self::Io(e.into())
        } else {
            Self::Fault(e.to_string())
        }
    }
}

impl Failure {
    /// An error of the input.
    pub fn input(e: impl std::fmt::Display) -> Self {
        Self::Input(e.to_string())
    }

    /// An error of the program.
    pub fn fault(e: impl std::fmt::Display) -> Self {
        Self::Fault(e.to_string())
    }

    /// Exit code: 2 for input, 130 for a stopped run, 1 for the rest.
    #[must_use]
    pub fn code(&self) -> u8 {
        match self {
            Self::Problems(_) | Self::Input(_) => 2,
            Self::Stopped => 130,
            Self::Io(_) | Self::Fault(_) => 1,
        }
    }
}

/// Opens a scenario: its text, and what it reads as with its variants. A weather file given in its place is told apart from a scenario with
/// mistakes. Where it cannot be used, what is wrong with its weather (or with that named in its
/// place) is told along with it, so that it does not come up only when the rest is mended.
fn open_family(
    word: &str,
    weather: Option<&str>,
) -> Result<(scenario::Source, scenario::Family), Failure> {
    let read = crate::files::open_source(word).and_then(|s| match s.family() {
        Ok(f) => Ok((s, f)),
        Err(mut problems) => {
            problems.0.extend(of_weather(&s, weather));
            Err(problems)
        }
    });
    read.map_err(|problems| {
        let known = crate::files::weather::format_of(std::path::Path::new(word));
        match known {
            Some(format) => {
                Failure::Input(text!("program.weather_file_not_scenario", word, format))
            }
            None => Failure::Problems(problems),
        }
    })
}

/// What is wrong with the weather file of a scenario.
fn of_weather(
    source: &scenario::Source,
    named: Option<&str>,
) -> Vec<partywall_core::problem::Problem> {
    let Some((own, site)) = source.weather() else {
        return Vec::new();
    };
    let choice = named.map_or(own, climate_room::choose);
    match crate::files::weather::load_at(&choice, &site.station()) {
        Ok(_) => Vec::new(),
        Err(p) => p.0,
    }
}

/// Sets how many threads are used. Fails only if a pool exists already; the answer does not depend on it.
fn threads(n: Option<u16>) {
    if let Some(n) = n {
        let _ = rayon::ThreadPoolBuilder::new()
            .num_threads(n.into())
            .build_global();
    }
}

/// Opens a scenario, with other weather if it is named; warnings go to `err`.
fn scenario_with(
    word: &str,
    weather: Option<&str>,
    err: &mut dyn std::io::Write,
    colour: bool,
) -> Result<(scenario::Source, scenario::Loaded), Failure> {
    let (source, family) = open_family(word, weather)?;
    let mut loaded = family.base;
    let warnings = partywall_report::problems::render(&loaded.warnings, colour);
    write!(err, "{warnings}")?;
    under(&mut loaded.scenario, weather);
    Ok((source, loaded))
}

/// Puts a scenario under the weather named, if one is.
fn under(scenario: &mut Scenario, weather: Option<&str>) {
    if let Some(word) = weather {
        scenario.climate = climate_room::choose(word);
    }
}

impl From<AnswerError> for Failure {
    fn from(e: AnswerError) -> Self {
        match e {
            AnswerError::Problems(p) => Self::Problems(p),
            AnswerError::Stopped => Self::Stopped,
            e if e.is_input() => Self::input(e),
            e => Self::fault(e),
        }
    }
}

impl From<SeasonError> for Failure {
    fn from(e: SeasonError) -> Self {
        AnswerError::from(e).into()
    }
}

impl From<ChoiceError> for Failure {
    fn from(e: ChoiceError) -> Self {
        AnswerError::from(e).into()
    }
}
