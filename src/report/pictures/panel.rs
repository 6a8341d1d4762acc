//! One panel: frame, grid, numbers on both sides, months, and the key to its lines.

use super::axis::{Scale, months, number, ticks};
use super::drawing::{BLACK, CAPTION, Colour, Drawing, GRID, SMALL, Side, Stroke, TITLE};
use super::render::text_width;
use jiff::civil::Date;

/// Width of every picture, units.
pub const WIDTH: f64 = 900.0;
/// Left and right end of the panels.
pub const ACROSS: [f64; 2] = [66.0, 834.0];
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
        let ends = [marks.first(), marks.last()].map(|m| m.copied().unwrap_or(0.0));
        let panel = Self {
            x: Scale {
                range: [0.0, days],
                place: ACROSS,
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
            d.line(&[[ACROSS[0], y], [ACROSS[1], y]], thin);
            d.words(
                &number(*value),
                [ACROSS[0] - 6.0, y],
                Side::Right,
                SMALL,
                ACROSS[0] - 8.0,
            );
            if let Some(right) = sides.right {
                d.words(
                    &number(right(*value).round()),
                    [ACROSS[1] + 6.0, y],
                    Side::Left,
                    SMALL,
                    WIDTH - ACROSS[1] - 8.0,
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
            [top + 4.0, top + 22.0],
            [255; 3],
        );
        d.words(words, [at, top + 13.0], side, SMALL, room);
    }
}

/// Title and the line below it.
pub fn heading(d: &mut Drawing, title: &str, below: &str) {
    let room = WIDTH - 40.0;
    d.words(title, [20.0, 24.0], Side::Left, TITLE, room);
    d.words(below, [20.0, 48.0], Side::Left, SMALL, room);
}

/// A caption above a panel.
pub fn caption(d: &mut Drawing, y: f64, words: &str) {
    let room = WIDTH - 40.0;
    d.words(words, [20.0, y], Side::Left, CAPTION, room);
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

/// The key: samples with their words in one row from the left end of the panels.
pub fn key(d: &mut Drawing, y: f64, entries: &[(Sample, &str)]) {
    let mut x = ACROSS[0];
    for (sample, words) in entries {
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
        d.words(words, [x, y], Side::Left, SMALL, WIDTH - 10.0 - x);
        x += text_width(words, SMALL) + 18.0;
    }
}

/// Names of the months below the last panel at height `y`, and `end` in the row below at the right.
pub fn month_row(d: &mut Drawing, panel: &Panel, y: f64, start: Date, days: f64, end: &str) {
    for (name, [from, to]) in months(start, days) {
        let (a, b) = (panel.x.at(from), panel.x.at(to));
        if b - a >= text_width(name, SMALL) + 6.0 {
            d.words(name, [0.5 * (a + b), y], Side::Middle, SMALL, b - a);
        }
    }
    let room = ACROSS[1] - ACROSS[0];
    d.words(end, [ACROSS[1], y + 20.0], Side::Right, SMALL, room);
}
