//! What a hive of the scenario can weigh.

use crate::decision::reading::{WET, lift_error, tare_error};
use crate::problem::{Problem, Severity};
use crate::scenario::log::Weighing;
use crate::stand::plausible::Weights;
use crate::stand::{Colony, Scenario, Stack};

/// What is wrong with a reading below the empty hive's own weight, or above that with all combs full of honey, errors allowed for: stores
/// cannot be less than nothing, nor more than the combs hold.
pub(super) fn weight_problem(w: &Weighing, s: &Scenario) -> Option<Problem> {
    let stack = s.stacks.iter().find(|k| k.name == w.hive)?;
    let colony = stack.colony.as_ref()?;
    let weights = weights(stack, colony);
    let full = weights.band()[1];
    let what = if w.gross < weights.tare - weights.tare_error {
        format!("is less than the empty hive weighs, {:.1} kg", weights.tare)
    } else if w.gross > full + weights.tare_error + lift_error(w.lift, weights.holds).0 + WET {
        format!("is more than the hive weighs with all combs full of honey, {full:.1} kg")
    } else {
        return None;
    };
    let slip = weights.other_unit(w.gross, w.lifts.pounds);
    Some(Problem {
        severity: Severity::Error,
        code: "weight_not_plausible",
        file: w.origin.reading.0.clone(),
        place: w.origin.reading.1.clone(),
        what: format!("{} on {}: {:.1} kg {what}", w.hive, w.date, w.gross),
        expected: Some("the weight of the hive with bees and stores, front and back added".into()),
        help: Some(slip.unwrap_or_else(|| {
            "look at the reading, at how it was lifted, and at the tare in the scenario".into()
        })),
    })
}

/// What a hive of the scenario can weigh.
#[must_use]
pub fn weights(stack: &Stack, colony: &Colony) -> Weights {
    let scale = &colony.scale;
    Weights::of(
        &stack.boxes,
        scale.tare,
        tare_error(scale.tare_source),
        colony.bees + colony.pollen,
    )
}
