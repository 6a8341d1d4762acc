//! What was wrong with a record is told winter by winter, and nothing is invented in silence.

use std::fmt::Write;

use partywall::climate::calendar;

use crate::{MARCH, OCTOBER, read};

/// Three winters of daily extremes, a little different each day; `change` may alter or leave out a day.
fn record(change: impl Fn(&str, f64) -> Option<(f64, f64)>) -> String {
    let mut text =
        String::from("# latitude: 45\n# longitude: -75\n# elevation_m: 100\ndate,tmin_c,tmax_c\n");
    let first = calendar::parse_date("2010-09-20").unwrap();
    for day in first..first + 930 {
        let date = calendar::date_text(day);
        let usual = -5.0 + (day % 17) as f64 * 0.3;
        if let Some((low, high)) = change(&date, usual) {
            writeln!(text, "{date},{low:.1},{high:.1}").unwrap();
        }
    }
    text
}

fn usual(_: &str, t: f64) -> Option<(f64, f64)> {
    Some((t - 4.0, t + 4.0))
}

/// Catches fillings, impossible readings and stuck days counted in the wrong winter or not at all.
#[test]
fn every_winter_tells_what_was_mended() {
    let r = read(&record(|date, t| match date {
        // Two days lost, an impossible maximum, a minimum above its maximum, five days alike.
        "2010-12-10" | "2010-12-11" => None,
        "2011-11-05" => Some((t, 99.0)),
        "2012-01-20" => Some((t + 9.0, t)),
        "2013-02-03" | "2013-02-04" | "2013-02-05" | "2013-02-06" | "2013-02-07" => {
            Some((-9.9, -1.1))
        }
        _ => usual(date, t),
    }));
    let cut = r.cut(OCTOBER, MARCH).unwrap();
    let told: Vec<_> = cut
        .whole
        .iter()
        .zip(&cut.mended)
        .map(|(w, m)| {
            (
                w.label.as_str(),
                w.filled_days,
                m.filled_hours,
                m.impossible,
                w.stuck_days,
            )
        })
        .collect();
    assert_eq!(
        told,
        [
            ("2010/11", 2, 48, 0, 0),
            ("2011/12", 2, 48, 2, 0),
            ("2012/13", 0, 0, 0, 5)
        ]
    );
    assert!(
        r.warnings
            .iter()
            .any(|w| w.what.contains("outside -70 to 60"))
    );
    assert!(
        r.warnings
            .iter()
            .any(|w| w.what.contains("minimum above their maximum"))
    );
}

/// Catches a winter built on an instrument that stood still for weeks, in daily and in hourly records, and a run cut by the winter's
/// ends counted whole.
#[test]
fn a_winter_with_a_stuck_instrument_is_dropped() {
    let stuck = |from: &'static str, to: &'static str| {
        read(&record(move |date, t| {
            if (from..=to).contains(&date) {
                Some((-27.2, -16.1))
            } else {
                usual(date, t)
            }
        }))
    };
    let cut = stuck("2012-02-05", "2012-03-28")
        .cut(OCTOBER, MARCH)
        .unwrap();
    assert_eq!(cut.whole.len(), 2);
    assert_eq!(cut.rejected[0].label, "2011/12");
    assert_eq!(
        cut.rejected[0].reason.to_string(),
        "53 days in a row from 2012-02-05 on repeat the same readings: the instrument was stuck"
    );
    // Nine days are doubtful, not impossible; and of twelve days about the end of March three lie within the winter.
    assert_eq!(
        stuck("2012-02-05", "2012-02-13")
            .cut(OCTOBER, MARCH)
            .unwrap()
            .whole[1]
            .stuck_days,
        9
    );
    assert_eq!(
        stuck("2012-03-29", "2012-04-09")
            .cut(OCTOBER, MARCH)
            .unwrap()
            .whole[1]
            .stuck_days,
        3
    );
}

/// Catches hours filled over more than six counted as days only, and a long gap bridged.
#[test]
fn hourly_fillings_are_counted_in_hours() {
    let hourly = |missing: std::ops::Range<i64>| {
        let mut text =
            String::from("# latitude: 45\n# longitude: -75\n# utc_offset_h: -5\ntime,temp_c\n");
        let from = 24 * calendar::parse_date("2014-09-30").unwrap();
        for h in from..from + 24 * 190 {
            if !missing.contains(&(h - from)) {
                let t = -5.0 + (h % 31) as f64 * 0.2;
                writeln!(text, "{},{t:.1}", calendar::time_text(60 * h)).unwrap();
            }
        }
        read(&text).cut(OCTOBER, MARCH).unwrap()
    };
    let at = 24 * 40 + 22;
    let cut = hourly(at..at + 5);
    assert_eq!(
        (cut.mended[0].filled_hours, cut.whole[0].filled_days),
        (5, 2)
    );
    let cut = hourly(at..at + 24 * 9);
    assert!(cut.whole.is_empty());
    assert!(
        cut.rejected[0]
            .reason
            .to_string()
            .contains("hours missing in gaps too long to fill")
    );
}
