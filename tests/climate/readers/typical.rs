//! Typical years beside the EPW.

use partywall::climate::raw::{Clock, RadiationInterval};
use partywall::climate::{self, Kind};

use super::{at, hours, path, raw, same};
use crate::{MARCH, OCTOBER, file};

/// Catches a wrong column, the hour's end taken for its beginning, -9900 read as a value, and years not laid into one.
#[test]
fn tmy3_columns() {
    let (format, record) = raw("tmy3_sandpoint.csv");
    assert_eq!(
        (format, record.kind, record.clock),
        ("TMY3", Kind::TypicalYear, Clock::LocalStandard)
    );
    let s = &record.station;
    assert_eq!(
        (s.latitude_deg, s.longitude_deg),
        (Some(55.317), Some(-160.517))
    );
    assert_eq!((s.utc_offset_h, s.elevation), (Some(-9.0), Some(7.0)));
    assert_eq!(s.name.as_deref(), Some("SAND POINT, AK"));
    let v = at(&record, "2001-01-01 02:00");
    same(v.temp_c, Some(4.0));
    same(v.dewpoint_c, Some(3.0));
    same(v.rel_humidity, Some(0.93));
    same(v.wind, Some(0.0));
    same(v.cloud, Some(1.0));
    // 24:00 is the next midnight.
    assert!(
        hours(&record)
            .iter()
            .any(|r| r.minute == hours(&record)[0].minute + 23 * 60)
    );
    assert_eq!(record.radiation, RadiationInterval::Preceding);
    assert!(
        record.warnings[0]
            .what
            .contains("72 hours of a year's 8760")
    );
}

/// Catches any shift, lost hour or wrong season order: sums of the whole year computed independently from the same file.
#[test]
fn tmy3_whole_year_out_of_its_gzip() {
    let record =
        climate::load(&file("tests/data/climate/tmy3_sandpoint_whole-year.csv.gz")).unwrap();
    assert!(
        record
            .notes
            .iter()
            .any(|n| n.contains("1991 to 2005") || n.contains("typical year")),
        "{:?}",
        record.notes
    );
    let winters = record.winters(OCTOBER, MARCH).unwrap();
    assert_eq!((winters.len(), winters[0].hours.len()), (1, 182 * 24));
    let temps: Vec<f64> = winters[0].hours.iter().map(|h| h.temp_c).collect();
    let mean = temps.iter().sum::<f64>() / temps.len() as f64;
    let below_10: f64 = temps.iter().map(|t| (10.0 - t).max(0.0) / 24.0).sum();
    let table = include_str!("../data/checks_hourly.csv");
    let row = table
        .lines()
        .find(|l| l.starts_with("TMY3 Sand Point AK"))
        .unwrap();
    let wanted: Vec<f64> = row.split(',').skip(2).map(|t| t.parse().unwrap()).collect();
    assert!((mean - wanted[1]).abs() < 0.005 + 1e-9, "{mean} {row}");
    assert!((temps.iter().copied().fold(f64::INFINITY, f64::min) - wanted[2]).abs() < 1e-9);
    assert!(
        (below_10 - wanted[3]).abs() < 0.05 + 1e-9,
        "{below_10} {row}"
    );
    assert_eq!(
        temps.iter().filter(|t| **t > 10.0).count() as f64,
        wanted[5]
    );
}

/// Catches UTC taken for local time, months read as data, the delay of the radiation lost, and a year in which the last
/// hours, pushed over midnight by the clock, are missing.
#[test]
fn pvgis_typical_year() {
    let (format, record) = raw("pvgis_tmy.csv");
    assert_eq!(
        (format, record.kind, record.clock),
        ("PVGIS typical year", Kind::TypicalYear, Clock::Utc)
    );
    assert_eq!(hours(&record).len(), 72);
    let v = at(&record, "2001-01-01 04:00");
    same(v.temp_c, Some(1.79));
    same(v.rel_humidity, Some(0.9864));
    same(v.wind, Some(0.87));
    same(v.sky_longwave, Some(315.03));
    same(v.ghi, Some(0.0));
    // 0.1761 h are 11 minutes.
    assert_eq!(record.radiation, RadiationInterval::CentredAfter(11));
    assert_eq!(record.station.elevation, Some(250.0));
    // A whole year of the same three days, in UTC one hour behind the place.
    let text = std::fs::read_to_string(path("pvgis_tmy.csv")).unwrap();
    let (head, rows): (Vec<&str>, Vec<&str>) = text.lines().partition(|l| !l.starts_with("2018"));
    let mut whole = head.join("\n");
    let mut date = jiff::civil::date(2018, 1, 1);
    for i in 0..365 * 24 {
        let stamp = format!(
            "{:04}{:02}{:02}:{:02}00",
            date.year(),
            date.month(),
            date.day(),
            i % 24
        );
        let rest = rows[i % 24].split_once(',').unwrap().1;
        whole += &format!("\n{stamp},{rest}");
        if i % 24 == 23 {
            date = date.tomorrow().unwrap();
        }
    }
    let record = climate::from_bytes("w", whole.into_bytes()).unwrap();
    let winters = record.winters(OCTOBER, MARCH).unwrap();
    assert_eq!((winters.len(), winters[0].hours.len()), (1, 182 * 24));
    // The reading of 00:00 UTC stands at 01:00.
    assert!((winters[0].hours[1].temp_c - 2.04).abs() < 1e-9);
}
