//! Results to text, JSON, CSV and pictures.

pub mod csv;
pub mod pictures;
pub mod result;
pub mod text;
pub mod words;
