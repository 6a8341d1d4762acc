//! The full network around the clusters.
//!
//! An hour is stepped with last hour's heats, and once more with those the clusters answer with. What a watt of a cluster does to what is around
//! the others within the hour is kept, and renewed when a cluster or a fill has changed, when the second pass shows that it no longer fits, and at
//! least once a day.

use super::outcome::SolverReport;
use super::place::Place;
use super::prepared_hive::PreparedHive;
use super::surroundings::{HourlyForcing, Surroundings};
use super::winter_run::Method;
use crate::heat::{Drive, HeatError, LinearSolver, Shell, Stepper, steady};

/// Length of an hour, s.
const HOUR: f64 = 3600.0;
/// Steps an hour: in one step a cluster in seams, whose surroundings follow the hour within minutes, is 0.2 K late where a front passes; in two
/// no later than in four, to 0.02 K.
const STEPS: usize = 2;
/// What a watt does is renewed when the temperature around a cluster comes out this far from the expected one, K.
const STALE: f64 = 0.02;
/// Most times an hour is stepped with the streams that were found the time before, and the change at which they are settled, K.
const MOST_ROUNDS: usize = 8;
const SETTLED: f64 = 0.03;
/// Hours after which it is renewed in any case.
const RENEW_AFTER: usize = 24;

struct Lodging {
    shell: Shell,
    /// Nodes that the air it warms takes heat to, with their shares; the rest stays at the shell.
    plume: Vec<(usize, f64)>,
    /// Steady field of a watt of its own, K.
    settled: Vec<f64>,
}

impl Lodging {
    fn deposit(&self, power: &mut [f64], watts: f64) {
        give(&self.shell, &self.plume, power, watts);
    }
}

/// Puts a cluster's heat where it goes.
fn give(shell: &Shell, plume: &[(usize, f64)], power: &mut [f64], watts: f64) {
    let mut stays = 1.0;
    for (node, share) in plume {
        power[*node] += share * watts;
        stays -= share;
    }
    shell.deposit(power, stays * watts);
}

/// A stand's full network on its way through a winter.
pub(super) struct FullHive<'a> {
    stand: &'a PreparedHive,
    stepper: Stepper,
    /// For what a watt does, so that the hours' own first guesses stay theirs.
    apart: Stepper,
    drive: Drive,
    now: HourlyForcing,
    /// The field at the hour's start, as streams find it, its mean over the hour, and at the hour's end.
    before: Vec<f64>,
    found: Vec<f64>,
    mean: Vec<f64>,
    t: Vec<f64>,
    clusters: Vec<Lodging>,
    flow: Vec<f64>,
    around: Vec<f64>,
    between: Vec<f64>,
    fresh_for: usize,
    worst: f64,
    /// Share of a cluster's heat that rises with the air.
    rises: f64,
}

impl<'a> FullHive<'a> {
    /// Steady under `start` with the heaters on and no bees.
    pub fn new(
        stand: &'a PreparedHive,
        method: Method,
        start: &HourlyForcing,
        fill: &[f64],
        rises: f64,
    ) -> Result<Self, HeatError> {
        let network = &stand.hive.network;
        let mut drive = stand.full_drive(start, fill);
        heat(stand, start, &mut drive);
        let t = steady(network, &drive, LinearSolver::PCG)?.t;
        Self::from(stand, method, t, drive, rises)
    }

    /// With a given field, degC.
    pub fn at(
        stand: &'a PreparedHive,
        method: Method,
        t: Vec<f64>,
        fill: &[f64],
        rises: f64,
    ) -> Result<Self, HeatError> {
        let drive = stand.full_drive(&stand.nominal(), fill);
        Self::from(stand, method, t, drive, rises)
    }

