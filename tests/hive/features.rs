//! Every feature of a scenario: what it must change, and what is refused.

use crate::solve::*;
use crate::stand::*;
use approx::assert_relative_eq;
use partywall::hive::{AirPort, HiveError, Resolution, build};
use partywall::materials::MaterialOverride;
use partywall::stand::*;

/// Asserts that combs get warmer from each scenario to the next.
fn warmer(steps: Vec<(&str, Scenario)>) {
    let rises: Vec<(&str, f64)> = steps.into_iter().map(|(n, s)| (n, rise(&s))).collect();
    for pair in rises.windows(2) {
        assert!(pair[1].1 > pair[0].1, "{rises:?}");
    }
}

fn foam(side: &mut Vec<Layer>) {
    *side = vec![layer("eps", 0.025)];
}

/// Would catch insulation that is left out, put on the wrong place, or works backwards.
#[test]
fn insulation_insulates() {
    warmer(vec![
        ("no top", lone(|s| s.top.clear())),
        ("inner cover", lone(|s| s.top.truncate(1))),
        ("top foam", lone(|_| {})),
        ("front", lone(|s| foam(&mut s.cladding.front))),
        (
            "front and back",
            lone(|s| {
                foam(&mut s.cladding.front);
                foam(&mut s.cladding.back);
            }),
        ),
        (
            "three",
            lone(|s| {
                foam(&mut s.cladding.front);
                foam(&mut s.cladding.back);
                foam(&mut s.cladding.left);
            }),
        ),
        (
            "all round",
            lone(|s| {
                for side in [
                    &mut s.cladding.front,
                    &mut s.cladding.back,
                    &mut s.cladding.left,
                    &mut s.cladding.right,
                ] {
                    foam(side);
                }
            }),
        ),
    ]);
    // Two sides of equal size are worth the same.
    let left = rise(&lone(|s| foam(&mut s.cladding.left)));
    assert_relative_eq!(
        left,
        rise(&lone(|s| foam(&mut s.cladding.right))),
        max_relative = 1e-6
    );
}

/// Would catch floors that do not matter, or a floor without free height that fails.
#[test]
fn floors() {
    let solid = |space| Floor::Solid {
        layers: vec![layer("softwood", 0.019)],
        space,
    };
    let insulated = Floor::Solid {
        layers: vec![layer("softwood", 0.019), layer("xps", 0.05)],
        space: 0.022,
    };
    warmer(vec![
        ("mesh", lone(|s| s.floor = Floor::OpenMesh { space: 0.022 })),
        ("board", lone(|s| s.floor = solid(0.022))),
        ("foam under the board", lone(|s| s.floor = insulated)),
    ]);
    let none = normal(&lone(|s| s.floor = solid(0.0)));
    assert_eq!(none.stacks[0].floor_node, None);
    assert!(
        normal(&lone(|s| s.floor = Floor::OpenMesh { space: 0.0 })).stacks[0]
            .floor_node
            .is_none()
    );
}

/// Would catch spare room beside the combs treated alike whatever is in it: few frames against the wall, then the rest of the
/// box as one air space, behind a follower board, filled with foam.
#[test]
fn spare_room_beside_the_frames() {
    let few = |edit: fn(&mut HiveBox)| {
        lone(|s| {
            for b in &mut s.boxes {
                b.frames = 6;
                b.frames_at = FramesAt::Left;
                edit(b);
            }
        })
    };
    let (air, follower) = (few(|_| {}), few(|b| b.followers = 1));
    let filled = few(|b| {
        b.followers = 1;
        b.filler = Some("eps".into());
    });
    let h = normal(&air);
    assert_eq!(h.stacks[0].boxes[0].air_nodes.len(), 1);
    // 0.375 - 6 x 0.035 = 0.165 m wide, 0.467 long, box high.
    let first = h.network.air_node(0);
    let volume = h
        .network
        .air_volume(h.stacks[0].boxes[0].air_nodes[0] - first);
    assert_relative_eq!(volume, 0.165 * 0.467 * 0.244, max_relative = 1e-9);
    assert_eq!(normal(&filled).stacks[0].boxes[0].air_nodes.len(), 0);
    warmer(vec![
        ("air", air),
        ("follower", follower),
        ("filled", filled),
    ]);
    // Both sides: two spaces, two boards.
    let both = few(|b| {
        b.frames_at = FramesAt::Centre;
        b.followers = 2;
    });
    let h = normal(&both);
    assert_eq!(h.stacks[0].boxes[0].air_nodes.len(), 2);
    let column = h.stacks[0].boxes[0].column.unwrap();
    assert_relative_eq!(
        column[0][1] - column[0][0],
        6.0 * 0.035,
        max_relative = 1e-9
    );
    assert_relative_eq!(column[0][0] + column[0][1], 0.413, max_relative = 1e-9);
}

