//! A drawing as PNG, with the shipped font.

use super::PictureError;
use super::drawing::{Colour, Drawing, Item, Point, Side};
use plotters::backend::{BitMapBackend, DrawingBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{
    Color, FontDesc, FontFamily, FontStyle, RGBColor, ShapeStyle, TextStyle, register_font,
};
use std::sync::LazyLock;

/// The name under which the font is registered.
const FAMILY: FontFamily<'static> = FontFamily::SansSerif;
/// Pixels per drawing unit.
pub const SCALE: u32 = 2;
/// It is drawn this much larger still and averaged down, so that slanted lines and letters are smooth.
const SMOOTHING: u32 = 2;
/// Ascent plus descent of the font, em: in this the library measures the size of letters, and sets their base line half of it down.
const LINE_EM: f64 = 1.164;

/// The font, registered once; false if it cannot be read.
static FONT: LazyLock<bool> = LazyLock::new(|| {
    let bytes: &'static [u8] = include_bytes!("font/DejaVuSans-subset.ttf");
    register_font(FAMILY.as_str(), FontStyle::Normal, bytes).is_ok()
});

fn failed(e: impl std::fmt::Display) -> PictureError {
    PictureError::Render(e.to_string())
}

/// The PNG file.
///
/// # Errors
/// [`PictureError::Render`].
pub fn png(drawing: &Drawing) -> Result<Vec<u8>, PictureError> {
    if !*FONT {
        return Err(failed("the built-in font cannot be read"));
    }
    let k = SCALE * SMOOTHING;
    let [w, h] = drawing.size.map(|s| s.round() as u32 * k);
    let mut pixels = vec![255_u8; (w * h * 3) as usize];
    {
        let mut sheet = BitMapBackend::with_buffer(&mut pixels, (w, h));
        for item in &drawing.items {
            draw(&mut sheet, item, f64::from(k))?;
        }
        sheet.present().map_err(failed)?;
    }
    let small = averaged(&pixels, w as usize);
    let mut bytes = Vec::new();
    let mut encoder = png::Encoder::new(&mut bytes, w / SMOOTHING, h / SMOOTHING);
    encoder.set_color(png::ColorType::Rgb);
    encoder.set_depth(png::BitDepth::Eight);
    let mut writer = encoder.write_header().map_err(failed)?;
    writer.write_image_data(&small).map_err(failed)?;
    writer.finish().map_err(failed)?;
    Ok(bytes)
}

/// Means of squares of pixels.
fn averaged(pixels: &[u8], width: usize) -> Vec<u8> {
    let n = SMOOTHING as usize;
    let row = 3 * width;
    pixels
        .chunks_exact(row * n)
        .flat_map(|rows| {
            (0..width / n).flat_map(move |x| {
                (0..3).map(move |c| {
                    let sum: usize = (0..n * n)
                        .map(|i| usize::from(rows[(i / n) * row + 3 * (n * x + i % n) + c]))
                        .sum();
                    (sum / (n * n)) as u8
                })
            })
        })
        .collect()
}

/// Draws one thing, `k` pixels to a unit.
fn draw(sheet: &mut BitMapBackend<'_>, item: &Item, k: f64) -> Result<(), PictureError> {
    let pixel = |p: &Point| ((p[0] * k).round() as i32, (p[1] * k).round() as i32);
    let path = |points: &[Point]| {
        let mut path: Vec<(i32, i32)> = points.iter().map(pixel).collect();
        path.dedup();
        path
    };
    match item {
        Item::Line(points, stroke) => {
            let width = (stroke.width * k).round().max(1.0) as u32;
            let style = ShapeStyle::from(&rgb(stroke.colour)).stroke_width(width);
            let dashes = dashes(points, stroke.dash);
            let mut paths = dashes.iter().map(|d| path(d)).filter(|p| p.len() > 1);
            paths.try_for_each(|p| sheet.draw_path(p, &style))
        }
        Item::Area(points, colour) => match path(points) {
            p if p.len() > 2 => sheet.fill_polygon(p, &ShapeStyle::from(&rgb(*colour)).filled()),
            _ => Ok(()),
        },
        Item::Words(text, at, side, size) => {
            let h = match side {
                Side::Left => HPos::Left,
                Side::Middle => HPos::Center,
                Side::Right => HPos::Right,
            };
            let line = size * LINE_EM;
            let style = TextStyle {
                pos: Pos::new(h, VPos::Top),
                ..letters(line * k)
            };
            sheet.draw_text(text, &style, pixel(&[at[0], at[1] - 0.5 * line]))
        }
    }
    .map_err(failed)
}

/// Black letters of a size as the library measures it.
fn letters(size: f64) -> TextStyle<'static> {
    TextStyle {
        font: FontDesc::new(FAMILY, size, FontStyle::Normal),
        color: rgb([0; 3]).to_backend_color(),
        pos: Pos::default(),
    }
}

