//! `partywall update`: from weighings in winter to when the stores run out.

mod hive;
mod season;
mod weighings;

use super::{Failure, run};
use crate::cli::{Format, UpdateArgs};
use crate::colony::parameters::ParameterError;
use crate::ensemble::members;
use crate::hive as woodwork;
use crate::report::csv;
use crate::report::update::{SCHEMA, UpdateResult, text};
use crate::scenario::log::Weighing;
use crate::season::Stand;
use indicatif::{ProgressBar, ProgressStyle};
use season::Season;
use std::io::Write;
use weighings::{heavier_than_empty, put_log, weighings};

/// Seed of the draws: the same question gets the same answer.
const SEED: u64 = 20_261;
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
    let scenario = super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let names: Vec<&str> = scenario
        .stacks
        .iter()
        .filter(|s| s.colony.is_some())
        .map(|s| s.name.as_str())
        .collect();
    if names.is_empty() {
        return Err(Failure::Input(
            "this scenario has no colony: there is nothing to weigh".into(),
        ));
    }
    let weighings = weighings(args, &names)?;
    let season = Season::of(&weighings.all, &scenario)?;
    heavier_than_empty(&season.within, &scenario)?;
    let record = run::record_of(&scenario, err, colour)?;
    let mut winters = record.winters(scenario.season.start, scenario.season.first_nectar)?;
    let colder = scenario.stress.colder;
    if colder != 0.0 {
        winters.iter_mut().for_each(|w| w.make_colder(colder));
    }
    let hive = woodwork::build(&scenario, run::resolution(args.grid)).map_err(Failure::input)?;
    let elevation = scenario.site.elevation.unwrap_or(record.station.elevation);
    let stand = Stand::new(&scenario, hive, elevation).map_err(Failure::fault)?;
    let parameter = |e: ParameterError| Failure::Input(e.to_string());
    let draws = members::draws(
        winters.len(),
        args.runs as usize,
        SEED,
        &run::colony_overrides(&scenario)?,
    )
    .map_err(parameter)?;
    let bar = ProgressBar::new(draws.len() as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} runs, {eta} left") {
        bar.set_style(style);
    }
    let stop = run::stop_on_interrupt();
    let members = members::run(&scenario, &stand, &winters, &draws, &|| bar.inc(1), &stop);
    bar.finish_and_clear();
    let members = members?;
    let mut hives = Vec::new();
    let colonies = scenario.stacks.iter().enumerate();
    let colonies = colonies.filter_map(|(i, s)| Some((i, s, s.colony.as_ref()?)));
    for ((i, stack, colony), members) in colonies.zip(&members) {
        let mine: Vec<&Weighing> = season
            .within
            .iter()
            .filter(|w| w.hive == stack.name)
            .collect();
        if mine.is_empty() {
            continue;
        }
        hives.push(season.hive(&scenario, i, colony, members, &mine)?);
    }
    let result = UpdateResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        station: record.station.name.clone(),
        winters: winters.len(),
        runs: draws.len(),
        start: season.start,
        first_nectar: season.nectar,
        hives,
        of_earlier_winters: weighings.all.len() - season.within.len(),
    };
    if let Some((path, text)) = &weighings.to_write {
        put_log(path, text)?;
    }
    match args.format {
        Format::Text => write!(out, "{}", text(&result, args.units))?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &result).map_err(Failure::fault)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&csv::weighings(&result).map_err(Failure::fault)?)?,
    }
    Ok(())
}
