//! The water of one colony's winter in the figures that are told of it.

use crate::water::WaterBooks;
use jiff::civil::Date;
use serde::Serialize;

/// One winter, without its months.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct WinterWater {
    /// Water the bees gave off, kg.
    pub made: f64,
    /// Carried out by the air, kg.
    pub carried: f64,
    /// Gone out through walls, floor and lid, kg.
    pub through: f64,
    /// Run off over the floor and out, kg.
    pub run_off: f64,
    /// More water in the wood than in autumn, kg.
    pub in_wood: f64,
    /// Dew and ice at the end, kg.
    pub left: f64,
    /// Most dew and ice under the lid, kg.
    pub lid_most: f64,
    /// The day of it.
    pub lid_most_on: Option<Date>,
    /// What dripped from the lid, kg.
    pub dripped: f64,
    /// The part of it on the bees, kg.
    pub on_bees: f64,
    /// Days on which water dripped on the bees.
    pub drip_days: u32,
    /// The first of them.
    pub first_drip: Option<Date>,
    /// Outside air that passed, mean of the winter, L/s.
    pub air: f64,
}

impl WinterWater {
    /// From the books of the winter.
    #[must_use]
    pub fn of(b: &WaterBooks) -> Self {
        Self {
            made: b.made,
            carried: b.carried,
            through: b.through,
            run_off: b.run_off,
            in_wood: b.in_wood,
            left: b.left,
            lid_most: b.lid_most,
            lid_most_on: b.lid_most_on,
            dripped: b.dripped,
            on_bees: b.on_bees,
            drip_days: b.drip_days,
            first_drip: b.first_drip,
            air: b.mean(|m| m.air),
        }
    }
}
