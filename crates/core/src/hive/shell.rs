//! Everything around the bees: floor, walls, lids, cladding, ledges and what is between stacks.

use super::error::HiveError;
use super::gap::{HeatFlow, airspace_resistance};
use super::layout::{Bounds, BoxLayout, SideLayout, StackLayout, thickness};
use super::parts::{FAR, Painter, What};
use crate::boundary::Exposure;
use crate::heat::{AIR_HEAT_CAPACITY, Solid};
use crate::stand::{CentreWall, Floor, GapState, Joint, Layer, Stack};

/// Material of ledge shelves: whatever board is at hand.
const SHELF: &str = "softwood";

/// A slice of a stack with one outline: floor, a box, or the layers on top.
struct Piece {
    x: [f64; 2],
    length: f64,
    z: [f64; 2],
    filler: [f64; 2],
}

fn pieces(l: &StackLayout) -> Vec<Piece> {
    let of = |b: &BoxLayout, z: [f64; 2], filler| Piece {
        x: b.outer[0],
        length: b.outer[1][1],
        z,
        filler,
    };
    let mut all = Vec::new();
    if let (Some(low), Some(high)) = (l.boxes.first(), l.boxes.last()) {
        all.push(of(low, [0.0, low.outer[2][0]], [0.0; 2]));
        all.extend(l.boxes.iter().map(|b| of(b, b.outer[2], b.filler)));
        all.push(of(high, [l.top[0], l.cover_space[1]], [0.0; 2]));
    }
    all
}

