//! Results to text, JSON, CSV, pictures and one page of HTML.

pub mod csv;
pub mod page;
pub mod pictures;
pub mod result;
pub mod text;
