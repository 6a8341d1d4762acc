//! What a run leaves in its folder.

use super::super::{Failure, pictures};
use crate::files::output::Output;
use partywall_core::answer::RunAnswer;
use partywall_core::climate::series::Winter;
use partywall_core::season::WinterRun;
use partywall_core::season::outcome::WinterOutcome;
use partywall_core::season::trace::Trace;
use partywall_report::csv;
use partywall_report::pictures::Picture;
use std::sync::atomic::AtomicBool;

/// A winter gone through hour by hour.
struct Traced {
    /// Its index.
    winter: usize,
    outcome: WinterOutcome,
    trace: Trace,
}

/// Index of the winter with the weakest moment of each colony: that which page one tells.
fn weakest(outcomes: &[WinterOutcome]) -> Vec<usize> {
    let colonies = outcomes.first().map_or(0, |o| o.colonies.len());
    let hand = |w: usize, c: usize| {
        let mine = outcomes[w].colonies.get(c);
        mine.map_or(f64::INFINITY, |m| m.weakest.heat_in_hand)
    };
    (0..colonies)
        .filter_map(|c| (0..outcomes.len()).min_by(|a, b| hand(*a, c).total_cmp(&hand(*b, c))))
        .collect()
}

/// Goes through a winter once more, as the scenario stands, and keeps its hours as CSV.
fn trace(
    folder: &Output,
    ask: &RunAnswer,
    winter: usize,
    stop: &AtomicBool,
) -> Result<Traced, Failure> {
    let arrangement = &ask.arrangements[0];
    let mut trace = Trace::default();
    let winter_run = WinterRun {
        scenario: &arrangement.scenario,
        stand: &arrangement.stand,
        winter: &ask.winters[winter],
        parameters: &ask.parameters,
        stop,
    };
    let outcome = winter_run.run(ask.model, Some(&mut trace))?;
    let stacks = arrangement.scenario.stacks.iter();
    let stacks: Vec<String> = stacks
        .filter(|s| s.colony.is_some())
        .map(|s| s.name.clone())
        .collect();
    let name = format!("trace-{}.csv", winter_run.winter.label.replace('/', "-"));
    let rows = csv::trace(&trace, &stacks).map_err(Failure::fault)?;
    folder.put(&name, &rows)?;
    Ok(Traced {
        winter,
        outcome,
        trace,
    })
}

/// JSON, the winters as CSV, hour by hour the coldest winter run and those with a colony's weakest moment, and the pictures.
pub(super) fn save(
    folder: &Output,
    ask: &RunAnswer,
    stop: &AtomicBool,
) -> Result<Vec<Picture>, Failure> {
    let (result, outcomes) = (&ask.result, &ask.outcomes[0]);
    let mut drawn = Vec::new();
    let arrangement = &ask.arrangements[0];
    folder.put("result.json", &serde_json::to_vec_pretty(result)?)?;
    folder.put(
        "winters.csv",
        &csv::winters(result).map_err(Failure::fault)?,
    )?;
    let mean = |w: &Winter| w.hours.iter().map(|h| h.outdoor_c).sum::<f64>() / w.hours.len() as f64;
    let all = 0..ask.winters.len();
    if let Some(coldest) =
        all.min_by(|a, b| mean(&ask.winters[*a]).total_cmp(&mean(&ask.winters[*b])))
    {
        let weakest = weakest(outcomes);
        let mut traced = Vec::new();
        for w in std::iter::once(coldest).chain(weakest.iter().copied()) {
            if traced.iter().all(|t: &Traced| t.winter != w) {
                traced.push(trace(folder, ask, w, stop)?);
            }
        }
        let inside = pictures::Inside {
            arrangements: &ask.arrangements,
            winters: &ask.winters,
            outcomes,
            traced: &ask.winters[coldest],
            parameters: &ask.parameters,
            stop,
            trace: &traced[0].trace,
        };
        drawn.extend(pictures::inside(folder, result, &inside)?);
        for (c, w) in weakest.iter().enumerate() {
            for t in traced.iter().filter(|t| t.winter == *w) {
                drawn.push(pictures::season_of(
                    folder, result, c, &t.outcome, &t.trace,
                )?);
            }
        }
    }
    let reserve = arrangement.scenario.reserve;
    drawn.extend(pictures::calendars(
        folder,
        result,
        &ask.winters,
        outcomes,
        reserve,
    )?);
    Ok(drawn)
}
