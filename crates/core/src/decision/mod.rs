//! Outcomes to decisions: need, target reading, margins, feeding, what a weighing in winter tells; what differences are worth,
//! and which change to make.

pub mod advice;
pub mod advise;
pub mod changes;
pub mod feeding;
pub mod feeding_plan;
pub mod gains;
pub mod hefting;
pub mod hive_water;
pub mod lasting;
pub mod margins;
pub mod pairing;
pub mod planned;
pub mod ranking;
pub mod reading;
pub mod result;
pub mod stand_total;
pub mod starving;
pub mod stores;
pub mod too_small;
pub mod uncertainty;
pub mod update;
pub mod upper_hole;
pub mod warnings;
