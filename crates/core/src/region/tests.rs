use super::*;
use proptest::prelude::*;
use std::f64::consts::PI;

/// A narrow room under a wide one, which overhangs to the right.
fn narrow_under_wide() -> Region {
    Region::of([
        [[0.0, 0.18], [0.0, 0.43], [0.0, 0.24]],
        [[0.0, 0.36], [0.0, 0.43], [0.24, 0.48]],
    ])
    .unwrap()
}

/// Three rooms, the middle one narrow both ways.
fn hourglass() -> Region {
    Region::of([
        [[0.0, 0.4], [0.0, 0.4], [0.0, 0.2]],
        [[0.1, 0.25], [0.05, 0.3], [0.2, 0.3]],
        [[0.0, 0.4], [0.0, 0.4], [0.3, 0.5]],
    ])
    .unwrap()
}

fn elements(region: &Region, ball: &Ball) -> Vec<Element> {
    let mut all = Vec::new();
    region.surface(ball, |e| all.push(*e));
    all
}

/// Area (share of the whole sphere's) that is free, and that is on walls.
fn areas(region: &Region, ball: &Ball) -> [f64; 2] {
    let all = elements(region, ball);
    [false, true].map(|wall| {
        let of = all.iter().filter(|e| e.wall.is_some() == wall);
        of.map(|e| e.share).sum::<f64>() / 1536.0
    })
}

/// Shortest way through one opening by trial, m.
fn by_trial(region: &Region, from: &[f64; 3], to: &[f64; 3]) -> f64 {
    let (door, z) = (region.doors[0], region.rooms[0][2][1]);
    let mut best = f64::INFINITY;
    let at = |a: usize, i: usize| door[a][0] + (door[a][1] - door[a][0]) * i as f64 / 300.0;
    for i in 0..=300 {
        for j in 0..=300 {
            let turn = [at(0, i), at(1, j), z];
            best = best.min(crow(from, &turn).sqrt() + crow(&turn, to).sqrt());
        }
    }
    best
}

/// Catches rooms alike that are not one, and a room left out or in that should not be.
#[test]
fn rooms_alike_are_one() {
    let room = |x: f64, z: [f64; 2]| [[0.0, x], [0.0, 0.4], z];
    let two = Region::of([room(0.3, [0.0, 0.2]), room(0.3, [0.2, 0.5])]).unwrap();
    assert_eq!(two, Region::one(room(0.3, [0.0, 0.5])));
    assert_eq!(narrow_under_wide().rooms().len(), 2);
    let apart = [[0.5, 0.6], [0.0, 0.4], [0.2, 0.3]];
    let torn = Region::of([room(0.3, [0.0, 0.2]), apart]).unwrap();
    assert_eq!(torn, Region::one(room(0.3, [0.0, 0.2])));
    assert_eq!(Region::of([]), None);
}

/// Catches a sphere that is not itself where no wall cuts it, to the last digit.
#[test]
fn uncut_it_is_the_sphere() {
    for region in [
        Region::one([[0.0, 0.37], [0.0, 0.43], [0.0, 0.48]]),
        narrow_under_wide(),
    ] {
        let ball = region.ball([0.09, 0.2, 0.12], 0.0899);
        assert_eq!(ball.radius, 0.0899);
        let all = elements(&region, &ball);
        assert_eq!(all.len(), 1536);
        assert!(all.iter().all(|e| e.share == 1.0 && e.wall.is_none()));
    }
}

/// Catches volume that walls cut off and that is lost, and areas that are not those of half a ball on a wall and of an eighth in a corner:
/// radius 2^(1/3) and 2 times the sphere's, free 1/2 and 1/8, on walls 1/4 and 3/16 of the larger sphere.
#[test]
fn cut_it_grows_into_the_room_there_is() {
    let region = Region::one([[0.0, 0.37], [0.0, 0.43], [0.0, 0.48]]);
    for (seat, size, grows, free, walls) in [
        ([0.0, 0.2, 0.24], 0.1, 2.0_f64.cbrt(), 0.5, 0.25),
        ([0.0, 0.0, 0.0], 0.1, 2.0, 0.125, 3.0 / 16.0),
    ] {
        let ball = region.ball(seat, size);
        assert!(
            (ball.radius / size / grows - 1.0).abs() < 0.01,
            "{} {grows}",
            ball.radius / size
        );
        let [f, w] = areas(&region, &ball);
        assert!(
            (f - free).abs() < 0.01 && (w - walls).abs() < 0.01,
            "{f} {w}"
        );
    }
}

