//! `partywall run`: a hive through past winters, butted together and apart.

mod kept;
mod weather;
mod winters;

pub(super) use weather::{asked, autumns_of, climate_of, record_of};

use super::{Failure, files, heater, page};
use crate::cli::{Check, Format, Grid, HeatArgs, NetworkKind, RunArgs};
use partywall_core::calendar;
use partywall_core::climate::series::Winter;
use partywall_core::climate::spring;
use partywall_core::colony::parameters::Parameters;
use partywall_core::ensemble::Stretch;
use partywall_core::ensemble::runner::Arrangement;
use partywall_core::ensemble::winters::{choose, poorest};
use partywall_core::hive::{self, Resolution};
use partywall_core::problem::Problems;
use partywall_core::season::outcome::WinterOutcome;
use partywall_core::season::{Carrier, Method, Stand};
use partywall_core::stand::{Joint, Scenario};
use partywall_report::advice::Beyond;
use partywall_report::network::{FULL, REDUCED, astray};
use partywall_report::page::Page;
use partywall_report::pictures::Picture;
use partywall_report::result::{Network, RunResult, SCHEMA, colonies};
use partywall_report::warnings::{self, Warning};
use partywall_report::{csv, text};
use std::io::Write;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;
use winters::{Ask, Gone, worst};

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
    let (scenario, odd) =
        super::scenario_and_warnings(&args.scenario, args.climate.as_deref(), err, colour)?;
    let input = page::input(&args.scenario)?;
    let folder = args.out.as_deref().map(files::writable).transpose()?;
    if scenario.stacks.iter().all(|s| s.colony.is_none()) {
        return heater::heated_box(&scenario, resolution(args.grid), args.format, out);
    }
    let answer = answer(args, scenario, &odd, err, colour)?;
    let result = &answer.result;
    if let Some(folder) = folder {
        let pictures = answer.save(&folder)?;
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
        Format::Text => write!(out, "{}", text::run(result, args.units))?,
        Format::Json => {
            serde_json::to_writer_pretty(&mut *out, result)?;
            writeln!(out)?;
        }
        Format::Csv => out.write_all(&csv::winters(result).map_err(Failure::fault)?)?,
    }
    Ok(())
}

/// A finished run with all that its files are made of.
pub(super) struct Answer {
    pub result: RunResult,
    arrangements: Vec<Arrangement>,
    pub winters: Vec<Winter>,
    parameters: Parameters,
    level: f64,
    outcomes: Vec<Vec<WinterOutcome>>,
    carrier: Carrier,
    stop: Arc<AtomicBool>,
}

impl Answer {
    fn save(&self, folder: &Path) -> Result<Vec<Picture>, Failure> {
        let ask = Ask {
            arrangements: &self.arrangements,
            winters: &self.winters,
            parameters: &self.parameters,
            level: self.level,
            stop: &self.stop,
        };
        kept::save(folder, &self.result, &ask, &self.outcomes[0], self.carrier)
    }
}

