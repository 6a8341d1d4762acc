//! Air in the seams between combs: slow laminar flow through a network of slots, driven by its own weight.
//!
//! A seam is a slot about a centimetre wide between two combs. Air of another weight than that outside moves in it against the friction
//! of laminar flow between parallel plates (plane Poiseuille flow, textbook; in two directions a Hele-Shaw cell). Warm columns rise and
//! cold ones sink; where warm air lies over cold in all columns alike, nothing moves. So still air, loops and draughts come out of one set of
//! equations, and no rule says where which is.

use super::air;

/// Flow through a slot per pressure, kg/(s Pa): `A w^2/(12 nu L)`; `area` of its section m2, `width` between its walls m, `length` of the way m.
///
/// ```
/// use partywall_core::boundary::seams::slot;
/// // A metre of seam 12 mm wide, 0.25 m high, at 5 degC: 3.5 g/s a pascal.
/// assert!((slot(0.012, 0.012, 0.25, 5.0) / 0.04204 - 1.0).abs() < 1e-2);
/// ```
#[must_use]
pub fn slot(area: f64, width: f64, length: f64, mean_c: f64) -> f64 {
    let nu = air::kinematic_viscosity(mean_c, air::STANDARD_PRESSURE);
    area * width * width / (12.0 * nu * length.max(1e-3))
}

/// A way from one space to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Channel {
    /// The spaces it joins.
    pub ends: [usize; 2],
    /// Flow per pressure, kg/(s Pa).
    pub conductance: f64,
    /// How much higher the second lies than the first, m.
    pub rise: f64,
    /// Its section over its length, m.
    pub section: f64,
}

impl Channel {
    /// A slot of `area` (m2) and `width` (m) over a `way` (m) between two spaces.
    #[must_use]
    pub fn slot(ends: [usize; 2], area: f64, width: f64, way: f64, rise: f64, mean_c: f64) -> Self {
        Self {
            ends,
            conductance: slot(area, width, way, mean_c),
            rise,
            section: area / way.max(1e-3),
        }
    }
}

/// A way from outside into a space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mouth {
    /// The space.
    pub space: usize,
    /// Flow per pressure, kg/(s Pa).
    pub conductance: f64,
    /// How much higher the space lies, m.
    pub rise: f64,
}

/// Spaces that air moves between.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Airways {
    /// How many spaces there are.
    pub spaces: usize,
    /// Ways between them.
    pub channels: Vec<Channel>,
    /// Ways from outside.
    pub mouths: Vec<Mouth>,
}

/// What drives the air of an hour.
#[derive(Debug, Clone, Copy)]
pub struct Driven<'a> {
    /// Temperature of each space, degC.
    pub inside_c: &'a [f64],
    /// Share of each space that is free of bees, 0 to 1.
    pub free: &'a [f64],
    /// Air that enters each space less what leaves it through openings, kg/s.
    pub fed: &'a [f64],
    /// Temperature outside, degC.
    pub outdoor_c: f64,
    /// Wind pressure at the mouths, Pa.
    pub at_mouths: f64,
    /// Air pressure, Pa.
    pub pressure: f64,
}

/// Flow through each channel (positive from its first end to its second) and into each mouth, kg/s; with work space.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Flows {
    /// Through the channels.
    pub channels: Vec<f64>,
    /// Through the mouths, inwards.
    pub mouths: Vec<f64>,
    matrix: Vec<f64>,
    pressures: Vec<f64>,
}

impl Airways {
    /// Solves for the pressures at which as much air comes into every space as leaves it: `sum C (dp + (rho_out - rho) g rise) = fed`, pressures
    /// counted from that of outside air at the same height. Linear and symmetric; a dense Cholesky factorisation of some twenty unknowns.
    pub fn solve(&self, by: &Driven<'_>, out: &mut Flows) {
        let n = self.spaces;
        out.matrix.clear();
        out.matrix.resize(n * n, 0.0);
        out.pressures.clear();
        out.pressures.extend_from_slice(by.fed);
        let outside = air::density(by.outdoor_c, by.pressure);
        let lift =
            |t: f64, rise: f64| (outside - air::density(t, by.pressure)) * air::GRAVITY * rise;
        out.channels.clear();
        for c in &self.channels {
            let [a, b] = c.ends;
            let g = c.conductance * by.free[a].min(by.free[b]);
            // Half of the way lies in either space.
            let push = g * lift(0.5 * (by.inside_c[a] + by.inside_c[b]), c.rise);
            out.channels.push(push);
            out.pressures[a] -= push;
            out.pressures[b] += push;
            out.matrix[a * n + a] += g;
            out.matrix[b * n + b] += g;
            out.matrix[a.max(b) * n + a.min(b)] -= g;
        }
        out.mouths.clear();
        for m in &self.mouths {
            let g = m.conductance * by.free[m.space];
            let push = g * (by.at_mouths + lift(by.inside_c[m.space], m.rise));
            out.mouths.push(push);
            out.pressures[m.space] += push;
            out.matrix[m.space * n + m.space] += g;
        }
        if self.mouths.is_empty() && n > 0 {
            // Only differences count: the first space is where they are counted from.
            out.matrix[0] *= 2.0;
        }
        settle(&mut out.matrix, &mut out.pressures, n);
        let p = &out.pressures;
        for (flow, c) in out.channels.iter_mut().zip(&self.channels) {
            let [a, b] = c.ends;
            *flow += c.conductance * by.free[a].min(by.free[b]) * (p[a] - p[b]);
        }
        for (flow, m) in out.mouths.iter_mut().zip(&self.mouths) {
            *flow -= m.conductance * by.free[m.space] * p[m.space];
        }
    }
}

