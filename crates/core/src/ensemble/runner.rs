//! Many winters of several hive arrangements, in parallel; the order of the results does not depend on it.

use crate::climate::series::Winter;
use crate::colony::parameters::Parameters;
use crate::parallel::prelude::*;
use crate::season::outcome::WinterOutcome;
use crate::season::{HeatModel, PreparedHive, SeasonError, WinterRun};
use crate::stand::Scenario;
use std::sync::atomic::AtomicBool;

/// One arrangement of a hive stand.
pub struct Arrangement {
    /// The scenario.
    pub scenario: Scenario,
    /// Its hive, prepared.
    pub stand: PreparedHive,
}

/// Runs every arrangement through every winter. `done` is called after each; outcomes come as `[arrangement][winter]`.
///
/// # Errors
/// The first failure in that order.
pub fn run_all(
    arrangements: &[Arrangement],
    winters: &[Winter],
    parameters: &Parameters,
    model: HeatModel,
    done: &(dyn Fn() + Sync),
    stop: &AtomicBool,
) -> Result<Vec<Vec<WinterOutcome>>, SeasonError> {
    let jobs: Vec<(usize, usize)> = (0..arrangements.len())
        .flat_map(|a| (0..winters.len()).map(move |w| (a, w)))
        .collect();
    let outcomes: Vec<Result<WinterOutcome, SeasonError>> = jobs
        .par_iter()
        .map(|&(a, w)| {
            let Arrangement { scenario, stand } = &arrangements[a];
            let winter_run = WinterRun {
                scenario,
                stand,
                winter: &winters[w],
                parameters,
                stop,
            };
            let outcome = winter_run.run(model, None);
            done();
            outcome
        })
        .collect();
    let mut outcomes = outcomes.into_iter();
    (0..arrangements.len())
        .map(|_| outcomes.by_ref().take(winters.len()).collect())
        .collect()
}

/// Picks `count` winters that stand for all of them by how cold they are: with M winters ordered by mean temperature,
/// those at the ranks `i (M + 1)/(count + 1)`, so that a level by rank means the same in the sample as in the whole record.
/// They come in their own order.
#[must_use]
pub fn spread(winters: Vec<Winter>, count: usize) -> Vec<Winter> {
    if count >= winters.len() {
        return winters;
    }
    let mean =
        |w: &Winter| w.hours.iter().map(|h| h.outdoor_c).sum::<f64>() / w.hours.len().max(1) as f64;
    let mut order: Vec<usize> = (0..winters.len()).collect();
    order.sort_by(|&a, &b| {
        mean(&winters[a])
            .total_cmp(&mean(&winters[b]))
            .then(a.cmp(&b))
    });
    let step = (winters.len() + 1) as f64 / (count + 1) as f64;
    let mut keep: Vec<usize> = (1..=count)
        .filter_map(|i| {
            order
                .get(((i as f64 * step).round() as usize).saturating_sub(1))
                .copied()
        })
        .collect();
    keep.sort_unstable();
    winters
        .into_iter()
        .enumerate()
        .filter(|(i, _)| keep.binary_search(i).is_ok())
        .map(|(_, w)| w)
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn winter(i: usize) -> Winter {
        let start = jiff::civil::date(2000, 10, 1);
        Winter::dark(&i.to_string(), start, std::iter::once(i as f64))
    }

    /// Catches a choice that doubles a winter, loses one, or leans to one end.
    #[test]
    fn nine_of_thirty_six_stand_for_all() {
        let chosen = spread((0..36).map(winter).collect(), 9);
        let labels: Vec<&str> = chosen.iter().map(|w| w.label.as_str()).collect();
        assert_eq!(labels, ["3", "6", "10", "14", "18", "21", "25", "29", "32"]);
        assert_eq!(spread((0..4).map(winter).collect(), 9).len(), 4);
        assert_eq!(spread((0..7).map(winter).collect(), 1)[0].label, "3");
    }
}
