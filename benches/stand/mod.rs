//! The demo hive and its winters, for the benches.

use partywall::climate::series::Winter;
use partywall::colony::parameters::Parameters;
use partywall::files::weather;
use partywall::hive::{Resolution, build};
use partywall::scenario;
use partywall::season::{PreparedHive, WinterRun};
use partywall::stand::Scenario;
use std::sync::atomic::AtomicBool;

pub struct Demo {
    pub scenario: Scenario,
    pub stand: PreparedHive,
    pub winters: Vec<Winter>,
    pub parameters: Parameters,
}

impl Demo {
    /// Winter number `i`, counted round the record.
    pub fn winter_run<'a>(&'a self, i: usize, stop: &'a AtomicBool) -> WinterRun<'a> {
        WinterRun {
            scenario: &self.scenario,
            stand: &self.stand,
            winter: &self.winters[i % self.winters.len()],
            parameters: &self.parameters,
            stop,
        }
    }
}

pub fn demo(resolution: Resolution) -> Result<Demo, Box<dyn std::error::Error>> {
    let scenario = scenario::built_in("larch-flats")?.scenario;
    let record = weather::load(&scenario.climate)?;
    let winters = record.winters(scenario.season.start, scenario.season.first_nectar)?;
    let hive = build(&scenario, resolution)?;
    let stand = PreparedHive::new(&scenario, hive, record.station.elevation)?;
    Ok(Demo {
        scenario,
        stand,
        winters,
        parameters: Parameters::with(&[])?,
    })
}
