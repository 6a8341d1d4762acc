//! Outside checks: values published or computed outside this program, each with its source and tolerance.
//!
//! `partywall verify` prints them; the tests call the same functions. A check never reads its expected value from the
//! code under test.

pub mod analytic;
pub mod biology;
pub mod boundary;
pub mod climate;
pub mod heater_box;
pub mod iso10211;
mod row;

pub use row::{Group, Range, Row, Used};

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

/// Where an expected value comes from and what kind of evidence that is.
pub type Origin = (&'static str, Evidence);

impl Check {
    /// One check from its parts; `numbers` are expected, got, tolerance.
    pub(crate) fn new(
        id: &'static str,
        what: impl Into<String>,
        (expected, got, tolerance): (f64, f64, f64),
        unit: &'static str,
        (source, evidence): Origin,
    ) -> Self {
        Self {
            id,
            what: what.into(),
            expected,
            got,
            tolerance,
            unit,
            source,
            evidence,
        }
    }

    /// Whether the value lies within its tolerance (a NaN never passes).
    #[must_use]
    pub fn passes(&self) -> bool {
        (self.got - self.expected).abs() <= self.tolerance
    }
}

/// All outside checks under their headings, in a fixed order.
///
/// # Errors
/// A model problem that cannot be built or solved.
pub fn groups() -> Result<Vec<Group>, VerifyError> {
    let mut hive = Group::plain("Hive: heated empty box", heater_box::checks()?);
    for row in &mut hive.rows {
        row.used_for_calibration = Some(Used::No);
    }
    Ok(vec![
        Group::plain("Heat: thermal bridges", iso10211::checks()?),
        Group::plain("Heat: exact solutions", analytic::checks()?),
        Group::plain("Surfaces, air and sun", boundary::checks()),
        Group::plain("Climate: weather files", climate::checks()),
        hive,
        Group {
            heading: "Colony",
            rows: biology::rows()?,
        },
    ])
}

/// All outside checks without their headings, in the same order.
///
/// # Errors
/// As [`groups`].
pub fn all() -> Result<Vec<Check>, VerifyError> {
    let groups = groups()?;
    Ok(groups
        .into_iter()
        .flat_map(|g| g.rows)
        .map(|r| r.check)
        .collect())
}

/// What can keep a check from being run.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum VerifyError {
    /// The heat room refused a model problem.
    #[error(transparent)]
    Heat(#[from] partywall_core::heat::HeatError),
    /// The heated box cannot be run.
    #[error(transparent)]
    HeaterBox(#[from] heater_box::HeaterBoxError),
    /// A check of the colony cannot be run.
    #[error(transparent)]
    Biology(#[from] biology::BiologyError),
}

/// Unit of what is known by its sign only.
pub const SIGN: &str = "sign";

impl Check {
    /// Why this check is known to miss, if it is.
    #[must_use]
    pub fn known_miss(&self) -> Option<&'static str> {
        biology::misses::KNOWN
            .iter()
            .find(|(id, _)| *id == self.id)
            .map(|(_, why)| *why)
    }
}
