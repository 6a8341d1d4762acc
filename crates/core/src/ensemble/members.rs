//! Winters run with parameters and counts of bees that are not known exactly: what a weighing is held against.

use crate::calendar::days_between;
use crate::climate::series::Winter;
use crate::colony::ensemble::{Set, calibrated};
use crate::colony::feeding::{Feed, appetite};
use crate::colony::parameters::{ParameterError, Parameters};
use crate::parallel::prelude::*;
use crate::season::outcome::BROOD_CELL;
use crate::season::trace::Trace;
use crate::season::{HeatModel, PreparedHive, SeasonError, WinterRun};
use crate::stand::{Colony, Scenario};
use std::sync::atomic::AtomicBool;

/// Share by which a count of frames of bees may be wrong, either way; of a weight of bees.
const BEES: (f64, f64) = (0.3, 0.1);
/// Golden ratio less one: multiples of it, less their whole part, fill 0 to 1 evenly.
const GOLDEN: f64 = 0.618_033_988_749_895;

/// One winter run with one set of parameters, for one colony.
#[derive(Debug, Clone, PartialEq)]
pub struct Member {
    /// Honey eaten up to the end of each day, kg, whether or not there was so much.
    pub eaten: Vec<f64>,
    /// Weight of bees and brood at the end of each day, kg.
    pub bees: Vec<f64>,
    /// Stores put in by feeding up to the end of each day beyond those of the start, kg.
    pub fed: Vec<f64>,
    /// Day on which it starved beside honey it could not reach, and that honey, kg.
    pub isolated: Option<(usize, f64)>,
}

/// One draw: a winter, a set of parameters, and how much the bees differ from the count.
#[derive(Debug, Clone, PartialEq)]
pub struct Draw {
    /// Index of the winter.
    pub winter: usize,
    /// The set.
    pub parameters: Parameters,
    /// Where in its range the count of bees lies, 0 to 1, one half as counted.
    pub bees: f64,
}

/// `n` draws over `winters` winters. Parameters the keeper set stay as set. The same seed gives the same draws.
///
/// # Errors
/// A damaged parameter table, or a parameter of the keeper's outside its range.
pub fn draws(
    winters: usize,
    n: usize,
    seed: u64,
    kept: &[(String, f64)],
) -> Result<Vec<Draw>, ParameterError> {
    let mut sets: Vec<Set> = Vec::new();
    // About one set in four agrees with the calibration; a hypercube is only even as a whole, so it is drawn anew, larger.
    let mut tried = 4 * n.max(1);
    while sets.len() < n && tried < 64 * n.max(1) {
        sets = calibrated(tried, seed)?;
        tried *= 2;
    }
    // Every so-many-th of those kept, so that all parts of the hypercube count.
    let step = (sets.len() as f64 / n.max(1) as f64).max(1.0);
    (0..n.min(sets.len()))
        .map(|i| {
            let mut set = sets[(i as f64 * step) as usize].clone();
            set.extend_from_slice(kept);
            Ok(Draw {
                winter: i % winters.max(1),
                parameters: Parameters::with(&set)?,
                bees: (0.5 + GOLDEN * i as f64).fract(),
            })
        })
        .collect()
}

/// The scenario with its colonies' bees as the draw has them: evenly between the ends of what a count may be off by.
#[must_use]
pub fn counted_anew(scenario: &Scenario, draw: &Draw) -> Scenario {
    let mut s = scenario.clone();
    let colonies = s.stacks.iter_mut().filter_map(|s| s.colony.as_mut());
    for (c, colony) in colonies.enumerate() {
        let off = if colony.frames_of_bees.is_some() {
            BEES.0
        } else {
            BEES.1
        };
        let u = (draw.bees + 0.37 * c as f64).fract();
        colony.bees *= 1.0 + off * (2.0 * u - 1.0);
    }
    s
}

