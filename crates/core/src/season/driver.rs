//! One winter, hour by hour: weather drives the network, the network warms the clusters, the clusters warm the network.
//!
//! An hour goes in four steps. The network is stepped with last hour's cluster heats. The heats that the clusters
//! really give in the temperatures they then find are solved for all colonies together, with the network's response to
//! a watt at each cluster. The network is put right for the difference. The colonies take the hour over.

use super::calendar::{BroodDates, halfway, mean_day, winter_time};
use super::colony_state::{ColonyState, Weather};
use super::coupling::{MOST, couple};
use super::full::FullHive;
use super::margin::colder;
use super::outcome::WinterOutcome;
use super::place::Place;
use super::prepared_hive::PreparedHive;
use super::reduced_winter::ReducedWinter;
use super::stand_air::{MovingAir, Occupant};
use super::surroundings::{HourlyForcing, Surroundings};
use super::trace::{Trace, TraceColony, TraceRow};
use super::winter_run::{HeatModel, Method, SeasonError, WinterRun};
use crate::colony::cluster::ClusterHour;
use crate::colony::parameters::Parameters;
use crate::water::StackWater;
use jiff::civil::DateTime;
use std::ops::Range;
use std::sync::atomic::Ordering;

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Honey in the combs of a box is followed in this many steps: it changes how much heat they hold.
const FILL_STEPS: f64 = 8.0;
/// Hours in which bees and hive come into balance before the winter begins (a choice: a few times what a hive full of honey takes).
const BALANCE_HOURS: usize = 72;
/// Hours from one look at which way it is warmer to the next.
const LOOK_HOURS: usize = 6;

/// Colonies on their way through a winter.
#[derive(Clone)]
pub(super) struct SimulationState {
    pub colonies: Vec<ColonyState>,
    /// Heat each cluster gave in the last hour, W.
    flow: [f64; MOST],
    /// Kelvins around each cluster per watt of each, all settled.
    settled: [[f64; MOST]; MOST],
    pub fill: Vec<f64>,
    dates: BroodDates,
    /// Temperature around each cluster in the last hour, degC.
    around: [f64; MOST],
    /// Heat each made in it, vapour included, W.
    heat: [f64; MOST],
    /// The water of each stack.
    pub water: Vec<StackWater>,
    /// Places of the clusters hour by hour, kept or followed.
    pub path: Path,
}

/// Where the clusters were in an hour, and the fills they left at its start if they were looked at.
#[derive(Clone)]
pub(super) struct ReplayedPosition {
    places: [Option<Place>; MOST],
    fill: Option<Vec<f64>>,
}

/// What is done about the clusters' places.
#[derive(Clone)]
pub(super) enum Path {
    /// They go where they want.
    Free,
    /// They go where they want, and it is written down.
    Recorded(Vec<ReplayedPosition>),
    /// They are put where others went, so that two networks can be compared: whether a cluster turns to one comb or the
    /// next can hang on a thousandth of a degree, and a day on which a fill takes a step on a gram.
    Replayed(std::vec::IntoIter<ReplayedPosition>),
}

