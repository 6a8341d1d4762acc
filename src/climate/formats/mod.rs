//! One file per weather format; a format is found by a file's content, never by its name.
//!
//! A new format is one more file with a [`Format`] and one more line in [`FORMATS`].

pub mod columns;
pub mod epw;
pub mod plain_csv;

use crate::climate::error::ClimateError;
use crate::climate::raw::RawRecord;
use crate::climate::source::Source;
use crate::diagnostic::Problems;

/// How to recognise and read one format.
#[derive(Debug)]
pub struct Format {
    /// Name for messages.
    pub name: &'static str,
    /// Whether a file looks like this format.
    pub fits: fn(&Source) -> bool,
    /// Reads it.
    pub read: fn(&Source) -> Result<RawRecord, Problems>,
}

/// All formats, in the order they are tried.
pub const FORMATS: &[Format] = &[epw::FORMAT, plain_csv::FORMAT];

/// The format of a file.
///
/// # Errors
/// When no format fits; the message lists what was tried and how the file begins.
pub fn recognise(source: &Source) -> Result<&'static Format, Problems> {
    FORMATS.iter().find(|f| (f.fits)(source)).ok_or_else(|| {
        let tried = FORMATS
            .iter()
            .map(|f| f.name)
            .collect::<Vec<_>>()
            .join(", ");
        let fault = ClimateError::UnknownFormat {
            tried,
            first_lines: source.first_lines(3),
        };
        Problems(vec![fault.error(&source.name, Some(source.place(1)))])
    })
}
