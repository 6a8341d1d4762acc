//! Words and dates of margins.

use super::*;
use jiff::civil::date;

const OCTOBER: MonthDay = MonthDay { month: 10, day: 1 };

/// A hive in which all is well.
fn fine() -> Facts<'static> {
    Facts {
        spare: Some((2.6, 2.5)),
        last_syrup: Some(date(2018, 10, 5)),
        bees: 2.8,
        start: OCTOBER,
        starved: &[None; 36],
        closest: &[None; 36],
        too_cold: 0,
        level: 0.9,
        weakest: (12.0, date(2018, 1, 5)),
        drips: &[(0, None); 36],
    }
}

fn words(f: &Facts<'_>) -> [Word; 5] {
    let m = margins(f);
    let stores = m.stores.map_or(Word::Watch, |s| s.word);
    [stores, m.reach.word, m.size.word, m.cold.word, m.damp.word]
}

/// Catches a word that does not turn at its limit, and one that is better for a worse hive.
#[test]
fn words_turn_at_their_limits() {
    use Word::{ActNow, Comfortable, Watch};
    let base = fine();
    assert_eq!(words(&base), [Comfortable; 5]);
    for (spare, word) in [(2.4, Watch), (-2.4, Watch), (-2.6, ActNow)] {
        let f = Facts {
            spare: Some((spare, 2.5)),
            ..base
        };
        assert_eq!(words(&f)[0], word, "{spare}");
    }
    for (bees, word) in [
        (2.18, Comfortable),
        (2.1, Watch),
        (1.56, Watch),
        (1.5, ActNow),
    ] {
        assert_eq!(words(&Facts { bees, ..base })[2], word, "{bees}");
    }
    for (k, too_cold, word) in [
        (10.0, 0, Comfortable),
        (9.9, 0, Watch),
        (2.9, 0, ActNow),
        (30.0, 4, Watch),
        (30.0, 5, ActNow),
    ] {
        let f = Facts {
            weakest: (k, date(2018, 1, 5)),
            too_cold,
            ..base
        };
        assert_eq!(words(&f)[3], word, "{k} {too_cold}");
    }
    for (isolated, word) in [(1, Watch), (4, Watch), (5, ActNow)] {
        let mut starved = vec![None; 36];
        starved[..isolated].fill(Some((date(2010, 2, 3), true)));
        starved[20] = Some((date(2001, 12, 3), false));
        let out: Vec<_> = starved.iter().map(|s| s.map(|(d, _)| (d, false))).collect();
        let f = Facts {
            starved: &out,
            ..base
        };
        let stores = if isolated > 3 { ActNow } else { Comfortable };
        assert_eq!(words(&f)[0], stores, "{isolated}");
        let f = Facts {
            starved: &starved,
            ..base
        };
        let m = margins(&f);
        assert_eq!((m.reach.word, m.reach.value), (word, isolated as f64));
        assert_eq!(m.reach.date, Some(date(2010, 2, 3)));
    }
}

/// Catches a verdict of reach that turns on one winter which another grid would turn: on a hair it is watch, and said to be close;
/// far from it, as before.
#[test]
fn a_verdict_on_a_hair_is_said_to_be_close() {
    use Word::{ActNow, Comfortable, Watch};
    let told = |dead: &[f64], alive: &[f64]| {
        let mut starved = vec![None; 36];
        let mut closest = vec![None; 36];
        for (i, c) in dead.iter().enumerate() {
            starved[i] = Some((date(2010, 2, 3), true));
            closest[i] = Some(*c);
        }
        for (i, c) in alive.iter().enumerate() {
            closest[35 - i] = Some(*c);
        }
        let m = margins(&Facts {
            starved: &starved,
            closest: &closest,
            ..fine()
        })
        .reach;
        (m.word, m.close)
    };
    assert_eq!(told(&[], &[0.9, 0.6]), (Comfortable, false));
    assert_eq!(told(&[], &[0.3]), (Watch, true));
    assert_eq!(told(&[-9.0], &[]), (Watch, false));
    assert_eq!(told(&[-9.0; 5], &[]), (ActNow, false));
    assert_eq!(told(&[-0.1; 5], &[0.2; 3]), (Watch, true));
    assert_eq!(told(&[-0.1; 4], &[0.2; 3]), (Watch, true));
    assert_eq!(told(&[-0.1; 9], &[0.2; 3]), (ActNow, false));
    assert_eq!(told(&[-0.1; 2], &[0.2; 2]), (Watch, false));
}

/// Catches a date that points to a day too late to feed, or to the wrong end of the winter.
#[test]
fn a_short_hive_is_told_the_day_for_syrup() {
    let starved = [
        Some((date(2010, 4, 3), false)),
        Some((date(2011, 12, 30), false)),
    ];
    let mut f = Facts {
        spare: Some((-5.0, 2.0)),
        starved: &starved,
        closest: &[],
        ..fine()
    };
    assert_eq!(margins(&f).stores.unwrap().date, Some(date(2018, 10, 5)));
    f.last_syrup = None;
    assert_eq!(margins(&f).stores.unwrap().date, Some(date(2011, 12, 30)));
    f.spare = Some((5.0, 2.0));
    f.last_syrup = Some(date(2018, 10, 5));
    assert_eq!(margins(&f).stores.unwrap().date, Some(date(2011, 12, 30)));
}

/// Catches damp that is told of the worst winter instead of the poor one, a word that does not turn at its limit, the first drip of the
/// season taken from the calendar year, and silence below five winters.
#[test]
fn damp_goes_by_the_days_of_drip_in_a_poor_winter() {
    use Word::{ActNow, Comfortable, Watch};
    let told = |days: &[u32]| {
        let on =
            |d: &u32| (*d > 0).then(|| date(2000 + *d as i16, if *d == 9 { 12 } else { 2 }, 7));
        let drips: Vec<_> = days.iter().map(|d| (*d, on(d))).collect();
        let m = margins(&Facts {
            drips: &drips,
            ..fine()
        });
        (m.damp.word, m.damp.value, m.damp.date)
    };
    let mut days = [0; 36];
    assert_eq!(told(&days), (Comfortable, 0.0, None));
    // Two wet winters of 36 are within 9 in 10; their first drip is told all the same.
    days[..2].fill(30);
    assert_eq!(told(&days), (Comfortable, 0.0, Some(date(2030, 2, 7))));
    days[..4].copy_from_slice(&[9, 9, 9, 9]);
    // 7 December comes before 7 February.
    days[4] = 3;
    assert_eq!(told(&days), (Watch, 9.0, Some(date(2009, 12, 7))));
    assert_eq!(told(&[10; 36]).0, ActNow);
    assert_eq!(told(&[9; 36]).0, Watch);
    assert_eq!(told(&[0, 12]), (ActNow, 12.0, Some(date(2012, 2, 7))));
}
