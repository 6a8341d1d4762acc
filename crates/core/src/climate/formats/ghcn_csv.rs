//! GHCN-Daily as a table with one row a day: the station files of the "access" folder and the files of the order page.
//!
//! Access files put DATE second, give every value its `X_ATTRIBUTES` ("measurement,quality,source") and are in raw units;
//! ordered files put NAME second and are in the units ordered: degrees Fahrenheit, inches and miles per hour, or degrees
//! Celsius, mm and m/s. Nothing in a file says which. The unit is told from the values, and where they leave it open the
//! file is refused unless a `station.txt` beside it says.

use std::collections::BTreeSet;

use super::ghcn_elements::{Days, Element, MOST_STATIONS, missing, origin, several};
use super::table::{Row, Table, compact_date, coordinate};
use super::{Format, Hints, TemperatureUnit, fields_of};
use crate::climate::calendar;
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RawRecord};
use crate::climate::source::Source;
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format {
    name: "GHCN-Daily table",
    fits,
    read,
};

/// 95th percentile of whole-numbered maxima that cannot be degrees Fahrenheit: the record of the Earth is 134 (World
/// Meteorological Organization, from memory). Not the highest value: one slip must not decide.
const ABOVE_ANY_FAHRENHEIT: f64 = 140.0;
/// 95th percentile of a year's daily maxima, degrees Fahrenheit, reached nearly everywhere people live; in degrees
/// Celsius it never is (common practice, no source).
const WARM_FAHRENHEIT: f64 = 60.0;
/// 95th percentile of a year's daily maxima no place exceeds, degC (common practice, no source).
const WARMEST_CELSIUS: f64 = 52.0;
/// Different days of the year that show a warm season to be in the record.
const WHOLE_YEAR: usize = 300;

fn fits(source: &Source) -> bool {
    let names = fields_of(source.line(1), b',');
    let has = |name: &str| names.iter().any(|n| n == name);
    has("STATION") && has("DATE") && Element::ALL.iter().any(|(_, code)| has(code))
}

/// One value as written, before its unit is known.
struct Written {
    day: i64,
    line: usize,
    element: Element,
    value: f64,
}

fn read(source: &Source, hints: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::new(source, 1, b',')?;
    let temperatures = "TMAX and TMIN, or TAVG";
    let station_at = table.need(table.find("STATION"), "the station", "STATION")?;
    let date_at = table.need(table.find("DATE"), "the date", "DATE")?;
    let any = ["TMAX", "TMIN", "TAVG"].iter().find_map(|c| table.find(c));
    table.need(any, "daily temperatures", temperatures)?;
    let columns: Vec<(Element, usize, Option<usize>)> = Element::ALL
        .iter()
        .filter_map(|(element, code)| {
            let flags = table.find(&format!("{code}_ATTRIBUTES"));
            Some((*element, table.find(code)?, flags))
        })
        .collect();
    let mut stations = BTreeSet::new();
    let mut place: Option<PartialStation> = None;
    let mut days = Days::default();
    let mut written = Vec::new();
    let mut points = Points::default();
    // Sums and speeds, whether used or not, for the way they are written.
    let amounts: Vec<usize> = ["PRCP", "SNOW", "SNWD", "AWND"]
        .iter()
        .filter_map(|c| table.find(c))
        .collect();
    table.rows(date_at.max(station_at) + 1, |row| {
        let id = row.text(station_at);
        if stations.len() < MOST_STATIONS && !stations.contains(id) {
            stations.insert(id.to_owned());
        }
        place.get_or_insert_with(|| station(&table, row, id));
        let day = calendar::parse_date(row.text(date_at))
            .or_else(|| compact_date(row.text(date_at)))
            .ok_or_else(|| row.bad_time(date_at, "date", "YYYY-MM-DD, as 2015-01-31"))?;
        days.touch(day, row.line);
        points.elsewhere |= amounts.iter().any(|at| row.text(*at).contains('.'));
        for &(element, at, flags) in &columns {
            let Some(value) = row.number(Some(at), missing)? else {
                continue;
            };
            points.temperatures |= element.is_temperature() && row.text(at).contains('.');
            let failed = flags.is_some_and(|f| {
                let quality = row.text(f).split(',').nth(1).map(str::trim);
                quality.is_some_and(|q| !q.is_empty())
            });
            if failed {
                days.failed += 1;
                continue;
            }
            written.push(Written {
                day,
                line: row.line,
                element,
                value,
            });
        }
        Ok(())
    })?;
    if let Some(fault) = several(&stations) {
        return Err(Problems(vec![source.error(fault)]));
    }
    let access = columns.iter().any(|c| c.2.is_some()) && date_at == 1;
    let mut notes = Vec::new();
    let unit = match hints.unit {
        Some(unit) => unit,
        None => tell_unit(&written, points, access, &mut notes)
            .map_err(|fault| Problems(vec![source.error(fault)]))?,
    };
    let mut problems: Vec<Problem> = Vec::new();
    for w in written {
        let value = to_si(w.element, w.value, unit);
        if let Err(fault) = days.put(w.day, w.line, w.element, value) {
            problems.push(source.error_at(fault, w.line));
        }
    }
    if !problems.is_empty() {
        problems.truncate(super::MAX_PROBLEMS);
        return Err(Problems(problems));
    }
    let mut record = days.record(place.unwrap_or_default());
    record.notes.splice(0..0, notes);
    Ok(record)
}

