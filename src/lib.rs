//! The `partywall` program, and what it is made of under one name: [`partywall_core`], [`report`] and [`verify`].

pub use partywall_core::{
    answer, boundary, calendar, climate, colony, decision, ensemble, heat, hive, materials,
    problem, region, scenario, season, stand, units, water,
};
pub use partywall_report as report;
pub use partywall_verify as verify;

pub mod cli;
pub mod commands;
pub mod files;
