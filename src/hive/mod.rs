//! Stacks, boxes, frames and walls to material layers, grid and network.

pub mod materials;

pub use materials::{Material, MaterialError, Materials};
