//! From a hive and one hour of it to what the cutaway and the view of the frames draw.

use super::cutaway::{CutCluster, CutPanel, between_words};
use super::drawing::{Point, Span};
use super::frames::{FramePanel, FrameRow};
use super::plan::{Comb, Rect, Tile};
use super::strip::StripHive;
use crate::text;
use partywall_core::colony::stores::Cell;
use partywall_core::hive::layout::{Layout, StackLayout, thickness};
use partywall_core::hive::{Hive, HiveError, StackAir};
use partywall_core::season::MovingAir;
use partywall_core::season::snapshot::{Inside, Seated, Snapshot};
use partywall_core::stand::{CentreWall, Joint, Scenario};

/// Distance at which hives that stand apart are drawn, m; in the model it is so wide that neither feels the other.
const DRAWN_APART: f64 = 0.12;
/// From the end of the comb to the places whose temperature is printed, m.
const IN_FROM_END: f64 = 0.045;

/// Where a stack is drawn: how far it is moved across, m, and the stretch that is its own.
#[derive(Clone, Copy)]
struct Own {
    shift: f64,
    x: Span,
}

impl Own {
    fn moved(self, x: Span) -> Span {
        x.map(|v| v + self.shift)
    }
}

fn own(s: &Scenario, layout: &Layout) -> Vec<Own> {
    let mut shift = 0.0;
    let stacks = &layout.stacks;
    let border = |i: usize| match (stacks.get(i), stacks.get(i + 1)) {
        (Some(a), Some(b)) => 0.5 * (a.x[1] + b.x[0]),
        _ => f64::INFINITY,
    };
    let mut from = f64::NEG_INFINITY;
    (0..stacks.len())
        .map(|i| {
            if let Some(before) = i.checked_sub(1)
                && matches!(s.joints.get(before), Some(Joint::Apart))
            {
                shift -= stacks[i].x[0] - stacks[before].x[1] - DRAWN_APART;
            }
            let x = [from, border(i)];
            from = x[1];
            Own { shift, x }
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
        outdoor_c: first.moment.outdoor_c,
        ..CutPanel::default()
    };
    let mut lids_so_far: Vec<Rect> = Vec::new();
    for (i, (placed, own)) in layout.stacks.iter().zip(&own).enumerate() {
        let inside = of_stack(snapshot, i);
        let bounds = hive.stacks[i].bounds;
        let y = inside.map_or(middle(bounds[1]), |c| c.seated.centre[1]);
        tiles(&mut panel, hive, snapshot, own, y);
        edges(&mut panel, s, placed, i, *own);
        for lid in lids(placed, own.shift) {
            // One lid over two hives is one board.
            match lids_so_far
                .iter_mut()
                .find(|l| (l[0][1] - lid[0][0]).abs() < 1e-6 && (l[1][0] - lid[1][0]).abs() < 1e-6)
            {
                Some(l) if (l[1][1] - lid[1][1]).abs() < 1e-6 => l[0][1] = lid[0][1],
                _ => lids_so_far.push(lid),
            }
        }
        let names = &mut panel.names;
        names.push((s.stacks[i].name.clone(), own.moved(placed.x)));
        if let Some(moving) = snapshot.air.get(i) {
            panel.air.push(LITRES * moving.fresh);
            streams(&mut panel, &hive.stacks[i].air, moving, own.shift);
        }
        if let Some(c) = inside {
            combs(&mut panel, &c.seated, hive, i, *own);
            let ball = c.seated.ball();
            let outline = hive.stacks[i].region.outline(&ball, 2, ball.seat[1]);
            panel.clusters.push(CutCluster {
                outline: shifted(outline, own.shift),
                core_c: c.moment.core_c,
                mantle_c: c.moment.mantle_c,
            });
        }
        // Places whose temperature is printed: in the middle of each box, near both ends of its combs.
        for [x, _, z] in hive.stacks[i].boxes.iter().filter_map(|b| b.comb) {
            for x in [x[0] + IN_FROM_END, x[1] - IN_FROM_END] {
                let c = temperature(hive, snapshot, [x, y, middle(z)]);
                let at = [x + own.shift, middle(z)];
                panel.numbers.extend(c.map(|c| (at, c)));
            }
        }
    }
    panel.edges.extend(lids_so_far);
    for (j, joint) in s.joints.iter().enumerate() {
        let Joint::Adjoining { gap, wall, .. } = joint else {
            continue;
        };
        let x = middle([layout.stacks[j].x[1], layout.stacks[j + 1].x[0]]);
        let [_, y, z] = hive.stacks[j].bounds.map(middle);
        let gap = match wall {
            CentreWall::Shared(_) => 0.0,
            CentreWall::BoxWalls => *gap,
        };
        let words = between_words(gap, temperature(hive, snapshot, [x, y, z]));
        panel.between.push((x + own[j].shift, words));
    }
    Ok(Some(panel))
}

/// Litres a minute of a kilogram of cold air a second (1.3 kg/m3).
const LITRES: f64 = 60_000.0 / 1.3;
/// Part of the way between two spaces that an arrow takes.
const DRAWN: f64 = 0.7;

/// Air that rises and sinks between the spaces of a stack, as arrows.
fn streams(panel: &mut CutPanel, air: &StackAir, moving: &MovingAir, shift: f64) {
    for (way, flow) in air.ways.channels.iter().zip(&moving.channels) {
        let [a, b] = way.ends.map(|s| &air.spaces[s]);
        let (Some(one), Some(other)) = (a.across(), b.across()) else {
            continue;
        };
        let [low, high] = [a, b].map(|s| middle(s.z));
        if (high - low).abs() < 0.02 {
            continue;
        }
        // In the narrower of the two.
        let x = if one[1] - one[0] < other[1] - other[0] {
            one
        } else {
            other
        };
        let half = 0.5 * DRAWN * (high - low);
        let (at, z) = (middle(x) + shift, middle([low, high]));
        let up = [[at, z - half], [at, z + half]];
        let ends = if *flow > 0.0 { up } else { [up[1], up[0]] };
        panel.streams.push((ends, LITRES * flow.abs()));
    }
}

fn middle(ends: Span) -> f64 {
    0.5 * (ends[0] + ends[1])
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
                let at = [own.moved(x), [grid.z[k], grid.z[k + 1]]];
                panel.tiles.push(Tile { at, c: *c });
            }
        }
    }
}

