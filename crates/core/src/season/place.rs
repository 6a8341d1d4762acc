//! Where a cluster is and how large, and the lattice of places between which its place in the reduced network is drawn.

use crate::heat::{HeatError, Shell};
use crate::hive::Hive;
use crate::region::Ball;

/// A cluster is placed anew when its radius has changed by this share.
const RADIUS_CHANGE: f64 = 0.02;
/// It is also placed anew when its centre has moved this far, m.
const MOVED: f64 = 0.005;
/// Radius that a step of 0 stands for, m.
const RADIUS_ORIGIN: f64 = 0.1;

/// From this share of the radius that fills a hive on a cluster reaches far along walls with little more volume: there steps of size are so many times as
/// close (choices, by trial: a pair of ten-frame hives in a warm October strayed by 0.52 K without, by 0.48 K with 3 times and 0.16 K with 8).
const CROWDED: f64 = 0.6;
const CLOSER: f64 = 8.0;

/// Steps of the finer lattice from side to side of a comb space, at least.
const STEPS: f64 = 11.0;

/// A lattice of places.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Lattice {
    /// Ratio of one radius to the next is e to this.
    radius: f64,
    /// Steps across, along and up, m.
    position: [f64; 3],
}

impl Lattice {
    /// For what is read off the network's slow patterns, in the comb space of a stack (bounds, m): the smaller it is, the more hangs on
    /// where a sphere is cut off by its sides. A box of five frames with steps of 25 mm strayed by 0.46 K. Steps are `finer` times as
    /// short as usual.
    pub fn fine(bounds: &[[f64; 2]; 3], finer: f64) -> Self {
        Self {
            radius: 0.1,
            position: bounds.map(|b| ((b[1] - b[0]) / STEPS).min(0.02) / finer),
        }
    }

    /// For the field close to a cluster, which changes little from place to place, least along the combs.
    pub const NEAR: Self = Self {
        radius: 0.25,
        position: [0.03, 0.045, 0.04],
    };
}

/// One place: which stack, how large, and where in its comb space.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Place {
    /// Stack.
    pub stack: usize,
    /// Radius of the sphere that holds as much, m.
    pub radius: f64,
    /// Centre from the low corner of the stack's bounds, m.
    pub centre: [f64; 3],
}

/// A point of the lattice: stack, steps of radius, steps of position.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub(super) struct Site {
    stack: u16,
    radius: i16,
    at: [i16; 3],
}

impl Place {
    /// Whether a sphere is no longer this one.
    #[must_use]
    pub fn left_by(&self, other: &Self) -> bool {
        let moved = self.centre.iter().zip(other.centre);
        (other.radius / self.radius).ln().abs() > RADIUS_CHANGE
            || moved.map(|(a, b)| (a - b).abs()).fold(0.0, f64::max) > MOVED
    }

    /// What the cluster takes up there.
    #[must_use]
    pub fn ball(&self, hive: &Hive) -> Ball {
        let space = &hive.stacks[self.stack];
        let seat = std::array::from_fn(|a| space.bounds[a][0] + self.centre[a]);
        space.region.ball(seat, self.radius)
    }

    /// The cluster's surface there.
    ///
    /// # Errors
    /// A ball that touches no part of the network.
    pub fn shell(&self, hive: &Hive) -> Result<Shell, HeatError> {
        let region = &hive.stacks[self.stack].region;
        Shell::ball(&hive.grid, &hive.network, &self.ball(hive), Some(region))
    }
}

impl Lattice {
    /// Steps of size from 0.1 m to a radius, m.
    fn size(self, radius: f64, fills: f64) -> f64 {
        let crowded = CROWDED * fills;
        let usual = (radius.min(crowded) / RADIUS_ORIGIN).ln();
        let beyond = (radius / crowded).ln().max(0.0);
        (usual + CLOSER * beyond) / self.radius
    }

    /// Its points around a place with their shares, linear in the logarithm of the radius and in each direction: the
    /// corners of the simplex the place lies in (Freudenthal's cut of the cube), five at most; corners without a share are
    /// left out. No cluster is larger than one of the radius `fills`, m: the last step of size ends there.
    pub fn around(self, place: &Place, fills: f64) -> impl Iterator<Item = (f64, Site)> {
        let [x, y, z] = std::array::from_fn(|a| place.centre[a] / self.position[a]);
        let last = self.size(fills, fills);
        let at = [self.size(place.radius, fills).min(last), x, y, z];
        let mut part = at.map(|x| x - x.floor());
        part[0] /= (last - at[0].floor()).clamp(f64::MIN_POSITIVE, 1.0);
        let mut order = [0, 1, 2, 3];
        order.sort_by(|&a, &b| part[b].total_cmp(&part[a]));
        let stack = place.stack as u16;
        let mut corner = at.map(|x| x.floor() as i16);
        (0..5).filter_map(move |k| {
            if k > 0 {
                corner[order[k - 1]] += 1;
            }
            let above = if k == 0 { 1.0 } else { part[order[k - 1]] };
            let share = above - order.get(k).map_or(0.0, |&a| part[a]);
            let [radius, at @ ..] = corner;
            (share > 0.0).then_some((share, Site { stack, radius, at }))
        })
    }

    /// The place a point of it stands for.
    pub fn place(self, site: Site, fills: f64) -> Place {
        let (steps, crowded) = (f64::from(site.radius), self.size(CROWDED * fills, fills));
        let beyond = (steps - crowded).max(0.0);
        let ln = self.radius * (steps - beyond + beyond / CLOSER);
        let radius = RADIUS_ORIGIN * ln.exp();
        Place {
            stack: usize::from(site.stack),
            radius: radius.min(fills),
            centre: std::array::from_fn(|a| self.position[a] * f64::from(site.at[a])),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Catches shares that do not sum to one, or points that are not around the place; where a cluster fills its hive, too.
        #[test]
        fn lattice_surrounds_the_place(r in 0.03..0.3f64, fills in 0.1..0.4f64, c in proptest::array::uniform3(0.0..0.5f64)) {
            let p = Place { stack: 1, radius: r, centre: c };
            let (mut sum, mut at, mut size) = (0.0, [0.0; 3], 0.0);
            let lattice = Lattice::fine(&[[0.0, 0.19], [0.02, 0.46], [0.0, 0.4]], 1.0);
            let r = r.min(fills);
            for (share, site) in lattice.around(&p, fills) {
                let q = lattice.place(site, fills);
                prop_assert!((q.radius / r).ln().abs() <= lattice.radius + 1e-9);
                sum += share;
                size += share * lattice.size(q.radius, fills);
                for (a, c) in at.iter_mut().zip(q.centre) {
                    *a += share * c;
                }
            }
            prop_assert!((sum - 1.0).abs() < 1e-12);
            prop_assert!((size - lattice.size(r, fills)).abs() < 1e-9);
            prop_assert!(at.iter().zip(c).all(|(a, c)| (a - c).abs() < 1e-9));
        }
    }
}
