//! Modified incomplete Cholesky factorisation without fill, and its triangular sweeps.
//!
//! `M = (D - L) D^-1 (D - L^T)` with the matrix's own off-diagonals and pivots
//! `d_i = a_ii - sum_j g_ij (g_ij + w (s_j - g_ij)) / d_j` over earlier neighbours `j`, where `g` are conductances (minus
//! the off-diagonals) and `s_j` is the sum of the links of `j` to later unknowns. `w = 0` is the plain incomplete
//! factorisation, `w = 1` keeps row sums (I. Gustafsson, BIT 18 (1978) 142-156, from memory). All is held scaled by
//! `S = D^-1/2`, so that the factors have unit diagonals and the product with the preconditioned matrix needs the two
//! sweeps only (S. Eisenstat, SIAM J. Sci. Stat. Comput. 2 (1981) 1-4, from memory).

use super::super::links::Star;
use super::super::operator::Operator;
use super::super::simd_layout::{Chunk, Field, LANES, Layout, ZERO, lane_before, next_lane, wide};

/// Relaxation of the modified factorisation; 0.95 to 0.98 work alike, 1 has no margin.
const RELAXATION: f64 = 0.97;
/// A pivot below this share of its diagonal is replaced by the diagonal. It guards against rounding only: a thin metal
/// sheet of two cells has true pivots of 1e-3 and less, and replacing those costs hundreds of iterations.
const PIVOT_GUARD: f64 = 1e-9;

/// The scaled factor.
pub(super) struct Mic {
    pub(super) slabs: usize,
    pub(super) rows: usize,
    pub(super) row: usize,
    /// Scaled links to the chunk one plane, one row, one chunk before.
    pub(super) lower: [Vec<Chunk>; 3],
    pub(super) wrap: Vec<Chunk>,
    pub(super) stars: Vec<Star>,
    pub(super) border: Vec<(u32, u32, f64)>,
    pub(super) far: Vec<(u32, u32, f64)>,
    /// `S`, K^1/2 W^-1/2.
    pub scale: Field,
    /// Scaled diagonal of the matrix minus 2.
    pub(super) excess: Field,
    /// Sum of the links of each unknown to later unknowns, divided by its pivot.
    later: Field,
    /// Added to the right-hand side of the backward sweep by the stars.
    pub(super) kick: Field,
    /// Added to the right-hand side of the forward sweep by far links.
    pub(super) kick_far: Field,
    /// Smallest pivot, W/K.
    pub least_pivot: f64,
}

impl Mic {
    pub fn new(op: &Operator) -> Self {
        let layout = &op.layout;
        let n = layout.padded();
        Self {
            slabs: layout.slabs,
            rows: layout.rows,
            row: layout.row,
            lower: [vec![ZERO; n], vec![ZERO; n], vec![ZERO; n]],
            wrap: op.links.wrap.clone(),
            stars: op.links.stars.clone(),
            border: op.links.border.clone(),
            far: op.links.far.clone(),
            scale: Field::zero(layout),
            excess: Field::zero(layout),
            later: Field::zero(layout),
            kick: Field::zero(layout),
            kick_far: Field::zero(layout),
            least_pivot: 0.0,
        }
    }

