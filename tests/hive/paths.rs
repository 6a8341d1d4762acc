//! Heat paths against hand calculation: walls, whole boxes, joints.

use crate::solve::*;
use crate::stand::*;
use approx::assert_relative_eq;
use partywall::heat::Side;
use partywall::hive::{Hive, Resolution, build};
use partywall::materials::MaterialOverride;
use partywall::stand::*;

fn empty(name: &str, walls: Layer) -> Stack {
    let mut b = wooden_box(10, true);
    b.frames = 0;
    b.walls = vec![walls];
    let mut s = stack(name, vec![b]);
    s.heater = Some(Heater {
        power: 10.0,
        in_box: 0,
    });
    s.cover.overhang = 0.0;
    s.cover.skirt = 0.0;
    s
}

/// Would catch a wrong film, a wrong conductivity or a lost half cell in a wall: in the middle of the left wall, away from
/// corners, the heat flow is (T - T_out)/(1/(2.5 + 4.93) + 0.019/0.12 + 0.04), T between air and what the wall sees by 2.5 and 4.93 W/m2K.
#[test]
fn wall_of_an_empty_box_is_one_dimensional() {
    for resolution in [Resolution::Coarse, Resolution::Normal, Resolution::Fine] {
        let h = build(
            &stand(vec![empty("one", layer("softwood", 0.019))], vec![]),
            resolution,
        )
        .unwrap();
        let found = solve(&h, &h.drive(H, -10.0));
        let (inside, film) = beside_a_wall(&h, &found.t, 0);
        assert_relative_eq!(film, 2.5 + 4.93, max_relative = 0.01);
        let middle = [0.2525, 0.041 + 0.122];
        let (group, f) = h
            .network
            .faces()
            .iter()
            .filter(|g| g.side == Side::XMinus)
            .flat_map(|g| (0..g.cells.len()).map(move |f| (g, f)))
            .min_by(|a, b| {
                let far = |(g, f): &(&partywall::heat::FaceGroup, usize)| {
                    (g.centroids[*f][1] - middle[0]).hypot(g.centroids[*f][2] - middle[1])
                };
                far(a).total_cmp(&far(b))
            })
            .unwrap();
        let q = group.u(H) * (found.t[group.nodes[f]] + 10.0);
        let by_hand = (inside + 10.0) / (1.0 / film + 0.019 / 0.12 + 0.04);
        assert_relative_eq!(q, by_hand, max_relative = 0.01);
    }
}

/// What an upright wall of an empty lowest box has before it, degC: air and what it sees, by their films (environmental temperature); and both
/// films together, W/m2K.
fn beside_a_wall(h: &Hive, t: &[f64], stack: usize) -> (f64, f64) {
    let air = h.stacks[stack].boxes[0].air_nodes[0];
    let first = h.network.air_node(0);
    let all = h.network.air_nodes();
    let of = |node: usize| (node + first, all[node].film_side);
    let own = of(air - first);
    let seen = of(usize::from(all[air - first].radiant.unwrap()));
    let film = own.1 + seen.1;
    ((own.1 * t[own.0] + seen.1 * t[seen.0]) / film, film)
}

/// Would catch a box that leaks or insulates as a whole. A cube, 0.3 m inside, walls of 40 mm all round of a material so poor
/// a conductor (0.004 W/mK) that its faces are level in temperature; by the classical shape factors of walls, edges and corners
/// (A/d, 0.54 L, 0.15 d; Langmuir 1913, from memory): S = 6 x 0.09/0.04 + 12 x 0.54 x 0.3 + 8 x 0.15 x 0.04 = 15.492 m, a sixth of
/// it for every face, each in series with its film outside (0.38^2 x 25 W/K). Inside, air warms the faces by 5.0, 2.5 and 0.7 W/m2K, and they
/// see each other by 5.11 W/m2K each: 0.05901 W/K in all, eliminated by hand. Edges carry an eighth of it and need small cells:
/// coarse, normal and fine fall short by 6.6, 3.6 and 1.5 % (1 % between normal and fine for a box of 19 mm wood, whose edges carry less).
#[test]
fn cube_of_poor_conductor() {
    /// By hand, W/K.
    const CUBE: f64 = 0.05901;
    let foam = layer("eps", 0.040);
    let mut b = wooden_box(10, true);
    (b.length, b.width, b.depth, b.frames, b.walls) = (0.38, 0.38, 0.30, 0, vec![foam.clone()]);
    let mut s = stack("cube", vec![b]);
    s.floor = Floor::Solid {
        layers: vec![foam.clone()],
        space: 0.0,
    };
    s.top = vec![foam];
    s.cover.layers.clear();
    s.heater = Some(Heater {
        power: 1.0,
        in_box: 0,
    });
    let mut stand = stand(vec![s], vec![]);
    stand.materials.push(MaterialOverride {
        key: "eps".into(),
        conductivity: 0.004,
        density: 20.0,
        specific_heat: 1450.0,
    });
    for (resolution, allow) in [(Resolution::Normal, 0.04), (Resolution::Fine, 0.016)] {
        let h = build(&stand, resolution).unwrap();
        let found = solve(&h, &h.drive(H, 0.0));
        let ua = 1.0 / found.t[h.stacks[0].boxes[0].air_nodes[0]];
        assert_relative_eq!(ua, CUBE, max_relative = allow);
    }
}

