//! Where everything of a stand is, in metres: pure geometry, before any grid.
//!
//! Stacks stand in a row along x. At a joint that is not apart the boxes of both stacks are flush with the joint, so a
//! narrower box leaves its ledge on the outer side; a stack with joints on both sides is flush on its left. Boxes are
//! flush at the front (y = 0).

use super::combs::CombParameters;
use super::error::HiveError;
use crate::stand::{CentreWall, Floor, FramesAt, HiveBox, Joint, Layer, Scenario, Stack};

/// Distance at which stacks that stand apart are set in one grid, m. Outside air between them decouples them whatever the
/// distance, so its size does not matter.
const APART: f64 = 1.0;
/// Spare room that is taken up by the pitch, and frame-end gaps that are left out, m.
const SLACK: f64 = 0.004;

/// From-to along x, y, z, m.
pub type Bounds = [[f64; 2]; 3];

/// The whole stand.
#[derive(Debug, Clone, PartialEq)]
pub struct Layout {
    /// Stacks, left to right.
    pub stacks: Vec<StackLayout>,
}

/// One stack.
#[derive(Debug, Clone, PartialEq)]
pub struct StackLayout {
    /// Outermost box faces along x, m.
    pub x: [f64; 2],
    /// Floor board, from 0 up, m; empty for a mesh floor.
    pub floor_board: [f64; 2],
    /// Free space under the lowest box, m; may be empty.
    pub floor_space: [f64; 2],
    /// Boxes, bottom to top.
    pub boxes: Vec<BoxLayout>,
    /// Layers above the frames, m.
    pub top: [f64; 2],
    /// Air under the cover, m; may be empty.
    pub cover_space: [f64; 2],
    /// Cover, m.
    pub cover: [f64; 2],
    /// What is on the left and right of it.
    pub sides: [SideLayout; 2],
}

/// What bounds a stack on its left or right.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SideLayout {
    /// Whether cladding goes on this side: nothing adjoins it.
    pub free: bool,
    /// Whether the box wall on this side is replaced by a centre wall shared with the neighbour.
    pub shared: bool,
    /// How far the cover reaches beyond the boxes, m.
    pub cover_reach: f64,
    /// How far the layers under the cover reach beyond the boxes, m.
    pub top_reach: f64,
    /// How far front and back cladding reach beyond the boxes, m.
    pub wrap_reach: f64,
    /// Whether the cover has a skirt on this side.
    pub skirt: bool,
}

/// One box.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxLayout {
    /// Outside, m.
    pub outer: Bounds,
    /// Inside of the walls, m.
    pub inner: Bounds,
    /// Thickness of ledge filler on its left and right, m.
    pub filler: [f64; 2],
    /// Combs, if it has frames.
    pub column: Option<ColumnLayout>,
}

/// Combs of one box with what is beside them.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnLayout {
    /// Comb column: combs, seams, bars and bee spaces as one body, m.
    pub block: Bounds,
    /// The combs themselves, m.
    pub comb: Bounds,
    /// Pitch as built (stretched or squeezed by up to a few millimetres to fit), m.
    pub pitch: f64,
    /// Follower boards: from-to along x, m.
    pub followers: Vec<[f64; 2]>,
    /// Spaces beside combs or followers: from-to along x, m.
    pub spaces: Vec<[f64; 2]>,
    /// Distance from comb ends to front and back wall, m; 0 when negligible.
    pub ends: f64,
}

/// Sum of thicknesses, m.
#[must_use]
pub fn thickness(layers: &[Layer]) -> f64 {
    layers.iter().map(|l| l.thickness).sum()
}

impl Layout {
    /// Places everything. Expects numbers within bounds (see the check before it).
    pub fn of(s: &Scenario, p: &CombParameters) -> Result<Self, HiveError> {
        let mut stacks = Vec::with_capacity(s.stacks.len());
        let mut at = 0.0;
        for (i, stack) in s.stacks.iter().enumerate() {
            let left = i.checked_sub(1).and_then(|j| s.joints.get(j));
            let right = s.joints.get(i);
            let placed = place_stack(stack, left, right, at, p)?;
            at = placed.x[1] + right.map_or(0.0, distance);
            stacks.push(placed);
        }
        Ok(Self { stacks })
    }
}

