//! The triangular sweeps of [`Mic`]: eight cells at a time, row by row.

use super::super::links::Star;
use super::super::simd_layout::{Chunk, Field, LANES, ZERO, lane_before, next_lane, wide};
use super::mic::Mic;

impl Mic {
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
