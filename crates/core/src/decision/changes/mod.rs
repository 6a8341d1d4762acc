//! The changes a keeper could make to this hive stand before winter, each as a patch on the scenario's text.

mod bees;
mod together;
mod woodwork;

use crate::calendar::MonthDay;
use crate::materials::Materials;
use crate::problem::{Problem, Problems, STORES_DISAGREE, Severity};
use crate::stand::{Colony, Layer, Scenario, TareSource};
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
    /// The floor: board or mesh.
    Floor,
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
    /// A box of honey set on.
    Box,
    /// Syrup.
    Feed,
}

impl Group {
    /// Whether bees, honey or syrup are moved, rather than the hive changed about them.
    #[must_use]
    pub fn is_move(self) -> bool {
        matches!(self, Self::Bees | Self::Honey | Self::Box | Self::Feed)
    }
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
    /// What the scenario's own checks then say that they do not say of it as it is; of woodwork only.
    pub warnings: Vec<String>,
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

/// Thinner layers than this around a hive are a wrap, m.
const WRAP: f64 = 0.006;
/// Materials that conduct less are foam, W/mK.
const FOAM_K: f64 = 0.06;
/// Foam taken where there is none yet.
const USUAL_FOAM: &str = "xps";

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

/// What a colony has against what it needs.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stock {
    /// Honey to spare, kg; negative is short.
    pub spare: f64,
    /// Stores needed, kg, if that is known.
    pub needed: Option<f64>,
}

/// What the scenario becomes with the lines of a patch put under `[[variant]]`, and what its checks then warn of.
pub type Patched<'a> = dyn Fn(&str) -> Result<(Scenario, Problems), Problems> + 'a;

/// The sensible changes for a scenario. `stock` tells which colony has more honey to spare than another, by stack, `on` the day from
/// which they can be made.
///
/// # Errors
/// The scenario's own problems; its text was read before, so that there are none.
pub fn changes(
    patched: &Patched<'_>,
    (s, said): (&Scenario, &Problems),
    stock: &[Option<Stock>],
    on: MonthDay,
    taken: &dyn Fn(usize, f64) -> Option<String>,
) -> Result<Changes, Problems> {
    let bare = s
        .stacks
        .iter()
        .enumerate()
        .fold(Patch::default(), |p, (i, _)| {
            p.with(hive(i, "top"), "false")
        });
    let (bare, _) = patched(&bare.text())?;
    let mut gather = Gather {
        patched,
        s,
        said,
        on,
        taken,
        inner_covers: bare.stacks.iter().map(|k| k.top.len()).collect(),
        materials: Materials::with_overrides(&s.materials).ok(),
        found: Changes {
            all: Vec::new(),
            left_out: Vec::new(),
            top_foam_now: None,
        },
    };
    gather.feed(stock);
    gather.boxes(stock);
    gather.foam();
    gather.openings();
    gather.floor();
    gather.site();
    gather.ledge();
    gather.space();
    gather.joints();
    gather.bees();
    gather.honey(stock);
    Ok(gather.found)
}

fn hive(i: usize, key: &str) -> String {
    format!("hive.{}.{key}", i + 1)
}

fn mm(m: f64) -> String {
    let v = (m * 1e4).round() / 10.0;
    format!("{v} mm")
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

struct Gather<'a> {
    patched: &'a Patched<'a>,
    s: &'a Scenario,
    /// What the checks say of the scenario as it is.
    said: &'a Problems,
    /// The day on which it is asked.
    on: MonthDay,
    /// Why a colony (by stack) does not take so many litres of syrup put on at the start; `None` when it does.
    taken: &'a dyn Fn(usize, f64) -> Option<String>,
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
        match (self.patched)(&text) {
            Ok((scenario, warned)) => {
                // Bees, honey and syrup are moved on purpose: that they no longer agree with what was weighed is no news.
                let woodwork = !group.is_move();
                // Stores and tare are pinned, the reading stays: that they disagree was told of the hive as it is.
                let new = |w: &&Problem| {
                    woodwork
                        && !STORES_DISAGREE.contains(&w.code)
                        && self.said.0.iter().all(|p| p.what != w.what)
                };
                let warnings = warned.0.iter().filter(new);
                let change = Change {
                    group,
                    words,
                    patch: text,
                    foam,
                    beware,
                    warnings: warnings.map(|w| w.what.clone()).collect(),
                };
                self.found.all.push((change, scenario));
            }
            Err(problems) => {
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
}

#[cfg(test)]
mod tests;
