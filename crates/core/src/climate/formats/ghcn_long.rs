//! GHCN-Daily in long form (by station or by year): one value a line, usually gzip-packed.
//!
//! Layout (the network's own description): `ID,YYYYMMDD,ELEMENT,VALUE,M,Q,S,HHMM`, raw units, no header; some mirrors put
//! one on. A mark in Q means a failed check. A file by year holds all stations of the world and has to be cut to one.

use super::ghcn_elements::{Days, Element, missing};
use super::table::{Row, Table, compact_date};
use super::{Format, Hints, TemperatureUnit, excerpt, fields_of};
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format::new("GHCN-Daily by station or by year", fits, read);

/// Fields of a line; the last may be left out.
const FIELDS: usize = 8;
/// Fields up to the quality flag.
const NEEDED: usize = 6;

/// Lines of header: none, or one.
fn header_lines(source: &Source) -> usize {
    let names = fields_of(source.line(1), b',');
    let named = ["ID", "DATE", "ELEMENT"].iter().zip(&names);
    usize::from(names.len() >= NEEDED && named.into_iter().all(|(a, b)| a.eq_ignore_ascii_case(b)))
}

fn fits(source: &Source) -> bool {
    let fields = fields_of(source.line(header_lines(source) + 1), b',');
    let field = |i: usize| fields.get(i).map_or("", String::as_str);
    let coded = |b: u8| b.is_ascii_alphanumeric() || b == b'_';
    (7..=8).contains(&fields.len())
        && field(0).len() == 11
        && field(0).bytes().all(coded)
        && compact_date(field(1)).is_some()
        && field(2).len() == 4
        && field(3).parse::<i64>().is_ok()
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::without_names(source, header_lines(source), FIELDS).at_least(NEEDED);
    let mut days = Days::default();
    let read = table.each(|row| take(&mut days, row));
    days.record(source, read, PartialStation::default())
}

fn take(days: &mut Days, row: &Row<'_>) -> Result<(), Box<Problem>> {
    days.station(row.text(0));
    let form = "eight digits YYYYMMDD, as 20150131";
    let day = row.stamp(1, ("date", form), compact_date)?;
    let Some(element) = Element::of(row.text(2)) else {
        return Ok(());
    };
    let Ok(raw) = row.text(3).parse::<i64>() else {
        return Err(row.fault(ClimateError::BadNumber {
            column: element.code.to_owned(),
            text: excerpt(row.text(3)),
        }));
    };
    let (raw, line) = (raw as f64, row.line);
    days.touch(day, line);
    if missing(raw) {
        return Ok(());
    }
    if !row.text(5).is_empty() {
        days.failed += 1;
        return Ok(());
    }
    let value = element.si(raw, TemperatureUnit::TenthsCelsius);
    days.put(day, line, element, value)
        .map_err(|fault| row.fault(fault))
}