/// Resistance through the middle of a joint, m2K/W: the difference of what it has before it on either side over the heat flow through its
/// middle; and that of the two films.
fn joint_resistance(joint: Joint, wall: f64) -> (f64, f64) {
    let mut left = empty("left", layer("softwood", wall));
    let mut right = empty("right", layer("softwood", wall));
    left.heater = Some(Heater {
        power: 20.0,
        in_box: 0,
    });
    right.heater = None;
    // Nothing but the joint joins them: no lid or floor in common.
    left.top = vec![layer("xps", 0.3)];
    right.top = left.top.clone();
    let h = build(&stand(vec![left, right], vec![joint]), Resolution::Fine).unwrap();
    let found = solve(&h, &h.drive(H, 0.0));
    let [a, b] = [0, 1].map(|i| beside_a_wall(&h, &found.t, i));
    (
        (a.0 - b.0) / flow_at_joint(&h, &found.t),
        1.0 / a.1 + 1.0 / b.1,
    )
}

fn flow_at_joint(h: &Hive, t: &[f64]) -> f64 {
    let g = &h.grid;
    // The first two solid cells right of the left box's inside and the last two left of the right box's, at mid-height and
    // mid-length; the mean of both flows, because some of it leaves sideways in between.
    let at = |x: f64| g.locate([x, 0.2525, 0.041 + 0.122]).unwrap();
    let [i, j, k] = at(h.stacks[0].boxes[0].inner[0][1] + 1e-4);
    let last = at(h.stacks[1].boxes[0].inner[0][0] - 1e-4)[0];
    let flow = |i: usize| {
        let [a, b] = [i, i + 1].map(|i| h.network.cell_node(g.index(i, j, k)).unwrap());
        let r = |i: usize| 0.5 * g.width(0, i) / h.medium.k[0][[i, j, k]];
        (t[a] - t[b]) / (r(i) + r(i + 1))
    };
    0.5 * (flow(i) + flow(last - 1))
}

/// Would catch a joint that couples two stacks too well or too badly. Resistance by hand (two films and the
/// wall), beside the trade's figures for a joint of 0.246 m2 (W/K; they take films of 0.12): two boards of 19 mm touching 0.32
/// m2K/W and 0.44 W/K, one board 0.62, 6 mm plywood 0.85, two boards with 25 mm of foam 0.19.
#[test]
fn joints_have_the_resistance_of_their_layers() {
    let shared = |l: Layer| adjoining(0.0, GapState::Touching, CentreWall::Shared(vec![l]), false);
    let closed = adjoining(0.038, GapState::Closed, CentreWall::BoxWalls, false);
    let foamed = adjoining(
        0.025,
        GapState::Filled("xps".into()),
        CentreWall::BoxWalls,
        false,
    );
    let touching = adjoining(0.0, GapState::Touching, CentreWall::BoxWalls, false);
    // 38 mm of still air: 1/(1.25 + 3.993).
    let rows = [
        ("touching", touching, 2.0 * 0.019 / 0.12, Some(0.44)),
        (
            "one board",
            shared(layer("softwood", 0.019)),
            0.019 / 0.12,
            Some(0.62),
        ),
        (
            "plywood",
            shared(layer("plywood", 0.006)),
            0.006 / 0.13,
            Some(0.85),
        ),
        (
            "foamed",
            foamed,
            2.0 * 0.019 / 0.12 + 0.025 / 0.034,
            Some(0.19),
        ),
        ("still air", closed, 2.0 * 0.019 / 0.12 + 0.1907, None),
    ];
    for (name, joint, wall, trade) in rows {
        let (r, films) = joint_resistance(joint, 0.019);
        assert!((films - 0.26).abs() < 0.01, "{films}");
        assert!(
            (r - (wall + films)).abs() < 0.01 * (wall + films),
            "{name}: {r}, by hand {}",
            wall + films
        );
        if let Some(trade) = trade {
            let got = 0.246 / (r - films + 0.24);
            assert!(
                (got - trade).abs() < 0.02 * trade,
                "{name}: {got} W/K, trade {trade}"
            );
        }
        if name == "touching" {
            assert!(
                (r - films - 0.32).abs() < 0.01,
                "touching boards: {}",
                r - films
            );
        }
    }
}

