//! Weather records: readers, quality, winters, and the fields a file lacks.

pub mod series;
