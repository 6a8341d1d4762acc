//! The hive as a winter drives it: its outer faces and openings ready for the weather, places for its clusters.

use super::place::Place;
use super::reduced::ReducedHive;
use super::stand_air::{MovingAir, Occupant, PreparedAir};
use super::surroundings::HourlyForcing;
use crate::boundary::{BoundaryError, Face, HourSky, PreparedFace, SiteExposure, VentParams};
use crate::climate::moist_air::vapour_pressure;
use crate::climate::series::Hour;
use crate::colony::parameters::Parameters;
use crate::heat::reduced::Ports;
use crate::heat::{Drive, Exchange, Film, HeatError};
use crate::hive::{AirPort, Hive};
use crate::stand::Scenario;
use crate::water::PreparedWater;
use std::sync::OnceLock;

/// A hive with everything prepared that does not change with the weather.
pub struct PreparedHive {
    /// The hive.
    pub hive: Hive,
    site: SiteExposure,
    /// One face for each patch: face groups of one zone, direction and surface.
    patches: Vec<(PreparedFace, Vec<usize>)>,
    /// Unknowns with an air exchange or a heater, each once.
    nodes: Vec<usize>,
    /// Standing exchange with outside air of each port, W/K: of these nodes, then of the regions that air passes.
    open: Vec<f64>,
    /// Heaters, W at each of them.
    heat: Vec<f64>,
    pub(super) air: Vec<PreparedAir>,
    pub(super) water: Vec<PreparedWater>,
    /// Unknowns that make the temperatures of the inner surfaces of all stacks, with their shares.
    readings: Vec<Vec<(usize, f64)>>,
    vent_parameters: VentParams,
    /// Height above ground at which bees fly out, m.
    bee_height: f64,
    /// Stack and box of each fill zone, and its fill on the start date.
    zones: Vec<(usize, usize, f64)>,
    /// Detail of the reduced network, in times the usual.
    finer: usize,
    reduced: OnceLock<Result<ReducedHive, HeatError>>,
}

/// Height above the stand at which bees fly out, m (a choice: the middle of a two-box hive).
const FLY_OUT: f64 = 0.25;

/// Weather the reduced network's matrix is built with; what differs is solved each hour.
const NOMINAL: Hour = Hour {
    outdoor_c: 0.0,
    dewpoint_c: -3.0,
    wind: 3.0,
    ghi: 0.0,
    dni: 0.0,
    dhi: 0.0,
    sky_longwave: 260.0,
    snow_depth: 0.0,
    sun_elevation_deg: -10.0,
    sun_azimuth_deg: 0.0,
};
/// Temperature of the openings in that weather, degC.
const NOMINAL_INSIDE_C: f64 = 5.0;

impl PreparedHive {
    /// Prepares a hive for the weather of its site.
    ///
    /// # Errors
    /// A damaged table in the program.
    pub fn new(scenario: &Scenario, hive: Hive, elevation: f64) -> Result<Self, BoundaryError> {
        let site = SiteExposure::new(scenario.site.shelter, scenario.site.snow_cover)?;
        let mut vent_parameters = VentParams::shipped()?;
        vent_parameters.pressure = crate::boundary::air::pressure_at(elevation);
        let heaters = hive.heaters();
        let mut nodes: Vec<usize> = hive.open_to_air.iter().map(|o| o.node).collect();
        let spaces = hive.stacks.iter().flat_map(|s| &s.air.spaces);
        nodes.extend(spaces.filter_map(|s| match s.port {
            AirPort::Node(node) => Some(node),
            AirPort::Region(_) => None,
        }));
        nodes.extend(heaters.iter().map(|(node, _)| node));
        nodes.sort_unstable();
        nodes.dedup();
        let at = |node: usize| nodes.partition_point(|n| *n < node);
        let ports = nodes.len() + hive.regions.len();
        let (mut open, mut heat) = (vec![0.0; ports], vec![0.0; ports]);
        let port = |p: AirPort| match p {
            AirPort::Node(node) => at(node),
            AirPort::Region(r) => nodes.len() + r,
        };
        for o in &hive.open_to_air {
            open[at(o.node)] += o.conductance;
        }
        for &(node, power) in &heaters {
            heat[at(node)] += power;
        }
        let (mut water, mut readings) = (Vec::new(), Vec::new());
        for i in 0..hive.stacks.len() {
            let (stack, surfaces) = PreparedWater::of(&hive, scenario, i);
            water.push(stack);
            readings.extend(surfaces);
        }
        Ok(Self {
            water,
            readings,
            patches: patches(&hive),
            air: (0..hive.stacks.len())
                .map(|i| PreparedAir::of(&hive, i, port, scenario.site.stand_height, &site))
                .collect(),
            zones: hive.honey_zones(),
            site,
            vent_parameters,
            bee_height: scenario.site.stand_height + FLY_OUT,
            nodes,
            open,
            heat,
            hive,
            finer: 1,
            reduced: OnceLock::new(),
        })
    }

