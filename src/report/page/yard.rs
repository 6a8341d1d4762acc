//! What goes to the yard: one sheet for each hive, large type, boxes to tick, lines to write on.

use super::sheet::feeding;
use crate::report::colony_text::standing;
use crate::report::pictures::axis::day;
use crate::report::result::RunResult;
use crate::report::words::{Units, day_of_year};
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
}

/// Dates to write in, with what to go by (common practice on the prairies and in the upper Midwest).
const DATES: [&str; 2] = [
    "Wrapped on ________ (bees no longer fly, nights near -10 C, 14 F)",
    "Unwrapped on ________ (highs pass 10 C, 50 F, day after day)",
];

/// The sheets of all hives with a colony.
pub fn sheets(s: &Scenario, r: &RunResult) -> Vec<Yard> {
    let stacks = s.stacks.iter().enumerate();
    stacks
        .filter(|(_, k)| k.colony.is_some())
        .zip(&r.colonies)
        .map(|((i, stack), c)| Yard {
            name: stack.name.clone(),
            target: c
                .target
                .as_ref()
                .map(|g| [Units::Both.mass(g.gross), Units::Both.mass(g.per_lift)]),
            lift: c.lift,
            feed: match (&c.target, &c.advice) {
                (Some(g), Some(a)) => {
                    format!("{}. {}.", standing(c, g, a, Units::Both), feeding(a))
                }
                _ => "No target: fewer than five winters were run.".to_owned(),
            },
            tasks: {
                let mut list = tasks(s, i, stack);
                list.extend(c.advice.as_ref().map(|a| {
                    format!(
                        "First heft on ________ (by {}, then every two weeks); sugar on ________ if light",
                        day_of_year(a.first_heft)
                    )
                }));
                list
            },
            look: day(c.weakest.moment.time.date()),
        })
        .collect()
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
    list.extend(DATES.map(str::to_owned));
    list
}
