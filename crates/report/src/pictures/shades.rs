//! Shades for temperatures, and their key.

use super::axis::{number, span, ticks};
use super::drawing::{BLACK, Colour, Drawing, SMALL, Side, Span, Stroke};
use super::letters::text_width;
use partywall_core::units::format::fahrenheit;

/// From cold to warm: blue to cream, each lighter than the one before, so that the order survives grey printing; blue and
/// yellow stay apart for every common kind of colour blindness (a choice; Okabe and Ito 2008, from memory).
const ANCHORS: [[f64; 3]; 4] = [
    [66.0, 104.0, 166.0],
    [128.0, 166.0, 210.0],
    [196.0, 214.0, 222.0],
    [255.0, 249.0, 208.0],
];
/// Most steps of the scale.
const MOST: usize = 9;
/// Half the height of the key's patches, units.
const HALF: f64 = 8.0;
const LINE: Stroke = Stroke::solid(BLACK, 0.6);

/// Steps of temperature with their shades.
#[derive(Debug, Clone, PartialEq)]
pub struct Shades {
    /// Ends of the steps, degC, rising.
    pub edges: Vec<f64>,
}

impl Shades {
    /// Steps that hold all values; values must be finite.
    pub fn over(values: impl Iterator<Item = f64>) -> Self {
        let [lo, hi] = span(values);
        let (lo, hi) = if lo <= hi { (lo, hi) } else { (0.0, 1.0) };
        Self {
            edges: ticks(lo, hi, MOST),
        }
    }

    fn steps(&self) -> usize {
        self.edges.len().saturating_sub(1).max(1)
    }

    /// The step a value lies in.
    pub fn step(&self, value: f64) -> usize {
        let above = self.edges.partition_point(|e| *e <= value);
        above.saturating_sub(1).min(self.steps() - 1)
    }

    /// Shade of a step.
    pub fn colour(&self, step: usize) -> Colour {
        let last = (self.steps() - 1).max(1);
        let t = (step as f64 / last as f64).clamp(0.0, 1.0) * (ANCHORS.len() - 1) as f64;
        let i = (t.floor() as usize).min(ANCHORS.len() - 2);
        let part = t - i as f64;
        std::array::from_fn(|c| {
            (ANCHORS[i][c] + part * (ANCHORS[i + 1][c] - ANCHORS[i][c])).round() as u8
        })
    }

    /// The key to the steps below what is drawn: patches, C above, F below.
    pub fn key(&self, d: &mut Drawing, gap: f64) {
        let (x, y) = (d.pick([90.0, 500.0], [40.0, 420.0]), d.size[1] + gap);
        let n = self.steps();
        let at = |i: usize| x[0] + (x[1] - x[0]) * i as f64 / n as f64;
        let up: Span = [y - HALF, y + HALF];
        for i in 0..n {
            d.rectangle([[at(i), at(i + 1)], up], self.colour(i));
        }
        for i in 0..n {
            d.outline([[at(i), at(i + 1)], up], LINE);
        }
        let mut free = f64::NEG_INFINITY;
        for (i, edge) in self.edges.iter().enumerate() {
            let both = [*edge, fahrenheit(*edge).round()].map(number);
            let [_, wide] = span(both.iter().map(|t| text_width(t, SMALL)));
            if at(i) - 0.5 * wide < free {
                continue;
            }
            free = at(i) + 0.5 * wide + 4.0;
            for (text, dy) in both.iter().zip([-18.0, 18.0]) {
                d.words(text, [at(i), y + dy], Side::Middle, wide + 2.0);
            }
        }
        for (unit, dy) in [("C", -18.0), ("F", 18.0)] {
            d.words(unit, [x[0] - 24.0, y + dy], Side::Right, 20.0);
        }
        d.size[1] = y + 18.0;
    }
}
