//! What the hours of a winter cost besides arithmetic.

use partywall::climate::series::Winter;
use partywall::colony::parameters::Parameters;
use partywall::files::weather;
use partywall::hive::{Resolution, build};
use partywall::scenario;
use partywall::season::{HeatModel, PreparedHive, WinterRun};
use std::sync::atomic::AtomicBool;

/// Catches memory asked for in every hour or every day of a winter: two months more must not cost more than what the year
/// brings, such as a fill that was not met before.
#[test]
fn hours_ask_for_no_memory() {
    let scenario = scenario::built_in("larch-flats").unwrap().scenario;
    let record = weather::load(&scenario.climate).unwrap();
    let winters = record
        .winters(scenario.season.start, scenario.season.first_nectar)
        .unwrap();
    let hive = build(&scenario, Resolution::Coarse).unwrap();
    let stand = PreparedHive::new(&scenario, hive, record.station.elevation).unwrap();
    let (parameters, stop) = (Parameters::with(&[]).unwrap(), AtomicBool::new(false));
    let asked = |days: usize| {
        let winter = Winter {
            hours: winters[1].hours[..24 * days].to_vec(),
            ..winters[1].clone()
        };
        let winter_run = WinterRun {
            scenario: &scenario,
            stand: &stand,
            winter: &winter,
            parameters: &parameters,
            stop: &stop,
        };
        // The places of the clusters and the fills are worked out once for all winters.
        winter_run.run(HeatModel::Reduced, None).unwrap();
        allocation_counter::measure(|| {
            winter_run.run(HeatModel::Reduced, None).unwrap();
        })
        .count_total
    };
    let [short, long] = [60, 120].map(asked);
    // Lists grow now and then.
    assert!(long < short + 30, "{short} against {long}");
}
