//! The hour loop that couples weather, heat and colony through one winter.

pub mod coupling;
mod driver;
pub mod outcome;
mod stand;
pub mod trace;

pub use driver::{Method, SeasonError, run};
pub use stand::{Stand, StandHour};
