//! What `partywall climate` tells, as a document.

use super::ClimateSummary;
use super::words::gaps;
use super::words::{
    columns, holds, legend, made_words, measured, mended, place, row, summary, table_of,
};
use partywall_report::document::{Answer, Document, Figure, Form, Line, Row, Section, Table};
use partywall_report::phrases::capital;
use partywall_report::pictures::Picture;
use partywall_report::words::Units;

/// The answer first, the winters one by one, then what the record is.
pub(super) fn document(told: &ClimateSummary, u: Units) -> Document {
    let rejected = told.rejected.iter();
    let rejected = rejected.map(|r| format!("{}: {}", r.winter, r.reason));
    let (measured_in, gaps_in) = (measured(told), gaps(told));
    let mut sections = vec![
        Section::list("Look at these", told.warnings.clone()),
        Section::list("Not used", rejected.collect()),
        Section::list("Measured", measured_in),
    ];
    sections.extend(gaps_in.map(|(heading, lines)| Section::list(heading, lines)));
    if !told.winters.is_empty() {
        let (mending, lines) = mended(&told.winters);
        sections.insert(1, winters(told, u));
        sections.insert(2, Section::list(mending, lines));
    }
    let made = told.made.iter().flat_map(|m| &m.notes);
    Document {
        title: told.station.name.clone(),
        question:
            "A weather record for wintering bees: which winters were hard, which springs late"
                .to_owned(),
        answers: vec![answer(told, u)],
        sections,
        basis: told.notes.iter().chain(made).cloned().collect(),
        ..Document::default()
    }
}

/// The picture on the page.
pub(super) fn figure(picture: &Picture) -> Figure {
    Figure::captioned(
        picture,
        0,
        "How cold each winter was, and how late its spring.",
        "Two rows of bars, a bar a winter: mean temperature against the middle one in C and F, first dependable nectar by a rule of thumb; the table below holds the same figures",
    )
}

fn answer(told: &ClimateSummary, u: Units) -> Answer {
    let mut all = summary(told, u).into_iter();
    let first = all.next().map_or_else(String::new, |(_, words)| words);
    let mut lines: Vec<Line> = all
        .map(|(label, words)| Line::new(capital(label), capital(&words)))
        .collect();
    lines.extend(made_words(told, u).map(|words| Line::new("Made", capital(&words))));
    lines.push(Line::new("Where", place(told)));
    lines.push(Line::new("Holds", holds(told)));
    let origin = told.station.origin.iter();
    lines.extend(origin.map(|o| Line::new("Origin", o.as_str())));
    Answer {
        name: "What it holds".to_owned(),
        answer: capital(&first),
        lines,
        ..Answer::default()
    }
}

fn winters(told: &ClimateSummary, u: Units) -> Section {
    let table = Table {
        caption: String::new(),
        columns: columns(),
        rows: told.winters.iter().map(|w| Row::of(row(w, u))).collect(),
        form: Form::Wide,
    };
    Section {
        heading: table_of(told, u),
        table: Some(table),
        list: legend(&u.degrees(told.moves_c)),
        ..Section::default()
    }
}
