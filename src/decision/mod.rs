//! Outcomes to decisions: need, target reading, margins.

pub mod stores;
