//! The program's own plain CSV, hourly or daily.
//!
//! `#`-lines `# key: value` first (station, latitude, longitude, elevation_m, utc_offset_h, source, licence,
//! radiation_interval, note), then a header row, then the data. Columns are found by name, in any
//! order; unknown ones are skipped with a note. Comma, semicolon or tab separate; with a semicolon or tab a decimal comma is
//! read too. An empty cell is a missing value.

use super::columns::{Column, FAHRENHEIT, Found, HUNDREDTHS, INCH, KMH, MPH, column};
use super::preamble::{self, Preamble};
use super::table::Table;
use super::{Format, Hints, fields_of};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::quantity::{Quantity, Values, day, hour};
use crate::climate::raw::{DayValues, HourValues, RawRecord};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::climate::wind::at_10_m;
use crate::problem::Problems;

/// This format.
pub const FORMAT: Format = Format::new("plain CSV", fits, read);

/// Words that stand for a missing value.
const MISSING: &[&str] = &["", "na", "n/a", "nan", "null", "none", "-", "--", "m", "."];

const HOUR_WIND_2M: Quantity<HourValues> = Quantity {
    name: "wind at 2 m",
    ..hour::WIND
};
const DAY_WIND_2M: Quantity<DayValues> = Quantity {
    name: "wind at 2 m",
    ..day::WIND
};

const CELSIUS: &str = "degrees Celsius";
const MS: &str = "m/s";

/// Columns of hourly tables.
const HOURLY: &[Column<HourValues>] = &[
    column(&["temp_c"], hour::TEMP),
    column(&["temp_f"], hour::TEMP).si(FAHRENHEIT),
    column(&["temp"], hour::TEMP).guessed(CELSIUS),
    column(&["temperature"], hour::TEMP).guessed(CELSIUS),
    column(&["dewpoint_c"], hour::DEW),
    column(&["dewpoint_f"], hour::DEW).si(FAHRENHEIT),
    column(&["rh_pct"], hour::HUMIDITY).si(HUNDREDTHS),
    column(&["wind_ms"], hour::WIND),
    column(&["wind_kmh"], hour::WIND).si(KMH),
    column(&["wind_mph"], hour::WIND).si(MPH),
    column(&["wind"], hour::WIND).guessed(MS),
    column(&["wind2m_ms"], HOUR_WIND_2M).si(at_10_m),
    column(&["wind2m_kmh"], HOUR_WIND_2M).si(|x| at_10_m(KMH(x))),
    column(&["wind2m_mph"], HOUR_WIND_2M).si(|x| at_10_m(MPH(x))),
    column(&["ghi_w_m2"], hour::GHI),
    column(&["dni_w_m2"], hour::DNI),
    column(&["dhi_w_m2"], hour::DHI),
    column(&["sky_longwave_w_m2"], hour::LONGWAVE),
    column(&["cloud_okta"], hour::CLOUD).si(|x| cover(x * 0.125)),
    column(&["cloud_tenths"], hour::CLOUD).si(|x| cover(x * 0.1)),
    column(&["cloud_pct"], hour::CLOUD).si(|x| cover(x * 0.01)),
    column(&["snow_depth_cm"], hour::SNOW).si(HUNDREDTHS),
    column(&["snow_depth_in"], hour::SNOW).si(INCH),
];

/// Columns of daily tables.
const DAILY: &[Column<DayValues>] = &[
    column(&["tmin_c"], day::MIN),
    column(&["tmin_f"], day::MIN).si(FAHRENHEIT),
    column(&["tmin"], day::MIN).guessed(CELSIUS),
    column(&["temp_min"], day::MIN).guessed(CELSIUS),
    column(&["tmax_c"], day::MAX),
    column(&["tmax_f"], day::MAX).si(FAHRENHEIT),
    column(&["tmax"], day::MAX).guessed(CELSIUS),
    column(&["temp_max"], day::MAX).guessed(CELSIUS),
    column(&["tmean_c"], day::MEAN),
    column(&["tmean_f"], day::MEAN).si(FAHRENHEIT),
    column(&["tmean"], day::MEAN).guessed(CELSIUS),
    column(&["ghi_mj_m2"], day::SUM).si(|x| x * 1.0e6),
    column(&["wind_ms"], day::WIND),
    column(&["wind_kmh"], day::WIND).si(KMH),
    column(&["wind_mph"], day::WIND).si(MPH),
    column(&["wind"], day::WIND).guessed(MS),
    column(&["wind2m_ms"], DAY_WIND_2M).si(at_10_m),
    column(&["wind2m_kmh"], DAY_WIND_2M).si(|x| at_10_m(KMH(x))),
    column(&["wind2m_mph"], DAY_WIND_2M).si(|x| at_10_m(MPH(x))),
    column(&["vapour_kpa"], day::VAPOUR).si(|x| x * 1000.0),
    column(&["vapour_hpa"], day::VAPOUR).si(|x| x * 100.0),
    column(&["rh_pct"], day::HUMIDITY).si(HUNDREDTHS),
    column(&["snow_depth_cm"], day::SNOW).si(HUNDREDTHS),
    column(&["snow_depth_in"], day::SNOW).si(INCH),
];

