//! Why there is no answer.

use crate::boundary::BoundaryError;
use crate::colony::parameters::ParameterError;
use crate::ensemble::draws::DrawError;
use crate::ensemble::winters::ChoiceError;
use crate::heat::HeatError;
use crate::hive::HiveError;
use crate::problem::Problems;
use crate::season::SeasonError;

/// Why there is no answer.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum AnswerError {
    /// The input has problems, each at its place.
    #[error(transparent)]
    Problems(#[from] Problems),
    /// No such winters.
    #[error(transparent)]
    Choice(ChoiceError),
    /// A hive that cannot be built.
    #[error(transparent)]
    Hive(#[from] HiveError),
    /// Hives of a comparison that cannot be built, with their names.
    #[error("{}", .0.iter().map(|(name, e)| format!("{name}: {e}")).collect::<Vec<_>>().join("\n"))]
    Hives(Vec<(String, HiveError)>),
    /// A parameter that cannot be.
    #[error(transparent)]
    Parameter(#[from] ParameterError),
    /// No hive is given.
    #[error("there is nothing to compare")]
    NothingToCompare,
    /// Hives under different weather.
    #[error(
        "{name} stands under other weather than the first: differences would be those of the weather\n\
         try --climate with one record for all"
    )]
    OtherWeather {
        /// The hive.
        name: String,
    },
    /// A comparison of a hive without bees.
    #[error(
        "{name} has no colony: there is no honey to compare\ntry `partywall run` for a heated box"
    )]
    NoHoney {
        /// The hive.
        name: String,
    },
    /// No colony at all.
    #[error("this scenario has no colony: {asked}")]
    NoColony {
        /// What it was asked for.
        asked: &'static str,
    },
    /// A stand with neither bees nor a heater.
    #[error("this scenario has neither a colony nor a heater: there is nothing to run")]
    NothingHeated,
    /// Seasons that no winter holds.
    #[error(
        "the seasons of these hives fill the year: no winter holds them all\ntry seasons that are nearer to each other"
    )]
    SeasonsFillYear,
    /// No weighing.
    #[error("no weighing is given")]
    NoWeighing,
    /// The caller stopped the work.
    #[error("stopped: nothing was written")]
    Stopped,
    /// A winter that could not be run: a fault of the program.
    #[error(transparent)]
    Season(SeasonError),
    /// A damaged table of the program.
    #[error(transparent)]
    Boundary(#[from] BoundaryError),
    /// A network that could not be reduced: a fault of the program.
    #[error(transparent)]
    Heat(#[from] HeatError),
    /// The winters chosen do not hold a season: a fault of the program.
    #[error("the winters chosen do not hold the season from {start} to {end}")]
    Incomplete {
        /// First day.
        start: String,
        /// Last day.
        end: String,
    },
    /// No winter could be run for a hive: a fault of the program.
    #[error("no winter could be run for this hive")]
    NoRun,
}

impl AnswerError {
    /// Whether the input is at fault, not the program.
    #[must_use]
    pub fn is_input(&self) -> bool {
        !matches!(
            self,
            Self::Stopped
                | Self::Season(_)
                | Self::Boundary(_)
                | Self::Heat(_)
                | Self::Incomplete { .. }
                | Self::NoRun
        )
    }
}

impl From<SeasonError> for AnswerError {
    fn from(e: SeasonError) -> Self {
        match e {
            SeasonError::Stopped => Self::Stopped,
            other => Self::Season(other),
        }
    }
}

impl From<ChoiceError> for AnswerError {
    fn from(e: ChoiceError) -> Self {
        match e {
            ChoiceError::Record(problems) => Self::Problems(problems),
            other => Self::Choice(other),
        }
    }
}

impl From<DrawError> for AnswerError {
    fn from(e: DrawError) -> Self {
        match e {
            DrawError::Hive(h) => Self::Hive(h),
            DrawError::Season(s) => Self::from(s),
            DrawError::Boundary(b) => Self::Boundary(b),
        }
    }
}
