//! What is at the place of an answer, and whether it may go.

use super::{LIST, OutputError};
use std::collections::HashSet;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};

/// What file managers leave in a folder that was looked at.
const LEFT_BY_LOOKING: [&str; 3] = [".DS_Store", "Thumbs.db", "desktop.ini"];
/// Most names of other files that are told.
const MOST_NAMES: usize = 3;
/// Longest name that is told whole, signs.
const LONGEST_NAME: usize = 60;

/// Where a name leads, whether or not there is something yet.
pub(in crate::files) fn itself(named: &Path) -> PathBuf {
    if let Ok(there) = fs::canonicalize(named) {
        return there;
    }
    let path = match fs::read_link(named) {
        Ok(to) => beside(named).join(to),
        Err(_) => named.to_owned(),
    };
    match (path.parent(), path.file_name()) {
        (Some(_), Some(name)) => {
            let beside = beside(&path);
            fs::canonicalize(&beside).unwrap_or(beside).join(name)
        }
        _ => path,
    }
}

/// Whether a file, there or yet to be, lies in a folder that an answer would replace, or is that folder.
#[must_use]
pub fn lies_in(file: &Path, folder: &Path) -> bool {
    itself(file).starts_with(itself(folder))
}

/// Whether an answer may take the place of what is there.
pub(super) fn may_go(named: &Path, place: &Path) -> Result<(), OutputError> {
    let not = |why| OutputError::NotWritten {
        folder: named.to_owned(),
        why,
    };
    let refused = |what: String, help: &str| OutputError::not_replaced(named, what, help);
    let others = others(place).map_err(not)?;
    if !others.is_empty() {
        let more = others.len().saturating_sub(MOST_NAMES);
        let mut what = others[..others.len() - more].join(", ");
        if more > 0 {
            what += &format!(" and {more} more");
        }
        return Err(refused(
            format!("the folder holds what no answer put there ({what})"),
            "name a new or an empty folder, or move what you want to keep out of this one and empty it",
        ));
    }
    if !place.exists() {
        return Ok(());
    }
    if std::env::current_dir()
        .is_ok_and(|d| fs::canonicalize(d).is_ok_and(|d| d.starts_with(place)))
    {
        return Err(refused(
            "this is the folder you are in".to_owned(),
            "name a folder in it, or go to the folder above first",
        ));
    }
    #[cfg(unix)]
    {
        use std::os::unix::fs::MetadataExt;
        let device = |p: &Path| fs::metadata(p).map(|m| m.dev());
        if device(place).map_err(not)? != device(&beside(place)).map_err(not)? {
            return Err(refused(
                "this is a disk of its own".to_owned(),
                "name a folder in it",
            ));
        }
        rustix::fs::access(place, rustix::fs::Access::WRITE_OK).map_err(|e| not(e.into()))?;
    }
    Ok(())
}

pub(super) fn beside(place: &Path) -> PathBuf {
    place
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
        .to_owned()
}

/// Takes away a folder that this program wrote: one with a whole list only if it holds nothing else.
///
/// # Errors
/// What cannot be removed; nothing is removed from a folder that holds something else.
pub(in crate::files) fn take_away(folder: &Path) -> io::Result<()> {
    let whole = fs::read_to_string(folder.join(LIST)).is_ok_and(|l| !l.is_empty());
    if whole && !others(folder)?.is_empty() {
        return Err(io::ErrorKind::DirectoryNotEmpty.into());
    }
    // The list goes last: what is left of a folder by a program killed meanwhile is known by it.
    let list = folder.join(LIST);
    for entry in fs::read_dir(folder)? {
        let entry = entry?;
        if entry.file_type()?.is_dir() {
            fs::remove_dir_all(entry.path())?;
        } else if entry.path() != list {
            fs::remove_file(entry.path())?;
        }
    }
    match fs::remove_file(&list) {
        Err(e) if e.kind() != io::ErrorKind::NotFound => Err(e),
        _ => fs::remove_dir(folder),
    }
}

/// What a folder holds that no answer put there, by name; nothing of one that is not there.
fn others(folder: &Path) -> io::Result<Vec<String>> {
    let entries = match fs::read_dir(folder) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        entries => entries?,
    };
    let list = fs::read_to_string(folder.join(LIST)).unwrap_or_default();
    let listed: HashSet<&str> = list.lines().chain([LIST]).chain(LEFT_BY_LOOKING).collect();
    let mut names: Vec<String> = Vec::new();
    for entry in entries {
        let entry = entry?;
        let name = entry.file_name().to_string_lossy().into_owned();
        if !(listed.contains(&*name) && entry.file_type()?.is_file()) {
            names.push(shown(&name));
        }
    }
    names.sort_unstable();
    Ok(names)
}

fn shown(name: &str) -> String {
    let clean = |c: char| if c.is_control() { '\u{fffd}' } else { c };
    name.chars().map(clean).take(LONGEST_NAME).collect()
}
