//! One colony's answer as a keeper reads it, at length.

use crate::standing::standing;
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

/// Whether a colony is killed by cold in most winters, so that no weight helps it.
pub(super) fn too_small(c: &ColonyResult) -> bool {
    2 * c.too_cold > c.winters.len()
}

/// One colony's answer, a paragraph each.
pub(super) fn long(r: &RunResult, c: &ColonyResult, u: Units) -> Vec<String> {
    let n = c.winters.len();
    let coldest = margins::coldest(c, u).map(|w| format!("Coldest {w}"));
    if too_small(c) {
        let why = format!(
            "In {} of {n} winters the outermost bees would have sat stiff with cold for more than {:.0} hours, which kills. \
             No weight on the scale helps: combine it in autumn with a colony that has been seen to be healthy ({}), or give it more bees.",
            c.too_cold,
            c.coma_lethal_h,
            margins::COMBINED
        );
        let weakest = format!("Weakest {}", margins::weakest(c, u));
        return [why, weakest].into_iter().chain(coldest).collect();
    }
    let dies = c.dies.iter();
    let mut t: Vec<String> = dies
        .map(|day| format!("Taken to die on {day}; the rest is told up to then"))
        .collect();
    t.extend(match (&c.target, &c.advice) {
        (Some(g), Some(a)) => target(r, c, g, a, u),
        _ => no_target(r, c, u),
    });
    t.extend(c.advice.iter().flat_map(|a| margins::paragraphs(c, a, u)));
    t.extend(coldest);
    let pairing = c.pairing.as_ref().map(|p| pairing(p, n, u));
    t.extend(pairing.map(|p| format!("Together against apart: {p}")));
    t
}

