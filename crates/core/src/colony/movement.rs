//! Where the cluster goes: up with the comb it empties, towards honey, towards warmth.
//!
//! Three wishes make one step an hour:
//! - **up**: the comb eaten makes room. The rise is what was eaten over what full comb holds in the cluster's cross-section,
//!   `dz = m / (rho pi R^2)`, times `creep` over 1 mm/d: 35 g a day under a radius of 0.12 m is about 0.9 mm, the
//!   working rule of the trade is 1 mm, and its range stands for how closely bees follow the comb they empty.
//! - **honey**: the less is in contact, the more it counts: its mean direction for what there is, for what is wanting
//!   the nearest other (in the seams the cluster sits in, or anywhere when it may cross) that it can get to touch.
//! - **warmth**: up the gradient of temperature over the cluster's own surface, at full speed from `warmth_gradient` on.
//!
//! Stores within the cluster's own seams are reached by contact in any cold: hunger drives it along them at `seam_speed`.
//! Towards warmth the speed falls in a line from `seam_speed` at the moving temperature to the creep where the cluster is
//! complete. Only after `move_hours` on end at the moving temperature is the cluster loose: then it goes at `cross_speed`, and
//! across the seams too. A cluster that draws together draws together onto its honey ([`ClusterPosition::draw_together`]). Nothing here knows of walls or neighbours: that clusters gather at a warm wall comes from the
//! gradient alone.

use super::parameters::Parameters;
use super::stores::ReachableStores;
use crate::region::Region;
use std::f64::consts::PI;

/// Honey in contact above which bees do not look for more, kg (a choice: about two weeks' food).
const CONTENT: f64 = 0.5;
/// The creep that stands for following the emptied comb exactly, m/d (the working rule, 1 mm a day).
const RULE: f64 = 1e-3;
/// A pull further down than this ends the rise: the honey is below.
const BELOW: f64 = -0.1;

const DAY: f64 = 86_400.0;

/// What the cluster feels of the hive around it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Around {
    /// Air of the hive beside the cluster, out of its own warmth, degC.
    pub air_c: f64,
    /// Gradient of temperature over the cluster's surface, K/m, towards larger x, y and z.
    pub gradient: [f64; 3],
}

/// Where a cluster sits.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ClusterPosition {
    centre: [f64; 3],
    warm: f64,
}

/// What one step did.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// Displacement, m.
    pub moved: [f64; 3],
    /// Whether the cluster was loose and could change seams.
    pub loose: bool,
}

/// Speed of a cluster that is not hungry along its own seams in air of `air_c` degC, m/d.
#[must_use]
pub fn pace(air_c: f64, p: &Parameters) -> f64 {
    let share =
        ((air_c - p.cluster_complete_c) / (p.move_c - p.cluster_complete_c)).clamp(0.0, 1.0);
    p.creep_per_day + share * (p.seam_speed_per_day - p.creep_per_day).max(0.0)
}

/// Rise from eating `kg`, m: `m / (rho pi R^2)`, `rho` what full combs hold per volume, kg/m3.
#[must_use]
pub fn rise(kg: f64, radius: f64, density: f64, p: &Parameters) -> f64 {
    let per_metre = density * PI * radius * radius;
    if per_metre > 0.0 {
        kg / per_metre * p.creep_per_day / RULE
    } else {
        0.0
    }
}

impl ClusterPosition {
    /// A cluster's centre, m.
    #[must_use]
    pub fn new(centre: [f64; 3]) -> Self {
        Self { centre, warm: 0.0 }
    }

    /// The same cluster at another centre, m.
    #[must_use]
    pub fn at(self, centre: [f64; 3]) -> Self {
        Self { centre, ..self }
    }

    /// Centre now, m.
    #[must_use]
    pub fn centre(&self) -> [f64; 3] {
        self.centre
    }

    /// Lets `dt` seconds pass in which `eaten` kg were taken from the combs. `density` is what full combs hold per volume,
    /// kg/m3 ([`super::stores::Stores::density`]); the centre stays within `region`.
    #[allow(clippy::too_many_arguments)]
    pub fn advance(
        &mut self,
        dt: f64,
        radius: f64,
        region: &Region,
        around: &Around,
        reachable: &ReachableStores,
        eaten: f64,
        density: f64,
        p: &Parameters,
    ) -> Step {
        self.warm = if around.air_c >= p.move_c {
            self.warm + dt
        } else {
            0.0
        };
        let loose = self.warm >= p.move_time;
        let (to_warmth, to_honey) = if loose {
            let fast = p.cross_speed.max(p.seam_speed_per_day / DAY);
            (fast, fast)
        } else {
            (pace(around.air_c, p) / DAY, p.seam_speed_per_day / DAY)
        };
        let wanting = wanting(reachable);
        let other = if loose {
            reachable.nearest
        } else {
            reachable.nearest_in_seams
        }
        .map_or([0.0; 3], |n| n.direction);
        let honey: [f64; 3] =
            std::array::from_fn(|i| (1.0 - wanting) * reachable.pull[i] + wanting * other[i]);
        let warmth = at_most_one(around.gradient.map(|g| g / p.warmth_gradient));
        let mut step: [f64; 3] = std::array::from_fn(|i| {
            dt * (to_honey * wanting * honey[i] + to_warmth * (1.0 - wanting) * warmth[i])
        });
        if !loose {
            step[0] = 0.0;
        }
        if reachable.pull[2] > BELOW {
            step[2] += rise(eaten, radius, density, p);
        }
        let before = self.centre;
        self.centre = region.walk(&before, &step);
        Step {
            moved: std::array::from_fn(|i| self.centre[i] - before[i]),
            loose,
        }
    }

