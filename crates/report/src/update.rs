//! What an update says: when the stores run out, and what to do.

mod words;

use crate::document::{Answer, Document, Figure, Line, Section};
use crate::network::NetworkWords;
use crate::phrases::capital;
use crate::pictures::Picture;
use crate::run::{cautions, mites};
use crate::text;
use crate::texts::said;
use crate::words::Units;
use partywall_core::answer::update::{HiveUpdate, UpdateResult};
use words::{advice, basis, does_not_fit, note, runs_out, stores_words, weighing_words};

/// The update as a keeper reads it.
#[must_use]
pub fn document(r: &UpdateResult, u: Units) -> Document {
    let mind = r.network.mind().map(|m| text!("update.mind", words = m));
    Document {
        title: r.title.clone(),
        question: text!(
            "update.what_weighings_tell_winter",
            start = r.start.strftime("%-d %b %Y"),
            first_nectar = r.first_nectar.strftime("%-d %b %Y")
        ),
        first: [mites(), said("update.first").to_owned()]
            .into_iter()
            .chain(mind)
            .collect(),
        answers: r.hives.iter().map(|h| answer(r, h, u)).collect(),
        basis: basis(r, u),
        cautions: cautions(),
        ..Document::default()
    }
}

/// The picture of a hive on the page, with its number.
#[must_use]
pub fn figure(h: &HiveUpdate, number: usize, p: &Picture) -> Figure {
    Figure::captioned(
        p,
        number,
        &text!("update.honey_left_day_expected", hive = h.hive),
        said("update.calendar_honey_left_hive"),
    )
}

fn answer(r: &UpdateResult, h: &HiveUpdate, u: Units) -> Answer {
    let mut lines = Vec::new();
    let told = match (&h.after, &h.forecast) {
        (Some(after), Some(f)) => {
            lines.push(Line::new(said("update.what_do"), advice(h, f, u)));
            lines.push(Line::new(
                said("update.what_there"),
                stores_words(r, h, f, u),
            ));
            runs_out(after, r.first_nectar)
        }
        _ => does_not_fit(h, u),
    };
    let weighings: Vec<String> = h.weighings.iter().map(|w| weighing_words(w, u)).collect();
    let last = weighings
        .last()
        .map(|w| Line::again(said("update.last_weighed"), w.clone()));
    lines.extend(last);
    let notes = h
        .notes
        .iter()
        .map(|n| Line::new(said("update.mind_label"), capital(&note(n, u))));
    lines.extend(notes);
    // Readings that fit nothing expected put that in doubt as well.
    let before = h.after.map(|_| {
        text!(
            "update.before_was_weighed_winter",
            forecast = runs_out(&h.before, r.first_nectar)
        )
    });
    Answer {
        name: h.hive.clone(),
        answer: capital(&told),
        lines,
        sections: vec![Section::list(
            said("update.all_weighings"),
            weighings.into_iter().chain(before).collect(),
        )],
        ..Answer::default()
    }
}
