//! A drawing to the bytes of an SVG and of a PNG file.

use super::PictureError;
use super::drawing::{Colour, Drawing, Item, Side, dashes};
use plotters::backend::{BitMapBackend, DrawingBackend, SVGBackend};
use plotters::style::text_anchor::{HPos, Pos, VPos};
use plotters::style::{
    Color, FontDesc, FontFamily, FontStyle, RGBColor, ShapeStyle, TextStyle, register_font,
};
use std::sync::LazyLock;

/// The family name; a viewer of the SVG takes its own sans-serif.
const FAMILY: FontFamily<'static> = FontFamily::SansSerif;
/// Pixels of the PNG per drawing unit.
pub const PNG_SCALE: u32 = 2;
/// The PNG is drawn this much larger still and averaged down, so that slanted lines and letters are smooth.
const SMOOTHING: u32 = 2;
/// Steps of the SVG's whole-number coordinates per drawing unit.
const SVG_SCALE: u32 = 4;
/// What the library divides a font size by for SVG.
const SVG_EM: f64 = 1.24;
/// Ascent plus descent of the shipped font over its em, which the library's pixel fonts are measured in.
const PIXEL_EM: f64 = 1.164;
/// How far the pixel text stands above SVG text centred on the same height, in em: 0.27 against 0.11 below the middle.
const PIXEL_DROP: f64 = 0.16;

/// The font, registered once; false if it cannot be read.
static FONT: LazyLock<bool> = LazyLock::new(|| {
    let bytes: &'static [u8] = include_bytes!("font/DejaVuSans-subset.ttf");
    register_font(FAMILY.as_str(), FontStyle::Normal, bytes).is_ok()
});

fn failed(e: impl std::fmt::Display) -> PictureError {
    PictureError::Render(e.to_string())
}

fn font() -> Result<(), PictureError> {
    if *FONT {
        Ok(())
    } else {
        Err(failed("the built-in font cannot be read"))
    }
}

fn style(size: f64, colour: Colour) -> TextStyle<'static> {
    let font = FontDesc::new(FAMILY, size, FontStyle::Normal);
    TextStyle {
        font,
        color: rgb(colour).to_backend_color(),
        pos: Pos::default(),
    }
}

fn rgb(c: Colour) -> RGBColor {
    RGBColor(c[0], c[1], c[2])
}

/// Width of text of the given size (em), in the same unit.
#[must_use]
pub fn text_width(text: &str, size: f64) -> f64 {
    // Measured large, since the library cuts widths to whole pixels.
    const AT: f64 = 200.0;
    if !*FONT {
        return 0.6 * size * text.chars().count() as f64;
    }
    let measured = style(AT * PIXEL_EM, [0; 3]).font.box_size(text);
    measured.map_or_else(
        |_| 0.6 * size * text.chars().count() as f64,
        |(w, _)| f64::from(w) * size / AT,
    )
}

/// The SVG file.
///
/// # Errors
/// [`PictureError::Render`].
pub fn svg(drawing: &Drawing) -> Result<Vec<u8>, PictureError> {
    font()?;
    let [w, h] = drawing.size.map(|s| s.round() as u32);
    let mut text = String::new();
    {
        let mut backend = SVGBackend::with_string(&mut text, (w * SVG_SCALE, h * SVG_SCALE));
        let (k, em) = (f64::from(SVG_SCALE), SVG_EM);
        draw(&mut backend, drawing, k, em, 0.0)?;
        backend.present().map_err(failed)?;
    }
    // Shown at its own size, though its coordinates are finer.
    let fine = format!("width=\"{}\" height=\"{}\"", w * SVG_SCALE, h * SVG_SCALE);
    Ok(text
        .replacen(&fine, &format!("width=\"{w}\" height=\"{h}\""), 1)
        .into_bytes())
}

/// The PNG file.
///
/// # Errors
/// [`PictureError::Render`].
pub fn png(drawing: &Drawing) -> Result<Vec<u8>, PictureError> {
    font()?;
    let k = PNG_SCALE * SMOOTHING;
    let [w, h] = drawing.size.map(|s| s.round() as u32 * k);
    let mut pixels = vec![255_u8; (w * h * 3) as usize];
    {
        let mut backend = BitMapBackend::with_buffer(&mut pixels, (w, h));
        draw(&mut backend, drawing, f64::from(k), PIXEL_EM, PIXEL_DROP)?;
        backend.present().map_err(failed)?;
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

/// Means of squares of pixels, [`SMOOTHING`] each way.
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

/// Draws on white: `k` pixels to a unit, font sizes times `em`, words moved down by `drop` em.
fn draw<B: DrawingBackend>(
    backend: &mut B,
    drawing: &Drawing,
    k: f64,
    em: f64,
    drop: f64,
) -> Result<(), PictureError> {
    let pixel = |p: &[f64; 2]| ((p[0] * k).round() as i32, (p[1] * k).round() as i32);
    let path = |points: &[[f64; 2]]| {
        let mut path: Vec<(i32, i32)> = points.iter().map(pixel).collect();
        path.dedup();
        path
    };
    let (w, h) = backend.get_size();
    let white = ShapeStyle::from(&RGBColor(255, 255, 255)).filled();
    backend
        .draw_rect((0, 0), (w as i32, h as i32), &white, true)
        .map_err(failed)?;
    for item in &drawing.items {
        match item {
            Item::Line(points, stroke) => {
                let width = (stroke.width * k).round().max(1.0) as u32;
                let style = ShapeStyle::from(&rgb(stroke.colour)).stroke_width(width);
                for dash in dashes(points, stroke.dash) {
                    let path = path(&dash);
                    if path.len() > 1 {
                        backend.draw_path(path, &style).map_err(failed)?;
                    }
                }
            }
            Item::Area(points, colour) => {
                let path = path(points);
                if path.len() > 2 {
                    let style = ShapeStyle::from(&rgb(*colour)).filled();
                    backend.fill_polygon(path, &style).map_err(failed)?;
                }
            }
            Item::Words(text, at, side, size, colour) => {
                let h = match side {
                    Side::Left => HPos::Left,
                    Side::Middle => HPos::Center,
                    Side::Right => HPos::Right,
                };
                let mut style = style(size * em * k, *colour);
                style.pos = Pos::new(h, VPos::Center);
                let place = pixel(&[at[0], at[1] + drop * size]);
                backend.draw_text(text, &style, place).map_err(failed)?;
            }
        }
    }
    Ok(())
}
