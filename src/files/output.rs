//! The folder of an answer: written beside its place and swapped in whole, so that a folder holds one answer or the one before it, never
//! some of each, whatever ends the program.

use super::ending::{self, hold};
use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

mod held;
mod swap;
#[cfg(test)]
mod tests;

pub use held::lies_in;
use held::{beside, may_go};
pub(super) use held::{itself, take_away};
use swap::{before, bring_back, exchange};

/// The file in an answer's folder that lists what the program wrote there; it is held while the folder is being written.
const LIST: &str = ".written-by-partywall";
/// What keeps an answer from its folder.
#[derive(Debug, thiserror::Error)]
pub enum OutputError {
    /// It cannot be made or written.
    #[error("{}: nothing can be written there: {why}\ntry another folder for --out", folder.display())]
    NotWritten {
        /// The folder as named.
        folder: PathBuf,
        /// What the system says.
        why: io::Error,
    },
    /// It cannot be replaced whole.
    #[error("{}: {what}, and --out replaces the whole folder\n{help}", folder.display())]
    NotReplaced {
        /// The folder as named.
        folder: PathBuf,
        /// What it is or holds.
        what: String,
        /// What to try.
        help: String,
    },
}

impl OutputError {
    fn not_replaced(folder: &Path, what: impl Into<String>, help: impl Into<String>) -> Self {
        Self::NotReplaced {
            folder: folder.to_owned(),
            what: what.into(),
            help: help.into(),
        }
    }
}

/// An answer's folder that is being written.
#[derive(Debug)]
pub struct Output {
    named: PathBuf,
    place: PathBuf,
    draft: PathBuf,
    /// Held until the folder is in its place.
    list: File,
}

impl Output {
    /// Begins a folder; what an earlier program that was killed left beside it is cleared away.
    ///
    /// # Errors
    /// A place that cannot be written or replaced, or that holds something else than an answer.
    pub fn begin(named: &Path) -> Result<Self, OutputError> {
        let not = |why| OutputError::NotWritten {
            folder: named.to_owned(),
            why,
        };
        // Where it is a link, what it leads to.
        let place = itself(named);
        let Some(name) = place.file_name().map(|n| n.to_string_lossy().into_owned()) else {
            let help = "name a folder in it for --out";
            return Err(OutputError::not_replaced(
                named,
                "this is no folder in another",
                help,
            ));
        };
        let beside = beside(&place);
        bring_back(&place, &before(&beside, &name)).map_err(not)?;
        may_go(named, &place)?;
        let ancestors = beside.ancestors().filter(|a| !a.as_os_str().is_empty());
        let made: Vec<PathBuf> = ancestors
            .take_while(|a| !a.exists())
            .map(Path::to_owned)
            .collect();
        let beginning = format!(".{name}.draft-");
        let mut held = hold();
        let (draft, list) = loop {
            fs::create_dir_all(&beside).map_err(not)?;
            clear(&beside, &beginning);
            let draft = new_folder(&beside, &beginning).map_err(not)?;
            held.push((draft.clone(), made.clone()));
            let begun = OpenOptions::new()
                .create_new(true)
                .write(true)
                .open(draft.join(LIST))
                .and_then(|list| list.lock().map(|()| list));
            match begun {
                Ok(list) => break (draft, list),
                // Another program that begins took it, still empty, for something left behind.
                Err(e) if e.kind() == io::ErrorKind::NotFound => drop(held.pop()),
                Err(why) => {
                    ending::take_away(&mut held, &draft);
                    return Err(not(why));
                }
            }
        };
        Ok(Self {
            named: named.to_owned(),
            place,
            draft,
            list,
        })
    }

    /// Writes a file of the answer; it is in its place when the folder is.
    ///
    /// # Errors
    /// A file that cannot be written.
    pub fn put(&self, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
        let _held = hold();
        fs::write(self.draft.join(name), bytes).map_err(|why| self.not_written(why))
    }

    fn not_written(&self, why: io::Error) -> OutputError {
        OutputError::NotWritten {
            folder: self.named.clone(),
            why,
        }
    }

    /// Puts the folder in its place, and takes the one before it away.
    ///
    /// # Errors
    /// A folder that cannot be written or moved, or something else put into it meanwhile; the one before it is still there then.
    pub fn finish(mut self) -> Result<(), OutputError> {
        self.complete().map_err(|why| self.not_written(why))?;
        let _held = hold();
        may_go(&self.named, &self.place)?;
        self.swap().map_err(|why| self.not_written(why))
    }

    /// The list and the mode; on the disk for good before the folder takes a place.
    fn complete(&mut self) -> io::Result<()> {
        let mut names: Vec<String> = Vec::new();
        for entry in fs::read_dir(&self.draft)? {
            let path = entry?.path();
            File::open(&path)?.sync_all()?;
            names.push(
                path.file_name()
                    .unwrap_or_default()
                    .to_string_lossy()
                    .into_owned(),
            );
        }
        names.sort_unstable();
        self.list
            .write_all(format!("{}\n", names.join("\n")).as_bytes())?;
        self.list.sync_all()
    }

    fn swap(&self) -> io::Result<()> {
        let Ok(there) = fs::metadata(&self.place) else {
            return fs::rename(&self.draft, &self.place);
        };
        fs::set_permissions(&self.draft, there.permissions())?;
        exchange(&self.draft, &self.place)
    }
}

impl Drop for Output {
    /// What is left beside the place, the unfinished folder or the one before, goes.
    fn drop(&mut self) {
        ending::take_away(&mut hold(), &self.draft);
    }
}

/// What the system says, without the name of a file that only the program knows.
pub(super) fn without_path(e: &io::Error) -> io::Error {
    let inner = e.get_ref().and_then(std::error::Error::source);
    inner.map_or_else(
        || e.kind().into(),
        |inner| io::Error::new(e.kind(), inner.to_string()),
    )
}

/// A new folder of a name that begins so, with the mode that folders are made with.
fn new_folder(beside: &Path, beginning: &str) -> io::Result<PathBuf> {
    let mut folder = tempfile::Builder::new();
    folder.prefix(beginning);
    #[cfg(unix)]
    folder.permissions(std::os::unix::fs::PermissionsExt::from_mode(0o777));
    let folder = folder.tempdir_in(beside).map_err(|e| without_path(&e))?;
    Ok(folder.keep())
}

/// Takes away what earlier programs left under names with that beginning, unless one of them is still at work there.
fn clear(beside: &Path, beginning: &str) {
    for entry in fs::read_dir(beside).into_iter().flatten().flatten() {
        if !entry.file_name().to_string_lossy().starts_with(beginning) {
            continue;
        }
        // Another time, if not now.
        let _ = match File::open(entry.path().join(LIST)) {
            Ok(list) if list.try_lock_shared().is_ok() => take_away(&entry.path()),
            Ok(_) => Ok(()),
            // One that was killed before it had a list, or after: only if it holds nothing.
            Err(_) => fs::remove_dir(entry.path()),
        };
    }
}
