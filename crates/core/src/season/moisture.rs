//! The inner surfaces of a hive in one hour: how cold each part is, and what of the bees' water gathers there.

use super::snapshot::Snapshot;
use crate::boundary::condensation::{HEAT_OF_EVAPORATION, InnerSurface, WaterBalance, balance};
use crate::boundary::film::{HeatFlow, convective_inside};
use crate::colony::parameters::Parameters;
use crate::heat::Role;
use crate::hive::Hive;

/// A side of the inside, as seen from behind the hives.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
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

    fn flow(self) -> HeatFlow {
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

/// The inner surfaces of a stack under a field of temperatures, degC. Between a wall's outermost cell and what it faces heat flows through
/// half of either cell, or through the film of the air: `Ts = (g1 T1 + g2 T2)/(g1 + g2)`. Combs are taken as empty for that. Where the
/// inside is open to outside air (a mesh floor) there is no surface.
#[must_use]
pub fn surfaces(hive: &Hive, node_c: &[f64], stack: usize) -> Vec<Patch> {
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
            let (one, other) = match axis {
                0 => (1, 2),
                1 => (0, 2),
                _ => (0, 1),
            };
            for &i in &within[one] {
                for &j in &within[other] {
                    let mut at = [0; 3];
                    (at[axis], at[one], at[other]) = (edge, i, j);
                    let Some((temp_c, inside_c)) = surface(hive, node_c, at, axis, far, wall)
                    else {
                        continue;
                    };
                    let ends = |a: usize, i: usize| [grid.planes(a)[i], grid.planes(a)[i + 1]];
                    all.push(Patch {
                        wall,
                        along: ends(one, i),
                        up: ends(other, j),
                        temp_c,
                        inside_c,
                    });
                }
            }
        }
    }
    all
}

/// Temperature of the first solid surface from a cell of the inside outwards, and of what it faces.
fn surface(
    hive: &Hive,
    node_c: &[f64],
    mut at: [usize; 3],
    axis: usize,
    far: bool,
    wall: Wall,
) -> Option<(f64, f64)> {
    let (grid, medium) = (&hive.grid, &hive.medium);
    let temperature = |[i, j, k]: [usize; 3]| {
        let node = hive.network.node_at(grid.index(i, j, k))?;
        node_c.get(node).copied()
    };
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
                        let air = hive.network.air_nodes().get(usize::from(a))?;
                        match wall {
                            Wall::Lid => air.film_up,
                            Wall::Floor => air.film_down,
                            _ => air.film_side,
                        }
                    }
                    _ => half(at),
                };
                let (outer, t_in, t_out) = (half(next), temperature(at)?, temperature(next)?);
                return Some(((inner * t_in + outer * t_out) / (inner + outer), t_in));
            }
        }
    }
}

/// What of the water of the bees in a stack gathers on its inner surfaces in the hour of a snapshot, and the dew point of its air: the
/// latent part of their heat ([`Parameters::latent_share`]; 0.12 of it, which is 0.61 kg of water per kg of honey; 0.665 kg if all of it left as vapour) is the water they give off. `None` without a
/// colony, or where the inside is open to outside air, which passes unreckoned.
#[must_use]
pub fn water(
    hive: &Hive,
    snapshot: &Snapshot,
    p: &Parameters,
    stack: usize,
    patches: &[Patch],
) -> Option<WaterBalance> {
    let colony = snapshot.colonies.iter().find(|c| c.seated.stack == stack)?;
    if !patches.iter().any(|s| s.wall == Wall::Floor)
        || hive.stacks.get(stack)?.floor_node.is_none()
    {
        return None;
    }
    let area: f64 = patches.iter().map(Patch::area).sum();
    let inside = patches.iter().map(|s| s.area() * s.inside_c).sum::<f64>() / area;
    let all: Vec<InnerSurface> = patches
        .iter()
        .map(|s| InnerSurface {
            area: s.area(),
            temp_c: s.temp_c,
            convective: convective_inside(s.wall.flow()),
        })
        .collect();
    balance(
        p.latent_share * colony.moment.heat / HEAT_OF_EVAPORATION,
        snapshot.air.get(stack)?.fresh,
        snapshot.outside_vapour,
        snapshot.pressure,
        inside,
        &all,
    )
}

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
            let all = surfaces(&hive, &field, stack);
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
        let lid: Vec<Patch> = surfaces(&hive, &field, 0)
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
