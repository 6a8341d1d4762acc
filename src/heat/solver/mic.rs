//! Modified incomplete Cholesky factorisation without fill, and its triangular sweeps.
//!
//! `M = (D - L) D^-1 (D - L^T)` with the matrix's own off-diagonals and pivots
//! `d_i = a_ii - sum_j g_ij (g_ij + w (s_j - g_ij)) / d_j` over earlier neighbours `j`, where `g` are conductances (minus
//! the off-diagonals) and `s_j` is the sum of the links of `j` to later unknowns. `w = 0` is the plain incomplete
//! factorisation, `w = 1` keeps row sums (I. Gustafsson, BIT 18 (1978) 142-156, from memory). All is held scaled by
//! `S = D^-1/2`, so that the factors have unit diagonals and the product with the preconditioned matrix needs the two
//! sweeps only (S. Eisenstat, SIAM J. Sci. Stat. Comput. 2 (1981) 1-4, from memory).

use super::super::lanes::{Chunk, Field, LANES, Layout, ZERO, lane_before, next_lane, wide};
use super::super::operator::{Operator, Star};

/// Relaxation of the modified factorisation; 0.95 to 0.98 work alike, 1 has no margin.
const RELAXATION: f64 = 0.97;
/// A pivot below this share of its diagonal is replaced by the diagonal. It guards against rounding only: a thin metal
/// sheet of two cells has true pivots of 1e-3 and less, and replacing those costs hundreds of iterations.
const PIVOT_GUARD: f64 = 1e-9;

/// The scaled factor.
pub(super) struct Mic {
    slabs: usize,
    rows: usize,
    row: usize,
    /// Scaled links to the chunk one plane, one row, one chunk before.
    lower: [Vec<Chunk>; 3],
    wrap: Vec<Chunk>,
    stars: Vec<Star>,
    border: Vec<(u32, u32, f64)>,
    far: Vec<(u32, u32, f64)>,
    /// `S`, K^1/2 W^-1/2.
    pub scale: Field,
    /// Scaled diagonal of the matrix minus 2.
    excess: Field,
    /// Sum of the links of each unknown to later unknowns, divided by its pivot.
    later: Field,
    /// Added to the right-hand side of the backward sweep by the stars.
    kick: Field,
    /// Added to the right-hand side of the forward sweep by far links.
    kick_far: Field,
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