    /// Unknowns that are ports of the stand, each once: air spaces and what is heated. The regions that air passes follow them in
    /// [`HourlyForcing::exchange`].
    #[must_use]
    pub fn nodes(&self) -> &[usize] {
        &self.nodes
    }

    /// How many ports there are.
    #[must_use]
    pub fn ports(&self) -> usize {
        self.open.len()
    }

    /// Unknowns that make the temperatures of the inner surfaces, stack by stack, with their shares.
    #[must_use]
    pub fn readings(&self) -> &[Vec<(usize, f64)>] {
        &self.readings
    }

    /// Puts heat (W) given at port `i` where it goes in the full network.
    pub fn give(&self, i: usize, watts: f64, power: &mut [f64]) {
        match self.nodes.get(i) {
            Some(&node) => power[node] += watts,
            None => {
                let region = &self.hive.regions[i - self.nodes.len()];
                region.iter().for_each(|(n, w)| power[*n] += w * watts);
            }
        }
    }

    /// Temperature of port `i` in a field of the full network, degC.
    #[must_use]
    pub fn port_c(&self, i: usize, t: &[f64]) -> f64 {
        match self.nodes.get(i) {
            Some(&node) => t[node],
            None => mean(&self.hive.regions[i - self.nodes.len()], t),
        }
    }

    /// How air passes openings and cracks by a colony's parameters.
    #[must_use]
    pub fn vents(&self, p: &Parameters) -> VentParams {
        VentParams {
            slot_factor: p.opening_factor,
            crack_width: p.crack_width,
            ..self.vent_parameters
        }
    }

    /// Ports that the air a cluster warms takes a `share` of its heat to at once, with their shares of all its heat.
    pub fn plume(&self, place: &Place, share: f64, ports: &mut Vec<(usize, f64)>) {
        ports.clear();
        let Some(air) = self.air.get(place.stack) else {
            return;
        };
        air.over(&air.ball(place), ports);
        let at = air.ports();
        ports.iter_mut().for_each(|p| *p = (at[p.0], p.1 * share));
    }

    /// The same as nodes of the full network.
    #[must_use]
    pub fn plume_nodes(&self, place: &Place, share: f64) -> Vec<(usize, f64)> {
        let mut ports = Vec::new();
        self.plume(place, share, &mut ports);
        let nodes = ports
            .into_iter()
            .map(|(port, share)| match self.nodes.get(port) {
                Some(&node) => vec![(node, share)],
                None => {
                    let region = &self.hive.regions[port - self.nodes.len()];
                    region.iter().map(|(n, w)| (*n, w * share)).collect()
                }
            });
        nodes.flatten().collect()
    }

    /// Electric heat at each port, W.
    #[must_use]
    pub fn heaters(&self) -> &[f64] {
        &self.heat
    }

    /// Face groups of each patch, in the order of [`HourlyForcing::films`].
    pub fn patches(&self) -> impl ExactSizeIterator<Item = &[usize]> {
        self.patches.iter().map(|(_, groups)| groups.as_slice())
    }

    /// The hour's drive; `port_c` tells the temperature of each port, degC, for the draught; `here` are the clusters.
    #[must_use]
    pub fn hour(
        &self,
        hour: &Hour,
        here: &[Occupant],
        port_c: impl Fn(usize) -> f64,
    ) -> HourlyForcing {
        let mut now = HourlyForcing {
            films: Vec::with_capacity(self.patches.len()),
            exchange: Vec::with_capacity(self.open.len()),
            streams: Vec::new(),
            air: vec![MovingAir::default(); self.air.len()],
            warms: vec![0.0; self.open.len()],
            vapour: 0.0,
            vents: self.vent_parameters,
            outdoor_c: hour.outdoor_c,
            wind: 0.0,
        };
        self.drive(&mut now, hour, here, port_c);
        now
    }

