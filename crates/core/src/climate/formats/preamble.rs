//! The `# key: value` lines before the header row of a plain CSV file.

use crate::climate::error::ClimateError;
use crate::climate::raw::{PartialStation, RadiationInterval};
use crate::climate::source::Source;
use crate::problem::Problems;

/// What the `#`-lines say.
#[derive(Debug, Default)]
pub(super) struct Preamble {
    pub(super) station: PartialStation,
    pub(super) radiation: RadiationInterval,
    pub(super) notes: Vec<String>,
}

/// Reads the `#`-lines before the header row.
pub(super) fn read(source: &Source, header_line: usize) -> Result<Preamble, Problems> {
    let mut out = Preamble::default();
    let mut problems = Vec::new();
    let (mut origin, mut licence) = (None, None);
    for line in 1..header_line {
        let Some((key, value)) = source.line(line).trim_start_matches('#').split_once(':') else {
            continue;
        };
        let (key, value) = (key.trim().to_ascii_lowercase(), value.trim());
        let mut number = |what: &'static str, expected: &'static str, low: f64, high: f64| {
            let parsed = value
                .parse::<f64>()
                .ok()
                .filter(|x| (low..=high).contains(x));
            if parsed.is_none() {
                let fault = ClimateError::BadHeader {
                    what,
                    text: value.to_owned(),
                    expected,
                };
                problems.push(source.error_at(fault, line));
            }
            parsed
        };
        match key.as_str() {
            "station" => out.station.name = Some(value.to_owned()),
            "latitude" => {
                out.station.latitude_deg =
                    number("latitude", "degrees from -90 to 90", -90.0, 90.0);
            }
            "longitude" => {
                out.station.longitude_deg = number(
                    "longitude",
                    "degrees from -180 (west) to 180 (east)",
                    -180.0,
                    180.0,
                );
            }
            "elevation_m" => {
                out.station.elevation =
                    number("elevation", "metres from -450 to 9000", -450.0, 9000.0);
            }
            "utc_offset_h" => {
                out.station.utc_offset_h =
                    number("UTC offset", "hours from -12 to 14", -12.0, 14.0);
            }
            "source" => origin = Some(value.to_owned()),
            "licence" | "license" => licence = Some(value.to_owned()),
            "note" => out.notes.push(value.to_owned()),
            "radiation_interval" => match value {
                "preceding" => out.radiation = RadiationInterval::Preceding,
                "centred" | "centered" => out.radiation = RadiationInterval::Centred,
                "following" => out.radiation = RadiationInterval::Following,
                _ => {
                    let fault = ClimateError::BadHeader {
                        what: "radiation interval",
                        text: value.to_owned(),
                        expected: "preceding, centred or following",
                    };
                    problems.push(source.error_at(fault, line));
                }
            },
            _ => {}
        }
    }
    out.station.source = match (origin, licence) {
        (Some(o), Some(l)) => Some(format!("{o}; licence: {l}")),
        (Some(o), None) => Some(o),
        (None, Some(l)) => Some(format!("licence: {l}")),
        (None, None) => None,
    };
    if problems.is_empty() {
        Ok(out)
    } else {
        Err(Problems(problems))
    }
}
