//! The changes that make sense for a hive, and what each buys.

use super::compare::Parts;
use super::comparison::ComparisonContext;
use super::full_network_check::Named;
use super::head::{Head, WarningList};
use super::network::Networks;
use super::{AnswerError, Progress, RankOptions};
use crate::calendar;
use crate::climate::Record;
use crate::decision::changes::{Change, Group, LeftOut, Stock, changes};
use crate::decision::gains::{Standing, gain, of_stack};
use crate::decision::margins::BEES_PER_DEEP_FRAME;
use crate::decision::ranking::{Outcome, Ranking, rank as ranking};
use crate::decision::stand_total::whole;
use crate::decision::too_small::{TooSmall, too_small};
use crate::decision::uncertainty::{UncertaintyBudget, by_scale};
use crate::decision::upper_hole::UpperHole;
use crate::ensemble::draws::{ComparisonCase, DrawOutcome, DrawOutcomes, miscounted};
use crate::ensemble::full_network_check::{Candidate, alike};
use crate::scenario::{Loaded, Source};
use crate::stand::{OpeningPlace, Stack};
use serde::Serialize;

/// Version of the JSON's shape.
pub const SCHEMA: &str = "partywall-rank/2";

/// Everything a ranking found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RankResult {
    /// What both kinds of contest begin with.
    #[serde(flatten)]
    pub head: Head,
    /// All changes run, in the order made.
    pub changes: Vec<Outcome>,
    /// Changes that cannot be made on this hive.
    pub left_out: Vec<LeftOut>,
    /// One per colony.
    pub colonies: Vec<RankedColony>,
}

/// One colony's list.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct RankedColony {
    /// Name of its stack.
    pub stack: String,
    /// How it stands now.
    pub standing: Standing,
    /// Its ranking.
    pub ranking: Ranking,
    /// How far that may be off, and from what.
    pub doubts: Option<UncertaintyBudget>,
    /// Whether its stores follow from the scale.
    pub weighed: bool,
    /// Why it is too small to be wintered alone, if it is.
    pub too_small: Option<TooSmall>,
    /// Its bees as deep frames.
    pub deep_frames: f64,
    /// The upper hole against none, where both were run.
    pub upper_hole: Option<UpperHole>,
}

/// Name of a scenario among its own variants.
pub const AS_WRITTEN: &str = "as written";

/// Tries the changes that make sense for a stand under `record` and ranks what each buys each colony; `base` is what `source` reads as.
///
/// # Errors
/// A stand without colonies or that cannot be built; a season without winters; a stopped or failed run.
pub fn rank(
    source: &Source,
    base: &Loaded,
    record: Record,
    options: &RankOptions,
    progress: &dyn Progress,
) -> Result<RankResult, AnswerError> {
    let name = source.name();
    let ground = &ComparisonContext::lay(
        record,
        &options.contest,
        &[(name, &base.scenario)],
        progress,
    )?;
    let mut told = WarningList::default();
    told.add(AS_WRITTEN, &base.warnings);
    let s = &base.scenario;
    let (start, end) = (s.season.start, s.season.first_nectar);
    let on = options
        .on
        .filter(|d| calendar::within(start, end, *d))
        .unwrap_or(start);
    let drawn = ground.drawn();
    let mut draws = ground.plain(s)?;
    draws.extend(ground.mixed(s)?);
    let miscounts = miscounted(drawn.winters, s.stacks.len(), &ground.parameters(s)?);
    draws.extend(miscounts.iter().cloned());
    // The hive as it is comes first: which way honey goes hangs on who has some to spare.
    let as_is = ground.cases(vec![(s.clone(), draws)])?;
    let now: DrawOutcomes = ground.run(&as_is)?.pop().unwrap_or_default();
    let parts = Parts::of(&now, drawn);
    let standings = (0..s.stacks.len())
        .map(|k| ground.standing(s, k, &of_stack(parts.plain, k)))
        .collect::<Result<Vec<Option<Standing>>, AnswerError>>()?;
    let stock: Vec<Option<Stock>> = standings
        .iter()
        .zip(&s.stacks)
        .map(|(st, k)| {
            let c = k.colony.as_ref()?;
            let st = (*st)?;
            // Below five winters no level is known; the middling winter tells as well who has more.
            Some(Stock {
                spare: st.spare.unwrap_or(c.stores - st.need_middling),
                needed: st.stores_needed,
            })
        })
        .collect();
    let patched = |patch: &str| {
        let loaded = source.with(patch)?;
        Ok((loaded.scenario, loaded.warnings))
    };
    let found = changes(
        &patched,
        (s, &base.warnings),
        &stock,
        on,
        &ground.takes_syrup(s, on, parts.plain)?,
    )?;
    let mut tasks = Vec::new();
    let mut kept: Vec<Change> = Vec::new();
    for (change, scenario) in found.all {
        let draws = ground.mixed(&scenario)?;
        tasks.push((scenario, draws));
        kept.push(change);
    }
    let cases = ground.cases(tasks)?;
    let drawn_outcomes = ground.run(&cases)?;
    let stacks: Vec<usize> = (0..s.stacks.len())
        .filter(|k| s.stacks[*k].colony.is_some())
        .collect();
    // By colony, then by change.
    let by_colony: Vec<Vec<Vec<Option<DrawOutcome>>>> = stacks
        .iter()
        .map(|k| drawn_outcomes.iter().map(|f| of_stack(f, *k)).collect())
        .collect();
    let outcomes: Vec<Outcome> = kept
        .into_iter()
        .enumerate()
        .map(|(i, change)| Outcome {
            change,
            gains: stacks
                .iter()
                .zip(&by_colony)
                .map(|(k, all)| gain(&of_stack(parts.mixed, *k), &all[i], None))
                .collect(),
            whole: whole(parts.mixed, &drawn_outcomes[i]),
        })
        .collect();
    let mut colonies = Vec::new();
    for (c, (k, all)) in stacks.iter().zip(&by_colony).enumerate() {
        let (Some(standing), Some(colony)) = (standings[*k], &s.stacks[*k].colony) else {
            continue;
        };
        let factors: Vec<f64> = miscounts
            .iter()
            .filter_map(|d| d.bees.get(*k).copied())
            .collect();
        colonies.push(RankedColony {
            stack: s.stacks[*k].name.clone(),
            standing,
            ranking: ranking(
                &outcomes,
                all,
                c,
                found.top_foam_now,
                standing.spare.is_none_or(|kg| kg < 0.0),
            ),
            doubts: parts.doubts(colony, *k, &factors, &ground.sets.sets),
            weighed: by_scale(colony),
            too_small: too_small(
                colony.bees,
                standing.heat_in_hand,
                (standing.too_cold, standing.winters),
                s.level,
            ),
            deep_frames: colony.bees / BEES_PER_DEEP_FRAME,
            upper_hole: upper_hole(&outcomes, &cases, c, &s.stacks[*k]),
        });
    }
    let named = |(name, case)| Named {
        name,
        case,
        // Changes run through draws only: their winter is that of the hives as they stand.
        plain: parts.plain,
    };
    // Syrup and honey leave the heat of a stand as it is.
    let warmth: Vec<usize> = (0..outcomes.len())
        .filter(|i| !matches!(outcomes[*i].change.group, Group::Feed | Group::Honey))
        .collect();
    let changed = warmth
        .iter()
        .map(|i| (outcomes[*i].change.words.as_str(), &cases[*i]));
    let all: Vec<Named<'_>> = as_is
        .iter()
        .map(|e| (AS_WRITTEN, e))
        .chain(changed)
        .map(named)
        .collect();
    let network = first_ranked(ground, &ground.candidates(&all)?, &warmth, &colonies)?;
    Ok(RankResult {
        head: ground.head(SCHEMA, &s.title, s, (&told, network)),
        changes: outcomes,
        left_out: found.left_out,
        colonies,
    })
}

