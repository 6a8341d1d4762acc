//! Outcomes to decisions: need, target reading, margins, feeding, what a weighing in winter tells.

pub mod feeding;
pub mod margins;
pub mod reading;
pub mod stores;
pub mod update;
