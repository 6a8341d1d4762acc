//! Scenario files.

use std::path::Path;

use super::input::{self, InputError};
use partywall_core::problem::{Problem, Problems, Severity};
use partywall_core::scenario::{self, Folder, LARGEST, Loaded, Source};

/// Reads a scenario file; weather files it names are looked for from its folder.
///
/// # Errors
/// [`Problems`]: all that is wrong, errors and warnings, in file order.
pub fn load(path: &Path) -> Result<Loaded, Problems> {
    read(path)?.family().map(|f| f.base)
}

/// A scenario file or, if there is no such file, the built-in scenario of that name.
///
/// # Errors
/// As [`load`].
pub fn open(word: &str) -> Result<Loaded, Problems> {
    open_source(word)?.family().map(|f| f.base)
}

/// The text of a scenario file or, if there is no such file, of the built-in scenario of that name.
///
/// # Errors
/// [`Problems`] when there is no such text.
pub fn open_source(word: &str) -> Result<Source, Problems> {
    let there = Path::new(word).exists();
    let built_in = scenario::built_in_text(word).is_some() && !there;
    if built_in || !(there || word.contains(['.', '/', '\\'])) {
        scenario::built_in_source(word)
    } else {
        read(Path::new(word))
    }
}

fn read(path: &Path) -> Result<Source, Problems> {
    let name = path.display().to_string();
    let refused = |what: String, help: &str| {
        let clean = |c: char| if c.is_control() { '\u{fffd}' } else { c };
        Problems(vec![Problem {
            severity: Severity::Error,
            code: "file_not_read",
            file: name.chars().map(clean).collect(),
            place: None,
            what,
            expected: None,
            help: Some(help.to_owned()),
        }])
    };
    let bytes = input::read(path, LARGEST as u64).map_err(|e| {
        if let InputError::TooLarge(_) = e {
            return scenario::too_large(&name);
        }
        let help = if path.is_dir() {
            "that is a folder: name the scenario file in it"
        } else {
            "look at the name and the folder; `partywall example` lists the built-in scenarios"
        };
        refused(format!("the file cannot be read: {e}"), help)
    })?;
    if let Some(at) = bytes.iter().position(|b| *b == 0) {
        let line = bytes[..at].iter().filter(|b| **b == b'\n').count() + 1;
        let help =
            "save it as UTF-8: some editors write \"Unicode\" in a form of two bytes a letter";
        return Err(refused(
            format!("the file is no plain text: a byte of nothing in line {line}"),
            help,
        ));
    }
    let text = String::from_utf8(bytes).map_err(|e| {
        let read = e.as_bytes().iter().take(e.utf8_error().valid_up_to());
        let line = read.filter(|b| **b == b'\n').count() + 1;
        let help = "save it as UTF-8, or write C and F without a degree sign";
        refused(format!("the file is not UTF-8 text (line {line})"), help)
    })?;
    let beside = path.parent().filter(|p| !p.as_os_str().is_empty());
    let folder = Folder {
        path: beside.unwrap_or(Path::new(".")).to_owned(),
        holds: |p| p.exists(),
    };
    Ok(Source::new(&text, &name, Some(&folder)))
}
