//! Stacks, boxes, frames and walls to material layers, grid and network.

mod build;
pub mod combs;
mod error;
mod faces;
pub mod gap;
mod layout;
pub mod materials;
mod planes;
mod sketch;
pub mod wood;

pub use build::build;
pub use error::HiveError;
pub use materials::{Material, MaterialError, Materials};

use crate::boundary::Face;
use crate::heat::{Grid, Medium, Network};
use crate::scenario::model::{Scenario, Stack};
use layout::StackPlace;

/// How finely a hive is divided.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Resolution {
    /// One cell per wall layer, about two frames per cell.
    Coarse,
    /// Two cells per wall layer, one per frame.
    Normal,
    /// Three cells per wall layer, combs and seams apart.
    Fine,
}

/// A hive stand as a heat network, with what the other rooms need to know of it.
#[derive(Debug, Clone)]
pub struct Hive {
    /// Grid.
    pub grid: Grid,
    /// What its cells are made of.
    pub medium: Medium,
    /// The network.
    pub network: Network,
    /// One per face group of the network.
    pub faces: Vec<OuterFace>,
    /// One per stack.
    pub stacks: Vec<StackSpace>,
}

/// A group of outer faces.
#[derive(Debug, Clone, PartialEq)]
pub struct OuterFace {
    /// Direction, colour and what it sees; z above ground.
    pub face: Face,
    /// Stack it belongs to (the left one of a joint's gap).
    pub stack: usize,
    /// For reading: "left: front".
    pub label: String,
    /// Area, m2.
    pub area: f64,
}

/// The inside of a stack.
#[derive(Debug, Clone, PartialEq)]
pub struct StackSpace {
    /// Box column in which a cluster can be: x, y inside the narrowest box with combs, z from the lowest comb's foot to the
    /// highest comb's head, m.
    pub bounds: [[f64; 2]; 3],
    /// Boxes, bottom to top.
    pub boxes: Vec<BoxSpace>,
    /// Volume of combs and seams, m3.
    pub comb_volume: f64,
    /// Openings that air a space of the stack.
    pub vents: Vec<Vent>,
    /// Air node (number among the air nodes) of the floor space.
    pub floor: Option<u16>,
    /// Air node of the head space.
    pub head: Option<u16>,
}

/// The inside of a box.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxSpace {
    /// Extents inside the walls, m.
    pub bounds: [[f64; 2]; 3],
    /// Extents of combs and seams, m; the whole box when it is empty.
    pub combs: [[f64; 2]; 3],
    /// Frames.
    pub frames: u32,
    /// Honey its combs can hold, kg.
    pub honey_capacity: f64,
    /// Fill zone of its combs.
    pub fill_zone: Option<usize>,
    /// Air node, if it is empty.
    pub air: Option<u16>,
}

/// An opening and the air it serves.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vent {
    /// Air node it airs (number among the air nodes).
    pub air: u16,
    /// The same as an unknown of the network.
    pub node: usize,
    /// Free area, m2.
    pub area: f64,
    /// Vertical extent, m.
    pub height: f64,
    /// Height of its middle above the underside of the floor, m.
    pub z: f64,
}

impl StackSpace {
    fn of(
        stack: &Stack,
        index: usize,
        place: &StackPlace,
        boxes: Vec<BoxSpace>,
        floor: Option<u16>,
        head: Option<u16>,
        vents: &[Vent],
    ) -> Result<Self, HiveError> {
        let _ = (index, place);
        let with_combs: Vec<&BoxSpace> = boxes.iter().filter(|b| b.frames > 0).collect();
        let housed = if with_combs.is_empty() {
            boxes.iter().collect()
        } else {
            with_combs
        };
        let inner = |axis: usize| {
            [
                housed
                    .iter()
                    .map(|b| b.combs[axis][0])
                    .fold(f64::NEG_INFINITY, f64::max),
                housed
                    .iter()
                    .map(|b| b.combs[axis][1])
                    .fold(f64::INFINITY, f64::min),
            ]
        };
        let z = [
            housed
                .iter()
                .map(|b| b.combs[2][0])
                .fold(f64::INFINITY, f64::min),
            housed
                .iter()
                .map(|b| b.combs[2][1])
                .fold(f64::NEG_INFINITY, f64::max),
        ];
        let bounds = [inner(0), inner(1), z];
        for (axis, across) in [
            (0, "across the combs of all boxes"),
            (1, "along the combs of all boxes"),
        ] {
            let inside = bounds[axis][1] - bounds[axis][0];
            if inside <= 0.0 {
                return Err(HiveError::NoRoom {
                    stack: stack.name.clone(),
                    number: 1,
                    inside,
                    across,
                });
            }
        }
        let volume = |b: &BoxSpace| b.combs.iter().map(|[a, c]| c - a).product::<f64>();
        Ok(Self {
            bounds,
            comb_volume: housed.iter().map(|b| volume(b)).sum(),
            vents: vents.to_vec(),
            floor,
            head,
            boxes,
        })
    }

    fn resolve(&mut self, network: &Network) {
        for v in &mut self.vents {
            v.node = network.air_node(usize::from(v.air));
        }
    }
}

impl Hive {
    /// The electric heaters of a scenario: unknown of the network and power, W.
    #[must_use]
    pub fn heaters(&self, s: &Scenario) -> Vec<(usize, f64)> {
        s.stacks
            .iter()
            .zip(&self.stacks)
            .filter_map(|(stack, space)| {
                let h = stack.heater.as_ref()?;
                let air = space.boxes.get(h.in_box)?.air?;
                Some((self.network.air_node(usize::from(air)), h.power))
            })
            .collect()
    }

    /// Stack and fill (0 to 1) of every fill zone with all the honey the scenario gives it.
    #[must_use]
    pub fn full_zones(&self, s: &Scenario) -> Vec<(usize, f64)> {
        let mut zones = vec![(0, 0.0); self.network.fill_zones()];
        for (i, (stack, space)) in s.stacks.iter().zip(&self.stacks).enumerate() {
            for (b, place) in stack.boxes.iter().zip(&space.boxes) {
                if let Some(zone) = place.fill_zone {
                    zones[zone] = (
                        i,
                        (b.honey_frames / f64::from(b.frames.max(1))).clamp(0.0, 1.0),
                    );
                }
            }
        }
        zones
    }
}
