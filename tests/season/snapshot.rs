//! One hour in all its detail must be the hour of the winter it is taken from.

use super::yard::demo;
use partywall::colony::parameters::Parameters;
use partywall::files::weather;
use partywall::hive::{Resolution, build};
use partywall::report::pictures::section;
use partywall::season::trace::Trace;
use partywall::season::{Comparison, HeatModel, PreparedHive, WinterRun};
use std::sync::atomic::AtomicBool;

/// Catches a cutaway of another hour than it says: bees, place and temperature around them must be those of the traced winter
/// within what the two networks may differ, and no piece of the hive colder than the coldest air of the three days before it
/// (a clear sky takes roofs a little below it, hence 6 K) or, in these hours before sunrise, warmer than the bees.
#[test]
fn a_snapshot_is_the_hour_of_its_winter() {
    let scenario = demo(&[]);
    let record = weather::load(&scenario.climate).unwrap();
    let season = &scenario.season;
    let mut all = record.winters(season.start, season.first_nectar).unwrap();
    all.truncate(1);
    let hive = build(&scenario, Resolution::Coarse).unwrap();
    let stand = PreparedHive::new(&scenario, hive, record.station.elevation).unwrap();
    let parameters = Parameters::with(&[]).unwrap();
    let stop = AtomicBool::new(false);
    let winter_run = WinterRun {
        scenario: &scenario,
        stand: &stand,
        winter: &all[0],
        parameters: &parameters,
        stop: &stop,
    };
    let mut trace = Trace::default();
    winter_run
        .run(HeatModel::Reduced, Some(&mut trace))
        .unwrap();
    for hour in [0, 29, 1998] {
        let s = winter_run.snapshot(hour).unwrap();
        let row = &trace.rows[hour];
        assert_eq!(s.colonies.len(), 2);
        for (inside, traced) in s.colonies.iter().zip(&row.colonies) {
            assert_eq!(inside.moment.time, row.time);
            let off = (inside.moment.around_c - traced.moment.around_c).abs();
            // The first day's network starts from a smoothed field.
            let bound = if hour < 72 { 1.0 } else { Comparison::BOUND.0 };
            assert!(off <= bound, "{hour}: {off} K");
            let honey: f64 = inside.seated.cells.iter().map(|c| c.left).sum();
            assert!(
                (honey - traced.stores).abs() < 0.1,
                "{honey} kg, {}",
                traced.stores
            );
        }
        let before = &trace.rows[hour.saturating_sub(72)..=hour];
        let coldest = before
            .iter()
            .map(|r| r.outdoor_c)
            .fold(f64::INFINITY, f64::min);
        let core = s
            .colonies
            .iter()
            .map(|c| c.moment.core_c)
            .fold(0.0, f64::max);
        let range = s
            .node_c
            .iter()
            .fold([f64::INFINITY, f64::NEG_INFINITY], |[l, h], t| {
                [l.min(*t), h.max(*t)]
            });
        assert!(
            range[0] > coldest - 6.0 && range[1] < core + 6.0,
            "{hour}: {range:?}, air {coldest}, core {core}"
        );
        let panel = section::cut("x", &scenario, &stand.hive, &s)
            .unwrap()
            .unwrap();
        assert!(panel.tiles.len() > 200 && panel.combs.len() == 36 && panel.clusters.len() == 2);
        assert_eq!(panel.between.len(), 1);
    }
    assert!(
        winter_run.snapshot(usize::MAX).is_ok(),
        "an hour beyond the end is the last one"
    );
}
