//! How far hours drawn from daily extremes are off: real hours reduced to daily extremes and drawn again.

use partywall::calendar::MonthDay;
use partywall::climate::Record;
use partywall::climate::sums::Sums;
use partywall::files::weather;

use crate::{CHICAGO_EPW, MARCH, OCTOBER, built_in, file, read};

/// Real hours of a winter and its first day; `late` h later than midnight, for files whose days hold hours 1 to 24.
fn hours(record: &Record, label: &str, late: usize) -> (jiff::civil::Date, Vec<f64>) {
    let first_of_april = MonthDay { month: 4, day: 1 };
    let winters = record.winters(OCTOBER, first_of_april).unwrap();
    let winter = winters.iter().find(|w| w.label == label).unwrap();
    let whole = winter.hours.len() - 24;
    (
        winter.start,
        winter.hours[late..late + whole]
            .iter()
            .map(|h| h.outdoor_c)
            .collect(),
    )
}

/// Hours drawn again from nothing but each day's extremes.
fn drawn(record: &Record, start: jiff::civil::Date, hours: &[f64]) -> Vec<f64> {
    let s = &record.station;
    let mut text = format!(
        "# latitude: {}\n# longitude: {}\n# elevation_m: {}\n# utc_offset_h: {}\ndate,tmin_c,tmax_c\n",
        s.latitude_deg,
        s.longitude_deg.unwrap(),
        s.elevation,
        s.utc_offset_h
    );
    for (i, day) in hours.chunks(24).enumerate() {
        let date = start.checked_add(jiff::Span::new().days(i as i64)).unwrap();
        let low = day.iter().copied().fold(f64::INFINITY, f64::min);
        let high = day.iter().copied().fold(f64::NEG_INFINITY, f64::max);
        text += &format!("{date},{low:.2},{high:.2}\n");
    }
    let winters = read(&text).winters(OCTOBER, MARCH).unwrap();
    winters[0].hours.iter().map(|h| h.outdoor_c).collect()
}

/// Catches a curve that loses heat: degree days of the drawn hours against the real ones, and hours above 10 degC, which
/// come out too many. Measured independently for the same curve (minimum at sunrise, half cosines): 0.0, +1.2, +2.4, -0.4 %.
#[test]
fn degree_days_of_drawn_hours_come_out_as_measured() {
    let epw = weather::load(&file(CHICAGO_EPW)).unwrap();
    let (chicago, northway) = (built_in("chicago"), built_in("northway"));
    for (record, label, late, measured_pct) in [
        (&chicago, "2015/16", 0, 0.0),
        (&chicago, "2016/17", 0, 1.2),
        (&epw, "typical year", 1, 2.4),
        (&northway, "2018/19", 0, -0.4),
    ] {
        let (start, real) = hours(record, label, late);
        let ours = drawn(record, start, &real);
        let real = Sums::of_temperatures(start, &real).unwrap();
        let ours = Sums::of_temperatures(start, &ours).unwrap();
        let pct = 100.0 * (ours.hdd10 / real.hdd10 - 1.0);
        assert!((pct - measured_pct).abs() <= 0.1, "{label}: {pct}");
        let excess = ours.hours_above_10 as f64 / real.hours_above_10.max(1) as f64 - 1.0;
        assert!(
            real.hours_above_10 < 50 || (0.0..=0.21).contains(&excess),
            "{label}: {excess}"
        );
    }
}

/// Catches a jump anywhere in 36 real winters: no step from hour to hour
/// larger than a half cosine over the shortest leg allows.
#[test]
fn drawn_hours_are_continuous_over_whole_winters() {
    for winter in built_in("champion").winters(OCTOBER, MARCH).unwrap() {
        for pair in winter.hours.windows(2) {
            let step = (pair[1].outdoor_c - pair[0].outdoor_c).abs();
            // Steepest slope of a half cosine: pi/2 x range / leg; 45 K over the 5 h the table allows at least.
            assert!(
                step < std::f64::consts::FRAC_PI_2 * 45.0 / 5.0,
                "{}: {step}",
                winter.label
            );
        }
    }
}
