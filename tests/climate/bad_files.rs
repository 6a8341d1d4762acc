//! Files that cannot be used: each must be refused in plain words, at its place, with what to try; none may panic or be
//! taken for weather.

use partywall::files::weather;
use std::fs;
use std::io::Write as _;
use std::path::PathBuf;
use std::time::Instant;

use partywall::climate;
use partywall::climate::ClimateChoice;
use partywall::problem::{Problem, Severity};
use tempfile::TempDir;

use crate::{CHICAGO_EPW, MARCH, OCTOBER};

/// The only problem of a text that must be refused.
fn refused(text: impl Into<Vec<u8>>) -> Problem {
    let problems = climate::from_bytes("w.csv", text.into())
        .expect_err("was accepted")
        .0;
    assert_eq!(problems[0].severity, Severity::Error);
    assert_eq!(problems[0].file, "w.csv");
    problems[0].clone()
}

fn load_path(path: PathBuf) -> Problem {
    weather::load(&ClimateChoice::File(path))
        .expect_err("was accepted")
        .0[0]
        .clone()
}

fn line(p: &Problem) -> (usize, usize) {
    let place = p.place.as_ref().expect("no place");
    (place.line, place.column)
}

fn says(p: &Problem, words: &[&str]) {
    let all = format!(
        "{} | {} | {}",
        p.what,
        p.expected.as_deref().unwrap_or(""),
        p.help.as_deref().unwrap_or("")
    );
    for w in words {
        assert!(all.contains(w), "\"{w}\" not said in: {all}");
    }
    assert!(p.help.is_some(), "no advice: {all}");
}

const HEAD: &str = "# latitude: 45\n# longitude: -75\n# elevation_m: 100\n# utc_offset_h: -5\n";

/// Catches a missing file, an empty folder or an unknown name reported as anything else, or with the built-in names left out.
#[test]
fn files_that_are_not_there() {
    let dir = TempDir::new().unwrap();
    let p = load_path(dir.path().join("champoin"));
    says(&p, &["no file of this name", "champion", "baskatong"]);
    says(
        &load_path(dir.path().to_owned()),
        &["no weather in it", "weather files"],
    );
    let p = weather::load(&ClimateChoice::BuiltIn("montreal".into()))
        .unwrap_err()
        .0[0]
        .clone();
    says(&p, &["montreal", "wageningen"]);
}

/// Catches empty, binary and packed files reaching a parser.
#[test]
fn files_that_are_no_text() {
    says(&refused(""), &["empty"]);
    says(&refused("\n \n"), &["empty"]);
    says(&refused(&b"\x1f\x8b\x08\x00\x00"[..]), &["gzip"]);
    says(&refused(&b"PK\x03\x04\x14\x00"[..]), &["zip", "CSV"]);
    let noise: Vec<u8> = (0..5000_u32)
        .map(|i| (i.wrapping_mul(2_654_435_761) >> 13) as u8)
        .collect();
    says(&refused(noise), &["binary"]);
}

/// Catches a table of another kind taken for weather, and a message that does not tell what was tried.
#[test]
fn another_format() {
    let p = refused("frame,bees,honey\n1,0.5,2\n2,1,2\n");
    says(
        &p,
        &[
            "EPW",
            "plain CSV",
            "frame,bees,honey",
            "time,temp_c",
            "LOCATION",
        ],
    );
    let html = "<!DOCTYPE html>\n<html><body>404</body></html>\n";
    says(&refused(html), &["<!DOCTYPE html>"]);
    says(
        &refused("STATION      DATE TMAX\nUSW1 20150101   12\n"),
        &["none of the weather formats"],
    );
}

/// Catches an EPW cut inside its header, inside a row, or after a whole row passing as a whole year.
#[test]
fn a_truncated_epw() {
    let whole =
        fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(CHICAGO_EPW))
            .unwrap();
    let lines: Vec<&str> = whole.lines().collect();
    let header = lines[..5].join("\n");
    says(&refused(header), &["5 of the 8 header lines"]);
    says(&refused(lines[..8].join("\n")), &["no data rows"]);
    let mut cut = lines[..4000].join("\n");
    cut.truncate(cut.len() - 300);
    let p = refused(cut);
    says(&p, &["fields where 35 are needed", "cut short"]);
    let place = p.place.clone().unwrap();
    assert!(place.line >= 3999 && !place.text.is_empty(), "{place:?}");
    // Cut behind the fields that are needed: the last of them may have lost a digit.
    let mut cut = lines[..4000].join("\n");
    cut.truncate(cut.len() - 30);
    says(&refused(cut), &["where 35 are needed"]);
    // Cut cleanly between two rows: readable, but no winter is whole, and the file is said to be short.
    let record = climate::from_bytes("w.epw", lines[..4000].join("\n").into_bytes()).unwrap();
    assert!(
        record
            .warnings
            .iter()
            .any(|w| w.what.contains("3992 hours of a year's 8760"))
    );
    let p = record.winters(OCTOBER, MARCH).unwrap_err().0[0].clone();
    says(
        &p,
        &["no whole winter from 10-01 to 03-31", "01-01 to 06-16"],
    );
}

