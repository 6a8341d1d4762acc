//! What can be reached within a length on foot: how large it is, and its surface.

use super::{Bounds, Region, straight};
use std::f64::consts::PI;
use std::sync::OnceLock;

/// Points of a surface: on a whole sphere, and in each further room.
const POINTS: usize = 1536;
const FURTHER: usize = 1024;
/// Share of the radius at which a radius counts as found.
pub(super) const FOUND: f64 = 1e-4;
/// Most steps towards it, and towards the end of a ray.
pub(super) const MOST_STEPS: usize = 40;
/// Halvings by which the end of a span is found: to a thirtieth of a level.
const HALVINGS: usize = 6;
/// How far into a further room the point lies that rays go out from, as a share of what is left of the way there.
const INTO: f64 = 0.25;
/// A surface seen under less than this, as a cosine, counts as seen under it.
const GRAZING: f64 = 0.1;

/// A ball on foot about a seat.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Ball {
    /// Where it sits, m.
    pub seat: [f64; 3],
    /// How far it reaches on foot, m.
    pub radius: f64,
}

/// A piece of a ball's surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Element {
    /// Where, m.
    pub at: [f64; 3],
    /// Unit vector outwards.
    pub normal: [f64; 3],
    /// Area as a share of one of 1,536 equal parts of the sphere of its radius.
    pub share: f64,
    /// The axis across the wall it lies on, and whether that is at the far end of it; `None` where it is free.
    pub wall: Option<(usize, bool)>,
    /// Room it lies in.
    pub room: usize,
}

impl Ball {
    /// How many equal parts a sphere's surface is cut into.
    pub const PARTS: usize = POINTS;

    /// Calls `f` with each piece of its surface where there are no walls.
    pub fn sphere(&self, mut f: impl FnMut(&Element)) {
        for normal in points() {
            f(&Element {
                at: std::array::from_fn(|a| self.seat[a] + self.radius * normal[a]),
                normal: *normal,
                share: 1.0,
                wall: None,
                room: 0,
            });
        }
    }
}

impl Region {
    /// The ball about a seat that holds as much as a sphere of the radius `size` (m): that sphere where no wall cuts it, and larger where walls do.
    /// What does not fit into the whole region is left out.
    #[must_use]
    pub fn ball(&self, seat: [f64; 3], size: f64) -> Ball {
        let seat = self.nearest(&seat);
        let home = &self.rooms[self.storey(seat[2])];
        let free = (0..3).all(|a| seat[a] - size >= home[a][0] && seat[a] + size <= home[a][1]);
        let radius = if free || !(size > 0.0 && size.is_finite()) {
            size
        } else {
            self.grown(&seat, size)
        };
        Ball { seat, radius }
    }

    /// Calls `f` with each piece of a ball's surface, free and on walls; the openings between rooms are no surface.
    pub fn surface(&self, ball: &Ball, mut f: impl FnMut(&Element)) {
        let (seat, radius) = (ball.seat, ball.radius);
        let home = self.storey(seat[2]);
        let room = &self.rooms[home];
        for normal in points() {
            let on: [f64; 3] = std::array::from_fn(|a| seat[a] + radius * normal[a]);
            let mut beyond = (0..3).filter(|a| on[*a] < room[*a][0] || on[*a] > room[*a][1]);
            let (first, second) = (beyond.next(), beyond.next());
            match (first, second) {
                (None, _) => f(&Element {
                    at: on,
                    normal: *normal,
                    share: 1.0,
                    wall: None,
                    room: home,
                }),
                // Straight onto the wall; what is beyond two walls is covered by what is beyond one.
                (Some(a), None) => {
                    let far = on[a] > room[a][1];
                    let mut at = on;
                    at[a] = room[a][usize::from(far)];
                    if !(a == 2 && self.open(home, far, &at)) {
                        f(&on_wall(home, at, a, far, normal[a].abs()));
                    }
                }
                (Some(_), Some(_)) => {}
            }
        }
        for part in self.parts(&seat) {
            self.further_room(ball, &part, &mut f);
        }
    }

    /// Whether a wall parts two cells along an axis, beside a piece of surface: their middles lie on either side of its room, and for one that is free
    /// not in the next room through an opening.
    #[must_use]
    pub fn parts_cells(&self, e: &Element, axis: usize, own: f64, other: f64) -> bool {
        let room = &self.rooms[e.room];
        let inside = |v: f64| v > room[axis][0] && v < room[axis][1];
        let leads_on = axis == 2
            && e.wall.is_none()
            && inside_plan(&e.at, &self.rooms[self.storey(other)])
            && self.rooms[self.storey(other)][2][0] <= other
            && other <= self.rooms[self.storey(other)][2][1];
        inside(own) != inside(other) && !leads_on
    }

