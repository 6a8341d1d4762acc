//! The winters of a record beside each other: how cold each was, and how late its spring came by the rule of thumb.

use crate::text;
use crate::texts::said;
use jiff::ToSpan;
use jiff::civil::Date;

use super::axis::{self, span};
use super::drawing::{BLACK, BLUE, Colour, Drawing, SMALL, Side, Span, Stroke, VERMILION};
use super::letters::text_width;
use super::panel::{Labels, Panel, TEMPERATURE};
use super::sheet::Sample;
use super::{Picture, PictureError, drawable};

/// Bars of winters like any other.
const USUAL: Colour = [165; 3];
/// Share of its place a bar fills.
const BAR: f64 = 0.7;
/// Least room between the names of two winters, units.
const BETWEEN: f64 = 10.0;

/// One winter.
#[derive(Debug, Clone, PartialEq)]
pub struct WinterBar {
    /// "1982/83".
    pub winter: String,
    /// Mean temperature, degC.
    pub mean_c: f64,
    /// Whether it is among the hard ones.
    pub hard: bool,
    /// First dependable nectar by the rule of thumb.
    pub nectar: Option<Date>,
    /// Whether its spring is among the late ones.
    pub late: bool,
}

/// What is drawn.
pub struct WintersPicture<'a> {
    /// Where it was measured.
    pub place: &'a str,
    /// Words below the title.
    pub below: &'a str,
    /// The winters, oldest first.
    pub winters: &'a [WinterBar],
}

/// Draws the winters of a record.
///
/// # Errors
/// Without a winter, or with a value that is not a number.
pub fn winters(p: &WintersPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("winters".to_owned(), |width| sheet(p, width))
}

/// One row of bars, each from the middle one to its value.
struct Bars<'a> {
    caption: &'a str,
    values: &'a [Option<f64>],
    /// Colour of the bars that stand out, which they are and what they are called.
    strong: (Colour, fn(&WinterBar) -> bool, &'a str),
    labels: Labels,
    height: f64,
    /// Whether the one that is named is the greatest, or the least.
    greatest: bool,
}

impl Bars<'_> {
    /// Draws them a gap below what is drawn, with the names of the winters below.
    fn draw(&self, d: &mut Drawing, gap: f64, winters: &[WinterBar]) {
        let (strong, stands_out, name) = self.strong;
        let known = || self.values.iter().flatten().copied();
        let Some(base) = middle(known()) else { return };
        d.caption(gap, self.caption);
        let entries = [
            (Sample::Band(strong, None), name),
            (Sample::Band(USUAL, None), said("pictures.others")),
        ];
        d.key(22.0, &entries);
        let [low, high] = span(known());
        // Room for the name beyond the longest bar.
        let room = 0.12 * (high - low).max(1.0);
        let values = ([low - room, high + room], 6);
        let panel = Panel::new(d, [20.0, self.height], winters.len(), values, self.labels);
        let place = |i: usize| [0.0, BAR].map(|w| panel.x.at(i as f64 + w + 0.5 * (1.0 - BAR)));
        for (i, (value, winter)) in self.values.iter().zip(winters).enumerate() {
            let Some(value) = value else { continue };
            let colour = if stands_out(winter) { strong } else { USUAL };
            let up = [base, *value].map(|v| panel.y.at(v));
            d.rectangle([place(i), up], colour);
        }
        panel.level(d, base, Stroke::solid(BLACK, 1.2));
        panel.frame(d);
        let named = self.values.iter().zip(winters).enumerate();
        let named = named.filter_map(|(i, (v, w))| Some((i, (*v)?, &w.winter)));
        let by_value = |a: &(usize, f64, &String), b: &(usize, f64, &String)| a.1.total_cmp(&b.1);
        let named = match self.greatest {
            true => named.max_by(by_value),
            false => named.min_by(by_value),
        };
        if let Some((i, value, name)) = named {
            let half = 0.5 * text_width(name, SMALL) + 4.0;
            let [l, r] = panel.x.place;
            let x = centre(place(i)).clamp(l + half, r - half);
            let beyond = if value < base { 10.0 } else { -10.0 };
            d.words(name, [x, panel.y.at(value) + beyond], Side::Middle, 200.0);
        }
        let (y, mut free) = (d.size[1] + 16.0, 0.0);
        for (i, w) in winters.iter().enumerate() {
            let (x, half) = (centre(place(i)), 0.5 * text_width(&w.winter, SMALL));
            if x - half >= free && x + half <= d.size[0] {
                d.words(&w.winter, [x, y], Side::Middle, 200.0);
                free = x + half + BETWEEN;
            }
        }
        d.size[1] = y;
    }
}

fn centre(ends: Span) -> f64 {
    0.5 * (ends[0] + ends[1])
}

/// Middle of values, the lower of two.
fn middle(values: impl Iterator<Item = f64>) -> Option<f64> {
    let mut sorted: Vec<f64> = values.collect();
    sorted.sort_by(f64::total_cmp);
    sorted.get(sorted.len().checked_sub(1)? / 2).copied()
}

/// Days of the year of all springs, counted on from the first half-year they begin in, so that a spring over New Year is later
/// than one before it.
fn spring_days(p: &WintersPicture<'_>) -> Vec<Option<f64>> {
    let autumn = |d: &Date| d.month() >= 7;
    let over = p
        .winters
        .iter()
        .filter_map(|w| w.nectar.as_ref())
        .any(autumn);
    let day = |d: Date| {
        let next = over && !autumn(&d);
        f64::from(d.day_of_year()) + if next { 365.0 } else { 0.0 }
    };
    p.winters.iter().map(|w| w.nectar.map(day)).collect()
}

/// "12 Apr" for a day of a common year; days beyond it are of the next.
fn day_words(day: f64) -> String {
    jiff::civil::date(2001, 1, 1)
        .checked_add((day.round() as i64 - 1).days())
        .map_or_else(|_| String::new(), axis::day)
}

/// The drawing of [`winters`].
pub(super) fn sheet(p: &WintersPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let n = p.winters.len();
    let (Some(first), Some(last)) = (p.winters.first(), p.winters.last()) else {
        return Err(PictureError::Empty(p.place.to_owned()));
    };
    let (from, to) = (&first.winter, &last.winter);
    let title = match n {
        1 => text!("pictures.one_winter", place = p.place, from = from),
        _ => text!(
            "pictures.so_many_winters",
            place = p.place,
            count = n,
            from,
            to
        ),
    };
    let mut means = Vec::new();
    for w in p.winters {
        let what = said("pictures.mean_temperature_degc");
        means.push(Some(drawable(&title, what, w.mean_c, &w.winter)?));
    }
    let mut d = Drawing::new(width);
    d.heading(&title, p.below);
    let cold = Bars {
        caption: said("pictures.how_cold_mean_temperature"),
        values: &means,
        strong: (BLUE, |w| w.hard, said("pictures.hard_coldest_quarter")),
        labels: TEMPERATURE,
        height: 200.0,
        greatest: false,
    };
    cold.draw(&mut d, 32.0, p.winters);
    let late = Bars {
        caption: said("pictures.how_late_first_dependable"),
        values: &spring_days(p),
        strong: (VERMILION, |w| w.late, said("pictures.late_last_quarter")),
        labels: (day_words, None),
        height: 132.0,
        greatest: true,
    };
    late.draw(&mut d, 44.0, p.winters);
    d.size[1] += 26.0;
    Ok(d)
}
