//! Every answer that rests on the reduced heat network is held against the full one, and says so.

use crate::program::{NUC, file, folded, said};
use serde_json::Value;

fn json(args: &[&str]) -> Value {
    serde_json::from_str(&said(&[args, &["--format", "json"]].concat())).unwrap()
}

fn names(held: &Value) -> Vec<&str> {
    let hives = held["hives"].as_array().unwrap();
    hives.iter().map(|h| h.as_str().unwrap()).collect()
}

/// Catches a yard sheet, a comparison or a ranking that does not check the reduced network, checks another winter or stand than `run` does, one
/// stand in the name of another, a hive that is only fed apart, or less than it says.
#[test]
#[ignore = "long"]
fn all_check_as_run_does() {
    let dir = tempfile::tempdir().unwrap();
    let path = file(dir.path(), "nuc.toml", NUC);
    let name = path.to_str().unwrap();
    let few = ["--winters", "2", "--grid", "coarse"];
    let ask = |command: &str, more: &[&str]| {
        json(&[&[command, name], &few[..], more].concat())["network"].clone()
    };
    let run = ask("run", &[])["check"].clone();
    assert!(run["hours"].as_u64().unwrap() >= 400, "{run}");
    assert!(run["around_k"].as_f64().unwrap() > 0.0, "{run}");
    assert_eq!(ask("yard", &[])["check"], run, "yard");
    let one = ["--colonies", "1"];
    let compare = ask("compare", &one);
    let checks = compare["checks"].as_array().unwrap();
    assert_eq!(compare["stands"], 2, "{compare}");
    assert_eq!(names(&checks[0]), ["as written", "fed", "the same"]);
    assert_eq!(names(&checks[1]), ["warm sides"]);
    assert_eq!(checks[0]["check"], run, "compare");
    assert_ne!(
        checks[1]["check"]["around_k"], run["around_k"],
        "the same stand twice"
    );
    let rank = ask("rank", &one);
    let checks = rank["checks"].as_array().unwrap();
    let stands = rank["stands"].as_u64().unwrap() as usize;
    assert!((3..=stands).contains(&checks.len()), "{rank}");
    assert_eq!(names(&checks[0]), ["as written"]);
    assert_eq!(checks[0]["check"], run, "rank");
    for held in checks {
        let (holds, around) = (&held["holds"], &held["check"]["around_k"]);
        assert_eq!(
            holds.as_bool(),
            Some(around.as_f64().unwrap() <= 0.3),
            "{held}"
        );
    }
    let none = ask("compare", &["--colonies", "1", "--check", "none"]);
    assert!(none["check"].is_null(), "{none}");
}

/// Catches an update that does not check, or does not say so; and a yard sheet that is silent of it.
#[test]
fn sheet_and_update_tell_their_check() {
    let few = ["--climate", "northway", "--grid", "coarse"];
    let weighed = "update single --date 2027-01-20 --whole";
    let weighed: Vec<&str> = weighed
        .split(' ')
        .chain(["66 kg", "--runs", "50"])
        .collect();
    let update = [&weighed[..], &few].concat();
    let network = &json(&update)["network"];
    assert!(
        network["check"]["hours"].as_u64().unwrap() >= 400,
        "{network}"
    );
    for args in [update, [&["yard", "single"], &few[..]].concat()] {
        let line = "Checked against every piece over";
        assert!(folded(&said(&args)).contains(line), "{args:?}");
        let none = said(&[&args[..], &["--check", "none"]].concat());
        assert!(!folded(&none).contains(line), "{args:?}");
    }
}

/// Catches `--network full` that is taken and goes through the reduced network all the same, or through another hive.
#[test]
fn the_full_network_can_be_asked_for() {
    let dir = tempfile::tempdir().unwrap();
    // The hive as it is and fed: two of the three changes are left out.
    let bare = NUC.rsplitn(3, "[[variant]]").nth(2).unwrap();
    let path = file(dir.path(), "nuc.toml", bare);
    let few = "--winters 1 --grid coarse --colonies 1 --check none";
    let few: Vec<&str> = few.split(' ').collect();
    let ask = |network| {
        let first = ["compare", path.to_str().unwrap(), "--network", network];
        json(&[&first[..], &few].concat())
    };
    let (full, reduced) = (ask("full"), ask("reduced"));
    let kinds = [&full, &reduced].map(|r| r["network"]["kind"].clone());
    assert_eq!(kinds, ["full", "reduced"]);
    let need = |r: &Value| {
        let standing = &r["colonies"][0]["rows"][0]["standing"];
        standing["need_middling"].as_f64().unwrap()
    };
    let apart = (need(&full) - need(&reduced)).abs();
    // A hundredth of what is eaten is let pass (`Comparison::BOUND`).
    assert!(apart > 0.0 && apart < 0.01 * need(&full), "{apart} kg");
}
