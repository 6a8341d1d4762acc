//! What a run leaves in its folder.

use super::super::{Failure, files, pictures};
use super::winters::Ask;
use crate::climate::series::Winter;
use crate::report::csv;
use crate::report::pictures::Picture;
use crate::report::result::RunResult;
use crate::season::outcome::WinterOutcome;
use crate::season::trace::Trace;
use crate::season::{Carrier, Course};
use std::path::Path;

/// JSON, the winters as CSV, the hour-by-hour trace of the coldest winter run, and the pictures.
pub(super) fn save(
    folder: &Path,
    result: &RunResult,
    ask: &Ask<'_>,
    outcomes: &[WinterOutcome],
    carrier: Carrier,
) -> Result<Vec<Picture>, Failure> {
    let mut drawn = Vec::new();
    let arrangement = &ask.arrangements[0];
    files::put(folder, "result.json", &serde_json::to_vec_pretty(result)?)?;
    files::put(
        folder,
        "winters.csv",
        &csv::winters(result).map_err(Failure::fault)?,
    )?;
    let mean = |w: &Winter| w.hours.iter().map(|h| h.temp_c).sum::<f64>() / w.hours.len() as f64;
    if let Some(coldest) = ask
        .winters
        .iter()
        .min_by(|a, b| mean(a).total_cmp(&mean(b)))
    {
        let mut trace = Trace::default();
        let course = Course {
            scenario: &arrangement.scenario,
            stand: &arrangement.stand,
            winter: coldest,
            parameters: ask.parameters,
            stop: ask.stop,
        };
        let traced = course.run(carrier, Some(&mut trace))?;
        let stacks: Vec<String> = arrangement
            .scenario
            .stacks
            .iter()
            .filter(|s| s.colony.is_some())
            .map(|s| s.name.clone())
            .collect();
        let name = format!("trace-{}.csv", coldest.label.replace('/', "-"));
        files::put(
            folder,
            &name,
            &csv::trace(&trace, &stacks).map_err(Failure::fault)?,
        )?;
        let inside = pictures::Inside {
            arrangements: ask.arrangements,
            winters: ask.winters,
            outcomes,
            traced: coldest,
            parameters: ask.parameters,
            stop: ask.stop,
            trace: &trace,
        };
        drawn.extend(pictures::inside(folder, result, &inside)?);
        drawn.extend(pictures::seasons(folder, result, &traced, &trace)?);
    }
    let reserve = arrangement.scenario.reserve;
    drawn.extend(pictures::calendars(
        folder,
        result,
        ask.winters,
        outcomes,
        reserve,
    )?);
    Ok(drawn)
}
