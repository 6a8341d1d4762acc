//! What a keeper does with the outcome of a run.

use crate::calendar::MonthDay;
use crate::decision::feeding::{Feed, LastFeeding};
use crate::decision::lasting::Heft;
use crate::decision::margins::Margins;
use crate::decision::reading::{BoxFrames, Reading};
use serde::Serialize;

/// What a keeper does with the target.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Advice {
    /// The target on the keeper's scale; `None` below five winters.
    pub reading: Option<Reading>,
    /// The stores needed as frames, bottom box first.
    pub frames: Vec<BoxFrames>,
    /// Honey all combs hold when full, kg.
    pub capacity: f64,
    /// Stores needed beyond what the combs hold when full, kg; `None` when they hold them, give or take what is not worth a feed.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub beyond_combs: Option<f64>,
    /// What makes up for what is short, as far as the combs have room for it; `None` when nothing is, or below five winters.
    pub feed: Option<Feed>,
    /// Until when syrup is taken here, for that amount or, when nothing is short, for [`USUAL_LOT`](crate::decision::advise::USUAL_LOT); `None` when the record
    /// holds too few autumns or bees there never take so much.
    pub last_feeding: Option<LastFeeding>,
    /// The margins in three words.
    pub margins: Margins,
    /// When to heft for the first time in winter.
    pub first_heft: MonthDay,
    /// The day on which it was asked, if it was said.
    pub on: Option<MonthDay>,
    /// What the scale should read on that day; `None` unless it lies after the start, and below five winters.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub asked: Option<Asked>,
    /// The start date and every day to heft, each with the reading below which to act; the day on which it was asked is among them.
    pub hefts: Vec<Heft>,
    /// Winters in which the bees had next to nothing left in their crops before they touched honey again.
    pub near_starving: usize,
    /// Whether the stack stands against another, so that only its front, back and outer side can be lifted.
    pub adjoining: bool,
}

/// What the scale should read on a day later than the start.
#[derive(Debug, Clone, Copy, PartialEq, Serialize)]
pub struct Asked {
    /// The day.
    pub day: MonthDay,
    /// The start, the day of the weighing.
    pub start: MonthDay,
    /// The reading on it, for the stores to last as those of the target: [`weight_to_last`](crate::decision::lasting::weight_to_last).
    pub reading: Reading,
}

impl Advice {
    /// What the scale should read on the day on which it is asked, or else on the start date.
    #[must_use]
    pub fn headline(&self) -> Option<Reading> {
        self.asked.map(|a| a.reading).or(self.reading)
    }

    /// How far the whole hive may have got lighter from the start to the day on which it is asked, kg; 0 without such a day.
    #[must_use]
    pub fn lighter(&self) -> f64 {
        let asked = self.asked.zip(self.reading);
        asked.map_or(0.0, |(a, start)| start.gross - a.reading.gross)
    }
}
