//! GHCN-Daily as a table with one row a day: the station files of the "access" folder and the files of the order page.
//!
//! Access files put DATE second, give every value its `X_ATTRIBUTES` ("measurement,quality,source") and are in raw units;
//! ordered files put NAME second and are in the units ordered: degrees Fahrenheit, inches and miles per hour, or degrees
//! Celsius, mm and m/s. Nothing in a file says which. The unit is told from the values, and where they leave it open the
//! file is refused unless a `station.txt` beside it says.

use std::collections::BTreeSet;

use super::facts::place;
use super::ghcn_elements::{Days, ELEMENTS, Element, missing};
use super::table::{Table, compact_date};
use super::{Format, Hints, TemperatureUnit, fields_of};
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::quantity::day;
use crate::climate::raw::{DayRow, DayValues, PartialStation, RawRecord};
use crate::climate::readings::Readings;
use crate::climate::source::{Source, refuse_any};
use crate::problem::{Problem, Problems};

/// This format.
pub const FORMAT: Format = Format::new("GHCN-Daily table", fits, read);

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
    has("STATION") && has("DATE") && ELEMENTS.iter().any(|e| has(e.code))
}

fn read(source: &Source, hints: &Hints) -> Result<RawRecord, Problems> {
    let table = Table::new(source, 1, b',')?.missing(missing);
    let station_at = table.need("station", "STATION")?;
    let date_at = table.need("date", "DATE")?;
    if !["TMAX", "TMIN", "TAVG"]
        .iter()
        .any(|c| table.find(c).is_some())
    {
        let temperatures = "TMAX and TMIN, or TAVG";
        return Err(table.no_column("daily temperatures", temperatures).into());
    }
    let columns: Vec<(&Element, usize, Option<usize>)> = ELEMENTS
        .iter()
        .filter_map(|e| {
            let flags = table.find(&format!("{}_ATTRIBUTES", e.code));
            Some((e, table.find(e.code)?, flags))
        })
        .collect();
    // Sums and speeds, whether used or not, for the way they are written.
    let amounts = ["PRCP", "SNOW", "SNWD", "AWND"];
    let amounts: Vec<usize> = amounts.iter().filter_map(|c| table.find(c)).collect();
    let mut station: Option<PartialStation> = None;
    // Values as written, before their unit is known.
    let (mut days, mut written) = (Days::default(), Readings::expecting(table.line_count()));
    let mut points = Points::default();
    let table = table.at_least(date_at.max(station_at) + 1);
    table.each(|row| {
        days.station(row.text(station_at));
        station.get_or_insert_with(|| {
            let text = |name: &str| Some(row.text(table.find(name)?)).filter(|t| !t.is_empty());
            PartialStation {
                name: text("NAME").map(str::to_owned),
                ..place(text, ["LATITUDE", "LONGITUDE", "ELEVATION"])
            }
        });
        let day = row.stamp(date_at, ("date", "YYYY-MM-DD, as 2015-01-31"), |text| {
            calendar::parse_date(text).or_else(|| compact_date(text))
        })?;
        days.touch(day, row.line);
        let mut values = DayValues::default();
        points.elsewhere |= amounts.iter().any(|at| row.text(*at).contains('.'));
        for &(element, at, flags) in &columns {
            let Some(value) = row.number(at, element.code)? else {
                continue;
            };
            points.temperatures |= element.is_temperature() && row.text(at).contains('.');
            let quality = flags.and_then(|f| row.text(f).split(',').nth(1));
            if quality.is_some_and(|q| !q.trim().is_empty()) {
                days.failed += 1;
                continue;
            }
            *(element.quantity.slot)(&mut values) = Some(value);
        }
        if values != DayValues::default() {
            written.push(DayRow::new(row.line, day * MINUTES_A_DAY, values));
        }
        Ok(())
    })?;
    days.one_station(source)?;
    let access = columns.iter().any(|c| c.2.is_some()) && date_at == 1;
    let mut notes = Vec::new();
    let unit = match hints.unit {
        Some(unit) => unit,
        None => tell_unit(&written, points, access, &mut notes).map_err(|f| source.error(f))?,
    };
    let mut problems: Vec<Problem> = Vec::new();
    for mut row in written.iter() {
        for element in ELEMENTS {
            let Some(value) = *(element.quantity.slot)(&mut row.values) else {
                continue;
            };
            let value = element.si(value, unit);
            if let Err(fault) = days.put(row.day(), row.line, element, value)
                && problems.len() < super::MAX_PROBLEMS
            {
                problems.push(source.error_at(fault, row.line));
            }
        }
    }
    let put = refuse_any(problems);
    let mut record = days.record(source, put, station.unwrap_or_default())?;
    record.notes.splice(0..0, notes);
    Ok(record)
}

