//! The stores calendar: honey left by day over all winters run.

use super::axis::{self, Dates};
use super::calendar::{Calendar, Course};
use super::drawing::{BAND, BLACK, Drawing, Stroke};
use super::{Picture, PictureError, drawable, slug};
use crate::text;
use crate::texts::said;
use crate::words::Units;
use jiff::ToSpan;
use jiff::civil::{Date, date};
use partywall_core::calendar;
use partywall_core::decision::update::Range;
use partywall_core::ensemble::levels::middle;
use partywall_core::season::outcome::Starved;

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

/// Least, middle and most of all winters day by day, kg, from a day of a year without a 29 February on; over the days that all winters
/// have, 29 February left out so that the same place is the same date.
pub(super) fn band(
    picture: &str,
    winters: &[StoresWinter<'_>],
) -> Result<(Date, Vec<Range<f64>>), PictureError> {
    let mut lists = Vec::new();
    for w in winters {
        let mut list = Vec::new();
        for (i, value) in w.stores_by_day.iter().enumerate() {
            let when = w.start.saturating_add((i as i64).days());
            let value = drawable(picture, said("pictures.honey_hive_kg"), *value, when)?;
            if (when.month(), when.day()) != (2, 29) {
                list.push(value);
            }
        }
        lists.push(list);
    }
    let n = lists.iter().map(Vec::len).min().unwrap_or(0);
    let days = (0..n).map(|i| {
        let mut day: Vec<f64> = lists.iter().map(|l| l[i]).collect();
        day.sort_by(f64::total_cmp);
        Range {
            low: day[0],
            middle: middle(&day),
            high: day[day.len() - 1],
        }
    });
    // 2001 to 2003 have no 29 February.
    let start = winters.first().map(|w| w.start);
    let start = start.and_then(|d| Date::new(2001, d.month(), d.day()).ok());
    Ok((start.unwrap_or(date(2001, 3, 1)), days.collect()))
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
            k => text!("pictures.honey_out_reach", count = k),
        };
        let (many, first) = (starved.len(), axis::day(first));
        words.push(text!(
            "pictures.starved_earliest_drawn_if",
            many,
            winters = n,
            reach,
            first
        ));
    }
    if dead > 0 {
        words.push(text!("pictures.no_live_bees_at", dead, winters = n));
    }
    if words.is_empty() {
        let all = if n == 1 {
            String::new()
        } else {
            text!("pictures.in_all", winters = n)
        };
        words.push(text!("pictures.found_food_end", all = all));
    }
    words
}

/// The file name of a calendar.
pub(super) fn name(number: usize, hive: &str) -> String {
    slug(&format!("stores-{number}-{hive}"))
}

/// Draws the calendar of one colony.
///
/// # Errors
/// Without a single day, or with a value that is not a number.
pub fn stores(p: &StoresCalendar<'_>) -> Result<Picture, PictureError> {
    Picture::new(name(p.number, p.colony), |width| sheet(p, width))
}

/// The drawing of [`stores`].
pub(super) fn sheet(p: &StoresCalendar<'_>, width: f64) -> Result<Drawing, PictureError> {
    let which = match p.winters {
        [] => text!("pictures.no_winter"),
        [one] => text!("pictures.winter_of", winter = one.winter),
        [first, .., last] => text!(
            "pictures.winters_between",
            winters = p.winters.len(),
            first = first.winter,
            last = last.winter
        ),
    };
    let title = format!("{}, {which}, {}", p.colony, p.place);
    let (start, days) = band(&title, p.winters)?;
    let reserve = drawable(
        &title,
        said("pictures.reserve_kg"),
        p.reserve,
        p.first_nectar,
    )?;
    let wanted = Units::Both.mass(reserve);
    let (fill, words) = match p.winters {
        [_] => (None, said("pictures.hive")),
        _ => (Some(BAND), said("pictures.middle_winters_band_poorest")),
    };
    let calendar = Calendar {
        title: &title,
        below: p.below,
        caption: said("pictures.honey_left_hive_day"),
        dates: Dates {
            start,
            days: days.len(),
        },
        courses: &[Course {
            days: &days,
            stroke: MIDDLE,
            fill,
            words,
        }],
        weighings: None,
        reserve: (
            reserve,
            &text!("pictures.reserve_wanted_at_first", wanted = wanted),
        ),
        end: p.first_nectar,
    };
    let mut d = calendar.sheet(width)?;
    for words in losses(p.winters) {
        d.caption(24.0, &words);
    }
    d.size[1] += 16.0;
    Ok(d)
}
