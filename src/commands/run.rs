//! `partywall run`: a hive through past winters, butted together and apart.

use super::Failure;
use crate::cli::{Format, Grid, RunArgs, WinterCount};
use crate::climate::{self, Record};
use crate::colony::parameters::Parameters;
use crate::ensemble::runner::{Arrangement, run_all, spread};
use crate::heat::{Drive, Film, LinearSolver, steady};
use crate::hive::{self, Resolution};
use crate::report::result::{Climate, RunResult, SCHEMA, colonies};
use crate::report::{csv, text};
use crate::scenario::dates;
use crate::scenario::model::{Joint, Scenario};
use crate::scenario::{self, model::ClimateChoice};
use crate::season::outcome::{SolverReport, WinterOutcome};
use crate::season::trace::Trace;
use crate::season::{Method, Stand, run as run_winter};
use indicatif::{ProgressBar, ProgressStyle};
use std::io::Write;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// Winters run unless asked otherwise: as many as nine winters in ten need for a level by rank.
const WINTERS: usize = 9;

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
    if let Some(n) = args.threads {
        // Fails only if a pool exists already; the answer does not depend on it.
        let _ = rayon::ThreadPoolBuilder::new()
            .num_threads(n.get())
            .build_global();
    }
    let loaded = scenario::open(&args.scenario)?;
    let mut scenario = loaded.scenario;
    write!(
        err,
        "{}",
        crate::diagnostic::render(&loaded.warnings, colour)
    )?;
    if let Some(word) = &args.climate {
        scenario.climate = climate::choose(word);
    }
    let folder = args.out.as_deref().map(writable).transpose()?;
    if scenario.stacks.iter().all(|s| s.colony.is_none()) {
        return heated_box(&scenario, args, out);
    }
    // Some weather files do not say where they were measured; the scenario may.
    let known = climate::raw::PartialStation {
        latitude_deg: scenario.site.latitude_deg,
        longitude_deg: scenario.site.longitude_deg,
        elevation: scenario.site.elevation,
        ..climate::raw::PartialStation::default()
    };
    let record = climate::load_at(&scenario.climate, &known)?;
    write!(
        err,
        "{}",
        crate::diagnostic::render(
            &crate::diagnostic::Problems(record.warnings.clone()),
            colour
        )
    )?;
    let winters = record.winters(scenario.season.start, scenario.season.first_nectar)?;
    let available = winters.len();
    let winters = match args.winters.unwrap_or(WinterCount::Some(WINTERS)) {
        WinterCount::All => winters,
        WinterCount::Some(n) => spread(winters, n),
    };
    let parameters = Parameters::with(&colony_overrides(&scenario)?).map_err(Failure::input)?;
    let elevation = scenario.site.elevation.unwrap_or(record.station.elevation);
    let arrange = |s: Scenario| -> Result<Arrangement, Failure> {
        let hive = hive::build(&s, resolution(args.grid)).map_err(Failure::input)?;
        let stand = Stand::new(&s, hive, elevation).map_err(Failure::fault)?;
        Ok(Arrangement { scenario: s, stand })
    };
    let paired = scenario
        .joints
        .iter()
        .any(|j| matches!(j, Joint::Butted { .. }));
    let mut arrangements = vec![arrange(scenario.clone())?];
    if paired {
        arrangements.push(arrange(scenario.apart())?);
    }

    let stop = stop_on_interrupt();
    let bar = ProgressBar::new((arrangements.len() * winters.len()) as u64);
    if let Ok(style) = ProgressStyle::with_template("{bar:30} {pos} of {len} winters, {eta} left") {
        bar.set_style(style);
    }
    let outcomes = run_all(
        &arrangements,
        &winters,
        &parameters,
        method(args.grid),
        &|| bar.inc(1),
        &stop,
    );
    bar.finish_and_clear();
    let outcomes = outcomes?;

    let result = RunResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        site: scenario.site.name.clone(),
        climate: climate_of(&record, &scenario.climate, &winters, available),
        start: dates::words(scenario.season.start),
        first_nectar: dates::words(scenario.season.first_nectar),
        level: scenario.level,
        grid: grid_name(args.grid),
        paired,
        colonies: colonies(&scenario, &outcomes[0], outcomes.get(1).map(Vec::as_slice)),
        solver: worst(&outcomes),
    };
    if let Some(folder) = folder {
        save(
            &folder,
            &result,
            &arrangements[0],
            &winters,
            &parameters,
            method(args.grid),
            &stop,
        )?;
    }
    match args.format {
        Format::Text => write!(out, "{}", text::run(&result))?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, &result).map_err(Failure::fault)?;
            writeln!(out)?;
        }
    }
    Ok(())
}

