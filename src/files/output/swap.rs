//! The new folder in the place of the one before, in one step where the system can.

use super::LIST;
use super::held::{beside, take_away};
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// Swaps two folders, in one step where the system can.
pub(super) fn exchange(draft: &Path, place: &Path) -> io::Result<()> {
    #[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        use rustix::io::Errno;
        match renameat_with(CWD, draft, CWD, place, RenameFlags::EXCHANGE) {
            Err(Errno::INVAL | Errno::NOSYS | Errno::NOTSUP) => {}
            other => return Ok(other?),
        }
    }
    exchange_in_steps(draft, place)
}

/// Where the answer before stands while the new one takes its place in two steps.
pub(super) fn before(beside: &Path, name: &str) -> PathBuf {
    beside.join(format!(".{name}.before"))
}

pub(super) fn exchange_in_steps(draft: &Path, place: &Path) -> io::Result<()> {
    let name = place.file_name().unwrap_or_default().to_string_lossy();
    let old = before(&beside(place), &name);
    fs::rename(place, &old)?;
    fs::rename(draft, place).inspect_err(|_| {
        // Back to where it was; if that fails too, the next answer finds it.
        let _ = fs::rename(&old, place);
    })?;
    fs::rename(&old, draft)
}

/// Ends what a program that was killed between two steps began: the answer before goes back to its place, or away where a new one is there.
pub(super) fn bring_back(place: &Path, before: &Path) -> io::Result<()> {
    if !before.join(LIST).exists() {
        return Ok(());
    }
    if place.exists() {
        take_away(before)
    } else {
        fs::rename(before, place)
    }
}
