//! What is inside the walls: combs, followers, fillers and air spaces.

use super::combs::{CombColumn, frame_ends, narrow_space};
use super::error::HiveError;
use super::gap::{HeatFlow, convective_film, radiative_film};
use super::layout::{Bounds, BoxLayout, ColumnLayout, StackLayout};
use super::parts::{Fill, Painter, Step, What};
use crate::boundary::Exposure;
use crate::stand::{Floor, HiveBox, Stack};

/// Material of follower boards.
const FOLLOWER: &str = "softwood";

/// Air spaces and fill zones of a stack, by index.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Inside {
    /// Air under the lowest box.
    pub floor: Option<u16>,
    /// Bee space over the top box's frames.
    pub head: Option<u16>,
    /// Air under the cover.
    pub cover: Option<u16>,
    /// Boxes.
    pub boxes: Vec<BoxInside>,
}

/// Air spaces and fill zone of a box.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct BoxInside {
    /// The whole box, when it is empty.
    pub empty: Option<u16>,
    /// Spaces beside the combs that are air spaces of their own.
    pub beside: Vec<u16>,
    /// Honey.
    pub fill: Option<usize>,
}

/// Which way heat leaves a space: out of the colony (or heater), so up above it and down below it.
#[derive(Clone, Copy)]
struct Place {
    ceiling: HeatFlow,
    floor: HeatFlow,
}

const ABOVE: Place = Place {
    ceiling: HeatFlow::Upwards,
    floor: HeatFlow::Upwards,
};
const BELOW: Place = Place {
    ceiling: HeatFlow::Downwards,
    floor: HeatFlow::Downwards,
};
const AT: Place = Place {
    ceiling: HeatFlow::Upwards,
    floor: HeatFlow::Downwards,
};

