//! Where honey hangs in autumn: the natural dome, or what the keeper counted.

use super::{Cell, Place, Stores, StoresError};

/// Weight of being out to the side against being up, in halves of the comb space's width (a choice that gives the dome
/// seen in brood nests: honey above and to the outside; no source).
const ACROSS: f64 = 0.6;
/// Weight of being behind the nest, in lengths of the comb (as above).
const ALONG: f64 = 0.35;
/// Middle of the nest from the front, as a share of the comb's length: towards the entrance (winter clusters sit near
/// the entrance low down in early winter: beekeeping texts).
const NEST_FROM_FRONT: f64 = 0.4;
/// Honey a cluster touches where it settles in autumn, kg (a choice: about a week's food).
const SETTLE_BESIDE: f64 = 0.25;

/// How the honey is given.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Placement<'a> {
    /// So much in all, kg, hung as bees hang it: above and to the outside.
    Natural(f64),
    /// So much in each box, bottom to top, kg, hung as bees hang it.
    PerBox(&'a [f64]),
    /// So much in each frame, kg: one list a box, bottom to top, frames from small to large x.
    PerFrame(&'a [Vec<f64>]),
    /// Box by box, bottom to top: so much in the box as bees hang it, or frame by frame.
    PerBoxOrFrame(&'a [HoneyPlacement]),
}

/// Honey of one box.
#[derive(Debug, Clone, PartialEq)]
pub enum HoneyPlacement {
    /// So much, kg, as bees hang it.
    InBox(f64),
    /// So much in each frame, kg, frames from small to large x.
    InFrames(Vec<f64>),
}

impl HoneyPlacement {
    /// Honey in the box, kg.
    #[must_use]
    pub fn kg(&self) -> f64 {
        match self {
            Self::InBox(kg) => *kg,
            Self::InFrames(kg) => kg.iter().sum(),
        }
    }
}

impl Stores {
    pub(super) fn place(&mut self, placement: Placement<'_>) -> Result<(), StoresError> {
        match placement {
            Placement::Natural(kg) => self.pour(kg, |_| true),
            Placement::PerBox(all) => {
                count("boxes", all.len(), self.boxes.len())?;
                (0..).zip(all).try_for_each(|(b, &kg)| self.box_of(b, kg))
            }
            Placement::PerFrame(all) => {
                count("boxes", all.len(), self.boxes.len())?;
                (0..).zip(all).try_for_each(|(b, kg)| self.frames_of(b, kg))
            }
            Placement::PerBoxOrFrame(all) => {
                count("boxes", all.len(), self.boxes.len())?;
                (0..).zip(all).try_for_each(|(b, hung)| match hung {
                    HoneyPlacement::InBox(kg) => self.box_of(b, *kg),
                    HoneyPlacement::InFrames(kg) => self.frames_of(b, kg),
                })
            }
        }
    }

    fn box_of(&mut self, b: u16, kg: f64) -> Result<(), StoresError> {
        self.pour(kg, |c| c.frame.is_some_and(|(x, _)| x == b))
    }

    fn frames_of(&mut self, b: u16, frames: &[f64]) -> Result<(), StoresError> {
        let there = self
            .boxes
            .get(usize::from(b))
            .map_or(0, |x| x.frames_x.len());
        count("frames", frames.len(), there)?;
        (0..)
            .zip(frames)
            .try_for_each(|(f, &kg)| self.pour(kg, |c| c.frame == Some((b, f))))
    }

    fn pour(&mut self, kg: f64, of: impl Fn(&Cell) -> bool) -> Result<(), StoresError> {
        if !(kg.is_finite() && kg >= 0.0) {
            return Err(StoresError::Value("amount of honey"));
        }
        let room: f64 = self
            .cells
            .iter()
            .filter(|c| of(c))
            .map(|c| c.room - c.left)
            .sum();
        // A count of frames times their honey may miss the last digits.
        if kg > room * (1.0 + 1e-9) {
            return Err(StoresError::TooMuch { kg, room });
        }
        let put = self.fill(kg, of);
        self.put_in.add(put);
        Ok(())
    }

    /// Fills the chosen cells as bees do, furthest from the nest first. Gives what found room, kg.
    pub(super) fn fill(&mut self, kg: f64, of: impl Fn(&Cell) -> bool) -> f64 {
        let Some(nest) = self.nest() else { return 0.0 };
        let mut order: Vec<(f64, usize)> = self
            .cells
            .iter()
            .enumerate()
            .filter(|(_, c)| c.frame.is_some() && of(c))
            .map(|(i, c)| (nest.away(c), i))
            .collect();
        order.sort_by(|a, b| b.0.total_cmp(&a.0).then(a.1.cmp(&b.1)));
        let (mut want, mut put) = (if kg.is_finite() { kg.max(0.0) } else { 0.0 }, 0.0);
        for (_, i) in order {
            let c = &mut self.cells[i];
            let here = (c.room - c.left).min(want);
            c.left += here;
            want -= here;
            put += here;
            if want <= 0.0 {
                break;
            }
        }
        put
    }

    fn nest(&self) -> Option<Nest> {
        let first = self.boxes.iter().find(|b| !b.frames_x.is_empty())?;
        let mut x = [f64::INFINITY, f64::NEG_INFINITY];
        let mut z = first.z;
        for b in self.boxes.iter().filter(|b| !b.frames_x.is_empty()) {
            for f in &b.frames_x {
                x = [x[0].min(f - 0.5 * b.pitch), x[1].max(f + 0.5 * b.pitch)];
            }
            z = [z[0].min(b.z[0]), z[1].max(b.z[1])];
        }
        let length = first.y[1] - first.y[0];
        let outer = first.frames_x.first().zip(first.frames_x.last());
        Some(Nest {
            at: [
                outer.map_or(0.0, |(a, b)| 0.5 * (a + b)),
                first.y[0] + NEST_FROM_FRONT * length,
                z[0],
            ],
            size: [0.5 * (x[1] - x[0]), length, z[1] - z[0]],
        })
    }

    /// Where a cluster of this radius settles in autumn: low, towards the front, in the middle of its combs, but
    /// beside honey, or as near it as they can. Searched seam by seam and [`super::CELL_UP`] by [`super::CELL_UP`] upwards; nearest to the natural
    /// seat wins.
    #[must_use]
    pub fn seat(&self, radius: f64) -> [f64; 3] {
        let Some(nest) = self.nest() else {
            return [0.0; 3];
        };
        let low = nest.at[2] + radius.min(0.5 * nest.size[2]);
        let high = nest.at[2] + (nest.size[2] - radius).max(0.5 * nest.size[2].min(2.0 * radius));
        let side = (nest.size[0] - radius).max(0.0);
        let natural = [nest.at[0], nest.at[1], low];
        let beside = SETTLE_BESIDE.min(self.total());
        let steps = |length: f64, step: f64| (length / step).floor().max(0.0) as i32;
        let pitch = self.boxes.iter().map(|b| b.pitch).fold(0.035, f64::min);
        let (across, up) = (steps(side, pitch), steps(high - low, super::CELL_UP));
        let mut best: Option<(f64, f64, [f64; 3])> = None;
        for k in 0..=up {
            for i in -across..=across {
                let (dx, dz) = (f64::from(i) * pitch, f64::from(k) * super::CELL_UP);
                let at = [natural[0] + dx, natural[1], natural[2] + dz];
                let at = self.region.as_ref().map_or(at, |r| r.nearest(&at));
                let place = Place { centre: at, radius };
                let touched = self.reachable_stores(&place).contact.min(beside);
                let away = dx.hypot(dz);
                if best.is_none_or(|(t, a, _)| touched > t || (touched == t && away < a)) {
                    best = Some((touched, away, at));
                }
            }
        }
        best.map_or(natural, |(_, _, at)| at)
    }
}

/// The brood nest as bees hang honey around it.
struct Nest {
    at: [f64; 3],
    size: [f64; 3],
}

impl Nest {
    /// How far from the nest a cell is: `(0.6 dx/(W/2))^2 + (0.35 dy/L)^2 + (dz/H)^2`, W, L, H width, length and height
    /// of the comb space, distances from its lower edge, middle, towards the front. A level of it is the dome over the nest.
    fn away(&self, c: &Cell) -> f64 {
        let d = |i: usize| (c.at[i] - self.at[i]) / self.size[i];
        (ACROSS * d(0)).powi(2) + (ALONG * d(1)).powi(2) + d(2).powi(2)
    }
}

fn count(of: &'static str, given: usize, there: usize) -> Result<(), StoresError> {
    if given == there {
        Ok(())
    } else {
        Err(StoresError::Count { of, given, there })
    }
}
