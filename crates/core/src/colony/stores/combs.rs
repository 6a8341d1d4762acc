//! The combs of a box, and their cells.

use super::cell::{CELL_ALONG, CELL_UP, Cell, StoresError};
use std::ops::Range;

/// The combs of one box.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxCombs {
    /// Middle plane of each comb, m, rising.
    pub frames_x: Vec<f64>,
    /// Comb pitch, m.
    pub pitch: f64,
    /// Combs from front to back, m.
    pub y: [f64; 2],
    /// Combs from lower to upper edge, m.
    pub z: [f64; 2],
    /// Honey a full frame holds, kg.
    pub full_frame: f64,
}

impl BoxCombs {
    /// `frames` combs of even pitch that fill `x` from side to side, m.
    #[must_use]
    pub fn evenly(x: [f64; 2], frames: u32, y: [f64; 2], z: [f64; 2], full_frame: f64) -> Self {
        let pitch = (x[1] - x[0]) / f64::from(frames.max(1));
        Self {
            frames_x: (0..frames)
                .map(|i| x[0] + (f64::from(i) + 0.5) * pitch)
                .collect(),
            pitch,
            y,
            z,
            full_frame,
        }
    }
}

#[cfg(test)]
impl BoxCombs {
    /// Ten deep frames of 2.7 kg.
    pub(crate) fn ten_deep() -> Self {
        Self {
            frames_x: (0..10).map(|i| 0.024 + 0.036 * f64::from(i)).collect(),
            pitch: 0.036,
            y: [0.03, 0.46],
            z: [0.05, 0.253],
            full_frame: 2.7,
        }
    }
}

/// Refuses combs that cannot be.
pub(super) fn check(b: &BoxCombs) -> Result<(), StoresError> {
    let sizes = [b.pitch, b.y[1] - b.y[0], b.z[1] - b.z[0]];
    if !sizes.iter().all(|s| s.is_finite() && *s > 0.0) {
        return Err(StoresError::Value("size of the combs"));
    }
    if !b.frames_x.iter().all(|x| x.is_finite()) {
        return Err(StoresError::Value("place of a comb"));
    }
    if !(b.full_frame.is_finite() && b.full_frame >= 0.0) {
        return Err(StoresError::Value("honey of a full frame"));
    }
    Ok(())
}

/// Where the cells of one comb are: level by level upwards, each from front to back.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Comb {
    /// Its cells.
    pub cells: Range<usize>,
    /// Its middle plane and how far from it it can be touched, m.
    x: f64,
    half: f64,
    /// Middles of the cells along it and up.
    y: Row,
    z: Row,
}

/// Evenly spaced middles of cells.
#[derive(Debug, Clone, PartialEq)]
struct Row {
    first: f64,
    step: f64,
    /// One over the step.
    each: f64,
    count: usize,
}

impl Row {
    /// Cuts `range` (m) into cells of about `length` m.
    fn cut(range: [f64; 2], length: f64) -> Self {
        let size = range[1] - range[0];
        let count = ((size / length).round() as usize).max(1);
        let step = size / count as f64;
        Self {
            first: range[0] + 0.5 * step,
            step,
            each: 1.0 / step,
            count,
        }
    }

    fn middle(&self, i: usize) -> f64 {
        self.first + i as f64 * self.step
    }

    /// Those within `reach` of `x`, or a hair more, m.
    fn around(&self, x: f64, reach: f64) -> Range<usize> {
        let reach = reach + ROUNDING;
        // Casts round towards zero and stop there.
        let place = |x: f64| ((x - self.first) * self.each) as usize;
        let end = if x + reach < self.first {
            0
        } else {
            (place(x + reach) + 1).min(self.count)
        };
        let first = if x - reach <= self.first {
            0
        } else {
            place(x - reach) + 1
        };
        first.min(end)..end
    }
}

/// Cells this much further off than asked for may be among those found, m; those that are not asked for are never missed.
const ROUNDING: f64 = 1e-6;

impl Comb {
    /// How far across the combs it is from a place, m.
    pub fn across(&self, x: f64) -> f64 {
        ((self.x - x).abs() - self.half).max(0.0)
    }

    /// Its levels upwards: middle, m, and cells.
    pub fn levels(&self) -> impl Iterator<Item = (f64, Range<usize>)> {
        (0..self.z.count).map(|k| (self.z.middle(k), self.level(k, 0..self.y.count)))
    }

    fn level(&self, k: usize, along: Range<usize>) -> Range<usize> {
        let first = self.cells.start + k * self.y.count;
        first + along.start..first + along.end
    }

    /// Its levels that are within `reach` m of a place: the square of how far off they are across and up, m2, and those of their
    /// cells that are within it too, and perhaps some more.
    pub fn around(&self, from: &[f64; 3], reach: f64) -> impl Iterator<Item = (f64, Range<usize>)> {
        let across = self.across(from[0]).powi(2);
        let left = reach * reach - across;
        let levels = if left >= 0.0 {
            self.z.around(from[2], left.sqrt())
        } else {
            0..0
        };
        levels.map(move |k| {
            let up = (self.z.middle(k) - from[2]).powi(2);
            let along = (left - up).max(0.0).sqrt();
            (across + up, self.level(k, self.y.around(from[1], along)))
        })
    }
}

/// Cuts the combs of a box into empty cells.
pub(super) fn cut(in_box: u16, b: &BoxCombs, cells: &mut Vec<Cell>, combs: &mut Vec<Comb>) {
    let (y, z) = (Row::cut(b.y, CELL_ALONG), Row::cut(b.z, CELL_UP));
    let half = 0.5 * b.pitch;
    let room = b.full_frame / (y.count * z.count) as f64;
    for (f, &x) in b.frames_x.iter().enumerate() {
        combs.push(Comb {
            cells: cells.len()..cells.len() + y.count * z.count,
            x,
            half,
            y: y.clone(),
            z: z.clone(),
        });
        for k in 0..z.count {
            for j in 0..y.count {
                cells.push(Cell {
                    at: [x, y.middle(j), z.middle(k)],
                    half: [half, 0.0, 0.0],
                    left: 0.0,
                    room,
                    frame: Some((in_box, f as u16)),
                });
            }
        }
    }
}
