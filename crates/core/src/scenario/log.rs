//! The log of weighings in winter: a CSV file that is read whole or refused, with every problem and its place.
//!
//! ```text
//! date,hive,front,back,whole,one_side,note
//! 2027-01-15,Left,24.9 kg,25.7 kg,,,"dry, snow off"
//! 2027-01-15,Right,,,93 lb,,
//! ```

mod row;
#[cfg(test)]
mod tests;
mod written;

pub use written::{lacks, with_row};

use super::reader::clean;
use crate::problem::{Place, Problem, Problems, Severity};
use crate::stand::{Lift, Lifts};
use crate::units;
use jiff::civil::Date;
use serde::Serialize;
use written::{field_at, written};

/// Columns of the log, in the order in which they are written.
pub const COLUMNS: [&str; 7] = ["date", "hive", "front", "back", "whole", "one_side", "note"];
/// Largest log that is read, bytes: a row takes some fifty.
const LARGEST: usize = 1 << 20;
/// Problems told of one log.
const MOST_PROBLEMS: usize = 20;

/// One weighing.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Weighing {
    /// The day.
    pub date: Date,
    /// The hive, as written.
    pub hive: String,
    /// How it was lifted.
    #[serde(serialize_with = "lift_word")]
    pub lift: Lift,
    /// The whole hive, kg: the reading, front and back together, or twice the one side.
    pub gross: f64,
    /// The readings behind it.
    #[serde(skip)]
    pub lifts: Lifts,
    /// The note.
    pub note: String,
    /// Where it was written.
    #[serde(skip)]
    pub origin: Origin,
}

/// What a value was written in, with its place there: a file, or an argument of the command line, which has none.
pub type At = (String, Option<Place>);

/// Where a weighing was written.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Origin {
    /// The day.
    pub date: At,
    /// The reading, the first where there are two.
    pub reading: At,
}

/// "front and back" and the like.
#[must_use]
pub const fn lift_text(lift: Lift) -> &'static str {
    match lift {
        Lift::Whole => "whole",
        Lift::FrontAndBack => "front and back",
        Lift::OneSide => "one side",
    }
}

#[allow(clippy::trivially_copy_pass_by_ref)]
fn lift_word<S: serde::Serializer>(lift: &Lift, s: S) -> Result<S::Ok, S::Error> {
    s.serialize_str(lift_text(*lift))
}

/// A weighing as it is written: the seven columns as text.
pub type Row = [String; 7];

/// Reads a log. `hives` are the names of the hives with a colony; a row without a hive is for the only one there is.
///
/// # Errors
/// All that is wrong, each with line and column; no row is used then.
pub fn parse(text: &str, file: &str, hives: &[&str]) -> Result<Vec<Weighing>, Problems> {
    let (read, problems) = read(text, file, hives);
    if problems.is_empty() {
        Ok(read)
    } else {
        Err(Problems(problems))
    }
}

/// As [`parse`], with the rows that could be read beside all that is wrong, so that these can be looked at too before the log is refused.
#[must_use]
pub fn read(text: &str, file: &str, hives: &[&str]) -> (Vec<Weighing>, Vec<Problem>) {
    let file = clean(file);
    let mut log = Log {
        text,
        file: &file,
        hives,
        problems: Vec::new(),
    };
    if text.len() > LARGEST {
        log.whole(format!(
            "the file is larger than {LARGEST} bytes: this is no log of weighings"
        ));
        return (Vec::new(), log.problems);
    }
    let read = log.read();
    (read, log.problems)
}

/// Checks one weighing given outside a file, such as on the command line.
///
/// # Errors
/// As [`parse`].
pub fn one(row: &Row, source: &str, hives: &[&str]) -> Result<Weighing, Problems> {
    let text = written(row);
    let mut log = Log {
        text: &text,
        file: source,
        hives,
        problems: Vec::new(),
    };
    let fields: Vec<&str> = row.iter().map(String::as_str).collect();
    let columns: Vec<Option<usize>> = (0..COLUMNS.len()).map(Some).collect();
    let found = log.weighing(&fields, &columns, None);
    match found {
        Some(w) if log.problems.is_empty() => Ok(w),
        _ => Err(Problems(log.problems)),
    }
}

/// The hive of that name, as it is written in the scenario.
///
/// # Errors
/// No hive with a colony is called so.
pub fn hive(name: &str, source: &str, hives: &[&str]) -> Result<String, Problems> {
    let mut log = Log {
        text: "",
        file: source,
        hives,
        problems: Vec::new(),
    };
    log.hive(name, 1, None).ok_or(Problems(log.problems))
}

struct Log<'a> {
    text: &'a str,
    file: &'a str,
    hives: &'a [&'a str],
    problems: Vec<Problem>,
}

