//! The log of weighings on the disk: read with a limit, and added to so that no row of anybody else is lost.

use std::fs::{File, OpenOptions};
use std::io::{self, ErrorKind, Read, Seek, SeekFrom, Write};
use std::path::Path;
use std::time::{Duration, Instant};

use partywall_core::scenario::log::LARGEST;

use super::input::{self, InputError};

/// How long another program may hold the log, s (a choice: a row is written in a moment).
const PATIENCE: Duration = Duration::from_secs(10);

/// Why a log could not be read or added to.
#[derive(Debug, thiserror::Error)]
pub enum LogError {
    /// Opening, reading or writing failed.
    #[error("{0}")]
    Io(#[from] io::Error),
    /// More bytes than a log has.
    #[error("it is larger than {} MB: this is no log of weighings", .0 >> 20)]
    TooLarge(u64),
    /// Not text.
    #[error("it is not UTF-8 text: if it is a log, save it anew as CSV, UTF-8")]
    NotText,
    /// Another program holds it.
    #[error("another program has held it for {} seconds", PATIENCE.as_secs())]
    Held,
}

impl From<InputError> for LogError {
    fn from(e: InputError) -> Self {
        match e {
            InputError::Io(e) => Self::Io(e),
            InputError::TooLarge(most) => Self::TooLarge(most),
        }
    }
}

/// The text of the log; `None` where there is no file yet.
///
/// # Errors
/// Anything but a file that is not there yet.
pub fn read(path: &Path) -> Result<Option<String>, LogError> {
    match input::read(path, LARGEST as u64) {
        Ok(bytes) => String::from_utf8(bytes)
            .map(Some)
            .map_err(|_| LogError::NotText),
        Err(InputError::Io(e)) if e.kind() == ErrorKind::NotFound => Ok(None),
        Err(e) => Err(e.into()),
    }
}

/// Adds to the log while nobody else does: `longer` is given the text there is by then and gives the text there shall be, which begins with
/// it. What is there is not written again, so that mode, owner, links and the rows of others stay. On any failure the log is as it was.
///
/// # Errors
/// What `longer` gives; a log that is held, cannot be read or cannot be written.
pub fn add<E: From<LogError>>(
    path: &Path,
    longer: impl FnOnce(&str) -> Result<String, E>,
) -> Result<(), E> {
    let waited = Instant::now();
    loop {
        // The program is not ended while a row is half written.
        let held = super::ending::hold();
        let begun = !path.exists();
        if let Some(mut file) = locked(path)? {
            let added = add_to(&mut file, longer);
            if added.is_err() && begun {
                // A log that holds nothing was not there before.
                let _ = std::fs::remove_file(path);
            }
            return added;
        }
        drop(held);
        if waited.elapsed() > PATIENCE {
            return Err(LogError::Held.into());
        }
        std::thread::sleep(Duration::from_millis(20));
    }
}

fn add_to<E: From<LogError>>(
    file: &mut File,
    longer: impl FnOnce(&str) -> Result<String, E>,
) -> Result<(), E> {
    let mut bytes = Vec::new();
    Read::by_ref(file)
        .take(LARGEST as u64 + 1)
        .read_to_end(&mut bytes)
        .map_err(LogError::from)?;
    if bytes.len() > LARGEST {
        return Err(LogError::TooLarge(LARGEST as u64).into());
    }
    let text = String::from_utf8(bytes).map_err(|_| LogError::NotText)?;
    let wanted = longer(&text)?;
    let more = wanted.strip_prefix(&text).unwrap_or_default();
    put(file, text.len() as u64, more).map_err(LogError::from)?;
    Ok(())
}

/// Whether a row can be added, as far as can be told without doing it.
///
/// # Errors
/// No folder for a log that is to be begun, or no right to write.
pub fn can_be_added_to(path: &Path) -> io::Result<()> {
    if path.exists() {
        on_disk(path)?;
        return OpenOptions::new().append(true).open(path).map(drop);
    }
    // Where it is a link, what it leads to.
    let place = super::output::itself(path);
    let folder = place.parent().unwrap_or(Path::new("."));
    tempfile::NamedTempFile::new_in(folder)
        .map(drop)
        .map_err(|e| super::output::without_path(&e))
}

/// What is read from a pipe or a device is gone, and nothing can be put behind it.
fn on_disk(path: &Path) -> io::Result<()> {
    match std::fs::metadata(path) {
        Ok(there) if !there.is_file() => Err(io::Error::other(
            "it is no file on a disk, so that no weighing can be added to it",
        )),
        _ => Ok(()),
    }
}

/// Opens the log and holds it against other programs that do the same; `None` where one of them holds it, or where an editor put another
/// file in its place meanwhile.
fn locked(path: &Path) -> Result<Option<File>, LogError> {
    on_disk(path)?;
    let file = OpenOptions::new()
        .read(true)
        .write(true)
        .create(true)
        .truncate(false)
        .open(path)?;
    match file.try_lock() {
        Ok(()) if is_at(&file, path) => Ok(Some(file)),
        Err(std::fs::TryLockError::Error(e)) => Err(e.into()),
        _ => Ok(None),
    }
}

/// Whether the open file is still the one of that name.
#[cfg(unix)]
fn is_at(file: &File, path: &Path) -> bool {
    use std::os::unix::fs::MetadataExt;
    let same =
        |a: &std::fs::Metadata, b: &std::fs::Metadata| (a.dev(), a.ino()) == (b.dev(), b.ino());
    matches!((file.metadata(), std::fs::metadata(path)), (Ok(a), Ok(b)) if same(&a, &b))
}

#[cfg(not(unix))]
fn is_at(_: &File, _: &Path) -> bool {
    true
}

/// Writes `more` behind the first `old` bytes and reads it again; cuts it off where that fails.
fn put(file: &mut File, old: u64, more: &str) -> io::Result<()> {
    let mut written = || {
        file.seek(SeekFrom::Start(old))?;
        file.write_all(more.as_bytes())?;
        file.sync_data()?;
        file.seek(SeekFrom::Start(old))?;
        let mut again = String::new();
        file.read_to_string(&mut again)?;
        let other = || io::Error::other("what was written does not read the same again");
        (again == more).then_some(()).ok_or_else(other)
    };
    written().inspect_err(|_| {
        // Nothing more can be done if that fails too.
        let _ = file.set_len(old);
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    fn row(path: &Path, row: &str) -> Result<(), LogError> {
        add(path, |text| Ok(format!("{text}{row}\n")))
    }

    /// Catches rows lost between programs that add at once, and one that keeps the text it read before it waited.
    #[test]
    fn rows_added_at_once_are_all_there() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("log.csv");
        std::thread::scope(|s| {
            for i in 0..16 {
                let path = &path;
                s.spawn(move || row(path, &format!("row {i}")).unwrap());
            }
        });
        let text = read(&path).unwrap().unwrap();
        assert_eq!(text.lines().count(), 16, "{text}");
        assert!(
            (0..16).all(|i| text.contains(&format!("row {i}\n"))),
            "{text}"
        );
    }

    /// Catches a log written anew, which takes its mode and its other names from it.
    #[cfg(unix)]
    #[test]
    fn mode_and_links_stay() {
        use std::os::unix::fs::{MetadataExt, PermissionsExt};
        let dir = tempfile::tempdir().unwrap();
        let [path, hard, soft] = ["log.csv", "hard.csv", "soft.csv"].map(|n| dir.path().join(n));
        std::fs::write(&path, "one\n").unwrap();
        std::fs::set_permissions(&path, std::fs::Permissions::from_mode(0o600)).unwrap();
        std::fs::hard_link(&path, &hard).unwrap();
        std::os::unix::fs::symlink(&path, &soft).unwrap();
        row(&soft, "two").unwrap();
        assert_eq!(std::fs::read_to_string(&hard).unwrap(), "one\ntwo\n");
        assert_eq!(std::fs::metadata(&path).unwrap().mode() & 0o777, 0o600);
        assert!(std::fs::symlink_metadata(&soft).unwrap().is_symlink());
    }

    /// Catches a log that is begun although the row for it is refused, or cut where another row is refused.
    #[test]
    fn what_is_refused_changes_nothing() {
        let dir = tempfile::tempdir().unwrap();
        let path = dir.path().join("log.csv");
        std::fs::write(&path, "one\n").unwrap();
        let new = dir.path().join("new.csv");
        for log in [&path, &new] {
            let refused: Result<(), LogError> = add(log, |_| Err(LogError::NotText));
            assert!(refused.is_err());
        }
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "one\n");
        assert!(!new.exists());
    }
}
