//! One panel: frame, grid, numbers on both sides, months, and the key to its lines.

use super::axis::{Scale, months, number, ticks};
use super::drawing::{BLACK, CAPTION, Colour, Drawing, GRID, SMALL, Side, Stroke, TITLE, wrapped};
use super::render::text_width;
use jiff::civil::Date;

/// Left and right end of the panels.
#[must_use]
pub fn across(d: &Drawing) -> [f64; 2] {
    let beside = if d.narrow() { 54.0 } else { 66.0 };
    [beside, d.size[0] - beside]
}

/// Left end of titles and captions.
fn left(d: &Drawing) -> f64 {
    if d.narrow() { 10.0 } else { 20.0 }
}

/// Length of the sample of a line in a key.
const SAMPLE: f64 = 34.0;

/// A panel with its two scales.
#[derive(Debug, Clone)]
pub struct Panel {
    /// Days across.
    pub x: Scale,
    /// Values up.
    pub y: Scale,
}

/// What stands beside a panel's grid lines.
pub struct Sides<'a> {
    /// Most steps of the scale.
    pub most: usize,
    /// Turns a value of the scale into the number printed at the right end, if any.
    pub right: Option<&'a dyn Fn(f64) -> f64>,
}

impl Panel {
    /// Draws frame, grid, month lines and numbers of a panel between the heights `up` (top, bottom) for values `lo..hi`.
    pub fn new(
        d: &mut Drawing,
        up: [f64; 2],
        range: [f64; 2],
        start: Date,
        days: f64,
        sides: &Sides<'_>,
    ) -> Self {
        let marks = ticks(range[0], range[1], sides.most);
        let (across, width) = (across(d), d.size[0]);
        let ends = [marks.first(), marks.last()].map(|m| m.copied().unwrap_or(0.0));
        let panel = Self {
            x: Scale {
                range: [0.0, days],
                place: across,
            },
            y: Scale {
                range: ends,
                place: [up[1], up[0]],
            },
        };
        let thin = Stroke::solid(GRID, 0.75);
        for (_, [from, _]) in months(start, days).iter().skip(1) {
            let x = panel.x.at(*from);
            d.line(&[[x, up[0]], [x, up[1]]], thin);
        }
        for value in &marks {
            let y = panel.y.at(*value);
            d.line(&[[across[0], y], [across[1], y]], thin);
            d.words(
                &number(*value),
                [across[0] - 6.0, y],
                Side::Right,
                SMALL,
                across[0] - 8.0,
            );
            if let Some(right) = sides.right {
                d.words(
                    &number(right(*value).round()),
                    [across[1] + 6.0, y],
                    Side::Left,
                    SMALL,
                    width - across[1] - 8.0,
                );
            }
        }
        panel
    }

    /// The frame, drawn last so that no area covers it.
    pub fn frame(&self, d: &mut Drawing) {
        let ([l, r], [b, t]) = (self.x.place, self.y.place);
        d.line(
            &[[l, t], [r, t], [r, b], [l, b], [l, t]],
            Stroke::solid(BLACK, 0.75),
        );
    }

    /// Points of a series, one value per day at the middle of the day.
    #[must_use]
    pub fn points(&self, values: &[f64]) -> Vec<[f64; 2]> {
        values
            .iter()
            .enumerate()
            .map(|(i, v)| [self.x.at(i as f64 + 0.5), self.y.at(*v)])
            .collect()
    }

    /// A line, one value per day; a single day gets a short line.
    pub fn line(&self, d: &mut Drawing, values: &[f64], stroke: Stroke) {
        let mut points = self.points(values);
        if let [only] = points[..] {
            points = vec![[only[0] - 3.0, only[1]], [only[0] + 3.0, only[1]]];
        }
        d.line(&points, stroke);
    }

    /// A band between two series.
    pub fn band(&self, d: &mut Drawing, low: &[f64], high: &[f64], colour: Colour) {
        let mut outline = self.points(high);
        outline.extend(self.points(low).into_iter().rev());
        d.area(&outline, colour);
    }

    /// An upright mark on a day with words at the top, on the side that has room; `day` may be beyond the ends.
    pub fn mark(&self, d: &mut Drawing, day: f64, words: &str) {
        self.mark_at(d, day, words, self.y.place[1] + 13.0);
    }

    /// The same with its words at the foot, where the lines run along the top.
    pub fn mark_below(&self, d: &mut Drawing, day: f64, words: &str) {
        self.mark_at(d, day, words, self.y.place[0] - 11.0);
    }

