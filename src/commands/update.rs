//! `partywall update`: from weighings in winter to when the stores run out.

mod calendar;
mod check;
mod hive;
mod season;
mod weighings;

use super::{Failure, files, reports, run};
use crate::cli::{Format, UpdateArgs};
use check::check;
use hive::FEW;
use indicatif::{ProgressBar, ProgressStyle};
use partywall_core::colony::parameters::Parameters;
use partywall_core::decision::feeding::last_feeding;
use partywall_core::ensemble::members::{self, Draw, Member};
use partywall_core::ensemble::winters::{Asked, Basis, choose};
use partywall_core::hive as woodwork;
use partywall_core::scenario::log::Weighing;
use partywall_core::season::Stand;
use partywall_core::stand::Colony;
use partywall_report::csv;
use partywall_report::network::Network;
use partywall_report::update::{SCHEMA, UpdateResult, text};
use season::Season;
use std::io::Write;
use weighings::{put_log, weighings};

/// Seed of the draws: the same question gets the same answer.
const SEED: u64 = 20_261;
/// Where fewer runs fit than a date may rest on, as many again are run, so many times in all at most (a choice: 800 runs unless said
/// otherwise).
const MOST_BATCHES: u64 = 4;

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
    let folder = args.out.as_deref().map(files::writable).transpose()?;
    let weighings = weighings(args, &names, &scenario)?;
    let season = Season::of(&weighings.all, &scenario)?;
    let record = run::record_of(&scenario, err, colour)?;
    let asked = run::asked(None, args.made);
    let chosen = choose(
        &record,
        scenario.season.start,
        scenario.season.first_nectar,
        asked,
    )?;
    let mut winters = chosen.winters;
    let colder = scenario.stress.colder;
    if colder != 0.0 {
        winters.iter_mut().for_each(|w| w.make_colder(colder));
    }
    let hive = woodwork::build(&scenario, run::resolution(args.grid)).map_err(Failure::input)?;
    let elevation = scenario.site.elevation.unwrap_or(record.station.elevation);
    let stand = Stand::new(&scenario, hive, elevation).map_err(Failure::fault)?;
    let overrides = run::colony_overrides(&scenario)?;
    let usual = Parameters::with(&overrides).map_err(Failure::input)?;
    let (_, autumns) = run::autumns_of(&record);
    let weighed: Vec<(usize, &Colony, Vec<&Weighing>)> = scenario
        .stacks
        .iter()
        .filter_map(|s| Some((&s.name, s.colony.as_ref()?)))
        .enumerate()
        .map(|(i, (name, colony))| {
            let told = weighings.only.as_ref().is_none_or(|only| only == name);
            let mine = season
                .within
                .iter()
                .filter(|w| told && w.hive == *name)
                .collect();
            (i, colony, mine)
        })
        .filter(|(.., mine): &(_, _, Vec<_>)| !mine.is_empty())
        .collect();
    let asked_for = match chosen.basis {
        Basis::Real => args.runs as usize,
        // Winters about a typical year come from cold to mild: each must be drawn as often as the others.
        Basis::Months | Basis::Typical => {
            (args.runs as usize).next_multiple_of(winters.len().max(1))
        }
    };
    let stop = run::stop_on_interrupt();
    let carrier = run::carrier(args.heat, args.grid);
    let mut drawn: Vec<Draw> = Vec::new();
    let (mut members, mut runs): (Vec<Vec<Member>>, usize) = (Vec::new(), 0);
    for batch in 0..MOST_BATCHES {
        let draws = members::draws(winters.len(), asked_for, SEED + batch, &overrides)
            .map_err(|e| Failure::Input(e.to_string()))?;
        let bar = ProgressBar::new(draws.len() as u64);
        if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} runs, {eta} left")
        {
            bar.set_style(style);
        }
        let more = members::run(
            &scenario,
            &stand,
            &winters,
            &draws,
            carrier,
            &|| bar.inc(1),
            &stop,
        );
        bar.finish_and_clear();
        runs += draws.len();
        drawn.extend(draws);
        if members.is_empty() {
            members = more?;
        } else {
            for (all, more) in members.iter_mut().zip(more?) {
                all.extend(more);
            }
        }
        let few = weighed.iter().any(|(i, colony, mine)| {
            members.get(*i).is_some_and(|m| {
                let (fit, effective) = season.fitting(&scenario, colony, m, mine);
                // Where none fits, more will not.
                fit > 0 && effective.min(fit as f64) < FEW
            })
        });
        if !few {
            break;
        }
        if batch + 1 < MOST_BATCHES {
            writeln!(
                err,
                "fewer than {FEW:.0} of {runs} runs fit: as many again are run"
            )?;
        }
    }
    let network = Network {
        kind: run::network_name(carrier),
        unknowns: stand.hive.network.n(),
        check: match run::stretch(args.heat) {
            Some(stretch) => check(
                &scenario,
                &stand,
                &winters,
                (&drawn, &members),
                stretch,
                &stop,
            )?,
            None => None,
        },
        refined: false,
        fell_back: false,
    };
    if let Some(words) = network.mind() {
        writeln!(err, "{words}")?;
    }
    let (mut hives, mut calendars) = (Vec::new(), Vec::new());
    for (i, colony, mine) in &weighed {
        let stack = scenario
            .stacks
            .iter()
            .position(|s| mine.first().is_some_and(|w| w.hive == s.name));
        if let Some((stack, members)) = stack.zip(members.get(*i)) {
            let mut told = season.hive(&scenario, stack, colony, members, mine)?;
            let last = mine.last().map(|w| partywall_core::calendar::of(w.date));
            told.last_syrup = told.feed.zip(last).and_then(|(f, on)| {
                let litres = f.syrup_litres;
                last_feeding(&autumns, colony.bees, litres, scenario.level, &usual, on)
            });
            hives.push(told);
            if folder.is_some() {
                calendars.push(season.calendar(&scenario, colony, members, mine));
            }
        }
    }
    let result = UpdateResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        station: record.station.name.clone(),
        winters: winters.len(),
        basis: chosen.basis,
        weather_notes: if asked == Asked::default() {
            Vec::new()
        } else {
            chosen.notes
        },
        runs,
        grid: run::grid_name(args.grid),
        network,
        start: season.start,
        first_nectar: season.nectar,
        hives,
        of_earlier_winters: weighings.all.len() - season.within.len(),
    };
    if let Some((path, text)) = &weighings.to_write {
        put_log(path, text)?;
    }
    if let Some(folder) = &folder {
        reports::update(
            folder,
            &result,
            &calendars,
            scenario.reserve,
            &args.scenario,
        )?;
    }
    match args.format {
        Format::Text => write!(out, "{}", text(&result, args.units))?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &result)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&csv::weighings(&result).map_err(Failure::fault)?)?,
    }
    Ok(())
}
