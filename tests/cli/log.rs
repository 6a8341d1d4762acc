//! The log of weighings: what is added, what is refused, and where.

use crate::program::{partywall, refused, said};
use std::path::Path;

const RUNS: [&str; 6] = ["--runs", "50", "--grid", "coarse", "--check", "none"];

fn update<'a>(rest: &[&'a str]) -> Vec<&'a str> {
    [&["update", "larch-flats"], rest, &RUNS].concat()
}

/// Catches a log that loses rows, gains a bad one, or is left half written: a good weighing is added at the end, a bad one changes
/// nothing, and the same weighing is not taken twice.
#[test]
fn a_weighing_is_added_to_the_log_or_nothing_changes() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("weighings.csv");
    let log = log.to_str().unwrap();
    let read = || std::fs::read_to_string(Path::new(log)).unwrap();
    let with = |rest: &[&'static str]| -> Vec<String> {
        let all = [rest, &["--log"]].concat();
        let mut all: Vec<String> = update(&all).iter().map(|s| (*s).to_owned()).collect();
        let at = all.iter().position(|a| a == "--log").unwrap();
        all.insert(at + 1, log.to_owned());
        all
    };
    let run = |rest: &[&'static str]| {
        let all = with(rest);
        let all: Vec<&str> = all.iter().map(String::as_str).collect();
        partywall(&all)
    };
    let left = [
        "--hive",
        "left",
        "--date",
        "2027-01-15",
        "--front",
        "25 kg",
        "--back",
        "56 lb",
    ];
    assert!(run(&left).status.success());
    let first = read();
    assert_eq!(
        first,
        "date,hive,front,back,whole,one_side,note\n2027-01-15,Left,25 kg,56 lb,,,\n"
    );
    for bad in [
        &["--hive", "left", "--date", "2027-01-15", "--whole", "50 kg"][..],
        &[
            "--hive",
            "middle",
            "--date",
            "2027-01-16",
            "--whole",
            "50 kg",
        ],
        &["--hive", "left", "--date", "2027-01-16", "--whole", "50"],
        &["--hive", "left", "--date", "2027-07-16", "--whole", "50 kg"],
    ] {
        assert_eq!(run(bad).status.code(), Some(2), "{bad:?}");
        assert_eq!(read(), first, "{bad:?}");
    }
    let right = [
        "--hive",
        "Right",
        "--date",
        "2027-02-20",
        "--one-side",
        "17 kg",
        "--format",
        "json",
    ];
    let out = run(&right);
    assert!(out.status.success());
    assert!(read().starts_with(&first) && read().lines().count() == 3);
    let v: serde_json::Value = serde_json::from_slice(&out.stdout).unwrap();
    assert_eq!(v["schema"], "partywall-update/2");
    assert_eq!(v["hives"].as_array().unwrap().len(), 2);
    let notes: Vec<_> = v["hives"][1]["notes"]
        .as_array()
        .unwrap()
        .iter()
        .map(|n| n["note"].clone())
        .collect();
    assert!(
        notes.contains(&"one_side".into()) && notes.contains(&"wet_or_icy".into()),
        "{notes:?}"
    );
}

/// Catches a bad log that is used in part, or told without its place.
#[test]
fn a_bad_log_is_refused_with_line_and_column() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("w.csv");
    std::fs::write(
        &log,
        "date,hive,whole\n2027-01-15,Left,50 kg\n2027-01-30,Left,50\n2027-01-32,Left,50 kg\n",
    )
    .unwrap();
    let log = log.to_str().unwrap();
    let err = refused(&update(&["--log", log]));
    assert!(err.contains(":3:17") && err.contains(":4:1"), "{err}");
    assert!(refused(&update(&[])).contains("no weighing is given"));
    assert!(refused(&update(&["--log", "no/such.csv"])).contains("no/such.csv"));
    assert!(
        refused(&update(&["--front", "20 kg"])).contains("the day of this weighing is not said")
    );
    let only = refused(&update(&["--hive", "Lft", "--log", log]));
    assert!(only.contains("did you mean \"Left\"?"), "{only}");
    // A weighing without a reading does not hide the rows of the log.
    let both = refused(&update(&[
        "--hive",
        "Left",
        "--date",
        "2027-02-01",
        "--log",
        log,
    ]));
    assert!(
        both.contains("this weighing has no reading")
            && both.contains(":3:17")
            && both.contains(":4:1"),
        "{both}"
    );
    refused(&update(&[
        "--date",
        "2027-01-15",
        "--hive",
        "Left",
        "--front",
        "20 kg",
    ]));
}

