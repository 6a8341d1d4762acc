//! The reports and pictures of an answer.

use super::{Failure, page, pictures};
use crate::files::output::Output;
use partywall_core::answer::update::{Calendar, UpdateResult};
use partywall_report::contest::Drawn;
use partywall_report::document::{Document, Made};
use partywall_report::pictures::{WeighedCalendar, weighed};
use partywall_report::text;
use partywall_report::update;
use partywall_report::words::Units;

/// Pictures and report of an answer; `read` is what it was made from, each text with its name.
///
/// # Errors
/// A value that cannot be shown, a file that cannot be read or written.
pub(super) fn report(
    folder: &Output,
    document: Document,
    drawn: Vec<Drawn>,
    read: &[(&str, &str)],
) -> Result<(), Failure> {
    let mut figures = Vec::new();
    for (picture, figure) in drawn {
        pictures::put(folder, &picture)?;
        figures.push(figure);
    }
    let document = Document {
        figures,
        ..document
    };
    write(folder, &document, read)
}

/// The report of a document; `input` is what it was made from, each text with its name.
///
/// # Errors
/// A value that cannot be shown, a file that cannot be written.
pub(super) fn write(
    folder: &Output,
    document: &Document,
    input: &[(&str, &str)],
) -> Result<(), Failure> {
    let made = Made {
        version: env!("CARGO_PKG_VERSION"),
        command: &page::command(),
        input,
    };
    let text = document.page(made).map_err(Failure::fault)?;
    Ok(folder.put(page::NAME, text.as_bytes())?)
}

/// Calendars, result and report of an update; one calendar a hive.
///
/// # Errors
/// As [`report`].
pub(super) fn update(
    folder: &Output,
    r: &UpdateResult,
    calendars: &[Calendar],
    reserve: f64,
    scenario: (&str, &str),
) -> Result<(), Failure> {
    let mut drawn = Vec::new();
    for (i, (h, c)) in r.hives.iter().zip(calendars).enumerate() {
        let picture = weighed(&WeighedCalendar {
            number: i + 1,
            hive: &h.hive,
            below: &text!(
                "program.winters_like_those",
                title = r.title,
                station = r.station
            ),
            start: r.start,
            before: &c.before,
            // No dates told, no course drawn.
            after: if h.after.is_some() { &c.after } else { &[] },
            seen: &c.seen,
            reserve,
            first_nectar: r.first_nectar,
        });
        let picture = picture.map_err(Failure::fault)?;
        let figure = update::figure(h, i, &picture);
        drawn.push((picture, figure));
    }
    let json = serde_json::to_vec_pretty(r)?;
    folder.put("result.json", &json)?;
    report(folder, update::document(r, Units::Both), drawn, &[scenario])
}
