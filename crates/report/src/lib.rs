//! Results to text, JSON, CSV, pictures and one page of HTML.

mod colony_text;
pub mod comparison;
pub mod contest;
pub mod csv;
mod feeding_text;
pub mod jobs;
pub mod looks;
mod margins_text;
pub mod network;
pub mod page;
pub mod phrases;
pub mod pictures;
pub mod problems;
pub mod ranking;
mod standing;
pub mod text;
mod together;
pub mod update;
pub mod warnings;
pub mod words;
pub mod yard;
