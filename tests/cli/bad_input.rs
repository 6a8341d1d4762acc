//! Input that cannot be used: exit code 2, the place, what was expected; never a panic, never an answer.

use crate::program::refused;
use std::path::PathBuf;

/// Runs with a weather file of this content and gives what it says on standard error.
fn refused_climate(name: &str, bytes: &[u8]) -> String {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join(name);
    std::fs::write(&path, bytes).unwrap();
    refused(&["run", "single", "--climate", path.to_str().unwrap()])
}

fn refused_scenario(text: &str) -> String {
    let dir = tempfile::tempdir().unwrap();
    let path = dir.path().join("hive.toml");
    std::fs::write(&path, text).unwrap();
    refused(&["run", path.to_str().unwrap()])
}

fn demo_with(from: &str, to: &str) -> String {
    let text = partywall::scenario::built_in_text("larch-flats").unwrap();
    assert!(text.contains(from), "the demo no longer says {from}");
    text.replacen(from, to, 1)
}

#[test]
fn weather_files_that_are_none() {
    assert!(
        refused(&["run", "single", "--climate", "no/such/file.csv"]).contains("no/such/file.csv")
    );
    let dir = tempfile::tempdir().unwrap();
    refused(&["run", "single", "--climate", dir.path().to_str().unwrap()]);
    refused_climate("empty.csv", b"");
    refused_climate("binary.epw", &[0u8, 159, 146, 150, 0, 1, 2, 3].repeat(100));
    refused_climate("letter.txt", b"Dear bees,\nit was cold this winter.\n");
}

#[test]
fn weather_files_that_are_damaged() {
    let epw = std::fs::read(
        PathBuf::from(env!("CARGO_MANIFEST_DIR"))
            .join("climate-samples/USA_IL_Chicago.OHare.Intl.AP.725300_TMY3.epw"),
    )
    .unwrap();
    refused_climate("cut.epw", &epw[..epw.len() / 3]);
    let back = "# station: X\n# latitude: 45\n# elevation_m: 100\ndate,tmin_c,tmax_c\n2001-10-02,1,5\n2001-10-01,0,4\n";
    assert!(refused_climate("back.csv", back.as_bytes()).contains(":6"));
    let short = "# station: X\n# latitude: 45\n# elevation_m: 100\ndate,tmin_c,tmax_c\n2001-10-01,1,5\n2001-10-02,0,4\n";
    refused_climate("short.csv", short.as_bytes());
    let none = "# station: X\n# latitude: 45\n# elevation_m: 100\ndate,tmin_c,tmax_c\n2001-10-01,,\n2001-10-02,,\n";
    refused_climate("none.csv", none.as_bytes());
}

/// Catches a northern season run through a southern summer, and choices of winters that exclude each other or cannot be filled.
#[test]
fn winters_that_are_none() {
    let south = "# station: X\n# latitude: -42\n# elevation_m: 100\ndate,tmin_c,tmax_c\n2001-10-01,1,5\n2001-10-02,0,4\n";
    let said = refused_climate("south.csv", south.as_bytes());
    assert!(
        said.contains("it is summer where the weather was measured"),
        "{said}"
    );
    let said = refused(&["run", "single", "--winters", "3", "--synthetic", "9"]);
    assert!(said.contains("both given"), "{said}");
    let said = refused(&["run", "single", "--climate", "chicago", "--detrend"]);
    assert!(said.contains("only 2 whole winters"), "{said}");
}

#[test]
fn an_unwritable_folder_is_found_before_the_long_run() {
    let dir = tempfile::tempdir().unwrap();
    let file = dir.path().join("taken");
    std::fs::write(&file, b"").unwrap();
    let said = refused(&["run", "--out", file.join("inside").to_str().unwrap()]);
    assert!(said.contains("taken"), "{said}");
}

#[test]
fn scenarios_that_cannot_be() {
    refused_scenario("");
    refused(&["run", "no-such-hive.toml"]);
    assert!(refused(&["run", "larch-flat"]).contains("larch-flats"));
    let said = refused_scenario(&demo_with("title", "titel"));
    assert!(said.contains("title"), "no nearest key: {said}");
}

/// Catches a scenario file that is not there, or is a folder, told without what to do; and a text without its quotes left to the words of the
/// format's own reader.
#[test]
fn files_and_quotes_that_are_missing_are_told_with_help() {
    assert!(refused(&["run", "mine.toml"]).contains("`partywall example` lists"));
    let folder = tempfile::tempdir().unwrap();
    let said = refused(&["run", folder.path().to_str().unwrap()]);
    assert!(said.contains("name the scenario file in it"), "{said}");
    for written in ["name = Left", "name = \"Left", "name = Left\""] {
        let said = refused_scenario(&demo_with("name = \"Left\"", written));
        let help = "put a text between two quotes: \"Left\"";
        assert!(said.contains(help), "{written}: {said}");
    }
}

/// Catches a fault told because the reader of a pipe has seen enough.
#[test]
fn a_closed_pipe_is_no_fault() {
    use std::process::{Command, Stdio};
    let mut child = Command::new(env!("CARGO_BIN_EXE_partywall"))
        .arg("schema")
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    let out = child.wait_with_output().unwrap();
    let err = String::from_utf8_lossy(&out.stderr);
    assert!(out.status.success() && err.is_empty(), "{err}");
}