impl Painter<'_> {
    /// Fills the inside of one stack.
    pub(super) fn inside(&mut self, i: usize) -> Result<Inside, HiveError> {
        let (layout, scenario) = (self.layout, self.scenario);
        let (l, s) = (&layout.stacks[i], &scenario.stacks[i]);
        let mut inside = Inside::default();
        self.under_the_frames(i, s, l, &mut inside);
        for (b, (made, placed)) in s.boxes.iter().zip(&l.boxes).enumerate() {
            let name = format!("{}, box {}", s.name, b + 1);
            self.cut_box(placed);
            let found = match &placed.column {
                Some(column) => self.combs(&name, made, placed, column)?,
                None => self.frameless(&name, s, b, made, placed)?,
            };
            inside.boxes.push(found);
        }
        if let (Some(made), Some(placed)) = (s.boxes.last(), l.boxes.last()) {
            if let Some(column) = &placed.column {
                let mut at = placed.inner;
                at[2][0] = column.block[2][1];
                inside.head = self.room(format!("{}, bee space under the lid", s.name), at, ABOVE);
            }
            let mut at = placed.outer;
            at[2] = l.cover_space;
            let wall = super::layout::thickness(&made.walls);
            for (axis, reach) in [(0, l.sides.map(|s| s.top_reach)), (1, [0.0; 2])] {
                at[axis] = [at[axis][0] - reach[0] + wall, at[axis][1] + reach[1] - wall];
            }
            inside.cover = self.room(format!("{}, air under the cover", s.name), at, ABOVE);
        }
        Ok(inside)
    }

    /// Adds an air space if it has a volume.
    fn room(&mut self, name: String, at: Bounds, place: Place) -> Option<u16> {
        let [x, y, z] = at.map(|r| r[1] - r[0]);
        let node = self.air.len() as u16;
        if !self.put(at, What::Air(node)) {
            return None;
        }
        let flat = |flow| convective_film(z, x.min(y), flow);
        let side = convective_film(x.min(y), z.min(x.max(y)), HeatFlow::Horizontal);
        let faces = [x * y, x * z, y * z];
        let whole = 2.0 * faces.iter().sum::<f64>();
        let [level, front, end] = faces.map(|a| radiative_film(a / whole));
        let upright = (front * faces[1] + end * faces[2]) / (faces[1] + faces[2]);
        Some(self.air_space(
            name,
            [flat(place.ceiling), side, flat(place.floor)],
            [level, upright, level],
        ))
    }

    fn under_the_frames(&mut self, i: usize, s: &Stack, l: &StackLayout, inside: &mut Inside) {
        let Some(low) = l.boxes.first() else { return };
        let mut at = low.inner;
        at[2] = l.floor_space;
        match s.floor {
            Floor::Solid { .. } => {
                inside.floor = self.room(format!("{}, air over the floor", s.name), at, BELOW);
            }
            Floor::OpenMesh { .. } => {
                let zone = self.zone(
                    i,
                    Exposure::Underside,
                    format!("{}, under the floor mesh", s.name),
                );
                // Down to the underside, so that nothing closes the mesh.
                at[2][0] = 0.0;
                self.put(at, What::Outside(zone));
            }
        }
    }

    /// Cutting rules of the inside of a box.
    fn cut_box(&mut self, placed: &BoxLayout) {
        let t = self.steps;
        for axis in 0..3 {
            let framed = axis == 0 && placed.column.is_some();
            if !framed {
                self.rule(
                    axis,
                    placed.inner[axis],
                    Step::Graded(t.at_interface, t.growth, t.widest),
                );
            }
        }
    }

    /// A box without frames: one air space, or filled.
    fn frameless(
        &mut self,
        name: &str,
        s: &Stack,
        b: usize,
        made: &HiveBox,
        placed: &BoxLayout,
    ) -> Result<BoxInside, HiveError> {
        let mut found = BoxInside::default();
        if let Some(key) = &made.filler {
            let solid = self.solid(key)?;
            self.put(placed.inner, What::Solid(solid, None));
            return Ok(found);
        }
        let framed =
            |from: usize, to: usize| s.boxes.iter().take(to).skip(from).any(|b| b.frames > 0);
        let heated = s.heater.as_ref().map(|h| h.in_box);
        let warm_below = framed(0, b) || heated.is_some_and(|h| h < b);
        let warm_above = framed(b + 1, s.boxes.len()) || heated.is_some_and(|h| h > b);
        let place = match (warm_below, warm_above) {
            (true, false) => ABOVE,
            (false, true) => BELOW,
            _ => AT,
        };
        found.empty = self.room(name.to_owned(), placed.inner, place);
        Ok(found)
    }

    /// A box with frames.
    fn combs(
        &mut self,
        name: &str,
        made: &HiveBox,
        placed: &BoxLayout,
        c: &ColumnLayout,
    ) -> Result<BoxInside, HiveError> {
        let mut found = BoxInside::default();
        let z = c.block[2];
        let height = z[1] - z[0];
        let column = CombColumn::of(made, c.pitch, height, self.combs, self.materials)?;
        for key in ["empty-comb", "honey-comb", "honey", "softwood"] {
            self.used.insert(key.to_owned());
        }
        for &x in &c.spaces {
            self.beside(name, made, x, placed, z, &mut found)?;
        }
        let board = self.solid(FOLLOWER)?;
        for &x in &c.followers {
            self.put([x, placed.inner[1], z], What::Solid(board, None));
            self.layer_rule(0, x);
        }
        if c.ends > 0.0 {
            let ends = frame_ends(c.ends, self.combs, self.materials)?;
            self.put([c.block[0], placed.inner[1], z], What::Solid(ends, None));
        }
        let fine = self.steps.frames_per_cell <= 0.0;
        let full = if fine { column.comb_full } else { column.full };
        self.fills.push(Fill {
            name: name.to_owned(),
            full,
        });
        let zone = self.fills.len() - 1;
        found.fill = Some(zone);
        if fine {
            self.put(c.block, What::Solid(column.seam, None));
            for f in 0..made.frames {
                let middle = c.block[0][0] + (f64::from(f) + 0.5) * c.pitch;
                let x = [middle - 0.5 * column.comb, middle + 0.5 * column.comb];
                self.put(
                    [x, c.block[1], z],
                    What::Solid(column.comb_empty, Some(zone)),
                );
            }
        } else {
            self.put(c.block, What::Solid(column.empty, Some(zone)));
            // A hair more than the pitch, so that rounding does not ask for one cell more.
            let widest = self.steps.frames_per_cell * c.pitch * 1.01;
            self.rule(0, c.block[0], Step::AtMost(widest));
        }
        Ok(found)
    }

    /// A space beside the combs: filled, a narrow layer, or an air space of its own.
    fn beside(
        &mut self,
        name: &str,
        made: &HiveBox,
        x: [f64; 2],
        placed: &BoxLayout,
        z: [f64; 2],
        found: &mut BoxInside,
    ) -> Result<(), HiveError> {
        let at = [x, placed.inner[1], z];
        let width = x[1] - x[0];
        if let Some(key) = &made.filler {
            let solid = self.solid(key)?;
            self.put(at, What::Solid(solid, None));
            self.layer_rule(0, x);
            self.rule(0, x, Step::AtMost(self.steps.widest));
        } else if width <= self.combs.narrow {
            self.put(at, What::Solid(narrow_space(width, self.combs), None));
        } else if let Some(node) = self.room(format!("{name}, beside the combs"), at, AT) {
            found.beside.push(node);
        }
        Ok(())
    }
}
