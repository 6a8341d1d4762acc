//! Where air moves in a stack: zones of the seams, the spaces under, over and beside them, and the ways between.
//!
//! The seams of a box are cut into levels, and each level into columns from side to side and one of the comb ends, front and back together:
//! fine enough for a warm column over a cluster, cold ones beside it and a way back along the ends of the combs, and for still air below.
//! In such narrow slots air takes on the temperature of the combs within centimetres (Elenbaas 1942, channels far longer than wide), so
//! the air of a zone is as warm as its combs.

use super::combs::CombParameters;
use super::error::HiveError;
use super::inside::Inside;
use super::layout::{Bounds, BoxLayout, StackLayout, thickness};
use super::planes::cell_range;
use crate::boundary::seams::{Airways, Channel, Mouth, slot};
use crate::boundary::ventilation::Crack;
use crate::heat::Network;
use crate::stand::{Floor, OpeningPlace, Stack};

/// Height of a level, m, about: half a deep box (a choice).
const LEVEL: f64 = 0.12;
/// Frames of a column, about (a choice).
const COLUMN: f64 = 3.0;
/// Most columns.
const MOST_COLUMNS: f64 = 3.0;
/// Share of the combs' length at either end that belongs to the comb ends (a choice).
const END: f64 = 0.2;
/// Spaces wider than this resist no more than one so wide, m.
const WIDE: f64 = 0.03;
/// Parts further apart than this in height have no way between them, m.
const NEXT: f64 = 0.015;
/// Spaces that begin within this height of each other are of one level, m.
const SAME: f64 = 0.02;
/// Temperature at which the air's friction is taken, degC.
const MEAN_C: f64 = 5.0;
/// Share of a mesh floor's area that is open (common practice, no source: wire of 0.9 mm, eight to the inch).
const MESH_OPEN: f64 = 0.5;

/// What has the temperature of a space.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AirPort {
    /// An unknown of the network: an air space.
    Node(usize),
    /// A region of combs, by index into [`Hive::regions`](super::Hive::regions).
    Region(usize),
}

/// A space that air moves through.
#[derive(Debug, Clone, PartialEq)]
pub struct AirSpace {
    /// What has its temperature.
    pub port: AirPort,
    /// From-to upwards, m.
    pub z: [f64; 2],
    /// Where it is in plan: from-to across and along, m.
    plan: Vec<[[f64; 2]; 2]>,
    /// Share of its plan that is air.
    open: f64,
    /// Width of its slots, m.
    width: f64,
}

/// An opening and the space it leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vent {
    /// Space, index into [`StackAir::spaces`].
    pub space: usize,
    /// Free area, m2.
    pub area: f64,
    /// Vertical extent, m.
    pub height: f64,
    /// Height of its middle above the underside of the floor, m.
    pub z: f64,
}

/// A crack and the space it leads to.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Leak {
    /// Space, index into [`StackAir::spaces`].
    pub space: usize,
    /// The crack; its wind pressure is that of no wind.
    pub crack: Crack,
    /// Whether it is on the side of the entrances.
    pub front: bool,
}

/// The air of one stack.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct StackAir {
    /// Spaces, bottom to top box by box.
    pub spaces: Vec<AirSpace>,
    /// Ways between them; a mesh floor is one from outside.
    pub ways: Airways,
    /// Openings.
    pub vents: Vec<Vent>,
    /// Cracks of joints.
    pub cracks: Vec<Leak>,
    /// Open area (m2) and height (m) of a mesh floor.
    pub mesh: Option<(f64, f64)>,
}

impl AirSpace {
    /// Height of its middle, m.
    #[must_use]
    pub fn middle(&self) -> f64 {
        0.5 * (self.z[0] + self.z[1])
    }

    /// Area in plan that is air, m2.
    #[must_use]
    pub fn area(&self) -> f64 {
        self.plan
            .iter()
            .map(|[x, y]| (x[1] - x[0]) * (y[1] - y[0]))
            .sum::<f64>()
            * self.open
    }

    /// How far it lies from a plane across `axis` at `at` (m), and the area of a rectangle in that plane that it faces, m2; the rectangle is
    /// given by its extent along the other two axes in their order.
    #[must_use]
    pub fn faces(&self, axis: usize, at: f64, rectangle: [[f64; 2]; 2]) -> (f64, f64) {
        let mut found = (f64::INFINITY, 0.0);
        for [x, y] in &self.plan {
            let mut own = vec![*x, *y, self.z];
            let across = own.remove(axis);
            let gap = (across[0] - at).max(at - across[1]).max(0.0);
            let common = |a: usize| {
                let (p, q): ([f64; 2], [f64; 2]) = (own[a], rectangle[a]);
                (p[1].min(q[1]) - p[0].max(q[0])).max(0.0)
            };
            let area = common(0) * common(1);
            if area > 0.0 && gap < found.0 {
                found = (gap, area);
            } else if area > 0.0 && gap == found.0 {
                found.1 += area;
            }
        }
        found
    }

