//! EPW: the hourly weather file of building-energy programs, a typical year or real years.
//!
//! Layout and missing codes: the data dictionary of the EPW format (EnergyPlus auxiliary programs). Eight header lines,
//! then 35 comma-separated fields an hour. Hour h runs from h-1:00 to h:00: its temperature belongs at h:00, its
//! radiation to the hour before. The minute field is 0 or 60 and means nothing.
//!
//! The months of a typical year come from different years, so the year field is ignored and the rows are put on the
//! clock of one nominal year in file order ([`super::typical`]).

use super::columns::{Column, HUNDREDTHS, TENTHS, field};
use super::facts::{Facts, UTC_OFFSET};
use super::table::{Row, Table};
use super::typical::{self, Stamp};
use super::{Format, Hints, fields_of};
use crate::climate::error::ClimateError;
use crate::climate::quantity::hour;
use crate::climate::raw::{HourValues, PartialStation, RadiationInterval, RawRecord, Rows};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("EPW", fits, read);

/// Fields of a row by the format.
const FIELDS: usize = 35;
/// Fields this program needs, up to the opaque sky cover.
const NEEDED: usize = 24;
/// Header lines.
const HEADER_LINES: usize = 8;

const COLUMNS: &[Column<HourValues>] = &[
    field(6, &["dry bulb temperature"], 99.9, hour::TEMP),
    field(7, &["dew point temperature"], 99.9, hour::DEW),
    field(8, &["relative humidity"], 999.0, hour::HUMIDITY).si(HUNDREDTHS),
    field(12, &["infrared radiation"], 9999.0, hour::LONGWAVE),
    field(13, &["global horizontal radiation"], 9999.0, hour::GHI),
    field(14, &["direct normal radiation"], 9999.0, hour::DNI),
    field(15, &["diffuse horizontal radiation"], 9999.0, hour::DHI),
    field(21, &["wind speed"], 999.0, hour::WIND),
    field(23, &["opaque sky cover"], 99.0, hour::CLOUD).si(TENTHS),
    field(22, &["total sky cover"], 99.0, hour::CLOUD).si(TENTHS),
    field(30, &["snow depth"], 999.0, hour::SNOW).si(HUNDREDTHS),
];

/// Header lines after LOCATION, by their first word.
const KEYWORDS: &[&str] = &[
    "DESIGN CONDITIONS",
    "TYPICAL/EXTREME",
    "GROUND TEMPERATURES",
    DATA_PERIODS,
];
/// The last of them.
const DATA_PERIODS: &str = "DATA PERIODS";

/// Whether a line begins with a word, whatever its case.
fn begins(line: &str, word: &str) -> bool {
    line.get(..word.len())
        .is_some_and(|s| s.eq_ignore_ascii_case(word))
}

/// LOCATION first, and then either another EPW header line or the station's numbers: other tables have a column called
/// location too.
fn fits(source: &Source) -> bool {
    let first = source.line(1);
    let keyword = (2..=HEADER_LINES).any(|l| KEYWORDS.iter().any(|k| begins(source.line(l), k)));
    let fields = fields_of(first, b',');
    let number = |i: usize| fields.get(i).is_some_and(|f| f.parse::<f64>().is_ok());
    begins(first, "LOCATION,") && (keyword || (6..10).all(number))
}

fn station(source: &Source) -> Result<PartialStation, Problems> {
    let mut facts = Facts::of(source, 1);
    let place = PartialStation {
        utc_offset_h: facts.need(8, &UTC_OFFSET),
        ..facts.place([6, 7, 9])
    };
    let named = |i: usize| {
        let said = Some(facts.text(i).to_owned());
        said.filter(|s| !s.is_empty() && s != "-" && s != "unknown")
    };
    let name: Vec<String> = [1, 2, 3].into_iter().filter_map(named).collect();
    let comments = (2..=HEADER_LINES).map(|l| source.line(l));
    let comments = comments.filter(|l| begins(l, "COMMENTS")).map(|l| {
        let said: Vec<String> = fields_of(l, b',').into_iter().skip(1).collect();
        said.join(", ")
    });
    let origin = [4, 5].into_iter().filter_map(named);
    let origin: Vec<String> = origin
        .chain(comments.filter(|c| !c.trim().is_empty()))
        .collect();
    let station = PartialStation {
        id: named(5),
        name: Some(match name.is_empty() {
            true => "station without a name".into(),
            false => name.join(", "),
        }),
        source: (!origin.is_empty()).then(|| origin.join("; ")),
        ..place
    };
    facts.done().map(|()| station)
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let station = station(source)?;
    let above = (1..=HEADER_LINES + 2).find(|l| begins(source.line(*l), DATA_PERIODS));
    let Some(above) = above.filter(|l| *l < source.line_count()) else {
        let got = source.line_count().min(HEADER_LINES);
        let fault = ClimateError::TruncatedHeader { got };
        return Err(source.error_at(fault, got).into());
    };
    let mut periods = Facts::of(source, above);
    let per_hour = periods.text(2).to_owned();
    if per_hour.parse::<f64>().is_ok_and(|n| n != 1.0) {
        let fault = ClimateError::BadHeader {
            what: "number of records an hour",
            text: per_hour,
            expected: "1",
        };
        periods.refuse(2, fault);
    }
    periods.done()?;
    // Some writers leave out trailing fields; then all rows do. A row shorter than the first has lost its end.
    let mut rows = source.lines(above + 1);
    let first = rows.find(|(_, l)| !l.trim().is_empty());
    let usual = first.map_or(FIELDS, |(_, l)| l.split(',').count());
    let usual = if usual < NEEDED {
        FIELDS
    } else {
        usual.min(FIELDS)
    };
    let table = Table::without_names(source, above, usual).or_longer();
    let dated = typical::read(&table, COLUMNS, |row| {
        let form = "year, month, day and an hour from 1 to 24 in the first four fields";
        row.stamp(0, ("time", form), |_| stamp(row))
    })?;
    let mut record = typical::record(source, station, dated);
    record.radiation = RadiationInterval::Preceding;
    let Rows::Hours(rows) = &mut record.rows else {
        return Ok(record);
    };
    if rows.known(&hour::SNOW).all(|(_, _, depth)| depth == 0.0) {
        rows.put(&hour::SNOW, Vec::new());
        record.notes.push("snow depth is 0 or missing in every hour, as in most typical years: unknown, taken as none".into());
    }
    Ok(record)
}

/// Some writers put calendar fields as floats; whole ones are meant.
fn stamp(row: &Row<'_>) -> Option<Stamp> {
    let date = typical::calendar_day(
        row.whole(0, 0, 9999)?,
        row.whole(1, 1, 12)?,
        row.whole(2, 1, 31)?,
    )?;
    Some((date, row.whole(3, 1, 24)? * 60))
}
