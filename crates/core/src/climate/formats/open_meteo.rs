//! Open-Meteo's archive (the whole world from 1940 on), hourly or daily, as CSV; the variables are shared with its JSON.
//!
//! Line 1: names of the facts about the place, line 2 their values, a blank line, then a table whose header has the units
//! in brackets; a second table may follow after another blank line. Times are local labels on the one offset of the file
//! (`utc_offset_seconds`), whatever the zone is called, or Unix seconds. Missing is `NaN` or empty.

use super::columns::{Column, FAHRENHEIT, HUNDREDTHS, KMH, MPH, Si, Units, column, units};
use super::facts::{ELEVATION, Facts, LATITUDE, LONGITUDE, UTC_OFFSET_S};
use super::table::Table;
use super::{Format, Hints};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::quantity::{Values, day, hour};
use crate::climate::raw::{
    DayValues, HourValues, PartialStation, RadiationInterval, RawRecord, Rows,
};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("Open-Meteo CSV", |s| Facts::named(s).has(&FACTS), read);

/// As it is.
const SAME: Si = |x| x;

const TEMPERATURE: Units = units("°C or °F", &[("C", SAME), ("F", FAHRENHEIT)]);
const SHARE: Units = units("%", &[("%", HUNDREDTHS)]);
const SPEED: Units = units(
    "km/h, m/s, mp/h or kn",
    &[
        ("km/h", KMH),
        ("m/s", SAME),
        ("mp/h", MPH),
        ("mph", MPH),
        ("kn", |x| x * (1852.0 / 3600.0)),
    ],
);
const POWER: Units = units("W/m²", &[("W/m", SAME)]);
const DAY_SUM: Units = units("MJ/m²", &[("MJ/m", |x| x * 1.0e6)]);
const DEPTH: Units = units(
    "m, cm or ft",
    &[("m", SAME), ("cm", HUNDREDTHS), ("ft", |x| x * 0.3048)],
);

/// Hourly variables, by their names new and old; radiation is the mean of the hour before.
pub(super) const HOURLY: &[Column<HourValues>] = &[
    column(&["temperature_2m"], hour::TEMP).units(&TEMPERATURE),
    column(&["dew_point_2m", "dewpoint_2m"], hour::DEW).units(&TEMPERATURE),
    column(
        &["relative_humidity_2m", "relativehumidity_2m"],
        hour::HUMIDITY,
    )
    .units(&SHARE),
    column(&["wind_speed_10m", "windspeed_10m"], hour::WIND).units(&SPEED),
    column(&["shortwave_radiation"], hour::GHI).units(&POWER),
    column(&["direct_normal_irradiance"], hour::DNI).units(&POWER),
    column(&["diffuse_radiation"], hour::DHI).units(&POWER),
    column(&["cloud_cover", "cloudcover"], hour::CLOUD).units(&SHARE),
    column(&["snow_depth"], hour::SNOW).units(&DEPTH),
];

/// Daily variables, temperatures first.
pub(super) const DAILY: &[Column<DayValues>] = &[
    column(&["temperature_2m_min"], day::MIN).units(&TEMPERATURE),
    column(&["temperature_2m_max"], day::MAX).units(&TEMPERATURE),
    column(&["temperature_2m_mean"], day::MEAN).units(&TEMPERATURE),
    column(&["shortwave_radiation_sum"], day::SUM).units(&DAY_SUM),
    column(&["wind_speed_10m_mean", "windspeed_10m_mean"], day::WIND).units(&SPEED),
    column(&["relative_humidity_2m_mean"], day::HUMIDITY).units(&SHARE),
];

/// Whether a table or answer with the columns that `has` knows is of use, as hours or as days.
pub(super) fn is_of_use<V>(columns: &[Column<V>], has: impl Fn(&str) -> bool) -> bool {
    let mut temperatures = columns.iter().flat_map(|c| c.names);
    temperatures.any(|n| n.starts_with("temperature_2m") && has(n))
}