fn station(table: &Table<'_>, row: &Row<'_>, id: &str) -> PartialStation {
    let number = |name: &str, limit: f64| {
        let at = table.find(name)?;
        coordinate(row.text(at), limit)
    };
    PartialStation {
        id: Some(id.to_owned()),
        name: table
            .find("NAME")
            .map(|at| row.text(at).to_owned())
            .filter(|n| !n.is_empty()),
        latitude_deg: number("LATITUDE", 90.0),
        longitude_deg: number("LONGITUDE", 180.0),
        elevation: number("ELEVATION", 9000.0),
        utc_offset_h: None,
        source: origin(),
    }
}

/// Where a file writes decimal points.
#[derive(Debug, Clone, Copy, Default)]
struct Points {
    temperatures: bool,
    elsewhere: bool,
}

/// The unit of a file's temperatures: from decimal points, from the size of the values, from the layout.
fn tell_unit(
    written: &[Written],
    points: Points,
    access: bool,
    notes: &mut Vec<String>,
) -> Result<TemperatureUnit, ClimateError> {
    let mut highs: Vec<f64> = written
        .iter()
        .filter(|w| matches!(w.element, Element::TMax | Element::TAvg))
        .map(|w| w.value)
        .collect();
    highs.sort_by(f64::total_cmp);
    let days_of_year: BTreeSet<i16> = written
        .iter()
        .filter_map(|w| calendar::date_of(w.day))
        .map(|d| d.day_of_year())
        .collect();
    let whole_year = days_of_year.len() >= WHOLE_YEAR;
    let p95 = (highs.len().checked_sub(1))
        .and_then(|n| highs.get(n * 95 / 100))
        .copied();
    let shown = p95.map_or("no maxima".to_owned(), |p| {
        format!("whole numbers, one day in twenty above {p:.0}")
    });
    let (unit, why) = if points.temperatures {
        // Degrees Fahrenheit and tenths of a degree Celsius are both written as whole numbers.
        (TemperatureUnit::Celsius, "their decimal points")
    } else if p95.is_some_and(|p| p > ABOVE_ANY_FAHRENHEIT) {
        (
            TemperatureUnit::TenthsCelsius,
            "values no thermometer shows in degrees",
        )
    } else if points.elsewhere {
        // Raw files have no decimal points at all, metric orders have them in temperatures too.
        (
            TemperatureUnit::Fahrenheit,
            "whole degrees beside amounts with decimals",
        )
    } else if access {
        // Values this small in tenths mean a place that never sees 14 degC.
        if whole_year && p95.is_some_and(|p| p >= WARM_FAHRENHEIT) {
            let evidence =
                format!("{shown}, in a layout that is usually in tenths of a degree Celsius");
            return Err(ClimateError::UnknownUnit { evidence });
        }
        (TemperatureUnit::TenthsCelsius, "the layout of the file")
    } else if whole_year && p95.is_some_and(|p| p >= WARM_FAHRENHEIT) {
        (
            TemperatureUnit::Fahrenheit,
            "a warm season too warm for degrees Celsius",
        )
    } else {
        let season = if whole_year {
            ""
        } else {
            ", without a whole year"
        };
        let evidence = format!("{shown}{season}");
        return Err(ClimateError::UnknownUnit { evidence });
    };
    if unit == TemperatureUnit::Celsius && whole_year && p95.is_some_and(|p| p > WARMEST_CELSIUS) {
        let evidence = format!("decimal points, yet {shown}");
        return Err(ClimateError::UnknownUnit { evidence });
    }
    let name = match unit {
        TemperatureUnit::TenthsCelsius => "tenths of a degree Celsius",
        TemperatureUnit::Celsius => "degrees Celsius, with mm and m/s",
        TemperatureUnit::Fahrenheit => "degrees Fahrenheit, with inches and miles per hour",
    };
    notes.push(format!(
        "the file does not name its units; taken as {name} from {why}"
    ));
    Ok(unit)
}

/// SI value; the other elements follow the unit system of the temperatures.
fn to_si(element: Element, value: f64, unit: TemperatureUnit) -> f64 {
    match (unit, element) {
        (TemperatureUnit::TenthsCelsius, e) => e.raw_to_si(value),
        (_, Element::Humidity) => value / 100.0,
        (TemperatureUnit::Celsius, Element::SnowDepth) => value / 1000.0,
        (TemperatureUnit::Celsius, _) => value,
        (TemperatureUnit::Fahrenheit, Element::SnowDepth) => value * 0.0254,
        (TemperatureUnit::Fahrenheit, Element::Wind) => value * 0.447_04,
        (TemperatureUnit::Fahrenheit, _) => (value - 32.0) / 1.8,
    }
}