/// Catches a weighing outside the season that is told without line and column, or without the argument it came by; one that hides what else is
/// wrong; one the log has no column for, or that stands in it, blamed on a line that is not in the file; and a log that is changed by it.
#[test]
fn weighings_outside_the_season_are_refused_at_their_place() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("w.csv");
    let text = "date,hive,whole\n2027-01-15,Left,52 kg\n2026-09-20,Left,54 kg\n2027-06-01,Lft,52\n";
    std::fs::write(&log, text).unwrap();
    let name = log.to_str().unwrap();
    let weighing = |date| {
        [
            "--hive", "Left", "--date", date, "--front", "20 kg", "--back", "20 kg", "--log", name,
        ]
    };
    let err = refused(&update(&weighing("2027-06-10")));
    for part in [
        "Left was weighed on 2027-06-10, after first dependable nectar, 19 May",
        "in the command line, --date",
        "w.csv has no column for front and back",
        "in the command line, --front",
        "w.csv:3:1",
        "Left was weighed on 2026-09-20, before the start of the season, 1 October",
        "a day from 1 October to the day before 19 May",
        "move start under [season]",
        "w.csv:4:12",
        "w.csv:4:16",
    ] {
        assert!(err.contains(part), "{part}\nnot in\n{err}");
    }
    assert!(!err.contains("w.csv:5"), "{err}");
    let twice = refused(&update(&weighing("2027-01-15")));
    assert!(
        twice.contains("Left was weighed on 2027-01-15 before, in line 2 of ")
            && !twice.contains("w.csv:5"),
        "{twice}"
    );
    assert_eq!(std::fs::read_to_string(&log).unwrap(), text);
    let alone = refused(&update(&[
        "--hive",
        "Left",
        "--date",
        "2027-07-15",
        "--whole",
        "9 kg",
    ]));
    assert!(
        alone.contains("in the command line, --date")
            && alone.contains("after first dependable nectar"),
        "{alone}"
    );
    // The reading of the scenario is of its start and has no day of its own.
    let dated = said(&["example", "larch-flats"]).replacen(
        "[hive.scale] ",
        "[hive.scale]\ndate = \"10 Nov\" ",
        1,
    );
    let path = crate::program::file(dir.path(), "dated.toml", &dated);
    let err = refused(&["check", path.to_str().unwrap()]);
    assert!(
        err.contains("\"date\" is not a setting of [hive.scale] of Left")
            && err.contains("dated.toml:")
            && err.contains("write its day as start under [season]"),
        "{err}"
    );
}

/// Catches a reading below the empty hive's weight that is answered as if stores could be less than nothing, one above that of all combs
/// full, and pounds given as kilograms that are not told as such.
#[test]
fn a_hive_lighter_than_its_wood_is_refused() {
    let err = refused(&update(&[
        "--hive",
        "Right",
        "--date",
        "2027-02-10",
        "--front",
        "7 kg",
        "--back",
        "8 kg",
    ]));
    assert!(err.contains("less than the empty hive weighs"), "{err}");
    let heavy = |front, back| {
        let hive = ["--hive", "Right", "--date", "2027-02-10"];
        let args = [&hive[..], &["--front", front, "--back", back]].concat();
        refused(&update(&args))
    };
    let err = heavy("60 kg", "60 kg");
    assert!(err.contains("all combs full of honey"), "{err}");
    // 96 kg cannot be, 96 lb can.
    let err = heavy("48 kg", "48 kg");
    assert!(err.contains("96 lb is 43.5 kg. Were they pounds?"), "{err}");
}

