//! What each change buys: a bar a change with its range, pale where it is too close to call.

use super::axis::{Scale, number, span};
use super::drawing::{
    BLACK, BLUE, Colour, Drawing, GREY, GRID, SMALL, Side, Span, Stroke, VERMILION, WHITE,
};
use super::letters::{text_width, wrapped};
use super::sheet::Sample;
use super::{Picture, PictureError, drawable};
use crate::texts::said;
use partywall_core::units::format::pounds;

/// Bars that cannot be told from none.
const PALE: Colour = [216; 3];
const WHISKER: Stroke = Stroke::solid(BLACK, 1.4);
/// Left and right end of the words, of the numbers and of the bars, units; on a narrow sheet numbers and bars stand below the words.
const COLUMNS: [[Span; 3]; 2] = [
    [[20.0, 312.0], [318.0, 444.0], [466.0, 870.0]],
    [[10.0, 450.0], [10.0, 148.0], [170.0, 436.0]],
];
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
    let mut values = vec![0.0];
    for bar in groups.iter().flat_map(|(_, bars)| bars) {
        for v in bar.spread {
            values.push(drawable(p.title, said("pictures.honey_kg"), v, &bar.words)?);
        }
    }
    if groups.is_empty() {
        return Err(PictureError::Empty(p.title.to_owned()));
    }
    let mut d = Drawing::new(width);
    d.heading(p.title, p.below);
    let caption = said("pictures.honey_more_less_hive");
    d.caption(32.0, caption);
    let entries = [
        (Sample::Band(BLUE, None), "more"),
        (Sample::Band(VERMILION, None), "less"),
        (Sample::Band(PALE, None), said("pictures.too_close_call")),
        (
            Sample::Line(WHISKER),
            said("pictures.range_eight_draws_ten"),
        ),
    ];
    d.key(24.0, &entries);
    let [words, numbers, place] = d.pick(COLUMNS[0], COLUMNS[1]);
    let (scale, marks) = Scale::round(span(values), d.pick(6, 4), place);
    let top = d.size[1] + 42.0;
    // The lines of the scale are as long as the bars need, and behind them.
    let behind = d.items.len();
    d.size[1] = top;
    for (name, bars) in groups {
        let y = d.size[1];
        d.caption(12.0, name);
        d.size[1] = y + 30.0;
        for bar in bars {
            one(&mut d, [words, numbers], &scale, bar);
        }
    }
    let bottom = d.size[1];
    d.upright(
        scale.at(0.0),
        [top - 4.0, bottom],
        Stroke::solid(BLACK, 1.2),
    );
    let front = d.items.split_off(behind);
    let coarse = marks.windows(2).all(|w| w[1] - w[0] >= 1.0);
    for mark in &marks {
        let x = scale.at(*mark);
        d.upright(x, [top - 4.0, bottom], Stroke::solid(GRID, 0.75));
        // Whole pounds where a step is a kilogram or more.
        let parts = if coarse { 1.0 } else { 10.0 };
        let lb = (parts * pounds(*mark)).round() / parts;
        for (value, y) in [(*mark, top - 14.0), (lb, bottom + 14.0)] {
            d.words(&number(value), [x, y], Side::Middle, 60.0);
        }
    }
    for (unit, y) in [("kg", top - 14.0), ("lb", bottom + 14.0)] {
        d.words(unit, [numbers[1], y], Side::Right, 40.0);
    }
    d.items.extend(front);
    d.size[1] = bottom + 34.0;
    Ok(d)
}

/// A bar from nothing to its middle, with its range across it, below what is drawn: its words, its number, itself.
fn one(d: &mut Drawing, [words, numbers]: [Span; 2], scale: &Scale, bar: &Bar) {
    let room = words[1] - words[0];
    let lines = wrapped(&bar.words, SMALL, room, 2);
    let top = d.size[1];
    let foot = top + LINE * lines.len() as f64;
    for (i, line) in lines.iter().enumerate() {
        let y = top + LINE * i as f64;
        if d.narrow() {
            // Over the lines of the scale.
            let right = words[0] + text_width(line, SMALL).min(room) + 3.0;
            d.rectangle([[words[0] - 2.0, right], [y, y + LINE]], WHITE);
        }
        d.words(line, [words[0], y + 0.5 * LINE], Side::Left, room);
    }
    let y = d.pick(0.5 * (top + foot), foot + HALF + 4.0);
    let [low, middle, high] = bar.spread.map(|v| scale.at(v));
    let (fill, stroke) = match (bar.close, bar.spread[1] < 0.0) {
        (true, _) => (PALE, Stroke::solid(GREY, 1.0)),
        (false, true) => (VERMILION, WHISKER),
        (false, false) => (BLUE, WHISKER),
    };
    d.rectangle([span([scale.at(0.0), middle]), [y - HALF, y + HALF]], fill);
    d.range([[low, y], [high, y]], stroke);
    let room = numbers[1] - numbers[0];
    d.words(&bar.value, [numbers[1], y], Side::Right, room);
    d.size[1] = foot + d.pick(0.0, 2.0 * HALF + 4.0) + BETWEEN;
}

#[cfg(test)]
mod tests {
    use super::super::drawing::WIDE;
    use super::super::tests::both;
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
                let d = both(|w| sheet(&picture(&groups), w)).unwrap();
                assert!(d.word_boxes().iter().all(|(text, _)| text != "None"));
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
