//! The reduced heat network behind the runs held against the full one.

use crate::answer::AnswerError;
use crate::climate::series::Winter;
use crate::ensemble::members::{Draw, Member, counted_anew};
use crate::ensemble::{CheckWindow, sets_the_answer};
use crate::season::{Comparison, HeatModel, PreparedHive, WinterRun};
use crate::stand::Scenario;
use std::sync::atomic::AtomicBool;

/// Holds the reduced network against the full one in the run that eats as much as the level asks for, with its own winter, bees and
/// parameters, as `run` does in its winter. `None` without colonies.
///
/// # Errors
/// A winter that cannot be run, Ctrl-C.
pub(super) fn check(
    scenario: &Scenario,
    stand: &PreparedHive,
    winters: &[Winter],
    (draws, members): (&[Draw], &[Vec<Member>]),
    stretch: CheckWindow,
    stop: &AtomicBool,
) -> Result<Option<Comparison>, AnswerError> {
    let eaten: Vec<f64> = (0..draws.len())
        .map(|d| {
            let of_draw = members.iter().filter_map(|m| m.get(d)?.eaten.last());
            of_draw.sum()
        })
        .collect();
    let Some(draw) = sets_the_answer(&eaten, scenario.level).and_then(|d| draws.get(d)) else {
        return Ok(None);
    };
    let winter_run = WinterRun {
        scenario: &counted_anew(scenario, draw),
        stand,
        winter: &winters[draw.winter],
        parameters: &draw.parameters,
        stop,
    };
    Ok(winter_run.check(&winter_run.run(HeatModel::Reduced, None)?, stretch)?)
}
