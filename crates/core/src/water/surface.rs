//! The inner surfaces of a hive that water gathers on: where they are, how cold, and what they are made of.

use super::skin::Skin;
use crate::boundary::film::{HeatFlow, convective_inside, inside_resistance, outside_resistance};
use crate::heat::Role;
use crate::hive::Hive;
use crate::stand::{CentreWall, Floor, Joint, Layer, Scenario};

/// A side of the inside, as seen from behind the hives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, serde::Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Wall {
    /// The left wall.
    Left,
    /// The right wall.
    Right,
    /// The wall with the entrance.
    Front,
    /// The wall on the keeper's side.
    Back,
    /// The underside of what lies over the frames.
    Lid,
    /// The floor.
    Floor,
}

impl Wall {
    /// All of them.
    pub const ALL: [Self; 6] = [
        Self::Left,
        Self::Front,
        Self::Right,
        Self::Back,
        Self::Lid,
        Self::Floor,
    ];

    /// Which way heat goes through it in winter.
    #[must_use]
    pub fn flow(self) -> HeatFlow {
        match self {
            Self::Lid => HeatFlow::Upwards,
            Self::Floor => HeatFlow::Downwards,
            _ => HeatFlow::Horizontal,
        }
    }

    /// The axis across it, and whether it lies at the far end of that.
    fn across(self) -> (usize, bool) {
        match self {
            Self::Left => (0, false),
            Self::Right => (0, true),
            Self::Front => (1, false),
            Self::Back => (1, true),
            Self::Lid => (2, true),
            Self::Floor => (2, false),
        }
    }

    /// The axes along it, and the other way.
    fn plane(self) -> [usize; 2] {
        match self.across().0 {
            0 => [1, 2],
            1 => [0, 2],
            _ => [0, 1],
        }
    }
}

/// A part of an inner surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Patch {
    /// Which side it is of.
    pub wall: Wall,
    /// From-to along it, m: across the combs for front, back, lid and floor, from the front backwards for left and right.
    pub along: [f64; 2],
    /// From-to the other way, m: up, for lid and floor from the front backwards.
    pub up: [f64; 2],
    /// Temperature of the surface, degC.
    pub temp_c: f64,
    /// Temperature of what it faces, degC.
    pub inside_c: f64,
}

impl Patch {
    /// Area, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        (self.along[1] - self.along[0]) * (self.up[1] - self.up[0])
    }
}

/// A cell of an inner surface.
struct Cell {
    wall: Wall,
    in_box: usize,
    along: [f64; 2],
    up: [f64; 2],
    /// Unknowns inside (what it faces first, then what it sees), and on the outside of it, with the conductances from each to it, W/m2K.
    inner: Vec<Beside>,
    outer: Beside,
}

impl Cell {
    fn area(&self) -> f64 {
        (self.along[1] - self.along[0]) * (self.up[1] - self.up[0])
    }

    /// The unknowns that make its temperature, with their shares.
    fn reading(&self) -> impl Iterator<Item = (usize, f64)> {
        let all = self.inner.iter().chain([&self.outer]);
        let sum: f64 = all.clone().map(|b| b.1).sum();
        all.map(move |(node, g)| (*node, g / sum))
    }
}

/// The inner surfaces of a stack under a field of temperatures, degC. Between a wall's outermost cell and what it faces heat flows through
/// half of either cell, or through the films of air and radiation: `Ts = sum g T / sum g`. Combs are taken as empty for that. Where the
/// inside is open to outside air (a mesh floor) there is no surface.
#[must_use]
pub fn patches(hive: &Hive, node_c: &[f64], stack: usize) -> Vec<Patch> {
    let all = cells(hive, stack).into_iter();
    all.map(|c| Patch {
        temp_c: c.reading().map(|(n, w)| w * node_c[n]).sum(),
        inside_c: node_c[c.inner[0].0],
        wall: c.wall,
        along: c.along,
        up: c.up,
    })
    .collect()
}

