//! What is read from the disk for the core, which touches no file itself.

pub mod ending;
pub mod input;
pub mod log;
pub mod output;
mod scenario;
pub mod weather;

pub use scenario::{load, open, open_source};
