//! From a checked scenario to a heat network: every stack is painted layer by layer, then assembled.

use super::combs::{CombColumn, CombParameters, frame_ends, narrow_space};
use super::faces::outer_faces;
use super::gap::{HeatFlow, airspace_resistance, film};
use super::layout::{BoxPlace, StackPlace, place, thickness};
use super::sketch::{Paint, Sketch};
use super::{BoxSpace, Hive, HiveError, Materials, Resolution, StackSpace, Vent};
use crate::heat::{AIR_HEAT_CAPACITY, AirNode, Edge, ExtraLink, Network, NodeRef, Solid};
use crate::scenario::model::{
    CentreWall, Floor, FramesAt, GapState, HiveBox, Joint, Layer, OpeningPlace, Scenario, Stack,
};

/// Least seam that frames may be pushed together to, m (natural combs stand 30 mm apart at the closest).
const LEAST_SEAM: f64 = 0.004;

/// Builds the network of a scenario.
///
/// # Errors
/// Anything in the scenario that cannot be built: frames that do not fit, unknown materials, a lid that is missing.
pub fn build(s: &Scenario, resolution: Resolution) -> Result<Hive, HiveError> {
    let tools = Tools {
        materials: Materials::with_overrides(&s.materials)?,
        combs: CombParameters::with_overrides(&s.parameters)?,
        resolution,
    };
    let places = place(s)?;
    let mut sketch = Sketch::default();
    let shaded = |joint: usize| (s.stacks.len() + joint) as u16;
    regions(&mut sketch, &places);
    let mut stacks = Vec::new();
    let mut links = Vec::new();
    for (i, (stack, p)) in s.stacks.iter().zip(&places).enumerate() {
        stacks.push(tools.stack(&mut sketch, &mut links, stack, p, i)?);
    }
    for (j, joint) in s.joints.iter().enumerate() {
        tools.joint(&mut sketch, s, &places, j, joint, shaded(j))?;
    }
    let (grid, medium, fills) = sketch.paint(resolution)?;
    let zones = s.stacks.len() + s.joints.len();
    let network = Network::build(
        &grid,
        &medium,
        &sketch.air,
        zones,
        &fills,
        &links,
        [Edge::Adiabatic; 6],
    )?;
    for stack in &mut stacks {
        stack.resolve(&network);
    }
    let faces = outer_faces(s, &network);
    Ok(Hive {
        grid,
        medium,
        faces,
        stacks,
        network,
    })
}

/// Outside zones: one per stack, so that faces know whose they are.
fn regions(sketch: &mut Sketch, places: &[StackPlace]) {
    for (i, p) in places.iter().enumerate() {
        let left = i
            .checked_sub(1)
            .map_or(f64::NEG_INFINITY, |j| 0.5 * (places[j].x[1] + p.x[0]));
        let right = places
            .get(i + 1)
            .map_or(f64::INFINITY, |n| 0.5 * (p.x[1] + n.x[0]));
        sketch.regions.push(([left, right], i as u16));
    }
}

struct Tools {
    materials: Materials,
    combs: CombParameters,
    resolution: Resolution,
}

impl Tools {
    fn material(&self, key: &str) -> Result<Solid, HiveError> {
        let m = self.materials.get(key)?;
        Ok(Solid {
            k: [m.conductivity; 3],
            rho_c: m.heat_capacity(),
        })
    }

    /// Paints layers side by side from `from` in direction `sign` along `axis`; says where they end.
    fn layers(
        &self,
        sketch: &mut Sketch,
        layers: &[Layer],
        mut at: [[f64; 2]; 3],
        axis: usize,
        from: f64,
        sign: f64,
    ) -> Result<f64, HiveError> {
        let mut edge = from;
        for l in layers {
            let next = edge + sign * l.thickness;
            at[axis] = [edge.min(next), edge.max(next)];
            sketch.solid(at, self.material(&l.material)?);
            edge = next;
        }
        Ok(edge)
    }

