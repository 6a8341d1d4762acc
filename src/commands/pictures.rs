//! The pictures that `run --out` writes beside the data.

use super::Failure;
use crate::files::output::Output;
use jiff::civil::{Date, DateTime};
use partywall_core::answer::RunResult;
use partywall_core::climate::series::Winter;
use partywall_core::colony::parameters::Parameters;
use partywall_core::ensemble::runner::Arrangement;
use partywall_core::hive::layout::Layout;
use partywall_core::season::WinterRun;
use partywall_core::season::outcome::{ColonyOutcome, Moment, WinterOutcome};
use partywall_core::season::snapshot::Snapshot;
use partywall_core::season::trace::Trace;
use partywall_core::water;
use partywall_report::pictures::axis::day;
use partywall_report::pictures::cutaway::{Cutaway, cutaway};
use partywall_report::pictures::damp::{DampPicture, damp};
use partywall_report::pictures::frames::{FramesPicture, frames};
use partywall_report::pictures::strip::{StripPicture, strip};
use partywall_report::pictures::surfaces::{self, HiveWater, SurfaceHive, SurfacesPicture};
use partywall_report::pictures::{
    Picture, SeasonPicture, StoresCalendar, StoresWinter, season, section, stores,
};
use partywall_report::text;
use partywall_report::texts::said;
use std::sync::atomic::AtomicBool;

/// The season picture of colony `c` in the winter of its weakest moment, gone through hour by hour.
///
/// # Errors
/// A value that cannot be drawn, a file that cannot be written.
pub fn season_of(
    folder: &Output,
    result: &RunResult,
    c: usize,
    traced: &WinterOutcome,
    trace: &Trace,
) -> Result<Picture, Failure> {
    let why = match result.climate.winters.len() {
        1 => String::new(),
        n => text!("pictures.weakest_winters", winters = n),
    };
    let colony = &traced.colonies[c];
    let picture = season(&SeasonPicture {
        number: c + 1,
        colony: &colony.stack,
        winter: &traced.winter,
        why: &why,
        place: &result.site,
        below: &below(result),
        trace,
        starved: colony.starved,
        weakest: colony.weakest.time.date(),
        first_nectar: &result.first_nectar,
    });
    let picture = picture.map_err(Failure::fault)?;
    put(folder, &picture)?;
    Ok(picture)
}

/// The stores calendar of every colony over all winters; `reserve` in kg.
///
/// # Errors
/// A value that cannot be drawn, a file that cannot be written.
pub fn calendars(
    folder: &Output,
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

/// What the hives are drawn from: the hours that page one names, each run up to on every arrangement, the last three days on the full
/// network; and the winter that was traced.
pub struct Inside<'a> {
    /// As the scenario stands, then apart if that differs.
    pub arrangements: &'a [Arrangement],
    /// All winters run.
    pub winters: &'a [Winter],
    /// What became of the colonies in them, as the scenario stands.
    pub outcomes: &'a [WinterOutcome],
    /// The winter that was traced.
    pub traced: &'a Winter,
    /// The colonies' parameters.
    pub parameters: &'a Parameters,
    /// Set to stop.
    pub stop: &'a AtomicBool,
    /// The winter hour by hour, as the scenario stands.
    pub trace: &'a Trace,
}

/// An hour of one of the winters run.
#[derive(Debug, Clone, PartialEq)]
struct Told<'a> {
    winter: &'a Winter,
    time: DateTime,
    /// The hives it is told of.
    hives: Vec<&'a str>,
}

impl Told<'_> {
    /// Hours since the winter's start.
    fn hour(&self) -> usize {
        let since = self.winter.start.at(0, 0, 0, 0);
        let hours = self.time.since((jiff::Unit::Hour, since));
        hours.map_or(0, |s| usize::try_from(s.get_hours()).unwrap_or(0))
    }
}

