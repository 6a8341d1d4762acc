//! Winter-readiness thermal simulator for honey bee colonies wintering on one stand.
//!
//! Data flows one way:
//!
//! ```text
//! scenario, climate -> hive, boundary -> heat <-> colony -> season -> ensemble -> decision -> report
//! ```
//!
//! Nothing upstream knows what is downstream: [`heat`] knows no bees, [`colony`] knows no grids, and only the
//! commands of the binary and [`report`] format text. All inner numbers are SI (m, kg, s, W, J, Pa, K or degC); units live at
//! the edges, in [`units`].

pub mod boundary;
pub mod calendar;
pub mod cli;
pub mod climate;
pub mod colony;
pub mod commands;
pub mod decision;
pub mod ensemble;
pub mod heat;
pub mod hive;
pub mod materials;
pub mod problem;
mod random;
pub mod report;
pub mod scenario;
pub mod season;
pub mod stand;
pub mod units;
pub mod verify;