    fn from(
        stand: &'a PreparedHive,
        method: Method,
        t: Vec<f64>,
        drive: Drive,
        rises: f64,
    ) -> Result<Self, HeatError> {
        let network = &stand.hive.network;
        let solver = LinearSolver {
            tolerance: method.tolerance,
        };
        let stepper = || Stepper::new(network, method.scheme, HOUR / STEPS as f64, solver);
        Ok(Self {
            stepper: stepper()?,
            apart: stepper()?,
            before: t.clone(),
            found: t.clone(),
            mean: t.clone(),
            now: stand.nominal(),
            drive,
            t,
            stand,
            clusters: Vec::new(),
            flow: Vec::new(),
            around: Vec::new(),
            between: Vec::new(),
            fresh_for: 0,
            worst: 0.0,
            rises,
        })
    }

    /// Temperature of every unknown, degC.
    pub fn field(&self) -> &[f64] {
        &self.t
    }

    /// Steps the hour with the streams as they are on its mean, which is known better each time.
    fn carry(&mut self) -> Result<(), HeatError> {
        for _ in 0..MOST_ROUNDS {
            self.stand
                .set_drive(&mut self.drive, &self.now, &self.found);
            self.t.copy_from_slice(&self.before);
            hour(
                &mut self.stepper,
                &self.drive,
                &mut self.t,
                Some(&mut self.mean),
            )?;
            std::mem::swap(&mut self.found, &mut self.mean);
            let pairs = self.found.iter().zip(&self.mean);
            let change = pairs.fold(0.0f64, |most, (a, b)| most.max((a - b).abs()));
            if change < SETTLED || self.now.streams.is_empty() {
                break;
            }
        }
        Ok(())
    }

    fn renew(&mut self) -> Result<(), HeatError> {
        let count = self.clusters.len();
        let mut unit = self.drive.clone();
        unit.faces.iter_mut().for_each(|f| f.t = 0.0);
        unit.exchange.iter_mut().for_each(|e| e.t = 0.0);
        let mut t = vec![0.0; self.t.len()];
        for j in 0..count {
            t.fill(0.0);
            unit.power.fill(0.0);
            self.clusters[j].deposit(&mut unit.power, 1.0);
            hour(&mut self.apart, &unit, &mut t, None)?;
            for (i, c) in self.clusters.iter().enumerate() {
                self.between[i * count + j] = c.shell.sample(&t);
            }
        }
        self.fresh_for = RENEW_AFTER;
        Ok(())
    }
}

/// Lets an hour pass over `t`, degC; `mean` takes its mean.
fn hour(
    stepper: &mut Stepper,
    drive: &Drive,
    t: &mut [f64],
    mut mean: Option<&mut Vec<f64>>,
) -> Result<(), HeatError> {
    if let Some(mean) = &mut mean {
        mean.fill(0.0);
    }
    let mut count = |t: &[f64]| {
        for (m, t) in mean.iter_mut().flat_map(|m| m.iter_mut()).zip(t) {
            *m += 0.5 * t / STEPS as f64;
        }
    };
    for _ in 0..STEPS {
        count(t);
        stepper.step(t, drive)?;
        count(t);
    }
    Ok(())
}

/// Puts nothing but the heaters, and the heat of water, into a drive's power.
fn heat(stand: &PreparedHive, now: &HourlyForcing, drive: &mut Drive) {
    drive.power.fill(0.0);
    for (i, (heater, water)) in stand.heaters().iter().zip(&now.warms).enumerate() {
        stand.give(i, heater + water, &mut drive.power);
    }
}

