//! Honey left by day: one course of it or two, each a line in a band, against weighings and the reserve.

use super::PictureError;
use super::axis::{Dates, day, span};
use super::drawing::{BLACK, Colour, Drawing, SMALL, Side, Span, Stroke, VERMILION};
use super::letters::text_width;
use super::panel::{MASS, Panel};
use super::sheet::Sample;
use crate::text;
use crate::texts::said;
use jiff::ToSpan;
use partywall_core::decision::update::Range;

const EDGE: Stroke = Stroke::solid([120; 3], 0.8);
const RESERVE: Stroke = Stroke::dashed(VERMILION, 1.8, &[8.0, 4.0]);
const WEIGHED: Stroke = Stroke::solid(BLACK, 1.4);
/// Radius of a weighing's dot, units.
pub(super) const DOT: f64 = 5.0;

/// One course.
pub(super) struct Course<'a> {
    /// Band and line by day, kg.
    pub days: &'a [Range<f64>],
    /// The line.
    pub stroke: Stroke,
    /// The band, if one is drawn.
    pub fill: Option<Colour>,
    /// In the key.
    pub words: &'a str,
}

/// A weighing: which day, and the least it may be, what it tells and the most it may be, kg.
pub(super) type Weighing = (usize, [f64; 3]);

/// What is drawn.
pub(super) struct Calendar<'a> {
    pub title: &'a str,
    /// Words below the title.
    pub below: &'a str,
    /// Caption of the panel.
    pub caption: &'a str,
    pub dates: Dates,
    pub courses: &'a [Course<'a>],
    /// If any is told of.
    pub weighings: Option<&'a [Weighing]>,
    /// Honey that must be left at the end, kg, and what it is called.
    pub reserve: (f64, &'a str),
    /// The day at the end, in words.
    pub end: &'a str,
}

impl Calendar<'_> {
    /// The drawing.
    pub(super) fn sheet(self, width: f64) -> Result<Drawing, PictureError> {
        if self.dates.days == 0 {
            return Err(PictureError::Empty(self.title.to_owned()));
        }
        let mut d = Drawing::new(width);
        d.heading(self.title, self.below);
        d.caption(32.0, self.caption);
        let entry = |c: &Course<'_>| match c.fill {
            None => Sample::Line(c.stroke),
            Some(fill) => Sample::Band(fill, Some(c.stroke)),
        };
        let courses = self.courses.iter();
        let mut entries: Vec<_> = courses.clone().map(|c| (entry(c), c.words)).collect();
        let seen = self.weighings.unwrap_or(&[]);
        if self.weighings.is_some() {
            entries.push((Sample::Mark(sample), said("pictures.weighed_give_take")));
        }
        entries.push((Sample::Line(RESERVE), self.reserve.1));
        d.key(22.0, &entries);
        let lines = courses.clone().map(|c| {
            let of = |f: fn(&Range<f64>) -> f64| c.days.iter().map(f).collect::<Vec<f64>>();
            [of(|r| r.low), of(|r| r.middle), of(|r| r.high)]
        });
        let lines: Vec<[Vec<f64>; 3]> = lines.collect();
        let all = lines.iter().flatten().flatten();
        let all = all.chain(seen.iter().flat_map(|(_, kg)| kg));
        let range = span(all.copied().chain([0.0, self.reserve.0]));
        let panel = Panel::of_days(&mut d, [20.0, 302.0], self.dates, (range, 7), MASS);
        let banded = || {
            courses
                .clone()
                .zip(&lines)
                .filter_map(|(c, l)| Some((c.fill?, l)))
        };
        for (fill, [low, _, high]) in banded() {
            panel.band(&mut d, low, high, fill);
        }
        for (_, [low, _, high]) in banded() {
            panel.line(&mut d, low, EDGE);
            panel.line(&mut d, high, EDGE);
        }
        panel.level(&mut d, self.reserve.0, RESERVE);
        for (c, [_, middle, _]) in courses.zip(&lines) {
            panel.line(&mut d, middle, c.stroke);
        }
        let curves = lines.iter().flat_map(|[_, middle, _]| panel.points(middle));
        let curves: Vec<[f64; 2]> = curves.collect();
        let mut free = f64::NEG_INFINITY;
        for weighing in seen {
            free = dot(&mut d, &panel, self.dates, weighing, &curves, free);
        }
        panel.frame(&mut d);
        let end = text!("pictures.to_nectar", end = self.end);
        panel.months(&mut d, self.dates, &end);
        Ok(d)
    }
}

/// A weighing in the key.
fn sample(d: &mut Drawing, [x, y]: [Span; 2]) {
    let middle = 0.5 * (x[0] + x[1]);
    d.upright(middle, y, WEIGHED);
    d.dot([middle, 0.5 * (y[0] + y[1])], DOT, BLACK);
}

/// A weighing with what it may be off, and with its date where there is room for it beside the curves and to the right of `free`; gives
/// the right end of the dates.
fn dot(
    d: &mut Drawing,
    panel: &Panel,
    dates: Dates,
    (number, kg): &Weighing,
    curves: &[[f64; 2]],
    free: f64,
) -> f64 {
    let x = panel.x.at(*number as f64 + 0.5);
    let [from, y, to] = kg.map(|v| panel.y.at(v));
    d.range([[x, from], [x, to]], WEIGHED);
    d.dot([x, y], DOT, BLACK);
    let text = day(dates.start.saturating_add((*number as i64).days()));
    let half = 0.5 * text_width(&text, SMALL) + 2.0;
    let [l, r] = panel.x.place;
    let middle = x.clamp(l + half, r - half);
    // As near as the half of a letter to the words.
    let over = |[x, at]: &[f64; 2], y: f64| (x - middle).abs() <= half && (at - y).abs() < 9.0;
    // Above the dot, below it, or further off: where no curve runs through the words. They have no ground that would hide one.
    let off = (0..6).map(|i| 12.0 + 18.0 * f64::from(i));
    let clear = off.flat_map(|off| [to - off, from + off]).find(|y| {
        (panel.y.place[1] + 9.0..=panel.y.place[0] - 9.0).contains(y)
            && !curves.iter().any(|p| over(p, *y))
    });
    match clear.filter(|_| middle - half > free) {
        Some(y) => {
            d.words(&text, [middle, y], Side::Middle, 2.0 * half);
            middle + half
        }
        None => free,
    }
}
