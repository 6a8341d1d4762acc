//! Half a page a hive for the shed wall: targets, dates, a checklist and room for a pencil.

use super::colony_text::{act_below, at_the_start, too_few_combs};
use super::feeding_text;
use super::jobs::{self, Jobs};
use super::looks::short;
use super::margins_text;
use super::standing::standing;
use super::words::{Units, WIDTH, frames, para};
use crate::network::NetworkWords;
use crate::warnings;
use partywall_core::answer::run::RunResult;
use partywall_core::calendar;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;
use std::fmt::Write;

/// The sheets of all colonies; `jobs` tells the same scenario and winters.
#[must_use]
pub fn sheets(r: &RunResult, jobs: &Jobs<'_>) -> String {
    let u = jobs.units;
    let mut t = String::new();
    let _ = writeln!(t, "{}", r.title);
    let _ = writeln!(t, "{}", "=".repeat(r.title.chars().count()));
    for w in &r.warnings {
        para(&mut t, "", &format!("Mind: {}", warnings::words(w, u)));
    }
    let stacks = jobs.scenario.stacks.iter().enumerate();
    let stacks = stacks.filter(|(_, k)| k.colony.is_some());
    for ((i, stack), c) in stacks.zip(&r.colonies) {
        let _ = writeln!(t);
        sheet(&mut t, r, c, &jobs::all(jobs, i, stack, c), u);
    }
    let _ = writeln!(t);
    for line in [
        format!(
            "DO NOT open below {}, dig frames, take a pair apart in winter, or pour syrup in frost.",
            u.temperature(7.0)
        ),
        format!(
            "Tilt, do not lift: a two-box hive can weigh {}. Two people; mind ice; strap against wind.",
            u.mass(60.0)
        ),
        "Here are heat and stores only: mites and queens kill more. No figure here is a chance of survival.".to_owned(),
    ] {
        para(&mut t, "", &line);
    }
    if let Some(line) = r.network.checked(u) {
        para(&mut t, "", &line);
    }
    t
}

/// A blank to write into.
const BLANK: &str = "__________";

fn sheet(t: &mut String, r: &RunResult, c: &ColonyResult, jobs: &[String], u: Units) {
    let name = c.stack.to_uppercase();
    let _ = writeln!(
        t,
        "--- {name} {}",
        "-".repeat(90_usize.saturating_sub(name.chars().count()))
    );
    let _ = writeln!(t);
    let mut row = |what: &str, words: &str| labelled(t, what, words);
    let advice = c.advice.as_ref();
    let cramped = c.target.as_ref().zip(advice);
    let cramped = cramped.and_then(|(g, a)| too_few_combs(g, a, u));
    match (&c.target, advice.and_then(Advice::headline)) {
        _ if cramped.is_some() => row("COMBS", &cramped.unwrap_or_default().join(". ")),
        (Some(g), Some(reading)) => {
            let lift = match c.lift {
                "front and back" => format!(
                    " (front about {e} + back about {e})",
                    e = u.need(reading.each)
                ),
                "one side" => format!(
                    " (one side {}; rough, lift front and back)",
                    u.need(reading.each)
                ),
                _ => String::new(),
            };
            let asked = advice.and_then(|a| a.asked);
            row(
                "SCALE",
                &format!(
                    "{} on {}{lift}, give or take {}",
                    u.need(asked.map_or(g.gross, |k| k.reading.gross)),
                    asked.map_or_else(|| r.start.clone(), |k| calendar::words(k.day)),
                    u.mass(reading.error)
                ),
            );
            if let Some(line) = advice.and_then(|a| at_the_start(g, a, u)) {
                row("", line.split(';').next().unwrap_or_default());
            }
        }
        _ => row("SCALE", "no target: fewer than five winters were run"),
    }
    row(
        "TODAY",
        &format!("front {BLANK} + back {BLANK} = {BLANK}    date {BLANK}"),
    );
    if let Some(a) = advice {
        if let Some(g) = c.target.as_ref().filter(|_| c.planned.given > 0.0) {
            // What is planned is no part of what is to be fed besides: whoever goes by the sheet must give both.
            row("PLANNED", &standing(c, g, a, u));
        }
        let besides = if c.planned.given > 0.0 {
            "besides what you plan: "
        } else {
            ""
        };
        row(
            "FEED",
            &format!(
                "{besides}{}",
                feeding_text::row(a, c.planned.given > 0.0, u)
            ),
        );
        row("GIVEN", &format!("{BLANK} on {BLANK}   {BLANK} on {BLANK}"));
        let urgent = margins_text::lines(c, a, u);
        for l in urgent
            .iter()
            .filter(|l| l.word == Word::ActNow && l.what != "Stores")
        {
            let first = l.words.split(". ").next().unwrap_or_default();
            row("ACT NOW", &format!("{}: {first}", l.what.to_lowercase()));
        }
        if !a.frames.is_empty() {
            let boxes: Vec<String> = a
                .frames
                .iter()
                .rev()
                .map(|b| format!("{}: {} of {} full", b.pattern, frames(b.needed), b.frames))
                .collect();
            row(
                "HONEY FRAMES",
                &format!(
                    "top box first: {}; full ones beside and above the bees",
                    boxes.join(", ")
                ),
            );
        }
    }
    for (i, line) in ticked(jobs).iter().enumerate() {
        row(if i == 0 { "TO DO" } else { "" }, line);
    }
    row("NECTAR", &format!("first dependable on {}", r.first_nectar));
    let _ = writeln!(t);
    let (reading, columns) = match c.lift {
        "front and back" => ("front       back        sum", 3),
        "one side" => ("that side", 1),
        _ => ("weight", 1),
    };
    let width = 12 * columns;
    let _ = writeln!(
        t,
        "  date        act below         {reading:<width$}outside, note"
    );
    let blanks = "__________  ".repeat(columns);
    let mut line = |date: &str, below: &str| {
        let _ = writeln!(
            t,
            "  {date:<10}  {below:<16}  {blanks}__________________________"
        );
    };
    for h in c.advice.iter().flat_map(|a| &a.hefts) {
        let below = act_below(h, c.lift, u);
        line(&short(h.day), below.as_deref().unwrap_or(BLANK));
    }
    for _ in 0..SPARE {
        line(BLANK, "");
    }
}

/// Rows of the table for days that are not known beforehand.
const SPARE: usize = 2;

/// Width of the labels at the left, characters.
const LABEL: usize = 14;

/// A label with words beside it, folded at blanks; blanks in a row are kept.
fn labelled(t: &mut String, label: &str, words: &str) {
    let mut line = format!("{label:<LABEL$}");
    for (i, word) in words.split(' ').enumerate() {
        if i > 0 && line.chars().count() + 1 + word.chars().count() > WIDTH {
            let _ = writeln!(t, "{}", line.trim_end());
            line = " ".repeat(LABEL);
        } else if i > 0 {
            line.push(' ');
        }
        line.push_str(word);
    }
    let _ = writeln!(t, "{}", line.trim_end());
}

/// The jobs with a box to tick each, short ones side by side.
fn ticked(jobs: &[String]) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for job in jobs {
        let job = format!("[ ] {job}");
        match lines.last_mut() {
            Some(line) if LABEL + line.chars().count() + 3 + job.chars().count() <= WIDTH => {
                line.push_str("   ");
                line.push_str(&job);
            }
            _ => lines.push(job),
        }
    }
    lines
}
