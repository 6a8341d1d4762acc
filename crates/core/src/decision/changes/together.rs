//! What is between two hives: gap, lid, centre wall, together or apart.

use super::{Gather, Group, Patch, USUAL_FOAM, layers_text, mm};
use crate::stand::{CentreWall, GapState, Joint, Layer, Stack};
use std::fmt::Write;

/// A thin centre wall, mm of plywood.
const THIN_WALL: f64 = 6.0;
/// Foam between two hives, m.
const FOAM_BETWEEN: f64 = 0.025;
/// Heights that differ by less lie under one lid, m.
const ONE_HEIGHT: f64 = 0.010;

const DRIFT: &str = "bees drift, and disease and robbers go both ways";

fn joint_text(j: &Joint) -> String {
    let Joint::Adjoining {
        gap,
        state,
        wall,
        one_cover,
    } = j
    else {
        return "{ state = \"apart\" }".to_owned();
    };
    let mut t = match state {
        GapState::Touching => "{ state = \"touching\"".to_owned(),
        GapState::Closed => "{ state = \"closed\"".to_owned(),
        GapState::Open => "{ state = \"open\"".to_owned(),
        GapState::Filled(m) => format!("{{ state = \"foam\", filler = \"{m}\""),
    };
    if *gap > 0.0 {
        let _ = write!(t, ", gap = \"{}\"", mm(*gap));
    }
    if let CentreWall::Shared(layers) = wall {
        let _ = write!(t, ", centre_wall = {}", layers_text(layers));
    }
    let _ = write!(t, ", one_cover = {one_cover} }}");
    t
}

fn height(k: &Stack) -> f64 {
    k.boxes.iter().map(|b| b.depth).sum()
}

impl Gather<'_> {
    fn with_joint(&self, i: usize, new: &Joint) -> Patch {
        let all: Vec<String> = self
            .s
            .joints
            .iter()
            .enumerate()
            .map(|(k, j)| joint_text(if k == i { new } else { j }))
            .collect();
        self.pinned()
            .with("between", format!("[{}]", all.join(", ")))
    }

    pub(super) fn joints(&mut self) {
        for i in 0..self.s.joints.len() {
            let (a, b) = (&self.s.stacks[i], &self.s.stacks[i + 1]);
            let pair = format!("{} and {}", a.name, b.name);
            let level = (height(a) - height(b)).abs() <= ONE_HEIGHT;
            let lids = a.cover.overhang + b.cover.overhang;
            let Joint::Adjoining {
                gap,
                state,
                wall,
                one_cover,
            } = self.s.joints[i].clone()
            else {
                let together = |one_cover: bool| Joint::Adjoining {
                    gap: if one_cover { 0.0 } else { lids },
                    state: if one_cover || lids <= 0.0 {
                        GapState::Touching
                    } else {
                        GapState::Closed
                    },
                    wall: CentreWall::BoxWalls,
                    one_cover,
                };
                let p = self.with_joint(i, &together(false));
                self.add(
                    Group::Pairing,
                    format!("push {pair} together and tape the gap"),
                    &p,
                    Some(DRIFT),
                );
                if level {
                    let p = self.with_joint(i, &together(true));
                    self.add(
                        Group::Pairing,
                        format!("push {pair} together, one wide lid over both"),
                        &p,
                        Some(DRIFT),
                    );
                }
                continue;
            };
            let shared = matches!(wall, CentreWall::Shared(_));
            let with =
                |gap: f64, state: GapState, wall: CentreWall, one_cover: bool| Joint::Adjoining {
                    gap,
                    state,
                    wall,
                    one_cover,
                };
            if state == GapState::Open && !shared {
                let p = self.with_joint(i, &with(gap, GapState::Closed, wall.clone(), one_cover));
                self.add(
                    Group::Gap,
                    format!("close the gap between {pair}"),
                    &p,
                    None,
                );
            }
            if gap > 0.0 && !shared && (one_cover || lids <= 0.0) {
                let p = self.with_joint(i, &with(0.0, GapState::Touching, wall.clone(), one_cover));
                self.add(
                    Group::Gap,
                    format!("push {pair} together until the boxes touch"),
                    &p,
                    None,
                );
            }
            if !one_cover && level {
                let closed = if state == GapState::Open {
                    GapState::Closed
                } else {
                    state.clone()
                };
                let p = self.with_joint(i, &with(gap, closed, wall.clone(), true));
                self.add(Group::Lid, format!("one wide lid over {pair}"), &p, None);
            }
            let thin = match &wall {
                CentreWall::Shared(l) => l.iter().map(|l| l.thickness).sum::<f64>() < 0.009,
                CentreWall::BoxWalls => false,
            };
            let ply = Layer {
                material: "plywood".to_owned(),
                thickness: THIN_WALL * 1e-3,
            };
            if !thin {
                let wall = CentreWall::Shared(vec![ply.clone()]);
                let p = self.with_joint(i, &with(0.0, GapState::Touching, wall, true));
                self.add(
                    Group::CentreWall,
                    format!("one {THIN_WALL:.0} mm plywood wall between {pair}"),
                    &p,
                    Some("must be bee-tight; the queens meet if it is not"),
                );
            }
            if !matches!(state, GapState::Filled(_)) {
                let new = if shared {
                    let foam = Layer {
                        material: USUAL_FOAM.to_owned(),
                        thickness: FOAM_BETWEEN,
                    };
                    let wall = CentreWall::Shared(vec![ply.clone(), foam, ply]);
                    with(0.0, GapState::Touching, wall, one_cover)
                } else {
                    let gap = gap.max(FOAM_BETWEEN);
                    with(
                        gap,
                        GapState::Filled(USUAL_FOAM.to_owned()),
                        CentreWall::BoxWalls,
                        one_cover,
                    )
                };
                let p = self.with_joint(i, &new);
                self.add(Group::CentreWall, format!("foam between {pair}"), &p, None);
            }
            let p = self.with_joint(i, &Joint::Apart);
            self.add(Group::Pairing, format!("stand {pair} apart"), &p, None);
        }
    }
}
