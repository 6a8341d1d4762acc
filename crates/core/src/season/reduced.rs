//! The reduced network around the clusters, and the store of places it has worked out.

use super::outcome::SolverReport;
use super::place::{Lattice, Place, Site};
use super::prepared_hive::{HourlyForcing, PreparedHive};
use super::surroundings::Surroundings;
use crate::heat::HeatError;
use crate::heat::reduced::{Body, Near, PortHour, Ports, ReducedNetwork, ReducedState};
use std::collections::HashMap;
use std::sync::{Arc, PoisonError, RwLock};

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Most modes kept.
const MODES: usize = 120;
/// Sizes of the clusters the basis is made to fit, m.
const SEED_RADII: [f64; 2] = [0.08, 0.14];
/// Where they sit, as shares of the comb space across, along and up.
const SEED_PLACES: [&[f64]; 3] = [&[0.2, 0.5, 0.8], &[0.3, 0.6], &[0.2, 0.5, 0.8]];

/// A hive's reduced network with the places clusters have had in it; shared by all threads.
pub struct ReducedHive {
    network: ReducedNetwork,
    /// How many of the ports are patches.
    patches: usize,
    /// How many times as short as usual the steps from place to place are.
    finer: f64,
    sites: RwLock<HashMap<Site, Arc<Body>>>,
    nears: RwLock<HashMap<Site, Near>>,
}

impl ReducedHive {
    /// Reduces a stand's network.
    ///
    /// # Errors
    /// A solver failure.
    pub fn build(stand: &PreparedHive) -> Result<Self, HeatError> {
        let hive = &stand.hive;
        let mut fill = Vec::new();
        stand.fill(&mut fill, |_, _| Some(0.5));
        let nominal = stand.full_drive(&stand.nominal(), &fill);
        let ports = Ports {
            patches: stand.patches().map(<[usize]>::to_vec).collect(),
            nodes: stand.nodes().to_vec(),
        };
        let mut seeds = Vec::new();
        for (i, stack) in hive.stacks.iter().enumerate() {
            let b = stack.bounds;
            let [across, along, up] = SEED_PLACES;
            for radius in SEED_RADII {
                for x in across {
                    for y in along {
                        for z in up {
                            let at = [x, y, z];
                            let seed = Place {
                                stack: i,
                                radius,
                                centre: std::array::from_fn(|a| at[a] * (b[a][1] - b[a][0])),
                            };
                            seeds.push(seed.shell(hive)?);
                        }
                    }
                }
            }
        }
        Ok(Self {
            network: ReducedNetwork::build(&hive.network, &nominal, &ports, &seeds, MODES, STEP)?,
            patches: ports.patches.len(),
            finer: 1.0,
            sites: RwLock::default(),
            nears: RwLock::default(),
        })
    }

    /// Halves the steps between the places kept: a cluster's place is drawn between them, which is most of what such a network is off by.
    /// Each place costs a few milliseconds once, and there are up to eight times as many.
    pub(super) fn refine(&mut self) {
        self.finer *= 2.0;
        self.sites = RwLock::default();
    }

    /// The network.
    #[must_use]
    pub fn network(&self) -> &ReducedNetwork {
        &self.network
    }

    /// The kept places around one, with their shares; `last` are those of the last place asked for, mostly the same.
    fn around(
        &self,
        stand: &PreparedHive,
        place: &Place,
        last: &mut Corners<Arc<Body>>,
    ) -> Result<(), HeatError> {
        let lattice = Lattice::fine(&stand.hive.stacks[place.stack].bounds, self.finer);
        last.turn(lattice.around(place), &self.sites, |site| {
            let shell = lattice.place(site).shell(&stand.hive)?;
            Ok(Arc::new(self.network.place(&shell)))
        })
    }

    /// What is close to a cluster there.
    fn near(
        &self,
        stand: &PreparedHive,
        place: &Place,
        last: &mut Corners<Near>,
    ) -> Result<Near, HeatError> {
        last.turn(Lattice::NEAR.around(place), &self.nears, |site| {
            let shell = Lattice::NEAR.place(site).shell(&stand.hive)?;
            self.network.near(&shell)
        })?;
        Ok(Near::between(
            last.0.iter().map(|(share, _, near)| (*share, *near)),
        ))
    }