/// Where a file writes decimal points.
#[derive(Debug, Clone, Copy, Default)]
struct Points {
    temperatures: bool,
    elsewhere: bool,
}

/// The unit of a file's temperatures: from decimal points, from the size of the values, from the layout.
fn tell_unit(
    written: &Readings<DayValues>,
    points: Points,
    access: bool,
    notes: &mut Vec<String>,
) -> Result<TemperatureUnit, ClimateError> {
    use TemperatureUnit::{Celsius, Fahrenheit, TenthsCelsius};
    let maxima = [day::MAX, day::MEAN];
    let maxima = maxima.iter().flat_map(|q| written.known(q));
    let mut highs: Vec<f64> = maxima.map(|(_, _, value)| value).collect();
    highs.sort_by(f64::total_cmp);
    let days = written
        .iter()
        .filter_map(|row| calendar::date_of(row.day()));
    let days_of_year: BTreeSet<i16> = days.map(|d| d.day_of_year()).collect();
    let whole_year = days_of_year.len() >= WHOLE_YEAR;
    let p95 = highs.get(highs.len().saturating_sub(1) * 95 / 100).copied();
    let above = |limit: f64| p95.is_some_and(|p| p > limit);
    let warm = whole_year && p95.is_some_and(|p| p >= WARM_FAHRENHEIT);
    let shown = p95.map_or("no maxima".to_owned(), |p| {
        format!("whole numbers, one day in twenty above {p:.0}")
    });
    let left_open = |evidence: String| Err(ClimateError::UnknownUnit { evidence });
    let (unit, why) = if points.temperatures && whole_year && above(WARMEST_CELSIUS) {
        return left_open(format!("decimal points, yet {shown}"));
    } else if points.temperatures {
        // Degrees Fahrenheit and tenths of a degree Celsius are both written as whole numbers.
        (Celsius, "their decimal points")
    } else if above(ABOVE_ANY_FAHRENHEIT) {
        (TenthsCelsius, "values no thermometer shows in degrees")
    } else if points.elsewhere {
        // Raw files have no decimal points at all, metric orders have them in temperatures too.
        (Fahrenheit, "whole degrees beside amounts with decimals")
    } else if access && warm {
        // Values this small in tenths mean a place that never sees 14 degC.
        let usual = "in a layout that is usually in tenths of a degree Celsius";
        return left_open(format!("{shown}, {usual}"));
    } else if access {
        (TenthsCelsius, "the layout of the file")
    } else if warm {
        (Fahrenheit, "a warm season too warm for degrees Celsius")
    } else {
        let season = [", without a whole year", ""][usize::from(whole_year)];
        return left_open(format!("{shown}{season}"));
    };
    let name = match unit {
        TenthsCelsius => "tenths of a degree Celsius",
        Celsius => "degrees Celsius, with mm and m/s",
        Fahrenheit => "degrees Fahrenheit, with inches and miles per hour",
    };
    notes.push(format!(
        "the file does not name its units; taken as {name} from {why}"
    ));
    Ok(unit)
}