/// Floor, boxes and what is around them.
fn edges(panel: &mut CutPanel, s: &Scenario, placed: &StackLayout, i: usize, own: Own) {
    let cladding = &s.stacks[i].cladding;
    let clad = [&cladding.left, &cladding.right].map(|l| thickness(l));
    let sides = &placed.sides;
    let mut put = |x: Span, z: Span| {
        if x[1] - x[0] > 5e-4 && z[1] - z[0] > 5e-4 {
            panel.edges.push([own.moved(x), z]);
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
fn lids(placed: &StackLayout, shift: f64) -> Vec<Rect> {
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

/// A comb of cells that follow one another along an axis of the hive, drawn between the ends `across` and `along`, m; `None` without a
/// cell. Neighbours alike in how full they are make one stretch.
fn comb<'a>(
    cells: impl Iterator<Item = &'a Cell>,
    axis: usize,
    [across, along]: Rect,
) -> Option<Comb> {
    let mut at: Vec<(f64, f64, f64)> = Vec::new();
    for c in cells {
        match at.iter_mut().find(|(v, ..)| (*v - c.at[axis]).abs() < 1e-9) {
            Some((_, left, room)) => {
                *left += c.left;
                *room += c.room;
            }
            None => at.push((c.at[axis], c.left, c.room)),
        }
    }
    let half = 0.5 * (along[1] - along[0]) / at.len() as f64;
    let mut honey: Vec<(Span, f64)> = Vec::new();
    for (v, left, room) in &at {
        let share = if *room > 0.0 { left / room } else { 0.0 };
        match honey.last_mut() {
            Some((last, s)) if (*s - share).abs() < 0.02 && (v - half - last[1]).abs() < 1e-6 => {
                last[1] = v + half;
            }
            _ => honey.push(([v - half, v + half], share)),
        }
    }
    (!at.is_empty()).then(|| Comb {
        at: [across, along],
        honey,
        kg: at.iter().map(|(_, left, _)| left).sum(),
    })
}

/// From-to across of a comb about its middle, m.
fn thick(x: f64, thickness: f64) -> Span {
    [x - 0.5 * thickness, x + 0.5 * thickness]
}

/// The combs of a stack in the plane of its cluster's middle.
fn combs(panel: &mut CutPanel, seated: &Seated, hive: &Hive, stack: usize, own: Own) {
    let framed = hive.stacks[stack].boxes.iter();
    let framed = framed.filter(|b| b.comb.is_some());
    for (b, (made, space)) in seated.combs.iter().zip(framed).enumerate() {
        for (f, x) in made.frames_x.iter().enumerate() {
            let frame = Some((b as u16, f as u16));
            let here = || seated.cells.iter().filter(move |c| c.frame == frame);
            let off = |c: &Cell| (c.at[1] - seated.centre[1]).abs();
            let near = here().min_by(|p, q| off(p).total_cmp(&off(q)));
            let column = here().filter(|c| near.is_some_and(|n| (c.at[1] - n.at[1]).abs() < 1e-9));
            let across = own.moved(thick(*x, space.comb_thickness));
            panel.combs.extend(comb(column, 2, [across, made.z]));
        }
    }
}

/// Rows of boxes from the top down, each with the combs of every stack that has a box there.
#[must_use]
pub fn frames(s: &Scenario, hive: &Hive, snapshot: &Snapshot, layout: &Layout) -> Vec<FrameRow> {
    let own = own(s, layout);
    let most = s.stacks.iter().map(|s| s.boxes.len()).max().unwrap_or(0);
    let rows = (0..most).rev().map(|level| FrameRow {
        name: match (level, most) {
            (_, 1) => text!("pictures.box"),
            (0, _) => text!("pictures.lowest_box"),
            (l, n) if l + 1 == n => text!("pictures.top_box"),
            (l, _) => text!("pictures.box_from_below", number = l + 1),
        },
        panels: snapshot
            .at_start
            .iter()
            .filter_map(|seated| frame_panel(s, hive, snapshot, layout, &own, (seated, level)))
            .collect(),
    });
    rows.filter(|row| !row.panels.is_empty()).collect()
}

/// The box of a stack on a level, if it has one there.
fn frame_panel(
    s: &Scenario,
    hive: &Hive,
    snapshot: &Snapshot,
    layout: &Layout,
    own: &[Own],
    (seated, level): (&Seated, usize),
) -> Option<FramePanel> {
    let i = seated.stack;
    let (placed, boxes) = (layout.stacks[i].boxes.get(level)?, &hive.stacks[i].boxes);
    let space = boxes.get(level)?;
    let framed = boxes[..level].iter().filter(|b| b.comb.is_some()).count();
    let made = seated.combs.get(framed).filter(|_| space.comb.is_some());
    let own = own[i];
    // Where it is widest in the box.
    let outline = |c: &Seated| {
        let z = made.map_or(placed.inner[2], |m| m.z);
        let region = &hive.stacks[i].region;
        let outline = region.outline(&c.ball(), 1, c.centre[2].clamp(z[0], z[1]));
        shifted(outline, own.shift)
    };
    let combs = made.into_iter().flat_map(|m| {
        m.frames_x.iter().enumerate().filter_map(|(f, x)| {
            let frame = Some((framed as u16, f as u16));
            let cells = seated.cells.iter().filter(|c| c.frame == frame);
            let across = own.moved(thick(*x, space.comb_thickness));
            comb(cells, 1, [across, m.y])
        })
    });
    Some(FramePanel {
        hive: s.stacks[i].name.clone(),
        pattern: s.stacks[i].boxes[level].pattern.clone(),
        outer: [own.moved(placed.outer[0]), placed.outer[1]],
        inner: [own.moved(placed.inner[0]), placed.inner[1]],
        combs: combs.collect(),
        clusters: [
            outline(seated),
            of_stack(snapshot, i).map_or_else(Vec::new, |c| outline(&c.seated)),
        ],
    })
}

/// An outline in the axes of the picture.
fn shifted(outline: Vec<Point>, by: f64) -> Vec<Point> {
    outline.into_iter().map(|[x, v]| [x + by, v]).collect()
}

/// The combs of every stack with a colony, as the winter strip draws them.
#[must_use]
pub fn strip_hives(s: &Scenario, hive: &Hive) -> Vec<StripHive> {
    s.stacks
        .iter()
        .zip(&hive.stacks)
        .filter(|(stack, _)| stack.colony.is_some())
        .map(|(stack, space)| {
            let combs = space.boxes.iter().flat_map(|b| {
                let [x, _, z] = b.comb.unwrap_or_default();
                let pitch = (x[1] - x[0]) / f64::from(b.frames.max(1));
                let frames = (0..b.frames).filter(|_| b.comb.is_some());
                frames.map(move |f| {
                    let middle = x[0] + (f64::from(f) + 0.5) * pitch;
                    [thick(middle, b.comb_thickness), z]
                })
            });
            StripHive {
                name: stack.name.clone(),
                combs: combs.collect(),
                region: space.region.clone(),
            }
        })
        .collect()
}
