//! Draws.

use super::*;

/// Catches winters that come more often than others, sets that are used twice, and a number of draws that is no multiple
/// of the winters.
#[test]
fn winters_equally_often_and_each_set_once() {
    assert_eq!(
        (count(36, 32), count(4, 8), count(5, 8), count(9, 32)),
        (36, 8, 10, 36)
    );
    let sets = Sets::draw(10, &[("rest_heat_20".to_owned(), 2.0)]).unwrap();
    assert_eq!(sets.sets.len(), 10);
    let draws = mixed(5, &sets);
    for w in 0..5 {
        assert_eq!(draws.iter().filter(|d| d.winter == w).count(), 2);
    }
    for (i, a) in draws.iter().enumerate() {
        assert_eq!(
            a.parameters.rest_heat_20, 2.0,
            "the scenario's own value holds"
        );
        assert!(draws[i + 1..].iter().all(|b| a.parameters != b.parameters));
    }
    // A larger draw starts with the same sets only by chance: the hypercube is another one. The same question gets the same answer.
    assert_eq!(Sets::draw(10, &[]).unwrap().sets, sets.sets);
}

/// Catches counts of bees outside their error, not spread evenly over it, or the same for both colonies.
#[test]
fn miscounts_are_even() {
    let p = Arc::new(Parameters::with(&[]).unwrap());
    let draws = miscounted(10, 2, &p);
    for k in 0..2 {
        let mut f: Vec<f64> = draws.iter().map(|d| d.bees[k]).collect();
        f.sort_by(f64::total_cmp);
        for (i, f) in f.iter().enumerate() {
            assert!((f - (0.73 + 0.06 * i as f64)).abs() < 1e-12, "{f}");
        }
    }
    assert!(draws.iter().any(|d| d.bees[0] != d.bees[1]));
}
