//! Open-Meteo's archive (the whole world from 1940 on), hourly or daily, as CSV; the variables are shared with its JSON.
//!
//! Line 1: names of the facts about the place, line 2 their values, a blank line, then a table whose header has the units
//! in brackets; a second table may follow after another blank line. Times are local labels on the one offset of the file
//! (`utc_offset_seconds`), whatever the zone is called, or Unix seconds. Missing is `NaN` or empty.

use super::table::{Row, Table, coordinate, never};
use super::{Format, Hints, fields_of};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::raw::{
    DayRow, DayValues, HourRow, HourValues, Kind, PartialStation, RadiationInterval, RawRecord,
    Rows,
};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format {
    name: "Open-Meteo CSV",
    fits,
    read,
};

/// What kind of units a variable has.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Measure {
    Temperature,
    Percent,
    Speed,
    Power,
    DaySum,
    Depth,
}

impl Measure {
    /// SI value = (written + shift) * factor; `None` for a unit that is not known.
    fn conversion(self, unit: &str) -> Option<(f64, f64)> {
        // The degree sign is sometimes mangled.
        let last = unit.trim().chars().last();
        match (self, unit.trim()) {
            (Self::Temperature, _) if last == Some('C') => Some((0.0, 1.0)),
            (Self::Temperature, _) if last == Some('F') => Some((-32.0, 1.0 / 1.8)),
            (Self::Percent, "%") => Some((0.0, 0.01)),
            (Self::Speed, "km/h") => Some((0.0, 1.0 / 3.6)),
            (Self::Speed, "m/s") | (Self::Depth, "m") => Some((0.0, 1.0)),
            (Self::Speed, "mp/h" | "mph") => Some((0.0, 0.447_04)),
            (Self::Speed, "kn") => Some((0.0, 1852.0 / 3600.0)),
            (Self::Power, u) if u.starts_with("W/m") => Some((0.0, 1.0)),
            (Self::DaySum, u) if u.starts_with("MJ/m") => Some((0.0, 1.0e6)),
            (Self::Depth, "cm") => Some((0.0, 0.01)),
            (Self::Depth, "ft") => Some((0.0, 0.3048)),
            _ => None,
        }
    }

    fn known(self) -> &'static str {
        match self {
            Self::Temperature => "°C or °F",
            Self::Percent => "%",
            Self::Speed => "km/h, m/s, mp/h or kn",
            Self::Power => "W/m²",
            Self::DaySum => "MJ/m²",
            Self::Depth => "m, cm or ft",
        }
    }
}

/// A variable: its names, new and old, its units, and where it goes.
pub(super) type Variable<V> = (
    &'static [&'static str],
    Measure,
    fn(&mut V) -> &mut Option<f64>,
);

/// Hourly variables; radiation is the mean of the hour before.
pub(super) const HOURLY: &[Variable<HourValues>] = &[
    (&["temperature_2m"], Measure::Temperature, |v| &mut v.temp_c),
    (
        &["dew_point_2m", "dewpoint_2m"],
        Measure::Temperature,
        |v| &mut v.dewpoint_c,
    ),
    (
        &["relative_humidity_2m", "relativehumidity_2m"],
        Measure::Percent,
        |v| &mut v.rel_humidity,
    ),
    (&["wind_speed_10m", "windspeed_10m"], Measure::Speed, |v| {
        &mut v.wind
    }),
    (&["shortwave_radiation"], Measure::Power, |v| &mut v.ghi),
    (&["direct_normal_irradiance"], Measure::Power, |v| {
        &mut v.dni
    }),
    (&["diffuse_radiation"], Measure::Power, |v| &mut v.dhi),
    (&["cloud_cover", "cloudcover"], Measure::Percent, |v| {
        &mut v.cloud
    }),
    (&["snow_depth"], Measure::Depth, |v| &mut v.snow_depth),
];

