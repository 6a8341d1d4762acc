//! The report of `partywall climate --out`.

use super::Told;
use super::words::{HEAD, holds, legend, made_words, mended, place, row, summary, table_of};
use crate::commands::{Failure, page};
use partywall_report::page::one;
use partywall_report::page::plain::{Card, Plain, Row, Section, Table};
use partywall_report::phrases::capital;
use partywall_report::pictures::Picture;
use partywall_report::words::Units;

/// A page shows both systems.
const U: Units = Units::Both;

/// The page.
///
/// # Errors
/// A record that holds what is not a number.
pub(super) fn html(told: &Told, picture: &Picture) -> Result<String, Failure> {
    let mut lines = summary(told, U).into_iter();
    let mut card = Card {
        name: "What it holds".to_owned(),
        answer: capital(&lines.next().map_or_else(String::new, |(_, words)| words)),
        ..Card::default()
    };
    card.rows = lines
        .map(|(label, words)| {
            let label = if label.is_empty() {
                "nine in ten"
            } else {
                label
            };
            (capital(label), capital(&words))
        })
        .collect();
    card.rows
        .extend(made_words(told, U).map(|words| ("Made".to_owned(), capital(&words))));
    card.rows.push(("Where".to_owned(), place(told)));
    card.rows.push(("Holds".to_owned(), holds(told)));
    let list = |heading: &str, lines: Vec<String>| Section {
        heading: heading.to_owned(),
        table: None,
        lines,
    };
    let rejected = told
        .rejected
        .iter()
        .map(|r| format!("{}: {}", r.winter, r.reason));
    let (mending, lines) = mended(&told.winters);
    let mut sections = vec![
        Section {
            heading: "All winters".to_owned(),
            table: Some(Table {
                caption: table_of(told, U),
                head: HEAD
                    .map(|h| if h.is_empty() { "verdict" } else { h })
                    .to_vec(),
                rows: told
                    .winters
                    .iter()
                    .map(|w| Row {
                        cells: row(w, U).to_vec(),
                        note: String::new(),
                    })
                    .collect(),
                wide: true,
            }),
            lines: vec![capital(&legend(&U.degrees(told.moves_c)))],
        },
        list("Look at these", told.warnings.clone()),
        list("Not used", rejected.collect()),
        list(&mending, lines),
    ];
    sections.retain(|s| s.table.is_some() || !s.lines.is_empty());
    let command = page::command();
    let made = told.made.iter().flat_map(|m| &m.notes);
    let plain = Plain {
        title: &told.station.name,
        version: env!("CARGO_PKG_VERSION"),
        place: "A weather record for wintering bees: which winters were hard, which springs late"
            .to_owned(),
        first: Vec::new(),
        cards: vec![card],
        pictures: vec![one(
            picture,
            0,
            "How cold each winter was, and how late its spring.",
            "Two rows of bars, a bar a winter: mean temperature against the middle one in C and F, first dependable nectar by a rule of thumb; the table below holds the same figures",
        )],
        sections,
        basis: told.notes.iter().chain(made).cloned().collect(),
        cautions: &[],
        command: &command,
        input: &[],
    };
    plain.html().map_err(Failure::fault)
}
