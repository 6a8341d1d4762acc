//! Historical data of Environment and Climate Change Canada: daily (one file a year) and hourly (one file a month).
//!
//! Layout as downloaded: every field quoted, names with units in brackets and a flag column after each value. Names are
//! matched by their beginning, because the degree sign is sometimes mangled. Older downloads begin with some 25 lines about
//! the station. Units: degC, km/h, cm, percent. Local standard time all year; no radiation. A missing value is empty;
//! flags are not needed for it (estimated values are kept). Days to come are empty rows.

use super::columns::{Column, KMH, PERCENT, column};
use super::facts::place;
use super::table::{Row, Table};
use super::{Format, Hints, fields_of, header_line};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::quantity::{Values, day, hour};
use crate::climate::raw::{self, DayValues, HourValues, PartialStation, RawRecord};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format::new(
    "Environment Canada daily or hourly",
    |s| header(s).is_some(),
    read,
);

const HOURLY: &[Column<HourValues>] = &[
    column(&["Temp"], hour::TEMP).needed(),
    column(&["Dew Point Temp"], hour::DEW),
    column(&["Rel Hum"], hour::HUMIDITY).si(PERCENT),
    column(&["Wind Spd"], hour::WIND).si(KMH),
];

const DAILY: &[Column<DayValues>] = &[
    column(&["Min Temp"], day::MIN).needed(),
    column(&["Max Temp"], day::MAX).needed(),
    column(&["Mean Temp"], day::MEAN),
    column(&["Snow on Grnd"], day::SNOW).si(PERCENT),
];

/// Line of the header row.
fn header(source: &Source) -> Option<usize> {
    header_line(source, |line| {
        let names = fields_of(line, b',');
        let starts = |start: &str| names.iter().any(|n| n.starts_with(start));
        starts("Date/Time") && (starts("Max Temp (") || starts("Temp (") || starts("Mean Temp ("))
    })
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let line = header(source).unwrap_or(1);
    let table = Table::new(source, line, b',')?.bracketed();
    if table.find("Temp").is_some() {
        let form = "YYYY-MM-DD HH:MM in local standard time, as 2019-10-01 07:00";
        rows(&table, line, HOURLY, ("time", form), calendar::parse_time)
    } else {
        let form = "YYYY-MM-DD, as 2024-01-31";
        let minute = |text: &str| Some(calendar::parse_date(text)? * MINUTES_A_DAY);
        rows(&table, line, DAILY, ("date", form), minute)
    }
}

fn rows<V: Values>(
    table: &Table<'_>,
    header: usize,
    columns: &'static [Column<V>],
    form: (&'static str, &'static str),
    minute: impl Fn(&str) -> Option<i64>,
) -> Result<RawRecord, Problems>
where
    Readings<V>: Into<raw::Rows>,
{
    let when = table.need("date or time", "Date/Time")?;
    let mut place: Option<PartialStation> = None;
    let mut rows = table.read(columns, |row| -> Result<i64, Box<Problem>> {
        place.get_or_insert_with(|| station(table, row));
        row.stamp(when, form, &minute)
    })?;
    // The calendar runs on to the end of the month or year; what is still to come is no gap.
    rows.drop_empty_end();
    let mut station = place.unwrap_or_default();
    station.fill_from(&preamble(table.source, header));
    Ok(RawRecord::of(station, rows))
}

fn station(table: &Table<'_>, row: &Row<'_>) -> PartialStation {
    let text = |name: &str| Some(row.text(table.find(name)?)).filter(|t| !t.is_empty());
    PartialStation {
        id: text("Climate ID").map(str::to_owned),
        name: text("Station Name").map(str::to_owned),
        source: Some("Environment and Climate Change Canada, historical data".into()),
        ..place(text, ["Latitude", "Longitude", "Elevation"])
    }
}

/// The station as the lines before the header of older downloads describe it: a name and a value on each.
fn preamble(source: &Source, header: usize) -> PartialStation {
    let lines: Vec<Vec<String>> = (1..header)
        .map(|l| fields_of(source.line(l), b','))
        .collect();
    let text = |name: &str| {
        let named = lines.iter().rfind(|f| f.first().is_some_and(|n| n == name));
        named.and_then(|f| f.get(1)).map(String::as_str)
    };
    let id = text("Climate Identifier").or_else(|| text("Climate ID"));
    PartialStation {
        id: id.map(str::to_owned),
        name: text("Station Name").map(str::to_owned),
        ..place(text, ["Latitude", "Longitude", "Elevation"])
    }
}
