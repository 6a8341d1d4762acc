//! The space bees walk in inside one hive: rooms one over another, joined where they overlap in plan, and distances on foot in it.
//!
//! A room is the comb space of a box, or of several that are alike. Where one is narrower than the next its walls and the ledge end the way; a path
//! bends round the edge of the opening between the two. What can be reached within a length on foot, a *ball*, is convex in each room: there the way to
//! a point is a least sum of lengths over points in rectangles, and least values of convex sums are convex. So it is known from rays out of one point a room.

mod ball;
mod outline;
mod volume;

pub use ball::{Ball, Element};

/// From-to along x, y and z, m.
pub type Bounds = [[f64; 2]; 3];

/// Rooms whose sides differ by no more than this are alike, m.
const ALIKE: f64 = 1e-3;
/// Rounds in which a way through several openings is drawn taut.
const ROUNDS: usize = 12;

/// Rooms one over another.
#[derive(Debug, Clone, PartialEq)]
pub struct Region {
    /// Bottom to top; each begins where the one below ends.
    rooms: Vec<Bounds>,
    /// Openings between them: from-to across and along.
    doors: Vec<[[f64; 2]; 2]>,
}

/// A way on foot.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Way {
    /// Its length, m.
    pub length: f64,
    /// Unit vector in which it begins; nothing for a way of no length.
    pub sets_out: [f64; 3],
    /// Unit vector in which it ends.
    pub arrives: [f64; 3],
}

impl Region {
    /// A single room.
    #[must_use]
    pub fn one(room: Bounds) -> Self {
        Self {
            rooms: vec![room],
            doors: Vec::new(),
        }
    }

    /// Rooms bottom to top, each beginning where the one below it ends. Those that are alike become one; of rooms that do not overlap in plan the
    /// largest group in one piece is kept.
    #[must_use]
    pub fn of(rooms: impl IntoIterator<Item = Bounds>) -> Option<Self> {
        let mut merged: Vec<Bounds> = Vec::new();
        for room in rooms {
            match merged.last_mut() {
                Some(below) if alike(below, &room) => below[2][1] = room[2][1],
                _ => merged.push(room),
            }
        }
        let mut pieces: Vec<Self> = Vec::new();
        for room in merged {
            let door = pieces.last().and_then(|p| overlap(p.rooms.last()?, &room));
            match (pieces.last_mut(), door) {
                (Some(piece), Some(door)) => {
                    piece.rooms.push(room);
                    piece.doors.push(door);
                }
                _ => pieces.push(Self::one(room)),
            }
        }
        pieces
            .into_iter()
            .reduce(|a, b| if b.volume() > a.volume() { b } else { a })
    }

    /// The rooms, bottom to top.
    #[must_use]
    pub fn rooms(&self) -> &[Bounds] {
        &self.rooms
    }

    /// Whether it is one room, in which every way is straight.
    #[must_use]
    pub fn is_one(&self) -> bool {
        self.rooms.len() == 1
    }

    /// The smallest bounds that hold it.
    #[must_use]
    pub fn hull(&self) -> Bounds {
        let none = [f64::INFINITY, f64::NEG_INFINITY];
        self.rooms.iter().fold([none; 3], |h, r| {
            std::array::from_fn(|a| [h[a][0].min(r[a][0]), h[a][1].max(r[a][1])])
        })
    }

    /// Volume, m3.
    #[must_use]
    pub fn volume(&self) -> f64 {
        let of = |r: &Bounds| r.iter().map(|a| a[1] - a[0]).product::<f64>();
        self.rooms.iter().map(of).sum()
    }

    /// Radius of a sphere that holds as much as all of it, m.
    #[must_use]
    pub fn fills(&self) -> f64 {
        (self.volume() / (4.0 / 3.0 * std::f64::consts::PI)).cbrt()
    }

