//! A weather record as the rest of the program sees it, and how one is loaded.

use crate::climate::builtin;
use crate::climate::defaults::Defaults;
use crate::climate::error::ClimateError;
use crate::climate::fields::{self, Coverage};
use crate::climate::formats;
use crate::climate::quality;
use crate::climate::raw::{Kind, PartialStation, RadiationInterval, RawRecord, Rows};
use crate::climate::series::Station;
use crate::climate::source::Source;
use crate::climate::wrong_unit;
use crate::diagnostic::{Problem, Problems};
use crate::scenario::model::ClimateChoice;

/// A checked weather record. Winters are cut from it with [`Record::winters`].
#[derive(Debug, Clone)]
pub struct Record {
    /// Where it was measured.
    pub station: Station,
    /// What kind of record.
    pub kind: Kind,
    /// The file as the user named it, or the built-in name.
    pub source_name: String,
    /// Name of the file's format.
    pub format: &'static str,
    /// What the file lacks and what stands in for it, in plain words.
    pub notes: Vec<String>,
    /// What the user should look at.
    pub warnings: Vec<Problem>,
    /// How much of each field the file holds.
    pub coverage: Vec<Coverage>,
    pub(crate) rows: Rows,
    pub(crate) radiation: RadiationInterval,
    pub(crate) defaults: Defaults,
}

/// Loads a built-in record or a file.
///
/// # Errors
/// When there is no such record or file, or it cannot be used; every problem has its place where it has one, what was
/// expected and what to try.
pub fn load(choice: &ClimateChoice) -> Result<Record, Problems> {
    let source = match choice {
        ClimateChoice::BuiltIn(name) => builtin::source(name)?,
        ClimateChoice::File(path) => Source::read(path)?,
    };
    from_source(&source)
}

/// Reads a record from text already in memory; `name` stands in messages.
///
/// # Errors
/// As [`load`].
pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Record, Problems> {
    from_source(&Source::from_bytes(name, bytes)?)
}

fn from_source(source: &Source) -> Result<Record, Problems> {
    let format = formats::recognise(source)?;
    let mut raw = (format.read)(source)?;
    quality::check(source, &mut raw)?;
    let defaults = Defaults::embedded().map_err(|e| Problems(vec![source.error(e)]))?;
    let (station, station_notes) = station(source, &raw.station)?;
    wrong_unit::check_against_place(source, &mut raw, station.latitude_deg);
    let coverage = fields::coverage(&raw.rows);
    let mut notes = fields::replacements(&raw, &coverage, &defaults);
    let RawRecord {
        kind,
        rows,
        radiation,
        notes: said,
        warnings,
        ..
    } = raw;
    notes.splice(0..0, said.into_iter().chain(station_notes));
    Ok(Record {
        station,
        kind,
        source_name: source.name.clone(),
        format: format.name,
        notes,
        warnings,
        coverage,
        rows,
        radiation,
        defaults,
    })
}

/// Fills in what the file does not say about its station, with the words that say so.
fn station(source: &Source, said: &PartialStation) -> Result<(Station, Vec<String>), Problems> {
    let Some(latitude_deg) = said.latitude_deg else {
        let fault = ClimateError::MissingHeader {
            what: "latitude",
            example: "# latitude: 45.3",
        };
        return Err(Problems(vec![
            fault.error(&source.name, Some(source.place(1))),
        ]));
    };
    let mut notes = Vec::new();
    let utc_offset_h = match (said.utc_offset_h, said.longitude_deg) {
        (Some(h), _) => h,
        (None, Some(longitude)) => {
            let h = (longitude / 15.0).round();
            notes.push(format!(
                "the clock's offset from UTC is not stated; taken from the longitude as {h:+.0} h"
            ));
            h
        }
        (None, None) => {
            notes.push(
                "neither longitude nor UTC offset is stated; the clock is taken as solar time"
                    .into(),
            );
            0.0
        }
    };
    let elevation = said.elevation.unwrap_or_else(|| {
        notes.push("the station's height is not stated; taken as sea level".into());
        0.0
    });
    let station = Station {
        name: said.name.clone().unwrap_or_else(|| source.name.clone()),
        latitude_deg,
        longitude_deg: said.longitude_deg,
        elevation,
        utc_offset_h,
        source: said.source.clone(),
    };
    Ok((station, notes))
}