/// The hours in which a moment of each colony is least by `measure` over all winters, those of several colonies as one: the very ones that
/// [`partywall_core::decision::result::colonies`] tells.
fn least<'a>(
    winters: &'a [Winter],
    outcomes: &'a [WinterOutcome],
    moment: impl Fn(&ColonyOutcome) -> Moment,
    measure: impl Fn(&Moment) -> f64,
) -> Vec<Told<'a>> {
    let mut all: Vec<Told<'a>> = Vec::new();
    let colonies = outcomes.first().map_or(&[][..], |o| &o.colonies);
    for (c, colony) in colonies.iter().enumerate() {
        let of = winters.iter().zip(outcomes);
        let of = of.filter_map(|(w, o)| Some((w, moment(o.colonies.get(c)?))));
        let Some((winter, m)) = of.min_by(|a, b| measure(&a.1).total_cmp(&measure(&b.1))) else {
            continue;
        };
        let same = |t: &&mut Told<'a>| std::ptr::eq(t.winter, winter) && t.time == m.time;
        match all.iter_mut().find(same) {
            Some(told) => told.hives.push(&colony.stack),
            None => all.push(Told {
                winter,
                time: m.time,
                hives: vec![&colony.stack],
            }),
        }
    }
    all
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
                .then(|| text!("pictures.starved", stack = c.stack, on = day(on)))
        })
        .collect();
    if starved.is_empty() {
        String::new()
    } else {
        text!("pictures.drawn_if_fed_then", starved = starved.join(", "))
    }
}

/// The cutaways of the coldest hour and of the weakest moments, the frames from above and the winter strip.
///
/// # Errors
/// A run that fails, a value that cannot be drawn, a file that cannot be written.
pub fn inside(
    folder: &Output,
    result: &RunResult,
    i: &Inside<'_>,
) -> Result<Vec<Picture>, Failure> {
    let Some(first) = i.arrangements.first() else {
        return Ok(Vec::new());
    };
    // Of colonies that did not all live to see it, the coldest of all.
    let coldest = least(i.winters, i.outcomes, |o| o.coldest, |m| m.outdoor_c);
    let outside = |t: &Told<'_>| {
        t.winter
            .hours
            .get(t.hour())
            .map_or(f64::NAN, |h| h.outdoor_c)
    };
    let coldest = coldest
        .into_iter()
        .min_by(|a, b| outside(a).total_cmp(&outside(b)));
    let Some(coldest) = coldest else {
        return Ok(Vec::new());
    };
    let mut drawn = Vec::new();
    let mut panels = Vec::new();
    for (n, a) in i.arrangements.iter().enumerate() {
        let name = match (n, result.paired) {
            (0, true) => said("pictures.together"),
            (0, false) => said("pictures.they_stand"),
            _ => said("pictures.apart"),
        };
        let snapshot = snapshot(i, a, &coldest)?;
        let panel = section::cut(name, &a.scenario, &a.stand.hive, &snapshot);
        panels.extend(panel.map_err(Failure::fault)?);
        if n == 0 {
            let layout = Layout::of(&a.scenario, &a.stand.hive.combs).map_err(Failure::fault)?;
            let as_if = as_if_fed(result, &coldest.winter.label, Some(coldest.time.date()));
            let picture = frames(&FramesPicture {
                title: &text!("pictures.frames_from_above", site = result.site),
                below: &text!("pictures.left_right_seen_from", as_if = as_if),
                start: &coldest.winter.start.strftime("%-d %b %Y").to_string(),
                later: &text!(
                    "pictures.coldest_hour",
                    time = coldest.time.strftime("%-d %b %Y")
                ),
                rows: &section::frames(&a.scenario, &a.stand.hive, &snapshot, &layout),
            });
            drawn.push(picture.map_err(Failure::fault)?);
            drawn.push(inner(result, a, &coldest, &snapshot)?);
        }
    }
    let as_if = as_if_fed(result, &coldest.winter.label, Some(coldest.time.date()));
    let title = text!("pictures.cut_through_clusters_from", site = result.site);
    let picture = cutaway(&Cutaway {
        name: "cutaway",
        title: &title,
        below: &text!("pictures.coldest_hour_all_winters", as_if = as_if),
        panels: &panels,
    });
    drawn.insert(0, picture.map_err(Failure::fault)?);
    drawn.extend(weakest(result, i, first, &coldest)?);
    let picture = strip(&StripPicture {
        title: &text!(
            "pictures.clusters_through_winter",
            site = result.site,
            label = i.traced.label
        ),
        below: &text!(
            "pictures.from_behind_scale_coldest",
            label = as_if_fed(result, &i.traced.label, None)
        ),
        trace: i.trace,
        hives: &section::strip_hives(&first.scenario, &first.stand.hive),
    });
    drawn.push(picture.map_err(Failure::fault)?);
    drawn.push(wet(result, i)?);
    for picture in &drawn {
        put(folder, picture)?;
    }
    Ok(drawn)
}

