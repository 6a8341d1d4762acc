//! The folder of an answer: written beside its place and swapped in whole, so that a folder holds one answer or the one before it, never
//! some of each, whatever ends the program.

use std::fs::{self, File, OpenOptions};
use std::io::{self, Write};
use std::path::{Path, PathBuf};

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
    /// It holds something else, which would go with the answer before.
    #[error("{}: the folder holds what is no answer of this program: {what}\nname a new or an empty folder for --out", folder.display())]
    HoldsOther {
        /// The folder as named.
        folder: PathBuf,
        /// What it holds.
        what: String,
    },
}

/// An answer's folder that is being written.
#[derive(Debug)]
pub struct Output {
    place: PathBuf,
    draft: PathBuf,
    /// Held until the folder is in its place.
    list: File,
}

impl Output {
    /// Begins a folder; what an earlier program that was killed left beside it is cleared away.
    ///
    /// # Errors
    /// A place that cannot be written, or that holds something else than an answer.
    pub fn begin(place: &Path) -> Result<Self, OutputError> {
        let not = |why| OutputError::NotWritten {
            folder: place.to_owned(),
            why,
        };
        // Where it is a link, what it leads to.
        let place_itself = fs::canonicalize(place).unwrap_or_else(|_| place.to_owned());
        if let Some(what) = other(&place_itself).map_err(not)? {
            return Err(OutputError::HoldsOther {
                folder: place.to_owned(),
                what,
            });
        }
        let beside = beside(&place_itself);
        fs::create_dir_all(&beside).map_err(not)?;
        let name = place_itself
            .file_name()
            .unwrap_or_default()
            .to_string_lossy()
            .into_owned();
        clear(&beside, &format!(".{name}.draft-"));
        let draft = tempfile::Builder::new()
            .prefix(&format!(".{name}.draft-"))
            .tempdir_in(&beside)
            .map_err(not)?;
        let list = OpenOptions::new()
            .create_new(true)
            .write(true)
            .open(draft.path().join(LIST))
            .map_err(not)?;
        list.lock().map_err(not)?;
        Ok(Self {
            place: place_itself,
            draft: draft.keep(),
            list,
        })
    }

    /// Writes a file of the answer; it is in its place when the folder is.
    ///
    /// # Errors
    /// A file that cannot be written.
    pub fn put(&self, name: &str, bytes: &[u8]) -> Result<(), OutputError> {
        fs::write(self.draft.join(name), bytes).map_err(|why| self.not_written(why))
    }

    fn not_written(&self, why: io::Error) -> OutputError {
        OutputError::NotWritten {
            folder: self.place.clone(),
            why,
        }
    }

    /// Puts the folder in its place, and takes the one before it away.
    ///
    /// # Errors
    /// A folder that cannot be written or moved; the one before it is still there then.
    pub fn finish(mut self) -> Result<(), OutputError> {
        self.swap().map_err(|why| self.not_written(why))
    }

    fn swap(&mut self) -> io::Result<()> {
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
        self.list.sync_all()?;
        #[cfg(unix)]
        fs::set_permissions(&self.draft, mode(&self.place)?)?;
        if !self.place.exists() {
            return fs::rename(&self.draft, &self.place);
        }
        exchange(&self.draft, &self.place)
    }
}

impl Drop for Output {
    /// What is left beside the place, the unfinished folder or the one before, goes.
    fn drop(&mut self) {
        // The next answer clears away what this cannot.
        let _ = fs::remove_dir_all(&self.draft);
    }
}

/// The mode of the folder there is, or of one that is made now.
#[cfg(unix)]
fn mode(place: &Path) -> io::Result<fs::Permissions> {
    let model = if place.exists() {
        place.to_owned()
    } else {
        beside(place)
    };
    Ok(fs::metadata(model)?.permissions())
}

fn beside(place: &Path) -> PathBuf {
    place
        .parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
        .to_owned()
}

/// Swaps two folders, in one step where the system can.
fn exchange(draft: &Path, place: &Path) -> io::Result<()> {
    #[cfg(any(target_os = "linux", target_os = "android", target_vendor = "apple"))]
    {
        use rustix::fs::{CWD, RenameFlags, renameat_with};
        match renameat_with(CWD, draft, CWD, place, RenameFlags::EXCHANGE) {
            Err(
                rustix::io::Errno::INVAL | rustix::io::Errno::NOSYS | rustix::io::Errno::NOTSUP,
            ) => {}
            other => return Ok(other?),
        }
    }
    let old = draft.with_extension("old");
    fs::rename(place, &old)?;
    fs::rename(draft, place).inspect_err(|_| {
        // Back to where it was; if that fails too, it is still there under the other name.
        let _ = fs::rename(&old, place);
    })?;
    fs::rename(&old, draft)
}

