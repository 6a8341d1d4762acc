//! One winter, hour by hour: weather drives the network, the network warms the clusters, the clusters warm the network.
//!
//! An hour goes in four steps. The network is stepped with last hour's cluster heats. The heats that the clusters
//! really give in the temperatures they then find are solved for all colonies together, with the network's response to
//! a watt at each cluster. The network is put right for the difference. The colonies take the hour over.

use super::calendar::{BroodDates, halfway, mean_day, winter_time};
use super::coupling::{MOST, couple};
use super::full::FullHive;
use super::lodger::Lodger;
use super::outcome::WinterOutcome;
use super::reduced::ReducedWinter;
use super::stand::Stand;
use super::surroundings::Surroundings;
use super::trace::{Trace, TraceColony, TraceRow};
use crate::climate::series::Winter;
use crate::colony::{brood, parameters::Parameters};
use crate::heat::{HeatError, Scheme};
use crate::scenario::model::Scenario;
use std::sync::atomic::{AtomicBool, Ordering};

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Honey left in the combs is followed in this many steps: it changes how much heat they hold.
const FILL_STEPS: f64 = 20.0;

/// What can stop a winter.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum SeasonError {
    /// The heat network could not be solved.
    #[error("the heat network could not be solved in winter {winter}: {source}")]
    Heat {
        /// Winter's label.
        winter: String,
        /// What went wrong.
        source: crate::heat::HeatError,
    },
    /// A result is not a number: a fault of the program, not of the input.
    #[error("winter {winter}, hour {hour}: the temperature around a cluster is not a number")]
    NotANumber {
        /// Winter's label.
        winter: String,
        /// Hour from the winter's start.
        hour: usize,
    },
    /// The user stopped the run.
    #[error("stopped")]
    Stopped,
}

/// How a winter is to be solved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Method {
    /// Time integration.
    pub scheme: Scheme,
    /// Temperature error allowed per solve, K.
    pub tolerance: f64,
}

impl Method {
    /// TR-BDF2 to a tenth of a millikelvin: far below what an hour of weather is known to.
    pub const CAREFUL: Self = Self {
        scheme: Scheme::TrBdf2,
        tolerance: 1e-4,
    };
    /// Backward Euler to a millikelvin: half the work, up to a kelvin of error for an hour after a front.
    pub const QUICK: Self = Self {
        scheme: Scheme::BackwardEuler,
        tolerance: 1e-3,
    };
}

/// Which heat network carries a winter.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Carrier {
    /// The full network.
    Full(Method),
    /// The reduced one.
    Reduced,
}

/// Runs one winter. Hours of the trace are kept when one is given.
///
/// # Errors
/// A network that cannot be solved, a result that is not a number, or [`SeasonError::Stopped`] once `stop` is set.
pub fn run(
    scenario: &Scenario,
    stand: &Stand,
    winter: &Winter,
    parameters: &Parameters,
    carrier: Carrier,
    trace: Option<&mut Trace>,
    stop: &AtomicBool,
) -> Result<WinterOutcome, SeasonError> {
    let heat = |source| SeasonError::Heat {
        winter: winter.label.clone(),
        source,
    };
    let first = mean_day(&winter.hours);
    let start = stand.hour(&first, |_| first.temp_c);
    let mut fill = Vec::new();
    stand.fill(&mut fill, |_| 1.0);
    let course = Course {
        scenario,
        stand,
        winter,
        parameters,
        stop,
    };
    match carrier {
        Carrier::Full(method) => {
            let hive = FullHive::new(stand, method, &start, &fill).map_err(heat)?;
            course.run(hive, fill, trace)
        }
        Carrier::Reduced => {
            let hive = ReducedWinter::new(stand, &start, &fill).map_err(heat)?;
            course.run(hive, fill, trace)
        }
    }
}

/// What a winter is run with.
struct Course<'a> {
    scenario: &'a Scenario,
    stand: &'a Stand,
    winter: &'a Winter,
    parameters: &'a Parameters,
    stop: &'a AtomicBool,
}

