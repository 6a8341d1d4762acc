//! Results to text, JSON, CSV, pictures and one page of HTML.

pub mod comparison;
pub mod contest;
pub mod csv;
pub mod document;
mod feeding;
pub mod jobs;
pub mod looks;
mod margins;
pub mod network;
pub mod phrases;
pub mod pictures;
pub mod problems;
pub mod ranking;
pub mod run;
mod standing;
pub mod texts;
mod together;
pub mod update;
pub mod warnings;
pub mod words;
pub mod yard;
