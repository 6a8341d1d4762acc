//! Where the stacks stand: extents of every box along x, which sides touch a joint, how thick the outside layers are.

use super::HiveError;
use crate::scenario::model::{CentreWall, HiveBox, Joint, Layer, Scenario, Stack};

/// Free width between stacks that stand apart, m: far enough that they are out of each other's influence.
const APART: f64 = 1.0;

/// Extents of one box, walls included, m.
#[derive(Debug, Clone, PartialEq)]
pub struct BoxPlace {
    /// Outside extents along x.
    pub x: [f64; 2],
    /// Extents along z.
    pub z: [f64; 2],
    /// Wall layers of the left side, from the inside outwards; empty where a shared centre wall takes its place.
    pub left: Vec<Layer>,
    /// Wall layers of the right side.
    pub right: Vec<Layer>,
}

/// A stack in its place.
#[derive(Debug, Clone, PartialEq)]
pub struct StackPlace {
    /// Extents of its widest box, m.
    pub x: [f64; 2],
    /// Boxes, bottom to top.
    pub boxes: Vec<BoxPlace>,
    /// Whether its left and right side face a butted joint.
    pub joined: [bool; 2],
    /// Height of the floor's upper side, of the lowest box's lower edge, of the topmost box's upper edge, m.
    pub floor_top: f64,
    /// Lower edge of the lowest box, m.
    pub foot: f64,
    /// Upper edge of the topmost box, m.
    pub head: f64,
}

/// Sum of the thicknesses, m.
#[must_use]
pub fn thickness(layers: &[Layer]) -> f64 {
    layers.iter().map(|l| l.thickness).sum()
}

/// Places all stacks in a row. Boxes of unequal width align at the joint: the first stack of a row on its right, all
/// others on their left.
///
/// # Errors
/// Counts that do not match, a stack without boxes, a gap that contradicts its state.
pub fn place(s: &Scenario) -> Result<Vec<StackPlace>, HiveError> {
    const MOST: usize = 4;
    if s.stacks.is_empty() || s.stacks.len() > MOST {
        return Err(HiveError::StackCount {
            got: s.stacks.len(),
            most: MOST,
        });
    }
    if s.joints.len() + 1 != s.stacks.len() {
        return Err(HiveError::JointCount {
            stacks: s.stacks.len(),
            joints: s.joints.len(),
        });
    }
    let mut left = 0.0;
    let mut places = Vec::new();
    for (i, stack) in s.stacks.iter().enumerate() {
        let before = i.checked_sub(1).map(|j| &s.joints[j]);
        let after = s.joints.get(i);
        let widest = stack.boxes.iter().map(|b| b.width).fold(f64::NAN, f64::max);
        if !widest.is_finite() {
            return Err(HiveError::NoBox {
                stack: stack.name.clone(),
            });
        }
        let shared = [is_shared(before), is_shared(after)];
        let at_right = i == 0 && s.stacks.len() > 1;
        let place = one(
            stack,
            left,
            widest,
            at_right,
            shared,
            [butted(before), butted(after)],
        );
        left = place.x[1]
            + match after {
                None => 0.0,
                Some(Joint::Apart) => APART,
                Some(Joint::Butted { gap, wall, .. }) => match wall {
                    CentreWall::BoxWalls => *gap,
                    CentreWall::Shared(layers) => thickness(layers),
                },
            };
        places.push(place);
    }
    Ok(places)
}

fn one(
    stack: &Stack,
    left: f64,
    widest: f64,
    at_right: bool,
    shared: [bool; 2],
    joined: [bool; 2],
) -> StackPlace {
    use crate::scenario::model::Floor;
    let (floor, space) = match &stack.floor {
        Floor::Solid { layers, space } => (thickness(layers), *space),
        Floor::OpenMesh { space } => (0.0, *space),
    };
    // A shared wall takes the place of the box's own.
    let cut = |b: &HiveBox| {
        [0, 1].map(|side| {
            if shared[side] {
                thickness(&b.walls)
            } else {
                0.0
            }
        })
    };
    let width = |b: &HiveBox| b.width - cut(b)[0] - cut(b)[1];
    let full = stack
        .boxes
        .iter()
        .map(&width)
        .fold(0.0, f64::max)
        .min(widest);
    let mut z = floor + space;
    let foot = z;
    let boxes = stack
        .boxes
        .iter()
        .map(|b| {
            let x0 = if at_right {
                left + full - width(b)
            } else {
                left
            };
            let from = z;
            z += b.depth;
            BoxPlace {
                x: [x0, x0 + width(b)],
                z: [from, z],
                left: if shared[0] {
                    Vec::new()
                } else {
                    b.walls.clone()
                },
                right: if shared[1] {
                    Vec::new()
                } else {
                    b.walls.clone()
                },
            }
        })
        .collect();
    StackPlace {
        x: [left, left + full],
        boxes,
        joined,
        floor_top: floor,
        foot,
        head: z,
    }
}

fn butted(j: Option<&Joint>) -> bool {
    matches!(j, Some(Joint::Butted { .. }))
}

fn is_shared(j: Option<&Joint>) -> bool {
    matches!(
        j,
        Some(Joint::Butted {
            wall: CentreWall::Shared(_),
            ..
        })
    )
}
