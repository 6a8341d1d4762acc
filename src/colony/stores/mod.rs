//! Honey as a map over the combs: where it hangs, what the cluster touches of it, what is eaten and what is left.
//!
//! Every comb is divided into cells, about [`CELL_ALONG`] along and [`CELL_UP`] up. A comb is touched from the seams at
//! its two sides, so across the combs what counts is how far the middle of the nearer of the two seams is from the
//! cluster's centre: half a pitch less than the comb itself. Honey is in contact where that distance is within the
//! cluster's radius plus the reach of a bee (parameter `contact_reach`, one bee space). Bees eat the nearest first.
//!
//! The map holds honey, not bees and not grids: the caller says where the cluster is.

mod combs;
mod larder;
mod placing;
mod sum;
mod survey;

pub use combs::BoxCombs;
pub use larder::{Lack, Larder, Meal};
pub use placing::{Hung, Placement};
pub use survey::{Nearest, PRESS, Survey, within};

use combs::{check, cut};
use sum::Sum;

/// Length of a cell along the comb, m (a choice: five bees long).
pub const CELL_ALONG: f64 = 0.05;
/// Height of a cell, m (a choice: the cluster rises about so far in three weeks).
pub const CELL_UP: f64 = 0.02;
/// Radius of the nest that is kept free of honey as a share of a loose autumn cluster's (derived: with the shipped sizes a
/// cluster at 0 degC has two thirds of the radius it has at 14 degC).
const NEST: f64 = 0.65;
/// Thickness of a pat of fondant or sugar laid over the frames, m (common practice, no source).
const PAT_HEIGHT: f64 = 0.02;
/// Sugar or fondant per volume of a pat, kg/m3 (fondant of 85-90 % sugar, from memory).
const PAT_DENSITY: f64 = 1350.0;

/// A range of x, y and z, m.
pub type Bounds = [[f64; 2]; 3];

/// Where the cluster is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Centre, m.
    pub centre: [f64; 3],
    /// Radius, m.
    pub radius: f64,
    /// What the sphere is clipped by; honey beyond it is out of reach.
    pub clip: Option<Bounds>,
}

/// What can be wrong with a map of stores.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum StoresError {
    /// A size or an amount that is not a finite, fitting number.
    #[error("the combs or their honey have a value that cannot be: {0}")]
    Value(&'static str),
    /// More honey than the combs hold.
    #[error("{kg} kg of honey do not fit into combs that hold {room} kg")]
    TooMuch {
        /// Honey to be placed, kg.
        kg: f64,
        /// What the combs hold, kg.
        room: f64,
    },
    /// Amounts for another number of boxes or frames than there are.
    #[error("honey is given for {given} {of}, but there are {there}")]
    Count {
        /// "boxes" or "frames".
        of: &'static str,
        /// Number given.
        given: usize,
        /// Number there.
        there: usize,
    },
}

/// One cell of comb, or part of a pat over the frames.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Cell {
    /// Middle, m.
    pub at: [f64; 3],
    /// How far from its middle it can be touched in each direction, m.
    half: [f64; 3],
    /// Honey in it, kg.
    pub left: f64,
    /// Honey it holds when full, kg.
    pub room: f64,
    /// Box and frame, both counted from 0; `None` for a pat over the frames.
    pub frame: Option<(u16, u16)>,
}

impl Cell {
    /// Distance from a point to where the cell is touched, m.
    fn distance(&self, from: &[f64; 3]) -> f64 {
        self.distance_squared(from).sqrt()
    }

    /// Its square, m2.
    fn distance_squared(&self, from: &[f64; 3]) -> f64 {
        let d: [f64; 3] =
            std::array::from_fn(|i| ((self.at[i] - from[i]).abs() - self.half[i]).max(0.0));
        d[0] * d[0] + d[1] * d[1] + d[2] * d[2]
    }

    fn within(&self, clip: Option<&Bounds>) -> bool {
        clip.is_none_or(|b| {
            (0..3).all(|i| {
                self.at[i] + self.half[i] >= b[i][0] && self.at[i] - self.half[i] <= b[i][1]
            })
        })
    }
}

/// The honey of one stack.
#[derive(Debug, Clone)]
pub struct Stores {
    boxes: Vec<BoxCombs>,
    cells: Vec<Cell>,
    reach: f64,
    /// Cells in contact while eating, with the square of their distance.
    near: Vec<(f64, usize)>,
    put_in: Sum,
    eaten: Sum,
}

