//! Several hives on the same winters and the same kinds of colony.

use super::comparison::ComparisonContext;
use super::full_network_check::Named;
use super::head::{Drawn, Head, WarningList};
use super::{AnswerError, ComparisonOptions, Progress};
use crate::calendar;
use crate::climate::Record;
use crate::colony::ensemble::Set;
use crate::decision::gains::{Gain, Standing, gain, of_stack};
use crate::decision::pairing::{Part, steps};
use crate::decision::uncertainty::{UncertaintyBudget, by_scale, doubts};
use crate::ensemble::draws::{Draw, DrawOutcome, DrawOutcomes, miscounted};
use crate::ensemble::full_network_check::alike;
use crate::problem::Problems;
use crate::stand::{Colony, Scenario};
use serde::Serialize;

/// Version of the JSON's shape.
pub const SCHEMA: &str = "partywall-compare/2";

/// Everything a comparison found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct CompareResult {
    /// What both kinds of contest begin with.
    #[serde(flatten)]
    pub head: Head,
    /// The hive the others are held against.
    pub against: String,
    /// One per colony of that hive.
    pub colonies: Vec<ComparedColony>,
}

/// One colony in all hives.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ComparedColony {
    /// Name of its stack.
    pub stack: String,
    /// One row a hive.
    pub rows: Vec<Row>,
    /// Side by side against apart, in parts.
    pub pairing: Option<Split>,
    /// How far the row of `against` may be off, and from what.
    pub doubts: Option<UncertaintyBudget>,
    /// Whether its stores follow from the scale.
    pub weighed: bool,
}

/// One hive's row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Row {
    /// The hive.
    pub name: String,
    /// How the colony stands there; `None` when it is not there.
    pub standing: Option<Standing>,
    /// The day on which it is taken to die there, if it is.
    pub dies: Option<String>,
    /// What it gains there; `None` for the hive held against.
    pub gain: Option<Gain>,
}

/// What pairing buys, in parts.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Split {
    /// The hive it is told of.
    pub of: String,
    /// All of it.
    pub whole: Gain,
    /// Wind, wrap and wall; the differences add up to the whole draw by draw.
    pub parts: Vec<(Part, Gain)>,
}

/// A hive of a comparison.
#[derive(Debug, Clone)]
pub struct Entry {
    /// Its name.
    pub name: String,
    /// The stand.
    pub scenario: Scenario,
    /// What its file was warned of.
    pub warnings: Problems,
}

