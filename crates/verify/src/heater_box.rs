//! The electric heater in an empty box: how keepers measure a hive, and a check on ours that nothing here was fitted to.

use thiserror::Error;

use super::{Check, Evidence};
use partywall_core::answer::{AnswerError, heated_boxes};
use partywall_core::hive::Resolution;
use partywall_core::problem::Problems;
use partywall_core::scenario::built_in;
use partywall_core::stand::Scenario;

/// Published conductance of the box, colder room (21.7 degC inside, 5.7 outside at 12.5 W), W/K.
const COLDER_ROOM: f64 = 0.78;
/// The same in the warmer room (31.0 and 16.4 degC), W/K.
const WARMER_ROOM: f64 = 0.86;
/// Share by which the published box may differ: its inside size and the depth of its quilt are not stated.
const ALLOWANCE: f64 = 0.20;
/// Where the figures come from.
const SOURCE: &str =
    "heater test in an empty two-box top-bar hive, 25 mm larch, quilt of planer shavings, 12.5 W";

/// What can keep the check from running.
#[derive(Debug, Error)]
#[non_exhaustive]
pub enum HeaterBoxError {
    /// The shipped scenario does not read.
    #[error("the shipped scenario of the heated box does not read: {0}")]
    Scenario(#[from] Problems),
    /// The box cannot be built or solved.
    #[error(transparent)]
    Answer(#[from] AnswerError),
    /// The scenario has no heater in it.
    #[error("the shipped scenario of the heated box has no heater")]
    NoHeater,
}

/// Conductance of a heated box to the room around it, W/K: power over the rise of the air in the heated box, with still
/// indoor air on every face.
///
/// # Errors
/// A scenario without heater, or one that cannot be built or solved.
pub fn conductance(s: &Scenario, resolution: Resolution) -> Result<f64, HeaterBoxError> {
    let found = heated_boxes(s, resolution)?;
    let first = found.heaters.first().ok_or(HeaterBoxError::NoHeater)?;
    Ok(first.w_per_k)
}

/// The published box against ours, in both rooms. The model is linear, so it has one answer for both.
///
/// # Errors
/// As [`conductance`], and if the shipped scenario does not read.
pub fn checks() -> Result<Vec<Check>, HeaterBoxError> {
    let s = built_in("heater-box")?.scenario;
    let got = conductance(&s, Resolution::Normal)?;
    let check = |id, what: &str, expected: f64| {
        Check::new(
            id,
            what,
            (expected, got, ALLOWANCE * expected),
            "W/K",
            (SOURCE, Evidence::Published),
        )
    };
    Ok(vec![
        check(
            "heater-box-cold",
            "conductance of an empty heated box, room at 5.7 degC",
            COLDER_ROOM,
        ),
        check(
            "heater-box-warm",
            "conductance of an empty heated box, room at 16.4 degC",
            WARMER_ROOM,
        ),
    ])
}
