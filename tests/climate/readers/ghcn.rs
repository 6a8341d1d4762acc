//! GHCN-Daily in its four layouts.

use partywall::climate::Kind;
use partywall::climate::calendar::parse_date;
use partywall::climate::formats::{self, Hints, TemperatureUnit};
use partywall::climate::source::Source;
use partywall::files::weather;

use super::{bytes, days, path, raw, same, try_raw};
use crate::file;

/// The five days of 2016 that the synthetic files hold, in SI: minimum, maximum, mean, wind, snow depth.
const DAYS: [(&str, [Option<f64>; 5]); 5] = [
    (
        "2016-02-27",
        [Some(-12.8), Some(-1.1), None, Some(4.1), Some(0.254)],
    ),
    (
        "2016-02-28",
        [Some(-9.4), Some(0.0), None, None, Some(0.203)],
    ),
    ("2016-02-29", [Some(-5.0), Some(5.6), None, Some(2.5), None]),
    (
        "2016-03-01",
        [Some(-3.3), None, Some(2.2), Some(3.6), Some(0.0)],
    ),
    // The minimum of this day failed a quality check.
    ("2016-03-02", [None, Some(17.2), None, Some(0.0), Some(0.0)]),
];

/// Catches tenths read as degrees, mm as cm, a failed check kept, -9999 or an empty field read as a value, a lost leap day,
/// and layouts that disagree.
#[test]
fn four_layouts_give_the_same_days() {
    for (name, format) in [
        ("ghcn.dly", "GHCN-Daily, fixed width (.dly)"),
        ("ghcn_by_station.csv", "GHCN-Daily by station or by year"),
        ("ghcn_access.csv", "GHCN-Daily table"),
        ("ghcn_order_metric.csv", "GHCN-Daily table"),
    ] {
        let (found, record) = raw(name);
        assert_eq!((found, record.kind), (format, Kind::Daily), "{name}");
        let rows = days(&record);
        assert_eq!(rows.len(), DAYS.len(), "{name}");
        for (row, (date, wanted)) in rows.iter().zip(DAYS) {
            assert_eq!(row.day(), parse_date(date).unwrap(), "{name}");
            let v = row.values;
            for (got, wanted) in [v.tmin_c, v.tmax_c, v.tmean_c, v.wind, v.snow_depth]
                .into_iter()
                .zip(wanted)
            {
                same(got, wanted);
            }
        }
        let said = record
            .notes
            .iter()
            .any(|n| n.starts_with("1 values that failed"));
        assert!(said, "{name}: {:?}", record.notes);
        assert_eq!(record.station.id.as_deref(), Some("USW00099999"));
    }
}

/// Catches the station's place lost from the two layouts that have it, or invented in those that do not.
#[test]
fn places_are_read_where_there_are_any() {
    for name in ["ghcn_access.csv", "ghcn_order_metric.csv"] {
        let s = raw(name).1.station;
        assert_eq!(
            (s.latitude_deg, s.longitude_deg, s.elevation),
            (Some(45.25), Some(-75.5), Some(120.0))
        );
        assert_eq!(s.name.as_deref(), Some("MADE UP AIRPORT, ON CA"));
    }
    let p = weather::load(&file("tests/data/climate/ghcn.dly")).unwrap_err();
    assert!(
        p.0[0].what.contains("latitude")
            && p.0[0].help.as_deref().unwrap().contains(".station.txt"),
        "{p}"
    );
}

/// Catches Fahrenheit taken for Celsius or tenths: a real order of 2016 whose January 1 was 36 and 15 deg F.
#[test]
fn an_order_in_fahrenheit_is_told_by_its_summer() {
    let (_, record) = raw("ghcn_order_lincoln-2016.csv");
    let rows = days(&record);
    // 366 days of a leap year, one of them absent or not: the file has one line each.
    let lines = std::fs::read_to_string(path("ghcn_order_lincoln-2016.csv")).unwrap();
    assert_eq!(
        rows.len(),
        lines.lines().filter(|l| l.contains("2016-")).count()
    );
    same(rows[0].values.tmax_c, Some((36.0 - 32.0) / 1.8));
    same(rows[0].values.tmin_c, Some((15.0 - 32.0) / 1.8));
    assert!(
        record.notes.iter().any(|n| n.contains("Fahrenheit")),
        "{:?}",
        record.notes
    );
}

