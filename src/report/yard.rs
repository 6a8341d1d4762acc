//! Half a page a hive for the shed wall: targets, dates, a checklist and room for a pencil.

use super::colony_text::act_below;
use super::feeding_text;
use super::looks::short;
use super::margins_text;
use super::result::{ColonyResult, RunResult};
use super::words::{Units, WIDTH, day_of_year, frames, para};
use crate::decision::margins::Word;
use std::fmt::Write;

/// The sheets of all colonies.
#[must_use]
pub fn sheets(r: &RunResult, u: Units) -> String {
    let mut t = String::new();
    let _ = writeln!(t, "{}", r.title);
    let _ = writeln!(t, "{}", "=".repeat(r.title.chars().count()));
    for w in &r.warnings {
        para(&mut t, "", &format!("Mind: {}", w.words(u)));
    }
    for c in &r.colonies {
        let _ = writeln!(t);
        sheet(&mut t, r, c, u);
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
    t
}

/// A blank to write into.
const BLANK: &str = "__________";

fn sheet(t: &mut String, r: &RunResult, c: &ColonyResult, u: Units) {
    let name = c.stack.to_uppercase();
    let _ = writeln!(
        t,
        "--- {name} {}",
        "-".repeat(90_usize.saturating_sub(name.chars().count()))
    );
    let _ = writeln!(t);
    let mut row = |what: &str, words: &str| labelled(t, what, words);
    let advice = c.advice.as_ref();
    match (&c.target, advice.and_then(|a| a.reading.as_ref())) {
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
            row(
                "SCALE",
                &format!(
                    "{} on {}{lift}, give or take {}",
                    u.need(g.gross),
                    r.start,
                    u.mass(reading.error)
                ),
            );
        }
        _ => row("SCALE", "no target: fewer than five winters were run"),
    }
    row(
        "TODAY",
        &format!("front {BLANK} + back {BLANK} = {BLANK}    date {BLANK}"),
    );
    if let Some(a) = advice {
        row("FEED", &feeding_text::row(a, u));
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
    row(
        "BOX",
        "[ ] entrance cut down, under 10 mm high   [ ] mouse guard   [ ] upper hole as planned",
    );
    row(
        "",
        "[ ] foam on top   [ ] side foam and wrap   [ ] gap closed   [ ] ledge closed",
    );
    row(
        "",
        "[ ] strap   [ ] back raised 10-25 mm   [ ] wind kept off   [ ] lid weighted",
    );
    row(
        "MITES",
        &format!("{BLANK} on 100 bees    date {BLANK}    treated {BLANK}"),
    );
    row("DATES", &dates(r, c, u));
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

/// When to do what: from the weather of the winters run and from what is common practice.
fn dates(r: &RunResult, c: &ColonyResult, u: Units) -> String {
    let heft = c.advice.as_ref().map_or_else(String::new, |a| {
        format!(
            "first heft {}, then every two weeks; ",
            day_of_year(a.first_heft)
        )
    });
    format!(
        "wrap when nights reach {} and bees no longer fly; {heft}\
         sugar on the frames at once if it weighs less than below; unwrap when days pass {}; first nectar {}",
        u.temperature(-10.0),
        u.temperature(10.0),
        r.first_nectar
    )
}
