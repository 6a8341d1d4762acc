//! Outside checks of the colony: measured winter use, cluster heat and size, deaths, movement.
//!
//! Each row says whether the default parameters already lean on the measured value. Where the weather or the hive of a source is
//! not known or not at hand, the row names what was taken in its place. Tolerances are as wide as the sources are apart; a miss
//! stays in the table with what is known of why.

mod accepted;
mod cluster;
mod covers;
pub mod misses;
mod seasons;
mod slopes;
mod water;
mod winters;
mod yard;

pub use accepted::Kept;

use super::{Check, Evidence, Range, Row, Used};
use partywall_core::boundary::BoundaryError;
use partywall_core::colony::parameters::ParameterError;
use partywall_core::colony::stores::StoresError;
use partywall_core::hive::HiveError;
use partywall_core::problem::Problems;
use partywall_core::season::SeasonError;

/// What can keep a check of the colony from being run.
#[derive(Debug, thiserror::Error)]
#[non_exhaustive]
pub enum BiologyError {
    /// A scenario or a weather record of the program does not read.
    #[error(transparent)]
    Input(#[from] Problems),
    /// A hive cannot be built.
    #[error(transparent)]
    Hive(#[from] HiveError),
    /// A table of the boundary is damaged.
    #[error(transparent)]
    Boundary(#[from] BoundaryError),
    /// A winter cannot be run.
    #[error(transparent)]
    Season(#[from] SeasonError),
    /// The parameter table is damaged.
    #[error(transparent)]
    Parameters(#[from] ParameterError),
    /// Combs that cannot be.
    #[error(transparent)]
    Stores(#[from] StoresError),
    /// A built-in record without a winter that could be used, or an outcome without its colony.
    #[error("a check of the colony lacks {0}")]
    Lacks(&'static str),
}

/// All rows of this room with the default set and the accepted sets that go with it.
///
/// # Errors
/// A scenario, record or table of the program that cannot be used, or a winter that cannot be run.
pub fn rows() -> Result<Vec<Row>, BiologyError> {
    rows_with(&Kept::shipped()?)
}

/// The same with other sets of parameters.
///
/// # Errors
/// As [`rows`].
pub fn rows_with(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let few = &kept.fewer();
    let wageningen = winters::Wageningen::new()?;
    let mut rows = wageningen.mild(few)?;
    rows.extend(cluster::heat(kept)?);
    rows.extend(seasons::sizes(few)?);
    rows.extend(cluster::size(kept)?);
    rows.extend(seasons::deaths(few)?);
    rows.extend(wageningen.single_hives(few)?);
    rows.extend(wageningen.by_season(few)?);
    rows.extend(covers::covers(few)?);
    rows.extend(water::winter_air(few)?);
    rows.extend(cluster::creep(kept)?);
    Ok(rows)
}

/// Rows of the single cluster alone, without hive and weather: quick.
///
/// # Errors
/// As [`rows`].
pub fn cluster_rows(kept: &Kept) -> Result<Vec<Row>, BiologyError> {
    let mut rows = cluster::heat(kept)?;
    rows.extend(cluster::size(kept)?);
    rows.extend(cluster::creep(kept)?);
    Ok(rows)
}

/// A row from its parts.
#[allow(clippy::too_many_arguments)]
fn row(
    id: &'static str,
    what: String,
    (expected, tolerance, unit): (f64, f64, &'static str),
    (got, range): (f64, Option<Range>),
    source: &'static str,
    evidence: Evidence,
    used: Used,
) -> Row {
    Row {
        check: Check::new(
            id,
            what,
            (expected, got, tolerance),
            unit,
            (source, evidence),
        ),
        used_for_calibration: Some(used),
        range,
    }
}