impl Stores {
    /// The combs of a stack, bottom to top, with their honey. `reach` is how far beyond its surface the cluster feeds, m.
    ///
    /// # Errors
    /// [`StoresError`] when a value is not a number, the honey does not fit, or amounts and combs do not agree.
    pub fn new(
        boxes: Vec<BoxCombs>,
        placement: Placement<'_>,
        reach: f64,
    ) -> Result<Self, StoresError> {
        let mut cells = Vec::new();
        for (b, combs) in boxes.iter().enumerate() {
            check(combs)?;
            cut(b as u16, combs, &mut cells);
        }
        if !(reach.is_finite() && reach >= 0.0) {
            return Err(StoresError::Value("reach"));
        }
        let mut stores = Self {
            boxes,
            cells,
            reach,
            near: Vec::new(),
            put_in: Sum::default(),
            eaten: Sum::default(),
        };
        stores.place(placement)?;
        Ok(stores)
    }

    /// The combs.
    #[must_use]
    pub fn boxes(&self) -> &[BoxCombs] {
        &self.boxes
    }

    /// All cells: for pictures and checks.
    #[must_use]
    pub fn cells(&self) -> &[Cell] {
        &self.cells
    }

    /// Honey left, kg.
    #[must_use]
    pub fn total(&self) -> f64 {
        self.cells.iter().map(|c| c.left).collect::<Sum>().value()
    }

    /// Honey put in since the start, the first filling included, kg.
    #[must_use]
    pub fn put_in(&self) -> f64 {
        self.put_in.value()
    }

    /// Honey eaten out of the combs, kg: what was put in less what is left.
    #[must_use]
    pub fn eaten(&self) -> f64 {
        self.eaten.value()
    }

    /// What the combs would hold beyond what is in them, kg.
    #[must_use]
    pub fn free(&self) -> f64 {
        self.cells
            .iter()
            .map(|c| c.room - c.left)
            .collect::<Sum>()
            .value()
    }

