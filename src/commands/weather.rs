//! The weather record of a scenario, read from its file.

use super::Failure;
use partywall_core::climate::Record;
use partywall_core::problem::Problems;
use partywall_core::stand::Scenario;
use partywall_report::problems::render;
use std::io::Write;

/// The weather record of a scenario, which may know better than the file where it was measured. Warnings go to `err`.
pub(super) fn record_of(
    scenario: &Scenario,
    err: &mut dyn Write,
    colour: bool,
) -> Result<Record, Failure> {
    let record = crate::files::weather::load_at(&scenario.climate, &scenario.site.station())?;
    let warnings = Problems(record.warnings.clone());
    write!(err, "{}", render(&warnings, colour))?;
    Ok(record)
}
