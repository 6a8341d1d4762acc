//! The frames from above, box by box: where the honey hangs, what is in each frame, where the cluster sits.

use super::drawing::{BLACK, Drawing, GREY, SMALL, Side, Stroke, wrapped};
use super::panel::{caption, heading};
use super::render::text_width;
use super::shades::{ball, honey};
use super::{Picture, PictureError, drawable};
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

/// A stretch of a comb seen from above: from-to along it, m, honey in it, kg, and how full, 0 to 1.
pub type Stretch = ([f64; 2], f64, f64);
/// A circle: centre and radius, m.
pub type Circle = ([f64; 2], f64);

/// One box from above; lengths in m, x to the right, y from the front backwards.
#[derive(Debug, Clone, PartialEq)]
pub struct FramePanel {
    /// Name of the hive.
    pub hive: String,
    /// "ten-frame deep".
    pub pattern: String,
    /// Outside of the box, m.
    pub outer: [[f64; 2]; 2],
    /// Inside of its walls, m.
    pub inner: [[f64; 2]; 2],
    /// Thickness of a comb, m.
    pub thickness: f64,
    /// Frames from the left: middle, m, and the stretches along it.
    pub frames: Vec<(f64, Vec<Stretch>)>,
    /// Walls that flatten the cluster, m.
    pub walls: [[f64; 2]; 2],
    /// The cluster on the first day where it reaches into this box.
    pub at_start: Option<Circle>,
    /// The same later.
    pub later: Option<Circle>,
}

/// Left end of the boxes, units.
const LEFT: f64 = 52.0;
/// Greatest depth of a box, units.
const DEEP: f64 = 420.0;
const EDGE: Stroke = Stroke::solid(BLACK, 1.2);
const COMB: Stroke = Stroke::solid(GREY, 0.7);
const NOW: Stroke = Stroke::solid(BLACK, 2.6);
const LATER: Stroke = Stroke {
    colour: BLACK,
    width: 2.2,
    dash: &[8.0, 5.0],
};

/// Draws the frames.
///
/// # Errors
/// Without a box, or with a value that is not a number.
pub fn frames(p: &FramesPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("frames".to_owned(), |width| sheet(p, width))
}

fn checked(p: &FramesPicture<'_>) -> Result<(), PictureError> {
    for panel in p.rows.iter().flat_map(|r| &r.panels) {
        let tell = |what, value| drawable(p.title, what, value, p.start).map(drop);
        for v in panel.outer.iter().chain(&panel.inner).flatten() {
            tell("edge of a box, m", *v)?;
        }
        for (x, stretches) in &panel.frames {
            tell("place of a frame, m", *x)?;
            for (y, kg, share) in stretches {
                tell("place of honey, m", y[0] + y[1])?;
                tell("honey, kg", *kg)?;
                tell("honey in a comb", *share)?;
            }
        }
        for (at, radius) in panel.at_start.iter().chain(&panel.later) {
            tell("the cluster, m", at[0] + at[1] + radius)?;
        }
    }
    Ok(())
}

/// Least and greatest of boxes across or along.
fn ends<'a>(boxes: impl Iterator<Item = &'a FramePanel>, axis: usize) -> [f64; 2] {
    boxes.fold([f64::INFINITY, f64::NEG_INFINITY], |e, q| {
        [e[0].min(q.outer[axis][0]), e[1].max(q.outer[axis][1])]
    })
}

