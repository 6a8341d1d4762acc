//! Logs of weighings.

use super::{Case, file};
use std::path::Path;

/// Logs and what is said of them.
const REFUSED: [(&str, &str); 33] = [
    ("", "empty"),
    ("\n\n\n", "empty"),
    ("date\n", "no weighing"),
    ("date,whole\n2027-01-05,\"42 kg\n", "quote"),
    (
        "date,whole,note\n2027-01-05,42 kg,\"dry\n2027-01-20,41 kg,\n",
        "quote",
    ),
    ("date,whole,note\n2027-01-05,42 kg,\"a\"\"b\n", "quote"),
    (
        "date,whole,note\n2027-01-05,42 kg,\"dry\n2027-01-20,41 kg,wet\"\n",
        "not closed on its line",
    ),
    (
        "date,whole,note\n2027-01-05,42 kg,6\" of snow\n",
        "middle of a field",
    ),
    (
        "date,whole,note\n2027-01-05,42 kg, \"dry\"\n",
        "middle of a field",
    ),
    (
        "date,\"whole,note\n2027-01-05,42 kg,dry\n",
        "not closed on its line",
    ),
    ("date,whole\n0000-01-05,42 kg\n", "year"),
    ("date,whole\n9999-01-05,42 kg\n", "year"),
    ("date,whole\n-0001-01-05,42 kg\n", "day"),
    ("date,whole\n2027-02-30,42 kg\n", "day"),
    ("date,whole\n5 Jan 2027,42 kg\n", "day"),
    ("date,whole\n2027-01-05T10:00,42 kg\n", "day"),
    ("date,whole\n2027-07-05,42 kg\n", "2027-07-05"),
    ("date,whole\n2027-01-05,42\n", "unit"),
    ("date,whole\n2027-01-05,-42 kg\n", "whole"),
    ("date,whole\n2027-01-05,4200 kg\n", "whole"),
    ("date,whole\n2027-01-05,nan kg\n", "whole"),
    ("date,whole\n2027-01-05,1e999 kg\n", "whole"),
    ("date,whole\n2027-01-05\n", "field"),
    ("date,whole\n2027-01-05,42 kg,x\n", "field"),
    ("date,whole,whole\n2027-01-05,42 kg,42 kg\n", "twice"),
    ("date,weight\n2027-01-05,42 kg\n", "weight"),
    ("whole\n42 kg\n", "date"),
    ("date,hive,whole\n2027-01-05,Nobody,42 kg\n", "Nobody"),
    ("date,whole\n2027-01-05,42 kg\n2027-01-05,41 kg\n", "before"),
    ("date,front\n2027-01-05,21 kg\n", "back"),
    (
        "date,front,back,whole\n2027-01-05,21 kg,21 kg,42 kg\n",
        "one way",
    ),
    ("date;whole\n2027-01-05;42 kg\n", "date;whole"),
    ("<html>\n", "<html>"),
];

pub const TELL: [&str; 6] = [
    "update",
    "single",
    "--climate",
    "northway",
    "--check",
    "none",
];

pub fn cases(dir: &Path) -> Vec<Case> {
    let with = |log: &str, more: &[&str]| {
        let args = [&TELL[..], &["--log", log], more];
        args.concat()
            .iter()
            .map(|a| (*a).to_owned())
            .collect::<Vec<_>>()
    };
    let given = ["--date", "2027-01-20", "--whole", "41 kg"];
    let mut all = Vec::new();
    for (i, (log, says)) in REFUSED.iter().enumerate() {
        let path = file(dir, &format!("{i}.csv"), log);
        all.push(Case::refused(&format!("{log:?}"), &with(&path, &[]), says));
    }
    let rows = |n: usize| "2027-01-05,x\n".repeat(n);
    let more = [
        ("binary.csv", [0u8, 159, 146, 150].repeat(200), "UTF-8"),
        (
            "large.csv",
            format!("date,whole\n{}", rows(500_000)).into_bytes(),
            "larger",
        ),
        (
            "slips.csv",
            format!("date,whole\n{}", rows(200_000)).into_bytes(),
            "more",
        ),
        (
            "long.csv",
            format!("date,whole\n2027-01-05,{}\n", "9".repeat(3_000_000)).into_bytes(),
            "999",
        ),
    ];
    for (name, log, says) in more {
        let path = file(dir, name, log);
        all.push(Case::refused(name, &with(&path, &[]), says));
    }
    let missing = dir.join("no/such/log.csv");
    let missing = missing.to_str().unwrap();
    all.push(Case::refused(
        "a log in no folder",
        &with(missing, &given),
        "folder",
    ));
    all.push(Case::refused(
        "a folder",
        &with(dir.to_str().unwrap(), &given),
        "log cannot be used",
    ));
    #[cfg(unix)]
    {
        let link = dir.join("link.csv");
        std::os::unix::fs::symlink("no/such/log.csv", &link).unwrap();
        all.push(Case::refused(
            "a link to a log in no folder",
            &with(link.to_str().unwrap(), &given),
            "folder",
        ));
        all.push(Case::refused(
            "a weighing for a log that is a device",
            &with("/dev/null", &given),
            "no file on a disk",
        ));
    }
    let open = file(
        dir,
        "open.csv",
        "date,hive,front,back,whole,one_side,note\n2027-01-05,,,,42 kg,,\"dry\n",
    );
    all.push(Case::refused(
        "a weighing for an open quote",
        &with(&open, &given),
        "quote",
    ));
    all
}