    fn stack(
        &self,
        sketch: &mut Sketch,
        links: &mut Vec<ExtraLink>,
        stack: &Stack,
        p: &StackPlace,
        index: usize,
    ) -> Result<StackSpace, HiveError> {
        if stack.top.is_empty() && stack.cover.layers.is_empty() {
            return Err(HiveError::NoLid {
                stack: stack.name.clone(),
            });
        }
        let length = stack.boxes.iter().map(|b| b.length).fold(0.0, f64::max);
        let lowest = &p.boxes[0];
        // Floor and its space, inside a rim of the lowest box's walls.
        if let Floor::Solid { layers, .. } = &stack.floor {
            let at = [lowest.x, [0.0, stack.boxes[0].length], [0.0, 0.0]];
            self.layers(sketch, layers, at, 2, p.floor_top, -1.0)?;
        }
        let rim = BoxPlace {
            z: [p.floor_top, p.foot],
            ..lowest.clone()
        };
        let inside = self.walls(sketch, stack, &stack.boxes[0], &rim, p)?;
        let mut below: Option<u16> = None;
        let mut floor_node = None;
        match stack.floor {
            Floor::OpenMesh { .. } => sketch.patch(inside, Paint::Outside(index as u16), None),
            Floor::Solid { space, .. } if space > 0.0 => {
                let node = self.air(sketch, format!("{}: floor space", stack.name), inside);
                sketch.patch(inside, Paint::Air(node), None);
                (below, floor_node) = (Some(node), Some(node));
            }
            Floor::Solid { .. } => {}
        }

        let mut boxes = Vec::new();
        let last = stack.boxes.len() - 1;
        let mut head_node = None;
        for (n, (b, place)) in stack.boxes.iter().zip(&p.boxes).enumerate() {
            let mut room = self.walls(sketch, stack, b, place, p)?;
            if room[0][1] - room[0][0] < 0.02 || room[1][1] - room[1][0] < 0.02 {
                let across = if room[0][1] - room[0][0] < 0.02 {
                    "across the combs"
                } else {
                    "along the combs"
                };
                let inside = (room[0][1] - room[0][0]).min(room[1][1] - room[1][0]);
                return Err(HiveError::NoRoom {
                    stack: stack.name.clone(),
                    number: n + 1,
                    inside,
                    across,
                });
            }
            let bounds = room;
            if b.frames == 0 {
                let node = self.air(sketch, format!("{}: box {}", stack.name, n + 1), room);
                sketch.patch(room, Paint::Air(node), None);
                if let Some(other) = below {
                    links.push(self.open(other, node, room));
                }
                below = Some(node);
                if n == last {
                    head_node = Some(node);
                }
                boxes.push(BoxSpace {
                    bounds,
                    combs: bounds,
                    frames: 0,
                    honey_capacity: 0.0,
                    fill_zone: None,
                    air: Some(node),
                });
                continue;
            }
            if n == last {
                let top = room[2][1];
                room[2][1] = top - self.combs.head_space;
                let head = [room[0], room[1], [room[2][1], top]];
                let node = self.air(sketch, format!("{}: head space", stack.name), head);
                sketch.patch(head, Paint::Air(node), None);
                head_node = Some(node);
            }
            let (combs, zone, sides) = self.frames(sketch, stack, b, room, n)?;
            for side in sides {
                if let Some(other) = below {
                    links.push(ExtraLink {
                        conductance: self.combs.open_exchange * side.1,
                        ..self.open(other, side.0, room)
                    });
                }
                if n == last
                    && let Some(head) = head_node
                {
                    links.push(ExtraLink {
                        conductance: self.combs.open_exchange * side.1,
                        ..self.open(side.0, head, room)
                    });
                }
            }
            below = None;
            boxes.push(BoxSpace {
                bounds,
                combs,
                frames: b.frames,
                honey_capacity: f64::from(b.frames) * b.full_frame,
                fill_zone: Some(zone),
                air: None,
            });
        }
        self.lid(sketch, stack, p, length)?;
        StackSpace::of(
            stack,
            index,
            p,
            boxes,
            floor_node,
            head_node,
            &self.vents(stack, floor_node, head_node)?,
        )
    }