    /// Width of its slots, m.
    #[must_use]
    pub fn slot(&self) -> f64 {
        self.width
    }

    /// From-to across, m, of a space that is in one piece: the comb ends, in two, lie in front and behind.
    #[must_use]
    pub fn across(&self) -> Option<[f64; 2]> {
        match self.plan.as_slice() {
            [[x, _]] => Some(*x),
            _ => None,
        }
    }

    /// Points of its plan, each in the middle of as large a part of it, about `step` m apart.
    #[must_use]
    pub fn points(&self, step: f64) -> Vec<[f64; 2]> {
        let mut all = Vec::new();
        for [x, y] in &self.plan {
            let [nx, ny] = [x, y].map(|s| ((s[1] - s[0]) / step).round().max(1.0) as usize);
            let at = |s: &[f64; 2], n: usize, i: usize| {
                s[0] + (s[1] - s[0]) * (i as f64 + 0.5) / n as f64
            };
            all.extend((0..nx * ny).map(|i| [at(x, nx, i / ny), at(y, ny, i % ny)]));
        }
        all
    }

    /// Area in plan it has in common with another, m2.
    fn common(&self, other: &Self) -> f64 {
        let meet = |p: [f64; 2], q: [f64; 2]| (p[1].min(q[1]) - p[0].max(q[0])).max(0.0);
        let pairs = self
            .plan
            .iter()
            .flat_map(|p| other.plan.iter().map(move |q| (p, q)));
        pairs
            .map(|(p, q)| meet(p[0], q[0]) * meet(p[1], q[1]))
            .sum()
    }
}

impl StackAir {
    /// Levels of spaces that begin at one height, m, lowest first; spaces with their shares of a level's area.
    #[must_use]
    pub fn levels(&self) -> Vec<(f64, Vec<(usize, f64)>)> {
        let spaces = &self.spaces;
        let mut order: Vec<usize> = (0..spaces.len()).collect();
        order.sort_by(|a, b| spaces[*a].z[0].total_cmp(&spaces[*b].z[0]).then(a.cmp(b)));
        let mut levels: Vec<(f64, Vec<(usize, f64)>)> = Vec::new();
        for s in order {
            let from = spaces[s].z[0];
            match levels.last_mut() {
                Some((start, level)) if from - *start < SAME => level.push((s, spaces[s].area())),
                _ => levels.push((from, vec![(s, spaces[s].area())])),
            }
        }
        for (_, level) in &mut levels {
            let sum: f64 = level.iter().map(|l| l.1).sum();
            level.iter_mut().for_each(|l| l.1 /= sum);
        }
        levels
    }
}

/// A level of a box: its columns, and the comb ends.
struct Level {
    columns: Vec<usize>,
    ends: Option<usize>,
}

