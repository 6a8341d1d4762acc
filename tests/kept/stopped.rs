//! Programs that are told to end, once or twice.

use super::{held, held_names, program, to_the_end};
use std::process::Command;
use std::time::{Duration, Instant};

/// Catches Ctrl-C that leaves a draft, takes the answer before with it, or passes for an answer.
#[test]
fn ctrl_c_leaves_the_answer_before() {
    let dir = tempfile::tempdir().unwrap();
    let out = dir.path().join("out");
    let shown = out.to_str().unwrap();
    to_the_end(&["climate", "northway", "--out", shown]);
    let before = held(&out);
    let mut child = program(&["run", "larch-flats", "--out", shown])
        .spawn()
        .unwrap();
    while held_names(dir.path()).len() < 2 {
        assert!(child.try_wait().unwrap().is_none(), "no draft was seen");
        std::thread::sleep(Duration::from_millis(5));
    }
    let id = child.id().to_string();
    assert!(
        Command::new("kill")
            .args(["-INT", &id])
            .status()
            .unwrap()
            .success()
    );
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert_eq!(held(&out), before);
    assert_eq!(held_names(dir.path()), ["out"]);
}

/// Catches a second Ctrl-C that leaves a draft or the folders made for it, and one at which a log is torn.
#[test]
fn ctrl_c_twice_leaves_nothing_half_done() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("log.csv");
    let before = "date,whole\n2027-01-05,42 kg\n";
    let deep = dir.path().join("deep/er/out");
    let [log_shown, out] = [&log, &deep].map(|p| p.to_str().unwrap());
    let update = [
        "update",
        "single",
        "--climate",
        "northway",
        "--check",
        "none",
        "--log",
        log_shown,
        "--date",
        "2027-01-20",
        "--whole",
        "41 kg",
    ];
    for command in [
        &update[..],
        &["run", "larch-flats"],
        &["climate", "champion"],
    ] {
        let command = [command, &["--out", out]].concat();
        for wait_ms in [0, 2, 30] {
            std::fs::write(&log, before).unwrap();
            let mut child = program(&command).spawn().unwrap();
            while !dir.path().join("deep").exists() {
                assert!(child.try_wait().unwrap().is_none(), "no draft was seen");
                std::thread::sleep(Duration::from_micros(500));
            }
            let id = child.id().to_string();
            for _ in 0..2 {
                std::thread::sleep(Duration::from_millis(wait_ms));
                let _ = Command::new("kill").args(["-INT", &id]).output();
            }
            let ended = child.wait().unwrap().code();
            let text = std::fs::read_to_string(&log).unwrap();
            if ended == Some(0) {
                // It was done before.
                std::fs::remove_dir_all(dir.path().join("deep")).unwrap();
                continue;
            }
            assert_eq!(ended, Some(130), "{command:?}");
            assert_eq!(text, before);
            assert_eq!(held_names(dir.path()), ["log.csv"], "{command:?}");
        }
    }
}

/// Catches a program that waits for a silent pipe and does not end when it is told to once, as a system does that shuts down.
#[test]
fn a_program_that_waits_ends_when_told_to() {
    use std::io::Write;
    let dir = tempfile::tempdir().unwrap();
    let pipe = dir.path().join("pipe");
    assert!(
        Command::new("mkfifo")
            .arg(&pipe)
            .status()
            .unwrap()
            .success()
    );
    let out = dir.path().join("out");
    let [pipe_shown, out] = [&pipe, &out].map(|p| p.to_str().unwrap());
    let mut child = program(&["run", "single", "--climate", pipe_shown, "--out", out])
        .spawn()
        .unwrap();
    let mut silent = std::fs::OpenOptions::new().write(true).open(&pipe).unwrap();
    writeln!(silent, "date,tmin_c,tmax_c").unwrap();
    while held_names(dir.path()).len() < 2 {
        std::thread::sleep(Duration::from_millis(5));
    }
    let began = Instant::now();
    let id = child.id().to_string();
    let told = Command::new("kill").arg(&id).status();
    assert!(told.unwrap().success());
    while child.try_wait().unwrap().is_none() && began.elapsed() < Duration::from_secs(30) {
        std::thread::sleep(Duration::from_millis(50));
    }
    let _ = child.kill();
    assert_eq!(child.wait().unwrap().code(), Some(130));
    assert_eq!(held_names(dir.path()), ["pipe"]);
}
