//! The page of `update`: when the stores run out.

use super::plain::{Card, Plain, Section};
use super::{PageError, pictures};
use crate::phrases::capital;
use crate::pictures::Picture;
use crate::text::{CAUTIONS, MITES};
use crate::update::{
    FIRST, advice, basis, does_not_fit, mind, note, runs_out, stores_words, weighing_words,
};
use crate::words::{Units, day};
use partywall_core::answer::update::{HiveUpdate, UpdateResult};

/// A page shows both systems.
const U: Units = Units::Both;

/// The page; one picture a hive, in their order.
///
/// # Errors
/// A result that holds what is not a number.
pub fn html(
    r: &UpdateResult,
    drawn: &[Picture],
    command: &str,
    input: &[(String, String)],
) -> Result<String, PageError> {
    let mind = mind(r);
    Plain {
        title: &r.title,
        version: r.version,
        place: format!(
            "What the weighings tell, winter from {} to first dependable nectar on {}",
            r.start.strftime("%-d %b %Y"),
            r.first_nectar.strftime("%-d %b %Y")
        ),
        first: [MITES, FIRST]
            .into_iter()
            .chain(mind.as_deref())
            .collect(),
        cards: r.hives.iter().map(|h| card(r, h)).collect(),
        pictures: drawn
            .iter()
            .zip(&r.hives)
            .enumerate()
            .map(|(i, (p, h))| {
                pictures::one(
                    p,
                    i,
                    &format!("{}: honey left by day, as expected before, as weighed, and as expected since.", h.hive),
                    "Calendar of honey left in the hive, in kg and lb: two bands that hold eight cases in ten, a dot for each weighing with what it may be off",
                )
            })
            .collect(),
        sections: r.hives.iter().map(|h| section(r, h)).collect(),
        basis: basis(r, U),
        cautions: &CAUTIONS,
        command,
        input,
    }
    .html()
}

fn card(r: &UpdateResult, h: &HiveUpdate) -> Card {
    let mut card = Card {
        name: h.hive.clone(),
        ..Card::default()
    };
    match (&h.after, &h.forecast) {
        (Some(after), Some(f)) => {
            card.answer = capital(&runs_out(after, r.first_nectar));
            card.rows.push(("What to do".to_owned(), advice(h, f, U)));
            card.rows
                .push(("What is there".to_owned(), stores_words(r, h, f, U)));
        }
        _ => card.answer = capital(&does_not_fit(h, U)),
    }
    if let Some(w) = h.weighings.last() {
        card.rows
            .push(("Last weighed".to_owned(), weighing_words(w, U)));
    }
    card.rows.extend(
        h.notes
            .iter()
            .map(|n| ("Mind".to_owned(), capital(&note(n, U)))),
    );
    card
}

fn section(r: &UpdateResult, h: &HiveUpdate) -> Section {
    let mut lines: Vec<String> = h.weighings.iter().map(|w| weighing_words(w, U)).collect();
    lines.push(format!(
        "Before it was weighed in winter: {} (to {})",
        runs_out(&h.before, r.first_nectar),
        day(r.first_nectar)
    ));
    Section {
        heading: format!("{}: all weighings", h.hive),
        table: None,
        lines,
    }
}
