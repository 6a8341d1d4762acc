//! What a keeper sees to on a hive, as short lines with a box to tick: one source for the sheet as text and for the report's.

use super::looks::{Looks, short};
use super::words::{Units, day, sugar_over};
use partywall_core::calendar;
use partywall_core::climate::series::Winter;
use partywall_core::climate::wraps::{self, COLD_NIGHT_C, WARM_DAY_C, WARM_DAYS};
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;
use partywall_core::materials::in_words;
use partywall_core::stand::{GapState, Joint, OpeningPlace, Scenario, Season, Stack};
use partywall_core::units::format::length;

/// What the reading below which to act means, on every sheet.
pub(super) const BELOW: &str = "below it, stores no longer last to nectar with the reserve. Sugar on the frames before they run out (update \
                                tells by when)";

/// What the jobs are told from.
pub struct Jobs<'a> {
    /// The scenario as used.
    pub scenario: &'a Scenario,
    /// The winters run.
    pub winters: &'a [Winter],
    /// Units they are told in.
    pub units: Units,
}

/// All jobs on stack number `i`, from 0 at the left.
pub(super) fn all(p: &Jobs<'_>, i: usize, stack: &Stack, c: &ColonyResult) -> Vec<String> {
    let mut list = tasks(p.scenario, i, stack);
    list.extend(dated(p, stack, c));
    list.extend(hungry_beside(c, p.units));
    list
}

/// When to look.
pub(super) fn looks(season: &Season, c: &ColonyResult) -> Looks {
    let starved = c.winters.iter().filter_map(|w| w.starved);
    let starved: Vec<_> = starved.map(|s| s.date).collect();
    Looks::of(season, &starved)
}

/// What is done on a day: as far as the winters run tell it, else what to go by.
fn dated(p: &Jobs<'_>, stack: &Stack, c: &ColonyResult) -> Vec<String> {
    let (u, known) = (p.units, wraps::usual(p.winters));
    let (cold, warm) = (u.temperature(COLD_NIGHT_C), u.temperature(WARM_DAY_C));
    let heft = format!(
        "Heft first on {}, then as in the table: {BELOW}, on ________",
        c.advice.as_ref().map_or_else(
            || looks(&p.scenario.season, c).first,
            |a| short(a.first_heft)
        )
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
                    .max_by_key(|d| calendar::into_season(p.scenario.season.start, *d))
                    .unwrap_or(d))
            ),
            None => format!("Unwrap when highs pass {warm} day after day. Done on ________"),
        },
    ]
}

/// What to do where weight does not tell: bees may starve beside honey in a heavy hive.
fn hungry_beside(c: &ColonyResult, u: Units) -> Option<String> {
    let reach = c.advice.as_ref()?.margins.reach.word;
    (reach != Word::Comfortable).then(|| {
        format!(
            "However heavy it is, in mid-winter: {}. Done on ________",
            sugar_over(u)
        )
    })
}

/// What is there to be seen to on the hive as the scenario has it: nothing that it has not.
fn tasks(s: &Scenario, i: usize, stack: &Stack) -> Vec<String> {
    let mut list =
        vec!["Mites counted: ____ in 100 bees, on ________; treated ________".to_owned()];
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
    let layers = |l: &[partywall_core::stand::Layer]| {
        let words: Vec<String> = l
            .iter()
            .map(|l| format!("{} {}", length(l.thickness), in_words(&l.material)))
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
        if let Joint::Adjoining { gap, state, .. } = joint {
            let state = match state {
                GapState::Touching => "boards touch".to_owned(),
                GapState::Closed => format!("gap of {} taped", length(*gap)),
                GapState::Filled(m) => {
                    format!("gap of {} filled with {}", length(*gap), in_words(m))
                }
                GapState::Open => format!("gap of {} open", length(*gap)),
            };
            list.push(format!("Beside the neighbour: {state}"));
        }
    }
    if stack.ledge.shelf {
        list.push("Shelf board under the overhang".to_owned());
    }
    list.push("Strapped, tilted towards the entrance, wind kept off".to_owned());
    list
}
