//! How the values of a scenario were read.

use crate::problem::{Place, Problems};
use crate::stand::Scenario;

/// How a value came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, serde::Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Kind {
    /// Used as it was written.
    Given,
    /// Worked out from what was written.
    Converted,
    /// Taken because nothing was written.
    Default,
}

/// How one value of the scenario was read.
#[derive(Debug, Clone, PartialEq, Eq, Hash, serde::Serialize)]
pub struct Reading {
    /// Key path, "hive.Left.entrance".
    pub path: String,
    /// As the keeper wrote it; `None` when nothing was written.
    pub written: Option<String>,
    /// As used, with its units.
    pub used: String,
    /// The rule or the source; empty when the value is used as written.
    pub note: String,
    /// How it came about.
    pub kind: Kind,
}

/// A scenario with how it was read.
#[derive(Debug, Clone, PartialEq)]
pub struct Loaded {
    /// The checked scenario.
    pub scenario: Scenario,
    /// Every value, conversion and default, in the order of the file's rooms.
    pub readings: Vec<Reading>,
    /// Things to look at that do not stop the program.
    pub warnings: Problems,
    /// Where the feeds stand: hive by hive, each in the order of [`crate::stand::Colony::feeds`].
    pub feeds: Vec<FeedPlace>,
}

/// Where a feed of a hive is written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FeedPlace {
    /// Name of the hive.
    pub hive: String,
    /// The file, as the user named it.
    pub file: String,
    /// Its date in it.
    pub place: Place,
}
