//! Places a cluster can have: steps of size and position, so that what the network answers there can be kept.

use crate::heat::{HeatError, Shell};
use crate::hive::Hive;

/// Ratio of one radius to the next is e to this.
const RADIUS_STEP: f64 = 0.01;
/// Radius that a step of 0 stands for, m.
const RADIUS_ORIGIN: f64 = 0.1;
/// Steps of position, m.
const POSITION_STEP: f64 = 0.01;
/// A cluster leaves its place when it is this many steps from it: more than half, so that it does not flutter.
const LEAVES_AT: f64 = 0.75;

/// One place: which stack, how large, and where in its comb space.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub struct Place {
    /// Stack.
    pub stack: u16,
    /// Radius in steps.
    radius: i16,
    /// Centre in steps from the low corner of the stack's bounds.
    at: [i16; 3],
}

impl Place {
    /// The place nearest to a sphere of `radius` m about `centre`, m from the low corner of the stack's bounds.
    #[must_use]
    pub fn nearest(stack: usize, radius: f64, centre: [f64; 3]) -> Self {
        Self {
            stack: stack as u16,
            radius: ((radius / RADIUS_ORIGIN).ln() / RADIUS_STEP).round() as i16,
            at: centre.map(|c| (c / POSITION_STEP).round() as i16),
        }
    }

    /// Whether a sphere has left this place.
    #[must_use]
    pub fn left_by(&self, radius: f64, centre: [f64; 3]) -> bool {
        let grown = ((radius / RADIUS_ORIGIN).ln() / RADIUS_STEP - f64::from(self.radius)).abs();
        grown > LEAVES_AT
            || centre
                .iter()
                .zip(self.at)
                .any(|(c, at)| (c / POSITION_STEP - f64::from(at)).abs() > LEAVES_AT)
    }

    /// Radius, m.
    #[must_use]
    pub fn radius(&self) -> f64 {
        RADIUS_ORIGIN * (RADIUS_STEP * f64::from(self.radius)).exp()
    }

    /// The cluster's surface there.
    ///
    /// # Errors
    /// A sphere that touches no part of the network.
    pub fn shell(&self, hive: &Hive) -> Result<Shell, HeatError> {
        let bounds = hive.stacks[usize::from(self.stack)].bounds;
        let centre: [f64; 3] =
            std::array::from_fn(|a| bounds[a][0] + POSITION_STEP * f64::from(self.at[a]));
        Shell::sphere(
            &hive.grid,
            &hive.network,
            centre,
            self.radius(),
            Some(bounds),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Catches a place far from its sphere, and one that is left at once.
        #[test]
        fn nearest_is_near(r in 0.03..0.3f64, c in proptest::array::uniform3(0.0..0.5f64)) {
            let p = Place::nearest(1, r, c);
            prop_assert!((p.radius() / r).ln().abs() <= 0.5 * RADIUS_STEP + 1e-9);
            prop_assert!(!p.left_by(r, c));
            prop_assert!(p.left_by(r * 1.02, c));
            prop_assert!(p.left_by(r, [c[0], c[1], c[2] + 0.016]));
        }
    }
}