/// Would catch a wide space over a mesh floor whose air has no way out: it must exchange with outside.
#[test]
fn spaces_over_a_mesh_floor_are_open_to_the_air() {
    let s = lone(|s| {
        s.floor = Floor::OpenMesh { space: 0.022 };
        s.boxes[0].frames = 6;
        s.boxes[0].frames_at = FramesAt::Left;
    });
    let h = normal(&s);
    // Its air, and what it sees.
    assert_eq!(h.open_to_air.len(), 2);
    let sum: f64 = h.open_to_air.iter().map(|o| o.conductance).sum();
    assert_relative_eq!(sum, 8.0 * 0.165 * 0.467, max_relative = 1e-9);
    assert_eq!(h.drive(H, 0.0).exchange.len(), 2);
    assert!(normal(&lone(|_| {})).open_to_air.is_empty());
}

/// Would catch a ledge whose shelf or filler changes nothing, either way up.
#[test]
fn ledges() {
    for narrow_below in [true, false] {
        let ledge = |shelf, filler: Option<f64>| {
            let mut boxes = vec![wooden_box(8, true), wooden_box(10, true)];
            if !narrow_below {
                boxes.reverse();
            }
            let mut s = demo_pair(touching());
            s.stacks[0] = stack("left", boxes);
            s.stacks[0].ledge = Ledge {
                shelf,
                shelf_thickness: 0.012,
                filler: filler.map(|t| layer("eps", t)),
            };
            s
        };
        let rise = |s: &Scenario| rises(s, Resolution::Normal, &[10.0, 0.0])[0];
        let steps = [
            ledge(false, None),
            ledge(true, None),
            ledge(true, Some(0.03)),
            ledge(true, Some(0.2)),
        ];
        let got = steps.each_ref().map(rise);
        assert!(
            got.windows(2).all(|w| w[1] > w[0]),
            "narrow below {narrow_below}: {got:?}"
        );
        let noted = normal(&steps[0]).notes.iter().any(|n| n.contains("ledge"));
        assert!(noted, "an open ledge must be said");
        // A filler thicker than the void fills the void: same hive.
        assert_relative_eq!(got[3], rise(&ledge(true, Some(0.061))), max_relative = 1e-9);
    }
}

/// Would catch empty boxes, ekes filled with shavings, and air under the cover that fail or do nothing.
#[test]
fn boxes_without_frames() {
    let eke = |filler: Option<&str>| {
        let mut b = wooden_box(10, false);
        (b.frames, b.depth, b.filler) = (0, 0.1, filler.map(Into::into));
        b
    };
    let with = |filler| lone(|s| s.boxes.push(eke(filler)));
    let h = normal(&with(None));
    assert_eq!(
        h.stacks[0].head_node, None,
        "the empty box is the head space"
    );
    assert_eq!(h.stacks[0].boxes[2].air_nodes.len(), 1);
    warmer(vec![
        ("empty eke", with(None)),
        ("shavings", with(Some("shavings"))),
    ]);
    // Nothing but a lid of 6 mm: air under the cover is worth something.
    let covered = |space| {
        lone(|s| {
            s.top.truncate(1);
            s.cover.space = space;
        })
    };
    assert!(normal(&covered(0.02)).stacks[0].cover_node.is_some());
    warmer(vec![
        ("flat", covered(0.0)),
        ("air under the cover", covered(0.02)),
    ]);
    // An empty box below the combs: floor air and box air are open to each other.
    let below = lone(|s| {
        s.boxes.insert(0, eke(None));
    });
    let h = normal(&below);
    let drive = {
        let mut d = h.drive(H, 0.0);
        warm_combs(&h, &mut d, 0, 10.0);
        d
    };
    let t = solve(&h, &drive).t;
    let floor = t[h.stacks[0].floor_node.unwrap()];
    let eke = t[h.stacks[0].boxes[0].air_nodes[0]];
    assert!(floor > 0.0 && eke > floor, "{floor} {eke}");
}

/// Would catch a heater that warms nothing or stands where none can.
#[test]
fn heater() {
    let heated = |in_box, frames| {
        lone(|s| {
            s.boxes[1].frames = frames;
            s.heater = Some(Heater {
                power: 12.5,
                in_box,
            });
        })
    };
    let h = normal(&heated(1, 0));
    let (node, power) = h.stacks[0].heater.unwrap();
    assert_eq!((power, node), (12.5, h.stacks[0].boxes[1].air_nodes[0]));
    let t = solve(&h, &h.drive(H, 5.0)).t;
    let hottest = t.iter().copied().fold(f64::NEG_INFINITY, f64::max);
    assert!(t[node] > 8.0 && (t[node] - hottest).abs() < 1e-9);
    for bad in [heated(1, 5), heated(2, 0)] {
        assert!(matches!(
            build(&bad, Resolution::Coarse),
            Err(HiveError::HeaterPlace { .. })
        ));
    }
}

