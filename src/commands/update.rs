//! `partywall update`: from weighings in winter to when the stores run out.

mod today;
mod weighings;

use super::terminal::Terminal;
use super::weather::record_of;
use super::{Failure, files, reports};
use crate::cli::{Format, UpdateArgs};
use partywall_core::answer::update::since_begun;
use partywall_core::answer::{self, UpdateOptions};
use partywall_report::csv;
use partywall_report::network::NetworkWords;
use partywall_report::text;
use partywall_report::texts::said;
use partywall_report::update::document;
use std::io::Write;
use weighings::weighings;

/// Weighs many winters by the readings and writes the answer to `out`; adds a weighing given here to the log.
///
/// # Errors
/// Input that cannot be used, a log that cannot be read or written, a failed run.
pub fn run(
    args: &UpdateArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.threads);
    let (source, loaded) =
        super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let scenario = &loaded.scenario;
    let names: Vec<&str> = scenario.colonies().map(|(s, _)| s.name.as_str()).collect();
    if names.is_empty() {
        return Err(Failure::Input(
            said("program.scenario_has_no_colony").into(),
        ));
    }
    let terminal = Terminal::new();
    if let Some((log, folder)) = args.log.as_deref().zip(args.out.as_deref()) {
        files::apart(log, folder)?;
    }
    let read = [&*args.scenario].into_iter().chain(args.climate.as_deref());
    let output = files::begin(args.out.as_deref(), read)?;
    let today = today::today()?;
    let weighings = weighings(args, &names, scenario, today)?;
    if let Some((latest, start)) = since_begun(&weighings.all, scenario, today) {
        writeln!(err, "{}", text!("program.winter_is_over", latest, start))?;
    }
    let record = record_of(scenario, err, colour)?;
    let options = UpdateOptions {
        winters: args.made.with(None),
        runs: args.runs as usize,
        heat: args.heat.on(args.grid),
        only: weighings.only.clone(),
    };
    let answer = answer::update(scenario, record, &weighings.all, &options, &terminal)?;
    let result = &answer.result;
    if let Some(words) = result.network.mind() {
        writeln!(err, "{words}")?;
    }
    if let Some(output) = &output {
        reports::update(
            output,
            result,
            &answer.calendars,
            scenario.reserve,
            (&args.scenario, source.text()),
        )?;
    }
    // The log only where the answer could be written; the answer only where the log has the weighing.
    if let Some(added) = &weighings.to_add {
        added.add(&names)?;
    }
    if let Some(output) = output {
        output.finish()?;
    }
    match args.format {
        Format::Text => write!(out, "{}", document(result, args.units.into()).text())?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, result)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&csv::weighings(result).map_err(Failure::fault)?)?,
    }
    Ok(())
}