impl WinterRun<'_> {
    /// Runs the winter. Hours of the trace are kept when one is given.
    ///
    /// # Errors
    /// A network that cannot be solved, a result that is not a number, or [`SeasonError::Stopped`] once `stop` is set.
    pub fn run(
        &self,
        model: HeatModel,
        trace: Option<&mut Trace>,
    ) -> Result<WinterOutcome, SeasonError> {
        let fill = self.first_fill();
        match model {
            HeatModel::Full(method) => {
                let hive =
                    FullHive::new(self.stand, method, &self.first_hour(), &fill, self.rises());
                self.whole(hive.map_err(|e| self.heat(e))?, fill, trace)
            }
            HeatModel::Reduced => {
                let hive = ReducedWinter::new(self.stand, &self.first_hour(), &fill, self.rises());
                self.whole(hive.map_err(|e| self.heat(e))?, fill, trace)
            }
        }
    }

    pub(super) fn first_hour(&self) -> HourlyForcing {
        let day = mean_day(&self.winter.hours);
        self.stand.hour(&day, &[], |_| day.outdoor_c)
    }

    /// Share of a cluster's heat that rises with the air.
    pub(super) fn rises(&self) -> f64 {
        self.parameters.plume_share
    }

    pub(super) fn first_fill(&self) -> Vec<f64> {
        let mut fill = Vec::new();
        self.stand.fill(&mut fill, |_, _| None);
        fill
    }

    fn whole(
        &self,
        mut hive: impl Surroundings,
        fill: Vec<f64>,
        trace: Option<&mut Trace>,
    ) -> Result<WinterOutcome, SeasonError> {
        let mut state = self.set_out(&mut hive, fill)?;
        let hours = 0..self.winter.hours.len();
        self.advance(&mut state, &mut hive, hours, trace)?;
        let mut water = state.water;
        Ok(WinterOutcome {
            winter: self.winter.label.clone(),
            solver: hive.report(),
            colonies: state
                .colonies
                .into_iter()
                .filter_map(|c| {
                    let books = std::mem::take(&mut water[c.stack].books);
                    c.outcome(self.scenario, books)
                })
                .collect(),
        })
    }

    /// Puts the colonies into the hive.
    pub(super) fn set_out(
        &self,
        hive: &mut impl Surroundings,
        fill: Vec<f64>,
    ) -> Result<SimulationState, SeasonError> {
        let heat = |e| self.heat(e);
        let mut state = SimulationState {
            colonies: Vec::new(),
            flow: [0.0; MOST],
            settled: [[0.0; MOST]; MOST],
            fill,
            dates: BroodDates::of(self.scenario, self.winter),
            around: [self.winter.hours.first().map_or(0.0, |h| h.outdoor_c); MOST],
            heat: [0.0; MOST],
            water: self.stand.dry(),
            path: Path::Free,
        };
        for (i, stack) in self.scenario.stacks.iter().enumerate() {
            let Some(c) = &stack.colony else { continue };
            let probe = |place| hive.probe(place);
            let colony_state = ColonyState::settle(self, i, c, state.dates, probe)?;
            let number = state.colonies.len();
            hive.place(number, colony_state.place).map_err(heat)?;
            // First guess only: the first hour's coupling puts it right.
            let rest = colony_state.colony().mass() * self.parameters.rest_heat_20;
            (state.flow[number], state.heat[number]) = (rest, rest);
            state.colonies.push(colony_state);
        }
        state.settle(hive);
        self.balance(&mut state, hive)?;
        Ok(state)
    }

    /// Lets bees and hive come into balance in the mean of the first day, before anything counts.
    fn balance(
        &self,
        state: &mut SimulationState,
        hive: &mut impl Surroundings,
    ) -> Result<(), SeasonError> {
        let day = mean_day(&self.winter.hours);
        let mut now = self.stand.nominal();
        now.vents = self.stand.vents(self.parameters);
        now.air.iter_mut().for_each(|a| *a = MovingAir::default());
        let (mut here, mut ports, mut surfaces) = (Vec::new(), Vec::new(), Vec::new());
        let count = state.colonies.len();
        let date = self.winter.start;
        for _ in 0..BALANCE_HOURS {
            state.occupy(self.parameters, &mut here);
            hive.ports(&mut ports);
            hive.surfaces(&mut surfaces);
            self.stand.drive(&mut now, &day, &here, |n| ports[n]);
            let water = &mut state.water;
            self.stand
                .soak(water, &mut now, &here, &ports, &surfaces, date);
            hive.step(&now, &state.flow[..count])
                .map_err(|e| self.heat(e))?;
            let (around, done) = state.meet(hive);
            let colonies = state.colonies.iter_mut().zip(&around).zip(&done);
            for ((c, around), done) in colonies {
                if let Some(hour) = done {
                    c.home.colony.settle(hour, *around);
                }
            }
            hive.correct(&state.flow[..count])
                .map_err(|e| self.heat(e))?;
            self.move_on(state, hive, |_, c| c.moves(None))?;
        }
        self.stand.begin(&mut state.water);
        Ok(())
    }

    /// Takes clusters over to the places they went to; `left` tells which have.
    fn move_on(
        &self,
        state: &mut SimulationState,
        hive: &mut impl Surroundings,
        mut left: impl FnMut(usize, &mut ColonyState) -> bool,
    ) -> Result<(), SeasonError> {
        let mut moved = false;
        for (c, colony_state) in state.colonies.iter_mut().enumerate() {
            if left(c, colony_state) {
                let placed = hive.place(c, colony_state.place);
                placed.map_err(|e| self.heat(e))?;
                moved = true;
            }
        }
        if moved {
            state.settle(hive);
        }
        Ok(())
    }

    /// The full network with the field and the clusters the reduced one has come to.
    pub(super) fn go_over(
        &self,
        method: Method,
        reduced: &ReducedWinter<'_>,
        state: &SimulationState,
    ) -> Result<FullHive<'_>, SeasonError> {
        let full = FullHive::at(
            self.stand,
            method,
            reduced.field(),
            &state.fill,
            self.rises(),
        );
        let mut full = full.map_err(|e| self.heat(e))?;
        for (i, colony_state) in state.colonies.iter().enumerate() {
            let placed = full.place(i, colony_state.place);
            placed.map_err(|e| self.heat(e))?;
        }
        Ok(full)
    }

    /// Lets the hours pass.
    pub(super) fn advance(
        &self,
        state: &mut SimulationState,
        hive: &mut impl Surroundings,
        hours: Range<usize>,
        mut trace: Option<&mut Trace>,
    ) -> Result<(), SeasonError> {
        let (stand, winter) = (self.stand, self.winter);
        let heat = |source| self.heat(source);
        let count = state.colonies.len();
        let mut now = stand.nominal();
        now.vents = stand.vents(self.parameters);
        now.air.iter_mut().for_each(|a| *a = MovingAir::default());
        let (mut here, mut ports, mut surfaces) = (Vec::new(), Vec::new(), Vec::new());
        for i in hours {
            if self.stop.load(Ordering::Relaxed) {
                return Err(SeasonError::Stopped);
            }
            let hour = &winter.hours[i];
            let next = winter.hours.get(i + 1).unwrap_or(hour);
            state.occupy(self.parameters, &mut here);
            hive.ports(&mut ports);
            hive.surfaces(&mut surfaces);
            stand.drive(&mut now, &halfway(hour, next), &here, |n| ports[n]);
            let time = winter_time(winter.start, i);
            let water = &mut state.water;
            stand.soak(water, &mut now, &here, &ports, &surfaces, time.date());
            let led = match &mut state.path {
                Path::Replayed(places) => places.next(),
                _ => None,
            };
            if i % 24 == 0 {
                match led.as_ref().and_then(|l| l.fill.as_ref()) {
                    Some(fill) => state.fill.clone_from(fill),
                    None => state.fill(stand),
                }
                hive.fill(&state.fill).map_err(heat)?;
            }
            if i % LOOK_HOURS == 0 {
                state.look(hive);
            }
            self.move_on(state, hive, |c, colony_state| {
                colony_state.keeper(i);
                colony_state.moves(led.as_ref().and_then(|l| l.places[c]))
            })?;
            if let Path::Recorded(places) = &mut state.path {
                places.push(ReplayedPosition {
                    places: std::array::from_fn(|c| state.colonies.get(c).map(|l| l.place)),
                    fill: (i % 24 == 0).then(|| state.fill.clone()),
                });
            }
            hive.step(&now, &state.flow[..count]).map_err(heat)?;
            let (around, done) = state.meet(hive);
            if around.iter().any(|a| !a.is_finite()) {
                return Err(SeasonError::NotANumber {
                    winter: winter.label.clone(),
                    hour: i,
                });
            }
            let weather = Weather {
                outdoor_c: now.outdoor_c,
                ghi: hour.ghi,
                wind: now.wind,
            };
            let row = state.hour(time, weather, &around, &done, trace.is_some());
            hive.correct(&state.flow[..count]).map_err(heat)?;
            if let (Some(trace), Some(row)) = (trace.as_deref_mut(), row) {
                trace.rows.push(row);
            }
            if i % 24 == 23 {
                let water = state.water.iter_mut();
                water.for_each(|w| w.end_day(time.date()));
                for c in &mut state.colonies {
                    c.end_day((i / 24) as i32, time.date());
                }
            }
        }
        Ok(())
    }
}

