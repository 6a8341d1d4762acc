//! One winter, hour by hour: weather drives the network, the network warms the clusters, the clusters warm the network.
//!
//! An hour goes in four steps. The network is stepped with last hour's cluster heats. The heats that the clusters
//! really give in the temperatures they then find are solved for all colonies together, with the network's response to
//! a watt at each cluster. The network's field is corrected by its exact response to the difference. The colonies take
//! the hour over. The stored responses are renewed when a cluster moves or changes size, when the correction shows that
//! they no longer fit, and at least once a day.

use super::coupling::{MOST, couple, hours_at};
use super::outcome::{ColonyOutcome, Moment, SolverReport, WinterOutcome};
use super::stand::Stand;
use super::trace::{Trace, TraceColony, TraceRow};
use crate::climate::series::{Hour, Winter};
use crate::colony::cluster::ClusterHour;
use crate::colony::{Colony, brood, parameters::Parameters};
use crate::heat::{LinearSolver, Response, Scheme, Shell, Stepper, steady};
use crate::scenario::model::{MonthDay, Scenario};
use jiff::civil::{Date, DateTime};
use std::sync::atomic::{AtomicBool, Ordering};

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// A cluster's place in the network is worked out anew when its radius has changed by this share.
const RADIUS_CHANGE: f64 = 0.05;
/// It is also worked out anew when the cluster has risen this far, m.
const RISE_CHANGE: f64 = 0.01;
/// Stored responses are renewed when the temperature around a cluster comes out this far from the coupled one, K.
const STALE: f64 = 0.02;

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

/// A colony in its place.
struct Lodger {
    stack: usize,
    colony: Colony,
    shell: Shell,
    placed_radius: f64,
    placed_rise: f64,
    risen: f64,
    response: Response,
    /// Kelvins around the cluster per watt, all settled.
    settled_response: f64,
    stores: f64,
    eaten_by_day: Vec<f64>,
    ran_out: Option<Date>,
    weakest: Option<Moment>,
    warmth: (f64, usize),
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
    method: Method,
    mut trace: Option<&mut Trace>,
    stop: &AtomicBool,
) -> Result<WinterOutcome, SeasonError> {
    let heat = |source| SeasonError::Heat {
        winter: winter.label.clone(),
        source,
    };
    let network = &stand.hive.network;
    let dates = BroodDates::of(scenario, winter);

    let mut now = stand.start(&mean_day(&winter.hours));
    stand.heaters(&mut now);
    let mut t = steady(network, &now.drive, LinearSolver::PCG)
        .map_err(heat)?
        .t;
    let mut lodgers: Vec<Lodger> = Vec::new();
    for (i, stack) in scenario.stacks.iter().enumerate() {
        if let Some(c) = &stack.colony {
            lodgers.push(Lodger::settle(stand, i, c.bees, c.stores, &t, parameters).map_err(heat)?);
        }
    }
    for c in &mut lodgers {
        let mut unit = now.drive.clone();
        unit.faces.iter_mut().for_each(|f| f.t = 0.0);
        unit.exchange.iter_mut().for_each(|e| e.t = 0.0);
        unit.power.fill(0.0);
        c.shell.deposit(&mut unit.power, 1.0);
        let field = steady(network, &unit, LinearSolver::PCG).map_err(heat)?.t;
        c.settled_response = c.shell.sample(&field);
    }

    let mut stepper = Stepper::new(
        network,
        method.scheme,
        STEP,
        LinearSolver::Pcg {
            tolerance: method.tolerance,
        },
    )
    .map_err(heat)?;
    let mut flow = [0.0; MOST];
    for (c, q) in lodgers.iter().zip(&mut flow) {
        // First guess only: the first hour's coupling puts it right.
        *q = c.colony.mass() * parameters.rest_heat_20;
    }
    let mut correction = Response::default();
    let mut worst_coupling = 0.0f64;
    let mut renew = true;

    for (i, hour) in winter.hours.iter().enumerate() {
        if stop.load(Ordering::Relaxed) {
            return Err(SeasonError::Stopped);
        }
        let next = winter.hours.get(i + 1).unwrap_or(hour);
        let time = winter_time(winter.start, i);
        stand.drive(&mut now, &halfway(hour, next), &t);
        if i % 24 == 0 {
            stand.fill(&mut now, &stores_share(&lodgers));
            for c in &mut lodgers {
                c.risen += c.colony.creep_per_day();
            }
            renew = true;
        }
        for c in &mut lodgers {
            renew |= c.place(stand).map_err(heat)?;
        }
        stand.heaters(&mut now);
        for (c, q) in lodgers.iter().zip(flow) {
            c.shell.deposit(&mut now.drive.power, q);
        }
        stepper.step(&mut t, &now.drive).map_err(heat)?;
        if lodgers.is_empty() {
            continue;
        }
        if renew {
            for c in &mut lodgers {
                let mut power = vec![0.0; network.n()];
                c.shell.deposit(&mut power, 1.0);
                stepper.respond(&power, &mut c.response).map_err(heat)?;
            }
        }
        renew = false;

        let mut around = [0.0; MOST];
        let mut response = [[0.0; MOST]; MOST];
        for (c, lodger) in lodgers.iter().enumerate() {
            around[c] = lodger.shell.sample(&t);
            for (d, other) in lodgers.iter().enumerate() {
                response[c][d] = lodger.shell.sample(other.response.end());
            }
        }
        if around.iter().any(|a| !a.is_finite()) {
            return Err(SeasonError::NotANumber {
                winter: winter.label.clone(),
                hour: i,
            });
        }
        let prepared: Vec<_> = lodgers.iter().map(|c| c.colony.prepare(STEP)).collect();
        let coupled = couple(&prepared, &around, &flow, &response);
        let done = hours_at(&prepared, &coupled);
        let films: Vec<f64> = prepared.iter().map(|p| p.film_conductance()).collect();
        drop(prepared);

        let mut power = vec![0.0; network.n()];
        correction.stages.iter_mut().for_each(|s| s.fill(0.0));
        for ((c, q), old) in lodgers.iter().zip(coupled.flow).zip(flow) {
            c.shell.deposit(&mut power, q - old);
            add(&mut correction, q - old, &c.response);
        }
        stepper.respond(&power, &mut correction).map_err(heat)?;
        stepper.apply(&mut t, &correction, 1.0).map_err(heat)?;
        flow = coupled.flow;

        let mut row = trace.as_ref().map(|_| TraceRow::new(time, now.outside_c));
        for (c, lodger) in lodgers.iter_mut().enumerate() {
            let off = (lodger.shell.sample(&t) - coupled.around_c[c]).abs();
            worst_coupling = worst_coupling.max(off);
            renew |= off > STALE;
            let m = lodger.moment(time, now.outside_c, coupled.around_c[c], &done[c], films[c]);
            lodger.colony.commit(&done[c], coupled.around_c[c], STEP);
            lodger.note(m);
            if let Some(row) = &mut row {
                row.colonies.push(TraceColony::new(&m, &lodger.colony));
            }
        }
        if let (Some(trace), Some(row)) = (trace.as_deref_mut(), row) {
            trace.rows.push(row);
        }
        if i % 24 == 23 {
            let day = (i / 24) as i32;
            for c in &mut lodgers {
                c.colony.end_day(brood::share(day, dates.start, dates.full));
                c.eaten_by_day.push(c.colony.eaten());
                if c.colony.eaten() > c.stores && c.ran_out.is_none() {
                    c.ran_out = Some(time.date());
                }
            }
        }
    }

    let stats = stepper.stats();
    Ok(WinterOutcome {
        winter: winter.label.clone(),
        solver: SolverReport {
            unknowns: network.n(),
            steps: stats.steps,
            solves: stats.solves,
            iterations: stats.iterations,
            energy_residual: stats.balance.relative(),
            coupling_residual: worst_coupling,
        },
        colonies: lodgers
            .into_iter()
            .filter_map(|c| c.outcome(scenario))
            .collect(),
    })
}

