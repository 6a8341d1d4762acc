//! The weighings: from the log and the command line, and the log as it is kept.

use super::super::{Failure, files};
use crate::cli::UpdateArgs;
use crate::decision::reading::{WET, lift_error, tare_error};
use crate::diagnostic::{Problem, Problems, Severity};
use crate::scenario::log::{self, Row, Weighing};
use crate::scenario::model::{Colony, Scenario, Stack};
use crate::scenario::plausible::Weights;
use std::path::{Path, PathBuf};

/// The weighings, and the log as it is to be after this.
pub(super) struct Weighings {
    pub(super) all: Vec<Weighing>,
    pub(super) to_write: Option<(PathBuf, String)>,
    /// The only hive to tell of.
    pub(super) only: Option<String>,
}

/// Reads the log and the weighing on the command line.
pub(super) fn weighings(args: &UpdateArgs, names: &[&str]) -> Result<Weighings, Failure> {
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
    let given = row.as_ref().map(|r| log::one(r, "the command line", names));
    let only = match (&row, &args.hive) {
        (None, Some(name)) => Some(log::hive(name, "the command line", names)?),
        _ => None,
    };
    let Some(path) = &args.log else {
        let Some(given) = given.transpose()? else {
            return Err(Failure::Input(
                "no weighing is given\ntry --hive NAME --date 2027-01-15 --front \"24.9 kg\" --back \"25.7 kg\", or --log FILE".into(),
            ));
        };
        return Ok(Weighings {
            all: vec![given],
            to_write: None,
            only,
        });
    };
    let shown = path.display().to_string();
    let text = match std::fs::read(path) {
        Ok(bytes) => String::from_utf8(bytes)
            .map_err(|_| Failure::Input(format!("{shown}: the file is not UTF-8 text")))?,
        // A first weighing begins the log.
        Err(e) if e.kind() == std::io::ErrorKind::NotFound && row.is_some() => String::new(),
        Err(e) => {
            return Err(Failure::Input(format!(
                "{shown}: the log cannot be read: {e}\ntry --date, --hive and a reading to begin it"
            )));
        }
    };
    // A weighing that cannot be used is told together with what is wrong in the log.
    let given = match given {
        Some(Err(mut problems)) => {
            if !text.trim().is_empty()
                && let Err(of_log) = log::parse(&text, &shown, names)
            {
                problems.0.extend(of_log.0);
            }
            return Err(Failure::Problems(problems));
        }
        Some(Ok(w)) => Some(w),
        None => None,
    };
    let (text, to_write) = match (&row, &given) {
        (Some(row), Some(given)) => {
            let mut row = row.clone();
            row[1].clone_from(&given.hive);
            let text = log::with_row(&text, &row);
            // Found out before the long run.
            files::writable(folder_of(path))?;
            (text.clone(), Some((path.clone(), text)))
        }
        _ => (text, None),
    };
    let all = log::parse(&text, &shown, names)?;
    if all.is_empty() {
        return Err(Failure::Input(format!(
            "{shown}: the log holds no weighing\ntry --date, --hive and a reading to add one"
        )));
    }
    if let Some(name) = &only
        && all.iter().all(|w| w.hive != *name)
    {
        return Err(Failure::Input(format!(
            "{shown}: the log holds no weighing of {name}\ntry --date and a reading to add one, or leave out --hive"
        )));
    }
    Ok(Weighings {
        all,
        to_write,
        only,
    })
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
        return Err(Failure::Input(format!(
            "{}: this is no file",
            path.display()
        )));
    };
    files::put(folder_of(&path), &name, text.as_bytes())
}

/// Refuses readings below the empty hive's own weight, and above that with all combs full of honey, errors allowed for: stores cannot be
/// less than nothing, nor more than the combs hold.
pub(super) fn can_be_weighed(all: &[Weighing], s: &Scenario) -> Result<(), Failure> {
    let problems: Vec<Problem> = all
        .iter()
        .filter_map(|w| {
            let stack = s.stacks.iter().find(|k| k.name == w.hive)?;
            let colony = stack.colony.as_ref()?;
            let weights = weights(stack, colony);
            let full = weights.band()[1];
            let what = if w.gross < weights.tare - weights.tare_error {
                format!("is less than the empty hive weighs, {:.1} kg", weights.tare)
            } else if w.gross
                > full + weights.tare_error + lift_error(w.lift, weights.holds).0 + WET
            {
                format!("is more than the hive weighs with all combs full of honey, {full:.1} kg")
            } else {
                return None;
            };
            let slip = weights.other_unit(w.gross, w.lifts.pounds);
            Some(Problem {
                severity: Severity::Error,
                file: "weighings".into(),
                place: None,
                what: format!("{} on {}: {:.1} kg {what}", w.hive, w.date, w.gross),
                expected: Some(
                    "the weight of the hive with bees and stores, front and back added".into(),
                ),
                help: Some(slip.unwrap_or_else(|| {
                    "look at the reading, at how it was lifted, and at the tare in the scenario"
                        .into()
                })),
            })
        })
        .collect();
    if problems.is_empty() {
        Ok(())
    } else {
        Err(Failure::Problems(Problems(problems)))
    }
}

/// What a hive of the scenario can weigh.
pub(super) fn weights(stack: &Stack, colony: &Colony) -> Weights {
    let scale = &colony.scale;
    Weights::of(
        &stack.boxes,
        scale.tare,
        tare_error(scale.tare_source),
        colony.bees + colony.pollen,
    )
}
