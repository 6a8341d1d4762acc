//! The forms in which a contest's answer comes: printed, saved, and what is said beside it.

use super::Failure;
use crate::cli::Print;
use crate::files::output::Output;
use partywall_core::answer::head::Head;
use partywall_report::contest::HeadWords;
use std::io::Write;

/// An answer in its three forms.
pub(super) struct Forms {
    pub text: String,
    pub json: Vec<u8>,
    pub csv: Vec<u8>,
}

impl Forms {
    /// Puts the table and the whole of it into a folder.
    pub fn save(&self, folder: &Output) -> Result<(), Failure> {
        folder.put("result.json", &self.json)?;
        Ok(folder.put("result.csv", &self.csv)?)
    }

    /// Prints one of them.
    pub fn print(&self, format: Print, out: &mut dyn Write) -> Result<(), Failure> {
        match format {
            Print::Text => out.write_all(self.text.as_bytes())?,
            Print::Json => {
                out.write_all(&self.json)?;
                writeln!(out)?;
            }
            Print::Csv => out.write_all(&self.csv)?,
        }
        Ok(())
    }
}

/// Says on standard error too what must be said before the answer: tables and data for programs do not begin with it.
pub(super) fn mind(head: &Head, err: &mut dyn Write) -> Result<(), Failure> {
    if let Some(words) = head.mind() {
        writeln!(err, "{words}")?;
    }
    Ok(())
}