/// Daily variables.
pub(super) const DAILY: &[Variable<DayValues>] = &[
    (&["temperature_2m_min"], Measure::Temperature, |v| {
        &mut v.tmin_c
    }),
    (&["temperature_2m_max"], Measure::Temperature, |v| {
        &mut v.tmax_c
    }),
    (&["temperature_2m_mean"], Measure::Temperature, |v| {
        &mut v.tmean_c
    }),
    (&["shortwave_radiation_sum"], Measure::DaySum, |v| {
        &mut v.ghi_sum
    }),
    (
        &["wind_speed_10m_mean", "windspeed_10m_mean"],
        Measure::Speed,
        |v| &mut v.wind,
    ),
    (&["relative_humidity_2m_mean"], Measure::Percent, |v| {
        &mut v.rel_humidity
    }),
];

/// What a variable's unit does to its values, or the fault of a unit that is not known.
pub(super) fn conversion(
    name: &str,
    measure: Measure,
    unit: &str,
) -> Result<(f64, f64), ClimateError> {
    measure
        .conversion(unit)
        .ok_or_else(|| ClimateError::BadUnit {
            column: name.to_owned(),
            unit: unit.chars().take(20).collect(),
            expected: measure.known(),
        })
}

/// The place, as both layouts describe it; the offset is in seconds.
pub(super) fn place(
    latitude: f64,
    longitude: f64,
    elevation: Option<f64>,
    offset: f64,
) -> PartialStation {
    PartialStation {
        name: Some("Open-Meteo grid cell".into()),
        latitude_deg: Some(latitude),
        longitude_deg: Some(longitude),
        elevation,
        utc_offset_h: Some(offset / 3600.0),
        source: Some("Open-Meteo".into()),
        ..PartialStation::default()
    }
}

/// A record of hours, or of days when there are none.
pub(super) fn record(station: PartialStation, hours: Vec<HourRow>, days: Vec<DayRow>) -> RawRecord {
    let mut out = if hours.is_empty() {
        RawRecord::of(station, Kind::Daily, Rows::Days(days))
    } else {
        RawRecord::of(station, Kind::Hourly, Rows::Hours(hours))
    };
    out.radiation = RadiationInterval::Preceding;
    out
}

/// Minute of an hour's label: ISO on the file's clock, or Unix seconds.
pub(super) fn minute_of(text: &str, offset: i64) -> Option<i64> {
    calendar::parse_time(text).or_else(|| minute_of_unix(text.parse().ok()?, offset))
}

/// Minute on the file's clock of Unix seconds.
pub(super) fn minute_of_unix(seconds: i64, offset: i64) -> Option<i64> {
    let minute = seconds.checked_add(offset)?.div_euclid(60);
    let year = calendar::date_of(minute.div_euclid(MINUTES_A_DAY))?.year();
    calendar::YEARS.contains(&year).then_some(minute)
}

/// Day of a day's label, likewise.
pub(super) fn day_of(text: &str, offset: i64) -> Option<i64> {
    calendar::parse_date(text)
        .or_else(|| minute_of_unix(text.parse().ok()?, offset).map(|m| m.div_euclid(MINUTES_A_DAY)))
}

const FACTS: &[&str] = &["latitude", "longitude", "elevation", "utc_offset_seconds"];

fn fits(source: &Source) -> bool {
    let names = fields_of(source.line(1), b',');
    FACTS.iter().all(|f| names.iter().any(|n| n == f))
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let names = fields_of(source.line(1), b',');
    let values = fields_of(source.line(2), b',');
    let fact = |name: &'static str, limit: f64| -> Result<f64, Problems> {
        let at = names.iter().position(|n| n == name).unwrap_or(0);
        let text = values.get(at).map_or("", String::as_str);
        coordinate(text, limit).ok_or_else(|| {
            let fault = ClimateError::BadHeader {
                what: name,
                text: text.to_owned(),
                expected: "a number in line 2, below its name",
            };
            Problems(vec![source.error_at_field(fault, 2, at, b',')])
        })
    };
    let offset = fact("utc_offset_seconds", 14.0 * 3600.0)?;
    let elevation = fact("elevation", 9000.0).ok();
    let station = place(
        fact("latitude", 90.0)?,
        fact("longitude", 180.0)?,
        elevation,
        offset,
    );
    if !source.line(3).trim().is_empty() {
        let fault = ClimateError::SeveralStations {
            stations: "more than one line of places".into(),
        };
        return Err(Problems(vec![source.error_at(fault, 3)]));
    }
    // Whole seconds: bounded above, so the cast is exact.
    let offset = offset as i64;
    let headers: Vec<usize> = (4..=source.line_count())
        .filter(|l| !source.line(*l).trim().is_empty() && source.line(l - 1).trim().is_empty())
        .take(4)
        .collect();
    let mut found = String::new();
    for &line in &headers {
        let table = Table::new(source, line, b',')?.until_blank();
        if column(&table, "temperature_2m").is_some() {
            let hours = hours(&table, offset)?;
            return Ok(record(station, hours, Vec::new()));
        }
        found = table.names().join(", ").chars().take(200).collect();
    }
    for &line in &headers {
        let table = Table::new(source, line, b',')?.until_blank();
        if DAILY
            .iter()
            .take(3)
            .any(|v| column(&table, v.0[0]).is_some())
        {
            let days = days(&table, offset)?;
            return Ok(record(station, Vec::new(), days));
        }
    }
    let fault = ClimateError::MissingColumn {
        what: "the air temperature",
        expected: EXPECTED,
        found,
    };
    Err(Problems(vec![
        source.error_at(fault, headers.first().copied().unwrap_or(1)),
    ]))
}