/// Catches swapped days and months, summer time and wrongly joined files: the line where time turns back must be named.
#[test]
fn times_that_go_backwards() {
    let swapped =
        format!("{HEAD}date,tmin_c,tmax_c\n2014-01-31,1,2\n2014-02-01,1,2\n2014-01-02,1,2\n");
    let p = refused(swapped);
    assert_eq!(line(&p).0, 8);
    says(&p, &["2014-01-02 follows 2014-02-01", "line 7", "swapped"]);
    let twice =
        format!("{HEAD}time,temp_c\n2014-10-26T01:00,1\n2014-10-26T02:00,1\n2014-10-26T02:00,1\n");
    let p = refused(twice);
    assert_eq!(line(&p).0, 8);
    says(&p, &["summer time"]);
}

/// Catches the commonest damage by spreadsheets told as mere disorder: 2 January written as 1 February.
#[test]
fn exchanged_day_and_month_are_named() {
    let mut rows = String::new();
    for day in 1..=31 {
        let (month, day) = if day <= 12 { (day, 1) } else { (1, day) };
        rows += &format!("2014-{month:02}-{day:02},1,2\n");
    }
    let p = refused(format!("{HEAD}date,tmin_c,tmax_c\n{rows}"));
    assert_eq!(line(&p).0, 7);
    says(
        &p,
        &[
            "exchanged in 11 rows",
            "2014-02-01",
            "2014-01-02",
            "spreadsheet",
        ],
    );
}

/// Catches an EPW whose months are in the wrong order being wrapped into another year.
#[test]
fn an_epw_with_months_out_of_order() {
    let whole =
        fs::read_to_string(std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join(CHICAGO_EPW))
            .unwrap();
    let mut lines: Vec<&str> = whole.lines().collect();
    lines[8..].rotate_left(31 * 24 + 28 * 24);
    // March to February is a legal order, a year that starts in March.
    assert!(climate::from_bytes("w.epw", lines.join("\n").into_bytes()).is_ok());
    lines[8..8 + 61 * 24].rotate_left(31 * 24);
    let p = climate::from_bytes("w.epw", lines.join("\n").into_bytes())
        .unwrap_err()
        .0[0]
        .clone();
    says(&p, &["time does not move forward"]);
}

/// Catches a record without any temperature, or with a column in another unit, giving a plausible winter.
#[test]
fn temperatures_that_are_none() {
    let empty = format!("{HEAD}date,tmin_c,tmax_c\n2014-01-01,,\n2014-01-02,,\n");
    says(&refused(empty), &["no usable temperature", "2 rows"]);
    let codes =
        format!("{HEAD}date,tmin_c,tmax_c\n2014-01-01,-9999,-9999\n2014-01-02,-9999,-9999\n");
    says(&refused(codes), &["-70 to 60", "-9999"]);
    let words = format!("{HEAD}date,tmin_c,tmax_c\n2014-01-01,-5,cold\n");
    let p = refused(words);
    assert_eq!(line(&p), (6, 15));
    says(&p, &["\"cold\" in column tmax_c is not a number"]);
    let infinite = format!("{HEAD}date,tmin_c,tmax_c\n2014-01-01,-5,inf\n");
    says(&refused(infinite), &["\"inf\""]);
}

/// A year of daily values around a seasonal wave, degC, written through `write`.
fn year(write: impl Fn(f64) -> f64) -> String {
    let mut text = format!("{HEAD}date,tmin_c,tmax_c\n");
    let mut date = jiff::civil::date(2014, 1, 1);
    for i in 0..365 {
        let mean = 8.0 - 18.0 * (std::f64::consts::TAU * f64::from(i - 15) / 365.0).cos()
            + f64::from(i % 5);
        text += &format!("{date},{:.1},{:.1}\n", write(mean - 5.0), write(mean + 5.0));
        date = date.tomorrow().unwrap();
    }
    text
}

