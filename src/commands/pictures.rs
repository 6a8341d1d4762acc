//! The pictures that `run --out` writes beside the data.

use super::{Failure, files};
use crate::climate::series::Winter;
use crate::report::pictures::{
    Picture, SeasonPicture, StoresCalendar, StoresWinter, season, stores,
};
use crate::report::result::RunResult;
use crate::season::outcome::WinterOutcome;
use crate::season::trace::Trace;
use std::path::Path;

/// The season picture of every colony in the winter that was traced, the coldest.
///
/// # Errors
/// A value that cannot be drawn, a file that cannot be written.
pub fn seasons(
    folder: &Path,
    result: &RunResult,
    traced: &WinterOutcome,
    trace: &Trace,
) -> Result<(), Failure> {
    let why = match result.climate.winters.len() {
        1 => String::new(),
        n => format!("; the coldest of the {n} winters run"),
    };
    let below = format!("{}{why}", below(result));
    for (c, colony) in traced.colonies.iter().enumerate() {
        let picture = season(&SeasonPicture {
            number: c + 1,
            colony: &colony.stack,
            winter: &traced.winter,
            place: &result.site,
            below: &below,
            trace,
            starved: colony.starved,
            first_nectar: &result.first_nectar,
        });
        put(folder, &picture.map_err(Failure::fault)?)?;
    }
    Ok(())
}

/// The stores calendar of every colony over all winters; `reserve` in kg.
///
/// # Errors
/// A value that cannot be drawn, a file that cannot be written.
pub fn calendars(
    folder: &Path,
    result: &RunResult,
    winters: &[Winter],
    outcomes: &[WinterOutcome],
    reserve: f64,
) -> Result<(), Failure> {
    let below = below(result);
    let colonies = outcomes.first().map_or(&[][..], |o| &o.colonies);
    for (c, colony) in colonies.iter().enumerate() {
        let through: Vec<_> = winters
            .iter()
            .zip(outcomes)
            .filter_map(|(winter, o)| {
                let mine = o.colonies.get(c)?;
                Some(StoresWinter {
                    winter: &o.winter,
                    start: winter.start,
                    stores_by_day: &mine.stores_by_day,
                    starved: mine.starved,
                    alive: mine.alive,
                })
            })
            .collect();
        let picture = stores(&StoresCalendar {
            number: c + 1,
            colony: &colony.stack,
            place: &result.site,
            below: &below,
            winters: &through,
            reserve,
            first_nectar: &result.first_nectar,
        });
        put(folder, &picture.map_err(Failure::fault)?)?;
    }
    Ok(())
}

fn below(result: &RunResult) -> String {
    format!("{}; weather of {}", result.title, result.climate.station)
}

/// Writes a picture in both forms.
///
/// # Errors
/// A file that cannot be written.
pub fn put(folder: &Path, picture: &Picture) -> Result<(), Failure> {
    files::put(folder, &format!("{}.svg", picture.name), &picture.svg)?;
    files::put(folder, &format!("{}.png", picture.name), &picture.png)
}