/// Takes away what earlier programs left under names with that beginning, unless one of them is still at work there.
fn clear(beside: &Path, beginning: &str) {
    for entry in fs::read_dir(beside).into_iter().flatten().flatten() {
        if !entry.file_name().to_string_lossy().starts_with(beginning) {
            continue;
        }
        let at_work =
            File::open(entry.path().join(LIST)).is_ok_and(|f| f.try_lock_shared().is_err());
        if !at_work {
            // Another time, if not now.
            let _ = fs::remove_dir_all(entry.path());
        }
    }
}

/// What a folder holds that no answer put there; `None` for one that is not there, empty or an answer's.
fn other(folder: &Path) -> io::Result<Option<String>> {
    let entries = match fs::read_dir(folder) {
        Err(e) if e.kind() == io::ErrorKind::NotFound => return Ok(None),
        entries => entries?,
    };
    let mut names: Vec<String> = Vec::new();
    for entry in entries {
        names.push(entry?.file_name().to_string_lossy().into_owned());
    }
    names.sort_unstable();
    let listed = fs::read_to_string(folder.join(LIST)).ok();
    let of_answer = |name: &String| match &listed {
        Some(list) => name == LIST || list.lines().any(|l| l == name),
        None => before_lists(name),
    };
    Ok(names.into_iter().find(|n| !of_answer(n)))
}

/// Names of files that answers were made of before they had lists.
fn before_lists(name: &str) -> bool {
    let whole = [
        "result.json",
        "result.csv",
        "climate.json",
        "winters.csv",
        "report.html",
    ];
    let pictured = [
        "cutaway", "weakest", "surfaces", "stores", "strip", "frames", "season", "winters", "bars",
        "weighed",
    ];
    let ending = |e: &str| name.ends_with(e);
    whole.contains(&name)
        || name.starts_with("trace-") && ending(".csv")
        || pictured.iter().any(|p| name.starts_with(p)) && (ending(".svg") || ending(".png"))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn answer(place: &Path, files: &[(&str, &str)]) -> Result<(), OutputError> {
        let out = Output::begin(place)?;
        for (name, text) in files {
            out.put(name, text.as_bytes()).unwrap();
        }
        out.finish()
    }

    fn names(folder: &Path) -> Vec<String> {
        let mut all: Vec<String> = fs::read_dir(folder)
            .unwrap()
            .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
            .collect();
        all.sort_unstable();
        all
    }

    /// Catches files of the answer before that stay, drafts left beside, and a folder that is no longer there while it is replaced.
    #[test]
    fn one_answer_takes_the_place_of_the_one_before() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("deep/out");
        answer(&place, &[("result.json", "1"), ("trace-1990-91.csv", "a")]).unwrap();
        answer(&place, &[("result.json", "2")]).unwrap();
        assert_eq!(names(&place), [LIST, "result.json"]);
        assert_eq!(fs::read_to_string(place.join("result.json")).unwrap(), "2");
        assert_eq!(names(&dir.path().join("deep")), ["out"]);
    }

    /// Catches an answer that is given up and leaves something, and the leavings of a killed program that stay, or go while it is at work.
    #[test]
    fn nothing_is_left_of_what_was_not_finished() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("out");
        answer(&place, &[("result.json", "1")]).unwrap();
        let given_up = Output::begin(&place).unwrap();
        given_up.put("result.json", b"2").unwrap();
        let at_work = Output::begin(&place).unwrap();
        assert!(given_up.draft.exists());
        drop((given_up, at_work));
        let killed = dir.path().join(".out.draft-killed");
        fs::create_dir(&killed).unwrap();
        fs::write(killed.join("result.json"), "3").unwrap();
        answer(&place, &[("result.json", "4")]).unwrap();
        assert_eq!(names(dir.path()), ["out"]);
        assert_eq!(fs::read_to_string(place.join("result.json")).unwrap(), "4");
    }

    /// Catches somebody's own files swapped out of a folder with the answer before, and results of 0.1 taken for such.
    #[test]
    fn a_folder_with_other_files_is_refused() {
        let dir = tempfile::tempdir().unwrap();
        let place = dir.path().join("out");
        fs::create_dir(&place).unwrap();
        fs::write(place.join("result.json"), "0.1").unwrap();
        fs::write(place.join("season-1-left-1992-93.svg"), "0.1").unwrap();
        answer(&place, &[("result.json", "1")]).unwrap();
        fs::write(place.join("my-notes.txt"), "mine").unwrap();
        let refused = answer(&place, &[("result.json", "2")]).unwrap_err();
        assert!(refused.to_string().contains("my-notes.txt"), "{refused}");
        assert_eq!(
            fs::read_to_string(place.join("my-notes.txt")).unwrap(),
            "mine"
        );
    }
}
