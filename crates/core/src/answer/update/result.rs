//! What a weighing in winter tells.

use crate::answer::network::Network;
use crate::decision::feeding::{Feed, LastFeeding};
use crate::decision::update::{Forecast, Range};
use crate::ensemble::winters::Basis;
use crate::scenario::log::Weighing;
use jiff::civil::Date;
use serde::Serialize;

/// Version of the JSON's shape.
pub const SCHEMA: &str = "partywall-update/2";

/// Everything an update found.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct UpdateResult {
    /// Shape of this document.
    pub schema: &'static str,
    /// Program version.
    pub version: &'static str,
    /// Title of the scenario.
    pub title: String,
    /// Weather record.
    pub station: String,
    /// Winters of the record, or made up from it, that were drawn from.
    pub winters: usize,
    /// Where they come from.
    pub basis: Basis,
    /// What was made of the record's winters, in words; nothing when they are as they were.
    pub weather_notes: Vec<String>,
    /// Runs the weighings are held against.
    pub runs: usize,
    /// Grid used.
    pub grid: &'static str,
    /// Which heat network carried the runs, and how that was checked.
    pub network: Network,
    /// Start of the season in the winter of the weighings.
    pub start: Date,
    /// First dependable nectar after it.
    pub first_nectar: Date,
    /// One per hive that was weighed.
    pub hives: Vec<HiveUpdate>,
    /// Weighings of earlier winters in the log, not used.
    pub of_earlier_winters: usize,
}

/// One hive.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct HiveUpdate {
    /// Its name.
    pub hive: String,
    /// The weighings, oldest first.
    pub weighings: Vec<Compared>,
    /// Day on which stores run out as expected before it was weighed in winter; `None` for not before first nectar.
    pub before: Range<Option<Date>>,
    /// The same with the weighings; `None` when nothing fits them.
    pub after: Option<Range<Option<Date>>>,
    /// The reckoning with the weighings.
    pub forecast: Option<Forecast>,
    /// Where nothing or too little fits: the readings each of which the others would fit without; none when it is not one alone.
    pub strange: Vec<Date>,
    /// Stores by the last reading alone, kg, where it is lighter than anything that fits: to be on the safe side until it is cleared up.
    pub by_last_alone: Option<Range<f64>>,
    /// What to feed.
    pub feed: Option<Feed>,
    /// Until when that is taken as syrup; `None` when nothing is to be fed, or none can be told.
    pub last_syrup: Option<LastFeeding>,
    /// By when; the day of the last weighing for "now".
    pub feed_by: Option<Date>,
    /// What to mind, in words.
    pub notes: Vec<Note>,
}

/// A weighing beside what was expected of it.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Compared {
    /// The weighing.
    #[serde(flatten)]
    pub weighing: Weighing,
    /// What the whole hive was expected to weigh, kg.
    pub expected: Option<Range<f64>>,
    /// How far off the reading may be, kg.
    pub error: f64,
}

/// What a keeper should mind about weighings.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
#[serde(rename_all = "snake_case", tag = "note")]
pub enum Note {
    /// No run fits.
    NothingFits,
    /// Hardly any run fits: so many do.
    FewFit {
        /// How many.
        runs: usize,
    },
    /// A reading far from what was expected, kg (more is positive).
    FarOff {
        /// The day.
        date: Date,
        /// By so much, kg.
        by: f64,
    },
    /// Heavier than at the weighing before, kg.
    Gained {
        /// The day.
        date: Date,
        /// By so much, kg.
        by: f64,
    },
    /// One side doubled; `adjoining` when the stack stands in a pair.
    OneSide {
        /// Whether it stands against another.
        adjoining: bool,
    },
    /// Front and back further apart than what is in the hive can lean.
    Leaning {
        /// The day.
        date: Date,
        /// At the front, kg.
        front: f64,
        /// At the back, kg.
        back: f64,
    },
    /// Weighed in the cold months.
    WetOrIcy,
    /// The weighings speak for another tare, kg more than given.
    Tare {
        /// By so much, kg.
        by: f64,
    },
    /// Share of cases in which the bees starve beside honey they cannot reach.
    Reach {
        /// The share.
        share: f64,
    },
}