    /// Eats up to `kg` from what the cluster touches, nearest to its centre first; gives what was there to eat, kg.
    pub fn eat(&mut self, place: &Place, kg: f64) -> f64 {
        let mut want = if kg.is_finite() { kg.max(0.0) } else { 0.0 };
        let mut got = 0.0;
        let limit = (place.radius + self.reach).powi(2);
        self.near.clear();
        for (i, c) in self.cells.iter().enumerate() {
            if c.left > 0.0 && c.within(place.clip.as_ref()) {
                let d = c.distance_squared(&place.centre);
                if d <= limit {
                    self.near.push((d, i));
                }
            }
        }
        // A meal is a cell or two: looking for the nearest again is cheaper than sorting them all.
        while want > 0.0 {
            let order =
                |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0).then(a.1.cmp(&b.1));
            let numbered = self.near.iter().enumerate();
            let Some((k, &(_, i))) = numbered.min_by(|a, b| order(a.1, b.1)) else {
                break;
            };
            self.near.swap_remove(k);
            let bite = self.cells[i].left.min(want);
            self.cells[i].left -= bite;
            want -= bite;
            got += bite;
        }
        self.eaten.add(got);
        got
    }

    /// Puts honey into empty cells as bees do: outside the nest nearest to it first, then in the nest from
    /// the rim inwards. The nest is the room the cluster will draw together to in the cold. Gives what found room, kg.
    pub fn store(&mut self, place: &Place, kg: f64) -> f64 {
        let open = Place {
            clip: None,
            ..*place
        };
        // Inside counts as further than anything outside.
        let inside = 1e3;
        let key = |c: &Cell, d: f64| {
            let gap = d - NEST * open.radius;
            (c.frame.is_some() && c.room > c.left).then_some(if gap >= 0.0 {
                gap
            } else {
                inside - gap
            })
        };
        let mut want = if kg.is_finite() { kg.max(0.0) } else { 0.0 };
        let mut put = 0.0;
        while want > 0.0 {
            let Some(cell) = self.pick(&open, key) else {
                break;
            };
            let here = (cell.room - cell.left).min(want);
            // A full cell is exactly full, whatever the rounding.
            cell.left = if here >= cell.room - cell.left {
                cell.room
            } else {
                cell.left + here
            };
            want -= here;
            put += here;
        }
        self.put_in.add(put);
        put
    }

    /// Lays a pat of `kg` (honey-equivalent) over the top frames, its middle at `at` (x and y, m).
    pub fn lay_on_top(&mut self, at: [f64; 2], kg: f64) {
        let Some(top) = self.boxes.iter().map(|b| b.z[1]).reduce(f64::max) else {
            return;
        };
        if !(kg.is_finite() && kg > 0.0) {
            return;
        }
        let side = (kg / (PAT_DENSITY * PAT_HEIGHT)).sqrt();
        // Quarters of the pat, so that what is over the cluster is eaten before the rest.
        const PARTS: usize = 4;
        let part = side / PARTS as f64;
        for i in 0..PARTS * PARTS {
            let offset = |k: usize| (k as f64 + 0.5) * part - 0.5 * side;
            let here = kg / (PARTS * PARTS) as f64;
            self.cells.push(Cell {
                at: [
                    at[0] + offset(i / PARTS),
                    at[1] + offset(i % PARTS),
                    // It lies on the top bars: bees touch its underside.
                    top,
                ],
                half: [0.5 * part, 0.5 * part, 0.0],
                left: here,
                room: here,
                frame: None,
            });
        }
        self.put_in.add(kg);
    }

    /// Hangs honey into one frame, on top of what it holds, as bees fill it. Gives what found room, kg.
    pub fn hang(&mut self, in_box: usize, frame: usize, kg: f64) -> f64 {
        let put = self.fill(kg, |c| c.frame == Some((in_box as u16, frame as u16)));
        self.put_in.add(put);
        put
    }

    /// How full the combs of a box are, 0 to 1.
    #[must_use]
    pub fn fullness(&self, in_box: usize) -> f64 {
        let room = self
            .boxes
            .get(in_box)
            .map_or(0.0, |b| b.full_frame * b.frames_x.len() as f64);
        if room > 0.0 {
            self.in_box(in_box).map(|c| c.left).sum::<f64>() / room
        } else {
            0.0
        }
    }

    /// Honey in each frame of a box, kg, in the order of the frames.
    #[must_use]
    pub fn by_frame(&self, in_box: usize) -> Vec<f64> {
        let frames = self.boxes.get(in_box).map_or(0, |b| b.frames_x.len());
        let mut kg = vec![0.0; frames];
        for c in self.in_box(in_box) {
            if let Some((_, f)) = c.frame
                && let Some(k) = kg.get_mut(usize::from(f))
            {
                *k += c.left;
            }
        }
        kg
    }

    /// Honey by height: the middle of each level (m, rising) and how full it is, 0 to 1, all boxes.
    #[must_use]
    pub fn by_height(&self) -> Vec<(f64, f64)> {
        let mut levels: Vec<(f64, f64, f64)> = Vec::new();
        for c in self.cells.iter().filter(|c| c.frame.is_some()) {
            match levels.iter_mut().find(|l| (l.0 - c.at[2]).abs() < 1e-9) {
                Some(l) => {
                    l.1 += c.left;
                    l.2 += c.room;
                }
                None => levels.push((c.at[2], c.left, c.room)),
            }
        }
        levels.sort_by(|a, b| a.0.total_cmp(&b.0));
        levels
            .into_iter()
            .map(|(z, left, room)| (z, if room > 0.0 { left / room } else { 0.0 }))
            .collect()
    }

    /// Honey that full combs hold per volume of comb and seam, kg/m3; 0 without combs.
    #[must_use]
    pub fn density(&self) -> f64 {
        let (kg, volume) = self.boxes.iter().fold((0.0, 0.0), |(kg, v), b| {
            let frames = b.frames_x.len() as f64;
            (
                kg + frames * b.full_frame,
                v + frames * b.pitch * (b.y[1] - b.y[0]) * (b.z[1] - b.z[0]),
            )
        });
        if volume > 0.0 { kg / volume } else { 0.0 }
    }

    fn in_box(&self, in_box: usize) -> impl Iterator<Item = &Cell> {
        self.cells
            .iter()
            .filter(move |c| c.frame.is_some_and(|(b, _)| usize::from(b) == in_box))
    }

    /// The cell with the least key, the first of equals.
    fn pick(
        &mut self,
        place: &Place,
        key: impl Fn(&Cell, f64) -> Option<f64>,
    ) -> Option<&mut Cell> {
        let mut best: Option<(f64, usize)> = None;
        for (i, c) in self.cells.iter().enumerate() {
            if !c.within(place.clip.as_ref()) {
                continue;
            }
            if let Some(k) = key(c, c.distance(&place.centre))
                && best.is_none_or(|(b, _)| k < b)
            {
                best = Some((k, i));
            }
        }
        best.and_then(|(_, i)| self.cells.get_mut(i))
    }
}

#[cfg(test)]
mod tests;
