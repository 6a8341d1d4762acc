//! Typical years beside the EPW.

use partywall::climate::raw::{Clock, RadiationInterval};
use partywall::climate::{self, Kind};

use super::{at, hours, path, raw, same};
use crate::{MARCH, OCTOBER};

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
    same(v.outdoor_c, Some(4.0));
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
    same(v.outdoor_c, Some(1.79));
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
        let rest = rows[i % 72].split_once(',').unwrap().1;
        whole += &format!("\n{stamp},{rest}");
        if i % 24 == 23 {
            date = date.tomorrow().unwrap();
        }
    }
    let record = climate::from_bytes("w", whole.into_bytes()).unwrap();
    let winters = record.winters(OCTOBER, MARCH).unwrap();
    assert_eq!((winters.len(), winters[0].hours.len()), (1, 182 * 24));
    // The reading of 00:00 UTC stands at 01:00.
    assert!((winters[0].hours[1].outdoor_c - 2.04).abs() < 1e-9);
}
