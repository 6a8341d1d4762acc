//! The reports and pictures of `compare`, `rank` and `update`.

use super::{Failure, files, page, pictures};
use partywall_core::answer::update::{Calendar, UpdateResult};
use partywall_core::answer::{CompareResult, RankResult};
use partywall_report::page::{comparison, ranking, update};
use partywall_report::pictures::{Picture, PictureError, WeighedCalendar, weighed};
use std::path::Path;

/// Texts that were read, with their names.
fn inputs(words: &[&str]) -> Result<Vec<(String, String)>, Failure> {
    words
        .iter()
        .map(|w| Ok(((*w).to_owned(), page::input(w)?)))
        .collect()
}

/// A picture, or none where there is nothing to draw.
fn some(drawn: Result<Picture, PictureError>) -> Result<Option<Picture>, Failure> {
    match drawn {
        Ok(p) => Ok(Some(p)),
        Err(PictureError::Empty(_)) => Ok(None),
        Err(e) => Err(Failure::fault(e)),
    }
}

/// Bars and report of a ranking.
///
/// # Errors
/// A value that cannot be shown, a file that cannot be read or written.
pub fn rank(folder: &Path, r: &RankResult, scenario: &str) -> Result<(), Failure> {
    let mut drawn = Vec::new();
    for k in 0..r.colonies.len() {
        if let Some(p) = some(ranking::picture(r, k))? {
            pictures::put(folder, &p)?;
            drawn.push((k, p));
        }
    }
    let text = ranking::html(r, &drawn, &page::command(), &inputs(&[scenario])?);
    files::put(folder, page::NAME, text.map_err(Failure::fault)?.as_bytes())
}

/// Bars and report of a comparison.
///
/// # Errors
/// As [`rank`].
pub fn compare(folder: &Path, r: &CompareResult, scenarios: &[String]) -> Result<(), Failure> {
    let mut drawn = Vec::new();
    for k in 0..r.colonies.len() {
        if let Some(p) = some(comparison::picture(r, k))? {
            pictures::put(folder, &p)?;
            drawn.push((k, p));
        }
    }
    let words: Vec<&str> = scenarios.iter().map(String::as_str).collect();
    let text = comparison::html(r, &drawn, &page::command(), &inputs(&words)?);
    files::put(folder, page::NAME, text.map_err(Failure::fault)?.as_bytes())
}

/// Calendars, result and report of an update; one calendar a hive.
///
/// # Errors
/// As [`rank`].
pub(super) fn update(
    folder: &Path,
    r: &UpdateResult,
    calendars: &[Calendar],
    reserve: f64,
    scenario: &str,
) -> Result<(), Failure> {
    let mut drawn = Vec::new();
    for (i, (h, c)) in r.hives.iter().zip(calendars).enumerate() {
        let picture = weighed(&WeighedCalendar {
            number: i + 1,
            hive: &h.hive,
            below: &format!("{}; winters like those of {}", r.title, r.station),
            start: r.start,
            before: &c.before,
            // No dates told, no course drawn.
            after: if h.after.is_some() { &c.after } else { &[] },
            seen: &c.seen,
            reserve,
            first_nectar: r.first_nectar,
        });
        let picture = picture.map_err(Failure::fault)?;
        pictures::put(folder, &picture)?;
        drawn.push(picture);
    }
    let json = serde_json::to_vec_pretty(r)?;
    files::put(folder, "result.json", &json)?;
    let text = update::html(r, &drawn, &page::command(), &inputs(&[scenario])?);
    files::put(folder, page::NAME, text.map_err(Failure::fault)?.as_bytes())
}