fn rgb(c: Colour) -> RGBColor {
    RGBColor(c[0], c[1], c[2])
}

/// A line cut into its dashes.
fn dashes(points: &[Point], pattern: &[f64]) -> Vec<Vec<Point>> {
    if pattern.is_empty() || pattern.iter().any(|p| p.is_nan() || *p < 0.5) {
        return vec![points.to_vec()];
    }
    let (mut out, mut part, mut left) = (Vec::new(), 0, pattern[0]);
    let mut current: Vec<Point> = points.first().copied().into_iter().collect();
    for pair in points.windows(2) {
        let [mut a, b] = [pair[0], pair[1]];
        loop {
            let length = (b[0] - a[0]).hypot(b[1] - a[1]);
            if length < left {
                left -= length;
                current.push(b);
                break;
            }
            let t = left / length;
            a = std::array::from_fn(|i| a[i] + t * (b[i] - a[i]));
            current.push(a);
            if part % 2 == 0 {
                out.push(std::mem::take(&mut current));
            }
            part += 1;
            left = pattern[part % pattern.len()];
            current = vec![a];
        }
    }
    if part % 2 == 0 && current.len() > 1 {
        out.push(current);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::super::letters::text_width;
    use super::*;

    /// Catches a dash that loses length.
    #[test]
    fn dashes_cover_their_share() {
        let parts = dashes(&[[0.0, 0.0], [99.0, 0.0]], &[6.0, 4.0]);
        assert_eq!(parts.len(), 10);
        assert_eq!(parts[9], [[90.0, 0.0], [96.0, 0.0]]);
    }

    /// Catches a table of widths that is not the shipped font's, and other letters reckoned much too narrow.
    #[test]
    fn widths_are_those_of_the_font() {
        assert!(*FONT);
        let drawn = |text: &str| {
            let (w, _) = letters(1000.0 * LINE_EM).font.box_size(text).unwrap();
            f64::from(w)
        };
        for c in ' '..='~' {
            let text = c.to_string().repeat(40);
            let (drawn, told) = (drawn(&text), text_width(&text, 1000.0));
            assert!((drawn - told).abs() < 25.0, "{c}: {drawn} {told}");
        }
        for text in [
            "Åse Fältström",
            "Żółta Łąka",
            "Пасека Петровых",
            "Κυψέλη Ωμέγα",
        ] {
            let (drawn, told) = (drawn(text), text_width(text, 1000.0));
            assert!(
                drawn < 1.02 * told && told < 1.25 * drawn,
                "{text}: {drawn} {told}"
            );
        }
    }

    /// Catches words set higher or lower in the PNG than their base line, where the SVG sets them.
    #[test]
    fn letters_stand_on_their_base_line() {
        let mut d = Drawing::new(60.0);
        d.size[1] = 40.0;
        let at = [10.0, 30.0];
        d.items
            .push(Item::Words("H".to_owned(), at, Side::Left, 20.0));
        let (w, dark) = (60 * SCALE as usize, dark(&png(&d).unwrap()));
        let rows: Vec<usize> = dark.iter().map(|i| i / w).collect();
        let (top, foot) = (rows.iter().min().unwrap(), rows.iter().max().unwrap());
        // A capital is 0.729 em tall.
        let tall = (0.729 * 20.0 * f64::from(SCALE)) as usize;
        assert!(foot.abs_diff(30 * SCALE as usize - 1) <= 1, "{foot}");
        assert!(top.abs_diff(30 * SCALE as usize - tall) <= 1, "{top}");
    }

    /// Which pixels are nearer to black than to white.
    fn dark(bytes: &[u8]) -> Vec<usize> {
        let mut reader = png::Decoder::new(std::io::Cursor::new(bytes))
            .read_info()
            .unwrap();
        let mut pixels = vec![0; reader.output_buffer_size().unwrap()];
        reader.next_frame(&mut pixels).unwrap();
        let pixels = pixels.chunks(3).enumerate();
        pixels
            .filter(|(_, p)| *p < [128; 3].as_slice())
            .map(|(i, _)| i)
            .collect()
    }
}
