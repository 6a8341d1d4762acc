//! The changes a keeper could make to this hive stand before winter, each as a patch on the scenario's text.

use crate::hive::Materials;
use crate::scenario::model::{
    CentreWall, Colony, GapState, HiveBox, Joint, Layer, Opening, OpeningPlace, Scenario, Shelter,
    Stack, TareSource,
};
use crate::scenario::{Loaded, Source, dates};
use serde::Serialize;
use std::collections::BTreeMap;
use std::fmt::Write;

/// What kind of change.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Group {
    /// Foam on top.
    TopFoam,
    /// Foam at the sides.
    SideFoam,
    /// The wrap.
    Wrap,
    /// The gap between two hives.
    Gap,
    /// One lid over both.
    Lid,
    /// The ledge of boxes of unequal width.
    Ledge,
    /// The lower entrance.
    Entrance,
    /// The upper hole.
    UpperHole,
    /// The windbreak.
    Windbreak,
    /// Frames and follower boards.
    Space,
    /// The centre wall.
    CentreWall,
    /// Together or apart.
    Pairing,
    /// Bees moved or combined.
    Bees,
    /// Honey moved.
    Honey,
    /// Syrup.
    Feed,
}

/// A change.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Change {
    /// What kind.
    pub group: Group,
    /// In a keeper's words.
    pub words: String,
    /// Lines of TOML to stand under `[[variant]]`.
    pub patch: String,
    /// Thickness the foam then has, m, for changes of foam.
    pub foam: Option<f64>,
    /// What else it does that is not computed.
    pub beware: Option<&'static str>,
}

/// A change that makes no sense for this hive, and why.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct LeftOut {
    /// The change in words.
    pub words: String,
    /// The first reason.
    pub why: String,
}

/// Changes with the scenarios they come to.
#[derive(Debug, Clone, PartialEq)]
pub struct Changes {
    /// To be run.
    pub all: Vec<(Change, Scenario)>,
    /// Not to be run: what the scenario's own checks refuse.
    pub left_out: Vec<LeftOut>,
    /// Foam on top as it is, m: the most of all stacks.
    pub top_foam_now: Option<f64>,
}

/// Thicknesses of foam tried, mm: what is sold (25 mm to the inch).
const TOP_FOAM: [f64; 5] = [0.0, 25.0, 50.0, 75.0, 100.0];
/// Those for the sides, mm.
const SIDE_FOAM: [f64; 3] = [0.0, 25.0, 50.0];
/// Thinner layers than this around a hive are a wrap, m.
const WRAP: f64 = 0.006;
/// Materials that conduct less are foam, W/mK.
const FOAM_K: f64 = 0.06;
/// Foam taken where there is none yet.
const USUAL_FOAM: &str = "xps";
/// Syrup fed, L.
const SYRUP: [f64; 2] = [5.0, 10.0];
/// Frames of bees moved, at once.
const FRAME_OF_BEES: f64 = 0.31;
/// Frames of honey moved at once.
const FRAMES_OF_HONEY: f64 = 2.0;
/// A thin centre wall, mm of plywood.
const THIN_WALL: f64 = 6.0;
/// Foam between two hives, m.
const FOAM_BETWEEN: f64 = 0.025;
/// Heights that differ by less lie under one lid, m.
const ONE_HEIGHT: f64 = 0.010;
/// Widths that differ by less are the same box, m.
const SAME: f64 = 0.002;

const DISEASE: &str = "spreads disease: check brood and mites first";
const DAMP: &str = "more damp stays inside, which is not computed";
const DRIFT: &str = "bees drift, and disease and robbers go both ways";

/// Settings of a patch; one value a key.
#[derive(Debug, Clone, Default)]
struct Patch {
    set: BTreeMap<String, String>,
    remove: Vec<String>,
}

impl Patch {
    fn with(mut self, key: impl Into<String>, value: impl Into<String>) -> Self {
        self.set.insert(key.into(), value.into());
        self
    }

