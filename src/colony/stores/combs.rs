//! The combs of a box, and their cells.

use super::{CELL_ALONG, CELL_UP, Cell, StoresError};
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
    /// Cells in a level.
    pub level: usize,
}

impl Comb {
    /// Its levels upwards.
    pub fn levels(&self) -> impl Iterator<Item = Range<usize>> {
        let (end, level) = (self.cells.end, self.level);
        self.cells
            .clone()
            .step_by(level)
            .map(move |first| first..(first + level).min(end))
    }
}

/// Cuts the combs of a box into empty cells.
pub(super) fn cut(in_box: u16, b: &BoxCombs, cells: &mut Vec<Cell>, combs: &mut Vec<Comb>) {
    let count = |length: f64, step: f64| ((length / step).round() as usize).max(1);
    let (ny, nz) = (
        count(b.y[1] - b.y[0], CELL_ALONG),
        count(b.z[1] - b.z[0], CELL_UP),
    );
    let middle =
        |r: [f64; 2], i: usize, n: usize| r[0] + (i as f64 + 0.5) * (r[1] - r[0]) / n as f64;
    for (f, &x) in b.frames_x.iter().enumerate() {
        combs.push(Comb {
            cells: cells.len()..cells.len() + ny * nz,
            level: ny,
        });
        for k in 0..nz {
            for j in 0..ny {
                cells.push(Cell {
                    at: [x, middle(b.y, j, ny), middle(b.z, k, nz)],
                    half: [0.5 * b.pitch, 0.0, 0.0],
                    left: 0.0,
                    room: b.full_frame / (ny * nz) as f64,
                    frame: Some((in_box, f as u16)),
                });
            }
        }
    }
}
