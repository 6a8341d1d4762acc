//! The hour-by-hour record of one winter, kept when asked for.

use super::outcome::Moment;
use crate::colony::colony_with_stores::ColonyWithStores;
use crate::colony::{HeatBooks, Tally};
use crate::water::Gathered;
use jiff::civil::DateTime;

/// All hours of one winter.
#[derive(Debug, Clone, Default)]
pub struct Trace {
    /// One row per hour.
    pub rows: Vec<TraceRow>,
}

/// One hour.
#[derive(Debug, Clone)]
pub struct TraceRow {
    /// Local standard time at the start of the hour.
    pub time: DateTime,
    /// Outside air, degC.
    pub outdoor_c: f64,
    /// One per colony.
    pub colonies: Vec<TraceColony>,
}

impl TraceRow {
    /// An hour without colonies yet.
    #[must_use]
    pub fn new(time: DateTime, outdoor_c: f64) -> Self {
        Self {
            time,
            outdoor_c,
            colonies: Vec::new(),
        }
    }
}

/// One hour of one colony.
#[derive(Debug, Clone, Copy)]
pub struct TraceColony {
    /// Temperatures, heat and margins.
    pub moment: Moment,
    /// Honey eaten since the start, kg.
    pub eaten: f64,
    /// Honey in the hive, kg.
    pub stores: f64,
    /// Honey the cluster touches, kg, half a day old at most.
    pub in_contact: f64,
    /// Centre of the cluster, m.
    pub centre: [f64; 3],
    /// Adult bees.
    pub bees: f64,
    /// Brood cells.
    pub brood_cells: f64,
    /// Radius of the cluster, m.
    pub radius: f64,
    /// What was counted since the start.
    pub tally: Tally,
    /// Heat of the bees since the start, J.
    pub books: HeatBooks,
    /// Dew and ice that lie in its hive, kg.
    pub lies: Gathered,
}

impl TraceColony {
    /// From the hour's margins and the colony with its stores at its end.
    #[must_use]
    pub fn new(moment: &Moment, home: &ColonyWithStores, lies: Gathered) -> Self {
        let colony = &home.colony;
        Self {
            moment: *moment,
            eaten: colony.eaten(),
            stores: home.foraging.stores.put_in() - home.foraging.stores.eaten(),
            in_contact: home.reachable_stores().contact,
            centre: home.place().centre,
            bees: colony.bees(),
            brood_cells: colony.brood_cells(),
            radius: colony.radius(),
            tally: colony.tally(),
            books: *colony.heat_books(),
            lies,
        }
    }
}
