//! What standing side by side buys, split into wind, wrap and wall.
//!
//! The parts are told by hives in between, in this order: apart; side by side with the gap open to the wind and a lid each;
//! the gap closed and lid and wrap as they are, but no heat let through between the two; as they are. What one step gains over
//! the one before is *wind*, *wrap* and *wall*; the three add up to the whole draw by draw. In another order each part would
//! come out a little different.

use crate::materials::MaterialOverride;
use crate::stand::{CentreWall, GapState, Joint, Scenario};
use serde::Serialize;

/// Gap of the hives in between where there is none, m: what two overhanging lids leave (one keeper's estimate).
const GAP: f64 = 0.038;
/// Key of the material that lets no heat through. The lowest conductivity the table allows; over 38 mm it lets 0.02 W/K through a
/// two-box wall where two boards let 0.44.
const STOPPER: &str = "lets-no-heat-through";
/// Its conductivity, W/mK.
const STOPPER_K: f64 = 0.003;

/// One part of what pairing buys.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Part {
    /// The facing sides stand in each other's lee; side foam between the two goes.
    Wind,
    /// Gap closed, lid and wrap over both: those sides lose nothing any more.
    Wrap,
    /// Heat through the centre wall from one colony to the other.
    Wall,
}

/// Hives from apart to as they are, each with the part it adds; `None` when no two hives stand together.
#[must_use]
pub fn steps(s: &Scenario) -> Option<[(Option<Part>, Scenario); 4]> {
    if !s
        .joints
        .iter()
        .any(|j| matches!(j, Joint::Adjoining { .. }))
    {
        return None;
    }
    let each = |change: &dyn Fn(f64, bool) -> Joint| -> Vec<Joint> {
        s.joints
            .iter()
            .map(|j| match j {
                Joint::Apart => Joint::Apart,
                Joint::Adjoining {
                    gap,
                    one_cover,
                    wall,
                    ..
                } => {
                    // A wall shared by both holds one lid and wrap together, too.
                    let shared = matches!(wall, CentreWall::Shared(_));
                    change(gap.max(GAP), *one_cover || shared)
                }
            })
            .collect()
    };
    let with = |joints| Scenario {
        joints,
        ..s.clone()
    };
    let windy = with(each(&|gap, _| Joint::Adjoining {
        gap,
        state: GapState::Open,
        wall: CentreWall::BoxWalls,
        one_cover: false,
    }));
    let open = |j: &Joint| {
        matches!(
            j,
            Joint::Adjoining {
                state: GapState::Open,
                wall: CentreWall::BoxWalls,
                ..
            }
        )
    };
    // Where the gap is open to the wind, nothing goes through a wall; there the step only brings the lid.
    let mut stopped = with(each(&|gap, one_cover| Joint::Adjoining {
        gap,
        state: GapState::Filled(STOPPER.to_owned()),
        wall: CentreWall::BoxWalls,
        one_cover,
    }));
    for (new, old) in stopped.joints.iter_mut().zip(&s.joints) {
        if open(old) {
            new.clone_from(old);
        }
    }
    stopped.materials.push(MaterialOverride {
        key: STOPPER.to_owned(),
        conductivity: STOPPER_K,
        density: 30.0,
        specific_heat: 1400.0,
    });
    Some([
        (None, s.apart()),
        (Some(Part::Wind), windy),
        (Some(Part::Wrap), stopped),
        (Some(Part::Wall), s.clone()),
    ])
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hive::{self, Resolution};
    use crate::scenario;

    /// Catches steps that cannot be built, that do not end at the hives as they are, or a stopper too thin to stop heat.
    #[test]
    fn steps_lead_from_apart_to_together() {
        let demo = scenario::built_in("larch-flats").unwrap().scenario;
        let all = steps(&demo).unwrap();
        assert_eq!(all[3].1, demo);
        assert!(matches!(all[0].1.joints[0], Joint::Apart));
        for (_, s) in &all {
            hive::build(s, Resolution::Coarse).unwrap();
        }
        assert!(steps(&demo.apart()).is_none());
        let mut touching = demo.clone();
        touching.joints[0] = Joint::Adjoining {
            gap: 0.0,
            state: GapState::Touching,
            wall: CentreWall::BoxWalls,
            one_cover: true,
        };
        let all = steps(&touching).unwrap();
        for (_, s) in &all {
            hive::build(s, Resolution::Coarse).unwrap();
        }
        let Joint::Adjoining { gap, state, .. } = &all[2].1.joints[0] else {
            unreachable!("the step stands together")
        };
        assert!(*gap >= GAP && *state == GapState::Filled(STOPPER.to_owned()));
    }
}
