//! What the cluster can find from where it is.

use super::{Cell, Place, Stores};
use crate::region::Region;

/// How far beyond what it touches a cluster looks first, m (a choice: the next cell in any direction lies closer).
const CLOSE_BY: f64 = 0.05;
/// Share of the radius out to which a seam counts as the cluster's own (a choice: beyond it a seam holds few bees).
const OWN_SEAM: f64 = 0.9;
/// What honey there is around a cluster.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct ReachableStores {
    /// Honey in contact, kg.
    pub contact: f64,
    /// Mean direction of it from the centre: each component -1 to 1, 0 when there is as much on both sides.
    pub pull: [f64; 3],
    /// Nearest honey that is not in contact and that the cluster can get to touch.
    pub nearest: Option<Nearest>,
    /// The same along the seams the cluster sits in; its direction has no part across them.
    pub nearest_in_seams: Option<Nearest>,
}

/// Honey out of contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// From the cluster's surface to where the honey can be touched, m.
    pub gap: f64,
    /// Unit vector from the centre towards the place from which it is touched.
    pub direction: [f64; 3],
    /// Box and frame, from 0; `None` for a pat over the frames.
    pub frame: Option<(u16, u16)>,
}

impl Stores {
    /// Honey in contact with the cluster, kg.
    #[must_use]
    pub fn reachable(&self, place: &Place) -> f64 {
        self.reachable_stores(place).contact
    }

    /// Looks around from where the cluster is: close by first, and over all combs only if that leaves open what is nearest.
    #[must_use]
    pub fn reachable_stores(&self, place: &Place) -> ReachableStores {
        let mut look = Look::new(place, self);
        let far = place.radius + self.reach + CLOSE_BY;
        for comb in &self.combs {
            for (_, cells) in comb.around(&place.centre, far) {
                look.over(&self.cells[cells]);
            }
        }
        look.over(&self.cells[self.pats()]);
        if look.settled(far) {
            return look.found();
        }
        look = Look::new(place, self);
        for comb in &self.combs {
            let across = comb.across(place.centre[0]);
            for (z, level) in comb.levels() {
                if look.worth(across, (z - place.centre[2]).abs()) {
                    look.over(&self.cells[level]);
                }
            }
        }
        look.over(&self.cells[self.pats()]);
        look.found()
    }
}

/// A look around, cell by cell.
struct Look<'a> {
    place: &'a Place,
    /// The rooms, if ways between them can bend.
    rooms: Option<&'a Region>,
    /// Square of how far from the centre honey is in contact, m2.
    limit2: f64,
    /// Square of the distance of the nearest honey, m2, and the way to the nearest in its own seams, m.
    least: f64,
    least_in_seams: f64,
    seen: ReachableStores,
}

impl<'a> Look<'a> {
    fn new(place: &'a Place, stores: &'a Stores) -> Self {
        let limit = place.radius + stores.reach;
        Self {
            place,
            rooms: stores.rooms(),
            limit2: limit * limit,
            least: f64::INFINITY,
            least_in_seams: f64::INFINITY,
            seen: ReachableStores::default(),
        }
    }

    /// Whether what is so far across the combs, m, lies in the cluster's own seams.
    fn own_seam(&self, across: f64) -> bool {
        across <= OWN_SEAM * self.place.radius
    }

    /// How far the centre must go along its seams until it touches what lies so far across and `along` of it, m.
    fn way(&self, across: f64, along: f64) -> f64 {
        along - (self.limit2 - across * across).max(0.0).sqrt()
    }

    /// Whether a level of comb, which lies along y, so far across and up, m, can change what was seen.
    fn worth(&self, across: f64, up: f64) -> bool {
        let d2 = across * across + up * up;
        d2 <= self.limit2
            || d2 < self.least
            || self.own_seam(across) && self.way(across, up) < self.least_in_seams
    }

    /// Whether nothing further from the centre than `far` m can be nearer than what was found. The centre of a cell at the distance
    /// d is at least d - limit from where it is touched, the less so the further across it lies.
    fn settled(&self, far: f64) -> bool {
        self.least < far * far && self.least_in_seams < far - self.limit2.sqrt()
    }

    fn over(&mut self, cells: &[Cell]) {
        for c in cells {
            if c.left > 0.0 {
                self.at(c);
            }
        }
    }

