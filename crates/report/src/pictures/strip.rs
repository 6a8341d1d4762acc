//! The winter strip: month by month, the cluster against its combs and the honey it touches.

use super::drawing::{BLACK, Drawing, GREY, SMALL, Side, Stroke};
use super::panel::{caption, heading};
use super::shades::ball;
use super::{Picture, PictureError, drawable};
use crate::words::Units;
use partywall_core::season::trace::{Trace, TraceColony};

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
    pub combs: Vec<[[f64; 2]; 2]>,
    /// Walls that flatten the cluster: across and up, m.
    pub walls: [[f64; 2]; 2],
}

/// One month of one colony.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Month {
    pub(super) name: String,
    /// Centre across and up, m, means of the month.
    pub(super) centre: [f64; 2],
    /// Mean radius, and the one of the coldest day, m.
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
const NAMES: [&str; 12] = [
    "Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec",
];
const COMB: Stroke = Stroke::solid(GREY, 0.7);
const USUAL: Stroke = Stroke::solid(BLACK, 2.2);
const COLDEST: Stroke = Stroke {
    colour: BLACK,
    width: 1.6,
    dash: &[3.0, 2.5],
};

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
    let rows = trace
        .rows
        .chunk_by(|a, b| (a.time.year(), a.time.month()) == (b.time.year(), b.time.month()));
    for rows in rows {
        let hours: Vec<(&TraceColony, f64)> = rows
            .iter()
            .filter_map(|r| Some((r.colonies.get(colony)?, r.outside_c)))
            .collect();
        let Some(first) = rows.first().filter(|_| !hours.is_empty()) else {
            continue;
        };
        for (c, outside) in &hours {
            for (what, value) in [
                ("radius of the cluster, m", c.radius),
                ("centre of the cluster, m", c.centre[0] + c.centre[2]),
                ("honey within reach, kg", c.in_contact),
                ("outside air, degC", *outside),
                ("bees", c.bees),
            ] {
                drawable(title, what, value, first.time)?;
            }
        }
        let lived: Vec<_> = hours.iter().filter(|(c, _)| c.bees >= 1.0).collect();
        let n = lived.len().max(1) as f64;
        let mean =
            |f: &dyn Fn(&TraceColony) -> f64| lived.iter().map(|(c, _)| f(c)).sum::<f64>() / n;
        let coldest = hours
            .chunks(24)
            .min_by(|a, b| {
                let day = |h: &[(&TraceColony, f64)]| {
                    h.iter().map(|(_, t)| t).sum::<f64>() / h.len() as f64
                };
                day(a).total_cmp(&day(b))
            })
            .unwrap_or(&[]);
        let cold: Vec<f64> = coldest
            .iter()
            .filter(|(c, _)| c.bees >= 1.0)
            .map(|(c, _)| c.radius)
            .collect();
        let radius = mean(&|c| c.radius);
        out.push(Month {
            name: NAMES
                .get((first.time.month() - 1) as usize)
                .map_or_else(String::new, |n| (*n).to_owned()),
            centre: [mean(&|c| c.centre[0]), mean(&|c| c.centre[2])],
            radius: [
                radius,
                if cold.is_empty() {
                    radius
                } else {
                    cold.iter().sum::<f64>() / cold.len() as f64
                },
            ],
            in_contact: mean(&|c| c.in_contact),
            alive: lived.len() as f64 / hours.len() as f64,
        });
    }
    if out.is_empty() {
        return Err(PictureError::Empty(title.to_owned()));
    }
    Ok(out)
}

fn ends(combs: &[[[f64; 2]; 2]], axis: usize) -> [f64; 2] {
    combs
        .iter()
        .fold([f64::INFINITY, f64::NEG_INFINITY], |e, c| {
            [e[0].min(c[axis][0]), e[1].max(c[axis][1])]
        })
}

