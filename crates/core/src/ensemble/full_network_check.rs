//! Hives of a contest held against the full network, each stand that differs in heat once.

use super::draws::{ComparisonCase, DrawError, DrawOutcome, grouped};
use crate::colony::parameters::Parameters;
use crate::ensemble::{CheckWindow, sets_the_answer};
use crate::hive::{self, Resolution};
use crate::parallel::prelude::*;
use crate::season::{Comparison, HeatModel, PreparedHive, WinterRun};
use serde::Serialize;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// A hive that may be held against the full network.
#[derive(Clone)]
pub struct Candidate<'a> {
    /// Its name.
    pub name: String,
    /// The hive with its winters.
    pub case: &'a ComparisonCase,
    /// Index of the winter in which it is held ([`poor_winter`]).
    pub winter: usize,
    /// Parameters of its colonies.
    pub parameters: Arc<Parameters>,
}

/// One stand held against the full network.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Held {
    /// The hives it speaks for: alike in all that matters to heat.
    pub hives: Vec<String>,
    /// Unknowns of the full network.
    pub unknowns: usize,
    /// The differences; `None` where the winter is too short to compare an hour.
    pub check: Option<Comparison>,
    /// Whether they are within bounds ([`Comparison::holds`]).
    pub holds: bool,
}

/// Index of the winter that sets the answer at a level (share of winters), by the outcomes in each winter; `None` without winters.
#[must_use]
pub fn poor_winter(plain: &[Vec<Option<DrawOutcome>>], level: f64) -> Option<usize> {
    let eaten = |f: &Vec<Option<DrawOutcome>>| f.iter().flatten().map(|f| f.need).sum::<f64>();
    let eaten: Vec<f64> = plain.iter().map(eaten).collect();
    sets_the_answer(&eaten, level)
}

/// Candidates that one heat network does for, together, in the order in which they come.
#[must_use]
pub fn alike(candidates: &[Candidate<'_>]) -> Vec<Vec<usize>> {
    grouped(candidates.iter().map(|c| c.case))
}

/// Holds the first of each group of candidates that are alike against the full network, on a grid as fine as `resolution`; `done` is called
/// after each. The order is that of the groups.
///
/// # Errors
/// The first failure in that order.
pub fn hold(
    candidates: &[Candidate<'_>],
    resolution: Resolution,
    stretch: CheckWindow,
    done: &(dyn Fn() + Sync),
    stop: &AtomicBool,
) -> Result<Vec<Held>, DrawError> {
    let groups = alike(candidates);
    let all: Vec<Result<Held, DrawError>> = groups
        .par_iter()
        .map(|group| {
            let c = &candidates[group[0]];
            let scenario = &c.case.scenario;
            let hive = hive::build(scenario, resolution)?;
            let stand = PreparedHive::new(scenario, hive, c.case.elevation)?;
            let winter_run = WinterRun {
                scenario,
                stand: &stand,
                winter: &c.case.winters[c.winter],
                parameters: &c.parameters,
                stop,
            };
            let check = winter_run.check(&winter_run.run(HeatModel::Reduced, None)?, stretch)?;
            done();
            Ok(Held {
                hives: group.iter().map(|i| candidates[*i].name.clone()).collect(),
                unknowns: stand.hive.network.n(),
                holds: check.as_ref().is_none_or(Comparison::holds),
                check,
            })
        })
        .collect();
    all.into_iter().collect()
}
