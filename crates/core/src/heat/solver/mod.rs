//! The linear solver for `M = m C + K`.

mod mic;
mod pcg;
mod sweeps;

pub(super) use pcg::Pcg;

/// Conjugate gradients with a modified incomplete factorisation: no set-up worth mentioning when the matrix changes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LinearSolver {
    /// Largest temperature error to be left by one solve, K. The estimate from the energy norm is on the safe side: on
    /// bodies like hives the true error came out at a tenth of it or less.
    pub tolerance: f64,
}

impl LinearSolver {
    /// As near as rounding lets it come: for a steady state whose digits are printed, and for tests of exact statements.
    pub const TO_ROUNDING: Self = Self { tolerance: 1e-12 };
    /// To 1e-6 K, for checks.
    pub const PCG: Self = Self { tolerance: 1e-6 };
    /// To 1e-3 K, for hourly steps.
    pub const HOURLY: Self = Self { tolerance: 1e-3 };
}