/// Collects the air of a stack; regions of combs are added to `regions`.
pub fn stack_air(
    stack: &Stack,
    layout: &StackLayout,
    inside: &Inside,
    net: &Network,
    combs: &CombParameters,
    regions: &mut Vec<Vec<(usize, f64)>>,
) -> Result<StackAir, HiveError> {
    let narrow = combs.narrow;
    let node = |a: u16| AirPort::Node(net.air_node(usize::from(a)));
    let mut spaces: Vec<AirSpace> = Vec::new();
    let (Some(low), Some(high)) = (layout.boxes.first(), layout.boxes.last()) else {
        return Ok(StackAir::default());
    };
    let room = |port, at: Bounds| AirSpace {
        port,
        z: at[2],
        plan: vec![[at[0], at[1]]],
        open: 1.0,
        width: WIDE,
    };
    let flat = |b: &BoxLayout, z: [f64; 2]| [b.inner[0], b.inner[1], z];
    let floor = inside.floor.map(|a| {
        spaces.push(room(node(a), flat(low, layout.floor_space)));
        spaces.len() - 1
    });
    let mut channels = Vec::new();
    let mut boxes: Vec<Vec<Level>> = Vec::new();
    let mut empty: Vec<Option<usize>> = Vec::new();
    for ((made, placed), found) in stack.boxes.iter().zip(&layout.boxes).zip(&inside.boxes) {
        let mut levels = Vec::new();
        empty.push(found.empty.map(|a| {
            spaces.push(room(node(a), placed.inner));
            spaces.len() - 1
        }));
        if let Some(c) = &placed.column {
            let slots = (
                c.pitch - made.comb_thickness,
                1.0 - made.comb_thickness / c.pitch,
            );
            let z = c.block[2];
            let count = ((z[1] - z[0]) / LEVEL).round().max(1.0);
            for k in 0..count as usize {
                let at = |k: usize| z[0] + (z[1] - z[0]) * k as f64 / count;
                let across = reach(c.block[0], &c.spaces, narrow);
                let level = zones(
                    made.frames,
                    across,
                    placed.inner[1],
                    [at(k), at(k + 1)],
                    slots,
                    net,
                    regions,
                    &mut spaces,
                );
                levels.push(level);
            }
            let wide = c.spaces.iter().filter(|x| x[1] - x[0] > narrow);
            for (x, a) in wide.zip(&found.beside) {
                spaces.push(room(node(*a), [*x, placed.inner[1], z]));
                let beside = spaces.len() - 1;
                // Round the ends of the outermost comb.
                let gap = c.ends.max(slots.0);
                for ends in levels.iter().filter_map(|l| l.ends) {
                    let height = spaces[ends].z[1] - spaces[ends].z[0];
                    let way = 0.25 * (c.block[0][1] - c.block[0][0]);
                    let rise = spaces[beside].middle() - spaces[ends].middle();
                    let area = 2.0 * gap * height;
                    channels.push(Channel::slot([ends, beside], area, gap, way, rise, MEAN_C));
                }
            }
        }
        boxes.push(levels);
    }
    let head = inside.head.map(|a| {
        let from = high
            .column
            .as_ref()
            .map_or(high.inner[2][0], |c| c.block[2][1]);
        spaces.push(room(node(a), flat(high, [from, high.inner[2][1]])));
        spaces.len() - 1
    });
    for level in boxes.iter().flatten() {
        let Some(ends) = level.ends else { continue };
        for &column in &level.columns {
            let s = &spaces[column];
            let [x, y] = s.plan[0];
            let area = 2.0 * (s.z[1] - s.z[0]) * (x[1] - x[0]) * s.open;
            // From the middle of either half of the column to the middle of the end.
            let way = (y[1] - y[0]) * (0.25 + 0.5 * END / (1.0 - 2.0 * END));
            channels.push(Channel::slot(
                [column, ends],
                area,
                s.width,
                way,
                0.0,
                MEAN_C,
            ));
        }
    }
    for (a, s) in spaces.iter().enumerate() {
        for (b, t) in spaces.iter().enumerate() {
            let common = s.common(t);
            if a != b && (t.z[0] - s.z[1]).abs() < NEXT && t.middle() > s.middle() && common > 0.0 {
                let rise = t.middle() - s.middle();
                let area = common * s.open.min(t.open);
                let width = s.width.min(t.width);
                channels.push(Channel::slot([a, b], area, width, rise, rise, MEAN_C));
            }
        }
    }
    let bottom = low.inner[2][0];
    let over_mesh = matches!(stack.floor, Floor::OpenMesh { .. });
    let mouths: Vec<Mouth> = spaces
        .iter()
        .enumerate()
        .filter(|(_, s)| over_mesh && s.z[0] - bottom < LEVEL.min(0.05))
        .map(|(space, s)| {
            let rise = s.middle() - s.z[0];
            Mouth {
                space,
                conductance: slot(s.area(), s.width, rise, MEAN_C),
                rise,
            }
        })
        .collect();
    let mesh = over_mesh.then(|| {
        let area: f64 = mouths.iter().map(|m| spaces[m.space].area()).sum();
        (MESH_OPEN * area, bottom)
    });
    let ends_at = |b: usize, z: f64| {
        let levels = boxes.get(b)?;
        let mut ends = levels.iter().filter_map(|l| l.ends);
        ends.clone()
            .find(|e| spaces[*e].z[1] >= z)
            .or_else(|| ends.next_back())
            .or(*empty.get(b)?)
    };
    let last = layout.boxes.len() - 1;
    let mut vents = Vec::new();
    for (o, opening) in stack.openings.iter().enumerate() {
        let (space, what) = match opening.place {
            OpeningPlace::Floor if floor.is_none() && over_mesh => continue,
            OpeningPlace::Floor => (floor.or_else(|| ends_at(0, bottom)), 0),
            OpeningPlace::Box(b) => (ends_at(b, opening.z), b),
            OpeningPlace::Head => (head.or_else(|| ends_at(last, high.inner[2][1])), last),
        };
        let Some(space) = space else {
            return Err(HiveError::OpeningPlace {
                stack: stack.name.clone(),
                opening: o + 1,
                what: format!("box {}, which is solid there", what + 1),
            });
        };
        vents.push(Vent {
            space,
            area: opening.area,
            height: opening.height,
            z: opening.z,
        });
    }
    // A joint leaks in front, and on the other sides that nothing stands against; a wrap goes over those of floor and boxes, not over the lid's.
    let mut cracks = Vec::new();
    for (b, (made, placed)) in stack.boxes.iter().zip(&layout.boxes).enumerate() {
        let [x, y] = [0, 1].map(|a| placed.inner[a][1] - placed.inner[a][0]);
        let ends = layout.sides.iter().filter(|s| s.free).count() as f64;
        let mut joint = |space: Option<usize>, z: f64| {
            for (front, length) in [(true, x), (false, x + ends * y)] {
                cracks.extend(space.map(|space| Leak {
                    space,
                    crack: Crack {
                        length,
                        depth: thickness(&made.walls),
                        z,
                        wind_pressure: 0.0,
                    },
                    front,
                }));
            }
        };
        let [from, to] = placed.inner[2];
        if b == 0 && !over_mesh && !stack.cladding.wrapped {
            joint(floor.or_else(|| ends_at(0, from)), from);
        }
        if b == last {
            joint(head.or_else(|| ends_at(b, to)), to);
        } else if !stack.cladding.wrapped {
            joint(ends_at(b, to), to);
        }
    }
    let ways = Airways {
        spaces: spaces.len(),
        channels,
        mouths,
    };
    Ok(StackAir {
        spaces,
        ways,
        vents,
        cracks,
        mesh,
    })
}

