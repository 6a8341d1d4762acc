//! What is kept on the disk: a folder of an answer is the one before or the new one, and a log loses no row, whatever ends the program.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::print_stdout
)]

#[cfg(unix)]
mod stopped;

use std::collections::BTreeMap;
use std::fs::DirEntry;
use std::path::Path;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

/// How often each command is killed; `.ci/long` asks for forty by the variable.
fn kills() -> usize {
    std::env::var("PARTYWALL_KILLS").map_or(3, |n| n.parse().unwrap())
}

fn program(args: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_partywall"));
    command
        .args(args)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null());
    command
}

fn to_the_end(args: &[&str]) -> Duration {
    let began = Instant::now();
    assert!(program(args).status().unwrap().success(), "{args:?}");
    began.elapsed()
}

/// Names and bytes of a folder.
fn held(folder: &Path) -> BTreeMap<String, Vec<u8>> {
    let entries = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().path());
    entries
        .map(|p| {
            let name = p.file_name().unwrap().to_string_lossy().into_owned();
            (name, std::fs::read(p).unwrap())
        })
        .collect()
}

/// Shares of a time that lie spread over it in no order.
fn moments() -> impl Iterator<Item = f64> {
    (1..).map(|i| (f64::from(i) * 0.618_034).fract())
}

/// Waits until something new beside those `before`, a draft, holds more than the list it begins with, or until the program has ended.
/// What programs killed earlier have left is not new.
fn first_file(dir: &Path, before: &[String], child: &mut Child) {
    let begun = |e: std::io::Result<DirEntry>| {
        let e = e.unwrap();
        let name = e.file_name().to_string_lossy().into_owned();
        !before.contains(&name) && std::fs::read_dir(e.path()).is_ok_and(|f| f.count() > 1)
    };
    while !std::fs::read_dir(dir).unwrap().any(begun) && child.try_wait().unwrap().is_none() {
        std::thread::sleep(Duration::from_micros(500));
    }
}

/// Kills a command of two forms at many moments, every other one of them between its first file and its end: `A` and `B` write
/// different answers to the folder `{out}`.
fn killed(a: &[&str], b: &[&str]) {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("out");
    let shown = out.to_str().unwrap().to_owned();
    let commands = [a, b].map(|c| [c, &["--out", &shown]].concat());
    let (mut whole, mut lasts, mut writes) = (Vec::new(), Vec::new(), Vec::new());
    for command in &commands {
        let before = held_names(dir.path());
        let began = Instant::now();
        let mut child = program(command).spawn().unwrap();
        first_file(dir.path(), &before, &mut child);
        let first = Instant::now();
        assert!(child.wait().unwrap().success(), "{command:?}");
        lasts.push(began.elapsed());
        writes.push(first.elapsed());
        whole.push(held(&out));
    }
    assert_ne!(whole[0], whole[1]);
    let mut seen = [0, 0];
    for (i, share) in moments().take(kills()).enumerate() {
        let now = usize::from(held(&out) == whole[1]);
        let before = held_names(dir.path());
        let mut child = program(&commands[1 - now]).spawn().unwrap();
        let left = if i % 2 == 0 {
            lasts[1 - now]
        } else {
            first_file(dir.path(), &before, &mut child);
            writes[1 - now]
        };
        std::thread::sleep(left.mul_f64(1.1 * share));
        let _ = child.kill();
        child.wait().unwrap();
        let after = held(&out);
        let which = whole.iter().position(|w| *w == after);
        let names: Vec<&String> = after.keys().collect();
        let which =
            which.unwrap_or_else(|| panic!("some of each, killed after {share}: {names:?}"));
        seen[usize::from(which != now)] += 1;
    }
    println!(
        "{a:?}: killed {} times, {} of them in the {} ms from the first file to the end: the answer before {}, the new one {}",
        kills(),
        kills() / 2,
        writes[0].as_millis(),
        seen[0],
        seen[1]
    );
    to_the_end(&commands[0]);
    let beside = held_names(dir.path());
    assert_eq!(beside, ["out"], "left beside the folder");
}

fn held_names(folder: &Path) -> Vec<String> {
    let mut names: Vec<String> = std::fs::read_dir(folder)
        .unwrap()
        .map(|e| e.unwrap().file_name().to_string_lossy().into_owned())
        .collect();
    names.sort_unstable();
    names
}

/// Catches a folder with files of two answers, one that is gone, and drafts that stay.
#[test]
fn a_killed_command_leaves_one_answer() {
    killed(&["climate", "chicago"], &["climate", "northway"]);
}

/// As [`a_killed_command_leaves_one_answer`], for the commands that take longer.
#[test]
#[ignore = "long"]
fn killed_runs_leave_one_answer() {
    let quick = [
        "--climate",
        "northway",
        "--grid",
        "coarse",
        "--check",
        "none",
    ];
    let one = ["single", "--colonies", "1"];
    let weighed = ["single", "--runs", "50", "--date", "2027-01-15", "--whole"];
    let pairs: [(&[&[&str]], &[&str]); 4] = [
        (&[&["run", "single"]], &["--on", "1 Nov"]),
        (&[&["rank"], &one], &["--on", "1 Nov"]),
        (
            &[&["compare", "far-honey", "--colonies", "1"]],
            &["--against", "as written"],
        ),
        (&[&["update"], &weighed, &["38 kg"]], &["--note", "dry"]),
    ];
    for (words, more) in pairs {
        let first = [&words.concat()[..], &quick].concat();
        let second = [&first[..], more].concat();
        killed(&first, &second);
    }
}

