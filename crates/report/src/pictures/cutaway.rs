//! The hive cut through upright across the combs, to scale: temperatures of every piece, clusters, honey.

use super::axis::span;
use super::drawing::{BLACK, Drawing, GREY, Point, SMALL, Side, Span, Stroke, WHITE};
use super::letters::text_width;
use super::plan::{Comb, EDGE, Plan, Rect, Tile, extent, honey};
use super::shades::Shades;
use super::sheet::Sample;
use super::{Picture, PictureError, all_drawable};
use crate::text;
use crate::texts::said;
use crate::words::Units;
use jiff::civil::DateTime;
use partywall_core::units::format::length;

/// What is drawn: one panel, or two on one scale of size and of temperature.
pub struct Cutaway<'a> {
    /// Name of its file.
    pub name: &'a str,
    /// Title.
    pub title: &'a str,
    /// Words below it.
    pub below: &'a str,
    /// The panels, from above to below.
    pub panels: &'a [CutPanel],
}

/// One arrangement of the hives in one hour; lengths in m, x to the right, z up.
#[derive(Debug, Clone, Default)]
pub struct CutPanel {
    /// "Together".
    pub name: String,
    /// The hour.
    pub time: DateTime,
    /// Air outside, degC.
    pub outdoor_c: f64,
    /// Pieces of the heat model.
    pub tiles: Vec<Tile>,
    /// Edges of boxes, boards and covers.
    pub edges: Vec<Rect>,
    /// Combs with their honey.
    pub combs: Vec<Comb>,
    /// Clusters.
    pub clusters: Vec<CutCluster>,
    /// Places whose temperature is printed, degC.
    pub numbers: Vec<([f64; 2], f64)>,
    /// Names of the hives and where they stand.
    pub names: Vec<(String, [f64; 2])>,
    /// Outside air that passes each of the named hives, L a minute.
    pub air: Vec<f64>,
    /// Air that moves: from where to where, and L a minute.
    pub streams: Vec<([[f64; 2]; 2], f64)>,
    /// What is between the hives: where, and in words.
    pub between: Vec<(f64, String)>,
}

/// One cluster, cut through its middle.
#[derive(Debug, Clone, PartialEq)]
pub struct CutCluster {
    /// Outline, across and up, m.
    pub outline: Vec<Point>,
    /// Core, degC.
    pub core_c: f64,
    /// Outermost bees, degC.
    pub mantle_c: f64,
}

/// Least room beside the panels on a wide and on a narrow sheet, units.
const BESIDE: [f64; 2] = [40.0, 8.0];
/// Greatest height of a panel's hives, units.
const UP: f64 = 430.0;
/// Line of a cluster.
const BEES: Stroke = Stroke::solid(BLACK, 2.6);
const COMB: Stroke = Stroke::solid(GREY, 0.5);
/// Streams of less than so much are not drawn, L a minute; width of an arrow by that (a choice: what one sees).
const LEAST_STREAM: f64 = 1.0;

/// Draws the cutaway.
///
/// # Errors
/// Without a piece, or with a value that is not a number.
pub fn cutaway(p: &Cutaway<'_>) -> Result<Picture, PictureError> {
    Picture::new(p.name.to_owned(), |width| sheet(p, width))
}

/// Refuses what cannot be drawn.
fn checked(title: &str, p: &CutPanel) -> Result<(), PictureError> {
    let mut all = vec![(said("pictures.outside_air_degc"), p.outdoor_c)];
    for t in &p.tiles {
        all.push((said("pictures.temperature_piece_degc"), t.c));
        all.push((
            said("pictures.edge_piece_m"),
            t.at.as_flattened().iter().sum(),
        ));
    }
    all.extend(p.combs.iter().flat_map(Comb::values));
    for c in &p.clusters {
        all.push((said("pictures.core_degc"), c.core_c));
        all.push((said("pictures.outermost_bees_degc"), c.mantle_c));
        let outline = c.outline.iter().flatten().sum();
        all.push((said("pictures.centre_cluster_m"), outline));
    }
    all.extend(
        p.numbers
            .iter()
            .map(|(_, c)| (said("pictures.temperature_degc"), *c)),
    );
    all.extend(p.streams.iter().map(|(_, l)| (said("pictures.stream"), *l)));
    all.extend(p.air.iter().map(|l| (said("pictures.stream"), *l)));
    all_drawable(title, p.time, all)
}