impl Log<'_> {
    fn whole(&mut self, what: String) {
        self.problems.push(Problem {
            severity: Severity::Error,
            code: crate::problem::Code::Other,
            file: self.file.to_owned(),
            place: None,
            what,
            expected: None,
            help: None,
        });
    }

    /// Notes a problem of a field; `line` counts from 1, `None` for a row that stands in no file.
    fn error(
        &mut self,
        line: Option<u64>,
        index: usize,
        what: String,
        expected: &str,
        help: Option<String>,
    ) {
        if self.problems.len() >= MOST_PROBLEMS {
            return;
        }
        let (file, place) = self.at(line, index);
        self.problems.push(Problem {
            severity: Severity::Error,
            code: crate::problem::Code::Other,
            file,
            place,
            what: clean(&what),
            expected: Some(expected.to_owned()),
            help: help.map(|h| clean(&h)),
        });
    }

    /// The place of a field, `line` as in [`Log::error`]; of a row that stands in no file, the argument it came by.
    fn at(&self, line: Option<u64>, index: usize) -> At {
        let Some(line) = line else {
            let option = COLUMNS.get(index).map(|c| c.replace('_', "-"));
            let option = option.map_or_else(String::new, |c| format!(", --{c}"));
            return (format!("{}{option}", self.file), None);
        };
        let place = usize::try_from(line).ok().and_then(|line| {
            let text = self.text.lines().nth(line.checked_sub(1)?)?;
            let (column, width) = field_at(text, index);
            Some(Place {
                line,
                column,
                width,
                text: clean(&text.chars().take(160).collect::<String>()),
            })
        });
        (self.file.to_owned(), place)
    }

    fn read(&mut self) -> Vec<Weighing> {
        let text = self.text.strip_prefix('\u{feff}').unwrap_or(self.text);
        let mut reader = ::csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .trim(::csv::Trim::All)
            .from_reader(text.as_bytes());
        let mut columns: Option<Vec<Option<usize>>> = None;
        let (mut all, mut seen): (Vec<Weighing>, Vec<u64>) = (Vec::new(), Vec::new());
        for record in reader.records() {
            let record = match record {
                Ok(r) => r,
                Err(e) => {
                    let line = e.position().map(::csv::Position::line);
                    self.error(
                        line,
                        0,
                        format!("this is no row of a CSV file: {e}"),
                        "a row",
                        None,
                    );
                    return all;
                }
            };
            let line = record.position().map(::csv::Position::line);
            let fields: Vec<&str> = record.iter().collect();
            let Some(known) = &columns else {
                columns = Some(self.columns(&fields, line));
                if !self.problems.is_empty() {
                    return all;
                }
                continue;
            };
            if fields.iter().all(|f| f.is_empty()) {
                continue;
            }
            if fields.len() != known.len() {
                let what = format!(
                    "{} fields where the header has {}",
                    fields.len(),
                    known.len()
                );
                let help = "write decimals with a point (19.5 kg), and a field that has a comma in it between \" \"".to_owned();
                self.error(
                    line,
                    known.len().min(fields.len()),
                    what,
                    "one field for each column",
                    Some(help),
                );
                continue;
            }
            let known = known.clone();
            let Some(w) = self.weighing(&fields, &known, line) else {
                continue;
            };
            if let Some(i) = all
                .iter()
                .position(|o| o.date == w.date && o.hive == w.hive)
            {
                let what = format!(
                    "{} was weighed on {} before, in line {}",
                    w.hive, w.date, seen[i]
                );
                let help = "keep the better of the two".to_owned();
                self.error(
                    line,
                    known[0].unwrap_or(0),
                    what,
                    "one weighing of a hive a day",
                    Some(help),
                );
                continue;
            }
            seen.push(line.unwrap_or(0));
            all.push(w);
        }
        if columns.is_none() {
            self.whole(format!(
                "the log is empty: its first line must be {}",
                COLUMNS.join(",")
            ));
        }
        all
    }

    /// Where each of [`COLUMNS`] stands, by field of the file.
    fn columns(&mut self, names: &[&str], line: Option<u64>) -> Vec<Option<usize>> {
        let mut known = Vec::new();
        if let ([one], Some(sign)) = (
            names,
            [';', '\t']
                .into_iter()
                .find(|s| names.iter().any(|n| n.contains(*s))),
        ) {
            let between = if sign == ';' { "semicolons" } else { "tabs" };
            self.error(
                line,
                0,
                format!("the columns stand between {between}: {}", clean(one)),
                "commas between the columns",
                Some(
                    "save it as CSV with commas, and write decimals with a point: 19.5 kg"
                        .to_owned(),
                ),
            );
            return known;
        }
        for (i, name) in names.iter().enumerate() {
            let plain = name.to_lowercase();
            let at = COLUMNS.iter().position(|c| *c == plain);
            if at.is_none() {
                let help = units::nearest(&plain, COLUMNS).map_or_else(
                    || format!("known: {}", COLUMNS.join(", ")),
                    |n| format!("did you mean \"{n}\"?"),
                );
                self.error(
                    line,
                    i,
                    format!("\"{name}\" is no column of a log of weighings"),
                    "a known column",
                    Some(help),
                );
            } else if known.contains(&at) {
                self.error(
                    line,
                    i,
                    format!("the column {plain} stands twice"),
                    "each column once",
                    None,
                );
            }
            known.push(at);
        }
        if !known.contains(&Some(0)) {
            self.error(
                line,
                0,
                "the log has no column date".to_owned(),
                "date among the columns of the first line",
                Some(format!("the first line is best {}", COLUMNS.join(","))),
            );
        }
        known
    }
}
