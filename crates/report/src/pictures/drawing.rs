//! A picture as a list of lines, areas and words in drawing units (one unit is one pixel at 900 pixels' width).

use super::render;

/// A colour as red, green, blue.
pub type Colour = [u8; 3];

/// Print black.
pub const BLACK: Colour = [0, 0, 0];
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
/// Captions of panels.
pub const CAPTION: f64 = 14.0;
/// The title.
pub const TITLE: f64 = 18.0;

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
        Self {
            colour,
            width,
            dash: &[],
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
    Line(Vec<[f64; 2]>, Stroke),
    /// A filled outline.
    Area(Vec<[f64; 2]>, Colour),
    /// Words: text, place of the given side at half height, size, colour.
    Words(String, [f64; 2], Side, f64, Colour),
}

/// A picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawing {
    /// Width and height, units.
    pub size: [f64; 2],
    /// What is drawn, from back to front.
    pub items: Vec<Item>,
}

impl Drawing {
    /// A white sheet.
    #[must_use]
    pub fn new(width: f64, height: f64) -> Self {
        Self {
            size: [width, height],
            items: Vec::new(),
        }
    }

    /// Whether it is the narrow form of a picture, for phones.
    #[must_use]
    pub fn narrow(&self) -> bool {
        self.size[0] < WIDE
    }

    /// A line, cut into dashes if its stroke has them.
    pub fn line(&mut self, points: &[[f64; 2]], stroke: Stroke) {
        if points.len() > 1 {
            self.items.push(Item::Line(points.to_vec(), stroke));
        }
    }

    /// A filled outline.
    pub fn area(&mut self, points: &[[f64; 2]], colour: Colour) {
        if points.len() > 2 {
            self.items.push(Item::Area(points.to_vec(), colour));
        }
    }

    /// A filled rectangle.
    pub fn rectangle(&mut self, x: [f64; 2], y: [f64; 2], colour: Colour) {
        self.area(
            &[[x[0], y[0]], [x[1], y[0]], [x[1], y[1]], [x[0], y[1]]],
            colour,
        );
    }

    /// Words in black; shortened with "..." to be `room` wide at most.
    pub fn words(&mut self, text: &str, at: [f64; 2], side: Side, size: f64, room: f64) {
        let text = fitted(&printable(text), size, room);
        if !text.is_empty() {
            self.items.push(Item::Words(text, at, side, size, BLACK));
        }
    }

    /// Left, top, right and bottom of all words, with their text.
    #[must_use]
    pub fn word_boxes(&self) -> Vec<(String, [f64; 4])> {
        self.items
            .iter()
            .filter_map(|item| {
                let Item::Words(text, at, side, size, _) = item else {
                    return None;
                };
                let width = render::text_width(text, *size);
                let left = match side {
                    Side::Left => at[0],
                    Side::Middle => at[0] - 0.5 * width,
                    Side::Right => at[0] - width,
                };
                let half = 0.5 * size;
                Some((
                    text.clone(),
                    [left, at[1] - half, left + width, at[1] + half],
                ))
            })
            .collect()
    }
}

/// Characters that XML forbids or that would break the line become spaces.
fn printable(text: &str) -> String {
    text.chars()
        .map(|c| {
            if c.is_control() || matches!(c, '\u{fffe}' | '\u{ffff}') {
                ' '
            } else {
                c
            }
        })
        .collect()
}

/// The text, or as much of its start as fits into `room` with "..." after it; empty when not even that fits.
#[must_use]
pub fn fitted(text: &str, size: f64, room: f64) -> String {
    if render::text_width(text, size) <= room {
        return text.to_owned();
    }
    // A title of a megabyte must not be measured a million times.
    let mut kept: String = text.chars().take(400).collect();
    while kept.pop().is_some() {
        let short = format!("{}...", kept.trim_end());
        if render::text_width(&short, size) <= room {
            return short;
        }
    }
    String::new()
}

/// The text in lines that fit into `room`, `most` of them; what is more is cut off the last.
#[must_use]
pub fn wrapped(text: &str, size: f64, room: f64, most: usize) -> Vec<String> {
    // A title of a megabyte must not be measured word by word.
    let text: String = text.chars().take(400).collect();
    let mut lines = vec![String::new()];
    for word in text.split_whitespace() {
        let full = lines.len() >= most;
        let Some(line) = lines.last_mut() else { break };
        let longer = match line.as_str() {
            "" => word.to_owned(),
            line => format!("{line} {word}"),
        };
        if full || line.is_empty() || render::text_width(&longer, size) <= room {
            *line = longer;
        } else {
            lines.push(word.to_owned());
        }
    }
    lines
}

/// A line cut into its dashes.
#[must_use]
pub fn dashes(points: &[[f64; 2]], pattern: &[f64]) -> Vec<Vec<[f64; 2]>> {
    if pattern.is_empty() || pattern.iter().any(|p| p.is_nan() || *p < 0.5) {
        return vec![points.to_vec()];
    }
    let (mut out, mut part, mut left) = (Vec::new(), 0, pattern[0]);
    let mut current: Vec<[f64; 2]> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let [mut a, b] = [pair[0], pair[1]];
        loop {
            let length = (b[0] - a[0]).hypot(b[1] - a[1]);
            if length < left {
                left -= length;
                current.push(b);
                break;
            }
            let t = left / length;
            a = std::array::from_fn(|i| a[i] + t * (b[i] - a[i]));
            current.push(a);
            if part % 2 == 0 {
                out.push(std::mem::take(&mut current));
            }
            part += 1;
            left = pattern[part % pattern.len()];
            current = vec![a];
        }
    }
    if part % 2 == 0 && current.len() > 1 {
        out.push(current);
    }
    out
}