/// Cloud cover, 0 to 1: 9 oktas is "sky obscured" in station reports.
fn cover(share: f64) -> f64 {
    if share > 1.0 && share < 1.126 {
        1.0
    } else {
        share
    }
}

const TIME: &[&str] = &["time", "datetime"];
const DATE: &[&str] = &["date"];
/// Known, and not needed by this program.
const UNUSED: &[&str] = &["precip_mm", "infilled"];

/// Whether a column's name is one of these.
fn among(name: &str, names: &[&str]) -> bool {
    names.iter().any(|n| n.eq_ignore_ascii_case(name))
}

/// Whether the program knows a column.
fn known(name: &str) -> bool {
    [TIME, DATE, UNUSED].iter().any(|names| among(name, names))
        || HOURLY.iter().any(|c| among(name, c.names))
        || DAILY.iter().any(|c| among(name, c.names))
}

/// Line of the header row and its delimiter.
fn header(source: &Source) -> Option<(usize, u8)> {
    let mut lines = source.lines(1);
    let (line, text) = lines.find(|(_, t)| !t.trim().is_empty() && !t.starts_with('#'))?;
    let count = |d: u8| text.bytes().filter(|b| *b == d).count();
    let delimiter = [b',', b';', b'\t']
        .into_iter()
        .max_by_key(|d| (count(*d), *d == b','))?;
    Some((line, delimiter))
}

fn fits(source: &Source) -> bool {
    header(source).is_some_and(|(line, delimiter)| {
        let names = fields_of(source.line(line), delimiter);
        let timed = names.iter().any(|n| among(n, TIME) || among(n, DATE));
        timed && names.len() >= 2
    })
}

fn read(source: &Source, _: &Hints) -> Result<RawRecord, Problems> {
    let (line, delimiter) = header(source).ok_or_else(|| source.error(ClimateError::Empty))?;
    let Preamble {
        station,
        radiation,
        notes,
        ..
    } = preamble::read(source, line)?;
    let table = Table::new(source, line, delimiter)?
        .by_hand(MISSING)
        .or_longer();
    let find = |names: &[&str]| names.iter().find_map(|n| table.find(n));
    let (time, date) = (find(TIME), find(DATE));
    // Cells behind the time may be left out: nothing was measured.
    let need = time.or(date).map_or(0, |at| at + 1);
    let need = need.max(table.names().len().min(2));
    let (hourly, daily) = (table.columns(HOURLY)?, table.columns(DAILY)?);
    let has = |quantity: Quantity<DayValues>| holds(&daily, quantity);
    let table = table.at_least(need);
    let mut record = match (time, date) {
        (Some(at), _) if !has(day::MIN) => {
            if !holds(&hourly, hour::TEMP) {
                return Err(table.no_column(hour::TEMP.name, "temp_c or temp_f").into());
            }
            let form = "YYYY-MM-DDTHH:MM in local standard time, as 2015-01-31T07:00";
            RawRecord::of(
                station,
                rows(&table, at, ("time", form), HOURLY, calendar::parse_time)?,
            )
        }
        (_, Some(at)) => {
            let (min, max) = (has(day::MIN), has(day::MAX));
            if min != max {
                let lacks = if min { day::MAX } else { day::MIN };
                let both = "tmin_c and tmax_c together";
                return Err(table.no_column(lacks.name, both).into());
            }
            if !min && !has(day::MEAN) {
                let any = "tmin_c and tmax_c, or at least tmean_c";
                return Err(table.no_column("daily temperatures", any).into());
            }
            let form = "YYYY-MM-DD, as 2015-01-31";
            let minute = |text: &str| Some(calendar::parse_date(text)? * MINUTES_A_DAY);
            RawRecord::of(station, rows(&table, at, ("date", form), DAILY, minute)?)
        }
        _ => {
            let what = "time or the date that goes with the temperatures";
            let expected = "time (YYYY-MM-DDTHH:MM) beside temp_c, or date (YYYY-MM-DD) beside tmin_c and tmax_c";
            return Err(table.no_column(what, expected).into());
        }
    };
    record.radiation = radiation;
    record.notes = notes;
    record.notes.extend(left_open(&table));
    Ok(record)
}

