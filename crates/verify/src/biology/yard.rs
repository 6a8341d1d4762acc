//! One hive with one colony through one winter, on the reduced network of the coarse grid.

use super::BiologyError;
use partywall_core::calendar::MonthDay;
use partywall_core::climate::series::Winter;
use partywall_core::climate::{self, Record};
use partywall_core::colony::parameters::Parameters;
use partywall_core::hive::{Resolution, build};
use partywall_core::scenario::parse;
use partywall_core::season::outcome::ColonyOutcome;
use partywall_core::season::trace::Trace;
use partywall_core::season::{HeatModel, PreparedHive, WinterRun};
use partywall_core::stand::Scenario;
use std::sync::atomic::AtomicBool;

/// The hive of every check unless its row says otherwise: two ten-frame deeps of 19 mm pine, everything else as the program
/// takes it from common practice; honey enough to the end.
pub(super) const BARE: &str = r#"
title = "check"
[site]
climate = "wageningen"
[season]
first_dandelion = "12 May"
brood_start = "1 Feb"
brood_full = "15 Mar"
[[hive]]
walls = "19 mm pine"
boxes = ["ten-frame deep", "ten-frame deep"]
colony = { frames_of_bees = 8, honey = "35 kg" }
"#;

/// A hive ready for winters.
pub(super) struct Yard {
    scenario: Scenario,
    stand: PreparedHive,
}

impl Yard {
    /// The hive of a scenario text, `change`d before it is built, `elevation` m above the sea.
    pub fn new(
        text: &str,
        elevation: f64,
        change: impl FnOnce(&mut Scenario),
    ) -> Result<Self, BiologyError> {
        let mut scenario = parse(text, "check", None)?.scenario;
        change(&mut scenario);
        let stand = PreparedHive::new(&scenario, build(&scenario, Resolution::Coarse)?, elevation)?;
        Ok(Self { scenario, stand })
    }

    /// What a winter does to a colony that sets out with so many bees.
    pub fn winter(
        &self,
        winter: &Winter,
        bees: f64,
        p: &Parameters,
        trace: Option<&mut Trace>,
    ) -> Result<ColonyOutcome, BiologyError> {
        let mut scenario = self.scenario.clone();
        for c in scenario.stacks.iter_mut().filter_map(|s| s.colony.as_mut()) {
            c.bees = bees * p.bee_mass;
        }
        let winter_run = WinterRun {
            scenario: &scenario,
            stand: &self.stand,
            winter,
            parameters: p,
            stop: &AtomicBool::new(false),
        };
        let outcome = winter_run.run(HeatModel::Reduced, trace)?;
        outcome
            .colonies
            .into_iter()
            .next()
            .ok_or(BiologyError::Lacks("its colony"))
    }
}

/// A built-in record.
pub(super) fn record(name: &str) -> Result<Record, BiologyError> {
    Ok(climate::built_in(name, &Default::default())?)
}

/// Whole winters of a record from one day to another, both (month, day).
pub(super) fn winters(
    record: &Record,
    from: (u8, u8),
    to: (u8, u8),
) -> Result<Vec<Winter>, BiologyError> {
    let day = |(month, day)| MonthDay { month, day };
    Ok(record.winters(day(from), day(to))?)
}

/// The winter with the smallest `distance`, the first of equals.
pub(super) fn nearest(
    winters: Vec<Winter>,
    distance: impl Fn(&Winter) -> f64,
) -> Result<Winter, BiologyError> {
    winters
        .into_iter()
        .min_by(|a, b| distance(a).total_cmp(&distance(b)))
        .ok_or(BiologyError::Lacks("a winter"))
}

/// Honey eaten from day to day, g.
pub(super) fn daily_grams(c: &ColonyOutcome) -> Vec<f64> {
    let mut before = 0.0;
    c.eaten_by_day
        .iter()
        .map(|now| {
            let used = 1e3 * (now - before);
            before = *now;
            used
        })
        .collect()
}

/// Mean of some numbers; NaN of none.
pub(super) fn average(v: &[f64]) -> f64 {
    v.iter().sum::<f64>() / v.len() as f64
}
