//! The pictures that `run --out` writes beside the data.

use super::{Failure, files};
use crate::climate::series::Winter;
use crate::colony::parameters::Parameters;
use crate::ensemble::runner::Arrangement;
use crate::hive::layout::Layout;
use crate::report::pictures::axis::day;
use crate::report::pictures::cutaway::{Cutaway, cutaway};
use crate::report::pictures::frames::{FramesPicture, frames};
use crate::report::pictures::strip::{StripPicture, strip};
use crate::report::pictures::{
    Picture, SeasonPicture, StoresCalendar, StoresWinter, season, section, stores,
};
use crate::report::result::RunResult;
use crate::season::Course;
use crate::season::outcome::WinterOutcome;
use crate::season::trace::Trace;
use jiff::civil::Date;
use std::path::Path;
use std::sync::atomic::AtomicBool;

/// The season picture of every colony in the winter that was traced, the coldest.
///
/// # Errors
/// A value that cannot be drawn, a file that cannot be written.
pub fn seasons(
    folder: &Path,
    result: &RunResult,
    traced: &WinterOutcome,
    trace: &Trace,
) -> Result<Vec<Picture>, Failure> {
    let mut drawn = Vec::new();
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
        let picture = picture.map_err(Failure::fault)?;
        put(folder, &picture)?;
        drawn.push(picture);
    }
    Ok(drawn)
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
) -> Result<Vec<Picture>, Failure> {
    let mut drawn = Vec::new();
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
        let picture = picture.map_err(Failure::fault)?;
        put(folder, &picture)?;
        drawn.push(picture);
    }
    Ok(drawn)
}

/// The hives in the coldest hour of the winter that was traced: every arrangement is run up to it, the last three days on
/// the full network.
pub struct Inside<'a> {
    /// As the scenario stands, then apart if that differs.
    pub arrangements: &'a [Arrangement],
    /// The winter.
    pub winter: &'a Winter,
    /// The colonies' parameters.
    pub parameters: &'a Parameters,
    /// Set to stop.
    pub stop: &'a AtomicBool,
    /// The winter hour by hour, as the scenario stands.
    pub trace: &'a Trace,
}

/// Says of colonies that starved in a winter, before a day if one is given, that they are drawn as if they had been fed.
fn as_if_fed(result: &RunResult, winter: &str, before: Option<Date>) -> String {
    let starved: Vec<String> = result
        .colonies
        .iter()
        .filter_map(|c| {
            let w = c.winters.iter().find(|w| w.winter == winter)?;
            let on = w.starved?.date;
            before
                .is_none_or(|d| on < d)
                .then(|| format!("{} starved on {}", c.stack, day(on)))
        })
        .collect();
    if starved.is_empty() {
        String::new()
    } else {
        format!("; {}: drawn as if fed then", starved.join(", "))
    }
}

/// The cutaway, the frames from above and the winter strip.
///
/// # Errors
/// A run that fails, a value that cannot be drawn, a file that cannot be written.
pub fn inside(folder: &Path, result: &RunResult, i: &Inside<'_>) -> Result<Vec<Picture>, Failure> {
    let rows = i.trace.rows.iter().enumerate();
    let coldest = rows.min_by(|a, b| a.1.outside_c.total_cmp(&b.1.outside_c));
    let (Some((hour, row)), Some(first)) = (coldest, i.arrangements.first()) else {
        return Ok(Vec::new());
    };
    let as_if = as_if_fed(result, &i.winter.label, Some(row.time.date()));
    let mut panels = Vec::new();
    let mut drawn = Vec::new();
    for (n, a) in i.arrangements.iter().enumerate() {
        let course = Course {
            scenario: &a.scenario,
            stand: &a.stand,
            winter: i.winter,
            parameters: i.parameters,
            stop: i.stop,
        };
        let snapshot = course.snapshot(hour)?;
        let name = match (n, result.paired) {
            (0, true) => "Butted together",
            (0, false) => "As they stand",
            _ => "Apart",
        };
        let panel = section::cut(name, &a.scenario, &a.stand.hive, &snapshot);
        panels.extend(panel.map_err(Failure::fault)?);
        if n == 0 {
            let layout = Layout::of(&a.scenario, &a.stand.hive.combs).map_err(Failure::fault)?;
            let picture = frames(&FramesPicture {
                title: &format!("{}: the frames from above", result.site),
                below: &format!("Left and right as seen from behind, to scale{as_if}"),
                start: &result.start,
                later: &format!(
                    "{}, coldest hour of {}",
                    day(row.time.date()),
                    i.winter.label
                ),
                rows: &section::frames(&a.scenario, &a.stand.hive, &snapshot, &layout),
            });
            drawn.push(picture.map_err(Failure::fault)?);
        }
    }
    let below = format!("Coldest hour of winter {}, to scale{as_if}", i.winter.label);
    let picture = cutaway(&Cutaway {
        title: &format!("{}: cut through the clusters, from behind", result.site),
        below: &below,
        panels: &panels,
    });
    drawn.insert(0, picture.map_err(Failure::fault)?);
    let picture = strip(&StripPicture {
        title: &format!(
            "{}: the clusters through winter {}",
            result.site, i.winter.label
        ),
        below: &format!(
            "From behind, to scale{}",
            as_if_fed(result, &i.winter.label, None)
        ),
        trace: i.trace,
        hives: &section::strip_hives(&first.scenario, &first.stand.hive),
    });
    drawn.push(picture.map_err(Failure::fault)?);
    for picture in &drawn {
        put(folder, picture)?;
    }
    Ok(drawn)
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
