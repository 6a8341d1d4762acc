//! Every winter of the shipped records against sums computed independently from the same records.

use partywall::climate::sums::{self, Sums};
use partywall::files::weather;
use partywall::verify::climate::checks;

use crate::{CHICAGO_EPW, MARCH, OCTOBER, built_in, file};

/// Rows of a table of expected sums, as text fields.
fn expected(text: &'static str, dataset: &str) -> Vec<Vec<&'static str>> {
    let rows = text.lines().filter(|l| !l.starts_with('#')).skip(1);
    rows.map(|l| l.split(',').collect::<Vec<_>>())
        .filter(|f| f[0] == dataset)
        .collect()
}

/// A printed value and ours: within half a unit of the last printed digit, plus float noise.
fn agrees(printed: &str, ours: f64, what: &str) {
    let digits = printed.split_once('.').map_or(0, |(_, d)| d.len());
    let half = 0.5 * 10_f64.powi(-i32::try_from(digits).unwrap());
    let value: f64 = printed.parse().unwrap();
    assert!(
        (value - ours).abs() <= half + 1e-6,
        "{what}: printed {printed}, ours {ours}"
    );
}

/// Catches any shift, lost day, wrong unit or wrong calendar in the daily reader: all columns of all 58 winters.
#[test]
fn daily_records_give_every_column_of_every_winter() {
    let table = include_str!("data/checks_daily.csv");
    for (name, dataset, count) in [
        ("champion", "champion-ne_daily_1982-2018", 36),
        ("wageningen", "wageningen-nl_daily_1976-1999", 22),
    ] {
        let ours = sums::day_sums(&built_in(name), OCTOBER, MARCH).unwrap();
        let wanted = expected(table, dataset);
        assert_eq!((ours.len(), wanted.len()), (count, count));
        for (w, s) in wanted.iter().zip(&ours) {
            assert_eq!(w[1], s.label);
            let values = [
                s.days as f64,
                s.mean_c,
                s.min_c,
                s.hdd10,
                s.hdd18,
                s.days_reaching_10 as f64,
                s.ice_days as f64,
                s.ghi.unwrap() / 1e6,
                s.cold_sum,
            ];
            for (i, v) in values.iter().enumerate() {
                agrees(w[i + 2], *v, &format!("{} column {}", s.label, i + 2));
            }
        }
    }
}

fn check_hourly(wanted: &[&str], s: &Sums) {
    let values = [
        s.days as f64,
        s.mean_c,
        s.min_c,
        s.hdd10,
        s.hdd18,
        s.hours_above_10 as f64,
        s.ice_days as f64,
    ];
    for (i, v) in values.iter().enumerate() {
        agrees(
            wanted[i + 2],
            *v,
            &format!("{} {} column {}", wanted[0], wanted[1], i + 2),
        );
    }
}

/// Catches hours indexed by line, gaps filled otherwise than stated, and days that begin at the wrong hour.
#[test]
fn hourly_records_give_every_column_of_every_winter() {
    let table = include_str!("data/checks_hourly.csv");
    for (name, dataset, count) in [
        ("chicago", "chicago-ohare_hourly_2015-2017", 2),
        ("northway", "northway-ak_hourly_2018-2019", 1),
    ] {
        let winters = built_in(name).winters(OCTOBER, MARCH).unwrap();
        let wanted = expected(table, dataset);
        assert_eq!((winters.len(), wanted.len()), (count, count));
        for (w, winter) in wanted.iter().zip(&winters) {
            assert_eq!(w[1], winter.label);
            check_hourly(w, &Sums::of(winter).unwrap());
        }
    }
}

/// Catches the autumn and spring of a typical year put together wrongly, and hour 24 counted with the wrong day.
#[test]
fn the_typical_year_gives_its_winter() {
    let record = weather::load(&file(CHICAGO_EPW)).unwrap();
    let wanted = expected(include_str!("data/checks_hourly.csv"), "EPW Chicago TMY3");
    check_hourly(
        &wanted[0],
        &sums::by_file_days(&record, OCTOBER, MARCH).unwrap(),
    );
    // The model's own days run from 00:00 to 23:00: one reading differs at each end, so the sums differ by little.
    let winters = record.winters(OCTOBER, MARCH).unwrap();
    assert_eq!(winters.len(), 1);
    let own = Sums::of(&winters[0]).unwrap();
    assert!(
        (own.hdd10 - 1686.1).abs() < 1.0 && (own.mean_c - 1.49).abs() < 0.02,
        "{own:?}"
    );
}

/// Catches any shift, lost hour or wrong order of the seasons in the other layout of typical years, read out of its gzip.
#[test]
fn a_typical_year_of_the_older_layout() {
    let record =
        weather::load(&file("tests/data/climate/tmy3_sandpoint_whole-year.csv.gz")).unwrap();
    let wanted = expected(include_str!("data/checks_hourly.csv"), "TMY3 Sand Point AK");
    assert!(
        record.notes.iter().any(|n| n.contains("1991 to 2005")),
        "{:?}",
        record.notes
    );
    check_hourly(
        &wanted[0],
        &sums::by_file_days(&record, OCTOBER, MARCH).unwrap(),
    );
}

/// Catches any of the published values being missed; the list itself must not shrink.
#[test]
fn outside_checks_pass() {
    let checks = checks();
    assert_eq!(checks.len(), 9);
    for c in checks {
        assert!(
            c.passes(),
            "{}: expected {} got {}",
            c.id,
            c.expected,
            c.got
        );
    }
}

/// Catches a temperature scale or month that is off: mean of daily maximum and minimum of two Februaries against what the
/// weather service published. The hourly readings miss the true extremes, hence half a degree Fahrenheit.
#[test]
fn chicago_februaries_match_the_published_means() {
    let record = built_in("chicago");
    for (year, published_f) in [(2015, 14.6), (2017, 38.0)] {
        let first = partywall::calendar::MonthDay { month: 2, day: 1 };
        let last = partywall::calendar::MonthDay { month: 2, day: 28 };
        let sums = sums::day_sums(&record, first, last).unwrap();
        let s = sums.iter().find(|s| s.label == year.to_string()).unwrap();
        let ours_f = s.mean_c * 1.8 + 32.0;
        assert!(
            (ours_f - published_f).abs() <= 0.5,
            "{year}: {ours_f} F, published {published_f}"
        );
    }
}

/// Catches a shifted or mislabelled record: Wageningen's winters and years against the climate table of De Bilt, 25 km off.
#[test]
fn wageningen_is_like_its_neighbour() {
    let record = built_in("wageningen");
    let day = |month, day| partywall::calendar::MonthDay { month, day };
    let of = |from, to| sums::day_sums(&record, from, to).unwrap();
    let mean = |v: &[f64]| v.iter().sum::<f64>() / v.len() as f64;
    let winters = of(day(12, 1), day(2, 28));
    let means: Vec<f64> = winters.iter().map(|s| s.mean_c).collect();
    // Published 3.3 degC for 1971-2000; this record, 1976-99, has 2.7: 0.6 below.
    assert!((mean(&means) - 3.3).abs() <= 0.8, "{means:?}");
    // Whole years: published mean 9.8 degC, 58 days with frost; days below freezing throughout, 8, are too few to compare.
    let years = record.cut(day(1, 1), day(12, 31)).unwrap().whole;
    assert_eq!(years.len(), 23);
    let means: Vec<f64> = years.iter().map(|w| Sums::of(w).unwrap().mean_c).collect();
    assert!((mean(&means) - 9.8).abs() <= 0.8, "{}", mean(&means));
    let frost = |w: &partywall::climate::series::Winter| {
        let day = |d: &[partywall::climate::series::Hour]| d.iter().any(|h| h.outdoor_c < 0.0);
        w.hours.chunks(24).filter(|d| day(d)).count() as f64
    };
    let frosts = mean(&years.iter().map(frost).collect::<Vec<_>>());
    assert!((frosts / 58.0 - 1.0).abs() <= 0.2, "{frosts}");
}

/// Catches a record whose seasons are no seasons of its place: Chicago's degree days below 65 F from July to June, which lay between
/// 4907 (2011/12) and 7175 (1981/82) in every season since 1943.
#[test]
fn chicago_heating_seasons_lie_in_the_published_range() {
    let record = built_in("chicago");
    let day = |month, day| partywall::calendar::MonthDay { month, day };
    let seasons = record.cut(day(7, 1), day(6, 30)).unwrap().whole;
    assert_eq!(seasons.len(), 2);
    for w in &seasons {
        let base_c = (65.0 - 32.0) / 1.8;
        // As the weather service counts: (highest + lowest)/2 of each day.
        let below = |d: &[partywall::climate::series::Hour]| {
            let t = || d.iter().map(|h| h.outdoor_c);
            let mean =
                0.5 * (t().fold(f64::INFINITY, f64::min) + t().fold(f64::NEG_INFINITY, f64::max));
            1.8 * (base_c - mean).max(0.0)
        };
        let sum: f64 = w.hours.chunks(24).map(below).sum();
        assert!((4907.0..7175.0).contains(&sum), "{}: {sum}", w.label);
    }
}
