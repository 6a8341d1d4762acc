//! The shipped scenario of a cluster that starves beside its honey.

use crate::yard::traced_on;
use partywall::hive::Resolution;
use partywall::scenario::{Source, built_in_text};
use partywall::season::HeatModel;
use partywall::season::outcome::WinterOutcome;
use partywall::stand::Scenario;

/// `far-honey` as written, and its variants in their order.
fn far_honey() -> Vec<Scenario> {
    let text = built_in_text("far-honey").unwrap();
    let family = Source::new(text, "far-honey", None).family().unwrap();
    let variants = family.variants.into_iter().map(|v| v.loaded.scenario);
    [family.base.scenario].into_iter().chain(variants).collect()
}

/// The winters of its record on a grid, all or every third.
fn outcomes(grid: Resolution, s: &Scenario, step: usize) -> Vec<WinterOutcome> {
    let all = traced_on(grid, s, HeatModel::Reduced, step, usize::MAX);
    all.into_iter().map(|(outcome, _)| outcome).collect()
}

/// Honey it starved beside, kg, in the winters in which it did.
fn beside(all: &[WinterOutcome]) -> Vec<f64> {
    all.iter()
        .filter_map(|o| o.colonies[0].starved)
        .map(|s| s.beside_honey.expect("it ran out of honey instead"))
        .collect()
}

/// Catches a colony that finds honey across six empty combs in the cold, one that starves with the same weight beside it, and combs
/// hung in too late or nowhere. The same weight of honey in all three; on two grids, for where a cluster goes hangs on little.
#[test]
fn the_same_honey_starves_or_feeds_by_its_place() {
    let [away, close, moved] = &far_honey()[..] else {
        panic!("three hives")
    };
    for grid in [Resolution::Coarse, Resolution::Normal] {
        let all = outcomes(grid, away, 1);
        let left = beside(&all);
        // In most winters, and seldom with the honey close.
        let most = left.len();
        assert!(all.len() == 37 && 2 * most > all.len(), "{grid:?} {left:?}");
        // It ate one end, two combs of 2.7 kg, and the other hangs untouched.
        assert!(left.iter().all(|kg| *kg > 4.0), "{grid:?} {left:?}");
        for (name, s) in [("close", close), ("moved", moved)] {
            let all = outcomes(grid, s, 1);
            let left = beside(&all);
            assert!(4 * left.len() < most, "{grid:?} {name}: {left:?}");
            for o in &all {
                let c = &o.colonies[0];
                assert!((c.put_in - 10.8).abs() < 1e-9, "{name}: {}", c.put_in);
            }
        }
    }
}

/// Catches honey within reach that is told wrong: never more than there is, less than all of it while it hangs at the other end, and
/// none for weeks before it starved beside it.
#[test]
fn reach_is_told_day_by_day() {
    let away = &far_honey()[0];
    for o in outcomes(Resolution::Coarse, away, 3) {
        let c = &o.colonies[0];
        assert_eq!(c.stores_by_day.len(), c.in_contact_by_day.len());
        for (all, near) in c.stores_by_day.iter().zip(&c.in_contact_by_day) {
            // The look may be half a day older than the count.
            assert!(*near >= 0.0 && *near <= all + 0.05, "{near} of {all}");
        }
        let Some(starved) = c.starved else { continue };
        // The winter starts on 1 October.
        let year = starved.date.year() - i16::from(starved.date.month() < 10);
        let start = jiff::civil::date(year, 10, 1);
        // Evening before: on the day itself it may have come to honey after the last it had was gone.
        let eve = start.until(starved.date).unwrap().get_days() as usize - 1;
        let near = c.in_contact_by_day[eve];
        let day = c.eaten_by_day[eve] - c.eaten_by_day[eve - 1];
        assert!(near < day, "{near} of {day} kg before {}", starved.date);
    }
}
