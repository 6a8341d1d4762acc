//! Random stands through a winter: an answer is finite or refused, its books close, and it goes the way it must with season, bees, foam and
//! wind. `PARTYWALL_STANDS` says how many of them; `.ci/long` asks for two hundred.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

mod stands;

use partywall::answer::{self, HeatOptions, RunOptions, WinterChoice};
use partywall::{climate, scenario};
use proptest::prelude::*;
use proptest::test_runner::{Config, TestCaseError, TestRunner};
use stands::{Hive, hives};

/// What one colony of a run comes to.
#[derive(Debug, Clone, Copy)]
struct Told {
    need: f64,
    /// Heat in hand at the weakest moment, K.
    margin: f64,
    residual: f64,
    /// Share of the hours in which it stood flight, fall of bees and brood aside: whether it lived.
    lived: bool,
}

/// One winter of a hive on the coarse grid; `Err` holds why it is refused.
fn told(hive: &Hive) -> Result<Told, String> {
    let stand = scenario::parse(&hive.text(), "hive.toml", None).map_err(|p| p.to_string())?;
    let record =
        climate::from_bytes("made.csv", hive.weather().into_bytes()).map_err(|p| p.to_string())?;
    let options = RunOptions {
        winters: WinterChoice {
            count: Some(1),
            ..WinterChoice::default()
        },
        heat: HeatOptions {
            check: None,
            ..HeatOptions::COARSE
        },
        ..RunOptions::default()
    };
    let run = answer::run(&stand, record, &options, &()).map_err(|e| e.to_string())?;
    let winter = &run.result.colonies[0].winters[0];
    Ok(Told {
        need: winter.eaten,
        margin: winter.heat_in_hand,
        residual: run.result.solver.energy_residual,
        lived: winter.alive,
    })
}

fn runner(share: u32) -> TestRunner {
    let stands = std::env::var("PARTYWALL_STANDS").map_or(6, |n| n.parse().unwrap());
    TestRunner::new(Config {
        cases: stands / share,
        failure_persistence: None,
        max_shrink_iters: 20,
        ..Config::default()
    })
}

/// Holds a change of a hive against the hive as it is, where both live.
#[allow(clippy::result_large_err)] // the hive that failed is what a test tells
fn hold(
    change: impl Fn(&mut Hive),
    right: impl Fn(Told, Told) -> bool,
) -> Result<(), proptest::test_runner::TestError<Hive>> {
    hold_from(|_| (), change, right)
}

/// The same from a hive that is changed in both.
#[allow(clippy::result_large_err)] // the hive that failed is what a test tells
fn hold_from(
    both: impl Fn(&mut Hive),
    change: impl Fn(&mut Hive),
    right: impl Fn(Told, Told) -> bool,
) -> Result<(), proptest::test_runner::TestError<Hive>> {
    runner(4).run(&hives(), |mut hive| {
        both(&mut hive);
        let mut changed = hive.clone();
        change(&mut changed);
        let both = (told(&hive), told(&changed));
        if let (Ok(before), Ok(after)) = &both
            && before.lived
            && after.lived
        {
            prop_assert!(
                right(*before, *after),
                "{before:?} {after:?}\n{}",
                hive.text()
            );
        }
        Ok(())
    })
}

/// What a change may go the other way by: the reduced network's own error, kg of honey as a share, and K.
const NOISE: (f64, f64) = (0.01, 0.3);
/// A margin this large decides nothing, K (comfortable is 10): far from its end a colony is drawn on in a line from where it sits and how large it
/// is, which a change shifts too, by up to a tenth.
const FAR: f64 = 20.0;

/// Whether a margin is no less than another, as far as it matters and but for what it may be off.
fn no_less(margin: f64, than: f64) -> bool {
    margin >= than.min(FAR) - NOISE.1
}

/// Catches an answer that is no number, books that do not close, and a hive that is neither answered nor refused with words.
#[test]
fn answers_are_finite_or_refused() {
    let found = runner(1).run(&hives(), |hive| {
        match told(&hive) {
            Ok(t) => {
                prop_assert!(
                    t.need.is_finite() && t.need >= 0.0 && t.margin.is_finite(),
                    "{t:?}"
                );
                prop_assert!(t.residual.abs() < 1e-6, "{t:?}");
            }
            Err(why) => prop_assert!(!why.is_empty()),
        }
        Ok::<(), TestCaseError>(())
    });
    found.unwrap();
}

/// Catches a longer winter that takes less honey.
#[test]
fn need_rises_with_the_length_of_the_season() {
    hold(
        |h| h.nectar_day += 14,
        |a, b| b.need >= a.need * (1.0 - NOISE.0),
    )
    .unwrap();
}

/// Catches more bees that eat less, or stand less cold.
#[test]
fn need_and_margin_rise_with_bees() {
    hold(
        |h| h.frames_of_bees *= 1.4,
        |a, b| b.need >= a.need * (1.0 - NOISE.0) && no_less(b.margin, a.margin),
    )
    .unwrap();
}

/// Catches foam that leaves a colony less heat in hand.
#[test]
fn margin_rises_with_foam() {
    hold(|h| h.top_mm += 50.0, |a, b| no_less(b.margin, a.margin)).unwrap();
}

/// Catches wind that leaves a colony more heat in hand.
#[test]
fn margin_does_not_improve_with_wind() {
    // Too much wind for flights in both: what they cost in food and bees is another matter.
    hold_from(
        |h| h.wind = 40.0,
        |h| h.wind = 80.0,
        |a, b| no_less(a.margin, b.margin),
    )
    .unwrap();
}