/// Would catch a left-right error anywhere between scenario and matrix: a stand and its mirror image, heated alike, have
/// mirror-image temperatures.
#[test]
fn mirror_image() {
    let mut s = demo_pair(adjoining(
        0.010,
        GapState::Closed,
        CentreWall::BoxWalls,
        false,
    ));
    s.stacks[0].boxes[1].frames_at = FramesAt::Left;
    s.stacks[0].boxes[0] = wooden_box(8, true);
    s.stacks[1].boxes[1].frames = 6;
    s.stacks[1].boxes[1].honey_frames = 6.0;
    s.stacks[1].boxes[1].frames_at = FramesAt::Right;
    s.stacks[1].boxes[1].followers = 1;
    s.stacks[0].cladding.left = vec![layer("eps", 0.025)];
    s.stacks[1].cladding.front = vec![layer("eps", 0.025)];
    let mut m = s.clone();
    m.stacks.reverse();
    for st in &mut m.stacks {
        std::mem::swap(&mut st.cladding.left, &mut st.cladding.right);
        for b in &mut st.boxes {
            b.frames_at = match b.frames_at {
                FramesAt::Left => FramesAt::Right,
                FramesAt::Right => FramesAt::Left,
                FramesAt::Centre => FramesAt::Centre,
            };
        }
    }
    let solved = |s: &Scenario, watts: [f64; 2]| {
        let h = normal(s);
        let mut drive = h.drive(H, -10.0);
        for (i, w) in watts.into_iter().enumerate() {
            warm_combs(&h, &mut drive, i, w);
        }
        let found = solve(&h, &drive);
        (h, found.t)
    };
    let (h, t) = solved(&s, [12.0, 6.0]);
    let (hm, tm) = solved(&m, [6.0, 12.0]);
    assert_eq!(h.grid.shape(), hm.grid.shape());
    let [nx, ny, nz] = h.grid.shape();
    let mut seen = 0;
    for i in 0..nx {
        for j in 0..ny {
            for k in 0..nz {
                let a = h.network.node_at(h.grid.index(i, j, k));
                let b = hm.network.node_at(hm.grid.index(nx - 1 - i, j, k));
                assert_eq!(a.is_some(), b.is_some(), "cell {i} {j} {k}");
                if let (Some(a), Some(b)) = (a, b) {
                    assert!(
                        (t[a] - tm[b]).abs() < 1e-7,
                        "cell {i} {j} {k}: {} and {}",
                        t[a],
                        tm[b]
                    );
                    seen += 1;
                }
            }
        }
    }
    assert!(seen > 5_000);
}

/// Would catch stacks set apart that still warm each other, or a joint that does not.
#[test]
fn neighbours_feel_each_other_only_side_by_side() {
    let [apart, open, closed, touching] = [
        Joint::Apart,
        adjoining(0.038, GapState::Open, CentreWall::BoxWalls, false),
        adjoining(0.038, GapState::Closed, CentreWall::BoxWalls, false),
        touching(),
    ]
    .map(|j| rises(&demo_pair(j), Resolution::Normal, &[12.0, 0.0]));
    assert!(apart[1].abs() < 1e-9, "{apart:?}");
    // The lids' edges touch over the middle of the gap, nothing else does.
    assert!(open[1] > 0.0 && open[1] < 2e-3, "{open:?}");
    assert!(
        closed[1] > 0.3 && touching[1] > closed[1],
        "{closed:?} {touching:?}"
    );
    assert!(touching[1] < touching[0], "{touching:?}");
    // Each keeps more of its own heat when the neighbour's wall covers one of its faces.
    let warm = |j| rises(&demo_pair(j), Resolution::Normal, &[12.0, 12.0]);
    let (alone, paired) = (warm(Joint::Apart), warm(crate::stand::touching()));
    assert!(
        paired[0] > alone[0] && paired[1] > alone[1],
        "{alone:?} {paired:?}"
    );
    // The shared wall is 19 to 20 % of the outside: it cannot save much more than that.
    assert!(paired[0] < 1.3 * alone[0], "{alone:?} {paired:?}");
}
