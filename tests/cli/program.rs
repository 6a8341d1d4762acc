//! The program run from outside, and a hive to try it on; shared by the test binaries that do.

#![allow(dead_code)] // each of them uses some of it

use assert_cmd::Command;
use std::path::{Path, PathBuf};
use std::process::Output;

/// A nucleus in one box, small, so that many hives can be built, and three changes of it: two leave its heat as it is, one does not.
pub const NUC: &str = r#"title = "A nucleus"
[site]
climate = "champion"
shelter = "sheltered"
[season]
first_dandelion = "12 May"
[[hive]]
name = "Nuc"
boxes = [{ pattern = "five-frame deep", honey_frames = 3.5 }]
top = "25 mm eps"
colony = { frames_of_bees = 4 }
[[variant]]
name = "fed"
hive.Nuc.feed = [{ date = "1 Oct", kind = "syrup", amount = "10 L" }]
[[variant]]
name = "warm sides"
hive.Nuc.side_foam = "50 mm xps"
[[variant]]
name = "the same"
hive.Nuc.colony.pollen = "1 kg"
"#;

/// Runs the program.
pub fn partywall(args: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_partywall"))
        .args(args)
        .env("PARTYWALL_TODAY", "2027-02-28")
        .output()
        .unwrap()
}

/// What it answers; it must not refuse.
pub fn said(args: &[&str]) -> String {
    let out = partywall(args);
    let err = String::from_utf8_lossy(&out.stderr);
    assert_eq!(out.status.code(), Some(0), "{args:?}\n{err}");
    String::from_utf8(out.stdout).unwrap()
}

/// What it says when it refuses, with exit code 2 and nothing answered.
pub fn refused(args: &[&str]) -> String {
    let out = partywall(args);
    let err = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(2), "{args:?}\n{err}");
    assert!(out.stdout.is_empty() && !err.contains("panicked"), "{err}");
    err
}

/// The words of a text, whatever its lines.
pub fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// A file in a folder.
pub fn file(folder: &Path, name: &str, text: &str) -> PathBuf {
    let path = folder.join(name);
    std::fs::write(&path, text).unwrap();
    path
}
