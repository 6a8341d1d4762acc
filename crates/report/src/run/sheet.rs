//! Page one: what a colony needs, has and risks, in few words.

use super::colony::{at_the_start, lifts, pairing, poor_winter, too_few_combs, too_small};
use crate::document::{Answer, Line};
use crate::jobs::looks;
use crate::standing::standing;
use crate::text;
use crate::texts::{either, said};
use crate::words::Units;
use crate::{feeding, margins};
use partywall_core::answer::run::RunResult;
use partywall_core::calendar::words;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;
use partywall_core::decision::stores::Target;
use partywall_core::stand::Season;

/// What is left on the day of first nectar when so much has been eaten, both kg.
fn left(r: &RunResult, stores: f64, need: f64, u: Units) -> String {
    let (rest, on) = (stores - need, &r.first_nectar);
    if rest < 0.0 {
        text!("run.none_too_little", on, missing = u.mass(-rest))
    } else {
        format!("{} on {on}", u.mass(rest))
    }
}

/// Stores there now with what the feeding planned adds, kg.
fn had(c: &ColonyResult) -> f64 {
    c.stores + c.planned.counted
}

/// One colony on page one: the headline, and a line for each thing that must be known.
pub(super) fn sheet(r: &RunResult, c: &ColonyResult, season: &Season, u: Units) -> Answer {
    let mut sheet = match (&c.target, &c.advice) {
        (Some(g), Some(a)) if !too_small(c) => Answer {
            lines: with_target(r, c, (g, a), season, u),
            ..headline(r, c, g, a, u)
        },
        _ => Answer {
            lead: no_target(c),
            lines: eaten(r, c, u),
            ..Answer::default()
        },
    };
    if let Some(club) = c.club_stores {
        // Which of the two to go by is told at length; here what it comes to.
        let lighter = c.advice.as_ref().map_or(0.0, Advice::lighter);
        let more = c.target.as_ref().filter(|g| club > g.stores);
        let scale = more.map_or_else(String::new, |g| {
            text!(
                "run.club_on_the_scale",
                stores = u.need(g.gross - lighter + club - g.stores)
            )
        });
        let words = format!("{}{scale}", u.mass(club));
        sheet
            .lines
            .push(Line::again(said("run.your_clubs_stores"), words));
    }
    let few = ["watch", said("run.too_few_winters_tell")].map(str::to_owned);
    sheet.status = Some(
        c.advice
            .as_ref()
            .and_then(|a| status(c, a, u))
            .unwrap_or(few),
    );
    let risks = c.advice.iter().flat_map(|a| risks(c, a, u));
    sheet.lines.extend(risks);
    let beside = c.pairing.as_ref().map(|p| pairing(p, c.winters.len(), u));
    let beside = beside.map(|words| Line::again(said("run.side_side_apart"), words));
    sheet.lines.extend(beside);
    sheet
}

/// Why there is no reading to go by.
fn no_target(c: &ColonyResult) -> String {
    match c.winters.len() {
        _ if too_small(c) => text!("run.too_small_these_winters"),
        1 => text!("run.one_winter_too_few"),
        n => text!("run.winters_too_few_target", winters = n),
    }
}

/// What the scale should read, and how it is lifted.
fn headline(r: &RunResult, c: &ColonyResult, g: &Target, a: &Advice, u: Units) -> Answer {
    if let Some([first, _]) = too_few_combs(g, a, u) {
        return Answer {
            lead: first,
            ..Answer::default()
        };
    }
    let reading = a.headline();
    let lifted = reading.map_or_else(String::new, |k| format!("{}, ", lifts(c, &k, u)));
    let error = reading.map_or(g.tare_error, |k| k.error);
    let day = a.asked.map_or_else(|| r.start.clone(), |k| words(k.day));
    Answer {
        lead: text!("run.scale_should_read"),
        answer: u.need(reading.map_or(g.gross, |k| k.gross)),
        behind: format!("on {day}"),
        more: text!("run.give_or_take", lifted, error = u.mass(error)),
        ..Answer::default()
    }
}

/// The lines of a colony with a target.
fn with_target(
    r: &RunResult,
    c: &ColonyResult,
    (g, a): (&Target, &Advice),
    season: &Season,
    u: Units,
) -> Vec<Line> {
    let mut lines = Vec::new();
    if let Some([_, then]) = too_few_combs(g, a, u) {
        lines.push(Line::again(said("run.combs"), then));
    } else if let Some(line) = at_the_start(g, a, u) {
        lines.push(Line::again(said("run.at_start"), line));
    }
    lines.push(Line::again(said("run.on_the_scale"), standing(c, g, a, u)));
    let feeding = feeding::short(a, u);
    if !feeding.is_empty() {
        lines.push(Line::again(said("run.syrup"), feeding));
    }
    let looks = text!("run.heft", days = looks(season, c).words());
    lines.push(Line::again(said("run.when_look"), looks));
    let planned = either(c.planned.given > 0.0, "run.feeding_you_plan", "");
    let over = text!(
        "run.middling_winter_poor_one",
        planned,
        need_middling = left(r, had(c), g.need_middling, u),
        need_poor = left(r, had(c), g.need_poor, u),
        poor_winter = poor_winter(r, g)
    );
    lines.push(Line::again(said("run.left_over"), over));
    lines
}

/// The lines of a colony without one.
fn eaten(r: &RunResult, c: &ColonyResult, u: Units) -> Vec<Line> {
    let mut lines = vec![Line::again(said("run.stores_now"), u.mass(c.stores))];
    let mut eaten: Vec<f64> = c.winters.iter().map(|w| w.eaten).collect();
    eaten.sort_by(f64::total_cmp);
    if let (Some(least), Some(most)) = (eaten.first(), eaten.last()) {
        let mut line = |label, kg| lines.push(Line::again(label, left(r, had(c), kg, u)));
        line(said("run.left_mildest_winter"), *least);
        line(said("run.left_hardest_winter"), *most);
    }
    lines
}

/// The worst of the margins, the first of equals, and which they are.
fn status(c: &ColonyResult, a: &Advice, u: Units) -> Option<[String; 2]> {
    let lines = margins::lines(c, a, u);
    let worst = lines.iter().rev().max_by_key(|l| l.word)?.word;
    let of = lines.iter().filter(|l| l.word == worst);
    let of: Vec<String> = of.map(|l| l.what.to_lowercase()).collect();
    Some([worst.text().to_owned(), of.join(", ")])
}

/// The margins but that of stores, which are told by the scale; what to do about them is told at length.
fn risks(c: &ColonyResult, a: &Advice, u: Units) -> Vec<Line> {
    let mut risks: Vec<Line> = margins::lines(c, a, u)
        .into_iter()
        .filter(|l| l.what != "Stores")
        .map(|l| {
            let first = l.words.split(". ").next().unwrap_or_default();
            // Of damp the drip; what lies under the lid is told at length.
            let first = match l.what {
                "Damp" => first.split("; ").next().unwrap_or_default(),
                _ => first,
            };
            Line {
                calm: l.word == Word::Comfortable,
                ..Line::again(l.what, format!("{}: {first}", l.word.text()))
            }
        })
        .collect();
    let coldest = margins::coldest(c, u);
    let coldest = coldest.unwrap_or_else(|| text!("run.same_day_weakest_above"));
    // It goes with the cold; damp comes last.
    let behind_cold = risks.len().saturating_sub(1);
    risks.insert(
        behind_cold,
        Line {
            calm: a.margins.cold.word == Word::Comfortable,
            ..Line::again(said("run.coldest_hour"), coldest)
        },
    );
    risks
}