/// The inner surfaces of the hives in the coldest hour, and where water gathers on them.
fn inner(
    result: &RunResult,
    a: &Arrangement,
    coldest: &Told<'_>,
    snapshot: &Snapshot,
) -> Result<Picture, Failure> {
    let hive = &a.stand.hive;
    let stacks = a.scenario.stacks.iter().enumerate();
    let hives: Vec<SurfaceHive> = stacks
        .filter(|(_, s)| s.colony.is_some())
        .map(|(n, s)| {
            let patches = water::patches(hive, &snapshot.node_c, n);
            let (state, stack) = (&snapshot.water[n], &a.stand.water()[n]);
            let on: Vec<f64> = patches.iter().map(|p| state.on(stack, p)).collect();
            let water = HiveWater {
                on: &on,
                lies: state.lies,
                books: &state.books.sums,
            };
            surfaces::hive(&s.name, &patches, &water)
        })
        .collect();
    let as_if = as_if_fed(result, &coldest.winter.label, Some(coldest.time.date()));
    let picture = surfaces::surfaces(&SurfacesPicture {
        title: &text!("pictures.inner_surfaces", site = result.site),
        below: &text!(
            "pictures.coldest_hour_all_winters_run",
            day = coldest.time.strftime("%-d %b %Y"),
            hour = coldest.time.hour(),
            as_if
        ),
        hives: &hives,
    });
    picture.map_err(Failure::fault)
}

/// Dew and ice in the hives through the winter that was traced.
fn wet(result: &RunResult, i: &Inside<'_>) -> Result<Picture, Failure> {
    let hives: Vec<&str> = result.colonies.iter().map(|c| c.stack.as_str()).collect();
    let picture = damp(&DampPicture {
        title: &text!(
            "pictures.winter_of_dew",
            site = result.site,
            label = i.traced.label
        ),
        below: &text!(
            "pictures.coldest_by_mean",
            label = as_if_fed(result, &i.traced.label, None)
        ),
        trace: i.trace,
        hives: &hives,
        first_nectar: &result.first_nectar,
    });
    picture.map_err(Failure::fault)
}

/// The hives in the weakest moments, as they stand; `None` where those are the coldest hour.
fn weakest(
    result: &RunResult,
    i: &Inside<'_>,
    a: &Arrangement,
    coldest: &Told<'_>,
) -> Result<Option<Picture>, Failure> {
    let mut weakest = least(i.winters, i.outcomes, |o| o.weakest, |m| m.heat_in_hand);
    weakest.retain(|t| !(std::ptr::eq(t.winter, coldest.winter) && t.time == coldest.time));
    let mut panels = Vec::new();
    let mut as_if = String::new();
    for told in &weakest {
        let name = text!("pictures.weakest_moment", hives = told.hives.join(" and "));
        let panel = section::cut(&name, &a.scenario, &a.stand.hive, &snapshot(i, a, told)?);
        panels.extend(panel.map_err(Failure::fault)?);
        let words = as_if_fed(result, &told.winter.label, Some(told.time.date()));
        if !as_if.contains(&words) {
            as_if.push_str(&words);
        }
    }
    if panels.is_empty() {
        return Ok(None);
    }
    let picture = cutaway(&Cutaway {
        name: "weakest",
        title: &text!("pictures.weakest_moment_from_behind", site = result.site),
        below: &text!("pictures.hour_all_winters_run", as_if = as_if),
        panels: &panels,
    });
    picture.map(Some).map_err(Failure::fault)
}

fn snapshot(i: &Inside<'_>, a: &Arrangement, told: &Told<'_>) -> Result<Snapshot, Failure> {
    let winter_run = WinterRun {
        scenario: &a.scenario,
        stand: &a.stand,
        winter: told.winter,
        parameters: i.parameters,
        stop: i.stop,
    };
    Ok(winter_run.snapshot(told.hour())?)
}

fn below(result: &RunResult) -> String {
    text!(
        "pictures.weather",
        title = result.title,
        station = result.climate.station
    )
}

/// Writes every file of a picture.
///
/// # Errors
/// A file that cannot be written.
pub fn put(folder: &Output, picture: &Picture) -> Result<(), Failure> {
    for (name, bytes) in picture.files().map_err(Failure::fault)? {
        folder.put(&name, &bytes)?;
    }
    Ok(())
}
