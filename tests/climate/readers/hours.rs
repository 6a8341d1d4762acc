//! Hourly readers: clocks above all.

use partywall::files::weather;
use std::fs;

use partywall::climate::ClimateChoice;
use partywall::climate::Kind;
use partywall::climate::raw::{Clock, RadiationInterval};
use tempfile::TempDir;

use super::{at, bytes, hours, path, raw, same};
use crate::{MARCH, OCTOBER, built_in, file};

/// Catches a wrong column, a lost minus, -9999 read as -999.9 degC, and a stamp off by an hour.
#[test]
fn isd_lite_columns() {
    let (format, record) = raw("isdlite_702910-2019.txt");
    assert_eq!(
        (format, record.kind, record.clock),
        ("ISD-Lite", Kind::Hourly, Clock::Utc)
    );
    let v = at(&record, "2019-01-01 00:00");
    same(v.outdoor_c, Some(-23.4));
    assert_eq!(
        (v.dewpoint_c, v.wind, v.cloud, v.ghi),
        (None, None, None, None)
    );
    let v = at(&record, "2019-01-01 02:00");
    same(v.outdoor_c, Some(-18.9));
    same(v.dewpoint_c, Some(-21.7));
    same(v.wind, Some(1.5));
    same(v.cloud, Some(0.25));
}

/// Catches UTC taken for local time, a lost hour between two files, and anything the independent conversion of the same
/// three files to plain CSV does otherwise: both winters must agree in every field of every hour.
#[test]
fn isd_lite_as_downloaded_equals_the_built_in_conversion() {
    let ours = weather::load(&file("tests/data/climate/isdlite_chicago")).unwrap();
    assert_eq!(ours.format, "ISD-Lite");
    assert!(
        ours.notes.iter().any(|n| n.contains("3 files")),
        "{:?}",
        ours.notes
    );
    let (a, b) = (
        ours.winters(OCTOBER, MARCH).unwrap(),
        built_in("chicago").winters(OCTOBER, MARCH).unwrap(),
    );
    assert_eq!((a.len(), b.len()), (2, 2));
    for (a, b) in a.iter().zip(&b) {
        assert_eq!((&a.label, a.hours.len()), (&b.label, b.hours.len()));
        for (h, (x, y)) in a.hours.iter().zip(&b.hours).enumerate() {
            for (x, y) in [
                (x.outdoor_c, y.outdoor_c),
                (x.dewpoint_c, y.dewpoint_c),
                (x.wind, y.wind),
                (x.sky_longwave, y.sky_longwave),
            ] {
                assert!((x - y).abs() < 1e-6, "{} hour {h}: {x} {y}", a.label);
            }
        }
    }
}

/// Catches km/h kept, the 2019 layout not found, flags read as values, and `NA` refused.
#[test]
fn eccc_hourly_layouts() {
    let (format, record) = raw("eccc_hourly_2019-10.csv");
    assert_eq!(
        (format, record.kind),
        ("Environment Canada daily or hourly", Kind::Hourly)
    );
    assert_eq!(record.clock, Clock::LocalStandard);
    let v = at(&record, "2019-10-01 00:00");
    same(v.outdoor_c, Some(-3.2));
    same(v.dewpoint_c, Some(-4.6));
    same(v.rel_humidity, Some(0.9));
    same(v.wind, Some(10.0));
    assert_eq!(at(&record, "2019-10-01 01:00").outdoor_c, None);
    assert_eq!(record.station.latitude_deg, Some(74.72));
    let (_, record) = raw("eccc_hourly_2023-07.csv");
    let v = at(&record, "2023-07-01 01:00");
    same(v.outdoor_c, Some(19.5));
    same(v.wind, Some(2.5));
}

