//! One colony's answer as a keeper reads it, at length.

use crate::standing::standing;
use crate::text;
use crate::texts::{either, said};
use crate::words::{Units, day, frames, in_ten};
use crate::{feeding, margins};
use partywall_core::answer::run::RunResult;
use partywall_core::calendar::words;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::lasting::Heft;
use partywall_core::decision::reading::Reading;
use partywall_core::decision::result::ColonyResult;
use partywall_core::decision::result::Pairing;
use partywall_core::decision::stores::Target;
use partywall_core::ensemble::levels::Method;
use partywall_core::season::outcome::Starved;
use partywall_core::stand::Lift;

/// Whether a colony is killed by cold in most winters, so that no weight helps it.
pub(super) fn too_small(c: &ColonyResult) -> bool {
    2 * c.too_cold > c.winters.len()
}

/// One colony's answer, a paragraph each.
pub(super) fn long(r: &RunResult, c: &ColonyResult, u: Units) -> Vec<String> {
    let n = c.winters.len();
    let coldest = margins::coldest(c, u).map(|w| text!("colony.coldest", hour = w));
    if too_small(c) {
        let why = text!(
            "colony.winters_outermost_bees_would",
            too_cold = c.too_cold,
            winters = n,
            hours = format!("{:.0}", c.coma_lethal_h),
            combined = said("margins.combined")
        );
        let weakest = text!("colony.weakest", moment = margins::weakest(c, u));
        return [why, weakest].into_iter().chain(coldest).collect();
    }
    let dies = c.dies.iter();
    let mut t: Vec<String> = dies
        .map(|day| text!("colony.taken_die_rest_told", day))
        .collect();
    t.extend(match (&c.target, &c.advice) {
        (Some(g), Some(a)) => target(r, c, g, a, u),
        _ => no_target(r, c, u),
    });
    t.extend(c.advice.iter().flat_map(|a| margins::paragraphs(c, a, u)));
    t.extend(coldest);
    let pairing = c.pairing.as_ref().map(|p| pairing(p, n, u));
    t.extend(pairing.map(|p| text!("colony.together_against_apart", differences = p)));
    t
}

/// Fewer than five winters: what was eaten in each.
fn no_target(r: &RunResult, c: &ColonyResult, u: Units) -> Vec<String> {
    let now = text!(
        "colony.now_stores_eaten",
        stores = u.mass(c.stores),
        first_nectar = r.first_nectar
    );
    let winters = c.winters.iter().map(|w| {
        let out = w.starved.map_or_else(String::new, |s| {
            text!(
                "colony.but_would_have_starved",
                date = day(s.date),
                beside = beside(&s, u)
            )
        });
        format!("{}: {}{out}", w.winter, u.mass(w.eaten))
    });
    [now].into_iter().chain(winters).collect()
}

fn target(r: &RunResult, c: &ColonyResult, g: &Target, a: &Advice, u: Units) -> Vec<String> {
    let mut t = Vec::new();
    // No weight is asked for that this hive cannot have.
    if let Some([_, then]) = too_few_combs(g, a, u) {
        t.push(then);
    } else {
        if let Some(reading) = &a.headline() {
            t.push(lifts(c, reading, u));
            t.push(give_or_take(c, reading, u));
            if reading.one_side > 0.0 {
                let pair = either(
                    a.adjoining,
                    "colony.pair_worse_bees_eat",
                    "colony.lift_front_back_instead",
                );
                t.push(text!("colony.one_side_doubled_rough", pair));
            }
        }
        t.extend(at_the_start(g, a, u));
    }
    t.push(standing(c, g, a, u));
    t.extend(feeding::line(a, &r.start, u));
    t.push(as_frames(g, a, u));
    t.push(made_of(r, c, g, u));
    t.push(text!(
        "colony.scale_empty_hive_bees",
        tare = u.mass(c.tare),
        bees = u.mass(c.bees),
        pollen = u.mass(c.pollen),
        stores = u.need(g.stores)
    ));
    t.extend(c.club_stores.map(|club| beside_club(g, a, club, u)));
    t
}

/// What comes before all else where the combs cannot hold the stores needed, and what to do about it; `None` where they can.
pub(crate) fn too_few_combs(g: &Target, a: &Advice, u: Units) -> Option<[String; 2]> {
    a.beyond_combs?;
    Some([
        text!(
            "colony.these_combs_cannot_hold",
            stores = u.need(g.stores),
            capacity = u.mass(a.capacity)
        ),
        text!(
            "colony.give_another_box_more",
            capacity = u.mass(g.gross - g.stores + a.capacity)
        ),
    ])
}

/// The way of lifting and what each lift reads.
pub(super) fn lifts(c: &ColonyResult, reading: &Reading, u: Units) -> String {
    match c.lift {
        Lift::FrontAndBack => text!("colony.lift_front_back_turn", each = u.need(reading.each)),
        Lift::OneSide => text!("colony.lifted_at_one_side", each = u.need(reading.each)),
        Lift::Whole => text!("colony.whole_hive_scale"),
    }
}

/// What the scale should have read on the start date, where the headline is of a later day, and that the rest is told of it.
pub(crate) fn at_the_start(g: &Target, a: &Advice, u: Units) -> Option<String> {
    let k = a.asked?;
    Some(text!(
        "colony.day_weighing_should_have",
        start = words(k.start),
        gross = u.need(g.gross)
    ))
}

