//! The weighings: from the log and the command line, and the log as it is kept.

use super::super::Failure;
use crate::cli::UpdateArgs;
use crate::files::log as file;
use jiff::civil::Date;
use partywall_core::answer::update::problems;
use partywall_core::problem::{Problem, Problems, Severity};
use partywall_core::scenario::log::{self, Row, Weighing};
use partywall_core::stand::Scenario;
use partywall_report::text;
use partywall_report::texts::said;
use std::path::PathBuf;

/// The weighings, and the log as it is to be after this.
pub(super) struct Weighings {
    pub(super) all: Vec<Weighing>,
    pub(super) to_add: Option<Added>,
    /// The only hive to tell of.
    pub(super) only: Option<String>,
}

/// A weighing that is to be a row of the log.
pub(super) struct Added {
    path: PathBuf,
    row: Row,
    given: Weighing,
}

/// Reads the log and the weighing on the command line. What is wrong with either, with the days of the weighings and with what they weigh
/// is told at once.
pub(super) fn weighings(
    args: &UpdateArgs,
    names: &[&str],
    s: &Scenario,
    today: Date,
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
        wrong.extend(problems(&all, s, Some(today)));
        refuse(wrong)?;
        return Ok(Weighings {
            all,
            to_add: None,
            only,
        });
    };
    let shown = path.display().to_string();
    let cannot = |fault: &dyn std::fmt::Display, help: &str| {
        Failure::Input(text!("program.log_cannot_be_used", shown, fault, help))
    };
    let text = match file::read(path).map_err(|e| cannot(&e, said("program.another_log")))? {
        Some(text) => text,
        // A first weighing begins the log.
        None if row.is_some() => String::new(),
        None => {
            return Err(cannot(
                &said("program.no_such_file"),
                said("program.begin_the_log"),
            ));
        }
    };
    let mut all = Vec::new();
    // A log that is to be begun is not called empty.
    if row.is_none() || !log::is_blank(&text) {
        let (read, of_log) = log::read(&text, &shown, names);
        all = read;
        wrong.extend(of_log);
    }
    let mut to_add = None;
    if let (Some(mut row), Some(given)) = (row, given) {
        row[1].clone_from(&given.hive);
        // A log of the only hive need not say which.
        if names.len() == 1 && log::lacks(&text, &row).contains(&"hive") {
            row[1].clear();
        }
        wrong.extend(cannot_be_added(&given, &row, &all, (&text, &shown)));
        all.push(given.clone());
        let path = path.clone();
        to_add = Some(Added { path, row, given });
    }
    wrong.extend(problems(&all, s, Some(today)));
    refuse(wrong)?;
    if to_add.is_some() {
        // Found out before the long run.
        file::can_be_added_to(path)
            .map_err(|e| cannot(&e, said("program.log_in_a_folder_that_is_there")))?;
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
    Ok(Weighings { all, to_add, only })
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

impl Added {
    /// Adds the weighing to the log as that is by now, if the log then holds it and everything before it, and nothing else.
    pub(super) fn add(&self, names: &[&str]) -> Result<(), Failure> {
        let shown = self.path.display().to_string();
        file::add(&self.path, |text| {
            let before = if log::is_blank(text) {
                Vec::new()
            } else {
                log::parse(text, &shown, names)?
            };
            refuse(cannot_be_added(
                &self.given,
                &self.row,
                &before,
                (text, &shown),
            ))?;
            let longer = log::with_row(text, &self.row);
            let after = log::parse(&longer, &shown, names)?;
            let same = |a: &Weighing, b: &Weighing| {
                (a.date, &a.hive, a.lift, &a.note) == (b.date, &b.hive, b.lift, &b.note)
                    && a.gross.to_bits() == b.gross.to_bits()
            };
            let wanted = before.iter().chain([&self.given]);
            if after.len() == before.len() + 1 && after.iter().zip(wanted).all(|(a, b)| same(a, b))
            {
                Ok(longer)
            } else {
                Err(Failure::Fault(text!("program.log_would_not_read", shown)))
            }
        })
    }
}

impl From<file::LogError> for Failure {
    fn from(e: file::LogError) -> Self {
        match e {
            file::LogError::Io(fault) => Self::Fault(text!("program.log_left_as_it_was", fault)),
            fault => Self::Input(text!("program.log_left_as_it_was", fault)),
        }
    }
}
