//! The main job on real weather.

use crate::program::said;

fn json(args: &[&str]) -> serde_json::Value {
    serde_json::from_str(&said(args)).unwrap()
}

/// Catches an answer that depends on the number of threads, an energy book that does not close, a pair that saves more
/// than its shared wall can (a fifth of the surface), or numbers far outside what the spring defaults were set to (18 to 30 kg for a
/// strong colony from October, 60 to 80 in 100 of it for the weaker one, with room for the milder place).
#[test]
#[ignore = "long"]
fn demo_gives_the_same_sane_answer_on_one_two_and_eight_threads() {
    let one = json(&[
        "run",
        "--winters",
        "2",
        "--format",
        "json",
        "--threads",
        "1",
    ]);
    for threads in ["2", "8"] {
        let more = json(&[
            "run",
            "--winters",
            "2",
            "--format",
            "json",
            "--threads",
            threads,
        ]);
        assert_eq!(one, more, "{threads} threads");
    }
    assert_eq!(one["schema"], "partywall-run/4");
    assert!(one["solver"]["energy_residual"].as_f64().unwrap() < 1e-6);
    assert_eq!(one["network"]["kind"], "reduced");
    assert!(one["network"]["check"]["around_k"].as_f64().unwrap() < 0.3);
    let eaten = |colony: usize| {
        one["colonies"][colony]["winters"][0]["eaten"]
            .as_f64()
            .unwrap()
    };
    assert!((15.0..32.0).contains(&eaten(0)), "{}", eaten(0));
    assert!(
        (0.5..0.9).contains(&(eaten(1) / eaten(0))),
        "{}",
        eaten(1) / eaten(0)
    );
    for c in 0..2 {
        let share = one["colonies"][c]["pairing"]["saved_share"]
            .as_f64()
            .unwrap();
        assert!((-0.02..0.20).contains(&share), "{share}");
        assert!(
            one["colonies"][c]["target"].is_null(),
            "two winters give no level"
        );
    }
}

/// Catches synthetic winters that are not run, or not told as such: chained from months with the drift taken out, and spread about a
/// typical year, which then gives the level that one winter cannot.
#[test]
fn winters_can_be_made_up() {
    let epw = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/climate-samples/USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw"
    );
    let told = |more: &[&str]| {
        let usual = [
            "run",
            "single",
            "--check",
            "none",
            "--format",
            "json",
            "--synthetic",
            "5",
        ];
        let v = json(&[&usual[..], more].concat());
        assert_eq!(v["climate"]["winters"].as_array().unwrap().len(), 5);
        assert!(v["colonies"][0]["target"]["need_poor"].as_f64().unwrap() > 5.0);
        v["climate"]["notes"].to_string()
    };
    let notes = told(&["--detrend"]);
    for words in [
        "drift taken out",
        "5 winters made up from months of the",
        "poorest of the winters run was made up",
        "rule of thumb",
    ] {
        assert!(notes.contains(words), "{words}: {notes}");
    }
    assert!(told(&["--climate", epw]).contains("assumed, not measured"));
}

/// Catches files that are missing, empty or not what they say.
#[test]
fn out_writes_whole_files() {
    let dir = tempfile::tempdir().unwrap();
    let folder = dir.path().join("results");
    json(&[
        "run",
        "single",
        "--winters",
        "1",
        "--check",
        "none",
        "--format",
        "json",
        "--out",
        folder.to_str().unwrap(),
    ]);
    let names: Vec<String> = std::fs::read_dir(&folder)
        .unwrap()
        .map(|f| f.unwrap().file_name().into_string().unwrap())
        .collect();
    // And the list of them.
    assert_eq!(names.len(), 21, "{names:?}");
    for ending in [".png", ".svg"] {
        let pictures = names.iter().filter(|n| n.ends_with(ending)).count();
        assert_eq!(pictures, 8, "{ending}: {names:?}");
    }
    let report = std::fs::read_to_string(folder.join("report.html")).unwrap();
    assert!(report.trim_end().ends_with("</html>"));
    // Each in its wide form and in that for phones.
    assert_eq!(report.matches("<svg ").count(), 16);
    let trace = names.iter().find(|n| n.starts_with("trace-")).unwrap();
    let rows = std::fs::read_to_string(folder.join(trace))
        .unwrap()
        .lines()
        .count();
    assert!(rows > 200 * 24, "{rows}");
}

/// Catches a scenario that ships but does not run, and a real EPW or the Alaska record that does not go through.
#[test]
fn every_scenario_and_record_runs() {
    for name in partywall::scenario::built_in_names() {
        json(&[
            "run",
            name,
            "--winters",
            "1",
            "--grid",
            "coarse",
            "--check",
            "none",
            "--format",
            "json",
        ]);
    }
    json(&[
        "run",
        "single",
        "--climate",
        "northway",
        "--check",
        "none",
        "--format",
        "json",
    ]);
    let epw = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/climate-samples/USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw"
    );
    json(&[
        "run",
        "single",
        "--climate",
        epw,
        "--check",
        "none",
        "--format",
        "json",
    ]);
}
