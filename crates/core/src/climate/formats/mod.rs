//! One file per weather format; a format is found by a file's content, never by its name.
//!
//! A new format is one more file with a [`Format`] and one more line in [`FORMATS`].

pub mod columns;
pub mod companions;
pub mod daymet;
pub mod dwd;
pub mod eccc;
pub mod epw;
pub mod ghcn_csv;
pub mod ghcn_dly;
mod ghcn_elements;
pub mod ghcn_long;
pub mod isd_lite;
pub mod nsrdb;
pub mod open_meteo;
pub mod open_meteo_json;
pub mod plain_csv;
mod plain_rows;
mod preamble;
pub mod pvgis;
pub mod station_lists;
mod table;
pub mod tmy3;
pub mod typical;

use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// How to recognise and read one format.
#[derive(Debug)]
pub struct Format {
    /// Name for messages.
    pub name: &'static str,
    /// Whether a file looks like this format.
    pub fits: fn(&Source) -> bool,
    /// Reads it.
    pub read: fn(&Source, &Hints) -> Result<RawRecord, Problems>,
}

/// What files beside the table say that the table does not.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Hints {
    /// The station, as far as said.
    pub station: PartialStation,
    /// Unit of temperatures whose file leaves it open.
    pub unit: Option<TemperatureUnit>,
}

impl Hints {
    /// Adds what one more file says; what was said first stays.
    pub fn add(&mut self, other: Self) {
        self.station.fill_from(&other.station);
        self.unit = self.unit.or(other.unit);
    }
}

/// Unit of temperatures in a file that does not name it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum TemperatureUnit {
    /// Whole tenths of a degree Celsius.
    TenthsCelsius,
    /// Degrees Celsius.
    Celsius,
    /// Degrees Fahrenheit.
    Fahrenheit,
}

/// All formats, in the order they are tried: those with unmistakable marks first, the program's own plain CSV last.
pub const FORMATS: &[Format] = &[
    epw::FORMAT,
    tmy3::FORMAT,
    open_meteo_json::FORMAT,
    open_meteo::FORMAT,
    eccc::FORMAT,
    ghcn_csv::FORMAT,
    ghcn_long::FORMAT,
    ghcn_dly::FORMAT,
    isd_lite::FORMAT,
    dwd::FORMAT,
    daymet::FORMAT,
    pvgis::HOURLY,
    pvgis::TMY,
    nsrdb::FORMAT,
    plain_csv::FORMAT,
];

/// Problems of one file listed before its reader gives up.
const MAX_PROBLEMS: usize = 10;

/// The fields of one line, blanks around them cut off.
fn fields_of(line: &str, delimiter: u8) -> Vec<String> {
    let mut record = csv::StringRecord::new();
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .delimiter(delimiter)
        .from_reader(line.as_bytes());
    match reader.read_record(&mut record) {
        Ok(true) => record.iter().map(|s| s.trim().to_owned()).collect(),
        _ => Vec::new(),
    }
}

/// The line a record of the table after line `header` begins on: the CSV parser counts blank lines and comments before
/// a record as its own.
fn line_of(source: &Source, header: usize, record: &csv::ByteRecord) -> usize {
    let start = record.position().map_or(1, csv::Position::line);
    let mut line = header + usize::try_from(start).unwrap_or(1);
    let skipped = |text: &str| text.trim().is_empty() || text.starts_with('#');
    while line < source.line_count() && skipped(source.line(line)) {
        line += 1;
    }
    line
}

/// A field of a record as text without blanks; empty where there is none.
fn text_of(record: &csv::ByteRecord, index: usize) -> &str {
    let field = record.get(index).unwrap_or(b"").trim_ascii();
    let text = std::str::from_utf8(field).unwrap_or("");
    if field.is_ascii() { text } else { text.trim() }
}

/// The start of a field for a message.
fn excerpt(text: &str) -> String {
    text.chars().filter(|c| !c.is_control()).take(40).collect()
}

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