    /// `p = r + beta p`, then `t = (I - L^T)^-1 p`.
    pub fn backward(&mut self, r: &Field, beta: f64, p: &mut Field, t: &mut Field) {
        wide!(<'a>(
            this: &'a mut Mic = self, r: &'a Field = r, beta: f64 = beta, p: &'a mut Field = p, t: &'a mut Field = t,
        ) -> () { this.backward_wide(r, beta, p, t) });
    }

    #[inline(always)]
    fn backward_wide(&mut self, r: &Field, beta: f64, p: &mut Field, t: &mut Field) {
        for (p, r) in p.air.iter_mut().zip(&r.air) {
            *p = r + beta * *p;
        }
        t.air.copy_from_slice(&p.air);
        for &(a, b, g) in self.border.iter().rev() {
            t.air[b as usize] += g * t.air[a as usize];
        }
        let stars = !self.stars.is_empty();
        if stars {
            spread_stars(&self.stars, &t.air, &mut self.kick);
        }
        let (row, plane) = (self.row, self.rows * self.row);
        let span = (self.slabs - 1) * plane;
        let [a, b, c] = &self.lower;
        for at in (plane..plane + span + plane).step_by(row).rev() {
            let (head, tail) = t.cells.split_at_mut(at + row);
            let out = &mut head[at..];
            let first = at < 2 * plane;
            if stars {
                out.copy_from_slice(&self.kick.cells[at..at + row]);
            } else if first {
                out.fill(ZERO);
            }
            if first {
                let last = &tail[span - row..span];
                for ((o, w), u) in out.iter_mut().zip(&self.wrap[at - plane..]).zip(last) {
                    let mut f = ZERO;
                    for l in 0..LANES {
                        f[l] = w[l] * u[l];
                    }
                    let f = lane_before(&f);
                    for l in 0..LANES {
                        o[l] += f[l];
                    }
                }
            }
            let links = [
                &a[at + plane..][..row],
                &b[at + row..][..row],
                &c[at + 1..][..row],
            ];
            let from = [&tail[plane - row..][..row], &tail[..row]];
            let (p, r) = (&mut p.cells[at..at + row], &r.cells[at..at + row]);
            if stars || first {
                backward_row::<true>(links, from, r, beta, p, out);
            } else {
                backward_row::<false>(links, from, r, beta, p, out);
            }
        }
    }

    /// `w = (I - L)^-1 (p + (D - 2) t)`, with the links outside the factor in `D`'s place; returns `p . (t + w)`.
    pub fn forward(&mut self, p: &Field, t: &Field, w: &mut Field) -> f64 {
        wide!(<'a>(this: &'a mut Mic = self, p: &'a Field = p, t: &'a Field = t, w: &'a mut Field = w) -> f64 {
            this.forward_wide(p, t, w)
        })
    }

    #[inline(always)]
    fn forward_wide(&mut self, p: &Field, t: &Field, w: &mut Field) -> f64 {
        let far = !self.far.is_empty();
        if far {
            for &(a, b, _) in &self.far {
                *self.kick_far.at(a) = 0.0;
                *self.kick_far.at(b) = 0.0;
            }
            for &(a, b, g) in &self.far {
                *self.kick_far.at(a) -= g * t.get(b);
                *self.kick_far.at(b) -= g * t.get(a);
            }
        }
        let (row, plane) = (self.row, self.rows * self.row);
        let span = (self.slabs - 1) * plane;
        let mut sum = ZERO;
        let [a, b, c] = &self.lower;
        for at in (plane..plane + span + plane).step_by(row) {
            let (head, tail) = w.cells.split_at_mut(at);
            let out = &mut tail[..row];
            let last = at >= plane + span;
            if far {
                out.copy_from_slice(&self.kick_far.cells[at..at + row]);
            } else if last {
                out.fill(ZERO);
            }
            if last {
                let first = &head[at - span..][..row];
                for ((o, g), u) in out
                    .iter_mut()
                    .zip(&self.wrap[at - plane - span..])
                    .zip(first)
                {
                    let u = next_lane(u);
                    for l in 0..LANES {
                        o[l] += g[l] * u[l];
                    }
                }
            }
            let links = [
                &a[at..][..row],
                &b[at..][..row],
                &c[at..][..row],
                &self.excess.cells[at..][..row],
            ];
            let from = [&head[at - plane..][..row], &head[at - row..][..row]];
            let (p, t) = (&p.cells[at..at + row], &t.cells[at..at + row]);
            if far || last {
                forward_row::<true>(links, from, p, t, out, &mut sum);
            } else {
                forward_row::<false>(links, from, p, t, out, &mut sum);
            }
        }
        let mut total: f64 = sum.iter().sum();
        for (i, star) in self.stars.iter().enumerate() {
            let flat = w.cells.as_flattened();
            let mut v = p.air[i] + self.excess.air[i] * t.air[i];
            for (&s, &g) in star.slots.iter().zip(&star.g) {
                v += g * flat[s as usize];
            }
            w.air[i] = v;
        }
        for &(later, earlier, g) in &self.border {
            w.air[later as usize] += g * w.air[earlier as usize];
        }
        for i in 0..w.air.len() {
            total += p.air[i] * (t.air[i] + w.air[i]);
        }
        total
    }

    /// `r = (I - L)^-1 S r` in place; returns `r . r`.
    pub fn precondition(&self, r: &mut Field) -> f64 {
        wide!(<'a>(this: &'a Mic = self, r: &'a mut Field = r) -> f64 { this.precondition_wide(r) })
    }

    #[inline(always)]
    fn precondition_wide(&self, r: &mut Field) -> f64 {
        let (row, plane) = (self.row, self.rows * self.row);
        let span = (self.slabs - 1) * plane;
        let mut sum = ZERO;
        let [a, b, c] = &self.lower;
        for at in (plane..plane + span + plane).step_by(row) {
            let (head, tail) = r.cells.split_at_mut(at);
            let out = &mut tail[..row];
            for (o, s) in out.iter_mut().zip(&self.scale.cells[at..]) {
                for l in 0..LANES {
                    o[l] *= s[l];
                }
            }
            if at >= plane + span {
                let first = &head[at - span..][..row];
                for ((o, g), u) in out
                    .iter_mut()
                    .zip(&self.wrap[at - plane - span..])
                    .zip(first)
                {
                    let u = next_lane(u);
                    for l in 0..LANES {
                        o[l] += g[l] * u[l];
                    }
                }
            }
            let (a, b, c) = (&a[at..][..row], &b[at..][..row], &c[at..][..row]);
            let (wa, wb) = (&head[at - plane..][..row], &head[at - row..][..row]);
            let mut before = ZERO;
            for i in 0..row {
                for l in 0..LANES {
                    let v =
                        out[i][l] + (a[i][l] * wa[i][l] + b[i][l] * wb[i][l]) + c[i][l] * before[l];
                    before[l] = v;
                    sum[l] += v * v;
                }
                out[i] = before;
            }
        }
        for (r, s) in r.air.iter_mut().zip(&self.scale.air) {
            *r *= s;
        }
        for (i, star) in self.stars.iter().enumerate() {
            let flat = r.cells.as_flattened();
            for (&s, &g) in star.slots.iter().zip(&star.g) {
                r.air[i] += g * flat[s as usize];
            }
        }
        for &(later, earlier, g) in &self.border {
            r.air[later as usize] += g * r.air[earlier as usize];
        }
        sum.iter().sum::<f64>() + r.air.iter().map(|v| v * v).sum::<f64>()
    }
}

