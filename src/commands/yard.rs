//! `partywall yard`: half a page a hive for the shed wall.

use super::Failure;
use super::terminal::Terminal;
use super::weather::record_of;
use crate::cli::{SyntheticArgs, YardArgs, YardFormat};
use partywall_core::answer::{self, RunOptions};
use partywall_report::jobs::Jobs;
use partywall_report::yard;
use std::io::Write;

/// Runs a scenario as `run` does and writes its sheets to `out`.
///
/// # Errors
/// As [`super::run::run`]; a stand without colonies has no sheet.
pub fn run(
    args: &YardArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.threads);
    let (_, loaded) = super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let record = record_of(&loaded.scenario, err, colour)?;
    let options = RunOptions {
        winters: SyntheticArgs::default().with(args.winters),
        on: args.on,
        heat: args.heat.on(args.grid),
    };
    let answer = answer::yard(&loaded, record, &options, &Terminal::new())?;
    let jobs = Jobs {
        scenario: &loaded.scenario,
        winters: &answer.winters,
        units: args.units.into(),
    };
    match args.format {
        YardFormat::Text => write!(out, "{}", yard::document(&answer.result, &jobs).text())?,
        YardFormat::Json => {
            serde_json::to_writer_pretty(&mut *out, &answer.result)?;
            writeln!(out)?;
        }
    }
    Ok(())
}
