//! From a hive and one hour of it to what the cutaway and the view of the frames draw.

use super::cutaway::{CutCluster, CutComb, CutPanel, Tile, between_words};
use super::frames::{FramePanel, FrameRow};
use super::strip::StripHive;
use partywall_core::hive::layout::{Layout, StackLayout, thickness};
use partywall_core::hive::{Hive, HiveError};
use partywall_core::season::snapshot::{Inside, Seated, Snapshot};
use partywall_core::stand::{CentreWall, Joint, Scenario};

/// Distance at which hives that stand apart are drawn, m; in the model it is so wide that neither feels the other.
const DRAWN_APART: f64 = 0.12;
/// From the end of the comb to the places whose temperature is printed, m.
const IN_FROM_END: f64 = 0.045;

/// Where each stack is drawn: how far it is moved across, m, and the stretch that is its own.
struct Own {
    shift: f64,
    x: [f64; 2],
}

fn own(s: &Scenario, layout: &Layout) -> Vec<Own> {
    let mut shift = 0.0;
    let stacks = &layout.stacks;
    (0..stacks.len())
        .map(|i| {
            let middle = |a: &StackLayout, b: &StackLayout| 0.5 * (a.x[1] + b.x[0]);
            if let Some(before) = i.checked_sub(1)
                && matches!(s.joints.get(before), Some(Joint::Apart))
            {
                shift -= stacks[i].x[0] - stacks[before].x[1] - DRAWN_APART;
            }
            let before = i.checked_sub(1).and_then(|b| stacks.get(b));
            Own {
                shift,
                x: [
                    before.map_or(f64::NEG_INFINITY, |b| middle(b, &stacks[i])),
                    stacks
                        .get(i + 1)
                        .map_or(f64::INFINITY, |n| middle(&stacks[i], n)),
                ],
            }
        })
        .collect()
}

fn of_stack(snapshot: &Snapshot, stack: usize) -> Option<&Inside> {
    snapshot.colonies.iter().find(|c| c.seated.stack == stack)
}

/// The panel of the cutaway; `None` when there is no colony in it.
///
/// # Errors
/// A layout that cannot be, which the building of the hive would have refused.
pub fn cut(
    name: &str,
    s: &Scenario,
    hive: &Hive,
    snapshot: &Snapshot,
) -> Result<Option<CutPanel>, HiveError> {
    let Some(first) = snapshot.colonies.first() else {
        return Ok(None);
    };
    let layout = Layout::of(s, &hive.combs)?;
    let own = own(s, &layout);
    let mut panel = CutPanel {
        name: name.to_owned(),
        time: first.moment.time,
        outside_c: first.moment.outside_c,
        ..CutPanel::default()
    };
    let mut lids_so_far: Vec<[[f64; 2]; 2]> = Vec::new();
    for (i, placed) in layout.stacks.iter().enumerate() {
        let inside = of_stack(snapshot, i);
        let y = inside.map_or_else(
            || {
                let b = hive.stacks[i].bounds[1];
                0.5 * (b[0] + b[1])
            },
            |c| c.seated.centre[1],
        );
        tiles(&mut panel, hive, snapshot, &own[i], y);
        edges(&mut panel, s, placed, i, own[i].shift);
        for lid in lids(placed, own[i].shift) {
            // One lid over two hives is one board.
            match lids_so_far
                .iter_mut()
                .find(|l| (l[0][1] - lid[0][0]).abs() < 1e-6 && (l[1][0] - lid[1][0]).abs() < 1e-6)
            {
                Some(l) if (l[1][1] - lid[1][1]).abs() < 1e-6 => l[0][1] = lid[0][1],
                _ => lids_so_far.push(lid),
            }
        }
        let moved = |x: [f64; 2]| x.map(|v| v + own[i].shift);
        panel
            .names
            .push((s.stacks[i].name.clone(), moved(placed.x)));
        if let Some(c) = inside {
            combs(&mut panel, &c.seated, hive, i, own[i].shift);
            let b = hive.stacks[i].bounds;
            let [x, _, z] = c.seated.centre;
            panel.clusters.push(CutCluster {
                centre: [x + own[i].shift, z],
                radius: c.seated.radius,
                walls: [moved(b[0]), b[2]],
                core_c: c.moment.core_c,
                mantle_c: c.moment.mantle_c,
            });
        }
        numbers(&mut panel, hive, snapshot, i, y, own[i].shift);
    }
    panel.edges.extend(lids_so_far);
    for (j, joint) in s.joints.iter().enumerate() {
        let Joint::Butted { gap, wall, .. } = joint else {
            continue;
        };
        let (a, b) = (&layout.stacks[j], &layout.stacks[j + 1]);
        let x = 0.5 * (a.x[1] + b.x[0]);
        let bounds = hive.stacks[j].bounds;
        let at = [
            x,
            0.5 * (bounds[1][0] + bounds[1][1]),
            0.5 * (bounds[2][0] + bounds[2][1]),
        ];
        let wall_c = temperature(hive, snapshot, at);
        let gap = match wall {
            CentreWall::Shared(_) => 0.0,
            CentreWall::BoxWalls => *gap,
        };
        panel
            .between
            .push((x + own[j].shift, between_words(gap, wall_c)));
    }
    Ok(Some(panel))
}

