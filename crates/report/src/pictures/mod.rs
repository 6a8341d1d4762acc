//! Pictures of a run, each as SVG and, with the feature `pictures`, as PNG from one drawing, the same bytes for the same result.
//!
//! A picture is first a list of lines, areas and words ([`drawing::Drawing`]), from which both forms are written; so a test can look
//! for words that overlap or are cut off. Lines differ in dash and width, not in colour alone, for grey printers and
//! colour-blind readers.

pub mod axis;
pub mod bars;
mod calendar;
pub mod cutaway;
pub mod damp;
pub mod drawing;
pub mod frames;
mod letters;
mod panel;
mod plan;
#[cfg(feature = "pictures")]
mod png;
pub mod season;
pub mod section;
mod shades;
mod sheet;
pub mod stores;
pub mod strip;
pub mod surfaces;
pub mod svg;
pub mod weighed;
pub mod winters;

pub use bars::{Bar, BarsPicture, bars};
pub use season::{SeasonPicture, season};
pub use stores::{StoresCalendar, StoresWinter, stores};
pub use weighed::{WeighedCalendar, weighed};
pub use winters::{WinterBar, WintersPicture, winters};

/// Why a picture was not drawn.
#[derive(Debug, Clone, PartialEq, thiserror::Error)]
#[non_exhaustive]
pub enum PictureError {
    /// Nothing to draw.
    #[error("{0}: there is not one day to draw")]
    Empty(String),
    /// A value that cannot be drawn.
    #[error("{picture}: {what} is {value} on {when}, which cannot be drawn")]
    Value {
        /// The picture.
        picture: String,
        /// The quantity.
        what: &'static str,
        /// Its value.
        value: f64,
        /// The day or hour.
        when: String,
    },
    /// The PNG could not be made.
    #[error("the picture could not be rendered: {0}")]
    Render(String),
}

/// A finished picture.
#[derive(Debug, Clone, PartialEq)]
pub struct Picture {
    /// File name without its ending: lower-case letters, digits and hyphens.
    pub name: String,
    /// What is drawn.
    pub wide: drawing::Drawing,
    /// The same for a phone, for the page only: laid out anew, since shrunk to 360 pixels its words could not be read.
    pub narrow: drawing::Drawing,
}

impl Picture {
    /// What `sheet` draws on a sheet of a given width: the wide form, and the narrow one.
    ///
    /// # Errors
    /// Those of `sheet`.
    pub fn new(
        name: String,
        sheet: impl Fn(f64) -> Result<drawing::Drawing, PictureError>,
    ) -> Result<Self, PictureError> {
        Ok(Self {
            name,
            wide: sheet(drawing::WIDE)?,
            narrow: sheet(drawing::NARROW)?,
        })
    }

    /// The SVG file.
    #[must_use]
    pub fn svg(&self) -> String {
        svg::svg(&self.wide, None)
    }

    /// The PNG file, twice as many pixels each way as the drawing has units.
    ///
    /// # Errors
    /// [`PictureError::Render`].
    #[cfg(feature = "pictures")]
    pub fn png(&self) -> Result<Vec<u8>, PictureError> {
        png::png(&self.wide)
    }

    /// Every file of it, name and bytes: the SVG, and with the feature `pictures` the PNG.
    ///
    /// # Errors
    /// [`PictureError::Render`].
    pub fn files(&self) -> Result<Vec<(String, Vec<u8>)>, PictureError> {
        let file = |ending: &str, bytes| (format!("{}.{ending}", self.name), bytes);
        Ok(vec![
            file("svg", self.svg().into_bytes()),
            #[cfg(feature = "pictures")]
            file("png", self.png()?),
        ])
    }
}

/// Parts of a file name: letters and digits of ASCII in lower case, everything else a single hyphen.
#[must_use]
pub fn slug(text: &str) -> String {
    let mut out = String::new();
    for c in text.chars() {
        if c.is_ascii_alphanumeric() {
            out.push(c.to_ascii_lowercase());
        } else if !out.is_empty() && !out.ends_with('-') {
            out.push('-');
        }
    }
    out.trim_end_matches('-').to_owned()
}

/// Refuses what cannot be drawn: not a number, infinite, or beyond 1e9, which no quantity of a hive reaches.
pub(crate) fn drawable(
    picture: &str,
    what: &'static str,
    value: f64,
    when: impl std::fmt::Display,
) -> Result<f64, PictureError> {
    if value.abs() <= 1e9 {
        Ok(value)
    } else {
        Err(PictureError::Value {
            picture: picture.to_owned(),
            what,
            value,
            when: when.to_string(),
        })
    }
}

/// The same of many quantities and their values.
pub(crate) fn all_drawable(
    picture: &str,
    when: impl std::fmt::Display,
    values: impl IntoIterator<Item = (&'static str, f64)>,
) -> Result<(), PictureError> {
    values
        .into_iter()
        .try_for_each(|(what, value)| drawable(picture, what, value, &when).map(drop))
}

#[cfg(test)]
mod hive_tests;
#[cfg(test)]
mod tests;
