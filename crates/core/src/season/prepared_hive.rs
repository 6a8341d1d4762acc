//! The hive as a winter drives it: its outer faces and openings ready for the weather, places for its clusters.

use super::reduced::ReducedHive;
use super::surroundings::HourlyForcing;
use crate::boundary::air::SPECIFIC_HEAT;
use crate::boundary::{
    BoundaryError, Face, HourSky, PreparedFace, SiteExposure, VentOpening, VentParams, ventilation,
};
use crate::climate::series::Hour;
use crate::heat::reduced::Ports;
use crate::heat::{Drive, Exchange, Film, HeatError};
use crate::hive::{Hive, StackSpace};
use crate::stand::Scenario;
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
    /// Standing exchange with outside air of each of them, W/K.
    open: Vec<f64>,
    /// Heaters, W at each of them.
    heat: Vec<f64>,
    vents: Vec<StackVents>,
    vent_parameters: VentParams,
    /// Height above ground at which bees fly out, m.
    bee_height: f64,
    /// Stack and box of each fill zone, and its fill on the start date.
    zones: Vec<(usize, usize, f64)>,
    reduced: OnceLock<Result<ReducedHive, HeatError>>,
}

/// The openings of one stack and the nodes they air.
struct StackVents {
    openings: Vec<VentOpening>,
    /// Positions in the stand's list of nodes.
    at: Vec<usize>,
    z: f64,
}