    fn at(&mut self, c: &Cell) {
        let centre = &self.place.centre;
        let crow2 = c.distance_squared(centre);
        let v: [f64; 3] = std::array::from_fn(|i| c.at[i] - centre[i]);
        let own = self.own_seam(((c.at[0] - centre[0]).abs() - c.half[0]).max(0.0));
        // Nothing is nearer on foot than as the crow flies.
        if crow2 > self.limit2 && crow2 >= self.least && !own {
            return;
        }
        let (d2, v) = match self.rooms.and_then(|r| bent(r, centre, c, crow2)) {
            Some((length, sets_out)) => (length * length, sets_out.map(|d| d * length)),
            None => (crow2, v),
        };
        if d2 <= self.limit2 {
            self.seen.contact += c.left;
            let share = c.left / norm(&v).max(self.place.radius);
            for (p, v) in self.seen.pull.iter_mut().zip(v) {
                *p += share * v;
            }
            return;
        }
        if d2 < self.least
            && let Some(goal) = self.goal(c, d2, v)
        {
            self.least = d2;
            self.seen.nearest = Some(goal);
        }
        // Along its own seams the centre keeps its x.
        if own {
            let across = ((c.at[0] - centre[0]).abs() - c.half[0]).max(0.0);
            let along = (d2 - across * across).max(0.0).sqrt();
            let way = self.way(across, along);
            if way < self.least_in_seams
                && let Some(goal) = self.goal(c, d2, [0.0, v[1], v[2]])
            {
                self.least_in_seams = way;
                self.seen.nearest_in_seams = Some(goal);
            }
        }
    }

    /// Where the centre must go.
    fn goal(&self, c: &Cell, d2: f64, way: [f64; 3]) -> Option<Nearest> {
        let length = norm(&way);
        (length > 0.0).then(|| Nearest {
            gap: d2.sqrt() - self.place.radius,
            direction: way.map(|w| w / length),
            frame: c.frame,
        })
    }

    fn found(self) -> ReachableStores {
        let mut s = self.seen;
        if s.contact > 0.0 {
            s.pull = s.pull.map(|p| p / s.contact);
        }
        s
    }
}

/// The way to a cell where walls bend it: its length, m, and how it sets out.
pub(super) fn bent(
    rooms: &Region,
    from: &[f64; 3],
    c: &Cell,
    crow2: f64,
) -> Option<(f64, [f64; 3])> {
    let to: [f64; 3] =
        std::array::from_fn(|i| from[i].clamp(c.at[i] - c.half[i], c.at[i] + c.half[i]));
    let way = rooms.way(from, &to);
    (way.length * way.length > crow2 * (1.0 + 1e-9)).then_some((way.length, way.sets_out))
}

fn norm(v: &[f64; 3]) -> f64 {
    (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt()
}

#[cfg(test)]
mod tests {
    use super::super::{BoxCombs, Placement};
    use super::*;
    use proptest::prelude::*;

    proptest! {
        /// Catches a level of comb that is passed over although something in it is in contact, nearer or on the way.
        #[test]
        fn nothing_is_passed_over(
            kg in 0.5..20.0f64, centre in prop::array::uniform3(0.02..0.4f64), radius in 0.03..0.2f64,
            meals in prop::collection::vec((prop::array::uniform3(0.0..0.4f64), 0.05..0.2f64), 0..8), walls in any::<bool>(),
        ) {
            let combs = BoxCombs::evenly([0.0, 0.37], 10, [0.02, 0.46], [0.03, 0.4], 2.7);
            let mut s = Stores::new(vec![combs], Placement::Natural(kg), 0.009).unwrap();
            for (centre, radius) in meals {
                s.eat(&Place { centre, radius }, 0.7);
            }
            s.lay_on_top([0.1, 0.2], 0.5);
            if walls {
                let plan = |x| [[0.0, x], [0.02, 0.46]];
                let room = |x, z| [plan(x)[0], plan(x)[1], z];
                s = s.within(Region::of([room(0.2, [0.02, 0.2]), room(0.37, [0.2, 0.4])]).unwrap());
            }
            let place = Place { centre, radius };
            let mut all = Look::new(&place, &s);
            all.over(s.cells());
            prop_assert_eq!(s.reachable_stores(&place), all.found());
        }
    }
}
