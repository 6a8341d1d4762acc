//! The frames from above, box by box: where the honey hangs, what is in each frame, where the cluster sits.

use super::drawing::{BLACK, Drawing, GREY, Point, SMALL, Side, Stroke};
use super::letters::{text_width, wrapped};
use super::plan::{Comb, Plan, Rect, extent, honey};
use super::sheet::Sample;
use super::{Picture, PictureError, all_drawable};
use crate::text;
use crate::texts::said;
use crate::words::Units;
use partywall_core::units::format::pounds;

/// What is drawn.
pub struct FramesPicture<'a> {
    /// Title.
    pub title: &'a str,
    /// Words below it.
    pub below: &'a str,
    /// "1 Oct", the day whose honey is drawn.
    pub start: &'a str,
    /// "12 Jan, the coldest hour", when the broken outline of the cluster is taken.
    pub later: &'a str,
    /// Boxes from the top down.
    pub rows: &'a [FrameRow],
}

/// All boxes of one level.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameRow {
    /// "Top box".
    pub name: String,
    /// One per hive that has a box there.
    pub panels: Vec<FramePanel>,
}

/// One box from above; lengths in m, x to the right, y from the front backwards.
#[derive(Debug, Clone, PartialEq)]
pub struct FramePanel {
    /// Name of the hive.
    pub hive: String,
    /// "ten-frame deep".
    pub pattern: String,
    /// Outside of the box, m.
    pub outer: Rect,
    /// Inside of its walls, m.
    pub inner: Rect,
    /// Combs from the left.
    pub combs: Vec<Comb>,
    /// Outlines of the cluster on the first day and later, m, where it reaches into this box.
    pub clusters: [Vec<Point>; 2],
}

/// Left end of the boxes, units.
const LEFT: f64 = 52.0;
/// Greatest depth of a box, units.
const DEEP: f64 = 420.0;
const EDGE: Stroke = Stroke::solid(BLACK, 1.2);
const COMB: Stroke = Stroke::solid(GREY, 0.7);
const NOW: Stroke = Stroke::solid(BLACK, 2.6);
const LATER: Stroke = Stroke::dashed(BLACK, 2.2, &[8.0, 5.0]);
/// Distance of two lines of a name, units.
const LINE: f64 = 18.0;
/// Lines of a name at most: what is longer is cut off the last.
const LINES: usize = 6;

/// Draws the frames.
///
/// # Errors
/// Without a box, or with a value that is not a number.
pub fn frames(p: &FramesPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("frames".to_owned(), |width| sheet(p, width))
}

fn checked(p: &FramesPicture<'_>) -> Result<(), PictureError> {
    for panel in p.rows.iter().flat_map(|r| &r.panels) {
        let mut all: Vec<_> = panel.combs.iter().flat_map(Comb::values).collect();
        for v in [panel.outer, panel.inner].as_flattened().as_flattened() {
            all.push((said("pictures.edge_box_m"), *v));
        }
        for outline in &panel.clusters {
            all.push((said("pictures.cluster_m"), outline.iter().flatten().sum()));
        }
        all_drawable(p.title, p.start, all)?;
    }
    Ok(())
}

/// The smallest rectangle round boxes.
fn around(boxes: &[&FramePanel]) -> Rect {
    extent(boxes.iter().map(|p| &p.outer))
}

