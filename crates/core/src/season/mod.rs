//! The hour loop that couples weather, heat and colony through one winter.

mod calendar;
mod colony_state;
mod comparison;
pub mod coupling;
mod driver;
mod full;
pub mod moisture;
pub mod outcome;
pub mod place;
mod prepared_hive;
mod reduced;
pub mod snapshot;
mod surroundings;
pub mod trace;

pub use comparison::Comparison;
pub use driver::{HeatModel, Method, SeasonError, WinterRun};
pub use prepared_hive::{HourlyForcing, PreparedHive};
pub use reduced::ReducedHive;
