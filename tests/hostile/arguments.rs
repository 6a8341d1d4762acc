//! Options.

use super::{Case, file};
use std::path::Path;

/// Arguments and what is said of them.
const REFUSED: [(&[&str], &str); 30] = [
    (&["run", "--threads", "0"], "--threads"),
    (&["run", "--threads", "1000000"], "--threads"),
    (&["run", "--threads", "-1"], "-1"),
    (&["run", "--threads", "two"], "--threads"),
    (&["run", "--winters", "0"], "--winters"),
    (&["run", "--winters", "-9"], "-9"),
    (&["run", "--winters", "nine"], "--winters"),
    (&["run", "--winters", "99999999999999999999"], "--winters"),
    (&["run", "--winters", "3", "--synthetic", "9"], "both"),
    (&["run", "--synthetic", "1"], "made up"),
    (&["run", "--synthetic", "1000000000"], "made up"),
    (&["run", "--made-up", "20"], "--synthetic"),
    (&["run", "--on", "30 Feb"], "--on"),
    (&["run", "--on", ""], "--on"),
    (&["run", "--grid", "finest"], "--grid"),
    (&["run", "--format", "xml"], "--format"),
    (&["run", "--units", "furlongs"], "--units"),
    (&["run", "--climate", ""], "no file"),
    (&["run", "--climate", "no/such.csv"], "no/such.csv"),
    (
        &["run", "single", "--climate", "chicago", "--detrend"],
        "whole winters",
    ),
    (&["run", "--check", "all"], "--check"),
    (&["run", "--network", "neural"], "--network"),
    (&["run", "single", "twice"], "twice"),
    (&["walk"], "walk"),
    (&["compare", "single"], "holds one hive only"),
    (&["compare", "single", "--against", "x"], "one hive only"),
    (&["compare", "far-honey", "--colonies", "-1"], "-1"),
    (&["update", "single"], "no weighing"),
    (
        &["update", "single", "--date", "tomorrow", "--whole", "38 kg"],
        "tomorrow",
    ),
    (
        &["update", "single", "--date", "2027-01-15", "--whole", "38"],
        "38",
    ),
];

pub fn cases(dir: &Path) -> Vec<Case> {
    let mut all: Vec<Case> = REFUSED
        .iter()
        .map(|(args, says)| Case::refused(&args.join(" "), args, says))
        .collect();
    let taken = file(dir, "taken", "");
    let inside = format!("{taken}/inside");
    for (name, folder) in [
        ("a file for a folder", &taken),
        ("a folder in a file", &inside),
    ] {
        all.push(Case::refused(
            name,
            &["climate", "chicago", "--out", folder],
            "taken",
        ));
    }
    let mine = dir.join("mine");
    std::fs::create_dir(&mine).unwrap();
    file(&mine, "letter.txt", "Dear bees,");
    let mine = mine.to_str().unwrap();
    all.push(Case::refused(
        "a folder with a letter",
        &["climate", "chicago", "--out", mine],
        "letter.txt",
    ));
    let own = dir.join("own");
    std::fs::create_dir(&own).unwrap();
    file(&own, "winters.csv", "my own winters\n");
    let own = own.to_str().unwrap();
    all.push(Case::refused(
        "a table of the user's by the name of one of an answer's",
        &["climate", "chicago", "--out", own],
        "winters.csv",
    ));
    let answered = dir.join("answered");
    std::fs::create_dir(&answered).unwrap();
    file(&answered, ".written-by-partywall", "changes.toml\n");
    let changes = file(
        &answered,
        "changes.toml",
        include_str!("../../scenarios/single.toml"),
    );
    let answered = answered.to_str().unwrap();
    let log = format!("{answered}/log.csv");
    let weighing = ["--date", "2027-01-20", "--whole", "41 kg"];
    for (name, args) in [
        (
            "a log to be begun in the folder for the answer",
            [
                &["update", "single", "--log", &log, "--out", answered],
                &weighing[..],
            ]
            .concat(),
        ),
        (
            "a scenario from the folder for the answer",
            vec!["run", &changes, "--out", answered],
        ),
    ] {
        all.push(Case::refused(name, &args, "lies in"));
    }
    all.push(Case::refused(
        "the folder one is in",
        &["climate", "chicago", "--out", "."],
        "replaces the whole folder",
    ));
    if cfg!(target_os = "linux") {
        let nowhere = ["climate", "chicago", "--out", "/proc/nowhere"];
        all.push(Case::refused("no folder can be made", &nowhere, "/proc/nowhere").ends(1));
    }
    all
}
