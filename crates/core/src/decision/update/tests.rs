use super::*;

/// A member that eats `rate` kg a day for 200 days and whose bees weigh 2 kg.
fn steady(rate: f64) -> Member {
    Member {
        eaten: (1..=200).map(|d| rate * f64::from(d)).collect(),
        bees: vec![2.0; 200],
        fed: vec![0.0; 200],
        isolated: None,
    }
}

const KNOWN: Known = Known {
    tare: 20.0,
    stores: 15.0,
    tare_sd: 1.0,
    stores_sd: 1.0,
    reserve: 3.0,
    level: 0.9,
};

fn members() -> Vec<Member> {
    (0..61)
        .map(|i| steady(0.06 + 0.002 * f64::from(i)))
        .collect()
}

/// Catches a likelihood that leaves out a term: against the dense normal density of two readings, worked out with its 2 x 2
/// covariance by hand.
#[test]
fn likelihood_is_that_of_the_joint_normal() {
    let weighed = [
        Weighed {
            day: 40,
            gross: 33.0,
            sd: 0.8,
        },
        Weighed {
            day: 90,
            gross: 26.5,
            sd: 1.5,
        },
    ];
    let dense = |m: &Member| {
        let r: Vec<f64> = weighed
            .iter()
            .map(|w| w.gross - base(m, &KNOWN, w.day).unwrap())
            .collect();
        let v = 2.0;
        let (a, b) = (v + 0.64, v + 2.25);
        let det: f64 = a * b - v * v;
        let q = (b * r[0] * r[0] - 2.0 * v * r[0] * r[1] + a * r[1] * r[1]) / det;
        -0.5 * (det.ln() + q)
    };
    for m in [steady(0.07), steady(0.11)] {
        let f = fit(&m, &KNOWN, &weighed).unwrap();
        assert!((f.log - dense(&m)).abs() < 1e-9, "{} {}", f.log, dense(&m));
    }
}

/// Catches errors split wrongly between tare and stores: a tare known exactly leaves all of it to the stores and the other
/// way round, and a very good scale leaves no doubt in their sum.
#[test]
fn the_error_goes_where_it_can_be() {
    let m = steady(0.1);
    let exact = [Weighed {
        day: 0,
        gross: 38.9,
        sd: 1e-4,
    }];
    // Expected 36.9: two kilograms are to be explained.
    let only_stores = Known {
        tare_sd: 0.0,
        ..KNOWN
    };
    let f = fit(&m, &only_stores, &exact).unwrap();
    assert!((f.delta - 2.0).abs() < 1e-6 && f.delta_sd < 1e-3 && f.tau == 0.0);
    let only_tare = Known {
        stores_sd: 0.0,
        ..KNOWN
    };
    let f = fit(&m, &only_tare, &exact).unwrap();
    assert!(f.delta == 0.0 && (f.tau - 2.0).abs() < 1e-6 && f.delta_sd == 0.0);
    let f = fit(&m, &KNOWN, &exact).unwrap();
    assert!((f.delta - 1.0).abs() < 1e-6 && (f.tau - 1.0).abs() < 1e-6);
    // What the sum leaves open: sd of delta given delta + tau is sqrt(1/2).
    assert!((f.delta_sd - 0.5f64.sqrt()).abs() < 1e-6);
}

/// Catches weighings that do not move the date towards what they say, or do not narrow it: a hive that lost much must run out
/// earlier than one that lost little, both within a narrower range than before.
#[test]
fn a_weighing_moves_and_narrows_the_date() {
    let all = members();
    let before = forecast(&all, &KNOWN, &[]).unwrap();
    let width = |f: &Forecast| f.out.high - f.out.low;
    let with = |rate: f64| {
        let at = |day: usize| Weighed {
            day,
            gross: 37.0 - rate * (day as f64 + 1.0),
            sd: 0.3,
        };
        forecast(&all, &KNOWN, &[at(0), at(60), at(85)]).unwrap()
    };
    let (slow, fast) = (with(0.08), with(0.16));
    assert!(fast.out.middle < before.out.middle);
    assert!(slow.out.middle > before.out.middle);
    assert!(width(&fast) < width(&before) && width(&slow) < width(&before));
    // 15 kg at 0.16 kg a day last 94 days.
    assert!((85..105).contains(&fast.out.middle), "{:?}", fast.out);
    assert!(fast.missing > slow.missing);
    assert!(fast.runs_out > 0.99 && slow.runs_out < 1.0);
    assert!(fast.effective > 1.0 && fast.effective < all.len() as f64);
}

