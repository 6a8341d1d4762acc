//! One small true example for each reader: units, missing codes, flags, clocks, leap days.

mod damaged;
mod days;
mod ghcn;
mod hours;
mod packed;
mod typical;

use std::path::{Path, PathBuf};

use partywall::climate::formats::{self, Hints};
use partywall::climate::raw::{DayRow, HourRow, HourValues, RawRecord, Rows};
use partywall::climate::source::Source;
use partywall::problem::Problems;

/// Path of a small example.
pub fn path(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR"))
        .join("tests/data/climate")
        .join(name)
}

/// Bytes of a small example.
pub fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(path(name)).unwrap()
}

/// What the reader found by content makes of bytes, before any check, and the format's name.
pub fn try_raw(bytes: Vec<u8>) -> Result<(&'static str, RawRecord), Problems> {
    let source = Source::from_bytes("w", bytes)?;
    let format = formats::recognise(&source)?;
    Ok((format.name, (format.read)(&source, &Hints::default())?))
}

/// The same of a small example that must be readable.
pub fn raw(name: &str) -> (&'static str, RawRecord) {
    try_raw(bytes(name)).unwrap_or_else(|p| panic!("{name}: {p}"))
}

pub fn hours(record: &RawRecord) -> Vec<HourRow> {
    match &record.rows {
        Rows::Hours(rows) => rows.iter().collect(),
        Rows::Days(_) => panic!("daily"),
    }
}

pub fn days(record: &RawRecord) -> Vec<DayRow> {
    match &record.rows {
        Rows::Days(rows) => rows.iter().collect(),
        Rows::Hours(_) => panic!("hourly"),
    }
}

/// The values of the hour at a time written as text.
pub fn at(record: &RawRecord, time: &str) -> HourValues {
    let minute = partywall::climate::calendar::parse_time(time).unwrap();
    let found = hours(record).into_iter().find(|r| r.minute == minute);
    found.unwrap_or_else(|| panic!("no hour {time}")).values
}

/// Both missing, or within float noise.
#[track_caller]
pub fn same(got: Option<f64>, wanted: Option<f64>) {
    let near = match (got, wanted) {
        (Some(a), Some(b)) => (a - b).abs() < 1e-9 * b.abs().max(1.0),
        (a, b) => a == b,
    };
    assert!(near, "got {got:?}, wanted {wanted:?}");
}
