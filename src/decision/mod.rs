//! Outcomes to decisions: need, target reading, margins; what differences are worth, and which change to make.

pub mod changes;
pub mod gains;
pub mod pairing;
pub mod ranking;
pub mod stores;
pub mod uncertainty;