/// Distance between the outermost box faces of two stacks, m.
fn distance(joint: &Joint) -> f64 {
    match joint {
        Joint::Apart => APART,
        Joint::Adjoining {
            wall: CentreWall::Shared(layers),
            ..
        } => thickness(layers),
        Joint::Adjoining { gap, .. } => *gap,
    }
}

fn side(joint: Option<&Joint>, overhang: f64, skirt: f64) -> SideLayout {
    let free = SideLayout {
        free: true,
        shared: false,
        cover_reach: overhang,
        top_reach: 0.0,
        wrap_reach: 0.0,
        skirt: skirt > 0.0 && overhang > 0.0,
    };
    let Some(Joint::Adjoining {
        state,
        wall,
        one_cover,
        ..
    }) = joint
    else {
        return free;
    };
    let half = 0.5 * joint.map_or(0.0, distance);
    let shared = matches!(wall, CentreWall::Shared(_));
    let bridged = *one_cover || shared;
    let open = matches!(state, crate::stand::GapState::Open) && !shared;
    let cover_reach = if bridged { half } else { overhang.min(half) };
    SideLayout {
        free: false,
        shared,
        cover_reach,
        top_reach: if bridged { half } else { 0.0 },
        wrap_reach: if open { 0.0 } else { half },
        skirt: !bridged && skirt > 0.0 && cover_reach > 0.0,
    }
}

fn place_stack(
    s: &Stack,
    left: Option<&Joint>,
    right: Option<&Joint>,
    x0: f64,
    p: &CombParameters,
) -> Result<StackLayout, HiveError> {
    let sides = [left, right].map(|j| side(j, s.cover.overhang, s.cover.skirt));
    let widths: Vec<f64> = s.boxes.iter().map(|b| outer_width(b, &sides)).collect();
    let widest = widths.iter().copied().fold(0.0, f64::max);
    let x = [x0, x0 + widest];
    let flush_right = !sides[1].free && sides[0].free;
    let (board, space) = match &s.floor {
        Floor::Solid { layers, space } => (thickness(layers), *space),
        Floor::OpenMesh { space } => (0.0, *space),
    };
    let mut z = board + space;
    let mut boxes = Vec::with_capacity(s.boxes.len());
    for (i, (b, &width)) in s.boxes.iter().zip(&widths).enumerate() {
        let bx = if flush_right {
            [x[1] - width, x[1]]
        } else {
            [x[0], x[0] + width]
        };
        let wall = thickness(&b.walls);
        let outer = [bx, [0.0, b.length], [z, z + b.depth]];
        let inner = [
            [
                bx[0] + if sides[0].shared { 0.0 } else { wall },
                bx[1] - if sides[1].shared { 0.0 } else { wall },
            ],
            [wall, b.length - wall],
            outer[2],
        ];
        let fits = |axis: usize, across| {
            let inside = inner[axis][1] - inner[axis][0];
            if inside >= 0.02 {
                Ok(())
            } else {
                Err(HiveError::NoRoom {
                    stack: s.name.clone(),
                    number: i + 1,
                    across,
                    inside,
                })
            }
        };
        fits(0, "across the combs")?;
        fits(1, "along the combs")?;
        let filler = s.ledge.filler.as_ref().map_or(0.0, |f| f.thickness);
        let head = if i + 1 == s.boxes.len() {
            p.head_space
        } else {
            0.0
        };
        let column = if b.frames > 0 {
            Some(place_combs(&s.name, i, b, inner, head, p)?)
        } else {
            None
        };
        boxes.push(BoxLayout {
            outer,
            inner,
            filler: [filler.min(bx[0] - x[0]), filler.min(x[1] - bx[1])]
                .map(|t| if t < 1e-3 { 0.0 } else { t }),
            column,
        });
        z += b.depth;
    }
    let top = [z, z + thickness(&s.top)];
    let cover_space = [top[1], top[1] + s.cover.space];
    let cover = [cover_space[1], cover_space[1] + thickness(&s.cover.layers)];
    Ok(StackLayout {
        x,
        floor_board: [0.0, board],
        floor_space: [board, board + space],
        boxes,
        top,
        cover_space,
        cover,
        sides,
    })
}