/// Runs one draw on the network named: one member per colony, left to right.
///
/// # Errors
/// As [`WinterRun::run`].
pub fn member(
    scenario: &Scenario,
    stand: &PreparedHive,
    winter: &Winter,
    draw: &Draw,
    model: HeatModel,
    stop: &AtomicBool,
) -> Result<Vec<Member>, SeasonError> {
    let scenario = counted_anew(scenario, draw);
    let mut trace = Trace::default();
    let outcome = WinterRun {
        scenario: &scenario,
        stand,
        winter,
        parameters: &draw.parameters,
        stop,
    }
    .run(model, Some(&mut trace))?;
    let p = &draw.parameters;
    Ok(outcome
        .colonies
        .iter()
        .zip(scenario.colonies())
        .enumerate()
        .map(|(c, (o, (_, colony)))| {
            let evenings = trace.rows.iter().skip(23).step_by(24);
            Member {
                eaten: o.eaten_by_day.clone(),
                bees: evenings
                    .filter_map(|row| row.colonies.get(c))
                    .map(|t| p.bee_mass * (t.bees + BROOD_CELL * t.brood_cells))
                    .collect(),
                fed: fed(&scenario, colony, winter, p, o.eaten_by_day.len()),
                isolated: o.starved.and_then(|s| {
                    let day = winter.start.until(s.date).ok()?.get_days();
                    Some((usize::try_from(day).ok()?, s.beside_honey?))
                }),
            }
        })
        .collect())
}

/// Stores that feeding puts in by the end of each day, kg: syrup as far as it is warm enough for so many bees to take it, at the rate of
/// the feeder of a winter run; all else on the day it is given.
fn fed(
    scenario: &Scenario,
    colony: &Colony,
    winter: &Winter,
    p: &Parameters,
    days: usize,
) -> Vec<f64> {
    let mut by_day = vec![0.0; days];
    let bees = colony.bees / p.bee_mass;
    for f in &colony.feeds {
        let day = days_between(scenario.season.start, f.date) as usize;
        let (stores, mass) = match f.feed {
            Feed::Syrup { mass, .. } => (f.feed.stores(p), mass.max(f64::MIN_POSITIVE)),
            _ => (f.feed.stores(p), 0.0),
        };
        let mut left = mass;
        for (hours, sum) in winter.hours.chunks(24).zip(&mut by_day).skip(day) {
            let rate = p.syrup_per_bee_day * bees / 24.0;
            let will: f64 = hours.iter().map(|h| appetite(h.outdoor_c, p)).sum();
            left = (left - will * rate).max(0.0);
            let taken = if mass > 0.0 { 1.0 - left / mass } else { 1.0 };
            *sum += stores * taken;
        }
    }
    by_day
}

/// Runs all draws, in parallel; members come as `[colony][draw]`. `done` is called after each.
///
/// # Errors
/// The first failure in the order of the draws.
pub fn run(
    scenario: &Scenario,
    stand: &PreparedHive,
    winters: &[Winter],
    draws: &[Draw],
    model: HeatModel,
    done: &(dyn Fn() + Sync),
    stop: &AtomicBool,
) -> Result<Vec<Vec<Member>>, SeasonError> {
    let all: Vec<Vec<Member>> = draws
        .par_iter()
        .map(|draw| {
            let winter = &winters[draw.winter];
            let one = member(scenario, stand, winter, draw, model, stop);
            done();
            one
        })
        .collect::<Result<_, _>>()?;
    let colonies = all.first().map_or(0, Vec::len);
    let mut by_colony: Vec<Vec<Member>> = vec![Vec::with_capacity(all.len()); colonies];
    for of_draw in all {
        for (list, m) in by_colony.iter_mut().zip(of_draw) {
            list.push(m);
        }
    }
    Ok(by_colony)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches draws that leave winters out, that hang on more than the seed, or that lose the keeper's own parameters.
    #[test]
    fn draws_use_every_winter_and_keep_what_is_set() {
        let kept = [("mantle_temperature".to_owned(), 10.5)];
        let d = draws(7, 21, 3, &kept).unwrap();
        assert_eq!(d.len(), 21);
        assert_eq!(d, draws(7, 21, 3, &kept).unwrap());
        assert_ne!(d, draws(7, 21, 4, &kept).unwrap());
        for w in 0..7 {
            assert_eq!(d.iter().filter(|x| x.winter == w).count(), 3);
        }
        assert!(d.iter().all(|x| x.parameters.mantle_c == 10.5));
        let mean = d.iter().map(|x| x.bees).sum::<f64>() / 21.0;
        assert!((mean - 0.5).abs() < 0.1 && d.iter().all(|x| (0.0..1.0).contains(&x.bees)));
    }
}