/// Catches Fahrenheit read as Celsius; the same year in Celsius must pass without a word.
#[test]
fn fahrenheit_in_a_celsius_column() {
    let fine = climate::from_bytes("w.csv", year(|t| t).into_bytes()).unwrap();
    assert!(fine.warnings.is_empty(), "{:?}", fine.warnings);
    says(&refused(year(|t| t * 1.8 + 32.0)), &["Fahrenheit"]);
    says(&refused(year(|t| t * 10.0)), &["tenths"]);
    // Only the cold months: no hot day gives it away, the latitude does.
    let cold: String = year(|t| t * 1.8 + 32.0)
        .lines()
        .filter(|l| !(3..=11).any(|m| l.starts_with(&format!("2014-{m:02}"))))
        .map(|l| format!("{l}\n"))
        .collect();
    let record = climate::from_bytes("w.csv", cold.into_bytes()).unwrap();
    assert!(
        record
            .warnings
            .iter()
            .any(|w| w.what.contains("Fahrenheit")),
        "{:?}",
        record.warnings
    );
}

/// Catches ambiguous dates, zones, missing columns and stations without a latitude being guessed.
#[test]
fn headers_and_dates_that_leave_a_doubt() {
    let p = refused(format!("{HEAD}date,tmin_c,tmax_c\n03/04/2014,1,2\n"));
    assert_eq!(line(&p), (6, 1));
    says(&p, &["03/04/2014", "YYYY-MM-DD", "March or April"]);
    let p = refused(format!("{HEAD}time,temp_c\n2014-01-01T00:00Z,1\n"));
    says(&p, &["local standard time"]);
    says(
        &refused("date,tmin_c,tmax_c\n2014-01-01,1,2\n"),
        &["latitude", "# latitude: 45.3"],
    );
    says(
        &refused("# latitude: 455\ndate,tmin_c,tmax_c\n2014-01-01,1,2\n"),
        &["\"455\"", "-90 to 90"],
    );
    says(
        &refused(format!("{HEAD}date,tmin_c\n2014-01-01,1\n")),
        &["the day's maximum", "tmin_c"],
    );
    says(
        &refused(format!("{HEAD}date,wind_ms\n2014-01-01,1\n")),
        &["daily temperatures", "tmean_c"],
    );
    says(
        &refused(format!(
            "{HEAD}date,tmin_c,tmin_f,tmax_c\n2014-01-01,1,2,3\n"
        )),
        &["tmin_c", "tmin_f"],
    );
    says(
        &refused(format!("{HEAD}date,tmin_c,tmax_c\n")),
        &["no data rows"],
    );
}

/// Catches a stray quotation mark that swallows the rest of the file and leaves a shorter record behind.
#[test]
fn an_open_quotation_mark() {
    let p = refused(format!(
        "{HEAD}date,tmin_c,tmax_c,remark\n2014-01-01,1,2,\"mild\n2014-01-02,1,2,\n2014-01-03,1,2,\n"
    ));
    assert_eq!(line(&p).0, 6);
    says(&p, &["quotation mark"]);
}

/// Catches a winter that is not whole being used: the message must tell the span there is and why each was rejected.
#[test]
fn no_whole_winter() {
    let record = climate::from_bytes("w.csv", year(|t| t).into_bytes()).unwrap();
    let p = record.winters(OCTOBER, MARCH).unwrap_err().0[0].clone();
    says(
        &p,
        &[
            "2014-01-01 to 2014-12-31",
            "2013/14: the record begins on",
            "2014/15: the record ends on",
        ],
    );
}

/// Catches memory or time spent on a file that is no table: an endless line, a million columns, a gigabyte.
#[test]
fn huge_nonsense_is_refused_at_once() {
    let dir = TempDir::new().unwrap();
    let clock = Instant::now();
    let path = dir.path().join("one-line.csv");
    let mut f = fs::File::create(&path).unwrap();
    f.write_all(b"date,tmin_c,tmax_c").unwrap();
    f.write_all(&vec![b'1'; 50_000_000]).unwrap();
    says(&load_path(path), &["line 1 is longer than 65536 bytes"]);
    let path = dir.path().join("sparse.csv");
    fs::File::create(&path)
        .unwrap()
        .set_len(1_000_000_000)
        .unwrap();
    says(&load_path(path), &["larger than 536 MB"]);
    says(
        &refused(format!("date{}\n", ",tmin_c".repeat(1_000_000))),
        &["longer than 65536 bytes"],
    );
    says(
        &refused(format!("date{}\n", ",tx".repeat(20_000))),
        &["20001 columns"],
    );
    assert!(clock.elapsed().as_secs() < 5, "{:?}", clock.elapsed());
}
