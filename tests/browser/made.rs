//! The reports, each made once by the program.

use std::path::Path;
use std::process::Command;
use std::sync::OnceLock;

/// Names and titles with signs that markup must not take for its own.
const EVIL: &str = "<script>&\\\"'";

/// The commands that write a report.
pub const PAGES: [&str; 1] = ["run"];

/// A report.
pub struct Report {
    pub html: String,
    /// Pictures that must be in it.
    pub pictures: usize,
}

/// The report of a command, of few winters of the demo pair with evil names.
pub fn page(name: &str) -> &'static Report {
    static MADE: [OnceLock<Report>; PAGES.len()] = [const { OnceLock::new() }; PAGES.len()];
    let i = PAGES
        .iter()
        .position(|p| *p == name)
        .expect("a command with a report");
    MADE[i].get_or_init(|| {
        let folder = tempfile::tempdir().unwrap();
        let text = partywall::scenario::built_in_text("larch-flats")
            .unwrap()
            .replace("title = \"Larch", &format!("title = \"{EVIL} Larch"))
            .replace("name = \"Left\"", &format!("name = \"{EVIL}\""));
        std::fs::write(folder.path().join("evil.toml"), text).unwrap();
        match name {
            "run" => {
                let few = ["--winters", "5", "--check", "none", "--grid", "coarse"];
                // Cutaway, frames, strip, and two of each colony.
                made(folder.path(), &[&["run", "evil.toml"], &few[..]], 7)
            }
            other => panic!("{other}"),
        }
    })
}

fn made(folder: &Path, words: &[&[&str]], pictures: usize) -> Report {
    let done = Command::new(env!("CARGO_BIN_EXE_partywall"))
        .current_dir(folder)
        .args(words.concat())
        .args(["--out", "out"])
        .output()
        .unwrap();
    assert!(
        done.status.success(),
        "{}",
        String::from_utf8_lossy(&done.stderr)
    );
    Report {
        html: std::fs::read_to_string(folder.join("out/report.html")).unwrap(),
        pictures,
    }
}