/// From where to where the seams reach across, with narrow spaces beside the combs, m.
fn reach(block: [f64; 2], beside: &[[f64; 2]], narrow: f64) -> [f64; 2] {
    let near = beside.iter().filter(|x| x[1] - x[0] <= narrow);
    near.fold(block, |[from, to], x| {
        let joins = |v: f64, edge: f64| (v - edge).abs() < 1e-6;
        [
            if joins(x[1], block[0]) { x[0] } else { from },
            if joins(x[0], block[1]) { x[1] } else { to },
        ]
    })
}

/// Adds the zones of one level.
#[expect(
    clippy::too_many_arguments,
    reason = "one level, all of it local to the stack's loop"
)]
fn zones(
    frames: u32,
    across: [f64; 2],
    along: [f64; 2],
    z: [f64; 2],
    (width, open): (f64, f64),
    net: &Network,
    regions: &mut Vec<Vec<(usize, f64)>>,
    spaces: &mut Vec<AirSpace>,
) -> Level {
    let end = END * (along[1] - along[0]);
    let inner = [along[0] + end, along[1] - end];
    let count = (f64::from(frames) / COLUMN)
        .round()
        .clamp(1.0, MOST_COLUMNS);
    let mut add = |plan: Vec<[[f64; 2]; 2]>| {
        let region = cells(net, &plan, z);
        if region.is_empty() {
            return None;
        }
        regions.push(region);
        spaces.push(AirSpace {
            port: AirPort::Region(regions.len() - 1),
            z,
            plan,
            open,
            width,
        });
        Some(spaces.len() - 1)
    };
    let columns = (0..count as usize).filter_map(|c| {
        let at = |c: usize| across[0] + (across[1] - across[0]) * c as f64 / count;
        add(vec![[[at(c), at(c + 1)], inner]])
    });
    let columns = columns.collect();
    let ends = add(vec![
        [across, [along[0], inner[0]]],
        [across, [inner[1], along[1]]],
    ]);
    Level { columns, ends }
}

/// Solid cells with their middles in a plan and between two heights, by volume; shares sum to 1.
fn cells(net: &Network, plan: &[[[f64; 2]; 2]], z: [f64; 2]) -> Vec<(usize, f64)> {
    let grid = net.grid();
    let mut all = Vec::new();
    for [x, y] in plan {
        let within = |axis: usize, span: [f64; 2]| {
            let near = cell_range(grid.planes(axis), [span[0] - WIDE, span[1] + WIDE]);
            near.filter(move |&i| {
                let planes = grid.planes(axis);
                let middle = 0.5 * (planes[i] + planes[i + 1]);
                middle > span[0] && middle < span[1]
            })
        };
        for i in within(0, *x) {
            for j in within(1, *y) {
                for k in within(2, z) {
                    if let Some(node) = net.cell_node(grid.index(i, j, k)) {
                        all.push((node, grid.volume(i, j, k)));
                    }
                }
            }
        }
    }
    let sum: f64 = all.iter().map(|c| c.1).sum();
    all.iter_mut().for_each(|c| c.1 /= sum);
    all.sort_unstable_by_key(|c| c.0);
    all
}
