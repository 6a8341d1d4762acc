//! Scenarios and their winters.

use partywall::colony::parameters::Parameters;
use partywall::files::weather;
use partywall::hive::{Resolution, build};
use partywall::scenario;
use partywall::season::outcome::WinterOutcome;
use partywall::season::trace::Trace;
use partywall::season::{HeatModel, PreparedHive, WinterRun};
use partywall::stand::Scenario;
use std::sync::atomic::AtomicBool;

/// Every `step`th winter of the record, at most `count`, on the coarse grid, with its hours.
pub fn traced(
    scenario: &Scenario,
    model: HeatModel,
    step: usize,
    count: usize,
) -> Vec<(WinterOutcome, Trace)> {
    traced_on(Resolution::Coarse, scenario, model, step, count)
}

/// The same on any grid, made colder as the scenario's stress asks.
pub fn traced_on(
    grid: Resolution,
    scenario: &Scenario,
    model: HeatModel,
    step: usize,
    count: usize,
) -> Vec<(WinterOutcome, Trace)> {
    let record = weather::load(&scenario.climate).unwrap();
    let season = &scenario.season;
    let mut winters = record.winters(season.start, season.first_nectar).unwrap();
    if scenario.stress.colder != 0.0 {
        winters
            .iter_mut()
            .for_each(|w| w.make_colder(scenario.stress.colder));
    }
    let hive = build(scenario, grid).unwrap();
    let stand = PreparedHive::new(scenario, hive, record.station.elevation).unwrap();
    let parameters = Parameters::with(&[]).unwrap();
    let stop = AtomicBool::new(false);
    winters
        .iter()
        .step_by(step)
        .take(count)
        .map(|winter| {
            let winter_run = WinterRun {
                scenario,
                stand: &stand,
                winter,
                parameters: &parameters,
                stop: &stop,
            };
            let mut trace = Trace::default();
            (winter_run.run(model, Some(&mut trace)).unwrap(), trace)
        })
        .collect()
}

/// The first winters of the record on the reduced network.
pub fn winters(scenario: &Scenario, count: usize) -> Vec<WinterOutcome> {
    let all = traced(scenario, HeatModel::Reduced, 1, count);
    all.into_iter().map(|(outcome, _)| outcome).collect()
}

/// A shipped scenario with other lines in it.
pub fn shipped(name: &str, changes: &[(&str, &str)]) -> Scenario {
    let path = format!("{}/scenarios/{name}.toml", env!("CARGO_MANIFEST_DIR"));
    let mut text = std::fs::read_to_string(path).unwrap();
    for (from, to) in changes {
        assert!(text.contains(from), "{from}");
        text = text.replace(from, to);
    }
    scenario::parse(&text, name, None).unwrap().scenario
}

/// The demo with other lines in it.
pub fn demo(changes: &[(&str, &str)]) -> Scenario {
    shipped("larch-flats", changes)
}