/// `kick = sum over stars of g t_air` at the cells they touch.
fn spread_stars(stars: &[Star], air: &[f64], kick: &mut Field) {
    let flat = kick.cells.as_flattened_mut();
    for s in stars.iter().flat_map(|s| &s.slots) {
        flat[*s as usize] = 0.0;
    }
    for (star, &ta) in stars.iter().zip(air) {
        for (&s, &g) in star.slots.iter().zip(&star.g) {
            flat[s as usize] += g * ta;
        }
    }
}

/// One row of the backward sweep, last chunk first. `PRESET`: `out` holds an addend.
#[inline(always)]
fn backward_row<const PRESET: bool>(
    [a, b, c]: [&[Chunk]; 3],
    [ta, tb]: [&[Chunk]; 2],
    r: &[Chunk],
    beta: f64,
    p: &mut [Chunk],
    out: &mut [Chunk],
) {
    let n = out.len();
    let (a, b, c) = (&a[..n], &b[..n], &c[..n]);
    let (ta, tb, r, p) = (&ta[..n], &tb[..n], &r[..n], &mut p[..n]);
    let mut next = ZERO;
    for i in (0..n).rev() {
        let mut v = ZERO;
        for l in 0..LANES {
            let pl = r[i][l] + beta * p[i][l];
            p[i][l] = pl;
            v[l] = pl + (a[i][l] * ta[i][l] + b[i][l] * tb[i][l]);
        }
        if PRESET {
            for l in 0..LANES {
                v[l] += out[i][l];
            }
        }
        for l in 0..LANES {
            next[l] = v[l] + c[i][l] * next[l];
        }
        out[i] = next;
    }
}

/// One row of the forward sweep. `PRESET`: `out` holds an addend. Adds `p (t + w)` to `sum`.
#[inline(always)]
fn forward_row<const PRESET: bool>(
    [a, b, c, e]: [&[Chunk]; 4],
    [wa, wb]: [&[Chunk]; 2],
    p: &[Chunk],
    t: &[Chunk],
    out: &mut [Chunk],
    sum: &mut Chunk,
) {
    let n = out.len();
    let (a, b, c, e) = (&a[..n], &b[..n], &c[..n], &e[..n]);
    let (wa, wb, p, t) = (&wa[..n], &wb[..n], &p[..n], &t[..n]);
    let mut before = ZERO;
    let mut total = *sum;
    for i in 0..n {
        let mut v = ZERO;
        for l in 0..LANES {
            v[l] = (p[i][l] + e[i][l] * t[i][l]) + (a[i][l] * wa[i][l] + b[i][l] * wb[i][l]);
        }
        if PRESET {
            for l in 0..LANES {
                v[l] += out[i][l];
            }
        }
        for l in 0..LANES {
            before[l] = v[l] + c[i][l] * before[l];
            total[l] += p[i][l] * (t[i][l] + before[l]);
        }
        out[i] = before;
    }
    *sum = total;
}
