//! `partywall compare`: several hives on the same winters and the same kinds of colony.

use super::contest::{self, Forms, Ground, Named};
use super::{Failure, reports};
use crate::cli::{CompareArgs, Grid};
use partywall_core::calendar;
use partywall_core::decision::gains::{gain, of_stack};
use partywall_core::decision::pairing::{Part, steps};
use partywall_core::decision::uncertainty::{by_scale, doubts};
use partywall_core::ensemble::draws::{Draw, Fates, miscounted};
use partywall_core::ensemble::held::alike;
use partywall_core::problem::Problems;
use partywall_core::stand::Scenario;
use partywall_report::comparison::{self, CompareResult, ComparedColony, Row, SCHEMA, Split};
use partywall_report::contest::Told;
use partywall_report::phrases::Drawn;
use std::io::Write;
use std::path::Path;

/// Name of a scenario among its own variants.
pub(super) const AS_WRITTEN: &str = "as written";

/// Compares and writes the answer to `out`, warnings and progress to standard error.
///
/// # Errors
/// Input that cannot be used, an output folder that cannot be written, a failed run.
pub fn run(
    args: &CompareArgs,
    out: &mut dyn Write,
    err: &mut dyn Write,
    colour: bool,
) -> Result<(), Failure> {
    super::threads(args.contest.threads);
    let mut told = Told::default();
    let mut hives = hives(&args.scenarios, args.contest.climate.as_deref(), &mut told)?;
    write!(
        err,
        "{}",
        partywall_core::problem::render(&told.problems(), colour)
    )?;
    for (_, s) in &mut hives {
        contest::under(s, &args.contest);
    }
    let against = match &args.against {
        None => 0,
        Some(name) => position(&hives, name)?,
    };
    let folder = contest::folder(&args.contest)?;
    let named: Vec<(&str, &Scenario)> = hives.iter().map(|(n, s)| (n.as_str(), s)).collect();
    let ground = Ground::lay(&args.contest, Grid::Normal, &named, err, colour)?;
    let result = compared(&ground, &hives, against, &told)?;
    contest::mind(&result.head, err)?;
    let forms = Forms {
        text: comparison::text(&result),
        json: serde_json::to_vec_pretty(&result)?,
        csv: comparison::csv(&result).map_err(Failure::fault)?,
    };
    if let Some(folder) = folder {
        forms.save(&folder)?;
        reports::compare(&folder, &result, &args.scenarios)?;
    }
    forms.print(args.contest.format, out)
}

/// The hives to compare with their names: one file as written with its variants, or several files as written. What there is to look
/// at goes to `told`.
fn hives(
    words: &[String],
    weather: Option<&str>,
    told: &mut Told,
) -> Result<Vec<(String, Scenario)>, Failure> {
    let mut all = Vec::new();
    // What is wrong with any of the files is told at once.
    let (mut families, mut wrong) = (Vec::new(), Problems::default());
    for word in words {
        match super::open_family(word, weather) {
            Ok((_, family)) => families.push((word, family)),
            Err(Failure::Problems(p)) => {
                let new = p.0.into_iter().filter(|p| !wrong.0.contains(p));
                let new: Vec<_> = new.collect();
                wrong.0.extend(new);
            }
            Err(other) => return Err(other),
        }
    }
    if wrong.any_error() {
        return Err(Failure::Problems(wrong));
    }
    for (word, family) in families {
        if let [_] = words {
            told.add(AS_WRITTEN, &family.base.warnings);
            all.push((AS_WRITTEN.to_owned(), family.base.scenario));
            for v in family.variants {
                told.add(&v.name, &v.loaded.warnings);
                all.push((v.name, v.loaded.scenario));
            }
        } else {
            let stem = Path::new(word)
                .file_stem()
                .map(|s| s.to_string_lossy().into_owned());
            let stem = stem.unwrap_or_else(|| word.clone());
            let taken = all.iter().any(|(n, _)| *n == stem);
            let name = if taken { word.clone() } else { stem };
            told.add(&name, &family.base.warnings);
            all.push((name, family.base.scenario));
        }
    }
    if all.len() < 2 {
        return Err(Failure::Input(format!(
            "{} holds one hive only: there is nothing to compare it with\n\
             write [[variant]] with a name and what changes into it, name a second file, or try `partywall rank`",
            words.first().map_or("", String::as_str)
        )));
    }
    Ok(all)
}

