//! Time stepping: `C dT/dt = -K T + f` with everything in the drive constant over a step.
//!
//! Backward Euler: `(C/dt + K) d = f - K T`, `d` the increment; first order, monotone.
//!
//! TR-BDF2 with `g = 2 - sqrt 2` (R. Bank et al., IEEE Trans. CAD 4 (1985) 436-451; g by M. Hosea and L. Shampine, Appl.
//! Numer. Math. 20 (1996) 21-37; both from memory): L-stable, one-step, second order; both stages share
//! `M = m C + K`, `m = 2/(g dt)`:
//! `M d1 = 2 (f - K T0)`, `T1 = T0 + d1`; `M d2 = m a C d1 + f - K T1`, `a = (1-g)^2 / (g (2-g))`, `T2 = T1 + d2`.
//! Its own heat balance weighs the flows at `T0, T1, T2` with `sqrt 2/4, sqrt 2/4, 1 - sqrt 2/2`.

use super::balance::{Balance, Stats};
use super::drive::{Drive, check_finite};
use super::error::HeatError;
use super::network::Network;
use super::operator::Operator;
use super::simd_layout::{Field, LANES, wide};
use super::solver::{LinearSolver, Pcg};

const GAMMA: f64 = 2.0 - std::f64::consts::SQRT_2;
const FIRST_WEIGHT: f64 = std::f64::consts::SQRT_2 / 4.0;
const LAST_WEIGHT: f64 = GAMMA / 2.0;
/// `(1-g)^2 / (g (2-g))`.
const CARRY: f64 = (1.0 - GAMMA) * (1.0 - GAMMA) / (GAMMA * (2.0 - GAMMA));

/// Time integration scheme.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Scheme {
    /// Second order, L-stable, two solves a step.
    TrBdf2,
    /// First order, monotone, one solve a step.
    BackwardEuler,
}

/// Steps one network through time.
pub struct Stepper {
    network: Network,
    op: Operator,
    engine: Pcg,
    scheme: Scheme,
    dt: f64,
    stats: Stats,
    /// Increments of each stage in the last two steps, to guess the next from.
    last: Vec<Field>,
    before: Vec<Field>,
    base: Field,
    sum: Field,
    r: Field,
    work: Field,
}

impl Stepper {
    /// A stepper with time step `dt` (s).
    ///
    /// # Errors
    /// A step or tolerance that is not positive, a node with neither capacity nor links, or a failed set-up.
    pub fn new(
        network: &Network,
        scheme: Scheme,
        dt: f64,
        solver: LinearSolver,
    ) -> Result<Self, HeatError> {
        if !(dt > 0.0 && dt.is_finite()) {
            return Err(HeatError::Setting {
                what: "time step (s)",
                value: dt,
            });
        }
        let op = Operator::new(network);
        for (node, &slot) in op.layout.slots.iter().enumerate() {
            if op.capacity.get(slot) <= 0.0 && op.link_sum.get(slot) <= 0.0 {
                return Err(HeatError::LooseNode { node });
            }
        }
        let engine = Pcg::new(&op, solver)?;
        let zero = || Field::zero(&op.layout);
        let stages = match scheme {
            Scheme::TrBdf2 => 2,
            Scheme::BackwardEuler => 1,
        };
        Ok(Self {
            network: network.clone(),
            scheme,
            dt,
            stats: Stats::default(),
            last: (0..stages).map(|_| zero()).collect(),
            before: (0..stages).map(|_| zero()).collect(),
            base: zero(),
            sum: zero(),
            r: zero(),
            work: zero(),
            op,
            engine,
        })
    }

    /// The network it steps.
    #[must_use]
    pub fn network(&self) -> &Network {
        &self.network
    }

    /// Time step, s.
    #[must_use]
    pub fn dt(&self) -> f64 {
        self.dt
    }

    /// What was done so far, with the heat balance over all steps.
    #[must_use]
    pub fn stats(&self) -> Stats {
        self.stats
    }

    /// `m` in `M = m C + K`, 1/s.
    fn m(&self) -> f64 {
        match self.scheme {
            Scheme::TrBdf2 => 2.0 / (GAMMA * self.dt),
            Scheme::BackwardEuler => 1.0 / self.dt,
        }
    }

