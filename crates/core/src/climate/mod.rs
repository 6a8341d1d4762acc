//! Weather records: readers, quality, winters, and the fields a file lacks.
//!
//! ```text
//! files -> gather (unpacked texts) -> formats (one per layout) -> raw rows -> join (one record) -> quality -> record -> draft of a winter -> hours
//! ```
//!
//! Missing values are `None` until [`fields`] replaces them by a stated method; every replacement stands in
//! [`Record::notes`].

mod advice;
pub mod builtin;
pub mod calendar;
pub mod daily_to_hourly;
mod decode;
pub mod defaults;
pub mod draft;
pub mod error;
pub mod fields;
pub mod file_sources;
pub mod formats;
pub mod gaps;
pub mod hourly_grid;
pub mod join;
pub mod limits;
pub mod moist_air;
pub mod parton_logan;
pub mod quality;
pub mod quantity;
pub mod raw;
pub mod readings;
pub mod record;
pub mod rejection;
pub mod series;
pub mod sky;
pub mod solar;
pub mod source;
pub mod spring;
mod steps;
pub mod stresses;
pub mod stuck;
pub mod sums;
mod swapped;
pub mod synthetic;
pub mod trend;
pub mod wind;
pub mod winters;
pub mod wraps;
pub mod wrong_unit;

pub use builtin::{ClimateChoice, choose};
pub use raw::Kind;
pub use record::{Record, built_in, from_bytes, from_files};
pub use winters::{Cut, Mended, RejectedWinter};
