//! What keepers come back for: weighings in winter, the sheet for the shed, their own units.

use assert_cmd::Command;
use std::path::Path;

fn partywall(args: &[&str]) -> std::process::Output {
    Command::new(env!("CARGO_BIN_EXE_partywall"))
        .args(args)
        .output()
        .unwrap()
}

fn said(args: &[&str]) -> String {
    let out = partywall(args);
    let err = String::from_utf8_lossy(&out.stderr).into_owned();
    assert_eq!(out.status.code(), Some(0), "{err}");
    String::from_utf8(out.stdout).unwrap()
}

fn refused(args: &[&str]) -> String {
    let out = partywall(args);
    let err = String::from_utf8(out.stderr).unwrap();
    assert_eq!(out.status.code(), Some(2), "{err}");
    assert!(out.stdout.is_empty() && !err.contains("panicked"), "{err}");
    err
}

const RUNS: [&str; 2] = ["--runs", "50"];

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
    assert_eq!(v["schema"], "partywall-update/1");
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
    refused(&update(&["--front", "20 kg"]));
    refused(&update(&[
        "--date",
        "2027-01-15",
        "--hive",
        "Left",
        "--front",
        "20 kg",
    ]));
}

/// Catches a weighing that does not move the answer: a light hive must run out earlier than a heavy one, and be fed.
#[test]
fn a_light_hive_is_fed_and_a_heavy_one_is_not() {
    let at = |kg: &'static str| -> serde_json::Value {
        let args = [
            "--hive",
            "Right",
            "--date",
            "2027-02-20",
            "--whole",
            kg,
            "--format",
            "json",
        ];
        serde_json::from_str(&said(&update(&args))).unwrap()
    };
    let (light, heavy) = (at("28 kg"), at("40 kg"));
    let (l, h) = (&light["hives"][0], &heavy["hives"][0]);
    let stores = |v: &serde_json::Value| v["forecast"]["stores_now"]["middle"].as_f64().unwrap();
    assert!(stores(l) + 4.0 < stores(h));
    assert!(l["feed"]["sugar"].as_f64().unwrap() > 3.0, "{l}");
    assert!(h["feed"].is_null(), "{h}");
    let early = l["forecast"]["out"]["middle"].as_u64();
    assert!(early < h["forecast"]["out"]["middle"].as_u64());
}

/// Catches pounds in a metric answer and kilograms in an American one, outside the fixed cautions.
#[test]
fn units_are_those_asked_for() {
    let run = [
        "run",
        "single",
        "--winters",
        "5",
        "--grid",
        "coarse",
        "--check",
        "none",
        "--units",
    ];
    let yard = [
        "yard",
        "single",
        "--winters",
        "5",
        "--grid",
        "coarse",
        "--units",
    ];
    let climate = ["climate", "chicago", "--units"];
    for command in [&run[..], &yard, &climate] {
        let metric = said(&[command, &["metric"]].concat());
        let us = said(&[command, &["us"]].concat());
        let body = |t: &str| t.split("\nCautions").next().unwrap().to_owned();
        for word in [" lb", " F,", " F)", "gal"] {
            assert!(!body(&metric).contains(word), "{word} in\n{metric}");
        }
        for word in [" kg", " C,", " C)", "litres"] {
            assert!(!body(&us).contains(word), "{word} in\n{us}");
        }
    }
}

/// Catches a form of output that is not what it says.
#[test]
fn csv_is_csv_everywhere() {
    for args in [
        &["check", "single", "--format", "csv"][..],
        &["climate", "chicago", "--format", "csv"],
        &["parameters", "--format", "csv"],
        &[
            "run",
            "single",
            "--winters",
            "2",
            "--grid",
            "coarse",
            "--check",
            "none",
            "--format",
            "csv",
        ],
        &update(&[
            "--hive",
            "Left",
            "--date",
            "2027-02-20",
            "--whole",
            "50 kg",
            "--format",
            "csv",
        ]),
    ] {
        let text = said(args);
        let mut reader = csv::Reader::from_reader(text.as_bytes());
        let width = reader.headers().unwrap().len();
        let rows: Vec<_> = reader.records().collect::<Result<_, _>>().unwrap();
        assert!(width > 4 && !rows.is_empty(), "{text}");
        assert!(rows.iter().all(|r| r.len() == width));
    }
}

/// Catches a schema, a manual page or completions that come out empty or with an error.
#[test]
fn paperwork_is_printed() {
    let schema: serde_json::Value = serde_json::from_str(&said(&["schema"])).unwrap();
    assert!(schema["properties"]["hive"].is_object());
    assert!(said(&["man"]).starts_with(".ie"));
    assert!(said(&["completions", "bash"]).contains("_partywall"));
}

/// Catches a reading below the empty hive's weight that is answered as if stores could be less than nothing.
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
}

/// Catches a choice of winters that `update` does not know, or that it takes and does not tell; made-up winters that are not drawn equally
/// often (60 runs are the next multiple of 20).
#[test]
fn update_takes_made_up_winters() {
    let weighed = ["--hive", "left", "--date", "2027-01-15", "--whole", "54 kg"];
    let chosen = ["--made-up", "20", "--detrend", "--format", "json"];
    let out = said(&update(&[&weighed[..], &chosen].concat()));
    let r: serde_json::Value = serde_json::from_str(&out).unwrap();
    assert_eq!(
        (&r["winters"], &r["runs"], &r["basis"]),
        (&20.into(), &60.into(), &"months".into())
    );
    let notes = r["weather_notes"].to_string();
    assert!(
        notes.contains("drift taken out") && notes.contains("made up"),
        "{notes}"
    );
    let few = refused(&update(&[&weighed[..], &["--made-up", "3"]].concat()));
    assert!(few.contains("cannot be made up"), "{few}");
}