/// What the upper hole does to a colony of the stack, if the change turns that of its own hive.
fn upper_hole(
    outcomes: &[Outcome],
    cases: &[ComparisonCase],
    colony: usize,
    stack: &Stack,
) -> Option<UpperHole> {
    let holed = |k: &Stack| k.openings.iter().any(|o| o.place != OpeningPlace::Floor);
    let (o, case) = outcomes
        .iter()
        .zip(cases)
        .find(|(o, _)| o.change.group == Group::UpperHole)?;
    let then = case.scenario.stacks.iter().find(|k| k.name == stack.name)?;
    (holed(then) != holed(stack)).then_some(())?;
    Some(UpperHole::of(
        holed(stack),
        (*o.gains.get(colony)?).as_ref()?,
    ))
}

/// Stands held against the full network at most, beside the hives as they are: a check costs one to three seconds of a core, and what is
/// ranked first is what is done (a choice).
const CHECKED: usize = 8;

/// Holds the hives as they stand, the first of `all`, and the changes that come first among those that alter heat against the full network;
/// the others of `all` are the changes `warmth`, by index, in their order.
fn first_ranked(
    ground: &ComparisonContext<'_>,
    all: &[Candidate<'_>],
    warmth: &[usize],
    colonies: &[RankedColony],
) -> Result<Networks, AnswerError> {
    let stands = alike(all);
    let stand = |i: usize| stands.iter().position(|g| g.contains(&i));
    let of_change = |o: usize| stand(warmth.iter().position(|w| *w == o)? + 1);
    let lists: Vec<Vec<usize>> = colonies
        .iter()
        .map(|c| {
            let r = &c.ranking;
            // What the answer says something of comes before what is too close to call.
            let said = [&r.saves, &r.costs, &r.starves, &r.close];
            let helps = r.helps.iter().map(|h| h.outcome);
            let all = helps.chain(said.into_iter().flatten().copied());
            all.filter_map(of_change).collect()
        })
        .collect();
    let chosen = in_turn(&lists, stand(0), CHECKED);
    let picked: Vec<Candidate<'_>> = all
        .iter()
        .enumerate()
        .filter(|(i, _)| stand(*i).is_some_and(|g| chosen.contains(&g)))
        .map(|(_, c)| c.clone())
        .collect();
    ground.hold(&picked, stands.len())
}

/// The stand as it is and so many others at most, from the lists in turn, best first, none twice.
fn in_turn(lists: &[Vec<usize>], now: Option<usize>, most: usize) -> Vec<usize> {
    let mut chosen: Vec<usize> = now.into_iter().collect();
    let longest = lists.iter().map(Vec::len).max().unwrap_or_default();
    for n in 0..longest {
        for stand in lists.iter().filter_map(|l| l.get(n)) {
            if chosen.len() <= most && !chosen.contains(stand) {
                chosen.push(*stand);
            }
        }
    }
    chosen
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches a list of stands to check that leaves out the hives as they are, one colony's best for the other's worst, or that checks a stand
    /// twice.
    #[test]
    fn best_of_each_colony_in_turn() {
        let lists = [vec![3, 0, 4, 5], vec![3, 7]];
        assert_eq!(in_turn(&lists, Some(0), 8), [0, 3, 7, 4, 5]);
        assert_eq!(in_turn(&lists, Some(0), 2), [0, 3, 7]);
        assert_eq!(in_turn(&[], Some(0), 2), [0]);
    }
}
