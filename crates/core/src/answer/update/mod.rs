//! From weighings in winter to when the stores run out.

mod calendar;
mod check;
mod hive;
mod result;
mod season;
mod weights;
mod years;

pub use calendar::Calendar;
pub use result::{Compared, HiveUpdate, Note, SCHEMA, UpdateResult};
pub use season::problems;
pub use weights::weights;
pub use years::since_begun;

use self::check::check;
use self::hive::FEW;
use self::season::Season;
use super::network::{self, Network};
use super::weather::for_season;
use super::{AnswerError, Notice, Progress, Stage, UpdateOptions, WinterChoice};
use crate::climate::Record;
use crate::colony::parameters::Parameters;
use crate::decision::feeding::autumns_of;
use crate::decision::feeding::last_feeding;
use crate::ensemble::members::{self, Draw, Member};
use crate::ensemble::winters::{Basis, choose};
use crate::hive as woodwork;
use crate::scenario::log::Weighing;
use crate::season::PreparedHive;
use crate::stand::{Colony, Scenario, Stack};

/// Seed of the draws: the same question gets the same answer.
const SEED: u64 = 20_261;
/// Where fewer runs fit than a date may rest on, as many again are run, so many times in all at most (a choice: 800 runs unless said
/// otherwise).
const MOST_BATCHES: u64 = 4;

/// What the weighings of a winter tell.
pub struct UpdateAnswer {
    /// What was found.
    pub result: UpdateResult,
    /// Stores day by day, one a hive of the result.
    pub calendars: Vec<Calendar>,
}

/// Weighs many winters under `record` by the readings.
///
/// # Errors
/// No weighing, or one that cannot be; a stand without colonies or that cannot be built; a season without winters; a stopped or failed run.
pub fn update(
    scenario: &Scenario,
    record: Record,
    weighings: &[Weighing],
    options: &UpdateOptions,
    progress: &dyn Progress,
) -> Result<UpdateAnswer, AnswerError> {
    if scenario.colonies().next().is_none() {
        return Err(AnswerError::NoColony {
            asked: "there is nothing to weigh",
        });
    }
    let season = Season::of(weighings, scenario)?;
    let record = for_season(record, scenario)?;
    let chosen = choose(
        &record,
        scenario.season.start,
        scenario.season.first_nectar,
        options.winters,
    )?;
    let mut winters = chosen.winters;
    let colder = scenario.stress.colder;
    if colder != 0.0 {
        winters.iter_mut().for_each(|w| w.make_colder(colder));
    }
    let hive = woodwork::build(scenario, options.heat.resolution)?;
    let elevation = scenario.site.elevation.unwrap_or(record.station.elevation);
    let stand = PreparedHive::new(scenario, hive, elevation)?;
    let overrides = woodwork::colony_overrides(&scenario.parameters)?;
    let usual = Parameters::with(&overrides)?;
    let (_, autumns) = autumns_of(&record);
    let weighed: Vec<(usize, &Colony, Vec<&Weighing>)> = scenario
        .colonies()
        .enumerate()
        .map(|(i, (Stack { name, .. }, colony))| {
            let told = options.only.as_ref().is_none_or(|only| only == name);
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
        Basis::Real => options.runs,
        // Winters about a typical year come from cold to mild: each must be drawn as often as the others.
        Basis::Months | Basis::Typical => options.runs.next_multiple_of(winters.len().max(1)),
    };
    let model = options.heat.model();
    let mut drawn: Vec<Draw> = Vec::new();
    let (mut members, mut runs): (Vec<Vec<Member>>, usize) = (Vec::new(), 0);
    for batch in 0..MOST_BATCHES {
        let draws = members::draws(winters.len(), asked_for, SEED + batch, &overrides)?;
        progress.begin(Stage::Runs, draws.len());
        let more = members::run(
            scenario,
            &stand,
            &winters,
            &draws,
            model,
            &|| progress.step(),
            progress.stop(),
        );
        progress.end();
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
                let (fit, effective) = season.fitting(scenario, colony, m, mine);
                // Where none fits, more will not.
                fit > 0 && effective.min(fit as f64) < FEW
            })
        });
        if !few {
            break;
        }
        if batch + 1 < MOST_BATCHES {
            progress.tell(&Notice::MoreRuns { few: FEW, runs });
        }
    }
    let network = Network {
        kind: network::name(model),
        unknowns: stand.hive.network.n(),
        check: match options.heat.checked() {
            Some(stretch) => check(
                scenario,
                &stand,
                &winters,
                (&drawn, &members),
                stretch,
                progress.stop(),
            )?,
            None => None,
        },
        refined: false,
        fell_back: false,
    };
    let (mut hives, mut calendars) = (Vec::new(), Vec::new());
    for (i, colony, mine) in &weighed {
        let stack = scenario
            .stacks
            .iter()
            .position(|s| mine.first().is_some_and(|w| w.hive == s.name));
        if let Some((stack, members)) = stack.zip(members.get(*i)) {
            let mut told = season.hive(scenario, stack, colony, members, mine)?;
            let last = mine.last().map(|w| crate::calendar::of(w.date));
            told.last_syrup = told.feed.zip(last).and_then(|(f, on)| {
                let litres = f.syrup_litres;
                last_feeding(&autumns, colony.bees, litres, scenario.level, &usual, on)
            });
            hives.push(told);
            calendars.push(season.calendar(scenario, colony, members, mine));
        }
    }
    let result = UpdateResult {
        schema: SCHEMA,
        version: env!("CARGO_PKG_VERSION"),
        title: scenario.title.clone(),
        station: record.station.name.clone(),
        winters: winters.len(),
        basis: chosen.basis,
        weather_notes: if options.winters == WinterChoice::default() {
            Vec::new()
        } else {
            chosen.notes
        },
        runs,
        grid: options.heat.resolution.name(),
        network,
        start: season.start,
        first_nectar: season.nectar,
        hives,
        of_earlier_winters: weighings.len() - season.within.len(),
    };
    Ok(UpdateAnswer { result, calendars })
}
