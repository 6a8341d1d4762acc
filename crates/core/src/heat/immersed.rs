//! Bodies immersed in the network: a sphere that exchanges heat with the cells its surface touches.
//!
//! The surface is sampled by points of equal area share (Fibonacci lattice, deterministic). Each point weighs on the
//! cells around it trilinearly; sampling and depositing use the same weights, so the network stays passive and any two
//! bodies are reciprocal.
//!
//! Spreading over cells of width `h` blurs the surface by a layer whose thickness goes with `h`, which lowers the
//! resistance as if the radius were larger by about `0.155 h + 0.07 h^2/R`. Free points are therefore drawn inwards by that much
//! along their radius, with `h^2 = sum (n_i h_i)^2` the cell width along the normal `n`. In an unbounded uniform medium
//! the resistance is then `1/(4 pi k R)` within -1.3 to +0.7 % for R = 60 to 150 mm in cells of 20 to 35 mm (a test).

use super::error::HeatError;
use super::faces::Side;
use super::grid::Grid;
use super::network::Network;
use std::cell::Cell;
use std::sync::OnceLock;

/// Points on the sphere.
const POINTS: usize = 1536;
/// Apparent growth of the radius in cell widths, first and second order in `h/R`; fitted once to `1/(4 pi k R)` on
/// uniform cells (own computation).
const BLUR: [f64; 2] = [0.155, 0.07];
/// Contact points are moved this far into the wall to land in its first cell, m.
const INTO_WALL: f64 = 1e-6;
/// The inward draw is at most this share of the radius, for spheres hardly larger than a cell.
const MOST_DRAWN: f64 = 0.5;

thread_local! {
    /// Of each node: its share, and its share times where its points are; nothing between two spheres.
    static SUMS: Cell<Vec<[f64; 4]>> = const { Cell::new(Vec::new()) };
}

/// A flat contact patch of a sphere with a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Side of the bounds the sphere is pressed against.
    pub side: Side,
    /// Share of the sphere's surface that lies flat on it, 0 to 1.
    pub share: f64,
}

/// A sphere, clipped by walls, with its surface spread over nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Shell {
    /// (node, share of the surface), ordered by node; shares sum to 1.
    pub nodes: Vec<(usize, f64)>,
    /// Surface of the clipped sphere, m2.
    pub area: f64,
    /// Weights of the same nodes whose sum over temperatures is the gradient over the surface along x, y and z, 1/m: the
    /// straight line of least squares through the surface's points.
    pub slopes: Vec<[f64; 3]>,
    /// Contact patches, in the order of [`Side::ALL`], without those that are not touched.
    pub contact: Vec<Contact>,
}