/// The drawing of [`strip`].
pub(super) fn sheet(p: &StripPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let mut months_of = Vec::new();
    for i in 0..p.hives.len() {
        months_of.push(months(p.title, p.trace, i)?);
    }
    let most = months_of.iter().map(Vec::len).max().unwrap_or(0);
    if most == 0 {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    for h in p.hives {
        for v in h.combs.iter().flatten().flatten() {
            drawable(p.title, "place of a comb, m", *v, "any day")?;
        }
    }
    let mut d = Drawing::new(width, 0.0);
    let side = if d.narrow() { 10.0 } else { 20.0 };
    let in_a_row = IN_A_ROW[usize::from(d.narrow())];
    let columns = most.min(in_a_row);
    let slot = (width - 2.0 * side) / columns as f64;
    let size = |axis: usize| {
        let sizes = p.hives.iter().map(|h| {
            let [lo, hi] = ends(&h.combs, axis);
            if lo < hi { hi - lo } else { 0.0 }
        });
        sizes.fold(0.05, f64::max)
    };
    let k = ((slot - 10.0) / size(0)).min(UP / size(1));
    let tall = k * size(1);
    let each = tall + 84.0;
    let y = heading(&mut d, p.title, p.below) + 28.0;
    let y = legend(&mut d, y);
    let mut top = y + 20.0;
    for (h, list) in p.hives.iter().zip(&months_of) {
        caption(&mut d, top + 12.0, &h.name);
        top += 26.0;
        for row in list.chunks(in_a_row) {
            for (i, m) in row.iter().enumerate() {
                let middle = side + slot * (i as f64 + 0.5);
                one(&mut d, h, m, [middle, top + 22.0], k, tall, slot);
            }
            top += each;
        }
    }
    d.size[1] = top + 8.0;
    Ok(d)
}

/// What the outlines stand for, in a row, on a narrow sheet one below the other; gives the height of the last.
fn legend(d: &mut Drawing, y: f64) -> f64 {
    let narrow = d.narrow();
    let at = |x: f64, row: usize| {
        if narrow {
            [20.0, y + 22.0 * row as f64]
        } else {
            [x, y]
        }
    };
    let no_walls = [[0.0, d.size[0]], [0.0, 1e6]];
    let told = |d: &mut Drawing, at: [f64; 2], words: &str| {
        let room = d.size[0] - at[0] - 20.0;
        d.words(words, [at[0] + 14.0, at[1]], Side::Left, SMALL, room);
    };
    let a = at(32.0, 0);
    d.line(&ball(a, 9.0, no_walls), USUAL);
    told(d, a, "cluster, mean of the month");
    let b = at(292.0, 1);
    d.line(&ball(b, 7.0, no_walls), COLDEST);
    told(d, b, "on its coldest day");
    let c = at(478.0, 2);
    d.rectangle([c[0], c[0] + 6.0], [c[1] - 9.0, c[1] + 9.0], [205; 3]);
    told(
        d,
        c,
        "comb it touches; below: how many, and the honey within reach",
    );
    c[1]
}

/// One month: `at` is the middle of the upper edge.
fn one(d: &mut Drawing, h: &StripHive, m: &Month, at: [f64; 2], k: f64, tall: f64, slot: f64) {
    d.words(&m.name, [at[0], at[1] - 12.0], Side::Middle, SMALL, slot);
    let (x, z) = (ends(&h.combs, 0), ends(&h.combs, 1));
    if x[0] > x[1] {
        return;
    }
    let place = |q: [f64; 2]| {
        [
            at[0] + k * (q[0] - 0.5 * (x[0] + x[1])),
            at[1] + tall - k * (q[1] - z[0]),
        ]
    };
    let mut touched = std::collections::BTreeSet::new();
    for c in &h.combs {
        let near = |axis: usize| {
            (c[axis][0] - m.centre[axis])
                .max(m.centre[axis] - c[axis][1])
                .max(0.0)
        };
        let hit = m.alive > 0.0 && near(0).hypot(near(1)) < m.radius[0];
        let (a, b) = (place([c[0][0], c[1][0]]), place([c[0][1], c[1][1]]));
        if hit {
            touched.insert((1e4 * (c[0][0] + c[0][1])).round() as i64);
            d.rectangle([a[0], b[0]], [b[1], a[1]], [205; 3]);
        }
        d.line(
            &[
                [a[0], a[1]],
                [a[0], b[1]],
                [b[0], b[1]],
                [b[0], a[1]],
                [a[0], a[1]],
            ],
            COMB,
        );
    }
    let foot = at[1] + tall;
    if m.alive <= 0.0 {
        d.words(
            "no live bees",
            [at[0], foot + 13.0],
            Side::Middle,
            SMALL,
            slot,
        );
        return;
    }
    for (radius, stroke) in m.radius.into_iter().zip([USUAL, COLDEST]) {
        let outline: Vec<[f64; 2]> = ball(m.centre, radius, h.walls)
            .into_iter()
            .map(place)
            .collect();
        d.line(&outline, stroke);
    }
    let combs = match touched.len() {
        1 => "1 comb".to_owned(),
        n => format!("{n} combs"),
    };
    d.words(
        &combs,
        [at[0], foot + 13.0],
        Side::Middle,
        SMALL,
        slot - 2.0,
    );
    let both = Units::Both.mass(m.in_contact);
    let (kg, lb) = both.split_once(" (").unwrap_or((&both, ""));
    d.words(kg, [at[0], foot + 29.0], Side::Middle, SMALL, slot - 2.0);
    d.words(
        lb.trim_end_matches(')'),
        [at[0], foot + 45.0],
        Side::Middle,
        SMALL,
        slot - 2.0,
    );
}
