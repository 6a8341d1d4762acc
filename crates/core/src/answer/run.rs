//! A stand through past winters, as it is and with its hives apart.

use super::network::{self, Network};
use super::weather::{Climate, for_season};
use super::winters::{WinterJobs, WinterResults, worst};
use super::{AnswerError, Notice, Progress, RunOptions};
use crate::calendar;
use crate::climate::series::Winter;
use crate::climate::{Record, spring};
use crate::colony::parameters::Parameters;
use crate::decision::advise::AdviceInputs;
use crate::decision::feeding::autumns_of;
use crate::decision::result::{ColonyResult, colonies};
use crate::decision::warnings::{self, Warning};
use crate::ensemble::runner::Arrangement;
use crate::ensemble::winters::{choose, poorest};
use crate::hive;
use crate::scenario::Loaded;
use crate::season::outcome::{SolverReport, WinterOutcome};
use crate::season::{HeatModel, PreparedHive};
use crate::stand::{Joint, Scenario};
use serde::Serialize;

/// Version of the JSON's shape.
pub const SCHEMA: &str = "partywall-run/4";

/// Everything a run found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RunResult {
    /// Shape of this document.
    pub schema: &'static str,
    /// Program version.
    pub version: &'static str,
    /// Title of the scenario.
    pub title: String,
    /// Place.
    pub site: String,
    /// Weather record.
    pub climate: Climate,
    /// Start of the count, "1 Oct".
    pub start: String,
    /// First dependable nectar, "19 May".
    pub first_nectar: String,
    /// Level asked for, share of winters.
    pub level: f64,
    /// Grid used.
    pub grid: &'static str,
    /// Whether the stacks stand side by side.
    pub paired: bool,
    /// One per colony, left to right.
    pub colonies: Vec<ColonyResult>,
    /// What must be said before the answer.
    pub warnings: Vec<Warning>,
    /// Which heat network carried the winters.
    pub network: Network,
    /// Worst of all winters.
    pub solver: SolverReport,
}

/// A finished run with all that its pictures are drawn from.
pub struct RunAnswer {
    /// What was found.
    pub result: RunResult,
    /// The stand as it is and, where hives stand together, with its hives apart.
    pub arrangements: Vec<Arrangement>,
    /// The winters that were run.
    pub winters: Vec<Winter>,
    /// The colonies' parameters.
    pub parameters: Parameters,
    /// What became of each winter, arrangement by arrangement.
    pub outcomes: Vec<Vec<WinterOutcome>>,
    /// What carried them.
    pub model: HeatModel,
}

/// Runs a stand with colonies through past winters; `record` is its weather.
///
/// # Errors
/// A stand without a colony, a hive that cannot be built, a season without winters, a stopped or failed run.
pub fn run(
    loaded: &Loaded,
    record: Record,
    options: &RunOptions,
    progress: &dyn Progress,
) -> Result<RunAnswer, AnswerError> {
    let scenario = &loaded.scenario;
    if scenario.colonies().next().is_none() {
        return Err(AnswerError::NoColony {
            asked: "there is no honey to tell of",
        });
    }
    let record = for_season(record, scenario)?;
    let (autumn, autumns) = autumns_of(&record);
    let (start, end) = (scenario.season.start, scenario.season.first_nectar);
    let on = options.on.filter(|d| calendar::within(start, end, *d));
    if let (Some(on), None) = (options.on, on) {
        progress.tell(&Notice::OutsideSeason { on, start, end });
    }
    let chosen = choose(&record, start, end, options.winters)?;
    let mut weather_notes = chosen.notes;
    weather_notes.extend(spring::note(&record, end)?);
    let (mut winters, origin) = (chosen.winters, (chosen.available, chosen.basis));
    let colder = scenario.stress.colder;
    if colder != 0.0 {
        winters.iter_mut().for_each(|w| w.make_colder(colder));
    }
    let parameters = Parameters::with(&hive::colony_overrides(&scenario.parameters)?)?;
    let elevation = scenario.site.elevation.unwrap_or(record.station.elevation);
    let arrange = |s: Scenario| -> Result<Arrangement, AnswerError> {
        let hive = hive::build(&s, options.heat.resolution)?;
        let stand = PreparedHive::new(&s, hive, elevation)?;
        Ok(Arrangement { scenario: s, stand })
    };
    let paired = scenario
        .joints
        .iter()
        .any(|j| matches!(j, Joint::Adjoining { .. }));
    let mut arrangements = vec![arrange(scenario.clone())?];
    if paired {
        arrangements.push(arrange(scenario.apart())?);
    }
    let mut model = options.heat.model();
    let through = |arrangements: &[Arrangement], model, checked| {
        let all = WinterJobs {
            arrangements,
            winters: &winters,
            parameters: &parameters,
            level: scenario.level,
            progress,
        };
        all.through(model, checked)
    };
    let mut results = through(&arrangements, model, options.heat.checked())?;
    let mut refined = false;
    if let Some(c) = results.strays() {
        progress.tell(&Notice::Refined(c.clone()));
        for a in &mut arrangements {
            a.stand.refine();
        }
        refined = true;
        results = through(&arrangements, model, options.heat.checked())?;
    }
    let check = results.check.clone();
    if let Some(c) = results.strays() {
        progress.tell(&Notice::FellBack(c.clone()));
        model = HeatModel::Full(options.heat.method());
        results = through(&arrangements, model, None)?;
    }
    let WinterResults {
        outcomes, emptied, ..
    } = results;
    weather_notes.splice(0..0, poorest(&outcomes[0]));
    let mut colonies = colonies(
        scenario,
        parameters.coma_lethal_h,
        &outcomes[0],
        outcomes.get(1).map(Vec::as_slice),
    );
    AdviceInputs {
        scenario,
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
    told.extend(warnings::passed(scenario, on));
    told.extend(warnings::lost_feed(&colonies));
    told.extend(warnings::of_input(&loaded.warnings.0));
    told.extend(warnings::of_input(&record.warnings));
    let result = RunResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        site: scenario.site.name.clone(),
        climate: Climate::of(
            &record,
            scenario,
            winters.iter().map(|w| w.label.clone()).collect(),
            origin,
            weather_notes,
        ),
        start: calendar::words(start),
        first_nectar: calendar::words(end),
        level: scenario.level,
        grid: options.heat.resolution.name(),
        paired,
        colonies,
        warnings: told,
        network: Network {
            kind: network::name(model),
            unknowns: arrangements[0].stand.hive.network.n(),
            refined,
            fell_back: check.is_some() && model != HeatModel::Reduced,
            check,
        },
        solver: worst(&outcomes),
    };
    Ok(RunAnswer {
        result,
        winters,
        arrangements,
        parameters,
        outcomes,
        model,
    })
}

/// What stands on the sheets for the shed wall: a [`run()`], of a stand with colonies.
///
/// # Errors
/// As [`run()`].
pub fn yard(
    loaded: &Loaded,
    record: Record,
    options: &RunOptions,
    progress: &dyn Progress,
) -> Result<RunAnswer, AnswerError> {
    run(loaded, record, options, progress).map_err(|e| match e {
        AnswerError::NoColony { .. } => AnswerError::NoColony {
            asked: "there is nothing to put on the shed wall",
        },
        other => other,
    })
}
