//! What becomes of a winter's water.

use super::surface::Wall;
use jiff::civil::Date;
use serde::Serialize;

/// Where dew and ice gather.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct Gathered {
    /// Under the lid, kg.
    pub lid: f64,
    /// On the four walls, kg.
    pub walls: f64,
    /// On the floor, kg.
    pub floor: f64,
    /// On combs, kg.
    pub combs: f64,
}

impl Gathered {
    /// Adds to what gathers on a wall, or on combs.
    pub fn add(&mut self, wall: Option<Wall>, mass: f64) {
        *match wall {
            Some(Wall::Lid) => &mut self.lid,
            Some(Wall::Floor) => &mut self.floor,
            Some(_) => &mut self.walls,
            None => &mut self.combs,
        } += mass;
    }

    /// All of it, kg.
    #[must_use]
    pub fn sum(&self) -> f64 {
        self.lid + self.walls + self.floor + self.combs
    }
}

/// A month of it; means are over the hours of the month that lie in the winter.
#[derive(Debug, Clone, Copy, PartialEq, Default, Serialize)]
pub struct MonthOfWater {
    /// Month of the year, 1 to 12.
    pub month: i8,
    /// Hours counted.
    pub hours: u32,
    /// Water the bees gave off, kg.
    pub made: f64,
    /// Carried out by air, kg.
    pub carried: f64,
    /// What came down as dew or ice, kg.
    pub dew: Gathered,
    /// Outside air that passed, L/s.
    pub air: f64,
    /// Vapour pressure among the bees less that outside, Pa.
    pub excess: f64,
    /// Relative humidity of the air around the cluster, 0 to 1.
    pub humidity: f64,
    /// Carbon dioxide among the bees, by volume.
    pub carbon_dioxide: f64,
}

/// The water of one hive in one winter, in sums.
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
    /// Days on which a teaspoon of water or more (5 g) dripped on the bees.
    pub drip_days: u32,
    /// The first of them.
    pub first_drip: Option<Date>,
    /// Outside air that passed, mean of the winter, L/s.
    pub air: f64,
}

/// The same, and month by month.
#[derive(Debug, Clone, PartialEq, Default, Serialize)]
pub struct WaterBooks {
    /// The winter.
    #[serde(flatten)]
    pub sums: WinterWater,
    /// Hours counted.
    pub hours: u32,
    /// Month by month.
    pub months: Vec<MonthOfWater>,
}

impl WinterWater {
    /// Water that the books miss, kg: what was made and is neither gone nor there.
    #[must_use]
    pub fn missed(&self) -> f64 {
        self.made - self.carried - self.through - self.run_off - self.in_wood - self.left
    }
}