    /// The room a height lies in, the lowest below and the highest above all.
    fn storey(&self, z: f64) -> usize {
        let over = self.rooms[1..].iter().take_while(|r| z >= r[2][0]);
        over.count()
    }

    /// Highest that a point of a room can lie, m: at an opening the next room begins.
    fn ceiling(&self, room: usize) -> f64 {
        let high = self.rooms[room][2][1];
        if room + 1 < self.rooms.len() {
            high.next_down()
        } else {
            high
        }
    }

    /// Whether a point lies in it.
    #[must_use]
    pub fn holds(&self, p: &[f64; 3]) -> bool {
        inside(p, &self.rooms[self.storey(p[2])])
    }

    /// The point of it that is nearest to `p` as the crow flies.
    #[must_use]
    pub fn nearest(&self, p: &[f64; 3]) -> [f64; 3] {
        let into = |room: usize| -> [f64; 3] {
            let r = &self.rooms[room];
            let highest = |a: usize| if a == 2 { self.ceiling(room) } else { r[a][1] };
            std::array::from_fn(|a| p[a].clamp(r[a][0], highest(a)))
        };
        let all = (0..self.rooms.len()).map(into);
        all.reduce(|a, b| if crow(p, &b) < crow(p, &a) { b } else { a })
            .unwrap_or(*p)
    }

    /// Where a walk `by` (m) leads from a point of it: as far as walls let it, and along them.
    #[must_use]
    pub fn walk(&self, from: &[f64; 3], by: &[f64; 3]) -> [f64; 3] {
        let mut room = self.storey(from[2]);
        let goal: [f64; 3] =
            std::array::from_fn(|a| from[a] + if by[a].is_finite() { by[a] } else { 0.0 });
        // Across and along first, so that a way up is looked for where it leads.
        let mut at = *from;
        for a in 0..2 {
            at[a] = goal[a].clamp(self.rooms[room][a][0], self.rooms[room][a][1]);
        }
        loop {
            let [low, high] = self.rooms[room][2];
            let open = |door: usize| {
                let door = self.doors.get(door);
                door.is_some_and(|d| (0..2).all(|a| at[a] >= d[a][0] && at[a] <= d[a][1]))
            };
            if goal[2] >= high && open(room) {
                room += 1;
            } else if goal[2] < low && room > 0 && open(room - 1) {
                room -= 1;
            } else {
                at[2] = goal[2].clamp(low, self.ceiling(room));
                return at;
            }
        }
    }

    /// The way on foot from one point of it to another.
    #[must_use]
    pub fn way(&self, from: &[f64; 3], to: &[f64; 3]) -> Way {
        let (a, b) = (self.storey(from[2]), self.storey(to[2]));
        if a == b {
            return straight(from, to);
        }
        let (low, high) = (a.min(b), a.max(b));
        let mut turns = [[0.0; 3]; MOST_DOORS];
        let count = (high - low).min(MOST_DOORS);
        let planes: [usize; MOST_DOORS] = std::array::from_fn(|i| {
            if a < b {
                low + i
            } else {
                (high - 1).saturating_sub(i)
            }
        });
        // Straight through every opening, if that can be.
        let mut seen = true;
        for (turn, &door) in turns.iter_mut().zip(&planes).take(count) {
            let z = self.rooms[door][2][1];
            let part = (z - from[2]) / (to[2] - from[2]);
            *turn = [0, 1, 2].map(|a| {
                if a == 2 {
                    z
                } else {
                    from[a] + part * (to[a] - from[a])
                }
            });
            let d = &self.doors[door];
            seen &= (0..2).all(|a| turn[a] >= d[a][0] && turn[a] <= d[a][1]);
        }
        if seen {
            return straight(from, to);
        }
        // Drawn taut, opening by opening, until it no longer gets shorter; with one it is at once.
        let rounds = if count == 1 { 1 } else { ROUNDS };
        for _ in 0..rounds {
            for i in 0..count {
                let before = if i == 0 { *from } else { turns[i - 1] };
                let after = if i + 1 == count { *to } else { turns[i + 1] };
                turns[i] = taut(&before, &after, turns[i][2], &self.doors[planes[i]]);
            }
        }
        let turns = &turns[..count];
        let mut length = 0.0;
        let mut last = from;
        for turn in turns.iter().chain([to]) {
            length += crow(last, turn).sqrt();
            last = turn;
        }
        Way {
            length,
            sets_out: straight(from, &turns[0]).sets_out,
            arrives: straight(&turns[count - 1], to).arrives,
        }
    }

