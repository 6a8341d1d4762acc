//! What `partywall climate` tells, as a document.

use super::ClimateSummary;
use super::words::gaps;
use super::words::{
    columns, holds, legend, made_words, measured, mended, place, row, summary, table_of,
};
use partywall_report::document::{Answer, Document, Figure, Form, Line, Row, Section, Table};
use partywall_report::phrases::capital;
use partywall_report::pictures::Picture;
use partywall_report::text;
use partywall_report::texts::said;
use partywall_report::words::Units;

/// The answer first, the winters one by one, then what the record is.
pub(super) fn document(told: &ClimateSummary, u: Units) -> Document {
    let rejected = told.rejected.iter();
    let rejected = rejected.map(|r| format!("{}: {}", r.winter, r.reason));
    let (measured_in, gaps_in) = (measured(told), gaps(told));
    let mut sections = vec![
        Section::list(said("record.look_at_these"), told.warnings.clone()),
        Section::list(said("record.not_used"), rejected.collect()),
        Section::list(said("record.measured"), measured_in),
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
        question: text!("record.weather_record_wintering_bees"),
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
        said("record.how_cold_each_winter"),
        said("record.two_rows_bars_bar"),
    )
}

fn answer(told: &ClimateSummary, u: Units) -> Answer {
    let mut all = summary(told, u).into_iter();
    let first = all.next().map_or_else(String::new, |(_, words)| words);
    let mut lines: Vec<Line> = all
        .map(|(label, words)| Line::new(capital(label), capital(&words)))
        .collect();
    lines.extend(made_words(told, u).map(|words| Line::new(said("record.made"), capital(&words))));
    lines.push(Line::new(said("record.where"), place(told)));
    lines.push(Line::new(said("record.holds"), holds(told)));
    let origin = told.station.origin.iter();
    lines.extend(origin.map(|o| Line::new(said("record.origin"), o.as_str())));
    Answer {
        name: text!("record.what_holds"),
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