fn cells(hive: &Hive, stack: usize) -> Vec<Cell> {
    let mut all = Vec::new();
    let Some(space) = hive.stacks.get(stack) else {
        return all;
    };
    let grid = &hive.grid;
    let last = space.boxes.len().saturating_sub(1);
    for (b, inside) in space.boxes.iter().map(|b| b.inner).enumerate() {
        let within: [Vec<usize>; 3] = std::array::from_fn(|a| {
            let planes = grid.planes(a);
            (0..planes.len() - 1)
                .filter(|&i| {
                    let middle = 0.5 * (planes[i] + planes[i + 1]);
                    middle > inside[a][0] && middle < inside[a][1]
                })
                .collect()
        });
        for wall in Wall::ALL {
            match wall {
                Wall::Lid if b != last => continue,
                Wall::Floor if b != 0 => continue,
                _ => {}
            }
            let (axis, far) = wall.across();
            let edge = if far {
                within[axis].last()
            } else {
                within[axis].first()
            };
            let Some(&edge) = edge else { continue };
            let [one, other] = wall.plane();
            for &i in &within[one] {
                for &j in &within[other] {
                    let mut at = [0; 3];
                    (at[axis], at[one], at[other]) = (edge, i, j);
                    let Some((inner, outer)) = surface(hive, at, axis, far) else {
                        continue;
                    };
                    let ends = |a: usize, i: usize| [grid.planes(a)[i], grid.planes(a)[i + 1]];
                    all.push(Cell {
                        wall,
                        in_box: b,
                        along: ends(one, i),
                        up: ends(other, j),
                        inner,
                        outer,
                    });
                }
            }
        }
    }
    all
}

/// An unknown, and the conductance from it to a surface, W/m2K.
type Beside = (usize, f64);

/// The unknowns on either side of the first solid surface from a cell of the inside outwards.
fn surface(
    hive: &Hive,
    mut at: [usize; 3],
    axis: usize,
    far: bool,
) -> Option<(Vec<Beside>, Beside)> {
    let (grid, medium) = (&hive.grid, &hive.medium);
    let node = |[i, j, k]: [usize; 3]| hive.network.node_at(grid.index(i, j, k));
    loop {
        let mut next = at;
        next[axis] = if far {
            at[axis] + 1
        } else {
            at[axis].checked_sub(1)?
        };
        if next[axis] + 1 >= grid.planes(axis).len() {
            return None;
        }
        let half = |c: [usize; 3]| 2.0 * medium.k[axis][c] / grid.width(axis, c[axis]);
        match (medium.role[at], medium.role[next]) {
            (_, Role::Outside(_)) | (Role::Outside(_), _) => return None,
            // The bee space over the frames, or under them.
            (_, Role::Air(_)) => at = next,
            (here, Role::Solid) => {
                let inner = match here {
                    Role::Air(a) => {
                        let air = hive.network.air_nodes();
                        let own = air.get(usize::from(a))?;
                        let seen = own.radiant.map(usize::from);
                        let film = |a: usize| (hive.network.air_node(a), air[a].film(axis, far));
                        std::iter::once(usize::from(a))
                            .chain(seen)
                            .map(film)
                            .collect()
                    }
                    _ => vec![(node(at)?, half(at))],
                };
                return Some((inner, (node(next)?, half(next))));
            }
        }
    }
}

/// Parts a lid is cut into each way: it is warm over the cluster and cold at its corners.
const LID_PARTS: usize = 3;

/// An inner surface whose water is reckoned as one.
#[derive(Debug, Clone, PartialEq)]
pub struct InnerSurface {
    /// Which side it is of.
    pub wall: Wall,
    /// From-to along it and the other way, m, as of a [`Patch`].
    pub bounds: [[f64; 2]; 2],
    /// The axis across it, and where on that it lies, m.
    pub axis: usize,
    /// Where on it.
    pub at: f64,
    /// Area, m2.
    pub area: f64,
    /// Unknowns that make its mean temperature, with their shares.
    pub reading: Vec<(usize, f64)>,
    /// Convective coefficient there, W/m2K (ISO 6946).
    pub convective: f64,
    /// The wood that takes up water, if it is of wood.
    pub skin: Option<Skin>,
    /// Vapour that passes from the skin through all that lies behind it, kg/(m2 s Pa); nothing towards a neighbour.
    pub outwards: f64,
    /// Share of the heat set free on it that comes back inside; the rest goes out through what lies behind it.
    pub inward: f64,
}

