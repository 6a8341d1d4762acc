//! The files of an answer.

use super::Failure;
use crate::files::output::{Output, OutputError, lies_in};
use partywall_report::text;
use std::io::ErrorKind;
use std::path::Path;

/// Begins the folder of an answer, if one is named: before the long work, so that one that cannot be written is told at once; behind
/// [`super::terminal::Terminal::new`], so that Ctrl-C takes it away again. `named` are the words that may be files of the question.
///
/// # Errors
/// A folder that cannot be made or written, that holds something else, or that the question is read from.
pub fn begin<'a>(
    folder: Option<&Path>,
    named: impl IntoIterator<Item = &'a str>,
) -> Result<Option<Output>, Failure> {
    let Some(folder) = folder else {
        return Ok(None);
    };
    for word in named {
        let file = Path::new(word);
        if file.exists() {
            apart(file, folder)?;
        }
    }
    Ok(Some(Output::begin(folder)?))
}

/// Refuses a file in the folder of an answer: it would go with the answer before.
///
/// # Errors
/// A file that lies in it, or would.
pub fn apart(file: &Path, folder: &Path) -> Result<(), Failure> {
    if lies_in(file, folder) {
        let (file, folder) = (file.display(), folder.display());
        return Err(Failure::Input(text!("program.lies_in_out", file, folder)));
    }
    Ok(())
}

impl From<OutputError> for Failure {
    fn from(e: OutputError) -> Self {
        match e {
            OutputError::NotReplaced { .. } => Self::input(e),
            // A name that no folder can have is a slip; a full disk or a folder closed to the user is not.
            OutputError::NotWritten { ref why, .. } if why.kind() == ErrorKind::NotADirectory => {
                Self::input(e)
            }
            OutputError::NotWritten { .. } => Self::fault(e),
        }
    }
}
