//! The stores of one winter as they were expected, as weighings show them, and as they are expected since.

use super::axis::Dates;
use super::calendar::{Calendar, Course, Weighing};
use super::drawing::{BAND, BLACK, Colour, Drawing, GREY, Stroke};
use super::stores::name;
use super::{Picture, PictureError, all_drawable, drawable};
use crate::text;
use crate::texts::said;
use crate::words::Units;
use jiff::civil::Date;
use partywall_core::decision::update::{Range, Seen};

/// What is drawn.
pub struct WeighedCalendar<'a> {
    /// Which hive, 1 for the first.
    pub number: usize,
    /// Its name.
    pub hive: &'a str,
    /// Words below the title.
    pub below: &'a str,
    /// First day.
    pub start: Date,
    /// Honey left as expected before it was weighed in winter, by day, kg.
    pub before: &'a [Range<f64>],
    /// The same since; empty when nothing fits the weighings.
    pub after: &'a [Range<f64>],
    /// The weighings.
    pub seen: &'a [Seen],
    /// Honey that must be left at first nectar, kg.
    pub reserve: f64,
    /// First dependable nectar.
    pub first_nectar: Date,
}

const SINCE: Colour = [158, 192, 222];
const MIDDLE: Stroke = Stroke::solid(BLACK, 2.4);
const WAS: Stroke = Stroke::dashed(GREY, 1.6, &[3.0, 3.0]);

/// Draws the calendar of one hive.
///
/// # Errors
/// Without a single day, or with a value that is not a number.
pub fn weighed(p: &WeighedCalendar<'_>) -> Result<Picture, PictureError> {
    Picture::new(name(p.number, p.hive), |width| sheet(p, width))
}

/// The drawing of [`weighed`].
pub(super) fn sheet(p: &WeighedCalendar<'_>, width: f64) -> Result<Drawing, PictureError> {
    let [from, to] = [p.start, p.first_nectar].map(|d| d.strftime("%-d %b %Y").to_string());
    let title = format!("{}, {from} to {to}", p.hive);
    for (day, r) in p
        .before
        .iter()
        .enumerate()
        .chain(p.after.iter().enumerate())
    {
        let all = [r.low, r.middle, r.high].map(|kg| (said("pictures.honey_hive_kg"), kg));
        all_drawable(&title, text!("pictures.day", day = day), all)?;
    }
    let mut weighings: Vec<Weighing> = Vec::new();
    for s in p.seen {
        let kg = [s.stores - s.error, s.stores, s.stores + s.error];
        let all = kg.map(|kg| (said("pictures.honey_weighed_kg"), kg));
        all_drawable(&title, text!("pictures.day_number", number = s.day), all)?;
        weighings.push((s.day, kg));
    }
    let reserve = drawable(
        &title,
        said("pictures.reserve_kg"),
        p.reserve,
        p.first_nectar,
    )?;
    let courses = [
        Course {
            days: p.before,
            stroke: WAS,
            fill: Some(BAND),
            words: said("pictures.expected_before"),
        },
        Course {
            days: p.after,
            stroke: MIDDLE,
            fill: Some(SINCE),
            words: said("pictures.weighings"),
        },
    ];
    let calendar = Calendar {
        title: &title,
        below: p.below,
        caption: said("pictures.honey_left_hive_day_kg"),
        dates: Dates {
            start: p.start,
            days: p.before.len().max(p.after.len()),
        },
        courses: &courses[..if p.after.is_empty() { 1 } else { 2 }],
        weighings: Some(&weighings),
        reserve: (
            reserve,
            &text!("pictures.reserve", reserve = Units::Both.mass(reserve)),
        ),
        end: &to,
    };
    let mut d = calendar.sheet(width)?;
    d.size[1] += 18.0;
    Ok(d)
}

#[cfg(test)]
mod tests {
    use super::super::calendar::DOT;
    use super::super::drawing::Item;
    use super::super::tests::both;
    use super::*;
    use jiff::civil::date;

    fn course(days: usize, from: f64) -> Vec<Range<f64>> {
        (0..days)
            .map(|i| {
                let middle = from - 0.1 * i as f64;
                Range {
                    low: middle - 2.0,
                    middle,
                    high: middle + 2.0,
                }
            })
            .collect()
    }

    fn picture<'a>(
        was: &'a [Range<f64>],
        since: &'a [Range<f64>],
        seen: &'a [Seen],
    ) -> WeighedCalendar<'a> {
        WeighedCalendar {
            number: 1,
            hive: "Left",
            below: "below",
            start: date(2026, 10, 1),
            before: was,
            after: since,
            seen,
            reserve: 3.0,
            first_nectar: date(2027, 5, 19),
        }
    }

    fn seen(day: usize, stores: f64) -> Seen {
        Seen {
            day,
            stores,
            error: 1.5,
        }
    }

    /// Catches weighings drawn on the wrong day or at the wrong weight, dates over one another, and a picture that fails when nothing
    /// fits the weighings.
    #[test]
    fn weighings_are_dots_on_their_day() {
        let (was, since) = (course(230, 25.0), course(230, 23.0));
        let many = [
            seen(0, 25.0),
            seen(100, 14.0),
            seen(101, 14.2),
            seen(229, 1.0),
        ];
        for since in [&since[..], &[]] {
            let d = both(|w| sheet(&picture(&was, since, &many), w)).unwrap();
            let dots: Vec<[f64; 2]> = d
                .items
                .iter()
                .filter_map(|i| match i {
                    // The first is the key's.
                    Item::Area(p, BLACK) if p.len() == 24 => Some([p[0][0] - DOT, p[0][1]]),
                    _ => None,
                })
                .skip(1)
                .collect();
            assert_eq!(dots.len(), 4);
            let day = |x: f64| (x - 66.0) / (834.0 - 66.0) * 230.0;
            assert!((day(dots[1][0]) - 100.5).abs() < 1e-6, "{dots:?}");
            assert!(
                dots[0][1] < dots[1][1] && dots[1][1] < dots[3][1],
                "heavier is higher"
            );
            let words: Vec<String> = d.word_boxes().into_iter().map(|(t, _)| t).collect();
            assert!(words.iter().any(|w| w == "9 Jan"), "{words:?}");
            assert!(!words.iter().any(|w| w == "10 Jan"), "{words:?}");
        }
        assert!(weighed(&picture(&[], &[], &many)).is_err());
        let bad = [seen(3, f64::NAN)];
        assert!(weighed(&picture(&was, &since, &bad)).is_err());
    }

    /// Catches a date over the curves, or on a ground that hides them.
    #[test]
    fn dates_keep_off_the_curves() {
        let (was, since) = (course(230, 25.0), course(230, 23.0));
        // On the curve, between the two, above and below them.
        for stores in [25.0, 19.0, 15.1, 14.0, 13.2, 12.0] {
            let d = both(|w| sheet(&picture(&was, &since, &[seen(100, stores)]), w)).unwrap();
            let boxes = d.word_boxes();
            let (_, [l, top, r, bottom]) = boxes.iter().find(|(t, _)| t == "9 Jan").unwrap();
            for item in &d.items {
                match item {
                    Item::Line(points, stroke)
                        if [MIDDLE, WAS].contains(stroke) && points.len() > 2 =>
                    {
                        for [x, y] in points {
                            let over = x > l && x < r && *y > *top && *y < *bottom;
                            assert!(!over, "{stores}: {x} {y}");
                        }
                    }
                    Item::Area(points, [255, 255, 255]) => {
                        panic!("a white ground: {points:?}");
                    }
                    _ => {}
                }
            }
        }
    }
}
