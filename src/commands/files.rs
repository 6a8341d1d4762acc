//! The files of an answer.

use super::Failure;
use crate::files::output::{Output, OutputError};
use std::io::ErrorKind;
use std::path::Path;

/// Begins the folder of an answer, if one is named: before the long work, so that one that cannot be written is told at once; behind
/// [`super::terminal::Terminal::new`], so that Ctrl-C takes it away again.
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
            // A name that no folder can have is a slip; a full disk or a folder closed to the user is not.
            OutputError::NotWritten { ref why, .. } if why.kind() == ErrorKind::NotADirectory => {
                Self::input(e)
            }
            OutputError::NotWritten { .. } => Self::fault(e),
        }
    }
}
