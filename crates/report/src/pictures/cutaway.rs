//! The hive cut through upright across the combs, to scale: temperatures of every piece, clusters, honey.

use super::drawing::{BLACK, Colour, Drawing, GREY, SMALL, Side, Stroke};
use super::panel::{caption, heading};
use super::render::text_width;
use super::shades::{Shades, ball, honey, label, label_box};
use super::{Picture, PictureError, drawable};
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
    /// "Butted together".
    pub name: String,
    /// The hour.
    pub time: DateTime,
    /// Air outside, degC.
    pub outside_c: f64,
    /// Pieces of the heat model.
    pub tiles: Vec<Tile>,
    /// Edges of boxes, boards and covers.
    pub edges: Vec<[[f64; 2]; 2]>,
    /// Combs with their honey.
    pub combs: Vec<CutComb>,
    /// Clusters.
    pub clusters: Vec<CutCluster>,
    /// Places whose temperature is printed, degC.
    pub numbers: Vec<([f64; 2], f64)>,
    /// Names of the hives and where they stand.
    pub names: Vec<(String, [f64; 2])>,
    /// What is between the hives: where, and in words.
    pub between: Vec<(f64, String)>,
}

/// One piece.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tile {
    /// From-to across, m.
    pub x: [f64; 2],
    /// From-to up, m.
    pub z: [f64; 2],
    /// Temperature, degC.
    pub c: f64,
}

/// One comb, cut.
#[derive(Debug, Clone, PartialEq)]
pub struct CutComb {
    /// From-to across, m.
    pub x: [f64; 2],
    /// From-to up, m.
    pub z: [f64; 2],
    /// Stretches with honey: from-to up, m, and how full, 0 to 1.
    pub honey: Vec<([f64; 2], f64)>,
}

/// One cluster, cut through its middle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CutCluster {
    /// Centre across and up, m.
    pub centre: [f64; 2],
    /// Radius, m.
    pub radius: f64,
    /// Walls that flatten it: across and up, m.
    pub walls: [[f64; 2]; 2],
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
const EDGE: Stroke = Stroke::solid(BLACK, 1.0);
const INSIDE: Colour = [255; 3];

/// Draws the cutaway.
///
/// # Errors
/// Without a piece, or with a value that is not a number.
pub fn cutaway(p: &Cutaway<'_>) -> Result<Picture, PictureError> {
    Picture::new(p.name.to_owned(), |width| sheet(p, width))
}

/// The scale of one panel.
struct Place {
    left: f64,
    floor: f64,
    k: f64,
    from: [f64; 2],
}

impl Place {
    fn at(&self, p: [f64; 2]) -> [f64; 2] {
        [
            self.left + self.k * (p[0] - self.from[0]),
            self.floor - self.k * (p[1] - self.from[1]),
        ]
    }
}

/// Least and greatest of all tiles across and up.
fn extent(p: &CutPanel) -> Option<[[f64; 2]; 2]> {
    let first = p.tiles.first()?;
    Some(p.tiles.iter().fold([first.x, first.z], |[x, z], t| {
        [
            [x[0].min(t.x[0]), x[1].max(t.x[1])],
            [z[0].min(t.z[0]), z[1].max(t.z[1])],
        ]
    }))
}

/// Refuses what cannot be drawn.
fn checked(title: &str, p: &CutPanel) -> Result<(), PictureError> {
    let tell = |what, value| drawable(title, what, value, p.time).map(drop);
    tell("outside air, degC", p.outside_c)?;
    for t in &p.tiles {
        tell("temperature of a piece, degC", t.c)?;
        for v in t.x.iter().chain(&t.z) {
            tell("edge of a piece, m", *v)?;
        }
    }
    for c in &p.combs {
        for (z, share) in &c.honey {
            tell("honey in a comb", *share)?;
            tell("height of honey, m", z[0] + z[1])?;
        }
    }
    for c in &p.clusters {
        tell("core, degC", c.core_c)?;
        tell("outermost bees, degC", c.mantle_c)?;
        tell("radius of the cluster, m", c.radius)?;
        tell("centre of the cluster, m", c.centre[0] + c.centre[1])?;
    }
    for (_, c) in &p.numbers {
        tell("temperature, degC", *c)?;
    }
    Ok(())
}