/// Whether one of the columns found holds a quantity.
fn holds<V>(columns: &[Found<V>], quantity: Quantity<V>) -> bool {
    let mut held = columns.iter().map(|f| f.column.quantity.name);
    held.any(|name| name == quantity.name)
}

/// Refuses two columns with the same quantity.
fn check_twins<V>(table: &Table<'_>, columns: &[Column<V>]) -> Result<(), Problems> {
    let quantity = |name: &String| {
        let column = columns.iter().find(|c| among(name, c.names));
        let time = among(name, TIME).then_some("time");
        let date = among(name, DATE).then_some("date");
        column.map(|c| c.quantity.name).or(time).or(date)
    };
    let mut held: Vec<(&str, &String)> = Vec::new();
    for (index, name) in table.names().iter().enumerate() {
        let Some(what) = quantity(name) else { continue };
        if let Some((_, first)) = held.iter().find(|(held, _)| *held == what) {
            let (first, second) = (first.to_string(), name.clone());
            let fault = ClimateError::DuplicateColumn {
                what,
                first,
                second,
            };
            return Err(table.header_fault(fault, index).into());
        }
        held.push((what, name));
    }
    Ok(())
}

/// The table's rows, of which each has its time in cell `when`.
fn rows<V: Values>(
    table: &Table<'_>,
    when: usize,
    form: (&'static str, &'static str),
    columns: &'static [Column<V>],
    minute: impl Fn(&str) -> Option<i64>,
) -> Result<Readings<V>, Problems> {
    check_twins(table, columns)?;
    table.read(columns, |row| row.stamp(when, form, &minute))
}

/// What the names of columns leave open.
fn left_open(table: &Table<'_>) -> Vec<String> {
    let units = HOURLY.iter().map(|c| (c.names, c.guessed));
    let units: Vec<_> = units
        .chain(DAILY.iter().map(|c| (c.names, c.guessed)))
        .collect();
    let guessed = |name: &String| {
        let (_, unit) = units.iter().find(|(names, _)| among(name, names))?;
        let unit = (*unit)?;
        Some(format!(
            "column \"{name}\" does not name its unit; taken as {unit}"
        ))
    };
    let mut notes: Vec<String> = table.names().iter().filter_map(guessed).collect();
    let unknown = |n: &&String| !known(n) && !n.is_empty();
    let skipped: Vec<&str> = table
        .names()
        .iter()
        .filter(unknown)
        .map(String::as_str)
        .collect();
    if !skipped.is_empty() {
        let skipped = skipped.join(", ");
        notes.push(format!(
            "columns not known to this program and skipped: {skipped}"
        ));
    }
    notes
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::raw::Rows;

    fn rows(text: &str) -> Rows {
        let source = Source::from_bytes("t", text.as_bytes().to_vec()).unwrap();
        read(&source, &Hints::default()).unwrap().rows
    }

    /// Catches a wrong conversion: fixed points of the units, not of the table.
    #[test]
    fn conversions_meet_fixed_points() {
        let near = |x: Option<f64>, wanted: f64| assert!((x.unwrap() - wanted).abs() < 1e-6);
        let hour = |name: &str, x: f64| {
            let beside = if name == "temp_f" { "mites" } else { "temp_c" };
            match rows(&format!("time,{beside},{name}\n2014-01-01T00:00,1,{x}\n")) {
                Rows::Hours(rows) => rows.get(0).unwrap().values,
                Rows::Days(_) => panic!("daily"),
            }
        };
        near(hour("temp_f", -40.0).outdoor_c, -40.0);
        near(hour("wind_kmh", 36.0).wind, 10.0);
        near(hour("wind_mph", 10.0).wind, 4.4704);
        near(hour("cloud_okta", 8.0).cloud, 1.0);
        near(hour("cloud_okta", 9.0).cloud, 1.0);
        near(hour("snow_depth_in", 10.0).snow_depth, 0.254);
        let text = "date,tmin_f,tmax_f,ghi_mj_m2\n2014-01-01,32,212,2\n";
        let Rows::Days(days) = rows(text) else {
            panic!("hourly")
        };
        let v = days.get(0).unwrap().values;
        near(v.tmin_c, 0.0);
        near(v.tmax_c, 100.0);
        near(v.ghi_sum, 2.0e6);
    }

    /// Catches a name entered twice, of which only the first would ever be found.
    #[test]
    fn names_are_unique() {
        fn check<V>(columns: &[Column<V>]) {
            let names: Vec<&str> = columns.iter().flat_map(|c| c.names).copied().collect();
            for (i, name) in names.iter().enumerate() {
                assert!(!names[i + 1..].contains(name), "{name}");
            }
        }
        check(HOURLY);
        check(DAILY);
    }
}
