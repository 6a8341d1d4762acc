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
use super::stand::{Stand, StandHour};
use super::surroundings::Surroundings;
use super::trace::{Trace, TraceColony, TraceRow};
use crate::climate::series::Winter;
use crate::colony::{brood, parameters::Parameters};
use crate::heat::{HeatError, Scheme};
use crate::scenario::model::Scenario;
use jiff::civil::DateTime;
use std::ops::Range;
use std::sync::atomic::{AtomicBool, Ordering};

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Honey left in the combs is followed in this many steps: it changes how much heat they hold.
const FILL_STEPS: f64 = 40.0;

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
    /// TR-BDF2 to a millikelvin: for holding the reduced network against the full one.
    pub const HOURLY: Self = Self {
        scheme: Scheme::TrBdf2,
        tolerance: 1e-3,
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

/// A winter to be run: one stand, one winter's weather, one set of parameters.
#[derive(Clone, Copy)]
pub struct Course<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Its hive, prepared.
    pub stand: &'a Stand,
    /// The weather.
    pub winter: &'a Winter,
    /// The colony's parameters.
    pub parameters: &'a Parameters,
    /// Set to stop.
    pub stop: &'a AtomicBool,
}

/// Colonies on their way through a winter.
#[derive(Clone)]
pub(super) struct Walk {
    pub lodgers: Vec<Lodger>,
    /// Heat each cluster gave in the last hour, W.
    flow: [f64; MOST],
    pub fill: Vec<f64>,
    dates: BroodDates,
}

impl Course<'_> {
    /// Runs the winter. Hours of the trace are kept when one is given.
    ///
    /// # Errors
    /// A network that cannot be solved, a result that is not a number, or [`SeasonError::Stopped`] once `stop` is set.
    pub fn run(
        &self,
        carrier: Carrier,
        trace: Option<&mut Trace>,
    ) -> Result<WinterOutcome, SeasonError> {
        let fill = self.first_fill();
        match carrier {
            Carrier::Full(method) => {
                let hive = FullHive::new(self.stand, method, &self.first_hour(), &fill);
                self.whole(hive.map_err(|e| self.heat(e))?, fill, trace)
            }
            Carrier::Reduced => {
                let hive = ReducedWinter::new(self.stand, &self.first_hour(), &fill);
                self.whole(hive.map_err(|e| self.heat(e))?, fill, trace)
            }
        }
    }

    pub(super) fn first_hour(&self) -> StandHour {
        let day = mean_day(&self.winter.hours);
        self.stand.hour(&day, |_| day.temp_c)
    }

    pub(super) fn first_fill(&self) -> Vec<f64> {
        let mut fill = Vec::new();
        self.stand.fill(&mut fill, |_| 1.0);
        fill
    }

    pub(super) fn heat(&self, source: HeatError) -> SeasonError {
        SeasonError::Heat {
            winter: self.winter.label.clone(),
            source,
        }
    }

    fn whole(
        &self,
        mut hive: impl Surroundings,
        fill: Vec<f64>,
        trace: Option<&mut Trace>,
    ) -> Result<WinterOutcome, SeasonError> {
        let mut walk = self.set_out(&mut hive, fill)?;
        let hours = 0..self.winter.hours.len();
        self.advance(&mut walk, &mut hive, hours, trace)?;
        Ok(WinterOutcome {
            winter: self.winter.label.clone(),
            solver: hive.report(),
            colonies: walk
                .lodgers
                .into_iter()
                .filter_map(|c| c.outcome(self.scenario))
                .collect(),
        })
    }

    /// Puts the colonies into the hive.
    pub(super) fn set_out(
        &self,
        hive: &mut impl Surroundings,
        fill: Vec<f64>,
    ) -> Result<Walk, SeasonError> {
        let heat = |e| self.heat(e);
        let mut walk = Walk {
            lodgers: Vec::new(),
            flow: [0.0; MOST],
            fill,
            dates: BroodDates::of(self.scenario, self.winter),
        };
        for (i, stack) in self.scenario.stacks.iter().enumerate() {
            let Some(c) = &stack.colony else { continue };
            let days = self.winter.hours.len() / 24 + 1;
            let probe = |place| hive.probe(place);
            let (stand, p) = (self.stand, self.parameters);
            let mut lodger =
                Lodger::settle(stand, i, c.bees, c.stores, days, p, probe).map_err(heat)?;
            let number = walk.lodgers.len();
            lodger.settled_response = hive.place(number, lodger.place).map_err(heat)?;
            // First guess only: the first hour's coupling puts it right.
            walk.flow[number] = lodger.colony.mass() * p.rest_heat_20;
            walk.lodgers.push(lodger);
        }
        Ok(walk)
    }

    /// Lets the hours pass.
    pub(super) fn advance(
        &self,
        walk: &mut Walk,
        hive: &mut impl Surroundings,
        hours: Range<usize>,
        mut trace: Option<&mut Trace>,
    ) -> Result<(), SeasonError> {
        let (stand, winter) = (self.stand, self.winter);
        let heat = |source| self.heat(source);
        let count = walk.lodgers.len();
        let mut now = stand.nominal();
        for i in hours {
            if self.stop.load(Ordering::Relaxed) {
                return Err(SeasonError::Stopped);
            }
            let hour = &winter.hours[i];
            let next = winter.hours.get(i + 1).unwrap_or(hour);
            stand.drive(&mut now, &halfway(hour, next), |n| hive.node(n));
            let time = winter_time(winter.start, i);
            if i % 24 == 0 {
                walk.begin_day(stand);
                hive.fill(&walk.fill).map_err(heat)?;
            }
            for (c, lodger) in walk.lodgers.iter_mut().enumerate() {
                if lodger.moves(stand) {
                    lodger.settled_response = hive.place(c, lodger.place).map_err(heat)?;
                }
            }
            hive.step(&now, &walk.flow[..count]).map_err(heat)?;
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
            let row = walk.hour(time, now.outside_c, &around, &response, trace.is_some());
            hive.correct(&walk.flow[..count]).map_err(heat)?;
            if let (Some(trace), Some(row)) = (trace.as_deref_mut(), row) {
                trace.rows.push(row);
            }
            if i % 24 == 23 {
                let (start, full) = (walk.dates.start, walk.dates.full);
                let share = brood::share((i / 24) as i32, start, full);
                for c in &mut walk.lodgers {
                    c.end_day(share, time.date());
                }
            }
        }
        Ok(())
    }
}

