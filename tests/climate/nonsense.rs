//! Random damage: whatever is done to a good file, reading it must end in a record or in problems, never in a panic, and what
//! is accepted must still be physical.

use partywall::climate;
use proptest::prelude::*;

use crate::{MARCH, OCTOBER};

const HOURLY: &str = "# latitude: 45\n# longitude: -75\n# elevation_m: 100\n# utc_offset_h: -5\n\
time,temp_c,dewpoint_c,wind_ms,cloud_okta\n2014-10-01T00:00,1.0,-1.0,2.0,4\n2014-10-01T01:00,1.5,-1.0,2.0,4\n\
2014-10-01T02:00,0.5,-1.5,,8\n2014-10-01T03:00,0.0,-2.0,1.0,\n";

const DAILY: &str = "# latitude: 45\ndate,tmin_c,tmax_c,ghi_mj_m2,vapour_kpa,wind2m_ms\n\
2014-10-01,1.0,9.0,7.5,0.8,2.0\n2014-10-02,-1.0,4.0,,0.5,1.0\n2014-10-03,0.0,6.0,3.0,0.6,\n";

fn epw() -> String {
    include_str!("data/epw_chicago_8-header+72h.epw").to_owned()
}

/// One piece of damage: at a place, bytes removed and others put in.
fn damage() -> impl Strategy<Value = (prop::sample::Index, usize, Vec<u8>)> {
    let bytes = prop_oneof![
        prop::collection::vec(any::<u8>(), 0..6),
        prop::sample::select(vec![
            b"\"".to_vec(),
            b"\n".to_vec(),
            b",,".to_vec(),
            b"nan".to_vec(),
            b"inf".to_vec(),
            b"1e308".to_vec(),
            b"-1e308".to_vec(),
            b"9999-12-31".to_vec(),
            b"0000-01-01".to_vec(),
            b"\r".to_vec(),
            b";".to_vec(),
        ]),
    ];
    (any::<prop::sample::Index>(), 0..40_usize, bytes)
}

proptest! {
    #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::with_cases(400) })]

    /// Catches a panic, an overflow or an endless loop on any damaged file.
    #[test]
    fn damaged_files_never_panic(
        which in 0..3_usize,
        hits in prop::collection::vec(damage(), 1..4),
    ) {
        let mut bytes = [HOURLY.to_owned(), DAILY.to_owned(), epw()][which].clone().into_bytes();
        for (at, remove, put) in hits {
            let at = at.index(bytes.len() + 1);
            let end = (at + remove).min(bytes.len());
            bytes.splice(at..end, put);
        }
        if let Ok(record) = climate::from_bytes("w", bytes) {
            prop_assert!(record.station.latitude_deg.abs() <= 90.0);
            if let Ok(cut) = record.cut(OCTOBER, MARCH) {
                for hour in cut.whole.iter().flat_map(|w| &w.hours) {
                    prop_assert!(hour.outdoor_c.is_finite() && hour.ghi.is_finite() && hour.sky_longwave.is_finite());
                }
            }
        }
    }

    /// Catches a panic on bytes that were never a file of weather.
    #[test]
    fn random_bytes_never_panic(bytes in prop::collection::vec(any::<u8>(), 0..400)) {
        let _ = climate::from_bytes("w", bytes);
    }
}
