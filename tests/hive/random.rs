//! Random stands: whatever a scenario says, it is refused with a reason or becomes a hive that can be solved.

use crate::solve::*;
use crate::stand::*;
use partywall::hive::{Resolution, build};
use partywall::stand::*;
use proptest::prelude::*;

fn a_box() -> impl Strategy<Value = HiveBox> {
    let sizes = (0.25..0.60, 0.15..0.55, 0.06..0.35, 0.006..0.05);
    let frames = (
        0u32..13,
        0.030..0.040,
        0.018..0.0265,
        0u32..3,
        0usize..3,
        any::<bool>(),
    );
    (sizes, frames).prop_map(
        |((length, width, depth, wall), (n, pitch, comb, followers, at, filled))| {
            let room = f64::floor((width - 2.0 * wall) / pitch).max(0.0) as u32;
            let frames = n.min(room.saturating_sub(followers));
            HiveBox {
                length,
                width,
                depth,
                walls: vec![layer("pine", wall)],
                frames,
                pitch,
                comb_length: (length - 2.0 * wall - 0.02).max(0.03),
                comb_height: (depth - 0.03).max(0.025),
                comb_thickness: comb,
                followers: if frames > 0 { followers } else { 0 },
                frames_at: [FramesAt::Left, FramesAt::Centre, FramesAt::Right][at],
                filler: filled.then(|| "straw".to_owned()),
                honey_frames: 0.5 * f64::from(frames),
                ..wooden_box(8, true)
            }
        },
    )
}

fn a_stack() -> impl Strategy<Value = Stack> {
    let lid = (0.0..0.08, 0.0..0.05, 0.0..0.03, 0.0..0.08);
    let rest = (
        any::<bool>(),
        0.0..0.06,
        0usize..16,
        0.0..0.06,
        any::<bool>(),
        0.0..0.2,
    );
    (prop::collection::vec(a_box(), 1..4), lid, rest).prop_map(
        |(boxes, (foam, space, overhang, skirt), (mesh, floor, sides, cladding, shelf, filler))| {
            let mut s = stack("", boxes);
            if foam > 0.01 {
                s.top.push(layer("xps", foam));
            }
            (s.cover.space, s.cover.overhang, s.cover.skirt) = (space, overhang, skirt);
            s.floor = if mesh {
                Floor::OpenMesh { space: floor }
            } else {
                Floor::Solid {
                    layers: vec![layer("plywood", 0.012)],
                    space: floor,
                }
            };
            if cladding > 1e-3 {
                let c = &mut s.cladding;
                for (bit, side) in [&mut c.front, &mut c.back, &mut c.left, &mut c.right]
                    .into_iter()
                    .enumerate()
                {
                    if sides >> bit & 1 == 1 {
                        side.push(layer("eps", cladding));
                    }
                }
            }
            s.ledge = Ledge {
                shelf,
                shelf_thickness: 0.012,
                filler: (filler > 0.01).then(|| layer("cork", filler)),
            };
            s
        },
    )
}

fn a_joint() -> impl Strategy<Value = Joint> {
    (0usize..6, 0.0..0.08, any::<bool>()).prop_map(|(kind, gap, one_cover)| {
        let walls = |gap, state| adjoining(gap, state, CentreWall::BoxWalls, one_cover);
        match kind {
            0 => Joint::Apart,
            1 => walls(0.0, GapState::Touching),
            2 => walls(gap, GapState::Closed),
            3 => walls(gap, GapState::Open),
            4 => walls(gap, GapState::Filled("wool".into())),
            _ => adjoining(
                0.0,
                GapState::Touching,
                CentreWall::Shared(vec![layer("plywood", 0.004), layer("eps", 0.001 + gap)]),
                one_cover,
            ),
        }
    })
}

fn a_stand() -> impl Strategy<Value = Scenario> {
    (
        prop::collection::vec(a_stack(), 1..4),
        prop::collection::vec(a_joint(), 2),
    )
        .prop_map(|(mut stacks, mut joints)| {
            for (i, s) in stacks.iter_mut().enumerate() {
                s.name = format!("hive {}", i + 1);
            }
            joints.truncate(stacks.len() - 1);
            stand(stacks, joints)
        })
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 60, failure_persistence: None, ..ProptestConfig::default() })]

    /// Would catch a panic, a cell turned inside out, an air space without cells, a part cut off from the outside, or a
    /// temperature that no heat source explains.
    #[test]
    fn every_stand_is_built_and_solved(s in a_stand()) {
        let built = build(&s, Resolution::Coarse);
        let h = match built {
            Ok(h) => h,
            Err(e) => return Err(TestCaseError::fail(format!("refused: {e}"))),
        };
        for axis in 0..3 {
            prop_assert!(h.grid.widths(axis).iter().all(|w| *w > 0.0));
        }
        for (a, node) in h.network.air_nodes().iter().enumerate() {
            // A node of radiation has no cells.
            let of_air = node.radiant.is_some();
            prop_assert_eq!(h.network.air_volume(a) > 0.0, of_air, "{}", node.name);
        }
        prop_assert_eq!(h.faces.len(), h.network.faces().len());
        prop_assert!(h.network.n() < 100_000, "{} unknowns", h.network.n());
        let mut drive = h.drive(H, -5.0);
        for i in 0..s.stacks.len() {
            if h.stacks[i].boxes.iter().any(|b| b.frames > 0) {
                warm_combs(&h, &mut drive, i, 8.0);
            }
        }
        let found = solve(&h, &drive);
        prop_assert!(found.t.iter().all(|t| t.is_finite() && *t > -5.0 - 1e-6), "colder than outside");
    }

    /// Would catch a panic on nonsense: one number of the demo pair replaced by anything at all.
    #[test]
    fn nonsense_is_refused_or_built(which in 0usize..14, value in prop::num::f64::ANY) {
        let mut s = demo_pair(adjoining(0.01, GapState::Closed, CentreWall::BoxWalls, true));
        let st = &mut s.stacks[0];
        let slot = match which {
            0 => &mut st.boxes[0].length,
            1 => &mut st.boxes[0].width,
            2 => &mut st.boxes[0].depth,
            3 => &mut st.boxes[0].walls[0].thickness,
            4 => &mut st.boxes[0].pitch,
            5 => &mut st.boxes[0].comb_length,
            6 => &mut st.boxes[0].comb_thickness,
            7 => &mut st.boxes[0].honey_frames,
            8 => &mut st.cover.overhang,
            9 => &mut st.cover.space,
            10 => &mut st.openings[0].z,
            11 => &mut st.top[0].thickness,
            12 => &mut st.boxes[0].full_frame,
            _ => &mut s.site.stand_height,
        };
        *slot = value;
        if let Ok(h) = build(&s, Resolution::Coarse) {
            let found = solve(&h, &h.drive(H, 0.0));
            prop_assert!(found.t.iter().all(|t| t.is_finite()));
        }
    }
}