impl StackVents {
    /// Openings are taken to be all in the front, so that wind pushes on all alike and only pulses.
    fn of(space: &StackSpace, nodes: &[usize], stand_height: f64, site: &SiteExposure) -> Self {
        let mut at: Vec<usize> = space
            .vents
            .iter()
            .filter_map(|v| nodes.binary_search(&v.node).ok())
            .collect();
        at.sort_unstable();
        at.dedup();
        let openings: Vec<VentOpening> = space
            .vents
            .iter()
            .map(|v| VentOpening {
                area: v.area,
                height: v.height,
                z: v.z,
                wind_pressure: site.table.pressure.windward,
            })
            .collect();
        let z =
            stand_height + openings.iter().map(|o| o.z).sum::<f64>() / openings.len().max(1) as f64;
        Self { openings, at, z }
    }
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
        nodes.extend(hive.stacks.iter().flat_map(|s| &s.vents).map(|v| v.node));
        nodes.extend(heaters.iter().map(|(node, _)| node));
        nodes.sort_unstable();
        nodes.dedup();
        let at = |node: usize| nodes.partition_point(|n| *n < node);
        let (mut open, mut heat) = (vec![0.0; nodes.len()], vec![0.0; nodes.len()]);
        for o in &hive.open_to_air {
            open[at(o.node)] += o.conductance;
        }
        for &(node, power) in &heaters {
            heat[at(node)] += power;
        }
        Ok(Self {
            patches: patches(&hive),
            vents: hive
                .stacks
                .iter()
                .map(|s| StackVents::of(s, &nodes, scenario.site.stand_height, &site))
                .collect(),
            zones: hive.honey_zones(),
            site,
            vent_parameters,
            bee_height: scenario.site.stand_height + FLY_OUT,
            nodes,
            open,
            heat,
            hive,
            reduced: OnceLock::new(),
        })
    }

    /// Unknowns with an air exchange or a heater, each once, in the order of [`HourlyForcing::exchange`].
    #[must_use]
    pub fn nodes(&self) -> &[usize] {
        &self.nodes
    }

    /// Electric heat at each of those nodes, W.
    #[must_use]
    pub fn heaters(&self) -> &[f64] {
        &self.heat
    }

    /// Face groups of each patch, in the order of [`HourlyForcing::films`].
    pub fn patches(&self) -> impl ExactSizeIterator<Item = &[usize]> {
        self.patches.iter().map(|(_, groups)| groups.as_slice())
    }

    /// The hour's drive; `node_c` tells the temperature of each node, degC, for the draught.
    #[must_use]
    pub fn hour(&self, hour: &Hour, node_c: impl Fn(usize) -> f64) -> HourlyForcing {
        let mut now = HourlyForcing {
            films: Vec::with_capacity(self.patches.len()),
            exchange: Vec::with_capacity(self.nodes.len()),
            outdoor_c: hour.outdoor_c,
            wind: 0.0,
        };
        self.drive(&mut now, hour, node_c);
        now
    }

    /// As [`PreparedHive::hour`], into an hour that is there already.
    pub fn drive(&self, now: &mut HourlyForcing, hour: &Hour, node_c: impl Fn(usize) -> f64) {
        let sky = HourSky::new(hour, &self.site);
        now.outdoor_c = hour.outdoor_c;
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
        for v in &self.vents {
            if v.at.is_empty() {
                continue;
            }
            let share = 1.0 / v.at.len() as f64;
            let inside = v.at.iter().map(|&i| node_c(i)).sum::<f64>() * share;
            let air = ventilation::exchange(
                &v.openings,
                inside,
                hour.outdoor_c,
                sky.wind_at(v.z),
                &self.vent_parameters,
            );
            for &i in &v.at {
                now.exchange[i] += air.conductance() * share;
            }
        }
    }

    /// Outside air that passes through the inside of each stack in an hour, kg/s; what the space under the cover takes is not in it. `node_c`
    /// tells the temperature of each unknown, degC.
    #[must_use]
    pub fn air_through(&self, hour: &Hour, node_c: impl Fn(usize) -> f64) -> Vec<f64> {
        let now = self.hour(hour, |at| node_c(self.nodes[at]));
        self.hive
            .stacks
            .iter()
            .map(|s| {
                let own = |node: usize| {
                    s.cover_node != Some(node)
                        && (s.floor_node == Some(node)
                            || s.head_node == Some(node)
                            || s.boxes.iter().any(|b| b.air_nodes.contains(&node))
                            || s.vents.iter().any(|v| v.node == node))
                };
                let of = self.nodes.iter().zip(&now.exchange);
                of.filter(|(node, _)| own(**node))
                    .map(|(_, g)| g)
                    .sum::<f64>()
                    / SPECIFIC_HEAT
            })
            .collect()
    }

    /// Air pressure, Pa.
    #[must_use]
    pub fn pressure(&self) -> f64 {
        self.vent_parameters.pressure
    }

    /// The nominal hour: a cloudy winter night with some wind.
    #[must_use]
    pub fn nominal(&self) -> HourlyForcing {
        self.hour(&NOMINAL, |_| NOMINAL_INSIDE_C)
    }

    /// A full network's drive for an hour, without power.
    #[must_use]
    pub fn full_drive(&self, hour: &HourlyForcing, fill: &[f64]) -> Drive {
        let mut drive = Drive::uniform(&self.hive.network, Film { h: 0.0, t: 0.0 });
        drive.fill.copy_from_slice(fill);
        self.set_drive(&mut drive, hour);
        drive
    }

    /// Sets films and exchanges of a full network's drive.
    pub fn set_drive(&self, drive: &mut Drive, hour: &HourlyForcing) {
        for ((_, groups), film) in self.patches.iter().zip(&hour.films) {
            for &g in groups {
                drive.faces[g] = *film;
            }
        }
        drive.exchange.clear();
        let exchange = self.nodes.iter().zip(&hour.exchange);
        drive
            .exchange
            .extend(exchange.map(|(&node, &conductance)| Exchange {
                node,
                conductance,
                t: hour.outdoor_c,
            }));
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
        };
        ReducedHive::build(&self.hive, &self.full_drive(&self.nominal(), &fill), &ports)
    }

    /// Halves the steps between the cluster's places in the reduced network, which strays about half as far then; a winter is no slower,
    /// but its places must be worked out.
    ///
    /// # Errors
    /// A solver failure while building it.
    pub fn refine(&mut self) -> Result<(), HeatError> {
        self.reduced()?;
        if let Some(Ok(reduced)) = self.reduced.get_mut() {
            reduced.refine();
        }
        Ok(())
    }
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
