//! A weather record as the rest of the program sees it, and how one is loaded.

use crate::climate::builtin;
use crate::climate::defaults::Defaults;
use crate::climate::error::ClimateError;
use crate::climate::fields::{self, Coverage};
use crate::climate::file_sources::{self, FileSources};
use crate::climate::formats::{self, Format, Hints, companions, station_lists};
use crate::climate::join;
use crate::climate::quality;
use crate::climate::raw::{Kind, PartialStation, RadiationInterval, RawRecord, Rows};
use crate::climate::series::Station;
use crate::climate::source::Source;
use crate::climate::wrong_unit;
use crate::problem::{Problem, Problems};

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
    /// Day of every temperature reading taken as missing because no weather has it, in order.
    pub(crate) impossible: Vec<i64>,
}

/// A record built into the program; `known` says what is known about the place from elsewhere.
///
/// # Errors
/// When there is none of that name.
pub fn built_in(name: &str, known: &PartialStation) -> Result<Record, Problems> {
    let source = builtin::source(name)?;
    let format = formats::recognise(&source)?;
    let raw = (format.read)(&source, &Hints::default())?;
    finish(source, raw, format.name, known)
}

/// Reads a record from bytes already in memory, packed or not; `name` stands in messages.
///
/// # Errors
/// When they cannot be used; every problem has its place where it has one, what was expected and what to try.
pub fn from_bytes(name: &str, bytes: Vec<u8>) -> Result<Record, Problems> {
    from_file_sources(
        file_sources::from_memory(name, bytes)?,
        &PartialStation::default(),
    )
}

/// Reads one record from the names and bytes of several files of a station, packed or not; `known` says what is known about
/// the place from elsewhere.
///
/// # Errors
/// As [`from_bytes`]; also when the files do not make one record.
pub fn from_files(
    name: &str,
    files: Vec<(String, Vec<u8>)>,
    known: &PartialStation,
) -> Result<Record, Problems> {
    from_file_sources(file_sources::from_files(name, true, files)?, known)
}

/// Problems of all files listed before reading stops.
const MAX_PROBLEMS: usize = 20;
/// Files left aside that are told one by one.
const MOST_ASIDE: usize = 5;

/// Reads one record from the texts gathered from its files.
///
/// # Errors
/// As [`from_files`].
pub fn from_file_sources(
    gathered: FileSources,
    known: &PartialStation,
) -> Result<Record, Problems> {
    let FileSources {
        name,
        many,
        sources,
        aside,
        ..
    } = gathered;
    let mut hints = Hints::default();
    let (mut texts, mut problems) = (Vec::new(), Vec::new());
    let mut lists = Vec::new();
    for (source, archived) in sources {
        if station_lists::is_list(&source) {
            lists.push(source);
            continue;
        }
        match companions::read(&source) {
            None => texts.push((source, archived)),
            Some(Ok(said)) => hints.add(said),
            Some(Err(p)) => problems.extend(p.0),
        }
    }
    let mut left: Vec<(String, String)> = aside
        .into_iter()
        .map(|(file, fault)| (file, fault.to_string()))
        .collect();
    let mut read: Vec<(Source, &'static Format, RawRecord)> = Vec::new();
    let mut unknown = None;
    for (source, archived) in texts {
        if problems.len() >= MAX_PROBLEMS {
            break;
        }
        let format = match formats::recognise(&source) {
            Ok(format) => format,
            Err(p) if many => {
                // What an archive holds beside the table is the publisher's business; what a folder holds, the user's.
                if !archived {
                    let why = "no weather format this program reads";
                    left.push((source.name, why.into()));
                }
                unknown.get_or_insert(p);
                continue;
            }
            Err(p) => return Err(p),
        };
        match (format.read)(&source, &hints) {
            Ok(raw) => read.push((source, format, raw)),
            Err(p) => problems.extend(p.0),
        }
    }
    if !problems.is_empty() {
        return Err(Problems(problems));
    }
    let nothing = || Problems::from(ClimateError::NoFiles.error(&name, None));
    let Some(&(ref first, format, _)) = read.first() else {
        return Err(unknown.unwrap_or_else(nothing));
    };
    if let Some((other, found, _)) = read.iter().find(|r| r.1.name != format.name) {
        let fault = ClimateError::NotOneRecord {
            file: other.name.clone(),
            other: first.name.clone(),
            why: format!("one is {}, the other {}", found.name, format.name),
        };
        return Err(other.error(fault).into());
    }
    let mut files: Vec<(Source, RawRecord)> = read.into_iter().map(|(s, _, r)| (s, r)).collect();
    let (source, mut raw) = match files.len() {
        1 => files.pop().ok_or_else(nothing)?,
        _ => join::join(&name, files)?,
    };
    raw.warnings.splice(0..0, left_aside(&name, &left));
    let placed = raw.station.latitude_deg.is_some();
    raw.station.fill_from(&hints.station);
    if raw.station.latitude_deg.is_none()
        && let Some(id) = raw.station.id.clone()
        && let Some(found) = lists.iter().find_map(|l| station_lists::find(l, &id))
    {
        raw.station.fill_from(&found);
    }
    if !placed && raw.station.latitude_deg.is_some() {
        raw.notes
            .push("where it was measured is taken from a file beside it".into());
    }
    finish(source, raw, format.name, known)
}

/// A warning for each of the first files left aside, and one for the rest.
fn left_aside(name: &str, left: &[(String, String)]) -> Vec<Problem> {
    let told = left.iter().take(MOST_ASIDE);
    let mut out: Vec<Problem> = told
        .map(|(file, why)| ClimateError::LeftAside { why: why.clone() }.warning(file, None))
        .collect();
    if left.len() > MOST_ASIDE {
        let why = format!("{} more files", left.len() - MOST_ASIDE);
        out.push(ClimateError::LeftAside { why }.warning(name, None));
    }
    out
}

/// From rows as read to a checked record.
fn finish(
    source: Source,
    mut raw: RawRecord,
    format: &'static str,
    known: &PartialStation,
) -> Result<Record, Problems> {
    let source = &source;
    if raw.station.latitude_deg.is_none() && known.latitude_deg.is_some() {
        raw.notes.push(
            "the file does not say where it was measured; taken as measured where the hives stand"
                .into(),
        );
    }
    raw.station.fill_from(known);
    let defaults = Defaults::embedded().map_err(|e| source.error(e))?;
    let (station, station_notes) = station(source, &raw.station, format)?;
    raw.to_local_standard(station.utc_offset_h);
    let impossible = quality::check(source, &mut raw)?;
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
        format,
        notes,
        warnings,
        coverage,
        rows,
        radiation,
        defaults,
        impossible,
    })
}

/// Fills in what the file does not say about its station, with the words that say so.
fn station(
    source: &Source,
    said: &PartialStation,
    format: &str,
) -> Result<(Station, Vec<String>), Problems> {
    let Some(latitude_deg) = said.latitude_deg else {
        let fault = ClimateError::MissingHeader {
            what: "latitude",
            example: "latitude: 45.3",
            in_file: format == formats::plain_csv::FORMAT.name,
        };
        return Err(source.error_at(fault, 1).into());
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
        name: match (&said.name, &said.id) {
            (Some(name), _) => name.clone(),
            (None, Some(id)) => format!("station {id}"),
            (None, None) => source.name.clone(),
        },
        latitude_deg,
        longitude_deg: said.longitude_deg,
        elevation,
        utc_offset_h,
        source: said.source.clone(),
    };
    Ok((station, notes))
}