/// Catches a ball in an L that holds more or less than a sphere, and surfaces that do not close: over a closed surface the normals sum to
/// nothing once the openings are left out, which have none, and the volume is a third of the sum of `x n dA`.
#[test]
fn in_an_l_it_flows_round_the_edge() {
    let region = narrow_under_wide();
    for (seat, size) in [
        ([0.12, 0.2, 0.2], 0.1),
        ([0.17, 0.1, 0.22], 0.12),
        ([0.3, 0.2, 0.26], 0.11),
        ([0.19, 0.3, 0.25], 0.14),
    ] {
        let ball = region.ball(seat, size);
        // By counting cells of 6 mm.
        let (step, mut cells) = (0.006, 0.0);
        let hull = region.hull();
        let count = hull.map(|r| ((r[1] - r[0]) / step).round() as usize);
        for i in 0..count[0] {
            for j in 0..count[1] {
                for k in 0..count[2] {
                    let n = [i, j, k];
                    let p: [f64; 3] =
                        std::array::from_fn(|a| hull[a][0] + (n[a] as f64 + 0.5) * step);
                    if region.holds(&p) && region.distance(&ball.seat, &p) <= ball.radius {
                        cells += step.powi(3);
                    }
                }
            }
        }
        let wanted = 4.0 / 3.0 * PI * size.powi(3);
        assert!(
            (cells / wanted - 1.0).abs() < 0.03,
            "{seat:?}: {cells} of {wanted}"
        );
        // Closed but for the opening, which lies at one height.
        let unit = 4.0 * PI * ball.radius.powi(2) / 1536.0;
        let all = elements(&region, &ball);
        let z = region.rooms[0][2][1];
        let by_surface: f64 = all
            .iter()
            .map(|e| {
                let out: f64 = (0..3)
                    .map(|a| (e.at[a] - if a == 2 { z } else { ball.seat[a] }) * e.normal[a])
                    .sum();
                out * e.share * unit / 3.0
            })
            .sum();
        assert!(
            (by_surface / wanted - 1.0).abs() < 0.03,
            "{seat:?}: {by_surface} of {wanted}"
        );
        let level: f64 = all.iter().map(|e| e.normal[0] * e.share / 1536.0).sum();
        assert!(level.abs() < 0.01, "{seat:?}: {level}");
    }
}

/// Catches an outline that is not that of what can be reached: its area against points counted one by one, in an L and cut by a wall, seen from the front and
/// from above; and one where the plane passes the ball by.
#[test]
fn an_outline_holds_what_is_reached() {
    let region = narrow_under_wide();
    for seat in [[0.12, 0.2, 0.2], [0.17, 0.1, 0.23], [0.3, 0.2, 0.28]] {
        let ball = region.ball(seat, 0.12);
        for (along, level) in [(2, seat[1]), (1, 0.2), (1, 0.27)] {
            let outline = region.outline(&ball, along, level);
            let next = outline.iter().skip(1).chain(outline.first());
            let area: f64 = outline
                .iter()
                .zip(next)
                .map(|(a, b)| 0.5 * (a[0] * b[1] - b[0] * a[1]))
                .sum();
            let (step, mut counted) = (0.002, 0.0);
            for i in 0..250 {
                for j in 0..250 {
                    let [x, v] = [i, j].map(|n| (f64::from(n) + 0.5) * step);
                    let p = if along == 2 {
                        [x, level, v]
                    } else {
                        [x, v, level]
                    };
                    if region.holds(&p) && region.distance(&ball.seat, &p) <= ball.radius {
                        counted += step * step;
                    }
                }
            }
            assert!(
                (area.abs() - counted).abs() <= 0.02 * counted,
                "{seat:?} {along} {level}: {area} {counted}"
            );
        }
    }
    let far = region.ball([0.1, 0.2, 0.05], 0.03);
    assert_eq!(region.outline(&far, 1, 0.4), Vec::<[f64; 2]>::new());
}