/// Parameters of the scenario that belong to the colony; the rest must belong to the hive.
fn colony_overrides(s: &Scenario) -> Result<Vec<(String, f64)>, Failure> {
    let combs = hive::combs::comb_table().map_err(Failure::fault)?;
    Ok(s.parameters
        .iter()
        .filter(|(key, _)| !combs.contains_key(key))
        .cloned()
        .collect())
}

fn resolution(grid: Grid) -> Resolution {
    match grid {
        Grid::Coarse => Resolution::Coarse,
        Grid::Normal => Resolution::Normal,
        Grid::Fine => Resolution::Fine,
    }
}

/// The coarse grid goes with quick steps: neither deserves better than the other.
fn method(grid: Grid) -> Method {
    match grid {
        Grid::Coarse => Method::QUICK,
        Grid::Normal | Grid::Fine => Method::CAREFUL,
    }
}

fn grid_name(grid: Grid) -> &'static str {
    match grid {
        Grid::Coarse => "coarse",
        Grid::Normal => "normal",
        Grid::Fine => "fine",
    }
}

fn climate_of(
    record: &Record,
    choice: &ClimateChoice,
    winters: &[climate::series::Winter],
    available: usize,
) -> Climate {
    Climate {
        station: record.station.name.clone(),
        source: match choice {
            ClimateChoice::BuiltIn(name) => format!("built-in record \"{name}\""),
            ClimateChoice::File(_) => record.source_name.clone(),
        },
        winters: winters.iter().map(|w| w.label.clone()).collect(),
        available,
        notes: record.notes.clone(),
    }
}

/// Counts of all winters together, with the worst of the residuals.
fn worst(outcomes: &[Vec<WinterOutcome>]) -> SolverReport {
    let zero = SolverReport {
        unknowns: outcomes
            .first()
            .and_then(|o| o.first())
            .map_or(0, |o| o.solver.unknowns),
        steps: 0,
        solves: 0,
        iterations: 0,
        energy_residual: 0.0,
        coupling_residual: 0.0,
    };
    outcomes.iter().flatten().fold(zero, |sum, o| SolverReport {
        steps: sum.steps + o.solver.steps,
        solves: sum.solves + o.solver.solves,
        iterations: sum.iterations + o.solver.iterations,
        energy_residual: sum.energy_residual.max(o.solver.energy_residual),
        coupling_residual: sum.coupling_residual.max(o.solver.coupling_residual),
        ..sum
    })
}

/// A flag that Ctrl-C sets; a second Ctrl-C ends the program at once.
fn stop_on_interrupt() -> Arc<AtomicBool> {
    let stop = Arc::new(AtomicBool::new(false));
    let flag = Arc::clone(&stop);
    // Without a handler Ctrl-C ends the program, which is as well: files are written whole or not at all.
    let _ = ctrlc::set_handler(move || {
        if flag.swap(true, std::sync::atomic::Ordering::Relaxed) {
            std::process::exit(130);
        }
    });
    stop
}