/// Catches units of the brackets passed over, a second table read as rows of the first, `NaN` and `null` read as 0, the
/// zone's name used instead of the offset, and CSV and JSON that disagree.
#[test]
fn open_meteo_csv_and_json_agree() {
    let (csv, from_csv) = raw("open-meteo_hourly.csv");
    let (json, from_json) = raw("open-meteo_hourly.json");
    assert_eq!((csv, json), ("Open-Meteo CSV", "Open-Meteo JSON"));
    for record in [&from_csv, &from_json] {
        assert_eq!(hours(record).len(), 4);
        let s = &record.station;
        assert_eq!((s.utc_offset_h, s.elevation), (Some(-4.0), Some(51.0)));
        assert_eq!(record.radiation, RadiationInterval::Preceding);
        let v = at(record, "2024-01-15 12:00");
        same(v.outdoor_c, Some(0.5));
        same(v.rel_humidity, Some(0.48));
        same(v.wind, Some(5.0));
        same(v.ghi, Some(312.0));
        same(v.snow_depth, Some(0.05));
        same(v.cloud, Some(0.25));
        assert_eq!(at(record, "2024-01-15 01:00").wind, None);
        assert_eq!(at(record, "2024-01-15 02:00").outdoor_c, None);
    }
    for (a, b) in hours(&from_csv).iter().zip(hours(&from_json)) {
        assert_eq!((a.minute, a.values), (b.minute, b.values));
    }
    let json = String::from_utf8(bytes("open-meteo_hourly.json")).unwrap();
    let listed = super::try_raw(format!("[{json}]").into_bytes()).unwrap().1;
    assert_eq!(listed.rows, from_json.rows);
    let p = super::try_raw(format!("[{json},{json}]").into_bytes()).unwrap_err();
    assert!(p.0[0].what.contains("several stations: 2 places"), "{p}");
    let text = String::from_utf8(bytes("open-meteo_hourly.csv")).unwrap();
    let mph = super::try_raw(text.replace("(km/h)", "(mp/h)").into_bytes())
        .unwrap()
        .1;
    same(at(&mph, "2024-01-15 12:00").wind, Some(18.0 * 0.447_04));
    let p = super::try_raw(text.replace("(km/h)", "(Bft)").into_bytes()).unwrap_err();
    assert!(
        p.0[0].what.contains("Bft") && p.0[0].expected.as_deref().unwrap().contains("km/h"),
        "{p}"
    );
}

/// Catches the German missing code read as -999 degC, humidity in percent kept, and UTC taken for local time.
#[test]
fn dwd_hourly() {
    let (format, record) = raw("dwd_produkt_tu_stunde.txt");
    assert_eq!(
        (format, record.clock),
        ("German weather service daily or hourly", Clock::Utc)
    );
    same(at(&record, "2024-02-28 22:00").outdoor_c, Some(4.1));
    same(at(&record, "2024-02-28 22:00").rel_humidity, Some(0.81));
    assert_eq!(at(&record, "2024-02-28 23:00").rel_humidity, None);
    assert_eq!(at(&record, "2024-02-29 00:00").outdoor_c, None);
    let (_, sun) = raw("dwd_produkt_st_stunde.txt");
    // 108 J/cm2 in an hour are 300 W/m2; the stamp ends the hour.
    same(at(&sun, "2024-02-28 11:20").ghi, Some(300.0));
    same(at(&sun, "2024-02-28 11:20").dhi, Some(150.0));
    assert_eq!(at(&sun, "2024-02-28 12:20").dhi, None);
    assert_eq!(sun.radiation, RadiationInterval::Preceding);
}

/// Catches products of one station in a folder that are not laid over each other, and their clock left on UTC: 22 h UTC of
/// 28 February is 23 h on a clock one hour ahead, and the list of places gives the station its name.
#[test]
fn dwd_products_side_by_side() {
    let dir = TempDir::new().unwrap();
    for name in [
        "dwd_produkt_tu_stunde.txt",
        "dwd_produkt_st_stunde.txt",
        "dwd_metadaten_geographie.txt",
    ] {
        fs::copy(path(name), dir.path().join(name)).unwrap();
    }
    let record = weather::load(&ClimateChoice::File(dir.path().to_owned())).unwrap();
    assert_eq!((record.row_count(), record.station.utc_offset_h), (6, 1.0));
    assert_eq!(record.station.name, "Erfundenes Feld S\u{fc}d");
    assert_eq!(
        (record.station.latitude_deg, record.station.elevation),
        (52.4675, 48.0)
    );
    assert!(
        record.span_text().starts_with("2024-02-28 to 2024-02-29"),
        "{}",
        record.span_text()
    );
    let share = |field: &str| {
        record
            .coverage
            .iter()
            .find(|c| c.field == field)
            .unwrap()
            .share
    };
    assert!(
        (share("global radiation") - 2.0 / 6.0).abs() < 1e-9,
        "{:?}",
        record.coverage
    );
}