    fn without(mut self, path: String) -> Self {
        self.remove.push(path);
        self
    }

    fn text(&self) -> String {
        let mut t = String::new();
        if !self.remove.is_empty() {
            let list: Vec<String> = self.remove.iter().map(|r| format!("\"{r}\"")).collect();
            let _ = writeln!(t, "remove = [{}]", list.join(", "));
        }
        for (key, value) in &self.set {
            let _ = writeln!(t, "{key} = {value}");
        }
        t
    }
}

/// The sensible changes for a scenario. `spare` tells which colony has more honey to spare than another (by stack, kg).
///
/// # Errors
/// The scenario's own problems; its text was read before, so that there are none.
pub fn changes(
    source: &Source,
    base: &Loaded,
    spare: &[Option<f64>],
) -> Result<Changes, crate::diagnostic::Problems> {
    let s = &base.scenario;
    let bare = s
        .stacks
        .iter()
        .enumerate()
        .fold(Patch::default(), |p, (i, _)| {
            p.with(hive(i, "top"), "false")
        });
    let bare = source.with(&bare.text())?;
    let mut gather = Gather {
        source,
        s,
        inner_covers: bare.scenario.stacks.iter().map(|k| k.top.len()).collect(),
        materials: Materials::with_overrides(&s.materials).ok(),
        found: Changes {
            all: Vec::new(),
            left_out: Vec::new(),
            top_foam_now: None,
        },
    };
    gather.feed();
    gather.foam();
    gather.openings();
    gather.site();
    gather.ledge();
    gather.space();
    gather.joints();
    gather.bees();
    gather.honey(spare);
    Ok(gather.found)
}

fn hive(i: usize, key: &str) -> String {
    format!("hive.{}.{key}", i + 1)
}

fn mm(m: f64) -> String {
    let v = (m * 1e4).round() / 10.0;
    format!("{v} mm")
}

/// "50 mm (2 in)".
fn both(mm: f64) -> String {
    format!("{mm:.0} mm ({:.0} in)", mm / 25.4)
}

fn layers_text(layers: &[Layer]) -> String {
    if layers.is_empty() {
        return "false".to_owned();
    }
    let all: Vec<String> = layers
        .iter()
        .map(|l| format!("\"{} {}\"", mm(l.thickness), l.material))
        .collect();
    format!("[{}]", all.join(", "))
}

