//! A hive as a list of boxes painted one over the other; the grid and its medium follow from it.

use super::planes::planes;
use super::{HiveError, Resolution};
use crate::heat::{AirNode, FillZone, Grid, Medium, Role, Solid};

/// Width of the ring of outside cells kept around everything, m.
const RIM: f64 = 0.05;

/// What a painted box is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Paint {
    /// A solid.
    Solid(Solid),
    /// Part of an air node.
    Air(u16),
    /// Outside the hive.
    Outside(u16),
}

/// A painted box: extents along x, y, z, m.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Extents, m.
    pub at: [[f64; 2]; 3],
    /// What it is made of.
    pub paint: Paint,
    /// Fill zone it belongs to.
    pub fill: Option<usize>,
}

/// A hive in the making.
#[derive(Debug, Clone, Default)]
pub struct Sketch {
    /// Boxes in painting order.
    pub patches: Vec<Patch>,
    /// Air nodes.
    pub air: Vec<AirNode>,
    /// Fill zones: name, and what their cells are when full.
    pub fills: Vec<(String, Solid)>,
    /// Outside regions painted before everything else: x range and zone.
    pub regions: Vec<([f64; 2], u16)>,
}

impl Sketch {
    /// Paints a solid; boxes without volume are left out.
    pub fn solid(&mut self, at: [[f64; 2]; 3], solid: Solid) {
        self.patch(at, Paint::Solid(solid), None);
    }

    /// Paints any box; boxes without volume are left out.
    pub fn patch(&mut self, at: [[f64; 2]; 3], paint: Paint, fill: Option<usize>) {
        if at.iter().all(|[a, b]| b - a > 1e-6) {
            self.patches.push(Patch { at, paint, fill });
        }
    }

    /// Adds an air node and says its number.
    pub fn air(&mut self, node: AirNode) -> u16 {
        self.air.push(node);
        (self.air.len() - 1) as u16
    }

    /// The grid on all interfaces, its medium, and the cells of each fill zone.
    ///
    /// # Errors
    /// A grid that cannot be made.
    pub fn paint(
        &self,
        resolution: Resolution,
    ) -> Result<(Grid, Medium, Vec<FillZone>), HiveError> {
        let axis = |a: usize| {
            let mut ends: Vec<f64> = self.patches.iter().flat_map(|p| p.at[a]).collect();
            let low = ends.iter().copied().fold(f64::INFINITY, f64::min) - RIM;
            let high = ends.iter().copied().fold(f64::NEG_INFINITY, f64::max) + RIM;
            ends.extend([low, high]);
            planes(ends, a, resolution)
        };
        let grid = Grid::new(axis(0), axis(1), axis(2))?;
        let mut medium = Medium::uniform(
            &grid,
            Solid {
                k: [1.0; 3],
                rho_c: 1.0,
            },
        );
        let all = [[f64::NEG_INFINITY, f64::INFINITY]; 3];
        medium.role_box(&grid, all[0], all[1], all[2], Role::Outside(0));
        for (x, zone) in &self.regions {
            medium.role_box(&grid, *x, all[1], all[2], Role::Outside(*zone));
        }
        let mut owner = vec![usize::MAX; grid.cells()];
        for (number, p) in self.patches.iter().enumerate() {
            let [x, y, z] = p.at;
            match p.paint {
                Paint::Solid(s) => medium.fill_box(&grid, x, y, z, s),
                Paint::Air(i) => medium.role_box(&grid, x, y, z, Role::Air(i)),
                Paint::Outside(zone) => medium.role_box(&grid, x, y, z, Role::Outside(zone)),
            }
            for (cell, owner) in owner.iter_mut().enumerate() {
                let [i, j, k] = grid.ijk(cell);
                let c = grid.cell_centre(i, j, k);
                if (0..3).all(|a| p.at[a][0] < c[a] && c[a] < p.at[a][1]) {
                    *owner = number;
                }
            }
        }
        let fills = self
            .fills
            .iter()
            .enumerate()
            .map(|(zone, (name, full))| FillZone {
                name: name.clone(),
                full: *full,
                cells: (0..grid.cells())
                    .filter(|&c| {
                        self.patches
                            .get(owner[c])
                            .is_some_and(|p| p.fill == Some(zone))
                    })
                    .collect(),
            })
            .collect();
        Ok((grid, medium, fills))
    }
}
