//! Hives as networks: geometry, heat paths, every feature of a scenario.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stderr,
    clippy::print_stdout
)]

mod features;
mod geometry;
mod heater_box;
mod levels;
mod limits;
mod paths;
mod random;
mod solve;
mod stand;