/// The drawing of [`cutaway`].
pub(super) fn sheet(p: &Cutaway<'_>, width: f64) -> Result<Drawing, PictureError> {
    let mut extents = Vec::new();
    for panel in p.panels {
        checked(p.title, panel)?;
        extents.push(extent(panel.tiles.iter().map(|t| &t.at)));
    }
    if p.panels.is_empty() || p.panels.iter().any(|p| p.tiles.is_empty()) {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let most = |axis: usize| {
        let sizes = extents.iter().map(|e| e[axis][1] - e[axis][0]);
        sizes.fold(1e-3, f64::max)
    };
    let mut d = Drawing::new(width);
    let across = width - 2.0 * d.pick(BESIDE[0], BESIDE[1]);
    let k = (across / most(0)).min(UP / most(1));
    let shades = Shades::over(p.panels.iter().flat_map(|p| p.tiles.iter().map(|t| t.c)));
    let mut numbered = false;
    d.heading(p.title, p.below);
    d.size[1] += 22.0;
    for (i, (panel, [x, z])) in p.panels.iter().zip(&extents).enumerate() {
        let words = text!(
            "pictures.outside",
            name = panel.name,
            day = panel.time.strftime("%-d %b %Y"),
            hour = panel.time.hour(),
            outdoor_c = Units::Both.temperature(panel.outdoor_c)
        );
        d.caption(10.0, &words);
        if i == 0 {
            // Beside the caption where there is room for both.
            d.size[1] += d.pick(0.0, 24.0);
            bar(&mut d, k);
        }
        let foot = d.size[1] + 18.0 + k * most(1);
        let left = 0.5 * (width - k * (x[1] - x[0]));
        let plan = Plan::side(k, [x[0], z[0]], [left, foot]);
        hives(&mut d, &plan, panel, &shades);
        streams(&mut d, &plan, panel);
        let clusters = clusters(&mut d, &plan, panel);
        numbered |= numbers(&mut d, &plan, panel, clusters);
        names(&mut d, &plan, panel, foot);
        d.size[1] = foot + 64.0;
    }
    legend(&mut d, &shades, numbered);
    Ok(d)
}

/// What shades and lines stand for.
fn legend(d: &mut Drawing, shades: &Shades, numbered: bool) {
    shades.key(d, 26.0);
    let numbers = match numbered {
        true => said("pictures.numbers_temperature_at_place"),
        false => "",
    };
    let words = text!("pictures.each_shade_one_step", numbers = numbers);
    d.remark(24.0, &words);
    let comb = |d: &mut Drawing, place: [Span; 2]| {
        honey(d, place, 1.0);
        d.outline(place, COMB);
    };
    let entries = [
        (Sample::Mark(comb), said("pictures.honey_denser_fuller")),
        (Sample::Mark(arrow_sample), said("pictures.air_moves")),
        (
            Sample::Line(BEES),
            said("pictures.cluster_cut_through_middle"),
        ),
    ];
    d.key(26.0, &entries);
    d.size[1] += 24.0;
}

/// A bar of 20 cm at the right end, below the words that tell its length.
fn bar(d: &mut Drawing, k: f64) {
    let (right, y) = (d.size[0] - 20.0, d.size[1] + 10.0);
    let left = right - 0.2 * k;
    d.range([[left, y], [right, y]], Stroke::solid(BLACK, 1.6));
    d.words("20 cm (8 in)", [right, y - 12.0], Side::Right, 100.0);
}

/// Pieces in their shades, combs with honey, edges of boxes.
fn hives(d: &mut Drawing, plan: &Plan, p: &CutPanel, shades: &Shades) {
    plan.tiles(d, &p.tiles, shades);
    for c in &p.combs {
        plan.comb(d, c, COMB);
    }
    for e in &p.edges {
        d.outline(plan.rect(e), EDGE);
    }
}

/// Arrows where air moves, thicker and with a larger head for more.
fn streams(d: &mut Drawing, plan: &Plan, p: &CutPanel) {
    for (ends, litres) in p.streams.iter().filter(|(_, l)| *l >= LEAST_STREAM) {
        let [from, to] = ends.map(|e| plan.at(e));
        arrow(d, from, to, (litres / LEAST_STREAM).ln());
    }
}

fn arrow(d: &mut Drawing, from: Point, to: Point, size: f64) {
    let length = (to[0] - from[0]).hypot(to[1] - from[1]);
    if length < 4.0 {
        return;
    }
    let along = [(to[0] - from[0]) / length, (to[1] - from[1]) / length];
    let head = (5.0 + size).min(0.5 * length);
    let neck = [0, 1].map(|a| to[a] - head * along[a]);
    let wing = |side: f64| {
        let off = 0.5 * side * head;
        [neck[0] - off * along[1], neck[1] + off * along[0]]
    };
    let shaft = Stroke::solid(BLACK, 0.8 + 0.3 * size.min(5.0));
    d.line(&[from, neck], shaft);
    d.area(&[to, wing(1.0), wing(-1.0)], BLACK);
}

/// An arrow upwards, for the legend.
fn arrow_sample(d: &mut Drawing, [x, y]: [Span; 2]) {
    let middle = 0.5 * (x[0] + x[1]);
    arrow(d, [middle, y[1]], [middle, y[0]], 1.0);
}

/// The clusters with their temperatures; gives the places they take.
fn clusters(d: &mut Drawing, plan: &Plan, p: &CutPanel) -> Vec<[Span; 2]> {
    let mut taken = Vec::new();
    for c in p.clusters.iter().filter(|c| !c.outline.is_empty()) {
        let outline = plan.closed(&c.outline);
        d.area(&outline, WHITE);
        d.line(&outline, BEES);
        let [x, y] = [0, 1].map(|a| span(outline.iter().map(|q| q[a])));
        let middle =
            [0, 1].map(|a| outline.iter().map(|q| q[a]).sum::<f64>() / outline.len() as f64);
        words_in(d, middle, [x, y], c);
        taken.push([x, y]);
    }
    taken
}

/// Temperatures of places where there is room beside the clusters; tells whether there was any.
fn numbers(d: &mut Drawing, plan: &Plan, p: &CutPanel, mut taken: Vec<[Span; 2]>) -> bool {
    let clusters = taken.len();
    for (at, c) in &p.numbers {
        let (at, text) = (plan.at(*at), Units::Both.temperature(*c));
        let half = [0.5 * text_width(&text, SMALL) + 2.5, 8.0];
        let place = [0, 1].map(|a| [at[a] - half[a], at[a] + half[a]]);
        let clear = |o: &[Span; 2]| (0..2).any(|a| place[a][0] > o[a][1] || place[a][1] < o[a][0]);
        let whole = place[0][0] >= 0.0 && place[0][1] <= d.size[0];
        if whole && taken.iter().all(clear) {
            d.rectangle(place, WHITE);
            d.words(&text, at, Side::Middle, 2.0 * half[0]);
            taken.push(place);
        }
    }
    taken.len() > clusters
}

/// Names of the hives below them, and what is between them.
fn names(d: &mut Drawing, plan: &Plan, p: &CutPanel, foot: f64) {
    let width = d.size[0];
    for (i, (name, x)) in p.names.iter().enumerate() {
        let [l, r] = x.map(|x| plan.at([x, 0.0])[0]);
        let room = r - l - 4.0;
        let aired = p.air.get(i).map(|litres| {
            text!(
                "pictures.name_and_air",
                name,
                litres = format!("{litres:.0}")
            )
        });
        let name = &aired
            .filter(|t| text_width(t, SMALL) <= room)
            .unwrap_or_else(|| name.clone());
        let half = 0.5 * text_width(name, SMALL).min(room);
        let at = (0.5 * (l + r)).clamp(half + 2.0, width - half - 2.0);
        d.words(name, [at, foot + 14.0], Side::Middle, room);
    }
    let mut right = f64::NEG_INFINITY;
    for (x, words) in &p.between {
        let x = plan.at([*x, 0.0])[0];
        let half = 0.5 * text_width(words, SMALL);
        let at = x.clamp(half + 6.0, (width - half - 6.0).max(half + 6.0));
        if at - half <= right + 8.0 {
            continue;
        }
        right = at + half;
        d.upright(x, [foot + 2.0, foot + 24.0], Stroke::solid(BLACK, 0.8));
        d.words(words, [at, foot + 34.0], Side::Middle, width - 12.0);
    }
}

/// Core and outermost bees in the cluster's middle, as much as it has room for.
fn words_in(d: &mut Drawing, middle: Point, [x, y]: [Span; 2], c: &CutCluster) {
    let (wide, high) = (0.9 * (x[1] - x[0]), y[1] - y[0]);
    let [core, skin] = [c.core_c, c.mantle_c].map(|c| Units::Both.temperature(c));
    let fits = |text: &str| text_width(text, SMALL) <= wide;
    let lines = ["core", &core, "outermost", &skin];
    if lines.into_iter().all(fits) && high >= 86.0 {
        for (text, dy) in lines.into_iter().zip([-27.0, -10.0, 9.0, 26.0]) {
            d.words(text, [middle[0], middle[1] + dy], Side::Middle, wide);
        }
    } else if fits(&core) && high >= 20.0 {
        d.words(&core, middle, Side::Middle, wide);
    }
}

/// "gap 38 mm (1-1/2 in), wall 3 C (37 F)".
#[must_use]
pub fn between_words(gap: f64, wall_c: Option<f64>) -> String {
    let gap = if gap < 5e-4 {
        text!("pictures.no_gap")
    } else {
        text!("pictures.gap", gap = length(gap))
    };
    match wall_c {
        Some(c) => text!(
            "pictures.between_hives_there",
            gap,
            temperature = Units::Both.temperature(c)
        ),
        None => text!("pictures.between_hives", gap = gap),
    }
}
