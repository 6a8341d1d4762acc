//! Foam, wrap, openings, windbreak, ledge, frames and follower boards.

use super::{Gather, Group, USUAL_FOAM, WRAP, hive, layers_text, mm};
use crate::materials::in_words;
use crate::stand::{Floor, HiveBox, Joint, Layer, Opening, OpeningPlace, Shelter, Stack};

/// Thicknesses of foam tried, mm: what is sold (25 mm to the inch).
const TOP_FOAM: [f64; 5] = [0.0, 25.0, 50.0, 75.0, 100.0];
/// Those for the sides, mm.
const SIDE_FOAM: [f64; 3] = [0.0, 25.0, 50.0];
/// Widths that differ by less are the same box, m.
const SAME: f64 = 0.002;
/// Air under the frames unless a hive says otherwise, m (the scenario's own).
const USUAL_SPACE: f64 = 0.020;

/// "50 mm (2 in)".
fn both(mm: f64) -> String {
    format!("{mm:.0} mm ({:.0} in)", mm / 25.4)
}

impl Gather<'_> {
    pub(super) fn foam(&mut self) {
        let s = self.s;
        let tops: Vec<Vec<Layer>> = s
            .stacks
            .iter()
            .zip(&self.inner_covers)
            .map(|(k, n)| k.top.get(*n..).unwrap_or_default().to_vec())
            .collect();
        let slices: Vec<&[Layer]> = tops.iter().map(Vec::as_slice).collect();
        let material = self.foam_material(&slices);
        let now = tops
            .iter()
            .map(|t| self.foam_thickness(t))
            .fold(0.0, f64::max);
        self.found.top_foam_now = Some(now);
        for thick in TOP_FOAM {
            if (thick * 1e-3 - now).abs() < 0.003 {
                continue;
            }
            let mut p = self.pinned();
            for (i, top) in tops.iter().enumerate() {
                let mut new: Vec<Layer> =
                    top.iter().filter(|l| !self.is_foam(l)).cloned().collect();
                if thick > 0.0 {
                    new.push(Layer {
                        material: material.clone(),
                        thickness: thick * 1e-3,
                    });
                }
                p = p.with(hive(i, "top"), layers_text(&new));
            }
            let words = if thick == 0.0 {
                "take the top foam off".to_owned()
            } else {
                format!("{} of {} on top", both(thick), in_words(&material))
            };
            self.add_foam(Group::TopFoam, words, &p, None, Some(thick * 1e-3));
        }
        let sides: Vec<&[Layer]> = s
            .stacks
            .iter()
            .flat_map(|k| {
                [
                    &k.cladding.front,
                    &k.cladding.back,
                    &k.cladding.left,
                    &k.cladding.right,
                ]
            })
            .map(Vec::as_slice)
            .collect();
        let material = self.foam_material(&sides);
        let now = sides
            .iter()
            .map(|l| self.foam_thickness(l))
            .fold(0.0, f64::max);
        for thick in SIDE_FOAM {
            if (thick * 1e-3 - now).abs() < 0.003 {
                continue;
            }
            let value = if thick == 0.0 {
                "false".to_owned()
            } else {
                format!("\"{thick} mm {material}\"")
            };
            let mut p = self.pinned();
            for i in 0..s.stacks.len() {
                p = p.with(hive(i, "side_foam"), value.clone());
            }
            let words = if thick == 0.0 {
                "take the side foam off".to_owned()
            } else {
                format!("{} of {} at the sides", both(thick), in_words(&material))
            };
            self.add_foam(Group::SideFoam, words, &p, None, Some(thick * 1e-3));
        }
        let wrapped = sides.iter().any(|l| l.iter().any(|l| l.thickness <= WRAP));
        let mut p = self.pinned();
        for i in 0..s.stacks.len() {
            p = p.with(hive(i, "wrap"), (!wrapped).to_string());
        }
        let words = if wrapped {
            "take the wrap off"
        } else {
            "a wrap of tar paper"
        };
        self.add(Group::Wrap, words.to_owned(), &p, None);
    }

    pub(super) fn openings(&mut self) {
        let s = self.s;
        let lower = |k: &Stack| -> Option<Opening> {
            k.openings
                .iter()
                .find(|o| o.place == OpeningPlace::Floor)
                .cloned()
        };
        for (factor, words) in [
            (0.5, "lower entrance half as wide"),
            (2.0, "lower entrance twice as wide"),
        ] {
            let mut p = self.pinned();
            let mut any = false;
            for (i, k) in s.stacks.iter().enumerate() {
                let (Some(o), Some(b)) = (lower(k), k.boxes.first()) else {
                    continue;
                };
                let room = b.width - 2.0 * b.walls.iter().map(|l| l.thickness).sum::<f64>();
                let width = factor * o.area / o.height;
                if (0.01..=room).contains(&width) {
                    any = true;
                    p = p.with(
                        hive(i, "entrance"),
                        format!("\"{} x {}\"", mm(width), mm(o.height)),
                    );
                }
            }
            if any {
                let beware = (factor < 1.0).then_some("clear dead bees out of it, or it blocks");
                self.add(Group::Entrance, words.to_owned(), &p, beware);
            }
        }
        let upper = s
            .stacks
            .iter()
            .any(|k| k.openings.iter().any(|o| o.place != OpeningPlace::Floor));
        let mut p = self.pinned();
        for (i, k) in s.stacks.iter().enumerate() {
            if !upper {
                p = p.with(hive(i, "upper_hole"), "\"20 mm\"");
                continue;
            }
            p = p.with(hive(i, "upper_hole"), "false");
            if k.openings.iter().any(|o| o.place == OpeningPlace::Head) {
                p = p.with(hive(i, "top_notch"), "false");
            }
        }
        if upper {
            self.add(Group::UpperHole, "shut the upper hole".to_owned(), &p, None);
        } else {
            self.add(
                Group::UpperHole,
                "open an upper hole of 20 mm".to_owned(),
                &p,
                None,
            );
        }
    }

    /// An open mesh floor where all are solid, solid ones where any is of mesh.
    pub(super) fn floor(&mut self) {
        let space = |k: &Stack| match k.floor {
            Floor::Solid { space, .. } => (false, space),
            Floor::OpenMesh { space } => (true, space),
        };
        let open = self.s.stacks.iter().any(|k| space(k).0);
        let mut p = self.pinned();
        for (i, k) in self.s.stacks.iter().enumerate() {
            let (mesh, space) = space(k);
            if mesh == open {
                let kind = if open { "solid" } else { "mesh" };
                // The word alone takes a board away that the hive names; a space of its own needs a table.
                let floor = if (space - USUAL_SPACE).abs() < SAME {
                    format!("\"{kind}\"")
                } else {
                    format!("{{ kind = \"{kind}\", space = \"{}\" }}", mm(space))
                };
                p = p.with(hive(i, "floor"), floor);
            }
        }
        let words = if open {
            "shut the mesh floor"
        } else {
            "open the floor: mesh in place of the board"
        };
        self.add(Group::Floor, words.to_owned(), &p, None);
    }

    pub(super) fn site(&mut self) {
        let (word, words) = match self.s.site.shelter {
            Shelter::Open => ("partly", "a windbreak to windward"),
            Shelter::Partly => ("sheltered", "a dense windbreak all round"),
            Shelter::Sheltered => return,
        };
        let p = self.pinned().with("site.shelter", format!("\"{word}\""));
        let beware = Some("keep the low winter sun on the entrances");
        self.add(Group::Windbreak, words.to_owned(), &p, beware);
    }

    pub(super) fn ledge(&mut self) {
        for i in 0..self.s.stacks.len() {
            let k = &self.s.stacks[i];
            let step = k
                .boxes
                .windows(2)
                .map(|w| (w[1].width - w[0].width).abs())
                .fold(0.0, f64::max);
            if step <= SAME {
                continue;
            }
            let name = k.name.clone();
            let (shelf, filled) = (k.ledge.shelf, k.ledge.filler.is_some());
            if !shelf {
                let p = self.pinned().with(hive(i, "ledge.shelf"), "true");
                self.add(
                    Group::Ledge,
                    format!("a shelf board under the overhang of {name}"),
                    &p,
                    None,
                );
            }
            if !filled {
                let p = self
                    .pinned()
                    .with(hive(i, "ledge.filler"), format!("\"{USUAL_FOAM}\""));
                self.add(
                    Group::Ledge,
                    format!("fill the void under the overhang of {name} with foam"),
                    &p,
                    None,
                );
            }
        }
    }

    /// Two frames out of each box that has no follower yet and honey for less, a follower board at their free side.
    pub(super) fn space(&mut self) {
        for i in 0..self.s.stacks.len() {
            let k = &self.s.stacks[i];
            if k.colony.is_none() {
                continue;
            }
            let neighbour_right = matches!(self.s.joints.get(i), Some(Joint::Adjoining { .. }));
            let side = if neighbour_right { "right" } else { "left" };
            let fits = |b: &HiveBox| {
                b.frames >= 6 && b.followers == 0 && b.honey_frames <= f64::from(b.frames - 2)
            };
            let mut p = self.pinned();
            let mut any = false;
            for (n, b) in k.boxes.iter().enumerate().filter(|(_, b)| fits(b)) {
                any = true;
                p = p.with(
                    hive(i, &format!("boxes.{}", n + 1)),
                    format!(
                        "{{ frames = {}, followers = 1, frames_at = \"{side}\" }}",
                        b.frames - 2
                    ),
                );
            }
            if any {
                let words = format!(
                    "two frames out and a follower board in each box of {} that has frames to spare",
                    k.name
                );
                self.add(Group::Space, words, &p, None);
            }
        }
    }
}
