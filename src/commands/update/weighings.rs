//! The weighings: from the log and the command line, and the log as it is kept.

use super::super::{Failure, files};
use crate::cli::UpdateArgs;
use partywall_core::answer::update::problems;
use partywall_core::problem::{Problem, Problems, Severity};
use partywall_core::scenario::log::{self, Row, Weighing};
use partywall_core::stand::Scenario;
use partywall_report::text;
use partywall_report::texts::said;
use std::path::{Path, PathBuf};

/// The weighings, and the log as it is to be after this.
pub(super) struct Weighings {
    pub(super) all: Vec<Weighing>,
    pub(super) to_write: Option<(PathBuf, String)>,
    /// The only hive to tell of.
    pub(super) only: Option<String>,
}

/// Reads the log and the weighing on the command line. What is wrong with either, with the days of the weighings and with what they weigh
/// is told at once.
pub(super) fn weighings(
    args: &UpdateArgs,
    names: &[&str],
    s: &Scenario,
) -> Result<Weighings, Failure> {
    let field = |v: &Option<String>| v.clone().unwrap_or_default();
    let readings = [
        &args.date,
        &args.front,
        &args.back,
        &args.whole,
        &args.one_side,
        &args.note,
    ];
    let row: Option<Row> = readings.iter().any(|r| r.is_some()).then(|| {
        [
            field(&args.date),
            field(&args.hive),
            field(&args.front),
            field(&args.back),
            field(&args.whole),
            field(&args.one_side),
            field(&args.note),
        ]
    });
    let mut wrong: Vec<Problem> = Vec::new();
    let mut or_problems =
        |read: Result<Weighing, Problems>| read.map_err(|problems| wrong.extend(problems.0)).ok();
    let given = row
        .as_ref()
        .and_then(|r| or_problems(log::one(r, said("program.command_line"), names)));
    let only = match (&row, &args.hive) {
        (None, Some(name)) => Some(log::hive(name, said("program.command_line"), names)?),
        _ => None,
    };
    let Some(path) = &args.log else {
        let all: Vec<Weighing> = given.into_iter().collect();
        if row.is_none() {
            return Err(Failure::Input(said("program.no_weighing_given_try").into()));
        }
        wrong.extend(problems(&all, s));
        refuse(wrong)?;
        return Ok(Weighings {
            all,
            to_write: None,
            only,
        });
    };
    let shown = path.display().to_string();
    let text = match std::fs::read(path) {
        Ok(bytes) => String::from_utf8(bytes)
            .map_err(|_| Failure::Input(text!("program.file_not_utf_text", shown)))?,
        // A first weighing begins the log.
        Err(e) if e.kind() == std::io::ErrorKind::NotFound && row.is_some() => String::new(),
        Err(e) => {
            return Err(Failure::Input(text!(
                "program.log_cannot_read_try",
                shown,
                fault = e
            )));
        }
    };
    let mut all = Vec::new();
    // A log that is to be begun is not called empty.
    if row.is_none() || !text.trim().is_empty() {
        let (read, of_log) = log::read(&text, &shown, names);
        all = read;
        wrong.extend(of_log);
    }
    let mut to_write = None;
    if let (Some(mut row), Some(given)) = (row, given) {
        row[1].clone_from(&given.hive);
        wrong.extend(cannot_be_added(&given, &row, &all, (&text, &shown)));
        all.push(given);
        to_write = Some((path.clone(), log::with_row(&text, &row)));
    }
    wrong.extend(problems(&all, s));
    refuse(wrong)?;
    if to_write.is_some() {
        // Found out before the long run.
        files::writable(folder_of(path))?;
    }
    if all.is_empty() {
        return Err(Failure::Input(text!(
            "program.log_holds_no_weighing",
            shown
        )));
    }
    if let Some(name) = &only
        && all.iter().all(|w| w.hive != *name)
    {
        return Err(Failure::Input(text!(
            "program.log_holds_no_weighing_try",
            shown,
            name
        )));
    }
    Ok(Weighings {
        all,
        to_write,
        only,
    })
}

/// Why a weighing cannot be a row of the log there is: that hive's weighing of that day is in it, or it has no column for the reading.
fn cannot_be_added(
    given: &Weighing,
    row: &Row,
    all: &[Weighing],
    (text, file): (&str, &str),
) -> Vec<Problem> {
    let error = |at: &log::At, what, expected: &str, help: String| Problem {
        severity: Severity::Error,
        code: "weighing",
        file: at.0.clone(),
        place: at.1.clone(),
        what,
        expected: Some(expected.to_owned()),
        help: Some(help),
    };
    let mut wrong = Vec::new();
    let before = all
        .iter()
        .find(|w| w.date == given.date && w.hive == given.hive);
    if let Some(w) = before {
        let line = w.origin.date.1.as_ref().map_or(0, |p| p.line);
        wrong.push(error(
            &given.origin.date,
            text!(
                "program.was_weighed_before_line",
                hive = given.hive,
                date = given.date,
                line,
                file
            ),
            said("program.one_weighing_hive_day"),
            text!("program.keep_better_two_leave"),
        ));
    }
    let lacking = log::lacks(text, row);
    if !lacking.is_empty() {
        let columns = lacking.join(" and ");
        wrong.push(error(
            &given.origin.reading,
            text!("program.has_no_column", file, columns),
            &text!("program.first_line", columns),
            text!(
                "program.add_first_line_log",
                lacking = lacking.join(","),
                number = lacking.len(),
                s = if lacking.len() == 1 { "" } else { "s" },
                log = log::COLUMNS.join(",")
            ),
        ));
    }
    wrong
}

/// Ends with what is wrong, if anything is: first what stands in no file, then line by line.
fn refuse(mut wrong: Vec<Problem>) -> Result<(), Problems> {
    wrong.sort_by_key(|p| p.place.as_ref().map(|p| (p.line, p.column)));
    if wrong.is_empty() {
        Ok(())
    } else {
        Err(Problems(wrong))
    }
}

fn folder_of(path: &Path) -> &Path {
    path.parent()
        .filter(|p| !p.as_os_str().is_empty())
        .unwrap_or(Path::new("."))
}

/// Writes the log whole or not at all; where it is a link, to what it leads to.
pub(super) fn put_log(path: &Path, text: &str) -> Result<(), Failure> {
    let path = std::fs::canonicalize(path).unwrap_or_else(|_| path.to_owned());
    let name = path.file_name().map(|n| n.to_string_lossy().into_owned());
    let Some(name) = name else {
        return Err(Failure::Input(text!(
            "program.no_file",
            path = path.display()
        )));
    };
    files::put(folder_of(&path), &name, text.as_bytes())
}
