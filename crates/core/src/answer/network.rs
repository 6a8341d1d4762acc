//! Which heat network carried an answer, and how the reduced one was held against the full one.

use crate::ensemble::full_network_check::Held;
use crate::season::{Comparison, HeatModel};
use serde::Serialize;

/// The heat network behind a run.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Network {
    /// "full" or "reduced".
    pub kind: &'static str,
    /// Unknowns of the full network.
    pub unknowns: usize,
    /// The reduced network held against the full one, if it was.
    pub check: Option<Comparison>,
    /// Whether a first check was too far off, so that all winters were gone over once more with cluster places half as far apart; `check` is
    /// the second one then.
    pub refined: bool,
    /// Whether the check made the program go back to the full network.
    pub fell_back: bool,
}

/// The heat network behind a contest of several hives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Networks {
    /// "full" or "reduced".
    pub kind: &'static str,
    /// Stands that differ in heat, the hives as written among them.
    pub stands: usize,
    /// The check of the stand that is furthest off, if any was checked.
    pub check: Option<Comparison>,
    /// Each stand that was held against the full network.
    pub checks: Vec<Held>,
}

/// Name of the full network.
pub const FULL: &str = "full";
/// Name of the reduced one.
pub const REDUCED: &str = "reduced";

/// Name of the network that carries a winter.
#[must_use]
pub fn name(model: HeatModel) -> &'static str {
    match model {
        HeatModel::Full(_) => FULL,
        HeatModel::Reduced => REDUCED,
    }
}

impl Networks {
    /// Of the reduced network with what was held against the full one, of so many stands that differ in heat; of the full one with nothing.
    #[must_use]
    pub fn new(kind: &'static str, stands: usize, checks: Vec<Held>) -> Self {
        let found = checks.iter().filter_map(|h| h.check.as_ref());
        let worst = found.max_by(|a, b| a.of_bound().total_cmp(&b.of_bound()));
        Self {
            kind,
            stands,
            check: worst.cloned(),
            checks,
        }
    }
}