/// The drawing of [`cutaway`].
pub(super) fn sheet(p: &Cutaway<'_>, width: f64) -> Result<Drawing, PictureError> {
    let mut extents = Vec::new();
    for panel in p.panels {
        checked(p.title, panel)?;
        extents.push(extent(panel).ok_or_else(|| PictureError::Empty(p.title.to_owned()))?);
    }
    if extents.is_empty() {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let most = |axis: usize| {
        let sizes = extents.iter().map(|e| e[axis][1] - e[axis][0]);
        sizes.fold(1e-3, f64::max)
    };
    let mut d = Drawing::new(width, 0.0);
    let across = width - 2.0 * BESIDE[usize::from(d.narrow())];
    let k = (across / most(0)).min(UP / most(1));
    let shades = Shades::over(p.panels.iter().flat_map(|p| p.tiles.iter().map(|t| t.c)));
    let tall = k * most(1);
    let mut numbered = false;
    let mut top = heading(&mut d, p.title, p.below) + 22.0;
    for (i, (panel, [x, z])) in p.panels.iter().zip(&extents).enumerate() {
        let words = format!(
            "{}: {}, {}:00, outside {}",
            panel.name,
            panel.time.strftime("%-d %b %Y"),
            panel.time.hour(),
            Units::Both.temperature(panel.outside_c)
        );
        let mut y = caption(&mut d, top + 10.0, &words);
        if i == 0 {
            // Beside the caption where there is room for both.
            if d.narrow() {
                y += 24.0;
            }
            bar(&mut d, k, y - 2.0);
        }
        let place = Place {
            left: 0.5 * (width - k * (x[1] - x[0])),
            floor: y + 18.0 + tall,
            k,
            from: [x[0], z[0]],
        };
        numbered |= draw(&mut d, &place, panel, &shades);
        top = place.floor + 64.0;
    }
    d.size[1] = legend(&mut d, &shades, top + 26.0, numbered) + 34.0;
    Ok(d)
}

/// What shades and lines stand for, side by side, on a narrow sheet one below the other; gives the height of the last words.
fn legend(d: &mut Drawing, shades: &Shades, y: f64, numbered: bool) -> f64 {
    let narrow = d.narrow();
    let (from, to) = if narrow { (40.0, 420.0) } else { (90.0, 500.0) };
    shades.key(d, [from, to], y);
    let words = "temperature, each shade one step";
    d.words(words, [from, y + 42.0], Side::Left, SMALL, to - from);
    let (x, y) = if narrow { (from, y + 90.0) } else { (560.0, y) };
    let room = d.size[0] - x - 60.0;
    honey(d, [x, x + 40.0], [y - 24.0, y - 8.0], 1.0);
    d.line(
        &[
            [x, y - 24.0],
            [x + 40.0, y - 24.0],
            [x + 40.0, y - 8.0],
            [x, y - 8.0],
            [x, y - 24.0],
        ],
        COMB,
    );
    let words = "honey, the denser the fuller";
    d.words(words, [x + 50.0, y - 16.0], Side::Left, SMALL, room);
    d.line(&[[x, y + 10.0], [x + 40.0, y + 10.0]], BEES);
    let words = "cluster, cut through its middle";
    d.words(words, [x + 50.0, y + 10.0], Side::Left, SMALL, room);
    if numbered {
        let words = "numbers: temperature at that place";
        d.words(words, [x, y + 36.0], Side::Left, SMALL, room + 50.0);
    }
    y + 42.0
}

/// A bar of 20 cm at the right end.
fn bar(d: &mut Drawing, k: f64, y: f64) {
    let right = d.size[0] - 20.0;
    let left = right - 0.2 * k;
    let ends = [[left, y + 12.0], [right, y + 12.0]];
    d.line(&ends, Stroke::solid(BLACK, 2.0));
    for x in [left, right] {
        d.line(&[[x, y + 8.0], [x, y + 16.0]], Stroke::solid(BLACK, 1.2));
    }
    d.words("20 cm (8 in)", [right, y], Side::Right, SMALL, 100.0);
}

/// Draws a panel; answers whether there was room for a temperature beside the clusters.
fn draw(d: &mut Drawing, place: &Place, p: &CutPanel, shades: &Shades) -> bool {
    let width = d.size[0];
    for t in merged(&p.tiles, |t| shades.step(t.c)) {
        let ([l, b], [r, top]) = (place.at([t.x[0], t.z[0]]), place.at([t.x[1], t.z[1]]));
        // A little over the neighbours: hair lines between areas are a fault of viewers.
        d.rectangle(
            [l, r + 0.6],
            [top, b + 0.6],
            shades.colour(shades.step(t.c)),
        );
    }
    for c in &p.combs {
        let ([l, b], [r, top]) = (place.at([c.x[0], c.z[0]]), place.at([c.x[1], c.z[1]]));
        d.line(&[[l, b], [l, top], [r, top], [r, b], [l, b]], COMB);
        for (z, share) in &c.honey {
            let (low, high) = (place.at([c.x[0], z[0]])[1], place.at([c.x[0], z[1]])[1]);
            honey(d, [l + 0.8, r - 0.8], [high, low], *share);
        }
    }
    for e in &p.edges {
        let ([l, b], [r, top]) = (place.at([e[0][0], e[1][0]]), place.at([e[0][1], e[1][1]]));
        d.line(&[[l, b], [l, top], [r, top], [r, b], [l, b]], EDGE);
    }
    let mut taken: Vec<[f64; 4]> = Vec::new();
    for c in &p.clusters {
        if c.radius <= 0.0 {
            continue;
        }
        let outline: Vec<[f64; 2]> = ball(c.centre, c.radius, c.walls)
            .into_iter()
            .map(|q| place.at(q))
            .collect();
        d.area(&outline, INSIDE);
        d.line(&outline, BEES);
        let ends = |a: usize| {
            let of = outline.iter().map(|q| q[a]);
            [
                of.clone().fold(f64::INFINITY, f64::min),
                of.fold(f64::NEG_INFINITY, f64::max),
            ]
        };
        let (x, y) = (ends(0), ends(1));
        taken.push([x[0], y[0], x[1], y[1]]);
        let middle = [0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])];
        words_in(d, middle, 0.9 * (x[1] - x[0]), y[1] - y[0], c);
    }
    let mut numbered = false;
    for (at, c) in &p.numbers {
        let (at, text) = (place.at(*at), Units::Both.temperature(*c));
        let b = label_box(&text, at);
        let apart = |o: &[f64; 4]| b[0] > o[2] || b[2] < o[0] || b[1] > o[3] || b[3] < o[1];
        let whole = b[0] >= 0.0 && b[2] <= width;
        if whole && taken.iter().all(apart) {
            label(d, &text, at);
            taken.push(b);
            numbered = true;
        }
    }
    let below = place.floor + 14.0;
    for (name, x) in &p.names {
        let (l, r) = (place.at([x[0], 0.0])[0], place.at([x[1], 0.0])[0]);
        let room = r - l - 4.0;
        let half = 0.5 * text_width(name, SMALL).min(room);
        let at = (0.5 * (l + r)).clamp(half + 2.0, width - half - 2.0);
        d.words(name, [at, below], Side::Middle, SMALL, room);
    }
    let mut right = f64::NEG_INFINITY;
    for (x, words) in &p.between {
        let x = place.at([*x, 0.0])[0];
        let half = 0.5 * text_width(words, SMALL);
        let at = x.clamp(half + 6.0, (width - half - 6.0).max(half + 6.0));
        if at - half <= right + 8.0 {
            continue;
        }
        right = at + half;
        d.line(
            &[[x, place.floor + 2.0], [x, place.floor + 24.0]],
            Stroke::solid(BLACK, 0.8),
        );
        d.words(words, [at, below + 20.0], Side::Middle, SMALL, width - 12.0);
    }
    numbered
}

