//! Draws: a winter with a set of colony parameters and a guess at the keeper's count of bees. The same draws go through every
//! hive that is compared, so that small differences are not lost among large ones (common random numbers).
//!
//! Winters and parameter sets are not crossed. Of S sets and W winters there are D = W ceil(S/W) draws: each has a set of its
//! own, and each winter comes D/W times, as rows of a Latin square would give it. The sets are in the random order of
//! their hypercube, so that no parameter goes with the years.

use crate::calendar::MonthDay;
use crate::climate::series::Winter;
use crate::colony::ensemble::{Set, calibrated};
use crate::colony::parameters::{ParameterError, Parameters};
use crate::hive::{self, HiveError, Resolution};
use crate::parallel::prelude::*;
use crate::random::Random;
use crate::season::outcome::{ColonyOutcome, WinterOutcome};
use crate::season::{HeatModel, PreparedHive, SeasonError, WinterRun};
use crate::stand::{Colony, Scenario};
use crate::water::WinterWater;
use serde::Serialize;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// Seed of the parameter sets (any number; fixed, so that the same question gets the same answer).
const SEED: u64 = 20;
/// Seed of the counts of bees.
const BEES_SEED: u64 = 7;
/// Of the sets drawn at first about so many times what is needed agree with the calibration; more are drawn when that is not enough.
const DRAWN_PER_KEPT: usize = 6;
/// A count of frames of bees is good to this share (trade notes: +/-30 %, common practice, no source).
pub const BEES_ERROR: f64 = 0.30;

/// One draw.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// Index of the winter.
    pub winter: usize,
    /// Parameters of its colonies.
    pub parameters: Arc<Parameters>,
    /// What the bees of each stack are multiplied with; missing ones count as 1.
    pub bees: Vec<f64>,
    /// Whether the winter is run again with just the honey it takes, which shows what stays out of reach ([`DrawOutcome::unreached`]).
    pub emptied: bool,
}

/// The parameter sets of a comparison.
#[derive(Debug, Clone, PartialEq)]
pub struct Sets {
    /// The sets, in the order drawn.
    pub sets: Vec<Set>,
    /// The same as parameters, the scenario's own values put over them.
    pub parameters: Vec<Arc<Parameters>>,
}

impl Sets {
    /// The first `n` sets that agree with the calibration (see [`crate::colony::ensemble`]); `own` are the scenario's values.
    ///
    /// # Errors
    /// A damaged table, or an own value that cannot be.
    pub fn draw(n: usize, own: &[(String, f64)]) -> Result<Self, ParameterError> {
        let mut tried = (DRAWN_PER_KEPT * n).max(60);
        let mut sets = calibrated(tried, SEED)?;
        while sets.len() < n {
            tried *= 2;
            sets = calibrated(tried, SEED)?;
        }
        sets.truncate(n);
        Self::over(&sets, own)
    }

    /// The same sets with a scenario's own values put over them.
    ///
    /// # Errors
    /// A damaged table, or an own value that cannot be.
    pub fn over(sets: &[Set], own: &[(String, f64)]) -> Result<Self, ParameterError> {
        let parameters = sets
            .iter()
            .map(|s| Parameters::with(&[s.as_slice(), own].concat()).map(Arc::new))
            .collect::<Result<_, _>>()?;
        Ok(Self {
            sets: sets.to_vec(),
            parameters,
        })
    }
}

/// Number of draws for so many winters and at least so many sets; 0 without winters.
#[must_use]
pub fn count(winters: usize, sets: usize) -> usize {
    winters * sets.div_ceil(winters.max(1))
}

/// Each winter once with the given parameters, and again with just the honey it takes.
#[must_use]
pub fn plain(winters: usize, parameters: &Arc<Parameters>) -> Vec<Draw> {
    (0..winters)
        .map(|winter| Draw {
            winter,
            parameters: Arc::clone(parameters),
            bees: Vec::new(),
            emptied: true,
        })
        .collect()
}

/// Each set once, the winters in turn.
#[must_use]
pub fn mixed(winters: usize, sets: &Sets) -> Vec<Draw> {
    sets.parameters
        .iter()
        .enumerate()
        .map(|(i, p)| Draw {
            winter: i % winters.max(1),
            parameters: Arc::clone(p),
            bees: Vec::new(),
            emptied: false,
        })
        .collect()
}

