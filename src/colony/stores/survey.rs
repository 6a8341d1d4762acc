//! What the cluster can find from where it is.

use super::{Place, Stores};

/// Share of the radius out to which a seam counts as the cluster's own (a choice: beyond it a seam holds few bees).
const OWN_SEAM: f64 = 0.9;

/// What honey there is around a cluster.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct Survey {
    /// Honey in contact, kg.
    pub contact: f64,
    /// Mean direction of it from the centre: each component -1 to 1, 0 when there is as much on both sides.
    pub pull: [f64; 3],
    /// Nearest honey that is not in contact.
    pub nearest: Option<Nearest>,
    /// Honey not in contact that is nearest along the seams the cluster sits in; its direction has no part across them.
    pub nearest_in_seams: Option<Nearest>,
}

/// Honey out of contact.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Nearest {
    /// From the cluster's surface to where the honey can be touched, m.
    pub gap: f64,
    /// Unit vector from the centre towards it.
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
        let gap = |d2: f64| d2.sqrt() - place.radius;
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
            if d2 < least {
                least = d2;
                let length = norm(&v);
                s.nearest = Some(Nearest {
                    gap: gap(d2),
                    direction: v.map(|x| x / length),
                    frame: c.frame,
                });
            }
            // Along its own seams the centre keeps its x: how far it must go until it touches the cell.
            let across = (v[0].abs() - c.half[0]).max(0.0);
            if across <= OWN_SEAM * place.radius {
                let along = (v[1] * v[1] + v[2] * v[2]).sqrt();
                let way = along - (limit2 - across * across).max(0.0).sqrt();
                if along > 0.0 && way < least_in_seams {
                    least_in_seams = way;
                    s.nearest_in_seams = Some(Nearest {
                        gap: gap(d2),
                        direction: [0.0, v[1] / along, v[2] / along],
                        frame: c.frame,
                    });
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
