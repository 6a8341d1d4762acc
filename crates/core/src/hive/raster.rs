//! From parts to fields over cells, and what neighbouring air spaces exchange.

use std::collections::BTreeMap;

use ndarray::Array3;

use super::gap::opening_radiates;
use super::parts::{Fill, Part, What};
use super::planes::cell_range;
use crate::heat::{AirNode, ExtraLink, FillZone, Grid, Medium, NodeRef, Role, Solid};

/// Placeholder for cells without conductivity (air, outside), W/mK: never read.
const BLANK: Solid = Solid {
    k: [1.0; 3],
    rho_c: 0.0,
};

/// Air space open to the outside without anything between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Bare {
    /// Air space.
    pub air: u16,
    /// Outside zone.
    pub zone: u16,
    /// Exchange through the opening, W/K.
    pub conductance: f64,
}

/// The painted grid.
pub struct Raster {
    /// Fields.
    pub medium: Medium,
    /// Fill zones.
    pub fills: Vec<FillZone>,
    /// Links between air spaces that are open to each other.
    pub links: Vec<ExtraLink>,
    /// Air spaces open to the outside.
    pub bare: Vec<Bare>,
}

/// Paints the parts, later over earlier, and links open air spaces by `open_exchange` (W/m2K) times their open area: what black
/// surfaces radiate through it between the nodes of radiation, the rest between those of air.
pub fn paint(
    grid: &Grid,
    parts: &[Part],
    fills: &[Fill],
    air: &[AirNode],
    open_exchange: f64,
) -> Raster {
    let shape = grid.shape();
    let mut owner = Array3::from_elem(shape, 0_usize);
    for (p, part) in parts.iter().enumerate() {
        let [x, y, z] = [0, 1, 2].map(|axis| cell_range(grid.planes(axis), part.at[axis]));
        for i in x {
            for j in y.clone() {
                for k in z.clone() {
                    owner[[i, j, k]] = p;
                }
            }
        }
    }
    let mut medium = Medium::uniform(grid, BLANK);
    let mut zones: Vec<FillZone> = fills
        .iter()
        .map(|f| FillZone {
            name: f.name.clone(),
            cells: Vec::new(),
            full: f.full,
        })
        .collect();
    for (cell, (at, &p)) in owner.indexed_iter().enumerate() {
        let Some(part) = parts.get(p) else { continue };
        match part.what {
            What::Solid(solid, fill) => {
                for (field, k) in medium.k.iter_mut().zip(solid.k) {
                    field[at] = k;
                }
                medium.rho_c[at] = solid.rho_c;
                if let Some(zone) = fill.and_then(|f| zones.get_mut(f)) {
                    zone.cells.push(cell);
                }
            }
            What::Air(a) => medium.role[at] = Role::Air(a),
            What::Outside(z) => medium.role[at] = Role::Outside(z),
        }
    }
    let (open, bare) = open_areas(grid, &medium.role);
    let seen = opening_radiates().min(open_exchange);
    let radiant = |a: u16| air.get(usize::from(a)).and_then(|n| n.radiant);
    let mut links = Vec::new();
    for ((a, b), area) in open {
        let mut join = |a: u16, b: u16, by: f64| {
            links.push(ExtraLink {
                a: NodeRef::Air(a),
                b: NodeRef::Air(b),
                conductance: by * area,
            });
        };
        join(a, b, open_exchange - seen);
        if let (Some(a), Some(b)) = (radiant(a), radiant(b)) {
            join(a, b, seen);
        }
    }
    let mut open_to_outside = Vec::new();
    for ((air, zone), area) in bare {
        let mut open = |air: u16, by: f64| {
            open_to_outside.push(Bare {
                air,
                zone,
                conductance: by * area,
            });
        };
        open(air, open_exchange - seen);
        if let Some(radiant) = radiant(air) {
            open(radiant, seen);
        }
    }
    Raster {
        medium,
        fills: zones,
        links,
        bare: open_to_outside,
    }
}

/// Area over which a pair (air and air, or air and outside zone) is open to each other, m2.
type Areas = BTreeMap<(u16, u16), f64>;

/// Areas over which air spaces are open to each other, and to the outside.
fn open_areas(grid: &Grid, role: &Array3<Role>) -> (Areas, Areas) {
    let (mut open, mut bare) = (Areas::new(), Areas::new());
    let shape = grid.shape();
    for ((i, j, k), &here) in role.indexed_iter() {
        if here == Role::Solid {
            continue;
        }
        let at = [i, j, k];
        for axis in 0..3 {
            let mut next = at;
            next[axis] += 1;
            if next[axis] == shape[axis] {
                continue;
            }
            let area = grid.volume(i, j, k) / grid.width(axis, at[axis]);
            match (here, role[next]) {
                (Role::Air(a), Role::Air(b)) if a != b => {
                    *open.entry((a.min(b), a.max(b))).or_default() += area
                }
                (Role::Air(a), Role::Outside(z)) | (Role::Outside(z), Role::Air(a)) => {
                    *bare.entry((a, z)).or_default() += area;
                }
                _ => {}
            }
        }
    }
    (open, bare)
}