fn joint_text(j: &Joint) -> String {
    let Joint::Butted {
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

struct Gather<'a> {
    source: &'a Source,
    s: &'a Scenario,
    /// Layers of the inner cover of each stack: they come first on top of the frames.
    inner_covers: Vec<usize>,
    materials: Option<Materials>,
    found: Changes,
}

impl Gather<'_> {
    /// What no change of woodwork may change: stores and tare are as weighed before.
    fn pinned(&self) -> Patch {
        let mut p = Patch::default();
        for (i, c) in self.colonies() {
            p = p.with(hive(i, "colony.honey"), format!("\"{:.4} kg\"", c.stores));
            if c.scale.tare_source == TareSource::Parts {
                p = p.with(hive(i, "scale.tare"), format!("\"{:.4} kg\"", c.scale.tare));
            }
        }
        p
    }

    fn colonies(&self) -> impl Iterator<Item = (usize, &Colony)> {
        let all = self.s.stacks.iter().enumerate();
        all.filter_map(|(i, k)| Some((i, k.colony.as_ref()?)))
    }

    fn name(&self, i: usize) -> &str {
        self.s.stacks.get(i).map_or("", |k| k.name.as_str())
    }

    /// Notes a change, or why it cannot be made.
    fn add(&mut self, group: Group, words: String, patch: &Patch, beware: Option<&'static str>) {
        self.add_foam(group, words, patch, beware, None);
    }

    fn add_foam(
        &mut self,
        group: Group,
        words: String,
        patch: &Patch,
        beware: Option<&'static str>,
        foam: Option<f64>,
    ) {
        let text = patch.text();
        match self.source.with(&text) {
            Ok(loaded) => {
                let change = Change {
                    group,
                    words,
                    patch: text,
                    foam,
                    beware,
                };
                self.found.all.push((change, loaded.scenario));
            }
            Err(problems) => {
                use crate::diagnostic::Severity;
                let why = problems.0.iter().find(|p| p.severity == Severity::Error);
                self.found.left_out.push(LeftOut {
                    words,
                    why: why.map_or_else(String::new, |p| p.what.clone()),
                });
            }
        }
    }

    fn is_foam(&self, l: &Layer) -> bool {
        let known = self
            .materials
            .as_ref()
            .and_then(|m| m.get(&l.material).ok());
        known.is_some_and(|m| m.conductivity <= FOAM_K) && l.thickness > WRAP
    }

    fn foam_thickness(&self, layers: &[Layer]) -> f64 {
        let foam = layers.iter().filter(|l| self.is_foam(l));
        foam.map(|l| l.thickness).sum()
    }

    /// The foam of the stand, or the usual one.
    fn foam_material(&self, layers: &[&[Layer]]) -> String {
        let all = layers.iter().flat_map(|l| l.iter());
        all.filter(|l| self.is_foam(l))
            .map(|l| l.material.clone())
            .next()
            .unwrap_or_else(|| USUAL_FOAM.to_owned())
    }

    fn feed(&mut self) {
        let date = dates::words(self.s.season.start);
        let fed: Vec<(usize, usize)> = self.colonies().map(|(i, c)| (i, c.feeds.len())).collect();
        for (i, feeds) in fed {
            for litres in SYRUP {
                let event =
                    format!("{{ date = \"{date}\", kind = \"syrup\", amount = \"{litres} L\" }}");
                let p = if feeds == 0 {
                    self.pinned().with(hive(i, "feed"), format!("[{event}]"))
                } else {
                    self.pinned()
                        .with(hive(i, &format!("feed.{}", feeds + 1)), event)
                };
                let words = format!(
                    "feed {} {litres:.0} litres ({:.1} US gal) of 2:1 syrup by {date}",
                    self.name(i),
                    litres / 3.785_411_784
                );
                self.add(Group::Feed, words, &p, None);
            }
        }
    }

    fn foam(&mut self) {
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
                format!("{} of {material} on top", both(thick))
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
                format!("{} of {material} at the sides", both(thick))
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

    fn openings(&mut self) {
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
            self.add(
                Group::UpperHole,
                "shut the upper hole".to_owned(),
                &p,
                Some(DAMP),
            );
        } else {
            self.add(
                Group::UpperHole,
                "open an upper hole of 20 mm".to_owned(),
                &p,
                None,
            );
        }
    }

    fn site(&mut self) {
        let (word, words) = match self.s.site.shelter {
            Shelter::Open => ("partly", "a windbreak to windward"),
            Shelter::Partly => ("sheltered", "a dense windbreak all round"),
            Shelter::Sheltered => return,
        };
        let p = self.pinned().with("site.shelter", format!("\"{word}\""));
        let beware = Some("keep the low winter sun on the entrances");
        self.add(Group::Windbreak, words.to_owned(), &p, beware);
    }

    fn ledge(&mut self) {
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
    fn space(&mut self) {
        for i in 0..self.s.stacks.len() {
            let k = &self.s.stacks[i];
            if k.colony.is_none() {
                continue;
            }
            let neighbour_right = matches!(self.s.joints.get(i), Some(Joint::Butted { .. }));
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

    fn joints(&mut self) {
        for i in 0..self.s.joints.len() {
            let (a, b) = (&self.s.stacks[i], &self.s.stacks[i + 1]);
            let pair = format!("{} and {}", a.name, b.name);
            let level = (height(a) - height(b)).abs() <= ONE_HEIGHT;
            let lids = a.cover.overhang + b.cover.overhang;
            let Joint::Butted {
                gap,
                state,
                wall,
                one_cover,
            } = self.s.joints[i].clone()
            else {
                let together = |one_cover: bool| Joint::Butted {
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
                |gap: f64, state: GapState, wall: CentreWall, one_cover: bool| Joint::Butted {
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

    /// The stacks with the most and the fewest bees, if there are two colonies.
    fn strong_and_weak(&self) -> Option<(usize, usize)> {
        let bees = |a: &(usize, &Colony), b: &(usize, &Colony)| a.1.bees.total_cmp(&b.1.bees);
        let strong = self.colonies().max_by(bees)?.0;
        let weak = self.colonies().min_by(bees)?.0;
        (strong != weak).then_some((strong, weak))
    }

    fn with_bees(p: Patch, i: usize, c: &Colony, kg: f64) -> Patch {
        let p = if c.frames_of_bees.is_some() {
            p.without(hive(i, "colony.frames_of_bees"))
        } else {
            p
        };
        p.with(hive(i, "colony.bees"), format!("\"{kg:.4} kg\""))
    }

    fn bees(&mut self) {
        let Some((strong, weak)) = self.strong_and_weak() else {
            return;
        };
        let (Some(a), Some(b)) = (&self.s.stacks[strong].colony, &self.s.stacks[weak].colony)
        else {
            return;
        };
        let (big, small) = (self.name(strong).to_owned(), self.name(weak).to_owned());
        let mut p = Self::with_bees(self.pinned(), strong, a, a.bees + b.bees);
        p.set.retain(|key, _| !key.starts_with(&hive(weak, "")));
        p = p.without(hive(weak, "colony"));
        if b.scale.gross.is_some() {
            p = p.without(hive(weak, "scale"));
        }
        if !b.feeds.is_empty() {
            p = p.without(hive(weak, "feed"));
        }
        self.add(
            Group::Bees,
            format!("combine {small} with {big}"),
            &p,
            Some("one queen goes; the honey left over is yours to give; check brood for disease first"),
        );
        if a.bees - b.bees > 2.0 * FRAME_OF_BEES {
            let p = Self::with_bees(self.pinned(), strong, a, a.bees - FRAME_OF_BEES);
            let p = Self::with_bees(p, weak, b, b.bees + FRAME_OF_BEES);
            self.add(
                Group::Bees,
                format!("move a frame of bees (without the queen) from {big} to {small}"),
                &p,
                Some(DISEASE),
            );
        }
    }

    fn honey(&mut self, spare: &[Option<f64>]) {
        let known: Vec<(usize, f64)> = self
            .colonies()
            .filter_map(|(i, _)| Some((i, spare.get(i).copied().flatten()?)))
            .collect();
        let rich = known.iter().max_by(|a, b| a.1.total_cmp(&b.1));
        let poor = known.iter().min_by(|a, b| a.1.total_cmp(&b.1));
        let (Some((rich, _)), Some((poor, _))) = (rich, poor) else {
            return;
        };
        let (Some(a), Some(b)) = (&self.s.stacks[*rich].colony, &self.s.stacks[*poor].colony)
        else {
            return;
        };
        let Some(from) = self.s.stacks[*rich].boxes.last() else {
            return;
        };
        let kg = FRAMES_OF_HONEY * from.full_frame;
        if rich == poor || kg <= 0.0 || a.stores <= kg {
            return;
        }
        let p = self
            .pinned()
            .with(
                hive(*rich, "colony.honey"),
                format!("\"{:.4} kg\"", a.stores - kg),
            )
            .with(
                hive(*poor, "colony.honey"),
                format!("\"{:.4} kg\"", b.stores + kg),
            );
        let words = format!(
            "move {FRAMES_OF_HONEY:.0} frames of honey ({kg:.1} kg) from {} to {}",
            self.name(*rich),
            self.name(*poor)
        );
        self.add(Group::Honey, words, &p, Some(DISEASE));
    }
}
