//! Page one: what each colony needs, has and risks, in the words of the text answer.

use super::PageError;
use crate::colony_text::{at_the_start, lifts, pairing, poor_winter, too_few_combs};
use crate::feeding_text;
use crate::jobs::looks;
use crate::margins_text;
use crate::phrases::capital;
use crate::standing::standing;
use crate::words::Units;
use partywall_core::answer::run::RunResult;
use partywall_core::calendar::words;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;
use partywall_core::stand::Season;

/// A page shows both systems.
const U: Units = Units::Both;

/// One colony as page one shows it.
pub struct Colony {
    /// Name of the hive.
    pub name: String,
    /// The worst of the margins, "comfortable", "watch" or "act now", and which they are.
    pub status: (&'static str, String),
    /// What the scale must read; `None` with too few winters.
    pub target: Option<Target>,
    /// Rows of the table: what, and how much.
    pub rows: Vec<(&'static str, String)>,
    /// The margins besides stores: what, how much, and whether there is nothing to do about it.
    pub margins: Vec<(&'static str, String, bool)>,
    /// Side by side against apart, where it was compared.
    pub pairing: Option<String>,
}

/// The target reading.
pub struct Target {
    /// "57 kg (125 lb)".
    pub reading: String,
    /// The day it is of, where it was asked on a later one than the start.
    pub on: Option<String>,
    /// How it is lifted.
    pub lifts: String,
    /// Give or take.
    pub error: String,
}

/// What is left on the day of first nectar when so much has been eaten, both kg.
fn left(r: &RunResult, stores: f64, need: f64) -> String {
    let (rest, on) = (stores - need, &r.first_nectar);
    if rest < 0.0 {
        format!("none on {on}: {} too little", U.mass(-rest))
    } else {
        format!("{} on {on}", U.mass(rest))
    }
}

/// Stores there now with what the feeding planned adds, kg.
fn had(c: &ColonyResult) -> f64 {
    c.stores + c.planned.counted
}

/// What to feed and by when; empty when nothing is known of it.
pub fn feeding(a: &Advice) -> String {
    feeding_text::short(a, U)
}

/// Puts one colony together.
pub fn colony(r: &RunResult, c: &ColonyResult, season: &Season) -> Colony {
    let n = c.winters.len();
    let small = 2 * c.too_cold > n;
    let mut rows = Vec::new();
    let mut target = None;
    match (&c.target, &c.advice) {
        (Some(g), Some(a)) if !small => {
            let error = a.headline().map_or(g.tare_error, |r| r.error);
            if let Some(too_few) = too_few_combs(g, a, U) {
                rows.push(("Combs", capital(&too_few.join(". "))));
            } else {
                target = Some(Target {
                    reading: U.need(a.headline().map_or(g.gross, |k| k.gross)),
                    on: a.asked.map(|k| words(k.day)),
                    lifts: a.headline().map_or_else(String::new, |r| lifts(c, &r, U)),
                    error: U.mass(error),
                });
                if let Some(line) = at_the_start(g, a, U) {
                    rows.push(("At the start", line));
                }
            }
            rows.push(("On the scale", standing(c, g, a, U)));
            let feeding = feeding(a);
            if !feeding.is_empty() {
                rows.push(("Syrup", feeding));
            }
            rows.push((
                "When to look",
                format!("heft it on {}", looks(season, c).words()),
            ));
            rows.push((
                "Left over",
                format!(
                    "{}in a middling winter {}, in a poor one {} ({})",
                    if c.planned.given > 0.0 {
                        "with the feeding you plan, "
                    } else {
                        ""
                    },
                    left(r, had(c), g.need_middling),
                    left(r, had(c), g.need_poor),
                    poor_winter(r, g)
                ),
            ));
        }
        _ => {
            rows.push(("Stores now", U.mass(c.stores)));
            let mut eaten: Vec<f64> = c.winters.iter().map(|w| w.eaten).collect();
            eaten.sort_by(f64::total_cmp);
            if let (Some(least), Some(most)) = (eaten.first(), eaten.last()) {
                rows.push(("Left in the mildest winter", left(r, had(c), *least)));
                rows.push(("Left in the hardest winter", left(r, had(c), *most)));
            }
        }
    }
    if let Some(club) = c.club_stores {
        // Which of the two to go by stands in the text answer; here what it comes to.
        let lighter = c.advice.as_ref().map_or(0.0, Advice::lighter);
        let more = c.target.as_ref().filter(|g| club > g.stores);
        let scale = more.map_or_else(String::new, |g| {
            format!(
                ": on the scale {}",
                U.need(g.gross - lighter + club - g.stores)
            )
        });
        rows.push(("Your club's stores", format!("{}{scale}", U.mass(club))));
    }
    let mut margins = Vec::new();
    let mut status = ("watch", String::from("too few winters to tell"));
    if let Some(a) = &c.advice {
        let lines = margins_text::lines(c, a, U);
        // The worst of the four, the first of equals.
        if let Some(worst) = lines.iter().rev().max_by_key(|l| l.word) {
            let of: Vec<String> = lines
                .iter()
                .filter(|l| l.word == worst.word)
                .map(|l| l.what.to_lowercase())
                .collect();
            status = (worst.word.text(), of.join(", "));
        }
        // Stores are told by the scale; what to do about the others stands in the text answer.
        let others = lines.iter().filter(|l| l.what != "Stores");
        margins.extend(others.map(|l| {
            let first = l.words.split(". ").next().unwrap_or_default();
            let calm = l.word == Word::Comfortable;
            (l.what, format!("{}: {first}", l.word.text()), calm)
        }));
        let coldest = margins_text::coldest_words(c, U)
            .unwrap_or_else(|| "the same day as the weakest, above".to_owned());
        margins.push((
            "Coldest hour",
            coldest,
            a.margins.cold.word == Word::Comfortable,
        ));
    }
    let pairing = c.pairing.as_ref().map(|p| {
        let line = pairing(p, n, U);
        let text = line.split_once(": ").map_or(line.as_str(), |(_, t)| t);
        text.to_owned()
    });
    Colony {
        name: c.stack.clone(),
        status,
        target,
        rows,
        margins,
        pairing,
    }
}

/// Refuses a result with a number that is none.
pub fn finite(r: &RunResult) -> Result<(), PageError> {
    for c in &r.colonies {
        let mut all = vec![("stores", c.stores), ("gross", c.gross), ("bees", c.bees)];
        // What the others are made of comes first.
        all.extend(c.winters.iter().map(|w| ("eaten", w.eaten)));
        let (w, k) = (&c.weakest.moment, &c.coldest);
        all.extend([
            (
                "weakest moment",
                w.outdoor_c + w.around_c + w.mantle_margin + w.heat_in_hand,
            ),
            (
                "coldest hour",
                k.outdoor_c + k.mantle_margin + k.heat_in_hand,
            ),
        ]);
        if let Some(g) = &c.target {
            all.extend([("target", g.gross), ("need", g.need_middling + g.need_poor)]);
        }
        if let Some(p) = &c.pairing {
            all.push(("pairing", p.saved_middling + p.heat_in_hand_gained));
        }
        if let Some((what, v)) = all.iter().find(|(_, v)| !v.is_finite()) {
            return Err(PageError::NotANumber(format!("{} {what}: {v}", c.stack)));
        }
    }
    Ok(())
}
