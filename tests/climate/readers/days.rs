//! Daily readers.

use partywall::climate::Kind;
use partywall::climate::calendar::parse_date;
use partywall::climate::raw::DayValues;
use partywall::files::weather;

use super::{bytes, days, raw, same};
use crate::file;

fn on(record: &partywall::climate::raw::RawRecord, date: &str) -> DayValues {
    let day = parse_date(date).unwrap();
    let found = days(record).into_iter().find(|r| r.day() == day);
    found.unwrap_or_else(|| panic!("no {date}")).values
}

/// Catches a byte order mark, CRLF, flags or a gust of `<31` upsetting the rows, cm kept as metres, an estimated value
/// dropped, and days to come counted as a gap.
#[test]
fn eccc_daily() {
    let (format, record) = raw("eccc_daily.csv");
    assert_eq!(
        (format, record.kind),
        ("Environment Canada daily or hourly", Kind::Daily)
    );
    assert_eq!(days(&record).len(), 4, "days to come are not rows");
    let v = on(&record, "2024-01-02");
    same(v.tmax_c, Some(-1.0));
    same(v.tmin_c, Some(-6.0));
    same(v.tmean_c, Some(-3.5));
    same(v.snow_depth, Some(0.03));
    let v = on(&record, "2024-01-03");
    assert_eq!((v.tmax_c, v.tmean_c), (None, None));
    same(v.tmin_c, Some(-7.2));
    let s = &record.station;
    assert_eq!(
        (s.latitude_deg, s.longitude_deg),
        (Some(45.32), Some(-75.67))
    );
    assert_eq!(s.name.as_deref(), Some("OTTAWA INTL A"));
}

/// Catches our reading of the columns against the file's own sum: heating degree days are max(0, 18 - mean), published for
/// Ottawa on 1 January 2024 as 24.6 at -6.6 degC, and for every other whole day of the example.
#[test]
fn eccc_degree_days_agree_with_the_file() {
    let (_, record) = raw("eccc_daily.csv");
    let text = String::from_utf8(bytes("eccc_daily.csv")).unwrap();
    let cells = |line: &str| -> Vec<String> {
        line.trim_start_matches('\u{feff}')
            .split("\",\"")
            .map(|c| c.trim_matches(['"', '\r']).to_owned())
            .collect()
    };
    let names = cells(text.lines().next().unwrap());
    let at = |name: &str| names.iter().position(|n| n == name).unwrap();
    let (date, heat, cool) = (
        at("Date/Time"),
        at("Heat Deg Days (°C)"),
        at("Cool Deg Days (°C)"),
    );
    let mut checked = 0;
    for line in text.lines().skip(1) {
        let row = cells(line);
        let (Ok(heat), Ok(cool)) = (row[heat].parse::<f64>(), row[cool].parse::<f64>()) else {
            continue;
        };
        let v = on(&record, &row[date]);
        let mean = v.tmean_c.unwrap();
        // Published to a tenth.
        assert!(((18.0 - mean).max(0.0) - heat).abs() < 0.051, "{line}");
        assert!(((mean - 18.0).max(0.0) - cool).abs() < 0.051, "{line}");
        let middle = 0.5 * (v.tmin_c.unwrap() + v.tmax_c.unwrap());
        assert!(((18.0 - middle).max(0.0) - heat).abs() < 0.101, "{line}");
        checked += 1;
    }
    assert_eq!(checked, 3);
}

/// Catches older downloads, with lines about the station first, in Latin-1.
#[test]
fn eccc_older_downloads() {
    let (_, record) = raw("eccc_daily_older.csv");
    assert_eq!(days(&record).len(), 2);
    same(on(&record, "2007-12-31").tmin_c, Some(-13.0));
    same(on(&record, "2007-12-31").snow_depth, Some(0.14));
    let s = &record.station;
    assert_eq!((s.latitude_deg, s.elevation), (Some(48.37), Some(199.0)));
    assert_eq!(s.id.as_deref(), Some("6048261"));
}

/// Catches Unix seconds on the wrong day, Fahrenheit kept, and MJ kept as J. 1709161200 s is 29 February 2024, 00:00 on a
/// clock one hour ahead of UTC.
#[test]
fn open_meteo_daily() {
    let (_, record) = raw("open-meteo_daily_unix.csv");
    assert_eq!(record.kind, Kind::Daily);
    let v = on(&record, "2024-02-29");
    same(v.tmax_c, Some(5.0));
    same(v.tmin_c, Some(0.0));
    same(v.ghi_sum, Some(6.5e6));
    same(v.wind, Some(3.5));
    let v = on(&record, "2024-03-01");
    same(v.tmin_c, Some(-5.0));
    assert_eq!(v.ghi_sum, None);
}

/// Catches a leap day on the wrong date, 31 December of a leap year invented, the sun's mean over daylight taken for a day's
/// mean, and older files with whole numbers as floats.
#[test]
fn daymet() {
    let (format, record) = raw("daymet.csv");
    assert_eq!(format, "Daymet single place");
    let v = on(&record, "2020-02-29");
    same(v.tmax_c, Some(3.5));
    same(v.tmin_c, Some(-5.25));
    same(v.vapour_pressure, Some(410.0));
    same(v.ghi_sum, Some(250.5 * 39850.0));
    // Day 365 of a leap year is 30 December.
    same(on(&record, "2020-12-30").tmax_c, Some(4.63));
    assert_eq!(days(&record).len(), 4);
    same(on(&record, "2021-01-01").tmin_c, Some(-2.0));
    let s = &record.station;
    assert_eq!(
        (s.latitude_deg, s.longitude_deg, s.elevation),
        (Some(41.9), Some(-93.6), Some(310.0))
    );
    assert!(record.notes.iter().any(|n| n.contains("31 December")));
    assert_eq!(raw("daymet_older.csv").1.rows, record.rows);
}

/// Catches the German columns mixed up (TMK is the mean, TXK the maximum), -999 kept, hPa kept, a lost leap day.
#[test]
fn dwd_daily() {
    let (format, record) = raw("dwd_produkt_klima_tag.txt");
    assert_eq!(
        (format, record.kind),
        ("German weather service daily or hourly", Kind::Daily)
    );
    let v = on(&record, "2024-02-28");
    same(v.tmean_c, Some(5.4));
    same(v.tmax_c, Some(9.8));
    same(v.tmin_c, Some(1.6));
    same(v.wind, Some(3.2));
    same(v.vapour_pressure, Some(680.0));
    same(v.rel_humidity, Some(0.76));
    same(v.snow_depth, Some(0.0));
    assert_eq!(on(&record, "2024-02-29").snow_depth, None);
    let v = on(&record, "2024-03-01");
    assert_eq!((v.wind, v.tmean_c), (None, None));
    same(v.snow_depth, Some(0.04));
    assert_eq!(record.station.id.as_deref(), Some("433"));
}

/// Catches a reader whose record does not pass the checks every record passes.
#[test]
fn small_files_load_whole() {
    for name in [
        "eccc_daily.csv",
        "daymet.csv",
        "ghcn_access.csv",
        "open-meteo_daily_unix.csv",
        "open-meteo_hourly.json",
        "pvgis_hourly_slope-0.csv",
        "nsrdb_psm4.csv",
    ] {
        let record = weather::load(&file(&format!("tests/data/climate/{name}")))
            .unwrap_or_else(|p| panic!("{name}: {p}"));
        assert!(record.row_count() > 1, "{name}");
    }
    assert!(!bytes("daymet.csv").is_empty());
}