/// Temperature at a point, degC; `None` outside the hives.
fn temperature(hive: &Hive, snapshot: &Snapshot, at: [f64; 3]) -> Option<f64> {
    let [i, j, k] = hive.grid.locate(at)?;
    let node = hive.network.node_at(hive.grid.index(i, j, k))?;
    snapshot.node_c.get(node).copied()
}

fn tiles(panel: &mut CutPanel, hive: &Hive, snapshot: &Snapshot, own: &Own, y: f64) {
    let grid = &hive.grid;
    let [nx, ny, nz] = grid.shape();
    let j = (0..ny).find(|&j| grid.y[j + 1] > y).unwrap_or(ny - 1);
    for i in 0..nx {
        let x = [grid.x[i].max(own.x[0]), grid.x[i + 1].min(own.x[1])];
        if x[1] - x[0] < 1e-9 {
            continue;
        }
        for k in 0..nz {
            let node = hive.network.node_at(grid.index(i, j, k));
            if let Some(c) = node.and_then(|n| snapshot.node_c.get(n)) {
                panel.tiles.push(Tile {
                    x: x.map(|v| v + own.shift),
                    z: [grid.z[k], grid.z[k + 1]],
                    c: *c,
                });
            }
        }
    }
}

/// Floor, boxes and what is around them.
fn edges(panel: &mut CutPanel, s: &Scenario, placed: &StackLayout, i: usize, shift: f64) {
    let cladding = &s.stacks[i].cladding;
    let clad = [&cladding.left, &cladding.right].map(|l| thickness(l));
    let sides = &placed.sides;
    let mut put = |x: [f64; 2], z: [f64; 2]| {
        if x[1] - x[0] > 5e-4 && z[1] - z[0] > 5e-4 {
            panel.edges.push([x.map(|v| v + shift), z]);
        }
    };
    put(placed.x, placed.floor_board);
    put(placed.x, placed.floor_space);
    for b in &placed.boxes {
        put(b.outer[0], b.outer[2]);
        put(b.inner[0], b.inner[2]);
        for (side, clad) in clad.into_iter().enumerate() {
            if sides[side].free && clad > 0.0 {
                let at = b.outer[0][side];
                let x = [[at - clad, at], [at, at + clad]];
                put(x[side], b.outer[2]);
            }
        }
        if let Some(c) = &b.column {
            for f in &c.followers {
                put(*f, b.inner[2]);
            }
        }
    }
}

/// The layers over the frames and the cover.
fn lids(placed: &StackLayout, shift: f64) -> Vec<[[f64; 2]; 2]> {
    let [left, right] = &placed.sides;
    let reach = |by: [f64; 2]| [placed.x[0] - by[0] + shift, placed.x[1] + by[1] + shift];
    [
        [reach([left.top_reach, right.top_reach]), placed.top],
        [reach([left.cover_reach, right.cover_reach]), placed.cover],
    ]
    .into_iter()
    .filter(|[_, z]| z[1] - z[0] > 5e-4)
    .collect()
}

/// The combs of a stack in the plane of its cluster's middle.
fn combs(panel: &mut CutPanel, seated: &Seated, hive: &Hive, stack: usize, shift: f64) {
    let space = &hive.stacks[stack];
    let framed = space.boxes.iter().filter(|b| b.comb.is_some());
    for (b, (made, space)) in seated.combs.iter().zip(framed).enumerate() {
        let half = 0.5 * space.comb_thickness;
        for (f, x) in made.frames_x.iter().enumerate() {
            let frame = Some((b as u16, f as u16));
            let here = || seated.cells.iter().filter(move |c| c.frame == frame);
            let near = here().min_by(|p, q| {
                let off =
                    |c: &partywall_core::colony::stores::Cell| (c.at[1] - seated.centre[1]).abs();
                off(p).total_cmp(&off(q))
            });
            let Some(y) = near.map(|c| c.at[1]) else {
                continue;
            };
            let column: Vec<_> = here().filter(|c| (c.at[1] - y).abs() < 1e-9).collect();
            let tall = (made.z[1] - made.z[0]) / column.len().max(1) as f64;
            let mut honey: Vec<([f64; 2], f64)> = Vec::new();
            for c in column {
                let share = if c.room > 0.0 { c.left / c.room } else { 0.0 };
                let z = [c.at[2] - 0.5 * tall, c.at[2] + 0.5 * tall];
                match honey.last_mut() {
                    Some((last, s)) if (*s - share).abs() < 0.02 => last[1] = z[1],
                    _ => honey.push((z, share)),
                }
            }
            panel.combs.push(CutComb {
                x: [x - half + shift, x + half + shift],
                z: made.z,
                honey,
            });
        }
    }
}