    /// The cluster has drawn together by `shrunk` m of radius, and touches what `reachable` says from where it is; before,
    /// its honey lay in the mean direction `pull`. It draws together onto its honey: as far as honey is wanting, the bees at it
    /// stay and the others come to them, so that the centre goes that way by what the radius lost. No bee
    /// enters a seam it was not in. Says whether it went.
    ///
    /// Source: follows from stores within reach being kept by contact at any temperature (beekeeping texts); how far is derived.
    pub fn draw_together(
        &mut self,
        shrunk: f64,
        region: &Region,
        reachable: &ReachableStores,
        pull: [f64; 3],
    ) -> bool {
        let by = shrunk.max(0.0) * wanting(reachable);
        let before = self.centre;
        if by > 0.0 && pull.iter().all(|p| p.is_finite()) {
            self.centre = region.walk(&before, &pull.map(|p| by * p));
        }
        self.centre != before
    }

    /// Puts the centre into a region, where it is nearest.
    pub fn keep_within(&mut self, region: &Region) {
        self.centre = region.nearest(&self.centre);
    }
}

/// How much honey in contact is wanting, 0 to 1.
fn wanting(reachable: &ReachableStores) -> f64 {
    (1.0 - reachable.contact / CONTENT).clamp(0.0, 1.0)
}

