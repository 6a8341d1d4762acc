//! Hives as networks: geometry, heat paths, every feature of a scenario.

mod counts;
mod stand;
