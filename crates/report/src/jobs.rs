//! What a keeper sees to on a hive, as short lines with a box to tick: one source for the sheet as text and for the report's.

use super::looks::{Looks, short};
use super::words::{Units, day, sugar_over};
use crate::text;
use crate::texts::said;
use partywall_core::calendar;
use partywall_core::climate::series::Winter;
use partywall_core::climate::wraps::{self, COLD_NIGHT_C, WARM_DAY_C, WARM_DAYS};
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;
use partywall_core::materials::in_words;
use partywall_core::stand::{GapState, Joint, OpeningPlace, Scenario, Season, Stack};
use partywall_core::units::format::length;

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
    let heft = text!(
        "jobs.heft_first_then_table",
        first_heft = c.advice.as_ref().map_or_else(
            || looks(&p.scenario.season, c).first,
            |a| short(a.first_heft)
        ),
        below = said(match c.target {
            Some(_) => "jobs.below",
            None => "jobs.weigh_only",
        })
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
            Some(d) => text!("jobs.wrap_about_then_nights", day = day(d), cold),
            None => text!("jobs.wrap_when_bees_no", cold),
        },
        heft,
        match known.off {
            Some(d) => text!(
                "jobs.unwrap_not_before_then",
                day = day([d, c.weakest.moment.time.date()]
                    .into_iter()
                    .max_by_key(|d| calendar::into_season(p.scenario.season.start, *d))
                    .unwrap_or(d)),
                cold,
                warm_days = WARM_DAYS,
                warm
            ),
            None => text!("jobs.unwrap_when_highs_pass", warm),
        },
    ]
}

/// What to do where weight does not tell: bees may starve beside honey in a heavy hive.
fn hungry_beside(c: &ColonyResult, u: Units) -> Option<String> {
    let reach = c.advice.as_ref()?.margins.reach.word;
    (reach != Word::Comfortable)
        .then(|| text!("jobs.however_heavy_mid_winter", sugar_over = sugar_over(u)))
}

/// What is there to be seen to on the hive as the scenario has it: nothing that it has not.
fn tasks(s: &Scenario, i: usize, stack: &Stack) -> Vec<String> {
    let mut list = vec![text!("jobs.mites_counted_bees_treated")];
    for o in &stack.openings {
        let round = length((4.0 * o.area / std::f64::consts::PI).sqrt());
        list.push(match o.place {
            OpeningPlace::Floor => text!(
                "jobs.entrance_wide_high_mouse",
                width = length(o.area / o.height),
                height = length(o.height)
            ),
            OpeningPlace::Box(b) => {
                text!("jobs.hole_box_round_one", number = b + 1, round)
            }
            OpeningPlace::Head => text!("jobs.hole_under_lid_round", round),
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
        list.push(text!("jobs.over_frames", top = layers(&stack.top)));
    }
    let sides = &stack.cladding;
    let widest = [&sides.left, &sides.right, &sides.back, &sides.front]
        .into_iter()
        .max_by_key(|l| l.len());
    if let Some(l) = widest.filter(|l| !l.is_empty()) {
        list.push(text!("jobs.around_sides", layers = layers(l)));
    }
    let joints = [
        i.checked_sub(1).and_then(|j| s.joints.get(j)),
        s.joints.get(i),
    ];
    for joint in joints.into_iter().flatten() {
        if let Joint::Adjoining { gap, state, .. } = joint {
            let state = match state {
                GapState::Touching => text!("jobs.boards_touch"),
                GapState::Closed => text!("jobs.gap_taped", gap = length(*gap)),
                GapState::Filled(m) => {
                    text!("jobs.gap_filled", gap = length(*gap), filler = in_words(m))
                }
                GapState::Open => text!("jobs.gap_open", gap = length(*gap)),
            };
            list.push(text!("jobs.beside_neighbour", state));
        }
    }
    if stack.ledge.shelf {
        list.push(text!("jobs.shelf_board_under_overhang"));
    }
    list.push(text!("jobs.strapped_tilted_towards_entrance"));
    list
}