impl SimulationState {
    /// Fills of the combs.
    fn fill(&mut self, stand: &PreparedHive) {
        let colonies = &self.colonies;
        stand.fill(&mut self.fill, |stack, b| {
            let here = colonies.iter().find(|c| c.stack == stack)?;
            Some((here.fullness(b) * FILL_STEPS).round() / FILL_STEPS)
        });
    }

    /// The clusters as the air meets them, by the heat of the last hour.
    pub(super) fn occupy(&self, p: &Parameters, here: &mut Vec<Occupant>) {
        here.clear();
        let all = self.colonies.iter().zip(&self.heat).zip(&self.around);
        let alive = all.filter(|((c, _), _)| c.colony().alive());
        here.extend(alive.map(|((c, heat), around_c)| Occupant {
            place: c.place,
            carbon_dioxide: p.carbon_dioxide(*heat),
            water: p.water(*heat),
            around_c: *around_c,
        }));
    }

    /// Takes over what the clusters' heats make of each other's surroundings, all settled.
    fn settle(&mut self, hive: &impl Surroundings) {
        let count = self.colonies.len();
        for (c, row) in self.settled.iter_mut().enumerate().take(count) {
            for (d, r) in row.iter_mut().enumerate().take(count) {
                *r = hive.settled(c, d);
            }
            self.colonies[c].settled_response = row[c];
        }
    }