impl Course<'_> {
    fn heat(&self, source: HeatError) -> SeasonError {
        SeasonError::Heat {
            winter: self.winter.label.clone(),
            source,
        }
    }

    fn lodgers(&self, hive: &mut impl Surroundings) -> Result<Vec<Lodger>, HeatError> {
        let mut lodgers: Vec<Lodger> = Vec::new();
        for (i, stack) in self.scenario.stacks.iter().enumerate() {
            let Some(c) = &stack.colony else { continue };
            let days = self.winter.hours.len() / 24 + 1;
            let probe = |place| hive.probe(place);
            let mut lodger = Lodger::settle(
                self.stand,
                i,
                c.bees,
                c.stores,
                days,
                self.parameters,
                probe,
            )?;
            lodger.settled_response = hive.place(lodgers.len(), lodger.place)?;
            lodgers.push(lodger);
        }
        Ok(lodgers)
    }

    fn run(
        &self,
        mut hive: impl Surroundings,
        mut fill: Vec<f64>,
        mut trace: Option<&mut Trace>,
    ) -> Result<WinterOutcome, SeasonError> {
        let (stand, winter) = (self.stand, self.winter);
        let heat = |source| self.heat(source);
        let dates = BroodDates::of(self.scenario, winter);
        let mut lodgers = self.lodgers(&mut hive).map_err(heat)?;
        let count = lodgers.len();
        let mut now = stand.nominal();
        let mut flow = [0.0; MOST];
        for (c, q) in lodgers.iter().zip(&mut flow) {
            // First guess only: the first hour's coupling puts it right.
            *q = c.colony.mass() * self.parameters.rest_heat_20;
        }

        for (i, hour) in winter.hours.iter().enumerate() {
            if self.stop.load(Ordering::Relaxed) {
                return Err(SeasonError::Stopped);
            }
            let next = winter.hours.get(i + 1).unwrap_or(hour);
            let time = winter_time(winter.start, i);
            stand.drive(&mut now, &halfway(hour, next), |n| hive.node(n));
            if i % 24 == 0 {
                stand.fill(&mut fill, |stack| {
                    let here = lodgers.iter().find(|c| c.stack == stack);
                    here.map_or(1.0, |c| (c.stores_left() * FILL_STEPS).round() / FILL_STEPS)
                });
                hive.fill(&fill).map_err(heat)?;
                lodgers.iter_mut().for_each(Lodger::begin_day);
            }
            for (c, lodger) in lodgers.iter_mut().enumerate() {
                if lodger.moves(stand) {
                    lodger.settled_response = hive.place(c, lodger.place).map_err(heat)?;
                }
            }
            hive.step(&now, &flow[..count]).map_err(heat)?;

            let (mut around, mut response) = ([0.0; MOST], [[0.0; MOST]; MOST]);
            for c in 0..count {
                around[c] = hive.around(c);
                for d in 0..count {
                    response[c][d] = hive.response(c, d);
                }
            }
            if around.iter().any(|a| !a.is_finite()) {
                return Err(SeasonError::NotANumber {
                    winter: winter.label.clone(),
                    hour: i,
                });
            }
            let prepared: [_; MOST] =
                std::array::from_fn(|c| lodgers.get(c).map(|l| l.colony.prepare(STEP)));
            let coupled = couple(&prepared, &around, &flow, &response);
            flow = coupled.flow;
            let done: [_; MOST] = std::array::from_fn(|c| {
                let p = prepared[c].as_ref()?;
                Some((p.at(coupled.around_c[c]), p.film_conductance()))
            });
            drop(prepared);
            hive.correct(&flow[..count]).map_err(heat)?;

            let mut row = trace.as_ref().map(|_| TraceRow::new(time, now.outside_c));
            for ((c, lodger), done) in lodgers.iter_mut().enumerate().zip(&done) {
                let Some((hour, film)) = done else { continue };
                let around = coupled.around_c[c];
                let m = lodger.moment(time, now.outside_c, around, hour, *film);
                lodger.colony.commit(hour, around, STEP);
                lodger.note(m);
                if let Some(row) = &mut row {
                    row.colonies.push(TraceColony::new(&m, &lodger.colony));
                }
            }
            if let (Some(trace), Some(row)) = (trace.as_deref_mut(), row) {
                trace.rows.push(row);
            }
            if i % 24 == 23 {
                let share = brood::share((i / 24) as i32, dates.start, dates.full);
                for c in &mut lodgers {
                    c.end_day(share, time.date());
                }
            }
        }
        Ok(WinterOutcome {
            winter: winter.label.clone(),
            solver: hive.report(),
            colonies: lodgers
                .into_iter()
                .filter_map(|c| c.outcome(self.scenario))
                .collect(),
        })
    }
}