fn at_most_one(v: [f64; 3]) -> [f64; 3] {
    let length = (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt();
    if length > 1.0 {
        v.map(|x| x / length)
    } else if length.is_finite() {
        v
    } else {
        [0.0; 3]
    }
}

#[cfg(test)]
mod tests {
    use super::super::stores::{BoxCombs, ForagingState, Lack, Place, Placement, Stores};
    use super::*;
    use proptest::prelude::*;

    const HOUR: f64 = 3600.0;
    const ROOM: crate::region::Bounds = [[0.0, 0.372], [0.02, 0.47], [0.04, 0.27]];

    fn room() -> Region {
        Region::one(ROOM)
    }

    fn combs() -> Vec<BoxCombs> {
        vec![BoxCombs::ten_deep()]
    }

    /// A colony of 25 g a day fed from full frames `frames` for some days in air of `air_c`; cluster low in the middle.
    fn live(
        frames: &[usize],
        radius: f64,
        days: usize,
        air_c: impl Fn(usize) -> f64,
    ) -> (ForagingState, ClusterPosition) {
        let p = Parameters::with(&[]).unwrap();
        let mut kg = vec![0.0; 10];
        for &f in frames {
            kg[f] = 2.7;
        }
        let stores = Stores::new(combs(), Placement::PerFrame(&[kg]), p.contact_reach).unwrap();
        let density = stores.density();
        let mut foraging = ForagingState::new(stores);
        let mut seat = ClusterPosition::new([0.186, 0.2, 0.15]);
        for hour in 0..24 * days {
            let place = Place {
                centre: seat.centre(),
                radius,
            };
            let meal = foraging.feed(&place, 0.025 / 24.0, 6000.0 * p.crop);
            let around = Around {
                air_c: air_c(hour),
                gradient: [0.0; 3],
            };
            let reachable = foraging.stores.reachable_stores(&place);
            seat.advance(
                HOUR,
                radius,
                &room(),
                &around,
                &reachable,
                meal.taken,
                density,
                &p,
            );
        }
        (foraging, seat)
    }

    /// Catches a model in which no colony can die beside its honey: small cluster, honey two frames away, two weeks of cold.
    /// The same with honey beside it, or with one mild afternoon, must live.
    #[test]
    fn isolation_starves_in_long_cold_only() {
        let cold = |_: usize| -12.0;
        let (away, seat) = live(&[0, 1, 8, 9], 0.05, 14, cold);
        assert!(
            matches!(away.starved(), Some(Lack::Isolated { left }) if left > 10.0),
            "{:?} at {:?}",
            away.starved(),
            seat.centre()
        );
        let (beside, _) = live(&[4, 5], 0.05, 14, cold);
        assert_eq!((beside.starved(), beside.shadow()), (None, 0.0));
        let mild = |hour: usize| {
            if (36..46).contains(&hour) {
                11.0
            } else {
                -12.0
            }
        };
        let (crossed, seat) = live(&[0, 1, 8, 9], 0.05, 14, mild);
        assert_eq!(crossed.starved(), None, "at {:?}", seat.centre());
        assert!((seat.centre()[0] - 0.186).abs() > 0.05);
    }

    /// Catches a cluster that rises at another pace than its eating makes room for (check value C20: 0.4 to 1.5 mm a day
    /// computed from consumption and comb capacity).
    #[test]
    fn rises_about_a_millimetre_a_day() {
        let p = Parameters::with(&[]).unwrap();
        let s = Stores::new(combs(), Placement::Natural(20.0), p.contact_reach).unwrap();
        for (grams, radius) in [(20.0, 0.11), (35.0, 0.125), (45.0, 0.14)] {
            let mm = 1e3 * rise(grams * 1e-3, radius, s.density(), &p);
            assert!((0.4..1.5).contains(&mm), "{mm} mm from {grams} g");
        }
    }

    /// Catches a cluster that changes seams in the cold, by honey or by warmth, or after too short a warm spell.
    #[test]
    fn does_not_cross_in_the_cold() {
        let p = Parameters::with(&[]).unwrap();
        let pulled = ReachableStores {
            contact: 0.05,
            pull: [1.0, 0.0, 0.0],
            ..ReachableStores::default()
        };
        for (air_c, hours, crosses) in [
            (-10.0, 500, false),
            (7.9, 500, false),
            (8.5, 2, false),
            (8.5, 4, true),
        ] {
            let mut seat = ClusterPosition::new([0.15, 0.2, 0.15]);
            let around = Around {
                air_c,
                gradient: [30.0, 0.0, 0.0],
            };
            for _ in 0..hours {
                seat.advance(HOUR, 0.1, &room(), &around, &pulled, 0.0, 900.0, &p);
            }
            assert_eq!(seat.centre()[0] != 0.15, crosses, "{air_c} for {hours} h");
        }
    }

    /// Catches warmth sought the wrong way, a gathering that is written in, or a cluster that leaves its honey for warmth.
    #[test]
    fn goes_towards_warmth_when_it_has_honey() {
        let p = Parameters::with(&[]).unwrap();
        let fed = ReachableStores {
            contact: 2.0,
            ..ReachableStores::default()
        };
        let hungry = ReachableStores {
            contact: 0.0,
            ..ReachableStores::default()
        };
        let go = |gx: f64, reachable: &ReachableStores, air_c: f64| {
            let mut seat = ClusterPosition::new([0.186, 0.2, 0.15]);
            for _ in 0..48 {
                let around = Around {
                    air_c,
                    gradient: [gx, 0.0, 0.0],
                };
                seat.advance(HOUR, 0.1, &room(), &around, reachable, 0.0, 900.0, &p);
            }
            seat.centre()[0]
        };
        assert!(go(10.0, &fed, 10.0) > 0.2 && go(-10.0, &fed, 10.0) < 0.17);
        assert!((go(10.0, &fed, 10.0) + go(-10.0, &fed, 10.0) - 0.372).abs() < 1e-9);
        assert_eq!(go(0.0, &fed, 10.0), 0.186);
        assert_eq!(go(10.0, &hungry, 10.0), 0.186);
        assert_eq!(go(10.0, &fed, 5.0), 0.186);
    }

    /// Catches a speed that does not fall with the cold, or falls below the creep.
    #[test]
    fn slow_in_the_cold() {
        let p = Parameters::with(&[]).unwrap();
        assert_eq!(pace(-30.0, &p), 1e-3);
        assert_eq!(pace(20.0, &p), 20e-3);
        assert!(pace(0.0, &p) > pace(-5.0, &p));
    }

    proptest! {
        /// Catches a sphere that leaves its room, or a centre that is no number, whatever it is told.
        #[test]
        fn stays_within_bounds(
            radius in 0.01..0.4f64, air_c in -40.0..40.0f64, eaten in 0.0..1.0f64, dt in 60.0..90_000.0f64,
            gradient in prop::array::uniform3(-500.0..500.0f64), pull in prop::array::uniform3(-1.0..1.0f64),
            contact in 0.0..1.0f64, start in prop::array::uniform3(-1.0..1.0f64),
        ) {
            let p = Parameters::with(&[]).unwrap();
            let mut seat = ClusterPosition::new(start);
            seat.keep_within(&room());
            let reachable = ReachableStores { contact, pull, ..ReachableStores::default() };
            for _ in 0..10 {
                seat.advance(dt, radius, &room(), &Around { air_c, gradient }, &reachable, eaten, 900.0, &p);
                prop_assert!(room().holds(&seat.centre()));
            }
        }
    }
}