    /// Advances `t` (degC per unknown) by one step under a drive that is constant within it.
    ///
    /// # Errors
    /// A drive or state that does not fit, or a solver failure; `t` is then unchanged.
    pub fn step(&mut self, t: &mut [f64], drive: &Drive) -> Result<(), HeatError> {
        if t.len() != self.network.n() {
            return Err(HeatError::DriveLength {
                what: "state",
                got: t.len(),
                expected: self.network.n(),
            });
        }
        check_finite("temperature (degC)", t)?;
        self.op.load(&self.network, drive)?;
        let m = self.m();
        self.engine.prepare(&self.op, m, &mut self.stats);
        self.op.layout.gather(t, &mut self.base);
        let mut lost = (0.0, 0.0);
        let mut count = |op: &Operator, u: &Field, weight: f64| {
            let (net, abs) = op.lost(u);
            lost.0 += weight * net;
            lost.1 += weight * abs;
        };
        let stored_before = self.op.stored(&self.base);
        match self.scheme {
            Scheme::BackwardEuler => {
                self.stage(0, m, 0.0, None)?;
                count(&self.op, &self.base, 1.0);
            }
            Scheme::TrBdf2 => {
                count(&self.op, &self.base, FIRST_WEIGHT);
                self.stage(0, m, 1.0, None)?;
                count(&self.op, &self.base, FIRST_WEIGHT);
                std::mem::swap(&mut self.work, &mut self.sum);
                self.stage(1, m, 0.0, Some(CARRY))?;
                count(&self.op, &self.base, LAST_WEIGHT);
            }
        }
        self.stats.steps += 1;
        self.stats.balance.add(&Balance {
            supplied: self.dt * self.op.power,
            stored: self.op.stored(&self.base) - stored_before,
            lost: self.dt * lost.0,
            throughput: self.dt * (self.op.power_abs + lost.1),
        });
        self.op.layout.scatter(&self.base, t);
        Ok(())
    }

    /// Solves `M d = (1 + again) (f - K base) + m carry C work` for the increment `d` of stage `i`, adds it to `base`
    /// and leaves it in `sum`. From a guess `g`, carried on from the last two steps: `M (d - g) = f - K (base + g) +
    /// again (f - K base) + m C (carry work - g)`.
    fn stage(&mut self, i: usize, m: f64, again: f64, carry: Option<f64>) -> Result<(), HeatError> {
        let op = &self.op;
        self.sum.copy_from(&self.last[i]);
        self.sum.add(1.0, &self.last[i]);
        self.sum.add(-1.0, &self.before[i]);
        self.r.clear();
        if again > 0.0 {
            op.add_residual(&op.source, &self.base, &mut self.r);
        }
        self.base.add(1.0, &self.sum);
        op.add_residual(&op.source, &self.base, &mut self.r);
        let carry = carry.map(|a| (a, &self.work));
        wide_capacity(op, m, carry, &self.sum, &mut self.r);
        self.base.add(-1.0, &self.sum);
        self.engine
            .solve(op, &mut self.r, &mut self.sum, &mut self.stats)?;
        self.base.add(1.0, &self.sum);
        std::mem::swap(&mut self.last[i], &mut self.before[i]);
        self.last[i].copy_from(&self.sum);
        Ok(())
    }
}

/// `r += m C (a work - g)`.
fn wide_capacity(op: &Operator, m: f64, carry: Option<(f64, &Field)>, g: &Field, r: &mut Field) {
    wide!(<'a>(
        op: &'a Operator = op, m: f64 = m, carry: Option<(f64, &'a Field)> = carry, g: &'a Field = g,
        r: &'a mut Field = r,
    ) -> () { add_capacity(op, m, carry, g, r) });
}

#[inline(always)]
fn add_capacity(op: &Operator, m: f64, carry: Option<(f64, &Field)>, g: &Field, r: &mut Field) {
    let add = |c: f64, w: f64, g: f64, a: f64| m * c * (a * w - g);
    let (a, work) = carry.unwrap_or((0.0, g));
    let it = r
        .cells
        .iter_mut()
        .zip(&op.capacity.cells)
        .zip(&work.cells)
        .zip(&g.cells);
    for (((r, c), w), g) in it {
        for l in 0..LANES {
            r[l] += add(c[l], w[l], g[l], a);
        }
    }
    for (i, r) in r.air.iter_mut().enumerate() {
        *r += add(op.capacity.air[i], work.air[i], g.air[i], a);
    }
}
