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
}
