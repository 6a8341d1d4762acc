//! What can go wrong between weather and faces.

use thiserror::Error;

/// What can go wrong between weather and faces.
#[derive(Debug, Clone, PartialEq, Error)]
#[non_exhaustive]
pub enum BoundaryError {
    /// A table built into the program cannot be read.
    #[error("the {table} table cannot be read: {message}")]
    Table {
        /// Which table.
        table: &'static str,
        /// What the reader said.
        message: String,
    },
    /// An opening whose area, height or place is not a usable number.
    #[error("opening {index}: {property} is {value}, which is not {wanted}")]
    Opening {
        /// Index in the list given.
        index: usize,
        /// Which property.
        property: &'static str,
        /// The value given.
        value: f64,
        /// What was wanted.
        wanted: &'static str,
    },
}
