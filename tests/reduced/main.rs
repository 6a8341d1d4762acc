//! The reduced network against the full one, hour by hour through whole winters on the coarse grid.

#![allow(clippy::unwrap_used)]

use partywall::climate;
use partywall::colony::parameters::Parameters;
use partywall::hive::{Resolution, build};
use partywall::scenario;
use partywall::scenario::model::Scenario;
use partywall::season::{Comparison, Course, Method, Stand};
use std::sync::atomic::AtomicBool;

fn compared(scenario: &Scenario, record: &str, winter: &str) -> Comparison {
    let record = climate::load(&climate::choose(record)).unwrap();
    let season = &scenario.season;
    let winters = record.winters(season.start, season.first_nectar).unwrap();
    let hive = build(scenario, Resolution::Coarse).unwrap();
    let course = Course {
        scenario,
        stand: &Stand::new(scenario, hive, record.station.elevation).unwrap(),
        winter: winters.iter().find(|w| w.label == winter).unwrap(),
        parameters: &Parameters::with(&[]).unwrap(),
        stop: &AtomicBool::new(false),
    };
    let hours = course.winter.hours.len();
    course.compare(Method::HOURLY, 0..hours).unwrap()
}

fn holds(c: &Comparison) {
    assert!(c.hours > 4_800, "{c:?}");
    assert!(c.around_k <= 0.3 && c.around_rms_k <= 0.1, "{c:?}");
    assert!(c.eaten <= 0.01 && c.chilled_h <= 2.0, "{c:?}");
    assert!(c.heat_in_hand_k <= 1.0, "{c:?}");
}

fn with_bees(mut s: Scenario, share: f64) -> Scenario {
    for stack in &mut s.stacks {
        if let Some(c) = &mut stack.colony {
            c.bees *= share;
        }
    }
    s
}

fn demo() -> Scenario {
    scenario::built_in("larch-flats").unwrap().scenario
}

fn single() -> Scenario {
    scenario::built_in("single").unwrap().scenario
}

/// Catches a reduced network that strays in a cold continental winter, strong beside weak.
#[test]
fn pair_on_the_plains() {
    holds(&compared(&demo(), "champion", "1983/84"));
}

/// The same with films and sun that swing every hour.
#[test]
fn single_with_hourly_weather() {
    holds(&compared(&single(), "chicago", "2015/16"));
}

/// The same in deep cold, with clusters a third the size.
#[test]
fn weak_pair_in_deep_cold() {
    holds(&compared(&with_bees(demo(), 0.35), "northway", "2018/19"));
}

/// The same with stacks apart.
#[test]
fn apart_in_deep_cold() {
    holds(&compared(&demo().apart(), "northway", "2018/19"));
}
