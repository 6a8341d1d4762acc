//! Hives to scale: from metres to the sheet, and what is drawn there: pieces by their shade, honey, clusters.

use super::axis::span;
use super::drawing::{Drawing, Point, Span, Stroke};
use super::shades::Shades;
use crate::texts::said;

/// A rectangle: from-to across, and from-to up or along, m.
pub type Rect = [Span; 2];

/// Edges of boxes.
pub const EDGE: Stroke = Stroke::solid([0; 3], 1.0);
/// Lines of honey.
pub const HONEY: Stroke = Stroke::solid([70, 40, 0], 0.9);
/// Distance from one stroke of the honey's zigzag to the next where combs are full, units.
const ZIGZAG: f64 = 6.0;
/// Areas reach this far over their neighbours: hair lines between areas are a fault of viewers, units.
const OVER: f64 = 0.6;

/// The smallest rectangle round all.
pub fn extent<'a>(all: impl Iterator<Item = &'a Rect> + Clone) -> Rect {
    [0, 1].map(|axis| span(all.clone().flat_map(|r| r[axis])))
}

/// A piece of a hive.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Tile {
    /// Where it is.
    pub at: Rect,
    /// Temperature, degC.
    pub c: f64,
}

/// A comb with its honey, cut or seen from above.
#[derive(Debug, Clone, PartialEq)]
pub struct Comb {
    /// Where it is.
    pub at: Rect,
    /// Stretches with honey: from-to up or along, m, and how full, 0 to 1.
    pub honey: Vec<(Span, f64)>,
    /// Honey in what is drawn, kg.
    pub kg: f64,
}

impl Comb {
    /// All its numbers.
    pub(super) fn values(&self) -> Vec<(&'static str, f64)> {
        let place = self.at.as_flattened().iter().sum();
        let mut all = vec![
            (said("pictures.place_comb_m"), place),
            (said("pictures.honey_kg"), self.kg),
        ];
        for (ends, share) in &self.honey {
            all.push((said("pictures.place_honey_m"), ends[0] + ends[1]));
            all.push((said("pictures.honey_comb"), *share));
        }
        all
    }
}

/// A view of a hive to scale.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Plan {
    /// Units to a metre across, and down: negative where heights are drawn.
    k: [f64; 2],
    /// A place in the hive, m,
    from: Point,
    /// and on the sheet.
    to: Point,
}

impl Plan {
    /// Seen from the side, `k` units to a metre, with the place `from` drawn at `to`.
    pub const fn side(k: f64, from: Point, to: Point) -> Self {
        Self {
            k: [k, -k],
            from,
            to,
        }
    }

    /// Seen from above, what is further back further down.
    pub const fn above(k: f64, from: Point, to: Point) -> Self {
        Self {
            k: [k, k],
            from,
            to,
        }
    }

    /// Where a place is drawn.
    pub fn at(&self, p: Point) -> Point {
        std::array::from_fn(|i| self.to[i] + self.k[i] * (p[i] - self.from[i]))
    }

    /// Where a rectangle is drawn: across, down.
    pub fn rect(&self, r: &Rect) -> [Span; 2] {
        let (a, b) = (self.at([r[0][0], r[1][0]]), self.at([r[0][1], r[1][1]]));
        [0, 1].map(|i| span([a[i], b[i]]))
    }

    /// Pieces in their shades.
    pub fn tiles(&self, d: &mut Drawing, tiles: &[Tile], shades: &Shades) {
        for t in merged(tiles, |t| shades.step(t.c)) {
            let [[l, r], [top, b]] = self.rect(&t.at);
            let colour = shades.colour(shades.step(t.c));
            d.rectangle([[l, r + OVER], [top, b + OVER]], colour);
        }
    }

    /// A comb with its honey.
    pub fn comb(&self, d: &mut Drawing, comb: &Comb, stroke: Stroke) {
        let place = self.rect(&comb.at);
        d.outline(place, stroke);
        let [l, r] = place[0];
        for (ends, share) in &comb.honey {
            let [_, y] = self.rect(&[comb.at[0], *ends]);
            honey(d, [[l + 0.8, r - 0.8], y], *share);
        }
    }

    /// An outline, closed.
    pub fn closed(&self, outline: &[Point]) -> Vec<Point> {
        let all = outline.iter().chain(outline.first());
        all.map(|p| self.at(*p)).collect()
    }
}

/// Pieces of one kind joined where they make a rectangle: first along x, then up.
pub(super) fn merged(tiles: &[Tile], kind: impl Fn(&Tile) -> usize) -> Vec<Tile> {
    joined(joined(tiles.to_vec(), 0, &kind), 1, &kind)
}

/// Pieces of one kind joined where one goes on in the next along an axis.
fn joined(mut tiles: Vec<Tile>, axis: usize, kind: &impl Fn(&Tile) -> usize) -> Vec<Tile> {
    let other = 1 - axis;
    let near = |v: f64| (1e8 * v).round() as i64;
    let side = |t: &Tile| t.at[other].map(near);
    tiles.sort_by_key(|t| (side(t), near(t.at[axis][0])));
    let mut out: Vec<Tile> = Vec::new();
    for t in tiles {
        match out.last_mut() {
            Some(last)
                if side(last) == side(&t)
                    && near(last.at[axis][1]) == near(t.at[axis][0])
                    && kind(last) == kind(&t) =>
            {
                last.at[axis][1] = t.at[axis][1];
            }
            _ => out.push(t),
        }
    }
    out
}

/// Honey in a rectangle (across, down) as a zigzag across its shorter side; `share` of full, 0 to 1, sets how dense.
pub fn honey(d: &mut Drawing, [x, y]: [Span; 2], share: f64) {
    let (w, h) = (x[1] - x[0], y[1] - y[0]);
    if w <= 0.0 || h <= 0.0 || share < 0.05 || share.is_nan() {
        return;
    }
    let strokes = (w.max(h) * share.min(1.0) / ZIGZAG)
        .round()
        .clamp(1.0, 400.0) as usize;
    let points: Vec<Point> = (0..=strokes)
        .map(|i| {
            let (along, across) = (i as f64 / strokes as f64, (i % 2) as f64);
            let [u, v] = if h >= w {
                [across, along]
            } else {
                [along, across]
            };
            [x[0] + u * w, y[0] + v * h]
        })
        .collect();
    d.line(&points, HONEY);
}
