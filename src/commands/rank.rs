//! `partywall rank`: the changes that make sense for a hive, and what each buys.

use super::compare::{AS_WRITTEN, Parts};
use super::contest::{self, Forms, Ground};
use super::{Failure, files, reports};
use crate::cli::{Grid, RankArgs};
use crate::decision::changes::{Change, changes};
use crate::decision::gains::{Standing, gain, of_stack};
use crate::decision::margins::BEES_PER_DEEP_FRAME;
use crate::decision::ranking::{Outcome, rank};
use crate::decision::too_small::too_small;
use crate::decision::uncertainty::{by_scale, doubts};
use crate::decision::whole::whole;
use crate::ensemble::draws::{Fate, Fates, miscounted};
use crate::report::contest::Told;
use crate::report::ranking::{self, RankResult, RankedColony, SCHEMA};
use crate::scenario::{Loaded, Source, dates};
use std::io::Write;

/// Ranks and writes the answer to `out`, warnings and progress to standard error.
///
/// # Errors
/// Input that cannot be used, an output folder that cannot be written, a failed run.
pub fn run(
    args: &RankArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.contest.threads);
    let (source, family) = super::open_family(&args.scenario, args.contest.climate.as_deref())?;
    let mut base = family.base;
    contest::under(&mut base.scenario, &args.contest);
    write!(err, "{}", crate::diagnostic::render(&base.warnings, colour))?;
    let folder = contest::folder(&args.contest)?;
    let ground = Ground::lay(
        &args.contest,
        Grid::Coarse,
        &[(args.scenario.as_str(), &base.scenario)],
        err,
        colour,
    )?;
    let mut told = Told::default();
    told.add(AS_WRITTEN, &base.warnings);
    let result = ranked(&ground, &source, &base, args, &told)?;
    let forms = Forms {
        text: ranking::text(&result),
        json: serde_json::to_vec_pretty(&result)?,
        csv: ranking::csv(&result).map_err(Failure::fault)?,
    };
    if let Some(folder) = folder {
        forms.save(&folder)?;
        files::put(
            &folder,
            "changes.toml",
            ranking::variants(&result).as_bytes(),
        )?;
        reports::rank(&folder, &result, &args.scenario)?;
    }
    forms.print(args.contest.format, out)
}

fn ranked(
    ground: &Ground,
    source: &Source,
    base: &Loaded,
    args: &RankArgs,
    told: &Told,
) -> Result<RankResult, Failure> {
    let s = &base.scenario;
    let (start, end) = (s.season.start, s.season.first_nectar);
    let on = args
        .on
        .filter(|d| dates::within(start, end, *d))
        .unwrap_or(start);
    let drawn = ground.drawn();
    let mut draws = ground.plain(s)?;
    draws.extend(ground.mixed(s)?);
    let miscounts = miscounted(drawn.winters, s.stacks.len(), &ground.parameters(s)?);
    draws.extend(miscounts.iter().cloned());
    // The hive as it is comes first: which way honey goes hangs on who has some to spare.
    let now: Fates = ground
        .run(&ground.entrants(vec![(s.clone(), draws)])?)?
        .pop()
        .unwrap_or_default();
    let parts = Parts::of(&now, drawn);
    let standings = (0..s.stacks.len())
        .map(|k| ground.standing(s, k, &of_stack(parts.plain, k)))
        .collect::<Result<Vec<Option<Standing>>, Failure>>()?;
    let spare: Vec<Option<f64>> = standings
        .iter()
        .zip(&s.stacks)
        .map(|(st, k)| {
            let c = k.colony.as_ref()?;
            let st = (*st)?;
            // Below five winters no level is known; the middling winter tells as well who has more.
            Some(st.spare.unwrap_or(c.stores - st.need_middling))
        })
        .collect();
    let found = changes(
        source,
        base,
        &spare,
        on,
        &ground.takes_syrup(s, on, parts.plain)?,
    )?;
    let mut tasks = Vec::new();
    let mut kept: Vec<Change> = Vec::new();
    for (change, mut scenario) in found.all {
        contest::under(&mut scenario, &args.contest);
        let draws = ground.mixed(&scenario)?;
        tasks.push((scenario, draws));
        kept.push(change);
    }
    let fates = ground.run(&ground.entrants(tasks)?)?;
    let stacks: Vec<usize> = (0..s.stacks.len())
        .filter(|k| s.stacks[*k].colony.is_some())
        .collect();
    // By colony, then by change.
    let by_colony: Vec<Vec<Vec<Option<Fate>>>> = stacks
        .iter()
        .map(|k| fates.iter().map(|f| of_stack(f, *k)).collect())
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
            whole: whole(parts.mixed, &fates[i]),
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
            ranking: rank(
                &outcomes,
                all,
                c,
                found.top_foam_now,
                standing.spare.is_none_or(|kg| kg < 0.0),
            ),
            doubts: doubts(
                colony,
                &of_stack(parts.plain, *k),
                &of_stack(parts.mixed, *k),
                &of_stack(parts.miscounted, *k),
                &factors,
                &ground.sets.sets,
            ),
            weighed: by_scale(colony),
            too_small: too_small(
                colony.bees,
                standing.heat_in_hand,
                (standing.too_cold, standing.winters),
                s.level,
            ),
            deep_frames: colony.bees / BEES_PER_DEEP_FRAME,
        });
    }
    Ok(RankResult {
        head: ground.head(SCHEMA, &s.title, s, told),
        changes: outcomes,
        left_out: found.left_out,
        colonies,
    })
}