    /// Its length, m.
    #[must_use]
    pub fn distance(&self, from: &[f64; 3], to: &[f64; 3]) -> f64 {
        if self.storey(from[2]) == self.storey(to[2]) {
            crow(from, to).sqrt()
        } else {
            self.way(from, to).length
        }
    }
}

/// Most openings a way is drawn through.
const MOST_DOORS: usize = 16;

fn inside(p: &[f64; 3], room: &Bounds) -> bool {
    p.iter().zip(room).all(|(v, r)| *v >= r[0] && *v <= r[1])
}

fn alike(a: &Bounds, b: &Bounds) -> bool {
    (0..2).all(|i| (0..2).all(|j| (a[i][j] - b[i][j]).abs() <= ALIKE))
}

/// What two rooms have in common in plan.
fn overlap(a: &Bounds, b: &Bounds) -> Option<[[f64; 2]; 2]> {
    let both: [[f64; 2]; 2] = std::array::from_fn(|i| [a[i][0].max(b[i][0]), a[i][1].min(b[i][1])]);
    both.iter().all(|r| r[1] - r[0] > ALIKE).then_some(both)
}

/// Square of the distance as the crow flies, m2.
fn crow(a: &[f64; 3], b: &[f64; 3]) -> f64 {
    a.iter().zip(b).map(|(a, b)| (a - b) * (a - b)).sum()
}

fn straight(from: &[f64; 3], to: &[f64; 3]) -> Way {
    let length = crow(from, to).sqrt();
    let along = std::array::from_fn(|a| {
        if length > 0.0 {
            (to[a] - from[a]) / length
        } else {
            0.0
        }
    });
    Way {
        length,
        sets_out: along,
        arrives: along,
    }
}

/// Where the shortest way from one point to another passes an opening at the height `z`. If not straight through it, then over its edge: on each
/// of the edges the straight line would pass beyond, the point where the two triangles beside it unfold into one plane.
fn taut(from: &[f64; 3], to: &[f64; 3], z: f64, door: &[[f64; 2]; 2]) -> [f64; 3] {
    let (up, down) = ((to[2] - z).abs(), (z - from[2]).abs());
    let part = if up + down > 0.0 {
        down / (up + down)
    } else {
        0.5
    };
    let through: [f64; 3] = [0, 1, 2].map(|a| {
        if a == 2 {
            z
        } else {
            from[a] + part * (to[a] - from[a])
        }
    });
    let mut best = (
        [
            through[0].clamp(door[0][0], door[0][1]),
            through[1].clamp(door[1][0], door[1][1]),
            z,
        ],
        f64::INFINITY,
    );
    for a in 0..2 {
        let edge = through[a].clamp(door[a][0], door[a][1]);
        if edge == through[a] {
            continue;
        }
        let (near, far) = ((from[a] - edge).hypot(down), (to[a] - edge).hypot(up));
        let b = 1 - a;
        let along = if near + far > 0.0 {
            from[b] + near / (near + far) * (to[b] - from[b])
        } else {
            from[b]
        };
        let mut turn = [0.0, 0.0, z];
        turn[a] = edge;
        turn[b] = along.clamp(door[b][0], door[b][1]);
        let length = crow(from, &turn).sqrt() + crow(&turn, to).sqrt();
        if length < best.1 {
            best = (turn, length);
        }
    }
    best.0
}

#[cfg(test)]
mod tests;
