//! Half a page a hive for the shed wall: targets, dates, a checklist and room for a pencil.

use super::document::{Answer, Column, Document, Form, Line, Row, Section, Table};
use super::feeding;
use super::jobs::{self, Jobs};
use super::looks::short;
use super::margins;
use super::phrases::capital;
use super::run::{act_below, at_the_start, too_few_combs};
use super::standing::standing;
use super::words::{Units, day, frames};
use crate::network::NetworkWords;
use crate::text;
use crate::texts::{either, listed, said};
use crate::warnings;
use partywall_core::answer::run::RunResult;
use partywall_core::calendar;
use partywall_core::decision::advice::Advice;
use partywall_core::decision::margins::Word;
use partywall_core::decision::result::ColonyResult;
use partywall_core::stand::Lift;

/// The sheets of all colonies; `jobs` tells the same scenario and winters.
#[must_use]
pub fn document(r: &RunResult, jobs: &Jobs<'_>) -> Document {
    let u = jobs.units;
    let minds = r.warnings.iter();
    let rules = [
        text!("yard.do_not_open_below", warmth = u.temperature(7.0)),
        text!("yard.tilt_do_not_lift", weight = u.mass(60.0)),
        text!("yard.here_heat_stores_only"),
    ];
    Document {
        title: r.title.clone(),
        first: minds.map(|w| warnings::mind(w, u)).collect(),
        answers: colonies(r, jobs)
            .map(|(c, seen_to)| sheet(r, c, seen_to, u))
            .collect(),
        sections: vec![Section::list(
            said("yard.all_them"),
            rules.into_iter().chain(r.network.checked(u)).collect(),
        )],
        ..Document::default()
    }
}

/// The colonies with what is to be seen to on their hives.
fn colonies<'a>(
    r: &'a RunResult,
    jobs: &'a Jobs<'a>,
) -> impl Iterator<Item = (&'a ColonyResult, Section)> {
    let stacks = jobs.scenario.stacks.iter().enumerate();
    let stacks = stacks.filter(|(_, k)| k.colony.is_some()).zip(&r.colonies);
    stacks.map(|((i, stack), c)| {
        let list = Section::list("to do", jobs::all(jobs, i, stack, c));
        (
            c,
            Section {
                boxes: true,
                ..list
            },
        )
    })
}

/// The sheets of a page, in large type: less on each, since page one says the rest.
pub(super) fn papers(r: &RunResult, jobs: &Jobs<'_>) -> Vec<Answer> {
    let all = colonies(r, jobs);
    all.map(|(c, seen_to)| paper(c, seen_to, jobs.units))
        .collect()
}

fn paper(c: &ColonyResult, seen_to: Section, u: Units) -> Answer {
    let advice = c.advice.as_ref();
    let reading = c
        .target
        .as_ref()
        .filter(|_| advice.is_none_or(|a| a.beyond_combs.is_none()));
    let asked = advice.and_then(|a| a.asked);
    let [gross, each] = reading.map_or_else(Default::default, |g| {
        let kg = asked.map_or([g.gross, g.per_lift], |k| [k.reading.gross, k.reading.each]);
        kg.map(|kg| u.need(kg))
    });
    let feed = match (&c.target, advice) {
        (Some(g), Some(a)) => {
            let first = too_few_combs(g, a, u)
                .map_or_else(String::new, |w| format!("{}. ", capital(&w.join(". "))));
            format!("{first}{}. {}.", standing(c, g, a, u), feeding::short(a, u))
        }
        _ => text!("yard.no_target_fewer_than"),
    };
    let weakest = text!(
        "yard.weakest_about_do_not",
        day = day(c.weakest.moment.time.date()),
        warmth = u.temperature(7.0)
    );
    let sum = either(c.lift == Lift::FrontAndBack, "yard.sum_counts", "");
    let log = Table {
        caption: text!("yard.weighings_days_below_when", sum),
        ..log(c, SPARE[1], u)
    };
    Answer {
        name: text!("yard.yard", stack = c.stack),
        lead: text!("yard.must_read"),
        answer: gross,
        behind: asked.map_or_else(String::new, |k| format!("on {}", calendar::words(k.day))),
        more: match c.lift {
            Lift::FrontAndBack => text!("yard.each_lift_about", each),
            Lift::OneSide => text!("yard.one_side", each),
            Lift::Whole => String::new(),
        },
        long: vec![feed, weakest],
        sections: vec![seen_to, Section::table(said("yard.weighings"), log)],
        ..Answer::default()
    }
}

