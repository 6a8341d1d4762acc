//! `partywall run`: stands through past winters, together and apart.

mod kept;

use super::terminal::Terminal;
use super::weather::record_of;
use super::{Failure, files, heater, reports};
use crate::cli::{Format, RunArgs};
use partywall_core::answer::{self, Progress, RunOptions};
use partywall_report::csv;
use partywall_report::run::{self, Behind};
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
    let (source, loaded) =
        super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let terminal = Terminal::new();
    let output = files::begin(
        args.out.as_deref(),
        [&*args.scenario].into_iter().chain(args.climate.as_deref()),
    )?;
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
    let answer = answer::run(&loaded, record, &options, &terminal)?;
    let (result, arrangement) = (&answer.result, &answer.arrangements[0]);
    if let Some(output) = output {
        let pictures = kept::save(&output, &answer, terminal.stop())?;
        let behind = Behind {
            scenario: &arrangement.scenario,
            hive: &arrangement.stand.hive,
            winters: &answer.winters,
            pictures: &pictures,
        };
        let page = run::page(result, &behind).map_err(Failure::fault)?;
        reports::write(&output, &page, &[(&args.scenario, source.text())])?;
        output.finish()?;
    }
    match args.format {
        Format::Text => {
            let season = &arrangement.scenario.season;
            let document = run::document(result, season, args.units.into());
            write!(out, "{}", document.text())?;
        }
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, result)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&csv::winters(result).map_err(Failure::fault)?)?,
    }
    Ok(())
}