/// Solves `A x = b` in place of `b` by Cholesky; only the lower half of `A` is read. A row of nothing, a space without ways, stays at nothing.
fn settle(a: &mut [f64], b: &mut [f64], n: usize) {
    for i in 0..n {
        // Left of its first entry a row stays empty.
        let first = a[i * n..i * n + i]
            .iter()
            .take_while(|v| **v == 0.0)
            .count();
        for j in first..=i {
            let (above, row) = a.split_at(i * n);
            let other = if j < i { &above[j * n..j * n + n] } else { row };
            let shared = row[first..j].iter().zip(&other[first..j]);
            let sum = row[j] - shared.map(|(x, y)| x * y).sum::<f64>();
            a[i * n + j] = if i > j {
                sum * a[j * n + j]
            } else if sum > 0.0 {
                // The inverse is kept: it is what is needed.
                1.0 / sum.sqrt()
            } else {
                0.0
            };
        }
        let mut sum = b[i];
        for k in 0..i {
            sum -= a[i * n + k] * b[k];
        }
        b[i] = sum * a[i * n + i];
    }
    for i in (0..n).rev() {
        let x = b[i] * a[i * n + i];
        b[i] = x;
        for k in 0..i {
            b[k] -= a[i * n + k] * x;
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two columns of two spaces each, joined above and below.
    fn ring() -> Airways {
        let channel = |a, b, rise| Channel {
            ends: [a, b],
            conductance: 0.01,
            rise,
            section: 1.0,
        };
        Airways {
            spaces: 4,
            channels: vec![
                channel(0, 1, 0.2),
                channel(2, 3, 0.2),
                channel(0, 2, 0.0),
                channel(1, 3, 0.0),
            ],
            mouths: Vec::new(),
        }
    }

    fn solve(ways: &Airways, inside_c: &[f64], fed: &[f64], outdoor_c: f64) -> Flows {
        let mut out = Flows::default();
        let free = vec![1.0; ways.spaces];
        let by = Driven {
            inside_c,
            free: &free,
            fed,
            outdoor_c,
            at_mouths: 0.0,
            pressure: air::STANDARD_PRESSURE,
        };
        ways.solve(&by, &mut out);
        out
    }

    /// Catches air that turns over where warm lies over cold, in all columns alike.
    #[test]
    fn warm_over_cold_stands_still() {
        let f = solve(&ring(), &[-10.0, 8.0, -10.0, 8.0], &[0.0; 4], -20.0);
        assert!(f.channels.iter().all(|m| m.abs() < 1e-12), "{f:?}");
    }

    /// Catches a loop that runs the wrong way round, or with another strength than the difference of weights over the friction of its four ways.
    #[test]
    fn the_warmer_column_rises() {
        let f = solve(&ring(), &[5.0, 5.0, 0.0, 0.0], &[0.0; 4], -20.0);
        let p = air::STANDARD_PRESSURE;
        let expected =
            (air::density(0.0, p) - air::density(5.0, p)) * air::GRAVITY * 0.2 * 0.01 / 4.0;
        for (m, sign) in f.channels.iter().zip([1.0, -1.0, -1.0, 1.0]) {
            assert!(
                (m - sign * expected).abs() < 1e-9 * expected,
                "{m} {expected}"
            );
        }
    }

    /// Catches air that is lost on the way: what is fed low and taken high passes.
    #[test]
    fn what_enters_leaves() {
        let f = solve(&ring(), &[0.0; 4], &[1e-4, 0.0, 0.0, -1e-4], 0.0);
        assert!((f.channels[0] + f.channels[2] - 1e-4).abs() < 1e-12);
        assert!((f.channels[3] + f.channels[1] - 1e-4).abs() < 1e-12);
    }

    /// Catches a mesh that lets no air in under a warm column, or more in than out.
    #[test]
    fn a_mesh_feeds_the_warm_column() {
        let mut ways = ring();
        ways.channels.remove(2);
        ways.mouths = [0, 2]
            .map(|space| Mouth {
                space,
                conductance: 0.05,
                rise: 0.1,
            })
            .to_vec();
        let f = solve(&ways, &[5.0, 5.0, -10.0, -10.0], &[0.0; 4], -10.0);
        assert!(
            f.mouths[0] > 0.0 && (f.mouths[0] + f.mouths[1]).abs() < 1e-12,
            "{f:?}"
        );
        assert!((f.channels[0] - f.mouths[0]).abs() < 1e-12);
    }
}
