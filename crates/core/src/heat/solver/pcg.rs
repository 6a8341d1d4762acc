//! Conjugate gradients preconditioned by [`Mic`], in the scaled unknowns.

use super::super::balance::Stats;
use super::super::error::HeatError;
use super::super::operator::Operator;
use super::super::simd_layout::{Field, LANES, ZERO, wide};
use super::LinearSolver;
use super::mic::Mic;

/// No network of this kind needs more; beyond it something is wrong.
const MOST_ITERATIONS: usize = 5_000;

/// Solver state: the factor and the work vectors.
pub(in super::super) struct Pcg {
    mic: Mic,
    tolerance: f64,
    version: u64,
    m: f64,
    p: Field,
    t: Field,
    w: Field,
    x: Field,
}

impl Pcg {
    /// A solver bound to one network.
    pub fn new(op: &Operator, LinearSolver { tolerance }: LinearSolver) -> Result<Self, HeatError> {
        if !(tolerance > 0.0 && tolerance.is_finite()) {
            return Err(HeatError::Setting {
                what: "solver tolerance (K)",
                value: tolerance,
            });
        }
        let zero = || Field::zero(&op.layout);
        Ok(Self {
            mic: Mic::new(op),
            tolerance,
            version: 0,
            m: f64::NAN,
            p: zero(),
            t: zero(),
            w: zero(),
            x: zero(),
        })
    }

    /// Makes ready for `m C + K`: factorises if the operator's values or `m` have changed.
    pub fn prepare(&mut self, op: &Operator, m: f64, stats: &mut Stats) {
        if self.version != op.version || self.m.to_bits() != m.to_bits() {
            self.mic.factor(op, m);
            (self.version, self.m) = (op.version, m);
            stats.factorisations += 1;
        }
    }

    /// Adds the solution of `M y = r` to `x`; `r` is spoilt.
    ///
    /// With `M ~ A`, `r.r` in the scaled unknowns is the square of the energy norm of the error, and no temperature can
    /// be off by more than that norm times the square root of its own unit response. The unit response (K/W) is taken
    /// as the inverse of the smallest pivot, which few cells come near: the estimate is on the safe side.
    pub fn solve(
        &mut self,
        op: &Operator,
        r: &mut Field,
        x: &mut Field,
        stats: &mut Stats,
    ) -> Result<(), HeatError> {
        let unit = 1.0 / self.mic.least_pivot.sqrt();
        let target = (self.tolerance / unit).powi(2);
        let mut rr = self.mic.precondition(r);
        stats.solves += 1;
        if !rr.is_finite() {
            return Err(HeatError::NoConvergence {
                iterations: 0,
                error_k: f64::NAN,
                wanted_k: self.tolerance,
            });
        }
        // Rounding sets a floor below which no residual can be told from zero.
        let target = target.max(rr * 1e-32);
        if rr <= target {
            stats.worst_error_k = stats.worst_error_k.max(rr.sqrt() * unit);
            return Ok(());
        }
        self.x.clear();
        self.p.clear();
        let mut beta = 0.0;
        let mut iterations = 0;
        while rr > target {
            if iterations == MOST_ITERATIONS {
                let error_k = rr.sqrt() * unit;
                return Err(HeatError::NoConvergence {
                    iterations,
                    error_k,
                    wanted_k: self.tolerance,
                });
            }
            self.mic.backward(r, beta, &mut self.p, &mut self.t);
            let curvature = self.mic.forward(&self.p, &self.t, &mut self.w);
            let alpha = rr / curvature;
            let next = wide!(<'a>(
                alpha: f64 = alpha, t: &'a Field = &self.t, w: &'a Field = &self.w, x: &'a mut Field = &mut self.x,
                r: &'a mut Field = r,
            ) -> f64 { update(alpha, t, w, x, r) });
            iterations += 1;
            if !next.is_finite() || curvature <= 0.0 {
                return Err(HeatError::NoConvergence {
                    iterations,
                    error_k: f64::NAN,
                    wanted_k: self.tolerance,
                });
            }
            beta = next / rr;
            rr = next;
        }
        wide!(<'a>(scale: &'a Field = &self.mic.scale, y: &'a Field = &self.x, x: &'a mut Field = x) -> () {
            add_scaled(scale, y, x)
        });
        stats.iterations += iterations;
        stats.worst_error_k = stats.worst_error_k.max(rr.sqrt() * unit);
        debug_assert_eq!(self.x.cells.len(), op.layout.padded());
        Ok(())
    }
}

/// `x += alpha t`, `r -= alpha (t + w)`; returns `r . r`.
#[inline(always)]
fn update(alpha: f64, t: &Field, w: &Field, x: &mut Field, r: &mut Field) -> f64 {
    let n = x.cells.len();
    let (xs, rs, ts, ws) = (
        &mut x.cells[..n],
        &mut r.cells[..n],
        &t.cells[..n],
        &w.cells[..n],
    );
    let mut sum = ZERO;
    for i in 0..n {
        let (mut v, mut y) = (rs[i], xs[i]);
        for l in 0..LANES {
            y[l] += alpha * ts[i][l];
        }
        for l in 0..LANES {
            v[l] -= alpha * (ts[i][l] + ws[i][l]);
        }
        for l in 0..LANES {
            sum[l] += v[l] * v[l];
        }
        (rs[i], xs[i]) = (v, y);
    }
    let mut total: f64 = sum.iter().sum();
    for (i, r) in r.air.iter_mut().enumerate() {
        x.air[i] += alpha * t.air[i];
        *r -= alpha * (t.air[i] + w.air[i]);
        total += *r * *r;
    }
    total
}

/// `x += S y`.
#[inline(always)]
fn add_scaled(scale: &Field, y: &Field, x: &mut Field) {
    for ((x, s), y) in x.cells.iter_mut().zip(&scale.cells).zip(&y.cells) {
        for l in 0..LANES {
            x[l] += s[l] * y[l];
        }
    }
    for ((x, s), y) in x.air.iter_mut().zip(&scale.air).zip(&y.air) {
        *x += s * y;
    }
}
