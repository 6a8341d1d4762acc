//! What one winter did to each colony.

use crate::calendar::MonthDay;
use crate::calendar::days_between;
use crate::stand::FeedEvent;
use crate::water::WaterBooks;
use jiff::civil::{Date, DateTime};
use serde::Serialize;

/// Weight of a brood cell's content on average over egg, larva and pupa, as a share of a worker's (from memory: a sealed one weighs
/// a little more than a worker, an open one less than half on average).
pub const BROOD_CELL: f64 = 0.8;

/// The outcome of one winter for one hive stand.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WinterOutcome {
    /// "1982/83".
    pub winter: String,
    /// One per stack that has a colony, left to right.
    pub colonies: Vec<ColonyOutcome>,
    /// How well the numbers were solved.
    pub solver: SolverReport,
}

/// The outcome of one winter for one colony.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ColonyOutcome {
    /// Name of the stack.
    pub stack: String,
    /// Honey eaten from the start date to first dependable nectar, kg, whether or not there was so much.
    pub eaten: f64,
    /// Part of it fed to brood, kg.
    pub fed_to_brood: f64,
    /// Part of it spent on flights, kg.
    pub flown: f64,
    /// Honey the hive had: on the start date, and what feeding added, kg.
    pub put_in: f64,
    /// Honey in the hive at the end, kg, as if a colony that starved had eaten no more.
    pub left: f64,
    /// When and how it starved; `None` if it always found food.
    pub starved: Option<Starved>,
    /// When its food was nearest to running out while there was honey in the hive; `None` if it always touched some.
    pub closest: Option<Closest>,
    /// Whether it lived to the end, starving left aside.
    pub alive: bool,
    /// Adult bees at the end, starving left aside.
    pub bees_left: f64,
    /// Bees that died of cold.
    pub died_of_cold: f64,
    /// Hours with flight.
    pub flight_hours: u32,
    /// How far the cluster's centre moved: across, along and up, m.
    pub moved: [f64; 3],
    /// Honey eaten up to the end of each day, kg.
    pub eaten_by_day: Vec<f64>,
    /// Honey in the hive at the end of each day, kg.
    pub stores_by_day: Vec<f64>,
    /// Honey the cluster touched then, kg.
    pub in_contact_by_day: Vec<f64>,
    /// Weight of bees and brood then, kg.
    pub bees_by_day: Vec<f64>,
    /// Hours the mantle spent in chill coma.
    pub chilled_hours: f64,
    /// The hour with the least heat in hand.
    pub weakest: Moment,
    /// The hour with the coldest air outside.
    pub coldest: Moment,
    /// Mean temperature of what surrounds the cluster less outside air, December to February, K.
    pub warmth_mid_winter: f64,
    /// What became of the water its bees gave off.
    pub water: WaterBooks,
}

/// A feeder is on for so many days in autumn (common practice, no source: two to four weeks).
const FEEDING_DAYS: usize = 28;

impl ColonyOutcome {
    /// Honey it had eaten while a feeder is on in autumn, in the first 28 days, and when the last of `feeds` was given, kg, in a season
    /// that begins on `start`: so much room it had made in the combs.
    #[must_use]
    pub fn eaten_while_fed(&self, feeds: &[FeedEvent], start: MonthDay) -> [f64; 2] {
        let by = |days: usize| {
            let last = days.min(self.eaten_by_day.len()).checked_sub(1);
            last.and_then(|d| self.eaten_by_day.get(d)).copied()
        };
        let last = feeds.iter().map(|f| days_between(start, f.date) as usize);
        [FEEDING_DAYS, last.max().unwrap_or(0)].map(|days| by(days).unwrap_or(0.0))
    }

    /// Honey it starved beside, kg; 0 when it found food to the end, or ate all there was.
    #[must_use]
    pub fn starved_beside(&self) -> f64 {
        self.starved.and_then(|s| s.beside_honey).unwrap_or(0.0)
    }
}

/// A colony that found no more food.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Starved {
    /// The day.
    pub date: Date,
    /// Honey that was still in the hive out of its reach, kg; `None` if there was none.
    pub beside_honey: Option<f64>,
}

/// How near a colony came to starving beside honey: it touches none, and lives on what the bees carry in their crops.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Closest {
    /// The day.
    pub date: Date,
    /// Days for which what they still carried would have lasted; below zero, the days it would have had to last longer.
    pub days: f64,
    /// The same as a share of what they carry at most.
    pub share: f64,
}

/// One hour of a colony with its margins.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Moment {
    /// Local standard time.
    pub time: DateTime,
    /// Outside air, degC.
    pub outdoor_c: f64,
    /// What surrounds the cluster, degC.
    pub around_c: f64,
    /// Surface of the mantle, degC.
    pub mantle_c: f64,
    /// Core, degC.
    pub core_c: f64,
    /// Mantle above chill coma, K; negative in coma.
    pub mantle_margin: f64,
    /// Core above what it needs, K; negative when it cannot be held.
    pub core_margin: f64,
    /// Heat the bees make, W.
    pub heat: f64,
    /// How much colder the air could be, and stay so, before the bees make all the heat they can, K.
    pub heat_in_hand: f64,
    /// Whether there is brood to keep warm.
    pub brood: bool,
}

/// Solver statistics of one winter.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct SolverReport {
    /// Unknowns of the network.
    pub unknowns: usize,
    /// Time steps.
    pub steps: usize,
    /// Linear systems solved.
    pub solves: usize,
    /// Iterations of all of them.
    pub iterations: usize,
    /// Energy that the books of the heat network miss over the winter, as a share of what went through.
    pub energy_residual: f64,
    /// Largest difference between the temperature around a cluster as coupled and as solved, K.
    pub coupling_residual: f64,
}

impl ColonyOutcome {
    /// A colony that ate `eaten` kg in a winter in which nothing happened to it: for tests of what is told of outcomes.
    #[must_use]
    pub fn uneventful(stack: &str, eaten: f64) -> Self {
        let moment = Moment {
            time: jiff::civil::date(1984, 3, 29).at(6, 0, 0, 0),
            outdoor_c: -4.0,
            around_c: 15.0,
            mantle_c: 21.0,
            core_c: 34.0,
            mantle_margin: 13.0,
            core_margin: 0.0,
            heat: 12.0,
            heat_in_hand: 21.0,
            brood: true,
        };
        Self {
            stack: stack.to_owned(),
            eaten,
            fed_to_brood: 3.0,
            flown: 2.0,
            put_in: 29.69,
            left: 5.0,
            starved: None,
            closest: None,
            alive: true,
            bees_left: 1e4,
            died_of_cold: 0.0,
            flight_hours: 50,
            moved: [0.0; 3],
            eaten_by_day: vec![],
            stores_by_day: vec![],
            in_contact_by_day: vec![],
            bees_by_day: vec![],
            chilled_hours: 0.0,
            weakest: moment,
            coldest: moment,
            warmth_mid_winter: 9.0,
            water: WaterBooks::default(),
        }
    }
}
