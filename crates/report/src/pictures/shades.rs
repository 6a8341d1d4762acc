//! Shades for temperatures, and the marks for honey and bees that carry their meaning without colour.

use super::axis::ticks;
use super::drawing::{BLACK, Colour, Drawing, SMALL, Side, Stroke};
use super::render::text_width;
use partywall_core::units::format::fahrenheit;

/// From cold to warm: blue to cream, each lighter than the one before, so that the order survives grey printing; blue and
/// yellow stay apart for every common kind of colour blindness (a choice; Okabe and Ito 2008, from memory).
const ANCHORS: [[f64; 3]; 4] = [
    [66.0, 104.0, 166.0],
    [128.0, 166.0, 210.0],
    [196.0, 214.0, 222.0],
    [255.0, 249.0, 208.0],
];
/// Lines of honey.
pub const HONEY: Stroke = Stroke::solid([70, 40, 0], 0.9);
/// Distance from one stroke of the honey's zigzag to the next where combs are full, units.
const ZIGZAG: f64 = 6.0;
/// Most steps of the scale.
const MOST: usize = 9;

/// Steps of temperature with their shades.
#[derive(Debug, Clone, PartialEq)]
pub struct Shades {
    /// Ends of the steps, degC, rising.
    pub edges: Vec<f64>,
}

impl Shades {
    /// Steps that hold all values; values must be finite.
    #[must_use]
    pub fn over(values: impl Iterator<Item = f64>) -> Self {
        let [lo, hi] = values.fold([f64::INFINITY, f64::NEG_INFINITY], |[lo, hi], v| {
            [lo.min(v), hi.max(v)]
        });
        let (lo, hi) = if lo <= hi { (lo, hi) } else { (0.0, 1.0) };
        Self {
            edges: ticks(lo, hi, MOST),
        }
    }

    /// The step a value lies in.
    #[must_use]
    pub fn step(&self, value: f64) -> usize {
        let above = self.edges.partition_point(|e| *e <= value);
        above
            .saturating_sub(1)
            .min(self.edges.len().saturating_sub(2))
    }

    /// Shade of a step.
    #[must_use]
    pub fn colour(&self, step: usize) -> Colour {
        let last = self.edges.len().saturating_sub(2).max(1);
        let t = (step as f64 / last as f64).clamp(0.0, 1.0) * (ANCHORS.len() - 1) as f64;
        let i = (t.floor() as usize).min(ANCHORS.len() - 2);
        let part = t - i as f64;
        std::array::from_fn(|c| {
            (ANCHORS[i][c] + part * (ANCHORS[i + 1][c] - ANCHORS[i][c])).round() as u8
        })
    }

    /// The key to the steps: patches between `x`, C above, F below.
    pub fn key(&self, d: &mut Drawing, x: [f64; 2], y: f64) {
        let n = self.edges.len().saturating_sub(1).max(1);
        let at = |i: usize| x[0] + (x[1] - x[0]) * i as f64 / n as f64;
        for i in 0..n {
            d.rectangle([at(i), at(i + 1)], [y - 8.0, y + 8.0], self.colour(i));
        }
        for i in 0..=n {
            d.line(
                &[[at(i), y - 8.0], [at(i), y + 8.0]],
                Stroke::solid(BLACK, 0.6),
            );
        }
        d.line(
            &[[x[0], y - 8.0], [x[1], y - 8.0]],
            Stroke::solid(BLACK, 0.6),
        );
        d.line(
            &[[x[0], y + 8.0], [x[1], y + 8.0]],
            Stroke::solid(BLACK, 0.6),
        );
        let mut free = f64::NEG_INFINITY;
        for (i, edge) in self.edges.iter().enumerate() {
            let both = [
                super::axis::number(*edge),
                super::axis::number(fahrenheit(*edge).round()),
            ];
            let half = 0.5
                * both
                    .iter()
                    .map(|t| text_width(t, SMALL))
                    .fold(0.0, f64::max);
            if at(i) - half < free {
                continue;
            }
            free = at(i) + half + 4.0;
            for (text, dy) in both.iter().zip([-18.0, 18.0]) {
                d.words(text, [at(i), y + dy], Side::Middle, SMALL, 2.0 * half + 2.0);
            }
        }
        d.words("C", [x[0] - 24.0, y - 18.0], Side::Right, SMALL, 20.0);
        d.words("F", [x[0] - 24.0, y + 18.0], Side::Right, SMALL, 20.0);
    }
}

/// Honey in an upright or lying rectangle as a zigzag across its shorter side; `share` of full, 0 to 1, sets how dense.
pub fn honey(d: &mut Drawing, x: [f64; 2], y: [f64; 2], share: f64) {
    let (w, h) = (x[1] - x[0], y[1] - y[0]);
    if w <= 0.0 || h <= 0.0 || share < 0.05 || share.is_nan() {
        return;
    }
    let (long, upright) = (w.max(h), h >= w);
    let strokes = (long * share.min(1.0) / ZIGZAG).round().clamp(1.0, 400.0) as usize;
    let points: Vec<[f64; 2]> = (0..=strokes)
        .map(|i| {
            let along = i as f64 / strokes as f64;
            let across = (i % 2) as f64;
            if upright {
                [x[0] + across * w, y[0] + along * h]
            } else {
                [x[0] + along * w, y[0] + across * h]
            }
        })
        .collect();
    d.line(&points, HONEY);
}

/// Words on a white ground that covers what is behind them.
pub fn label(d: &mut Drawing, text: &str, at: [f64; 2]) {
    let [l, t, r, b] = label_box(text, at);
    d.rectangle([l, r], [t, b], [255; 3]);
    d.words(text, at, Side::Middle, SMALL, r - l);
}

/// Left, top, right and bottom of such a label.
#[must_use]
pub fn label_box(text: &str, at: [f64; 2]) -> [f64; 4] {
    let half = 0.5 * text_width(text, SMALL) + 2.5;
    [at[0] - half, at[1] - 8.0, at[0] + half, at[1] + 8.0]
}

/// A ball cut by walls: points of its outline.
#[must_use]
pub fn ball(centre: [f64; 2], radius: f64, walls: [[f64; 2]; 2]) -> Vec<[f64; 2]> {
    (0..=72)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 72.0).sin_cos();
            let at = [centre[0] + radius * cos, centre[1] + radius * sin];
            std::array::from_fn(|a| at[a].max(walls[a][0]).min(walls[a][1]))
        })
        .collect()
}
