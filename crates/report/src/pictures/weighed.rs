//! The stores of one winter as they were expected, as weighings show them, and as they are expected since.

use super::drawing::{BAND, BLACK, Colour, Drawing, GREY, SMALL, Side, Stroke, VERMILION};
use super::panel::{Panel, Sample, Sides, caption, heading, key, month_row};
use super::render::text_width;
use super::{Picture, PictureError, drawable, slug};
use crate::words::Units;
use jiff::civil::Date;
use partywall_core::decision::update::{Range, Seen};
use partywall_core::units::format::pounds;

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
const WAS: Stroke = Stroke {
    colour: GREY,
    width: 1.6,
    dash: &[3.0, 3.0],
};
const EDGE: Stroke = Stroke::solid([120; 3], 0.8);
const RESERVE: Stroke = Stroke {
    colour: VERMILION,
    width: 1.8,
    dash: &[8.0, 4.0],
};
/// Radius of a weighing's dot, units.
pub(super) const DOT: f64 = 5.0;

/// Draws the calendar of one hive.
///
/// # Errors
/// Without a single day, or with a value that is not a number.
pub fn weighed(p: &WeighedCalendar<'_>) -> Result<Picture, PictureError> {
    let name = format!("stores-{}-{}", p.number, slug(p.hive));
    Picture::new(name.trim_end_matches('-').to_owned(), |width| {
        sheet(p, width)
    })
}

/// The three lines of a course.
fn lines(picture: &str, course: &[Range<f64>]) -> Result<[Vec<f64>; 3], PictureError> {
    let mut out: [Vec<f64>; 3] = Default::default();
    for (day, r) in course.iter().enumerate() {
        for (list, v) in out.iter_mut().zip([r.low, r.middle, r.high]) {
            let what = "honey in the hive, kg";
            list.push(drawable(picture, what, v, format!("day {day}"))?);
        }
    }
    Ok(out)
}

/// The drawing of [`weighed`].
pub(super) fn sheet(p: &WeighedCalendar<'_>, width: f64) -> Result<Drawing, PictureError> {
    let title = format!(
        "{}, {} to {}",
        p.hive,
        words(p.start),
        words(p.first_nectar)
    );
    let days = p.before.len().max(p.after.len());
    if days == 0 {
        return Err(PictureError::Empty(title));
    }
    let (was, since) = (lines(&title, p.before)?, lines(&title, p.after)?);
    let reserve = drawable(&title, "the reserve, kg", p.reserve, p.first_nectar)?;
    let mut seen = Vec::new();
    for s in p.seen {
        let what = "honey as weighed, kg";
        let when = format!("day {}", s.day);
        let ends = [s.stores, s.stores - s.error, s.stores + s.error];
        let [at, low, high] = ends.map(|v| drawable(&title, what, v, &when));
        seen.push((s.day as f64 + 0.5, at?, [low?, high?]));
    }
    let mut d = Drawing::new(width, 0.0);
    let y = heading(&mut d, &title, p.below);
    let y = caption(
        &mut d,
        y + 32.0,
        "Honey left in the hive by day: kg on the left, lb on the right; bands hold eight cases in ten",
    );
    let reserve_words = format!("reserve, {}", Units::Both.mass(reserve));
    let mut entries = vec![(Sample::Band(BAND, Some(WAS)), "expected before")];
    if !p.after.is_empty() {
        entries.push((Sample::Band(SINCE, Some(MIDDLE)), "with the weighings"));
    }
    entries.push((Sample::Dot(BLACK), "weighed, give or take"));
    entries.push((Sample::Line(RESERVE), &reserve_words));
    let up = key(&mut d, y + 22.0, &entries) + 16.0;
    let up = [up, up + 302.0];
    let every = || {
        was.iter().chain(&since).flatten().copied().chain(
            seen.iter()
                .flat_map(|(_, at, ends)| [*at, ends[0], ends[1]]),
        )
    };
    let top = every().fold(reserve, f64::max);
    let bottom = every().fold(reserve.min(0.0), f64::min);
    let sides = Sides {
        most: 7,
        right: Some(&pounds),
    };
    let panel = Panel::new(&mut d, up, [bottom, top], p.start, days as f64, &sides);
    let [low, middle, high] = &was;
    panel.band(&mut d, low, high, BAND);
    if !p.after.is_empty() {
        panel.band(&mut d, &since[0], &since[2], SINCE);
    }
    for line in [low, high, &since[0], &since[2]] {
        panel.line(&mut d, line, EDGE);
    }
    let y = panel.y.at(reserve);
    d.line(&[[panel.x.place[0], y], [panel.x.place[1], y]], RESERVE);
    panel.line(&mut d, middle, WAS);
    panel.line(&mut d, &since[1], MIDDLE);
    dots(&mut d, &panel, p.start, &seen, &[middle, &since[1]]);
    panel.frame(&mut d);
    let end = format!("to first dependable nectar, {}", words(p.first_nectar));
    month_row(&mut d, &panel, up[1] + 18.0, p.start, days as f64, &end);
    d.size[1] = up[1] + 56.0;
    Ok(d)
}

