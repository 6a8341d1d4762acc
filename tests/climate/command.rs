//! `partywall climate`: what it prints, and that it fails when no winter can be used.

use std::path::Path;

use partywall::cli::{ClimateArgs, Format, SyntheticArgs};
use partywall::commands::{Failure, climate::run};
use partywall::problem::Problems;

fn asked(
    files: &[&str],
    made: SyntheticArgs,
    format: Format,
    out: Option<&Path>,
) -> (String, Option<Failure>) {
    let mut text = Vec::new();
    let result = run(
        &ClimateArgs {
            files: files.iter().map(|f| (*f).to_owned()).collect(),
            made,
            winters: None,
            out: out.map(Path::to_owned),
            format,
            units: partywall::cli::Units::Both,
        },
        &mut text,
    );
    (String::from_utf8(text).unwrap(), result.err())
}

fn output(file: &str, format: Format) -> (String, Option<Problems>) {
    let (text, failure) = asked(&[file], SyntheticArgs::default(), format, None);
    let problems = failure.map(|f| match f {
        Failure::Problems(p) => p,
        other => panic!("{other}"),
    });
    (text, problems)
}

/// A text with its lines put together.
fn folded(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The rows of the table of winters.
fn rows(text: &str) -> impl Iterator<Item = &str> {
    let starts = |l: &&str| l.starts_with("  19") || l.starts_with("  20");
    text.lines().filter(starts).filter(|l| !l.contains(": "))
}

/// Catches the answer a keeper came for missing from the first lines, or a winter missing from the table.
#[test]
fn the_hard_and_the_mild_winter_come_first() {
    let (text, problems) = output("champion", Format::Text);
    assert!(problems.is_none());
    let first: Vec<&str> = text.lines().take(6).collect();
    assert_eq!(first[0], "Champion, Nebraska, USA");
    assert!(first[3].contains("36 whole winters"));
    assert!(
        first[4].contains("1992/93") && first[4].contains(" C ("),
        "{}",
        first[4]
    );
    assert!(first[5].contains("1999/00"));
    assert_eq!(rows(&text).count(), 36);
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
    assert!(text.contains("Chicago OHare Intl AP") && text.contains("No whole winter"));
    assert!(folded(&text).contains("72 hours of a year's 8760"));
    assert!(problems.unwrap().0[0].what.contains("no whole winter"));
}

/// Catches anything printed before a file turns out to be unreadable.
#[test]
fn an_unreadable_file_prints_nothing() {
    let (text, problems) = output("no/such/file.csv", Format::Text);
    assert_eq!(text, "");
    assert!(problems.unwrap().0[0].what.contains("no file of this name"));
}

/// Catches an average or late winter untold, a level without its winters, and program words in what a keeper reads.
#[test]
fn average_hard_and_late_winters_are_told() {
    let (text, _) = output("champion", Format::Text);
    let line = |start: &str| {
        let found = text.lines().find(|l| l.starts_with(start));
        found.unwrap_or_else(|| panic!("no {start} in {text}"))
    };
    assert!(line("  Average").contains("1982/83"), "{text}");
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(
        words.contains("Latest Spring after the winter 1983/84: first dependable nectar about 18 May by a rule of thumb"),
        "{text}"
    );
    assert!(words.contains(
        "In 9 of 10 winters like those of 1982/83 to 2017/18 (36), the mean stays above"
    ));
    assert!(line("  1992/93").contains("hardest, late spring"), "{text}");
    assert!(line("  1983/84").contains("latest spring"));
    assert_eq!(text.to_lowercase().matches("hardest").count(), 2);
    for word in [
        "HDD",
        "hdd",
        "percentile",
        "quantile",
        "bootstrap",
        "dataset",
    ] {
        assert!(!text.contains(word), "{word}");
    }
    // Tables stay within a terminal, whatever the notes.
    assert!(rows(&text).map(|l| l.chars().count()).max().unwrap() <= 110);
}

/// Catches files missing, empty or of the wrong winters under `--out`.
#[test]
fn out_writes_table_data_and_picture() {
    let dir = tempfile::TempDir::new().unwrap();
    let (_, failure) = asked(
        &["wageningen"],
        SyntheticArgs::default(),
        Format::Text,
        Some(dir.path()),
    );
    assert!(failure.is_none());
    let read = |name: &str| std::fs::read(dir.path().join(name)).unwrap();
    let table = String::from_utf8(read("winters.csv")).unwrap();
    assert_eq!(table.lines().count(), 23);
    assert!(table.starts_with("winter,days,mean_c,"));
    let json: serde_json::Value = serde_json::from_slice(&read("climate.json")).unwrap();
    assert_eq!(json["winters"].as_array().unwrap().len(), 22);
    let svg = String::from_utf8(read("winters.svg")).unwrap();
    assert!(svg.contains("22 winters, 1976/77 to 1998/99") && svg.contains("How late"));
    assert!(read("winters.png").starts_with(b"\x89PNG"));
}

/// Catches several paths read as the first of them only, and a fault told under the wrong file.
#[test]
fn several_paths_make_one_record() {
    let dir = tempfile::TempDir::new().unwrap();
    let whole = include_str!("../../climate-samples/champion-ne_daily_1982-2018.csv");
    let (head, rows): (Vec<&str>, Vec<&str>) =
        whole.lines().partition(|l| !l.starts_with(['1', '2']));
    let (early, late) = rows.split_at(3000);
    let mut names = Vec::new();
    for (name, rows) in [("late.csv", late), ("early.csv", early)] {
        let path = dir.path().join(name);
        std::fs::write(&path, [&head[..], rows].concat().join("\n")).unwrap();
        names.push(path.to_str().unwrap().to_owned());
    }
    let files: Vec<&str> = names.iter().map(String::as_str).collect();
    let told = |files: &[&str]| {
        let (text, failure) = asked(files, SyntheticArgs::default(), Format::Json, None);
        assert!(failure.is_none());
        serde_json::from_str::<serde_json::Value>(&text).unwrap()
    };
    let (both, built_in) = (told(&files), told(&["champion"]));
    assert_eq!(both["winters"], built_in["winters"]);
    let folder = told(&[dir.path().to_str().unwrap()]);
    assert_eq!(both["winters"], folder["winters"]);
    std::fs::write(
        dir.path().join("bad.csv"),
        "# latitude: 40.4\ndate,tmin_c,tmax_c\n1982-01-01,1,warm\n",
    )
    .unwrap();
    let bad = dir.path().join("bad.csv");
    let (_, failure) = asked(
        &[files[0], bad.to_str().unwrap()],
        SyntheticArgs::default(),
        Format::Text,
        None,
    );
    assert!(failure.unwrap().to_string().contains("bad.csv:3:14"));
    let (_, failure) = asked(
        &[files[0], "no/such.csv"],
        SyntheticArgs::default(),
        Format::Text,
        None,
    );
    assert!(failure.unwrap().to_string().contains("no/such.csv"));
}

/// Catches synthetic winters or a drift promised to records that are too short for them, or told without the word that says so.
#[test]
fn made_up_winters_are_told_as_such() {
    let made = |n, detrend| SyntheticArgs {
        synthetic: Some(n),
        detrend,
    };
    let (text, failure) = asked(&["champion"], made(50, true), Format::Text, None);
    assert!(failure.is_none());
    assert!(
        text.contains("drift taken out")
            && folded(&text).contains("50 winters made up from months of the 36 real ones"),
        "{text}"
    );
    let (text, failure) = asked(&[super::CHICAGO_EPW], made(19, false), Format::Text, None);
    assert!(
        failure.is_none() && text.contains("assumed, not measured"),
        "{text}"
    );
    for (file, made, said) in [
        (
            "chicago",
            made(50, false),
            "at least 15 real ones, but the record has 2",
        ),
        (
            "chicago",
            SyntheticArgs {
                synthetic: None,
                detrend: true,
            },
            "only 2 whole winters",
        ),
        ("champion", made(4, false), "4 winters cannot be made up"),
        (
            "champion",
            made(501, false),
            "501 winters cannot be made up",
        ),
        (
            super::CHICAGO_EPW,
            made(3, false),
            "3 winters cannot be made up",
        ),
        (
            super::CHICAGO_EPW,
            made(19, true),
            "typical year has no drift",
        ),
    ] {
        let (text, failure) = asked(&[file], made, Format::Text, None);
        let failure = failure.unwrap();
        assert!(failure.to_string().contains(said), "{failure}");
        assert_eq!((failure.code(), text.as_str()), (2, ""), "{said}");
    }
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
    assert!(code == Some(2) && err.contains("no weather in it"), "{err}");
}
