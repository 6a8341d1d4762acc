//! `partywall run`: a hive through past winters, butted together and apart.

use super::{Failure, files, heater, page, pictures};
use crate::cli::{Check, Format, Grid, NetworkKind, RunArgs, WinterCount};
use crate::climate::series::Winter;
use crate::climate::{self, Record, spring};
use crate::colony::parameters::Parameters;
use crate::decision::feeding;
use crate::ensemble::runner::{Arrangement, run_all};
use crate::ensemble::winters::{Asked, Basis, check_season, choose, poorest};
use crate::hive::{self, Resolution};
use crate::report::advice::Beyond;
use crate::report::page::Page;
use crate::report::pictures::Picture;
use crate::report::result::{Climate, Network, RunResult, SCHEMA, colonies};
use crate::report::{csv, text};
use crate::scenario::dates;
use crate::scenario::model::ClimateChoice;
use crate::scenario::model::{Joint, Scenario};
use crate::season::outcome::{ColonyOutcome, SolverReport, WinterOutcome};
use crate::season::trace::Trace;
use crate::season::{Carrier, Comparison, Course, Method, Stand};
use indicatif::{ProgressBar, ProgressStyle};
use rayon::prelude::*;
use std::io::Write;
use std::path::Path;
use std::sync::Arc;
use std::sync::atomic::AtomicBool;

/// Days compared with the full network: this many before the weakest moment, and after it.
const CHECKED: (usize, usize) = (20, 7);

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
    let scenario = super::scenario_with(&args.scenario, args.climate.as_deref(), err, colour)?;
    let input = page::input(&args.scenario)?;
    let folder = args.out.as_deref().map(files::writable).transpose()?;
    if scenario.stacks.iter().all(|s| s.colony.is_none()) {
        return heater::heated_box(&scenario, resolution(args.grid), args.format, out);
    }
    let answer = answer(args, scenario, err, colour)?;
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
            serde_json::to_writer_pretty(&mut *out, result).map_err(Failure::fault)?;
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
    winters: Vec<Winter>,
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
        save(folder, &self.result, &ask, &self.outcomes[0], self.carrier)
    }
}

/// The weather record of a scenario, which may know better than the file where it was measured; its season must be winter there.
/// Warnings go to `err`.
pub(super) fn record_of(
    scenario: &Scenario,
    err: &mut dyn Write,
    colour: bool,
) -> Result<Record, Failure> {
    // Some weather files do not say where they were measured; the scenario may.
    let known = climate::raw::PartialStation {
        latitude_deg: scenario.site.latitude_deg,
        longitude_deg: scenario.site.longitude_deg,
        elevation: scenario.site.elevation,
        ..climate::raw::PartialStation::default()
    };
    let mut record = climate::load_at(&scenario.climate, &known)?;
    write!(
        err,
        "{}",
        crate::diagnostic::render(
            &crate::diagnostic::Problems(record.warnings.clone()),
            colour
        )
    )?;
    let (start, end) = (scenario.season.start, scenario.season.first_nectar);
    let notes = check_season(&record, start, end, scenario.site.latitude_deg)?;
    record.notes.splice(0..0, notes);
    Ok(record)
}

/// Runs a scenario that has a colony.
pub(super) fn answer(
    args: &RunArgs,
    scenario: Scenario,
    err: &mut dyn Write,
    colour: bool,
) -> Result<Answer, Failure> {
    let record = record_of(&scenario, err, colour)?;
    // Without a whole autumn there is no last feeding day, which is said.
    let autumns = record
        .cut(feeding::AUTUMN.0, feeding::AUTUMN.1)
        .map_or_else(|_| Vec::new(), |c| c.whole);
    let (start, end) = (scenario.season.start, scenario.season.first_nectar);
    let asked = Asked {
        count: match args.winters {
            Some(WinterCount::Some(n)) => Some(n),
            _ => None,
        },
        made_up: args.made.made_up,
        detrend: args.made.detrend,
    };
    let chosen = choose(&record, start, end, asked)?;
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
    let ask = Ask {
        arrangements: &arrangements,
        winters: &winters,
        parameters: &parameters,
        level: scenario.level,
        stop: &stop,
    };
    let mut carrier = match args.network {
        NetworkKind::Full => Carrier::Full(method(args.grid)),
        NetworkKind::Reduced => Carrier::Reduced,
    };
    let mut outcomes = ask.run(carrier)?;
    // The full network goes through its winter on one core while the others are at work.
    let (found, emptied) = rayon::join(
        || match (carrier, args.check) {
            (Carrier::Full(_), _) | (_, Check::None) => Ok(None),
            (Carrier::Reduced, which) => ask.check(&outcomes, which == Check::Winter),
        },
        || ask.emptied(&outcomes[0]),
    );
    let (check, mut emptied) = (found?, emptied?);
    if check.as_ref().is_some_and(|c| !c.holds()) {
        writeln!(
            err,
            "the reduced heat network strays from the full one: going over all winters with the full one, which takes longer"
        )?;
        carrier = Carrier::Full(method(args.grid));
        outcomes = ask.run(carrier)?;
        emptied = ask.emptied(&outcomes[0])?;
    }
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
        emptied: &emptied,
    }
    .complete(&mut colonies);
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
        start: dates::words(scenario.season.start),
        first_nectar: dates::words(scenario.season.first_nectar),
        level: scenario.level,
        grid: grid_name(args.grid),
        paired,
        colonies,
        network: Network {
            kind: if carrier == Carrier::Reduced {
                "reduced"
            } else {
                "full"
            },
            unknowns: arrangements[0].stand.hive.network.n(),
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

/// Everything that is to be run.
struct Ask<'a> {
    arrangements: &'a [Arrangement],
    winters: &'a [Winter],
    parameters: &'a Parameters,
    level: f64,
    stop: &'a AtomicBool,
}