fn position(hives: &[(String, Scenario)], name: &str) -> Result<usize, Failure> {
    let plain = name.trim().to_lowercase();
    let found = hives.iter().position(|(n, _)| n.to_lowercase() == plain);
    found.ok_or_else(|| {
        let names: Vec<&str> = hives.iter().map(|(n, _)| n.as_str()).collect();
        let help = partywall_core::units::nearest(&plain, names.iter().copied()).map_or_else(
            || format!("there are: {}", names.join(", ")),
            |n| format!("did you mean \"{n}\"?"),
        );
        Failure::Input(format!("--against: no hive is called \"{name}\"\n{help}"))
    })
}

fn compared(
    ground: &Ground,
    hives: &[(String, Scenario)],
    against: usize,
    told: &Told,
) -> Result<CompareResult, Failure> {
    let reference = &hives[against].1;
    let drawn = ground.drawn();
    let winters = drawn.winters;
    // Pairing is told of the hive held against, or of the first that stands together.
    let paired = std::iter::once(against)
        .chain(0..hives.len())
        .find_map(|i| Some((i, steps(&hives[i].1)?)));
    let mut tasks: Vec<(Scenario, Vec<Draw>)> = Vec::new();
    for (i, (_, s)) in hives.iter().enumerate() {
        let mut draws = ground.plain(s)?;
        draws.extend(ground.mixed(s)?);
        if i == against {
            draws.extend(miscounted(winters, s.stacks.len(), &ground.parameters(s)?));
        }
        tasks.push((s.clone(), draws));
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
    let entrants = ground.entrants(tasks)?;
    let mut fates = ground.run(&entrants)?;
    let between = fates.split_off(hives.len());
    let sorted: Vec<Parts<'_>> = fates.iter().map(|f| Parts::of(f, drawn)).collect();
    let named: Vec<Named<'_>> = hives
        .iter()
        .zip(entrants.iter().zip(&sorted))
        .map(|((name, _), (entrant, f))| Named {
            name,
            entrant,
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
                        name: name.clone(),
                        standing: None,
                        dies: None,
                        gain: None,
                    });
                };
                let (old, new) = (of_stack(mine.mixed, k), of_stack(f.mixed, there));
                let (old_plain, new_plain) = (of_stack(mine.plain, k), of_stack(f.plain, there));
                let dies = s.stacks[there].colony.as_ref().and_then(|c| c.dies);
                Ok(Row {
                    name: name.clone(),
                    dies: dies.map(calendar::words),
                    standing: ground.standing(s, there, &new_plain)?,
                    gain: (i != against && dies.is_none())
                        .then(|| gain(&old, &new, Some([&old_plain, &new_plain])))
                        .flatten(),
                })
            })
            .collect::<Result<Vec<Row>, Failure>>()?;
        let pairing = paired.as_ref().and_then(|(i, steps)| {
            let there = place(&hives[*i].1, &stack.name)?;
            let mut chain: Vec<_> = between.iter().map(|f| of_stack(f, there)).collect();
            chain.push(of_stack(sorted[*i].mixed, there));
            let parts: Vec<(Part, _)> = (1..chain.len())
                .filter_map(|n| Some((steps[n].0?, gain(&chain[n - 1], &chain[n], None)?)))
                .collect();
            Some(Split {
                of: hives[*i].0.clone(),
                whole: gain(&chain[0], chain.last()?, None)?,
                parts,
            })
        });
        let factors: Vec<f64> = bees.iter().filter_map(|b| b.get(k).copied()).collect();
        colonies.push(ComparedColony {
            stack: stack.name.clone(),
            rows,
            pairing,
            doubts: doubts(
                colony,
                &of_stack(mine.plain, k),
                &of_stack(mine.mixed, k),
                &of_stack(mine.miscounted, k),
                &factors,
                &ground.sets.sets,
            ),
            weighed: by_scale(colony),
        });
    }
    Ok(CompareResult {
        head: ground.head(SCHEMA, &hives[0].1.title, reference, (told, network)),
        against: hives[against].0.clone(),
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
    pub plain: &'a [Vec<Option<partywall_core::ensemble::draws::Fate>>],
    /// Each kind of colony.
    pub mixed: &'a [Vec<Option<partywall_core::ensemble::draws::Fate>>],
    /// Each winter with other counts of bees; empty but for one hive.
    pub miscounted: &'a [Vec<Option<partywall_core::ensemble::draws::Fate>>],
}

impl<'a> Parts<'a> {
    /// Sorts the draws in the order they were asked for.
    pub fn of(f: &'a Fates, drawn: Drawn) -> Self {
        let (plain, rest) = f.split_at(drawn.winters.min(f.len()));
        let (mixed, miscounted) = rest.split_at(drawn.colonies.min(rest.len()));
        Self {
            plain,
            mixed,
            miscounted,
        }
    }
}
