//! `partywall climate`: what it prints, and that it fails when no winter can be used.

use partywall::cli::{ClimateArgs, Format};
use partywall::commands::climate::run;
use partywall::diagnostic::Problems;

fn output(file: &str, format: Format) -> (String, Option<Problems>) {
    let mut out = Vec::new();
    let result = run(
        &ClimateArgs {
            file: file.into(),
            format,
            units: partywall::report::words::Units::Both,
        },
        &mut out,
    );
    let text = String::from_utf8(out).unwrap();
    (
        text,
        result.err().map(|e| e.downcast::<Problems>().unwrap()),
    )
}

/// Catches the answer a keeper came for missing from the first lines, or a winter missing from the table.
#[test]
fn the_hard_and_the_mild_winter_come_first() {
    let (text, problems) = output("champion", Format::Text);
    assert!(problems.is_none());
    let first: Vec<&str> = text.lines().take(4).collect();
    assert_eq!(first[0], "Champion, Nebraska, USA");
    assert!(first[1].contains("36 whole winters"));
    assert!(
        first[2].contains("1992/93") && first[2].contains(" C ("),
        "{}",
        first[2]
    );
    assert!(first[3].contains("1999/00"));
    assert_eq!(
        text.lines()
            .filter(|l| l.starts_with(" 19") || l.starts_with(" 20"))
            .count(),
        36
    );
    assert!(text.contains("2018/19: the record ends on 2018-12-31"));
    assert!(
        text.lines()
            .all(|l| l.chars().count() <= 250 && !l.contains("NaN") && !l.contains("inf "))
    );
}

/// Catches JSON that does not parse or lacks what a program needs.
#[test]
fn json_holds_every_winter() {
    let (text, _) = output("wageningen", Format::Json);
    let v: serde_json::Value = serde_json::from_str(&text).unwrap();
    assert_eq!(v["winters"].as_array().unwrap().len(), 22);
    assert_eq!(v["station"]["latitude_deg"], 51.97);
    assert_eq!(v["hardest"], "1978/79");
    assert!(v["winters"][0]["degree_days_below_10_c"].as_f64().unwrap() > 500.0);
    assert!(
        v["rejected"]
            .as_array()
            .unwrap()
            .iter()
            .any(|r| r["winter"] == "1991/92")
    );
}

/// Catches gaps kept from the reader: Northway's hours that nobody read, Wageningen's autumn of 1991.
#[test]
fn gaps_are_shown() {
    let (text, _) = output("wageningen", Format::Text);
    assert!(
        text.contains("1991-09-01 to 1991-12-31: 122 days"),
        "{text}"
    );
    let (text, _) = output("northway", Format::Json);
    let v: serde_json::Value = serde_json::from_str(&text).unwrap();
    let missing: i64 = v["gaps"]
        .as_array()
        .unwrap()
        .iter()
        .map(|g| g["missing"].as_i64().unwrap())
        .sum();
    // 343 rows without a temperature; the two years have 17,520 hours and as many rows.
    assert_eq!(missing, 343);
    let (text, _) = output("champion", Format::Text);
    assert!(!text.contains("Gaps"));
}

/// Catches success reported for a file that cannot run a hive; what is in it must be shown all the same.
#[test]
fn a_file_without_a_winter_is_shown_and_refused() {
    let path = concat!(
        env!("CARGO_MANIFEST_DIR"),
        "/tests/climate/data/epw_chicago_8-header+72h.epw"
    );
    let (text, problems) = output(path, Format::Text);
    assert!(text.contains("Chicago OHare Intl AP") && text.contains("no whole winter"));
    assert!(text.contains("72 hours of a year's 8760"));
    assert!(problems.unwrap().0[0].what.contains("no whole winter"));
}

/// Catches anything printed before a file turns out to be unreadable.
#[test]
fn an_unreadable_file_prints_nothing() {
    let (text, problems) = output("no/such/file.csv", Format::Text);
    assert_eq!(text, "");
    assert!(problems.unwrap().0[0].what.contains("no file of this name"));
}

/// The real program on a file of the user's: (exit code, standard output, standard error).
fn program(file: &std::path::Path) -> (Option<i32>, String, String) {
    let done = assert_cmd::Command::cargo_bin("partywall")
        .unwrap()
        .arg("climate")
        .arg(file)
        .env("NO_COLOR", "1")
        .output()
        .unwrap();
    let text = |b: Vec<u8>| String::from_utf8(b).unwrap();
    (done.status.code(), text(done.stdout), text(done.stderr))
}

/// Catches a bad file that ends in success, in a panic, or in a message without its place: the excerpt must show the line and
/// mark the cell.
#[test]
fn bad_files_fail_with_their_place() {
    let dir = tempfile::TempDir::new().unwrap();
    let path = dir.path().join("mine.csv");
    let said = |content: &[u8]| {
        std::fs::write(&path, content).unwrap();
        let (code, out, err) = program(&path);
        assert!(
            code == Some(2) && !err.contains("panicked"),
            "{code:?} {err}"
        );
        assert_eq!(out, "");
        err
    };
    let err = said(b"# latitude: 45\ndate,tmin_c,tmax_c\n2014-01-01,1,2\n2014-01-02,1,cold\n");
    assert!(
        err.contains("mine.csv:4:14") && err.contains("2014-01-02,1,cold") && err.contains("^^^^"),
        "{err}"
    );
    let err = said(b"# latitude: 45\ndate,tmin_c,tmax_c\n2014-01-02,1,2\n2014-01-01,1,2\n");
    assert!(
        err.contains("mine.csv:4") && err.contains("2014-01-01 follows 2014-01-02"),
        "{err}"
    );
    let err = said(b"honey,queen\n3,yes\n");
    assert!(
        err.contains("tried: EPW, TMY3, ") && err.contains(", plain CSV; the file begins"),
        "{err}"
    );
    assert!(said(b"").contains("empty"));
    assert!(said(b"\x1f\x8b\x08\0\0").contains("gzip"));
    // A folder is read as one record; the fault of a file in it carries that file's name, and an empty one has none.
    let (code, _, err) = program(dir.path());
    assert!(code == Some(2) && err.contains("mine.csv"), "{err}");
    std::fs::remove_file(&path).unwrap();
    let (code, _, err) = program(dir.path());
    assert!(code == Some(2) && err.contains("no file in it"), "{err}");
}