/// A record of rows in a place whose clock is `offset_s` seconds ahead of UTC.
pub(super) fn record(place: PartialStation, offset_s: i64, rows: impl Into<Rows>) -> RawRecord {
    let station = PartialStation {
        name: Some("Open-Meteo grid cell".into()),
        utc_offset_h: Some(offset_s as f64 / 3600.0),
        source: Some("Open-Meteo".into()),
        ..place
    };
    let mut out = RawRecord::of(station, rows);
    out.radiation = RadiationInterval::Preceding;
    out
}

/// Minute of a label: ISO time or date on the file's clock, or Unix seconds; the day's first in daily rows.
pub(super) fn minute_of<V: Values>(text: &str, offset_s: i64) -> Option<i64> {
    let date = || Some(calendar::parse_date(text)? * MINUTES_A_DAY);
    let minute = calendar::parse_time(text)
        .or_else(date)
        .or_else(|| minute_of_unix(text.parse().ok()?, offset_s))?;
    let of_day = minute.rem_euclid(MINUTES_A_DAY);
    Some(if V::DAILY { minute - of_day } else { minute })
}

/// Minute on the file's clock of Unix seconds.
pub(super) fn minute_of_unix(seconds: i64, offset_s: i64) -> Option<i64> {
    let minute = seconds.checked_add(offset_s)?.div_euclid(60);
    let year = calendar::date_of(minute.div_euclid(MINUTES_A_DAY))?.year();
    calendar::YEARS.contains(&year).then_some(minute)
}

const FACTS: [&str; 4] = ["latitude", "longitude", "elevation", "utc_offset_seconds"];

/// Variables to ask the service for.
pub(super) const EXPECTED: &str =
    "hourly temperature_2m, or daily temperature_2m_min and temperature_2m_max";

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let mut facts = Facts::named(source);
    let [latitude, longitude, elevation, offset] = FACTS.map(|n| facts.at(n));
    let place = PartialStation {
        latitude_deg: facts.need(latitude, &LATITUDE),
        longitude_deg: facts.need(longitude, &LONGITUDE),
        // May be left out.
        elevation: ELEVATION.of(facts.text(elevation)),
        ..PartialStation::default()
    };
    // Whole seconds, and bounded: the cast is exact.
    let offset = facts.need(offset, &UTC_OFFSET_S).unwrap_or(0.0) as i64;
    facts.done()?;
    if !source.line(3).trim().is_empty() {
        let stations = "more than one line of places".into();
        let fault = ClimateError::SeveralStations { stations };
        return Err(source.error_at(fault, 3).into());
    }
    let blank = |(_, text): &(usize, &str)| text.trim().is_empty();
    let pairs = source.lines(3).zip(source.lines(4));
    let headers = pairs.filter(|(above, line)| !blank(line) && blank(above));
    let table = |(_, (l, _))| Ok(Table::new(source, l, b',')?.until_blank().bracketed());
    let tables: Vec<Table<'_>> = headers
        .take(4)
        .map(table)
        .collect::<Result<_, Problems>>()?;
    let with = |is_of_use: &dyn Fn(&Table<'_>) -> bool| tables.iter().find(|t| is_of_use(t));
    if let Some(table) = with(&|t| is_of_use(HOURLY, |n| t.find(n).is_some())) {
        let form = "YYYY-MM-DDTHH:MM or Unix seconds";
        return Ok(record(
            place,
            offset,
            rows(table, HOURLY, ("time", form), offset)?,
        ));
    }
    if let Some(table) = with(&|t| is_of_use(DAILY, |n| t.find(n).is_some())) {
        let form = "YYYY-MM-DD or Unix seconds";
        return Ok(record(
            place,
            offset,
            rows(table, DAILY, ("date", form), offset)?,
        ));
    }
    Err(match tables.first() {
        Some(table) => table.no_column(hour::TEMP.name, EXPECTED),
        None => source.error_at(ClimateError::NoRows, 2),
    }
    .into())
}

fn rows<V: Values>(
    table: &Table<'_>,
    columns: &'static [Column<V>],
    form: (&'static str, &'static str),
    offset_s: i64,
) -> Result<Readings<V>, Problems> {
    let time = table.need(form.0, "time")?;
    table.read(columns, |row| {
        row.stamp(time, form, |text| minute_of::<V>(text, offset_s))
    })
}