impl Lodger {
    fn settle(
        stand: &Stand,
        stack: usize,
        bees: f64,
        stores: f64,
        t: &[f64],
        p: &Parameters,
    ) -> Result<Self, crate::heat::HeatError> {
        let space = &stand.hive.stacks[stack];
        let probe = stand.shell(stack, 0.05, 0.0)?;
        let colony = Colony::new(bees, probe.sample(t), space.comb_volume, p.clone());
        let radius = colony.radius();
        Ok(Self {
            stack,
            shell: stand.shell(stack, radius, 0.0)?,
            placed_radius: radius,
            placed_rise: 0.0,
            risen: 0.0,
            response: Response::default(),
            settled_response: 0.0,
            stores,
            eaten_by_day: Vec::new(),
            ran_out: None,
            weakest: None,
            warmth: (0.0, 0),
            colony,
        })
    }

    /// Works the cluster's place out anew if it has changed size or risen enough; says whether it has.
    fn place(&mut self, stand: &Stand) -> Result<bool, crate::heat::HeatError> {
        let radius = self.colony.radius();
        let same_size = (radius / self.placed_radius - 1.0).abs() <= RADIUS_CHANGE;
        if same_size && self.risen - self.placed_rise < RISE_CHANGE {
            return Ok(false);
        }
        self.shell = stand.shell(self.stack, radius, self.risen)?;
        (self.placed_radius, self.placed_rise) = (radius, self.risen);
        Ok(true)
    }

