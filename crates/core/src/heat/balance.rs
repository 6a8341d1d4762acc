//! Heat balances and solver counts.

/// Where heat went over a span of time, J, or in a steady state, W. By the scheme's own discrete weights, so that what is
/// left over is the linear solver's error and rounding only.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Balance {
    /// Released inside.
    pub supplied: f64,
    /// Left in the body.
    pub stored: f64,
    /// Lost to the outside (films, exchange).
    pub lost: f64,
    /// Sum of the absolute flows, to compare the residual with.
    pub throughput: f64,
}

impl Balance {
    /// `supplied - stored - lost`, same unit.
    #[must_use]
    pub fn residual(&self) -> f64 {
        self.supplied - self.stored - self.lost
    }

    /// Residual as a share of the throughput; 0 when nothing flows.
    #[must_use]
    pub fn relative(&self) -> f64 {
        if self.throughput > 0.0 {
            self.residual().abs() / self.throughput
        } else {
            0.0
        }
    }

    /// Adds another balance.
    pub fn add(&mut self, other: &Self) {
        self.supplied += other.supplied;
        self.stored += other.stored;
        self.lost += other.lost;
        self.throughput += other.throughput;
    }
}

/// What a solver did.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Stats {
    /// Time steps.
    pub steps: usize,
    /// Linear systems solved.
    pub solves: usize,
    /// Conjugate-gradient iterations.
    pub iterations: usize,
    /// Incomplete factorisations.
    pub factorisations: usize,
    /// Largest estimated temperature error left by one solve, K.
    pub worst_error_k: f64,
    /// Heat over all steps, J.
    pub balance: Balance,
}