impl Ask<'_> {
    /// Every arrangement through every winter, with a bar on standard error.
    fn run(&self, carrier: Carrier) -> Result<Vec<Vec<WinterOutcome>>, Failure> {
        let bar = ProgressBar::new((self.arrangements.len() * self.winters.len()) as u64);
        if let Ok(style) =
            ProgressStyle::with_template("{bar:30} {pos} of {len} winters, {eta} left")
        {
            bar.set_style(style);
        }
        let outcomes = run_all(
            self.arrangements,
            self.winters,
            self.parameters,
            carrier,
            &|| bar.inc(1),
            self.stop,
        );
        bar.finish_and_clear();
        Ok(outcomes?)
    }

    /// Every winter again with just the honey it takes in each hive: what is then left behind is out of the bees' reach. Always with the
    /// reduced network, which is close enough for that.
    fn emptied(&self, outcomes: &[WinterOutcome]) -> Result<Vec<WinterOutcome>, Failure> {
        let arrangement = &self.arrangements[0];
        let all: Result<Vec<_>, _> = self
            .winters
            .par_iter()
            .zip(outcomes)
            .map(|(winter, o)| {
                let eaten: Vec<f64> = o.colonies.iter().map(|c| c.eaten).collect();
                Course {
                    scenario: &arrangement.scenario.with_stores(&eaten),
                    stand: &arrangement.stand,
                    winter,
                    parameters: self.parameters,
                    stop: self.stop,
                }
                .run(Carrier::Reduced, None)
            })
            .collect();
        Ok(all?)
    }

    /// Holds the reduced network against the full one in the winter that sets the answer: the days about its weakest
    /// moment, or all of it. `None` without colonies.
    fn check(
        &self,
        outcomes: &[Vec<WinterOutcome>],
        whole: bool,
    ) -> Result<Option<Comparison>, Failure> {
        let eaten = |o: &WinterOutcome| o.colonies.iter().map(|c| c.eaten).sum::<f64>();
        let mut order: Vec<usize> = (0..self.winters.len()).collect();
        order.sort_by(|&a, &b| eaten(&outcomes[0][a]).total_cmp(&eaten(&outcomes[0][b])));
        let rank = (self.level * (order.len() as f64 + 1.0)).round() as usize;
        let Some(&poor) = order.get(rank.clamp(1, order.len().max(1)) - 1) else {
            return Ok(None);
        };
        let winter = &self.winters[poor];
        let weakest = outcomes[0][poor].colonies.iter().min_by(|a, b| {
            let hand = |c: &ColonyOutcome| c.weakest.heat_in_hand;
            hand(a).total_cmp(&hand(b))
        });
        let Some(weakest) = weakest else {
            return Ok(None);
        };
        let since = weakest.weakest.time - winter.start.at(0, 0, 0, 0);
        let day = usize::try_from(since.get_days()).unwrap_or(0);
        let stretch = if whole {
            0..winter.hours.len()
        } else {
            24 * day.saturating_sub(CHECKED.0)..24 * (day + CHECKED.1)
        };
        let course = Course {
            scenario: &self.arrangements[0].scenario,
            stand: &self.arrangements[0].stand,
            winter,
            parameters: self.parameters,
            stop: self.stop,
        };
        Ok(Some(course.compare(Method::HOURLY, stretch)?))
    }
}

pub(super) fn grid_name(grid: Grid) -> &'static str {
    match grid {
        Grid::Coarse => "coarse",
        Grid::Normal => "normal",
        Grid::Fine => "fine",
    }
}

pub(super) fn climate_of(
    record: &Record,
    scenario: &Scenario,
    winters: Vec<String>,
    (available, basis): (usize, Basis),
    mut notes: Vec<String>,
) -> Climate {
    notes.extend(record.notes.iter().cloned());
    if scenario.stress.colder != 0.0 {
        notes.insert(
            0,
            format!(
                "made worse on purpose: every hour {:.1} C colder than measured",
                scenario.stress.colder
            ),
        );
    }
    if scenario.stress.late_spring > 0 {
        notes.insert(
            0,
            format!(
                "made worse on purpose: first nectar {} days later than given",
                scenario.stress.late_spring
            ),
        );
    }
    Climate {
        station: record.station.name.clone(),
        source: match &scenario.climate {
            ClimateChoice::BuiltIn(name) => format!("built-in record \"{name}\""),
            ClimateChoice::File(_) => record.source_name.clone(),
        },
        winters,
        available,
        basis,
        notes,
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

/// JSON, the winters as CSV, the hour-by-hour trace of the coldest winter run, and the pictures.
fn save(
    folder: &Path,
    result: &RunResult,
    ask: &Ask<'_>,
    outcomes: &[WinterOutcome],
    carrier: Carrier,
) -> Result<Vec<Picture>, Failure> {
    let mut drawn = Vec::new();
    let arrangement = &ask.arrangements[0];
    files::put(
        folder,
        "result.json",
        &serde_json::to_vec_pretty(result).map_err(Failure::fault)?,
    )?;
    files::put(
        folder,
        "winters.csv",
        &csv::winters(result).map_err(Failure::fault)?,
    )?;
    let mean = |w: &climate::series::Winter| {
        w.hours.iter().map(|h| h.temp_c).sum::<f64>() / w.hours.len() as f64
    };
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
            winter: coldest,
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
