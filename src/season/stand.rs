//! The hive as a winter drives it: its outer faces and openings ready for the weather, places for its clusters.

use crate::boundary::{
    BoundaryError, HourSky, PreparedFace, SiteExposure, VentOpening, VentParams, ventilation,
};
use crate::climate::series::Hour;
use crate::heat::{Drive, Exchange, Film, HeatError, Shell};
use crate::hive::{Hive, StackSpace};
use crate::scenario::model::Scenario;

/// A hive with everything prepared that does not change with the weather.
pub struct Stand {
    /// The hive.
    pub hive: Hive,
    site: SiteExposure,
    faces: Vec<PreparedFace>,
    vents: Vec<StackVents>,
    vent_parameters: VentParams,
    heaters: Vec<(usize, f64)>,
    /// Fill of each zone with all its honey, and the stack it belongs to.
    full: Vec<(usize, f64)>,
}

/// The openings of one stack and the nodes they air.
struct StackVents {
    openings: Vec<VentOpening>,
    nodes: Vec<usize>,
    z: f64,
}

impl StackVents {
    /// Openings are taken to be all in the front, so that wind pushes on all alike and only pulses.
    fn of(space: &StackSpace, stand_height: f64, site: &SiteExposure) -> Self {
        let mut nodes: Vec<usize> = space.vents.iter().map(|v| v.node).collect();
        nodes.sort_unstable();
        nodes.dedup();
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
        Self { openings, nodes, z }
    }
}

/// What drives the network now.
pub struct StandHour {
    /// The network's drive.
    pub drive: Drive,
    /// Outside air, degC.
    pub outside_c: f64,
}

impl Stand {
    /// Prepares a hive for the weather of its site.
    ///
    /// # Errors
    /// A damaged table in the program.
    pub fn new(scenario: &Scenario, hive: Hive, elevation: f64) -> Result<Self, BoundaryError> {
        let site = SiteExposure::new(scenario.site.shelter, scenario.site.snow_cover)?;
        let mut vent_parameters = VentParams::shipped()?;
        vent_parameters.pressure = crate::boundary::air::pressure_at(elevation);
        Ok(Self {
            faces: hive
                .faces
                .iter()
                .map(|f| PreparedFace::new(f.face))
                .collect(),
            vents: hive
                .stacks
                .iter()
                .map(|s| StackVents::of(s, scenario.site.stand_height, &site))
                .collect(),
            heaters: hive.heaters(scenario),
            full: hive.full_zones(scenario),
            site,
            vent_parameters,
            hive,
        })
    }

    /// The drive of a first hour, with all honey in its combs and the hive at outside temperature.
    #[must_use]
    pub fn start(&self, hour: &Hour) -> StandHour {
        let n = self.hive.network.n();
        let mut now = StandHour {
            drive: Drive {
                faces: vec![Film { h: 0.0, t: 0.0 }; self.faces.len()],
                exchange: Vec::new(),
                fill: self.full.iter().map(|(_, fill)| *fill).collect(),
                power: vec![0.0; n],
            },
            outside_c: hour.temp_c,
        };
        self.drive(&mut now, hour, &vec![hour.temp_c; n]);
        now
    }

    /// Sets films and air exchange for an hour's weather; `t` is the network's field, for the draught.
    pub fn drive(&self, now: &mut StandHour, hour: &Hour, t: &[f64]) {
        let sky = HourSky::new(hour, &self.site);
        now.outside_c = hour.temp_c;
        for (film, face) in now.drive.faces.iter_mut().zip(&self.faces) {
            let f = sky.film(face);
            *film = Film { h: f.h, t: f.t };
        }
        now.drive.exchange.clear();
        now.drive
            .exchange
            .extend(self.hive.open_to_air.iter().map(|o| Exchange {
                node: o.node,
                conductance: o.conductance,
                t: hour.temp_c,
            }));
        for v in &self.vents {
            if v.nodes.is_empty() {
                continue;
            }
            let inside = v.nodes.iter().map(|&n| t[n]).sum::<f64>() / v.nodes.len() as f64;
            let air = ventilation::exchange(
                &v.openings,
                inside,
                hour.temp_c,
                sky.wind_at(v.z),
                &self.vent_parameters,
            );
            let each = air.conductance() / v.nodes.len() as f64;
            now.drive
                .exchange
                .extend(v.nodes.iter().map(|&node| Exchange {
                    node,
                    conductance: each,
                    t: hour.temp_c,
                }));
        }
        now.drive.power.fill(0.0);
    }

    /// Sets how full the combs of each stack are: (stack, share of its stores left).
    pub fn fill(&self, now: &mut StandHour, shares: &[(usize, f64)]) {
        for (fill, (stack, full)) in now.drive.fill.iter_mut().zip(&self.full) {
            let share = shares
                .iter()
                .find(|(s, _)| s == stack)
                .map_or(1.0, |(_, share)| *share);
            *fill = full * share;
        }
    }

    /// Adds the electric heaters.
    pub fn heaters(&self, now: &mut StandHour) {
        for &(node, power) in &self.heaters {
            now.drive.power[node] += power;
        }
    }

    /// The surface of a cluster of `radius` m in a stack, `risen` m above where it first sat: in the middle of the combs,
    /// its foot on the lowest comb's edge at first, its head never above the highest.
    ///
    /// # Errors
    /// A sphere that touches no part of the network.
    pub fn shell(&self, stack: usize, radius: f64, risen: f64) -> Result<Shell, HeatError> {
        let b = self.hive.stacks[stack].bounds;
        let middle = |axis: usize| 0.5 * (b[axis][0] + b[axis][1]);
        let lowest = b[2][0] + radius;
        let highest = (b[2][1] - radius).max(lowest.min(middle(2)));
        let z = (lowest + risen).min(highest);
        Shell::sphere(
            &self.hive.grid,
            &self.hive.network,
            [middle(0), middle(1), z],
            radius,
            Some(b),
        )
    }
}
