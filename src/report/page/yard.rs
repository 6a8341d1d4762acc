//! What goes to the yard: one sheet for each hive, large type, boxes to tick, lines to write on.

use super::Page;
use super::sheet::{feeding, looks};
use crate::climate::wraps::{self, COLD_NIGHT_C, WARM_DAY_C, WARM_DAYS};
use crate::decision::margins::Word;
use crate::report::colony_text::{act_below, standing};
use crate::report::looks::short;
use crate::report::result::ColonyResult;
use crate::report::words::{Units, day, sugar_over};
use crate::scenario::dates;
use crate::scenario::model::{GapState, Joint, OpeningPlace, Scenario, Stack};
use crate::units::format::length;

/// The sheet of one hive.
pub struct Yard {
    /// Name of the hive.
    pub name: String,
    /// Target reading and what each lift must show, if there is a target.
    pub target: Option<[String; 2]>,
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
                .map(|g| [Units::Both.need(g.gross), Units::Both.need(g.per_lift)]),
            lift: c.lift,
            columns: match c.lift {
                "front and back" => &["Front", "Back", "Sum"],
                "one side" => &["That side"],
                _ => &["Weight"],
            },
            feed: match (&c.target, &c.advice) {
                (Some(g), Some(a)) => {
                    format!("{}. {}.", standing(c, g, a, Units::Both), feeding(a))
                }
                _ => "No target: fewer than five winters were run.".to_owned(),
            },
            tasks: {
                let mut list = tasks(s, i, stack);
                list.extend(dated(p, stack, c));
                list.extend(hungry_beside(c));
                list
            },
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

/// What is done on a day: as far as the winters run tell it, else what to go by.
fn dated(p: &Page<'_>, stack: &Stack, c: &ColonyResult) -> Vec<String> {
    let (u, known) = (Units::Both, wraps::usual(p.winters));
    let (cold, warm) = (u.temperature(COLD_NIGHT_C), u.temperature(WARM_DAY_C));
    let heft = format!(
        "Heft first on {}, then on the days in the table; if it weighs less than it says there, sugar on the frames at once, on ________",
        looks(&p.scenario.season, c).first
    );
    let sides = &stack.cladding;
    if [&sides.left, &sides.right, &sides.back, &sides.front]
        .iter()
        .all(|l| l.is_empty())
    {
        return vec![heft];
    }
    vec![
        match known.on {
            Some(d) => format!(
                "Wrap about {}: by then nights had reached {cold} in half of the winters run, and bees hardly fly. Done on ________",
                day(d)
            ),
            None => format!("Wrap when bees no longer fly, nights near {cold}. Done on ________"),
        },
        heft,
        match known.off {
            Some(d) => format!(
                "Unwrap not before {}: by then nights of {cold} were over in half of the winters run, {WARM_DAYS} days running had passed {warm}, \
                 and the weakest moment of all was past. Done on ________",
                day([d, c.weakest.moment.time.date()]
                    .into_iter()
                    .max_by_key(|d| dates::into_season(p.scenario.season.start, *d))
                    .unwrap_or(d))
            ),
            None => format!("Unwrap when highs pass {warm} day after day. Done on ________"),
        },
    ]
}

/// What to do where weight does not tell: bees may starve beside honey in a heavy hive.
fn hungry_beside(c: &ColonyResult) -> Option<String> {
    let reach = c.advice.as_ref()?.margins.reach.word;
    (reach != Word::Comfortable).then(|| {
        format!(
            "However heavy it is, in mid-winter: {}. Done on ________",
            sugar_over(Units::Both)
        )
    })
}

fn tasks(s: &Scenario, i: usize, stack: &Stack) -> Vec<String> {
    let mut list = vec!["Mites counted: ____ in 100 bees, on ________".to_owned()];
    for o in &stack.openings {
        let round = length((4.0 * o.area / std::f64::consts::PI).sqrt());
        list.push(match o.place {
            OpeningPlace::Floor => format!(
                "Entrance {} wide, {} high; mouse guard on",
                length(o.area / o.height),
                length(o.height)
            ),
            OpeningPlace::Box(b) => {
                format!("Hole in box {}: as a round one of {round}", b + 1)
            }
            OpeningPlace::Head => format!("Hole under the lid: as a round one of {round}"),
        });
    }
    let layers = |l: &[crate::scenario::model::Layer]| {
        let words: Vec<String> = l
            .iter()
            .map(|l| format!("{} {}", length(l.thickness), l.material))
            .collect();
        words.join(" and ")
    };
    if !stack.top.is_empty() {
        list.push(format!("Over the frames: {}", layers(&stack.top)));
    }
    let sides = &stack.cladding;
    let widest = [&sides.left, &sides.right, &sides.back, &sides.front]
        .into_iter()
        .max_by_key(|l| l.len());
    if let Some(l) = widest.filter(|l| !l.is_empty()) {
        list.push(format!("Around the sides: {}", layers(l)));
    }
    let joints = [
        i.checked_sub(1).and_then(|j| s.joints.get(j)),
        s.joints.get(i),
    ];
    for joint in joints.into_iter().flatten() {
        if let Joint::Butted { gap, state, .. } = joint {
            let state = match state {
                GapState::Touching => "boards touch".to_owned(),
                GapState::Closed => format!("gap of {} taped", length(*gap)),
                GapState::Filled(m) => format!("gap of {} filled with {m}", length(*gap)),
                GapState::Open => format!("gap of {} open", length(*gap)),
            };
            list.push(format!("Beside the neighbour: {state}"));
        }
    }
    if stack.ledge.shelf {
        list.push("Shelf board under the overhang".to_owned());
    }
    list.push("Strapped, tilted towards the entrance, windbreak stands".to_owned());
    list
}
