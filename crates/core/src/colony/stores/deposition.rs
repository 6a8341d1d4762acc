//! Honey put into the combs after the start, by bees and by the keeper.

use super::reachable::bent;
use super::{Cell, Place, Stores};

/// Radius of the nest that is kept free of honey as a share of a loose autumn cluster's (derived: with the shipped sizes a
/// cluster at 0 degC has two thirds of the radius it has at 14 degC).
pub(super) const NEST: f64 = 0.65;
/// Thickness of a pat of fondant or sugar laid over the frames, m (common practice, no source).
const PAT_HEIGHT: f64 = 0.02;
/// Sugar or fondant per volume of a pat, kg/m3 (fondant of 85-90 % sugar, from memory).
const PAT_DENSITY: f64 = 1350.0;

/// In which order cells are filled, by their distance, m: outside the nest nearest to it first, then in it from the rim inwards.
fn beside_nest(place: &Place, d: f64) -> f64 {
    // Inside counts as further than anything outside.
    const INSIDE: f64 = 1e3;
    let gap = d - NEST * place.radius;
    if gap >= 0.0 { gap } else { INSIDE - gap }
}

impl Stores {
    /// Puts honey into empty cells as bees do: outside the nest nearest to it first, then in the nest from
    /// the rim inwards. The nest is the room the cluster will draw together to in the cold. Gives what found room, kg.
    pub fn store(&mut self, place: &Place, kg: f64) -> f64 {
        let key = |c: &Cell, d: f64| {
            (c.frame.is_some() && c.room > c.left).then(|| beside_nest(place, d))
        };
        let mut want = if kg.is_finite() { kg.max(0.0) } else { 0.0 };
        let mut put = 0.0;
        while want > 0.0 {
            let Some(cell) = self.pick(place, key) else {
                break;
            };
            let here = (cell.room - cell.left).min(want);
            // A full cell is exactly full, whatever the rounding.
            cell.left = if here >= cell.room - cell.left {
                cell.room
            } else {
                cell.left + here
            };
            want -= here;
            put += here;
        }
        self.put_in.add(put);
        put
    }

    /// Fetches up to `kg` that the cluster does not touch, nearest first on foot, into empty cells that it does: outside the nest nearest to it
    /// first, then in the nest from the rim inwards. Gives what found room, kg.
    pub fn carry(&mut self, place: &Place, kg: f64) -> f64 {
        let limit = place.radius + self.reach;
        let (mut from, mut to) = (Vec::new(), Vec::new());
        for (i, c) in self.cells.iter().enumerate() {
            let crow = c.distance_squared(&place.centre);
            let on_foot = self
                .rooms()
                .and_then(|rooms| bent(rooms, &place.centre, c, crow));
            let d = on_foot.map_or(crow.sqrt(), |f| f.0);
            if d > limit && c.left > 0.0 {
                from.push((d, i));
            } else if d <= limit && c.frame.is_some() && c.room > c.left {
                to.push((beside_nest(place, d), i));
            }
        }
        let nearest_first = |a: &(f64, usize), b: &(f64, usize)| a.0.total_cmp(&b.0);
        from.sort_by(nearest_first);
        to.sort_by(nearest_first);
        let mut to = to.into_iter().map(|t| t.1).peekable();
        let mut want = if kg.is_finite() { kg.max(0.0) } else { 0.0 };
        let mut carried = 0.0;
        for (_, i) in from {
            while want > 0.0
                && self.cells[i].left > 0.0
                && let Some(&j) = to.peek()
            {
                let room = self.cells[j].room - self.cells[j].left;
                let load = want.min(self.cells[i].left).min(room);
                self.cells[i].left -= load;
                if load >= room {
                    self.cells[j].left = self.cells[j].room;
                    to.next();
                } else {
                    self.cells[j].left += load;
                }
                want -= load;
                carried += load;
            }
        }
        carried
    }

    /// Lays a pat of `kg` (honey-equivalent) over the top frames, its middle at `at` (x and y, m).
    pub fn lay_on_top(&mut self, at: [f64; 2], kg: f64) {
        let Some(top) = self.boxes.iter().map(|b| b.z[1]).reduce(f64::max) else {
            return;
        };
        if !(kg.is_finite() && kg > 0.0) {
            return;
        }
        let side = (kg / (PAT_DENSITY * PAT_HEIGHT)).sqrt();
        // Quarters of the pat, so that what is over the cluster is eaten before the rest.
        const PARTS: usize = 4;
        let part = side / PARTS as f64;
        for i in 0..PARTS * PARTS {
            let offset = |k: usize| (k as f64 + 0.5) * part - 0.5 * side;
            let here = kg / (PARTS * PARTS) as f64;
            self.cells.push(Cell {
                at: [
                    at[0] + offset(i / PARTS),
                    at[1] + offset(i % PARTS),
                    // It lies on the top bars: bees touch its underside.
                    top,
                ],
                half: [0.5 * part, 0.5 * part, 0.0],
                left: here,
                room: here,
                frame: None,
            });
        }
        self.put_in.add(kg);
    }

    /// Hangs honey into one frame, on top of what it holds, as bees fill it. Gives what found room, kg.
    pub fn hang(&mut self, in_box: usize, frame: usize, kg: f64) -> f64 {
        let put = self.fill(kg, |c| c.frame == Some((in_box as u16, frame as u16)));
        self.put_in.add(put);
        put
    }

    /// The cell with the least key, the first of equals.
    fn pick(
        &mut self,
        place: &Place,
        key: impl Fn(&Cell, f64) -> Option<f64>,
    ) -> Option<&mut Cell> {
        let mut best: Option<(f64, usize)> = None;
        for (i, c) in self.cells.iter().enumerate() {
            if let Some(k) = key(c, c.distance(&place.centre))
                && best.is_none_or(|(b, _)| k < b)
            {
                best = Some((k, i));
            }
        }
        best.and_then(|(_, i)| self.cells.get_mut(i))
    }
}