impl Painter<'_> {
    /// Outside air everywhere, one zone a stack, split half way between neighbours.
    pub(super) fn surroundings(&mut self) {
        let stacks = &self.layout.stacks;
        let mut from = -FAR;
        for (i, s) in self.scenario.stacks.iter().enumerate() {
            let to = stacks
                .get(i + 1)
                .map_or(FAR, |next| 0.5 * (stacks[i].x[1] + next.x[0]));
            let zone = self.zone(i, Exposure::Open, s.name.clone());
            self.put([[from, to], [-FAR, FAR], [-FAR, FAR]], What::Outside(zone));
            from = to;
        }
        // Above a lower stack without a gap, the air at the taller one's bare wall is the taller one's.
        for j in 0..self.scenario.joints.len() {
            let (a, b) = (&stacks[j], &stacks[j + 1]);
            let thin = |l: &StackLayout| {
                l.boxes
                    .last()
                    .map_or(0.0, |b| b.inner[0][0] - b.outer[0][0])
                    .max(0.01)
            };
            let half = 0.5 * (b.x[0] - a.x[1]);
            let strip = if a.cover[1] > b.cover[1] {
                ([a.x[1] + half, b.x[0] + thin(b)], b.cover[1], j)
            } else {
                ([a.x[1] - thin(a), a.x[1] + half], a.cover[1], j + 1)
            };
            let (x, z, taller) = strip;
            if matches!(self.scenario.joints[j], Joint::Adjoining { .. })
                && (a.cover[1] - b.cover[1]).abs() > 1e-3
            {
                let name = self.scenario.stacks[taller].name.clone();
                let zone = self.zone(taller, Exposure::Open, name);
                self.put([x, [-FAR, FAR], [z, FAR]], What::Outside(zone));
            }
        }
    }

    /// What is between stack `j` and the next, before their own parts are painted.
    pub(super) fn joint(&mut self, j: usize) -> Result<(), HiveError> {
        let layout = self.layout;
        let (left, right) = (&layout.stacks[j], &layout.stacks[j + 1]);
        let Joint::Adjoining {
            gap,
            state,
            wall,
            one_cover,
        } = &self.scenario.joints[j]
        else {
            return Ok(());
        };
        if *one_cover && (left.top[0] - right.top[0]).abs() > 1e-3 {
            self.note(format!(
                "stacks {} and {} differ in height, so their one cover is modelled with a step",
                j + 1,
                j + 2
            ));
        }
        if *gap <= 0.0 || matches!(wall, CentreWall::Shared(_)) {
            return Ok(());
        }
        let what = match state {
            GapState::Touching => return Ok(()),
            GapState::Open => {
                let name = format!(
                    "gap between {} and {}",
                    self.scenario.stacks[j].name,
                    self.scenario.stacks[j + 1].name
                );
                What::Outside(self.zone(j, Exposure::Shaded, name))
            }
            GapState::Closed => What::Solid(closed_gap(*gap), None),
            GapState::Filled(key) => What::Solid(self.solid(key)?, None),
        };
        for a in pieces(left) {
            for b in pieces(right) {
                let z = [a.z[0].max(b.z[0]), a.z[1].min(b.z[1])];
                let x = [a.x[1], b.x[0]];
                if z[1] > z[0]
                    && x[1] > x[0]
                    && self.put([x, [0.0, a.length.min(b.length)], z], what)
                {
                    match state {
                        GapState::Filled(_) => self.layer_rule(0, x),
                        _ => self.rule(0, x, super::parts::Step::AtLeast(1)),
                    }
                }
            }
        }
        Ok(())
    }

    /// The centre wall two stacks share; painted after both.
    pub(super) fn centre_wall(&mut self, j: usize) -> Result<(), HiveError> {
        let Joint::Adjoining {
            wall: CentreWall::Shared(layers),
            ..
        } = &self.scenario.joints[j]
        else {
            return Ok(());
        };
        let layout = self.layout;
        let (left, right) = (&layout.stacks[j], &layout.stacks[j + 1]);
        let length = left
            .boxes
            .iter()
            .chain(&right.boxes)
            .map(|b| b.outer[1][1])
            .fold(0.0, f64::max);
        let height = left.top[0].max(right.top[0]);
        self.pile(
            layers,
            0,
            left.x[1],
            1.0,
            [[0.0; 2], [0.0, length], [0.0, height]],
        )
    }

    /// Floor, walls, lids, cladding and ledges of one stack.
    pub(super) fn shell(&mut self, i: usize) -> Result<(), HiveError> {
        let (layout, scenario) = (self.layout, self.scenario);
        let (l, s) = (&layout.stacks[i], &scenario.stacks[i]);
        let (Some(low), Some(high)) = (l.boxes.first(), l.boxes.last()) else {
            return Ok(());
        };
        let (Some(low_box), Some(high_box)) = (s.boxes.first(), s.boxes.last()) else {
            return Ok(());
        };
        self.lid(s, l, high, &high_box.walls)?;
        self.cladding(s, l)?;
        if let Floor::Solid { layers, .. } = &s.floor {
            self.pile(layers, 2, l.floor_board[1], -1.0, low.outer)?;
        }
        self.walls(&low_box.walls, low.outer, l.floor_space, &l.sides)?;
        for (b, made) in l.boxes.iter().zip(&s.boxes) {
            self.walls(&made.walls, b.outer, b.outer[2], &l.sides)?;
        }
        self.ledges(s, l)
    }

    /// Layers above the frames, air under the cover, cover and skirt.
    fn lid(
        &mut self,
        s: &Stack,
        l: &StackLayout,
        high: &BoxLayout,
        rim: &[Layer],
    ) -> Result<(), HiveError> {
        let [x, y, _] = high.outer;
        let reach = |f: fn(&SideLayout) -> f64| [x[0] - f(&l.sides[0]), x[1] + f(&l.sides[1])];
        let covered = reach(|s| s.cover_reach);
        let over = s.cover.overhang;
        if l.cover[1] > l.cover[0] {
            if l.sides.iter().any(|s| s.skirt)
                && let Some(board) = s.cover.layers.first()
            {
                let skirt = reach(|s| if s.skirt { s.cover_reach } else { 0.0 });
                let z = [(l.cover[0] - s.cover.skirt).max(0.0), l.cover[0]];
                let solid = self.solid(&board.material)?;
                self.put([skirt, [-over, y[1] + over], z], What::Solid(solid, None));
                self.note(
                    "the skirt of a telescoping cover is modelled as lying against the sides"
                        .to_owned(),
                );
            }
            self.pile(
                &s.cover.layers,
                2,
                l.cover[0],
                1.0,
                [covered, [-over, y[1] + over], l.cover],
            )?;
        }
        let top = reach(|s| s.top_reach);
        self.pile(&s.top, 2, l.top[0], 1.0, [top, y, l.top])?;
        if l.cover_space[1] > l.cover_space[0] {
            // The air under a cover has a rim like the box's wall round it.
            self.walls(
                rim,
                [top, y, l.cover_space],
                l.cover_space,
                &[SideLayout {
                    shared: false,
                    ..l.sides[0]
                }; 2],
            )?;
        }
        Ok(())
    }

    /// Walls round a box (or the rim of a floor or cover), painted from the outermost layer inwards.
    fn walls(
        &mut self,
        layers: &[Layer],
        outer: Bounds,
        z: [f64; 2],
        sides: &[SideLayout; 2],
    ) -> Result<(), HiveError> {
        let [mut x, mut y, _] = outer;
        for l in layers.iter().rev() {
            let solid = self.solid(&l.material)?;
            if !self.put([x, y, z], What::Solid(solid, None)) {
                continue;
            }
            let t = l.thickness;
            if !sides[0].shared {
                self.layer_rule(0, [x[0], x[0] + t]);
                x[0] += t;
            }
            if !sides[1].shared {
                self.layer_rule(0, [x[1] - t, x[1]]);
                x[1] -= t;
            }
            self.layer_rule(1, [y[0], y[0] + t]);
            self.layer_rule(1, [y[1] - t, y[1]]);
            y = [y[0] + t, y[1] - t];
        }
        Ok(())
    }

    /// Ledge filler and cladding, from the wood outwards.
    fn cladding(&mut self, s: &Stack, l: &StackLayout) -> Result<(), HiveError> {
        let c = &s.cladding;
        let sides = [(&c.left, &l.sides[0]), (&c.right, &l.sides[1])]
            .map(|(list, side)| if side.free { list.as_slice() } else { &[] });
        for p in pieces(l) {
            if let Some(filler) = &s.ledge.filler {
                let solid = self.solid(&filler.material)?;
                for (side, t) in p.filler.into_iter().enumerate() {
                    let x = if side == 0 {
                        [p.x[0] - t, p.x[0]]
                    } else {
                        [p.x[1], p.x[1] + t]
                    };
                    if self.put([x, [0.0, p.length], p.z], What::Solid(solid, None)) {
                        self.layer_rule(0, x);
                    }
                }
            }
            let x = [p.x[0] - p.filler[0], p.x[1] + p.filler[1]];
            let y = [-thickness(&c.front), p.length + thickness(&c.back)];
            self.pile(sides[0], 0, x[0], -1.0, [x, y, p.z])?;
            self.pile(sides[1], 0, x[1], 1.0, [x, y, p.z])?;
            let x = [x[0] - l.sides[0].wrap_reach, x[1] + l.sides[1].wrap_reach];
            self.pile(&c.front, 1, 0.0, -1.0, [x, y, p.z])?;
            self.pile(&c.back, 1, p.length, 1.0, [x, y, p.z])?;
        }
        Ok(())
    }

    /// Shelf boards that close the ledges where a wider box sits on or under a narrower one.
    fn ledges(&mut self, s: &Stack, l: &StackLayout) -> Result<(), HiveError> {
        for pair in l.boxes.windows(2) {
            let (below, above) = (&pair[0], &pair[1]);
            if (below.outer[1][1] - above.outer[1][1]).abs() > 1e-3 {
                self.note("boxes of one stack differ in length: the step at the back is left open to the air".to_owned());
            }
            for side in 0..2 {
                let (a, b) = (below.outer[0][side], above.outer[0][side]);
                let x = [a.min(b), a.max(b)];
                if x[1] - x[0] < 1e-3 {
                    continue;
                }
                let z = above.outer[2][0];
                let overhangs = (b < a) == (side == 0);
                let t = s.ledge.shelf_thickness;
                let (z, wide) = if overhangs {
                    ([z - t, z], above)
                } else {
                    ([z, z + t], below)
                };
                if !s.ledge.shelf {
                    if s.ledge.filler.is_none() {
                        self.note(format!(
                            "stack {}: a wider box is open to the outside air at its ledge",
                            s.name
                        ));
                    }
                    continue;
                }
                let solid = self.solid(SHELF)?;
                if self.put([x, wide.outer[1], z], What::Solid(solid, None)) {
                    self.layer_rule(2, z);
                }
            }
        }
        Ok(())
    }
}

/// A closed gap (width `d`, m) between two stacks as a solid of the airspace's resistance across it (ISO 6946).
fn closed_gap(d: f64) -> Solid {
    Solid {
        k: [d / airspace_resistance(d, HeatFlow::Horizontal); 3],
        rho_c: AIR_HEAT_CAPACITY,
    }
}
