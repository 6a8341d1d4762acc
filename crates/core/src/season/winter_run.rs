//! A winter to be run, how it is to be solved, and what can stop it.

use super::prepared_hive::PreparedHive;
use crate::climate::series::Winter;
use crate::colony::parameters::Parameters;
use crate::colony::stores::StoresError;
use crate::heat::{HeatError, Scheme};
use crate::stand::Scenario;
use std::sync::atomic::AtomicBool;

/// What can stop a winter.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SeasonError {
    /// The heat network could not be solved.
    #[error("the heat network could not be solved in winter {winter}: {source}")]
    Heat {
        /// Winter's label.
        winter: String,
        /// What went wrong.
        source: HeatError,
    },
    /// A result is not a number: a fault of the program, not of the input.
    #[error("winter {winter}, hour {hour}: the temperature around a cluster is not a number")]
    NotANumber {
        /// Winter's label.
        winter: String,
        /// Hour from the winter's start.
        hour: usize,
    },
    /// The combs and their honey do not agree: a fault of the program, for the scenario was checked.
    #[error("the combs of winter {winter}: {source}")]
    Stores {
        /// Winter's label.
        winter: String,
        /// What is wrong.
        source: StoresError,
    },
    /// The user stopped the run.
    #[error("stopped")]
    Stopped,
}

/// How a winter is to be solved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Method {
    /// Time integration.
    pub scheme: Scheme,
    /// Temperature error allowed per solve, K.
    pub tolerance: f64,
}

impl Method {
    /// TR-BDF2 to a tenth of a millikelvin: far below what an hour of weather is known to.
    pub const CAREFUL: Self = Self {
        scheme: Scheme::TrBdf2,
        tolerance: 1e-4,
    };
    /// TR-BDF2 to a millikelvin: for holding the reduced network against the full one, and for the coarse grid.
    pub const HOURLY: Self = Self {
        scheme: Scheme::TrBdf2,
        tolerance: 1e-3,
    };
}

/// Which heat network carries a winter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HeatModel {
    /// The full network.
    Full(Method),
    /// The reduced one.
    Reduced,
}

/// A winter to be run: one stand, one winter's weather, one set of parameters.
#[derive(Clone, Copy)]
pub struct WinterRun<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Its hive, prepared.
    pub stand: &'a PreparedHive,
    /// The weather.
    pub winter: &'a Winter,
    /// The colony's parameters.
    pub parameters: &'a Parameters,
    /// Set to stop.
    pub stop: &'a AtomicBool,
}

impl WinterRun<'_> {
    pub(super) fn heat(&self, source: HeatError) -> SeasonError {
        SeasonError::Heat {
            winter: self.winter.label.clone(),
            source,
        }
    }

    pub(super) fn stores(&self, source: StoresError) -> SeasonError {
        SeasonError::Stores {
            winter: self.winter.label.clone(),
            source,
        }
    }
}
