//! The hour loop that couples weather, heat and colony through one winter.

mod calendar;
mod comparison;
pub mod coupling;
mod driver;
mod full;
mod lodger;
pub mod moisture;
pub mod outcome;
pub mod place;
mod reduced;
pub mod snapshot;
mod stand;
mod surroundings;
pub mod trace;

pub use comparison::Comparison;
pub use driver::{Carrier, Course, Method, SeasonError};
pub use reduced::ReducedHive;
pub use stand::{Stand, StandHour};
