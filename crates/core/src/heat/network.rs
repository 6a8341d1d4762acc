//! The assembled conductance network of a body: cells, air nodes, links, outer faces.

use super::faces::FaceGroup;
use super::grid::Grid;
use super::medium::AirNode;

/// No node: the cell is air or outside.
pub(super) const NONE: u32 = u32::MAX;

/// What lies beyond an edge of the grid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Edge {
    /// A plane of symmetry or a cut: no heat crosses.
    Adiabatic,
    /// The outside zone with this index.
    Zone(u16),
}

/// One end of an extra link.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NodeRef {
    /// A solid cell, by cell number.
    Cell(usize),
    /// An air node, by index.
    Air(u16),
}

/// A conductance between two nodes that the grid does not give, e.g. mixing of two air spaces.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExtraLink {
    /// One end.
    pub a: NodeRef,
    /// Other end.
    pub b: NodeRef,
    /// Conductance, W/K.
    pub conductance: f64,
}

/// What one fill zone adds at fill 1.
#[derive(Debug, Clone, Default)]
pub(super) struct FillDelta {
    /// (axis, cell, W/K) for the link from `cell` to the next cell along `axis`.
    pub links: Vec<(u8, u32, f64)>,
    /// (air node, position in its list of links, W/K).
    pub air: Vec<(u32, u32, f64)>,
    /// (node, J/K).
    pub capacity: Vec<(u32, f64)>,
}

/// Link of an air node to a solid cell.
#[derive(Debug, Clone, Copy)]
pub(super) struct AirLink {
    pub node: u32,
    pub conductance: f64,
}

/// The assembled network: unknowns are the solid cells in C order, then the air nodes.
#[derive(Debug, Clone)]
pub struct Network {
    pub(super) grid: Grid,
    pub(super) node_of_cell: Vec<u32>,
    pub(super) cell_of_node: Vec<u32>,
    /// Index of the air node a cell belongs to, or `NONE`.
    pub(super) air_of_cell: Vec<u32>,
    pub(super) air: Vec<AirNode>,
    /// `links[axis][cell]`: conductance from `cell` to the next cell along `axis`, W/K; 0 where there is none.
    pub(super) links: [Vec<f64>; 3],
    pub(super) air_links: Vec<Vec<AirLink>>,
    /// (node, node, W/K).
    pub(super) extra: Vec<(u32, u32, f64)>,
    /// While assembling: radiant node of each air node, and what their surfaces hand on from one to the other, W/K.
    pub(super) past_surfaces: Vec<(u32, f64)>,
    /// J/K per node.
    pub(super) capacity: Vec<f64>,
    pub(super) faces: Vec<FaceGroup>,
    pub(super) fills: Vec<FillDelta>,
    pub(super) air_volume: Vec<f64>,
    /// Connected part each node belongs to, and the number of parts.
    pub(super) part: Vec<u32>,
    pub(super) parts: usize,
}

impl Network {
    /// Number of unknowns: solid cells, then air nodes.
    #[must_use]
    pub fn n(&self) -> usize {
        self.capacity.len()
    }

    /// The grid the network was built on.
    #[must_use]
    pub fn grid(&self) -> &Grid {
        &self.grid
    }

    /// Node of a solid cell; `None` for air, outside, and numbers beyond the grid.
    #[must_use]
    pub fn cell_node(&self, cell: usize) -> Option<usize> {
        match self.node_of_cell.get(cell) {
            Some(&n) if n != NONE => Some(n as usize),
            _ => None,
        }
    }

    /// Cell of a node; `None` for air nodes.
    #[must_use]
    pub fn node_cell(&self, node: usize) -> Option<usize> {
        self.cell_of_node.get(node).map(|c| *c as usize)
    }

    /// Node of air node `i` (not checked against the number of air nodes).
    #[must_use]
    pub fn air_node(&self, i: usize) -> usize {
        self.cell_of_node.len() + i
    }

    /// The node whose temperature a cell has: its own, or its air node's; `None` outside the body.
    #[must_use]
    pub fn node_at(&self, cell: usize) -> Option<usize> {
        self.cell_node(cell)
            .or_else(|| match self.air_of_cell.get(cell) {
                Some(&a) if a != NONE => Some(self.air_node(a as usize)),
                _ => None,
            })
    }

    /// The air nodes, in order.
    #[must_use]
    pub fn air_nodes(&self) -> &[AirNode] {
        &self.air
    }

    /// Volume of the cells of air node `i`, m3.
    #[must_use]
    pub fn air_volume(&self, i: usize) -> f64 {
        self.air_volume.get(i).copied().unwrap_or(0.0)
    }

    /// (node, conductance W/K) of every solid surface air node `i` touches, at fill 0.
    #[must_use]
    pub fn air_surfaces(&self, i: usize) -> Vec<(usize, f64)> {
        let list = self.air_links.get(i).map_or(&[][..], Vec::as_slice);
        list.iter()
            .map(|l| (l.node as usize, l.conductance))
            .collect()
    }

    /// The outer face groups, ordered by zone, side, inner resistance.
    #[must_use]
    pub fn faces(&self) -> &[FaceGroup] {
        &self.faces
    }

    /// Number of fill zones.
    #[must_use]
    pub fn fill_zones(&self) -> usize {
        self.fills.len()
    }

    /// Heat capacity of each node at fill 0, J/K.
    #[must_use]
    pub fn capacity(&self) -> &[f64] {
        &self.capacity
    }

    /// Calls `f(node, node, W/K)` for every link at fill 0.
    pub(super) fn each_link(&self, mut f: impl FnMut(usize, usize, f64)) {
        let [_, ny, nz] = self.grid.shape();
        for (axis, stride) in [ny * nz, nz, 1].into_iter().enumerate() {
            for (cell, &g) in self.links[axis].iter().enumerate() {
                if g > 0.0 {
                    f(
                        self.node_of_cell[cell] as usize,
                        self.node_of_cell[cell + stride] as usize,
                        g,
                    );
                }
            }
        }
        for (a, list) in self.air_links.iter().enumerate() {
            for l in list {
                f(self.air_node(a), l.node as usize, l.conductance);
            }
        }
        for &(a, b, g) in &self.extra {
            f(a as usize, b as usize, g);
        }
    }
}