/// Runs a scenario that has a colony; `odd` is what its file was warned of.
pub(super) fn answer(
    args: &RunArgs,
    scenario: Scenario,
    odd: &Problems,
    err: &mut dyn Write,
    colour: bool,
) -> Result<Answer, Failure> {
    let record = record_of(&scenario, err, colour)?;
    let (autumn, autumns) = autumns_of(&record);
    let (start, end) = (scenario.season.start, scenario.season.first_nectar);
    let on = args.on.filter(|d| calendar::within(start, end, *d));
    if let (Some(day), None) = (args.on, on) {
        writeln!(
            err,
            "warning: {} lies outside the season, {} to {}: the answer is that of its start",
            calendar::words(day),
            calendar::words(start),
            calendar::words(end)
        )?;
    }
    let chosen = choose(&record, start, end, asked(args.winters, args.made))?;
    let mut weather_notes = chosen.notes;
    weather_notes.extend(spring::note(&record, end)?);
    let (mut winters, origin) = (chosen.winters, (chosen.available, chosen.basis));
    let colder = scenario.stress.colder;
    if colder != 0.0 {
        winters.iter_mut().for_each(|w| w.make_colder(colder));
    }
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
    let mut carrier = carrier(args.heat, args.grid);
    let through = |arrangements: &[Arrangement], carrier, checked| {
        let ask = Ask {
            arrangements,
            winters: &winters,
            parameters: &parameters,
            level: scenario.level,
            stop: &stop,
        };
        ask.through(carrier, checked)
    };
    let mut gone = through(&arrangements, carrier, stretch(args.heat))?;
    let mut refined = false;
    if let Some(c) = gone.strays() {
        writeln!(
            err,
            "the quick heat model strays from the full one, {}: once more with twice as many places to a comb",
            astray(c)
        )?;
        for a in &mut arrangements {
            a.stand.refine().map_err(Failure::fault)?;
        }
        refined = true;
        gone = through(&arrangements, carrier, stretch(args.heat))?;
    }
    let check = gone.check.clone();
    if let Some(c) = gone.strays() {
        writeln!(
            err,
            "it still strays, {}: going over all winters with the full one, half a minute and more for each. Ctrl-C stops it; \
             `--check none` goes without",
            astray(c)
        )?;
        carrier = Carrier::Full(method(args.grid));
        gone = through(&arrangements, carrier, None)?;
    }
    let Gone {
        outcomes, emptied, ..
    } = gone;
    weather_notes.splice(0..0, poorest(&outcomes[0]));
    let mut colonies = colonies(
        &scenario,
        parameters.coma_lethal_h,
        &outcomes[0],
        outcomes.get(1).map(Vec::as_slice),
    );
    Beyond {
        scenario: &scenario,
        parameters: &parameters,
        autumns: &autumns,
        autumn,
        on,
        winters: &winters,
        outcomes: &outcomes[0],
        emptied: &emptied,
    }
    .complete(&mut colonies);
    let springs = spring::springs(&record)?;
    let middling = spring::middle_and_latest(&springs).map(|(middle, _)| middle);
    let mut told: Vec<Warning> = warnings::early_nectar(end, middling, &outcomes[0])
        .into_iter()
        .collect();
    told.extend(warnings::deaths(&colonies));
    told.extend(warnings::passed(&scenario, on));
    told.extend(warnings::lost_feed(&colonies));
    told.extend(warnings::of_input(&odd.0));
    told.extend(warnings::of_input(&record.warnings));
    let result = RunResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        site: scenario.site.name.clone(),
        climate: climate_of(
            &record,
            &scenario,
            winters.iter().map(|w| w.label.clone()).collect(),
            origin,
            weather_notes,
        ),
        start: calendar::words(scenario.season.start),
        first_nectar: calendar::words(scenario.season.first_nectar),
        level: scenario.level,
        grid: grid_name(args.grid),
        paired,
        colonies,
        warnings: told,
        network: Network {
            kind: network_name(carrier),
            unknowns: arrangements[0].stand.hive.network.n(),
            refined,
            fell_back: check.is_some() && carrier != Carrier::Reduced,
            check,
        },
        solver: worst(&outcomes),
    };
    Ok(Answer {
        result,
        winters,
        level: scenario.level,
        arrangements,
        parameters,
        outcomes,
        carrier,
        stop,
    })
}

/// Parameters of the scenario that belong to the colony; the rest must belong to the hive.
pub(super) fn colony_overrides(s: &Scenario) -> Result<Vec<(String, f64)>, Failure> {
    let combs = hive::combs::comb_table().map_err(Failure::fault)?;
    Ok(s.parameters
        .iter()
        .filter(|(key, _)| !combs.contains_key(key))
        .cloned()
        .collect())
}

pub(super) fn resolution(grid: Grid) -> Resolution {
    match grid {
        Grid::Coarse => Resolution::Coarse,
        Grid::Normal => Resolution::Normal,
        Grid::Fine => Resolution::Fine,
    }
}

/// Two solves an hour to a millikelvin; the coarse grid deserves quick steps only.
fn method(grid: Grid) -> Method {
    match grid {
        Grid::Coarse => Method::QUICK,
        Grid::Normal | Grid::Fine => Method::CAREFUL,
    }
}

/// The network asked for.
pub(super) fn carrier(heat: HeatArgs, grid: Grid) -> Carrier {
    match heat.network {
        NetworkKind::Full => Carrier::Full(method(grid)),
        NetworkKind::Reduced => Carrier::Reduced,
    }
}

/// How much of a winter is to be checked; nothing where the full network carries it.
pub(super) fn stretch(heat: HeatArgs) -> Option<Stretch> {
    match (heat.network, heat.check) {
        (NetworkKind::Full, _) | (_, Check::None) => None,
        (NetworkKind::Reduced, Check::Stretch) => Some(Stretch::Weakest),
        (NetworkKind::Reduced, Check::Winter) => Some(Stretch::Winter),
    }
}

pub(super) fn network_name(carrier: Carrier) -> &'static str {
    match carrier {
        Carrier::Full(_) => FULL,
        Carrier::Reduced => REDUCED,
    }
}

pub(super) fn grid_name(grid: Grid) -> &'static str {
    match grid {
        Grid::Coarse => "coarse",
        Grid::Normal => "normal",
        Grid::Fine => "fine",
    }
}

/// A flag that Ctrl-C sets; a second Ctrl-C ends the program at once.
pub(super) fn stop_on_interrupt() -> Arc<AtomicBool> {
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
