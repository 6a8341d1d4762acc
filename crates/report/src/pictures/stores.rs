//! The stores calendar: honey left by day over all winters run.

use super::axis;
use super::drawing::{BAND, BLACK, Drawing, Stroke, VERMILION};
use super::panel::{Panel, Sample, Sides, caption, heading, key, month_row};
use super::{Picture, PictureError, drawable, slug};
use crate::words::Units;
use jiff::ToSpan;
use jiff::civil::{Date, date};
use partywall_core::calendar;
use partywall_core::ensemble::levels::middle;
use partywall_core::season::outcome::Starved;
use partywall_core::units::format::pounds;

/// One winter of one colony.
#[derive(Debug, Clone)]
pub struct StoresWinter<'a> {
    /// "1982/83".
    pub winter: &'a str,
    /// First day.
    pub start: Date,
    /// Honey in the hive at the end of each day, kg.
    pub stores_by_day: &'a [f64],
    /// When and how it starved.
    pub starved: Option<Starved>,
    /// Whether it lived, starving left aside.
    pub alive: bool,
}

/// What is drawn.
pub struct StoresCalendar<'a> {
    /// Which colony, 1 at the left.
    pub number: usize,
    /// Its name.
    pub colony: &'a str,
    /// Where the stand is.
    pub place: &'a str,
    /// Words below the title.
    pub below: &'a str,
    /// The winters.
    pub winters: &'a [StoresWinter<'a>],
    /// Honey that must be left at first nectar, kg.
    pub reserve: f64,
    /// "19 May".
    pub first_nectar: &'a str,
}

const MIDDLE: Stroke = Stroke::solid(BLACK, 2.4);
const EDGE: Stroke = Stroke::solid([120; 3], 0.8);
const RESERVE: Stroke = Stroke {
    colour: VERMILION,
    width: 1.8,
    dash: &[8.0, 4.0],
};

/// Least, middle and most of all winters day by day.
#[derive(Debug, PartialEq)]
pub(super) struct Band {
    /// A day of a year without a 29 February.
    pub(super) start: Date,
    pub(super) low: Vec<f64>,
    pub(super) middle: Vec<f64>,
    pub(super) high: Vec<f64>,
}

