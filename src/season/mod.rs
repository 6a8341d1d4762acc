//! The hour loop that couples weather, heat network and colonies through one winter.

pub mod coupling;
pub mod outcome;
