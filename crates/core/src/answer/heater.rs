//! A stand without colonies: how warm its heaters keep it.

use super::AnswerError;
use crate::heat::{Drive, Film, LinearSolver, steady};
use crate::hive::{self, Resolution};
use crate::stand::Scenario;
use serde::Serialize;

/// Version of the JSON result; raised when a field changes its meaning or goes.
pub const SCHEMA: &str = "partywall-heater/1";
/// Surface resistance of a box in a room, m2K/W: still indoor air (ISO 6946, horizontal heat flow).
const INDOOR_RESISTANCE: f64 = 0.13;

/// How warm the heaters of a stand keep their boxes.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HeaterResult {
    /// Each heater.
    pub heaters: Vec<HeatedBox>,
    /// [`SCHEMA`].
    pub schema: &'static str,
}

/// One heater and the air of its box.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct HeatedBox {
    /// Air of the box above that of the room, K.
    pub above_room_k: f64,
    /// Power of the heater, W.
    pub power_w: f64,
    /// Conductance of the box, W/K.
    pub w_per_k: f64,
}

/// How warm all heaters together keep their boxes in a still room, as keepers measure a box.
///
/// # Errors
/// A hive that cannot be built, or one without a heater.
pub fn heated_boxes(s: &Scenario, resolution: Resolution) -> Result<HeaterResult, AnswerError> {
    let hive = hive::build(s, resolution)?;
    let heaters = hive.heaters();
    if heaters.is_empty() {
        return Err(AnswerError::NothingHeated);
    }
    // Room air at 0 degC.
    let room = Film {
        h: 1.0 / INDOOR_RESISTANCE,
        t: 0.0,
    };
    let mut drive = Drive::uniform(&hive.network, room);
    for &(node, power) in &heaters {
        drive.power[node] += power;
    }
    let t = steady(&hive.network, &drive, LinearSolver::TO_ROUNDING)?.t;
    let heated = heaters.into_iter().map(|(node, power)| HeatedBox {
        above_room_k: t[node],
        power_w: power,
        w_per_k: power / t[node],
    });
    Ok(HeaterResult {
        heaters: heated.collect(),
        schema: SCHEMA,
    })
}
