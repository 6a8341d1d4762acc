//! The winters of a record beside each other: how cold each was, and how late its spring came by the rule of thumb.

use jiff::ToSpan;
use jiff::civil::Date;

use super::axis::{self, Scale, number, ticks};
use super::drawing::{BLACK, BLUE, Colour, Drawing, GRID, SMALL, Side, Stroke, VERMILION};
use super::panel::{Sample, across, caption, heading, key};
use super::render::text_width;
use super::{Picture, PictureError, drawable};
use partywall_core::units::format::fahrenheit;

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

/// One row of bars, each from `base` to its value.
struct Bars<'a> {
    up: [f64; 2],
    values: &'a [Option<f64>],
    base: f64,
    /// Colour of the bars that stand out.
    strong: Colour,
    stands_out: &'a dyn Fn(usize) -> bool,
    /// Text at the left and right of a grid line.
    sides: &'a dyn Fn(f64) -> [String; 2],
    /// The bar that is named, and the name.
    named: Option<(usize, &'a str)>,
}

fn place(d: &Drawing, i: usize, n: usize) -> [f64; 2] {
    let across = across(d);
    let slot = (across[1] - across[0]) / n as f64;
    let from = across[0] + slot * (i as f64 + 0.5 * (1.0 - BAR));
    [from, from + slot * BAR]
}

fn bars(d: &mut Drawing, b: &Bars<'_>) {
    let (n, across) = (b.values.len(), across(d));
    let known = || b.values.iter().flatten().copied();
    let low = known().fold(b.base, f64::min);
    let high = known().fold(b.base, f64::max);
    // Room for the name beyond the longest bar.
    let room = 0.12 * (high - low).max(1.0);
    let marks = ticks(low - room, high + room, 6);
    let scale = Scale {
        range: [marks.first(), marks.last()].map(|m| m.copied().unwrap_or(0.0)),
        place: [b.up[1], b.up[0]],
    };
    for mark in &marks {
        let y = scale.at(*mark);
        d.line(&[[across[0], y], [across[1], y]], Stroke::solid(GRID, 0.75));
        let [left, right] = (b.sides)(*mark);
        d.words(
            &left,
            [across[0] - 6.0, y],
            Side::Right,
            SMALL,
            across[0] - 8.0,
        );
        let space = d.size[0] - across[1] - 8.0;
        d.words(&right, [across[1] + 6.0, y], Side::Left, SMALL, space);
    }
    for (i, value) in b.values.iter().enumerate() {
        let Some(value) = value else { continue };
        let colour = if (b.stands_out)(i) { b.strong } else { USUAL };
        let x = place(d, i, n);
        d.rectangle(x, [scale.at(b.base), scale.at(*value)], colour);
    }
    let y = scale.at(b.base);
    d.line(&[[across[0], y], [across[1], y]], Stroke::solid(BLACK, 1.2));
    let ([l, r], [t, o]) = (across, b.up);
    d.line(
        &[[l, t], [r, t], [r, o], [l, o], [l, t]],
        Stroke::solid(BLACK, 0.75),
    );
    if let Some((i, name)) = b.named
        && let Some(value) = b.values.get(i).copied().flatten()
    {
        let [from, to] = place(d, i, n);
        let half = 0.5 * text_width(name, SMALL) + 4.0;
        let x = (0.5 * (from + to)).clamp(l + half, r - half);
        let beyond = if value < b.base { 10.0 } else { -10.0 };
        d.words(
            name,
            [x, scale.at(value) + beyond],
            Side::Middle,
            SMALL,
            200.0,
        );
    }
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
    p.winters
        .iter()
        .map(|w| {
            let d = w.nectar?;
            let day = f64::from(d.day_of_year());
            Some(if over && !autumn(&d) {
                day + 365.0
            } else {
                day
            })
        })
        .collect()
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
    let title = match n {
        1 => format!("{}: winter {}", p.place, first.winter),
        _ => format!(
            "{}: {n} winters, {} to {}",
            p.place, first.winter, last.winter
        ),
    };
    let mut means = Vec::new();
    for w in p.winters {
        let what = "mean temperature, degC";
        means.push(Some(drawable(&title, what, w.mean_c, &w.winter)?));
    }
    let springs = spring_days(p);
    let usual = middle(means.iter().flatten().copied()).unwrap_or(0.0);
    let usual_spring = middle(springs.iter().flatten().copied());
    let mut d = Drawing::new(width, 0.0);
    let y = heading(&mut d, &title, p.below);
    let y = caption(
        &mut d,
        y + 32.0,
        "How cold: mean temperature of each winter against the middle one (C on the left, F on the right)",
    );
    let mut y = key(
        &mut d,
        y + 22.0,
        &[
            (Sample::Band(BLUE, None), "hard: the coldest quarter"),
            (Sample::Band(USUAL, None), "the others"),
        ],
    );
    let coldest = (0..n).min_by(|&a, &b| p.winters[a].mean_c.total_cmp(&p.winters[b].mean_c));
    let name = |i: usize| (i, p.winters[i].winter.as_str());
    bars(
        &mut d,
        &Bars {
            up: [y + 16.0, y + 216.0],
            values: &means,
            base: usual,
            strong: BLUE,
            stands_out: &|i| p.winters[i].hard,
            sides: &|c| [number(c), number(fahrenheit(c).round())],
            named: coldest.map(name),
        },
    );
    y += 232.0;
    names(&mut d, p.winters, y);
    if let Some(usual) = usual_spring {
        y = caption(
            &mut d,
            y + 44.0,
            "How late: first dependable nectar by a rule of thumb on spring warmth (give or take two weeks)",
        );
        y = key(
            &mut d,
            y + 22.0,
            &[
                (Sample::Band(VERMILION, None), "late: the last quarter"),
                (Sample::Band(USUAL, None), "the others"),
            ],
        );
        let value = |i: &usize| springs[*i].unwrap_or(f64::NEG_INFINITY);
        let latest = (0..n).max_by(|a, b| value(a).total_cmp(&value(b)));
        bars(
            &mut d,
            &Bars {
                up: [y + 16.0, y + 148.0],
                values: &springs,
                base: usual,
                strong: VERMILION,
                stands_out: &|i| p.winters[i].late,
                sides: &|day| [day_words(day), String::new()],
                named: latest.map(name),
            },
        );
        y += 164.0;
        names(&mut d, p.winters, y);
    }
    d.size[1] = y + 26.0;
    Ok(d)
}

/// Names of the winters below the bars, as many as have room.
fn names(d: &mut Drawing, winters: &[WinterBar], y: f64) {
    let mut free = 0.0;
    for (i, w) in winters.iter().enumerate() {
        let [from, to] = place(d, i, winters.len());
        let (x, half) = (0.5 * (from + to), 0.5 * text_width(&w.winter, SMALL));
        if x - half >= free && x + half <= d.size[0] {
            d.words(&w.winter, [x, y], Side::Middle, SMALL, 200.0);
            free = x + half + BETWEEN;
        }
    }
}
