//! What `partywall climate --out` writes.

use super::{ClimateSummary, document};
use crate::commands::{Failure, reports};
use crate::files::output::Output;
use partywall_core::calendar::words;
use partywall_report::pictures::{WinterBar, WintersPicture, winters};
use partywall_report::words::Units;

/// The winters as CSV.
pub(super) fn table(told: &ClimateSummary) -> Result<Vec<u8>, Failure> {
    let mut table = csv::Writer::from_writer(Vec::new());
    for w in &told.winters {
        table.serialize(w).map_err(Failure::fault)?;
    }
    table.into_inner().map_err(Failure::fault)
}

/// The table as CSV, everything as JSON, the picture, and the report.
pub(super) fn save(folder: &Output, told: &ClimateSummary) -> Result<(), Failure> {
    folder.put("climate.json", &serde_json::to_vec_pretty(told)?)?;
    folder.put("winters.csv", &table(told)?)?;
    let bars: Vec<WinterBar> = told
        .winters
        .iter()
        .map(|w| WinterBar {
            winter: w.winter.clone(),
            mean_c: w.mean_c,
            hard: matches!(w.verdict, "hard" | "hardest"),
            nectar: w.nectar_by_rule,
            late: w.spring.starts_with("late"),
        })
        .collect();
    let picture = winters(&WintersPicture {
        place: &told.station.name,
        below: &format!(
            "{} to {}, {}",
            words(told.season.from),
            words(told.season.to),
            told.record.kind
        ),
        winters: &bars,
    });
    let picture = picture.map_err(Failure::fault)?;
    let figure = document::figure(&picture);
    let document = document::document(told, Units::Both);
    reports::report(folder, document, vec![(picture, figure)], &[])
}
