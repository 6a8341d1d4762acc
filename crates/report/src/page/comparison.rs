//! The page of `compare`: which way to winter them.

use super::plain::{Card, Plain, Row, Section, Table};
use super::{PageError, pictures};
use crate::comparison::{
    difference, figures, killed, left_over, no_room, split, too_late, what_is_needed,
};
use crate::contest::{self, HeadWords};
use partywall_core::answer::compare::{CompareResult, ComparedColony, Row as Hive};

use crate::phrases::{self, capital};
use crate::pictures::{Bar, BarsPicture, Picture, PictureError, bars};
use crate::text;

/// A bar for each hive that a colony gains or loses in.
///
/// # Errors
/// A value that is not a number; a colony that no other hive has.
pub fn picture(r: &CompareResult, k: usize) -> Result<Picture, PictureError> {
    let c = &r.colonies[k];
    let rows: Vec<Bar> = c
        .rows
        .iter()
        .filter_map(|row| Some(pictures::gain(row.name.clone(), &row.gain?.honey)))
        .collect();
    bars(&BarsPicture {
        number: k + 1,
        title: &format!("{}: honey against \"{}\"", c.stack, r.against),
        below: &format!("{}; weather of {}", r.head.title, r.head.climate.station),
        groups: &[("In the order of the file", rows)],
    })
}

/// The page.
///
/// # Errors
/// A result that holds what is not a number.
pub fn html(
    r: &CompareResult,
    drawn: &[(usize, Picture)],
    command: &str,
    input: &[(String, String)],
) -> Result<String, PageError> {
    let mind = r.head.mind();
    Plain {
        title: &r.head.title,
        version: r.head.version,
        place: format!(
            "Which way to winter them, held against \"{}\", from {} to first dependable nectar on {}. {}",
            r.against, r.head.start, r.head.first_nectar,
            phrases::WORDS
        ),
        first: contest::first(mind.as_deref()),
        cards: r.colonies.iter().map(|c| card(r, c)).collect(),
        pictures: drawn
            .iter()
            .map(|(k, p)| {
                pictures::one(
                    p,
                    *k,
                    &format!(
                        "{}: honey more or less than in \"{}\"; pale bars are too close to call.",
                        r.colonies[*k].stack, r.against
                    ),
                    pictures::BARS,
                )
            })
            .collect(),
        sections: r.colonies.iter().map(|c| section(r, c)).collect(),
        basis: phrases::basis(&r.head),
        cautions: &text::CAUTIONS,
        command,
        input,
    }
    .html()
}

fn card(r: &CompareResult, c: &ComparedColony) -> Card {
    let clear = |row: &&Hive| row.gain.is_some_and(|g| !g.honey.close);
    let honey = |row: &Hive| row.gain.map_or(0.0, |g| g.honey.spread.middle);
    let best = c
        .rows
        .iter()
        .filter(clear)
        .max_by(|a, b| honey(a).total_cmp(&honey(b)));
    let worst = c
        .rows
        .iter()
        .filter(clear)
        .min_by(|a, b| honey(a).total_cmp(&honey(b)));
    let told = |row: &Hive| {
        row.gain
            .map_or_else(String::new, |g| difference(&g, r.head.drawn))
    };
    let mut card = Card {
        name: c.stack.clone(),
        ..Card::default()
    };
    match best.filter(|row| honey(row) > 0.0) {
        Some(row) => {
            "Most honey:".clone_into(&mut card.lead);
            card.answer.clone_from(&row.name);
            card.more = told(row);
        }
        None => {
            card.answer = format!("\"{}\"", r.against);
            "Nothing leaves more honey than".clone_into(&mut card.lead);
            "by more than can be told".clone_into(&mut card.more);
        }
    }
    if let Some(s) = c
        .rows
        .iter()
        .find(|row| row.name == r.against)
        .and_then(|row| row.standing)
    {
        let [needs, spare, in_hand, starved] = figures(&s);
        card.rows.push((
            format!("\"{}\"", r.against),
            format!("needs {needs}; to spare {spare}; heat in hand {in_hand}; starved in {starved} winters"),
        ));
    }
    if let Some(row) = worst.filter(|row| honey(row) < 0.0) {
        card.rows.push((
            "Least honey".to_owned(),
            format!("{}: {}", row.name, told(row)),
        ));
    }
    let close = c
        .rows
        .iter()
        .filter(|row| row.gain.is_some_and(|g| g.honey.close))
        .count();
    if close > 0 {
        card.rows.push((
            "Too close to call".to_owned(),
            format!(
                "{close} of {}",
                c.rows.iter().filter(|row| row.gain.is_some()).count()
            ),
        ));
    }
    if let Some(p) = &c.pairing {
        card.rows.push(("Pairing".to_owned(), split(p)));
    }
    if let Some(d) = &c.doubts {
        card.rows
            .push(("How sure".to_owned(), phrases::doubts(d, c.weighed)));
    }
    card
}

fn section(r: &CompareResult, c: &ComparedColony) -> Section {
    let rows = c.rows.iter().map(|row| {
        let name = || row.name.clone();
        let blank = || vec![String::new(); 4];
        let Some(s) = &row.standing else {
            return Row {
                cells: [vec![name()], blank()].concat(),
                note: "no colony there".to_owned(),
            };
        };
        if let Some(day) = &row.dies {
            return Row {
                cells: [vec![name()], blank()].concat(),
                note: format!("taken to die on {day}"),
            };
        }
        let mut notes: Vec<String> = row
            .gain
            .iter()
            .map(|g| difference(g, r.head.drawn))
            .collect();
        notes.extend(left_over(s));
        notes.extend(too_late(s));
        notes.extend(no_room(s));
        notes.extend(killed(s));
        Row {
            cells: [vec![name()], figures(s).to_vec()].concat(),
            note: notes.join("; "),
        }
    });
    Section {
        heading: format!("{}: all hives", c.stack),
        table: Some(Table {
            caption: capital(&what_is_needed(r)),
            head: vec!["Hive", "Needs", "To spare", "In hand", "Starved"],
            rows: rows.collect(),
            wide: false,
        }),
        lines: Vec::new(),
    }
}