/// A blank to write into.
const BLANK: &str = "__________";

fn sheet(r: &RunResult, c: &ColonyResult, seen_to: Section, u: Units) -> Answer {
    let mut lines = Vec::new();
    let mut row = |what: &str, words: &str| lines.push(Line::new(what, words));
    let advice = c.advice.as_ref();
    let cramped = c.target.as_ref().zip(advice);
    let cramped = cramped.and_then(|(g, a)| too_few_combs(g, a, u));
    match (&c.target, advice.and_then(Advice::headline)) {
        _ if cramped.is_some() => row(said("yard.combs"), &cramped.unwrap_or_default().join(". ")),
        (Some(g), Some(reading)) => {
            let lift = match c.lift {
                Lift::FrontAndBack => {
                    text!("yard.front_about_back_about", each = u.need(reading.each))
                }
                Lift::OneSide => text!("yard.one_side_rough_lift", each = u.need(reading.each)),
                Lift::Whole => String::new(),
            };
            let asked = advice.and_then(|a| a.asked);
            row(
                said("yard.scale"),
                &text!(
                    "yard.give_take",
                    gross = u.need(asked.map_or(g.gross, |k| k.reading.gross)),
                    day = asked.map_or_else(|| r.start.clone(), |k| calendar::words(k.day)),
                    lift,
                    error = u.mass(reading.error)
                ),
            );
            if let Some(line) = advice.and_then(|a| at_the_start(g, a, u)) {
                row("", line.split(';').next().unwrap_or_default());
            }
        }
        _ => row(said("yard.scale"), said("yard.no_target_fewer_than_five")),
    }
    row(
        said("yard.today"),
        &text!("yard.front_back_date", blank = BLANK),
    );
    if let Some(a) = advice {
        if let Some(g) = c.target.as_ref().filter(|_| c.planned.given > 0.0) {
            // What is planned is no part of what is to be fed besides: whoever goes by the sheet must give both.
            row(said("yard.planned"), &standing(c, g, a, u));
        }
        let besides = either(c.planned.given > 0.0, "yard.besides_what_you_plan", "");
        let feed = match &c.target {
            Some(_) => feeding::row(a, c.planned.given > 0.0, u),
            None => said("yard.no_feed_without_target").to_owned(),
        };
        row(said("yard.feed"), &format!("{besides}{feed}"));
        row(
            said("yard.given"),
            &format!("{BLANK} on {BLANK}   {BLANK} on {BLANK}"),
        );
        let urgent = margins::lines(c, a, u);
        for l in urgent
            .iter()
            .filter(|l| l.word == Word::ActNow && l.what != "Stores")
        {
            let first = l.words.split(". ").next().unwrap_or_default();
            row(
                said("yard.act_now"),
                &format!("{}: {first}", l.what.to_lowercase()),
            );
        }
        if !a.frames.is_empty() {
            let boxes: Vec<String> = a
                .frames
                .iter()
                .rev()
                .map(|b| {
                    text!(
                        "yard.full",
                        pattern = b.pattern,
                        needed = frames(b.needed),
                        frames = b.frames
                    )
                })
                .collect();
            row(
                said("yard.honey_frames"),
                &text!("yard.top_box_first_full", boxes = boxes.join(", ")),
            );
        }
    }
    Answer {
        name: c.stack.clone(),
        answer: text!(
            "yard.first_dependable_nectar",
            first_nectar = r.first_nectar
        ),
        lines,
        sections: vec![
            seen_to,
            Section::table(said("yard.weighings"), log(c, SPARE[0], u)),
        ],
        ..Answer::default()
    }
}

/// Rows of the log for days that are not known beforehand, in a text and on a page (a choice: after a gale, a robbing, a doubt).
const SPARE: [usize; 2] = [2, 3];

/// The days to weigh on with the reading below which to act, and room for others.
fn log(c: &ColonyResult, spare: usize, u: Units) -> Table {
    let readings = match c.lift {
        Lift::FrontAndBack => listed("yard.front_back_sum"),
        Lift::OneSide => listed("yard.that_side"),
        Lift::Whole => listed("yard.weight"),
    };
    let known = listed("yard.days").iter();
    let heads = known.chain(readings).chain(listed("yard.notes"));
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
    let spare = (0..spare).map(|_| blank(BLANK.to_owned(), String::new()));
    Table {
        columns: columns.collect(),
        rows: hefts.chain(spare).collect(),
        form: Form::Log,
        ..Table::default()
    }
}