/// Makes the folder and proves that it can be written, before the long work.
fn writable(folder: &Path) -> Result<PathBuf, Failure> {
    std::fs::create_dir_all(folder)
        .and_then(|()| tempfile::NamedTempFile::new_in(folder).map(drop))
        .map_err(|e| {
            Failure::Input(format!(
                "{}: nothing can be written there: {e}\ntry another folder for --out",
                folder.display()
            ))
        })?;
    Ok(folder.to_owned())
}

/// Writes a file whole or not at all.
fn put(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), Failure> {
    let mut file = tempfile::NamedTempFile::new_in(folder)?;
    file.write_all(bytes)?;
    file.persist(folder.join(name)).map_err(|e| e.error)?;
    Ok(())
}

/// JSON, the winters as CSV, and the hour-by-hour trace of the coldest winter run.
fn save(
    folder: &Path,
    result: &RunResult,
    arrangement: &Arrangement,
    winters: &[climate::series::Winter],
    parameters: &Parameters,
    method: Method,
    stop: &AtomicBool,
) -> Result<(), Failure> {
    put(
        folder,
        "result.json",
        &serde_json::to_vec_pretty(result).map_err(Failure::fault)?,
    )?;
    put(
        folder,
        "winters.csv",
        &csv::winters(result).map_err(Failure::fault)?,
    )?;
    let mean = |w: &climate::series::Winter| {
        w.hours.iter().map(|h| h.temp_c).sum::<f64>() / w.hours.len() as f64
    };
    if let Some(coldest) = winters.iter().min_by(|a, b| mean(a).total_cmp(&mean(b))) {
        let mut trace = Trace::default();
        run_winter(
            &arrangement.scenario,
            &arrangement.stand,
            coldest,
            parameters,
            method,
            Some(&mut trace),
            stop,
        )?;
        let stacks: Vec<String> = arrangement
            .scenario
            .stacks
            .iter()
            .filter(|s| s.colony.is_some())
            .map(|s| s.name.clone())
            .collect();
        let name = format!("trace-{}.csv", coldest.label.replace('/', "-"));
        put(
            folder,
            &name,
            &csv::trace(&trace, &stacks).map_err(Failure::fault)?,
        )?;
    }
    Ok(())
}

/// A stand without colonies: how warm its heaters keep it in a still room, as keepers measure a box.
fn heated_box(s: &Scenario, args: &RunArgs, out: &mut dyn Write) -> Result<(), Failure> {
    let hive = hive::build(s, resolution(args.grid)).map_err(Failure::input)?;
    let heaters = hive.heaters(s);
    if heaters.is_empty() {
        return Err(Failure::Input(
            "this scenario has neither a colony nor a heater: there is nothing to run".into(),
        ));
    }
    // Room air at 0 degC behind the horizontal surface resistance of ISO 6946.
    let mut drive = Drive::uniform(
        &hive.network,
        Film {
            h: 1.0 / 0.13,
            t: 0.0,
        },
    );
    for &(node, power) in &heaters {
        drive.power[node] += power;
    }
    let t = steady(&hive.network, &drive, LinearSolver::Cholesky)
        .map_err(Failure::fault)?
        .t;
    if args.format == Format::Json {
        let rows: Vec<_> = heaters
            .iter()
            .map(|&(node, power)| serde_json::json!({ "power_w": power, "above_room_k": t[node], "w_per_k": power / t[node] }))
            .collect();
        serde_json::to_writer_pretty(
            &mut *out,
            &serde_json::json!({ "schema": "partywall-heater/1", "heaters": rows }),
        )
        .map_err(Failure::fault)?;
        writeln!(out)?;
        return Ok(());
    }
    writeln!(out, "{}", s.title)?;
    for &(node, power) in &heaters {
        writeln!(
            out,
            "  {power:.1} W keeps the air of the heated box {:.1} C above a still room: {:.2} W per degree",
            t[node],
            power / t[node]
        )?;
    }
    Ok(())
}
