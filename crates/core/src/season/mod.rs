//! The hour loop that couples weather, heat and colony through one winter.

mod calendar;
mod colony_state;
mod comparison;
pub mod coupling;
mod driver;
mod full;
mod margin;
pub mod outcome;
pub mod place;
mod prepared_hive;
mod reduced;
mod reduced_winter;
pub mod snapshot;
mod stand_air;
mod stand_water;
mod surroundings;
pub mod trace;
mod winter_run;

pub use comparison::Comparison;
pub use prepared_hive::PreparedHive;
pub use reduced::ReducedHive;
pub use stand_air::{MovingAir, Occupant, Stream};
pub use surroundings::HourlyForcing;
pub use winter_run::{HeatModel, Method, SeasonError, WinterRun};
