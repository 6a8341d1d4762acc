//! The winter strip: month by month, the cluster against its combs and the honey it touches.

use super::drawing::{BLACK, Drawing, GREY, GRID, Point, Side, Span, Stroke, circle};
use super::plan::{Plan, Rect, extent};
use super::sheet::Sample;
use super::{Picture, PictureError, all_drawable};
use crate::text;
use crate::texts::said;
use crate::words::Units;
use partywall_core::region::Region;
use partywall_core::season::trace::{Trace, TraceColony, TraceRow};

/// What is drawn.
pub struct StripPicture<'a> {
    /// Title.
    pub title: &'a str,
    /// Words below it.
    pub below: &'a str,
    /// The winter hour by hour.
    pub trace: &'a Trace,
    /// One per colony, in the order of the trace.
    pub hives: &'a [StripHive],
}

/// A hive seen from the front; lengths in m.
#[derive(Debug, Clone, PartialEq)]
pub struct StripHive {
    /// Name.
    pub name: String,
    /// Combs: from-to across and up, m.
    pub combs: Vec<Rect>,
    /// Where the cluster can be.
    pub region: Region,
}

/// One month of one colony.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Month {
    pub(super) name: String,
    /// Centre, m, means of the month.
    pub(super) centre: [f64; 3],
    /// Mean radius of a sphere that holds the cluster, and the one of the coldest day, m.
    pub(super) radius: [f64; 2],
    /// Mean honey in contact, kg.
    pub(super) in_contact: f64,
    /// Share of the hours with live bees.
    pub(super) alive: f64,
}

/// Most months side by side on a wide and on a narrow sheet; longer winters go on in another row.
const IN_A_ROW: [usize; 2] = [9, 4];
/// Greatest height of the combs, units.
const UP: f64 = 150.0;
const COMB: Stroke = Stroke::solid(GREY, 0.7);
const USUAL: Stroke = Stroke::solid(BLACK, 2.2);
const COLDEST: Stroke = Stroke::dashed(BLACK, 1.6, &[3.0, 2.5]);

/// Draws the strip.
///
/// # Errors
/// Without an hour, or with a value that is not a number.
pub fn strip(p: &StripPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("strip".to_owned(), |width| sheet(p, width))
}