impl Surroundings for FullHive<'_> {
    fn fill(&mut self, fill: &[f64]) -> Result<(), HeatError> {
        if self.drive.fill != fill {
            self.drive.fill.copy_from_slice(fill);
            self.fresh_for = 0;
        }
        Ok(())
    }

    fn probe(&self, place: Place) -> Result<f64, HeatError> {
        Ok(place.shell(&self.stand.hive)?.sample(&self.t))
    }

    fn place(&mut self, i: usize, place: Place) -> Result<(), HeatError> {
        let shell = place.shell(&self.stand.hive)?;
        let mut unit = self
            .stand
            .full_drive(&self.stand.nominal(), &self.drive.fill);
        unit.faces.iter_mut().for_each(|f| f.t = 0.0);
        unit.exchange.iter_mut().for_each(|e| e.t = 0.0);
        let plume = self.stand.plume_nodes(&place, self.rises);
        give(&shell, &plume, &mut unit.power, 1.0);
        let settled = steady(&self.stand.hive.network, &unit, LinearSolver::PCG)?.t;
        match self.clusters.get_mut(i) {
            Some(c) => {
                c.shell = shell;
                c.plume = plume;
                c.settled = settled;
            }
            None => {
                self.clusters.push(Lodging {
                    shell,
                    plume,
                    settled,
                });
                let count = self.clusters.len();
                self.flow.resize(count, 0.0);
                self.around.resize(count, 0.0);
                self.between.resize(count * count, 0.0);
            }
        }
        self.fresh_for = 0;
        Ok(())
    }

    fn settled(&self, i: usize, j: usize) -> f64 {
        self.clusters[i].shell.sample(&self.clusters[j].settled)
    }

    fn step(&mut self, now: &HourlyForcing, flow: &[f64]) -> Result<(), HeatError> {
        let count = self.clusters.len();
        heat(self.stand, now, &mut self.drive);
        for (c, q) in self.clusters.iter().zip(flow) {
            c.deposit(&mut self.drive.power, *q);
        }
        self.flow.copy_from_slice(&flow[..count]);
        // Streams are first looked for where the last hour's change leads.
        for ((f, before), t) in self.found.iter_mut().zip(&mut self.before).zip(&self.t) {
            *f = t + 0.5 * (t - *before);
            *before = *t;
        }
        self.now.clone_from(now);
        self.carry()?;
        if self.fresh_for == 0 {
            self.renew()?;
        }
        self.fresh_for -= 1;
        for (around, c) in self.around.iter_mut().zip(&self.clusters) {
            *around = c.shell.sample(&self.t);
        }
        Ok(())
    }

    fn around(&self, i: usize) -> f64 {
        self.around[i]
    }

    fn response(&self, i: usize, j: usize) -> f64 {
        self.between[i * self.clusters.len() + j]
    }

    fn correct(&mut self, flow: &[f64]) -> Result<(), HeatError> {
        let count = self.clusters.len();
        if count == 0 {
            return Ok(());
        }
        for (i, c) in self.clusters.iter().enumerate() {
            c.deposit(&mut self.drive.power, flow[i] - self.flow[i]);
        }
        self.carry()?;
        for i in 0..count {
            let expected = self.around[i]
                + (0..count)
                    .map(|j| self.response(i, j) * (flow[j] - self.flow[j]))
                    .sum::<f64>();
            self.around[i] = self.clusters[i].shell.sample(&self.t);
            let off = (self.around[i] - expected).abs();
            self.worst = self.worst.max(off);
            if off > STALE {
                self.fresh_for = 0;
            }
        }
        Ok(())
    }

    fn ports(&mut self, t: &mut Vec<f64>) {
        t.clear();
        t.extend((0..self.stand.ports()).map(|i| self.stand.port_c(i, &self.t)));
    }

    fn surfaces(&mut self, t: &mut Vec<f64>) {
        let readings = self.stand.readings().iter();
        t.clear();
        t.extend(readings.map(|r| r.iter().map(|(n, w)| w * self.t[*n]).sum::<f64>()));
    }

    fn gradients(&mut self, out: &mut [[f64; 3]]) {
        for (o, c) in out.iter_mut().zip(&self.clusters) {
            *o = c.shell.gradient(&self.t);
        }
    }

    fn report(&self) -> SolverReport {
        let stats = self.stepper.stats();
        SolverReport {
            unknowns: self.t.len(),
            steps: stats.steps,
            solves: stats.solves,
            iterations: stats.iterations,
            energy_residual: stats.balance.relative(),
            coupling_residual: self.worst,
        }
    }
}