impl Band {
    /// Over the days that all winters have; 29 February is left out so that the same place is the same date.
    pub(super) fn of(picture: &str, winters: &[StoresWinter<'_>]) -> Result<Self, PictureError> {
        let mut lists = Vec::new();
        for w in winters {
            let mut list = Vec::new();
            for (i, value) in w.stores_by_day.iter().enumerate() {
                let when = w.start.saturating_add((i as i64).days());
                let what = "honey in the hive, kg";
                let value = drawable(picture, what, *value, when)?;
                if (when.month(), when.day()) != (2, 29) {
                    list.push(value);
                }
            }
            lists.push(list);
        }
        let n = lists.iter().map(Vec::len).min().unwrap_or(0);
        let Some(first) = winters.first().filter(|_| n > 0) else {
            return Err(PictureError::Empty(picture.to_owned()));
        };
        let mut band = Self {
            // 2001 to 2003 have no 29 February.
            start: Date::new(2001, first.start.month(), first.start.day())
                .unwrap_or(date(2001, 3, 1)),
            low: Vec::new(),
            middle: Vec::new(),
            high: Vec::new(),
        };
        for i in 0..n {
            let mut day: Vec<f64> = lists.iter().map(|l| l[i]).collect();
            day.sort_by(f64::total_cmp);
            band.low.push(day[0]);
            band.high.push(day[day.len() - 1]);
            band.middle.push(middle(&day));
        }
        Ok(band)
    }
}

/// What became of the colony, in words, a row each: how many winters it starved in or did not live through.
pub(super) fn losses(winters: &[StoresWinter<'_>]) -> Vec<String> {
    let n = winters.len();
    let starved: Vec<Starved> = winters.iter().filter_map(|w| w.starved).collect();
    let beside = starved.iter().filter(|s| s.beside_honey.is_some()).count();
    let dead = winters.iter().filter(|w| !w.alive).count();
    let mut words = Vec::new();
    let start = winters.first().map(|w| calendar::of(w.start));
    let days = starved.iter().map(|s| s.date);
    let first = start.and_then(|start| days.min_by_key(|d| calendar::into_season(start, *d)));
    if let Some(first) = first {
        let reach = match beside {
            0 => String::new(),
            k => format!(" ({k} with honey out of reach)"),
        };
        words.push(format!(
            "Starved in {} of {n}{reach}, earliest {}; drawn as if fed then.",
            starved.len(),
            axis::day(first)
        ));
    }
    if dead > 0 {
        words.push(format!("No live bees at the end in {dead} of {n}."));
    }
    if words.is_empty() {
        words.push(match n {
            1 => "It found food to the end.".to_owned(),
            _ => format!("It found food to the end in all {n}."),
        });
    }
    words
}

/// Draws the calendar of one colony.
///
/// # Errors
/// Without a single day, or with a value that is not a number.
pub fn stores(p: &StoresCalendar<'_>) -> Result<Picture, PictureError> {
    let name = format!("stores-{}-{}", p.number, slug(p.colony));
    Picture::new(name.trim_end_matches('-').to_owned(), |width| {
        sheet(p, width)
    })
}

/// The drawing of [`stores`].
pub(super) fn sheet(p: &StoresCalendar<'_>, width: f64) -> Result<Drawing, PictureError> {
    let which = match p.winters {
        [] => "no winter".to_owned(),
        [one] => format!("winter {}", one.winter),
        [first, .., last] => format!(
            "{} winters between {} and {}",
            p.winters.len(),
            first.winter,
            last.winter
        ),
    };
    let title = format!("{}, {which}, {}", p.colony, p.place);
    let band = Band::of(&title, p.winters)?;
    let reserve = drawable(&title, "the reserve, kg", p.reserve, p.first_nectar)?;
    let n = band.middle.len() as f64;
    let mut d = Drawing::new(width, 0.0);
    let y = heading(&mut d, &title, p.below);
    let y = caption(
        &mut d,
        y + 32.0,
        "Honey left in the hive by day: kg on the left, lb on the right",
    );
    let reserve_words = format!(
        "reserve wanted at first nectar, {}",
        Units::Both.mass(reserve)
    );
    let several = p.winters.len() > 1;
    let mut entries = Vec::new();
    if several {
        entries.push((
            Sample::Band(BAND, Some(MIDDLE)),
            "middle of the winters; band: poorest to best",
        ));
    } else {
        entries.push((Sample::Line(MIDDLE), "in the hive"));
    }
    entries.push((Sample::Line(RESERVE), reserve_words.as_str()));
    let up = key(&mut d, y + 22.0, &entries) + 16.0;

    let top = band.high.iter().copied().fold(reserve, f64::max);
    let bottom = band.low.iter().copied().fold(reserve.min(0.0), f64::min);
    let sides = Sides {
        most: 7,
        right: Some(&pounds),
    };
    let up = [up, up + 302.0];
    let panel = Panel::new(&mut d, up, [bottom, top], band.start, n, &sides);
    if several {
        panel.band(&mut d, &band.low, &band.high, BAND);
        panel.line(&mut d, &band.low, EDGE);
        panel.line(&mut d, &band.high, EDGE);
    }
    let y = panel.y.at(reserve);
    d.line(&[[panel.x.place[0], y], [panel.x.place[1], y]], RESERVE);
    panel.line(&mut d, &band.middle, MIDDLE);
    panel.frame(&mut d);
    let end = format!("to first dependable nectar, {}", p.first_nectar);
    month_row(&mut d, &panel, up[1] + 18.0, band.start, n, &end);
    let mut y = up[1] + 40.0;
    for words in losses(p.winters) {
        y = caption(&mut d, y + 22.0, &words);
    }
    d.size[1] = y + 16.0;
    Ok(d)
}
