//! GHCN-Daily in long form (by station or by year): one value a line, usually gzip-packed.
//!
//! Layout (the network's own description): `ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,HHMM`, raw units, no header; some mirrors put
//! one on. A mark in Q means a failed check. A file by year holds all stations of the world and has to be cut to one.

use std::collections::BTreeSet;

use csv::{ByteRecord, ReaderBuilder};

use super::ghcn_elements::{Days, Element, MOST_STATIONS, missing, origin, several};
use super::table::compact_date;
use super::{Format, Hints, MAX_PROBLEMS, excerpt, fields_of, line_of, text_of};
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format {
    name: "GHCN-Daily by station or by year",
    fits,
    read,
};

/// Fields of a line; the last may be left out.
const FIELDS: usize = 8;
/// Fields up to the quality flag.
const NEEDED: usize = 6;

/// Lines of header: none, or one.
fn header_lines(source: &Source) -> usize {
    let names = fields_of(source.line(1), b',');
    let named = ["ID", "DATE", "ELEMENT"];
    usize::from(
        named
            .iter()
            .zip(&names)
            .all(|(a, b)| a.eq_ignore_ascii_case(b))
            && names.len() >= NEEDED,
    )
}

fn fits(source: &Source) -> bool {
    let fields = fields_of(source.line(header_lines(source) + 1), b',');
    let field = |i: usize| fields.get(i).map_or("", String::as_str);
    (7..=8).contains(&fields.len())
        && field(0).len() == 11
        && field(0)
            .bytes()
            .all(|b| b.is_ascii_alphanumeric() || b == b'_')
        && compact_date(field(1)).is_some()
        && field(2).len() == 4
        && field(3).parse::<i64>().is_ok()
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let skip = header_lines(source);
    let body = source.text.get(source.offset(skip + 1)..).unwrap_or("");
    let mut reader = ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .quoting(false)
        .from_reader(body.as_bytes());
    let (mut days, mut problems) = (Days::default(), Vec::new());
    let mut stations: BTreeSet<String> = BTreeSet::new();
    let mut record = ByteRecord::new();
    while problems.len() < MAX_PROBLEMS
        && stations.len() < MOST_STATIONS
        && reader.read_byte_record(&mut record).unwrap_or(false)
    {
        if record.iter().all(|f| f.trim_ascii().is_empty()) {
            continue;
        }
        let line = line_of(source, skip, &record);
        let station = text_of(&record, 0);
        if !stations.contains(station) {
            stations.insert(station.to_owned());
        }
        if let Err(fault) = take(&mut days, &record, line) {
            problems.push(source.error_at(fault, line));
        }
    }
    if let Some(fault) = several(&stations) {
        problems = vec![source.error(fault)];
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let id = stations.into_iter().next();
    Ok(days.record(PartialStation {
        id,
        source: origin(),
        ..PartialStation::default()
    }))
}

fn take(days: &mut Days, record: &ByteRecord, line: usize) -> Result<(), ClimateError> {
    if record.len() < NEEDED {
        return Err(ClimateError::ShortRow {
            got: record.len(),
            need: FIELDS,
        });
    }
    if record.len() > FIELDS {
        return Err(ClimateError::LongRow {
            got: record.len(),
            need: FIELDS,
        });
    }
    let day = compact_date(text_of(record, 1)).ok_or_else(|| ClimateError::BadTime {
        what: "date",
        text: excerpt(text_of(record, 1)),
        expected: "eight digits YYYYMMDD, as 20150131",
    })?;
    let Some(element) = Element::of(text_of(record, 2)) else {
        return Ok(());
    };
    let written = text_of(record, 3);
    let raw = written
        .parse::<i64>()
        .map_err(|_| ClimateError::BadNumber {
            column: text_of(record, 2).to_owned(),
            text: excerpt(written),
        })? as f64;
    days.touch(day, line);
    if missing(raw) {
        return Ok(());
    }
    if !text_of(record, 5).is_empty() {
        days.failed += 1;
        return Ok(());
    }
    days.put(day, line, element, element.raw_to_si(raw))
}