/// Places whose temperature is printed: the corners of the combs of the top and the lowest box, and their sides.
fn numbers(
    panel: &mut CutPanel,
    hive: &Hive,
    snapshot: &Snapshot,
    stack: usize,
    y: f64,
    shift: f64,
) {
    for b in hive.stacks[stack].boxes.iter() {
        let Some([x, _, z]) = b.comb else { continue };
        let middle = 0.5 * (z[0] + z[1]);
        for x in [x[0] + IN_FROM_END, x[1] - IN_FROM_END] {
            if let Some(c) = temperature(hive, snapshot, [x, y, middle]) {
                panel.numbers.push(([x + shift, middle], c));
            }
        }
    }
}

/// Rows of boxes from the top down, each with the combs of every stack that has a box there.
#[must_use]
pub fn frames(s: &Scenario, hive: &Hive, snapshot: &Snapshot, layout: &Layout) -> Vec<FrameRow> {
    let own = own(s, layout);
    let most = s.stacks.iter().map(|s| s.boxes.len()).max().unwrap_or(0);
    let mut rows = Vec::new();
    for level in (0..most).rev() {
        let mut panels = Vec::new();
        for seated in &snapshot.at_start {
            let i = seated.stack;
            let (Some(placed), Some(space)) = (
                layout.stacks[i].boxes.get(level),
                hive.stacks[i].boxes.get(level),
            ) else {
                continue;
            };
            let framed = hive.stacks[i].boxes[..level]
                .iter()
                .filter(|b| b.comb.is_some())
                .count();
            let made = seated.combs.get(framed).filter(|_| space.comb.is_some());
            let later = of_stack(snapshot, i).map(|c| &c.seated);
            let shift = own[i].shift;
            let moved = |x: [f64; 2]| x.map(|v| v + shift);
            let b = hive.stacks[i].bounds;
            let circle = |c: &Seated| {
                let z = made.map_or(placed.inner[2], |m| m.z);
                let off = (z[0] - c.centre[2]).max(c.centre[2] - z[1]).max(0.0);
                let square = c.radius * c.radius - off * off;
                (square > 1e-6).then(|| ([c.centre[0] + shift, c.centre[1]], square.sqrt()))
            };
            panels.push(FramePanel {
                hive: s.stacks[i].name.clone(),
                pattern: s.stacks[i].boxes[level].pattern.clone(),
                outer: [moved(placed.outer[0]), placed.outer[1]],
                inner: [moved(placed.inner[0]), placed.inner[1]],
                thickness: space.comb_thickness,
                frames: made.map_or_else(Vec::new, |m| {
                    m.frames_x
                        .iter()
                        .enumerate()
                        .map(|(f, x)| (x + shift, columns(seated, framed, f, m.y)))
                        .collect()
                }),
                walls: [moved(b[0]), b[1]],
                at_start: circle(seated),
                later: later.and_then(circle),
            });
        }
        if !panels.is_empty() {
            rows.push(FrameRow {
                name: match (level, most) {
                    (_, 1) => "The box".to_owned(),
                    (0, _) => "Lowest box".to_owned(),
                    (l, n) if l + 1 == n => "Top box".to_owned(),
                    (l, _) => format!("Box {} from below", l + 1),
                },
                panels,
            });
        }
    }
    rows
}

/// Honey of a comb seen from above: from-to along it, m, kg there, and how full, 0 to 1.
fn columns(seated: &Seated, b: usize, f: usize, y: [f64; 2]) -> Vec<([f64; 2], f64, f64)> {
    let frame = Some((b as u16, f as u16));
    let mut at: Vec<(f64, f64, f64)> = Vec::new();
    for c in seated.cells.iter().filter(|c| c.frame == frame) {
        match at.iter_mut().find(|(y, _, _)| (*y - c.at[1]).abs() < 1e-9) {
            Some((_, left, room)) => {
                *left += c.left;
                *room += c.room;
            }
            None => at.push((c.at[1], c.left, c.room)),
        }
    }
    let half = 0.5 * (y[1] - y[0]) / at.len().max(1) as f64;
    at.into_iter()
        .map(|(y, left, room)| {
            let share = if room > 0.0 { left / room } else { 0.0 };
            ([y - half, y + half], left, share)
        })
        .collect()
}

/// The combs of every stack with a colony, as the winter strip draws them.
#[must_use]
pub fn strip_hives(s: &Scenario, hive: &Hive) -> Vec<StripHive> {
    s.stacks
        .iter()
        .zip(&hive.stacks)
        .filter(|(stack, _)| stack.colony.is_some())
        .map(|(stack, space)| {
            let mut combs = Vec::new();
            for b in &space.boxes {
                let (Some([x, _, z]), half) = (b.comb, 0.5 * b.comb_thickness) else {
                    continue;
                };
                let pitch = (x[1] - x[0]) / f64::from(b.frames.max(1));
                combs.extend((0..b.frames).map(|f| {
                    let middle = x[0] + (f64::from(f) + 0.5) * pitch;
                    [[middle - half, middle + half], z]
                }));
            }
            StripHive {
                name: stack.name.clone(),
                combs,
                walls: [space.bounds[0], space.bounds[2]],
            }
        })
        .collect()
}
