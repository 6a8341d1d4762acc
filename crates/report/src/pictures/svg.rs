//! A drawing as SVG, for which no font and no library is needed.

use super::drawing::{Colour, Drawing, Item, Point, Side, Stroke};

/// The drawing as one `<svg>` element without line breaks. `named` is its id in a page and what it shows, told to those who do not see it.
#[must_use]
pub fn svg(d: &Drawing, named: Option<[&str; 2]>) -> String {
    let [w, h] = d.size.map(f64::round);
    let (mut role, mut title) = (String::new(), String::new());
    if let Some([id, words]) = named {
        role = format!(" role=\"img\" aria-labelledby=\"{id}\"");
        title = format!("<title id=\"{id}\">{}</title>", escaped(words));
    }
    let mut out = format!(
        "<svg{role} width=\"{w}\" height=\"{h}\" viewBox=\"0 0 {w} {h}\" xmlns=\"http://www.w3.org/2000/svg\" font-family=\"sans-serif\">\
         {title}<rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>"
    );
    // Lines of one kind that follow one another are one path.
    let alike =
        |a: &Item, b: &Item| matches!((a, b), (Item::Line(_, s), Item::Line(_, t)) if s == t);
    for items in d.items.chunk_by(alike) {
        let mut data = String::new();
        for item in items {
            match item {
                Item::Line(points, _) | Item::Area(points, _) => data.push_str(&path(points)),
                Item::Words(text, at, side, size) => {
                    out.push_str(&words(text, *at, *side, *size));
                }
            }
        }
        match &items[0] {
            Item::Line(_, s) => {
                out.push_str(&format!("<path d=\"{data}\" fill=\"none\"{}/>", pen(s)))
            }
            Item::Area(_, c) => {
                out.push_str(&format!("<path d=\"{data}z\" fill=\"{}\"/>", hex(*c)))
            }
            Item::Words(..) => {}
        }
    }
    out.push_str("</svg>");
    out
}

fn words(text: &str, at: Point, side: Side, size: f64) -> String {
    let anchor = match side {
        Side::Left => "start",
        Side::Middle => "middle",
        Side::Right => "end",
    };
    let [x, y] = at.map(|v| number(tenths(v)));
    format!(
        "<text x=\"{x}\" y=\"{y}\" font-size=\"{size}\" text-anchor=\"{anchor}\">{}</text>",
        escaped(text)
    )
}

fn pen(s: &Stroke) -> String {
    let mut out = format!(" stroke=\"{}\" stroke-width=\"{}\"", hex(s.colour), s.width);
    if !s.dash.is_empty() {
        let dash: Vec<String> = s.dash.iter().map(f64::to_string).collect();
        out.push_str(&format!(" stroke-dasharray=\"{}\"", dash.join(" ")));
    }
    out
}

fn hex([r, g, b]: Colour) -> String {
    format!("#{r:02x}{g:02x}{b:02x}")
}

/// Tenths of a unit, as fine as a place is told.
fn tenths(v: f64) -> i64 {
    (10.0 * v).round() as i64
}

/// A number of tenths in units.
fn number(tenths: i64) -> String {
    (tenths as f64 / 10.0).to_string()
}

/// Path data: the first point, and from each to the next.
fn path(points: &[Point]) -> String {
    let mut out = String::new();
    let mut last: Option<[i64; 2]> = None;
    for p in points {
        let at = p.map(tenths);
        let step = last.map(|l| [at[0] - l[0], at[1] - l[1]]);
        let [x, y] = step.unwrap_or(at).map(number);
        out.push_str(&match step {
            None => format!("M{x} {y}"),
            Some([0, 0]) => String::new(),
            Some([_, 0]) => format!("h{x}"),
            Some([0, _]) => format!("v{y}"),
            Some([_, down]) if down < 0 => format!("l{x}{y}"),
            Some(_) => format!("l{x} {y}"),
        });
        last = Some(at);
    }
    out
}

fn escaped(text: &str) -> String {
    text.replace('&', "&amp;")
        .replace('<', "&lt;")
        .replace('>', "&gt;")
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches points, dashes, anchors, base lines or names written other than they are drawn, and lines of one kind written apart.
    #[test]
    fn all_is_written_as_it_is_drawn() {
        let mut d = Drawing::new(100.0);
        d.size[1] = 40.0;
        let grey = Stroke::dashed([9, 10, 255], 0.8, &[2.5, 4.0]);
        d.line(
            &[[1.0, 2.0], [3.04, 2.0], [3.0, 5.5], [3.0, 5.51], [0.0, 7.0]],
            grey,
        );
        d.line(&[[-1.0, 0.0], [1.0, -1.5]], grey);
        d.rectangle([[1.0, 3.0], [2.0, 4.0]], [0; 3]);
        d.words("1 < 2", [50.0, 10.0], Side::Middle, 90.0);
        d.words("b", [5.0, 10.0], Side::Right, 90.0);
        let svg = svg(&d, Some(["p-1", "A & B"]));
        let parts = [
            "<svg role=\"img\" aria-labelledby=\"p-1\" width=\"100\" height=\"40\" viewBox=\"0 0 100 40\" ",
            "<title id=\"p-1\">A &amp; B</title><rect width=\"100%\" height=\"100%\" fill=\"#ffffff\"/>",
            "<path d=\"M1 2h2v3.5l-3 1.5M-1 0l2-1.5\" fill=\"none\" stroke=\"#090aff\" stroke-width=\"0.8\" stroke-dasharray=\"2.5 4\"/>",
            "<path d=\"M1 2h2v2h-2z\" fill=\"#000000\"/>",
            "<text x=\"50\" y=\"13.4\" font-size=\"12.5\" text-anchor=\"middle\">1 &lt; 2</text>",
            "<text x=\"5\" y=\"13.4\" font-size=\"12.5\" text-anchor=\"end\">b</text></svg>",
        ];
        let mut rest = svg.as_str();
        for part in parts {
            let at = rest.find(part);
            assert!(at.is_some(), "{part} is not in {rest}");
            rest = &rest[at.unwrap() + part.len()..];
        }
        assert_eq!(rest, "");
    }
}
