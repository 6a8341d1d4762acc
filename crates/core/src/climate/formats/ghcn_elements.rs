//! What the layouts of GHCN-Daily share: the elements used, their raw units, and days put together from elements.
//!
//! Raw units (the network's own description): TMAX, TMIN, TAVG in tenths of a degree Celsius, AWND in tenths of m/s, SNWD in
//! mm, RHAV in percent. A mark in the quality flag means that the value failed a check; it is dropped. Days are those of
//! the observer: airports count midnight to midnight, many volunteers read at seven or eight in the morning, so that their
//! maximum belongs to the day before. Sums over a winter hardly feel it; nothing is shifted.

use std::collections::BTreeMap;

use crate::climate::calendar;
use crate::climate::error::ClimateError;
use crate::climate::raw::{DayRow, DayValues, Kind, PartialStation, RawRecord, Rows};

/// An element this program uses.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Element {
    TMax,
    TMin,
    TAvg,
    Wind,
    SnowDepth,
    Humidity,
}

impl Element {
    /// All of them, with their codes.
    pub(super) const ALL: [(Self, &'static str); 6] = [
        (Self::TMax, "TMAX"),
        (Self::TMin, "TMIN"),
        (Self::TAvg, "TAVG"),
        (Self::Wind, "AWND"),
        (Self::SnowDepth, "SNWD"),
        (Self::Humidity, "RHAV"),
    ];

    pub(super) fn of(code: &str) -> Option<Self> {
        Self::ALL.iter().find(|(_, c)| *c == code).map(|(e, _)| *e)
    }

    pub(super) fn is_temperature(self) -> bool {
        matches!(self, Self::TMax | Self::TMin | Self::TAvg)
    }

    /// SI value of a raw one.
    pub(super) fn raw_to_si(self, raw: f64) -> f64 {
        match self {
            Self::TMax | Self::TMin | Self::TAvg | Self::Wind => raw / 10.0,
            Self::SnowDepth => raw / 1000.0,
            Self::Humidity => raw / 100.0,
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::TMax => "maximum",
            Self::TMin => "minimum",
            Self::TAvg => "mean temperature",
            Self::Wind => "wind",
            Self::SnowDepth => "snow depth",
            Self::Humidity => "relative humidity",
        }
    }

    fn slot(self, values: &mut DayValues) -> &mut Option<f64> {
        match self {
            Self::TMax => &mut values.tmax_c,
            Self::TMin => &mut values.tmin_c,
            Self::TAvg => &mut values.tmean_c,
            Self::Wind => &mut values.wind,
            Self::SnowDepth => &mut values.snow_depth,
            Self::Humidity => &mut values.rel_humidity,
        }
    }
}

/// Missing code of every layout.
pub(super) fn missing(x: f64) -> bool {
    x == -9999.0
}

/// Days put together element by element, in whatever order the elements come.
#[derive(Debug, Default)]
pub(super) struct Days {
    days: BTreeMap<i64, (usize, DayValues)>,
    /// Values dropped for their quality flag.
    pub(super) failed: usize,
}

impl Days {
    /// Notes that the file has this day.
    pub(super) fn touch(&mut self, day: i64, line: usize) {
        self.days
            .entry(day)
            .or_insert_with(|| (line, DayValues::default()));
    }

    /// Puts a value, in SI, into its day.
    pub(super) fn put(
        &mut self,
        day: i64,
        line: usize,
        element: Element,
        value: f64,
    ) -> Result<(), ClimateError> {
        let (first_line, values) = self
            .days
            .entry(day)
            .or_insert_with(|| (line, DayValues::default()));
        let slot = element.slot(values);
        match *slot {
            Some(before) if before != value => Err(ClimateError::Overlap {
                when: calendar::date_text(day),
                what: element.words(),
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

    /// The record of these days.
    pub(super) fn record(self, station: PartialStation) -> RawRecord {
        let rows = self
            .days
            .into_iter()
            .map(|(day, (line, values))| DayRow { line, day, values });
        let volunteer = station
            .id
            .as_deref()
            .is_some_and(|id| id.starts_with("USC"));
        let mut record = RawRecord::of(station, Kind::Daily, Rows::Days(rows.collect()));
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
        record
    }
}

/// The fault of a file with several stations.
pub(super) fn several(stations: &std::collections::BTreeSet<String>) -> Option<ClimateError> {
    (stations.len() > 1).then(|| {
        let mut shown: Vec<&str> = stations.iter().take(5).map(String::as_str).collect();
        if stations.len() > 5 {
            shown.push("...");
        }
        ClimateError::SeveralStations {
            stations: shown.join(", "),
        }
    })
}

/// Most different stations remembered: enough to refuse the file.
pub(super) const MOST_STATIONS: usize = 6;

/// Origin of all layouts.
pub(super) fn origin() -> Option<String> {
    Some("GHCN-Daily, National Oceanic and Atmospheric Administration".into())
}