impl Shell {
    /// Spreads a sphere of `radius` (m) about `centre` (m) over the nodes it touches.
    ///
    /// `bounds` are the inner faces of the walls (m, low and high per axis): a centre beyond them is first moved onto
    /// them; points beyond them are projected onto the nearest plane they violate most and weigh on the first wall
    /// cell behind it, with the area they cover there. Points in air cells weigh on the air node, points outside the
    /// body are left out.
    ///
    /// # Errors
    /// A radius that is not positive, a centre or bounds that are not finite or ordered, or no node touched.
    pub fn sphere(
        grid: &Grid,
        network: &Network,
        centre: [f64; 3],
        radius: f64,
        bounds: Option<[[f64; 2]; 3]>,
    ) -> Result<Self, HeatError> {
        if !(radius > 0.0 && radius.is_finite()) {
            return Err(HeatError::Setting {
                what: "radius of an immersed sphere (m)",
                value: radius,
            });
        }
        if let Some(v) = centre.iter().find(|v| !v.is_finite()) {
            return Err(HeatError::Setting {
                what: "centre of an immersed sphere (m)",
                value: *v,
            });
        }
        if let Some(b) = bounds
            .iter()
            .flatten()
            .find(|b| b[0].is_nan() || b[1].is_nan() || b[0] >= b[1])
        {
            return Err(HeatError::Setting {
                what: "bounds of an immersed sphere (m)",
                value: b[0],
            });
        }
        let mut at = centre;
        if let Some(bounds) = bounds {
            for (c, b) in at.iter_mut().zip(bounds) {
                *c = c.clamp(b[0], b[1]);
            }
        }
        let mut sums = SUMS.take();
        if sums.len() < network.n() {
            sums.resize(network.n(), [0.0; 4]);
        }
        let mut nodes: Vec<(usize, f64)> = Vec::new();
        let (mut first, mut second) = ([0.0; 3], [0.0; 3]);
        let mut touched = [0.0; 6];
        let (mut kept, mut area) = (0.0, 0.0);
        for &normal in lattice() {
            let (point, share, side, found) = surface_point(grid, at, radius, normal, bounds);
            area += share;
            let Some(cell) = found else {
                continue;
            };
            let mut add = |node: usize, w: f64| {
                let sum: &mut [f64; 4] = &mut sums[node];
                if sum[0] == 0.0 && w > 0.0 {
                    nodes.push((node, 0.0));
                }
                sum[0] += w;
                for (s, p) in sum[1..].iter_mut().zip(point) {
                    *s += w * p;
                }
            };
            let spread = match network.node_at(grid.index(cell[0], cell[1], cell[2])) {
                None => continue,
                Some(node) if network.node_cell(node).is_none() => {
                    add(node, share);
                    true
                }
                Some(_) => {
                    let fixed = side.map(Side::axis);
                    spread(grid, network, point, cell, fixed, bounds, |node, w| {
                        add(node, w * share);
                    });
                    true
                }
            };
            if spread {
                kept += share;
                for a in 0..3 {
                    first[a] += share * point[a];
                    second[a] += share * point[a] * point[a];
                }
                if let Some(side) = side {
                    touched[side as usize] += share;
                }
            }
        }
        nodes.sort_unstable_by_key(|n| n.0);
        let found: Vec<[f64; 4]> = nodes
            .iter()
            .map(|n| std::mem::take(&mut sums[n.0]))
            .collect();
        SUMS.set(sums);
        if kept <= 0.0 {
            return Err(HeatError::NothingTouched { centre, radius });
        }
        let mean = first.map(|f| f / kept);
        let spread: [f64; 3] = std::array::from_fn(|a| second[a] - kept * mean[a] * mean[a]);
        let mut slopes = Vec::with_capacity(nodes.len());
        for (n, s) in nodes.iter_mut().zip(&found) {
            n.1 = s[0] / kept;
            slopes.push(std::array::from_fn(|a| {
                (s[a + 1] - mean[a] * s[0]) / spread[a]
            }));
        }
        let contact = Side::ALL
            .into_iter()
            .zip(touched)
            .filter(|(_, s)| *s > 0.0)
            .map(|(side, s)| Contact {
                side,
                share: s / kept,
            })
            .collect();
        let sphere = 4.0 * std::f64::consts::PI * radius * radius;
        Ok(Self {
            nodes,
            area: sphere * area / POINTS as f64,
            slopes,
            contact,
        })
    }

    /// Temperature the body feels: the weighted mean over its nodes, degC.
    #[must_use]
    pub fn sample(&self, t: &[f64]) -> f64 {
        self.nodes.iter().map(|(n, w)| w * t[*n]).sum()
    }

    /// Gradient of temperature over the surface, K/m.
    #[must_use]
    pub fn gradient(&self, t: &[f64]) -> [f64; 3] {
        let mut sum = [0.0; 3];
        for ((n, _), slopes) in self.nodes.iter().zip(&self.slopes) {
            for (s, w) in sum.iter_mut().zip(slopes) {
                *s += w * t[*n];
            }
        }
        sum
    }

    /// Adds `watts` of heat to the nodes' powers with the same weights, W.
    pub fn deposit(&self, power: &mut [f64], watts: f64) {
        for (n, w) in &self.nodes {
            power[*n] += w * watts;
        }
    }
}

/// Unit vectors of equal area share: Fibonacci lattice (golden-angle spiral).
fn lattice() -> &'static [[f64; 3]] {
    static LATTICE: OnceLock<Vec<[f64; 3]>> = OnceLock::new();
    LATTICE.get_or_init(|| spiral().collect())
}

