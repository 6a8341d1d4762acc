//! What a winter asks of a heat model, be it the full network or the reduced one.

use super::outcome::SolverReport;
use super::place::Place;
use super::stand_air::{MovingAir, Stream};
use crate::boundary::VentParams;
use crate::heat::{Film, HeatError};

/// What drives the network during an hour.
#[derive(Debug, Clone, PartialEq)]
pub struct HourlyForcing {
    /// Film of each patch.
    pub films: Vec<Film>,
    /// Exchange of each of the stand's ports with outside air, W/K.
    pub exchange: Vec<f64>,
    /// Streams between ports.
    pub streams: Vec<Stream>,
    /// The air of each stack.
    pub air: Vec<MovingAir>,
    /// Heat that water sets free at each port, W; less than nothing where it takes heat.
    pub warms: Vec<f64>,
    /// Vapour pressure of outside air, Pa.
    pub vapour: f64,
    /// How air passes openings and cracks.
    pub vents: VentParams,
    /// Outside air, degC.
    pub outdoor_c: f64,
    /// Wind in front of the hives, m/s.
    pub wind: f64,
}

/// The hive around its clusters.
pub(super) trait Surroundings {
    /// Sets how full the fill zones are, 0 to 1; temperatures stay as they are.
    fn fill(&mut self, fill: &[f64]) -> Result<(), HeatError>;

    /// Temperature a cluster would find there now, without heat of its own, degC.
    fn probe(&self, place: Place) -> Result<f64, HeatError>;

    /// Puts cluster `i` there; new clusters come in order.
    fn place(&mut self, i: usize, place: Place) -> Result<(), HeatError>;

    /// Kelvins around cluster `i` per watt of cluster `j`, all settled.
    fn settled(&self, i: usize, j: usize) -> f64;

    /// Lets an hour pass with the clusters giving `flow` watts each.
    fn step(&mut self, now: &HourlyForcing, flow: &[f64]) -> Result<(), HeatError>;

    /// Temperature around cluster `i` at the end of the hour, degC.
    fn around(&self, i: usize) -> f64;

    /// Kelvins around cluster `i` at the end of the hour per watt of cluster `j` during it.
    fn response(&self, i: usize, j: usize) -> f64;

    /// Puts other heats in place of those of the hour's [`Surroundings::step`] and ends the hour.
    fn correct(&mut self, flow: &[f64]) -> Result<(), HeatError>;

    /// Gradient of temperature over each cluster's surface now, K/m.
    fn gradients(&mut self, out: &mut [[f64; 3]]);

    /// Temperatures of the stand's ports, degC.
    fn ports(&mut self, t: &mut Vec<f64>);

    /// Temperatures of the inner surfaces, degC.
    fn surfaces(&mut self, t: &mut Vec<f64>);

    /// Counts and residuals so far.
    fn report(&self) -> SolverReport;
}