    /// Factorises `m C + K`.
    pub fn factor(&mut self, op: &Operator, m: f64) {
        wide!(<'a>(this: &'a mut Mic = self, op: &'a Operator = op, m: f64 = m) -> () {
            this.pivots(op, m);
            this.rescale(op);
        });
    }

    /// Pivots into `scale` (as `1/d`) and diagonals into `excess`.
    #[inline(always)]
    fn pivots(&mut self, op: &Operator, m: f64) {
        let layout: &Layout = &op.layout;
        let (plane, row, n) = (layout.plane(), layout.row, layout.chunks());
        let [la, lb, lc] = &op.links.lower;
        let has_stars = !op.links.stars.is_empty();
        if has_stars {
            self.kick.clear();
            let flat = self.kick.cells.as_flattened_mut();
            for star in &op.links.stars {
                for (&s, &g) in star.slots.iter().zip(&star.g) {
                    flat[s as usize] += g;
                }
            }
        }
        let inv = &mut self.scale.cells;
        let later = &mut self.later.cells;
        let mut least = f64::INFINITY;
        let mut least_lanes = [f64::INFINITY; LANES];
        let (mut inv_before, mut later_before) = (ZERO, ZERO);
        for p in plane..plane + n {
            let (c, o, s) = (
                &op.capacity.cells[p],
                &op.outer.cells[p],
                &op.link_sum.cells[p],
            );
            let (a0, b0, c0) = (&la[p], &lb[p], &lc[p]);
            let (a1, b1, c1) = (&la[p + plane], &lb[p + row], &lc[p + 1]);
            let (ia, ib) = (&inv[p - plane], &inv[p - row]);
            let (ua, ub) = (&later[p - plane], &later[p - row]);
            let mut diag = ZERO;
            let mut d = ZERO;
            let mut up = ZERO;
            for l in 0..LANES {
                diag[l] = m * c[l] + o[l] + s[l];
                let ga = a0[l] * ((1.0 - RELAXATION) * a0[l] * ia[l] + RELAXATION * ua[l]);
                let gb = b0[l] * ((1.0 - RELAXATION) * b0[l] * ib[l] + RELAXATION * ub[l]);
                d[l] = diag[l] - ga - gb;
                up[l] = a1[l] + b1[l] + c1[l];
            }
            if has_stars {
                for (u, k) in up.iter_mut().zip(&self.kick.cells[p]) {
                    *u += k;
                }
            }
            if p < 2 * plane {
                let w = lane_before(&op.links.wrap[p - plane]);
                for l in 0..LANES {
                    up[l] += w[l];
                }
            }
            if p >= n {
                let w = &op.links.wrap[p - n];
                let first = p - n + plane;
                let (i, u) = (next_lane(&inv[first]), next_lane(&later[first]));
                for l in 0..LANES {
                    d[l] -= w[l] * ((1.0 - RELAXATION) * w[l] * i[l] + RELAXATION * u[l]);
                }
            }
            for l in 0..LANES {
                d[l] -= c0[l]
                    * ((1.0 - RELAXATION) * c0[l] * inv_before[l] + RELAXATION * later_before[l]);
                // Lanes without a cell: a row of the unit matrix.
                let guarded = if d[l] < PIVOT_GUARD * diag[l] {
                    diag[l]
                } else {
                    d[l]
                };
                d[l] = if diag[l] > 0.0 { guarded } else { 1.0 };
                diag[l] = if diag[l] > 0.0 { diag[l] } else { 1.0 };
                let used = if s[l] > 0.0 { d[l] } else { f64::INFINITY };
                least_lanes[l] = if used < least_lanes[l] {
                    used
                } else {
                    least_lanes[l]
                };
                inv_before[l] = 1.0 / d[l];
                later_before[l] = up[l] * inv_before[l];
            }
            inv[p] = inv_before;
            later[p] = later_before;
            self.excess.cells[p] = diag;
        }
        for v in least_lanes {
            least = least.min(v);
        }
        // Air nodes: stars first, then links to air nodes before.
        let mut later_air = vec![0.0; op.layout.air];
        for &(_, b, g) in &op.links.border {
            later_air[b as usize] += g;
        }
        for (a, star) in op.links.stars.iter().enumerate() {
            let diag = m * op.capacity.air[a] + op.outer.air[a] + op.link_sum.air[a];
            let mut d = diag;
            let (inv, later) = (
                self.scale.cells.as_flattened(),
                self.later.cells.as_flattened(),
            );
            for (&s, &g) in star.slots.iter().zip(&star.g) {
                let s = s as usize;
                d -= g * ((1.0 - RELAXATION) * g * inv[s] + RELAXATION * later[s]);
            }
            for &(_, b, g) in op.links.border.iter().filter(|e| e.0 as usize == a) {
                let b = b as usize;
                d -= g
                    * ((1.0 - RELAXATION) * g * self.scale.air[b] + RELAXATION * self.later.air[b]);
            }
            if d < PIVOT_GUARD * diag {
                d = diag;
            }
            if d > 0.0 {
                least = least.min(d);
            } else {
                d = 1.0;
            }
            self.scale.air[a] = 1.0 / d;
            self.later.air[a] = later_air[a] / d;
            self.excess.air[a] = diag;
        }
        self.least_pivot = if least.is_finite() { least } else { 1.0 };
    }

    /// Turns pivots into scales, and scales links and diagonals by them.
    #[inline(always)]
    fn rescale(&mut self, op: &Operator) {
        let (plane, row, n) = (op.layout.plane(), op.layout.row, op.layout.chunks());
        let scale = &mut self.scale;
        for p in plane..plane + n {
            let (s, e) = (&mut scale.cells[p], &mut self.excess.cells[p]);
            for l in 0..LANES {
                e[l] = e[l] * s[l] - 2.0;
                s[l] = s[l].sqrt();
            }
        }
        for (s, e) in scale.air.iter_mut().zip(&mut self.excess.air) {
            *e = *e * *s - 2.0;
            *s = s.sqrt();
        }
        let s = &scale.cells;
        for (direction, back) in [plane, row, 1].into_iter().enumerate() {
            let from = &op.links.lower[direction][plane..plane + n];
            let to = &mut self.lower[direction][plane..plane + n];
            let (here, before) = (&s[plane..plane + n], &s[plane - back..plane + n - back]);
            for (((t, f), h), b) in to.iter_mut().zip(from).zip(here).zip(before) {
                for l in 0..LANES {
                    t[l] = f[l] * (h[l] * b[l]);
                }
            }
        }
        for (i, (to, from)) in self.wrap.iter_mut().zip(&op.links.wrap).enumerate() {
            let up = next_lane(&s[plane + i]);
            for l in 0..LANES {
                to[l] = from[l] * (s[n + i][l] * up[l]);
            }
        }
        let flat = s.as_flattened();
        for (a, (to, from)) in self.stars.iter_mut().zip(&op.links.stars).enumerate() {
            for ((t, &g), &slot) in to.g.iter_mut().zip(&from.g).zip(&from.slots) {
                *t = g * (scale.air[a] * flat[slot as usize]);
            }
        }
        for (to, &(a, b, g)) in self.border.iter_mut().zip(&op.links.border) {
            to.2 = g * (scale.air[a as usize] * scale.air[b as usize]);
        }
        for (to, &(a, b, g)) in self.far.iter_mut().zip(&op.links.far) {
            to.2 = g * (scale.get(a) * scale.get(b));
        }
        self.kick.clear();
    }
}
