//! `partywall yard`: half a page a hive for the shed wall.

use super::{Failure, run};
use crate::cli::{Format, MadeUpArgs, RunArgs, YardArgs, YardFormat};
use partywall_report::jobs::Jobs;
use partywall_report::yard;
use std::io::Write;

/// Runs a scenario as `run` does and writes its sheets to `out`.
///
/// # Errors
/// As [`run::run`]; a stand without colonies has no sheet.
pub fn run(
    args: &YardArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    let args = (
        RunArgs {
            scenario: args.scenario.clone(),
            climate: args.climate.clone(),
            winters: args.winters,
            on: args.on,
            made: MadeUpArgs::default(),
            grid: args.grid,
            heat: args.heat,
            out: None,
            format: Format::Text,
            units: args.units,
            threads: args.threads,
        },
        args.format,
    );
    let (run_args, format) = args;
    super::threads(run_args.threads);
    let (scenario, odd) =
        super::scenario_and_warnings(&run_args.scenario, run_args.climate.as_deref(), err, colour)?;
    if scenario.stacks.iter().all(|s| s.colony.is_none()) {
        return Err(Failure::Input(
            "this scenario has no colony: there is nothing to put on the shed wall".into(),
        ));
    }
    let answer = run::answer(&run_args, scenario.clone(), &odd, err, colour)?;
    let result = answer.result;
    let jobs = Jobs {
        scenario: &scenario,
        winters: &answer.winters,
        units: run_args.units,
    };
    match format {
        YardFormat::Text => write!(out, "{}", yard::sheets(&result, &jobs))?,
        YardFormat::Json => {
            serde_json::to_writer_pretty(&mut *out, &result)?;
            writeln!(out)?;
        }
    }
    Ok(())
}
