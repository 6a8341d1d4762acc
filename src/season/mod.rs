//! The hour loop that couples weather, heat and colony through one winter.

mod calendar;
pub mod coupling;
mod driver;
mod full;
mod lodger;
pub mod outcome;
pub mod place;
mod reduced;
mod stand;
mod surroundings;
pub mod trace;

pub use driver::{Carrier, Method, SeasonError, run};
pub use reduced::ReducedHive;
pub use stand::{Stand, StandHour};
