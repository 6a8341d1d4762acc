//! Results to text, JSON and CSV.

pub mod csv;
pub mod result;
pub mod text;