/// Each winter once with the given parameters, and with counts of bees that may be wrong by [`BEES_ERROR`], evenly: one
/// draw from each of as many parts of that range, shuffled for each stack apart.
#[must_use]
pub fn miscounted(winters: usize, stacks: usize, parameters: &Arc<Parameters>) -> Vec<Draw> {
    let mut all = plain(winters, parameters);
    all.iter_mut().for_each(|d| d.emptied = false);
    let mut random = Random(BEES_SEED);
    for _ in 0..stacks {
        let mut parts: Vec<usize> = (0..winters).collect();
        for i in (1..winters).rev() {
            parts.swap(i, random.below(i + 1));
        }
        for (draw, part) in all.iter_mut().zip(parts) {
            let u = (part as f64 + 0.5) / winters as f64;
            draw.bees.push(1.0 + BEES_ERROR * (2.0 * u - 1.0));
        }
    }
    all
}

/// What one draw did to one colony.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct DrawOutcome {
    /// Honey needed from the start date to first nectar, kg.
    pub need: f64,
    /// Honey the hive had, feeding included, kg.
    pub had: f64,
    /// Whether it starved.
    pub starved: bool,
    /// Whether that was beside honey.
    pub beside: bool,
    /// Honey it starved beside when the hive held just what the winter takes, kg; `None` when that was not run.
    pub unreached: Option<f64>,
    /// Hours of chill coma.
    pub chilled_hours: f64,
    /// Whether the cold alone killed it.
    pub too_cold: bool,
    /// Least heat in hand, K of colder air.
    pub heat_in_hand: f64,
    /// Bees on the start date as counted, kg.
    pub bees: f64,
    /// Bees at the end.
    pub bees_left: f64,
    /// Hours with flight.
    pub flight_hours: u32,
    /// Honey eaten while a feeder is on in autumn, and by the day of the last feed planned, kg ([`ColonyOutcome::eaten_while_fed`]).
    pub eaten_while_fed: [f64; 2],
    /// What became of the water of its bees.
    pub water: WinterWater,
}

impl DrawOutcome {
    fn of(
        o: &ColonyOutcome,
        emptied: Option<&ColonyOutcome>,
        p: &Parameters,
        fed: (&Colony, MonthDay),
    ) -> Self {
        let (colony, start) = fed;
        Self {
            need: o.eaten,
            had: o.put_in,
            starved: o.starved.is_some(),
            beside: o.starved.is_some_and(|s| s.beside_honey.is_some()),
            unreached: emptied.map(ColonyOutcome::starved_beside),
            chilled_hours: o.chilled_hours,
            too_cold: o.chilled_hours >= p.coma_lethal_h,
            heat_in_hand: o.weakest.heat_in_hand,
            bees: colony.bees,
            bees_left: o.bees_left,
            flight_hours: o.flight_hours,
            eaten_while_fed: o.eaten_while_fed(&colony.feeds, start),
            water: o.water.sums,
        }
    }

    /// Honey left over at first nectar, kg; negative is short.
    #[must_use]
    pub fn over(&self) -> f64 {
        self.had - self.need
    }
}

/// A hive stand that takes part, with the draws it is to go through.
pub struct ComparisonCase {
    /// The scenario.
    pub scenario: Scenario,
    /// Its winters.
    pub winters: Arc<Vec<Winter>>,
    /// Height above sea level, m.
    pub elevation: f64,
    /// The draws.
    pub draws: Vec<Draw>,
}

