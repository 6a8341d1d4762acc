//! One panel: frame, grid, numbers on both sides, months below.

use super::axis::{Dates, Scale, number};
use super::drawing::{BLACK, Colour, Drawing, GRID, SMALL, Side, Span, Stroke, WHITE};
use super::letters::text_width;
use partywall_core::units::format::{fahrenheit, pounds};

/// What stands at the left and the right end of a grid line.
pub type Labels = (fn(f64) -> String, Option<fn(f64) -> String>);
/// C at the left, F at the right.
pub const TEMPERATURE: Labels = (number, Some(|c| number(fahrenheit(c).round())));
/// kg at the left, lb at the right.
pub const MASS: Labels = (number, Some(|kg| number(pounds(kg).round())));
/// Numbers at the left only.
pub const COUNT: Labels = (number, None);

const THIN: Stroke = Stroke::solid(GRID, 0.75);
const FRAME: Stroke = Stroke::solid(BLACK, 0.75);

/// A panel with its two scales.
#[derive(Debug, Clone)]
pub struct Panel {
    /// Days or bars across.
    pub x: Scale,
    /// Values up.
    pub y: Scale,
}

impl Panel {
    /// Grid and numbers of a panel `size` = (gap, height) below what is drawn, with room for `n` things across; its values in steps of
    /// about `most`.
    pub fn new(
        d: &mut Drawing,
        size: [f64; 2],
        n: usize,
        (range, most): (Span, usize),
        labels: Labels,
    ) -> Self {
        let beside = d.pick(66.0, 54.0);
        let place = [beside, d.size[0] - beside];
        let top = d.size[1] + size[0];
        let (y, marks) = Scale::round(range, most, [top + size[1], top]);
        let x = Scale {
            range: [0.0, n as f64],
            place,
        };
        for value in marks {
            let (at, room) = (y.at(value), beside - 8.0);
            d.across(place, at, THIN);
            d.words(&labels.0(value), [place[0] - 6.0, at], Side::Right, room);
            if let Some(right) = labels.1 {
                d.words(&right(value), [place[1] + 6.0, at], Side::Left, room);
            }
        }
        d.size[1] = top + size[1];
        Self { x, y }
    }

    /// The same over days, with a line where a month begins.
    pub fn of_days(
        d: &mut Drawing,
        size: [f64; 2],
        dates: Dates,
        values: (Span, usize),
        labels: Labels,
    ) -> Self {
        let panel = Self::new(d, size, dates.days, values, labels);
        for (_, [from, _]) in dates.months().iter().skip(1) {
            d.upright(panel.x.at(*from), panel.y.place, THIN);
        }
        panel
    }

    /// The frame, drawn last so that no area covers it.
    pub fn frame(&self, d: &mut Drawing) {
        d.outline([self.x.place, self.y.place], FRAME);
    }

    /// A line across at a value.
    pub fn level(&self, d: &mut Drawing, value: f64, stroke: Stroke) {
        d.across(self.x.place, self.y.at(value), stroke);
    }

    /// Points of a series, one value per day at the middle of the day.
    pub fn points(&self, values: &[f64]) -> Vec<[f64; 2]> {
        values
            .iter()
            .enumerate()
            .map(|(i, v)| [self.x.at(i as f64 + 0.5), self.y.at(*v)])
            .collect()
    }

    /// A line, one value per day; a single day gets a short line.
    pub fn line(&self, d: &mut Drawing, values: &[f64], stroke: Stroke) {
        match self.points(values)[..] {
            [[x, y]] => d.across([x - 3.0, x + 3.0], y, stroke),
            ref points => d.line(points, stroke),
        }
    }

    /// A band between two series.
    pub fn band(&self, d: &mut Drawing, low: &[f64], high: &[f64], colour: Colour) {
        let mut outline = self.points(high);
        outline.extend(self.points(low).into_iter().rev());
        d.area(&outline, colour);
    }

    /// An upright mark on a day, which may be beyond the ends, with words on the side that has room: at the top, or where the lines run along
    /// the top at the foot.
    pub fn mark(&self, d: &mut Drawing, day: f64, words: &str, at_foot: bool) {
        let [foot, top] = self.y.place;
        let height = if at_foot { foot - 11.0 } else { top + 13.0 };
        let x = self.x.at(day);
        d.upright(x, self.y.place, Stroke::solid(BLACK, 1.5));
        // A lozenge at the foot shows which of the upright lines is the mark.
        let y = foot - 7.0;
        let lozenge = [[x - 5.0, y], [x, y - 6.0], [x + 5.0, y], [x, y + 6.0]];
        d.area(&lozenge, BLACK);
        let (room_left, room_right) = (x - self.x.place[0] - 10.0, self.x.place[1] - x - 10.0);
        let wide = text_width(words, SMALL);
        let (side, at, room) = if wide <= room_right || room_right >= room_left {
            (Side::Left, x + 7.0, room_right)
        } else {
            (Side::Right, x - 7.0, room_left)
        };
        let shown = wide.min(room);
        let from = if side == Side::Left { at } else { at - shown };
        let ground = [
            [from - 3.0, from + shown + 3.0],
            [height - 9.0, height + 9.0],
        ];
        d.rectangle(ground, WHITE);
        d.words(words, [at, height], side, room);
    }

    /// Names of the months below the panel, and `end` in the row below at the right.
    pub fn months(&self, d: &mut Drawing, dates: Dates, end: &str) {
        let y = d.size[1] + 18.0;
        for (name, ends) in dates.months() {
            let [a, b] = ends.map(|day| self.x.at(day));
            if b - a >= text_width(&name, SMALL) + 6.0 {
                d.words(&name, [0.5 * (a + b), y], Side::Middle, b - a);
            }
        }
        let [from, to] = self.x.place;
        d.words(end, [to, y + 20.0], Side::Right, to - from);
        d.size[1] = y + 20.0;
    }
}
