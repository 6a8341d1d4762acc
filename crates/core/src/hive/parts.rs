//! The stand as a list of boxes of material, later ones on top of earlier ones, with how finely each is to be cut.

use std::collections::BTreeSet;

use super::combs::CombParameters;
use super::error::HiveError;
use super::layout::{Bounds, Layout};
use super::resolution::Steps;
use crate::boundary::Exposure;
use crate::heat::{AirNode, Solid};
use crate::materials::Materials;
use crate::stand::{Layer, Scenario};

/// Beyond everything, m: the bound of parts that reach to the edge of the grid.
pub const FAR: f64 = 1e3;
/// Layers thinner than this are left out of the grid (their heat resistance is negligible: 0.0002 m of the best foam
/// is 0.01 m2K/W), m.
const THINNEST: f64 = 2e-4;
/// Sheets up to this thickness get one cell, m.
const SHEET: f64 = 3e-3;

/// What a part is made of.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Solid, in a fill zone or not.
    Solid(Solid, Option<usize>),
    /// Air space with this index.
    Air(u16),
    /// Outside zone with this index.
    Outside(u16),
}

/// A box of one thing.
#[derive(Debug, Clone, PartialEq)]
pub struct Part {
    /// From-to along x, y, z, m.
    pub at: Bounds,
    /// What it is.
    pub what: What,
}

/// How finely a stretch of an axis is cut.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Step {
    /// At least this many cells in the stretch.
    AtLeast(usize),
    /// No cell wider than this, m.
    AtMost(f64),
    /// Small at interfaces, growing inwards: width at an interface (m), growth, greatest width (m).
    Graded(f64, f64, f64),
}

/// A rule for a stretch of an axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rule {
    /// 0, 1, 2 for x, y, z.
    pub axis: usize,
    /// From-to, m.
    pub span: [f64; 2],
    /// How.
    pub step: Step,
}

/// One outside zone.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    /// Stack it surrounds (the left one for a gap).
    pub stack: usize,
    /// Exposure of faces in it, before their own direction is looked at.
    pub exposure: Exposure,
    /// Name.
    pub name: String,
}

/// What a fill zone is.
#[derive(Debug, Clone, PartialEq)]
pub struct Fill {
    /// Name.
    pub name: String,
    /// Properties when full.
    pub full: Solid,
}

/// A scenario on its way to a grid.
pub struct Painter<'a> {
    /// The scenario.
    pub scenario: &'a Scenario,
    /// Where everything is.
    pub layout: &'a Layout,
    /// Materials it may use.
    pub materials: &'a Materials,
    /// Comb and seam values.
    pub combs: &'a CombParameters,
    /// How finely to cut.
    pub steps: Steps,
    /// Parts so far.
    pub parts: Vec<Part>,
    /// Cutting rules so far.
    pub rules: Vec<Rule>,
    /// Air spaces so far.
    pub air: Vec<AirNode>,
    /// Outside zones so far.
    pub zones: Vec<Zone>,
    /// Fill zones so far.
    pub fills: Vec<Fill>,
    /// Materials used so far.
    pub used: BTreeSet<String>,
    /// What was simplified.
    pub notes: Vec<String>,
}

impl<'a> Painter<'a> {
    /// An empty list of parts.
    pub fn new(
        scenario: &'a Scenario,
        layout: &'a Layout,
        materials: &'a Materials,
        combs: &'a CombParameters,
        steps: Steps,
    ) -> Self {
        Self {
            scenario,
            layout,
            materials,
            combs,
            steps,
            parts: Vec::new(),
            rules: Vec::new(),
            air: Vec::new(),
            zones: Vec::new(),
            fills: Vec::new(),
            used: BTreeSet::new(),
            notes: Vec::new(),
        }
    }

    /// The isotropic solid of a material.
    pub fn solid(&mut self, key: &str) -> Result<Solid, HiveError> {
        let m = self.materials.get(key)?;
        self.used.insert(m.key.clone());
        Ok(Solid {
            k: [m.conductivity; 3],
            rho_c: m.heat_capacity(),
        })
    }

    /// Adds a part unless it has no volume; tells whether it was added.
    pub fn put(&mut self, at: Bounds, what: What) -> bool {
        let real = at.iter().all(|r| r[1] - r[0] > 0.5 * THINNEST);
        if real {
            self.parts.push(Part { at, what });
        }
        real
    }

    /// Adds a cutting rule.
    pub fn rule(&mut self, axis: usize, span: [f64; 2], step: Step) {
        self.rules.push(Rule { axis, span, step });
    }

    /// Asks for the cells a layer of this stretch needs.
    pub fn layer_rule(&mut self, axis: usize, span: [f64; 2]) {
        let sheet = span[1] - span[0] <= SHEET;
        self.rule(
            axis,
            span,
            Step::AtLeast(if sheet { 1 } else { self.steps.layer_cells }),
        );
    }

    /// Paints layers one after another along `axis` from `start` in the direction of `sign`, filling `at` across.
    pub fn pile(
        &mut self,
        layers: &[Layer],
        axis: usize,
        start: f64,
        sign: f64,
        at: Bounds,
    ) -> Result<(), HiveError> {
        let mut from = start;
        for l in layers {
            let to = from + sign * l.thickness;
            let mut bounds = at;
            bounds[axis] = [from.min(to), from.max(to)];
            let solid = self.solid(&l.material)?;
            if l.thickness < THINNEST {
                self.note(format!(
                    "{:.2} mm of {} is too thin to matter for heat and is left out of the grid",
                    1e3 * l.thickness,
                    l.material
                ));
            } else if self.put(bounds, What::Solid(solid, None)) {
                self.layer_rule(axis, bounds[axis]);
            }
            from = to;
        }
        Ok(())
    }

    /// Adds a note once.
    pub fn note(&mut self, note: String) {
        if !self.notes.contains(&note) {
            self.notes.push(note);
        }
    }

    /// Adds an air space with its films of convection and of radiation (up, sideways, down, W/m2K), which is followed by its radiant node.
    pub fn air_space(&mut self, name: String, convective: [f64; 3], radiative: [f64; 3]) -> u16 {
        let at = self.air.len() as u16;
        let radiant = format!("{name}, radiation");
        for (name, [film_up, film_side, film_down], radiant) in
            [(name, convective, Some(at + 1)), (radiant, radiative, None)]
        {
            self.air.push(AirNode {
                name,
                capacity: 0.0,
                film_up,
                film_side,
                film_down,
                radiant,
            });
        }
        at
    }

    /// Adds an outside zone and gives its index.
    pub fn zone(&mut self, stack: usize, exposure: Exposure, name: String) -> u16 {
        self.zones.push(Zone {
            stack,
            exposure,
            name,
        });
        (self.zones.len() - 1) as u16
    }
}
