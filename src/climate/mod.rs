//! Weather records: readers, quality, winters, and the fields a file lacks.

pub mod moist_air;
pub mod parton_logan;
pub mod series;
pub mod sky;
pub mod solar;