    fn mark_at(&self, d: &mut Drawing, day: f64, words: &str, height: f64) {
        let x = self.x.at(day);
        let [bottom, top] = self.y.place;
        let stroke = Stroke::solid(BLACK, 1.5);
        d.line(&[[x, top], [x, bottom]], stroke);
        // A lozenge at the foot shows which of the upright lines is the mark.
        let y = bottom - 7.0;
        d.area(
            &[[x - 5.0, y], [x, y - 6.0], [x + 5.0, y], [x, y + 6.0]],
            BLACK,
        );
        let (room_left, room_right) = (x - self.x.place[0] - 10.0, self.x.place[1] - x - 10.0);
        let wide = text_width(words, SMALL);
        let (side, at, room) = if wide <= room_right || room_right >= room_left {
            (Side::Left, x + 7.0, room_right)
        } else {
            (Side::Right, x - 7.0, room_left)
        };
        let shown = wide.min(room);
        let from = if side == Side::Left { at } else { at - shown };
        d.rectangle(
            [from - 3.0, from + shown + 3.0],
            [height - 9.0, height + 9.0],
            [255; 3],
        );
        d.words(words, [at, height], side, SMALL, room);
    }
}

/// Lines of words one below the other, each as wide as the sheet, from height `y`, `most` of them. Gives the height of the last.
fn lines(d: &mut Drawing, y: f64, words: &str, size: f64, most: usize) -> f64 {
    let from = left(d);
    let room = d.size[0] - 2.0 * from;
    let mut at = y;
    for (i, line) in wrapped(words, size, room, most).iter().enumerate() {
        at = y + 1.35 * size * i as f64;
        d.words(line, [from, at], Side::Left, size, room);
    }
    at
}

/// Title and the line below it; gives the height of the last line.
pub fn heading(d: &mut Drawing, title: &str, below: &str) -> f64 {
    let most = if d.narrow() { [3, 4] } else { [1, 1] };
    let y = lines(d, 24.0, title, TITLE, most[0]);
    lines(d, y + 24.0, below, SMALL, most[1])
}

/// A caption above a panel; gives the height of its last line.
pub fn caption(d: &mut Drawing, y: f64, words: &str) -> f64 {
    let most = if d.narrow() { 3 } else { 1 };
    lines(d, y, words, CAPTION, most)
}

/// Small words below or between panels; gives the height of the last line.
pub fn remark(d: &mut Drawing, y: f64, words: &str) -> f64 {
    let most = if d.narrow() { 8 } else { 3 };
    lines(d, y, words, SMALL, most)
}

/// How a series is shown in the key.
pub enum Sample {
    /// As a line.
    Line(Stroke),
    /// As a band with a line in it.
    Band(Colour, Option<Stroke>),
    /// As a dot with a stroke through it, up and down.
    Dot(Colour),
}

/// The key: samples with their words from the left end of the panels, in one row, on a narrow sheet in as many as it takes. Gives the
/// height of the last.
pub fn key(d: &mut Drawing, y: f64, entries: &[(Sample, &str)]) -> f64 {
    let (from, right) = (across(d)[0], d.size[0] - 10.0);
    let (mut x, mut y) = (from, y);
    for (sample, words) in entries {
        let wide = SAMPLE + 6.0 + text_width(words, SMALL);
        if d.narrow() && x > from && x + wide > right {
            (x, y) = (from, y + 22.0);
        }
        let across = [[x, y], [x + SAMPLE, y]];
        match sample {
            Sample::Line(stroke) => d.line(&across, *stroke),
            Sample::Dot(colour) => {
                let middle = x + 0.5 * SAMPLE;
                let stroke = Stroke::solid(*colour, 1.4);
                d.line(&[[middle, y - 9.0], [middle, y + 9.0]], stroke);
                super::weighed::dot(d, [middle, y], *colour);
            }
            Sample::Band(colour, line) => {
                d.rectangle([x, x + SAMPLE], [y - 6.0, y + 6.0], *colour);
                if let Some(stroke) = line {
                    d.line(&across, *stroke);
                }
            }
        }
        x += SAMPLE + 6.0;
        d.words(words, [x, y], Side::Left, SMALL, right - x);
        x += wide - SAMPLE - 6.0 + 18.0;
    }
    y
}

/// Names of the months below the last panel at height `y`, and `end` in the row below at the right.
pub fn month_row(d: &mut Drawing, panel: &Panel, y: f64, start: Date, days: f64, end: &str) {
    for (name, [from, to]) in months(start, days) {
        let (a, b) = (panel.x.at(from), panel.x.at(to));
        if b - a >= text_width(name, SMALL) + 6.0 {
            d.words(name, [0.5 * (a + b), y], Side::Middle, SMALL, b - a);
        }
    }
    let [from, to] = across(d);
    d.words(end, [to, y + 20.0], Side::Right, SMALL, to - from);
}
