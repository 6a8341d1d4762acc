//! One colony through one winter: temperatures, stores, brood and bees on one axis of days.

use super::axis::{self, Dates, span};
use super::drawing::{BAND, BLACK, BLUE, Drawing, GREY, Stroke, VERMILION};
use super::panel::{COUNT, Labels, MASS, Panel, TEMPERATURE};
use super::sheet::Sample;
use super::{Picture, PictureError, all_drawable, slug};
use crate::text;
use crate::texts::{either, said};
use crate::words::Units;
use jiff::civil::Date;
use partywall_core::season::outcome::Starved;
use partywall_core::season::trace::{Trace, TraceColony, TraceRow};

/// What is drawn.
pub struct SeasonPicture<'a> {
    /// Which colony, 1 at the left.
    pub number: usize,
    /// Its name.
    pub colony: &'a str,
    /// "1982/83".
    pub winter: &'a str,
    /// Why this winter: "its weakest of 36 winters"; empty for the only one.
    pub why: &'a str,
    /// Where the stand is.
    pub place: &'a str,
    /// Words below the title: which weather.
    pub below: &'a str,
    /// The winter hour by hour, all colonies.
    pub trace: &'a Trace,
    /// When and how it starved.
    pub starved: Option<Starved>,
    /// Day of its weakest moment in that winter.
    pub weakest: Date,
    /// "19 May".
    pub first_nectar: &'a str,
}

const OUTSIDE: Stroke = Stroke::solid(GREY, 0.8);
const AROUND: Stroke = Stroke::dashed(BLUE, 1.6, &[8.0, 4.0]);
const MANTLE: Stroke = Stroke::dashed(VERMILION, 2.0, &[2.5, 2.5]);
const CORE: Stroke = Stroke::solid(BLACK, 2.4);
const IN_REACH: Stroke = Stroke::dashed(BLUE, 1.8, &[8.0, 4.0]);
const NUMBERS: Stroke = Stroke::solid(BLACK, 1.6);

/// A quantity of an hour.
type Quantity = (&'static str, fn(&TraceRow, &TraceColony) -> f64);
/// Those whose means of a day are drawn.
const MEANS: [Quantity; 4] = [
    ("outside air, degC", |row, _| row.outdoor_c),
    ("air around the cluster, degC", |_, c| c.moment.around_c),
    ("outermost bees, degC", |_, c| c.moment.mantle_c),
    ("core, degC", |_, c| c.moment.core_c),
];
/// Those drawn as they are at the end of a day.
const ENDS: [Quantity; 4] = [
    ("honey in the hive, kg", |_, c| c.stores),
    ("honey within reach, kg", |_, c| c.in_contact),
    ("brood cells", |_, c| c.brood_cells),
    ("bees", |_, c| c.bees),
];

/// One colony's winter by days.
#[derive(Debug, Default)]
struct Days {
    dates: Vec<Date>,
    /// In the order of [`MEANS`].
    means: [Vec<f64>; 4],
    /// In the order of [`ENDS`].
    ends: [Vec<f64>; 4],
    /// Least and greatest of the air outside, degC.
    outside: [Vec<f64>; 2],
    /// The first day that ends without a live bee.
    empty_from: Option<usize>,
}

impl Days {
    /// Gathers the hours of one colony.
    fn of(picture: &str, trace: &Trace, index: usize) -> Result<Self, PictureError> {
        let mut days = Self::default();
        for rows in trace.rows.chunk_by(|a, b| a.time.date() == b.time.date()) {
            let hours = rows
                .iter()
                .filter_map(|r| Some((r, r.colonies.get(index)?)));
            let hours: Vec<_> = hours.collect();
            for (row, c) in &hours {
                let all = MEANS.iter().chain(&ENDS);
                all_drawable(picture, row.time, all.map(|(what, of)| (*what, of(row, c))))?;
            }
            let Some((row, c)) = hours.last() else {
                continue;
            };
            if c.bees < 1.0 && days.empty_from.is_none() {
                days.empty_from = Some(days.dates.len());
            }
            days.dates.push(row.time.date());
            for (list, (_, of)) in days.means.iter_mut().zip(MEANS) {
                let sum: f64 = hours.iter().map(|(row, c)| of(row, c)).sum();
                list.push(sum / hours.len() as f64);
            }
            for (list, (_, of)) in days.ends.iter_mut().zip(ENDS) {
                list.push(of(row, c));
            }
            let ends = span(hours.iter().map(|(row, _)| row.outdoor_c));
            for (list, end) in days.outside.iter_mut().zip(ends) {
                list.push(end);
            }
        }
        if days.dates.is_empty() {
            return Err(PictureError::Empty(picture.to_owned()));
        }
        Ok(days)
    }

    /// As much of a series as there were live bees for.
    fn lived<'a>(&self, series: &'a [f64]) -> &'a [f64] {
        &series[..self.empty_from.unwrap_or(series.len()).min(series.len())]
    }
}

/// Least and greatest of several series; `also` is always within.
fn range(series: &[&[f64]], also: f64) -> [f64; 2] {
    let all = series.iter().copied().flatten().copied();
    span(all.chain([0.0, also]))
}

