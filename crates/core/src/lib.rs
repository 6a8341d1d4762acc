//! The model behind `partywall`: what a stand of one to four hives needs to winter, from a scenario and a weather record.
//!
//! Data flows one way, and no room imports one that comes after it:
//!
//! ```text
//! scenario, climate -> hive, boundary -> heat <-> colony -> season -> ensemble -> decision -> answer
//! ```
//!
//! [`heat`] knows no bees, [`colony`] knows no grids, and nothing here opens a file, prints or looks at a clock. All inner numbers are SI (m, kg, s, W, J, Pa, K or degC); units live at the edges, in [`units`].

pub mod answer;
pub mod boundary;
pub mod calendar;
pub mod climate;
pub mod colony;
pub mod decision;
pub mod ensemble;
pub mod heat;
pub mod hive;
pub mod materials;
pub mod messages;
mod parallel;
pub mod problem;
mod random;
pub mod region;
pub mod scenario;
pub mod season;
pub mod spreadsheet;
pub mod stand;
pub mod units;
pub mod water;
