//! A checked scenario becomes a heat network.

use std::collections::BTreeMap;

use super::check::check;
use super::combs::CombParameters;
use super::error::HiveError;
use super::faces::{OuterFace, describe};
use super::layout::Layout;
use super::parts::{Painter, Zone};
use super::planes::grid;
use super::raster::paint;
use super::resolution::Resolution;
use super::spaces::{StackSpace, stack_space};
use crate::heat::{Drive, Edge, Exchange, Film, Grid, Medium, Network};
use crate::materials::{Material, Materials};
use crate::stand::Scenario;

/// A stand as a heat network, with what weather and colonies need to know of it.
#[derive(Debug, Clone)]
pub struct Hive {
    /// Cells.
    pub grid: Grid,
    /// What they are made of, combs empty.
    pub medium: Medium,
    /// The assembled network.
    pub network: Network,
    /// One entry per `network.faces()` group, same order.
    pub faces: Vec<OuterFace>,
    /// Outside zones, by index.
    pub zones: Vec<Zone>,
    /// One entry per stack.
    pub stacks: Vec<StackSpace>,
    /// Regions of combs as warm as the air in their seams: cells with their shares.
    pub regions: Vec<Vec<(usize, f64)>>,
    /// Air spaces that nothing closes against the outside air (beside the combs over a mesh floor, over an open ledge).
    pub open_to_air: Vec<OpenToAir>,
    /// Materials used, by key.
    pub materials_used: BTreeMap<String, Material>,
    /// Comb, seam and air-space values used.
    pub combs: CombParameters,
    /// What was simplified, in words.
    pub notes: Vec<String>,
}

/// A standing exchange of an air space with outside air.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct OpenToAir {
    /// Unknown.
    pub node: usize,
    /// Conductance, W/K.
    pub conductance: f64,
    /// Outside zone, index into [`Hive::zones`].
    pub zone: u16,
}

/// Builds the network of a scenario with the shipped comb values and what the scenario overrides.
///
/// # Errors
/// See [`HiveError`]; a scenario that passed its own reader meets none of them except where its geometry is impossible.
pub fn build(s: &Scenario, resolution: Resolution) -> Result<Hive, HiveError> {
    let combs = CombParameters::with_overrides(&s.parameters)?;
    build_with(s, resolution, combs)
}

/// Builds the network of a scenario with given comb, seam and air-space values.
///
/// # Errors
/// As [`build`].
pub fn build_with(
    s: &Scenario,
    resolution: Resolution,
    combs: CombParameters,
) -> Result<Hive, HiveError> {
    check(s)?;
    let materials = Materials::with_overrides(&s.materials)?;
    let layout = Layout::of(s, &combs)?;
    let mut painter = Painter::new(s, &layout, &materials, &combs, resolution.steps());
    painter.surroundings();
    for j in 0..s.joints.len() {
        painter.joint(j)?;
    }
    for i in 0..s.stacks.len() {
        painter.shell(i)?;
    }
    for j in 0..s.joints.len() {
        painter.centre_wall(j)?;
    }
    let mut insides = Vec::with_capacity(s.stacks.len());
    for i in 0..s.stacks.len() {
        insides.push(painter.inside(i)?);
    }
    let grid = grid(&painter.parts, &painter.rules)?;
    let raster = paint(
        &grid,
        &painter.parts,
        &painter.fills,
        &painter.air,
        combs.open_exchange,
    );
    let network = Network::build(
        &grid,
        &raster.medium,
        &painter.air,
        painter.zones.len(),
        &raster.fills,
        &raster.links,
        [Edge::Adiabatic; 6],
    )?;
    let faces = describe(s, &layout, &painter.zones, network.faces());
    let mut stacks = Vec::with_capacity(s.stacks.len());
    let mut regions = Vec::new();
    for (i, (placed, inside)) in layout.stacks.iter().zip(&insides).enumerate() {
        stacks.push(stack_space(
            s,
            i,
            placed,
            inside,
            &network,
            &combs,
            &mut regions,
        )?);
    }
    let open_to_air = raster
        .bare
        .iter()
        .map(|b| OpenToAir {
            node: network.air_node(usize::from(b.air)),
            conductance: b.conductance,
            zone: b.zone,
        })
        .collect();
    let mut materials_used = BTreeMap::new();
    for key in &painter.used {
        materials_used.insert(key.clone(), materials.get(key)?.clone());
    }
    Ok(Hive {
        faces,
        zones: painter.zones,
        stacks,
        regions,
        open_to_air,
        materials_used,
        combs,
        notes: painter.notes,
        grid,
        medium: raster.medium,
        network,
    })
}

impl Hive {
    /// A drive with one film `h` (W/m2K) to one outside temperature `t` (degC) on all faces, the standing exchanges with
    /// outside air, the heaters on, and the honey of the scenario in its boxes. Openings are not in it.
    #[must_use]
    pub fn drive(&self, h: f64, t: f64) -> Drive {
        let mut drive = Drive::uniform(&self.network, Film { h, t });
        drive.exchange = self
            .open_to_air
            .iter()
            .map(|o| Exchange {
                node: o.node,
                conductance: o.conductance,
                t,
            })
            .collect();
        for stack in &self.stacks {
            if let Some((node, power)) = stack.heater {
                drive.power[node] += power;
            }
            for b in &stack.boxes {
                if let Some(zone) = b.fill_zone {
                    drive.fill[zone] = b.honey_share;
                }
            }
        }
        drive
    }

    /// The electric heaters: unknown and power, W.
    #[must_use]
    pub fn heaters(&self) -> Vec<(usize, f64)> {
        self.stacks.iter().filter_map(|s| s.heater).collect()
    }

    /// Every fill zone with its stack, the number of its box among the stack's boxes with combs (from the bottom), and
    /// the fill (0 to 1) the scenario gives it.
    #[must_use]
    pub fn honey_zones(&self) -> Vec<(usize, usize, f64)> {
        let mut zones = vec![(0, 0, 0.0); self.network.fill_zones()];
        for (i, space) in self.stacks.iter().enumerate() {
            let combs = space.boxes.iter().filter(|b| b.comb.is_some());
            for (k, b) in combs.enumerate() {
                if let Some(zone) = b.fill_zone {
                    zones[zone] = (i, k, b.honey_share);
                }
            }
        }
        zones
    }
}