    /// Lets the clusters feel which way it is warmer.
    fn look(&mut self, hive: &mut impl Surroundings) {
        let mut gradients = [[0.0; 3]; MOST];
        hive.gradients(&mut gradients[..self.colonies.len()]);
        for (c, g) in self.colonies.iter_mut().zip(gradients) {
            c.feel(g, LOOK_HOURS as f64 * STEP);
        }
    }

    /// Solves the clusters' heats: temperature around each, degC, and its hour with the conductance of its film, W/K.
    fn meet(&mut self, hive: &impl Surroundings) -> ([f64; MOST], [Option<ClusterHour>; MOST]) {
        let count = self.colonies.len();
        let (mut around, mut response) = ([0.0; MOST], [[0.0; MOST]; MOST]);
        for (c, (around, row)) in around.iter_mut().zip(&mut response).take(count).enumerate() {
            *around = hive.around(c);
            for (d, r) in row.iter_mut().take(count).enumerate() {
                *r = hive.response(c, d);
            }
        }
        let prepared: [_; MOST] =
            std::array::from_fn(|c| self.colonies.get(c).map(|l| l.colony().prepare(STEP)));
        let coupled = couple(&prepared, &around, &self.flow, &response);
        self.flow = coupled.flow;
        self.around = coupled.around_c;
        let done: [Option<ClusterHour>; MOST] = std::array::from_fn(|c| {
            let p = prepared[c].as_ref()?;
            Some(p.at(coupled.around_c[c]))
        });
        for (heat, done) in self.heat.iter_mut().zip(&done) {
            *heat = done.as_ref().map_or(0.0, |hour| hour.heat);
        }
        (coupled.around_c, done)
    }

    /// Lets the colonies live the hour.
    fn hour(
        &mut self,
        time: DateTime,
        weather: Weather,
        around: &[f64; MOST],
        done: &[Option<ClusterHour>; MOST],
        traced: bool,
    ) -> Option<TraceRow> {
        let mut row = traced.then(|| TraceRow::new(time, weather.outdoor_c));
        let left: [_; MOST] = std::array::from_fn(|c| {
            let hour = done[c].as_ref()?;
            Some(self.colonies[c].reserve(hour))
        });
        let colder = colder(&left, &self.settled);
        for ((c, colony_state), done) in self.colonies.iter_mut().enumerate().zip(done) {
            let Some(hour) = done else { continue };
            let around = around[c];
            let m = colony_state.moment(time, weather.outdoor_c, around, hour, colder[c]);
            colony_state.live(hour, around, weather, STEP);
            colony_state.note(m);
            if let Some(row) = &mut row {
                let lies = self.water[colony_state.stack].lies;
                row.colonies
                    .push(TraceColony::new(&m, &colony_state.home, lies));
            }
        }
        row
    }
}