/// Core and outermost bees in the cluster's middle, as much as it has room for.
fn words_in(d: &mut Drawing, middle: [f64; 2], wide: f64, high: f64, c: &CutCluster) {
    let core = Units::Both.temperature(c.core_c);
    let skin = Units::Both.temperature(c.mantle_c);
    let lines = [
        ("core".to_owned(), -27.0),
        (core.clone(), -10.0),
        ("outermost".to_owned(), 9.0),
        (skin, 26.0),
    ];
    let widest = lines.iter().map(|(t, _)| text_width(t, SMALL));
    if widest.fold(0.0, f64::max) <= wide && high >= 86.0 {
        for (text, dy) in &lines {
            let at = [middle[0], middle[1] + dy];
            d.words(text, at, Side::Middle, SMALL, wide);
        }
    } else if text_width(&core, SMALL) <= wide && high >= 20.0 {
        d.words(&core, middle, Side::Middle, SMALL, wide);
    }
}

/// Pieces of one kind joined where they make a rectangle: first along x, then up.
pub(super) fn merged(tiles: &[Tile], kind: impl Fn(&Tile) -> usize) -> Vec<Tile> {
    const SAME: f64 = 1e-9;
    let near = |a: f64, b: f64| (a - b).abs() < SAME;
    let mut sorted = tiles.to_vec();
    sorted.sort_by(|a, b| a.z[0].total_cmp(&b.z[0]).then(a.x[0].total_cmp(&b.x[0])));
    let mut rows: Vec<Tile> = Vec::new();
    for t in sorted {
        match rows.last_mut() {
            Some(last)
                if near(last.z[0], t.z[0])
                    && near(last.z[1], t.z[1])
                    && near(last.x[1], t.x[0])
                    && kind(last) == kind(&t) =>
            {
                last.x[1] = t.x[1];
            }
            _ => rows.push(t),
        }
    }
    rows.sort_by(|a, b| {
        a.x[0]
            .total_cmp(&b.x[0])
            .then(a.x[1].total_cmp(&b.x[1]))
            .then(a.z[0].total_cmp(&b.z[0]))
    });
    let mut out: Vec<Tile> = Vec::new();
    for t in rows {
        match out.last_mut() {
            Some(last)
                if near(last.x[0], t.x[0])
                    && near(last.x[1], t.x[1])
                    && near(last.z[1], t.z[0])
                    && kind(last) == kind(&t) =>
            {
                last.z[1] = t.z[1];
            }
            _ => out.push(t),
        }
    }
    out
}

/// "gap 38 mm (1-1/2 in), wall 3 C (37 F)".
#[must_use]
pub fn between_words(gap: f64, wall_c: Option<f64>) -> String {
    let gap = if gap < 5e-4 {
        "no gap".to_owned()
    } else {
        format!("gap {}", length(gap))
    };
    match wall_c {
        Some(c) => format!(
            "between the hives: {gap}, {} there",
            Units::Both.temperature(c)
        ),
        None => format!("between the hives: {gap}"),
    }
}