/// Would catch an opening tied to the wrong air, or to none.
#[test]
fn openings_reach_their_air() {
    let open = |place, z| Opening {
        place,
        area: 3e-4,
        height: 0.02,
        z,
    };
    let places = vec![
        open(OpeningPlace::Floor, 0.03),
        open(OpeningPlace::Box(0), 0.20),
        open(OpeningPlace::Box(1), 0.35),
        open(OpeningPlace::Head, 0.45),
    ];
    let edit = |s: &mut Stack| s.openings = places.clone();
    let h = normal(&lone(edit));
    let got = &h.stacks[0].openings;
    let air = &h.stacks[0].air;
    let port = |v: &partywall::hive::Vent| air.spaces[v.space].port;
    let node = |n: Option<usize>| AirPort::Node(n.unwrap());
    assert_eq!(port(&air.vents[0]), node(h.stacks[0].floor_node));
    assert_eq!(port(&air.vents[3]), node(h.stacks[0].head_node));
    for (v, z) in [(&air.vents[1], 0.20), (&air.vents[2], 0.35)] {
        assert!(matches!(port(v), AirPort::Region(_)));
        let [from, to] = air.spaces[v.space].z;
        assert!(from <= z && z <= to, "{from} {to}");
    }
    assert_relative_eq!(got[0].z_above_ground, 0.48, max_relative = 1e-12);
    assert_eq!(got[0].azimuth_deg, 180.0);
    let mesh = normal(&lone(|s| {
        edit(s);
        s.floor = Floor::OpenMesh { space: 0.022 };
    }));
    // Outside air comes up through the mesh: the entrance into it airs nothing of its own.
    assert_eq!(mesh.stacks[0].air.vents.len(), 3);
    assert!(!mesh.stacks[0].air.ways.mouths.is_empty());
    let empty_top = normal(&lone(|s| {
        edit(s);
        s.boxes[1].frames = 0;
    }));
    let top = empty_top.stacks[0].boxes[1].air_nodes[0];
    let air = &empty_top.stacks[0].air;
    for v in &air.vents[2..] {
        assert_eq!(air.spaces[v.space].port, AirPort::Node(top));
    }
    let bad = lone(|s| s.openings = vec![open(OpeningPlace::Box(2), 0.2)]);
    assert!(matches!(
        build(&bad, Resolution::Coarse),
        Err(HiveError::OpeningPlace { opening: 1, .. })
    ));
}

/// Would catch honey that does not reach the network: full combs must store more heat, and conduct at least as well.
#[test]
fn honey_fills_its_zone() {
    let h = normal(&lone(|s| s.boxes[1].honey_frames = 9.5));
    assert_eq!(h.network.fill_zones(), 2);
    assert_relative_eq!(h.drive(H, 0.0).fill[1], 0.95, max_relative = 1e-12);
    let mut spread = Vec::new();
    for fill in [0.0, 1.0] {
        let mut d = h.drive(H, 0.0);
        d.fill = vec![fill; 2];
        warm_combs(&h, &mut d, 0, 10.0);
        let t = solve(&h, &d).t;
        spread.push(mean_combs(&h, &t, 0));
    }
    assert!(spread[1] < spread[0], "{spread:?}");
}

/// Would catch a scenario's own material, or its comb value, that is ignored.
#[test]
fn overrides_reach_the_network() {
    let base = lone(|_| {});
    let mut cork = base.clone();
    cork.materials.push(MaterialOverride {
        key: "softwood".into(),
        conductivity: 0.045,
        density: 120.0,
        specific_heat: 1560.0,
    });
    let mut still = base.clone();
    still.parameters.push(("seam_still".into(), 0.025));
    warmer(vec![("wood", base.clone()), ("cork walls", cork.clone())]);
    warmer(vec![("wood", base), ("still seams", still)]);
    assert_eq!(normal(&cork).materials_used["softwood"].conductivity, 0.045);
}

/// Would catch joints beyond the first, or a stack with neighbours on both sides, that fail: four in a row, of three joint kinds.
#[test]
fn four_in_a_row() {
    let names = ["a", "b", "c", "d"];
    let stacks: Vec<Stack> = names
        .iter()
        .map(|n| stack(n, vec![wooden_box(8, true), wooden_box(8, false)]))
        .collect();
    let joints = vec![
        touching(),
        adjoining(
            0.038,
            GapState::Filled("eps".into()),
            CentreWall::BoxWalls,
            true,
        ),
        adjoining(
            0.0,
            GapState::Touching,
            CentreWall::Shared(vec![layer("plywood", 0.006)]),
            false,
        ),
    ];
    let s = stand(stacks, joints);
    let got = rises(&s, Resolution::Normal, &[10.0; 4]);
    // Inner stacks have two warm neighbours, the ply joint joins best.
    assert!(
        got[1] > got[0] && got[2] > got[3] && got[3] > got[0],
        "{got:?}"
    );
    // Heat of the first alone fades down the row.
    let fading = rises(&s, Resolution::Normal, &[10.0, 0.0, 0.0, 0.0]);
    assert!(
        fading.windows(2).all(|w| w[1] < w[0] && w[1] > 0.0),
        "{fading:?}"
    );
}