    /// Walls, ledge and cladding of one box; says what is left inside.
    fn walls(
        &self,
        sketch: &mut Sketch,
        stack: &Stack,
        b: &HiveBox,
        place: &BoxPlace,
        p: &StackPlace,
    ) -> Result<[[f64; 2]; 3], HiveError> {
        let [x0, x1] = place.x;
        let (y, z) = ([0.0, b.length], place.z);
        // Outside first: what is beside a narrower box, then cladding.
        let mut outer = [x0, x1];
        for (side, free) in [x0 - p.x[0], p.x[1] - x1].into_iter().enumerate() {
            if free < 1e-6 {
                continue;
            }
            let sign = if side == 0 { -1.0 } else { 1.0 };
            if let Some(filler) = &stack.ledge.filler {
                let t = filler.thickness.min(free);
                let layer = Layer {
                    material: filler.material.clone(),
                    thickness: t,
                };
                outer[side] =
                    self.layers(sketch, &[layer], [[0.0; 2], y, z], 0, place.x[side], sign)?;
            }
            if stack.ledge.shelf {
                let t = stack.ledge.shelf_thickness.min(z[1] - z[0]);
                let beyond = place.x[side] + sign * free;
                let x = [outer[side].min(beyond), outer[side].max(beyond)];
                sketch.solid([x, y, [z[1] - t, z[1]]], self.material("softwood")?);
            }
        }
        let c = &stack.cladding;
        for (side, layers) in [&c.left, &c.right].into_iter().enumerate() {
            if !p.joined[side] {
                let sign = if side == 0 { -1.0 } else { 1.0 };
                outer[side] =
                    self.layers(sketch, layers, [[0.0; 2], y, z], 0, outer[side], sign)?;
            }
        }
        self.layers(sketch, &c.front, [outer, [0.0; 2], z], 1, 0.0, -1.0)?;
        self.layers(sketch, &c.back, [outer, [0.0; 2], z], 1, b.length, 1.0)?;
        // The box's own walls, painted from the inside outwards.
        let t = thickness(&b.walls);
        let inside = [
            [x0 + thickness(&place.left), x1 - thickness(&place.right)],
            [t, b.length - t],
            z,
        ];
        self.layers(
            sketch,
            &b.walls,
            [place.x, [0.0; 2], z],
            1,
            inside[1][0],
            -1.0,
        )?;
        self.layers(
            sketch,
            &b.walls,
            [place.x, [0.0; 2], z],
            1,
            inside[1][1],
            1.0,
        )?;
        self.layers(
            sketch,
            &place.left,
            [[0.0; 2], inside[1], z],
            0,
            inside[0][0],
            -1.0,
        )?;
        self.layers(
            sketch,
            &place.right,
            [[0.0; 2], inside[1], z],
            0,
            inside[0][1],
            1.0,
        )?;
        Ok(inside)
    }