/// Catches a log alone that is refused, and a hive named beside it that is taken for half a weighing.
#[test]
fn a_log_alone_is_enough() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("w.csv");
    std::fs::write(
        &log,
        "date,hive,whole\n2027-01-15,Left,51 kg\n2027-01-15,Right,38 kg\n",
    )
    .unwrap();
    let log = log.to_str().unwrap();
    let hives = |more: &[&str]| {
        let args = [&update(&["--log", log, "--format", "json"])[..], more].concat();
        let v: serde_json::Value = serde_json::from_str(&said(&args)).unwrap();
        let hives = v["hives"].as_array().unwrap().iter();
        hives.map(|h| h["hive"].clone()).collect::<Vec<_>>()
    };
    assert_eq!(hives(&[]), ["Left", "Right"]);
    assert_eq!(hives(&["--hive", "right"]), ["Right"]);
}

/// Catches a log with a quote out of place that is added to, and rows with another end of lines than those before.
#[test]
fn what_is_added_reads_as_the_log_does() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("w.csv");
    let name = log.to_str().unwrap();
    let weighing = [
        "--log",
        name,
        "--hive",
        "Left",
        "--date",
        "2027-01-20",
        "--whole",
        "51 kg",
    ];
    let stray =
        "date,hive,whole,note\r\n2027-01-05,Left,52 kg,\"dry\r\n2027-01-10,Left,52 kg,wet\"\r\n";
    std::fs::write(&log, stray).unwrap();
    let err = refused(&update(&weighing));
    for part in ["w.csv:2:23", "not closed on its line", "w.csv:3:26"] {
        assert!(err.contains(part), "{part}\nnot in\n{err}");
    }
    assert_eq!(std::fs::read_to_string(&log).unwrap(), stray);
    let mended = stray.replace('"', "");
    std::fs::write(&log, &mended).unwrap();
    said(&update(&weighing));
    assert_eq!(
        std::fs::read_to_string(&log).unwrap(),
        format!("{mended}2027-01-20,Left,51 kg,\r\n")
    );
}

/// Catches a name, a day or a note that begins with a hyphen taken for an option, and a note that a spreadsheet takes for a formula.
#[test]
fn what_begins_with_a_hyphen_is_taken() {
    let err = refused(&update(&[
        "--hive", "-x", "--date", "-5", "--whole", "51 kg",
    ]));
    for part in ["no hive with a colony is called \"-x\"", "\"-5\" is no day"] {
        assert!(err.contains(part), "{part}\nnot in\n{err}");
    }
    assert!(refused(&["compare", "--against", "-x"]).contains("\"-x\""));
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("w.csv");
    let name = log.to_str().unwrap();
    let weighing = ["--hive", "Left", "--whole", "51 kg", "--log", name];
    for (day, note) in [("2027-01-20", "-5 C, wet"), ("2027-01-25", "--log")] {
        let given = [&weighing[..], &["--date", day, "--note", note]].concat();
        said(&update(&given));
    }
    assert_eq!(
        std::fs::read_to_string(&log).unwrap(),
        "date,hive,front,back,whole,one_side,note\n\
         2027-01-20,Left,,,51 kg,,\"'-5 C, wet\"\n2027-01-25,Left,,,51 kg,,'--log\n"
    );
}

/// Catches a slip in the year that is taken without a word, or written into the log.
#[test]
fn a_wrong_year_is_told_and_not_written() {
    let dir = tempfile::tempdir().unwrap();
    let log = dir.path().join("w.csv");
    let text = "date,hive,whole\n2027-01-05,Left,52 kg\n";
    std::fs::write(&log, text).unwrap();
    let name = log.to_str().unwrap();
    for (day, part) in [
        (
            "2026-01-20",
            "a day from 1 October 2026 to the day before 19 May 2027",
        ),
        ("2037-01-20", "a day up to 2027-02-28"),
    ] {
        let given = [
            "--hive", "Left", "--whole", "51 kg", "--date", day, "--log", name,
        ];
        let err = refused(&update(&given));
        for part in [part, "in the command line, --date", "look at the year"] {
            assert!(err.contains(part), "{part}\nnot in\n{err}");
        }
        assert_eq!(std::fs::read_to_string(&log).unwrap(), text);
    }
    let out = partywall(&update(&[
        "--hive",
        "Left",
        "--whole",
        "51 kg",
        "--date",
        "2026-01-20",
    ]));
    let err = String::from_utf8(out.stderr).unwrap();
    assert!(
        out.status.success() && err.contains("another winter has begun since, on 2026-10-01"),
        "{err}"
    );
}