/// Fewer than five winters: what was eaten in each.
fn no_target(r: &RunResult, c: &ColonyResult, u: Units) -> Vec<String> {
    let now = format!(
        "Now {} of stores; eaten to {}:",
        u.mass(c.stores),
        r.first_nectar
    );
    let winters = c.winters.iter().map(|w| {
        let out = w.starved.map_or_else(String::new, |s| {
            format!(
                ", but it would have starved on {}{}",
                day(s.date),
                beside(&s, u)
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
                let pair = if a.adjoining {
                    " In a pair it is worse: bees eat from the centre wall outwards, so the outer side reads too heavy late in winter. \
                     Lift front and back instead, or weigh before you butt the stacks together."
                } else {
                    " Lift front and back instead."
                };
                t.push(format!(
                    "One side doubled is rough: stores that hang to one side count twice.{pair}"
                ));
            }
        }
        t.extend(at_the_start(g, a, u));
    }
    t.push(standing(c, g, a, u));
    t.extend(feeding::line(a, &r.start, u));
    t.push(as_frames(g, a, u));
    t.push(made_of(r, c, g, u));
    t.push(format!(
        "On the scale: empty hive {}, bees {}, pollen {}, stores {}",
        u.mass(c.tare),
        u.mass(c.bees),
        u.mass(c.pollen),
        u.need(g.stores)
    ));
    t.extend(c.club_stores.map(|club| beside_club(g, a, club, u)));
    t
}

/// What comes before all else where the combs cannot hold the stores needed, and what to do about it; `None` where they can.
pub(crate) fn too_few_combs(g: &Target, a: &Advice, u: Units) -> Option<[String; 2]> {
    a.beyond_combs?;
    Some([
        format!(
            "these combs cannot hold what it needs: {} of stores needed, {} held when all are full",
            u.need(g.stores),
            u.mass(a.capacity)
        ),
        format!(
            "Give it another box or more combs of honey, or combine it with a colony that has been seen to be healthy. Filled to the last comb, \
             this hive reads {}, and by that it would still be short of a poor winter's stores",
            u.mass(g.gross - g.stores + a.capacity)
        ),
    ])
}

/// The way of lifting and what each lift reads.
pub(super) fn lifts(c: &ColonyResult, reading: &Reading, u: Units) -> String {
    match c.lift {
        "front and back" => format!(
            "Lift front and back in turn and add: about {} each",
            u.need(reading.each)
        ),
        "one side" => format!("Lifted at one side: {}", u.need(reading.each)),
        _ => "The whole hive on the scale".to_owned(),
    }
}

/// What the scale should have read on the start date, where the headline is of a later day, and that the rest is told of it.
pub(crate) fn at_the_start(g: &Target, a: &Advice, u: Units) -> Option<String> {
    let k = a.asked?;
    Some(format!(
        "On {}, the day of the weighing, it should have read {}; stores and frames below are told of that day",
        words(k.start),
        u.need(g.gross)
    ))
}

/// The reading below which to act on a day, as the hive is lifted; `None` where too few winters were run to tell.
pub(crate) fn act_below(h: &Heft, lift: &str, u: Units) -> Option<String> {
    match lift {
        "one side" => h.each.map(|kg| u.need(kg)),
        _ => h.gross.map(|kg| u.need(kg)),
    }
}

/// The reading's error, and what it is made of, largest first.
fn give_or_take(c: &ColonyResult, reading: &Reading, u: Units) -> String {
    let mut parts = [
        (reading.scale, "the scale"),
        (
            reading.tare,
            if c.tare_from_parts {
                "a tare added up from parts (weigh your own empty set)"
            } else {
                "your own tare"
            },
        ),
        (reading.bees, "the count of bees"),
        (reading.pollen, "pollen"),
        (reading.one_side, "lifting one side only"),
    ];
    parts.sort_by(|a, b| b.0.total_cmp(&a.0));
    let words: Vec<String> = parts
        .iter()
        .filter(|(kg, _)| *kg >= 0.5)
        .take(3)
        .map(|(kg, what)| format!("{} for {what}", u.mass(*kg)))
        .collect();
    format!(
        "Give or take {} in all: {}. Not in it: colonies that look alike eat up to twice or half as much",
        u.mass(reading.error),
        words.join(", ")
    )
}

fn as_frames(g: &Target, a: &Advice, u: Units) -> String {
    let boxes: Vec<String> = a
        .frames
        .iter()
        .rev()
        .map(|b| {
            format!(
                "{} of {} in the {} (now {})",
                frames(b.needed),
                b.frames,
                b.pattern,
                frames(b.now)
            )
        })
        .collect();
    let room = if g.stores > a.capacity {
        format!(
            ". These combs hold {} only: the colony needs more of them",
            u.mass(a.capacity)
        )
    } else {
        String::new()
    };
    format!(
        "Full frames of honey, top box first: {}{room}",
        boxes.join(", ")
    )
}

/// What the stores needed are made of.
fn made_of(r: &RunResult, c: &ColonyResult, g: &Target, u: Units) -> String {
    let n = c.winters.len().max(1) as f64;
    let fed: f64 = c.winters.iter().map(|w| w.fed_to_brood).sum::<f64>() / n;
    let flown: f64 = c.winters.iter().map(|w| w.flown).sum::<f64>() / n;
    let unreached = if g.unreached < 0.5 {
        "bees that have just that leave next to nothing behind".to_owned()
    } else {
        format!(
            "{} is left behind in corners by bees that have just what a winter takes (with more honey than that it is not missed: see reach)",
            u.mass(g.unreached)
        )
    };
    format!(
        "Stores needed {}: a poor winter takes {} ({}), {unreached}, {} is kept in reserve. A middling winter takes {}, of \
         which {} goes into brood, mostly in spring, and {} into flights",
        u.need(g.stores),
        u.need(g.need_poor),
        poor_winter(r, g),
        u.mass(g.reserve),
        u.mass(g.need_middling),
        u.mass(fed),
        u.mass(flown)
    )
}

/// How the level was come by: counted, or reckoned from the winters' spread when they are too few to count.
pub(super) fn poor_winter(r: &RunResult, g: &Target) -> String {
    let enough = format!("enough for {}", in_ten(r.level));
    match g.level.method {
        Method::Rank => enough,
        Method::Spread => format!(
            "{enough}; {} winters are too few to count that, so it is reckoned from how much they differ",
            r.climate.winters.len()
        ),
    }
}

/// The local rule beside our figure, and which of the two to go by.
fn beside_club(g: &Target, a: &Advice, club: f64, u: Units) -> String {
    let said = format!("Your club says {} of stores", u.mass(club));
    let error = a.reading.map_or(g.tare_error, |r| r.error);
    if club - g.stores < error {
        return said;
    }
    format!(
        "{said}, {} more than this: left out here are robbing, damp, and colonies that eat more than most. \
         Until you know your own hives, go by the club's: then the scale should read {}",
        u.mass(club - g.stores),
        u.need(g.gross - a.lighter() + club - g.stores)
    )
}

/// Honey beside which a colony starved, if it did.
fn beside(s: &Starved, u: Units) -> String {
    s.beside_honey.map_or_else(String::new, |kg| {
        format!(" beside {} that it could not reach", u.mass(kg))
    })
}

/// Less than this is no difference a scale could show, kg (a choice: half a pound, finer than a luggage scale reads).
const NO_DIFFERENCE: f64 = 0.25;

/// What side by side saves against apart.
pub(super) fn pairing(p: &Pairing, n: usize, u: Units) -> String {
    let honey = if p.saved_middling.abs() < NO_DIFFERENCE {
        "no difference in honey that a scale would show".to_owned()
    } else {
        let word = if p.saved_middling > 0.0 {
            "less"
        } else {
            "more"
        };
        format!(
            "{} ({:.0} in 100) {word} honey in a middling winter, less in {} of {n} winters",
            u.mass(p.saved_middling.abs()),
            100.0 * p.saved_share.abs(),
            p.winters_better
        )
    };
    let hand = p.heat_in_hand_gained;
    let margin = if hand.abs() < 0.5 {
        "the weakest moment is as safe either way".to_owned()
    } else {
        format!(
            "the weakest moment is {} safer {}",
            u.kelvin(hand.abs()),
            if hand > 0.0 { "together" } else { "apart" }
        )
    };
    format!("{honey}; {margin}")
}