    /// Combs, followers and what is beside them. Says where the combs are, their fill zone, and side air spaces with
    /// their open area.
    #[allow(clippy::type_complexity)]
    fn frames(
        &self,
        sketch: &mut Sketch,
        stack: &Stack,
        b: &HiveBox,
        room: [[f64; 2]; 3],
        n: usize,
    ) -> Result<([[f64; 2]; 3], usize, Vec<(u16, f64)>), HiveError> {
        let [x, y, z] = room;
        let followers = f64::from(b.followers) * b.follower_thickness;
        let width = x[1] - x[0];
        let pitch = b.pitch.min((width - followers) / f64::from(b.frames));
        let misfit = |what, needs, has| HiveError::DoesNotFit {
            stack: stack.name.clone(),
            number: n + 1,
            what,
            needs,
            has,
        };
        if pitch < b.comb_thickness + LEAST_SEAM {
            return Err(misfit(
                "frames",
                f64::from(b.frames) * (b.comb_thickness + LEAST_SEAM) + followers,
                width,
            ));
        }
        if b.comb_length > y[1] - y[0] {
            return Err(misfit("the comb's length", b.comb_length, y[1] - y[0]));
        }
        if b.comb_height > b.depth {
            return Err(misfit("the comb's height", b.comb_height, b.depth));
        }
        let combs_wide = pitch * f64::from(b.frames);
        let free = width - combs_wide - followers;
        let (left, right) = match b.frames_at {
            FramesAt::Centre => (0.5 * free, 0.5 * free),
            FramesAt::Left => (0.0, free),
            FramesAt::Right => (free, 0.0),
        };
        // Followers stand at the free sides: one on the wider, two on both.
        let at_left = b.followers == 2 || (b.followers == 1 && left > right);
        let at_right = b.followers == 2 || (b.followers == 1 && !at_left);
        let follower = |here: bool| if here { b.follower_thickness } else { 0.0 };
        let from = x[0] + left + follower(at_left);
        let cx = [from, from + combs_wide];

        let column = CombColumn::of(b, pitch, z[1] - z[0], &self.combs, &self.materials)?;
        let fine = self.resolution == Resolution::Fine;
        let full = if fine { column.comb_full } else { column.full };
        sketch
            .fills
            .push((format!("{}: box {}", stack.name, n + 1), full));
        let zone = sketch.fills.len() - 1;
        for f in 0..b.frames {
            let x0 = cx[0] + pitch * f64::from(f);
            let at = [[x0, x0 + pitch], y, z];
            if fine {
                sketch.solid(at, column.seam);
                let half = 0.5 * (pitch - b.comb_thickness);
                sketch.patch(
                    [[x0 + half, x0 + pitch - half], y, z],
                    Paint::Solid(column.comb_empty),
                    Some(zone),
                );
            } else {
                sketch.patch(at, Paint::Solid(column.empty), Some(zone));
            }
        }
        let end = 0.5 * (y[1] - y[0] - b.comb_length);
        if end > 1e-3 {
            let ends = frame_ends(end, &self.combs, &self.materials)?;
            sketch.solid([cx, [y[0], y[0] + end], z], ends);
            sketch.solid([cx, [y[1] - end, y[1]], z], ends);
        }
        let board = self.material("softwood")?;
        let mut sides = Vec::new();
        for (wall, edge, here) in [(x[0], cx[0], at_left), (x[1], cx[1], at_right)] {
            let inward = (edge - wall).signum();
            let board_edge = edge - inward * follower(here);
            sketch.solid([[edge.min(board_edge), edge.max(board_edge)], y, z], board);
            let at = [[wall.min(board_edge), wall.max(board_edge)], y, z];
            let gap = (board_edge - wall).abs();
            if gap < 1e-4 {
                continue;
            }
            match &b.filler {
                Some(key) if gap > 0.5 * self.combs.narrow => sketch.solid(at, self.material(key)?),
                _ if gap <= self.combs.narrow => sketch.solid(at, narrow_space(gap, &self.combs)),
                _ => {
                    let node = self.air(
                        sketch,
                        format!("{}: beside the combs of box {}", stack.name, n + 1),
                        at,
                    );
                    sketch.patch(at, Paint::Air(node), None);
                    sides.push((node, gap * (y[1] - y[0])));
                }
            }
        }
        Ok((
            [cx, [y[0] + end.max(0.0), y[1] - end.max(0.0)], z],
            zone,
            sides,
        ))
    }

    fn lid(
        &self,
        sketch: &mut Sketch,
        stack: &Stack,
        p: &StackPlace,
        length: f64,
    ) -> Result<(), HiveError> {
        let Some(top) = p.boxes.last() else {
            return Ok(());
        };
        let at = [top.x, [0.0, length], [0.0; 2]];
        let z = self.layers(sketch, &stack.top, at, 2, p.head, 1.0)?;
        let under = z + stack.cover.space;
        if stack.cover.space > 1e-3 {
            let space = [top.x, [0.0, length], [z, under]];
            let resistance = airspace_resistance(stack.cover.space, HeatFlow::Up);
            sketch.solid(
                space,
                Solid {
                    k: [stack.cover.space / resistance; 3],
                    rho_c: AIR_HEAT_CAPACITY,
                },
            );
        }
        self.layers(sketch, &stack.cover.layers, at, 2, under, 1.0)?;
        Ok(())
    }

