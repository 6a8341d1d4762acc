//! Files that are no weather but say where it was measured: the user's own `station.txt`, and the list of a station's
//! places in the archives of the German weather service.

use super::facts::place;
use super::preamble::{self, Preamble};
use super::{Hints, fields_of};
use crate::climate::raw::PartialStation;
use crate::climate::source::Source;
use crate::problem::Problems;

/// Most lines of a `station.txt`: a longer file is a table.
const MOST_LINES: usize = 60;
/// Column names of the German list, as they are written.
const PLACES: &[&str] = &[
    "Stations_id",
    "Stationshoehe",
    "Geogr.Breite",
    "Geogr.Laenge",
];

/// What a file says about the station; `None` when it is no such file.
pub fn read(source: &Source) -> Option<Result<Hints, Problems>> {
    if is_station_text(source) {
        return Some(station_text(source));
    }
    let unit = None;
    places(source).map(|station| Ok(Hints { station, unit }))
}

/// A few `key: value` lines, of which one is the latitude or the unit, and nothing else.
fn is_station_text(source: &Source) -> bool {
    let key = |line: &str| -> Option<String> {
        let (key, _) = line.trim_start_matches('#').split_once(':')?;
        let key = key.trim().to_ascii_lowercase();
        (!key.is_empty() && key.chars().all(|c| c.is_ascii_lowercase() || c == '_')).then_some(key)
    };
    if source.line_count() > MOST_LINES {
        return false;
    }
    let keys: Option<Vec<String>> = (1..=source.line_count())
        .map(|l| source.line(l).trim())
        .filter(|l| !l.is_empty())
        .map(key)
        .collect();
    keys.is_some_and(|k| k.iter().any(|k| k == "latitude" || k == "temperature_unit"))
}

fn station_text(source: &Source) -> Result<Hints, Problems> {
    let Preamble { station, unit, .. } = preamble::read(source, source.line_count() + 1)?;
    Ok(Hints { station, unit })
}

/// The last place of a station in the German list: its rows are in the order of time.
fn places(source: &Source) -> Option<PartialStation> {
    let names = fields_of(source.line(1), b';');
    let same = |(a, b): (&&str, &String)| a.eq_ignore_ascii_case(b);
    if names.len() < PLACES.len() || !PLACES.iter().zip(&names).all(same) {
        return None;
    }
    let mut rows = (2..=source.line_count()).map(|l| fields_of(source.line(l), b';'));
    let last = rows.rfind(|f| f.len() >= PLACES.len())?;
    let text = |name: &str| {
        let at = PLACES.iter().position(|p| *p == name)?;
        last.get(at).map(String::as_str)
    };
    Some(PartialStation {
        id: last.first().map(|t| t.trim_start_matches('0').to_owned()),
        name: last.get(6).filter(|t| !t.is_empty()).cloned(),
        ..place(text, ["Geogr.Breite", "Geogr.Laenge", "Stationshoehe"])
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::climate::formats::TemperatureUnit;

    fn of(text: &str) -> Option<Result<Hints, Problems>> {
        read(&Source::from_bytes("station.txt", text.as_bytes().to_vec()).unwrap())
    }

    /// Catches a table taken for a station's description, and a description taken for a table.
    #[test]
    fn only_key_lines_describe_a_station() {
        let hints =
            of("latitude: 41.98\n# longitude: -87.9\nutc_offset_h: -6\ntemperature_unit: F\n")
                .unwrap()
                .unwrap();
        assert_eq!(hints.station.latitude_deg, Some(41.98));
        assert_eq!(hints.station.longitude_deg, Some(-87.9));
        assert_eq!(hints.station.utc_offset_h, Some(-6.0));
        assert_eq!(hints.unit, Some(TemperatureUnit::Fahrenheit));
        assert!(of("# latitude: 45\ndate,tmin_c,tmax_c\n2014-01-01,1,2\n").is_none());
        assert!(of("Latitude: 41.9  Longitude: -93.6\nyear,yday\n").is_none());
    }

    /// Catches a slip in the description being passed over in silence.
    #[test]
    fn slips_are_refused() {
        for slip in ["latitude: 95\n", "latitude: 45\ntemperature_unit: K\n"] {
            let p = of(slip).unwrap().unwrap_err();
            assert!(p.0[0].place.is_some() && p.0[0].help.is_some(), "{p}");
        }
    }

    /// Catches the first place of a station that has moved being taken for its last.
    #[test]
    fn the_last_of_the_places_counts() {
        let text = "Stations_id;Stationshoehe;Geogr.Breite;Geogr.Laenge;von_datum;bis_datum;Stationsname\n\
            \u{20}44;   45.00; 52.8900;  8.2300;19450801;19481231;Moortal\n\
            \u{20}44;   44.00; 52.9336;  8.2370;20070401;        ;Moortal Nord\n";
        let s = of(text).unwrap().unwrap().station;
        assert_eq!((s.latitude_deg, s.elevation), (Some(52.9336), Some(44.0)));
        assert_eq!(s.name.as_deref(), Some("Moortal Nord"));
    }
}
