//! What cannot be built, and what always is.

use crate::solve::*;
use crate::stand::*;
use partywall::hive::{HiveError, Resolution, build};
use partywall::materials::MaterialError;
use partywall::stand::*;

/// Would catch a contradiction or an impossible hive that is built all the same.
#[test]
fn impossible_hives_are_refused() {
    let refuse = |s: Scenario| build(&s, Resolution::Coarse).expect_err("was built");
    let bad_box = |edit: fn(&mut HiveBox)| refuse(lone(|s| edit(&mut s.boxes[0])));
    assert!(matches!(
        bad_box(|b| b.frames = 14),
        HiveError::DoesNotFit { number: 1, .. }
    ));
    assert!(matches!(
        bad_box(|b| b.comb_length = 0.48),
        HiveError::DoesNotFit {
            what: "comb length",
            ..
        }
    ));
    assert!(matches!(
        bad_box(|b| b.comb_height = 0.25),
        HiveError::DoesNotFit { .. }
    ));
    assert!(matches!(
        bad_box(|b| b.comb_thickness = 0.034),
        HiveError::DoesNotFit { .. }
    ));
    assert!(matches!(
        bad_box(|b| b.walls[0].thickness = 0.2),
        HiveError::NoRoom {
            across: "across the combs",
            ..
        }
    ));
    assert!(matches!(
        bad_box(|b| b.walls.clear()),
        HiveError::OutOfBounds { .. }
    ));
    assert!(matches!(
        bad_box(|b| b.width = f64::NAN),
        HiveError::OutOfBounds { .. }
    ));
    assert!(matches!(
        bad_box(|b| b.honey_frames = 11.0),
        HiveError::OutOfBounds { .. }
    ));
    let unknown = bad_box(|b| b.walls[0].material = "softwod".into());
    assert!(
        matches!(&unknown, HiveError::Material(MaterialError::Unknown { .. })),
        "{unknown}"
    );
    assert!(unknown.to_string().contains("softwood"));
    let bare = |s: &mut Stack| {
        s.top.clear();
        s.cover.layers.clear();
    };
    assert!(matches!(refuse(lone(bare)), HiveError::NoLid { .. }));
    assert!(matches!(
        refuse(lone(|s| s.boxes.clear())),
        HiveError::NoBox { .. }
    ));
    assert!(matches!(
        refuse(stand(vec![], vec![])),
        HiveError::StackCount { got: 0, .. }
    ));
    let mut s = demo_pair(touching());
    s.joints.clear();
    assert!(matches!(refuse(s), HiveError::JointCount { .. }));
    let gap = adjoining(0.01, GapState::Touching, CentreWall::BoxWalls, false);
    assert!(matches!(
        refuse(demo_pair(gap)),
        HiveError::GapContradiction { joint: 1, .. }
    ));
    let shared = adjoining(
        0.01,
        GapState::Closed,
        CentreWall::Shared(vec![layer("plywood", 0.006)]),
        false,
    );
    assert!(matches!(
        refuse(demo_pair(shared)),
        HiveError::GapContradiction { .. }
    ));
}

/// Would catch a stand whose network depends on anything but the scenario: built twice, solved twice, the same bits.
#[test]
fn same_input_same_bits() {
    let s = demo_pair(touching());
    let run = || {
        let h = normal(&s);
        let mut d = h.drive(H, -10.0);
        warm_combs(&h, &mut d, 0, 12.0);
        solve(&h, &d).t
    };
    let (a, b) = (run(), run());
    assert!(a.iter().zip(&b).all(|(x, y)| x.to_bits() == y.to_bits()));
}

/// Would catch a scenario that ships with the program and cannot be built, at any resolution.
#[test]
fn shipped_scenarios_are_built() {
    for name in partywall::scenario::built_in_names() {
        let s = partywall::scenario::built_in(name).unwrap().scenario;
        for resolution in [Resolution::Coarse, Resolution::Normal, Resolution::Fine] {
            let h = build(&s, resolution).unwrap();
            assert_eq!(h.stacks.len(), s.stacks.len(), "{name}");
        }
        let h = normal(&s);
        let found = solve(&h, &h.drive(H, -10.0));
        assert!(found.t.iter().all(|t| *t > -10.0 - 1e-6), "{name}");
    }
}