    /// What is between two stacks: the gap or the shared wall, and the lid where it is one over both.
    fn joint(
        &self,
        sketch: &mut Sketch,
        s: &Scenario,
        places: &[StackPlace],
        j: usize,
        joint: &Joint,
        shaded: u16,
    ) -> Result<(), HiveError> {
        let Joint::Butted {
            gap,
            state,
            wall,
            one_cover,
        } = joint
        else {
            return Ok(());
        };
        let (a, b) = (&places[j], &places[j + 1]);
        let length = |i: usize| {
            s.stacks[i]
                .boxes
                .iter()
                .map(|b| b.length)
                .fold(0.0, f64::max)
        };
        let y = [0.0, length(j).min(length(j + 1))];
        let x = [a.x[1], b.x[0]];
        let z = [a.floor_top.max(b.floor_top), a.head.min(b.head)];
        let named = |state| HiveError::GapContradiction {
            joint: j + 1,
            gap: *gap,
            state,
        };
        if let CentreWall::Shared(layers) = wall {
            self.layers(
                sketch,
                layers,
                [[0.0; 2], y, [0.0, a.head.max(b.head)]],
                0,
                x[0],
                1.0,
            )?;
        } else {
            match state {
                GapState::Touching if *gap > 1e-3 => return Err(named("touching")),
                GapState::Touching => {}
                GapState::Closed | GapState::Filled(_) | GapState::Open if *gap < 1e-4 => {}
                GapState::Closed => {
                    let k = gap / airspace_resistance(*gap, HeatFlow::Horizontal);
                    sketch.solid(
                        [x, y, z],
                        Solid {
                            k: [k; 3],
                            rho_c: AIR_HEAT_CAPACITY,
                        },
                    );
                }
                GapState::Filled(key) => sketch.solid([x, y, z], self.material(key)?),
                GapState::Open => sketch.patch([x, y, z], Paint::Outside(shaded), None),
            }
        }
        if *one_cover && (a.head - b.head).abs() < 1e-3 && x[1] > x[0] {
            // One lid: the left stack's layers go on over the gap.
            let lid = &s.stacks[j];
            let at = [x, y, [0.0; 2]];
            let top = self.layers(sketch, &lid.top, at, 2, a.head, 1.0)?;
            self.layers(sketch, &lid.cover.layers, at, 2, top + lid.cover.space, 1.0)?;
        }
        Ok(())
    }

    fn air(&self, sketch: &mut Sketch, name: String, at: [[f64; 2]; 3]) -> u16 {
        let size = at.map(|[a, b]| b - a);
        let level = size[0].min(size[1]);
        sketch.air(AirNode {
            name,
            capacity: 0.0,
            film_up: film(size[2], level, HeatFlow::Up),
            film_side: film(level, size[2], HeatFlow::Horizontal),
            film_down: film(size[2], level, HeatFlow::Down),
        })
    }

    fn open(&self, a: u16, b: u16, room: [[f64; 2]; 3]) -> ExtraLink {
        let area = (room[0][1] - room[0][0]) * (room[1][1] - room[1][0]);
        ExtraLink {
            a: NodeRef::Air(a),
            b: NodeRef::Air(b),
            conductance: self.combs.open_exchange * area,
        }
    }

    fn vents(
        &self,
        stack: &Stack,
        floor: Option<u16>,
        head: Option<u16>,
    ) -> Result<Vec<Vent>, HiveError> {
        let mut vents = Vec::new();
        for (i, o) in stack.openings.iter().enumerate() {
            let node = match o.place {
                OpeningPlace::Floor => floor,
                // A hole in a box of combs opens into seams that run straight up to the head space.
                OpeningPlace::Box(_) | OpeningPlace::Head => head,
            };
            // Over an open mesh there is no floor space to air: the combs' underside is outside already.
            let Some(air) = node else {
                if matches!(stack.floor, Floor::OpenMesh { .. }) {
                    continue;
                }
                return Err(HiveError::OpeningPlace {
                    stack: stack.name.clone(),
                    opening: i + 1,
                    what: "no air space".into(),
                });
            };
            vents.push(Vent {
                air,
                node: 0,
                area: o.area,
                height: o.height,
                z: o.z,
            });
        }
        Ok(vents)
    }
}