/// Catches a walk through a wall or a shut ledge, or one that stops at an open way.
#[test]
fn walls_end_a_walk() {
    let region = narrow_under_wide();
    assert_eq!(
        region.walk(&[0.1, 0.2, 0.2], &[0.2, 0.0, 0.0]),
        [0.18, 0.2, 0.2]
    );
    assert_eq!(
        region.walk(&[0.1, 0.2, 0.2], &[0.0, 0.0, 0.2]),
        [0.1, 0.2, 0.4]
    );
    assert_eq!(
        region.walk(&[0.3, 0.2, 0.3], &[0.0, 0.0, -0.2]),
        [0.3, 0.2, 0.24]
    );
    assert_eq!(
        region.walk(&[0.3, 0.2, 0.3], &[-0.2, 0.0, -0.2]),
        [0.3 - 0.2, 0.2, 0.3 - 0.2]
    );
    assert_eq!(
        region.walk(&[0.1, 0.2, 0.2], &[f64::NAN, 0.0, 1.0]),
        [0.1, 0.2, 0.48]
    );
}

/// Catches a way that sets out towards where it ends although a wall is between.
#[test]
fn a_way_sets_out_towards_the_opening() {
    let way = narrow_under_wide().way(&[0.1, 0.2, 0.2], &[0.36, 0.2, 0.26]);
    let edge = (0.08_f64).hypot(0.04);
    assert!((way.length - edge - (0.18_f64).hypot(0.02)).abs() < 1e-12);
    assert!((way.sets_out[0] - 0.08 / edge).abs() < 1e-12);
    assert!((way.arrives[0] - 0.18 / (0.18_f64).hypot(0.02)).abs() < 1e-12);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(64))]

    /// Catches a way that is longer than need be or leads through a wall, against openings tried point by point.
    #[test]
    fn ways_are_shortest(a in prop::array::uniform3(0.0..1.0f64), b in prop::array::uniform3(0.0..1.0f64), both in any::<bool>()) {
        let region = Region::of([
            [[0.0, 0.2], [0.0, if both { 0.2 } else { 0.43 }], [0.0, 0.24]],
            [[0.05, 0.36], [0.0, 0.43], [0.24, 0.48]],
        ])
        .unwrap();
        let put = |p: [f64; 3], r: &Bounds| -> [f64; 3] { std::array::from_fn(|i| r[i][0] + p[i] * (r[i][1] - r[i][0]) * 0.999) };
        let (a, b) = (put(a, &region.rooms[0]), put(b, &region.rooms[1]));
        let (way, trial) = (region.way(&a, &b), by_trial(&region, &a, &b));
        prop_assert!(way.length <= trial + 1e-9 && way.length > trial - 2e-3, "{} {trial}", way.length);
        prop_assert!((way.length - region.way(&b, &a).length).abs() < 1e-9);
    }

    /// Catches a length through two openings that is not one: it must keep to the triangle's rule.
    #[test]
    fn lengths_are_lengths(p in prop::array::uniform3(prop::array::uniform3(0.0..1.0f64))) {
        let region = hourglass();
        let hull = region.hull();
        let at = p.map(|p| region.nearest(&std::array::from_fn(|i| hull[i][0] + p[i] * (hull[i][1] - hull[i][0]))));
        let d = |i: usize, j: usize| region.distance(&at[i], &at[j]);
        prop_assert!(d(0, 2) <= d(0, 1) + d(1, 2) + 1e-3);
        prop_assert!(d(0, 2) + 1e-12 >= crow(&at[0], &at[2]).sqrt());
    }

    /// Catches a radius that does not grow with what it must hold, or is no number, anywhere.
    #[test]
    fn more_bees_reach_further(seat in prop::array::uniform3(-0.1..0.5f64), size in 0.02..0.16f64) {
        let region = hourglass();
        let (one, more) = (region.ball(seat, size), region.ball(seat, 1.05 * size));
        prop_assert!(region.holds(&one.seat));
        prop_assert!(one.radius >= size && more.radius > one.radius, "{} {}", one.radius, more.radius);
        let all = elements(&region, &one);
        prop_assert!(!all.is_empty() && all.iter().all(|e| e.share >= 0.0 && e.at.iter().all(|v| v.is_finite())));
    }
}
