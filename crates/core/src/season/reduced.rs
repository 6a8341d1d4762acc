//! A hive's reduced network, and the store of places it has worked out.

use super::place::{Lattice, Place, Site};
use crate::heat::reduced::{Body, Near, Ports, ReducedNetwork};
use crate::heat::{Drive, HeatError};
use crate::hive::Hive;
use std::collections::HashMap;
use std::sync::{Arc, PoisonError, RwLock};

/// Length of a step, s.
const STEP: f64 = 3600.0;
/// Most modes kept.
const MODES: usize = 160;
/// Sizes of the clusters the basis is made to fit, m.
const SEED_RADII: [f64; 2] = [0.08, 0.14];
/// Where they sit, as shares of the comb space across, along and up.
const SEED_PLACES: [&[f64]; 3] = [&[0.2, 0.5, 0.8], &[0.3, 0.6], &[0.2, 0.5, 0.8]];

/// A hive's reduced network with the places clusters have had in it; shared by all threads.
pub struct ReducedHive {
    network: ReducedNetwork,
    /// How many of the ports are patches.
    pub(super) patches: usize,
    /// How many times as short as usual the steps from place to place are.
    finer: f64,
    sites: RwLock<HashMap<Site, Arc<Body>>>,
    nears: RwLock<HashMap<Site, Arc<Near>>>,
}

impl ReducedHive {
    /// Reduces a hive's network, with the drive of its nominal hour; with `finer` times as many modes as usual, and steps between the places kept
    /// that are so many times as short: what such a network is off by comes from both.
    ///
    /// # Errors
    /// A solver failure.
    pub fn build(
        hive: &Hive,
        nominal: &Drive,
        ports: &Ports,
        finer: usize,
    ) -> Result<Self, HeatError> {
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
            network: ReducedNetwork::build(
                &hive.network,
                nominal,
                ports,
                &seeds,
                MODES * finer,
                STEP,
            )?,
            patches: ports.patches.len(),
            finer: finer as f64,
            sites: RwLock::default(),
            nears: RwLock::default(),
        })
    }

    /// The network.
    #[must_use]
    pub fn network(&self) -> &ReducedNetwork {
        &self.network
    }

    /// The kept places around one, with their shares; `last` are those of the last place asked for, mostly the same.
    pub(super) fn around(
        &self,
        hive: &Hive,
        place: &Place,
        last: &mut Corners<Arc<Body>>,
    ) -> Result<(), HeatError> {
        let stack = &hive.stacks[place.stack];
        let lattice = Lattice::fine(&stack.bounds, self.finer);
        let fills = stack.region.fills();
        last.turn(lattice.around(place, fills), &self.sites, |site| {
            let shell = lattice.place(site, fills).shell(hive)?;
            Ok(Arc::new(self.network.place(&shell)))
        })
    }

    /// What is close to a cluster there.
    pub(super) fn near(
        &self,
        hive: &Hive,
        place: &Place,
        last: &mut Corners<Arc<Near>>,
    ) -> Result<(), HeatError> {
        let fills = hive.stacks[place.stack].region.fills();
        last.turn(Lattice::NEAR.around(place, fills), &self.nears, |site| {
            let shell = Lattice::NEAR.place(site, fills).shell(hive)?;
            Ok(Arc::new(self.network.near(&shell)?))
        })
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
pub(super) struct Corners<T>(Vec<(f64, Site, T)>);

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

pub(super) fn parts<T>(around: &Corners<Arc<T>>) -> impl Iterator<Item = (f64, &T)> {
    around.0.iter().map(|(share, _, it)| (*share, it.as_ref()))
}
