//! Linear solvers for `M = m C + K`.

mod cholesky;
mod dissection;
mod mic;
mod pcg;
mod sweeps;

use super::balance::Stats;
use super::error::HeatError;
use super::lanes::Field;
use super::network::Network;
use super::operator::Operator;

use cholesky::Cholesky;
use pcg::Pcg;

/// Which linear solver to use.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum LinearSolver {
    /// Conjugate gradients with a modified incomplete factorisation: no set-up worth mentioning when the matrix
    /// changes.
    Pcg {
        /// Largest temperature error to be left by one solve, K. The estimate from the energy norm is on the safe
        /// side: on bodies like hives the true error came out at a tenth of it or less.
        tolerance: f64,
    },
    /// Sparse Cholesky: fastest for a matrix that stays the same, and exact to rounding.
    Cholesky,
}

impl LinearSolver {
    /// Conjugate gradients to 1e-6 K, for checks.
    pub const PCG: Self = Self::Pcg { tolerance: 1e-6 };
    /// Conjugate gradients to 1e-3 K, for hourly steps.
    pub const HOURLY: Self = Self::Pcg { tolerance: 1e-3 };
}

/// A solver bound to one network.
pub(super) enum Engine {
    Pcg(Box<Pcg>),
    Cholesky(Box<Cholesky>),
}

impl Engine {
    pub fn new(network: &Network, op: &Operator, solver: LinearSolver) -> Result<Self, HeatError> {
        match solver {
            LinearSolver::Pcg { tolerance } if tolerance > 0.0 && tolerance.is_finite() => {
                Ok(Self::Pcg(Box::new(Pcg::new(op, tolerance))))
            }
            LinearSolver::Pcg { tolerance } => Err(HeatError::Setting {
                what: "solver tolerance (K)",
                value: tolerance,
            }),
            LinearSolver::Cholesky => Ok(Self::Cholesky(Box::new(Cholesky::new(network, op)?))),
        }
    }

    /// Whether a first guess is worth its residual.
    pub fn wants_guess(&self) -> bool {
        matches!(self, Self::Pcg(_))
    }

    /// Makes ready for `m C + K` with the operator's present values.
    pub fn prepare(&mut self, op: &Operator, m: f64, stats: &mut Stats) -> Result<(), HeatError> {
        match self {
            Self::Pcg(s) => s.prepare(op, m, stats),
            Self::Cholesky(s) => s.prepare(op, m, stats),
        }
    }

    /// Adds the solution of `M y = r` to `x`; `r` is spoilt.
    pub fn solve(
        &mut self,
        op: &Operator,
        r: &mut Field,
        x: &mut Field,
        stats: &mut Stats,
    ) -> Result<(), HeatError> {
        match self {
            Self::Pcg(s) => s.solve(op, r, x, stats),
            Self::Cholesky(s) => s.solve(r, x, stats),
        }
    }
}
