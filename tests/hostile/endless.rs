//! Inputs that never end, and those that never begin.

use super::{Case, file};
use crate::logs::TELL;
use std::path::{Path, PathBuf};
use std::process::Command;

pub fn cases(dir: &Path) -> Vec<Case> {
    let log = |path: &str| -> Vec<String> {
        let args = [&TELL[..], &["--log", path]].concat();
        args.into_iter().map(str::to_owned).collect()
    };
    let args = |words: &[&str]| -> Vec<String> { words.iter().map(|w| (*w).to_owned()).collect() };
    let mut all = Vec::new();
    for device in ["/dev/zero", "/dev/urandom"] {
        for words in [
            args(&["check", device]),
            args(&["run", device]),
            args(&["run", "single", "--climate", device]),
            args(&["climate", device]),
            log(device),
        ] {
            all.push(Case::refused(&words.join(" "), &words, ""));
        }
    }
    for words in [
        args(&["check", "/dev/stdin"]),
        args(&["climate", "/dev/stdin"]),
        log("/dev/stdin"),
    ] {
        let case = Case::refused(&format!("{} of zeros", words.join(" ")), &words, "");
        let stdin = Some(PathBuf::from("/dev/zero"));
        all.push(Case { stdin, ..case });
    }
    let pipe = dir.join("pipe");
    let made = Command::new("mkfifo").arg(&pipe).status();
    if made.is_ok_and(|s| s.success()) {
        let pipe = pipe.to_str().unwrap();
        for words in [
            args(&["check", pipe]),
            args(&["climate", pipe]),
            args(&["run", "single", "--climate", pipe]),
            log(pipe),
        ] {
            all.push(Case::refused(
                &format!("a pipe nobody writes into: {}", words[0]),
                &words,
                "pipe",
            ));
        }
    }
    let hole = dir.join("hole");
    std::fs::File::create(&hole)
        .unwrap()
        .set_len(2_000_000_000)
        .unwrap();
    let hole = hole.to_str().unwrap();
    for words in [args(&["check", hole]), args(&["climate", hole]), log(hole)] {
        all.push(Case::refused(
            &format!("two gigabytes of nothing: {}", words[0]),
            &words,
            "",
        ));
    }
    let named = format!(
        "[site]\nclimate = \"/dev/zero\"\n{}",
        "[season]\nfirst_dandelion = \"12 May\"\n[[hive]]\nboxes = [\"five-frame deep\"]\ncolony = { frames_of_bees = 4, honey = \"10 kg\" }\n"
    );
    let named = file(dir, "named.toml", named);
    all.push(Case::refused(
        "a device for weather",
        &["check", &named],
        "/dev/zero",
    ));
    all
}