/// The reading below which to act on a day, as the hive is lifted; `None` where too few winters were run to tell.
pub(crate) fn act_below(h: &Heft, lift: Lift, u: Units) -> Option<String> {
    match lift {
        Lift::OneSide => h.each.map(|kg| u.need(kg)),
        Lift::Whole | Lift::FrontAndBack => h.gross.map(|kg| u.need(kg)),
    }
}

/// The reading's error, and what it is made of, largest first.
fn give_or_take(c: &ColonyResult, reading: &Reading, u: Units) -> String {
    let mut parts = [
        (reading.scale, said("colony.the_scale")),
        (
            reading.tare,
            either(
                c.tare_from_parts,
                "colony.tare_added_up_from",
                "colony.your_own_tare",
            ),
        ),
        (reading.bees, said("colony.count_bees")),
        (reading.pollen, "pollen"),
        (reading.one_side, said("colony.lifting_one_side_only")),
    ];
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<String> = parts
        .iter()
        .filter(|(kg, _)| *kg >= 0.5)
        .take(3)
        .map(|(kg, what)| text!("colony.part_of_error", kg = u.mass(*kg), what))
        .collect();
    text!(
        "colony.give_take_all_not",
        error = u.mass(reading.error),
        parts = words.join(", ")
    )
}

fn as_frames(g: &Target, a: &Advice, u: Units) -> String {
    let boxes: Vec<String> = a
        .frames
        .iter()
        .rev()
        .map(|b| {
            text!(
                "colony.frames_of_box",
                needed = frames(b.needed),
                frames = b.frames,
                pattern = b.pattern,
                now = frames(b.now)
            )
        })
        .collect();
    let room = if g.stores > a.capacity {
        text!(
            "colony.these_combs_hold_only",
            capacity = u.mass(a.capacity)
        )
    } else {
        String::new()
    };
    text!(
        "colony.full_frames_honey_top",
        boxes = boxes.join(", "),
        room
    )
}

/// What the stores needed are made of.
fn made_of(r: &RunResult, c: &ColonyResult, g: &Target, u: Units) -> String {
    let n = c.winters.len().max(1) as f64;
    let fed: f64 = c.winters.iter().map(|w| w.fed_to_brood).sum::<f64>() / n;
    let flown: f64 = c.winters.iter().map(|w| w.flown).sum::<f64>() / n;
    let unreached = if g.unreached < 0.5 {
        text!("colony.bees_have_just_leave")
    } else {
        text!(
            "colony.left_behind_corners_bees",
            unreached = u.mass(g.unreached)
        )
    };
    text!(
        "colony.stores_needed_poor_winter",
        stores = u.need(g.stores),
        need_poor = u.need(g.need_poor),
        poor_winter = poor_winter(r, g),
        unreached,
        reserve = u.mass(g.reserve),
        need_middling = u.mass(g.need_middling),
        fed = u.mass(fed),
        flown = u.mass(flown)
    )
}

/// How the level was come by: counted, or reckoned from the winters' spread when they are too few to count.
pub(super) fn poor_winter(r: &RunResult, g: &Target) -> String {
    let enough = text!("colony.enough", level = in_ten(r.level));
    match g.level.method {
        Method::Rank => enough,
        Method::Spread => text!(
            "colony.winters_too_few_count",
            enough,
            winters = r.climate.winters.len()
        ),
    }
}

/// The local rule beside our figure, and which of the two to go by.
fn beside_club(g: &Target, a: &Advice, club: f64, u: Units) -> String {
    let said = text!("colony.your_club_says_stores", club = u.mass(club));
    let error = a.reading.map_or(g.tare_error, |r| r.error);
    if club - g.stores < error {
        return said;
    }
    text!(
        "colony.more_than_left_out",
        said,
        more = u.mass(club - g.stores),
        reading = u.need(g.gross - a.lighter() + club - g.stores)
    )
}

/// Honey beside which a colony starved, if it did.
fn beside(s: &Starved, u: Units) -> String {
    s.beside_honey.map_or_else(String::new, |kg| {
        text!("colony.beside_could_not_reach", honey = u.mass(kg))
    })
}

/// Less than this is no difference a scale could show, kg (a choice: half a pound, finer than a luggage scale reads).
const NO_DIFFERENCE: f64 = 0.25;

/// What side by side saves against apart.
pub(super) fn pairing(p: &Pairing, n: usize, u: Units) -> String {
    let honey = if p.saved_middling.abs() < NO_DIFFERENCE {
        text!("colony.no_difference_honey_scale")
    } else {
        let word = either(p.saved_middling > 0.0, "colony.less", "colony.more");
        text!(
            "colony.honey_middling_winter_less",
            saved_middling = u.mass(p.saved_middling.abs()),
            saved_share = format!("{:.0}", 100.0 * p.saved_share.abs()),
            less_or_more = word,
            winters_better = p.winters_better,
            winters = n
        )
    };
    let hand = p.heat_in_hand_gained;
    let margin = if hand.abs() < 0.5 {
        text!("colony.weakest_moment_safe_either")
    } else {
        text!(
            "colony.weakest_moment_safer",
            kelvins = u.kelvin(hand.abs()),
            how = either(hand > 0.0, "colony.together", "colony.apart")
        )
    };
    format!("{honey}; {margin}")
}
