//! One colony through one winter: temperatures, stores, brood and bees on one axis of days.

use super::axis;
use super::drawing::{BAND, BLACK, BLUE, Drawing, GREY, Stroke, VERMILION};
use super::panel::{Panel, Sample, Sides, caption, heading, key, month_row, remark};
use super::{Picture, PictureError, drawable, slug};
use crate::words::Units;
use jiff::civil::Date;
use partywall_core::season::outcome::Starved;
use partywall_core::season::trace::Trace;
use partywall_core::units::format::{fahrenheit, pounds};

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
const AROUND: Stroke = Stroke {
    colour: BLUE,
    width: 1.6,
    dash: &[8.0, 4.0],
};
const MANTLE: Stroke = Stroke {
    colour: VERMILION,
    width: 2.0,
    dash: &[2.5, 2.5],
};
const CORE: Stroke = Stroke::solid(BLACK, 2.4);
const IN_HIVE: Stroke = Stroke::solid(BLACK, 2.4);
const IN_REACH: Stroke = Stroke {
    colour: BLUE,
    width: 1.8,
    dash: &[8.0, 4.0],
};
const NUMBERS: Stroke = Stroke::solid(BLACK, 1.6);

/// One colony's winter by days; temperatures are means of the day, the rest as at its end.
#[derive(Debug, Default)]
pub(super) struct Days {
    dates: Vec<Date>,
    pub(super) outside: Vec<f64>,
    outside_low: Vec<f64>,
    outside_high: Vec<f64>,
    around: Vec<f64>,
    mantle: Vec<f64>,
    core: Vec<f64>,
    stores: Vec<f64>,
    in_contact: Vec<f64>,
    brood: Vec<f64>,
    bees: Vec<f64>,
    /// The first day that ends without a live bee.
    pub(super) empty_from: Option<usize>,
}