/// What can stop a comparison.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum DrawError {
    /// A hive that cannot be built.
    #[error(transparent)]
    Hive(#[from] HiveError),
    /// A damaged table of boundary data.
    #[error(transparent)]
    Boundary(#[from] crate::boundary::BoundaryError),
    /// A winter that could not be run.
    #[error(transparent)]
    Season(#[from] SeasonError),
}

/// Cases whose hives are alike, together, in the order in which they come.
pub(super) fn grouped<'a>(cases: impl Iterator<Item = &'a ComparisonCase>) -> Vec<Vec<usize>> {
    let mut groups: Vec<(&ComparisonCase, Vec<usize>)> = Vec::new();
    for (i, case) in cases.enumerate() {
        match groups.iter_mut().find(|(first, _)| same_hive(first, case)) {
            Some((_, group)) => group.push(i),
            None => groups.push((case, vec![i])),
        }
    }
    groups.into_iter().map(|(_, group)| group).collect()
}

/// Outcomes by draw, then by stack (`None` without a colony).
pub type DrawOutcomes = Vec<Vec<Option<DrawOutcome>>>;

/// Takes every case through its draws, on the network named. Cases whose hives are alike (only the colonies differ)
/// share one network. `done` is called after each winter. The order of the results is that of the cases and draws.
///
/// # Errors
/// The first failure in that order.
pub fn run(
    cases: &[ComparisonCase],
    (resolution, model): (Resolution, HeatModel),
    done: &(dyn Fn() + Sync),
    stop: &AtomicBool,
) -> Result<Vec<DrawOutcomes>, DrawError> {
    let groups = grouped(cases.iter());
    let mut drawn_outcomes: Vec<Option<Result<DrawOutcomes, DrawError>>> =
        cases.iter().map(|_| None).collect();
    // As many hives at a time as there are threads: each holds some tens of megabytes of places clusters have had.
    for chunk in groups.chunks(crate::parallel::current_num_threads().max(1)) {
        let found: Vec<Vec<(usize, Result<DrawOutcomes, DrawError>)>> = chunk
            .par_iter()
            .map(|group| one_hive(cases, group, (resolution, model), done, stop))
            .collect();
        for (i, f) in found.into_iter().flatten() {
            drawn_outcomes[i] = Some(f);
        }
        if stop.load(std::sync::atomic::Ordering::Relaxed) {
            return Err(SeasonError::Stopped.into());
        }
    }
    drawn_outcomes.into_iter().flatten().collect()
}

/// Whether one heat network does for both: everything but the colonies is the same.
pub(super) fn same_hive(a: &ComparisonCase, b: &ComparisonCase) -> bool {
    let bare = |s: &Scenario| {
        let mut s = s.clone();
        s.title.clear();
        s.stacks.iter_mut().for_each(|k| k.colony = None);
        (s.site, s.stacks, s.joints, s.materials, s.parameters)
    };
    a.elevation.total_cmp(&b.elevation).is_eq() && bare(&a.scenario) == bare(&b.scenario)
}

fn one_hive(
    cases: &[ComparisonCase],
    group: &[usize],
    (resolution, model): (Resolution, HeatModel),
    done: &(dyn Fn() + Sync),
    stop: &AtomicBool,
) -> Vec<(usize, Result<DrawOutcomes, DrawError>)> {
    let first = &cases[group[0]];
    let stand = hive::build(&first.scenario, resolution)
        .map_err(DrawError::from)
        .and_then(|h| Ok(PreparedHive::new(&first.scenario, h, first.elevation)?));
    let stand = match stand {
        Ok(s) => s,
        Err(e) => return vec![(group[0], Err(e))],
    };
    let jobs: Vec<(usize, usize)> = group
        .iter()
        .flat_map(|&e| (0..cases[e].draws.len()).map(move |d| (e, d)))
        .collect();
    let all: Vec<Result<Vec<Option<DrawOutcome>>, DrawError>> = jobs
        .par_iter()
        .map(|&(e, d)| {
            let case = &cases[e];
            let outcome = one_winter(case, &stand, &case.draws[d], model, stop);
            done();
            outcome
        })
        .collect();
    let mut all = all.into_iter();
    group
        .iter()
        .map(|&e| {
            let mine = all.by_ref().take(cases[e].draws.len());
            (e, mine.collect())
        })
        .collect()
}

fn one_winter(
    case: &ComparisonCase,
    stand: &PreparedHive,
    draw: &Draw,
    model: HeatModel,
    stop: &AtomicBool,
) -> Result<Vec<Option<DrawOutcome>>, DrawError> {
    let counted;
    let scenario = if draw.bees.is_empty() {
        &case.scenario
    } else {
        let mut s = case.scenario.clone();
        for (stack, factor) in s.stacks.iter_mut().zip(&draw.bees) {
            if let Some(c) = &mut stack.colony {
                c.bees *= factor;
            }
        }
        counted = s;
        &counted
    };
    let through = |scenario: &Scenario, model| -> Result<WinterOutcome, SeasonError> {
        WinterRun {
            scenario,
            stand,
            winter: &case.winters[draw.winter],
            parameters: &draw.parameters,
            stop,
        }
        .run(model, None)
    };
    let outcome = through(scenario, model)?;
    let emptied = if draw.emptied {
        let eaten: Vec<f64> = outcome.colonies.iter().map(|c| c.eaten).collect();
        // What is left behind is told closely enough by the reduced network, as in a run.
        Some(through(&scenario.with_stores(&eaten), HeatModel::Reduced)?)
    } else {
        None
    };
    let mut lived = outcome.colonies.iter().enumerate();
    Ok(scenario
        .stacks
        .iter()
        .map(|s| {
            let colony = s.colony.as_ref()?;
            lived.next().map(|(c, o)| {
                let again = emptied.as_ref().and_then(|e| e.colonies.get(c));
                let fed = (colony, scenario.season.start);
                DrawOutcome::of(o, again, &draw.parameters, fed)
            })
        })
        .collect())
}

#[cfg(test)]
mod tests;