    fn load(&self, stand: &PreparedHive, now: &HourlyForcing, hour: &mut PortHour) {
        hour.conductance.clear();
        hour.t.clear();
        for (i, film) in now.films.iter().enumerate() {
            hour.conductance
                .push(self.network.patch_conductance(i, film.h));
            hour.t.push(film.t);
        }
        for g in &now.exchange {
            hour.conductance.push(*g);
            hour.t.push(now.outdoor_c);
        }
        hour.power.clear();
        hour.power.resize(self.patches, 0.0);
        hour.power.extend_from_slice(stand.heaters());
    }
}

/// What a store holds for a site, made when it is first asked for.
fn kept<T: Clone>(
    store: &RwLock<HashMap<Site, T>>,
    site: Site,
    make: impl FnOnce() -> Result<T, HeatError>,
) -> Result<T, HeatError> {
    let held = store.read().unwrap_or_else(PoisonError::into_inner);
    if let Some(t) = held.get(&site) {
        return Ok(t.clone());
    }
    drop(held);
    let made = make()?;
    let mut held = store.write().unwrap_or_else(PoisonError::into_inner);
    Ok(held.entry(site).or_insert(made).clone())
}

/// Points of a lattice around a place: share, point, and what is kept of it.
#[derive(Default)]
struct Corners<T>(Vec<(f64, Site, T)>);

impl<T: Clone> Corners<T> {
    /// Goes over to the points around another place.
    fn turn(
        &mut self,
        corners: impl Iterator<Item = (f64, Site)>,
        store: &RwLock<HashMap<Site, T>>,
        make: impl Fn(Site) -> Result<T, HeatError>,
    ) -> Result<(), HeatError> {
        let before = self.0.len();
        for (share, site) in corners {
            let known = self.0[..before].iter().find(|(_, s, _)| *s == site);
            let held = match known {
                Some((_, _, held)) => held.clone(),
                None => kept(store, site, || make(site))?,
            };
            self.0.push((share, site, held));
        }
        self.0.drain(..before);
        Ok(())
    }
}

fn parts(around: &Corners<Arc<Body>>) -> impl Iterator<Item = (f64, &Body)> {
    around
        .0
        .iter()
        .map(|(share, _, body)| (*share, body.as_ref()))
}

/// A stand's reduced network on its way through a winter.
pub(super) struct ReducedWinter<'a> {
    stand: &'a PreparedHive,
    hive: &'a ReducedHive,
    state: ReducedState<'a>,
    /// Points around each cluster.
    clusters: Vec<(Corners<Arc<Body>>, Corners<Near>)>,
    hour: PortHour,
    worst: f64,
}

impl<'a> ReducedWinter<'a> {
    /// Steady under `start` with the heaters on and no bees.
    pub fn new(
        stand: &'a PreparedHive,
        start: &HourlyForcing,
        fill: &[f64],
    ) -> Result<Self, HeatError> {
        let hive = stand.reduced()?;
        let mut hour = PortHour::default();
        hive.load(stand, start, &mut hour);
        Ok(Self {
            state: ReducedState::steady(&hive.network, fill, &hour)?,
            stand,
            hive,
            clusters: Vec::new(),
            hour,
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
        self.hive.around(self.stand, &place, &mut around)?;
        Ok(self.state.probe(parts(&around)))
    }

    fn place(&mut self, i: usize, place: Place) -> Result<f64, HeatError> {
        let new = i >= self.clusters.len();
        if new {
            self.clusters.push(Default::default());
        }
        let (around, near) = &mut self.clusters[i];
        self.hive.around(self.stand, &place, around)?;
        let near = self.hive.near(self.stand, &place, near)?;
        if new {
            self.state.add_body(parts(around), near);
        } else {
            self.state.move_body(i, parts(around), near);
        }
        Ok(self.state.steady_response(i))
    }

    fn step(&mut self, now: &HourlyForcing, flow: &[f64]) -> Result<(), HeatError> {
        self.hive.load(self.stand, now, &mut self.hour);
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

    fn node(&self, i: usize) -> f64 {
        self.state.port(self.hive.patches + i)
    }

    fn gradients(&mut self, out: &mut [[f64; 3]]) {
        for (o, g) in out.iter_mut().zip(self.state.gradients()) {
            *o = g;
        }
    }

    fn report(&self) -> SolverReport {
        let stats = self.state.stats();
        SolverReport {
            unknowns: self.hive.network.modes(),
            steps: stats.steps,
            solves: stats.solves,
            iterations: stats.iterations,
            energy_residual: stats.balance.relative(),
            coupling_residual: self.worst,
        }
    }
}