/// Catches half-hours taken for hours, the centre of the interval for its end, and the missing local zone.
#[test]
fn nsrdb_half_hours() {
    let (format, record) = raw("nsrdb_psm4.csv");
    assert_eq!(
        (format, record.kind, record.clock),
        ("NSRDB", Kind::Hourly, Clock::LocalStandard)
    );
    assert_eq!(record.radiation, RadiationInterval::Centred);
    assert_eq!(hours(&record).len(), 96);
    let v = at(&record, "2023-01-01 00:30");
    same(v.outdoor_c, Some(-1.1));
    same(v.rel_humidity, Some(1.0));
    same(v.wind, Some(3.1));
    let s = &record.station;
    assert_eq!(
        (s.latitude_deg, s.utc_offset_h, s.elevation),
        (Some(40.53), Some(-7.0), Some(2168.0))
    );
    let text = String::from_utf8(bytes("nsrdb_psm4.csv")).unwrap();
    let utc = text.replacen("-108.54,-7,2168,-7", "-108.54,0,2168,-7", 1);
    assert_eq!(
        super::try_raw(utc.into_bytes()).unwrap().1.clock,
        Clock::Utc
    );
}

/// Catches the sun of a tilted plane taken for global radiation, the image's minute lost, temperature put on it, the legend
/// read as rows, and a lost leap day.
#[test]
fn pvgis_hourly() {
    let (format, record) = raw("pvgis_hourly_slope-0.csv");
    assert_eq!((format, record.clock), ("PVGIS hourly", Clock::Utc));
    assert_eq!(hours(&record).len(), 3);
    let v = at(&record, "2016-02-29 10:00");
    same(v.outdoor_c, Some(4.94));
    same(v.wind, Some(1.47));
    same(v.ghi, Some(240.0));
    assert_eq!(record.radiation, RadiationInterval::CentredAfter(10));
    let (_, tilted) = raw("pvgis_hourly_slope-30.csv");
    assert!(hours(&tilted).len() >= 14 && hours(&tilted).iter().all(|r| r.values.ghi.is_none()));
    assert!(
        tilted.notes.iter().any(|n| n.contains("slope 0")),
        "{:?}",
        tilted.notes
    );
    same(at(&tilted, "2016-01-01 01:00").outdoor_c, Some(2.94));
}

/// Hour of the day, on the file's clock, around which the sun of an example's days is centred.
fn middle_of_the_sun(name: &str) -> f64 {
    let (_, record) = raw(name);
    let (mut moment, mut sum) = (0.0, 0.0);
    for row in hours(&record) {
        let ghi = row.values.ghi.unwrap_or(0.0);
        moment += ghi * row.minute.rem_euclid(1440) as f64 / 60.0;
        sum += ghi;
    }
    assert!(sum > 0.0, "{name}: no sun");
    moment / sum
}

/// Catches a clock taken for another one: the sun of whole days is centred on solar noon, which in the first days of January
/// is four minutes after 12 h minus a fifteenth of the longitude, UTC (equation of time). Clouds may move it by an hour.
#[test]
fn the_sun_is_centred_on_noon() {
    for (name, longitude, clock_h) in [
        ("nsrdb_psm4.csv", -108.54, -7.0),
        ("pvgis_tmy.csv", 8.0, 0.0),
        ("tmy3_sandpoint.csv", -160.517, -9.0),
    ] {
        let noon = 12.0 + 4.0 / 60.0 - longitude / 15.0 + clock_h;
        let middle = middle_of_the_sun(name);
        assert!((middle - noon).abs() < 1.0, "{name}: {middle}, noon {noon}");
    }
}
