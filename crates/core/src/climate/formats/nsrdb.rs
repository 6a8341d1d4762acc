//! NSRDB (the Americas, satellite): half-hourly or hourly, with sun, humidity and wind.
//!
//! Line 1: names of the facts about the place, line 2 their values, line 3 the column names, matched by name because
//! versions differ. Each row stands for the interval around its time (minute 0 or 30; 30 alone in hourly files). The clock is
//! the one of `Time Zone`: local standard time, or UTC when ordered so.

use super::columns::{Column, PERCENT, column};
use super::facts::{Facts, UTC_OFFSET};
use super::table::{Row, Table};
use super::typical;
use super::{Format, Hints};
use crate::climate::error::ClimateError;
use crate::climate::quantity::hour;
use crate::climate::raw::{Clock, HourValues, PartialStation, RadiationInterval, RawRecord};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("NSRDB", fits, read);

const COLUMNS: &[Column<HourValues>] = &[
    column(&["Temperature"], hour::TEMP).needed(),
    column(&["Dew Point"], hour::DEW),
    column(&["Relative Humidity"], hour::HUMIDITY).si(PERCENT),
    column(&["Wind Speed"], hour::WIND),
    column(&["GHI"], hour::GHI),
    column(&["DNI"], hour::DNI),
    column(&["DHI"], hour::DHI),
];

/// Usual units, in lower case: no others are known.
const UNITS: [(&str, &[&str]); 4] = [
    ("Temperature", &["c"]),
    ("Dew Point", &["c"]),
    ("GHI", &["w/m2"]),
    ("Wind Speed", &["m/s", "m s-1"]),
];

fn fits(source: &Source) -> bool {
    source.line(1).starts_with("Source,Location ID,")
        && source.line(3).starts_with("Year,Month,Day,Hour,Minute")
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let mut facts = Facts::named(source);
    let zone_at = facts.at("Time Zone");
    let (id, local_at) = (facts.at("Location ID"), facts.at("Local Time Zone"));
    let place = ["Latitude", "Longitude", "Elevation"].map(|n| facts.at(n));
    let zone = facts.need(zone_at, &UTC_OFFSET);
    let local = facts.need(local_at, &UTC_OFFSET);
    let station = PartialStation {
        id: Some(facts.text(id).to_owned()).filter(|id| !id.is_empty()),
        name: Some("NSRDB grid cell".into()),
        utc_offset_h: local,
        source: Some("NSRDB, National Renewable Energy Laboratory".into()),
        ..facts.place(place)
    };
    if zone != local && zone.is_some_and(|z| z != 0.0) {
        let fault = ClimateError::BadHeader {
            what: "time zone",
            text: facts.text(zone_at).to_owned(),
            expected: "0 (UTC) or the local time zone",
        };
        facts.refuse(zone_at, fault);
    }
    for (column, usual) in UNITS {
        let at = facts.at(&format!("{column} Units"));
        let unit = facts.text(at);
        if !unit.is_empty() && !usual.contains(&unit.to_ascii_lowercase().as_str()) {
            let fault = ClimateError::BadUnit {
                column: column.to_owned(),
                unit: unit.to_owned(),
                expected: usual[0],
            };
            facts.refuse(at, fault);
        }
    }
    facts.done()?;
    let table = Table::new(source, 3, b',')?.missing(|x| x == -9999.0);
    let dated = typical::read(&table, COLUMNS, |row| {
        let form = "year, month, day, hour and minute in the first five fields";
        row.stamp(0, ("time", form), |_| stamp(row))
    })?;
    let mut record = match dated.on_real_years() {
        Ok(rows) => RawRecord::of(station, rows),
        Err(dated) => typical::record(source, station, dated),
    };
    record.radiation = RadiationInterval::Centred;
    if zone != local {
        record.clock = Clock::Utc;
    }
    Ok(record)
}

fn stamp(row: &Row<'_>) -> Option<typical::Stamp> {
    let date = typical::calendar_day(
        row.whole(0, 1900, 2200)?,
        row.whole(1, 1, 12)?,
        row.whole(2, 1, 31)?,
    )?;
    Some((date, row.whole(3, 0, 23)? * 60 + row.whole(4, 0, 59)?))
}