/// The drawing of [`frames`]: the boxes of one level side by side, on a narrow sheet each by itself, so that what is in a frame can be
/// printed below it.
pub(super) fn sheet(p: &FramesPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    checked(p)?;
    let mut d = Drawing::new(width, 0.0);
    let rows: Vec<(&str, &[FramePanel])> = p
        .rows
        .iter()
        .flat_map(|row| {
            let beside = if d.narrow() {
                1
            } else {
                row.panels.len().max(1)
            };
            let parts = row.panels.chunks(beside);
            parts.map(|part| (row.name.as_str(), part))
        })
        .collect();
    let panels = || rows.iter().flat_map(|(_, part)| part.iter());
    let y = ends(panels(), 1);
    if y[0] > y[1] {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let across = width - LEFT - 20.0;
    let widest = rows.iter().map(|(_, part)| {
        let x = ends(part.iter(), 0);
        x[1] - x[0]
    });
    // Boxes of one hive stay above one another on a wide sheet, since all rows have one left end.
    let x = ends(panels(), 0);
    let span = if d.narrow() {
        widest.fold(1e-3, f64::max)
    } else {
        (x[1] - x[0]).max(1e-3)
    };
    let k = (across / span).min(DEEP / (y[1] - y[0]).max(1e-3));
    let deep = k * (y[1] - y[0]);
    let top = heading(&mut d, p.title, p.below) + 28.0;
    let mut top = legend(&mut d, p, top) + 28.0;
    for (name, part) in rows {
        caption(&mut d, top + 8.0, name);
        // A narrow box has its name in as many lines as it takes.
        let lines = part.iter().map(|q| named(q, k).len()).max().unwrap_or(1);
        let under = top + 42.0 + LINE * (lines.max(1) - 1) as f64;
        let first = if d.narrow() {
            ends(part.iter(), 0)[0]
        } else {
            x[0]
        };
        let at = |q: [f64; 2]| {
            [
                LEFT + 0.5 * (across - k * span) + k * (q[0] - first),
                // From behind, with the hives in the order of the scenario, the front is the far side.
                under + k * (q[1] - y[0]),
            ]
        };
        for panel in part {
            one(&mut d, panel, k, &at);
        }
        let (head, foot) = (under, under + deep);
        let left = at([first, y[0]])[0] - 8.0;
        for (text, y) in [
            ("front", head + 8.0),
            ("back", foot - 8.0),
            ("frame", foot + 13.0),
            ("kg", foot + 29.0),
            ("lb", foot + 45.0),
        ] {
            d.words(text, [left, y], Side::Right, SMALL, LEFT - 8.0);
        }
        top = under + deep + 62.0;
    }
    d.size[1] = top + 26.0;
    Ok(d)
}

/// What the lines stand for, in a row, on a narrow sheet one below the other; gives the height of the last.
fn legend(d: &mut Drawing, p: &FramesPicture<'_>, y: f64) -> f64 {
    let narrow = d.narrow();
    let at = |x: f64, row: usize| {
        if narrow {
            (20.0, y + 22.0 * row as f64)
        } else {
            (x, y)
        }
    };
    let told = |d: &mut Drawing, (x, y): (f64, f64), words: &str| {
        let room = d.size[0] - x - 60.0;
        d.words(words, [x + 48.0, y], Side::Left, SMALL, room);
    };
    let first = at(20.0, 0);
    honey(
        d,
        [first.0, first.0 + 40.0],
        [first.1 - 8.0, first.1 + 8.0],
        1.0,
    );
    told(d, first, "honey, the denser the fuller");
    let now = at(300.0, 1);
    d.line(&[[now.0, now.1], [now.0 + 40.0, now.1]], NOW);
    told(d, now, &format!("cluster on {}", p.start));
    let later = at(530.0, 2);
    d.line(&[[later.0, later.1], [later.0 + 40.0, later.1]], LATER);
    told(d, later, &format!("cluster on {}", p.later));
    later.1
}

fn rectangle(d: &mut Drawing, x: [f64; 2], y: [f64; 2], stroke: Stroke) {
    d.line(
        &[
            [x[0], y[0]],
            [x[1], y[0]],
            [x[1], y[1]],
            [x[0], y[1]],
            [x[0], y[0]],
        ],
        stroke,
    );
}

/// Distance of two lines of a name, units.
const LINE: f64 = 18.0;
/// Lines of a name at most: what is longer is cut off the last.
const LINES: usize = 6;

/// Whose box it is, its kind and its honey, in lines that fit above it when a metre is `k` units.
fn named(p: &FramePanel, k: f64) -> Vec<String> {
    let kg: f64 = p
        .frames
        .iter()
        .flat_map(|(_, s)| s.iter().map(|s| s.1))
        .sum();
    let words = format!("{}, {}: {}", p.hive, p.pattern, Units::Both.mass(kg));
    wrapped(&words, SMALL, k * (p.outer[0][1] - p.outer[0][0]), LINES)
}

fn one(d: &mut Drawing, p: &FramePanel, k: f64, at: &dyn Fn([f64; 2]) -> [f64; 2]) {
    let place = |r: &[[f64; 2]; 2]| {
        let (a, b) = (at([r[0][0], r[1][0]]), at([r[0][1], r[1][1]]));
        ([a[0], b[0]], [a[1], b[1]])
    };
    let (x, y) = place(&p.outer);
    rectangle(d, x, y, EDGE);
    let (ix, iy) = place(&p.inner);
    rectangle(d, ix, iy, EDGE);
    let middle = 0.5 * (x[0] + x[1]);
    for (i, line) in named(p, k).iter().rev().enumerate() {
        let at = [middle, y[0] - 11.0 - LINE * i as f64];
        d.words(line, at, Side::Middle, SMALL, x[1] - x[0]);
    }
    let pitch = p
        .frames
        .windows(2)
        .map(|w| k * (w[1].0 - w[0].0))
        .fold(x[1] - x[0], f64::min);
    let amounts: Vec<f64> = p
        .frames
        .iter()
        .map(|(_, s)| s.iter().map(|s| s.1).sum())
        .collect();
    let text = |f: usize| {
        [
            format!("{}", f + 1),
            format!("{:.1}", amounts[f]),
            format!("{:.1}", pounds(amounts[f])),
        ]
    };
    let widest = (0..amounts.len())
        .flat_map(text)
        .map(|t| text_width(&t, SMALL))
        .fold(0.0, f64::max);
    for (f, (x, stretches)) in p.frames.iter().enumerate() {
        let half = 0.5 * p.thickness;
        let ends = stretches
            .iter()
            .fold([f64::INFINITY, f64::NEG_INFINITY], |e, s| {
                [e[0].min(s.0[0]), e[1].max(s.0[1])]
            });
        if ends[0] > ends[1] {
            continue;
        }
        let (cx, cy) = place(&[[x - half, x + half], ends]);
        rectangle(d, cx, cy, COMB);
        for (along, _, share) in stretches {
            let (_, hy) = place(&[[x - half, x + half], *along]);
            honey(d, [cx[0] + 1.0, cx[1] - 1.0], hy, *share);
        }
        if widest + 4.0 <= pitch {
            let foot = at([*x, p.outer[1][1]])[1];
            for (t, dy) in text(f).iter().zip([13.0, 29.0, 45.0]) {
                d.words(
                    t,
                    [0.5 * (cx[0] + cx[1]), foot + dy],
                    Side::Middle,
                    SMALL,
                    pitch,
                );
            }
        }
    }
    for (circle, stroke) in [(&p.at_start, NOW), (&p.later, LATER)] {
        if let Some((centre, radius)) = circle {
            let outline: Vec<[f64; 2]> = ball(*centre, *radius, p.walls)
                .into_iter()
                .map(at)
                .collect();
            d.line(&outline, stroke);
        }
    }
}
