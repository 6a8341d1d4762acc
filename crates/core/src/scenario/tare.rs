//! Weight of an empty hive from its parts, for keepers who have not weighed theirs.

use super::layers;
use super::presets::Presets;
use crate::materials::Materials;
use crate::stand::{Floor, HiveBox, Layer, Stack};

/// Weight of boxes, frames, wax, floor, covers and top insulation, kg. The cladding is put on after weighing and left
/// out.
///
/// Walls: m = rho x volume of the four boards (kg/m3, m3); at 450 kg/m3 a ten-frame deep weighs 3.7 kg. Frames go with
/// comb length + height, wax with comb area, floor and covers with the plan area; weights per area in `presets.toml`.
pub(super) fn from_parts(stack: &Stack, presets: &Presets, materials: &Materials) -> f64 {
    let p = &presets.parts;
    let boxes: f64 = stack
        .boxes
        .iter()
        .map(|b| box_weight(b, presets, materials))
        .sum();
    let plan = |b: Option<&HiveBox>| b.map_or(0.0, |b| b.length * b.width);
    let (bottom, top) = (plan(stack.boxes.first()), plan(stack.boxes.last()));
    let floor = match &stack.floor {
        Floor::Solid { .. } | Floor::OpenMesh { .. } => p.floor_per_area * bottom,
    };
    // The inner cover is the lowest layer on top when it is thin; foam and quilts come by their own density.
    let inner: f64 = stack.top.iter().map(|l| sheet(l, top, materials)).sum();
    let inner_is_weighed = stack
        .top
        .first()
        .is_some_and(|l| l.material == "plywood" && l.thickness < 0.010);
    let inner = if inner_is_weighed {
        let first = stack.top.first().map_or(0.0, |l| sheet(l, top, materials));
        inner - first + p.inner_cover_per_area * top
    } else {
        inner
    };
    let cover = if stack.cover.overhang > 0.0 || stack.cover.skirt > 0.0 {
        p.telescoping_per_area
    } else {
        p.flush_per_area
    };
    boxes + floor + inner + cover * top
}

fn density(material: &str, fallback: f64, materials: &Materials) -> f64 {
    materials.get(material).map_or(fallback, |m| m.density)
}

fn sheet(layer: &Layer, area: f64, materials: &Materials) -> f64 {
    density(&layer.material, 0.0, materials) * layer.thickness * area
}

fn box_weight(b: &HiveBox, presets: &Presets, materials: &Materials) -> f64 {
    let (p, bees) = (&presets.parts, &presets.bees);
    let wall = layers::thickness(&b.walls);
    let around = 2.0 * (b.length + b.width - 2.0 * wall);
    let walls: f64 = b
        .walls
        .iter()
        .map(|l| density(&l.material, p.wood_density, materials) * l.thickness * b.depth * around)
        .sum();
    let edges = (b.comb_length + b.comb_height) / bees.comb_edges();
    let area = b.comb_length * b.comb_height / bees.comb_area();
    let frames = f64::from(b.frames) * (p.frame * edges + p.wax * area);
    let followers =
        f64::from(b.followers) * p.wood_density * b.follower_thickness * b.comb_length * b.depth;
    walls + frames + followers
}
