//! Honey as a map over the combs: where it hangs, what the cluster touches of it, what is eaten and what is left.
//!
//! Every comb is divided into cells, about [`CELL_ALONG`] along and [`CELL_UP`] up. A comb is touched from the seams at
//! its two sides, so across the combs what counts is how far the middle of the nearer of the two seams is from the
//! cluster's centre: half a pitch less than the comb itself. Honey is in contact where that distance is within the
//! cluster's radius plus the reach of a bee (parameter `contact_reach`, one bee space). Bees eat the nearest first.
//!
//! The map holds honey, not bees and not grids: the caller says where the cluster is.

mod cell;
mod combs;
mod deposition;
mod foraging;
mod placing;
mod reachable;
mod sum;

pub use cell::{CELL_ALONG, CELL_UP, Cell, StoresError};
pub use combs::BoxCombs;
pub use foraging::{ForagingState, Lack, Meal};
pub use placing::{HoneyPlacement, Placement};
pub use reachable::{Nearest, ReachableStores};

use crate::region::Region;
use combs::{Comb, check, cut};
use std::ops::Range;
use sum::Sum;

/// Cells looked for at once while eating.
const FEW: usize = 4;
/// Where the cluster is.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Centre, m.
    pub centre: [f64; 3],
    /// How far it reaches on foot, m.
    pub radius: f64,
}

/// The honey of one stack.
#[derive(Debug, Clone)]
pub struct Stores {
    boxes: Vec<BoxCombs>,
    /// Cells of the combs, box by box and comb by comb, then pats over the frames.
    cells: Vec<Cell>,
    /// Where each comb's cells are.
    combs: Vec<Comb>,
    reach: f64,
    /// The space bees walk in; nothing is in the way without.
    pub(super) region: Option<Region>,
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
        let (mut cells, mut combs) = (Vec::new(), Vec::new());
        for (b, of_box) in boxes.iter().enumerate() {
            check(of_box)?;
            cut(b as u16, of_box, &mut cells, &mut combs);
        }
        if !(reach.is_finite() && reach >= 0.0) {
            return Err(StoresError::Value("reach"));
        }
        let mut stores = Self {
            boxes,
            cells,
            combs,
            reach,
            region: None,
            put_in: Sum::default(),
            eaten: Sum::default(),
        };
        stores.place(placement)?;
        Ok(stores)
    }

    /// The same in rooms with walls.
    #[must_use]
    pub fn within(mut self, region: Region) -> Self {
        self.region = Some(region);
        self
    }

    /// The rooms, if there are several, between which ways can bend.
    fn rooms(&self) -> Option<&Region> {
        self.region.as_ref().filter(|r| !r.is_one())
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

    /// Honey left, kg: what was put in less what was eaten.
    #[must_use]
    pub fn total(&self) -> f64 {
        (self.put_in.value() - self.eaten.value()).max(0.0)
    }

    /// Honey put in since the start, the first filling included, kg.
    #[must_use]
    pub fn put_in(&self) -> f64 {
        self.put_in.value()
    }

    /// Honey eaten out of the combs, kg.
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
        // A meal is a cell or two: looking for the nearest few again is cheaper than sorting them all.
        while want > 0.0 {
            let near = self.nearest(place);
            for (_, i) in near.iter().filter(|(d, _)| d.is_finite()) {
                let bite = self.cells[*i].left.min(want);
                self.cells[*i].left -= bite;
                want -= bite;
                got += bite;
            }
            if near.iter().any(|(d, _)| !d.is_finite()) {
                break;
            }
        }
        self.eaten.add(got);
        got
    }

    /// The nearest cells with honey that the cluster touches, nearest first, of equals the first: the square of their distance, m2,
    /// infinite if there are no more, and which.
    fn nearest(&self, place: &Place) -> [(f64, usize); FEW] {
        let reach = place.radius + self.reach;
        let mut few = [(f64::INFINITY, 0); FEW];
        let limit = reach * reach;
        let rooms = self.rooms();
        let mut look = |cells: Range<usize>| {
            for (c, i) in self.cells[cells.clone()].iter().zip(cells) {
                if c.left > 0.0 {
                    let mut d = c.distance_squared(&place.centre);
                    if let Some(rooms) = rooms.filter(|_| d < few[FEW - 1].0 && d <= limit)
                        && let Some((length, _)) = reachable::bent(rooms, &place.centre, c, d)
                    {
                        d = length * length;
                    }
                    if d < few[FEW - 1].0 && d <= limit {
                        few[FEW - 1] = (d, i);
                        for k in (1..FEW).rev() {
                            if few[k].0 < few[k - 1].0 {
                                few.swap(k, k - 1);
                            }
                        }
                    }
                }
            }
            few[FEW - 1].0
        };
        let mut furthest = f64::INFINITY;
        for comb in &self.combs {
            for (d, cells) in comb.around(&place.centre, reach) {
                if d < furthest {
                    furthest = look(cells);
                }
            }
        }
        look(self.pats());
        few
    }

    /// How full the combs of a box are, 0 to 1.
    #[must_use]
    pub fn fullness(&self, in_box: usize) -> f64 {
        let room = self
            .boxes
            .get(in_box)
            .map_or(0.0, |b| b.full_frame * b.frames_x.len() as f64);
        if room > 0.0 {
            self.held(in_box) / room
        } else {
            0.0
        }
    }

    /// Honey in a box, kg, in eight partial sums.
    fn held(&self, in_box: usize) -> f64 {
        let (eights, rest) = self.in_box(in_box).as_chunks::<8>();
        let mut sums = [0.0; 8];
        for eight in eights {
            for (s, c) in sums.iter_mut().zip(eight) {
                *s += c.left;
            }
        }
        sums.iter().sum::<f64>() + rest.iter().map(|c| c.left).sum::<f64>()
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

    /// Pats over the frames.
    fn pats(&self) -> Range<usize> {
        self.combs.last().map_or(0, |c| c.cells.end)..self.cells.len()
    }

    /// Cells of a box.
    fn in_box(&self, in_box: usize) -> &[Cell] {
        let frames = |boxes: &[BoxCombs]| boxes.iter().map(|b| b.frames_x.len()).sum::<usize>();
        let first = frames(&self.boxes[..in_box.min(self.boxes.len())]);
        let here = self.boxes.get(in_box).map_or(0, |b| b.frames_x.len());
        match &self.combs[first..first + here] {
            [] => &[],
            [one] => &self.cells[one.cells.clone()],
            [low, .., high] => &self.cells[low.cells.start..high.cells.end],
        }
    }
}

#[cfg(test)]
mod tests;
