//! What is left on the disk when the user ends the program at once: nothing half done.

use std::fs;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, MutexGuard, PoisonError};

/// Folders that are no answer yet, or no longer, each with the folders that were made for it, the innermost first.
pub type Drafts = Vec<(PathBuf, Vec<PathBuf>)>;

static DRAFTS: Mutex<Drafts> = Mutex::new(Vec::new());

/// Holds the end off while something is changed on the disk: a row of a log, a file of a draft, the folder of an answer.
pub fn hold() -> MutexGuard<'static, Drafts> {
    DRAFTS.lock().unwrap_or_else(PoisonError::into_inner)
}

/// Takes a draft away, and the folders made for it where they hold nothing else.
pub fn take_away(drafts: &mut Drafts, draft: &Path) {
    while let Some(i) = drafts.iter().position(|(d, _)| d == draft) {
        let (draft, made) = drafts.swap_remove(i);
        clear(&draft, &made);
    }
}

fn clear(draft: &Path, made: &[PathBuf]) {
    // The next answer clears away what this cannot.
    let _ = super::output::take_away(draft);
    for folder in made {
        if fs::remove_dir(folder).is_err() {
            break;
        }
    }
}

/// Ends the program as soon as nothing is being changed, without drafts.
pub fn now(code: i32) -> ! {
    let drafts = hold();
    for (draft, made) in &*drafts {
        clear(draft, made);
    }
    // Still held: nothing is begun any more.
    std::process::exit(code);
}
