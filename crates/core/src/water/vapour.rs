//! Vapour between the spaces of a hive's air: carried by what streams, spread by diffusion where it stands still.

use crate::hive::StackAir;

/// Vapour permeability of still air, kg/(m s Pa) (building physics: 2e-10 at 10 degC from memory; 1.9e-10 at 0).
pub const STILL_AIR: f64 = 1.9e-10;
/// Kilograms of vapour a kilogram of air holds per share of its pressure (ratio of molar masses).
pub const PER_SHARE: f64 = 0.622;

/// Air on its way in an hour, kg/s.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Streams<'a> {
    /// Through each channel, positive from its first space to its second.
    pub channels: &'a [f64],
    /// Outside air into each space.
    pub enters: &'a [f64],
    /// Into each mouth of a mesh floor; negative outwards.
    pub mouths: &'a [f64],
    /// What bees fan: from the door's space to theirs.
    pub fanned: Option<(usize, usize, f64)>,
}

/// One linear system over spaces: `matrix p = right`.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SpaceSystem {
    /// Row-major.
    pub matrix: Vec<f64>,
    /// Right side; the answer once solved.
    pub right: Vec<f64>,
}

/// A quantity that air carries.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Carried {
    /// How much of it a kilogram of air carries for one unit of it.
    pub per: f64,
    /// In the air outside.
    pub outside: f64,
    /// How still air spreads it, against water vapour.
    pub spreads: f64,
}

impl SpaceSystem {
    /// Puts in what air carries and spreads between the spaces of a stack: `sum per m (p_here - p_there)`.
    pub fn load(&mut self, air: &StackAir, by: &Streams<'_>, what: &Carried) {
        let n = air.spaces.len();
        let (matrix, right) = (&mut self.matrix, &mut self.right);
        matrix.clear();
        matrix.resize(n * n, 0.0);
        right.clear();
        right.resize(n, 0.0);
        for (c, m) in air.ways.channels.iter().zip(by.channels) {
            let [a, b] = c.ends;
            let still = STILL_AIR * what.spreads * c.section;
            let flows = what.per * m;
            // Either way what is still, and with the air what it carries.
            for (to, from, k) in [
                (a, b, still + (-flows).max(0.0)),
                (b, a, still + flows.max(0.0)),
            ] {
                matrix[to * n + to] += k;
                matrix[to * n + from] -= k;
            }
        }
        let mut from_outside = |to: usize, m: f64| {
            let k = what.per * m.max(0.0);
            matrix[to * n + to] += k;
            right[to] += k * what.outside;
        };
        for (s, m) in by.enters.iter().enumerate() {
            from_outside(s, *m);
        }
        for (mouth, m) in air.ways.mouths.iter().zip(by.mouths) {
            from_outside(mouth.space, *m);
        }
        if let Some((door, bees, m)) = by.fanned {
            from_outside(door, m);
            if door != bees {
                matrix[bees * n + bees] += what.per * m;
                matrix[bees * n + door] -= what.per * m;
            }
        }
    }

    /// Solves in place by elimination; the matrix is one of a diagonal that outweighs its row. A space without ways stays at nothing.
    pub fn solve(&mut self) {
        let n = self.right.len();
        let b = &mut self.right;
        let mut below = &mut self.matrix[..];
        for k in 0..n {
            let (row, rest) = below.split_at_mut(n);
            below = rest;
            let pivot = row[k];
            if pivot <= 0.0 {
                continue;
            }
            // Spaces meet few others: most of a row is nothing.
            let end = row.iter().rposition(|v| *v != 0.0).map_or(k, |j| j + 1);
            for (i, other) in below.chunks_exact_mut(n).enumerate() {
                if other[k] != 0.0 {
                    let f = other[k] / pivot;
                    for (o, r) in other[k..end].iter_mut().zip(&row[k..end]) {
                        *o -= f * r;
                    }
                    b[k + 1 + i] -= f * b[k];
                }
            }
        }
        let a = &self.matrix;
        for k in (0..n).rev() {
            let right = &a[k * n + k + 1..(k + 1) * n];
            let rest: f64 = right.iter().zip(&b[k + 1..]).map(|(a, b)| a * b).sum();
            let pivot = a[k * n + k];
            b[k] = if pivot > 0.0 {
                (b[k] - rest) / pivot
            } else {
                0.0
            };
        }
    }
}
