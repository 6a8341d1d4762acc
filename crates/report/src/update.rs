//! What an update says: when the stores run out, and what to do.

mod words;

use crate::document::{Answer, Document, Figure, Line, Section};
use crate::network::NetworkWords;
use crate::phrases::capital;
use crate::pictures::Picture;
use crate::run::{CAUTIONS, MITES};
use crate::words::Units;
use partywall_core::answer::update::{HiveUpdate, UpdateResult};
use words::{advice, basis, does_not_fit, note, runs_out, stores_words, weighing_words};

/// What every update begins with, beside the line about mites.
const FIRST: &str =
    "Stores only: a hive that weighs enough can still die of mites, a lost queen or damp.";

/// The update as a keeper reads it.
#[must_use]
pub fn document(r: &UpdateResult, u: Units) -> Document {
    let mind = r.network.mind().map(|m| format!("Mind: {m}"));
    Document {
        title: r.title.clone(),
        question: format!(
            "What the weighings tell, winter from {} to first dependable nectar on {}",
            r.start.strftime("%-d %b %Y"),
            r.first_nectar.strftime("%-d %b %Y")
        ),
        first: [MITES, FIRST]
            .map(str::to_owned)
            .into_iter()
            .chain(mind)
            .collect(),
        answers: r.hives.iter().map(|h| answer(r, h, u)).collect(),
        basis: basis(r, u),
        cautions: &CAUTIONS,
        ..Document::default()
    }
}

/// The picture of a hive on the page, with its number.
#[must_use]
pub fn figure(h: &HiveUpdate, number: usize, p: &Picture) -> Figure {
    Figure::captioned(
        p,
        number,
        &format!(
            "{}: honey left by day, as expected before, as weighed, and as expected since.",
            h.hive
        ),
        "Calendar of honey left in the hive, in kg and lb: two bands that hold eight cases in ten, a dot for each weighing with what it may be off",
    )
}

fn answer(r: &UpdateResult, h: &HiveUpdate, u: Units) -> Answer {
    let mut lines = Vec::new();
    let told = match (&h.after, &h.forecast) {
        (Some(after), Some(f)) => {
            lines.push(Line::new("What to do", advice(h, f, u)));
            lines.push(Line::new("What is there", stores_words(r, h, f, u)));
            runs_out(after, r.first_nectar)
        }
        _ => does_not_fit(h, u),
    };
    let weighings: Vec<String> = h.weighings.iter().map(|w| weighing_words(w, u)).collect();
    let last = weighings
        .last()
        .map(|w| Line::again("Last weighed", w.clone()));
    lines.extend(last);
    let notes = h
        .notes
        .iter()
        .map(|n| Line::new("Mind", capital(&note(n, u))));
    lines.extend(notes);
    // Readings that fit nothing expected put that in doubt as well.
    let before = h.after.map(|_| {
        format!(
            "Before it was weighed in winter: {}",
            runs_out(&h.before, r.first_nectar)
        )
    });
    Answer {
        name: h.hive.clone(),
        answer: capital(&told),
        lines,
        sections: vec![Section::list(
            "all weighings",
            weighings.into_iter().chain(before).collect(),
        )],
        ..Answer::default()
    }
}