/// Compares hives on the same winters and the same kinds of colony; all stand under `record`, and are held against the one at the index
/// `against`.
///
/// # Errors
/// Hives without colonies, under different weather or that cannot be built; a season without winters; a stopped or failed run.
pub fn compare(
    entries: &[Entry],
    against: usize,
    record: Record,
    options: &ComparisonOptions,
    progress: &dyn Progress,
) -> Result<CompareResult, AnswerError> {
    let hives: Vec<(&str, &Scenario)> = entries
        .iter()
        .map(|e| (e.name.as_str(), &e.scenario))
        .collect();
    let Some(&(_, reference)) = hives.get(against) else {
        return Err(AnswerError::NothingToCompare);
    };
    let mut told = WarningList::default();
    for e in entries {
        told.add(&e.name, &e.warnings);
    }
    let ground = ComparisonContext::lay(record, options, &hives, progress)?;
    let drawn = ground.drawn();
    let winters = drawn.winters;
    // Pairing is told of the hive held against, or of the first that stands together.
    let paired = std::iter::once(against)
        .chain(0..hives.len())
        .find_map(|i| Some((i, steps(hives[i].1)?)));
    let mut tasks: Vec<(Scenario, Vec<Draw>)> = Vec::new();
    for (i, (_, s)) in hives.iter().enumerate() {
        let mut draws = ground.plain(s)?;
        draws.extend(ground.mixed(s)?);
        if i == against {
            draws.extend(miscounted(winters, s.stacks.len(), &ground.parameters(s)?));
        }
        tasks.push(((*s).clone(), draws));
    }
    if let Some((_, steps)) = &paired {
        for (_, s) in steps.iter().take(3) {
            tasks.push((s.clone(), ground.mixed(s)?));
        }
    }
    let bees: Vec<Vec<f64>> = tasks[against]
        .1
        .iter()
        .skip(tasks[against].1.len() - winters)
        .map(|d| d.bees.clone())
        .collect();
    let cases = ground.cases(tasks)?;
    let mut drawn_outcomes = ground.run(&cases)?;
    let between = drawn_outcomes.split_off(hives.len());
    let sorted: Vec<Parts<'_>> = drawn_outcomes.iter().map(|f| Parts::of(f, drawn)).collect();
    let named: Vec<Named<'_>> = hives
        .iter()
        .zip(cases.iter().zip(&sorted))
        .map(|((name, _), (case, f))| Named {
            name,
            case,
            plain: f.plain,
        })
        .collect();
    let candidates = ground.candidates(&named)?;
    let network = ground.hold(&candidates, alike(&candidates).len())?;
    let mut colonies = Vec::new();
    for (k, stack) in reference.stacks.iter().enumerate() {
        let Some(colony) = &stack.colony else {
            continue;
        };
        let mine = sorted[against];
        let rows = hives
            .iter()
            .zip(&sorted)
            .enumerate()
            .map(|(i, ((name, s), f))| {
                let Some(there) = place(s, &stack.name) else {
                    return Ok(Row {
                        name: (*name).to_owned(),
                        standing: None,
                        dies: None,
                        gain: None,
                    });
                };
                let (old, new) = (of_stack(mine.mixed, k), of_stack(f.mixed, there));
                let (old_plain, new_plain) = (of_stack(mine.plain, k), of_stack(f.plain, there));
                let dies = s.stacks[there].colony.as_ref().and_then(|c| c.dies);
                Ok(Row {
                    name: (*name).to_owned(),
                    dies: dies.map(calendar::words),
                    standing: ground.standing(s, there, &new_plain)?,
                    gain: (i != against && dies.is_none())
                        .then(|| gain(&old, &new, Some([&old_plain, &new_plain])))
                        .flatten(),
                })
            })
            .collect::<Result<Vec<Row>, AnswerError>>()?;
        let pairing = paired.as_ref().and_then(|(i, steps)| {
            let there = place(hives[*i].1, &stack.name)?;
            let mut chain: Vec<_> = between.iter().map(|f| of_stack(f, there)).collect();
            chain.push(of_stack(sorted[*i].mixed, there));
            let parts: Vec<(Part, _)> = (1..chain.len())
                .filter_map(|n| Some((steps[n].0?, gain(&chain[n - 1], &chain[n], None)?)))
                .collect();
            Some(Split {
                of: hives[*i].0.to_owned(),
                whole: gain(&chain[0], chain.last()?, None)?,
                parts,
            })
        });
        let factors: Vec<f64> = bees.iter().filter_map(|b| b.get(k).copied()).collect();
        colonies.push(ComparedColony {
            stack: stack.name.clone(),
            rows,
            pairing,
            doubts: mine.doubts(colony, k, &factors, &ground.sets.sets),
            weighed: by_scale(colony),
        });
    }
    Ok(CompareResult {
        head: ground.head(SCHEMA, &hives[0].1.title, reference, (&told, network)),
        against: hives[against].0.to_owned(),
        colonies,
    })
}

/// Stack of that name with a colony.
fn place(s: &Scenario, name: &str) -> Option<usize> {
    s.stacks
        .iter()
        .position(|k| k.name == name && k.colony.is_some())
}

/// The draws of one hive, sorted.
#[derive(Clone, Copy)]
pub(super) struct Parts<'a> {
    /// Each winter with the default parameters.
    pub plain: &'a [Vec<Option<DrawOutcome>>],
    /// Each kind of colony.
    pub mixed: &'a [Vec<Option<DrawOutcome>>],
    /// Each winter with other counts of bees; empty but for one hive.
    pub miscounted: &'a [Vec<Option<DrawOutcome>>],
}

impl<'a> Parts<'a> {
    /// How far the answer for the colony of stack `k` may be off; `factors` are those its bees were miscounted by.
    pub fn doubts(
        self,
        colony: &Colony,
        k: usize,
        factors: &[f64],
        sets: &[Set],
    ) -> Option<UncertaintyBudget> {
        let [plain, mixed, miscounted] = [self.plain, self.mixed, self.miscounted]
            .map(|drawn_outcomes| of_stack(drawn_outcomes, k));
        doubts(colony, &plain, &mixed, &miscounted, factors, sets)
    }

    /// Sorts the draws in the order they were asked for.
    pub fn of(f: &'a DrawOutcomes, drawn: Drawn) -> Self {
        let (plain, rest) = f.split_at(drawn.winters.min(f.len()));
        let (mixed, miscounted) = rest.split_at(drawn.colonies.min(rest.len()));
        Self {
            plain,
            mixed,
            miscounted,
        }
    }
}