/// Gathers the months of one colony.
pub(super) fn months(
    title: &str,
    trace: &Trace,
    colony: usize,
) -> Result<Vec<Month>, PictureError> {
    let mut out = Vec::new();
    let month = |row: &TraceRow| (row.time.year(), row.time.month());
    for rows in trace.rows.chunk_by(|a, b| month(a) == month(b)) {
        let hours = rows.iter();
        let hours = hours.filter_map(|r| Some((r.colonies.get(colony)?, r.outdoor_c)));
        let hours: Vec<(&TraceColony, f64)> = hours.collect();
        let Some(first) = rows.first().filter(|_| !hours.is_empty()) else {
            continue;
        };
        let values = hours.iter().flat_map(|(c, outside)| {
            [
                (said("pictures.radius_cluster_m"), c.radius),
                (said("pictures.centre_cluster_m"), c.centre.iter().sum()),
                (said("pictures.honey_within_reach_kg"), c.in_contact),
                (said("pictures.outside_air_degc"), *outside),
                ("bees", c.bees),
            ]
        });
        all_drawable(title, first.time, values)?;
        let lived = |hours: &[(&'_ TraceColony, f64)], f: fn(&TraceColony) -> f64| {
            let lived = hours.iter().filter(|(c, _)| c.bees >= 1.0);
            let (n, sum) = lived.fold((0, 0.0), |(n, sum), (c, _)| (n + 1, sum + f(c)));
            (n, sum / f64::from(n.max(1)))
        };
        let mean = |f| lived(&hours, f).1;
        let air = |day: &[(&TraceColony, f64)]| {
            day.iter().map(|(_, t)| t).sum::<f64>() / day.len() as f64
        };
        let days = hours.chunks(24);
        let coldest = days.min_by(|a, b| air(a).total_cmp(&air(b))).unwrap_or(&[]);
        let radius = mean(|c| c.radius);
        out.push(Month {
            name: first.time.strftime("%b").to_string(),
            centre: [
                mean(|c| c.centre[0]),
                mean(|c| c.centre[1]),
                mean(|c| c.centre[2]),
            ],
            radius: match lived(coldest, |c| c.radius) {
                (0, _) => [radius; 2],
                (_, cold) => [radius, cold],
            },
            in_contact: mean(|c| c.in_contact),
            alive: f64::from(lived(&hours, |_| 0.0).0) / hours.len() as f64,
        });
    }
    if out.is_empty() {
        return Err(PictureError::Empty(title.to_owned()));
    }
    Ok(out)
}

/// The drawing of [`strip`].
pub(super) fn sheet(p: &StripPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let months = (0..p.hives.len()).map(|i| months(p.title, p.trace, i));
    let months: Vec<Vec<Month>> = months.collect::<Result<_, _>>()?;
    let most = months.iter().map(Vec::len).max().unwrap_or(0);
    if most == 0 {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let combs = p.hives.iter().flat_map(|h| &h.combs);
    let places = combs.map(|c| (said("pictures.place_comb_m"), c.as_flattened().iter().sum()));
    all_drawable(p.title, said("pictures.any_day"), places)?;
    let mut d = Drawing::new(width);
    let (side, in_a_row) = (d.left(), d.pick(IN_A_ROW[0], IN_A_ROW[1]));
    let slot = (width - 2.0 * side) / most.min(in_a_row) as f64;
    let size = |axis: usize| {
        let sizes = p.hives.iter().map(|h| extent(h.combs.iter())[axis]);
        sizes.map(|[lo, hi]| hi - lo).fold(0.05, f64::max)
    };
    let k = ((slot - 10.0) / size(0)).min(UP / size(1));
    let tall = k * size(1);
    d.heading(p.title, p.below);
    let usual = Sample::Mark(|d, place| ring(d, place, 9.0, USUAL));
    let coldest = Sample::Mark(|d, place| ring(d, place, 7.0, COLDEST));
    let comb = Sample::Mark(|d, [[l, r], y]| d.rectangle([[l + 14.0, r - 14.0], y], GRID));
    let words = said("pictures.comb_touches_below_how");
    let entries = [
        (usual, said("pictures.cluster_mean_month")),
        (coldest, said("pictures.coldest_day")),
        (comb, words),
    ];
    d.key(28.0, &entries);
    d.size[1] += 20.0;
    for (h, list) in p.hives.iter().zip(&months) {
        d.caption(12.0, &h.name);
        d.size[1] += 14.0;
        for row in list.chunks(in_a_row) {
            let foot = d.size[1] + 22.0 + tall;
            for (i, m) in row.iter().enumerate() {
                let foot = [side + slot * (i as f64 + 0.5), foot];
                one(&mut d, h, m, foot, [k, slot]);
            }
            d.size[1] = foot + 62.0;
        }
    }
    d.size[1] += 8.0;
    Ok(d)
}

/// The outline of a cluster in the key.
fn ring(d: &mut Drawing, [x, y]: [Span; 2], radius: f64, stroke: Stroke) {
    let mut points = circle([0.5 * (x[0] + x[1]), 0.5 * (y[0] + y[1])], radius, 72);
    points.extend(points.first().copied());
    d.line(&points, stroke);
}

/// Whether an outline that goes up on the left and down on the right reaches into a comb.
fn touches(outline: &[Point], comb: &Rect) -> bool {
    let rows = outline.iter().zip(outline.iter().rev());
    rows.take(outline.len() / 2).any(|(left, right)| {
        let level = left[1] >= comb[1][0] && left[1] <= comb[1][1];
        level && left[0] <= comb[0][1] && right[0] >= comb[0][0]
    })
}

/// One month with the middle of its lower edge at `foot`, `k` units to a metre, in a slot of a width.
fn one(d: &mut Drawing, h: &StripHive, m: &Month, foot: [f64; 2], [k, slot]: [f64; 2]) {
    let [x, z] = extent(h.combs.iter());
    if x[0] > x[1] {
        return;
    }
    let plan = Plan::side(k, [0.5 * (x[0] + x[1]), z[0]], foot);
    let word = |d: &mut Drawing, text: &str, y: f64| {
        d.words(text, [foot[0], y], Side::Middle, slot - 2.0);
    };
    word(d, &m.name, plan.at([0.0, z[1]])[1] - 12.0);
    let outlines = m.radius.map(|size| {
        let ball = h.region.ball(m.centre, size);
        h.region.outline(&ball, 2, ball.seat[1])
    });
    let mut touched = std::collections::BTreeSet::new();
    for c in &h.combs {
        if m.alive > 0.0 && touches(&outlines[0], c) {
            touched.insert((1e4 * (c[0][0] + c[0][1])).round() as i64);
            d.rectangle(plan.rect(c), GRID);
        }
        d.outline(plan.rect(c), COMB);
    }
    if m.alive <= 0.0 {
        word(d, said("pictures.no_live_bees"), foot[1] + 13.0);
        return;
    }
    for (outline, stroke) in outlines.iter().zip([USUAL, COLDEST]) {
        d.line(&plan.closed(outline), stroke);
    }
    let combs = match touched.len() {
        1 => text!("pictures.comb"),
        n => text!("pictures.combs", count = n),
    };
    let both = Units::Both.mass(m.in_contact);
    let (kg, lb) = both.split_once(" (").unwrap_or((&both, ""));
    let lines = [&combs, kg, lb.trim_end_matches(')')];
    for (text, dy) in lines.into_iter().zip([13.0, 29.0, 45.0]) {
        word(d, text, foot[1] + dy);
    }
}
