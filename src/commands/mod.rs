//! One file per subcommand; the only place that prints.

pub mod check;
pub mod climate;
mod files;
mod heater;
mod page;
pub mod parameters;
mod pictures;
pub mod run;
pub mod verify;

use crate::climate as climate_room;
use crate::diagnostic::Problems;
use crate::ensemble::winters::ChoiceError;
use crate::scenario;
use crate::season::SeasonError;

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

/// Opens a scenario; a weather file given in its place is told apart from a scenario with mistakes.
fn open_scenario(word: &str) -> Result<scenario::Loaded, Failure> {
    scenario::open(word).map_err(|problems| {
        let known = climate_room::format_of(std::path::Path::new(word));
        match known {
            Some(format) => Failure::Input(format!(
                "{word}: this is a weather file ({format}), not a scenario\n\
                 try `partywall climate {word}` to see what is in it, or `partywall run SCENARIO --climate {word}`"
            )),
            None => Failure::Problems(problems),
        }
    })
}

impl From<ChoiceError> for Failure {
    fn from(e: ChoiceError) -> Self {
        match e {
            ChoiceError::Record(problems) => Self::Problems(problems),
            other => Self::input(other),
        }
    }
}

impl From<SeasonError> for Failure {
    fn from(e: SeasonError) -> Self {
        match e {
            SeasonError::Stopped => Self::Stopped,
            other => Self::fault(other),
        }
    }
}

impl From<anyhow::Error> for Failure {
    fn from(e: anyhow::Error) -> Self {
        let e = match e.downcast::<Problems>() {
            Ok(p) => return Self::Problems(p),
            Err(e) => e,
        };
        match e.downcast::<std::io::Error>() {
            Ok(io) => Self::Io(io),
            Err(e) => Self::Fault(format!("{e:#}")),
        }
    }
}
