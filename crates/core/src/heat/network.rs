//! The assembled conductance network of a body: cells, air nodes, links, outer faces.

use super::assembly::{check_air, check_zone, group};
use super::error::HeatError;
use super::grid::Grid;
use super::medium::{AirNode, FillZone, Medium};

/// No node: the cell is air or outside.
pub(super) const NONE: u32 = u32::MAX;

/// Outward normal of an outer face.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Side {
    /// Towards smaller x.
    XMinus,
    /// Towards larger x.
    XPlus,
    /// Towards smaller y.
    YMinus,
    /// Towards larger y.
    YPlus,
    /// Downwards.
    ZMinus,
    /// Upwards.
    ZPlus,
}

impl Side {
    /// All six, in the order of the `edges` argument of [`Network::build`].
    pub const ALL: [Self; 6] = [
        Self::XMinus,
        Self::XPlus,
        Self::YMinus,
        Self::YPlus,
        Self::ZMinus,
        Self::ZPlus,
    ];

    /// Axis of the normal: 0, 1, 2 for x, y, z.
    #[must_use]
    pub fn axis(self) -> usize {
        self as usize / 2
    }

    /// +1 when the normal points along the axis, -1 against it.
    #[must_use]
    pub fn sign(self) -> f64 {
        if self as usize % 2 == 1 { 1.0 } else { -1.0 }
    }

    /// The side with this axis whose normal points along (`plus`) or against it.
    pub(super) fn of(axis: usize, plus: bool) -> Self {
        Self::ALL[2 * axis + usize::from(plus)]
    }
}

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

/// Outer faces that share zone, side and inner resistance, so that their conductance per area is one number
/// `U = 1 / (r_inner + 1/h)`.
#[derive(Debug, Clone, PartialEq)]
pub struct FaceGroup {
    /// Outside zone.
    pub zone: u16,
    /// Outward normal.
    pub side: Side,
    /// From cell centre to surface, m2K/W.
    pub r_inner: f64,
    /// Cell numbers.
    pub cells: Vec<usize>,
    /// Node numbers.
    pub nodes: Vec<usize>,
    /// Areas, m2.
    pub areas: Vec<f64>,
    /// Middle of each face, m.
    pub centroids: Vec<[f64; 3]>,
}

impl FaceGroup {
    /// Sum of the areas, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.areas.iter().sum()
    }

    /// Conductance per area through the surface to what lies behind a film `h` (W/m2K, may be infinite), W/m2K.
    #[must_use]
    pub fn u(&self, h: f64) -> f64 {
        1.0 / (self.r_inner + 1.0 / h)
    }

    /// Surface temperature (degC) of face `i` of the group for the node temperatures `t` and a film `h` to `t_out`:
    /// `Ts = T + U r_inner (t_out - T)`.
    #[must_use]
    pub fn surface(&self, i: usize, t: &[f64], h: f64, t_out: f64) -> f64 {
        let node = t[self.nodes[i]];
        node + self.u(h) * self.r_inner * (t_out - node)
    }
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
    /// Assembles the network.
    ///
    /// Conductances (W/K), all per face of area `A`: solid to solid `A / (d1/2k1 + d2/2k2)`; solid to air
    /// `A / (d/2k + 1/film)`; outer faces see [`FaceGroup`]. Air and outside cells are not unknowns; an air cell adds
    /// its volume times [`super::AIR_HEAT_CAPACITY`] to its node. Air next to air or to outside exchanges nothing by itself:
    /// use `links` and [`super::Exchange`]. A link between two fill zones takes half its change from each; outer faces
    /// of cells in fill zones keep the base medium.
    ///
    /// `zones` is the number of outside zones; `edges` says what lies beyond the grid, in the order of [`Side::ALL`].
    ///
    /// # Errors
    /// Any shape, index or value that does not fit; see [`HeatError`].
    pub fn build(
        grid: &Grid,
        medium: &Medium,
        air: &[AirNode],
        zones: usize,
        fills: &[FillZone],
        links: &[ExtraLink],
        edges: [Edge; 6],
    ) -> Result<Self, HeatError> {
        // The planes are public: check them again.
        let grid = Grid::new(grid.x.clone(), grid.y.clone(), grid.z.clone())?;
        medium.check(&grid)?;
        check_air(air)?;
        for edge in edges {
            if let Edge::Zone(zone) = edge {
                check_zone(zone, zones)?;
            }
        }
        let mut net = Self::number(grid, medium, air, zones)?;
        let fill_of_cell = net.check_fills(fills)?;
        let mut faces = Vec::new();
        net.join(medium, fills, &fill_of_cell, edges, &mut faces);
        net.faces = group(faces);
        net.store(medium, fills);
        net.add_extra(links)?;
        net.find_parts();
        Ok(net)
    }

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