/// The words beside the day of starving.
#[must_use]
pub fn starved_words(s: &Starved) -> String {
    let day = axis::day(s.date);
    match s.beside_honey {
        Some(kg) => text!(
            "pictures.starved_out_reach",
            day = day,
            kg = Units::Both.mass(kg)
        ),
        None => text!("pictures.starved_no_honey_left", day = day),
    }
}

/// Draws the picture of one colony's winter.
///
/// # Errors
/// Without a single hour, or with a value that is not a number.
pub fn season(p: &SeasonPicture<'_>) -> Result<Picture, PictureError> {
    let name = format!(
        "season-{}-{}",
        p.number,
        slug(&format!("{}-{}", p.colony, p.winter))
    );
    Picture::new(name, |width| sheet(p, width))
}

/// The drawing of [`season`].
pub(super) fn sheet(p: &SeasonPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let why = match p.why {
        "" => String::new(),
        why => format!(" ({why})"),
    };
    let title = text!(
        "pictures.winter",
        colony = p.colony,
        winter = p.winter,
        why = why,
        place = p.place
    );
    let days = Days::of(&title, p.trace, p.number.saturating_sub(1))?;
    let dates = Dates {
        start: days.dates[0],
        days: days.dates.len(),
    };
    let panel = |d: &mut Drawing, size, values, labels: Labels| {
        Panel::of_days(d, size, dates, values, labels)
    };
    let until = |day: Date| days.dates.iter().take_while(|d| **d < day).count() as f64 + 0.5;
    let [outside, around, mantle, core] = &days.means;
    let (mantle, core, [low, high]) = (days.lived(mantle), days.lived(core), &days.outside);
    let [stores, in_reach, brood, bees] = &days.ends;
    let in_reach = days.lived(in_reach);
    let mut d = Drawing::new(width);
    d.heading(&title, p.below);

    let words = said("pictures.temperature_means_each_day");
    d.caption(32.0, words);
    let words = said("pictures.outside_air_low_high");
    let entries = [
        (Sample::Line(CORE), "core"),
        (Sample::Line(MANTLE), said("pictures.outermost_bees")),
        (Sample::Line(AROUND), said("pictures.air_around_cluster")),
        (Sample::Band(BAND, Some(OUTSIDE)), words),
    ];
    d.key(22.0, &entries);
    let values = (range(&[low, high, around, mantle, core], 0.0), 7);
    let warm = panel(&mut d, [20.0, 220.0], values, TEMPERATURE);
    warm.band(&mut d, low, high, BAND);
    for (series, stroke) in [
        (&outside[..], OUTSIDE),
        (around, AROUND),
        (mantle, MANTLE),
        (core, CORE),
    ] {
        warm.line(&mut d, series, stroke);
    }
    let words = text!("pictures.weakest", weakest = axis::day(p.weakest));
    warm.mark(&mut d, until(p.weakest), &words, true);
    warm.frame(&mut d);

    d.caption(30.0, said("pictures.honey_kg_left_lb"));
    let entries = [
        (Sample::Line(CORE), said("pictures.hive")),
        (
            Sample::Line(IN_REACH),
            said("pictures.within_clusters_reach"),
        ),
    ];
    d.key(22.0, &entries);
    let values = (range(&[stores, in_reach], 0.0), 5);
    let honey = panel(&mut d, [20.0, 150.0], values, MASS);
    honey.line(&mut d, stores, CORE);
    honey.line(&mut d, in_reach, IN_REACH);
    if let Some(s) = &p.starved {
        honey.mark(&mut d, until(s.date), &starved_words(s), false);
    }
    honey.frame(&mut d);

    let none = brood.iter().all(|b| *b < 1.0);
    let words = either(none, "pictures.none_at_end_any", "");
    d.caption(26.0, &text!("pictures.brood_cells_scale", words = words));
    // Ten cells at least, lest the scale of a winter without brood counts parts of a cell.
    let cells = panel(&mut d, [18.0, 72.0], (range(&[brood], 10.0), 3), COUNT);
    cells.band(&mut d, &vec![0.0; brood.len()], brood, BAND);
    cells.line(&mut d, brood, NUMBERS);
    cells.frame(&mut d);
    d.caption(24.0, said("pictures.adult_bees"));
    let adults = panel(&mut d, [18.0, 72.0], (range(&[bees], 10.0), 3), COUNT);
    adults.line(&mut d, bees, CORE);
    if let Some(from) = days.empty_from {
        let words = text!(
            "pictures.no_live_bees_from",
            from = axis::day(days.dates[from])
        );
        adults.mark(&mut d, from as f64 + 0.5, &words, false);
    }
    adults.frame(&mut d);
    let end = text!(
        "pictures.first_dependable_nectar",
        first_nectar = p.first_nectar
    );
    adults.months(&mut d, dates, &end);
    if p.starved.is_some() {
        let words = said("pictures.after_day_starved_lines");
        d.remark(22.0, words);
    }
    d.size[1] += 22.0;
    Ok(d)
}
