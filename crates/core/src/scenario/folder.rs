//! Where a scenario finds its weather files.

use std::path::{Path, PathBuf};

/// A folder that weather files are looked for in. The scenario itself touches no files: whoever reads it tells whether one is there.
#[derive(Debug, Clone)]
pub struct Folder {
    /// The folder.
    pub path: PathBuf,
    /// Whether there is a file or folder of this path.
    pub holds: fn(&Path) -> bool,
}
