//! Hostile input of every kind, as a table: how the program ends, what it says, and what time and memory that takes.

#![allow(clippy::unwrap_used, clippy::panic)]

mod arguments;
mod endless;
mod logs;
mod scenarios;
mod watched;
mod weather;

use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

/// One hostile input.
pub struct Case {
    /// What is tried.
    pub name: String,
    /// The arguments.
    pub args: Vec<String>,
    /// What standard input reads.
    pub stdin: Option<PathBuf>,
    /// Exit code.
    pub code: i32,
    /// What is said on standard error, whatever its lines.
    pub says: String,
    /// Most memory, MB.
    pub megabytes: f64,
    /// Most processor time, s.
    pub processor_s: f64,
}

impl Case {
    /// A case that is refused with these words, within the usual limits.
    pub fn refused<A: AsRef<str>>(name: &str, args: &[A], says: &str) -> Self {
        Self {
            name: name.to_owned(),
            args: args.iter().map(|a| a.as_ref().to_owned()).collect(),
            stdin: None,
            code: 2,
            says: says.to_owned(),
            megabytes: 200.0,
            processor_s: 2.0,
        }
    }

    /// The same with another end.
    pub fn ends(self, code: i32) -> Self {
        Self { code, ..self }
    }

    /// The same with more memory and time.
    pub fn within(self, megabytes: f64, processor_s: f64) -> Self {
        Self {
            megabytes,
            processor_s,
            ..self
        }
    }
}

/// Most characters said of one input: what a screen or two hold.
const MOST_SAID: usize = 16_000;

fn faults(case: &Case) -> Vec<String> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_partywall"));
    command.args(&case.args).stdin(match &case.stdin {
        Some(path) => Stdio::from(std::fs::File::open(path).unwrap()),
        None => Stdio::null(),
    });
    let ended = watched::run(&mut command);
    let said = ended.said.split_whitespace().collect::<Vec<_>>().join(" ");
    let checks = [
        (
            ended.answered == 0 || ["check", "climate"].contains(&&*case.args[0]),
            format!("answers {} bytes", ended.answered),
        ),
        (
            ended.code == Some(case.code),
            format!("ended with {:?}", ended.code),
        ),
        (!said.contains("panicked"), "panicked".to_owned()),
        (
            said.contains(&case.says),
            format!("does not say \"{}\"", case.says),
        ),
        (
            ended.said.len() <= MOST_SAID,
            format!("says {} bytes", ended.said.len()),
        ),
        (
            ended.megabytes <= case.megabytes,
            format!("took {:.0} MB", ended.megabytes),
        ),
        (
            ended.processor_s <= case.processor_s,
            format!("took {:.1} s", ended.processor_s),
        ),
    ];
    let wrong = checks.into_iter().filter(|(good, _)| !good);
    let said: String = said.chars().take(400).collect();
    wrong
        .map(|(_, what)| format!("{}: {what}; {:?} said: {said}", case.name, case.args))
        .collect()
}

/// Runs the cases of a table, and fails with all that went otherwise.
fn hold(cases: &[Case], at_least: usize) {
    assert!(cases.len() >= at_least, "{} cases only", cases.len());
    let next = std::sync::atomic::AtomicUsize::new(0);
    let wrong = std::sync::Mutex::new(Vec::new());
    std::thread::scope(|s| {
        for _ in 0..2 {
            s.spawn(|| {
                while let Some(case) =
                    cases.get(next.fetch_add(1, std::sync::atomic::Ordering::Relaxed))
                {
                    wrong.lock().unwrap().extend(faults(case));
                }
            });
        }
    });
    let wrong = wrong.into_inner().unwrap();
    assert!(
        wrong.is_empty(),
        "{} faults\n{}",
        wrong.len(),
        wrong.join("\n")
    );
}

/// A file in a folder.
pub fn file(folder: &Path, name: &str, bytes: impl AsRef<[u8]>) -> String {
    let path = folder.join(name);
    std::fs::write(&path, bytes).unwrap();
    path.to_str().unwrap().to_owned()
}

/// Catches values, names and structures that no hive has taken for something, said at length or not at all.
#[test]
fn scenarios_that_cannot_be() {
    let dir = tempfile::tempdir().unwrap();
    hold(&scenarios::cases(dir.path()), 60);
}

/// Catches options that are taken for what they cannot mean.
#[test]
fn arguments_that_cannot_be() {
    let dir = tempfile::tempdir().unwrap();
    hold(&arguments::cases(dir.path()), 20);
}

/// Catches a log with a slip that is used, or changed.
#[test]
fn logs_that_cannot_be() {
    let dir = tempfile::tempdir().unwrap();
    hold(&logs::cases(dir.path()), 20);
}

/// Catches weather that is none, packed so as to swell, or too large, and memory taken for it before it is told.
#[test]
fn weather_that_cannot_be() {
    let dir = tempfile::tempdir().unwrap();
    hold(&weather::cases(dir.path()), 15);
}

/// Catches reading without end.
#[cfg(unix)]
#[test]
fn inputs_without_an_end() {
    let dir = tempfile::tempdir().unwrap();
    hold(&endless::cases(dir.path()), 12);
}