/// Width of a box as built: a shared centre wall takes the place of the box's own wall, the inside stays as wide.
fn outer_width(b: &HiveBox, sides: &[SideLayout; 2]) -> f64 {
    b.width - thickness(&b.walls) * sides.iter().filter(|s| s.shared).count() as f64
}

fn place_combs(
    stack: &str,
    i: usize,
    b: &HiveBox,
    inner: Bounds,
    head: f64,
    p: &CombParameters,
) -> Result<ColumnLayout, HiveError> {
    let misfit = |what, needs, has| {
        Err(HiveError::DoesNotFit {
            stack: stack.to_owned(),
            number: i + 1,
            what,
            needs,
            has,
        })
    };
    let frames = f64::from(b.frames);
    let [width, length, depth] = inner.map(|r| r[1] - r[0]);
    let followers = f64::from(b.followers) * b.follower_thickness;
    let room = width - followers;
    // Combs must leave a seam a bee can use; 3 mm is less than any bee space.
    let least = frames * (b.comb_thickness + 0.003);
    if least > room + 1e-9 {
        return misfit("frames and follower boards", least + followers, width);
    }
    if b.pitch < b.comb_thickness + 0.003 {
        return misfit(
            "comb with a seam at this pitch",
            b.comb_thickness + 0.003,
            b.pitch,
        );
    }
    if b.comb_length > length + 1e-9 {
        return misfit("comb length", b.comb_length, length);
    }
    if b.comb_height > depth - head + 1e-9 {
        return misfit(
            "comb height with the bee space over it",
            b.comb_height + head,
            depth,
        );
    }
    let spare = room - frames * b.pitch;
    let pitch = if spare < SLACK {
        room / frames
    } else {
        b.pitch
    };
    let spare = spare.max(0.0) * f64::from(u8::from(spare >= SLACK));
    let (left, right) = match b.frames_at {
        FramesAt::Left => (0.0, spare),
        FramesAt::Right => (spare, 0.0),
        FramesAt::Centre => (0.5 * spare, 0.5 * spare),
    };
    // The first follower stands at the wider free side (right when both are the same), the second at the other.
    let right_first = b.frames_at != FramesAt::Right;
    let [follow_left, follow_right] = match (b.followers, right_first) {
        (0, _) => [false, false],
        (1, true) => [false, true],
        (1, false) => [true, false],
        _ => [true, true],
    };
    let t = b.follower_thickness;
    let start = inner[0][0] + left + if follow_left { t } else { 0.0 };
    let end = inner[0][1] - right - if follow_right { t } else { 0.0 };
    let mut boards = Vec::new();
    if follow_left {
        boards.push([start - t, start]);
    }
    if follow_right {
        boards.push([end, end + t]);
    }
    let mut spaces = Vec::new();
    if left > 0.0 {
        spaces.push([inner[0][0], inner[0][0] + left]);
    }
    if right > 0.0 {
        spaces.push([inner[0][1] - right, inner[0][1]]);
    }
    let ends = 0.5 * (length - b.comb_length);
    let ends = if ends < 0.5 * SLACK { 0.0 } else { ends };
    let z = [inner[2][0], inner[2][1] - head];
    let below = p.bottom_share * (z[1] - z[0] - b.comb_height);
    let y = [inner[1][0] + ends, inner[1][1] - ends];
    Ok(ColumnLayout {
        block: [[start, end], y, z],
        comb: [
            [start, end],
            y,
            [z[0] + below, z[0] + below + b.comb_height],
        ],
        pitch,
        followers: boards,
        spaces,
        ends,
    })
}
