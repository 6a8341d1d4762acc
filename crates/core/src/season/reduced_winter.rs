//! The reduced network around the clusters.

use super::outcome::SolverReport;
use super::place::Place;
use super::prepared_hive::PreparedHive;
use super::reduced::{Corners, ReducedHive, parts};
use super::surroundings::{HourlyForcing, Surroundings};
use crate::heat::HeatError;
use crate::heat::reduced::{Body, Near, PortHour, PortStream, ReducedState};
use std::sync::Arc;

/// Points around a cluster, for its surface and for what is close to it.
type Around = (Corners<Arc<Body>>, Corners<Arc<Near>>);

/// A stand's reduced network on its way through a winter.
pub(super) struct ReducedWinter<'a> {
    stand: &'a PreparedHive,
    hive: &'a ReducedHive,
    state: ReducedState<'a>,
    /// Points around each cluster.
    clusters: Vec<Around>,
    hour: PortHour,
    plume: Vec<(usize, f64)>,
    /// Share of a cluster's heat that rises with the air.
    rises: f64,
    worst: f64,
}

impl<'a> ReducedWinter<'a> {
    /// Steady under `start` with the heaters on and no bees.
    pub fn new(
        stand: &'a PreparedHive,
        start: &HourlyForcing,
        fill: &[f64],
        rises: f64,
    ) -> Result<Self, HeatError> {
        let hive = stand.reduced()?;
        let mut hour = PortHour::default();
        load(hive, stand, start, &mut hour);
        Ok(Self {
            state: ReducedState::steady(hive.network(), fill, &hour)?,
            stand,
            hive,
            clusters: Vec::new(),
            hour,
            plume: Vec::new(),
            rises,
            worst: 0.0,
        })
    }
}

impl ReducedWinter<'_> {
    /// The field of the whole network, without what is close to the ports only, degC.
    pub fn field(&self) -> Vec<f64> {
        self.state.field()
    }
}

impl Surroundings for ReducedWinter<'_> {
    fn fill(&mut self, fill: &[f64]) -> Result<(), HeatError> {
        self.state.refill(fill)
    }

    fn probe(&self, place: Place) -> Result<f64, HeatError> {
        let mut around = Corners::default();
        self.hive.around(&self.stand.hive, &place, &mut around)?;
        Ok(self.state.probe(parts(&around)))
    }

    fn place(&mut self, i: usize, place: Place) -> Result<(), HeatError> {
        let new = i >= self.clusters.len();
        if new {
            self.clusters.push(Default::default());
        }
        let (around, near) = &mut self.clusters[i];
        self.hive.around(&self.stand.hive, &place, around)?;
        self.hive.near(&self.stand.hive, &place, near)?;
        let first = self.hive.patches;
        self.stand.plume(&place, self.rises, &mut self.plume);
        self.plume.iter_mut().for_each(|p| p.0 += first);
        if new {
            self.state.add_body(parts(around), parts(near), &self.plume);
        } else {
            self.state
                .move_body(i, parts(around), parts(near), &self.plume);
        }
        Ok(())
    }

    fn settled(&self, i: usize, j: usize) -> f64 {
        self.state.settled(i, j)
    }

    fn step(&mut self, now: &HourlyForcing, flow: &[f64]) -> Result<(), HeatError> {
        load(self.hive, self.stand, now, &mut self.hour);
        self.state.step(&self.hour, flow)
    }

    fn around(&self, i: usize) -> f64 {
        self.state.around(i)
    }

    fn response(&self, i: usize, j: usize) -> f64 {
        self.state.response(i, j)
    }

    fn correct(&mut self, flow: &[f64]) -> Result<(), HeatError> {
        let count = self.clusters.len();
        let mut expected = [0.0; super::coupling::MOST];
        for (i, e) in expected.iter_mut().enumerate().take(count) {
            *e = self.state.expected(i, flow);
        }
        self.state.correct(flow);
        for (i, e) in expected.iter().enumerate().take(count) {
            self.worst = self.worst.max((self.state.around(i) - e).abs());
        }
        self.state.commit();
        Ok(())
    }

    fn ports(&mut self, t: &mut Vec<f64>) {
        t.resize(self.stand.ports(), 0.0);
        self.state.ports(self.hive.patches, t);
    }

    fn surfaces(&mut self, t: &mut Vec<f64>) {
        self.state.readings(t);
    }

    fn gradients(&mut self, out: &mut [[f64; 3]]) {
        for (o, g) in out.iter_mut().zip(self.state.gradients()) {
            *o = g;
        }
    }

    fn report(&self) -> SolverReport {
        let stats = self.state.stats();
        SolverReport {
            unknowns: self.hive.network().modes(),
            steps: stats.steps,
            solves: stats.solves,
            iterations: stats.iterations,
            energy_residual: stats.balance.relative(),
            coupling_residual: self.worst,
        }
    }
}

/// What acts on the ports in an hour.
fn load(hive: &ReducedHive, stand: &PreparedHive, now: &HourlyForcing, hour: &mut PortHour) {
    hour.conductance.clear();
    hour.t.clear();
    for (i, film) in now.films.iter().enumerate() {
        hour.conductance
            .push(hive.network().patch_conductance(i, film.h));
        hour.t.push(film.t);
    }
    for g in &now.exchange {
        hour.conductance.push(*g);
        hour.t.push(now.outdoor_c);
    }
    hour.power.clear();
    hour.power.resize(hive.patches, 0.0);
    let heat = stand.heaters().iter().zip(&now.warms);
    hour.power
        .extend(heat.map(|(heater, water)| heater + water));
    let port = |i: usize| hive.patches + i;
    hour.streams.clear();
    hour.streams.extend(now.streams.iter().map(|s| PortStream {
        from: port(s.from),
        to: port(s.to),
        conductance: s.conductance,
    }));
}