    /// As [`PreparedHive::hour`], into an hour that is there already.
    pub fn drive(
        &self,
        now: &mut HourlyForcing,
        hour: &Hour,
        here: &[Occupant],
        port_c: impl Fn(usize) -> f64,
    ) {
        let sky = HourSky::new(hour, &self.site);
        now.outdoor_c = hour.outdoor_c;
        now.vapour = vapour_pressure(hour.dewpoint_c);
        now.wind = sky.wind_at(self.bee_height);
        now.films.clear();
        let mut last: Option<(&PreparedFace, Film)> = None;
        for (face, _) in &self.patches {
            // Patches of one face follow one another.
            let film = match last {
                Some((known, film)) if known == face => film,
                _ => {
                    let f = sky.film(face);
                    Film { h: f.h, t: f.t }
                }
            };
            last = Some((face, film));
            now.films.push(film);
        }
        now.exchange.clear();
        now.exchange.extend_from_slice(&self.open);
        now.streams.clear();
        for (i, (air, moving)) in self.air.iter().zip(&mut now.air).enumerate() {
            let wind = sky.wind_at(air.z);
            let here = here.iter().copied().filter(|o| o.place.stack == i);
            air.hour(moving, hour.outdoor_c, wind, &now.vents, here, &port_c);
            air.carry(moving, &mut now.exchange, &mut now.streams);
        }
    }

    /// Air pressure, Pa.
    #[must_use]
    pub fn pressure(&self) -> f64 {
        self.vent_parameters.pressure
    }

    /// The nominal hour: a cloudy winter night with some wind.
    #[must_use]
    pub fn nominal(&self) -> HourlyForcing {
        let mut still = self.hour(&NOMINAL, &[], |_| NOMINAL_INSIDE_C);
        // The matrix holds still air: what moves is added outside it.
        still.streams.clear();
        still.exchange.copy_from_slice(&self.open);
        still
    }

    /// A full network's drive for an hour, without power.
    #[must_use]
    pub fn full_drive(&self, hour: &HourlyForcing, fill: &[f64]) -> Drive {
        let mut drive = Drive::uniform(&self.hive.network, Film { h: 0.0, t: 0.0 });
        drive.fill.copy_from_slice(fill);
        self.set_drive(
            &mut drive,
            hour,
            &vec![hour.outdoor_c; self.hive.network.n()],
        );
        drive
    }

    /// Sets films and exchanges of a full network's drive; streams bring the temperatures they find in `t`, degC. A region takes heat from
    /// a stream by its mean temperature, evenly: what its cells differ from that is taken from `t` too.
    pub fn set_drive(&self, drive: &mut Drive, hour: &HourlyForcing, t: &[f64]) {
        for ((_, groups), film) in self.patches.iter().zip(&hour.films) {
            for &g in groups {
                drive.faces[g] = *film;
            }
        }
        drive.exchange.clear();
        let mut brought: Vec<(f64, f64)> = hour
            .exchange
            .iter()
            .map(|g| (*g, g * hour.outdoor_c))
            .collect();
        for s in &hour.streams {
            let (g, gt) = &mut brought[s.to];
            *g += s.conductance;
            *gt += s.conductance * self.port_c(s.from, t);
        }
        for (i, (conductance, gt)) in brought.into_iter().enumerate().filter(|(_, b)| b.0 > 0.0) {
            let from = gt / conductance;
            match self.nodes.get(i) {
                Some(&node) => drive.exchange.push(Exchange {
                    node,
                    conductance,
                    t: from,
                }),
                None => {
                    let region = &self.hive.regions[i - self.nodes.len()];
                    let mean = mean(region, t);
                    drive
                        .exchange
                        .extend(region.iter().map(|&(node, w)| Exchange {
                            node,
                            conductance: w * conductance,
                            t: from + t[node] - mean,
                        }));
                }
            }
        }
    }

