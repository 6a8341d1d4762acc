//! Half a page a hive for the shed wall: targets, dates, a checklist and room for a pencil.

use super::colony_text::{act_below, at_the_start, too_few_combs};
use super::document::{Answer, Column, Document, Line, Row, Section, Table};
use super::feeding_text;
use super::jobs::{self, Jobs};
use super::looks::short;
use super::margins_text;
use super::standing::standing;
use super::words::{Units, frames};
use crate::network::NetworkWords;
use crate::warnings;
use partywall_core::answer::run::RunResult;
use partywall_core::calendar;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;

/// The sheets of all colonies; `jobs` tells the same scenario and winters.
#[must_use]
pub fn document(r: &RunResult, jobs: &Jobs<'_>) -> Document {
    let u = jobs.units;
    let minds = r.warnings.iter();
    let stacks = jobs.scenario.stacks.iter().enumerate();
    let stacks = stacks.filter(|(_, k)| k.colony.is_some()).zip(&r.colonies);
    let rules = [
        format!(
            "DO NOT open below {}, dig frames, take a pair apart in winter, or pour syrup in frost.",
            u.temperature(7.0)
        ),
        format!(
            "Tilt, do not lift: a two-box hive can weigh {}. Two people; mind ice; strap against wind.",
            u.mass(60.0)
        ),
        "Here are heat and stores only: mites and queens kill more. No figure here is a chance of survival.".to_owned(),
    ];
    Document {
        title: r.title.clone(),
        first: minds
            .map(|w| format!("Mind: {}", warnings::words(w, u)))
            .collect(),
        answers: stacks
            .map(|((i, stack), c)| sheet(r, c, &jobs::all(jobs, i, stack, c), u))
            .collect(),
        sections: vec![Section::list(
            "For all of them",
            rules.into_iter().chain(r.network.checked(u)).collect(),
        )],
        ..Document::default()
    }
}

/// A blank to write into.
const BLANK: &str = "__________";

fn sheet(r: &RunResult, c: &ColonyResult, jobs: &[String], u: Units) -> Answer {
    let mut lines = Vec::new();
    let mut row = |what: &str, words: &str| lines.push(Line::new(what, words));
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
    let jobs = jobs.iter().map(|job| format!("[ ] {job}"));
    Answer {
        name: c.stack.clone(),
        answer: format!("first dependable nectar on {}", r.first_nectar),
        lines,
        sections: vec![
            Section::list("to do", jobs.collect()),
            Section::table("weighings", log(c, u)),
        ],
        ..Answer::default()
    }
}

/// Rows of the log for days that are not known beforehand.
const SPARE: usize = 2;

/// The days to weigh on with the reading below which to act, and room for others.
fn log(c: &ColonyResult, u: Units) -> Table {
    let readings: &[&'static str] = match c.lift {
        "front and back" => &["front", "back", "sum"],
        "one side" => &["that side"],
        _ => &["weight"],
    };
    let heads = ["date", "act below"]
        .iter()
        .chain(readings)
        .chain(&["outside, note"]);
    let columns = heads.map(|h| Column::words(h));
    let blank = |date: String, below: String| {
        let blanks = readings.iter().map(|_| BLANK.to_owned());
        let note = [BLANK, BLANK].concat();
        let cells = [date, below].into_iter().chain(blanks).chain([note]);
        Row::of(cells.collect::<Vec<_>>())
    };
    let hefts = c.advice.iter().flat_map(|a| &a.hefts).map(|h| {
        let below = act_below(h, c.lift, u);
        blank(short(h.day), below.unwrap_or_else(|| BLANK.to_owned()))
    });
    let spare = (0..SPARE).map(|_| blank(BLANK.to_owned(), String::new()));
    Table {
        columns: columns.collect(),
        rows: hefts.chain(spare).collect(),
        ..Table::default()
    }
}
