//! What the layouts of GHCN-Daily share: the elements used, their raw units, and days put together from elements.
//!
//! Raw units (the network's own description): TMAX, TMIN, TAVG in tenths of a degree Celsius, AWND in tenths of m/s, SNWD in
//! mm, RHAV in percent. A mark in the quality flag means that the value failed a check; it is dropped. Days are those of
//! the observer: airports count midnight to midnight, many volunteers read at seven or eight in the morning, so that their
//! maximum belongs to the day before. Sums over a winter hardly feel it; nothing is shifted.

use std::collections::{BTreeMap, BTreeSet};

use super::TemperatureUnit;
use super::columns::Si;
use crate::climate::calendar::{self, MINUTES_A_DAY};
use crate::climate::error::ClimateError;
use crate::climate::quantity::{Quantity, day};
use crate::climate::raw::{DayRow, DayValues, PartialStation, RawRecord};
use crate::climate::readings::Readings;
use crate::climate::source::Source;
use crate::problem::Problems;

/// An element this program uses.
pub(super) struct Element {
    pub(super) code: &'static str,
    pub(super) quantity: Quantity<DayValues>,
    /// To SI: of raw files, and of orders in degrees Celsius and Fahrenheit, mm and inches, m/s and miles per hour.
    si: [Si; 3],
}

const TEMPERATURE: [Si; 3] = [|x| x / 10.0, |x| x, |x| (x - 32.0) / 1.8];

/// All of them.
pub(super) const ELEMENTS: &[Element] = &[
    element("TMAX", day::MAX, TEMPERATURE),
    element("TMIN", day::MIN, TEMPERATURE),
    element("TAVG", day::MEAN, TEMPERATURE),
    element("AWND", day::WIND, [|x| x / 10.0, |x| x, |x| x * 0.447_04]),
    element(
        "SNWD",
        day::SNOW,
        [|x| x / 1000.0, |x| x / 1000.0, |x| x * 0.0254],
    ),
    element(
        "RHAV",
        day::HUMIDITY,
        [|x| x / 100.0, |x| x / 100.0, |x| x / 100.0],
    ),
];

const fn element(code: &'static str, quantity: Quantity<DayValues>, si: [Si; 3]) -> Element {
    Element { code, quantity, si }
}

impl Element {
    pub(super) fn of(code: &str) -> Option<&'static Self> {
        ELEMENTS.iter().find(|e| e.code == code)
    }

    pub(super) fn is_temperature(&self) -> bool {
        self.code.starts_with('T')
    }

    /// A value in SI; the other elements follow the unit system of the temperatures.
    pub(super) fn si(&self, value: f64, unit: TemperatureUnit) -> f64 {
        let [raw, celsius, fahrenheit] = self.si;
        match unit {
            TemperatureUnit::TenthsCelsius => raw(value),
            TemperatureUnit::Celsius => celsius(value),
            TemperatureUnit::Fahrenheit => fahrenheit(value),
        }
    }
}

/// Missing code of every layout.
pub(super) fn missing(x: f64) -> bool {
    x == -9999.0
}

/// Most different stations remembered: enough to refuse the file.
const MOST_STATIONS: usize = 6;

/// Days put together element by element, in whatever order the elements come.
#[derive(Debug, Default)]
pub(super) struct Days {
    days: BTreeMap<i64, (usize, DayValues)>,
    stations: BTreeSet<String>,
    /// Values dropped for their quality flag.
    pub(super) failed: usize,
}

impl Days {
    /// Notes the station of a row.
    pub(super) fn station(&mut self, id: &str) {
        if self.stations.len() < MOST_STATIONS && !self.stations.contains(id) {
            self.stations.insert(id.to_owned());
        }
    }

    /// Notes that the file has this day.
    pub(super) fn touch(&mut self, day: i64, line: usize) -> &mut (usize, DayValues) {
        let new = || (line, DayValues::default());
        self.days.entry(day).or_insert_with(new)
    }

    /// Puts a value, in SI, into its day.
    pub(super) fn put(
        &mut self,
        day: i64,
        line: usize,
        element: &Element,
        value: f64,
    ) -> Result<(), ClimateError> {
        let (first_line, values) = self.touch(day, line);
        let slot = (element.quantity.slot)(values);
        match *slot {
            Some(before) if before != value => Err(ClimateError::Overlap {
                when: calendar::date_text(day),
                what: element.quantity.name,
                this: value,
                before,
                before_line: format!("line {first_line}"),
            }),
            _ => {
                *slot = Some(value);
                Ok(())
            }
        }
    }

    /// Refuses a file with several stations.
    pub(super) fn one_station(&self, source: &Source) -> Result<(), Problems> {
        if self.stations.len() < 2 {
            return Ok(());
        }
        let mut shown: Vec<&str> = self.stations.iter().take(5).map(String::as_str).collect();
        if self.stations.len() > 5 {
            shown.push("...");
        }
        let stations = shown.join(", ");
        let fault = ClimateError::SeveralStations { stations };
        Err(source.error(fault).into())
    }

    /// The record of these days, if they are one station's and `read` did not fail.
    pub(super) fn record(
        self,
        source: &Source,
        read: Result<(), Problems>,
        place: PartialStation,
    ) -> Result<RawRecord, Problems> {
        self.one_station(source)?;
        read?;
        let rows = self.days.into_iter().map(|(day, (line, values))| DayRow {
            line,
            minute: day * MINUTES_A_DAY,
            values,
        });
        let id = self.stations.into_iter().next();
        let volunteer = id.as_ref().is_some_and(|id| id.starts_with("USC"));
        let station = PartialStation {
            id,
            source: Some("GHCN-Daily, National Oceanic and Atmospheric Administration".into()),
            ..place
        };
        let mut record = RawRecord::of(station, rows.collect::<Readings<_>>());
        if self.failed > 0 {
            let count = self.failed;
            record.notes.push(format!(
                "{count} values that failed the network's own quality checks are left out"
            ));
        }
        if volunteer {
            record.notes.push(
                "a volunteer's station: where it is read in the morning, each maximum belongs to the day before; nothing is shifted".into(),
            );
        }
        Ok(record)
    }
}