/// The inner surfaces of stack `i`: four sides of every box, the floor, and the lid in nine parts.
#[must_use]
pub fn inner_surfaces(hive: &Hive, s: &Scenario, i: usize) -> Vec<InnerSurface> {
    let mut all: Vec<(usize, [usize; 2], InnerSurface)> = Vec::new();
    let bounds = hive.stacks[i].bounds;
    let part = |a: usize, at: [f64; 2]| {
        let [from, to] = bounds[a];
        let share = (0.5 * (at[0] + at[1]) - from) / (to - from);
        (share * LID_PARTS as f64).clamp(0.0, LID_PARTS as f64 - 1.0) as usize
    };
    for cell in cells(hive, i) {
        let of_lid = match cell.wall {
            Wall::Lid => [part(0, cell.along), part(1, cell.up)],
            _ => [0; 2],
        };
        let known = all
            .iter_mut()
            .find(|(b, p, s)| *b == cell.in_box && *p == of_lid && s.wall == cell.wall);
        let found = match known {
            Some((_, _, found)) => found,
            None => {
                all.push((cell.in_box, of_lid, behind(hive, s, i, &cell)));
                let Some((_, _, last)) = all.last_mut() else {
                    continue;
                };
                last
            }
        };
        let meet = |a: [f64; 2], b: [f64; 2]| [a[0].min(b[0]), a[1].max(b[1])];
        found.bounds = [
            meet(found.bounds[0], cell.along),
            meet(found.bounds[1], cell.up),
        ];
        found.area += cell.area();
        found
            .reading
            .extend(cell.reading().map(|(n, w)| (n, w * cell.area())));
    }
    for (_, _, s) in &mut all {
        s.reading.sort_unstable_by_key(|r| r.0);
        s.reading.dedup_by(|b, a| {
            let same = a.0 == b.0;
            if same {
                a.1 += b.1;
            }
            same
        });
        s.reading.iter_mut().for_each(|r| r.1 /= s.area);
    }
    all.into_iter().map(|(_, _, s)| s).collect()
}

/// A surface without area yet, with what lies behind it.
fn behind(hive: &Hive, s: &Scenario, i: usize, cell: &Cell) -> InnerSurface {
    let stack = &s.stacks[i];
    let mut layers: Vec<&Layer> = Vec::new();
    let mut neighbour = false;
    let inner = hive.stacks[i].boxes[cell.in_box].inner;
    match cell.wall {
        Wall::Lid => {
            layers.extend(stack.top.iter().chain(&stack.cover.layers));
        }
        Wall::Floor => {
            if let Floor::Solid { layers: floor, .. } = &stack.floor {
                layers.extend(floor);
            }
        }
        side => {
            let joint = match side {
                Wall::Left => i.checked_sub(1).and_then(|j| s.joints.get(j)),
                Wall::Right => s.joints.get(i),
                _ => None,
            };
            let clad = match side {
                Wall::Left => &stack.cladding.left,
                Wall::Right => &stack.cladding.right,
                Wall::Front => &stack.cladding.front,
                _ => &stack.cladding.back,
            };
            let walls = &stack.boxes[cell.in_box].walls;
            match joint {
                Some(Joint::Adjoining { wall, .. }) => {
                    neighbour = true;
                    match wall {
                        CentreWall::Shared(shared) if side == Wall::Left => {
                            layers.extend(shared.iter().rev());
                        }
                        CentreWall::Shared(shared) => layers.extend(shared),
                        _ => layers.extend(walls),
                    }
                }
                _ => layers.extend(walls.iter().chain(clad)),
            }
        }
    }
    let material = |l: &Layer| hive.materials_used.get(&l.material);
    let skin = layers
        .first()
        .and_then(|l| Skin::of(material(l)?, l.thickness));
    // Still air's worth of what lies behind, m, and its resistance to heat, m2K/W.
    let (mut still, mut resistance) = (0.0, 0.0);
    for l in &layers {
        if let Some(m) = material(l) {
            resistance += l.thickness / m.conductivity;
            still += l.thickness * m.vapour_resistance.unwrap_or(f64::INFINITY);
        }
    }
    still -= skin.as_ref().map_or(0.0, Skin::still_air);
    let (flow, (axis, far)) = (cell.wall.flow(), cell.wall.across());
    let outside = resistance + outside_resistance(OUTSIDE_WIND, 0.0);
    InnerSurface {
        wall: cell.wall,
        bounds: [cell.along, cell.up],
        axis,
        at: inner[axis][usize::from(far)],
        area: 0.0,
        reading: Vec::new(),
        convective: convective_inside(flow),
        outwards: if neighbour || still <= 0.0 {
            0.0
        } else {
            super::vapour::STILL_AIR / still
        },
        inward: if neighbour {
            1.0
        } else {
            outside / (outside + inside_resistance(flow))
        },
        skin,
    }
}