    /// Fill of each zone, 0 to 1: what `full(stack, box)` says, else what it was on the start date.
    pub fn fill(&self, fill: &mut Vec<f64>, full: impl Fn(usize, usize) -> Option<f64>) {
        fill.clear();
        let zones = self.zones.iter();
        fill.extend(zones.map(|&(stack, b, start)| full(stack, b).unwrap_or(start)));
    }

    /// The hive's reduced network, built when first asked for.
    ///
    /// # Errors
    /// A solver failure while building it.
    pub fn reduced(&self) -> Result<&ReducedHive, HeatError> {
        self.reduced
            .get_or_init(|| self.reduce())
            .as_ref()
            .map_err(Clone::clone)
    }

    /// Reduces the hive's network.
    ///
    /// # Errors
    /// A solver failure.
    pub fn reduce(&self) -> Result<ReducedHive, HeatError> {
        let mut fill = Vec::new();
        self.fill(&mut fill, |_, _| Some(0.5));
        let ports = Ports {
            patches: self.patches().map(<[usize]>::to_vec).collect(),
            nodes: self.nodes.clone(),
            regions: self.hive.regions.clone(),
            readings: self.readings.clone(),
        };
        ReducedHive::build(
            &self.hive,
            &self.full_drive(&self.nominal(), &fill),
            &ports,
            self.finer,
        )
    }

    /// From now on the reduced network has twice as many modes, and places of clusters twice as close.
    pub fn refine(&mut self) {
        self.finer = FINER;
        self.reduced = OnceLock::new();
    }
}

/// Detail of a refined network, in times the usual (a choice).
const FINER: usize = 2;

/// Mean of a field over a region.
fn mean(region: &[(usize, f64)], t: &[f64]) -> f64 {
    region.iter().map(|(n, w)| w * t[*n]).sum()
}

/// Patches of one face are told apart when behind a good film their conductances differ by this factor.
const PATCH_RATIO: f64 = 1.5;
/// Resistance of such a film, m2K/W.
const PATCH_FILM: f64 = 0.08;
/// A patch smaller than this share of its face joins its neighbour.
const SMALLEST_PATCH: f64 = 0.03;

/// Face groups of one zone, direction and surface, with a face at their mean height by area; told apart further by what
/// lies behind them, for heat spreads over a patch by its conductances.
fn patches(hive: &Hive) -> Vec<(PreparedFace, Vec<usize>)> {
    let level = |face: &Face| Face { z: 0.0, ..*face };
    let mut faces: Vec<(u16, Face, Vec<usize>)> = Vec::new();
    for (g, (group, outer)) in hive.network.faces().iter().zip(&hive.faces).enumerate() {
        let known = faces
            .iter_mut()
            .find(|(zone, face, _)| *zone == group.zone && *face == level(&outer.face));
        match known {
            Some((_, _, groups)) => groups.push(g),
            None => faces.push((group.zone, level(&outer.face), vec![g])),
        }
    }
    let area = |groups: &[usize]| groups.iter().map(|&g| hive.faces[g].area).sum::<f64>();
    let mut patches = Vec::new();
    for (_, face, mut groups) in faces {
        let behind = |g: &usize| hive.network.faces()[*g].r_inner + PATCH_FILM;
        groups.sort_by(|a, b| behind(a).total_cmp(&behind(b)));
        let whole = area(&groups);
        let moment: f64 = groups
            .iter()
            .map(|&g| hive.faces[g].face.z * hive.faces[g].area)
            .sum();
        let z = moment / whole;
        let mut parts: Vec<Vec<usize>> = Vec::new();
        for g in groups {
            match parts.last_mut() {
                Some(part) if behind(&g) <= PATCH_RATIO * behind(&part[0]) => part.push(g),
                _ => parts.push(vec![g]),
            }
        }
        let mut kept: Vec<Vec<usize>> = Vec::new();
        for part in parts {
            let small = |p: &[usize]| area(p) < SMALLEST_PATCH * whole;
            match kept.last_mut() {
                Some(last) if small(&part) || small(last) => last.extend(part),
                _ => kept.push(part),
            }
        }
        let face = PreparedFace::new(Face { z, ..face });
        patches.extend(kept.into_iter().map(|groups| (face, groups)));
    }
    patches
}