/// A weighing: day, stores, kg, and what they may be, kg.
type Dot = (f64, f64, [f64; 2]);

/// The weighings as dots with what they may be off, each with its date where there is room for it beside the curves `lines`.
fn dots(d: &mut Drawing, panel: &Panel, start: Date, seen: &[Dot], lines: &[&Vec<f64>]) {
    let mut free = f64::NEG_INFINITY;
    for (day, at, [low, high]) in seen {
        let x = panel.x.at(*day);
        let [y, from, to] = [at, low, high].map(|v| panel.y.at(*v));
        let stroke = Stroke::solid(BLACK, 1.4);
        d.line(&[[x, from], [x, to]], stroke);
        for y in [from, to] {
            d.line(&[[x - 4.0, y], [x + 4.0, y]], stroke);
        }
        dot(d, [x, y], BLACK);
        let span = jiff::Span::new().try_days(*day as i64).ok();
        let date = span.and_then(|s| start.checked_add(s).ok());
        let text = date.map_or_else(String::new, super::axis::day);
        let half = 0.5 * text_width(&text, SMALL) + 2.0;
        let [l, r] = panel.x.place;
        let middle = x.clamp(l + half, r - half);
        let [top, bottom] = [panel.y.place[1] + 9.0, panel.y.place[0] - 9.0];
        // Above the dot, below it, or further off: where no curve runs through the words. They have no ground that would hide one.
        let clear = (0..6)
            .flat_map(|i| {
                [
                    to - 12.0 - 18.0 * f64::from(i),
                    from + 12.0 + 18.0 * f64::from(i),
                ]
            })
            .find(|y| {
                (top..=bottom).contains(y)
                    && !crossed(panel, lines, [middle - half, middle + half], *y)
            });
        if let Some(y) = clear.filter(|_| middle - half > free) {
            d.words(&text, [middle, y], Side::Middle, SMALL, 2.0 * half);
            free = middle + half;
        }
    }
}

/// Whether one of the curves, by day, comes as near as the half of a letter to words between two places across at a height.
fn crossed(panel: &Panel, lines: &[&Vec<f64>], across: [f64; 2], y: f64) -> bool {
    lines.iter().any(|line| {
        let mut points = line
            .iter()
            .enumerate()
            .map(|(day, kg)| [panel.x.at(day as f64 + 0.5), panel.y.at(*kg)]);
        points.any(|[x, at]| (across[0]..=across[1]).contains(&x) && (at - y).abs() < 9.0)
    })
}

/// A filled dot.
pub(super) fn dot(d: &mut Drawing, at: [f64; 2], colour: Colour) {
    let round: Vec<[f64; 2]> = (0..24)
        .map(|i| {
            let (sin, cos) = (std::f64::consts::TAU * f64::from(i) / 24.0).sin_cos();
            [at[0] + DOT * cos, at[1] + DOT * sin]
        })
        .collect();
    d.area(&round, colour);
}

/// "1 Oct 2026".
fn words(d: Date) -> String {
    format!("{} {}", super::axis::day(d), d.year())
}

#[cfg(test)]
mod tests {
    use super::super::drawing::Item;
    use super::super::tests::{both, complaints};
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
            assert_eq!(complaints(&d), [""; 0]);
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