/// Wind beside the outer faces for the share of heat that comes back inside, m/s (a choice: sheltered).
const OUTSIDE_WIND: f64 = 2.0;

#[cfg(test)]
mod tests {
    use super::*;
    use crate::hive::{self, Resolution};
    use crate::scenario;

    fn demo(change: impl Fn(&str) -> String) -> Hive {
        let text = change(scenario::built_in_text("larch-flats").unwrap());
        let s = scenario::parse(&text, "x.toml", None).unwrap().scenario;
        hive::build(&s, Resolution::Coarse).unwrap()
    }

    /// Catches walls that are missed, counted twice or cut short: the areas are those of the boxes' insides, and every temperature is between
    /// those on either side of the surface.
    #[test]
    fn surfaces_are_those_of_the_inside() {
        let hive = demo(str::to_owned);
        // Warm within, cold without, by distance from the middle.
        let field: Vec<f64> = (0..hive.network.n())
            .map(|n| (n * 37 % 91) as f64 - 40.0)
            .collect();
        for stack in 0..2 {
            let all = patches(&hive, &field, stack);
            let area = |w: Wall| {
                all.iter()
                    .filter(|s| s.wall == w)
                    .map(Patch::area)
                    .sum::<f64>()
            };
            let boxes = &hive.stacks[stack].boxes;
            let side = |a: usize| -> f64 {
                let size = |b: [f64; 2]| b[1] - b[0];
                boxes
                    .iter()
                    .map(|b| size(b.inner[a]) * size(b.inner[2]))
                    .sum()
            };
            for (wall, expected) in [
                (Wall::Left, side(1)),
                (Wall::Right, side(1)),
                (Wall::Front, side(0)),
                (Wall::Back, side(0)),
            ] {
                assert!((area(wall) / expected - 1.0).abs() < 1e-6, "{wall:?}");
            }
            let plan = |b: usize| {
                let i = boxes[b].inner;
                (i[0][1] - i[0][0]) * (i[1][1] - i[1][0])
            };
            assert!((area(Wall::Floor) / plan(0) - 1.0).abs() < 1e-6);
            assert!((area(Wall::Lid) / plan(boxes.len() - 1) - 1.0).abs() < 1e-6);
            assert!(all.iter().all(|s| (-40.0..=51.0).contains(&s.temp_c)));
        }
    }

    /// Catches a surface as warm as the air before it or as cold as the wall's middle: behind a film of 1/0.13 W/m2K and half of a cell of
    /// wood it lies between, where the heat through both is the same.
    #[test]
    fn heat_to_a_surface_is_heat_through_it() {
        let hive = demo(str::to_owned);
        let cold = hive.network.n();
        let air = hive.network.air_node(0);
        let field: Vec<f64> = (0..cold)
            .map(|n| if n >= air { 10.0 } else { -10.0 })
            .collect();
        let lid: Vec<Patch> = patches(&hive, &field, 0)
            .into_iter()
            .filter(|s| s.wall == Wall::Lid)
            .collect();
        assert!(!lid.is_empty());
        for s in &lid {
            assert_eq!(s.inside_c, 10.0);
            assert!(s.temp_c > -10.0 && s.temp_c < 10.0);
            // 8 mm of plywood in whole: half of its first cell conducts more than the film.
            assert!(s.temp_c < 0.0, "{}", s.temp_c);
        }
    }
}
