//! Dew and ice that lie in each hive, day by day through one winter.

use super::axis::{Dates, day, number, span};
use super::drawing::{BLACK, BLUE, Drawing, GREY, Stroke, VERMILION};
use super::panel::{Labels, Panel};
use super::sheet::Sample;
use super::{Picture, PictureError, all_drawable};
use crate::text;
use crate::texts::said;
use crate::words::{LightWords, Units, ounces};
use jiff::ToSpan;
use jiff::civil::Date;
use partywall_core::season::trace::{Trace, TraceColony};

/// What is drawn.
pub struct DampPicture<'a> {
    /// Title.
    pub title: &'a str,
    /// Words below it.
    pub below: &'a str,
    /// The winter hour by hour.
    pub trace: &'a Trace,
    /// Names of the hives, one per colony, in the order of the trace.
    pub hives: &'a [&'a str],
    /// "19 May".
    pub first_nectar: &'a str,
}

/// Less than this is not seen, g.
const SEEN: f64 = 1.0;

/// Where it lies, in the order of the key: what it is called, how it is drawn, how much there is, kg.
type Place = (&'static str, Stroke, fn(&TraceColony) -> f64);
fn places() -> [Place; 4] {
    [
        (
            said("pictures.under_the_lid"),
            Stroke::solid(BLACK, 2.4),
            |c| c.lies.lid,
        ),
        (
            said("pictures.on_the_walls"),
            Stroke::dashed(BLUE, 1.8, &[8.0, 4.0]),
            |c| c.lies.walls,
        ),
        (
            said("pictures.on_the_floor"),
            Stroke::dashed(VERMILION, 2.0, &[2.5, 2.5]),
            |c| c.lies.floor,
        ),
        (said("pictures.on_combs"), Stroke::solid(GREY, 1.0), |c| {
            c.lies.combs
        }),
    ]
}

/// g at the left, oz at the right.
const LIGHT: Labels = (number, Some(|g| format!("{:.1}", ounces(1e-3 * g))));

/// Draws the picture.
///
/// # Errors
/// Without a single hour, or with a value that is not a number.
pub fn damp(p: &DampPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new("damp".to_owned(), |width| sheet(p, width))
}

/// The most that lies in each place on each day, g, and the days.
fn by_day(p: &DampPicture<'_>, index: usize) -> Result<(Vec<Date>, [Vec<f64>; 4]), PictureError> {
    let (mut dates, mut most) = (Vec::new(), [const { Vec::new() }; 4]);
    for rows in p.trace.rows.chunk_by(|a, b| a.time.date() == b.time.date()) {
        let mut day = [0.0_f64; 4];
        for row in rows {
            let Some(c) = row.colonies.get(index) else {
                return Err(PictureError::Empty(p.title.to_owned()));
            };
            let here = places().map(|(what, _, of)| (what, 1e3 * of(c)));
            all_drawable(p.title, row.time, here)?;
            for (most, (_, g)) in day.iter_mut().zip(here) {
                *most = most.max(g);
            }
        }
        dates.extend(rows.first().map(|r| r.time.date()));
        for (list, g) in most.iter_mut().zip(day) {
            list.push(g);
        }
    }
    if dates.is_empty() {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    Ok((dates, most))
}

/// The hive's name with the most under its lid, g by day.
fn lid_words(name: &str, dates: Dates, lid: &[f64]) -> String {
    let most = lid.iter().copied().enumerate();
    match most.max_by(|a, b| a.1.total_cmp(&b.1)) {
        Some((i, g)) if g >= SEEN => text!(
            "pictures.lid_most",
            name,
            most = Units::Both.light(1e-3 * g),
            on = day(dates.start.saturating_add((i as i64).days()))
        ),
        _ => text!("pictures.lid_dry", name),
    }
}

/// The drawing of [`damp`].
pub(super) fn sheet(p: &DampPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let hives = (0..p.hives.len()).map(|i| by_day(p, i));
    let hives = hives.collect::<Result<Vec<_>, _>>()?;
    let Some((dates, _)) = hives.first() else {
        return Err(PictureError::Empty(p.title.to_owned()));
    };
    let dates = Dates {
        start: dates[0],
        days: dates.len(),
    };
    let peak = |all: &[Vec<f64>; 4]| span(all.iter().flatten().copied())[1];
    // One scale for all hives, so that they can be held against each other.
    let most = hives.iter().map(|(_, all)| peak(all)).fold(0.0, f64::max);
    let mut d = Drawing::new(width);
    d.heading(p.title, p.below);
    if most >= SEEN {
        d.caption(32.0, said("pictures.dew_and_ice_by_day"));
        let entries = places().map(|(what, stroke, _)| (Sample::Line(stroke), what));
        d.key(22.0, &entries);
    }
    let end = text!(
        "pictures.first_dependable_nectar",
        first_nectar = p.first_nectar
    );
    for (name, (_, all)) in p.hives.iter().zip(&hives) {
        if peak(all) < SEEN {
            d.caption(32.0, &text!("pictures.never_damp", name));
            continue;
        }
        d.caption(32.0, &lid_words(name, dates, &all[0]));
        let panel = Panel::of_days(&mut d, [14.0, 150.0], dates, ([0.0, most], 5), LIGHT);
        // The lid last, over the others: it is the one that drips.
        for (list, (_, stroke, _)) in all.iter().zip(places()).rev() {
            panel.line(&mut d, list, stroke);
        }
        panel.frame(&mut d);
        panel.months(&mut d, dates, &end);
    }
    if most >= SEEN {
        d.remark(24.0, said("pictures.lid_may_drip"));
    }
    d.size[1] += 22.0;
    Ok(d)
}

#[cfg(test)]
mod tests {
    use super::super::tests::{both, trace};
    use super::*;

    fn drawn(days: i64, kg: fn(usize) -> f64, hives: &[&str]) -> Result<Drawing, PictureError> {
        let mut t = trace(days, |i, _, c| {
            c.lies.lid = kg(i);
            c.lies.floor = 0.5 * kg(i);
        });
        for row in &mut t.rows {
            let one = row.colonies[0];
            row.colonies = vec![one; 2];
            // The second hive is dry.
            row.colonies[1].lies = Default::default();
        }
        let picture = DampPicture {
            title: "Larch Flats: dew and ice in the hives, winter 1983/84",
            below: "below",
            trace: &t,
            hives,
            first_nectar: "19 May",
        };
        both(|w| sheet(&picture, w))
    }

    fn words(d: &Drawing) -> String {
        let all = d.word_boxes().into_iter().map(|(t, _)| t);
        all.collect::<Vec<_>>().join(" ")
    }

    /// Catches words cut off or over one another: a day, a month, a year, grams and kilograms, names far too long; and a dry hive drawn as
    /// an empty panel, or a key without lines.
    #[test]
    fn any_winter_can_be_read() {
        let long = "a very long name of a hive ".repeat(20);
        for days in [1, 31, 231, 366] {
            for kg in [
                (|_| 0.0012) as fn(usize) -> f64,
                |i| 0.3 + 0.2 * (i as f64 / 300.0).sin(),
                |i| 7.0 * (i % 50) as f64,
            ] {
                let d = drawn(days, kg, &["Left", "Right"]).unwrap();
                let told = words(&d);
                assert!(told.contains("under the lid"), "{told}");
                assert!(told.contains("Right: no dew or ice"), "{told}");
                drawn(days, kg, &[&long, "Right"]).unwrap();
            }
        }
        let dry = words(&drawn(60, |_| 0.0009, &["Left", "Right"]).unwrap());
        assert!(
            dry.contains("Left: no dew or ice") && !dry.contains("Nov"),
            "{dry}"
        );
    }

    /// Catches ice of the night that is lost because the day ends warm, and kilograms drawn as grams.
    #[test]
    fn a_day_shows_its_most() {
        let mut t = trace(2, |i, _, c| c.lies.lid = if i == 6 { 0.2 } else { 0.0 });
        let picture = |trace: &Trace| {
            let p = DampPicture {
                title: "x",
                below: "",
                trace,
                hives: &["Left"],
                first_nectar: "19 May",
            };
            by_day(&p, 0).map(|(_, all)| all[0].clone())
        };
        assert_eq!(picture(&t).unwrap(), [200.0, 0.0]);
        t.rows[30].colonies[0].lies.walls = f64::NAN;
        let e = picture(&t).unwrap_err();
        assert!(e.to_string().contains("on the walls is NaN"), "{e}");
        t.rows.clear();
        assert!(matches!(picture(&t), Err(PictureError::Empty(_))));
    }
}