    /// From where to where a ball covers the heights `z` (m) over a point of the plan; they lie in one room.
    #[must_use]
    pub fn span(&self, ball: &Ball, [x, y]: [f64; 2], z: [f64; 2]) -> Option<[f64; 2]> {
        let (home, there) = (self.storey(ball.seat[2]), self.storey(0.5 * (z[0] + z[1])));
        let off = (x - ball.seat[0]).powi(2) + (y - ball.seat[1]).powi(2);
        let half = (ball.radius * ball.radius - off).max(0.0).sqrt();
        let chord = [ball.seat[2] - half, ball.seat[2] + half];
        if half <= 0.0 || chord[1] <= z[0] || chord[0] >= z[1] {
            return None;
        }
        let chord = [chord[0].max(z[0]), chord[1].min(z[1])];
        if home == there {
            return Some(chord);
        }
        // Away from the opening it only gets further.
        let up = there > home;
        let [near, far] = if up { chord } else { [chord[1], chord[0]] };
        let (low, high) = (self.rooms[there][2][0], self.ceiling(there));
        let over = |z: f64| self.distance(&ball.seat, &[x, y, z.clamp(low, high)]) > ball.radius;
        if over(near) {
            return None;
        }
        let (mut within, mut beyond) = (near, far);
        if over(far) {
            for _ in 0..HALVINGS {
                let middle = 0.5 * (within + beyond);
                if over(middle) {
                    beyond = middle;
                } else {
                    within = middle;
                }
            }
        } else {
            within = far;
        }
        Some(if up { [near, within] } else { [within, near] })
    }

    /// Whether the floor or the ceiling of a room is open there.
    fn open(&self, room: usize, above: bool, at: &[f64; 3]) -> bool {
        let door = if above {
            Some(room)
        } else {
            room.checked_sub(1)
        };
        let door = door.and_then(|d| self.doors.get(d));
        door.is_some_and(|d| (0..2).all(|a| at[a] >= d[a][0] && at[a] <= d[a][1]))
    }

    /// The rooms besides that of the seat: where a ball enters each first, nearest room first on either side.
    fn parts(&self, seat: &[f64; 3]) -> Vec<Part> {
        let home = self.storey(seat[2]);
        let mut parts = Vec::new();
        for up in [true, false] {
            let mut at = *seat;
            let mut room = home;
            loop {
                let door = if up { room } else { room.wrapping_sub(1) };
                let Some(d) = self.doors.get(door) else { break };
                at = [
                    at[0].clamp(d[0][0], d[0][1]),
                    at[1].clamp(d[1][0], d[1][1]),
                    self.rooms[door][2][1],
                ];
                room = if up { room + 1 } else { room - 1 };
                parts.push(Part {
                    room,
                    entry: at,
                    way: self.length_into(seat, room, &at),
                });
            }
        }
        parts
    }

    /// The way on foot from a seat to a point of a room, be it on its floor or its ceiling, m.
    fn length_into(&self, seat: &[f64; 3], room: usize, to: &[f64; 3]) -> f64 {
        let z = to[2].clamp(self.rooms[room][2][0], self.ceiling(room));
        self.distance(seat, &[to[0], to[1], z])
    }

    /// Where rays of a room go out from when the ball reaches as far as `radius`, if it reaches into the room: some way from where it enters
    /// towards the middle, so that no wall is seen edgewise.
    fn origin(&self, part: &Part, radius: f64) -> Option<[f64; 3]> {
        let left = radius - part.way;
        let middle = self.rooms[part.room].map(|r| 0.5 * (r[0] + r[1]));
        let inwards = straight(&part.entry, &middle);
        (left > 0.0).then(|| {
            let into = (INTO * left).min(0.5 * inwards.length);
            std::array::from_fn(|a| part.entry[a] + into * inwards.sets_out[a])
        })
    }

