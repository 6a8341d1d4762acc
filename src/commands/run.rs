//! `partywall run`: stands through past winters, together and apart.

mod kept;

use super::terminal::Terminal;
use super::weather::record_of;
use super::{Failure, files, heater, page};
use crate::cli::{Format, RunArgs};
use partywall_core::answer::{self, Progress, RunOptions};
use partywall_report::page::Page;
use partywall_report::{csv, text};
use std::io::Write;

/// Runs a scenario and writes the answer to `out`, warnings and progress to standard error.
///
/// # Errors
/// Input that cannot be used, an output folder that cannot be written, a failed run.
pub fn run(
    args: &RunArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.threads);
    let loaded = super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let input = page::input(&args.scenario)?;
    let folder = args.out.as_deref().map(files::writable).transpose()?;
    let scenario = &loaded.scenario;
    if scenario.colonies().next().is_none() {
        return heater::heated_box(scenario, args.grid.into(), args.format, out);
    }
    let record = record_of(scenario, err, colour)?;
    let options = RunOptions {
        winters: args.made.with(args.winters),
        on: args.on,
        heat: args.heat.on(args.grid),
    };
    let terminal = Terminal::new();
    let answer = answer::run(&loaded, record, &options, &terminal)?;
    let result = &answer.result;
    if let Some(folder) = folder {
        let pictures = kept::save(&folder, &answer, terminal.stop())?;
        let shown = Page {
            result,
            scenario: &answer.arrangements[0].scenario,
            hive: &answer.arrangements[0].stand.hive,
            winters: &answer.winters,
            pictures: &pictures,
            input: (&args.scenario, &input),
            command: &page::command(),
        };
        page::write(&folder, &shown)?;
    }
    match args.format {
        Format::Text => write!(out, "{}", text::run(result, args.units.into()))?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, result)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&csv::winters(result).map_err(Failure::fault)?)?,
    }
    Ok(())
}