const ADD: [&str; 12] = [
    "update",
    "single",
    "--grid",
    "coarse",
    "--climate",
    "northway",
    "--check",
    "none",
    "--runs",
    "50",
    "--whole",
    "38 kg",
];

/// Catches a log cut short or lost with the program, and one that cannot be added to afterwards.
#[test]
#[ignore = "long"]
fn killed_updates_leave_a_whole_log() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("log.csv");
    let shown = log.to_str().unwrap();
    let mut lasts = Duration::ZERO;
    for i in 0..=kills() {
        let date = format!("2027-01-{:02}", 1 + i % 28);
        let date = if i < 28 {
            date
        } else {
            format!("2027-02-{:02}", i - 27)
        };
        let args = [&ADD[..], &["--log", shown, "--date", &date]].concat();
        if i == 0 {
            lasts = to_the_end(&args);
            continue;
        }
        let before = std::fs::read_to_string(&log).unwrap();
        let mut child = program(&args).spawn().unwrap();
        let share = moments().nth(i).unwrap();
        std::thread::sleep(lasts.mul_f64(1.1 * share));
        let _ = child.kill();
        child.wait().unwrap();
        let after = std::fs::read_to_string(&log).unwrap();
        let more = after
            .strip_prefix(&before)
            .expect("rows before are as they were");
        assert!(
            more.is_empty() || (more.ends_with('\n') && more.lines().count() == 1),
            "{more:?}"
        );
    }
    let log_alone = [&ADD[..10], &["--log", shown]].concat();
    to_the_end(&log_alone);
}

/// Catches a disk that fills up told as a fault, at length or not at all, and an answer before that goes with it.
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told_and_loses_nothing() {
    let dir = tempfile::tempdir().unwrap();
    let mounted = Command::new("mount")
        .args(["-t", "tmpfs", "-o", "size=600k", "partywall-test"])
        .arg(dir.path())
        .stderr(Stdio::null())
        .status();
    if !mounted.is_ok_and(|s| s.success()) {
        println!("no small disk can be mounted here: not tried");
        return;
    }
    let tried = std::panic::catch_unwind(|| full(dir.path()));
    let _ = Command::new("umount").arg(dir.path()).status();
    tried.unwrap();
}

/// A log that fills a page of the disk to its end, so that a row more needs another.
#[cfg(target_os = "linux")]
fn one_page() -> String {
    let mut rows = String::from("date,hive,front,back,whole,one_side,note\n");
    for day in 1..=30 {
        let note = "-".repeat(100);
        rows += &format!("2026-11-{day:02},,,,38 kg,,dry{note}\n");
    }
    let last = "2026-12-01,,,,38 kg,,dry";
    let left = 4096 - rows.len() - last.len() - 1;
    rows + last + &"-".repeat(left) + "\n"
}

#[cfg(target_os = "linux")]
fn full(disk: &Path) {
    let out = disk.join("out");
    let shown = out.to_str().unwrap();
    to_the_end(&["climate", "northway", "--out", shown]);
    let before = held(&out);
    let log = disk.join("log.csv");
    let log_shown = log.to_str().unwrap();
    let rows = one_page();
    std::fs::write(&log, &rows).unwrap();
    let new_log = disk.join("new.csv");
    // Fills what is left.
    let _ = std::fs::write(disk.join("rest"), vec![0u8; 1 << 20]);
    for args in [
        vec!["climate", "chicago", "--out", shown],
        [&ADD[..], &["--log", log_shown, "--date", "2027-01-11"]].concat(),
        [
            &ADD[..],
            &["--log", new_log.to_str().unwrap(), "--date", "2027-01-11"],
        ]
        .concat(),
    ] {
        let ended = Command::new(env!("CARGO_BIN_EXE_partywall"))
            .args(&args)
            .stdin(Stdio::null())
            .output()
            .unwrap();
        let said = String::from_utf8(ended.stderr).unwrap();
        assert_eq!(ended.status.code(), Some(1), "{args:?}: {said}");
        assert_eq!(said.matches("No space").count(), 1, "{said}");
    }
    assert_eq!(held(&out), before);
    assert_eq!(std::fs::read_to_string(&log).unwrap(), rows);
    assert_eq!(held_names(disk), ["log.csv", "out", "rest"]);
}

/// Catches an answer into nothing that passes for one.
#[cfg(target_os = "linux")]
#[test]
fn a_full_device_for_the_answer_is_told() {
    let full = std::fs::OpenOptions::new()
        .write(true)
        .open("/dev/full")
        .unwrap();
    let ended = Command::new(env!("CARGO_BIN_EXE_partywall"))
        .args(["climate", "chicago"])
        .stdout(full)
        .stderr(Stdio::piped())
        .output()
        .unwrap();
    let said = String::from_utf8(ended.stderr).unwrap();
    assert_eq!(ended.status.code(), Some(1), "{said}");
    assert!(
        said.contains("No space") && said.lines().count() == 1,
        "{said}"
    );
}
