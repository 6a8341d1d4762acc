//! One file per weather format; a format is found by a file's content, never by its name.
//!
//! A new format is one more file with a [`Format`] and one more line in [`FORMATS`]. What its columns hold it declares as data
//! (`columns.rs`); rows, cells, missing values and the places of what is wrong are the business of `table.rs`.

mod columns;
pub mod companions;
pub mod daymet;
pub mod dwd;
pub mod eccc;
pub mod epw;
mod facts;
pub mod ghcn_csv;
pub mod ghcn_dly;
mod ghcn_elements;
pub mod ghcn_long;
pub mod isd_lite;
pub mod nsrdb;
pub mod open_meteo;
pub mod open_meteo_json;
pub mod plain_csv;
mod preamble;
pub mod pvgis;
mod rows;
pub mod station_lists;
mod table;
pub mod tmy3;
pub mod typical;

use crate::climate::decode::MAX_LINE;
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::{Source, refuse_any};
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

impl Format {
    const fn new(
        name: &'static str,
        fits: fn(&Source) -> bool,
        read: fn(&Source, &Hints) -> Result<RawRecord, Problems>,
    ) -> Self {
        Self { name, fits, read }
    }
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

/// The fields of one line, blanks around them cut off; none of a line longer than any table's, which only JSON has.
fn fields_of(line: &str, delimiter: u8) -> Vec<String> {
    if line.len() > MAX_LINE {
        return Vec::new();
    }
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

/// Lines among which a header row is looked for; the longest preamble of a service has some 25.
const HEADER_WITHIN: usize = 60;

/// The first of the leading lines for which `is_header` holds.
fn header_line(source: &Source, is_header: impl Fn(&str) -> bool) -> Option<usize> {
    let mut leading = source.lines(1).take(HEADER_WITHIN);
    leading.find(|(_, text)| is_header(text)).map(|(l, _)| l)
}

/// Takes every line that is not blank; what is wrong is told with its line.
fn each_line(
    source: &Source,
    mut take: impl FnMut(usize, &str) -> Result<(), ClimateError>,
) -> Result<(), Problems> {
    let mut problems = Vec::new();
    for (line, text) in source.lines(1) {
        if !text.trim().is_empty()
            && let Err(fault) = take(line, text)
        {
            problems.push(source.error_at(fault, line));
            if problems.len() == MAX_PROBLEMS {
                break;
            }
        }
    }
    refuse_any(problems)
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
        let names: Vec<&str> = FORMATS.iter().map(|f| f.name).collect();
        let tried = names.join(", ");
        let fault = ClimateError::UnknownFormat {
            tried,
            first_lines: source.first_lines(3),
        };
        source.error_at(fault, 1).into()
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Catches JSON on one line, of which every format looks at the first, being cut into a text for each of its numbers.
    #[test]
    fn a_line_of_no_table_is_not_cut_into_fields() {
        assert_eq!(fields_of(" a,\"b,c\"", b','), ["a", "b,c"]);
        assert!(fields_of(&"0,".repeat(MAX_LINE / 2), b',').len() > 1000);
        assert!(fields_of(&"0,".repeat(MAX_LINE), b',').is_empty());
    }
}