    /// How far a ray goes until it leaves the ball or the room: the length, m, and the wall if that comes first.
    fn reach(
        &self,
        ball: &Ball,
        room: &Bounds,
        from: &[f64; 3],
        way: &[f64; 3],
    ) -> (f64, Option<(usize, bool)>) {
        let (exit, wall) = exit(room, from, way);
        let at = |s: f64| -> [f64; 3] { std::array::from_fn(|a| from[a] + s * way[a]) };
        let over = |s: f64| {
            let found = self.way(&ball.seat, &at(s));
            let slope = found
                .arrives
                .iter()
                .zip(way)
                .map(|(a, b)| a * b)
                .sum::<f64>();
            (found.length - ball.radius, slope)
        };
        // Nothing is nearer on foot than as the crow flies. And a hair before the wall, in the room.
        let mut s = chord(&ball.seat, ball.radius, from, way).min(exit * (1.0 - 1e-9));
        if s >= exit * (1.0 - 1e-9) && over(s).0 <= 0.0 {
            return (exit, Some(wall));
        }
        // Convex along the ray: Newton from beyond comes down to it.
        for _ in 0..MOST_STEPS {
            let (f, slope) = over(s);
            if f.abs() < FOUND * ball.radius || slope <= 0.0 {
                break;
            }
            s = (s - f / slope).max(0.0);
        }
        (s, None)
    }

    fn further_room(&self, ball: &Ball, part: &Part, f: &mut impl FnMut(&Element)) {
        let Some(from) = self.origin(part, ball.radius) else {
            return;
        };
        let room = &self.rooms[part.room];
        let unit = ball.radius * ball.radius * FURTHER as f64 / POINTS as f64;
        for ray in further_points() {
            let (s, wall) = self.reach(ball, room, &from, ray);
            let at: [f64; 3] = std::array::from_fn(|a| from[a] + s * ray[a]);
            match wall {
                Some((axis, far)) => {
                    if !(axis == 2 && self.open(part.room, far, &at)) {
                        let seen = ray[axis].abs().max(GRAZING);
                        f(&on_wall(part.room, at, axis, far, s * s / (unit * seen)));
                    }
                }
                None => {
                    let normal = self.way(&ball.seat, &at).arrives;
                    let cosine = normal.iter().zip(ray).map(|(a, b)| a * b).sum::<f64>();
                    f(&Element {
                        at,
                        normal,
                        share: s * s / (unit * cosine.max(GRAZING)),
                        wall: None,
                        room: part.room,
                    });
                }
            }
        }
    }
}

/// A room besides that of the seat.
struct Part {
    room: usize,
    /// Where a ball enters it.
    entry: [f64; 3],
    /// Way on foot to there, m.
    way: f64,
}

fn inside_plan(at: &[f64; 3], room: &Bounds) -> bool {
    (0..2).all(|a| at[a] > room[a][0] && at[a] < room[a][1])
}

fn on_wall(room: usize, at: [f64; 3], axis: usize, far: bool, share: f64) -> Element {
    let mut normal = [0.0; 3];
    normal[axis] = if far { 1.0 } else { -1.0 };
    Element {
        at,
        normal,
        share,
        wall: Some((axis, far)),
        room,
    }
}

/// Where a ray leaves a room: length, m, axis of the wall and whether it is the far one.
pub(super) fn exit(room: &Bounds, from: &[f64; 3], way: &[f64; 3]) -> (f64, (usize, bool)) {
    let mut first = (f64::INFINITY, (0, false));
    for a in 0..3 {
        let far = way[a] > 0.0;
        let s = (room[a][usize::from(far)] - from[a]) / way[a];
        if way[a] != 0.0 && s < first.0 {
            first = (s.max(0.0), (a, far));
        }
    }
    first
}

/// How far a ray goes until it leaves a sphere it begins in, m.
fn chord(centre: &[f64; 3], radius: f64, from: &[f64; 3], way: &[f64; 3]) -> f64 {
    let off: [f64; 3] = std::array::from_fn(|a| from[a] - centre[a]);
    let along: f64 = off.iter().zip(way).map(|(o, w)| o * w).sum();
    let within: f64 = radius * radius - off.iter().map(|o| o * o).sum::<f64>();
    (along * along + within).max(0.0).sqrt() - along
}

/// Unit vectors of equal area share: Fibonacci lattice (golden-angle spiral).
pub(super) fn spiral(count: usize) -> Vec<[f64; 3]> {
    let golden = PI * (3.0 - 5.0_f64.sqrt());
    let each = |i: usize| {
        let z = 1.0 - (2.0 * i as f64 + 1.0) / count as f64;
        let r = (1.0 - z * z).sqrt();
        let (sin, cos) = (golden * i as f64).sin_cos();
        [r * cos, r * sin, z]
    };
    (0..count).map(each).collect()
}

fn points() -> &'static [[f64; 3]] {
    static POINTS_OF: OnceLock<Vec<[f64; 3]>> = OnceLock::new();
    POINTS_OF.get_or_init(|| spiral(POINTS))
}

fn further_points() -> &'static [[f64; 3]] {
    static POINTS_OF: OnceLock<Vec<[f64; 3]>> = OnceLock::new();
    POINTS_OF.get_or_init(|| spiral(FURTHER))
}
