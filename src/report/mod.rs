//! Results to text, JSON, CSV and pictures.

pub mod comparison;
pub mod csv;
pub mod phrases;
pub mod pictures;
pub mod ranking;
pub mod result;
pub mod text;
