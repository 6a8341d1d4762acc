//! The `key: value` lines before the header row of a plain CSV file (behind a `#`), or in a file beside one of another format.

use super::TemperatureUnit;
use super::facts::{ELEVATION, LATITUDE, LONGITUDE, UTC_OFFSET};
use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RadiationInterval};
use crate::climate::source::{Source, refuse_any};
use crate::problem::Problems;

/// What the `#`-lines say.
#[derive(Debug, Default)]
pub(super) struct Preamble {
    pub(super) station: PartialStation,
    pub(super) radiation: RadiationInterval,
    pub(super) unit: Option<TemperatureUnit>,
    pub(super) notes: Vec<String>,
}

const RADIATION: &[(&str, RadiationInterval)] = &[
    ("preceding", RadiationInterval::Preceding),
    ("centred", RadiationInterval::Centred),
    ("centered", RadiationInterval::Centred),
    ("following", RadiationInterval::Following),
];

const UNITS: &[(&str, TemperatureUnit)] = &[
    ("C", TemperatureUnit::Celsius),
    ("F", TemperatureUnit::Fahrenheit),
    ("0.1 C", TemperatureUnit::TenthsCelsius),
];

fn one_of<T: Copy>(word: &str, words: &[(&str, T)]) -> Option<T> {
    let found = words.iter().find(|(known, _)| *known == word);
    found.map(|(_, meaning)| *meaning)
}

/// Reads the `#`-lines before the header row.
pub(super) fn read(source: &Source, header_line: usize) -> Result<Preamble, Problems> {
    let mut out = Preamble::default();
    let mut problems = Vec::new();
    let (mut origin, mut licence) = (None, None);
    for (line, text) in source.lines(1).take(header_line.saturating_sub(1)) {
        let Some((key, value)) = text.trim_start_matches('#').split_once(':') else {
            continue;
        };
        let (key, value) = (key.trim().to_ascii_lowercase(), value.trim());
        let station = &mut out.station;
        let number = match key.as_str() {
            "latitude" => Some((&mut station.latitude_deg, &LATITUDE)),
            "longitude" => Some((&mut station.longitude_deg, &LONGITUDE)),
            "elevation_m" => Some((&mut station.elevation, &ELEVATION)),
            "utc_offset_h" => Some((&mut station.utc_offset_h, &UTC_OFFSET)),
            _ => None,
        };
        if let Some((slot, fact)) = number {
            *slot = fact.of(value);
            if slot.is_none() {
                problems.push(source.error_at(fact.fault(value), line));
            }
            continue;
        }
        let mut refuse = |what, expected| {
            let text = value.to_owned();
            let fault = ClimateError::BadHeader {
                what,
                text,
                expected,
            };
            problems.push(source.error_at(fault, line));
        };
        match key.as_str() {
            "station" => station.name = Some(value.to_owned()),
            "source" => origin = Some(value.to_owned()),
            "licence" | "license" => licence = Some(format!("licence: {value}")),
            "note" => out.notes.push(value.to_owned()),
            "radiation_interval" => match one_of(value, RADIATION) {
                Some(radiation) => out.radiation = radiation,
                None => refuse("radiation interval", "preceding, centred or following"),
            },
            "temperature_unit" => {
                out.unit = one_of(value, UNITS);
                if out.unit.is_none() {
                    refuse("temperature unit", "C, F or 0.1 C");
                }
            }
            _ => {}
        }
    }
    let said: Vec<String> = origin.into_iter().chain(licence).collect();
    out.station.source = (!said.is_empty()).then(|| said.join("; "));
    refuse_any(problems).map(|()| out)
}
