//! A picture as a list of lines, areas and words in drawing units (one unit is one pixel at 900 pixels' width).

use super::letters::{fitted, text_width};

/// A colour as red, green, blue.
pub type Colour = [u8; 3];
/// A place on a sheet: to the right, down, units.
pub type Point = [f64; 2];
/// From-to along one direction.
pub type Span = [f64; 2];

/// Print black.
pub const BLACK: Colour = [0, 0, 0];
/// Paper.
pub const WHITE: Colour = [255; 3];
/// Grid lines.
pub const GRID: Colour = [205, 205, 205];
/// Filled bands.
pub const BAND: Colour = [216, 216, 216];
/// Blue and vermilion stay apart for every common kind of colour blindness (Okabe and Ito 2008, from memory).
pub const BLUE: Colour = [0, 94, 158];
/// See [`BLUE`].
pub const VERMILION: Colour = [200, 80, 0];
/// A line that steps back.
pub const GREY: Colour = [95, 95, 95];

/// Width of every picture, units.
pub const WIDE: f64 = 900.0;
/// Width of its form for phones, units: 360 pixels of a phone show its smallest words at 9.8 pixels.
pub const NARROW: f64 = 460.0;

/// Smallest size of words, drawing units.
pub const SMALL: f64 = 12.5;
/// From the height words are centred on to their base line, em: half the height of a lower-case letter of the shipped font.
const BASE_LINE: f64 = 0.27;

/// How a line looks.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Colour.
    pub colour: Colour,
    /// Width, units.
    pub width: f64,
    /// Lengths drawn and left out in turn, units; empty for a solid line.
    pub dash: &'static [f64],
}

impl Stroke {
    /// A solid line.
    #[must_use]
    pub const fn solid(colour: Colour, width: f64) -> Self {
        Self::dashed(colour, width, &[])
    }

    /// A broken line.
    #[must_use]
    pub const fn dashed(colour: Colour, width: f64, dash: &'static [f64]) -> Self {
        Self {
            colour,
            width,
            dash,
        }
    }
}

/// Which end of the words sits at the given place.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Their left end.
    Left,
    /// Their middle.
    Middle,
    /// Their right end.
    Right,
}

/// One thing drawn.
#[derive(Debug, Clone, PartialEq)]
pub enum Item {
    /// A line through points.
    Line(Vec<Point>, Stroke),
    /// A filled outline.
    Area(Vec<Point>, Colour),
    /// Words in black: text, place of the given side on their base line, side, size.
    Words(String, Point, Side, f64),
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width, and the height that is taken so far, units: captions, keys and panels are put below it.
    pub size: [f64; 2],
    /// What is drawn, from back to front.
    pub items: Vec<Item>,
}

impl Drawing {
    /// A white sheet of no height yet.
    #[must_use]
    pub fn new(width: f64) -> Self {
        Self {
            size: [width, 0.0],
            items: Vec::new(),
        }
    }

    /// Whether it is the narrow form of a picture, for phones.
    #[must_use]
    pub fn narrow(&self) -> bool {
        self.size[0] < WIDE
    }

    /// One of two values: for the wide form, for the narrow one.
    pub(super) fn pick<T>(&self, wide: T, narrow: T) -> T {
        if self.narrow() { narrow } else { wide }
    }

    /// A line.
    pub fn line(&mut self, points: &[Point], stroke: Stroke) {
        if points.len() > 1 {
            self.items.push(Item::Line(points.to_vec(), stroke));
        }
    }

    /// A line across at a height.
    pub fn across(&mut self, x: Span, y: f64, stroke: Stroke) {
        self.line(&[[x[0], y], [x[1], y]], stroke);
    }

    /// An upright line.
    pub fn upright(&mut self, x: f64, y: Span, stroke: Stroke) {
        self.line(&[[x, y[0]], [x, y[1]]], stroke);
    }

    /// A filled outline.
    pub fn area(&mut self, points: &[Point], colour: Colour) {
        if points.len() > 2 {
            self.items.push(Item::Area(points.to_vec(), colour));
        }
    }

    /// A filled rectangle: across, down.
    pub fn rectangle(&mut self, [x, y]: [Span; 2], colour: Colour) {
        self.area(
            &[[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]],
            colour,
        );
    }

    /// The edge of a rectangle: across, down.
    pub fn outline(&mut self, [[l, r], [t, b]]: [Span; 2], stroke: Stroke) {
        self.line(&[[l, t], [r, t], [r, b], [l, b], [l, t]], stroke);
    }

    /// A range: a line from end to end with a short stroke across each.
    pub fn range(&mut self, ends: [Point; 2], stroke: Stroke) {
        let [a, b] = ends;
        self.line(&ends, stroke);
        let upright = (a[0] - b[0]).abs() < (a[1] - b[1]).abs();
        for [x, y] in ends {
            if upright {
                self.across([x - 4.0, x + 4.0], y, stroke);
            } else {
                self.upright(x, [y - 4.0, y + 4.0], stroke);
            }
        }
    }

    /// A filled dot.
    pub fn dot(&mut self, at: Point, radius: f64, colour: Colour) {
        self.area(&circle(at, radius, 24), colour);
    }

    /// Small words centred on a height; shortened with "..." to be `room` wide at most.
    pub fn words(&mut self, text: &str, at: Point, side: Side, room: f64) {
        self.words_of(SMALL, text, at, side, room);
    }

    /// Words of a size.
    pub fn words_of(&mut self, size: f64, text: &str, at: Point, side: Side, room: f64) {
        let text = fitted(&printable(text), size, room);
        if !text.is_empty() {
            let at = [at[0], at[1] + BASE_LINE * size];
            self.items.push(Item::Words(text, at, side, size));
        }
    }

    /// Left, top, right and bottom of all words, with their text.
    #[must_use]
    pub fn word_boxes(&self) -> Vec<(String, [f64; 4])> {
        self.items
            .iter()
            .filter_map(|item| {
                let Item::Words(text, at, side, size) = item else {
                    return None;
                };
                let width = text_width(text, *size);
                let left = match side {
                    Side::Left => at[0],
                    Side::Middle => at[0] - 0.5 * width,
                    Side::Right => at[0] - width,
                };
                let (middle, half) = (at[1] - BASE_LINE * size, 0.5 * size);
                let ends = [left, middle - half, left + width, middle + half];
                Some((text.clone(), ends))
            })
            .collect()
    }
}

/// Points round a circle.
#[must_use]
pub(super) fn circle(centre: Point, radius: f64, points: u32) -> Vec<Point> {
    (0..points)
        .map(|i| {
            let angle = std::f64::consts::TAU * f64::from(i) / f64::from(points);
            let (sin, cos) = angle.sin_cos();
            [centre[0] + radius * cos, centre[1] + radius * sin]
        })
        .collect()
}

/// Characters that XML forbids or that would break the line become spaces.
fn printable(text: &str) -> String {
    let barred = |c: char| c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}');
    text.replace(barred, " ")
}
