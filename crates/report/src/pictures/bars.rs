//! What each change buys: a bar a change with its range, pale where it is too close to call.

use super::axis::{Scale, number, ticks};
use super::drawing::{
    BLACK, BLUE, Colour, Drawing, GREY, GRID, SMALL, Side, Stroke, VERMILION, wrapped,
};
use super::panel::{Sample, caption, heading, key};
use super::render::text_width;
use super::{Picture, PictureError, drawable};
use partywall_core::units::format::pounds;

/// Bars that cannot be told from none.
const PALE: Colour = [216; 3];
/// Left and right end of the words, of the numbers and of the bars, units.
struct Columns {
    words: [f64; 2],
    numbers: [f64; 2],
    bars: [f64; 2],
    /// Whether number and bar stand below the words instead of beside them.
    below: bool,
}

impl Columns {
    fn of(d: &Drawing) -> Self {
        if d.narrow() {
            Self {
                words: [10.0, 450.0],
                numbers: [10.0, 148.0],
                bars: [170.0, 436.0],
                below: true,
            }
        } else {
            Self {
                words: [20.0, 312.0],
                numbers: [318.0, 444.0],
                bars: [466.0, 870.0],
                below: false,
            }
        }
    }
}

/// Height of a line of words, units.
const LINE: f64 = 16.0;
/// Room below the words of a bar, units.
const BETWEEN: f64 = 10.0;
/// Half the height of a bar, units.
const HALF: f64 = 7.0;

/// One change.
#[derive(Debug, Clone, PartialEq)]
pub struct Bar {
    /// The change.
    pub words: String,
    /// One draw in ten lies below the first, the second is the middle, one in ten lies above the third, kg.
    pub spread: [f64; 3],
    /// Whether it cannot be told from none.
    pub close: bool,
    /// The number beside it.
    pub value: String,
}

/// What is drawn.
pub struct BarsPicture<'a> {
    /// Which colony, 1 at the left.
    pub number: usize,
    /// The title.
    pub title: &'a str,
    /// Words below the title.
    pub below: &'a str,
    /// Bars under their captions, in the order they are shown; empty groups are left out.
    pub groups: &'a [(&'a str, Vec<Bar>)],
}

/// Draws the bars of one colony.
///
/// # Errors
/// Without a bar, or with a value that is not a number.
pub fn bars(p: &BarsPicture<'_>) -> Result<Picture, PictureError> {
    Picture::new(format!("gains-{}", p.number), |width| sheet(p, width))
}