impl Walk {
    /// Fills of the combs and where the clusters have crept to.
    fn begin_day(&mut self, stand: &Stand) {
        let lodgers = &self.lodgers;
        stand.fill(&mut self.fill, |stack| {
            let here = lodgers.iter().find(|c| c.stack == stack);
            here.map_or(1.0, |c| (c.stores_left() * FILL_STEPS).round() / FILL_STEPS)
        });
        self.lodgers.iter_mut().for_each(Lodger::begin_day);
    }

    /// Solves the clusters' heats and lets the colonies live the hour.
    fn hour(
        &mut self,
        time: DateTime,
        outside_c: f64,
        around: &[f64; MOST],
        response: &[[f64; MOST]; MOST],
        traced: bool,
    ) -> Option<TraceRow> {
        let prepared: [_; MOST] =
            std::array::from_fn(|c| self.lodgers.get(c).map(|l| l.colony.prepare(STEP)));
        let coupled = couple(&prepared, around, &self.flow, response);
        let done: [_; MOST] = std::array::from_fn(|c| {
            let p = prepared[c].as_ref()?;
            Some((p.at(coupled.around_c[c]), p.film_conductance()))
        });
        drop(prepared);
        self.flow = coupled.flow;
        let mut row = traced.then(|| TraceRow::new(time, outside_c));
        for ((c, lodger), done) in self.lodgers.iter_mut().enumerate().zip(&done) {
            let Some((hour, film)) = done else { continue };
            let around = coupled.around_c[c];
            let m = lodger.moment(time, outside_c, around, hour, *film);
            lodger.colony.commit(hour, around, STEP);
            lodger.note(m);
            if let Some(row) = &mut row {
                row.colonies.push(TraceColony::new(&m, &lodger.colony));
            }
        }
        row
    }
}
