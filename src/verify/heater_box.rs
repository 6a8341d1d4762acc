//! A measured box: a heater of known power in an empty two-box top-bar hive, built as a scenario like any other.

use super::{Check, Evidence, VerifyError};
use crate::heat::{LinearSolver, steady};
use crate::hive::{self, Resolution};
use crate::scenario;

/// Surface resistance of a still room on every face, m2K/W (ISO 6946, horizontal heat flow).
const ROOM: f64 = 0.13;

/// Heat per degree between the heated box's air and the room, W/K, on the normal grid.
///
/// # Errors
/// A built-in scenario that cannot be read or built.
pub fn conductance() -> Result<f64, VerifyError> {
    let s = scenario::built_in("heater-box")?.scenario;
    let hive = hive::build(&s, Resolution::Normal)?;
    let drive = hive.drive(1.0 / ROOM, 0.0);
    let t = steady(&hive.network, &drive, LinearSolver::Cholesky)?.t;
    Ok(hive
        .stacks
        .iter()
        .filter_map(|stack| stack.heater)
        .map(|(node, power)| power / t[node])
        .sum())
}

/// The two published measurements.
///
/// # Errors
/// As [`conductance`].
pub fn checks() -> Result<Vec<Check>, VerifyError> {
    let got = conductance()?;
    let check = |id, expected, what: &str| Check {
        id,
        what: what.to_owned(),
        expected,
        got,
        tolerance: 0.2 * expected,
        unit: "W/K",
        source: "keeper's heater test, 12.5 W in an empty two-box top-bar hive of 25 mm larch",
        evidence: Evidence::Published,
    };
    Ok(vec![
        check(
            "heater-box-garage",
            0.78,
            "empty heated box, unheated garage (21.7 / 5.7 degC)",
        ),
        check(
            "heater-box-room",
            0.86,
            "empty heated box, cool room (31.0 / 16.4 degC)",
        ),
    ])
}
