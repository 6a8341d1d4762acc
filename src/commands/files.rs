//! The files of an answer.

use super::Failure;
use crate::files::output::{Output, OutputError};
use std::path::Path;

/// Begins the folder of an answer, if one is named: before the long work, so that one that cannot be written is told at once.
///
/// # Errors
/// A folder that cannot be made or written, or that holds something else.
pub fn begin(folder: Option<&Path>) -> Result<Option<Output>, Failure> {
    Ok(folder.map(Output::begin).transpose()?)
}

impl From<OutputError> for Failure {
    fn from(e: OutputError) -> Self {
        match e {
            OutputError::HoldsOther { .. } => Self::input(e),
            OutputError::NotWritten { .. } => Self::fault(e),
        }
    }
}