    /// The hour with its margins.
    fn moment(
        &self,
        time: DateTime,
        outside_c: f64,
        around_c: f64,
        hour: &ClusterHour,
        film: f64,
    ) -> Moment {
        let p = self.colony.parameters();
        let spare = (self.colony.heat_max() - hour.heat) * (1.0 - p.latent_share);
        Moment {
            time,
            outside_c,
            around_c,
            mantle_c: hour.surface_c,
            core_c: hour.core_c,
            mantle_margin: hour.surface_c - p.chill_coma_c,
            core_margin: hour.core_c - self.colony.core_need_c(),
            heat: hour.heat,
            heat_in_hand: spare * (1.0 / film + self.settled_response),
        }
    }

    /// Keeps what the winter is to be remembered by.
    fn note(&mut self, m: Moment) {
        if self.weakest.is_none_or(|w| m.heat_in_hand < w.heat_in_hand) {
            self.weakest = Some(m);
        }
        if matches!(m.time.month(), 12 | 1 | 2) {
            self.warmth.0 += m.around_c - m.outside_c;
            self.warmth.1 += 1;
        }
    }

    fn outcome(self, scenario: &Scenario) -> Option<ColonyOutcome> {
        Some(ColonyOutcome {
            stack: scenario.stacks.get(self.stack)?.name.clone(),
            eaten: self.colony.eaten(),
            fed_to_brood: self.colony.fed_to_brood(),
            eaten_by_day: self.eaten_by_day,
            ran_out: self.ran_out,
            bees_left: self.colony.bees(),
            chilled_hours: self.colony.chilled_hours(),
            weakest: self.weakest?,
            warmth_mid_winter: if self.warmth.1 == 0 {
                0.0
            } else {
                self.warmth.0 / self.warmth.1 as f64
            },
        })
    }
}

/// Adds `factor` times a response to a first guess.
fn add(guess: &mut Response, factor: f64, response: &Response) {
    if guess.stages.len() != response.stages.len() {
        guess.stages = response.stages.iter().map(|s| vec![0.0; s.len()]).collect();
    }
    for (g, r) in guess.stages.iter_mut().zip(&response.stages) {
        for (g, r) in g.iter_mut().zip(r) {
            *g += factor * r;
        }
    }
}

/// Share of the stand's stores still there, 0 to 1.
fn stores_share(lodgers: &[Lodger]) -> Vec<(usize, f64)> {
    lodgers
        .iter()
        .map(|c| {
            (
                c.stack,
                if c.stores > 0.0 {
                    (1.0 - c.colony.eaten() / c.stores).clamp(0.0, 1.0)
                } else {
                    0.0
                },
            )
        })
        .collect()
}

/// Days from the winter's start on which brood starts and is full.
struct BroodDates {
    start: i32,
    full: i32,
}

impl BroodDates {
    fn of(scenario: &Scenario, winter: &Winter) -> Self {
        let day = |md: MonthDay| days_from(winter.start, md);
        Self {
            start: day(scenario.season.brood_start),
            full: day(scenario.season.brood_full),
        }
    }
}

/// Days from `start` to the next such day of the year.
fn days_from(start: Date, md: MonthDay) -> i32 {
    let (month, day) = (md.month as i8, md.day as i8);
    (0..2)
        .filter_map(|years| {
            let year = start.year() + years;
            // 29 February falls on the 28th in other years.
            let date = Date::new(year, month, day)
                .or_else(|_| Date::new(year, month, day - 1))
                .ok()?;
            let days = start.until(date).ok()?.get_days();
            (days >= 0).then_some(days)
        })
        .next()
        .unwrap_or(0)
}

fn winter_time(start: Date, hour: usize) -> DateTime {
    let days = jiff::Span::new().days((hour / 24) as i64);
    start
        .checked_add(days)
        .unwrap_or(start)
        .at((hour % 24) as i8, 0, 0, 0)
}

/// Weather halfway through an hour: temperatures between its ends, means as they are.
fn halfway(a: &Hour, b: &Hour) -> Hour {
    Hour {
        temp_c: 0.5 * (a.temp_c + b.temp_c),
        dewpoint_c: 0.5 * (a.dewpoint_c + b.dewpoint_c),
        ..*a
    }
}

/// Mean weather of the first day, without sun: where the network starts from.
fn mean_day(hours: &[Hour]) -> Hour {
    let day = &hours[..hours.len().min(24)];
    let mean = |f: fn(&Hour) -> f64| day.iter().map(f).sum::<f64>() / day.len().max(1) as f64;
    Hour {
        temp_c: mean(|h| h.temp_c),
        dewpoint_c: mean(|h| h.dewpoint_c),
        wind: mean(|h| h.wind),
        ghi: 0.0,
        dni: 0.0,
        dhi: 0.0,
        sky_longwave: mean(|h| h.sky_longwave),
        snow_depth: mean(|h| h.snow_depth),
        sun_elevation_deg: -10.0,
        sun_azimuth_deg: 0.0,
    }
}
