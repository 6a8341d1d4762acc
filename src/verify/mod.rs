//! Outside checks: values published or computed outside this program, each with its source and tolerance.
//!
//! `partywall verify` prints them; the tests call the same functions. A check never reads its expected value from the
//! code under test.

pub mod analytic;
pub mod boundary;
pub mod climate;
pub mod heater_box;
pub mod iso10211;

use serde::Serialize;

/// Where an expected value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Evidence {
    /// Printed in a published source that was read.
    Published,
    /// A published value quoted from memory, not re-read.
    FromMemory,
    /// Computed independently of this program from a published formula.
    Computed,
    /// A principle (conservation, symmetry, order of convergence).
    Principle,
}

/// One outside check and how it came out.
#[derive(Debug, Clone, Serialize)]
pub struct Check {
    /// Short stable identifier, e.g. "iso10211-2-flow".
    pub id: &'static str,
    /// What is compared, in words.
    pub what: String,
    /// Expected value.
    pub expected: f64,
    /// Value this program computes.
    pub got: f64,
    /// Allowed absolute difference, in the same unit.
    pub tolerance: f64,
    /// Unit of the three numbers ("K", "W/m", "-").
    pub unit: &'static str,
    /// Source of the expected value.
    pub source: &'static str,
    /// What kind of evidence that source is.
    pub evidence: Evidence,
}

impl Check {
    /// Whether the value lies within its tolerance (a NaN never passes).
    #[must_use]
    pub fn passes(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}

/// All outside checks, in a fixed order.
///
/// # Errors
/// A model problem that cannot be built or solved.
pub fn all() -> Result<Vec<Check>, VerifyError> {
    let mut checks = iso10211::checks()?;
    checks.extend(analytic::checks()?);
    checks.extend(boundary::checks());
    checks.extend(climate::checks());
    Ok(checks)
}

/// What can keep a check from being run.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum VerifyError {
    /// The heat room refused a model problem.
    #[error(transparent)]
    Heat(#[from] crate::heat::HeatError),
}