/// Variables to ask the service for.
pub(super) const EXPECTED: &str =
    "hourly temperature_2m, or daily temperature_2m_min and temperature_2m_max";

/// Column of a variable, and its unit from the brackets.
fn column(table: &Table<'_>, variable: &str) -> Option<(usize, String)> {
    table.names().iter().enumerate().find_map(|(i, name)| {
        let (name, unit) = name.split_once('(').unwrap_or((name, ""));
        (name.trim() == variable).then(|| (i, unit.trim_end_matches(')').to_owned()))
    })
}

/// One variable of a table.
struct Column<V> {
    at: usize,
    shift: f64,
    factor: f64,
    slot: fn(&mut V) -> &mut Option<f64>,
}

fn columns<V>(table: &Table<'_>, variables: &[Variable<V>]) -> Result<Vec<Column<V>>, Problems> {
    let mut out = Vec::new();
    for (names, measure, slot) in variables {
        let Some((at, unit)) = names.iter().find_map(|n| column(table, n)) else {
            continue;
        };
        let name = names.first().copied().unwrap_or("");
        let (shift, factor) = conversion(name, *measure, &unit)
            .map_err(|f| Problems(vec![table.fault_in_header(f, at)]))?;
        out.push(Column {
            at,
            shift,
            factor,
            slot: *slot,
        });
    }
    Ok(out)
}

fn fill<V>(row: &Row<'_>, columns: &[Column<V>], values: &mut V) -> Result<(), Box<Problem>> {
    for c in columns {
        *(c.slot)(values) = row
            .number(Some(c.at), never)?
            .map(|x| (x + c.shift) * c.factor);
    }
    Ok(())
}

fn hours(table: &Table<'_>, offset: i64) -> Result<Vec<HourRow>, Problems> {
    let time = table.need(table.find("time"), "the time", "time")?;
    let columns = columns(table, HOURLY)?;
    let mut out = Vec::new();
    table.rows(table.names().len(), |row| {
        let minute = minute_of(row.text(time), offset)
            .ok_or_else(|| row.bad_time(time, "time", "YYYY-MM-DDTHH:MM or Unix seconds"))?;
        let mut values = HourValues::default();
        fill(row, &columns, &mut values)?;
        out.push(HourRow {
            line: row.line,
            minute,
            values,
        });
        Ok(())
    })?;
    Ok(out)
}

fn days(table: &Table<'_>, offset: i64) -> Result<Vec<DayRow>, Problems> {
    let time = table.need(table.find("time"), "the date", "time")?;
    let columns = columns(table, DAILY)?;
    let mut out = Vec::new();
    table.rows(table.names().len(), |row| {
        let day = day_of(row.text(time), offset)
            .ok_or_else(|| row.bad_time(time, "date", "YYYY-MM-DD or Unix seconds"))?;
        let mut values = DayValues::default();
        fill(row, &columns, &mut values)?;
        out.push(DayRow {
            line: row.line,
            day,
            values,
        });
        Ok(())
    })?;
    Ok(out)
}