/// Catches a guess where nothing tells: whole numbers of a winter alone may be either unit. The file beside it decides.
#[test]
fn an_order_without_a_summer_is_asked_about() {
    let winter: String = String::from_utf8(bytes("ghcn_order_lincoln-2016.csv"))
        .unwrap()
        .lines()
        .filter(|l| l.contains("STATION") || l.contains("2016-01"))
        .map(|l| format!("{l}\n"))
        .collect();
    let p = try_raw(winter.clone().into_bytes()).unwrap_err();
    assert!(
        p.0[0].what.contains("which unit")
            && p.0[0]
                .help
                .as_deref()
                .unwrap()
                .contains("temperature_unit: F"),
        "{p}"
    );
    let source = Source::from_bytes("w", winter.into_bytes()).unwrap();
    let format = formats::recognise(&source).unwrap();
    for (unit, wanted) in [
        (TemperatureUnit::Fahrenheit, (36.0 - 32.0) / 1.8),
        (TemperatureUnit::Celsius, 36.0),
        (TemperatureUnit::TenthsCelsius, 3.6),
    ] {
        let hints = Hints {
            unit: Some(unit),
            ..Hints::default()
        };
        let record = (format.read)(&source, &hints).unwrap();
        same(days(&record)[0].values.tmax_c, Some(wanted));
    }
}

/// Catches whole degrees Fahrenheit beside inches with decimals not being told for what they are, when no summer is there
/// to show it: header and first day as published, Seattle 2015.
#[test]
fn whole_degrees_beside_decimals_are_fahrenheit() {
    let text = "\"STATION\",\"NAME\",\"DATE\",\"AWND\",\"PRCP\",\"SNOW\",\"SNWD\",\"TAVG\",\"TMAX\",\"TMIN\",\"WT01\"\n\
        \"USW00024233\",\"SEATTLE TACOMA INTERNATIONAL AIRPORT, WA US\",\"2015-01-01\",\"2.68\",\"0.00\",\"0.0\",\"0.0\",\"33\",\"42\",\"26\",\n";
    let record = try_raw(text.as_bytes().to_vec()).unwrap().1;
    let v = days(&record)[0].values;
    same(v.tmax_c, Some(10.0 / 1.8));
    same(v.tmin_c, Some(-6.0 / 1.8));
    same(v.tmean_c, Some(1.0 / 1.8));
    same(v.wind, Some(2.68 * 0.447_04));
    same(v.snow_depth, Some(0.0));
}

/// Catches a year in Fahrenheit put into the raw layout being read as tenths of a degree: an ice age.
#[test]
fn fahrenheit_in_the_raw_layout_is_refused() {
    let text: String = String::from_utf8(bytes("ghcn_order_lincoln-2016.csv"))
        .unwrap()
        .lines()
        .filter_map(|l| {
            let f: Vec<&str> = l.trim_matches('"').split("\",\"").collect();
            let [id, _, date, high, low] = f[..] else {
                return None;
            };
            let flags = if id == "STATION" {
                "TMAX_ATTRIBUTES"
            } else {
                ",,W"
            };
            Some(format!(
                "\"{id}\",\"{date}\",\"{high}\",\"{flags}\",\"{low}\"\n"
            ))
        })
        .collect();
    let p = try_raw(text.into_bytes()).unwrap_err();
    assert!(p.0[0].what.contains("tenths of a degree"), "{p}");
}

/// Catches the weather of two stations mixed into one record.
#[test]
fn several_stations_are_refused() {
    for name in ["ghcn.dly", "ghcn_by_station.csv", "ghcn_access.csv"] {
        let text = String::from_utf8(bytes(name)).unwrap();
        let rows: Vec<&str> = text.lines().filter(|l| !l.contains("STATION")).collect();
        let both = format!(
            "{text}{}\n",
            rows.join("\n").replace("USW00099999", "USC00011111")
        );
        let p = try_raw(both.into_bytes()).unwrap_err();
        assert!(
            p.0.iter().any(|p| p.what.contains("several stations")),
            "{name}: {p}"
        );
    }
}
