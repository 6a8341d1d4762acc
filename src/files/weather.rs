//! Weather files off the disk: the only part of the readers that knows files and folders.
//!
//! A folder is read one level deep, in the order of the file names. Beside a file the one that says where its station is is read
//! too.

use std::fs;
use std::path::{Path, PathBuf};

use partywall_core::climate::builtin::{self, ClimateChoice};
use partywall_core::climate::error::ClimateError;
use partywall_core::climate::file_sources::{FileSources, MAX_FILES, hidden};
use partywall_core::climate::formats;
use partywall_core::climate::limits::io_fault;
use partywall_core::climate::raw::PartialStation;
use partywall_core::climate::record::{Record, built_in, from_file_sources};
use partywall_core::problem::Problems;

/// Ending of the file beside a weather file that says where its station is.
const BESIDE: &str = ".station.txt";

/// Name of the weather format a file is in, if it is a weather file.
#[must_use]
pub fn format_of(path: &Path) -> Option<&'static str> {
    if !path.is_file() {
        return None;
    }
    let gathered = open(&[path.to_owned()]).ok()?;
    let (first, _) = gathered.sources.first()?;
    formats::recognise(first).ok().map(|f| f.name)
}

/// Loads a built-in record, a file (packed or not) or a folder of files of one station.
///
/// # Errors
/// When there is no such record or file, or it cannot be used; every problem has its place where it has one, what was
/// expected and what to try.
pub fn load(choice: &ClimateChoice) -> Result<Record, Problems> {
    load_at(choice, &PartialStation::default())
}

/// As [`load`]; `known` says what is known about the place from elsewhere and is used where the files do not say it.
///
/// # Errors
/// As [`load`].
pub fn load_at(choice: &ClimateChoice, known: &PartialStation) -> Result<Record, Problems> {
    match choice {
        ClimateChoice::BuiltIn(name) => built_in(name, known),
        ClimateChoice::File(path) => from_file_sources(open(std::slice::from_ref(path))?, known),
    }
}

/// Loads several files, packed files and folders of one station as one record. A single name may be a built-in record's.
///
/// # Errors
/// As [`load`]; also when the files do not make one record, or a built-in record's name stands among files.
pub fn load_all(words: &[String]) -> Result<Record, Problems> {
    if let [only] = words {
        return load(&builtin::choose(only));
    }
    let paths: Vec<PathBuf> = words.iter().map(Into::into).collect();
    from_file_sources(open(&paths)?, &PartialStation::default())
}

/// Opens files, packed files and folders that are to make one record, in the order given.
fn open(paths: &[PathBuf]) -> Result<FileSources, Problems> {
    let names: Vec<String> = paths.iter().map(|p| p.display().to_string()).collect();
    let name = match &names[..] {
        [] => String::new(),
        [only] => only.clone(),
        [first, .., last] => format!("{first} to {last}"),
    };
    let mut out = FileSources::new(name, false);
    for (path, shown) in paths.iter().zip(&names) {
        let meta = fs::metadata(path).map_err(|e| io_fault(&e).error(shown, None))?;
        let files = if meta.is_dir() {
            out.many = true;
            folder(path).map_err(|e| e.error(shown, None))?
        } else {
            let mut beside = path.as_os_str().to_owned();
            beside.push(BESIDE);
            let beside = Some(PathBuf::from(beside)).filter(|b| b.is_file());
            std::iter::once(path.clone()).chain(beside).collect()
        };
        for file in &files {
            let shown = file.display().to_string();
            read(&mut out, file, &shown).map_err(|e| e.error(&shown, None))?;
        }
    }
    out.if_any()
}

fn read(out: &mut FileSources, path: &Path, shown: &str) -> Result<(), ClimateError> {
    let size = fs::metadata(path).map_err(|e| io_fault(&e))?.len();
    let file = super::input::open(path).map_err(|e| io_fault(&e))?;
    out.take_any(shown, file, size)
}

/// The files of a folder by name; hidden ones and folders inside it are passed over.
fn folder(path: &Path) -> Result<Vec<PathBuf>, ClimateError> {
    let mut out = Vec::new();
    for entry in fs::read_dir(path).map_err(|e| io_fault(&e))? {
        let entry = entry.map_err(|e| io_fault(&e))?;
        if !entry.path().is_file() || hidden(&entry.file_name().to_string_lossy()) {
            continue;
        }
        if out.len() == MAX_FILES {
            return Err(ClimateError::TooManyFiles { limit: MAX_FILES });
        }
        out.push(entry.path());
    }
    out.sort();
    Ok(out)
}