impl Days {
    /// Gathers the hours of one colony.
    pub(super) fn of(picture: &str, trace: &Trace, index: usize) -> Result<Self, PictureError> {
        let mut days = Self::default();
        for rows in trace.rows.chunk_by(|a, b| a.time.date() == b.time.date()) {
            let (mut sums, mut hours) = ([0.0; 4], 0.0);
            let (mut low, mut high) = (f64::INFINITY, f64::NEG_INFINITY);
            let mut last = None;
            for row in rows {
                let Some(c) = row.colonies.get(index) else {
                    continue;
                };
                let m = &c.moment;
                let four = [
                    ("outside air, degC", row.outside_c),
                    ("air around the cluster, degC", m.around_c),
                    ("outermost bees, degC", m.mantle_c),
                    ("core, degC", m.core_c),
                ];
                for (sum, (what, value)) in sums.iter_mut().zip(four) {
                    *sum += drawable(picture, what, value, row.time)?;
                }
                for (what, value) in [
                    ("honey in the hive, kg", c.stores),
                    ("honey within reach, kg", c.in_contact),
                    ("brood cells", c.brood_cells),
                    ("bees", c.bees),
                ] {
                    drawable(picture, what, value, row.time)?;
                }
                low = low.min(row.outside_c);
                high = high.max(row.outside_c);
                hours += 1.0;
                last = Some((row.time.date(), c));
            }
            let Some((date, c)) = last else { continue };
            if c.bees < 1.0 && days.empty_from.is_none() {
                days.empty_from = Some(days.dates.len());
            }
            days.dates.push(date);
            let [outside, around, mantle, core] = sums.map(|s| s / hours);
            days.outside.push(outside);
            days.outside_low.push(low);
            days.outside_high.push(high);
            days.around.push(around);
            days.mantle.push(mantle);
            days.core.push(core);
            days.stores.push(c.stores);
            days.in_contact.push(c.in_contact);
            days.brood.push(c.brood_cells);
            days.bees.push(c.bees);
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

/// Least and greatest of several series; `floor` is always within.
fn range(series: &[&[f64]], floor: f64) -> [f64; 2] {
    series
        .iter()
        .flat_map(|s| s.iter())
        .fold([floor; 2], |[lo, hi], v| [lo.min(*v), hi.max(*v)])
}

/// The words beside the day of starving.
#[must_use]
pub fn starved_words(s: &Starved) -> String {
    let day = axis::day(s.date);
    match s.beside_honey {
        Some(kg) => format!("starved {day}: {} out of reach", Units::Both.mass(kg)),
        None => format!("starved {day}: no honey left"),
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
    let title = format!("{}, winter {}{why}, {}", p.colony, p.winter, p.place);
    let days = Days::of(&title, p.trace, p.number.saturating_sub(1))?;
    let mut d = Drawing::new(width, 0.0);
    let y = heading(&mut d, &title, p.below);
    let start = days.dates[0];
    let n = days.dates.len() as f64;

    let y = caption(
        &mut d,
        y + 32.0,
        "Temperature, means of each day: C on the left, F on the right",
    );
    let y = key(
        &mut d,
        y + 22.0,
        &[
            (Sample::Line(CORE), "core"),
            (Sample::Line(MANTLE), "outermost bees"),
            (Sample::Line(AROUND), "air around the cluster"),
            (
                Sample::Band(BAND, Some(OUTSIDE)),
                "outside air, with its low and high",
            ),
        ],
    );
    let series = [
        days.outside_low.as_slice(),
        &days.outside_high,
        &days.around,
        days.lived(&days.mantle),
        days.lived(&days.core),
    ];
    let sides = Sides {
        most: 7,
        right: Some(&fahrenheit),
    };
    let warm = Panel::new(
        &mut d,
        [y + 16.0, y + 236.0],
        range(&series, 0.0),
        start,
        n,
        &sides,
    );
    warm.band(&mut d, &days.outside_low, &days.outside_high, BAND);
    warm.line(&mut d, &days.outside, OUTSIDE);
    warm.line(&mut d, &days.around, AROUND);
    warm.line(&mut d, days.lived(&days.mantle), MANTLE);
    warm.line(&mut d, days.lived(&days.core), CORE);
    let until = |day: Date| days.dates.iter().take_while(|d| **d < day).count() as f64;
    let words = format!("weakest {}", axis::day(p.weakest));
    warm.mark_below(&mut d, until(p.weakest) + 0.5, &words);
    warm.frame(&mut d);

    let y = caption(&mut d, y + 266.0, "Honey: kg on the left, lb on the right");
    let y = key(
        &mut d,
        y + 22.0,
        &[
            (Sample::Line(IN_HIVE), "in the hive"),
            (Sample::Line(IN_REACH), "within the cluster's reach"),
        ],
    );
    let sides = Sides {
        most: 5,
        right: Some(&pounds),
    };
    let in_reach = days.lived(&days.in_contact);
    let honey = range(&[&days.stores, in_reach], 0.0);
    let honey = Panel::new(&mut d, [y + 16.0, y + 166.0], honey, start, n, &sides);
    honey.line(&mut d, &days.stores, IN_HIVE);
    honey.line(&mut d, in_reach, IN_REACH);
    if let Some(s) = &p.starved {
        honey.mark(&mut d, until(s.date) + 0.5, &starved_words(s));
    }
    honey.frame(&mut d);

    let sides = Sides {
        most: 3,
        right: None,
    };
    let zero = vec![0.0; days.dates.len()];
    // Ten cells at least, lest the scale of a winter without brood counts parts of a cell.
    let brood = range(&[&days.brood, &[10.0]], 0.0);
    let words = if days.brood.iter().any(|b| *b >= 1.0) {
        "Brood cells"
    } else {
        "Brood cells: none at the end of any day"
    };
    let y = caption(&mut d, y + 192.0, words);
    let brood = Panel::new(&mut d, [y + 18.0, y + 90.0], brood, start, n, &sides);
    brood.band(&mut d, &zero, &days.brood, BAND);
    brood.line(&mut d, &days.brood, NUMBERS);
    brood.frame(&mut d);
    let y = caption(&mut d, y + 114.0, "Adult bees");
    let bees = range(&[&days.bees, &[10.0]], 0.0);
    let bees = Panel::new(&mut d, [y + 18.0, y + 90.0], bees, start, n, &sides);
    bees.line(&mut d, &days.bees, CORE);
    if let Some(from) = days.empty_from {
        let words = format!("no live bees from {}", axis::day(days.dates[from]));
        bees.mark(&mut d, from as f64 + 0.5, &words);
    }
    bees.frame(&mut d);
    let end = format!("to first dependable nectar, {}", p.first_nectar);
    let mut y = y + 108.0;
    month_row(&mut d, &bees, y, start, n, &end);
    y += 20.0;
    if p.starved.is_some() {
        let words = "After the day it starved the lines go on as if it had been fed.";
        y = remark(&mut d, y + 22.0, words);
    }
    d.size[1] = y + 22.0;
    Ok(d)
}