/// Catches a dead hive that is still counted, and an answer without anything that fits.
#[test]
fn what_starved_before_the_weighing_does_not_count() {
    let mut all = members();
    for m in &mut all {
        m.isolated = Some((30, 4.0));
    }
    let w = Weighed {
        day: 60,
        gross: 30.0,
        sd: 1.0,
    };
    assert_eq!(forecast(&all, &KNOWN, &[w]), None);
    assert_eq!(forecast(&[], &KNOWN, &[w]), None);
    all[5].isolated = Some((90, 4.0));
    let f = forecast(&all, &KNOWN, &[w]).unwrap();
    assert_eq!(f.starves_beside, 1.0);
    assert!((f.effective - 1.0).abs() < 1e-9);
    let late = Weighed { day: 250, ..w };
    assert_eq!(forecast(&members(), &KNOWN, &[late]), None);
}

/// Catches a range of few cases that is told as narrow as one of many: over many drawn samples of ten and of thirty cases
/// it must hold 77 to 83 of 100 new ones.
#[test]
fn few_cases_give_a_wider_range() {
    let mut random = crate::random::Random(7);
    let mut uniform = || random.unit();
    for n in [10, 30] {
        let (mut held, trials) = (0, 20_000);
        for _ in 0..trials {
            let mut sample: Vec<(f64, f64)> = (0..n).map(|_| (uniform(), 1.0)).collect();
            let r = range(&mut sample, n as f64).unwrap();
            let new = uniform();
            held += usize::from((r.low..=r.high).contains(&new));
        }
        let share = held as f64 / f64::from(trials);
        assert!((0.77..=0.83).contains(&share), "{n}: {share}");
    }
}

/// Catches a quantile that is off by one weight.
#[test]
fn quantiles_go_by_weight() {
    let mut v = vec![(3.0, 1.0), (1.0, 8.0), (2.0, 1.0)];
    assert_eq!(quantile(&mut v, 0.5), Some(1.0));
    assert_eq!(quantile(&mut v, 0.9), Some(2.0));
    assert_eq!(quantile(&mut v, 0.95), Some(3.0));
    assert_eq!(quantile(&mut [], 0.5), None);
}

/// Catches a fit that is only the best of the bad: weights compare members with each other, and a hive that gains ten kilograms in winter
/// is like none of them.
#[test]
fn readings_that_no_member_can_have_fit_none() {
    let at = |day, gross| Weighed {
        day,
        gross,
        sd: 0.8,
    };
    let good = forecast(&members(), &KNOWN, &[at(1, 37.0), at(90, 26.5)]).unwrap();
    assert!(good.fitting > 15, "{good:?}");
    let bad = forecast(&members(), &KNOWN, &[at(1, 37.0), at(90, 47.0)]).unwrap();
    assert_eq!(bad.fitting, 0, "{bad:?}");
}

/// Catches feed told beyond what the colony can still eat: readings so light that they leave less than nothing.
#[test]
fn no_more_is_missing_than_is_still_eaten() {
    let all = members();
    for gross in [21.0, 22.0, 24.0, 30.0] {
        let open = Known {
            stores_sd: 30.0,
            ..KNOWN
        };
        let reading = Weighed {
            day: 100,
            gross,
            sd: 2.0,
        };
        let f = forecast(&all, &open, &[reading]).unwrap();
        assert!(f.missing <= f.still_to_eat.high + 1e-9, "{gross}: {f:?}");
        assert!(f.missing > 0.0, "{gross}: {f:?}");
    }
}