fn spiral() -> impl Iterator<Item = [f64; 3]> {
    let golden = std::f64::consts::PI * (3.0 - 5.0_f64.sqrt());
    (0..POINTS).map(move |i| {
        let z = 1.0 - (2.0 * i as f64 + 1.0) / POINTS as f64;
        let r = (1.0 - z * z).sqrt();
        let (sin, cos) = (golden * i as f64).sin_cos();
        [r * cos, r * sin, z]
    })
}

/// Where a surface point goes, the share of an equal-area point it stands for, the wall it was pressed on, and its cell.
fn surface_point(
    grid: &Grid,
    centre: [f64; 3],
    radius: f64,
    normal: [f64; 3],
    bounds: Option<[[f64; 2]; 3]>,
) -> ([f64; 3], f64, Option<Side>, Option<[usize; 3]>) {
    let on: [f64; 3] = std::array::from_fn(|a| centre[a] + radius * normal[a]);
    if let Some(bounds) = bounds {
        // Most violated plane.
        let mut worst = (0.0, None);
        for a in 0..3 {
            let beyond = [
                (bounds[a][0] - on[a], 2 * a),
                (on[a] - bounds[a][1], 2 * a + 1),
            ];
            for (by, side) in beyond {
                if by > worst.0 {
                    worst = (by, Some(Side::ALL[side]));
                }
            }
        }
        if let Some(side) = worst.1 {
            let mut point: [f64; 3] =
                std::array::from_fn(|a| on[a].clamp(bounds[a][0], bounds[a][1]));
            point[side.axis()] += side.sign() * INTO_WALL;
            let share = normal[side.axis()].abs();
            return (point, share, Some(side), grid.locate(point));
        }
    }
    let Some(cell) = grid.locate(on) else {
        return (on, 1.0, None, None);
    };
    let h2: f64 = (0..3)
        .map(|a| (normal[a] * grid.width(a, cell[a])).powi(2))
        .sum();
    let blur = BLUR[0] * h2.sqrt() + BLUR[1] * h2 / radius;
    let drawn = radius - blur.min(MOST_DRAWN * radius);
    let point = std::array::from_fn(|a| centre[a] + drawn * normal[a]);
    (point, 1.0, None, grid.locate_near(point, cell))
}

/// Spreads a point trilinearly over the centres of the solid cells around it. Cells that are not solid, or that lie
/// on the other side of the bounds than the point's own cell, get nothing: their part goes to the point's own cell.
/// Along a `fixed` axis the point stays in its own layer.
fn spread(
    grid: &Grid,
    network: &Network,
    point: [f64; 3],
    cell: [usize; 3],
    fixed: Option<usize>,
    bounds: Option<[[f64; 2]; 3]>,
    mut add: impl FnMut(usize, f64),
) {
    let shape = grid.shape();
    // Along each axis the point's own cell with its part, and the next one with its.
    let mut cells = cell.map(|c| [(c, 1.0), (c, 0.0)]);
    for a in 0..3 {
        let centre = grid.centre(a, cell[a]);
        let up = point[a] >= centre;
        let edge = if up {
            cell[a] + 1 == shape[a]
        } else {
            cell[a] == 0
        };
        if edge || fixed == Some(a) {
            continue;
        }
        let next = if up { cell[a] + 1 } else { cell[a] - 1 };
        let there = grid.centre(a, next);
        let inside = |v: f64| bounds.is_none_or(|b| v > b[a][0] && v < b[a][1]);
        if inside(there) != inside(centre) {
            continue;
        }
        let mut at = cell;
        at[a] = next;
        if network.cell_node(grid.index(at[0], at[1], at[2])).is_none() {
            continue;
        }
        let part = ((point[a] - centre) / (there - centre)).clamp(0.0, 1.0);
        cells[a] = [(cell[a], 1.0 - part), (next, part)];
    }
    let own = network.cell_node(grid.index(cell[0], cell[1], cell[2]));
    let [along_x, along_y, along_z] = cells;
    for (k, wz) in along_z.into_iter().filter(|c| c.1 > 0.0) {
        for (j, wy) in along_y.into_iter().filter(|c| c.1 > 0.0) {
            for (i, wx) in along_x.into_iter().filter(|c| c.1 > 0.0) {
                let node = network.cell_node(grid.index(i, j, k)).or(own);
                if let Some(node) = node {
                    add(node, wx * wy * wz);
                }
            }
        }
    }
}
