//! What an update says.

use super::*;
use jiff::civil::date;
use partywall_core::answer::update::HiveUpdate;

/// Catches a certainty that is none, and a date told for a hive whose stores last.
#[test]
fn shares_and_dates_are_not_overstated() {
    for (share, words) in [
        (0.0, "0"),
        (0.03, "fewer than 1"),
        (0.26, "3"),
        (0.97, "more than 9"),
        (1.0, "10"),
    ] {
        assert_eq!(cases(share), words);
    }
    let nectar = date(2027, 5, 19);
    let told = |low, middle, high| {
        let day = |d: Option<(i8, i8)>| d.map(|(m, d)| date(2027, m, d));
        let out = Range {
            low: day(low),
            middle: day(middle),
            high: day(high),
        };
        runs_out(&out, nectar)
    };
    let lasts = told(None, None, None);
    assert!(lasts.contains("last to first nectar (19 May)"), "{lasts}");
    let early = told(Some((3, 12)), Some((3, 25)), Some((4, 9)));
    assert_eq!(
        early,
        "stores run out between 12 Mar and 9 Apr in 8 cases of 10, about 25 Mar"
    );
    let open = told(Some((4, 26)), None, None);
    assert!(
        open.contains("26 Apr") && open.contains("in most"),
        "{open}"
    );
}

/// Catches feed told before the keeper is asked to weigh again, where the reading is odd; and such a doubt where nothing is odd.
#[test]
fn an_odd_reading_is_to_be_read_again_first() {
    let none = Range {
        low: None,
        middle: None,
        high: None,
    };
    let out = Range {
        low: Some(date(2027, 2, 1)),
        ..none
    };
    let kg = Range {
        low: 1.0,
        middle: 2.0,
        high: 3.0,
    };
    let mut h = HiveUpdate {
        hive: "Left".to_owned(),
        weighings: vec![],
        before: none,
        after: Some(out),
        forecast: None,
        strange: vec![],
        by_last_alone: None,
        feed: Some(partywall_core::decision::feeding::feed(11.0)),
        last_syrup: None,
        feed_by: Some(date(2027, 1, 14)),
        notes: vec![Note::WetOrIcy],
    };
    let f = Forecast {
        out: Range {
            low: 100,
            middle: 110,
            high: 120,
        },
        days: 230,
        runs_out: 0.9,
        starves_beside: 0.0,
        stores_now: kg,
        still_to_eat: kg,
        missing: 11.0,
        effective: 50.0,
        fitting: 50,
        tare_off: 0.0,
    };
    assert!(advice(&h, &f, Units::Metric).starts_with("Feed by 14 Jan"));
    h.notes.push(Note::FarOff {
        date: date(2027, 1, 14),
        by: -8.0,
    });
    let told = advice(&h, &f, Units::Metric);
    assert!(told.starts_with("Weigh it again first"), "{told}");
    assert!(told.contains("If it holds: feed by 14 Jan"), "{told}");
}
