//! Files are written whole or not at all.

use super::Failure;
use partywall_report::text;
use std::io::Write;
use std::path::{Path, PathBuf};

/// Makes the folder and proves that it can be written, before the long work.
///
/// # Errors
/// A folder that cannot be made or written.
pub fn writable(folder: &Path) -> Result<PathBuf, Failure> {
    std::fs::create_dir_all(folder)
        .and_then(|()| tempfile::NamedTempFile::new_in(folder).map(drop))
        .map_err(|e| {
            Failure::Input(text!(
                "program.nothing_can_written_there",
                folder = folder.display(),
                fault = e
            ))
        })?;
    Ok(folder.to_owned())
}

/// Writes a file whole or not at all.
///
/// # Errors
/// A file that cannot be written.
pub fn put(folder: &Path, name: &str, bytes: &[u8]) -> Result<(), Failure> {
    let mut builder = tempfile::Builder::new();
    // A temporary file is the owner's alone; results are as readable as the user's other files.
    #[cfg(unix)]
    builder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o666));
    let mut file = builder.tempfile_in(folder)?;
    file.write_all(bytes)?;
    file.persist(folder.join(name)).map_err(|e| e.error)?;
    Ok(())
}
