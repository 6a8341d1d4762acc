//! Hives as networks: geometry, heat paths, every feature of a scenario.

mod features;
mod geometry;
mod levels;
mod paths;
mod solve;
mod stand;