/// The drawing of [`bars`].
pub(super) fn sheet(p: &BarsPicture<'_>, width: f64) -> Result<Drawing, PictureError> {
    let groups: Vec<_> = p.groups.iter().filter(|(_, b)| !b.is_empty()).collect();
    let all = || groups.iter().flat_map(|(_, bars)| bars);
    let [mut lo, mut hi] = [0.0_f64; 2];
    for bar in all() {
        for v in bar.spread {
            let v = drawable(p.title, "honey, kg", v, &bar.words)?;
            (lo, hi) = (lo.min(v), hi.max(v));
        }
    }
    if all().next().is_none() {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let mut d = Drawing::new(width, 0.0);
    let columns = Columns::of(&d);
    let marks = ticks(lo, hi, if d.narrow() { 4 } else { 6 });
    let scale = Scale {
        range: [marks.first(), marks.last()].map(|m| m.copied().unwrap_or(0.0)),
        place: columns.bars,
    };
    let room = columns.words[1] - columns.words[0];
    let words_of = |bar: &Bar| wrapped(&bar.words, SMALL, room, 2);
    let height = |bar: &Bar| {
        let beside = if columns.below { 2.0 * HALF + 4.0 } else { 0.0 };
        LINE * words_of(bar).len() as f64 + beside + BETWEEN
    };
    let y = heading(&mut d, p.title, p.below);
    let y = caption(
        &mut d,
        y + 32.0,
        "Honey more (or less) in the hive at first nectar: kg above, lb below",
    );
    let whisker = Stroke::solid(BLACK, 1.4);
    let y = key(
        &mut d,
        y + 24.0,
        &[
            (Sample::Band(BLUE, None), "more"),
            (Sample::Band(VERMILION, None), "less"),
            (Sample::Band(PALE, None), "too close to call"),
            (Sample::Line(whisker), "range of eight draws in ten"),
        ],
    );
    let top = y + 42.0;
    let rows: f64 = groups
        .iter()
        .map(|(_, bars)| 30.0 + bars.iter().map(height).sum::<f64>())
        .sum();
    let bottom = top + rows;
    d.size[1] = bottom + 34.0;
    let coarse = marks.windows(2).all(|w| w[1] - w[0] >= 1.0);
    for mark in &marks {
        let x = scale.at(*mark);
        d.line(&[[x, top - 4.0], [x, bottom]], Stroke::solid(GRID, 0.75));
        let lb = pounds(*mark);
        // Whole pounds where a step is a kilogram or more.
        let lb = if coarse {
            lb.round()
        } else {
            (10.0 * lb).round() / 10.0
        };
        let texts = [(number(*mark), top - 14.0), (number(lb), bottom + 14.0)];
        for (text, y) in texts {
            d.words(&text, [x, y], Side::Middle, SMALL, 60.0);
        }
    }
    for (unit, y) in [("kg", top - 14.0), ("lb", bottom + 14.0)] {
        d.words(unit, [columns.numbers[1], y], Side::Right, SMALL, 40.0);
    }
    let mut y = top;
    for (name, bars) in groups {
        caption(&mut d, y + 12.0, name);
        y += 30.0;
        for bar in bars {
            let (h, words) = (height(bar), words_of(bar));
            let middle = if columns.below {
                y + h - BETWEEN - HALF
            } else {
                y + 0.5 * (h - BETWEEN)
            };
            for (i, line) in words.iter().enumerate() {
                let at = [columns.words[0], y + LINE * (i as f64 + 0.5)];
                if columns.below {
                    // Over the lines of the scale.
                    let wide = text_width(line, SMALL).min(room);
                    let x = [at[0] - 2.0, at[0] + wide + 3.0];
                    d.rectangle(x, [at[1] - 0.5 * LINE, at[1] + 0.5 * LINE], [255; 3]);
                }
                d.words(line, at, Side::Left, SMALL, room);
            }
            one(&mut d, &scale, bar, middle);
            let [from, to] = columns.numbers;
            d.words(&bar.value, [to, middle], Side::Right, SMALL, to - from);
            y += h;
        }
    }
    let x = scale.at(0.0);
    d.line(&[[x, top - 4.0], [x, bottom]], Stroke::solid(BLACK, 1.2));
    Ok(d)
}

/// A bar from nothing to its middle, with its range across it.
fn one(d: &mut Drawing, scale: &Scale, bar: &Bar, y: f64) {
    let [low, middle, high] = bar.spread.map(|v| scale.at(v));
    let zero = scale.at(0.0);
    let (fill, ink) = match (bar.close, bar.spread[1] < 0.0) {
        (true, _) => (PALE, GREY),
        (false, true) => (VERMILION, BLACK),
        (false, false) => (BLUE, BLACK),
    };
    d.rectangle(
        [zero.min(middle), zero.max(middle)],
        [y - HALF, y + HALF],
        fill,
    );
    let stroke = Stroke::solid(ink, if bar.close { 1.0 } else { 1.4 });
    d.line(&[[low, y], [high, y]], stroke);
    for x in [low, high] {
        d.line(&[[x, y - 4.0], [x, y + 4.0]], stroke);
    }
}

#[cfg(test)]
mod tests {
    use super::super::drawing::{NARROW, WIDE};
    use super::super::tests::complaints;
    use super::*;

    fn bar(words: &str, spread: [f64; 3], close: bool) -> Bar {
        Bar {
            words: words.to_owned(),
            spread,
            close,
            value: format!("{:+.1} kg ({:+.1} lb)", spread[1], pounds(spread[1])),
        }
    }

    fn picture<'a>(groups: &'a [(&'a str, Vec<Bar>)]) -> BarsPicture<'a> {
        BarsPicture {
            number: 1,
            title: "Left: what each change buys",
            below: "below",
            groups,
        }
    }

    /// Catches words over one another or off the sheet, whatever the length of the words, the number of the changes and their size.
    #[test]
    fn bars_of_any_kind_are_drawn_without_overlap() {
        let long = "a change with a very long name ".repeat(9);
        for n in [1, 2, 40] {
            for size in [1e-9, 0.3, 12.0, -7.0, 1234.5] {
                let all = |close| -> Vec<Bar> {
                    (0..n)
                        .map(|i| {
                            let middle = size * (1.0 - i as f64 / 20.0);
                            let words = if i % 3 == 0 {
                                long.as_str()
                            } else {
                                "10 L of syrup"
                            };
                            bar(words, [middle - 0.5, middle, middle + 0.7], close)
                        })
                        .collect()
                };
                let groups = [
                    ("Buys honey", all(false)),
                    ("None", vec![]),
                    ("Close", all(true)),
                ];
                for width in [WIDE, NARROW] {
                    let d = sheet(&picture(&groups), width).unwrap();
                    assert_eq!(complaints(&d), [""; 0], "{n} of {size}");
                    assert!(d.word_boxes().iter().all(|(text, _)| text != "None"));
                }
            }
        }
    }

    /// Catches a change that is too close to call drawn as strongly as one that is not, a loss drawn as a gain, and a number that is
    /// none drawn at all.
    #[test]
    fn doubtful_bars_are_pale() {
        use super::super::drawing::Item;
        let groups = [(
            "All",
            vec![
                bar("a", [1.0, 2.0, 3.0], false),
                bar("b", [-3.0, -2.0, -1.0], false),
                bar("c", [-1.0, 0.4, 2.0], true),
            ],
        )];
        let d = sheet(&picture(&groups), WIDE).unwrap();
        let fills: Vec<(Colour, f64)> = d
            .items
            .iter()
            .filter_map(|i| match i {
                // Samples of the key are narrower than any of these bars.
                Item::Area(p, c) if p[0][1] > 130.0 => Some((*c, p[1][0] - p[0][0])),
                _ => None,
            })
            .collect();
        let colours: Vec<Colour> = fills.iter().map(|(c, _)| *c).collect();
        assert_eq!(colours, [BLUE, VERMILION, PALE]);
        assert!((fills[0].1 - fills[1].1).abs() < 1e-9 && fills[2].1 < fills[0].1);
        let bad = [("All", vec![bar("x", [0.0, f64::NAN, 1.0], false)])];
        let told = bars(&picture(&bad)).unwrap_err().to_string();
        assert!(told.contains("NaN on x"), "{told}");
        assert!(matches!(bars(&picture(&[])), Err(PictureError::Empty(_))));
    }
}