/// The drawing of [`frames`]: the boxes of one level side by side, on a narrow sheet each by itself, so that what is in a frame can be
/// printed below it.
pub(super) fn sheet(p: &FramesPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    checked(p)?;
    let mut d = Drawing::new(width);
    let rows = p.rows.iter().flat_map(|row| {
        let parts = row.panels.chunks(d.pick(row.panels.len().max(1), 1));
        parts.map(|part| (&*row.name, part))
    });
    let rows: Vec<(&str, &[FramePanel])> = rows.collect();
    let all: Vec<&FramePanel> = rows.iter().flat_map(|(_, part)| part.iter()).collect();
    let [x, y] = around(&all);
    if y[0] > y[1] {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    // Boxes of one hive stay above one another on a wide sheet, since all rows have one left end.
    let widest = all.iter().map(|p| p.outer[0][1] - p.outer[0][0]);
    let span = d.pick(x[1] - x[0], widest.fold(0.0, f64::max)).max(1e-3);
    let k = ((width - LEFT - 20.0) / span).min(DEEP / (y[1] - y[0]).max(1e-3));
    let deep = k * (y[1] - y[0]);
    d.heading(p.title, p.below);
    let [now, later] = [p.start, p.later].map(|day| text!("pictures.cluster_on", day = day));
    let full = Sample::Mark(|d, place| honey(d, place, 1.0));
    let entries = [
        (full, said("pictures.honey_denser_fuller")),
        (Sample::Line(NOW), &*now),
        (Sample::Line(LATER), &*later),
    ];
    d.key(28.0, &entries);
    d.size[1] += 28.0;
    for (name, part) in rows {
        let top = d.size[1];
        d.caption(8.0, name);
        // A narrow box has its name in as many lines as it takes.
        let lines = part.iter().map(|q| named(q, k).len()).max().unwrap_or(1);
        let under = top + 42.0 + LINE * (lines.max(1) - 1) as f64;
        let part: Vec<&FramePanel> = part.iter().collect();
        let first = d.pick(x[0], around(&part)[0][0]);
        let left = LEFT + 0.5 * (width - LEFT - 20.0 - k * span);
        // From behind, with the hives in the order of the scenario, the front is the far side.
        let plan = Plan::above(k, [first, y[0]], [left, under]);
        for panel in part {
            one(&mut d, panel, k, &plan);
        }
        let foot = under + deep;
        for (text, y) in [
            ("front", under + 8.0),
            ("back", foot - 8.0),
            ("frame", foot + 13.0),
            ("kg", foot + 29.0),
            ("lb", foot + 45.0),
        ] {
            d.words(text, [left - 8.0, y], Side::Right, LEFT - 8.0);
        }
        d.size[1] = foot + 62.0;
    }
    d.size[1] += 26.0;
    Ok(d)
}

/// Whose box it is, its kind and its honey, in lines that fit above it when a metre is `k` units.
fn named(p: &FramePanel, k: f64) -> Vec<String> {
    let kg: f64 = p.combs.iter().map(|c| c.kg).sum();
    let words = format!("{}, {}: {}", p.hive, p.pattern, Units::Both.mass(kg));
    wrapped(&words, SMALL, k * (p.outer[0][1] - p.outer[0][0]), LINES)
}

fn one(d: &mut Drawing, p: &FramePanel, k: f64, plan: &Plan) {
    let [x, [top, foot]] = plan.rect(&p.outer);
    d.outline([x, [top, foot]], EDGE);
    d.outline(plan.rect(&p.inner), EDGE);
    for (i, line) in named(p, k).iter().rev().enumerate() {
        let at = [0.5 * (x[0] + x[1]), top - 11.0 - LINE * i as f64];
        d.words(line, at, Side::Middle, x[1] - x[0]);
    }
    let middle = |c: &Comb| plan.at([0.5 * (c.at[0][0] + c.at[0][1]), 0.0])[0];
    let pitch = p.combs.windows(2).map(|w| middle(&w[1]) - middle(&w[0]));
    let pitch = pitch.fold(x[1] - x[0], f64::min);
    let told = |(f, c): (usize, &Comb)| {
        let amounts = [c.kg, pounds(c.kg)].map(|v| format!("{v:.1}"));
        [vec![(f + 1).to_string()], amounts.to_vec()].concat()
    };
    let texts: Vec<Vec<String>> = p.combs.iter().enumerate().map(told).collect();
    let widths = texts.iter().flatten().map(|t| text_width(t, SMALL));
    let fits = widths.fold(0.0, f64::max) + 4.0 <= pitch;
    for (comb, texts) in p.combs.iter().zip(&texts) {
        plan.comb(d, comb, COMB);
        for (text, dy) in texts.iter().zip([13.0, 29.0, 45.0]).filter(|_| fits) {
            d.words(text, [middle(comb), foot + dy], Side::Middle, pitch);
        }
    }
    for (outline, stroke) in p.clusters.iter().zip([NOW, LATER]) {
        if !outline.is_empty() {
            d.line(&plan.closed(outline), stroke);
        }
    }
}
