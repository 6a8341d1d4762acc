//! What the cluster can find from where it is.

use super::{Place, Stores};

/// Share of the radius out to which a seam counts as the cluster's own (a choice: beyond it a seam holds few bees).
const OWN_SEAM: f64 = 0.9;
/// A centre is kept this share of the radius from what bounds it: a cluster pressed flat against a wall by that much
/// loses 6 % of its sphere (a choice).
pub const PRESS: f64 = 0.7;

/// Where the centre of a cluster of that radius can be between two walls, nearest to `x`, m.
#[must_use]
pub fn within(x: f64, walls: [f64; 2], radius: f64) -> f64 {
    let (low, high) = (walls[0] + PRESS * radius, walls[1] - PRESS * radius);
    if low > high {
        0.5 * (walls[0] + walls[1])
    } else {
        x.clamp(low, high)
    }
}

/// What honey there is around a cluster.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Survey {
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
        self.survey(place).contact
    }

    /// Looks around from where the cluster is.
    #[must_use]
    pub fn survey(&self, place: &Place) -> Survey {
        let mut s = Survey::default();
        let (mut least, mut least_in_seams) = (f64::INFINITY, f64::INFINITY);
        let limit = place.radius + self.reach;
        let limit2 = limit * limit;
        for c in self.cells.iter().filter(|c| c.left > 0.0) {
            if !c.within(place.clip.as_ref()) {
                continue;
            }
            let d2 = c.distance_squared(&place.centre);
            let v: [f64; 3] = std::array::from_fn(|i| c.at[i] - place.centre[i]);
            if d2 <= limit2 {
                s.contact += c.left;
                let share = c.left / norm(&v).max(place.radius);
                for (p, v) in s.pull.iter_mut().zip(v) {
                    *p += share * v;
                }
                continue;
            }
            // Where the centre must go: as near as the walls let it. What it cannot touch from there, as in a corner, is
            // no goal.
            let goal = |own_seams: bool| {
                let there: [f64; 3] = std::array::from_fn(|i| match place.clip {
                    _ if own_seams && i == 0 => place.centre[0],
                    Some(walls) => within(c.at[i], walls[i], place.radius),
                    None => c.at[i],
                });
                let way: [f64; 3] = std::array::from_fn(|i| there[i] - place.centre[i]);
                let length = norm(&way);
                (length > 0.0 && c.distance_squared(&there) <= limit2).then(|| Nearest {
                    gap: d2.sqrt() - place.radius,
                    direction: way.map(|w| w / length),
                    frame: c.frame,
                })
            };
            if d2 < least
                && let Some(goal) = goal(false)
            {
                least = d2;
                s.nearest = Some(goal);
            }
            // Along its own seams the centre keeps its x: how far it must go until it touches the cell.
            let across = (v[0].abs() - c.half[0]).max(0.0);
            if across <= OWN_SEAM * place.radius {
                let along = (v[1] * v[1] + v[2] * v[2]).sqrt();
                let way = along - (limit2 - across * across).max(0.0).sqrt();
                if way < least_in_seams
                    && let Some(goal) = goal(true)
                {
                    least_in_seams = way;
                    s.nearest_in_seams = Some(goal);
                }
            }
        }
        if s.contact > 0.0 {
            s.pull = s.pull.map(|p| p / s.contact);
        }
        s
    }
}

fn norm(v: &[f64; 3]) -> f64 {
    (v[0] * v[0] + v[1] * v[1] + v[2] * v[2]).sqrt()
}
