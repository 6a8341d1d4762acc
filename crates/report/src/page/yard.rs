//! What goes to the yard: one sheet for each hive, large type, boxes to tick, lines to write on.

use super::Page;
use super::sheet::feeding;
use crate::colony_text::{act_below, too_few_combs};
use crate::jobs::{self, Jobs};
use crate::looks::short;
use crate::phrases::capital;
use crate::standing::standing;
use crate::words::{Units, day};
use partywall_core::calendar::words;
use partywall_core::decision::result::ColonyResult;

/// The sheet of one hive.
pub struct Yard {
    /// Name of the hive.
    pub name: String,
    /// Target reading and what each lift must show, if there is a target.
    pub target: Option<[String; 2]>,
    /// The day it is of, where it was asked on a later one than the start.
    pub on: Option<String>,
    /// How the hive is lifted: two lifts, one side, or whole.
    pub lift: &'static str,
    /// What to feed.
    pub feed: String,
    /// What to do, each with a box to tick.
    pub tasks: Vec<String>,
    /// Date of the weakest moment of all winters.
    pub look: String,
    /// What is written into the log, by the way of lifting.
    pub columns: &'static [&'static str],
    /// The log: the days known beforehand with the reading below which to act, then room for others.
    pub log: Vec<[String; 2]>,
}

/// Rows of the log for days that are not known beforehand (a choice: after a gale, a robbing, a doubt).
const SPARE: usize = 3;

/// The sheets of all hives with a colony.
pub fn sheets(p: &Page<'_>) -> Vec<Yard> {
    let (s, r) = (p.scenario, p.result);
    let stacks = s.stacks.iter().enumerate();
    stacks
        .filter(|(_, k)| k.colony.is_some())
        .zip(&r.colonies)
        .map(|((i, stack), c)| Yard {
            name: stack.name.clone(),
            target: c
                .target
                .as_ref()
                .filter(|_| c.advice.as_ref().is_none_or(|a| a.beyond_combs.is_none()))
                .map(|g| {
                    let asked = c.advice.as_ref().and_then(|a| a.asked);
                    asked
                        .map_or([g.gross, g.per_lift], |k| [k.reading.gross, k.reading.each])
                        .map(|kg| Units::Both.need(kg))
                }),
            on: c
                .advice
                .as_ref()
                .and_then(|a| a.asked)
                .map(|k| words(k.day)),
            lift: c.lift,
            columns: match c.lift {
                "front and back" => &["Front", "Back", "Sum"],
                "one side" => &["That side"],
                _ => &["Weight"],
            },
            feed: match (&c.target, &c.advice) {
                (Some(g), Some(a)) => {
                    let u = Units::Both;
                    let first = too_few_combs(g, a, u)
                        .map_or_else(String::new, |w| format!("{}. ", capital(&w.join(". "))));
                    format!("{first}{}. {}.", standing(c, g, a, u), feeding(a))
                }
                _ => "No target: fewer than five winters were run.".to_owned(),
            },
            tasks: jobs::all(
                &Jobs {
                    scenario: s,
                    winters: p.winters,
                    units: Units::Both,
                },
                i,
                stack,
                c,
            ),
            look: day(c.weakest.moment.time.date()),
            log: log(c),
        })
        .collect()
}

/// The start date and all days to heft, each with its reading, and room for others.
fn log(c: &ColonyResult) -> Vec<[String; 2]> {
    let hefts = c.advice.iter().flat_map(|a| &a.hefts);
    let mut rows: Vec<[String; 2]> = hefts
        .map(|h| {
            [
                short(h.day),
                act_below(h, c.lift, Units::Both).unwrap_or_default(),
            ]
        })
        .collect();
    rows.resize(rows.len() + SPARE, Default::default());
    rows
}
