//! Historical data of Environment and Climate Change Canada: daily (one file a year) and hourly (one file a month).
//!
//! Layout as downloaded: every field quoted, names with units in brackets and a flag column after each value. Names are
//! matched by their beginning, because the degree sign is sometimes mangled. Older downloads begin with some 25 lines about
//! the station. Units: degC, km/h, cm, percent. Local standard time all year; no radiation. A missing value is empty;
//! flags are not needed for it (estimated values are kept). Days to come are empty rows.

use super::table::{Row, Table, coordinate, never};
use super::{Format, Hints, fields_of};
use crate::climate::calendar;
use crate::climate::raw::{
    DayRow, DayValues, HourRow, HourValues, Kind, PartialStation, RawRecord, Rows,
};
use crate::climate::source::Source;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format {
    name: "Environment Canada daily or hourly",
    fits,
    read,
};

/// Lines among which the header row is looked for.
const HEADER_WITHIN: usize = 60;
/// m/s in one km/h (exact).
const KMH: f64 = 1.0 / 3.6;

/// Line of the header row.
fn header(source: &Source) -> Option<usize> {
    (1..=source.line_count().min(HEADER_WITHIN)).find(|l| {
        let line = source.line(*l);
        if !line.contains("Date/Time") {
            return false;
        }
        let names = fields_of(line, b',');
        let starts = |start: &str| names.iter().any(|n| n.starts_with(start));
        starts("Date/Time") && (starts("Max Temp (") || starts("Temp (") || starts("Mean Temp ("))
    })
}

fn fits(source: &Source) -> bool {
    header(source).is_some()
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let line = header(source).unwrap_or(1);
    let table = Table::new(source, line, b',')?;
    let when = table.need(
        table.find_start("Date/Time"),
        "the date or time",
        "Date/Time",
    )?;
    let mut place: Option<PartialStation> = None;
    let mut rows = if let Some(temp) = table.find_start("Temp (") {
        Rows::Hours(hours(&table, when, temp, &mut place)?)
    } else {
        Rows::Days(days(&table, when, &mut place)?)
    };
    // The calendar runs on to the end of the month or year; what is still to come is no gap.
    let kind = match &mut rows {
        Rows::Hours(rows) => {
            let last = rows.iter().rposition(|r| r.values != HourValues::default());
            rows.truncate(last.map_or(0, |i| i + 1));
            Kind::Hourly
        }
        Rows::Days(rows) => {
            let last = rows.iter().rposition(|r| r.values != DayValues::default());
            rows.truncate(last.map_or(0, |i| i + 1));
            Kind::Daily
        }
    };
    let mut station = place.unwrap_or_default();
    station.fill_from(&preamble(source, line));
    Ok(RawRecord::of(station, kind, rows))
}

fn station(table: &Table<'_>, row: &Row<'_>) -> PartialStation {
    let text = |start: &str| {
        let text = row.text(table.find_start(start)?);
        (!text.is_empty()).then(|| text.to_owned())
    };
    PartialStation {
        id: text("Climate ID"),
        name: text("Station Name"),
        latitude_deg: text("Latitude").and_then(|t| coordinate(&t, 90.0)),
        longitude_deg: text("Longitude").and_then(|t| coordinate(&t, 180.0)),
        source: Some("Environment and Climate Change Canada, historical data".into()),
        ..PartialStation::default()
    }
}

/// The station as the lines before the header of older downloads describe it: a name and a value on each.
fn preamble(source: &Source, header: usize) -> PartialStation {
    let mut out = PartialStation::default();
    for line in 1..header {
        let fields = fields_of(source.line(line), b',');
        let [name, value, ..] = fields.as_slice() else {
            continue;
        };
        match name.as_str() {
            "Station Name" => out.name = Some(value.clone()),
            "Latitude" => out.latitude_deg = coordinate(value, 90.0),
            "Longitude" => out.longitude_deg = coordinate(value, 180.0),
            "Elevation" => out.elevation = coordinate(value, 9000.0),
            "Climate Identifier" | "Climate ID" => out.id = Some(value.clone()),
            _ => {}
        }
    }
    out
}

fn hours(
    table: &Table<'_>,
    when: usize,
    temp: usize,
    place: &mut Option<PartialStation>,
) -> Result<Vec<HourRow>, Problems> {
    let dew = table.find_start("Dew Point Temp (");
    let humidity = table.find_start("Rel Hum (");
    let wind = table.find_start("Wind Spd (");
    let mut out = Vec::new();
    table.rows(table.names().len(), |row| {
        place.get_or_insert_with(|| station(table, row));
        let form = "YYYY-MM-DD HH:MM in local standard time, as 2019-10-01 07:00";
        let minute =
            calendar::parse_time(row.text(when)).ok_or_else(|| row.bad_time(when, "time", form))?;
        out.push(HourRow {
            line: row.line,
            minute,
            values: HourValues {
                temp_c: row.number(Some(temp), never)?,
                dewpoint_c: row.number(dew, never)?,
                rel_humidity: row.number(humidity, never)?.map(|x| x / 100.0),
                wind: row.number(wind, never)?.map(|x| x * KMH),
                ..HourValues::default()
            },
        });
        Ok(())
    })?;
    Ok(out)
}

fn days(
    table: &Table<'_>,
    when: usize,
    place: &mut Option<PartialStation>,
) -> Result<Vec<DayRow>, Problems> {
    let low = table.need(
        table.find_start("Min Temp ("),
        "the day's minimum",
        "Min Temp (°C)",
    )?;
    let high = table.need(
        table.find_start("Max Temp ("),
        "the day's maximum",
        "Max Temp (°C)",
    )?;
    let mean = table.find_start("Mean Temp (");
    let snow = table.find_start("Snow on Grnd (");
    let mut out = Vec::new();
    table.rows(table.names().len(), |row| {
        place.get_or_insert_with(|| station(table, row));
        let day = calendar::parse_date(row.text(when))
            .ok_or_else(|| row.bad_time(when, "date", "YYYY-MM-DD, as 2024-01-31"))?;
        out.push(DayRow {
            line: row.line,
            day,
            values: DayValues {
                tmin_c: row.number(Some(low), never)?,
                tmax_c: row.number(Some(high), never)?,
                tmean_c: row.number(mean, never)?,
                snow_depth: row.number(snow, never)?.map(|x| x / 100.0),
                ..DayValues::default()
            },
        });
        Ok(())
    })?;
    Ok(out)
}
