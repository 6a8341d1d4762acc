//! Bodies immersed in the network: a ball that exchanges heat with the cells its surface touches.
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
use crate::region::{Ball, Element, Region};
use std::cell::Cell;

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

/// A flat contact patch of a ball with a wall.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Contact {
    /// Side of the walls it is pressed against.
    pub side: Side,
    /// Share of its surface that lies flat on it, 0 to 1.
    pub share: f64,
}

/// A ball, cut by walls, with its surface spread over nodes.
#[derive(Debug, Clone, PartialEq)]
pub struct Shell {
    /// (node, share of the surface), ordered by node; shares sum to 1.
    pub nodes: Vec<(usize, f64)>,
    /// Surface of the cut ball, m2.
    pub area: f64,
    /// Weights of the same nodes whose sum over temperatures is the gradient over the surface along x, y and z, 1/m: the
    /// straight line of least squares through the surface's points.
    pub slopes: Vec<[f64; 3]>,
    /// Contact patches, in the order of [`Side::ALL`], without those that are not touched.
    pub contact: Vec<Contact>,
}

impl Shell {
    /// Spreads the surface of a ball over the nodes it touches; in a `region` its walls cut it.
    ///
    /// What lies on a wall weighs on the first cell behind it, with the area it covers there. Points in air cells weigh on the air node, points outside the
    /// body are left out.
    ///
    /// # Errors
    /// A radius that is not positive, a seat that is not finite, or no node touched.
    pub fn ball(
        grid: &Grid,
        network: &Network,
        ball: &Ball,
        region: Option<&Region>,
    ) -> Result<Self, HeatError> {
        if !(ball.radius > 0.0 && ball.radius.is_finite()) {
            return Err(HeatError::Setting {
                what: "radius of an immersed ball (m)",
                value: ball.radius,
            });
        }
        if let Some(v) = ball.seat.iter().find(|v| !v.is_finite()) {
            return Err(HeatError::Setting {
                what: "seat of an immersed ball (m)",
                value: *v,
            });
        }
        let mut sums = SUMS.take();
        if sums.len() < network.n() {
            sums.resize(network.n(), [0.0; 4]);
        }
        let mut nodes: Vec<(usize, f64)> = Vec::new();
        let (mut first, mut second) = ([0.0; 3], [0.0; 3]);
        let mut touched = [0.0; 6];
        let (mut kept, mut area) = (0.0, 0.0);
        let mut each = |e: &Element| {
            area += e.share;
            let side = e.wall.map(|(axis, far)| Side::of(axis, far));
            let Some((point, cell)) = surface_point(grid, ball.radius, e) else {
                return;
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
            match network.node_at(grid.index(cell[0], cell[1], cell[2])) {
                None => return,
                Some(node) if network.node_cell(node).is_none() => add(node, e.share),
                Some(_) => {
                    let walls = region.map(|r| (r, e));
                    spread(grid, network, point, cell, walls, |node, w| {
                        add(node, w * e.share);
                    });
                }
            }
            kept += e.share;
            for a in 0..3 {
                first[a] += e.share * point[a];
                second[a] += e.share * point[a] * point[a];
            }
            if let Some(side) = side {
                touched[side as usize] += e.share;
            }
        };
        match region {
            Some(region) => region.surface(ball, &mut each),
            None => ball.sphere(&mut each),
        }
        nodes.sort_unstable_by_key(|n| n.0);
        let found: Vec<[f64; 4]> = nodes
            .iter()
            .map(|n| std::mem::take(&mut sums[n.0]))
            .collect();
        SUMS.set(sums);
        if kept <= 0.0 {
            return Err(HeatError::NothingTouched {
                centre: ball.seat,
                radius: ball.radius,
            });
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
        let sphere = 4.0 * std::f64::consts::PI * ball.radius * ball.radius;
        Ok(Self {
            nodes,
            area: sphere * area / Ball::PARTS as f64,
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

/// Where a piece of surface weighs on the network, and the cell there.
fn surface_point(grid: &Grid, radius: f64, e: &Element) -> Option<([f64; 3], [usize; 3])> {
    if let Some((axis, far)) = e.wall {
        let mut point = e.at;
        point[axis] += Side::of(axis, far).sign() * INTO_WALL;
        return Some((point, grid.locate(point)?));
    }
    let cell = grid.locate(e.at)?;
    let h2: f64 = (0..3)
        .map(|a| (e.normal[a] * grid.width(a, cell[a])).powi(2))
        .sum();
    let blur = BLUR[0] * h2.sqrt() + BLUR[1] * h2 / radius;
    let drawn = blur.min(MOST_DRAWN * radius);
    let point = std::array::from_fn(|a| e.at[a] - drawn * e.normal[a]);
    Some((point, grid.locate_near(point, cell)?))
}

/// Spreads a point trilinearly over the centres of the solid cells around it. Cells that are not solid, or that lie
/// on the other side of the walls than the point's own cell, get nothing: their part goes to the point's own cell.
/// On a wall the point stays in its own layer.
fn spread(
    grid: &Grid,
    network: &Network,
    point: [f64; 3],
    cell: [usize; 3],
    walls: Option<(&Region, &Element)>,
    mut add: impl FnMut(usize, f64),
) {
    let shape = grid.shape();
    let fixed = walls.and_then(|(_, e)| e.wall).map(|(axis, _)| axis);
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
        if walls.is_some_and(|(region, e)| region.parts_cells(e, a, centre, there)) {
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
