//! Weather files.

use super::{Case, file};
use flate2::{Compression, write::GzEncoder};
use std::io::Write;
use std::path::Path;

const HEAD: &str = "# station: X\n# latitude: 45\n# elevation_m: 100\n";

/// Rows of a table of days and what is said of it.
const REFUSED: [(&str, &str); 14] = [
    ("", "no weather"),
    ("date,tmin_c,tmax_c\n", "row"),
    ("date,tmin_c,tmax_c\n2001-10-02,1,5\n2001-10-01,0,4\n", ":6"),
    ("date,tmin_c,tmax_c\n2001-10-01,1,5\n2001-10-01,0,4\n", ":6"),
    (
        "date,tmin_c,tmax_c\n2001-10-01,5,1\n",
        "no usable temperature",
    ),
    ("date,tmin_c,tmax_c\n2001-10-01,nan,1\n", "whole winter"),
    ("date,tmin_c,tmax_c\n2001-10-01,-300,1\n", "-300"),
    ("date,tmin_c,tmax_c\n2001-10-01,1e999,1\n", "1e999"),
    ("date,tmin_c,tmax_c\n2001-02-30,0,1\n", "2001-02-30"),
    ("date,tmin_c,tmax_c\n0000-01-01,0,1\n", ""),
    ("date,tmin_c,tmax_c\n99999-01-01,0,1\n", "99999"),
    ("date,tmin_c,tmax_c\n2001-10-01,0\n", "whole winter"),
    ("date,tmin_c\n2001-10-01,0\n", "tmax"),
    (
        "date,tmin_c,tmax_c\n2001-10-01,1,5\n2001-10-02,0,4\n",
        "whole",
    ),
];

fn gz(bytes: &[u8]) -> Vec<u8> {
    let mut out = GzEncoder::new(Vec::new(), Compression::best());
    out.write_all(bytes).unwrap();
    out.finish().unwrap()
}

pub fn cases(dir: &Path) -> Vec<Case> {
    let mut all = Vec::new();
    for (i, (rows, says)) in REFUSED.iter().enumerate() {
        let path = file(dir, &format!("days-{i}.csv"), format!("{HEAD}{rows}"));
        all.push(Case::refused(
            &format!("{rows:?}"),
            &["climate", &path],
            says,
        ));
    }
    let zeros = gz(&vec![0; 200_000_000]);
    let rows = gz("2001-10-01,1,5\n".repeat(20_000_000).as_bytes());
    let cut = gz(format!(
        "{HEAD}date,tmin_c,tmax_c\n{}",
        "2001-10-01,1,5\n".repeat(2000)
    )
    .as_bytes());
    let cut = cut[..cut.len() / 2].to_vec();
    let nested = gz(&gz(b"date,tmin_c,tmax_c\n"));
    let json = format!("{{\"a\":[{}0]}}", "0,".repeat(15_000_000));
    let deep = format!(
        "{{\"hourly\":{}{}}}",
        "[".repeat(1_000_000),
        "]".repeat(1_000_000)
    );
    let line = format!("{HEAD}date,tmin_c,tmax_c\n{}", "9".repeat(20_000_000));
    let other: [(&str, Vec<u8>, &str); 10] = [
        ("zeros.csv.gz", zeros, "error"),
        ("rows.csv.gz", rows, "error"),
        ("cut.csv.gz", cut, "gzip"),
        ("nested.csv.gz", nested, "error"),
        ("words.txt", b"Dear bees,\nit was cold.\n".to_vec(), "error"),
        ("binary.epw", [0u8, 159, 146, 150].repeat(1000), "error"),
        ("zip.zip", b"PK\x03\x04 and nothing more".to_vec(), "zip"),
        ("numbers.json", json.into_bytes(), "error"),
        ("deep.json", deep.into_bytes(), "error"),
        ("line.csv", line.into_bytes(), "error"),
    ];
    for (name, bytes, says) in other {
        let path = file(dir, name, bytes);
        all.push(Case::refused(name, &["climate", &path], says).within(200.0, 3.0));
    }
    let empty = dir.join("empty");
    std::fs::create_dir(&empty).unwrap();
    all.push(Case::refused(
        "an empty folder",
        &["climate", empty.to_str().unwrap()],
        "no",
    ));
    all.push(Case::refused(
        "no weather",
        &["climate", "no/such.csv"],
        "no/such.csv",
    ));
    all
}
