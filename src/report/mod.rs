//! Results to text, JSON, CSV and pictures.

mod colony_text;
pub mod csv;
pub mod pictures;
pub mod result;
pub mod text;
pub mod update;
pub mod words;
pub mod yard;
